"""One dilution for several small ingredients of a sort (colours, or oils), in the place of one for each.

So much of each is weighed as goes into several batches, with one diluent; the portion of one batch is taken of the mixture. All
of it is worked in whole divisions of the balance.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING

from histkit.base.grid import Column, Grid
from histkit.bench.sequence import letter_of
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.weighing import Weighing

MOST_TIMES = 1000
"""How many batches a joint dilution may hold at most."""


@dataclass(frozen=True, slots=True)
class JointDilution(Tabular):
    """A dilution of several ingredients, grams. `parts` are (ingredient, weigh, what the portion holds of it), `times` how many
    portions it makes, `take` the portion, `straight` what is weighed of the diluent beside it. `error` is the share that the
    worst of the parts may be off in all (rounding and every weighing the same way).
    """

    letters: tuple[str, ...]
    parts: tuple[tuple[Ingredient, float, float], ...]
    diluent: Ingredient
    diluent_grams: float
    times: int
    take: float
    straight: float
    error: float
    decimals: int = 2

    @property
    def mixture(self) -> float:
        """Grams of the whole mixture."""
        return math.fsum((self.diluent_grams, *(weigh for _, weigh, _ in self.parts)))

    @property
    def wasted(self) -> tuple[tuple[Ingredient, float], ...]:
        """Grams of each ingredient that stay in the mixture."""
        return tuple((ingredient, weigh - content) for ingredient, weigh, content in self.parts)

    def text(self) -> str:
        """How it is made, in one paragraph."""

        def show(grams: float) -> str:
            return f"{grams:.{self.decimals}f} g"

        weighed = ", ".join(f"{show(weigh)} of {ingredient.name}" for ingredient, weigh, _ in self.parts)
        holds = ", ".join(f"{content:.4g} g of {ingredient.name}" for ingredient, _, content in self.parts)
        left = ", ".join(f"{grams:.3g} g of {ingredient.name}" for ingredient, grams in self.wasted)
        return (
            f"In the place of these dilutions weigh {weighed} and {show(self.diluent_grams)} of {self.diluent.name}, mix small"
            f" into large: {show(self.mixture)}. Take {show(self.take)} of it, which holds {holds}, and weigh"
            f" {show(self.straight)} of {self.diluent.name} straight. May be off by {100 * self.error:.2g} % in all. Left over:"
            f" {left}, for {self.times - 1} more batches."
        )

    def _grid(self) -> Grid:
        columns = (Column("ingredient", "Ingredient"), Column("weigh", "Weigh, g"), Column("content", "In the portion, g"))
        rows = tuple((ingredient.name, weigh, content) for ingredient, weigh, content in self.parts)
        return Grid(columns, rows, f"Together in {self.diluent.name}", (self.text(),))


def joint_dilutions(batch: Batch) -> tuple[JointDilution, ...]:
    """For each diluent the dilutions of a sort that could be one; none where fewer than two are, or where no joint one fits."""
    groups: dict[tuple[Ingredient, bool], list[Weighing]] = {}
    for weighing in batch.weighings:
        if weighing.aliquot is not None and weighing.diluted and weighing.exact > 0:
            groups.setdefault((weighing.aliquot.diluent, weighing.ingredient.liquid), []).append(weighing)
    found = (_joint(batch, diluent, small) for (diluent, _), small in groups.items() if len(small) > 1)
    return tuple(joint for joint in found if joint is not None)


def _joint(batch: Batch, diluent: Ingredient, small: list[Weighing]) -> JointDilution | None:
    balance = batch.balance
    unit = Fraction(balance.division)
    exact = [Fraction(str(round(w.exact, 12))) / unit for w in small]
    # The straight amount of the diluent and the portions of the separate dilutions are what there is to share out.
    portions = sum((Fraction(str(w.aliquot.take)) / unit for w in small if w.aliquot is not None), Fraction(0))
    room = Fraction(str(round(batch.weighing(diluent).direct, 9))) / unit + portions
    uncertainty = balance.uncertainty / balance.readability
    least = balance.least_divisions
    fewest = math.ceil(least / min(exact))
    best = None
    for times in _several(fewest):
        weigh = [max(least, round(times * amount)) for amount in exact]
        for take in _several(max(least, math.ceil(sum(exact)) + 1)):
            rest = times * take - sum(weigh)
            if take > room - least or (best is not None and times * take >= best[0] * best[1]):
                break  # a larger portion fits no better, and the smallest mixture is wanted
            if rest < least:
                continue
            error = _error(exact, weigh, times, take, uncertainty)
            if error <= batch.error_limit:
                best = (times, take, weigh, rest, error)
    if best is None:
        return None
    times, take, weigh, rest, error = best
    parts = tuple(
        (w.ingredient, float(amount * unit), float(Fraction(amount, times) * unit))
        for w, amount in zip(small, weigh, strict=True)
    )
    letters = tuple(letter_of(w, batch) for w in small)
    grams = (float(rest * unit), times, float(take * unit), float((room - take) * unit))
    return JointDilution(letters, parts, diluent, *grams, error, balance.decimals)


def _several(least: int) -> Iterable[int]:
    """Whole numbers from the least on, each about a tenth larger than the one before."""
    number = least
    while number <= max(least, MOST_TIMES):
        yield number
        number = max(number + 1, math.ceil(number * 1.1))


def _error(exact: list[Fraction], weigh: list[int], times: int, take: int, uncertainty: float) -> float:
    """The share that the worst part may be off: its rounding, and its own, the mixture's and the portion's weighings."""
    mixture, worst = times * take, 0.0
    for amount, weighed in zip(exact, weigh, strict=True):
        rounding = abs(float(Fraction(weighed, times) / amount) - 1)
        by_balance = uncertainty / weighed + (len(weigh) + 1) * uncertainty / mixture + uncertainty / take
        worst = max(worst, (1 + rounding) * (1 + by_balance) - 1)
    return worst
