"""Levels of binder that were published or are common practice, and how a chosen share lies to them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient


@dataclass(frozen=True, slots=True)
class Level(Tabular):
    """A level of binder that was published or is common practice, as shares (0–1) of the finished cake."""

    kind: str
    ingredients: tuple[str, ...]
    words: str
    cake: str
    low: float
    high: float
    note: str
    mark: str
    source: str

    def holds(self, share: float) -> bool:
        """Whether a share lies within the level (to the last digit of a per cent figure)."""
        return self.low - 1e-9 <= share <= self.high + 1e-9

    def _grid(self) -> Grid:
        return levels_grid((self,), "Published level")


def levels_grid(levels: tuple[Level, ...], caption: str) -> Grid:
    columns = (
        Column("binder", "Binder"),
        Column("cake", "Sort of cake"),
        Column("low", "From %", 2),
        Column("high", "To %", 2),
        Column("note", "Note"),
        Column("source", "Source"),
    )
    rows: list[tuple[Cell, ...]] = [
        (v.words, v.cake, 100 * v.low, 100 * v.high, v.note, marked(v.mark, v.source)) for v in levels
    ]
    return Grid(columns, tuple(rows), caption)


def levels(ingredient: Ingredient | str | None = None, kind: str | None = None, cake: str | None = None) -> tuple[Level, ...]:
    """Levels from `binder_levels.csv`, all or those of an ingredient, a kind ("dry", "liquid", "wetting"), a sort of cake.

    `cake` is matched as words within the sort: "face powder" finds the translucent and the oil-blotting one.
    """
    wanted = ingredient.id if isinstance(ingredient, Ingredient) else ingredient
    every = (
        Level(
            row["kind"],
            tables.words(row, "ingredients"),
            row["words"],
            row["cake"],
            float(row["low"]),
            float(row["high"]),
            row["note"],
            row["mark"],
            cited(row),
        )
        for row in sourced("bench/binder_levels")
    )
    return tuple(
        level
        for level in every
        if (wanted is None or wanted in level.ingredients)
        and (kind is None or level.kind == kind)
        and (cake is None or cake in level.cake or level.cake == "any cake")
    )


def fence(kind: str, ingredients: Iterable[str] = (), cake: str | None = None) -> Level:
    """The highest level that is known of these binders, beyond which nothing is suggested; of all metal soaps, or oils and fats,
    where none of them has one. `kind` is "dry" or "liquid".
    """
    own = [level for key in ingredients for level in (levels(key, kind, cake) or levels(key, kind))]
    if not own:
        wanted = {key for row in sourced("bench/binder_groups") if row["kind"] == kind for key in tables.words(row, "levels")}
        own = [level for level in levels(kind=kind) if wanted & set(level.ingredients)]
    return max(own, key=lambda level: level.high)


def range_words(fitting: tuple[Level, ...]) -> str:
    """From what to what these levels run, in words."""
    parts = []
    for level in fitting:
        low, high = 100 * level.low, 100 * level.high
        run = f"{low:.3g} %" if low == high else f"{low:.3g} to {high:.3g} %"
        # what was seen in print needs no mark
        mark = "" if level.mark == "seen" else f" ({level.mark.replace('memory', 'from memory')})"
        parts.append(f"{level.words}, {level.cake}: {run}{mark}")
    return "; ".join(parts)


def judged(
    ingredient: Ingredient, kind: str, share: float, cake: str | None = None, together: float = 0.0
) -> tuple[tuple[Level, ...], str]:
    """The levels that bear on a binder of this kind, and a warning where its share of the cake lies outside all of them, else ''.

    `cake` narrows the levels to a sort of cake, where there are levels for it. `together` is the share of all binders of the
    kind: what is little of one may be enough of several.
    """
    own = levels(ingredient, kind, cake) or levels(ingredient, kind)
    fitting = own or levels(kind=kind, cake=cake)  # never empty: some levels of either kind hold for any cake
    low, high = min(level.low for level in fitting), max(level.high for level in fitting)
    asked = f"{ingredient.name} at {100 * share:.3g} % of the cake"
    inside = low - 1e-9 <= max(share, together) and share <= high + 1e-9
    if not own:
        usual = f"no level is published for it; {kind} binders run {100 * low:.3g} to {100 * high:.3g} %"
        return fitting, "" if inside else f"{asked}: {usual}. A small trial will tell."
    if inside:
        return fitting, ""
    effect = "the cake may crumble" if share <= high else "the cake may turn sticky, hard or glazed"
    return fitting, f"{asked} lies outside what is known: {range_words(own)}. {effect.capitalize()}; a small trial will tell."


def judged_wetting(liquid: Ingredient, ratio: float) -> tuple[tuple[Level, ...], str]:
    """The levels for wetting with a liquid, and a warning where `ratio` (grams for one gram of powder) lies outside them."""
    fitting = levels(liquid, "wetting") or levels(kind="wetting")
    if any(level.holds(ratio) for level in fitting):
        return fitting, ""
    outside = f"{100 * ratio:.3g} g for 100 g of powder lies outside common practice"
    return fitting, f"{liquid.name}: {outside}, {range_words(fitting)}"
