"""Two amounts of which one takes the place of the other: 'twenty instead of ten drops', 'oil in lieu of three ounces of lard'."""

from __future__ import annotations

from histkit.reading.counted import read_counted
from histkit.reading.measure import Measure
from histkit.reading.unit_words import begins_clause
from histkit.reading.view import View
from histkit.reading.vocabulary import OF, word_list

_BEFORE_AMOUNT = word_list("before-its-amount")


def first_of_two(view: View, m: Measure) -> Measure:
    """'Twenty instead of ten drops of', 'ten grains, instead of five, of': the first amount, in the unit of either, past both."""
    k = view.solid[m.last]
    commas = k < len(view.tokens) and view.tokens[k].text == ","
    said = view.phrase(view.solid[k + 1] if commas else k, "instead")
    if said is None or (said[0].when and not commas) or m.kind not in ("plain", "bare"):
        return m
    other = read_counted(view, view.solid[said[1]])
    if other is None or other.kind not in ("plain", "bare") or (m.kind == other.kind == "bare"):
        return m
    last, behind = other.last, view.solid[other.last]
    if commas and behind < len(view.tokens) and view.tokens[behind].text == "," and view.next_word(behind + 1) in OF:
        last = behind + 1
    if view.next_word(last) in OF and not _stands_first(view, m):
        return m  # 'suet, two ounces, instead of three ounces of lard'
    unit, holds = (m.unit, m.holds) if m.kind == "plain" else (other.unit, other.holds)
    step = f"The book says so much instead of {' '.join(t.text for t in view.tokens[other.first : other.last])!r}."
    return m._replace(last=last, unit=unit, holds=holds, kind="plain", steps=(*m.steps, step))


def _stands_first(view: View, m: Measure) -> bool:
    """Whether no name can stand before an amount: it begins its clause or follows a word such as 'take' or 'and'."""
    return m.kind == "bare" or begins_clause(view, m.first) or view.words[m.first - 1] in _BEFORE_AMOUNT


def instead_of(view: View, i: int, start: int) -> Measure | None:
    """'In lieu of three ounces of lard': an amount of what does not go in."""
    if (said := view.phrase(i, "instead")) is None or said[0].when:
        return None
    measure = read_counted(view, view.solid[said[1]])
    return None if measure is None or measure.kind != "plain" else measure._replace(first=start, kind="rate")
