"""Which formulas of the books are nearest to one's own: the Aitchison distance between compositions."""

from __future__ import annotations

import heapq
import math
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, counted
from histkit.books.shares import group_of, shares
from histkit.books.tables import Tables
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular

LIMIT = 0.001
"""Shares below this are taken as not there: receipts seldom state less, and what is 'to taste' has no figure. Common practice."""
DELTA = 0.65 * LIMIT
"""What stands for a share that is not there: 65 % of the limit, after J. A. Martín-Fernández, C. Barceló-Vidal and
V. Pawlowsky-Glahn, Dealing with zeros and missing values in compositional data sets using nonparametric imputation,
Mathematical Geology 35 (2003), 253-278; the fraction as in the documentation of the R package zCompositions."""


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


def without_zeros(shares: Iterable[float], delta: float = DELTA) -> list[float]:
    """Shares with `delta` for each zero and the others lessened in proportion, so that they add to 1 and keep their ratios.

    The multiplicative replacement of Martín-Fernández, Barceló-Vidal and Pawlowsky-Glahn (2003).

    Raises:
        BadValue: a share is negative or none is positive, or so many are zero that delta leaves nothing for the rest.
    """
    values = list(shares)
    total = math.fsum(values)
    if not values or min(values) < 0 or not 0 < total < math.inf:
        raise BadValue("shares are 0 or more, and at least one is above 0")
    zeros = sum(v == 0 for v in values)
    if zeros * delta >= 1:
        raise BadValue(f"{zeros} shares are nought; at {delta:g} for each nothing is left for the others")
    return [v / total * (1 - zeros * delta) if v else delta for v in values]


def aitchison(one: Mapping[str, float], two: Mapping[str, float], delta: float = DELTA, limit: float = LIMIT) -> float:
    """The Aitchison distance of two compositions (ingredient → share): Euclid's, between the centred logarithms of their parts.

    The parts are those of either; shares below `limit` count as nought and nought as `delta` (J. Aitchison, The Statistical
    Analysis of Compositional Data, London 1986, for the centred log-ratio; `without_zeros` for the noughts).
    """
    pair = [_closed(shares, limit) for shares in (one, two)]
    parts = sorted(set(pair[0]) | set(pair[1]))
    logs = [[math.log(v) for v in without_zeros([shares.get(p, 0.0) for p in parts], delta)] for shares in pair]
    centred = [[v - math.fsum(values) / len(values) for v in values] for values in logs]
    return math.dist(*centred)


def _closed(shares: Mapping[str, float], limit: float) -> dict[str, float]:
    total = math.fsum(shares.values())
    if not total > 0:
        raise BadValue("a composition has at least one share above 0")
    return {key: share / total for key, share in shares.items() if share / total >= limit}


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
    mine = _closed(own, LIMIT)
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
