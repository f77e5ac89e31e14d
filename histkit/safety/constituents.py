"""What the oils bring along, summed over the whole formula: against the limits of a product, and above the label's thresholds."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from histkit.base import tables
from histkit.base.bibliography import sourced
from histkit.base.errors import BadValue
from histkit.glossary.nouns import Ingredient
from histkit.safety.evidence import Finding, Level
from histkit.safety.law import TOLERANCE, Region, cas_numbers, rules_of_cas
from histkit.safety.products import Product

_DEEPEST = 20
"""Preparations within preparations; more can only be a circle."""


def taken_apart(parts: Iterable[tuple[Ingredient, float]]) -> dict[Ingredient, float]:
    """Shares of what is really in it: preparations become what they are made of, however deep.

    Raises BadValue for a preparation that is made of itself.
    """
    from histkit import glossary

    masses: dict[Ingredient, float] = {}
    waiting = [(ingredient, share, 0) for ingredient, share in parts]
    while waiting:
        ingredient, share, depth = waiting.pop(0)
        if depth > _DEEPEST:
            raise BadValue(f"{ingredient.name} seems to be made of itself; check the glossary's compositions")
        if ingredient.made_of:
            waiting += [(glossary.ingredient(key), share * part, depth + 1) for key, part in ingredient.made_of]
        else:
            masses[ingredient] = masses.get(ingredient, 0.0) + share
    return masses


def allergens(masses: Mapping[Ingredient, float], threshold: float) -> list[tuple[str, float]]:
    """(name, share) of every fragrance allergen above the threshold, by the highest share that is known, most first."""
    total: dict[str, float] = {}
    for name, _, share, _ in _brought(masses, allergens_only=True):
        total[name] = total.get(name, 0.0) + share
    return sorted(((n, s) for n, s in total.items() if s > threshold), key=lambda pair: (-pair[1], pair[0]))


def _brought(masses: Mapping[Ingredient, float], allergens_only: bool = False) -> Iterator[tuple[str, str, float, Ingredient]]:
    """(constituent, CAS number, its share of the whole at most, the ingredient that brings it)."""
    from histkit import glossary

    by_id = {ingredient.id: ingredient for ingredient in masses}
    for row in glossary.rows("constituents"):
        ingredient = by_id.get(row["ingredient"])
        if ingredient is None or not row["high"] or (allergens_only and row["allergen"].lower() != "yes"):
            continue
        yield row["constituent"], row["cas"], masses[ingredient] * float(row["high"]) / 100, ingredient


def constituent_findings(masses: Mapping[Ingredient, float], product: Product, region: Region) -> Iterator[Finding]:
    """Constituents that together are above a limit for this product, by the highest share known of each oil."""
    if not product.on_skin:
        return
    sums = _sums(masses)
    for cas, (name, share, bringing) in sums.items():
        rules = [r for r in rules_of_cas(cas, region) if r.maximum is not None and product.fits(r.products)]
        if rules:
            strictest = min(rules, key=lambda rule: rule.maximum or 0.0)
            law = f"{strictest.law}, as of {strictest.date}"
            yield from _above(name, share, strictest.maximum or 0.0, "warn", law, bringing, product)
    for row in sourced("safety/constituent_limits"):
        if not region.holds(row["region"]) or not product.fits(row["products"]):
            continue
        found = [sums[cas] for cas in tables.words(row, "cas") if cas in sums]
        together = {key: entry for _, _, bringing in found for key, entry in bringing.items()}
        level: Level = "warn" if row["level"] == "warn" else "note"
        most = tables.number(row, "maximum") or 0.0
        yield from _above(row["constituent"], sum(s for _, s, _ in found), most, level, row["law"], together, product)


_Sum = tuple[str, float, dict[str, Ingredient]]
"""(constituent, its share of the whole at most, what brings it)"""


def _sums(masses: Mapping[Ingredient, float]) -> dict[str, _Sum]:
    """By CAS number, or by name without one: what the oils bring, and what is in it as an ingredient of its own."""
    sums: dict[str, _Sum] = {}

    def add(name: str, cas: str, share: float, ingredient: Ingredient) -> None:
        known, before, bringing = sums.get(cas or name, (name, 0.0, {}))
        sums[cas or name] = (known, before + share, bringing | {ingredient.id: ingredient})

    for name, cas, share, ingredient in _brought(masses):
        add(name, cas, share, ingredient)
    watched = {cas for row in sourced("safety/constituent_limits") for cas in tables.words(row, "cas")}
    for ingredient, share in masses.items():
        for cas in cas_numbers(ingredient.cas):
            if cas in sums or cas in watched:
                add(ingredient.name, cas, share, ingredient)
    return sums


def _above(
    name: str, share: float, most: float, level: Level, law: str, bringing: Mapping[str, Ingredient], product: Product
) -> Iterator[Finding]:
    if share <= most * (1 + TOLERANCE):
        return
    times = f", {share / most:.2g} times" if most else ""
    oils = ", ".join(entry.name for entry in bringing.values())
    yield Finding(
        level,
        "constituent",
        f"{name} (from {oils}) may make up to {100 * share:.2g} %{times} the {100 * most:.2g} % that are set for "
        f"{product.words}: {law}. Ask your supplier for the oil's own figures.",
        tuple(bringing),
    )
