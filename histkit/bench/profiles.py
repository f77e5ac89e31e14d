"""What a base usually takes to be pressed: binder, oil, pressure for powders of talc, mica, starch, magnesia, chalk, no talc.

A profile is chosen by what the powder is chiefly of (`base_profiles.csv`, the first row that fits); it is a place to begin a
ladder of trial presses at, no rule.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.bench.consistency import consistency
from histkit.bench.drying import LEAST_POWDER
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient


@dataclass(frozen=True, slots=True)
class BaseProfile(Tabular):
    """What a sort of powder usually takes: shares (0–1) of the finished cake, pressure in MPa.

    `share` is what of this powder speaks for the profile; `wet` the id of a liquid to press it wet with, '' for none.
    """

    id: str
    words: str
    share: float
    binder: Spread
    oil: Spread
    pressure: Spread
    wet: str
    remark: str
    mark: str
    source: str

    def text(self) -> str:
        """It in one sentence, with its source."""
        binder, oil = (_run(spread * 100) for spread in (self.binder, self.oil))
        share = f" ({100 * self.share:.0f} % of it)" if self.share else ""
        wet = f", or wet with {self.wet.replace('-', ' ')}" if self.wet else ""
        return (
            f"A powder {self.words}{share} usually takes {binder} % of dry binder and {oil} % of oil, at"
            f" {_run(self.pressure)} MPa{wet}: {self.remark} ({marked(self.mark, self.source)})."
        )

    def _grid(self) -> Grid:
        columns = (
            Column("base", "Base"),
            Column("binder", "Dry binder, % of the cake"),
            Column("oil", "Oil, % of the cake"),
            Column("pressure", "MPa"),
            Column("remark", "Remark"),
            Column("source", "Source"),
        )
        figures = (str(self.binder * 100), str(self.oil * 100), _run(self.pressure))
        row: tuple[Cell, ...] = (self.words, *figures, self.remark, marked(self.mark, self.source))
        return Grid(columns, (row,), "What this base usually takes")


def _run(spread: Spread) -> str:
    low, high = (f"{side:.3g}" for side in (spread.low, spread.high))
    return low if low == high else f"{low} to {high}"


def base_profile(composition: Composition) -> BaseProfile | None:
    """The profile of a powder; None where it is of none of these sorts, or no powder. What dries off is no part of it."""
    powders = [p for p in composition.parts if consistency(p.ingredient) == "powder"]
    whole = math.fsum(p.share for p in powders)
    if whole < LEAST_POWDER:
        return None
    for row in sourced("bench/base_profiles"):
        share = math.fsum(p.share for p in powders if _of(p.ingredient, row)) / whole
        without = math.fsum(p.share for p in powders if p.ingredient.id in tables.words(row, "without")) / whole
        if share >= float(row["least"]) - 1e-9 and without < 0.01:
            return _profile(row, share)
    return None


def _of(ingredient: Ingredient, row: tables.Row) -> bool:
    return ingredient.id in tables.words(row, "ingredients") or ingredient.kind in tables.words(row, "kinds")


def _profile(row: tables.Row, share: float) -> BaseProfile:
    def spread(name: str) -> Spread:
        return Spread(*(float(row[f"{name}_{side}"]) for side in ("low", "best", "high")))

    low, high = float(row["mpa_low"]), float(row["mpa_high"])
    pressure = Spread(low, math.sqrt(low * high), high)
    levels = (spread("binder"), spread("oil"), pressure)
    return BaseProfile(row["id"], row["words"], share, *levels, row["wet"], row["remark"], row["mark"], cited(row))
