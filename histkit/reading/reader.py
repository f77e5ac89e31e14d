"""Printed words → Formula: clean → tokens → measures → statements → entries → lines."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from histkit.base.errors import BadValue, ReadingError
from histkit.base.nouns import Doubt, Source, times
from histkit.reading.apart import columns_apart
from histkit.reading.arranging import by_second_opinion
from histkit.reading.assigning import Entry, companions, entries_of
from histkit.reading.cleaning import Cleaned, clean
from histkit.reading.columns import Columns, plain_columns
from histkit.reading.decimals import in_grams
from histkit.reading.figures import scanned
from histkit.reading.formula import Formula, Line
from histkit.reading.layout import Statement, statements
from histkit.reading.left_over import left_over, token_spans
from histkit.reading.lines import lines_of
from histkit.reading.measure import NONE_IN_FORCE, InForce, Measure
from histkit.reading.measuring import measures_of
from histkit.reading.mentions import ingredients_of, without_repeated_rows, without_repeated_sentences
from histkit.reading.references import beginning_anew, portions, referring, separated
from histkit.reading.remainder import directing, remainder
from histkit.reading.settling import Heading, settle_bare
from histkit.reading.sifting import sifted
from histkit.reading.tokens import OCTARIUS, Token, tokenise
from histkit.reading.unit_words import unit_at
from histkit.reading.unmeasured import named_alone, with_unmeasured
from histkit.reading.view import View
from histkit.reading.vocabulary import Phrase, units, word_list
from histkit.reading.wording import Wording, wording_of

LONGEST = 1_000_000
"""Characters of text that `read` takes at once; whole books go through `corpus`."""
MOST_TOKENS = 20_000
"""Words, figures and signs that are read at once: twenty closely printed pages."""
_METRIC, _BESIDE_UNITS = word_list("metric"), word_list("beside-units")
_MOST_QUOTED, _LONGEST_ROW = 80, 4
"""Characters of a clause that a doubt quotes, and words of a row that is doubted where it could not be read."""
_HEADER_WORDS = 7
"""Words at most of a heading that sets a unit."""


def read(text: str, source: Source | None = None) -> Formula:
    """Read printed words into a Formula.

    Takes any text. Every non-blank word of it stands in exactly one place of the result: the title, the raw of a line,
    the directions or `unread`. Doubtful readings carry a Doubt.

    Raises:
        ReadingError: nothing in the text is an ingredient line, or it has more than `MOST_TOKENS` words, figures and signs.
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
        view = scanned(_tokens(cleaned))
        above = view.tokens if start < plain.start else []
        if measures_of(view) or any(token.text == "," or token.word in units() for token in above):
            return None  # the words above may set the unit of the list, or be the beginning of its first line
        around.append(directing(wording_of(view), cleaned, start))

    def directs(start: int, end: int) -> bool:
        return around[end > plain.end](start, end)

    title, directions, unread = remainder(plain.lines, text, directs)
    return Formula(tuple(plain.lines), title, directions, tuple(unread), source, text)


def _tokens(cleaned: Cleaned) -> list[Token]:
    tokens = tokenise(cleaned.text)
    if len(tokens) > MOST_TOKENS:
        raise ReadingError(
            f"the text has {len(tokens):,} words, figures and signs; at most {MOST_TOKENS:,} are read at once: "
            "give one formula at a time, or a whole book to `histkit corpus`"
        )
    return tokens


def read_closely(text: str, source: Source | None = None) -> Formula:
    """As `read`, with everything looked at that any text may hold.

    Raises:
        ReadingError: as `read` does.
    """
    cleaned = clean(text)
    view = scanned(_tokens(cleaned))
    signs = [view.tokens[i] for i in view.by_kind["sign"]]
    latin = any(sign.word != OCTARIUS and not sign.damaged for sign in signs)
    wording = wording_of(view, latin)
    measures = sifted(view, source)
    apart, others = columns_apart(wording, measures)
    parts = statements(wording, others, cleaned.text)

    def entries(turned: Mapping[int, str]) -> list[Entry]:
        return with_unmeasured(wording, ingredients_of(wording, [*apart, *_all_entries(wording, parts, turned)]))

    told = without_repeated_rows(wording, by_second_opinion(wording, measures, entries))
    told = without_repeated_sentences(wording, told)
    told = told or (named_alone(wording) if not measures else [])
    lines = in_grams(lines_of(told, view, cleaned, text))
    if not lines:
        raise ReadingError(
            "no ingredient line was found in this text: an ingredient line is a name with an amount, "
            "such as 'Powdered talc, 4 ounces' or 'two drachms of orris root'"
        )
    torn = [(entry.measure.first, entry.measure.last) for entry in apart if entry.measure is not None]
    totals = [line.to_make[0] for line in lines if line.to_make]
    rest = left_over(wording, others, token_spans(lines, view, cleaned), totals)
    stretches = [*torn, *((part.first, part.last) for part in rest if part.first < part.last)]
    clauses = [cleaned.printed_span(view.tokens[first].start, view.tokens[last - 1].end) for first, last in stretches]
    title, directions, unread = remainder(lines, text, directing(wording, cleaned), clauses)
    doubts = tuple(dict.fromkeys(part.doubt for part in rest))
    doubts += _unread_among_lines(unread, lines, text, any(token.damaged for token in view.tokens)) if unread else ()
    lines = beginning_anew(referring(lines), text)
    printed = ((m, cleaned.printed_span(view.tokens[m.first].start, view.tokens[m.last - 1].end)) for m in measures)
    taken = portions([(m, span) for m, span in printed if m.kind == "portion"], lines, text)
    return Formula(tuple(lines), title, directions, tuple(unread), source, text, taken, doubts)


def _unread_among_lines(unread: Sequence[str], lines: Sequence[Line], text: str, worn: bool) -> tuple[Doubt, ...]:
    """A doubt about each clause between the lines of a worn text, and each short row between rows ('Red Coloring.'), that could
    not be read; the heads of pages are in capitals."""
    first, last = lines[0].span[0], lines[-1].span[1]
    rows = {row.strip() for row in text.splitlines() if len(row.split()) <= _LONGEST_ROW and row.strip()[-1:] != ":"}
    among = [p for p in unread if first < text.find(p) < last and not p.isupper() and len(p.split()) > 1 and (worn or p in rows)]
    told = (f"{piece[:_MOST_QUOTED]!r} stands among the ingredients and could not be read." for piece in among)
    return tuple(Doubt("ingredient", text, (), "Look at the page.") for text in told)


def _all_entries(wording: Wording, parts: list[Statement], turned: Mapping[int, str]) -> list[Entry]:
    """The entries of all statements, each figure without a unit settled by what stands above it; `turned` as in `choose`."""
    entries: list[Entry] = []
    previous: list[Entry] = []
    unit = NONE_IN_FORCE
    headings: tuple[Heading, ...] = ()
    for statement in parts:
        if statement.kind == "heading":
            if said := _headings(wording.view, statement):
                unit, headings = InForce(said[0].unit), said
            continue
        measures = _referring(statement, previous)
        above = _units_above(previous)
        settled, unit = settle_bare(wording, measures, statement.first, statement.last, unit, above, headings)
        of_statement = _entries(wording, statement, settled, turned)
        entries += of_statement
        previous = of_statement or previous
    return entries


def separate(text: str) -> tuple[str, ...]:
    """The formulas of a text that prints several ('No. 1 … No. 2 …', 'Another: …'), each with its heading, in order.

    Joined, the pieces are the text again. A text of one formula comes back as one piece.

    Raises:
        ReadingError, BadValue: as `read` does.
    """
    return separated(read(text).lines, text)


def _units_above(previous: list[Entry]) -> tuple[InForce, str]:
    """The units of the amount above, in its first and in its second column (none and "" where there is none)."""
    last = next((e.measure for e in reversed(previous) if e.measure is not None and e.measure.unit), None)
    if last is None:
        return NONE_IN_FORCE, ""
    return last.in_force, last.also[-1][1] if last.also else ""


def _referring(statement: Statement, previous: list[Entry]) -> list[Measure]:
    """'The same quantity' at the start of a statement refers to the last amount of the statement before it."""
    measures = list(statement.measures)
    if measures and measures[0].kind == "same" and previous and previous[-1].measure is not None:
        last = previous[-1].measure
        factor = measures[0].amount if isinstance(measures[0].amount, float) else 1.0
        plus = last.plus if factor == 1 else ()
        amount = times(last.amount, factor)
        measures[0] = measures[0]._replace(amount=amount, unit=last.unit, holds=last.holds, plus=plus, kind="plain")
    return measures


def _headings(view: View, statement: Statement) -> tuple[Heading, ...]:
    """The units that a heading sets over the amounts of a column: 'Parts.', 'Metric.   Imperial.', 'Pints, imperial | Ounces'.

    () where it says anything else.
    """
    at = [i for i in range(statement.first, statement.last) if view.tokens[i].kind == "word"]
    if not 0 < len(at) <= _HEADER_WORDS:
        return ()
    if view.words[at[0]] in _METRIC:
        return (Heading("gram", 1.0, "", view.tokens[at[0]].text),)
    found: list[Heading] = []
    cell, begins, system, i = 0, statement.first, "", statement.first
    while i < statement.last:
        token = view.tokens[i]
        if token.text == "|":
            cell, begins, system = cell + 1, i + 1, ""
        unit = unit_at(view, i) if len(view.words[i]) > 1 and not (found and found[-1].cell == cell) else None
        said = view.phrase(i, "system")
        if unit is not None:
            behind = _system_behind(view, unit.after)
            after = behind[1] if behind else unit.after
            words = " ".join(t.text for t in view.tokens[begins:after] if t.kind == "word")
            found.append(Heading(unit.name, unit.factor, unit.system or (behind[0].value if behind else system), words, cell))
            i = after
        elif said is not None:
            system, i = said[0].value, said[1]
        elif token.kind == "word" and token.word not in _BESIDE_UNITS:
            return ()
        else:
            i += 1
    return tuple(found)


def _system_behind(view: View, i: int) -> tuple[Phrase, int] | None:
    """'Pints, imperial', 'Ounces, apothecaries' weight': the measure named behind a unit, and the token after it."""
    i = view.solid[i]
    if i < len(view.tokens) and view.tokens[i].text == ",":
        i = view.solid[i + 1]
    return view.phrase(i, "system", "qualifier")


def _entries(wording: Wording, statement: Statement, measures: list[Measure], turned: Mapping[int, str]) -> list[Entry]:
    """The entries of a statement, with those of the lines above and below that share its amount."""
    entries = entries_of(wording, measures, statement.first, statement.last, turned)
    if not measures or not entries or not (statement.members or statement.followers):
        return entries
    measured = (e for e in entries if e.measure is not None and (e.measure.each or statement.braced))
    owner = next(measured, entries[-1]).measure
    if owner is None:
        return entries
    if owner.each or owner.kind == "qs" or statement.braced:
        for entry in entries:
            entry.of_each = True
    doubts = _group_doubts(statement, owner)
    above, below = (companions(wording, ranges, owner, doubts) for ranges in (statement.members, statement.followers))
    return [*above, *entries, *below]


def _group_doubts(statement: Statement, owner: Measure) -> tuple[Doubt, ...]:
    """The doubt about lines that share the amount of another."""
    if statement.braced:
        text = "A brace joins lines beside one amount without 'each'; it is taken for each."
        doubt = Doubt("group", text, ("the amount is for all together",), "All together, each would be a share of it.")
        return () if owner.each else (doubt,)
    if not statement.members:
        return ()
    text = "The amount is printed once, on the last of several lines; the others share it."
    return (Doubt("group", text, ("the lines above belong elsewhere",), "It changes what those lines weigh."),)
