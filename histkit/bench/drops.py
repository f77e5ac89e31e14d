"""Drops of a liquid at the bench: how many make so many grams, what share they have, and oil that is given by drops.

The sheet counts in drops of the maker's own dropper, weighed once; without that in those of the pharmacopoeia's. The drops of old
books are another matter: they only serve to read the book.
"""

from __future__ import annotations

from collections.abc import Iterable

from histkit import measures
from histkit.base.checking import positive
from histkit.base.errors import UnknownName
from histkit.base.nouns import Spread
from histkit.composing.composition import resolve
from histkit.glossary.nouns import Ingredient


def _drop(ingredient: Ingredient) -> Spread:
    return measures.drop_mass(ingredient)


WEIGHED_DROPS = 20
"""How many drops of a liquid are weighed together to know one; a dropper of the pharmacopoeia gives 1 g of water in 20 (USP
<1101>)."""
STANDARD = "standard dropper"
"""The dropper of `measures/droppers.csv` that is taken where the maker has weighed none of their own."""


def bench_drop(ingredient: Ingredient, weighed: Iterable[tuple[str, float]] = ()) -> tuple[Spread, str]:
    """(grams of one drop at the bench, whose dropper in words).

    `weighed` are (id of a liquid, grams of 20 drops of it from the maker's own dropper). A liquid that was weighed has that drop;
    others are reckoned from it, as much larger or smaller than from the standard dropper as that one was.
    """
    own = dict(weighed)
    if ingredient.id in own:
        return measures.Calibration(WEIGHED_DROPS, own[ingredient.id]).drop, "your dropper"
    standard = measures.drop_mass(ingredient, dropper=STANDARD)
    for key, grams in own.items():
        try:
            like = measures.drop_mass(resolve(key), dropper=STANDARD)
        except UnknownName:
            continue
        return standard * (grams / WEIGHED_DROPS / like.best), f"your dropper, reckoned from its drops of {resolve(key).name}"
    return standard, f"a {STANDARD}"


def drops_of(ingredient: Ingredient | str, grams: float) -> Spread:
    """How many drops of a liquid make so many grams, with the spread of the drop's mass."""
    return in_drops(positive(grams, "grams"), _drop(resolve(ingredient)))


def in_drops(grams: float, drop: Spread) -> Spread:
    """So many grams in drops of this mass."""
    return Spread(grams / drop.high, grams / drop.best, grams / drop.low)


def share_of_drops(ingredient: Ingredient | str, drops: float, powder_grams: float) -> Spread:
    """Share of the finished mass that `drops` of a liquid have in so many grams of powder (the drops come on top)."""
    positive(drops, "drops")
    positive(powder_grams, "powder_grams")
    drop = _drop(resolve(ingredient))
    low, best, high = (mass * drops / (powder_grams + mass * drops) for mass in (drop.low, drop.best, drop.high))
    return Spread(low, best, high)


def grams_of_drops(ingredient: Ingredient, drops: float) -> Spread:
    """Grams that so many drops of a liquid weigh, with the spread of the drop's mass."""
    return _drop(ingredient) * drops
