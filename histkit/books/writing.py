"""Files of a run written in one step. A link in the folder of a run is replaced by the file, never followed."""

from __future__ import annotations

import contextlib
import hashlib
import os
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO

from histkit.base.errors import RecordError

_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class Sum:
    """By which a file is known again: its length in bytes and its SHA-256."""

    size: int
    sha256: str


def summed(file: BinaryIO, size: int | None = None) -> Sum:
    """The sum of the next `size` bytes of a file, or of all that follows; fewer where it ends before."""
    digest, count = hashlib.sha256(), 0
    while chunk := file.read(_CHUNK if size is None else min(_CHUNK, size - count)):
        digest.update(chunk)
        count += len(chunk)
    return Sum(count, digest.hexdigest())


@contextlib.contextmanager
def replaced(path: Path) -> Iterator[BinaryIO]:
    """A file to write that takes the place of `path` in one step when it is whole, and leaves it untouched if it never is.

    Where `path` is a link, the link itself gives way; what it leads to is untouched.

    Raises:
        RecordError: it cannot be written.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        raise RecordError(f"cannot write in the folder {path.parent}: {error.strerror or error}") from error
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w+b") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0)
        os.umask(mask)
        temporary.chmod(0o666 & ~mask)  # a temporary file is private; the finished one is like any other
        temporary.replace(path)
    except OSError as error:
        _removed(temporary)
        raise RecordError(f"{path} was not saved: {error.strerror or error}. What was there before is untouched.") from error
    except BaseException:
        _removed(temporary)
        raise


def _removed(path: Path) -> None:
    with contextlib.suppress(OSError):
        path.unlink()


def write(path: Path, data: bytes) -> None:
    """Put `data` in `path` in one step, as `replaced` does.

    Raises:
        RecordError: it cannot be written.
    """
    with replaced(path) as file:
        file.write(data)
