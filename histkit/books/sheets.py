"""Rows → CSV and back. A cell never holds a line end, so that a row is one line of the file.

A text that a spreadsheet would take for a formula gets an apostrophe before it; reading the table again takes it off.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import fields
from functools import cache
from types import MappingProxyType
from typing import Any, get_type_hints

from histkit.base.errors import HistkitError
from histkit.base.text import FORMULA_STARTERS, clean, spreadsheet_cell
from histkit.books.rows import ROWS, columns

_FIELD = re.compile(r'(?:"((?:[^"]|"")*)"|([^",]*))(?:,|\Z)')
_STARTER = f"[{re.escape(''.join(sorted(FORMULA_STARTERS)))}]"
_BEGINS_ANEW = re.compile(rf"([,;\t\n][\s\"]*)(?='*{_STARTER})")
"""Where a formula would begin if the line were taken apart at another sign than the comma, or a quotation mark ended a cell."""
_GUARDED_ANEW = re.compile(rf"([,;\t\n][\s\"]*)'(?='*{_STARTER})")
_LONG = 100_000
"""Characters of a line from which on it is taken apart here: the standard reader refuses cells of more than 131,072, unless the
whole process is told otherwise."""
_TRUE = "true"


class RowError(HistkitError):
    """A line of a table is no row of it; says what is wrong with it."""


def csv_rows(rows: Sequence[Any]) -> bytes:
    """Rows of `rows.LineRow` or `rows.FormulaRow` as CSV, without heading and without their first column, the book."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if rows:
        names = [field.name for field in fields(rows[0])][1:]
        writer.writerows([_cell(getattr(row, name)) for name in names] for row in rows)
    return out.getvalue().encode("utf-8", "replace")


def csv_heading(name: str) -> bytes:
    """The first line of the table `lines` or `formulas`."""
    return (",".join(columns(name)) + "\n").encode()


def csv_start(book: str) -> bytes:
    """The cell that every row of a book begins with, and the comma after it."""
    out = io.StringIO()
    csv.writer(out, lineterminator="").writerow([guarded(book)])
    return out.getvalue().encode("utf-8", "replace") + b","


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return _TRUE if value else "false"
    return guarded(value) if isinstance(value, str) else value


def guarded(text: str) -> str:
    """A text as a cell that no spreadsheet takes for a formula, wherever it parts cells: at commas, semicolons or tabs.

    So that it can be undone, what stands behind an apostrophe and would need one gets another.
    """
    text = clean(text)
    text = "'" + text if _needs_guard(text.lstrip("'")) else text
    return _BEGINS_ANEW.sub(r"\1'", text)


def unguarded(cell: str) -> str:
    """The text of a cell: what `guarded` put before it is taken off."""
    cell = _GUARDED_ANEW.sub(r"\1", cell)
    return cell[1:] if cell[:1] == "'" and _needs_guard(cell.lstrip("'")) else cell


def _needs_guard(text: str) -> bool:
    """Whether a text begins as a formula, or would if quotation marks were taken off it."""
    return spreadsheet_cell(text) != text or text.lstrip('" ')[:1] in FORMULA_STARTERS


def cells_of(line: bytes) -> list[str]:
    """The cells of one line of a table, as they stand there.

    Raises:
        RowError: it is no UTF-8 or no line of CSV.
    """
    try:
        text = line.decode("utf-8").rstrip("\r\n")
        if len(text) < _LONG:
            return next(csv.reader([text], strict=True), [])
    except (UnicodeDecodeError, csv.Error) as error:
        raise RowError(str(error)) from None
    cells, at = [], 0
    while match := _FIELD.match(text, at):
        cells.append(match[2] if match[1] is None else match[1].replace('""', '"'))
        if match.end() == len(text) and not match[0].endswith(","):
            return cells
        at = match.end()
    raise RowError(f"a quotation mark at character {at + 1} fits nothing")


_VALUES: MappingProxyType[Any, Callable[[str], Any]] = MappingProxyType(
    {
        str: unguarded,
        int: int,
        float: float,
        bool: lambda cell: cell == _TRUE,
        int | None: lambda cell: int(cell) if cell else None,
        float | None: lambda cell: float(cell) if cell else None,
    }
)


@cache
def readers(name: str) -> tuple[Callable[[str], Any], ...]:
    """For each column of `lines` or `formulas`, in order, what makes the value out of the text of a cell."""
    hints = get_type_hints(ROWS[name])
    return tuple(_VALUES[hints[column]] for column in columns(name))


def values(name: str, lines: Iterator[bytes], wanted: Sequence[int]) -> Iterator[tuple[Any, ...]]:
    """The values of the columns number `wanted` (counted from 0) of each line of a table.

    Raises:
        RowError: a line is none of the table; its number counts from 1 in what is given.
    """
    makers = [(index, readers(name)[index]) for index in wanted]
    width = len(columns(name))
    for number, line in enumerate(lines, start=1):
        try:
            cells = cells_of(line)
            if len(cells) != width:
                raise RowError(f"it has {len(cells)} cells and not {width}")
            yield tuple([maker(cells[index]) for index, maker in makers])
        except ValueError as error:  # a figure that is none, or one of the above
            raise RowError(f"row {number}: {error}") from None
