"""The package's own CSV tables: read once, each row a mapping from column to text.

`read` takes the table of a room by name ("bench/pan_sizes"), `rows_of` any file. A row says how well its figures are known
(`mark`: "exact" by definition, "seen" in the work named, "computed" from other rows, "memory", or "common practice" where
nobody could be named) and which work they are from (`source`, `section`: see `base/bibliography.py`).
"""

from __future__ import annotations

import csv
import gc
from collections.abc import Iterator
from contextlib import contextmanager
from functools import cache, lru_cache
from pathlib import Path

from histkit.base.errors import TableError

PACKAGE = Path(__file__).parent.parent
"""The folder of the rooms."""

Row = dict[str, str]


@cache
def data_folder() -> Path:
    """Where the tables of the glossary and of the works lie: inside an installed wheel, or at the top level of a checkout."""
    inside = PACKAGE / "_glossary"
    return inside if inside.is_dir() else PACKAGE.parent / "glossary"


@contextmanager
def uncollected() -> Iterator[None]:
    """Without the search for garbage, while large tables that stay are built: it would go over them again and again."""
    collecting = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if collecting:
            gc.enable()


@cache
def read(name: str) -> tuple[Row, ...]:
    """The rows of a room's table, `name` being "room/table" without its ending, all cells as text without blanks at their ends.

    Raises TableError where there is no such table, or where a row has more or fewer cells than the heading.
    """
    path = PACKAGE / f"{name}.csv"
    if not all(part.isidentifier() for part in name.split("/")) or not path.is_file():
        raise TableError(f"histkit has no table {name!r}")
    return rows_of(path)


def rows_of(path: Path, strip: bool = True) -> tuple[Row, ...]:
    """The rows of a CSV file of this package; with `strip` False blanks at the ends of cells are kept.

    Raises TableError where a row has more or fewer cells than the heading.
    """
    rows: list[Row] = []
    with path.open(encoding="utf-8", newline="") as file:
        reader = csv.reader(file, strict=True)
        heading = next(reader, [])
        for number, cells in enumerate(filter(None, reader), start=2):
            if len(cells) != len(heading):
                where = path.relative_to(PACKAGE.parent).as_posix()
                raise TableError(f"{where}, row {number}: its cells do not fit the heading {heading}")
            rows.append(dict(zip(heading, map(str.strip, cells) if strip else cells, strict=True)))
    return tuple(rows)


def number(row: dict[str, str], column: str) -> float | None:
    """The figure in a cell, None where the cell is empty."""
    return float(row[column]) if row[column] else None


def words(row: dict[str, str], column: str) -> tuple[str, ...]:
    """The entries of a cell that holds several, separated by semicolons."""
    return entries(row[column])


@lru_cache(maxsize=4096)
def entries(cell: str) -> tuple[str, ...]:
    """The entries of the text of a cell, separated by semicolons."""
    return tuple(entry.strip() for entry in cell.split(";") if entry.strip())
