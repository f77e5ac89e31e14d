"""What a change of ingredients does to a mixture: physical figures before and after, with their spread.

Each figure is worked from the glossary's property ranges. An ingredient without a value is left out of that figure and
named, never silently taken for zero. All of these are guides for choosing; the eye and the hand on a trial decide.

- Opacity index: the Fresnel reflectance of one face at right angles, ((n - m) / (n + m))^2, of each solid's refractive
  index n against the medium m, weighted by volume; against air (m = 1.000) and against an oil (m = 1.47, about that of
  most fixed oils: memory). Liquids count as volume that does not scatter. Particle size is not in it.
- Oil absorption: grams of oil for 100 g, weighted by mass; liquids take up none.
- Bulk density: mass over the sum of the loose volumes, of the powders alone.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Container, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from statistics import median
from typing import TYPE_CHECKING

from histkit.base.bibliography import sourced
from histkit.base.descriptions import Bars
from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.composing import describing
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient

if TYPE_CHECKING:
    from histkit.composing.composition import Composition, Part

AIR = 1.000
KNOWN_ENOUGH = 2 / 3
"""Share of the mass, before and after, on which figures have to rest to be compared (own judgement)."""
_PLAIN = {"more": "more", "less": "less", "none": "as before"}
"""Words for a figure that the table has none for."""
UNCHANGED = 0.005
"""Change of a figure, as a share of it, up to which it is called the same (own judgement)."""
OIL = 1.47
"""Refractive index taken for a skin or binder oil (memory: fixed oils run about 1.46 to 1.48)."""


@dataclass(frozen=True, slots=True)
class Measured(Tabular):
    """A figure of one composition: its spread (None where nothing is known), and the ingredients that had no value."""

    value: Spread | None
    without: tuple[str, ...] = ()
    known_share: float = 1.0
    """Share of the mass that the figure rests on."""

    def _grid(self) -> Grid:
        columns = (Column("value", "Value"), Column("known", "Of the mass known, %", 1), Column("without", "No value for"))
        return Grid(columns, ((_text(self.value), self.known_share * 100, ", ".join(self.without)),), "Figure of a composition")


@dataclass(frozen=True, slots=True)
class Effect(Tabular):
    """One figure before and after a change."""

    key: str
    heading: str
    unit: str
    before: Measured
    after: Measured
    unknown: tuple[str, ...] = ()
    """Names of what went or came without a value for this: then nothing can be said of the change."""

    @property
    def comparable(self) -> bool:
        """Whether before and after rest on enough to be compared, and on a value of all that changed."""
        rests = min(self.before.known_share, self.after.known_share)
        known = self.before.value is not None and self.after.value is not None
        return known and not self.unknown and rests >= KNOWN_ENOUGH

    @property
    def change(self) -> float | None:
        """After over before, less 1 (0.1 is a tenth more); None where the two cannot be compared or the first is 0."""
        if not self.comparable or self.before.value is None or self.after.value is None or self.before.value.best == 0:
            return None
        return self.after.value.best / self.before.value.best - 1

    def verdict(self) -> str:
        """What the change does in a maker's words: 'covers more, about 2.4 times', 'takes less oil (−35 %)', 'not known: …'."""
        rows = {row["key"]: row for row in sourced("composing/effect_words")}
        words = rows.get(self.key, _PLAIN)
        if not self.comparable or self.before.value is None or self.after.value is None:
            lacking = ", ".join(self.unknown or self.without)
            return f"not known{f': no value for {lacking}' if lacking else ''}"
        first, second = self.before.value.best, self.after.value.best
        if abs(second - first) <= UNCHANGED * max(first, second):
            return words["none"]
        said = words["more"] if second > first else words["less"]
        return f"{said}{_how_much(first, second)}{'' if self.certain else ', not sure'}"

    @property
    def without(self) -> tuple[str, ...]:
        """The ingredients, before or after, that have no value for this."""
        return tuple(dict.fromkeys((*self.before.without, *self.after.without)))

    @property
    def certain(self) -> bool:
        """Whether the two spreads lie apart, so that the direction of the change does not hang on the ranges."""
        first, second = self.before.value, self.after.value
        return first is not None and second is not None and (first.high < second.low or second.high < first.low)

    def text(self) -> str:
        """The effect in words, with the figures behind it."""
        missing = f" (no value for {', '.join(self.without)})" if self.without else ""
        unit = f" {self.unit}" if self.unit else ""
        figures = f"{_text(self.before.value)} before, {_text(self.after.value)} after{unit}"
        return f"{self.heading}: {self.verdict()}; {figures}{missing}"

    def _grid(self) -> Grid:
        return _effects_grid((self,), self.heading)


@dataclass(frozen=True, slots=True)
class Effects(Tabular):
    """All figures before and after, with the cautions that went and came."""

    rows: tuple[Effect, ...]
    cautions_gone: tuple[tuple[str, Caution], ...] = ()
    """(ingredient id, caution) for what no longer applies."""
    cautions_new: tuple[tuple[str, Caution], ...] = ()

    def __getitem__(self, key: str) -> Effect:
        for row in self.rows:
            if row.key == key:
                return row
        raise BadValue(f"no effect is called {key!r}; there are {', '.join(row.key for row in self.rows)}")

    def describe(self) -> Bars:
        """The figures as they are to be shown. Raises BadValue where none is known or above 0."""
        return describing.effects_bars(self)

    def to_picture(self, path: str | Path, size: Sequence[int] = (1920, 1080)) -> list[Path]:
        """Before and after as pairs of bars with their spread (.png, .svg, .pdf); the paths written."""
        from histkit.display import pictures

        return pictures.save(self.describe(), path, size)

    def _grid(self) -> Grid:
        notes = [f"Caution gone ({c.level}): {who}: {c.text}" for who, c in self.cautions_gone]
        notes += [f"Caution new ({c.level}): {who}: {c.text}" for who, c in self.cautions_new]
        return _effects_grid(self.rows, "Before and after", tuple(notes))


def _effects_grid(rows: Iterable[Effect], caption: str, notes: tuple[str, ...] = ()) -> Grid:
    columns = (
        Column("effect", "What"),
        Column("verdict", "What it does"),
        Column("before", "Before"),
        Column("after", "After"),
        Column("unit", "Unit"),
        Column("without", "No value for"),
    )
    cells: list[tuple[Cell, ...]] = [
        (e.heading, e.verdict(), _text(e.before.value), _text(e.after.value), e.unit, _gaps(e)) for e in rows
    ]
    return Grid(columns, tuple(cells), caption, notes)


def _gaps(effect: Effect) -> str:
    """What has no value, and on how much of the mass the two figures rest: with gaps they may not be comparable."""
    if not effect.without:
        return ""
    before, after = 100 * effect.before.known_share, 100 * effect.after.known_share
    return f"{', '.join(effect.without)} (known of {before:.3g} % of the mass before, {after:.3g} % after)"


def _how_much(first: float, second: float) -> str:
    """How far a figure moved: in per cent, in times where it is more than doubled, nothing where there was none."""
    if first == 0 or second == 0:
        return ""
    if second >= 2 * first:
        return f", about {second / first:.2g} times"
    return f" ({'+' if second > first else '−'}{100 * abs(second / first - 1):.0f} %)"


def _text(value: Spread | None) -> str:
    return "not known" if value is None else str(value)


def fresnel(index: float, medium: float) -> float:
    """Share of light that one face throws back at right angles: ((n - m) / (n + m))^2, both refractive indices above 0.

    Source: the Fresnel equations at normal incidence (any textbook of optics).
    """
    if not (index > 0 and medium > 0 and math.isfinite(index) and math.isfinite(medium)):
        raise BadValue(f"refractive indices lie above 0, not {index} and {medium}")
    return ((index - medium) / (index + medium)) ** 2


def fresnel_spread(index: Spread, medium: float) -> Spread:
    """`fresnel` over a range of indices; it falls to 0 where the range reaches the medium."""
    ends = [fresnel(index.low, medium), fresnel(index.high, medium)]
    low = 0.0 if index.low <= medium <= index.high else min(ends)
    return Spread(low, fresnel(index.best, medium), max(ends))


def weighted_mean(values: Sequence[Spread], weights: Sequence[Spread]) -> Spread:
    """The mean of `values` by `weights` (none negative, not all 0) with its exact bounds over all the ranges.

    A mean is lowest where low values have their highest weight: so sort by value and try every threshold.
    """
    best = math.fsum(v.best * w.best for v, w in zip(values, weights, strict=True)) / math.fsum(w.best for w in weights)

    def bound(side: list[float], sign: int) -> float:
        order = sorted(range(len(side)), key=lambda i: sign * side[i])
        means = []
        for cut in range(len(order) + 1):
            heavy = set(order[:cut])
            taken = [weights[i].high if i in heavy else weights[i].low for i in range(len(side))]
            if (total := math.fsum(taken)) > 0:
                means.append(math.fsum(v * w for v, w in zip(side, taken, strict=True)) / total)
        return sign * min(sign * mean for mean in means)

    low, high = bound([v.low for v in values], 1), bound([v.high for v in values], -1)
    return Spread(min(low, best), best, max(high, best))


def solid_density(ingredient: Ingredient) -> Spread | None:
    """Density of the substance without air, g/cm3: "true-density", or "density" for liquids and melted fats."""
    first, second = ("density", "true-density") if ingredient.liquid else ("true-density", "density")
    return ingredient.value(first) or ingredient.value(second)


def _known(parts: Iterable[Part], test: Callable[[Ingredient], bool]) -> tuple[list[Part], tuple[str, ...], float]:
    every = list(parts)
    kept = [p for p in every if test(p.ingredient)]
    total = math.fsum(p.share for p in every)
    share = math.fsum(p.share for p in kept) / total if total else 0.0
    return kept, tuple(p.ingredient.name for p in every if not test(p.ingredient)), share


def _nothing(ingredient: Ingredient, of: str) -> Spread | None:
    """A liquid neither scatters nor takes up oil; anything else has what the glossary says."""
    return Spread.exact(0.0) if ingredient.liquid else ingredient.value(of)


def opacity(composition: Composition, medium: float = AIR) -> Measured:
    """The opacity index (0–1) of the mixture in a medium of that refractive index."""
    kept, without, share = _known(
        composition.parts, lambda i: solid_density(i) is not None and _nothing(i, "refractive-index") is not None
    )
    if not kept:
        return Measured(None, without, 0.0)
    values, volumes = [], []
    for part in kept:
        index, density = part.ingredient.value("refractive-index"), solid_density(part.ingredient)
        assert density is not None
        scatters = index is not None and not part.ingredient.liquid
        values.append(fresnel_spread(index, medium) if scatters and index is not None else Spread.exact(0.0))
        volumes.append(Spread(part.share / density.high, part.share / density.best, part.share / density.low))
    return Measured(weighted_mean(values, volumes), without, share)


def oil_absorption(composition: Composition) -> Measured:
    """Grams of oil that 100 g take up, by mass over the ingredients with a value."""
    kept, without, share = _known(composition.parts, lambda i: _nothing(i, "oil-absorption") is not None)
    if not kept:
        return Measured(None, without, 0.0)
    spreads = [_nothing(p.ingredient, "oil-absorption") or Spread.exact(0.0) for p in kept]
    return Measured(weighted_mean(spreads, [Spread.exact(p.share) for p in kept]), without, share)


def _by_volume(parts: Iterable[Part], density: Callable[[Ingredient], Spread | None]) -> Measured:
    """Mass over the sum of volumes: the harmonic mean of the densities by mass."""
    kept, without, share = _known(parts, lambda i: density(i) is not None)
    if not kept:
        return Measured(None, without, 0.0)
    mass = math.fsum(p.share for p in kept)

    def mean(side: str) -> float:
        return mass / math.fsum(p.share / getattr(density(p.ingredient), side) for p in kept)

    return Measured(Spread(mean("low"), mean("best"), mean("high")), without, share)


def bulk_density(composition: Composition) -> Measured:
    """Loose density of the powders in it, g/cm3, by volume. Fine powders fill the gaps of coarse ones, so it reads low."""
    powders = [p for p in composition.parts if not p.ingredient.liquid]
    return _by_volume(powders, lambda i: i.value("bulk-density")) if powders else Measured(None, (), 0.0)


def true_density(composition: Composition) -> Measured:
    """Density without any air, g/cm3, by volume (the mixture rule)."""
    return _by_volume(composition.parts, solid_density)


def in_family(ingredient: Ingredient, family: str) -> bool:
    """Whether an ingredient is of a family of `families.csv` ("starch", "stearate": the metal ones), by its kind or its id."""
    rows = (row for row in sourced("composing/families") if row["family"] == family)
    return any(row["value"] == (ingredient.kind if row["match"] == "kind" else ingredient.id) for row in rows)


def share_where(composition: Composition, test: Callable[[Ingredient], bool]) -> Measured:
    """Share of the mass (per cent) of the ingredients that pass the test."""
    return Measured(Spread.exact(100 * math.fsum(p.share for p in composition.parts if test(p.ingredient))))


def price(composition: Composition, prices: Mapping[str, float]) -> Measured:
    """Price of 100 g from the price of one gram of each ingredient, over those with a price."""
    kept, without, share = _known(composition.parts, lambda i: i.id in prices)
    if not kept:
        return Measured(None, without, 0.0)
    return Measured(Spread.exact(100 * math.fsum(p.share * prices[p.ingredient.id] for p in kept)), without, share)


def _moved(before: Composition, after: Composition) -> frozenset[str]:
    """Names of what went, came, or changed its share otherwise than all the rest: what only makes room did not move."""
    both = {i: after.share(i) / before.share(i) for i in before.ingredients if i in after.ingredients}
    usual = median(both.values()) if both else 1.0
    stayed = {i for i, ratio in both.items() if math.isclose(ratio, usual, rel_tol=1e-6)}
    return frozenset(i.name for i in (*before.ingredients, *after.ingredients) if i not in stayed)


def _effect(key: str, heading: str, unit: str, first: Measured, second: Measured, moved: Container[str]) -> Effect:
    unknown = tuple(name for name in dict.fromkeys((*first.without, *second.without)) if name in moved)
    return Effect(key, heading, unit, first, second, unknown)


def _main(role: str) -> Callable[[Ingredient], bool]:
    return lambda ingredient: any(r.role == role and r.main for r in ingredient.roles)


def compare(before: Composition, after: Composition, prices: Mapping[str, float] | None = None) -> Effects:
    """The figures of both compositions side by side, and the cautions gone and new.

    `prices` maps ids to the price of one gram, in any one currency.
    """
    measures: list[tuple[str, str, str, Callable[[Composition], Measured]]] = [
        ("opacity", "opacity index in air", "", lambda c: opacity(c, AIR)),
        ("opacity-in-oil", "opacity index in oil", "", lambda c: opacity(c, OIL)),
        ("oil-absorption", "oil absorption", "g/100 g", oil_absorption),
        ("bulk-density", "bulk density", "g/cm3", bulk_density),
        ("starch", "share of starch", "%", lambda c: share_where(c, lambda i: in_family(i, "starch"))),
        ("stearate", "share of stearate", "%", lambda c: share_where(c, lambda i: in_family(i, "stearate"))),
        ("slip", "share chiefly for slip", "%", lambda c: share_where(c, _main("slip"))),
    ]
    if prices is not None:
        measures.append(("price", "price", "for 100 g", lambda c: price(c, prices)))
    moved = _moved(before, after)
    rows = tuple(_effect(key, heading, unit, work(before), work(after), moved) for key, heading, unit, work in measures)
    old, new = before.cautions_by_ingredient, after.cautions_by_ingredient
    old_set, new_set = {c for _, c in old}, {c for _, c in new}
    gone = tuple((i.id, c) for i, c in old if c not in new_set)
    come = tuple((i.id, c) for i, c in new if c not in old_set)
    return Effects(rows, gone, come)
