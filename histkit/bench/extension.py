"""A colour extension: pigment ground into base once, so that a balance can weigh what a shade needs and no clumps are left.

In a batch it is a way of weighing: pigment and base count as themselves, and what is weighed of both goes in as the extension.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction

from histkit import glossary
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, UnknownName, quoted
from histkit.base.grid import Column, Grid
from histkit.bench.weighing import AliquotStage, Balance, grinding
from histkit.display.tabular import Tabular

LEAST, MOST = 0.01, 0.5
"""Shares of pigment that an extension holds (common practice, no source: 10 to 50 %; a weak lake 1 %)."""

SPARE = Fraction(11, 10)
"""What is ground over what a batch takes (common practice: a tenth sticks to the tools, and shades are corrected with it)."""


@dataclass(frozen=True, slots=True)
class Extension(Tabular):
    """`share` of `pigment` (a share of mass, 0.01 to 0.5) ground into `base`; both are ids of the glossary, powders."""

    pigment: str
    base: str = "talc"
    share: float = 0.2

    def __post_init__(self) -> None:
        if not (is_number(self.share) and LEAST <= self.share <= MOST):
            raise BadValue(
                f"an extension holds {LEAST:.0%} to {MOST:.0%} of pigment, a share such as 0.2; not {quoted(self.share)}"
            )
        for key in (self.pigment, self.base):
            if key not in glossary.ingredients:
                raise UnknownName("ingredient", key)
            if glossary.ingredients[key].liquid:
                raise BadValue(f"an extension is ground of dry powders; {glossary.name_of(key)} is none")
        if self.pigment == self.base:
            raise BadValue("pigment and base of an extension are two different powders")

    @property
    def name(self) -> str:
        """'red iron oxide, 20 % in talc'."""
        return f"{glossary.name_of(self.pigment)}, {100 * self.share:g} % in {glossary.name_of(self.base)}"

    def grams_for(self, pigment_grams: float) -> float:
        """Grams of the extension that hold so many grams of pigment."""
        return positive(pigment_grams, "grams of pigment") / self.share

    def base_in(self, extension_grams: float) -> float:
        """Grams of base that so much extension brings along: leave as much out of the formula."""
        return extension_grams * (1 - self.share)

    def to_make(self, grams: float, balance: Balance | None = None) -> tuple[float, float]:
        """Grams of pigment and of base to weigh for so much extension, rounded to the balance.

        Raises BadValue where the pigment would be under what the balance can be trusted with, and says how much to make.
        """
        scales = balance or Balance()
        least = scales.least_divisions * scales.readability
        pigment = round(positive(grams, "grams of extension") * self.share / scales.readability) * scales.readability
        if pigment < least - 1e-12:
            raise BadValue(
                f"{grams:g} g hold {grams * self.share:.3g} g of pigment, and the balance is trusted from {least:g} g on:"
                f" make {least / self.share:.3g} g or more"
            )
        return pigment, round(pigment * (1 - self.share) / self.share / scales.readability) * scales.readability

    def steps(self, grams: float, balance: Balance | None = None) -> tuple[str, ...]:
        """How it is made, a sentence for each step; the weights add up to what the mortar holds."""
        scales = balance or Balance()
        pigment, base = self.to_make(grams, scales)
        colour, white = glossary.name_of(self.pigment), glossary.name_of(self.base)
        return ("Put on a dust mask; wipe up with a damp cloth, never blow.", *grinding(colour, white, pigment, base, scales))

    def _grid(self) -> Grid:
        takes = [(mg, self.grams_for(mg / 1000)) for mg in (1, 2, 5, 10, 20, 50, 100, 200, 500)]
        rows = tuple((f"{mg:g} mg", round(grams, 3), round(self.base_in(grams), 3)) for mg, grams in takes)
        columns = (
            Column("pigment", f"For {glossary.name_of(self.pigment)}"),
            Column("extension", "Take of the extension, g"),
            Column("base", f"Leave out of {glossary.name_of(self.base)}, g"),
        )
        return Grid(columns, rows, self.name)


@dataclass(frozen=True, slots=True)
class ExtensionPlan:
    """An extension for a batch, in whole divisions of the balance: `weigh` of pigment ground with `base`, of which `take` goes
    in; `error` is the share that the weighings together may be off at worst."""

    weigh: int
    base: int
    take: int
    error: float

    @property
    def content(self) -> Fraction:
        """The divisions of pigment that the portion holds."""
        return Fraction(self.take * self.weigh, self.weigh + self.base)

    def stages(self, division: Decimal) -> tuple[AliquotStage, ...]:
        """The one stage of it, in grams."""
        numbers = (self.weigh, self.base, self.weigh + self.base, self.take)
        return (AliquotStage(*(float(n * division) for n in numbers)),)


def plan_extension(extension: Extension, pigment: Fraction, room: int, balance: Balance, limit: float) -> ExtensionPlan:
    """How much of an extension is ground and taken for `pigment` divisions of the balance.

    `room` is what there is to weigh of pigment and base together. Where taking a little more or less (within `limit` of it)
    leaves no pinch of base to be weighed apart, that is done. The plan may ask for more than there is room for.
    """
    least, uncertainty = balance.least_divisions, balance.uncertainty / balance.readability
    share = Fraction(str(extension.share))
    weigh = max(least, math.ceil(SPARE * pigment))
    base = round(weigh * (1 - share) / share)
    if base < least:
        base, weigh = least, round(least * share / (1 - share))
    wanted = pigment * (weigh + base) / weigh
    take = max(1, round(wanted))
    if abs(room - take) < least and abs(room - wanted) <= Fraction(limit) * wanted:
        take = room
    if take > weigh + base:
        weigh, base = weigh * math.ceil(Fraction(take, weigh + base)), base * math.ceil(Fraction(take, weigh + base))
    error = uncertainty / take + uncertainty / weigh + uncertainty / (weigh + base)
    return ExtensionPlan(weigh, base, take, error)
