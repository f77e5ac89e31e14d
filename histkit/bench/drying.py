"""What of a mixture dries off when it is pressed, and what stays: the dry basis of a cake.

Spirit, water and the like are no part of a cake, a gum in solution counts by its solids, a tincture by what it leaves. The
glossary's own compositions say what a liquid holds; where it has none, a wide range for its kind is taken
(`drying_kinds.csv`). What must not be used is never dried away: it stays in sight, so that the bench refuses it.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from histkit.base import tables
from histkit.base.bibliography import cited, sourced
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.bench.consistency import consistency
from histkit.composing.composition import Composition, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.within import forbidden_within

DRIES_FROM = 0.5
"""Share of water and spirit from which on a liquid dries in a powder (own judgement): mucilage does, syrup and glycerin stay
moist."""
MOST_LIQUID = 0.30
"""Grams of liquid that one gram of powder takes in wet pressing at most (common practice, as in `binder_levels.csv`)."""
LEAST_POWDER = 0.5
"""Share of powders in the dry mass below which a mixture is no powder (own judgement)."""
PERFUME_HOLDS = 0.05
"""Share of powders below which a spirit is a perfume and no wash (own judgement)."""
BARE = 0.005
"""Share of powders in the dry mass below which there is none to press (own judgement)."""
MOIST_FROM = 0.01
"""Share of water in the cake from which on it is called moist (own judgement)."""
_WATER = "water"


@dataclass(frozen=True, slots=True)
class Dried(Tabular):
    """One liquid of a mixture that dries off: its share of the mixture as it was, and what of the liquid stays (0–1).

    `leaves` is what stays, where it is one thing that can be weighed by itself; `wets` what is poured on the powder then, as
    share of the liquid.
    """

    ingredient: Ingredient
    share: float
    stays: Spread
    words: str
    leaves: Ingredient | None = None
    wets: tuple[tuple[Ingredient, float], ...] = ()

    def note(self, dry: float) -> str:
        """How it was counted, in words; `dry` is the share of the mixture that stays."""
        name, percent = self.ingredient.name, f"{100 * self.share:.3g} %"
        if self.leaves is not None:
            kept, rest = 100 * self.stays.best, " and ".join(i.name for i, _ in self.wets)
            return (
                f"{name} ({percent} of the formula) is counted by what it leaves, {kept:.3g} % {self.leaves.name}; {rest} dries"
                f" off. Weigh the two apart, or pour {name} in their place"
            )
        low, high = (100 * self.share * part / dry for part in (self.stays.low, self.stays.high))
        run = f"{high:.2g}" if low == high else f"{low:.2g} to {high:.2g}"
        left = f"; what it leaves, about {run} % of the cake, is not counted" if high >= 0.05 else ""
        return f"{name} ({percent} of the formula) is no part of the cake: {self.words}{left}"

    def _grid(self) -> Grid:
        columns = (Column("ingredient", "Liquid"), Column("share", "Of the mixture, %", 2), Column("stays", "Of it stays"))
        return Grid(columns, ((self.ingredient.name, 100 * self.share, str(self.stays)),), "What dries off")


@dataclass(frozen=True, slots=True)
class DryBasis(Tabular):
    """A mixture without what dries off: `given` is the mixture, `dry` what stays of it (adds to 1), `dried` are the liquids,
    `share` what of the mixture stays.
    """

    given: Composition
    dry: Composition
    dried: tuple[Dried, ...] = ()
    share: float = 1.0
    warnings: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """How each liquid was counted."""
        return tuple(liquid.note(self.share) for liquid in self.dried)

    @property
    def no_powder(self) -> str:
        """That it is no powder, with what to do instead; '' where it is one."""
        return next(iter(_no_powder(self.given, self.dry, self.dried)), "")

    def wetting(self) -> dict[Ingredient, float]:
        """Grams of each liquid for one gram of dry powder, as much of them as a powder takes."""
        poured: dict[Ingredient, float] = {}
        for liquid in self.dried:
            for ingredient, part in liquid.wets:
                poured[ingredient] = poured.get(ingredient, 0.0) + liquid.share * part / self.share
        total = math.fsum(poured.values())
        scale = min(1.0, MOST_LIQUID / total) if total > 0 else 1.0
        return {ingredient: grams * scale for ingredient, grams in poured.items()}

    def _grid(self) -> Grid:
        columns = (Column("ingredient", "Ingredient"), Column("percent", "Of the dry mass, %", 2))
        rows = tuple((part.ingredient.name, 100 * part.share) for part in self.dry.parts)
        return Grid(columns, rows, "Dry basis", (*self.warnings, *self.notes))


def _held(ingredient: Ingredient, ids: frozenset[str]) -> float:
    """The share of these in an ingredient, by what the glossary says it is made of."""
    if ingredient.id in ids:
        return 1.0
    return math.fsum(share * _held(resolve(part), ids) for part, share in ingredient.made_of)


def volatile(ingredient: Ingredient) -> float:
    """The share of an ingredient that flies off (water, spirit, ether), by what the glossary says it is made of."""
    flying = (key for row in sourced("bench/drying_kinds") for key in tables.words(row, "ingredients"))
    return _held(ingredient, frozenset(flying))


def stays(ingredient: Ingredient) -> tuple[Spread, str]:
    """What of an ingredient stays when a cake of it has dried (0–1), and the words for it; 1 for all that is no liquid.

    Oils, scents and syrups stay; what must not be used is taken to stay.
    """
    whole = Spread.exact(1.0), ""
    if not ingredient.liquid or forbidden_within(ingredient):
        return whole
    for row in sourced("bench/drying_kinds"):
        if ingredient.id in tables.words(row, "ingredients"):
            return _of_kind(row)
    water = ingredient.value("water-share")
    if ingredient.made_of and (flies := volatile(ingredient)) >= DRIES_FROM:
        return Spread.exact(max(0.0, round(1 - flies, 12))), "water and spirit dry off, by what the glossary says it is made of"
    if water is not None:
        dries = water.best >= DRIES_FROM
        return (Spread(1 - water.high, 1 - water.best, 1 - water.low), "its water dries off") if dries else whole
    if ingredient.made_of:
        return whole
    kinds = [row for row in sourced("bench/drying_kinds") if row["kinds"] == ingredient.kind]
    return _of_kind(kinds[0]) if kinds and ingredient.kind else whole


def _of_kind(row: dict[str, str]) -> tuple[Spread, str]:
    return Spread(float(row["low"]), float(row["best"]), float(row["high"])), f"{row['words']} ({cited(row, mark=True)})"


def dry_basis(composition: Composition) -> DryBasis:
    """The composition without what dries off. The same composition where nothing does, or where nothing would stay; then the
    warning says so, and what to do instead.
    """
    dried = tuple(filter(None, (_dried(part.ingredient, part.share) for part in composition.parts)))
    if not dried:
        return DryBasis(composition, composition, warnings=(*_no_powder(composition, composition, ()), *_moist(composition)))
    gone = {liquid.ingredient for liquid in dried}
    masses: list[tuple[Ingredient | str, float]] = [
        (p.ingredient, p.share) for p in composition.parts if p.ingredient not in gone
    ]
    masses += [(liquid.leaves, liquid.share * liquid.stays.best) for liquid in dried if liquid.leaves is not None]
    share = math.fsum(mass for _, mass in masses)
    if share <= 1e-9:
        names = ", ".join(liquid.ingredient.name for liquid in dried)
        return DryBasis(
            composition, composition, warnings=(f"There is no powder in this, only {names}: {_advice('nothing')[1]}.",)
        )
    notes = {p.ingredient.id: p.note for p in composition.parts}
    for liquid in dried:
        if liquid.leaves is not None:
            notes.setdefault(liquid.leaves.id, f"from {liquid.ingredient.name}")
    dry = Composition.of(
        masses,
        composition.name,
        composition.changes,
        composition.omitted,
        composition.source,
        notes,
        composition.printed,
        composition.declared,
    )
    # Of what is no powder it need not be said that it is too wet for one.
    first = _no_powder(composition, dry, dried) or _too_wet(dried, share)
    return DryBasis(composition, dry, dried, share, (*first, *_watery(dried), *_moist(dry)))


def _poured(dried: tuple[Dried, ...]) -> list[tuple[Ingredient, float]]:
    """(liquid, share of the mixture) of all that wets the powder."""
    return [(i, liquid.share * part) for liquid in dried for i, part in liquid.wets]


def _too_wet(dried: tuple[Dried, ...], share: float) -> tuple[str, ...]:
    """How much liquid is too much for a powder. `share` is what stays of the mixture."""
    total = math.fsum(grams for _, grams in _poured(dried))
    if total / share <= MOST_LIQUID * (1 + 1e-9):
        return ()
    return (
        f"The formula has {100 * total / share:.3g} g of liquid that dries off for 100 g of what stays, more than a powder takes:"
        f" wet it with {100 * MOST_LIQUID:.3g} g of that liquid for 100 g of powder at most, or leave it out.",
    )


def _watery(dried: tuple[Dried, ...]) -> tuple[str, ...]:
    """That water must go, where it is mostly water."""
    poured = _poured(dried)
    if math.fsum(grams * _water_in(i) for i, grams in poured) <= math.fsum(grams for _, grams in poured) / 2:
        return ()
    return (
        "It is wetted with water: dry the cake through within a day. A cake that stays moist grows mould and needs a"
        " preservative, which a safety assessor chooses.",
    )


def _water_in(liquid: Ingredient) -> float:
    """The share of water in a liquid, by what it is made of, its water share, or its kind."""
    known = liquid.value("water-share")
    if known is not None:
        return known.best
    return _held(liquid, frozenset({_WATER})) if liquid.made_of else float(liquid.kind in ("water", "botanical"))


def _dried(ingredient: Ingredient, share: float) -> Dried | None:
    """How a part dries; None where it stays as it is."""
    kept, words = stays(ingredient)
    if kept.low >= 1:
        return None
    parts = [(resolve(key), part) for key, part in ingredient.made_of]
    left = [(i, part) for i, part in parts if stays(i)[0].best > 0]
    if len(left) == 1 and stays(left[0][0])[0].low == 1 and left[0][0].kind != "botanical" and not left[0][0].liquid:
        (leaves, solid), wets = left[0], tuple((i, part) for i, part in parts if i != left[0][0])
        return Dried(ingredient, share, Spread.exact(solid), words, leaves, wets)
    return Dried(ingredient, share, kept, words, None, ((ingredient, 1.0),))


def _advice(key: str) -> tuple[str, str]:
    row = next(row for row in sourced("bench/no_powder") if row["id"] == key)
    return row["sort"], row["advice"]


def _no_powder(whole: Composition, dry: Composition, dried: tuple[Dried, ...]) -> tuple[str, ...]:
    """A sentence where a mixture is no powder, with what to do instead; empty where it is one."""
    flying = math.fsum(liquid.share * (1 - liquid.stays.best) for liquid in dried)
    powders = math.fsum(p.share for p in dry.parts if consistency(p.ingredient) == "powder")
    if flying <= 0.5 and powders >= LEAST_POWDER:
        return ()
    fats = math.fsum(p.share for p in dry.parts if consistency(p.ingredient) == "fat")
    if flying > 0.5:
        water = math.fsum(d.share * _water_in(d.ingredient) for d in dried)
        spirituous = water < flying / 2 and powders * (1 - flying) < PERFUME_HOLDS
        sort = "perfume" if spirituous else "wash"
    else:
        sort = "cream" if fats > 0 else "oil"
    words, advice = _advice(sort)
    if powders < BARE and sort != "perfume":
        advice = _advice("bare")[1]
    flies = f"{100 * flying:.3g} % of it dries off, and " if flying >= 0.001 else ""
    held = f"{flies}{100 * powders:.3g} % of what stays is powder"
    return (f"This is no powder but {words}: {held}. {advice[0].upper()}{advice[1:]}.",)


def _moist(dry: Composition) -> tuple[str, ...]:
    """A sentence where water stays in the cake and nothing in it keeps it from spoiling."""
    # The water of a dry soap is bound; what is soft or liquid spoils.
    moist = [p for p in dry.parts if consistency(p.ingredient) != "powder"]
    waters = {p.ingredient.name: p.share * _water_in(p.ingredient) for p in moist}
    total = math.fsum(waters.values())
    if total < MOIST_FROM or any(i.has_role("preservative") for i in dry.ingredients):
        return ()
    names = ", ".join(name for name, share in waters.items() if share >= MOIST_FROM / 4)
    return (
        f"About {100 * total:.2g} % of water stays in it with {names}: without a preservative it may spoil. Make it fresh, or"
        " have a safety assessor choose a preservative.",
    )
