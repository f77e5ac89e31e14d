"""Which formulas of the books are nearest to one's own: the Aitchison distance between compositions."""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, counted
from histkit.books.shares import group_of, shares
from histkit.books.tables import Tables
from histkit.composing.composition import Composition
from histkit.composing.likeness import DELTA, LIMIT, aitchison, closed
from histkit.display.tabular import Tabular


@dataclass(frozen=True, slots=True)
class Neighbour:
    """A formula and how far it is from one's own."""

    distance: float
    book: str
    number: int
    title: str
    year: int | None
    page: int | None
    common: tuple[str, ...]
    """What both hold, by ingredient id."""


@dataclass(frozen=True, slots=True)
class Neighbours(Tabular):
    """The nearest formulas, the nearest first."""

    name: str
    found: tuple[Neighbour, ...]
    compared: int
    incomplete: int

    def _grid(self) -> Grid:
        columns = (
            Column("distance", "Distance", 2),
            Column("title", "Formula"),
            Column("book", "Book"),
            Column("year", "Year"),
            Column("page", "Page"),
            Column("common", "In common"),
        )
        rows: list[tuple[Cell, ...]] = [
            (
                n.distance,
                n.title or "untitled",
                n.book,
                "" if n.year is None else str(n.year),
                "" if n.page is None else str(n.page),
                ", ".join(group_of(key, "ingredient") for key in n.common),
            )
            for n in self.found
        ]
        notes = [
            f"Aitchison distance over the ingredients of either formula; shares under {100 * LIMIT:g} % count as none, and none "
            f"as {100 * DELTA:g} %. {counted(self.compared, 'formula')} compared."
        ]
        if self.incomplete:
            notes.append(f"Left out: {counted(self.incomplete, 'formula')} with a line of unknown weight.")
        return Grid(columns, tuple(rows), f"Nearest to {self.name or 'this formula'}", tuple(notes))


def nearest(
    tables: Tables, composition: Composition | Mapping[str, float], count: int = 10, kind: str | None = None
) -> Neighbours:
    """The formulas that are most like a composition, among all those of known weights (of a kind).

    Raises:
        UnknownName: there is no such kind.
        BadValue: `count` is below 1, or nothing in the composition has a share.
        TableError: the tables are missing or damaged.
    """
    if count < 1:
        raise BadValue(f"the number of formulas to show is 1 or more, not {count}")
    if isinstance(composition, Composition):
        name, own = composition.name, {part.ingredient.id: part.share for part in composition.parts}
    else:
        name, own = "", dict(composition)
    mine = closed(own, LIMIT)
    in_order = sorted(mine, key=lambda key: -mine[key])
    compared = incomplete = 0

    def neighbours() -> Iterator[Neighbour]:
        nonlocal compared, incomplete
        for formula, lines in tables.of_kind(kind):
            if formula.error:
                continue
            of_it = shares(lines)
            incomplete += of_it.incomplete
            if of_it.parts is None:
                continue
            compared += 1
            parts = of_it.parts
            common = tuple(key for key in in_order if parts.get(key, 0.0) >= LIMIT)
            distance = aitchison(mine, parts)
            yield Neighbour(distance, formula.book, formula.number, formula.title, formula.year, formula.page, common)

    chosen = heapq.nsmallest(count, neighbours(), key=lambda n: (n.distance, n.book, n.number))
    return Neighbours(name, tuple(chosen), compared, incomplete)
