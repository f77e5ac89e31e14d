"""Reads the tables of this package; each is read once, when first asked for."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache
from pathlib import Path

from histkit.base import tables
from histkit.base.errors import TableError

FOLDER = Path(__file__).parent

Row = dict[str, str]


@cache
def rows(name: str) -> tuple[Row, ...]:
    """The rows of `histkit/measures/<name>.csv`, cells as text without blanks at their ends.

    Raises TableError where a row has more or fewer cells than the heading.
    """
    return tables.rows_of(FOLDER / f"{name}.csv")


@cache
def _titles() -> dict[str, str]:
    out: dict[str, str] = {}
    for row in rows("sources"):
        year = f" ({row['year']})" if row["year"] and row["year"] not in row["title"] else ""
        where = f", {row['where']}" if row["where"] else ""
        out[row["id"]] = f"{row['title']}{year}{where}"
    return out


_MARKS = {"seen": "", "memory": "from memory", "exact": "exact by definition"}
"""Marks of the tables in a reader's words; what was seen in the work named needs none beside it."""


def cite(source: str, mark: str = "") -> str:
    """The work behind a source id in words, with the mark of the value where one is given.

    Raises TableError for an id that sources.csv does not have.
    """
    titles = _titles()
    if source not in titles:
        raise TableError(f"histkit/measures/sources.csv has no source {source!r}")
    words = _MARKS.get(mark, mark)
    shown = f" ({words})" if words and mark != source.replace("-", " ") else ""
    return titles[source] + shown


def near(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """The known names closest in spelling to `name`, best first, at most three."""
    from difflib import get_close_matches

    return tuple(get_close_matches(name, list(names), n=3, cutoff=0.55))
