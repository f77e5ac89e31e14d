"""One dilution for several small ingredients of a sort (colours, or oils), in the place of one for each.

So much of each is weighed as goes into several batches, with one diluent; the portion of one batch is taken of the mixture. All
of it is worked in whole divisions of the balance.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction

from histkit.base.grid import Column, Grid
from histkit.base.text import listed
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

MOST_TIMES = 1000
"""How many batches a joint dilution may hold at most."""
MOST_DILUTED = 100
"""How many times its own mass a part may be diluted to: what can still be mixed evenly by hand (own judgement)."""


@dataclass(frozen=True, slots=True)
class JointDilution(Tabular):
    """A dilution of several ingredients, grams. `parts` are (ingredient, weigh, what the portion holds of it), `errors` the share
    that each of them may be off by weighing, `times` how many portions it makes, `take` the portion, `straight` what is weighed
    of the diluent beside it. `error` is the share that the worst of the parts may be off in all (rounding and every weighing the
    same way).
    """

    parts: tuple[tuple[Ingredient, float, float], ...]
    errors: tuple[float, ...]
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
    def left_over(self) -> float:
        """Grams of the mixture that are not used."""
        return self.mixture - self.take

    @property
    def wasted(self) -> tuple[tuple[Ingredient, float], ...]:
        """Grams of each ingredient that stay in the mixture."""
        return tuple((ingredient, weigh - content) for ingredient, weigh, content in self.parts)

    @property
    def names(self) -> str:
        """The ingredients in one phrase."""
        return listed([ingredient.name for ingredient, _, _ in self.parts])

    def part(self, ingredient: Ingredient) -> tuple[float, float, float]:
        """(weigh, what the portion holds, error by weighing) of one of them."""
        place = [entry for entry, _, _ in self.parts].index(ingredient)
        return self.parts[place][1], self.parts[place][2], self.errors[place]

    def step(self, letter: str) -> str:
        """The dilution as an instruction, in the digits of the balance; `letter` is what its mixture is called ('A')."""
        how = "Stir" if self.diluent.liquid else "Mix by geometric dilution"
        return (
            f"Weigh {self._weighed()}. {how}: {self._show(self.mixture)}. Then take {self._show(self.take)} of mixture {letter},"
            f" which holds {self.holds()}."
        )

    def holds(self) -> str:
        """What the portion holds, in words."""
        return listed([f"{content:.4g} g of {ingredient.name}" for ingredient, _, content in self.parts])

    def text(self) -> str:
        """How it would be made in the place of a dilution for each, in one paragraph."""
        left = ", ".join(f"{grams:.3g} g of {ingredient.name}" for ingredient, grams in self.wasted)
        return (
            f"In the place of a dilution for each weigh {self._weighed()}, mix small into large: {self._show(self.mixture)}."
            f" Take {self._show(self.take)} of it, which holds {self.holds()}, and weigh {self._show(self.straight)} of"
            f" {self.diluent.name} straight. May be off by {100 * self.error:.2g} % in all. Left over: {left}, for"
            f" {self.times - 1} more batches."
        )

    def _weighed(self) -> str:
        parts = [f"{self._show(weigh)} of {ingredient.name}" for ingredient, weigh, _ in self.parts]
        return listed([*parts, f"{self._show(self.diluent_grams)} of {self.diluent.name}"])

    def _show(self, grams: float) -> str:
        return f"{grams:.{self.decimals}f} g"

    def _grid(self) -> Grid:
        columns = (Column("ingredient", "Ingredient"), Column("weigh", "Weigh, g"), Column("content", "In the portion, g"))
        rows = tuple((ingredient.name, weigh, content) for ingredient, weigh, content in self.parts)
        return Grid(columns, rows, f"Together in {self.diluent.name}", (self.text(),))


@dataclass(frozen=True, slots=True)
class JointPlan:
    """A joint dilution in whole divisions of the balance: `weigh` of each part, with `diluent`, makes `times` portions of
    `take`. `errors` are what each part may be off by weighing, `error` what the worst of them may be off in all.
    """

    weigh: tuple[int, ...]
    diluent: int
    times: int
    take: int
    errors: tuple[float, ...]
    error: float

    def contents(self) -> tuple[Fraction, ...]:
        """What the portion holds of each part, in divisions."""
        return tuple(Fraction(weigh, self.times) for weigh in self.weigh)

    def dilution(
        self, ingredients: Iterable[Ingredient], diluent: Ingredient, straight: Fraction, unit: Fraction, decimals: int
    ) -> JointDilution:
        """It in grams; `straight` are the divisions of the diluent beside it, `unit` is a division, `ingredients` the parts."""
        rows = zip(ingredients, self.weigh, self.contents(), strict=True)
        parts = tuple((ingredient, float(weigh * unit), float(content * unit)) for ingredient, weigh, content in rows)
        grams = (float(self.diluent * unit), self.times, float(self.take * unit), float(straight * unit))
        return JointDilution(parts, self.errors, diluent, *grams, self.error, decimals)


def plan_together(exact: list[Fraction], room: int, least: int, uncertainty: float, limit: float) -> JointPlan | None:
    """The smallest mixture that brings all these amounts (divisions) within the limit; None where none does.

    `room` is what there is of the diluent and the parts together, of which `least` stay to be weighed straight; no weighing is
    below `least`; `uncertainty` is what a weighing may be off, in divisions.
    """
    best: JointPlan | None = None
    for times in _several(math.ceil(least / min(exact))):
        weigh = tuple(max(least, round(times * amount)) for amount in exact)
        for take in _several(max(least, math.ceil(sum(exact)) + 1)):
            rest = times * take - sum(weigh)
            if times * take > MOST_DILUTED * min(weigh):
                break  # evenly mixed by hand no more
            if take > room - least or (best is not None and times * take >= best.times * best.take):
                break  # a larger portion fits no better, and the smallest mixture is wanted
            if rest < least:
                continue
            errors, error = _errors(exact, weigh, times, take, uncertainty)
            if error <= limit:
                best = JointPlan(weigh, rest, times, take, errors, error)
    return best


def _several(least: int) -> Iterable[int]:
    """Whole numbers from the least on, each about a tenth larger than the one before."""
    number = least
    while number <= max(least, MOST_TIMES):
        yield number
        number = max(number + 1, math.ceil(number * 1.1))


def _errors(
    exact: list[Fraction], weigh: tuple[int, ...], times: int, take: int, uncertainty: float
) -> tuple[tuple[float, ...], float]:
    """(what each part may be off by its own, the mixture's and the portion's weighings, what the worst is off with rounding).

    A part is most where it and the portion were weighed too much and all the others, the diluent among them, too little.
    """
    mixture, by_balance, worst = times * take, [], 0.0
    lean = 1 - (len(weigh) - 1) * uncertainty / mixture
    for amount, weighed in zip(exact, weigh, strict=True):
        rounding = abs(float(Fraction(weighed, times) / amount) - 1)
        by_balance.append((1 + uncertainty / weighed) * (1 + uncertainty / take) / lean - 1 if lean > 0 else math.inf)
        worst = max(worst, (1 + rounding) * (1 + by_balance[-1]) - 1)
    return tuple(by_balance), worst
