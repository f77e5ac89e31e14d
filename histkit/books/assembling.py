"""The finished parts of a run → its tables and the manifest, which holds their hashes and what was read."""

from __future__ import annotations

import contextlib
import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from histkit.base.files import clear_left_behind, replacing, write_atomically
from histkit.base.text import counted
from histkit.books.ledger import Ledger
from histkit.books.parquet import write_parquet
from histkit.books.partfiles import write_csv
from histkit.books.parts import fingerprint
from histkit.books.rows import ROWS
from histkit.books.shelf import Shelf
from histkit.books.sums import Sum, summed

PARTS, MANIFEST, VERSION = "parts", "manifest.json", 2
TABLES = tuple(f"{name}.csv" for name in ROWS)
PARQUET = tuple(f"{name}.parquet" for name in ROWS)
"""The same tables for other programs, where they are asked for."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What a run did: counts over all books, how many parts were new and how many were there already, and what to know."""

    out: Path
    books: int
    formulas: int
    lines: int
    unreadable: int
    parts_done: int
    parts_kept: int
    notes: tuple[str, ...]
    tables: tuple[str, ...] = TABLES

    def text(self) -> str:
        """In words, for the screen."""
        again = f" ({self.parts_kept} of {self.parts_kept + self.parts_done} parts were there already)" if self.parts_kept else ""
        counts = f"{counted(self.formulas, 'formula')} with {counted(self.lines, 'line')} in {counted(self.books, 'book')}"
        sentences = [f"{counts}{again}."]
        if self.unreadable:
            sentences.append(f"{self.unreadable:,} could not be read; the column 'error' says why.")
        return "\n".join([*sentences, *self.notes, f"Written to {self.out}: {', '.join(self.tables)}"])


def put_together(out: Path, books: Shelf, ledger: Ledger, parquet: bool) -> Summary:
    """Write the tables and the manifest into the folder `out`, and remove what is left of earlier runs.

    Raises:
        RecordError: they cannot be written; a table is replaced only when all of its sort are whole.
        PartError: a part was changed while the run was under way.
    """
    sums = _written(out, TABLES, write_csv, ledger)
    if parquet:
        sums |= _written(out, PARQUET, write_parquet, ledger)
    repairs = [*ledger.repairs, *(() if parquet else _outdated(out))]
    parts = [placed.part for placed in ledger.placed()]
    summary = Summary(
        out,
        len(books.books),
        sum(part.formulas.rows for part in parts),
        sum(part.lines.rows for part in parts),
        sum(part.unreadable for part in parts),
        ledger.done,
        ledger.kept,
        tuple(dict.fromkeys([*ledger.notes, *repairs])),
        tuple(sums),
    )
    write_atomically(out / MANIFEST, _manifest(books, ledger, summary, sums))
    ledger.tidy()
    clear_left_behind(out, after=0)
    return summary


def _written(out: Path, files: tuple[str, ...], writer: Callable[..., None], ledger: Ledger) -> dict[str, Sum]:
    """Write tables, all of them before the first takes its place."""
    sums = {}
    with contextlib.ExitStack() as stack:
        for name in files:
            file = stack.enter_context(replacing(out / name))
            writer(file, Path(name).stem, ledger.placed())
            file.seek(0)
            sums[name] = summed(file)
    return sums


def _outdated(out: Path) -> list[str]:
    """Remove the Parquet tables of an earlier run, which would no longer fit the others."""
    notes = []
    for name in PARQUET:
        path = out / name
        if path.is_file() or path.is_symlink():
            path.unlink()
            notes.append(f"{name} of an earlier run was removed; --parquet writes it anew.")
    return notes


def _manifest(books: Shelf, ledger: Ledger, summary: Summary, sums: dict[str, Sum]) -> str:
    """The manifest as JSON: the same for the same books, however the run went."""
    parts_of: dict[str, list[dict[str, object]]] = {}
    for book, key in ledger.order:
        part = ledger.files[key]
        parts_of.setdefault(book, []).append({"key": key, "formulas": part.formulas.rows, "lines": part.lines.rows})
    content: dict[str, Any] = {
        "histkit-corpus": VERSION,
        "made_by": fingerprint(),
        "formulas": summary.formulas,
        "lines": summary.lines,
        "unreadable": summary.unreadable,
        "tables": [{"file": name, "bytes": sum_.size, "sha256": sum_.sha256} for name, sum_ in sums.items()],
        "notes": list(dict.fromkeys(ledger.notes)),
        "books": [
            {
                "file": book.file,
                "title": book.source.title,
                "year": book.source.year,
                "country": book.source.country,
                "parts": parts_of.get(book.file, []),
            }
            for book in books.books
        ],
    }
    return json.dumps(content, ensure_ascii=False, indent=1) + "\n"
