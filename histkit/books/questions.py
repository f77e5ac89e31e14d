"""Questions put to the tables of a run: which formulas hold lead and when it was last seen, how a kind of formula changed from
decade to decade, which formulas are nearest to one's own.

Every answer says how many formulas stand behind a figure and how many were left out, and why: a mean of three is a mean of
three.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit import glossary
from histkit.base.errors import BadValue, TableError, UnknownName
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, counted
from histkit.books.harvest import holds, kinds, metal_names
from histkit.books.sheets import columns
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular

if TYPE_CHECKING:
    import pandas

FEW = 5
"""Below so many formulas a mean is marked: one book may have made it (common practice, no source)."""
LIMIT = 0.001
"""Shares below this are taken as not there: receipts seldom state less, and what is 'to taste' has no figure. Common practice."""
DELTA = 0.65 * LIMIT
"""What stands for a share that is not there: 65 % of the limit, after J. A. Martín-Fernández, C. Barceló-Vidal and
V. Pawlowsky-Glahn, Dealing with zeros and missing values in compositional data sets using nonparametric imputation,
Mathematical Geology 35 (2003), 253-278; the fraction as in the documentation of the R package zCompositions."""
WAYS = ("role", "family", "ingredient")


@dataclass(frozen=True)
class Tables:
    """The tables of a run, as data frames, one row for each line and each formula."""

    folder: Path

    @cached_property
    def lines(self) -> pandas.DataFrame:
        return _frame(self.folder / "lines.parquet")

    @cached_property
    def formulas(self) -> pandas.DataFrame:
        return _frame(self.folder / "formulas.parquet")

    def of_kind(self, kind: str | None) -> pandas.DataFrame:
        """The formulas of a kind; of all kinds where none is given.

        Raises:
            UnknownName: there is no such kind.
        """
        if kind is None:
            return self.formulas
        if kind not in kinds():
            raise UnknownName("kind of formula", kind, tuple(get_close_matches(kind, kinds(), n=3, cutoff=0.4)) or kinds())
        return self.formulas[self.formulas["kind"] == kind]


def _frame(path: Path) -> pandas.DataFrame:
    import pandas

    if not path.is_file():
        raise TableError(f"there is no {path}: give the folder that 'histkit corpus read' wrote its tables into")
    try:
        frame = pandas.read_parquet(path)
    except (ValueError, OSError) as error:
        raise TableError(f"{path} is damaged or no table of a run ({error}): read the books again") from None
    if missing := [column for column in columns(path.stem) if column not in frame]:
        raise TableError(f"{path} is no table of a run of this histkit: it lacks {', '.join(missing)}; read the books again")
    return frame


def decade(year: float) -> int:
    """1872 → 1870."""
    return int(year) // 10 * 10


# -- poisons -----------------------------------------------------------------------------------------------------------------


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


def metals(tables: Tables, metal: str = "lead", kind: str | None = None) -> MetalHistory:
    """Which formulas (of a kind) hold a metal, by decade.

    Raises:
        UnknownName: the metal or the kind is in no table.
    """
    if metal not in metal_names():
        raise UnknownName("metal", metal, metal_names())
    chosen = tables.of_kind(kind)
    read = chosen[chosen["error"] == ""]
    dated = read[read["year"].notna()]
    lines = tables.lines.merge(read[["book", "number"]], on=["book", "number"])
    with_it = lines[[metal in cell.split(";") for cell in lines["holds"]]]
    maybe = lines[[any(metal in holds(key) for key in cell.split(";") if key) for cell in lines["perhaps"]]]
    sure = set(zip(with_it["book"], with_it["number"], strict=True))
    perhaps = set(zip(maybe["book"], maybe["number"], strict=True)) - sure
    decades = []
    for year, group in sorted(dated.groupby(dated["year"] // 10 * 10)):
        keys = set(zip(group["book"], group["number"], strict=True))
        decades.append(MetalDecade(int(year), len(group), len(keys & sure), len(keys & perhaps), group["book"].nunique()))
    of_formula = {key: group for key, group in with_it.groupby(["book", "number"], sort=False)}
    seen = [_seen(row, of_formula[row.book, row.number]) for row in read.itertuples() if (row.book, row.number) in of_formula]
    return MetalHistory(metal, kind, tuple(decades), tuple(seen), len(read) - len(dated), len(chosen) - len(read))


def _seen(row: Any, lines: pandas.DataFrame) -> Seen:
    share = None if row.unknown or lines["share"].isna().any() else float(lines["share"].sum())
    return Seen(row.book, int(row.number), row.title, _whole(row.year), _whole(row.page), tuple(lines["today"]), share)


def _whole(value: Any) -> int | None:
    return None if value is None or value != value else int(value)


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
        told = ["Arithmetic means of the shares by mass, each formula counting once."]
        few = [f"{d.decade}s" for d in self.decades if d.formulas < FEW]
        if few:
            told.append(f"Fewer than {FEW} formulas, so that little can be said: {', '.join(few)}.")
        if self.incomplete:
            told.append(f"Left out: {counted(self.incomplete, 'formula')} with a line of unknown weight.")
        if self.undated:
            told.append(f"Left out: {counted(self.undated, 'formula')} of books without a year.")
        if self.unreadable:
            told.append(f"Left out: {counted(self.unreadable, 'formula')} that could not be read.")
        if self.to_taste:
            told.append(f"In {counted(self.to_taste, 'formula')} something is 'as much as suffices'; it is in no share.")
        return tuple(told)

    def _grid(self) -> Grid:
        columns = (
            Column("decade", "Decade"),
            Column("formulas", "Formulas", 0),
            Column("books", "Books", 0),
            *(Column(g, f"{g} (%)", 1) for g in self.groups),
        )
        rows: list[tuple[Cell, ...]] = [(f"{d.decade}s", d.formulas, d.books, *(100 * s for s in d.shares)) for d in self.decades]
        return Grid(columns, tuple(rows), f"{(self.kind or 'all formulas').capitalize()}, decade by decade", self.notes())


def trend(tables: Tables, kind: str | None = None, by: str = "role", most: int = 8) -> Trend:
    """The mean composition of a kind of formula in each decade, by role, family or ingredient.

    The `most` largest groups stand by themselves, the others together. A formula with a line of unknown weight is left out,
    unless that line is 'as much as suffices'; how many were left out is told.

    Raises:
        UnknownName: there is no such kind or way.
        BadValue: no formula is left.
    """
    if by not in WAYS:
        raise UnknownName("way to group ingredients", by, WAYS)
    chosen = tables.of_kind(kind)
    read = chosen[chosen["error"] == ""]
    compositions, incomplete, to_taste = _compositions(tables, read)
    dated = read[read["year"].notna()]
    rows: list[tuple[int, str, dict[str, float]]] = []
    row: Any
    for row in dated.itertuples():
        parts = compositions.get((row.book, row.number))
        if parts is not None:
            rows.append((decade(row.year), row.book, _grouped(parts, by)))
    if not rows:
        raise BadValue(
            f"no {kind or 'formula'} here has a year and known weights throughout: give the years in books.csv and read again"
        )
    totals: dict[str, float] = {}
    for _, _, shares in rows:
        for group, share in shares.items():
            totals[group] = totals.get(group, 0.0) + share
    ranked = sorted(totals, key=lambda g: (-totals[g], g))
    groups = ranked if len(ranked) <= most else [*ranked[: most - 1], "others"]
    named = set(groups)
    decades = []
    for year in sorted({d for d, _, _ in rows}):
        of_it = [(book, shares) for d, book, shares in rows if d == year]
        sums = dict.fromkeys(groups, 0.0)
        for _, shares in of_it:
            for group, share in shares.items():
                sums[group if group in named else "others"] += share
        decades.append(TrendDecade(year, len(of_it), len({b for b, _ in of_it}), tuple(sums[g] / len(of_it) for g in groups)))
    undated = len(read) - len(dated)
    return Trend(kind, by, tuple(groups), tuple(decades), undated, incomplete, len(chosen) - len(read), to_taste)


def _compositions(tables: Tables, chosen: pandas.DataFrame) -> tuple[dict[tuple[str, int], dict[str, float]], int, int]:
    """(formula → shares by ingredient id, how many have a line of unknown weight, how many have something to taste).

    A line that the glossary does not know keeps its printed name, with a question mark before it.
    """
    lines = tables.lines.merge(chosen[["book", "number"]], on=["book", "number"])
    grams: dict[tuple[str, int], dict[str, float]] = {}
    broken: set[tuple[str, int]] = set()
    tasted: set[tuple[str, int]] = set()
    columns = ("book", "number", "ingredient", "name", "unit", "grams")
    for book, number, ingredient, name, unit, weight in zip(*(lines[c] for c in columns), strict=True):
        key = (book, int(number))
        if weight != weight or weight is None:
            (tasted if unit == "q.s." else broken).add(key)
            continue
        parts = grams.setdefault(key, {})
        part = ingredient or f"?{name}"
        parts[part] = parts.get(part, 0.0) + float(weight)
    whole = {}
    for key, parts in grams.items():
        total = math.fsum(parts.values())
        if key not in broken and total > 0:
            whole[key] = {part: weight / total for part, weight in parts.items() if weight > 0}
    return whole, len(broken), len(tasted - broken)


def _grouped(parts: Mapping[str, float], by: str) -> dict[str, float]:
    found: dict[str, float] = {}
    for key, share in parts.items():
        group = group_of(key, by)
        found[group] = found.get(group, 0.0) + share
    return found


def group_of(ingredient: str, by: str) -> str:
    """The group of an ingredient id: its chief role, its family (mineral, fixed oil …) or its name."""
    if ingredient not in glossary.ingredients:
        return "not identified"
    entry = glossary.ingredients[ingredient]
    if by == "ingredient":
        return entry.name
    if by == "family":
        return entry.kind.replace("-", " ")
    return next((r.role for r in entry.roles if r.main), entry.roles[0].role if entry.roles else "no role known")


# -- nearest -----------------------------------------------------------------------------------------------------------------


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
    """
    if count < 1:
        raise BadValue(f"the number of formulas to show is 1 or more, not {count}")
    if isinstance(composition, Composition):
        name, own = composition.name, {part.ingredient.id: part.share for part in composition.parts}
    else:
        name, own = "", dict(composition)
    mine = _closed(own, LIMIT)
    chosen = tables.of_kind(kind)
    read = chosen[chosen["error"] == ""]
    compositions, incomplete, _ = _compositions(tables, read)
    ranked = sorted((aitchison(mine, parts), key) for key, parts in compositions.items())[:count]
    rows: dict[tuple[str, int], Any] = {(row.book, row.number): row for row in read.itertuples()}  # type: ignore[misc]
    found = []
    for distance, key in ranked:
        row = rows[key]
        common = tuple(k for k in sorted(mine, key=lambda k: -mine[k]) if compositions[key].get(k, 0.0) >= LIMIT)
        found.append(Neighbour(distance, row.book, int(row.number), row.title, _whole(row.year), _whole(row.page), common))
    return Neighbours(name, tuple(found), len(compositions), incomplete)
