"""What the text holds beside its lines that would weigh something: an amount or a known name that ended in no line, and why.

An amount has its reason to stand apart where it is a dose, a yield, a time, a vessel's or the whole's; a name where it is in
the title, is named again, or only used beside the thing made. Whatever has none is a doubt of the formula, and its clause stands
in `unread` and not among the directions.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

from histkit.base.nouns import Amount, Doubt, amount_text
from histkit.glossary.lookup import ingredient
from histkit.glossary.nouns import is_forbidden
from histkit.reading.again import rest_is_named
from histkit.reading.asides import amount_is_aside, is_told_of, name_is_aside
from histkit.reading.cleaning import Cleaned
from histkit.reading.dividing import ends_sentence
from histkit.reading.formula import Line
from histkit.reading.known import Known
from histkit.reading.measure import FLUIDS, METRIC, WEIGHTS, Measure
from histkit.reading.mentions import FARTHEST, Named, is_of_the, is_of_use
from histkit.reading.tokens import Token
from histkit.reading.view import View
from histkit.reading.vocabulary import AND, word_list
from histkit.reading.whole import boils_down
from histkit.reading.worded import read_any
from histkit.reading.wording import Wording

_WEIGHING = frozenset((*WEIGHTS, *FLUIDS, *METRIC, "millilitre", "litre", "drop", "handful", "pinch", "per cent"))
_YIELDS = word_list("makes-so-much") | word_list("strength-of-the-whole")
_YIELDING = word_list("yields-after") | word_list("yields-alone")
_OF_THE_WORDS = 4
"""Words at most of 'of the' and what stands between it and the name: 'of the best white'."""
_BEHIND_ITS_AMOUNT, _MOST_QUOTED = 4, 80
"""Tokens at most between an amount in brackets and its name, and characters of the brackets that a doubt quotes."""
_MOST_NAMED = 12
"""Names that one doubt lists; a text with more of them is no formula alone."""
_COMING = word_list("comes-to")
_TOOLS = word_list("tool") | word_list("vessel")
_OPENS_A_HEADING = word_list("opens-a-heading")
_LONGEST_HEADING = 12
"""Words of a heading at most."""
_LONGEST_SENTENCE = 40
"""Tokens, blanks among them, in which a heading ends."""
_EFFECT = "Look at the page: if it goes in, name it with its amount."
_NO_TITLE = ("sep", "num")
_ENDS_A_TITLE = ("sep", "line")
_CLAUSE_ENDS = (".", ";", ":", ",")


class LeftOver(NamedTuple):
    """Tokens `first` up to but not including `last` are a clause that holds something of which no line tells; none where it may
    stand among the directions."""

    first: int
    last: int
    doubt: Doubt


def left_over(
    wording: Wording, measures: Sequence[Measure], spans: Sequence[tuple[int, int]], totals: Sequence[Amount] = ()
) -> list[LeftOver]:
    """What ended in no line; `spans` are the tokens of the lines, in order, `totals` the figures up to which they fill."""
    starts = [first for first, _ in spans]

    def stands_in_a_line(i: int) -> bool:
        at = bisect_right(starts, i) - 1
        return at >= 0 and i < spans[at][1]

    heading, headings = _heading_ends(wording, starts[0]), _headings(wording)
    named, ends = Named(wording, spans, heading), _clause_ends(wording, heading)
    rest: list[LeftOver] = []
    weighed = {(m.amount, unit) for m in measures if stands_in_a_line(m.first) for unit in (m.unit, "")}
    for m in measures:
        if m.first < heading or stands_in_a_line(m.first):
            continue
        spoken_of = (m.amount, "" if m.unit == "piece" else m.unit) in weighed or is_of_the(wording, m)
        behind = min(_clause(ends, m.first, m.last)[1], m.last + FARTHEST)
        again = [name for name in wording.known_in(m.last, behind)[:1] if named.again(name)]
        again = [name for name in again if spoken_of or rest_is_named(wording, m, name)]
        near = [name for name in again if wording.words_between(m.last, name.first) <= _OF_THE_WORDS]
        if near and m.kind == "plain" and (is_of_the(wording, m) or rest_is_named(wording, m, near[0])):
            rest.append(LeftOver(m.first, m.first, _part_of_it(wording, m, near[0])))
        if not again and _weighs(wording, m, ends):
            printed = wording.printed(m.first, max(m.last, *(name.last for name in _counted(wording, m)), 0))
            text = f"The amount {printed!r} ({amount_text(m.amount)} {m.unit or 'piece'}) stands in no ingredient line."
            rest.append(LeftOver(*_with_its_stop(wording, ends, m.first, m.last), Doubt("left over", text, (), _EFFECT)))
        if m.to_make and m.to_make[0] not in totals and not _is_what_is_left(wording.view, m):
            text = f"Up to how much it is filled ({wording.printed(m.first, m.last)!r}) stands in no ingredient line."
            rest.append(LeftOver(m.first, m.first, Doubt("left over", text, (), "With what, is not read.")))
    loose: list[Known] = []
    excused = _not_put_in(wording, measures)
    for name in wording.known():
        apart = name.first >= heading and not (stands_in_a_line(name.first) or _holds(headings, name.first))
        if apart and name.exact and not named.again(name):
            if is_forbidden(ingredient(name.ingredients[0]).cautions):
                text = f"{wording.words_of(name.first, name.last)!r} is named, and stands in no ingredient line."
                rest.append(
                    LeftOver(*_with_its_stop(wording, ends, name.first, name.last), Doubt("left over", text, (), _EFFECT))
                )
            elif name not in excused and not _is_beside(wording, name, ends):
                loose.append(name)
    rest += _in_brackets(wording, stands_in_a_line)
    if loose:
        words = list(dict.fromkeys(wording.words_of(name.first, name.last) for name in loose))
        more = f" and {len(words) - _MOST_NAMED} more" if len(words) > _MOST_NAMED else ""
        text = f"Named, and in no ingredient line: {', '.join(map(repr, words[:_MOST_NAMED]))}{more}."
        doubt = Doubt("left over", text, (), _EFFECT)
        rest += [LeftOver(*_with_its_stop(wording, ends, name.first, name.last), doubt) for name in loose]
    return sorted(rest, key=lambda part: part[:2])


def _is_what_is_left(view: View, m: Measure) -> bool:
    """'Boil it till it comes to 3 pints': a total that is what boiling leaves."""
    return view.words[m.first - 1] in _COMING or boils_down(view, m.first)


def _in_brackets(wording: Wording, stands_in_a_line: Callable[[int], bool]) -> Iterator[LeftOver]:
    """The brackets that hold amounts of things: 'a liniment (made of two ounces of soap and a pint of spirit)'."""
    tokens, depth = wording.tokens, wording.view.depth
    for first in (i for i in wording.view.by_kind["open"] if depth[i] == 1):
        last = next((k + 1 for k in range(first, len(tokens)) if tokens[k].kind == "close" and depth[k] == 1), len(tokens))
        amounts = [m for k in range(first + 1, last) if (m := read_any(wording.view, k)) is not None and m.unit in _WEIGHING]
        amounts = [m for m in amounts if m.kind == "plain" and not is_of_the(wording, m)]
        near = ((m, max(first, m.first - _BEHIND_ITS_AMOUNT), min(m.last + _BEHIND_ITS_AMOUNT, last)) for m in amounts)
        of_things = [m for m, a, b in near if wording.known_in(m.last, b) or wording.known_in(a, m.first)]
        inside = stands_in_a_line(first)  # then one amount more is the same in other words
        if len(of_things) > inside:
            text = f"{wording.printed(first, last)[:_MOST_QUOTED]!r} holds amounts that stand in no ingredient line."
            yield LeftOver(first, first if inside else last, Doubt("left over", text, (), _EFFECT))


def _not_put_in(wording: Wording, measures: Sequence[Measure]) -> set[Known]:
    """What comes of the whole, 'makes two gallons of soft soap', and what another stands for, 'in lieu of two ounces of lard'."""
    view = wording.view
    told = (m for m in measures if m.kind == "rate" and (view.words[m.first - 1] in _YIELDING or view.phrase(m.first, "instead")))
    return {name for m in told for name in wording.known_in(m.last, m.last + FARTHEST)[:1]}


def _part_of_it(wording: Wording, m: Measure, name: Known) -> Doubt:
    """The doubt about 'two ounces of the sugar', which is taken for some of the sugar that stands above."""
    text = f"{wording.printed(m.first, name.last)!r} is taken to be part of what stands above."
    return Doubt("left over", text, ("it goes in beside it",), _EFFECT)


def _heading_ends(wording: Wording, first: int) -> int:
    """The token behind the first line or sentence of the text, which may be its title; the first ingredient at the latest."""
    tokens = wording.tokens
    words = wording.first_word()
    if wording.is_direction(words) or any(token.kind == "sign" for token in tokens[:words]):
        return words  # '℞ Fellis bovini' begins the list
    places = range(words, first)
    ended = (i + tokens[i].dot for i in places if _ends_heading(wording, i))
    end = min(next(ended, first), first)
    following = wording.view.token(wording.view.solid[end])
    if end == first and any(tokens[i].kind in _NO_TITLE or wording.is_direction(i) for i in places):
        return words  # 'As a base take 200 of iris root, add' runs on into the list
    if end == first and (tokens[first].word in AND or tokens[first - 1].word in AND or tokens[first - 1].text == ","):
        return words  # 'Oil of almonds and two ounces of wax'
    end = _behind_dashes(wording, end, first)
    runs_on = end < first and tokens[end].kind == "line" and following is not None and following.text[:1].islower()
    return words if runs_on else end


def _ends_heading(wording: Wording, i: int) -> bool:
    token = wording.tokens[i]
    return token.kind in ("line", "para") or token.text in (".", ":", "—") or (token.dot and ends_sentence(wording, i))


def _behind_dashes(wording: Wording, end: int, first: int) -> int:
    """The end of a title of several parts, each with its dash: 'American.--Boston Brown Bread.--1 pint'."""
    dashes = [i for i in range(end, min(first, end + _LONGEST_HEADING)) if wording.tokens[i].text == "—"]
    return dashes[-1] if dashes and not any(wording.is_direction(i) for i in range(end, dashes[-1])) else end


def _headings(wording: Wording) -> list[tuple[int, int]]:
    """The stretches of tokens that are headings of what follows: '76. To preserve Grapes.', 'STEEL COLOR' at the end."""
    tokens = wording.tokens
    last_word = next((i for i in range(len(tokens) - 1, -1, -1) if tokens[i].kind == "word"), -1)
    found: list[tuple[int, int]] = []
    for at in wording.view.breaks:
        first = at + 1
        while first < len(tokens) and tokens[first].kind in ("gap", "num", "sep"):
            first += 1
        if first == len(tokens) or not _may_open_a_heading(tokens[first]):
            continue
        farthest = min(len(tokens), first + _LONGEST_SENTENCE)
        last = next((i for i in range(first, farthest) if tokens[i].text == "." or tokens[i].kind == "para"), farthest)
        if _is_heading(wording, at + 1, first, last, last > last_word):
            found.append((at + 1, last))
    return found


def _may_open_a_heading(token: Token) -> bool:
    """Whether a heading of what follows can begin with this token: most lines begin with a word that opens none."""
    return token.kind != "word" or token.word in _OPENS_A_HEADING or token.text == token.text.upper()


def _is_heading(wording: Wording, begins: int, first: int, last: int, ends: bool) -> bool:
    """Whether the sentence in tokens `first`…`last`, behind a number at `begins` or with nothing behind it, is a heading."""
    tokens = wording.tokens
    named = [token.text for token in tokens[first:last] if token.kind == "word"]
    if not 0 < len(named) <= _LONGEST_HEADING:
        return False
    numbered = any(token.kind == "num" for token in tokens[begins:first])
    opens = wording.view.words[first] in _OPENS_A_HEADING and named[0][:1].isupper()
    return (opens and (ends or numbered)) or (len(named) > 1 and " ".join(named).isupper())


def _holds(stretches: Sequence[tuple[int, int]], i: int) -> bool:
    """Whether token i stands in one of the stretches, which are in order and do not overlap."""
    at = bisect_right(stretches, (i, len(stretches) and stretches[-1][1])) - 1
    return at >= 0 and i < stretches[at][1]


def _weighs(wording: Wording, m: Measure, ends: Sequence[int]) -> bool:
    """Whether an amount is one that would weigh something, or counts a known thing, and is neither a dose nor what comes out."""
    weighs = m.kind in ("plain", "percent") and m.unit in _WEIGHING
    if not (weighs or _counted(wording, m)):
        return False
    a, b = _clause(ends, m.first, m.last)
    around = range(max(a, m.first - FARTHEST), min(b, m.last + FARTHEST))
    if is_of_use(wording, m.first) or any(wording.view.words[i] in _YIELDS for i in around):
        return False
    return not amount_is_aside(wording, m.first, m.last, (a, b))


def _counted(wording: Wording, m: Measure) -> list[Known]:
    """The known name that stands right behind a figure without a unit: '4 lemons'."""
    begins = wording.view.solid[m.last]
    return [name for name in wording.known_in(begins, begins + 1) if m.kind == "bare" and name.first == begins and name.exact]


def _is_beside(wording: Wording, name: Known, ends: Sequence[int]) -> bool:
    """Whether a name is only used beside the thing made, explains in brackets, is a tool's, or is only spoken of."""
    if is_of_use(wording, name.first) or wording.view.depth[name.first] or is_told_of(wording, name.first):
        return True
    if name_is_aside(wording, name.first, name.last, _clause(ends, name.first, name.last)):
        return True
    return any(wording.view.words[i] in _TOOLS for i in range(max(0, name.first - 1), min(name.last + 1, len(wording.tokens))))


def _clause(ends: Sequence[int], a: int, b: int) -> tuple[int, int]:
    """The words around tokens a…b up to the next of `ends` on either side."""
    before, behind = bisect_left(ends, a) - 1, bisect_left(ends, b)
    return (ends[before] + 1 if before >= 0 else 0), ends[behind]


def _with_its_stop(wording: Wording, ends: Sequence[int], a: int, b: int) -> tuple[int, int]:
    """The clause around tokens a…b with the stop behind it."""
    first, last = _clause(ends, a, b)
    return first, last + (last < len(wording.tokens) and wording.tokens[last].kind == "sep")


def _clause_ends(wording: Wording, heading: int) -> list[int]:
    """The tokens that end clauses, the stop behind the title, which ends at token `heading`, and the end of the text."""
    tokens = wording.tokens
    stops = [i for i in wording.view.by_kind["sep"] if tokens[i].text in _CLAUSE_ENDS]
    title = [i for i in (heading,) if i < len(tokens) and tokens[i].kind in _ENDS_A_TITLE and tokens[i].text not in _CLAUSE_ENDS]
    return [*sorted([*wording.view.by_kind["para"], *stops, *title]), len(tokens)]


def token_spans(lines: Sequence[Line], view: View, cleaned: Cleaned) -> list[tuple[int, int]]:
    """The tokens of each line, in order."""

    def printed_at(token: Token) -> int:
        return cleaned.starts[token.start]

    edges = ((bisect_left(view.tokens, edge, key=printed_at) for edge in line.span) for line in lines)
    return [(first, last) for first, last in edges]
