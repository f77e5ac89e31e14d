"""Drops of a liquid at the bench: how many make so many grams, what share they have, and oil that is given by drops."""

from __future__ import annotations

from histkit import measures
from histkit.base.checking import positive
from histkit.base.nouns import Spread
from histkit.composing.composition import resolve
from histkit.glossary.nouns import Ingredient


def _drop(ingredient: Ingredient) -> Spread:
    return measures.drop_mass(ingredient)


def drops_of(ingredient: Ingredient | str, grams: float) -> Spread:
    """How many drops of a liquid make so many grams, with the spread of the drop's mass."""
    drop = _drop(resolve(ingredient))
    positive(grams, "grams")
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
