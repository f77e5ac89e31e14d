"""What a bare name means among oils: perfumers' lists say 'lemon' for the oil of lemon."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from histkit.base import tables
from histkit.base.nouns import Doubt
from histkit.glossary.entries import ingredients
from histkit.glossary.nouns import Ingredient, Match
from histkit.glossary.own import index_in_use
from histkit.glossary.stages import by_words
from histkit.glossary.words import fold

ENOUGH_OILS = 2
"""So many essential oils in a formula are company that speaks for another."""
ENOUGH_METALS = 2
"""So many metals, with nothing beside them that is neither a metal nor may be one."""
COUNTED = frozenset({"", "none", "piece", "handful", "bunch", "q.s."})
"""Units by which a fruit is measured and its oil is not."""


def among_oils(match: Match, unit: str) -> Match:
    """The match of a line whose formula holds essential oils: of a fruit that is not counted, its oil."""
    if unit in COUNTED or match.ingredient.kind != "food":
        return match
    return as_its_oil(match, "stands among essential oils")


def is_a_metal(entry: Ingredient) -> bool:
    """Whether an ingredient is a metal or an alloy, by lookup_metals.csv."""
    return entry.id in _metals()


@cache
def _metals() -> frozenset[str]:
    return frozenset(row["ingredient"] for row in tables.read("glossary/lookup_metals"))


def among_metals(match: Match) -> Match:
    """The match of a line whose formula holds metals: of a bare name that means a metal too, the metal."""
    if is_a_metal(match.ingredient) or match.via in ("spelling", "inside"):
        return match
    metal = next((other for other in match.alternatives if is_a_metal(other)), None)
    if metal is None:
        return match
    doubt = Doubt(
        "ingredient",
        f"{match.name!r} stands among metals and is taken for {metal.name}; it may be {match.ingredient.name}.",
        (match.ingredient.name,),
        "It changes what is weighed.",
    )
    others = (match.ingredient, *(other for other in match.alternatives if other is not metal))
    return replace(match, ingredient=metal, alternatives=others, doubts=(doubt,))


def as_its_oil(match: Match, why: str) -> Match:
    """The same name taken for the essential oil of the plant, where the glossary has one, with a doubt that says why."""
    plant = match.ingredient
    if plant.liquid or plant.kind not in ("food", "botanical") or match.via in ("spelling", "inside"):
        return match
    oil = next((other for other in match.alternatives if other.kind == "essential-oil"), None) or _oil_of(match.name)
    if oil is None:
        return match
    doubt = Doubt(
        "ingredient",
        f"{match.name!r} {why} and is taken for {oil.name}; it may be {plant.name}.",
        (plant.name,),
        "It changes what is weighed.",
    )
    others = tuple(dict.fromkeys((plant, *(other for other in match.alternatives if other is not oil))))
    return replace(match, ingredient=oil, alternatives=others, doubts=(*match.doubts, doubt))


def _oil_of(name: str) -> Ingredient | None:
    meanings = [ingredients[key] for key, _ in by_words(f"oil of {fold(name)}", index_in_use())]
    return next((entry for entry in meanings if entry.kind == "essential-oil"), None)
