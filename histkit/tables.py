"""The small data tables of the bench (`histkit/data/*.csv`): read once, each row a mapping from column to text.

Every row of every table says where its figures come from (`mark` and `source`): "seen" in the work named, "computed"
from other rows, "memory", or "common practice" where nobody could be named.
"""

from __future__ import annotations

import csv
import io
from functools import cache
from importlib.resources import files

from histkit.errors import TableError


@cache
def read(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `histkit/data/<name>.csv`, all cells as text without blanks at their ends.

    Raises TableError where there is no such table, or where a row has more or fewer cells than the heading.
    """
    path = files("histkit").joinpath("data", f"{name}.csv")
    if not name.isidentifier() or not path.is_file():
        raise TableError(f"histkit/data has no table {name!r}")
    reader = csv.DictReader(io.StringIO(path.read_text(encoding="utf-8"), newline=""), strict=True)
    rows: list[dict[str, str]] = []
    for number, row in enumerate(reader, start=2):
        if None in row or None in row.values():
            raise TableError(f"histkit/data/{name}.csv, row {number}: its cells do not fit the heading {reader.fieldnames}")
        rows.append({column: cell.strip() for column, cell in row.items()})
    return tuple(rows)


def number(row: dict[str, str], column: str) -> float | None:
    """The figure in a cell, None where the cell is empty."""
    return float(row[column]) if row[column] else None


def words(row: dict[str, str], column: str) -> tuple[str, ...]:
    """The entries of a cell that holds several, separated by semicolons."""
    return tuple(entry.strip() for entry in row[column].split(";") if entry.strip())
