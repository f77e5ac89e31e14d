"""What formulas have in common: the core that all hold with the range of its shares, and of the rest how many have it, and how
much then. A mean over formulas that lack what others have says little: each nought must be given some share, and that decides it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median
from typing import TYPE_CHECKING

from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.telling.aligning import VersionRow

NOTE = (
    "Least, middle and most are those of the formulas that have it and say how much, where only one does its figure alone; lists"
    " without amounts count in how many have it, but not what only may be in one. The middle is the median: one odd formula does"
    " not move it."
)


@dataclass(frozen=True, slots=True)
class Usual(Tabular):
    """An ingredient of some formulas: `held` of `among` have it; `shares` are least, median and most of those that say how much
    (0–1), None where none does."""

    ingredient: Ingredient
    role: str
    held: int
    among: int
    shares: Spread | None

    @property
    def in_all(self) -> bool:
        """Whether it belongs to the core."""
        return self.held == self.among

    def _grid(self) -> Grid:
        return usual_grid((self,))


def usual(rows: Sequence[VersionRow]) -> tuple[Usual, ...]:
    """Every ingredient, the core first, then what most have; within that the greatest median first."""
    found = []
    for row in rows:
        among = len(row.shares)
        shares = [share for share in row.shares if share]
        spread = Spread(min(shares), median(shares), max(shares)) if shares else None
        held = sum(row.held(place) and not (entry and entry.perhaps) for place, entry in enumerate(row.listed))
        found.append(Usual(row.ingredient, row.role, held, among, spread))
    return tuple(sorted(found, key=lambda u: (-u.held, -(u.shares.best if u.shares else 0.0), u.ingredient.name)))


def usual_grid(found: Sequence[Usual]) -> Grid:
    """The same as a table."""
    columns = (
        Column("ingredient", "Ingredient"),
        Column("does", "What it does"),
        Column("held", "Have it"),
        Column("least", "Least, %", 1),
        Column("middle", "Middle, %", 1),
        Column("most", "Most, %", 1),
    )
    rows: list[tuple[Cell, ...]] = []
    for u in found:
        count = f"all {u.among}" if u.in_all else f"{u.held} of {u.among}"
        rows.append((u.ingredient.name, u.role, count.replace(" ", "\u00a0"), *_figures(u.shares)))
    return Grid(columns, tuple(rows), "In common, and what is usual", (NOTE,))


def _figures(shares: Spread | None) -> tuple[Cell, Cell, Cell]:
    """Least, middle and most; of a single figure the middle alone."""
    if shares is None:
        return None, None, None
    if shares.low == shares.high:
        return None, _percent(shares.best), None
    return _percent(shares.low), _percent(shares.best), _percent(shares.high)


def _percent(share: float) -> Cell:
    return 100 * share if share >= 0.0005 else "under 0.1"
