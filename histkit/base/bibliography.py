"""The works that the tables cite: one table, `glossary/sources.csv`, read once.

A row of any table names its work by id in the column `source`, the page, table or article in `section`, and, where there is
such a column, how well the value is known in `mark`. Three ids stand for no work: "memory", "common-practice" and
"own-judgement".
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from histkit.base import tables
from histkit.base.errors import TableError

MARKS = ("memory", "common-practice", "own-judgement")
"""The ids in a `source` column that stand for no work; each has a row in the table of works too."""

_MARK_WORDS = {"seen": "", "memory": "from memory", "exact": "exact by definition"}
"""Marks in a reader's words; what was seen in the work named needs none beside it."""

TABLE = "glossary/sources.csv"


@dataclass(frozen=True, slots=True)
class Work:
    """A book, law, page or data set. `where` says where it was seen; `year` may be "about 1872"."""

    id: str
    title: str
    where: str = ""
    year: str = ""
    note: str = ""


@cache
def works() -> Mapping[str, Work]:
    """Every work by its id. Raises TableError where the table's columns are not those of `Work` or an id stands twice."""
    path = tables.data_folder() / "sources.csv"
    try:
        rows = [Work(**row) for row in tables.rows_of(path)]
    except FileNotFoundError:
        raise TableError(f"{path}: the table of works is missing") from None
    except TypeError:
        raise TableError(f"{path}, row 1: the columns wanted are {', '.join(Work.__slots__)}") from None
    by_id = {work.id: work for work in rows}
    if len(by_id) < len(rows):
        twice = next(work.id for number, work in enumerate(rows) if work.id in {w.id for w in rows[:number]})
        raise TableError(f"{path}, column 'id': {twice!r} stands there twice")
    return by_id


def cite(key: str, section: str = "", mark: str = "", known: Mapping[str, Work] | None = None) -> str:
    """One line as a caption prints it: the title, the year where the title has none, the section, and the mark in words.

    `known` are the works to look in, those of the table by default.

    Raises:
        TableError: no work has this id.
    """
    table = works() if known is None else known
    if key not in table:
        raise TableError(f"{TABLE}, column 'id': it has no work {key!r}; add it there, or cite one that is there")
    work = table[key]
    year = f" ({work.year})" if work.year and work.year not in work.title else ""
    place = f", {section}" if section else ""
    words = "" if key.replace("-", " ") == mark else _MARK_WORDS.get(mark, mark)
    return f"{work.title}{year}{place}{f' ({words})' if words else ''}"


@cache
def sourced(name: str) -> tuple[tables.Row, ...]:
    """The rows of a room's table ("bench/pan_sizes"), each `source` in it checked.

    Raises TableError as `tables.read` does, and where a cell names no work or a section stands beside none.
    """
    rows = tables.read(name)
    for number, row in enumerate(rows, start=2):
        key, place = row.get("source", ""), f"histkit/{name}.csv, row {number}"
        if key and key not in works():
            raise TableError(f"{place}, column 'source': {TABLE} has no work {key!r}; add it there, or cite one that is there")
        if row.get("section") and key in ("", *MARKS):
            raise TableError(f"{place}, column 'section': {row['section']!r} belongs to a work, and 'source' names none")
    return rows


def cited(row: tables.Row, mark: bool = False) -> str:
    """The work and section that a row of a table cites, and what `source_note` adds; with `mark` the row's mark in words."""
    words = cite(row["source"], row.get("section", ""), row["mark"] if mark else "")
    note = row.get("source_note", "")
    return f"{words}; {note}" if note else words


def marked(mark: str, citation: str) -> str:
    """A citation with the mark before it ("seen: …"); one that begins with its mark says it already."""
    return citation if citation.startswith(mark) else f"{mark}: {citation}"
