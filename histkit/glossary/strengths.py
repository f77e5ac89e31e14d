"""Which spirit a printed strength speaks of: 'alcohol 190 proof' is no proof spirit, 'alcohol of 50 per cent' a diluted one."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from histkit.base.nouns import Source, Spread
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.entries import ingredients
from histkit.glossary.nouns import Ingredient, Match
from histkit.measures import alcohol

FAR = 15.0
"""Per cent by volume that a spirit may be from its usual strength and still go by its name: an alcohol of 80 is alcohol."""


def as_strong_as_printed(match: Match, name: str, source: Source | None) -> Match:
    """The same substance in the strength that its name prints, where that is far from the usual one of the ingredient found."""
    if match.ingredient.kind != "spirit" or not match.ingredient.cas or not any(map(str.isdecimal, name)):
        return match
    usual, printed = match.ingredient.value("strength"), alcohol.printed_strength(name)
    country, year = (source.country, source.year) if source else ("", None)
    if usual is None or not printed or (meant := alcohol.strength(printed, country, year)) is None:
        return match
    if _off(usual, meant.percent_volume) <= FAR:
        return match
    nearest = min(_of_any_strength(match.ingredient), key=lambda other: _off(other[1], meant.percent_volume))[0]
    if nearest is match.ingredient:
        return match
    others = (match.ingredient, *match.alternatives)
    return replace(match, ingredient=nearest, alternatives=tuple(other for other in others if other is not nearest))


def _off(usual: Spread, percent: float) -> float:
    return max(usual.low - percent, percent - usual.high, 0.0)


@follows_the_tables
@cache
def _of_any_strength(spirit: Ingredient) -> tuple[tuple[Ingredient, Spread], ...]:
    """The spirits of the same substance, by its CAS number, with their usual strengths in per cent by volume."""
    same = [entry for entry in ingredients.values() if entry.kind == spirit.kind and entry.cas == spirit.cas]
    strengths = ((entry, entry.value("strength")) for entry in same)
    return tuple((entry, usual) for entry, usual in strengths if usual is not None)
