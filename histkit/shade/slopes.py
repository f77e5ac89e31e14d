"""What measured additions did to the colour of real batches, and the next correction by that: no model of the pigments.

The way of J. Soc. Cosmet. Chem. 27 (1976) 40. Where several things were ground in at once, what they did together is shared out
by what each was expected to do; that needs an expectation, from swatches or from earlier batches.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.composing.solving import within_bounds
from histkit.display.tabular import Tabular
from histkit.shade.colour import Colour

Change = tuple[float, float, float]
"""A change of L*, a* and b*."""


@dataclass(frozen=True, slots=True)
class Slopes(Tabular):
    """For each thing that can be added, its name and the change of L*, a*, b* for one unit of it; `unit` says what one is.

    `expected` are the names whose change was never measured on a batch and comes from swatches.
    """

    steps: tuple[tuple[str, Change], ...]
    unit: str = "per cent of the powder"
    expected: tuple[str, ...] = ()

    def correction(self, now: Colour, target: Colour, most: float = 100.0) -> dict[str, float]:
        """How much of each to add, 0 to `most` units, to come nearest to the target (least squares in L*, a*, b*).

        Raises BadValue where nothing was measured.
        """
        if not self.steps:
            raise BadValue("no addition was measured yet: add a little of one, press it, and measure it")
        rows = [[change[axis] for _, change in self.steps] for axis in range(3)]
        found = within_bounds(rows, now.gap(target), [0.0] * len(self.steps), [most] * len(self.steps))
        return {name: amount for (name, _), amount in zip(self.steps, found, strict=True)}

    def after(self, now: Colour, added: Mapping[str, float]) -> Colour:
        """The colour that these additions lead to."""
        return now.moved(_sum(dict(self.steps), added))

    def learned(self, added: Mapping[str, float], was: Colour, became: Colour) -> Slopes:
        """The slopes after one more measured step: so many units of each were added, and this is what became of the colour.

        Of a single thing the slope is measured. Of several at once, what they did beyond what was expected is shared out by what
        each was expected to do. Raises BadValue where nothing was added, or several of which one is not known at all.
        """
        amounts = {name: amount for name, amount in added.items() if abs(amount) > 1e-12}
        known = dict(self.steps)
        if not amounts or (len(amounts) > 1 and not known.keys() >= amounts.keys()):
            what = ", ".join(name for name in amounts if name not in known) or "nothing"
            raise BadValue(
                "between two measured batches one thing is added, and one only, until it is known what each does alone;"
                f" here: {what}"
            )
        change = was.gap(became)
        if len(amounts) == 1:
            ((name, amount),) = amounts.items()
            known[name] = _times(change, 1 / amount)
        else:
            foreseen = _sum(known, amounts)
            rest = (change[0] - foreseen[0], change[1] - foreseen[1], change[2] - foreseen[2])
            weights = {name: (amount * math.hypot(*known[name])) ** 2 for name, amount in amounts.items()}
            total = math.fsum(weights.values())
            for name, amount in amounts.items():
                part = weights[name] / total if total else 1 / len(amounts)
                known[name] = _plus(known[name], _times(rest, part / amount))
        return Slopes(tuple(known.items()), self.unit, tuple(name for name in self.expected if name not in amounts))

    @classmethod
    def measured(cls, batches: Sequence[tuple[Mapping[str, float], Colour]], unit: str = "per cent of the powder") -> Slopes:
        """The slopes between batches that follow each other, each with all that is in it so far and its colour.

        Raises BadValue where two things were added at once of which one is not known yet, or none.
        """
        found = cls((), unit)
        for (before, was), (after, became) in pairwise(batches):
            names = dict.fromkeys((*before, *after))
            found = found.learned({n: after.get(n, 0.0) - before.get(n, 0.0) for n in names}, was, became)
        return found

    def _grid(self) -> Grid:
        columns = (
            Column("what", "What is added"),
            Column("lightness", "Lighter (+) or darker (−), L*", 2),
            Column("a", "Redder (+) or greener (−), a*", 2),
            Column("b", "Yellower (+) or bluer (−), b*", 2),
            Column("from", "Known from"),
        )
        rows: list[tuple[Cell, ...]] = [
            (name, *change, "swatches" if name in self.expected else "your batches") for name, change in self.steps
        ]
        return Grid(columns, tuple(rows), f"What each addition does, per {self.unit}")


def _times(change: Change, factor: float) -> Change:
    return change[0] * factor, change[1] * factor, change[2] * factor


def _plus(one: Change, other: Change) -> Change:
    return one[0] + other[0], one[1] + other[1], one[2] + other[2]


def _sum(known: Mapping[str, Change], added: Mapping[str, float]) -> Change:
    total: Change = (0.0, 0.0, 0.0)
    for name, amount in added.items():
        total = _plus(total, _times(known.get(name, (0.0, 0.0, 0.0)), amount))
    return total
