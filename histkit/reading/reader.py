"""Printed words → Formula: clean → tokens → measures → statements → entries → lines."""

from __future__ import annotations

import re
from dataclasses import replace

from histkit.base.errors import BadValue, ReadingError
from histkit.base.nouns import Doubt, Source, times
from histkit.reading.assigning import Assigner, Entry, connectives
from histkit.reading.cleaning import Cleaned, clean
from histkit.reading.columns import Columns, plain_columns
from histkit.reading.formula import Formula, Line
from histkit.reading.layout import Statement, statements
from histkit.reading.measure import Measure, fluid
from histkit.reading.measuring import Scanner
from histkit.reading.naming import distributed_head, name_of, prefix_of, without_list_letter
from histkit.reading.references import beginning_anew, portions, referring, separated
from histkit.reading.remainder import directing, remainder
from histkit.reading.settling import settle_bare
from histkit.reading.sifting import sifted
from histkit.reading.tokens import Token, tokenise
from histkit.reading.vocabulary import units

_TWO_NAMES = re.compile(r"\w,?\sand\s\w")
_CHOICE = re.compile(r"\bor\b")
_TOGETHER_TWO = "Two names stand before one amount without 'each'; it is taken for both together."
_TOGETHER_SEVERAL = "Several names stand before one amount without 'each'; it is taken for all of them together."
LONGEST = 1_000_000
"""Characters of text that `read` takes at once: a formula, or a page of them; whole books go through `corpus`."""


def read(text: str, source: Source | None = None) -> Formula:
    """Read printed words into a Formula.

    Takes any text. Every non-blank word of it stands in exactly one place of the result: the title, the raw of a line,
    the directions or `unread`. Doubtful readings carry a Doubt.

    Raises:
        ReadingError: nothing in the text is an ingredient line.
        BadValue: the text is no string, or longer than `LONGEST` characters.
    """
    if not isinstance(text, str):
        raise BadValue(f"a formula is read from text, not from {type(text).__name__}")
    if len(text) > LONGEST:
        raise BadValue(f"the text has {len(text):,} characters; at most {LONGEST:,} are read at once: give one formula at a time")
    plain = plain_columns(text)
    if plain is not None and (formula := _plainly(plain, text, source)) is not None:
        return formula
    return read_closely(text, source)


def _plainly(plain: Columns, text: str, source: Source | None) -> Formula | None:
    """The formula of a plain list and of what stands above and below it, unless that speaks of amounts too."""
    around = []
    for start, end in ((0, plain.start), (plain.end, len(text))):
        cleaned = clean(text[start:end])
        scanner = Scanner(tokenise(cleaned.text))
        above = scanner.tokens if start < plain.start else []
        if scanner.measures() or any(token.text == "," or token.word in units() for token in above):
            return None  # the words above may set the unit of the list, or be the beginning of its first line
        around.append(directing(Assigner(scanner), cleaned, start))

    def directs(start: int, end: int) -> bool:
        return around[end > plain.end](start, end)

    title, directions, unread = remainder(plain.lines, text, directs)
    return Formula(tuple(plain.lines), title, directions, tuple(unread), source, text)


def read_closely(text: str, source: Source | None = None) -> Formula:
    """As `read`, with everything looked at that any text may hold.

    Raises:
        ReadingError: nothing in the text is an ingredient line.
    """
    cleaned = clean(text)
    scanner = Scanner(tokenise(cleaned.text))
    latin = any(t.kind == "sign" and t.word != "O" and not t.damaged for t in scanner.tokens)
    assigner = Assigner(scanner, latin)
    measures = sifted(scanner, latin, source)
    entries: list[Entry] = []
    unit = ""
    previous: list[Entry] = []
    for statement in statements(assigner, measures, cleaned.text):
        if statement.kind == "heading":
            unit = _header_unit(scanner, statement) or unit
            continue
        above = _units_above(previous)
        settled, unit = settle_bare(assigner, _referring(statement, previous), statement.first, statement.last, unit, *above)
        made = _entries(assigner, statement, settled)
        entries += made
        previous = made or previous
    lines = _lines(entries, scanner, cleaned, text)
    if not lines:
        raise ReadingError(
            "no ingredient line was found in this text: an ingredient line is a name with an amount, "
            "such as 'Powdered talc, 4 ounces' or 'two drachms of orris root'"
        )
    title, directions, unread = remainder(lines, text, directing(assigner, cleaned))
    lines = beginning_anew(referring(_whole_formula(lines, text)), text)
    printed = [(m, cleaned.printed_span(scanner.tokens[m.first].start, scanner.tokens[m.last - 1].end)) for m in measures]
    taken = portions([(m, span) for m, span in printed if m.kind == "portion"], lines, text)
    return Formula(tuple(lines), title, directions, tuple(unread), source, text, taken)


def separate(text: str) -> tuple[str, ...]:
    """The formulas of a text that prints several ('No. 1 … No. 2 …', 'Another: …'), each with its heading, in order.

    Joined, the pieces are the text again. A text of one formula comes back as one piece.

    Raises:
        ReadingError, BadValue: as `read` does.
    """
    return separated(read(text).lines, text)


def _units_above(previous: list[Entry]) -> tuple[str, str]:
    """The units of the amount above, in its first and in its second column ("" where there is none)."""
    last = next((e.measure for e in reversed(previous) if e.measure is not None and e.measure.unit), None)
    if last is None:
        return "", ""
    return last.unit, last.also[-1][1] if last.also else ""


def _referring(statement: Statement, previous: list[Entry]) -> list[Measure]:
    """'The same quantity' at the start of a statement refers to the last amount of the statement before it."""
    measures = list(statement.measures)
    if measures and measures[0].kind == "same" and previous and previous[-1].measure is not None:
        last = previous[-1].measure
        factor = measures[0].amount if isinstance(measures[0].amount, float) else 1.0
        plus = last.plus if factor == 1 else ()
        measures[0] = replace(measures[0], amount=times(last.amount, factor), unit=last.unit, plus=plus, kind="plain")
    return measures


def _header_unit(scanner: Scanner, statement: Statement) -> str:
    """The unit that a heading sets over the amounts of a column: 'Parts.', 'Metric.   Imperial.'"""
    words = [t.word for t in scanner.tokens[statement.first : statement.last] if t.kind == "word"]
    if not 0 < len(words) <= 4:
        return ""
    if words[0] == "metric":
        return "gram"
    if len(words) <= 3 and words[-1] in units() and all(w in units() or w in ("by", "av") for w in words):
        return units()[words[-1]].unit
    return ""


def _entries(assigner: Assigner, statement: Statement, measures: list[Measure]) -> list[Entry]:
    made = assigner.assign(measures, statement.first, statement.last)
    if not measures:
        return made
    if statement.members or statement.followers:
        owner = next(
            (e for e in made if e.measure is not None and (e.measure.each or statement.braced)), made[-1] if made else None
        )
        if owner is None or owner.measure is None:
            return made
        each = bool(owner.measure.each) or owner.measure.kind == "qs" or statement.braced
        group_doubt: tuple[Doubt, ...] = ()
        if statement.members and not statement.braced:
            group_doubt = (
                Doubt(
                    "group",
                    "The amount is printed once, on the last of several lines; the others share it.",
                    ("the lines above belong elsewhere",),
                    "It changes what those lines weigh.",
                ),
            )
        if statement.braced and not owner.measure.each:
            group_doubt = (
                Doubt(
                    "group",
                    "A brace joins lines beside one amount without 'each'; it is taken for each.",
                    ("the amount is for all together",),
                    "All together, each would be a share of it.",
                ),
            )

        def companions(ranges: list[tuple[int, int]]) -> list[Entry]:
            out = []
            for a, b in ranges:
                for name in assigner.split(a, b) or [(a, b)]:
                    trimmed = assigner.trim(*name)
                    if trimmed[0] < trimmed[1]:
                        out.append(Entry([trimmed], owner.measure, True, doubts=group_doubt, holds_measure=False))
            return out

        made = [*companions(statement.members), *(replace_each(e, each) for e in made), *companions(statement.followers)]
    return made


def replace_each(entry: Entry, each: bool) -> Entry:
    entry.of_each = entry.of_each or each
    return entry


def _lines(entries: list[Entry], scanner: Scanner, cleaned: Cleaned, text: str) -> list[Line]:
    """Lines in printed order, each with its own stretch of the text."""
    tokens = scanner.tokens
    drafts: list[tuple[int, int, Entry]] = []
    for entry in entries:
        inside = [i for a, b in entry.names for i in (a, b)]
        if entry.measure is not None and entry.holds_measure:
            inside += [entry.measure.first, entry.measure.last]
        if not inside or not entry.names or _mentions_again(entry, tokens, cleaned.text, drafts):
            continue
        drafts.append((min(inside), max(inside), entry))
    drafts.sort(key=lambda d: (d[0], d[1]))
    lines: list[Line] = []
    names_above: list[str] = []
    ditto_above = (0, "")
    group_head = ""
    group_measure: Measure | None = None
    end_before = 0
    for first, last, entry in drafts:
        first = max(first, end_before)
        if first >= last:
            continue
        named = without_list_letter(name_of(tokens, entry.names, cleaned.text), len(lines))
        carried, steps = entry.carried, []
        if named.dittos and names_above:
            # A second mark under a first stands for the same words, whatever the name between them looks like.
            carried = ditto_above[1] if ditto_above[0] == named.dittos else prefix_of(names_above[-1], named.dittos - 1)
            steps.append(f"The ditto mark stands for {carried!r}, from the line above.")
            names_above.append(f"{carried} {named.ingredient}")
        else:
            if entry.measure is not None and entry.measure is group_measure and entry.of_each:
                head = distributed_head(group_head, named.ingredient)
                if head and not carried:
                    carried = head
                    steps.append(f"The head of the list, {head!r}, is taken for this name too.")
            else:
                group_head = named.ingredient
            names_above.append(f"{carried} {named.ingredient}".strip() if named.dittos == 0 else named.ingredient)
        ditto_above = (named.dittos, carried) if named.dittos else (0, "")
        if entry.measure is not group_measure or (not distributed_head(group_head, "x") and named.ingredient):
            group_head = names_above[-1]
        group_measure = entry.measure
        m = entry.measure
        assert m is not None
        raw_first, raw_last = _with_edges(scanner, first, last, end_before)
        span = _over_marginalia(cleaned, text, *cleaned.printed_span(tokens[raw_first].start, tokens[raw_last - 1].end))
        span = _between_words(text, span, lines[-1].span[1] if lines else 0)
        end_before = raw_last
        doubts = [*m.doubts, *entry.doubts, *_own_doubts(named.ingredient, m)]
        if m.amount == 0 and not m.plus:
            doubts.append(Doubt("amount", "The amount is nought: a figure may be lost.", (), "This line weighs nothing."))
        lines.append(
            Line(
                raw=text[span[0] : span[1]],
                span=span,
                amount=m.amount,
                unit=m.unit or "none",
                ingredient=named.ingredient,
                modifier=named.modifier,
                carried=carried,
                plus=m.plus,
                to_make=m.to_make,
                also=m.also,
                of_each=entry.of_each,
                system=m.system,
                strength=named.strength,
                optional=m.optional,
                approximate=m.approximate,
                doubts=tuple(dict.fromkeys(doubts)),
                steps=(*m.steps, *steps),
            )
        )
    return _grammes(lines)


def _grammes(lines: list[Line]) -> list[Line]:
    """'gr.' beside kilograms or centigrams and beside no ounce or drachm is taken as grammes, and the doubt is kept."""
    units_seen = {line.unit for line in lines}
    if not units_seen & {"kilogram", "gram", "centigram"} or units_seen & {"ounce", "drachm", "scruple", "pound"}:
        return lines
    reason = "'gr.' is taken as grammes, since this formula has other metric weights."
    doubt = Doubt("unit", reason, ("grains",), "a fifteenth of the weight")
    return [
        replace(line, unit="gram", doubts=(*line.doubts, doubt))
        if line.unit == "grain" and not line.plus and re.search(r"\bgr\b", line.raw)
        else line
        for line in lines
    ]


def _mentions_again(entry: Entry, tokens: list[Token], text: str, drafts: list[tuple[int, int, Entry]]) -> bool:
    """'rub the carmine with a little of the starch': a word of the directions about an ingredient already listed."""
    if entry.measure is None or entry.measure.kind != "some" or len(entry.names) != 1:
        return False
    words = set(name_of(tokens, entry.names, text).ingredient.lower().split())
    first = entry.names[0][0]
    after_the = first > 0 and tokens[first - 1].word == "the"
    return after_the and any(
        words <= set(name_of(tokens, other.names, text).ingredient.lower().split()) for _, _, other in drafts if other.names
    )


_MARGINALIA = re.compile(r"[ \t]*(?:=[A-Z]\.?(?:\s*\}\s*[A-Z]\.?)?=)")


def _over_marginalia(cleaned: Cleaned, text: str, start: int, end: int) -> tuple[int, int]:
    """A marginal key letter after an entry ('=F.=') belongs to its line and to nothing else."""
    found = _MARGINALIA.match(text, end)
    return (start, found.end()) if found else (start, end)


def _between_words(text: str, span: tuple[int, int], previous_end: int) -> tuple[int, int]:
    """The span with its ends moved out of the midst of a word (figures and words may be glued together in a scan)."""
    start, end = span
    while (
        start > previous_end
        and text[start - 1].isalnum()
        and text[start].isalnum()
        and text[start - 1].isalpha() == text[start].isalpha()
    ):
        start -= 1
    while end < len(text) and text[end].isalpha() and text[end - 1].isalpha():
        end += 1
    return max(start, previous_end), end


def _with_edges(scanner: Scanner, first: int, last: int, end_before: int) -> tuple[int, int]:
    """The line with the small words before it ('and', 'with', '℞') and the stops after it, so that none of them is left over."""
    tokens = scanner.tokens
    i = first
    while i > end_before:
        token = tokens[i - 1]
        joins = (
            token.kind == "word"
            and (token.word in connectives() or token.word in ("take", "add"))
            and not (token.dot and token.word not in ("viz", "recipe", "rp", "rx"))
        )
        if joins or token.kind in ("gap", "line", "ditto", "other", "open") or (token.kind == "sign" and token.word == "℞"):
            i -= 1
        else:
            break
    while i < first and tokens[i].kind in ("gap", "line"):
        i += 1
    j = last
    while j < len(tokens) and (
        tokens[j].kind == "brace" or (tokens[j].kind == "sep" and tokens[j].text in ",;.:") or tokens[j].kind == "close"
    ):
        j += 1
    return i, j


def _own_doubts(name: str, m: Measure) -> list[Doubt]:
    found = []
    if m.kind == "plain" and not m.each and _TWO_NAMES.search(name) and m.unit != "part" and not m.doubts:
        found.append(
            Doubt(
                "group",
                _TOGETHER_SEVERAL if "," in name else _TOGETHER_TWO,
                ("the amount is meant for each",),
                "Each would double what is weighed.",
            )
        )
    if m.kind != "qs" and _CHOICE.search(name):
        found.append(
            Doubt(
                "ingredient",
                "The book leaves a choice between two ingredients; the first is taken.",
                (),
                "The other would change the formula.",
            )
        )
    if m.approximate:
        found.append(Doubt("amount", "The book says 'about'.", (), ""))
    return found


def _whole_formula(lines: list[Line], text: str) -> list[Line]:
    """What the formula says of all its amounts: '(all by measure)', 'by weight' over a column."""
    everything = " ".join(text.split()).lower()
    if re.search(r"\ball by measure\b|\(by measure\)|\bparts by measure\b", everything):
        said = re.search(r"\bby\s+measure\b", text, re.IGNORECASE)
        reach = said.start() if said else len(text)
        return [
            replace(
                line,
                unit=fluid(line.unit),
                system="measure",
                steps=(*line.steps, "The formula says 'all by measure'."),
            )
            if line.span[0] < reach
            else line
            for line in lines
        ]
    if re.search(r"\bby weight\b", everything):
        return [replace(line, system=line.system or "weight") for line in lines]
    return lines
