"""What the text holds beside its lines that would weigh something: an amount or a known name that ended in no line, and why.

An amount has its reason to stand apart where it is a dose, a yield, a time, a vessel's or the whole's; a name where it is in
the title, is named again, or only used beside the thing made. Whatever has none is a doubt of the formula, and its clause stands
in `unread` and not among the directions.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import NamedTuple

from histkit.base.nouns import Doubt, amount_text
from histkit.glossary.lookup import ingredient
from histkit.glossary.nouns import is_forbidden
from histkit.reading.cleaning import Cleaned
from histkit.reading.formula import Line
from histkit.reading.known import Known
from histkit.reading.measure import FLUIDS, METRIC, WEIGHTS, Measure
from histkit.reading.mentions import FARTHEST, Named, is_of_use
from histkit.reading.view import View
from histkit.reading.vocabulary import word_list
from histkit.reading.wording import Wording

_WEIGHING = frozenset((*WEIGHTS, *FLUIDS, *METRIC, "millilitre", "litre", "drop", "handful", "pinch", "per cent"))
_YIELDS = word_list("makes-so-much") | word_list("strength-of-the-whole")
_MOST_NAMED = 12
"""Names that one doubt lists; a text with more of them is no formula alone."""
_TOOLS = word_list("tool") | word_list("vessel")
_EFFECT = "Look at the page: if it goes in, name it with its amount."
_CLAUSE_ENDS = (".", ";", ":", ",")


class LeftOver(NamedTuple):
    """Tokens `first` up to but not including `last` are a clause that holds something of which no line tells."""

    first: int
    last: int
    doubt: Doubt


def left_over(wording: Wording, measures: Sequence[Measure], spans: Sequence[tuple[int, int]]) -> list[LeftOver]:
    """What ended in no line; `spans` are the tokens of the lines, in order."""
    if not spans:
        return []
    starts = [first for first, _ in spans]

    def stands_in_a_line(i: int) -> bool:
        at = bisect_right(starts, i) - 1
        return at >= 0 and i < spans[at][1]

    heading = _heading_ends(wording, starts[0])
    named, ends = Named(wording, spans), _clause_ends(wording)
    rest: list[LeftOver] = []
    for m in measures:
        if m.first >= heading and not stands_in_a_line(m.first) and _weighs(wording, m, ends):
            printed = wording.printed(m.first, m.last)
            text = f"The amount {printed!r} ({amount_text(m.amount)} {m.unit}) stands in no ingredient line."
            rest.append(LeftOver(*_with_its_stop(wording, ends, m.first, m.last), Doubt("left over", text, (), _EFFECT)))
    loose: list[Known] = []
    for name in wording.known():
        apart = name.first >= heading and not stands_in_a_line(name.first)
        if apart and name.exact and not named.again(name):
            if is_forbidden(ingredient(name.ingredients[0]).cautions):
                text = f"{wording.words_of(name.first, name.last)!r} is named, and stands in no ingredient line."
                rest.append(
                    LeftOver(*_with_its_stop(wording, ends, name.first, name.last), Doubt("left over", text, (), _EFFECT))
                )
            elif not _is_beside(wording, name):
                loose.append(name)
    if loose:
        words = list(dict.fromkeys(wording.words_of(name.first, name.last) for name in loose))
        more = f" and {len(words) - _MOST_NAMED} more" if len(words) > _MOST_NAMED else ""
        text = f"Named, and in no ingredient line: {', '.join(map(repr, words[:_MOST_NAMED]))}{more}."
        doubt = Doubt("left over", text, (), _EFFECT)
        rest += [LeftOver(*_with_its_stop(wording, ends, name.first, name.last), doubt) for name in loose]
    return sorted(rest, key=lambda part: part[:2])


def _heading_ends(wording: Wording, first: int) -> int:
    """The token behind the first line or sentence of the text, which may be its title; the first ingredient at the latest."""
    tokens = wording.tokens
    words = wording.first_word()
    if wording.is_direction(words):
        return words
    places = range(words, first)
    end = next((i for i in places if tokens[i].kind in ("line", "para") or tokens[i].text in (".", ":", "—")), first)
    following = wording.view.token(wording.view.solid[end])
    runs_on = end < first and tokens[end].kind == "line" and following is not None and following.text[:1].islower()
    return words if runs_on else end


def _weighs(wording: Wording, m: Measure, ends: Sequence[int]) -> bool:
    """Whether an amount is one that would weigh something, and is neither a dose nor what comes out."""
    if m.kind not in ("plain", "percent") or m.unit not in _WEIGHING or wording.view.depth[m.first]:
        return False
    a, b = _clause(ends, m.first, m.last)
    around = range(max(a, m.first - FARTHEST), min(b, m.last + FARTHEST))
    return not is_of_use(wording, m.first) and not any(wording.view.words[i] in _YIELDS for i in around)


def _is_beside(wording: Wording, name: Known) -> bool:
    """Whether a name is only used beside the thing made, explains in brackets, or is a tool's."""
    if is_of_use(wording, name.first) or wording.view.depth[name.first]:
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


def _clause_ends(wording: Wording) -> list[int]:
    """The tokens that end clauses, and the end of the text."""
    ends = [i for i, token in enumerate(wording.tokens) if token.kind == "para" or token.text in _CLAUSE_ENDS]
    return [*ends, len(wording.tokens)]


def token_spans(lines: Sequence[Line], view: View, cleaned: Cleaned) -> list[tuple[int, int]]:
    """The tokens of each line, in order."""
    starts = [cleaned.starts[token.start] for token in view.tokens]
    return [(bisect_left(starts, line.span[0]), bisect_left(starts, line.span[1])) for line in lines]
