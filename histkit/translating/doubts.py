"""What may be taken otherwise in a line: its ingredient, its measure, its amount."""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.nouns import Doubt, amount_text
from histkit.glossary.nouns import Ingredient
from histkit.reading.formula import Formula, Line
from histkit.translating.amounts import UNKNOWN_BULK, UNKNOWN_DENSITY, Reading, density_of

if TYPE_CHECKING:
    from histkit.measures import Choice

NOTICEABLE = 0.02
"""A share that another convention would move by less than this part of itself gets no doubt of its own."""
_TIMES = 2.0
"""From so many times the amount on it is told in times and not in per cent."""


_TAKEN = {"weight": "by weight", "measure": "by measure"}


def line_doubts(
    line: Line,
    entry: Ingredient | None,
    readings: tuple[Reading, ...],
    rival: Choice | None,
    shares: tuple[float, float],
    formula: Formula,
) -> list[Doubt]:
    """The doubts of a line. `shares` are its share under the convention chosen and under the rival one."""
    doubts = []
    if entry is None:
        name = line.full_name or "This line"
        doubts.append(Doubt("ingredient", f"{name!r} is not in the glossary.", (), "Find out what it is before you use it."))
    doubts += _of_weight_or_measure(line, readings)
    doubts += _of_the_convention(rival, *shares)
    doubts += _of_the_heap(readings)
    doubts += _of_the_vessel(line, readings)
    doubts += _of_the_density(entry, readings)
    doubts += _of_the_amount(line, readings)
    if line.unit == "part" and any(other.unit not in ("part", "per cent", "q.s.", "none") for other in formula.lines):
        beside = "Parts stand beside amounts in other units; one part is taken as one gram."
        doubts.append(Doubt("unit", beside, (), "Correct these lines to a weight to set it right."))
    for amount, unit in line.also:
        if unit != line.unit:
            again = f"{amount_text(amount)} {unit}"
            doubts.append(Doubt("amount", f"The book prints the same amount a second time as {again}.", (again,), ""))
    return doubts


def _less_or_more(ratio: float) -> str:
    """What another reading would change, in words: '20 % more in this line.', '2.5 times as much in this line.'"""
    if ratio >= _TIMES:
        return f"{ratio:.2g} times as much in this line."
    return f"{abs(ratio - 1):.0%}".replace("%", " %") + f" {'more' if ratio >= 1 else 'less'} in this line."


def _of_weight_or_measure(line: Line, readings: tuple[Reading, ...]) -> list[Doubt]:
    if len(readings) < 2 or readings[0].grams.best <= 0:  # of '0 oz.' both readings are nothing
        return []
    one, two = readings[0], readings[1]
    as_one, as_two = (_TAKEN.get(reading.kind, reading.kind) for reading in (one, two))
    text = f"A liquid in {line.unit}s may be weighed or measured; it is taken {as_one}."
    effect = _less_or_more(two.grams.best / one.grams.best)
    return [Doubt("measure", text, (f"{as_two}: {two.grams.best:.4g} g",), effect)]


def _of_the_heap(readings: tuple[Reading, ...]) -> list[Doubt]:
    if not readings or not readings[0].heaped:
        return []
    first = readings[0]
    text = f"{first.heaped[0].upper()}{first.heaped[1:]}."
    level = f"level: {first.level.best:.4g} g"
    if first.level.best == first.grams.best:  # taken as level; the heap is in the spread
        heaped = first.grams.high
        return [
            Doubt("measure", text, (f"heaped: up to {heaped:.4g} g",), _less_or_more(heaped / first.grams.best)),
        ]
    return [Doubt("measure", text, (level,), _less_or_more(first.level.best / first.grams.best))]


def _of_the_vessel(line: Line, readings: tuple[Reading, ...]) -> list[Doubt]:
    """Two vessels of one name: a cup may be a teacup or half a pint."""
    if not readings or readings[0].otherwise is None or readings[0].grams.best <= 0:
        return []
    what, grams = readings[0].otherwise
    text = f"A {line.unit.removesuffix('ful')} of these books may be another: {what}"
    effect = _less_or_more(grams.best / readings[0].grams.best)
    return [Doubt("measure", text, (f"the other: {grams.best:.4g} g",), effect)]


def _of_the_density(entry: Ingredient | None, readings: tuple[Reading, ...]) -> list[Doubt]:
    """A measured thing whose density no table gives says so."""
    if not readings or readings[0].kind != "measure":
        return []
    density = density_of(entry)[0]
    if density not in (UNKNOWN_DENSITY, UNKNOWN_BULK):
        return []
    of = entry.name if entry else "what nobody knows"
    text = f"No table gives the density of {of}: {density.best} g/mL is taken of {density.low} to {density.high}."
    least, most = (_less_or_more(limit / density.best).removesuffix(" in this line.") for limit in (density.low, density.high))
    return [Doubt("measure", text, (), f"{least} to {most} in this line.")]


def doubt_of_the_drachm(line: Line, small_drachm: str) -> list[Doubt]:
    """Where its company tells that a drachm is the small one: what it would be otherwise."""
    if not small_drachm or line.system or "drachm" not in (line.unit, *(unit for _, unit in line.plus)):
        return []
    text = f"The drachm is taken as a sixteenth of the ounce (1.772 g): {small_drachm}."
    return [Doubt("measure", text, ("a drachm of 60 grains, 3.888 g",), "Each would be more than twice as heavy.")]


def doubt_of_the_other_drachm(line: Line, entry: Ingredient | None, rival: Choice | None) -> list[Doubt]:
    """A dry drachm that nothing tells apart; none where the rival convention tells the same."""
    dry = line.unit == "drachm" and not line.system and (entry is None or not entry.liquid)
    if not dry or (rival is not None and rival.convention.grams("drachm") == rival.convention.grams("avoirdupois dram")):
        return []
    text = "A dry drachm beside ounces is taken as 60 grains; in such books it may be a sixteenth of the ounce, 1.772 g."
    return [Doubt("measure", text, ("16 drachms to the ounce: 1.772 g each",), "Less than half as much in this line.")]


def _of_the_convention(rival: Choice | None, share: float, other: float) -> list[Doubt]:
    if rival is None or share <= 0 or abs(other / share - 1) <= NOTICEABLE:
        return []
    text = f"If the book meant other measures ({rival.convention.name}), this line would be another share of the whole."
    return [Doubt("measure", text, (f"{100 * other:.3g} % instead of {100 * share:.3g} %",), _less_or_more(other / share))]


def _of_the_amount(line: Line, readings: tuple[Reading, ...]) -> list[Doubt]:
    doubts = []
    if line.to_make is not None and not readings:
        unknown = "How much of this fills up to the total cannot be worked out: the rest is as much already, or has no weight."
        doubts.append(Doubt("amount", unknown, (), "It is left out of the shares until an amount is given."))
    if line.unit == "drop" and line.amount is not None:
        doubts.append(Doubt("measure", "A drop has no fixed size: it varies with the liquid and the dropper.", (), ""))
    if line.amount is not None and not readings:
        unit = {"piece": "pieces", "none": "this measure: no table gives its size"}.get(line.unit, line.unit)
        unknown = f"No weight is known for an amount in {unit}."
        doubts.append(Doubt("amount", unknown, (), "Weigh one yourself and correct the line."))
    return doubts
