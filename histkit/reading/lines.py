"""Entries → lines, in printed order, each with its own stretch of the text."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from itertools import groupby

from histkit.base.nouns import Doubt
from histkit.glossary.compounds import head_of
from histkit.glossary.lookup import knows, knows_in_any_spelling
from histkit.reading.assigning import Entry
from histkit.reading.cleaning import Cleaned
from histkit.reading.formula import Line
from histkit.reading.measure import Measure, fluid
from histkit.reading.mentions import Mentioned
from histkit.reading.naming import (
    Named,
    distributed_head,
    ends_a_list,
    head_that_may_be_shared,
    name_of,
    names_a_part,
    prefix_of,
    shared_tail,
    tail_that_may_be_shared,
    without_list_letter,
)
from histkit.reading.spelling import bare
from histkit.reading.tokens import Token
from histkit.reading.view import View
from histkit.reading.vocabulary import AND, OF, THE, connectives, heads, modifiers, pattern, word_list

_SORTS, _PARTS, _OF = (frozenset(map(bare, words)) for words in (word_list("sort-of-a-thing"), word_list("part-of-a-plant"), OF))
_SORTS_IN_A_ROW = 8
"""Names of a list at most between one that only says of which sort and the one with its noun."""
_BEFORE_A_LINE, _STOPPED, _OF_THIS = map(word_list, ("before-a-line", "connective-with-stop", "of-this"))
_TWO_NAMES, _CHOICE, _GRAIN_OR_GRAM = map(pattern, ("two-names", "choice-of-names", "grain-or-gram"))
_ALL_BY_MEASURE, _BY_MEASURE, _BY_WEIGHT = map(pattern, ("all-by-measure", "by-measure", "by-weight"))
_SAYS_THE_PART = pattern("the-before-a-name")
_LOST, _STOP = pattern("lost-on-the-page"), re.compile(r"[,;:.\n]")
_MARGINALIA = re.compile(r"[ \t]*(?:=[A-Z]\.?(?:\s*\}\s*[A-Z]\.?)?=)")
_TOGETHER_TWO = "Two names stand before one amount without 'each'; it is taken for both together."
_TOGETHER_SEVERAL = "Several names stand before one amount without 'each'; it is taken for all of them together."


@dataclass(frozen=True, slots=True)
class Draft:
    """An entry that becomes a line, with the tokens that it covers."""

    first: int
    last: int
    entry: Entry
    measure: Measure


@dataclass(slots=True)
class _Above:
    """What the lines so far hand down to the next: the names that a ditto mark repeats, the head that a list shares."""

    names: list[str] = field(default_factory=list)
    dittos: int = 0
    """Ditto marks of the line above, and what they stand for."""
    carried: str = ""
    group_head: str = ""
    group: Measure | None = None
    behind_of: bool = False
    """Whether 'of' stands before the name of the line above."""
    goes_on: bool = False
    """Whether it stands before this name and not before the one above."""

    def takes_over(self, entry: Entry, named: Named) -> tuple[str, tuple[str, ...], tuple[Doubt, ...]]:
        """The words that the next entry takes over from above ("" for none), the steps that say so, the doubts about it."""
        carried = entry.carried
        steps: tuple[str, ...] = ()
        doubts: tuple[Doubt, ...] = ()
        if named.dittos and self.names:
            # A second mark under a first stands for the same words, whatever the name between them looks like.
            carried = self.carried if self.dittos == named.dittos else prefix_of(self.names[-1], named.dittos - 1)
            steps = (f"The ditto mark stands for {carried!r}, from the line above.",)
            self.names.append(f"{carried} {named.ingredient}")
        else:
            if entry.measure is self.group and entry.of_each and not carried:
                carried, steps, doubts = self._shared(named.ingredient)
            else:
                self.group_head = named.ingredient
            self.names.append(f"{carried} {named.ingredient}".strip() if named.dittos == 0 else named.ingredient)
        self.dittos, self.carried = (named.dittos, carried) if named.dittos else (0, "")
        if entry.measure is not self.group:
            self.group_head = self.names[-1]
        self.group = entry.measure
        return carried, steps, doubts

    def _shared(self, name: str) -> tuple[str, tuple[str, ...], tuple[Doubt, ...]]:
        """What the next name of a list takes over from its head, as `takes_over` tells it; a head of its own ends the other."""
        head = distributed_head(self.group_head, name, self.goes_on, listed=True)
        if head:
            steps = (f"The head of the list, {head!r}, is taken for this name too.",)
            if not knows_in_any_spelling(name) or not heads("plural").keys().isdisjoint(self.group_head.lower().split()[:5]):
                return head, steps, ()
            text = f"{head!r} is printed once, with a name before; it is taken for this one too."  # 'oil of cloves and nutmegs'
            return head, steps, (Doubt("ingredient", text, (name,), ""),)
        if possible := head_that_may_be_shared(self.group_head, name):
            text = f"{possible!r} is printed once, with a name before; it may be meant for this one too."
            return "", (), (Doubt("ingredient", text, (f"{possible} {name}",), ""),)
        if ends_a_list(self.group_head, name):
            self.group_head = name  # 'leaves of bay, sage, seeds of anise, fennel'
        return "", (), ()


def lines_of(entries: Sequence[Entry], view: View, cleaned: Cleaned, text: str) -> list[Line]:
    """The lines of a text's entries."""
    above = _Above()
    lines: list[Line] = []
    owners: list[Measure] = []
    end_before = 0
    for draft in _drafts(entries, view.tokens, cleaned.text):
        first, last = max(draft.first, end_before), draft.last
        if first >= last:
            continue
        entry, m = draft.entry, draft.measure
        named = without_list_letter(name_of(view.tokens, entry.names, cleaned.text), len(lines))
        entry, heads = _going_on(above, entry, named, view)
        carried, steps, shared = above.takes_over(entry, named)
        raw_first, raw_last = _with_edges(view, first, last, end_before)
        span = cleaned.printed_span(view.tokens[raw_first].start, view.tokens[raw_last - 1].end)
        span = _between_words(text, _over_marginalia(text, *span), lines[-1].span[1] if lines else 0)
        end_before = raw_last
        doubts = (*m.doubts, *entry.doubts, *heads, *shared, *_own_doubts(named.ingredient, m), *_lost(text, span))
        owners.append(m)
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
                approximate=m.approximate,
                doubts=tuple(dict.fromkeys(doubts)),
                steps=(*m.steps, *steps),
            )
        )
    lines = _with_parts_of_the_plant_before(_with_shared_tails(lines, owners))
    return _whole_formula(_grammes(_with_suspended_halves(lines, text)), text)


def _going_on(above: _Above, entry: Entry, named: Named, view: View) -> tuple[Entry, tuple[Doubt, ...]]:
    """'Oil of lilies ten ounces, of wormwood six': the entry with the head that may go on from the name above, and the doubt;
    where each name has its 'of', the doubt alone."""
    before, name = entry.names[0][0] - 1, named.ingredient
    of_amount = entry.measure is not None and entry.measure.last <= before + 1  # 'an ounce of wax'
    each_with_of, above.behind_of = above.behind_of, not of_amount and view.words[before - (view.words[before] in THE)] in OF
    above.goes_on = above.behind_of and not each_with_of
    of_its_own = above.behind_of and not named.dittos and not entry.carried and entry.measure is not above.group
    head = distributed_head(above.group_head, name) if of_its_own else ""
    if not head or not knows(f"{head} {name}"):
        return entry, ()
    text = f"'{head}' is printed with the name before, and 'of' alone here; it may hold for this one too."
    doubt = Doubt("ingredient", text, (f"{head} {name}" if each_with_of else name,), "")
    return entry if each_with_of else replace(entry, carried=head), (doubt,)


def _with_shared_tails(lines: list[Line], owners: list[Measure]) -> list[Line]:
    """'Rose, bean-flower and white lily water, of each a spoonful': the last head is taken for those that are known with it;
    'sweet and bitter almonds, of each', 'coral red and white, of each': the noun for those that only say of which sort."""
    lines = list(lines)
    for _, group in groupby(range(len(lines)), key=lambda i: id(owners[i])):
        members = list(group)
        printed = [lines[i].ingredient for i in members]
        beside = len(members) > 1 and _joined(lines[members[-1]])
        for at, i in reversed(list(enumerate(members))):
            if lines[i].carried or not lines[i].of_each:
                continue
            is_last = at == len(members) - 1
            tail = _noun_of_sorts(printed, at) or shared_tail(printed[-1], printed[at], beside)
            text = f"{tail.removesuffix(' of')!r} is printed once, with another name of the list; it is taken for this too."
            other = printed[at]
            if not tail and beside and not is_last and (possible := tail_that_may_be_shared(printed[-1], printed[at])):
                text = f"{possible!r} is printed once, with the next name; it may be meant for this one too."
                other = f"{printed[at]} {possible}"
            elif not tail:
                beside = beside and is_last
                continue
            doubt = Doubt("ingredient", text, (other,), "")
            lines[i] = replace(lines[i], carried=tail, doubts=(*lines[i].doubts, doubt))
    return lines


def _with_parts_of_the_plant_before(lines: list[Line]) -> list[Line]:
    """'Elder leaves a handful, the bark an ounce': a part alone, with its article, is taken for that of the plant before it."""
    lines = list(lines)
    for at in range(1, len(lines)):
        line, own = lines[at], _bare_words(lines[at].ingredient)
        if line.carried or not own or own[0] not in _PARTS or not _SAYS_THE_PART.search(line.raw):
            continue
        if any(word not in modifiers() and word not in _OF_THIS for word in line.ingredient.lower().split()[1:]):
            continue  # 'bark beaten', 'bark thereof', but 'bark of elm'
        part = line.ingredient.split()[0]
        plant = lines[at - 1].full_name
        words = plant.split()
        if len(words) > 1 and bare(words[-1].lower()) in _PARTS:
            plant = " ".join(words[:-1])
        known = names_a_part(plant, part)
        text = f"{part!r} stands behind {plant!r} and {'is taken for' if known else 'may be'} its {part}."
        doubt = Doubt("ingredient", text, (line.ingredient,), "Look at the page.")
        lines[at] = replace(line, carried=plant if known else line.carried, doubts=(*line.doubts, doubt))
    return lines


def _joined(line: Line) -> bool:
    """Whether a line begins with 'and'."""
    return line.raw.lstrip().startswith("&") or line.raw.lower().partition(" ")[0] in AND


def _noun_of_sorts(names: list[str], at: int) -> str:
    """The noun for the name at this place, which only says of which sort or part: that of the next name or of the one before; ""
    where it says more, or where what stands beside a part has none for it: 'honey, leaves'."""
    own = _bare_words(names[at])
    if len(own) > 2 and own[0] in _PARTS and own[1] in _OF:
        own = own[2:]  # 'roots of round and long birthwort'
    if len(own) > 2 and own[-2] in _OF and own[-1] in _SORTS:
        own = own[-1:]  # 'oil of sweet and bitter almonds'
    if not (_SORTS | _PARTS).issuperset(own):
        return ""
    part = not _PARTS.isdisjoint(own)
    near = (names[at + 1 : at + _SORTS_IN_A_ROW], names[max(0, at - _SORTS_IN_A_ROW) : at][::-1])
    for behind, others in zip((True, False), near, strict=True):
        name = next((name for name in others if not (_SORTS | _PARTS).issuperset(_bare_words(name))), "")
        printed, words = name.split(), _bare_words(name)
        if part and _OF.intersection(words[1:2]) and (behind or words[0] in _PARTS):
            return " ".join(printed[2:])  # 'roots and seeds of parsley', 'juice and water of borage'
        if behind and not part and _SORTS.intersection(words[:1]):
            return " ".join(printed[1:])  # 'sweet and bitter almonds'
        if not behind and (_PARTS if part else _SORTS).intersection(words[-1:]):
            return " ".join(printed[:-1])  # 'coral red and white', 'fennel roots and seeds'
    return "" if part else name


def _bare_words(name: str) -> list[str]:
    return [bare(word) for word in name.lower().split()]


def _with_suspended_halves(lines: list[Line], text: str) -> list[Line]:
    """'Bergamott-, Citronen- und Lavendelöl': a hyphen at the end of a name says that the next compound has its second half."""
    lines, head = list(lines), ""
    if not any(text.startswith("-", line.span[1]) for line in lines):
        return lines
    for i in range(len(lines) - 1, -1, -1):
        line = lines[i]
        if not text.startswith("-", line.span[1]) or not line.raw.endswith(line.ingredient):
            head = head_of(line.ingredient)
        elif head and not line.carried:
            step = f"The hyphen stands for the second half of a name behind it: {head!r}."
            lines[i] = replace(line, carried=f"{head} of", steps=(*line.steps, step))
    return lines


def _drafts(entries: Sequence[Entry], tokens: list[Token], text: str) -> list[Draft]:
    """The entries that have a name, in printed order, without those that only mention an ingredient again."""
    drafts: list[Draft] = []
    again = {id(entry) for entry in entries if _mentions_again(entry, tokens)}
    mentioned = Mentioned({})
    for entry in entries:
        if entry.measure is None or not entry.names:
            continue
        if again:
            words = frozenset(name_of(tokens, entry.names, text).ingredient.lower().split())
            if id(entry) in again and mentioned.has(words):
                continue
            mentioned.add(words)
        edges = [edge for name in entry.names for edge in name]
        if entry.holds_measure:
            edges += [entry.measure.first, entry.measure.last]
        drafts.append(Draft(min(edges), max(edges), entry, entry.measure))
    return sorted(drafts, key=lambda draft: (draft.first, draft.last))


def _mentions_again(entry: Entry, tokens: list[Token]) -> bool:
    """Whether 'rub the carmine with a little of the starch' may speak of an ingredient that was listed before."""
    if entry.measure is None or entry.measure.kind != "some" or len(entry.names) != 1:
        return False
    first = entry.names[0][0]
    return first > 0 and tokens[first - 1].word in THE


# -- the printed stretch of a line -------------------------------------------------------------------------------------------


def _over_marginalia(text: str, start: int, end: int) -> tuple[int, int]:
    """A marginal key letter after an entry ('=F.=') belongs to its line and to nothing else."""
    letter = _MARGINALIA.match(text, end)
    return (start, letter.end()) if letter else (start, end)


def _between_words(text: str, span: tuple[int, int], previous_end: int) -> tuple[int, int]:
    """The span with its ends moved out of the midst of a word (figures and words may be glued together in a scan)."""
    start, end = span
    while start > previous_end and _glued(text[start - 1], text[start]):
        start -= 1
    while end < len(text) and text[end].isalpha() and text[end - 1].isalpha():
        end += 1
    return max(start, previous_end), end


def _glued(before: str, behind: str) -> bool:
    return before.isalnum() and behind.isalnum() and before.isalpha() == behind.isalpha()


def _with_edges(view: View, first: int, last: int, end_before: int) -> tuple[int, int]:
    """The line with the small words before it ('and', 'with', '℞') and the stops after it, so that none of them is left over."""
    tokens = view.tokens
    i = first
    while i > end_before and _leads_a_line(tokens[i - 1]):
        i -= 1
    while i < first and tokens[i].kind in ("gap", "line"):
        i += 1
    j = last
    while j < len(tokens) and (tokens[j].kind in ("brace", "close") or (tokens[j].kind == "sep" and tokens[j].text in ",;.:")):
        j += 1
    return i, j


def _leads_a_line(token: Token) -> bool:
    if token.kind == "word":
        joins = token.word in connectives() or token.word in _BEFORE_A_LINE
        return joins and not (token.dot and token.word not in _STOPPED)
    return token.kind in ("gap", "line", "ditto", "other", "open") or (token.kind == "sign" and token.word == "℞")


# -- doubts about a line, and what the whole formula says of it --------------------------------------------------------------


def _own_doubts(name: str, m: Measure) -> list[Doubt]:
    doubts = []
    if m.kind == "plain" and not m.each and _TWO_NAMES.search(name) and m.unit != "part" and not m.doubts:
        text = _TOGETHER_SEVERAL if "," in name else _TOGETHER_TWO
        doubts.append(Doubt("group", text, ("the amount is meant for each",), "Each would double what is weighed."))
    if m.kind != "qs" and _CHOICE.search(name):
        text = "The book leaves a choice between two ingredients; the first is taken."
        doubts.append(Doubt("ingredient", text, (), "The other would change the formula."))
    if m.approximate:
        doubts.append(Doubt("amount", "The book says 'about'.", (), ""))
    if m.amount == 0 and not m.plus:
        doubts.append(Doubt("amount", "The amount is nought: a figure may be lost.", (), "This line weighs nothing."))
    return doubts


def _lost(text: str, span: tuple[int, int]) -> tuple[Doubt, ...]:
    """The doubt about a word that the page or its copy has lost in a line, or right behind it: 'oil of 〈◊〉 two ounces'."""
    behind = _STOP.search(text, span[1])
    at = _LOST.search(text, span[0], behind.start() if behind else len(text))
    if at is None:
        return ()
    said = f"{text[span[0] : max(span[1], at.end())].strip()!r}: a word is lost on the page, and may be a part of the name."
    return (Doubt("ingredient", said, (), "Look at the page."),)


_METRIC = frozenset({"kilogram", "gram", "centigram", "millilitre", "litre"})
_OLDER = frozenset({"ounce", "drachm", "scruple", "pound", "fluid ounce", "fluid drachm", "minim", "pint", "quart", "gallon"})


def _grammes(lines: list[Line]) -> list[Line]:
    """'gr.' beside metric weights or measures and beside no older ones is taken as grammes, and the doubt is kept."""
    units_seen = {line.unit for line in lines}
    if not units_seen & _METRIC or units_seen & _OLDER:
        return lines
    reason = "'gr.' is taken as grammes, since this formula has other metric measures."
    doubt = Doubt("unit", reason, ("grains",), "a fifteenth of the weight")
    return [
        replace(line, unit="gram", doubts=(*line.doubts, doubt))
        if line.unit == "grain" and not line.plus and _GRAIN_OR_GRAM.search(line.raw)
        else line
        for line in lines
    ]


def _whole_formula(lines: list[Line], text: str) -> list[Line]:
    """What the formula says of all its amounts: '(all by measure)', 'by weight' over a column."""
    if _ALL_BY_MEASURE.search(text):
        phrase = _BY_MEASURE.search(text)
        reach = phrase.start() if phrase else len(text)
        step = "The formula says 'all by measure'."
        return [
            replace(line, unit=fluid(line.unit), system="measure", steps=(*line.steps, step)) if line.span[0] < reach else line
            for line in lines
        ]
    if _BY_WEIGHT.search(text):
        return [replace(line, system=line.system or "weight") for line in lines]
    return lines
