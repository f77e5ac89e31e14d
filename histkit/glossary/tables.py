"""The glossary's tables as they lie on disk: where they are, their rows as text, and the rows that a maker's own tables add."""

from __future__ import annotations

import csv
import os
from collections.abc import Mapping
from functools import cache, partial
from itertools import zip_longest
from operator import itemgetter
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from histkit.base import tables
from histkit.base.bibliography import Work, works
from histkit.base.errors import TableError
from histkit.glossary.additions import Numbered, Row, numbered_additions, plain
from histkit.glossary.caches import follows_the_tables

TABLES = ("sources", "ingredients", "names", "roles", "properties", "cautions", "substitutes", "compositions", "constituents")

OWN = "HISTKIT_GLOSSARY"
"""The environment variable that names a maker's folder of additions; so the processes that this one starts know it too."""


folder = tables.data_folder


def rows(name: str, where: Path | None = None) -> list[Row]:
    """The rows of one table of the glossary, as text; those that a maker added come last."""
    return _all_rows(name) if where is None else _read_rows(name, where)


@follows_the_tables
@cache
def _all_rows(name: str) -> list[Row]:
    own = own_rows().get(name, [])
    return [*_read_rows(name, folder()), *own] if own else _read_rows(name, folder())


def shipped_rows(name: str) -> list[Row]:
    """The rows of one table as the package carries it, without those of a maker."""
    return _read_rows(name, folder())


def _read_rows(name: str, where: Path) -> list[Row]:
    heading, lines = _cells(name, where)
    width = len(heading)
    return [dict((zip if len(cells) == width else zip_longest)(heading, cells)) for cells in lines]


def _cells(name: str, where: Path) -> tuple[list[str], list[list[str]]]:
    """The heading of a table and the cells of its rows."""
    path = where / f"{name}.csv"
    try:
        with path.open(encoding="utf-8", newline="") as file, tables.uncollected():
            lines = csv.reader(file)
            return next(lines, []), [cells for cells in lines if cells]
    except FileNotFoundError:
        raise TableError(f"{path}: this table of the glossary is missing") from None


# -- a maker's own rows ---------------------------------------------------------------------------------------------------


def own_folder() -> Path | None:
    """The folder of a maker's own tables that is in use; None without one."""
    where = os.environ.get(OWN)
    return Path(where) if where else None


@follows_the_tables
@cache
def own_rows() -> Mapping[str, list[Row]]:
    """The rows that the maker's own tables add, by table; none without such a folder.

    Raises:
        TableError: a table breaks a rule; the message names file, row and column.
    """
    return plain(own_numbered())


@follows_the_tables
@cache
def own_numbered() -> Mapping[str, list[Numbered]]:
    """The rows of `own_rows`, each with its number in its file. Raises TableError as `own_rows` does."""
    where = own_folder()
    return own_numbered_in(where) if where else {}


def own_numbered_in(where: Path) -> Mapping[str, list[Numbered]]:
    """The rows of a maker's own tables in this folder, used or not. Raises TableError as `own_rows` does."""
    ids = {name: frozenset(row["id"] for row in shipped_rows(name)) for name in ("ingredients", "sources")}
    return numbered_additions(where, folder(), ids)


# -- names and sources ----------------------------------------------------------------------------------------------------


CONTESTED = "contested"
"""What the column `certainty` says of a name that books gave to different things."""


class NameRow(NamedTuple):
    """A row of names.csv. There are so many that each is kept as a tuple and not as a mapping."""

    ingredient: str
    name: str
    language: str
    form: str
    period: str
    region: str
    certainty: str
    source: str

    @property
    def contested(self) -> bool:
        return self.certainty == CONTESTED


def names_in(where: Path) -> list[NameRow]:
    """The rows of the table of names in a folder.

    Raises:
        TableError: the table is missing, has other columns, or a row is too short.
    """
    heading, lines = _cells("names", where)
    path = where / "names.csv"
    if sorted(heading) != sorted(NameRow._fields):
        raise TableError(f"{path}: the columns are {', '.join(heading)}; {', '.join(NameRow._fields)} are wanted")
    if any(few < len(heading) for few in set(map(len, lines))):
        raise TableError(f"{path}: a row has fewer cells than the heading, {len(heading)}")
    with tables.uncollected():
        # as NameRow._make does, without a call of ours for each of so many rows
        return list(map(partial(tuple.__new__, NameRow), map(itemgetter(*map(heading.index, NameRow._fields)), lines)))


@cache
def shipped_names() -> list[NameRow]:
    """The names that the package carries."""
    return names_in(folder())


def own_names(own: Mapping[str, list[Row]]) -> list[NameRow]:
    """The names among a maker's own rows."""
    return [NameRow(**row) for row in own.get("names", ())]


@follows_the_tables
@cache
def names() -> list[NameRow]:
    """All names, a maker's own last."""
    return [*shipped_names(), *own_names(own_rows())]


@follows_the_tables
@cache
def sources() -> Mapping[str, Work]:
    """The works that the tables cite, by id; those that a maker's own tables add come last."""
    return MappingProxyType({**works(), **{row["id"]: Work(**row) for row in own_rows().get("sources", ())}})
