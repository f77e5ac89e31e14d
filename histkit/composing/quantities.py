"""Quantities that a blend keeps, each as a line: sum of coefficient × share over the stand-ins should reach a target.

Every quantity kept is linear in the shares. The opacity index is a ratio of sums; to hold it at a target T, the sum of
volume × (contrast - T) is brought to nothing.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial

from histkit.base.errors import BadValue
from histkit.composing.composition import Composition
from histkit.composing.effects import AIR, OIL, bulk_density, fresnel, in_family, oil_absorption, opacity, solid_density
from histkit.composing.solving import Goal
from histkit.glossary.nouns import Ingredient

KEPT = ("opacity", "opacity-in-oil", "oil-absorption", "bulk-density", "slip")
"""What a blend keeps where nothing else is asked for: cover dry and oiled, oil take-up, bulk, slip."""
_MEDIUM = {"opacity": AIR, "opacity-in-oil": OIL}


@dataclass(frozen=True, slots=True)
class Kept:
    """One kept quantity: sum of coefficient × share should reach `target`; a miss divided by `scale` is a share of the whole."""

    name: str
    coefficients: tuple[float, ...]
    target: float
    scale: float

    def missed(self, shares: Sequence[float]) -> float:
        """How far these shares leave it from where it was, as a share of it (0.02: two per cent above)."""
        return (math.fsum(c * x for c, x in zip(self.coefficients, shares, strict=True)) - self.target) / self.scale

    def goal(self, limit: float | None) -> Goal:
        """It as a goal, to be missed by no more than `limit` where one is given."""
        return Goal(tuple(c / self.scale for c in self.coefficients), self.target / self.scale, limit)


def kept_quantity(
    name: str, composition: Composition, gone: set[str], chosen: tuple[Ingredient, ...], mass: float, notes: list[str]
) -> Kept | None:
    """The line of one kept quantity, or None with a note where a value is missing that it cannot do without.

    Raises BadValue for a name that is no quantity and no role of an ingredient here.
    """
    coefficient = _coefficient_of(name, composition, chosen, notes)
    if coefficient is None:
        return None
    coefficients = [coefficient(ingredient) for ingredient in chosen]
    taken = [(composition.share(i), coefficient(i), i) for i in composition.ingredients if i.id in gone]
    lacking = [i.name for i, value in zip(chosen, coefficients, strict=True) if value is None][:1]
    lacking = lacking or [i.name for _, value, i in taken if value is None]
    if lacking:
        notes.append(f"{name} was not kept: the glossary has no value for {', '.join(lacking)}.")
        return None
    every = tuple(value for value in coefficients if value is not None)
    # The stand-ins have the mass of the removed, so holding the sum over the removed holds it over the whole mixture.
    target = math.fsum(share * (value or 0.0) for share, value, _ in taken)
    return Kept(name, every, target, _scale(name, composition, every, mass))


_Coefficient = Callable[[Ingredient], float | None]


def _coefficient_of(name: str, composition: Composition, chosen: tuple[Ingredient, ...], notes: list[str]) -> _Coefficient | None:
    """What one share of an ingredient brings of this quantity; None with a note where nothing is known of it."""
    quantities: dict[str, _Coefficient] = {
        "oil-absorption": lambda i: 0.0 if i.liquid else _best(i, "oil-absorption"),
        "bulk-density": lambda i: 0.0 if i.liquid else _inverse(_best(i, "bulk-density")),
        "starch": lambda i: float(in_family(i, "starch")),
        "stearate": lambda i: float(in_family(i, "stearate")),
    }
    if name in quantities:
        return quantities[name]
    if name in _MEDIUM:
        index = opacity(composition, _MEDIUM[name]).value
        if index is None:
            notes.append(f"{name} was not kept: nothing that it rests on is known.")
            return None
        return partial(_opacity_coefficient, target=index.best, medium=_MEDIUM[name])
    if any(i.has_role(name) for i in (*composition.ingredients, *chosen)):
        return partial(_does, role=name)
    if name in KEPT:
        notes.append(f"{name} was not kept: nothing here is known for it.")
        return None
    names = ", ".join(map(repr, (*_MEDIUM, *quantities)))
    raise BadValue(f"cannot keep {name!r}: keep takes {names}, or a role that an ingredient here has")


def _scale(name: str, composition: Composition, coefficients: Sequence[float], mass: float) -> float:
    """What one whole of the quantity is, so that misses are shares of it and can be weighed against each other."""
    if name in _MEDIUM:
        value = opacity(composition, _MEDIUM[name]).value
        volume = math.fsum(p.share / d.best for p in composition.parts if (d := solid_density(p.ingredient)) is not None)
        whole = value.best * volume if value else 0.0
    elif name == "oil-absorption":
        value = oil_absorption(composition).value
        whole = value.best if value else 0.0
    elif name == "bulk-density":
        value = bulk_density(composition).value
        whole = 1 / value.best if value else 0.0
    else:
        whole = 1.0
    return whole or max((abs(c) for c in coefficients), default=0.0) * mass or 1.0


def _best(ingredient: Ingredient, name: str) -> float | None:
    value = ingredient.value(name)
    return value.best if value else None


def _inverse(value: float | None) -> float | None:
    return 1 / value if value else None


def _does(ingredient: Ingredient, role: str) -> float:
    return float(ingredient.has_role(role))


def _opacity_coefficient(ingredient: Ingredient, target: float, medium: float = AIR) -> float | None:
    density = solid_density(ingredient)
    index = 1.0 if ingredient.liquid else _best(ingredient, "refractive-index")
    if density is None or index is None:
        return None
    contrast = 0.0 if ingredient.liquid else fresnel(index, medium)
    return (contrast - target) / density.best
