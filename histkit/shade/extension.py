"""A colour extension: pigment ground into base once, so that a balance can weigh what a shade needs and no clumps are left."""

from __future__ import annotations

from dataclasses import dataclass

from histkit import glossary
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, UnknownName, quoted
from histkit.base.grid import Column, Grid
from histkit.bench.weighing import Balance
from histkit.display.tabular import Tabular

LEAST, MOST = 0.01, 0.5
"""Shares of pigment that an extension holds (common practice, no source: 10 to 50 %; a weak lake 1 %)."""


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
        first = min(base, round(pigment / scales.readability) * scales.readability)
        steps = [
            "Put on a dust mask; wipe up with a damp cloth, never blow.",
            f"Weigh {scales.text(pigment)} of {colour} into the mortar and grind it alone until no speck is left.",
            f"Add {scales.text(first)} of {white} and grind: the mortar holds {scales.text(pigment + first)}.",
        ]
        held = pigment + first
        while held < pigment + base - scales.readability / 2:
            part = min(held, pigment + base - held)
            held += part
            steps.append(f"Add {scales.text(part)} of {white} and grind: the mortar holds {scales.text(held)}.")
        steps.append(
            "Rub a little out on white paper with a knife; sieve, grind again, rub out again."
            " It is done when the third rubbing shows no streak and no other colour than the second."
        )
        return tuple(steps)

    def _grid(self) -> Grid:
        takes = [(mg, self.grams_for(mg / 1000)) for mg in (1, 2, 5, 10, 20, 50, 100, 200, 500)]
        rows = tuple((f"{mg:g} mg", round(grams, 3), round(self.base_in(grams), 3)) for mg, grams in takes)
        columns = (
            Column("pigment", f"For {glossary.name_of(self.pigment)}"),
            Column("extension", "Take of the extension, g"),
            Column("base", f"Leave out of {glossary.name_of(self.base)}, g"),
        )
        return Grid(columns, rows, self.name)
