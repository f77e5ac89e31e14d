"""What a batch is in the measures of viewers' kitchens: ounces, or level spoonfuls, beside the grams and never in their place."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Literal

from histkit.base.bibliography import sourced
from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.glossary.nouns import Ingredient
from histkit.translating.amounts import density_of

Viewers = Literal["", "ounces", "spoons"]
"""What stands beside the grams: nothing, ounces avoirdupois, or level spoonfuls of 5 and 15 mL."""

CHOICES: tuple[Viewers, ...] = ("", "ounces", "spoons")
NOTES = {
    "": "",
    "ounces": "Ounces are today's, of 28.35 g, and rounded: weigh by the grams.",
    "spoons": "Spoonfuls are level (5 and 15 mL) and rough, as powder lies loose or packed: weigh by the grams.",
}
_FRACTIONS = ("", "¼", "½", "¾")
_TOO_WIDE = 2.0
"""Highest over lowest volume from which on a spoonful says nothing: it may be one or two."""


@dataclass(frozen=True, slots=True)
class _Measure:
    short: str
    size: float  # g of an ounce, mL of a spoon


@cache
def _measures(kind: str) -> tuple[_Measure, ...]:
    """The measures of a kind, the smallest first."""
    rows = [row for row in sourced("telling/viewers_measures") if row["measures"] == kind]
    return tuple(sorted((_Measure(row["short"], float(row["size"])) for row in rows), key=lambda m: m.size))


def checked(kind: str) -> Viewers:
    """The kind itself. Raises BadValue where it is none."""
    for known in CHOICES:
        if kind == known:
            return known
    raise BadValue(f"beside the grams may stand ounces or spoons, not {kind!r}")


def for_viewers(grams: float | None, ingredient: Ingredient | None, kind: Viewers) -> str:
    """A weight (g) in ounces or level spoonfuls, in few words: 'about 2½ tbsp'; '' where nothing is asked for or known.

    What is less than the smallest spoon, or than a hundredth of an ounce, is told in grams alone. A spoonful rests on the density
    of a liquid or the bulk density of a powder, and is told only where the glossary has one.
    """
    if not kind or not grams or grams <= 0:
        return ""
    if kind == "ounces":
        return _ounces(grams / _measures(kind)[0].size)
    volume = _millilitres(grams, ingredient)
    if volume is None or volume.high > _TOO_WIDE * volume.low:
        return ""
    small, large = _measures(kind)
    measure = large if volume.best >= large.size else small
    return _spoons(volume.best / measure.size, measure.short)


def _ounces(ounces: float) -> str:
    if ounces < 0.005:
        return ""
    decimals = 2 if ounces < 10 else 1
    return f"{ounces:,.{decimals}f} oz"


def _spoons(count: float, short: str) -> str:
    """A count in quarters, as spoons are sold; nothing for what the smallest spoon cannot hold, such as a strong oil."""
    quarters = round(4 * count)
    if quarters < 1:
        return ""
    if quarters >= 40:
        return f"about {round(count):,} {short}"
    whole, rest = divmod(quarters, 4)
    return f"about {whole or ''}{_FRACTIONS[rest]} {short}"


def _millilitres(grams: float, ingredient: Ingredient | None) -> Spread | None:
    """Millilitres that so many grams take up, loose; None where the glossary has no density of it as it lies in a spoon."""
    if ingredient is None:
        return None
    fluid = ingredient.state in ("liquid", "semisolid")
    if ingredient.value("density" if fluid else "bulk-density") is None:
        return None
    density, _ = density_of(ingredient, powdered=True)
    return Spread(grams / density.high, grams / density.best, grams / density.low) if density.low > 0 else None
