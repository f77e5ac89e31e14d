"""Whether the tables of a run are what it wrote: held against the sizes and hashes in its manifest."""

from __future__ import annotations

import json
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from histkit.base.errors import RecordError, TableError
from histkit.base.text import counted
from histkit.books.assembling import MANIFEST, PARQUET, PARTS, TABLES, VERSION
from histkit.books.ledger import part_path
from histkit.books.locking import busy
from histkit.books.partfiles import PartError, opened
from histkit.books.sums import Sum, summed


@dataclass(frozen=True, slots=True)
class Verdict:
    """What was held against the manifest, and in sentences what does not fit it."""

    folder: Path
    tables: tuple[str, ...]
    parts: int
    misfits: tuple[str, ...]

    @property
    def fits(self) -> bool:
        return not self.misfits

    def text(self) -> str:
        """In words, for the screen."""
        if self.fits:
            return f"{self.folder}: {', '.join(self.tables)} and {counted(self.parts, 'part')} are what the run wrote."
        return "\n".join([*self.misfits, "Give the command that read the books again: it works out anew what is damaged."])


def verify(folder: str | Path) -> Verdict:
    """Hold the tables in the folder of a run against its manifest, and the parts that are still there against their own hashes.

    Raises:
        TableError: there is no manifest, or it says nothing that fits.
        RecordError: a run is writing into the folder just now, and something does not fit yet.
    """
    folder = Path(folder)
    sums, keys = _manifest(folder / MANIFEST)
    misfits = [misfit for name, sum_ in sums.items() if (misfit := _misfit(folder / name, sum_))]
    for name in (*TABLES, *PARQUET):
        if name not in sums and (folder / name).exists():
            misfits.append(f"{name} is not of this run.")
    parts = 0
    for key in keys:
        path = part_path(folder / PARTS, key)
        if not path.exists() and not path.is_symlink():
            continue  # tables are whole without the parts
        parts += 1
        try:
            if opened(path).key != key:
                misfits.append(f"{path} holds another part.")
        except PartError as error:
            misfits.append(f"{error}.")
    if misfits and (who := busy(folder)):
        raise RecordError(f"{who}: verify the tables when that has ended")
    return Verdict(folder, tuple(sums), parts, tuple(misfits))


def _misfit(path: Path, sum_: Sum) -> str:
    """What is wrong with a table, in a sentence; '' where nothing is."""
    if path.is_symlink() or not path.is_file():
        return f"{path.name} is a link." if path.is_symlink() else f"{path.name} is missing."
    try:
        with path.open("rb") as file:
            on_disk = summed(file)
    except OSError as error:
        return f"{path.name} cannot be read: {error.strerror or error}."
    if on_disk.size != sum_.size:
        return f"{path.name} is {on_disk.size:,} bytes long and was written with {sum_.size:,}."
    return "" if on_disk == sum_ else f"{path.name} was changed after it was written."


def _manifest(path: Path) -> tuple[dict[str, Sum], list[str]]:
    """(table → its size and hash, keys of all parts) as the manifest says."""
    try:
        content: Any = json.loads(path.read_bytes())
    except FileNotFoundError:
        raise TableError(f"there is no {path}: give the folder that 'histkit corpus read' wrote its tables into") from None
    except (OSError, ValueError, RecursionError) as error:
        raise TableError(f"{path} cannot be read ({error}): read the books again") from None
    try:
        if content["histkit-corpus"] != VERSION:
            raise TableError(f"{path} is of another version of histkit and holds no hashes: read the books again")
        sums = {table["file"]: Sum(table["bytes"], table["sha256"]) for table in content["tables"]}
        keys = [part["key"] for book in content["books"] for part in book["parts"]]
    except (KeyError, TypeError) as error:
        raise TableError(f"{path} is no manifest of a run ({error}): read the books again") from None
    if not set(TABLES) <= sums.keys() <= {*TABLES, *PARQUET} or not all(str(key).isalnum() for key in keys):
        raise TableError(f"{path} names other files than a run writes: read the books again")
    return sums, keys
