"""The tables of a run as Parquet too, for other programs: only where pyarrow is installed, which comes with `histkit[corpus]`."""

from __future__ import annotations

from collections.abc import Iterable
from importlib import import_module
from itertools import chain, islice
from typing import Any, BinaryIO, get_type_hints

from histkit.base.errors import BadValue
from histkit.books.partfiles import Placed
from histkit.books.rows import ROWS, columns
from histkit.books.sheets import values

ROW_GROUP = 65_536
"""Rows of a group in the file: the same however the rows were worked out."""


def pyarrow() -> Any:
    """The library, loaded.

    Raises:
        BadValue: it is not installed.
    """
    try:
        import_module("pyarrow.parquet")
        return import_module("pyarrow")
    except ImportError:
        raise BadValue(
            "Parquet needs pyarrow, which is not installed here: pip install 'histkit[corpus]', or do without; the CSV tables "
            "hold the same, and every question is answered from them"
        ) from None


def schema(name: str) -> Any:
    """The types of the columns, as Arrow names them."""
    arrow = pyarrow()
    types = {
        str: arrow.string(),
        int: arrow.int32(),
        float: arrow.float64(),
        bool: arrow.bool_(),
        int | None: arrow.int32(),
        float | None: arrow.float64(),
    }
    hints = get_type_hints(ROWS[name])
    return arrow.schema([arrow.field(column, types[hints[column]]) for column in columns(name)])


def write_parquet(file: BinaryIO, name: str, parts: Iterable[Placed]) -> None:
    """The joined Parquet table of all parts, in their order, in row groups of `ROW_GROUP`. Texts stand as printed.

    Raises:
        BadValue: pyarrow is not installed.
    """
    arrow, wanted = pyarrow(), schema(name)
    lines = chain.from_iterable(placed.csv_lines(name) for placed in parts)
    rows = values(name, lines, range(len(wanted)))
    with arrow.parquet.ParquetWriter(file, wanted, compression="zstd") as writer:
        while group := list(islice(rows, ROW_GROUP)):
            arrays = [arrow.array(cells, field.type) for cells, field in zip(zip(*group, strict=True), wanted, strict=True)]
            writer.write_table(arrow.Table.from_arrays(arrays, schema=wanted), row_group_size=ROW_GROUP)
