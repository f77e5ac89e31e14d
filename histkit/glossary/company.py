"""What a bare name means among oils: perfumers' lists say 'lemon' for the oil of lemon."""

from __future__ import annotations

from dataclasses import replace

from histkit.base.nouns import Doubt
from histkit.glossary.entries import ingredients
from histkit.glossary.nouns import Ingredient, Match
from histkit.glossary.own import index_in_use
from histkit.glossary.stages import by_words
from histkit.glossary.words import fold

ENOUGH_OILS = 2
"""So many essential oils in a formula are company that speaks for another."""
COUNTED = frozenset({"", "none", "piece", "handful", "bunch", "q.s."})
"""Units by which a fruit is measured and its oil is not."""


def among_oils(match: Match, unit: str) -> Match:
    """The match of a line whose formula holds essential oils: of a fruit that is not counted, its oil."""
    if unit in COUNTED or match.ingredient.kind != "food":
        return match
    return as_its_oil(match, "stands among essential oils")


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
