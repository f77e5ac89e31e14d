"""Specific gravity, density, weight and measure of liquids: the pharmacist's arithmetic.

Densities are g/mL, masses grams, volumes millilitres, temperatures degrees Celsius.
"""

from __future__ import annotations

from typing import overload

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread


def water_density(celsius: float = 15.56) -> float:
    """Density of water in g/mL between 0 and 40 C, by the alcohol formula at no alcohol (source: OIML R 22)."""
    from histkit.measures import alcohol

    return alcohol.density_by_mass(0.0, celsius)


def density_of(specific_gravity: float, reference: float = 15.56) -> float:
    """g/mL of a liquid from its specific gravity against water at `reference` degrees Celsius (60 F = 15.56 C)."""
    return _positive(specific_gravity, "a specific gravity") * water_density(reference)


def specific_gravity_of(density: float, reference: float = 15.56) -> float:
    """Specific gravity against water at `reference` degrees Celsius of a liquid of `density` g/mL."""
    return _positive(density, "a density") / water_density(reference)


@overload
def millilitres_to_grams(millilitres: float, density: float) -> float: ...
@overload
def millilitres_to_grams(millilitres: Spread | float, density: Spread) -> Spread: ...
@overload
def millilitres_to_grams(millilitres: Spread, density: Spread | float) -> Spread: ...
def millilitres_to_grams(millilitres: Spread | float, density: Spread | float) -> Spread | float:
    """Grams of a volume of a liquid of `density` g/mL; a spread on either side makes the answer a spread."""
    if isinstance(millilitres, Spread):
        return millilitres * density
    if isinstance(density, Spread):
        return density * millilitres
    return millilitres * _positive(density, "a density")


def grams_to_millilitres(grams: float, density: float) -> float:
    """Volume of a mass of a liquid of `density` g/mL."""
    return grams / _positive(density, "a density")


def specific_gravity(grams: float, millilitres: float) -> float:
    """Specific gravity of a liquid of which a volume has been weighed, a millilitre of water taken as a gram."""
    return _positive(grams, "a mass") / _positive(millilitres, "a volume")


def pycnometer(empty: float, with_water: float, with_liquid: float) -> float:
    """Specific gravity from one bottle weighed empty, full of water and full of the liquid (any one unit of mass).

    Raises BadValue where the bottle weighs no more full than empty.
    """
    if with_water <= empty or with_liquid <= empty:
        raise BadValue("the bottle must weigh more full than empty: check which weighing is which")
    return (with_liquid - empty) / (with_water - empty)


def _positive(value: float, what: str) -> float:
    if not value > 0:
        raise BadValue(f"{what} is above zero, not {value}")
    return value
