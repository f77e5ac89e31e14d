"""Strengths printed as a ratio: 'formalin, 1 in 40', 'a 1 to 1000 solution'. They say how much of a solution a thing is."""

from __future__ import annotations

from itertools import takewhile

from histkit.base.nouns import Doubt
from histkit.reading.measure import Measure
from histkit.reading.unit_words import unit_at
from histkit.reading.view import View
from histkit.reading.vocabulary import TO, other_units, word_list

_IN, _DILUTED = word_list("in"), word_list("made-to-a-strength")
_LEAST_DILUTED, _NEVER_A_RANGE, _NEAR = 8, 100, 7
"""'1 in 8' and beyond is a strength, '1 to 100' and beyond no range; within so many tokens 'solution' stands behind '1 to 20'."""


def read_dilution(view: View, i: int) -> Measure | None:
    """'formalin, 1 in 40', 'a 1 to 1000 corrosive sublimate solution' at token i: the strength, as hundredths."""
    k = view.solid[i + 1]
    j = view.solid[k + 1]
    under = view.token(j)
    if view.tokens[i].value != 1 or under is None or under.kind != "num" or under.value < _LEAST_DILUTED or under.value % 1:
        return None
    behind = view.solid[j + 1]
    measured = unit_at(view, behind) is not None or view.words[behind] in other_units()  # '1 in 40 parts', '1 to 10 days'
    of_a_solution = view.words[k] in TO and _is_of_a_solution(view, behind, under.value)
    if measured or not (view.words[k] in _IN or of_a_solution):
        return None
    printed = " ".join(view.tokens[at].text for at in (i, k, j))
    doubt = Doubt("amount", f"{printed!r} is a strength and no amount; it is read as {100 / under.value:g} per cent.")
    return Measure(i, j + 1, 100 / under.value, "per cent", kind="percent", doubts=(doubt,))


def _is_of_a_solution(view: View, i: int, under: float) -> bool:
    """Whether a word such as 'solution' stands soon behind '1 to 20', before any stop; '1 to 500' needs none."""
    clause = takewhile(lambda k: view.tokens[k].kind in ("word", "gap", "line"), range(i, min(i + _NEAR, len(view.tokens))))
    return under >= _NEVER_A_RANGE or any(view.words[k] in _DILUTED for k in clause)
