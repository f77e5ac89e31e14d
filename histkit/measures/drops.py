"""How much a drop weighs: period tables by sort of liquid, the physics of a dripping tip, a maker's own count.

A drop is no measure: it depends on the liquid and on what it falls from, so every answer is a spread in grams.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import TYPE_CHECKING

from histkit.base.bibliography import cited
from histkit.base.errors import BadValue, UnknownName
from histkit.base.nouns import Spread
from histkit.base.tables import Row, entries
from histkit.measures.definitions import unit
from histkit.measures.rows import near, rows

if TYPE_CHECKING:
    from histkit.glossary.nouns import Ingredient

_GRAVITY = 9.80665
"""Standard acceleration of free fall, m/s2 (SI)."""

_TIP_ERROR = 0.10
"""The tip formula against Eschbaum's weighed drops of water: within ten per cent (his 0.069 g against 0.063 g)."""


@dataclass(frozen=True, slots=True)
class Calibration:
    """A maker's own count: so many drops weighed so many grams on a balance of this readability (grams)."""

    drops: int
    grams: float
    readability: float = 0.0

    def __post_init__(self) -> None:
        if isinstance(self.drops, bool) or self.drops < 1:
            raise BadValue(f"a calibration counts at least one drop, not {self.drops}")
        if not (math.isfinite(self.grams) and self.grams > 0):
            raise BadValue(f"the drops of a calibration weigh more than nothing, not {self.grams} g")
        if not 0 <= self.readability < self.grams:
            raise BadValue(f"the readability lies between nothing and the {self.grams} g weighed, not {self.readability} g")

    @property
    def drop(self) -> Spread:
        """Grams of one drop; the last digit of the balance is the only doubt left."""
        half = self.readability / 2
        return Spread((self.grams - half) / self.drops, self.grams / self.drops, (self.grams + half) / self.drops)


def drop_mass(
    ingredient: Ingredient | None = None,
    dropper: str | float | None = None,
    calibration: Calibration | tuple[int, float] | None = None,
    density: Spread | float | None = None,
) -> Spread:
    """Grams of one drop of a liquid (None: a liquid not known).

    `calibration` (drops counted, grams weighed) overrides everything. `dropper`, a name of droppers.csv or the outer
    diameter of the tip in millimetres, takes the tip formula with the liquid's surface tension and density. Without
    either, the period tables answer by the sort of liquid. `density` in g/mL stands in where the ingredient has none.
    Raises UnknownName for a dropper that the table does not have, BadValue for a diameter that makes no drop.
    """
    if calibration is not None:
        return _calibration(calibration).drop
    if dropper is not None:
        tip = _tip(dropper)
        tension, rho = _tension(ingredient, density), _density(ingredient, density)
        best = drop_mass_from_tip(tip, tension.best, rho.best)
        corners = [drop_mass_from_tip(tip, s, d) for s in (tension.low, tension.high) for d in (rho.low, rho.high)]
        return Spread(min(best, *corners) * (1 - _TIP_ERROR), best, max(best, *corners) * (1 + _TIP_ERROR))
    return _table(_liquid(ingredient, density)["liquid"])[0]


def drop_reason(
    ingredient: Ingredient | None = None,
    dropper: str | float | None = None,
    calibration: Calibration | tuple[int, float] | None = None,
    density: Spread | float | None = None,
) -> str:
    """The sentence that says where `drop_mass` (same arguments) has its figure from, with the sources."""
    mass = drop_mass(ingredient, dropper, calibration, density)
    figure = f"{mass.best:.3g} g, {mass.low:.3g} to {mass.high:.3g} g"
    if calibration is not None:
        own = _calibration(calibration)
        return f"one drop weighs {mass.best:.3g} g: your own count, {own.drops} drops weighed {own.grams:g} g."
    liquid = _liquid(ingredient, density)
    if dropper is not None:
        named = f"the {dropper}" if isinstance(dropper, str) else "your dropper"
        usual = f"the usual surface tension of {liquid['words']} ({liquid['mark']})"
        tension = "its own surface tension" if _own_tension(ingredient) else usual
        return (
            f"one drop weighs {figure}: from {named}, tip {_tip(dropper):g} mm, by Tate's law with the factors of "
            f"{cited(rows('harkins_brown')[0])}, with {tension}."
        )
    _, best, others = _table(liquid["liquid"])
    range_ = f"; the range: {'; '.join(_in_words(row) for row in others)}" if others else ""
    return f"one drop weighs {figure}: {_in_words(best)}{range_}. A drop is no measure: count and weigh your own to be sure."


def drop_mass_from_tip(tip_mm: float, surface_tension: float, density: float) -> float:
    """Grams of a drop that falls slowly from a wetted tip of outer diameter `tip_mm` (millimetres).

    `surface_tension` in mN/m, `density` in g/mL. Tate's law for the whole ring of the tip, times the share that falls
    by Harkins and Brown (1919). Raises BadValue where a figure is not above zero or the tip is too wide for the table.
    """
    for value, what in ((tip_mm, "tip diameter"), (surface_tension, "surface tension"), (density, "density")):
        if not (math.isfinite(value) and value > 0):
            raise BadValue(f"the {what} of a drop is above zero, not {value}")
    ideal = ideal_drop_mass(tip_mm, surface_tension)
    radius = tip_mm / 20  # centimetres, as the density is per cubic centimetre

    def excess(mass: float) -> float:
        return mass - ideal * harkins_brown_factor(radius / (mass / density) ** (1 / 3))

    low, high = ideal * 0.55, ideal  # the factors of the table lie between 0.59 and 1
    if radius / (low / density) ** (1 / 3) > _widest():
        raise BadValue(f"a tip of {tip_mm:g} mm is too wide: this liquid runs off it before the tables of drops apply")
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if excess(middle) < 0 else (low, middle)
    return (low + high) / 2


def ideal_drop_mass(tip_mm: float, surface_tension: float) -> float:
    """Grams that the ring of the tip could hold by Tate's law, 2 pi r times the surface tension (mN/m) over g."""
    return math.pi * tip_mm * 1e-3 * surface_tension * 1e-3 / _GRAVITY * 1e3


def harkins_brown_factor(ratio: float) -> float:
    """The share of the ideal drop that falls, at `ratio` = tip radius over the cube root of the drop's volume (0 to 1.2).

    Straight lines between the rows of harkins_brown.csv. Raises BadValue outside them.
    """
    table = _factors()
    if not 0 <= ratio <= table[-1][0]:
        raise BadValue(f"the drop factors are known for ratios from 0 to {table[-1][0]}, not {ratio:.3g}")
    (x0, f0), (x1, f1) = next(pair for pair in pairwise(table) if ratio <= pair[1][0])
    return f0 + (f1 - f0) * (ratio - x0) / (x1 - x0)


def dry_mass(measure: str) -> Spread:
    """Grams of a 'handful' or a 'pinch' of a dry ingredient, where no bulk density is known. Raises UnknownName."""
    table = {row["unit"]: row for row in rows("dry_masses")}
    if measure not in table:
        raise UnknownName("dry measure", measure, near(measure, table))
    return Spread(*(float(table[measure][column]) for column in ("low", "best", "high")))


def period_drops() -> tuple[tuple[str, float, str], ...]:
    """Every row of the drop table: (liquid, grams of one drop, what the source says with its name)."""
    return tuple((row["liquid"], _grams(row), _in_words(row)) for row in rows("drops"))


@cache
def _factors() -> tuple[tuple[float, float], ...]:
    return tuple((float(row["ratio"]), float(row["factor"])) for row in rows("harkins_brown"))


def _widest() -> float:
    return _factors()[-1][0]


def _grams(row: Row) -> float:
    measure = unit(row["unit"])
    size = float(measure.size) * (1.0 if measure.dimension == "mass" else float(row["density"]))
    return float(row["amount"]) * size / float(row["drops"])


def _in_words(row: Row) -> str:
    return f"{row['words']} ({cited(row, mark=True)})"


@cache
def _table(liquid: str) -> tuple[Spread, Row, tuple[Row, ...]]:
    listed = [row for row in rows("drops") if row["liquid"] == liquid]
    best = next(row for row in listed if row["use"] == "best")
    others = tuple(row for row in listed if row["use"] == "range")
    return Spread.over((_grams(row) for row in others), _grams(best)), best, others


def _liquid(ingredient: Ingredient | None, density: Spread | float | None) -> Row:
    """The first row of drop_liquids.csv that fits: by the words of the id, else by its kind (and density)."""
    last = rows("drop_liquids")[-1]
    if ingredient is None:
        return last
    parts = set(ingredient.id.split("-"))
    own = ingredient.value("density")
    rho = own.best if own is not None else _as_spread(density).best if density is not None else 0.0
    for row, words, kinds, least in _sorts_of_liquid():
        by_word = not _oily(ingredient) and any(word <= parts for word in words)
        if (by_word or ingredient.kind in kinds) and rho >= least:
            return row
    return last


@cache
def _sorts_of_liquid() -> tuple[tuple[Row, tuple[frozenset[str], ...], tuple[str, ...], float], ...]:
    """The rows of drop_liquids.csv but the last: the words of an id and the kinds that they speak of, the least density."""
    return tuple(
        (
            row,
            tuple(frozenset(word.split("-")) for word in entries(row["contains"])),
            entries(row["kinds"]),
            float(row["least_density"] or 0),
        )
        for row in rows("drop_liquids")[:-1]
    )


def _oily(ingredient: Ingredient) -> bool:
    """Oils, fats and scents are told by their kind alone: 'benzyl-alcohol' is no spirit."""
    return ingredient.kind in ("essential-oil", "fixed-oil", "fat-wax", "aroma-chemical")


def _own_tension(ingredient: Ingredient | None) -> Spread | None:
    return ingredient.value("surface-tension") if ingredient is not None else None


def _tension(ingredient: Ingredient | None, density: Spread | float | None) -> Spread:
    own = _own_tension(ingredient)
    if own is not None:
        return own
    row = _liquid(ingredient, density)
    return Spread(float(row["tension_low"]), float(row["tension"]), float(row["tension_high"]))


def _density(ingredient: Ingredient | None, density: Spread | float | None) -> Spread:
    own = ingredient.value("density") if ingredient is not None else None
    if own is not None:
        return own
    if density is not None:
        return _as_spread(density)
    return Spread.exact(float(_liquid(ingredient, density)["density"]))


def _as_spread(value: Spread | float) -> Spread:
    return value if isinstance(value, Spread) else Spread.exact(float(value))


def _tip(dropper: str | float) -> float:
    if not isinstance(dropper, str):
        return float(dropper)
    table = {row["name"]: float(row["tip_mm"]) for row in rows("droppers")}
    if dropper not in table:
        raise UnknownName("dropper", dropper, near(dropper, table))
    return table[dropper]


def _calibration(value: Calibration | tuple[int, float]) -> Calibration:
    return value if isinstance(value, Calibration) else Calibration(*value)
