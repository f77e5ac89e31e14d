"""Rows → the tables of a run: CSV for every program, Parquet for quick questions; and the bytes in which a part keeps its rows.

A cell never holds a line end, so that a row is a line and the tables of the parts can be joined without reading them again. In
CSV a text that a spreadsheet would take for a formula gets an apostrophe before it; in Parquet it stands as printed.
"""

from __future__ import annotations

import csv
import hashlib
import io
import json
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, fields
from pathlib import Path
from typing import TYPE_CHECKING, Any, BinaryIO, get_type_hints

from histkit.base.errors import HistkitError
from histkit.base.text import clean, spreadsheet_cell
from histkit.books.harvest import FormulaRow, LineRow

if TYPE_CHECKING:
    import pyarrow

ROW_GROUP = 65_536
"""Rows of a group in a Parquet file: the same however the rows were worked out."""
_MARK = "histkit corpus part"
_NAMES = ("lines", "formulas")
_ROWS: dict[str, type] = {"lines": LineRow, "formulas": FormulaRow}
_OWN = 2
"""The first columns, book and number, are known only when the parts are put together."""


class PartError(HistkitError):
    """A part of a run is damaged or was made by another histkit; it is made again."""


def columns(name: str) -> tuple[str, ...]:
    """The columns of `lines` or `formulas`, in order."""
    return tuple(f.name for f in fields(_ROWS[name]))


def schema(name: str) -> pyarrow.Schema:
    """The types of the columns, as Arrow names them."""
    import pyarrow

    types = {
        str: pyarrow.string(),
        int: pyarrow.int32(),
        float: pyarrow.float64(),
        bool: pyarrow.bool_(),
        int | None: pyarrow.int32(),
        float | None: pyarrow.float64(),
    }
    hints = get_type_hints(_ROWS[name])
    return pyarrow.schema([pyarrow.field(column, types[hints[column]]) for column in columns(name)])


# -- one part ----------------------------------------------------------------------------------------------------------------


def packed(key: str, made_by: str, formulas: Sequence[FormulaRow], lines: Sequence[LineRow]) -> bytes:
    """The rows of a part as bytes: a line of JSON that says what follows and guards it, then the tables.

    The same rows give the same bytes. Numbers of formulas count within the part.
    """
    rows: dict[str, Sequence[Any]] = {"lines": lines, "formulas": formulas}
    blocks = [_csv(rows[name]) for name in _NAMES] + [_arrow(name, rows[name]) for name in _NAMES]
    body = b"".join(blocks)
    head = {
        "what": _MARK,
        "key": key,
        "made_by": made_by,
        "lines": len(lines),
        "formulas": len(formulas),
        "sizes": [len(b) for b in blocks],
        "sha256": hashlib.sha256(body).hexdigest(),
    }
    return json.dumps(head).encode() + b"\n" + body


def _csv(rows: Sequence[Any]) -> bytes:
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    if rows:
        names = [f.name for f in fields(rows[0])][1:]
        writer.writerows([_cell(getattr(row, name)) for name in names] for row in rows)
    return out.getvalue().encode("utf-8", "replace")


def _cell(value: Any) -> Any:
    if value is None:
        return ""
    if isinstance(value, bool):
        return "true" if value else "false"
    return spreadsheet_cell(value)


def _arrow(name: str, rows: Sequence[Any]) -> bytes:
    import pyarrow

    def plain(value: Any) -> Any:
        return clean(value).encode("utf-8", "replace").decode() if isinstance(value, str) else value

    wanted = schema(name)
    arrays = [pyarrow.array([plain(getattr(row, f.name)) for row in rows], f.type) for f in wanted]
    table = pyarrow.Table.from_arrays(arrays, schema=wanted)
    sink = pyarrow.BufferOutputStream()
    with pyarrow.ipc.new_stream(sink, wanted, options=pyarrow.ipc.IpcWriteOptions(compression="lz4")) as writer:
        writer.write_table(table)
    return bytes(sink.getvalue())


@dataclass(frozen=True, slots=True)
class PartFile:
    """A finished part on the disk: what its first line says, and where each table in it begins."""

    path: Path
    key: str
    made_by: str
    lines: int
    formulas: int
    starts: tuple[int, ...]
    sizes: tuple[int, ...]

    def block(self, index: int) -> bytes:
        """CSV of the lines, CSV of the formulas, Arrow of the lines, Arrow of the formulas."""
        with self.path.open("rb") as file:
            file.seek(self.starts[index])
            return file.read(self.sizes[index])


def opened(path: Path, whole: bool = True) -> PartFile:
    """A part file, checked: with `whole`, every byte of it.

    Raises:
        PartError: it is cut off, changed, or no part at all.
    """
    try:
        with path.open("rb") as file:
            first = file.readline(4096)
            head = json.loads(first)
            if head["what"] != _MARK:
                raise PartError(f"{path} is no part of a run of histkit corpus")
            sizes = tuple(int(s) for s in head["sizes"])
            starts = tuple(len(first) + sum(sizes[:i]) for i in range(len(sizes)))
            if path.stat().st_size != len(first) + sum(sizes):
                raise PartError(f"{path} is cut off")
            if whole and hashlib.file_digest(file, "sha256").hexdigest() != head["sha256"]:
                raise PartError(f"{path} was changed after it was written")
            return PartFile(path, head["key"], head["made_by"], int(head["lines"]), int(head["formulas"]), starts, sizes)
    except (OSError, ValueError, KeyError, TypeError) as error:
        if isinstance(error, PartError):
            raise
        raise PartError(f"{path} cannot be read as a part: {error}") from error


# -- the whole ---------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Placed:
    """A part with what is known when all are there: its book, and how many formulas of the book stand before it."""

    part: PartFile
    book: str
    before: int


def write_csv(file: BinaryIO, name: str, parts: Iterable[Placed]) -> None:
    """The joined CSV table of all parts, in their order."""
    index = _NAMES.index(name)
    file.write((",".join(columns(name)) + "\n").encode())
    for placed in parts:
        book = io.StringIO()
        csv.writer(book, lineterminator="").writerow([spreadsheet_cell(placed.book)])
        prefix = book.getvalue().encode("utf-8", "replace") + b","
        out = []
        for line in placed.part.block(index).splitlines(keepends=True):
            number, _, rest = line.partition(b",")
            out.append(b"%b%d,%b" % (prefix, int(number) + placed.before, rest))
        file.write(b"".join(out))


def write_parquet(file: BinaryIO, name: str, parts: Iterable[Placed]) -> None:
    """The joined Parquet table of all parts, in their order, in row groups of `ROW_GROUP`."""
    import pyarrow
    import pyarrow.parquet

    wanted = schema(name)
    with pyarrow.parquet.ParquetWriter(file, wanted, compression="zstd") as writer:
        waiting: list[pyarrow.Table] = []
        count = 0
        for table in _tables(name, parts):
            waiting.append(table)
            count += table.num_rows
            while count >= ROW_GROUP:
                together = pyarrow.concat_tables(waiting)
                writer.write_table(together.slice(0, ROW_GROUP).combine_chunks(), row_group_size=ROW_GROUP)
                waiting = [together.slice(ROW_GROUP)]
                count -= ROW_GROUP
        if count:
            writer.write_table(pyarrow.concat_tables(waiting).combine_chunks(), row_group_size=ROW_GROUP)


def _tables(name: str, parts: Iterable[Placed]) -> Iterator[pyarrow.Table]:
    import pyarrow
    import pyarrow.compute

    index = len(_NAMES) + _NAMES.index(name)
    for placed in parts:
        table = pyarrow.ipc.open_stream(placed.part.block(index)).read_all()
        if not table.num_rows:
            continue
        book = pyarrow.array([clean(placed.book)] * table.num_rows, pyarrow.string())
        numbers = pyarrow.compute.add(table["number"], pyarrow.scalar(placed.before, pyarrow.int32()))
        yield table.set_column(0, table.schema.field(0), book).set_column(1, table.schema.field(1), numbers)
