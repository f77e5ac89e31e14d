"""The history of a record file: every state that was saved, in a folder beside it, so that nothing a maker wrote can be lost.

For `powder.json` it is the folder `powder.json.history` with the files `000001.json`, `000002.json` … Each is a whole record, as
it was saved, that `load` opens like any other. A state is written there before it is written to the record itself, under a
number that nothing has yet; no entry is ever changed. When there are many, the ones in between go (`too_many`), but never one
whose words stand in no later entry.
"""

from __future__ import annotations

import json
import os
import re
import stat
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path
from typing import Any

from histkit.base.errors import RecordError
from histkit.base.files import write_new
from histkit.keeping.form import entries

LARGEST = 16_000_000
"""Bytes above which a file is taken to be no record."""

MOST, MOST_BYTES = 300, 30_000_000
"""Entries, and bytes of all of them, above which the history is thinned."""
LATEST = 20
"""So many of the latest entries are never thinned away."""
EVERY = 20
"""The history is looked through for thinning at each entry whose number is a multiple of this: it takes a while."""

_NAME = re.compile(r"([0-9]{6,15})\.json")
_OWN_FIGURES = ("corrections", "trials", "batches")
"""Entries of a record whose figures a maker found out or wrote down: they count as words."""


@dataclass(frozen=True, slots=True)
class Entry:
    """One saved state: its number, when it was saved (seconds since 1970, as its file says), its size in bytes, its file."""

    number: int
    time: float
    size: int
    file: Path


def folder_of(place: Path) -> Path:
    """The folder of the history of a record file."""
    return place.with_name(place.name + ".history")


def entries_of(place: Path) -> tuple[Entry, ...]:
    """The entries of the history, the oldest first; none where there is no history.

    Raises RecordError where its folder cannot be read.
    """
    out = []
    for number, file in _files_of(place):
        try:
            about = file.lstat()
        except FileNotFoundError:  # another program has thinned the history just now
            continue
        except OSError as error:
            raise _unreadable(place, error) from error
        out.append(Entry(number, about.st_mtime, about.st_size, file))
    return tuple(out)


def _files_of(place: Path) -> list[tuple[int, Path]]:
    """The files of the entries with their numbers, the oldest first. Raises RecordError where their folder cannot be read."""
    out: list[tuple[int, Path]] = []
    try:
        with os.scandir(folder_of(place)) as files:
            for file in files:
                name = _NAME.fullmatch(file.name)
                if name is not None and file.is_file(follow_symlinks=False):
                    out.append((int(name[1]), Path(file.path)))
    except (FileNotFoundError, NotADirectoryError):
        return []
    except OSError as error:
        raise _unreadable(place, error) from error
    return sorted(out)


def _unreadable(place: Path, error: OSError) -> RecordError:
    return RecordError(f"the history {folder_of(place)} cannot be read: {error.strerror or error}")


def text_of(entry: Entry) -> str | None:
    """The text of an entry, as it was saved; None where it cannot be read."""
    return _text_in(entry.file)


def _text_in(file: Path) -> str | None:
    try:
        if file.stat().st_size > LARGEST:
            return None
        return file.read_bytes().decode("utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return None


def append(place: Path, text: str) -> None:
    """Add a state to the history, unless it is what the latest entry holds.

    Raises RecordError where it cannot be written, as in a folder that is write-protected.
    """
    folder, before = folder_of(place), _files_of(place)
    if before and _text_in(before[-1][1]) == text:
        return
    if folder.is_symlink():
        raise RecordError(f"{place} was not saved: {folder.name}, where its history is kept, is a link. Take the link away.")
    try:
        if not folder.is_dir():
            folder.mkdir(exist_ok=True)
            folder.chmod(stat.S_IMODE(place.parent.stat().st_mode) & 0o1777)  # who may write beside the record may write here
    except FileExistsError:
        raise RecordError(
            f"{place} was not saved: its history is kept in a folder {folder.name}, and something else has that name. Rename it."
        ) from None
    except OSError as error:
        raise RecordError(f"cannot write in the folder {place.parent}: {error.strerror or error}") from error
    first = before[-1][0] + 1 if before else 1
    written = write_new(folder, (f"{number:06}.json" for number in count(first)), text)
    if int(written.stem) % EVERY == 0:
        _thin(place)


# -- thinning -------------------------------------------------------------------------------------------------------------


def words_of(data: Any) -> frozenset[str]:
    """Every text in a record (as JSON knows it), and each correction, trial and batch as a whole: what only its maker could say
    again."""
    whole = [json.dumps(one, sort_keys=True) for key in _OWN_FIGURES for one in _list(data, key)]
    return frozenset((*_texts(data), *whole))


def _list(data: Any, key: str) -> list[Any]:
    value = data.get(key) if isinstance(data, dict) else None
    return value if isinstance(value, list) else []


def _texts(value: Any) -> Iterator[str]:
    if isinstance(value, str):
        yield value
    elif isinstance(value, (dict, list)):
        for inner in value.values() if isinstance(value, dict) else value:
            yield from _texts(inner)


def too_many(states: Sequence[tuple[Entry, frozenset[str] | None]], most: int, most_bytes: int, latest: int) -> tuple[Entry, ...]:
    """Which entries may go, so that not more than `most` of them with `most_bytes` are left, as far as that can be.

    `states` are all entries, the oldest first, with their words (None: it cannot be read). Those go first that were soonest
    followed by another, as on the way of a slider. What stays in any case: the `latest`, what cannot be read, and every entry
    with a word that stands in no later one. Since the last holder of a word always stays, two programs that thin at the same
    time cannot remove it between them.
    """
    later: set[str] = set()
    free: list[tuple[float, Entry]] = []
    for place in range(len(states) - 1, -1, -1):
        entry, words = states[place]
        if words is not None and place < len(states) - max(latest, 1) and words <= later:
            free.append((states[place + 1][0].time - entry.time, entry))
        later |= words or frozenset()
    surplus, bytes_left = len(states) - most, sum(entry.size for entry, _ in states)
    out: list[Entry] = []
    for _, entry in sorted(free, key=lambda pair: (pair[0], pair[1].number)):
        if len(out) >= surplus and bytes_left <= most_bytes:
            break
        out.append(entry)
        bytes_left -= entry.size
    return tuple(out)


def _thin(place: Path) -> None:
    present = entries_of(place)
    if len(present) <= MOST and sum(entry.size for entry in present) <= MOST_BYTES:
        return
    for entry in too_many([(entry, _words(entry)) for entry in present], MOST, MOST_BYTES, LATEST):
        try:
            entry.file.unlink()
        except OSError:
            return  # a history that is longer than it need be does no harm


def _words(entry: Entry) -> frozenset[str] | None:
    text = text_of(entry)
    if text is None:
        return None
    try:
        return words_of(entries(text, entry.file.name))
    except RecordError:
        return None
