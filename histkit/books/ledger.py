"""What is known of a run under way: the parts of each book in order, those done now and those that were there already."""

from __future__ import annotations

import contextlib
import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path

from histkit.base.errors import BadValue
from histkit.base.files import clear_left_behind, replacing
from histkit.books.partfiles import PartError, PartFile, Placed, opened, unpacked
from histkit.books.parts import Part, fingerprint

Progress = Callable[[int, int, int], None]
"""Called with (bytes of text done, bytes in all, formulas so far)."""
_OWN = re.compile(r"[0-9a-f]{32}\.part")
"""The names of parts; whatever else lies in their folder is somebody else's."""


def part_path(folder: Path, key: str) -> Path:
    """Where the part of that key is kept in the folder of the parts."""
    return folder / f"{key}.part"


@dataclass
class Ledger:
    """The state of a run. `folder` is that of the parts, `total` the bytes of all books."""

    folder: Path
    total: int
    progress: Progress | None
    order: list[tuple[str, str]] = field(default_factory=list)
    """(book, key) of every part, in the order of the tables."""
    files: dict[str, PartFile] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    """What there is to know of the books: the same however the run went."""
    repairs: list[str] = field(default_factory=list)
    """What was damaged and is worked out again."""
    done: int = 0
    kept: int = 0
    bytes_done: int = 0
    formulas: int = 0

    def at_hand(self, part: Part) -> bool:
        """Whether the part is there already, whole. A damaged one is noted, and is to be worked out again."""
        if part.key in self.files:
            return True
        path = part_path(self.folder, part.key)
        if not path.exists() and not path.is_symlink():
            return False
        try:
            kept = opened(path)
            if kept.key != part.key:
                raise PartError(f"{path} holds another part")
        except PartError as error:
            self.repairs.append(f"Part {part.number + 1} of {part.book} was damaged and was worked out again: {error}.")
            return False
        self.files[part.key] = kept
        return True

    def note(self, part: Part, kept: bool) -> None:
        """Count a part that is there, and tell how far the run is."""
        self.kept += kept
        self.done += not kept
        self.formulas += self.files[part.key].formulas.rows
        self.bytes_done += len(part.text.encode("utf-8", "replace"))
        if self.progress is not None:
            self.progress(min(self.bytes_done, self.total), self.total, self.formulas)

    def put(self, part: Part, data: bytes) -> None:
        """Keep the rows of a part.

        Raises:
            BadValue: another version of histkit worked them out.
            RecordError: they cannot be written.
        """
        path = part_path(self.folder, part.key)
        try:
            finished = unpacked(data, path)
        except PartError:
            finished = None
        if finished is None or finished.made_by != fingerprint():
            raise BadValue("the workers run another version of histkit than this machine: install the same one everywhere")
        with replacing(path) as file:
            file.write(data)
        self.files[part.key] = finished
        self.note(part, kept=False)

    def placed(self) -> Iterator[Placed]:
        """All parts in the order of the tables."""
        before: dict[str, int] = {}
        for book, key in self.order:
            part = self.files[key]
            yield Placed(part, book, before.get(book, 0))
            before[book] = before.get(book, 0) + part.formulas.rows

    def tidy(self) -> None:
        """Remove parts that belong to nothing any more, and what a killed run left half-written."""
        wanted = {part_path(self.folder, key).name for _, key in self.order}
        for path in self.folder.iterdir():
            if path.name not in wanted and _OWN.fullmatch(path.name):
                with contextlib.suppress(OSError):
                    path.unlink()
        clear_left_behind(self.folder, after=0)
