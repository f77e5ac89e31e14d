"""Record files: loading, saving, putting an earlier state back.

A state that is saved goes first into the history beside the file (`histkit.keeping.history`), then in one step into the file.
Nothing writes over a file that cannot be read, or that a newer histkit made: such a file is left as it is, or set aside under
a name that nothing has yet. `RecordFile` holds a file open and will not write over what another window has saved since.
"""

from __future__ import annotations

import json
import os
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256
from pathlib import Path

from histkit.base.errors import BadValue, RecordError
from histkit.base.files import alone, numbered, write_atomically, write_new
from histkit.keeping import history as states
from histkit.keeping.differences import differences
from histkit.keeping.form import MARK
from histkit.keeping.history import LARGEST
from histkit.keeping.record import Record

SEEN_AS_RECORD = 1_000_000
"""Bytes above which a file in a folder is not looked into to see whether it is a record."""


class ChangedElsewhere(RecordError):
    """The file is no longer what this window read or wrote: another one has saved in the meantime."""


@dataclass(frozen=True)
class Kept:
    """One saved state of a record file: its number, when it was saved, what changed from the state before (a sentence for each).

    `record` is None where the entry cannot be read; `changes` then says why. `file` is the entry itself, a record file.
    """

    number: int
    time: datetime
    changes: tuple[str, ...]
    record: Record | None
    file: Path


# -- reading --------------------------------------------------------------------------------------------------------------


def load(path: str | Path) -> Record:
    """The record in a file.

    Raises:
        RecordError: there is no such file, or it is damaged (then the text says whether an earlier state is kept).
    """
    path = Path(path)
    return _parsed(path, _read(path))


def _parsed(path: Path, text: str) -> Record:
    try:
        return Record.from_json(text, str(path))
    except RecordError as error:
        if states.entries_of(_real(path)):
            raise RecordError(
                f"{error} What was saved before is kept in its history; histkit record --restore puts the last good state back."
            ) from error
        raise


def _read(path: Path) -> str:
    """The text of a record file. Raises RecordError where it cannot be read."""
    data = _bytes(path)
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        raise RecordError(f"{path} cannot be read: {error}") from error


def _bytes(path: Path) -> bytes:
    try:
        if not path.exists():
            raise RecordError(f"there is no record at {path}")
        if not path.is_file():
            raise RecordError(f"{path} is no file")
        if (size := path.stat().st_size) > LARGEST:
            raise RecordError(f"{path} is no histkit record: it has {size / 1e6:.0f} MB, and a record a few thousand bytes")
        return path.read_bytes()
    except OSError as error:
        raise RecordError(f"{path} cannot be read: {error.strerror or error}") from error


def is_record(path: Path) -> bool:
    """Whether a file is a record, also one of a newer histkit, as far as can be seen without reading more than a record may hold.

    Whatever lies there, this is no error: a folder, a pipe, a link that leads nowhere, brackets nested without end.
    """
    try:
        if not path.is_file() or path.stat().st_size > SEEN_AS_RECORD:
            return False
        data = json.loads(path.read_bytes().decode("utf-8-sig"))
    except (OSError, ValueError, RecursionError):
        return False
    return isinstance(data, dict) and MARK in data


def _real(path: str | Path) -> Path:
    """Where a record file really lies: one that is reached by a link has its history there too."""
    return Path(os.path.realpath(path))


# -- saving ---------------------------------------------------------------------------------------------------------------


def save(record: Record, path: str | Path, *, follow: bool = True) -> Path:
    """Save a record; every state that was saved stays in the history beside it. The path.

    A record that is a link stays one, and what it leads to is saved; with `follow` False the link is replaced by the file, as is
    right in a folder of results.

    Raises:
        RecordError: it cannot be written, or the file there cannot be read or is from a newer histkit: then it is left as it is.
    """
    place = _real(path) if follow else Path(path)
    with alone(place):
        _save(record, place)
    return Path(path)


def _save(record: Record, place: Path) -> str:
    """Save where the place is known, no other program being about; the text that was written."""
    text = _checked(record, place)
    if place.exists() and not place.is_symlink():
        previous = _read(place)
        try:
            Record.from_json(previous, str(place))
        except RecordError as error:
            raise RecordError(
                f"{error} It was not written over: save under another name, or put an earlier state back with"
                " histkit record --restore."
            ) from error
        states.append(place, previous)  # where another program wrote it, only the file has it
    _write(place, text)
    return text


def _checked(record: Record, place: Path) -> str:
    """The text of a record that can be opened again. Raises RecordError where it is too long for that."""
    text = record.to_json()
    if len(text) > LARGEST / 4:  # a character takes four bytes at most
        raise RecordError(
            f"{place} was not saved: this record has {len(text):,} characters, more than any formula: shorten its text"
        )
    return text


def _write(place: Path, text: str) -> None:
    """The state into the history and into the file; whatever stands in the file must be kept elsewhere already."""
    states.append(place, text)
    write_atomically(place, text)


def _set_aside(place: Path, word: str) -> Path:
    """Keep a copy of what stands in a file beside it, under a name with that word that nothing has yet; its path.

    Raises RecordError where it cannot be read or copied: then nothing may be written over it.
    """
    return write_new(place.parent, numbered(f"{place.name}.{word}"), _bytes(place))


class RecordFile:
    """A record file that a window holds open. It remembers what it last read or wrote, and does not write over anything else.

    Two notebooks with the same file: the second to save is told, and nothing is lost.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self._seen: str | None = None

    def load(self) -> Record:
        """The record in the file, as `load` gives it."""
        text = _read(self.path)
        record = _parsed(self.path, text)
        self._seen = _digest(text)
        return record

    def changed_elsewhere(self) -> bool:
        """Whether the file is no longer what this window last read or wrote (also where it is gone, or newly there)."""
        try:
            now = _digest(_read(self.path)) if self.path.exists() else None
        except RecordError:
            return True
        return now != self._seen

    def save(self, record: Record, over: bool = False, aside: bool = False) -> Path | None:
        """Save a record as `save` does. `over` writes also over what another window has saved, which stays in the history.

        With `aside`, a file that cannot be read is first kept beside this one under a name that nothing has yet; the path of
        what was so kept is given back, and None where nothing was.

        Raises:
            RecordError: as `save`.
            ChangedElsewhere: the file was changed since it was read or written here.
        """
        place = _real(self.path)
        with alone(place):
            # A file that is gone is no other window's work: it is written anew.
            if aside and place.exists() and not _readable(place):
                text = _checked(record, place)
                kept_in = _set_aside(place, "damaged")
                _write(place, text)
                self._seen = _digest(text)
                return kept_in
            if not over and place.exists() and self.changed_elsewhere():
                raise ChangedElsewhere(
                    f"{self.path} was changed by another notebook or program since it was opened here, so it was not written"
                    " over. Close one of the two. To go on here, open the file anew, or save under another name."
                )
            self._seen = _digest(_save(record, place))
        return None


def _readable(place: Path) -> bool:
    try:
        load(place)
    except RecordError:
        return False
    return True


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()


# -- earlier states -------------------------------------------------------------------------------------------------------


def history(path: str | Path) -> tuple[Kept, ...]:
    """Every saved state of a record file that is kept, the oldest first; none where nothing was saved yet.

    Raises RecordError where the folder of the history cannot be read.
    """
    out: list[Kept] = []
    before: Record | None = None
    for entry in states.entries_of(_real(path)):
        time = datetime.fromtimestamp(entry.time, UTC)
        try:
            record = load(entry.file)
        except RecordError as error:
            out.append(Kept(entry.number, time, (str(error),), None, entry.file))
            continue
        out.append(Kept(entry.number, time, differences(before, record), record, entry.file))
        before = record
    return tuple(out)


def go_back(path: str | Path, number: int) -> Record:
    """Put the state of that number in the history back into the file; the record.

    This is itself a new entry of the history, so that it can be undone in the same way. What stood in the file stays in the
    history too; where it could not be read it is set aside.

    Raises:
        BadValue: the history has no such number.
        RecordError: the state cannot be read, or the file cannot be written.
    """
    place = _real(path)
    with alone(place):
        present = states.entries_of(place)
        entry = next((entry for entry in present if entry.number == number), None)
        if entry is None:
            numbers = f"{present[0].number} to {present[-1].number}" if present else "none"
            raise BadValue(f"the history of {path} has no state {number!r}; it has {numbers}")
        text = _read(entry.file)
        record = Record.from_json(text, str(entry.file))
        if place.exists():
            if _readable(place):
                states.append(place, _read(place))
            else:
                _set_aside(place, "damaged")
        _write(place, text)
    return record


def restore(path: str | Path) -> Path | None:
    """Put the last good state of a record back; what stood there is kept beside it, and its new name given (None: nothing stood).

    Of a file that is whole this is the state before.

    Raises:
        RecordError: there is no other state that can be read, or the file cannot be written.
    """
    place = _real(path)
    with alone(place):
        standing = _bytes(place) if place.exists() else None
        text = _last_good(place, standing)
        if text is None:
            raise RecordError(f"there is no earlier state of {path} in its history, {states.folder_of(place).name}")
        aside = _set_aside(place, "set-aside") if standing is not None else None
        _write(place, text)
    return aside


def _last_good(place: Path, standing: bytes | None) -> str | None:
    for entry in reversed(states.entries_of(place)):
        text = states.text_of(entry)
        if text is None or text.encode("utf-8") == standing:
            continue
        try:
            Record.from_json(text)
        except RecordError:
            continue
        return text
    return None
