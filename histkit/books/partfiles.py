"""The file in which a finished part keeps its rows: guarded by hashes from its first byte to its last.

The first line names the sort of file and the hash of the second; the second says in JSON what follows and holds its hashes; then
follow the rows of the lines and those of the formulas as CSV, without heading and without the name of the book.
"""

from __future__ import annotations

import hashlib
import json
import re
import stat
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any, BinaryIO

from histkit.base.errors import HistkitError
from histkit.books.rows import ROWS, FormulaRow, LineRow
from histkit.books.sheets import csv_heading, csv_rows, csv_start
from histkit.books.sums import summed

_MARK = b"histkit corpus part 2 "
_FIRST = re.compile(rb"histkit corpus part 2 ([0-9a-f]{64})\n")
_LONGEST_HEAD = 4096


class PartError(HistkitError):
    """A part of a run is damaged or no part at all; it is worked out again."""


@dataclass(frozen=True, slots=True)
class Block:
    """The rows of one table in a part: how many, and where they stand in the file."""

    rows: int
    start: int
    size: int
    sha256: str


@dataclass(frozen=True, slots=True)
class PartFile:
    """A finished part on the disk. `unreadable` counts the formulas that could not be read."""

    path: Path
    key: str
    made_by: str
    unreadable: int
    lines: Block
    formulas: Block

    def rows(self, name: str) -> bytes:
        """The rows of the table `lines` or `formulas`.

        Raises:
            PartError: they are no longer what was written.
        """
        block: Block = getattr(self, name)
        try:
            with self.path.open("rb") as file:
                file.seek(block.start)
                data = file.read(block.size)
        except OSError as error:
            raise PartError(f"{self.path} cannot be read: {error.strerror or error}") from error
        if hashlib.sha256(data).hexdigest() != block.sha256:
            raise PartError(f"{self.path} was changed while the run was under way: give the same command again")
        return data


def packed(key: str, made_by: str, formulas: Sequence[FormulaRow], lines: Sequence[LineRow]) -> bytes:
    """The rows of a part as bytes. The same rows give the same bytes. Numbers of formulas count within the part."""
    tables: dict[str, Sequence[Any]] = {"lines": lines, "formulas": formulas}
    blocks = {name: csv_rows(tables[name]) for name in ROWS}
    head: dict[str, Any] = {"key": key, "made_by": made_by, "unreadable": sum(bool(row.error) for row in formulas)}
    for name, block in blocks.items():
        head[name] = {"rows": len(tables[name]), "size": len(block), "sha256": hashlib.sha256(block).hexdigest()}
    second = json.dumps(head).encode() + b"\n"
    first = _MARK + hashlib.sha256(second).hexdigest().encode() + b"\n"
    return b"".join([first, second, *blocks.values()])


def unpacked(data: bytes, path: Path) -> PartFile:
    """What the bytes of `packed` will be as the file `path`.

    Raises:
        PartError: they are no part.
    """
    first, _, rest = data.partition(b"\n")
    second, _, _ = rest.partition(b"\n")
    return _checked_head(first + b"\n", second + b"\n", path)


def opened(path: Path) -> PartFile:
    """A part file, every byte of it checked.

    Raises:
        PartError: it is cut off, changed, or no part at all; a link is not followed.
    """
    try:
        status = path.lstat()
        if not stat.S_ISREG(status.st_mode):
            raise PartError(f"{path} is no file of its own (a link or a folder)")
        with path.open("rb") as file:
            part = _checked_head(file.readline(len(_MARK) + 65), file.readline(_LONGEST_HEAD), path)
            end = part.formulas.start + part.formulas.size
            if status.st_size != end:
                raise PartError(f"{path} is {status.st_size:,} bytes long and not {end:,}")
            for name in ROWS:
                block: Block = getattr(part, name)
                if summed(file, block.size).sha256 != block.sha256:
                    raise PartError(f"{path}: its {name} were changed after it was written")
            return part
    except OSError as error:
        raise PartError(f"{path} cannot be read: {error.strerror or error}") from error


def _checked_head(first: bytes, second: bytes, path: Path) -> PartFile:
    match = _FIRST.fullmatch(first)
    if match is None:
        raise PartError(f"{path} is no part of a run of this histkit")
    if hashlib.sha256(second).hexdigest() != match[1].decode():
        raise PartError(f"{path}: its head was changed after it was written")
    try:
        head = json.loads(second)
        start = len(first) + len(second)
        blocks = {}
        for name in ROWS:
            blocks[name] = Block(head[name]["rows"], start, head[name]["size"], head[name]["sha256"])
            start += blocks[name].size
        return PartFile(path, head["key"], head["made_by"], head["unreadable"], **blocks)
    except (ValueError, KeyError, TypeError) as error:
        raise PartError(f"{path}: its head says nothing that fits ({error})") from error


@dataclass(frozen=True, slots=True)
class Placed:
    """A part with what is known when all are there: its book, and how many formulas of the book stand before it."""

    part: PartFile
    book: str
    before: int

    def csv_lines(self, name: str) -> Iterator[bytes]:
        """The rows of a table as they stand in the joined one."""
        start = csv_start(self.book)
        for line in self.part.rows(name).splitlines(keepends=True):
            number, _, rest = line.partition(b",")
            yield b"%b%d,%b" % (start, int(number) + self.before, rest)


def write_csv(file: BinaryIO, name: str, parts: Iterable[Placed]) -> None:
    """The joined CSV table of all parts, in their order."""
    file.write(csv_heading(name))
    for placed in parts:
        file.write(b"".join(placed.csv_lines(name)))
