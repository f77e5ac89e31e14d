"""What is slow to make and follows from the package's own files alone, kept in the user's cache folder for the next process.

Only figures, texts, and the tuples, lists and mappings of them that `marshal` knows are kept: nothing in such a file can run.
A file that is missing, damaged, or of another state of the package is made anew; where none can be written, each process makes
its own. The folder may be deleted at any time.
"""

from __future__ import annotations

import marshal
import sys
import zlib
from collections.abc import Callable, Iterator, Mapping
from contextlib import suppress
from functools import cache
from hashlib import blake2b
from pathlib import Path
from typing import Any, TypeVar, cast

from histkit.base.errors import RecordError
from histkit.base.tables import PACKAGE, data_folder, uncollected

_Made = TypeVar("_Made")

MOST_STATES = 2
"""States of the package whose results are kept: two versions beside one another do not push each other out."""
_CHECK = 4
"""Bytes of the checksum before what is kept."""


def stored(name: str, make: Callable[[], _Made]) -> _Made:
    """What `make` returns; from the cache folder if an earlier process made it.

    It must follow from the files of the rooms base and glossary and from the glossary's tables, and from nothing else.
    """
    path = folder() / f"{name}-{state()}.stored"
    with suppress(OSError, EOFError, ValueError, TypeError), uncollected():
        data = path.read_bytes()
        if zlib.crc32(data[_CHECK:]).to_bytes(_CHECK, "big") == data[:_CHECK]:
            return cast(_Made, marshal.loads(data[_CHECK:]))
    made = make()
    _store(path, marshal.dumps(cast(Any, made)))
    return made


def stored_by_key(name: str, make: Callable[[], Mapping[str, _Made]]) -> Mapping[str, _Made]:
    """The same for a large mapping of which a process needs little: each value is unpacked when it is asked for."""
    return _Packed(stored(name, lambda: {key: marshal.dumps(cast(Any, value)) for key, value in make().items()}))


class _Packed(Mapping[str, Any]):
    def __init__(self, packed: dict[str, bytes]) -> None:
        self._packed = packed

    def __getitem__(self, key: str) -> Any:
        return marshal.loads(self._packed[key])

    def __contains__(self, key: object) -> bool:
        return key in self._packed

    def __iter__(self) -> Iterator[str]:
        return iter(self._packed)

    def __len__(self) -> int:
        return len(self._packed)


@cache
def folder() -> Path:
    """Where results are kept: where the system at hand has such things."""
    from platformdirs import user_cache_path

    return user_cache_path("histkit", appauthor=False)


@cache
def state() -> str:
    """A word for this Python and for the files that results follow from, by their size and time."""
    places = (PACKAGE / "base", PACKAGE / "glossary", data_folder())
    files = sorted(path for place in places for path in place.iterdir() if path.suffix in {".py", ".csv"})
    seen = [(str(path), facts.st_size, facts.st_mtime_ns) for path in files for facts in (path.stat(),)]
    return blake2b(repr((sys.implementation.cache_tag, seen)).encode(), digest_size=10).hexdigest()


def _store(path: Path, data: bytes) -> None:
    """Keep this for the next process, and the newest states alone. Nothing is said where that cannot be done."""
    from histkit.base.files import write_atomically

    with suppress(OSError, RecordError):
        path.parent.mkdir(parents=True, exist_ok=True)
        write_atomically(path, zlib.crc32(data).to_bytes(_CHECK, "big") + data)
        name = path.name.rpartition("-")[0]
        states = sorted(path.parent.glob(f"{name}-*{path.suffix}"), key=lambda state: state.stat().st_mtime)
        for old in states[:-MOST_STATES]:
            old.unlink(missing_ok=True)
