"""What the oils bring along, summed over the whole formula: against the limits of a product, and above the label's thresholds."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from typing import NamedTuple

from histkit.base import tables
from histkit.base.bibliography import sourced
from histkit.base.errors import BadValue
from histkit.glossary.nouns import Ingredient
from histkit.safety.evidence import Finding, Level
from histkit.safety.law import TOLERANCE, Region, at_most, cas_numbers, rules_of_cas
from histkit.safety.products import Product

_DEEPEST = 20
"""Preparations within preparations; more can only be a circle."""


MadeOf = Callable[[Ingredient, int], tuple[tuple[str, float], ...]]
"""What an ingredient, so many preparations deep, is made of: (id, share); () where it is left as it is."""


def _by_the_glossary(entry: Ingredient, depth: int) -> tuple[tuple[str, float], ...]:
    return entry.made_of


def taken_apart(
    parts: Iterable[tuple[Ingredient, float]], made_of: MadeOf = _by_the_glossary, deepest: int = _DEEPEST
) -> dict[Ingredient, float]:
    """Shares of what is really in it: preparations become what they are made of, however deep; amounts add up to what they were.

    Raises BadValue for a preparation that is made of itself, or lies more than `deepest` within others.
    """
    from histkit import glossary

    masses: dict[Ingredient, float] = {}
    waiting = [(ingredient, share, 0) for ingredient, share in parts]
    while waiting:
        ingredient, share, depth = waiting.pop(0)
        if depth > deepest:
            raise BadValue(f"{ingredient.name} seems to be made of itself; check the glossary's compositions and the old bases")
        if inner := made_of(ingredient, depth):
            waiting += [(glossary.ingredient(key), share * part, depth + 1) for key, part in inner]
        else:
            masses[ingredient] = masses.get(ingredient, 0.0) + share
    return masses


def allergens(masses: Mapping[Ingredient, float], threshold: float) -> list[tuple[str, float]]:
    """(name, share) of every fragrance allergen above the threshold, by the highest share that is known, most first."""
    total: dict[str, float] = {}
    for brought in _brought(masses, allergens_only=True):
        total[brought.name] = total.get(brought.name, 0.0) + brought.most
    return sorted(((n, s) for n, s in total.items() if s > threshold), key=lambda pair: (-pair[1], pair[0]))


class _Brought(NamedTuple):
    """What an ingredient brings of a constituent: its share of the whole, at least and at most."""

    name: str
    cas: str
    least: float
    most: float
    ingredient: Ingredient


def _brought(masses: Mapping[Ingredient, float], allergens_only: bool = False) -> Iterator[_Brought]:
    from histkit import glossary

    by_id = {ingredient.id: ingredient for ingredient in masses}
    for row in glossary.rows("constituents"):
        ingredient = by_id.get(row["ingredient"])
        if ingredient is None or not row["high"] or (allergens_only and row["allergen"].lower() != "yes"):
            continue
        least, most = (masses[ingredient] * float(row[end] or 0) / 100 for end in ("low", "high"))
        yield _Brought(row["constituent"], row["cas"], least, most, ingredient)


class _Sum(NamedTuple):
    """A constituent summed over all that brings it: its share of the whole, at least and at most."""

    name: str
    least: float = 0.0
    most: float = 0.0
    bringing: tuple[Ingredient, ...] = ()

    def and_also(self, least: float, most: float, bringing: Iterable[Ingredient]) -> _Sum:
        return _Sum(self.name, self.least + least, self.most + most, tuple(dict.fromkeys((*self.bringing, *bringing))))


def constituent_findings(masses: Mapping[Ingredient, float], product: Product, region: Region) -> Iterator[Finding]:
    """Constituents that together are above a limit for this product: surely, by the lowest share known of each oil, or perhaps.

    It is told and does not keep the mixture from the bench: what an oil holds differs from lot to lot, and its supplier's figures
    decide. `law.law_findings` refuses what is in it by itself.
    """
    if not product.on_skin:
        return
    sums = _sums(masses)
    for cas, found in sums.items():
        rules = [r for r in rules_of_cas(cas, region) if r.maximum is not None and product.fits(r.products)]
        if rules:
            strictest = min(rules, key=lambda rule: rule.maximum or 0.0)
            law = f"{strictest.law}, as of {strictest.date}"
            yield from _above(found, strictest.maximum or 0.0, "warn", law, product)
    for row in sourced("safety/constituent_limits"):
        if not region.holds(row["region"]) or not product.fits(row["products"]):
            continue
        together = _Sum(row["constituent"])
        for found in (sums[cas] for cas in tables.words(row, "cas") if cas in sums):
            together = together.and_also(found.least, found.most, found.bringing)
        level: Level = "warn" if row["level"] == "warn" else "note"
        yield from _above(together, tables.number(row, "maximum") or 0.0, level, row["law"], product)


def _sums(masses: Mapping[Ingredient, float]) -> dict[str, _Sum]:
    """By CAS number, or by name without one: what the oils bring, and what is in it as an ingredient of its own."""
    sums: dict[str, _Sum] = {}
    for name, cas, least, most, ingredient in _brought(masses):
        sums[cas or name] = sums.get(cas or name, _Sum(name)).and_also(least, most, (ingredient,))
    watched = {cas for row in sourced("safety/constituent_limits") for cas in tables.words(row, "cas")}
    for ingredient, share in masses.items():
        for cas in cas_numbers(ingredient.cas):
            if cas in sums or cas in watched:
                sums[cas] = sums.get(cas, _Sum(ingredient.name)).and_also(share, share, (ingredient,))
    return sums


def _above(found: _Sum, limit: float, level: Level, law: str, product: Product) -> Iterator[Finding]:
    if found.most <= limit * (1 + TOLERANCE):
        return
    certain = found.least > limit * (1 + TOLERANCE)
    oils = ", ".join(entry.name for entry in found.bringing)
    share, how = (found.least, "makes at least") if certain else (found.most, "may make up to")
    makes = f"{found.name} (from {oils}) {how} {100 * share:.2g} %"
    times = f"{share / limit:.2g} times " if limit else ""
    text = f"{makes}, {times}the {100 * limit:.2g} % that are set for {product.words}: {law}."
    lower = f"Lower {oils} to {at_most(limit / found.most)} of what is in it, or ask" if certain and limit else "Ask"
    yield Finding(
        level, "constituent", f"{text} {lower} your supplier for the oil's own figures.", tuple(e.id for e in found.bringing)
    )
