"""Questions put to the tables of a run: which formulas hold lead and when it was last seen, how a kind of formula changed from
decade to decade.

Every answer says how many formulas stand behind a figure and how many were left out, and why: a mean of three is a mean of
three. The tables are read once, row by row.
"""

from __future__ import annotations

import math
from collections import defaultdict
from dataclasses import dataclass, field

from histkit.base.errors import BadValue, UnknownName
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, counted
from histkit.books.kinds import holds, metal_names
from histkit.books.shares import WAYS, grouped, shares
from histkit.books.tables import FormulaCells, LineCells, Tables
from histkit.display.tabular import Tabular

FEW = 5
"""Below so many formulas a mean is marked: one book may have made it (common practice, no source)."""
_OTHERS = "others"


def decade(year: float) -> int:
    """1872 → 1870."""
    return int(year) // 10 * 10


@dataclass(frozen=True, slots=True)
class Seen:
    """A formula that holds the metal."""

    book: str
    number: int
    title: str
    year: int | None
    page: int | None
    ingredients: tuple[str, ...]
    share: float | None
    """Share of the metal's compounds in the mass, where all weights are known."""

    def where(self) -> str:
        page = f", p. {self.page}" if self.page is not None else ""
        return f"{self.title or 'untitled'} ({self.book}{page}{f', {self.year}' if self.year else ''})"


@dataclass(frozen=True, slots=True)
class MetalDecade:
    """One decade: how many formulas were looked at, how many hold the metal, how many perhaps (a name that has meant it)."""

    decade: int
    formulas: int
    holding: int
    perhaps: int
    books: int


@dataclass(frozen=True, slots=True)
class MetalHistory(Tabular):
    """Which formulas hold a metal, decade by decade, and when it was first and last seen."""

    metal: str
    kind: str | None
    decades: tuple[MetalDecade, ...]
    seen: tuple[Seen, ...]
    undated: int
    unreadable: int

    @property
    def first(self) -> Seen | None:
        """The oldest formula that holds it."""
        return min((s for s in self.seen if s.year is not None), key=lambda s: s.year or 0, default=None)

    @property
    def last(self) -> Seen | None:
        """The latest formula that holds it."""
        return max((s for s in self.seen if s.year is not None), key=lambda s: s.year or 0, default=None)

    def _grid(self) -> Grid:
        columns = (
            Column("decade", "Decade"),
            Column("formulas", "Formulas", 0),
            Column("holding", f"Hold {self.metal}", 0),
            Column("percent", "Per cent", 1),
            Column("perhaps", "Perhaps", 0),
            Column("books", "Books", 0),
        )
        rows: list[tuple[Cell, ...]] = [
            (f"{d.decade}s", d.formulas, d.holding, 100 * d.holding / d.formulas if d.formulas else None, d.perhaps, d.books)
            for d in self.decades
        ]
        notes = []
        if self.last is not None and self.first is not None:
            notes.append(f"First seen: {self.first.where()}. Last seen: {self.last.where()}.")
        elif not self.seen:
            notes.append(f"No formula here is known to hold {self.metal}.")
        if any(d.perhaps for d in self.decades):
            notes.append(f"Perhaps: a printed name that has also meant something with {self.metal} in it.")
        if self.undated:
            notes.append(f"Left out: {counted(self.undated, 'formula')} of books without a year.")
        if self.unreadable:
            notes.append(f"Left out: {counted(self.unreadable, 'formula')} that could not be read.")
        notes.append("A decade counts what these books print, not what was sold; receipts were copied from older books.")
        return Grid(columns, tuple(rows), f"{self.metal.capitalize()} in {self.kind or 'all'} formulas", tuple(notes))


@dataclass(slots=True)
class _Count:
    """What was counted in one decade."""

    formulas: int = 0
    holding: int = 0
    perhaps: int = 0
    books: set[str] = field(default_factory=set)


def metals(tables: Tables, metal: str = "lead", kind: str | None = None) -> MetalHistory:
    """Which formulas (of a kind) hold a metal, by decade.

    Raises:
        UnknownName: the metal or the kind is in no table.
        TableError: the tables are missing or damaged.
    """
    if metal not in metal_names():
        raise UnknownName("metal", metal, metal_names())
    decades: dict[int, _Count] = defaultdict(_Count)
    seen: list[Seen] = []
    undated = unreadable = 0
    for formula, lines in tables.of_kind(kind):
        if formula.error:
            unreadable += 1
            continue
        holding = [line for line in lines if metal in line.holds.split(";")]
        if holding:
            seen.append(_seen(formula, holding))
        if formula.year is None:
            undated += 1
            continue
        count = decades[decade(formula.year)]
        count.formulas += 1
        count.holding += bool(holding)
        count.perhaps += not holding and any(metal in holds(key) for line in lines for key in line.perhaps.split(";"))
        count.books.add(formula.book)
    rows = tuple(MetalDecade(year, c.formulas, c.holding, c.perhaps, len(c.books)) for year, c in sorted(decades.items()))
    return MetalHistory(metal, kind, rows, tuple(seen), undated, unreadable)


def _seen(formula: FormulaCells, lines: list[LineCells]) -> Seen:
    """The formula with what its lines, those that hold the metal, make of its mass."""
    weighed = [line.share for line in lines if line.share is not None]
    share = None if formula.unknown or len(weighed) < len(lines) else math.fsum(weighed)
    ingredients = tuple(line.today for line in lines)
    return Seen(formula.book, formula.number, formula.title, formula.year, formula.page, ingredients, share)


# -- change over time --------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class TrendDecade:
    """Mean shares of one decade, over `formulas` formulas of `books` books; the shares add to 1."""

    decade: int
    formulas: int
    books: int
    shares: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Trend(Tabular):
    """How the mean composition of a kind of formula changed. `groups` are the largest first; shares are in their order."""

    kind: str | None
    by: str
    groups: tuple[str, ...]
    decades: tuple[TrendDecade, ...]
    undated: int
    incomplete: int
    unreadable: int
    to_taste: int

    def notes(self) -> tuple[str, ...]:
        """What stands behind the figures, in sentences."""
        sentences = ["Arithmetic means of the shares by mass, each formula counting once."]
        few = [f"{d.decade}s" for d in self.decades if d.formulas < FEW]
        if few:
            sentences.append(f"Fewer than {FEW} formulas, so that little can be said: {', '.join(few)}.")
        if self.incomplete:
            sentences.append(f"Left out: {counted(self.incomplete, 'formula')} with a line of unknown weight.")
        if self.undated:
            sentences.append(f"Left out: {counted(self.undated, 'formula')} of books without a year.")
        if self.unreadable:
            sentences.append(f"Left out: {counted(self.unreadable, 'formula')} that could not be read.")
        if self.to_taste:
            sentences.append(f"In {counted(self.to_taste, 'formula')} something is 'as much as suffices'; it is in no share.")
        return tuple(sentences)

    def _grid(self) -> Grid:
        columns = (
            Column("decade", "Decade"),
            Column("formulas", "Formulas", 0),
            Column("books", "Books", 0),
            *(Column(g, f"{g} (%)", 1) for g in self.groups),
        )
        rows: list[tuple[Cell, ...]] = [(f"{d.decade}s", d.formulas, d.books, *(100 * s for s in d.shares)) for d in self.decades]
        return Grid(columns, tuple(rows), f"{(self.kind or 'all formulas').capitalize()}, decade by decade", self.notes())


@dataclass(slots=True)
class _Sum:
    """What was added up in one decade."""

    formulas: int = 0
    books: set[str] = field(default_factory=set)
    shares: dict[str, float] = field(default_factory=dict)


def trend(tables: Tables, kind: str | None = None, by: str = "role", most: int = 8) -> Trend:
    """The mean composition of a kind of formula in each decade, by role, family or ingredient.

    The `most` largest groups stand by themselves, the others together. A formula with a line of unknown weight is left out,
    unless that line is 'as much as suffices'; how many were left out is told.

    Raises:
        UnknownName: there is no such kind or way.
        BadValue: no formula is left.
        TableError: the tables are missing or damaged.
    """
    if by not in WAYS:
        raise UnknownName("way to group ingredients", by, WAYS)
    sums: dict[int, _Sum] = defaultdict(_Sum)
    totals: dict[str, float] = {}
    undated = incomplete = unreadable = to_taste = 0
    for formula, lines in tables.of_kind(kind):
        if formula.error:
            unreadable += 1
            continue
        of_it = shares(lines)
        incomplete += of_it.incomplete
        to_taste += of_it.to_taste
        undated += formula.year is None
        if formula.year is None or of_it.parts is None:
            continue
        sum_ = sums[decade(formula.year)]
        sum_.formulas += 1
        sum_.books.add(formula.book)
        for group, share in grouped(of_it.parts, by).items():
            totals[group] = totals.get(group, 0.0) + share
            sum_.shares[group] = sum_.shares.get(group, 0.0) + share
    if not sums:
        raise BadValue(
            f"no {kind or 'formula'} here has a year and known weights throughout: give the years in books.csv and read again"
        )
    groups = _largest(totals, most)
    decades = tuple(_mean(year, sum_, groups) for year, sum_ in sorted(sums.items()))
    return Trend(kind, by, groups, decades, undated, incomplete, unreadable, to_taste)


def _largest(totals: dict[str, float], most: int) -> tuple[str, ...]:
    """The `most` largest groups, the last of them 'others' where there are more."""
    ranked = sorted(totals, key=lambda group: (-totals[group], group))
    return tuple(ranked if len(ranked) <= most else [*ranked[: most - 1], _OTHERS])


def _mean(year: int, sum_: _Sum, groups: tuple[str, ...]) -> TrendDecade:
    shares_of = dict.fromkeys(groups, 0.0)
    for group, share in sum_.shares.items():
        shares_of[group if group in shares_of else _OTHERS] += share
    return TrendDecade(year, sum_.formulas, len(sum_.books), tuple(share / sum_.formulas for share in shares_of.values()))
