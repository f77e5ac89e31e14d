"""Files written in one step: the old one or the new one, never half of either, whatever happens in between."""

from __future__ import annotations

import contextlib
import os
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from histkit.base.errors import RecordError

_PATIENCE, _PAUSE = 3.0, 0.02
"""Seconds to wait for another program that saves in the same folder, and between two tries."""


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def write_atomically(path: Path, text: str | bytes) -> None:
    """Put `text` in `path` in one step: a reader sees the old file or the new one, never half of either.

    Raises RecordError where it cannot be written; what was there before is then untouched.
    """
    path = Path(os.path.realpath(path))  # a link stays a link: what it leads to is replaced
    try:
        data = text.encode("utf-8") if isinstance(text, str) else text
    except UnicodeEncodeError as error:
        raise RecordError(f"{path} was not saved: place {error.start + 1} of the text holds half of a character") from None
    try:
        mode = path.stat().st_mode & 0o777 if path.exists() else 0o666 & ~_umask()
        if path.exists() and not os.access(path, os.W_OK):
            raise RecordError(
                f"{path} was not saved: it is write-protected. Save under another name, or take the protection off."
            )
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name[:80]}.", dir=path.parent)
    except OSError as error:
        raise RecordError(f"cannot write in the folder {path.parent}: {error.strerror or error}") from error
    try:
        with os.fdopen(handle, "wb") as file:
            os.fchmod(handle, mode)  # a temporary file is private; the finished one is like any other
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(path)
        with contextlib.suppress(OSError), _folder(path) as folder:
            os.fsync(folder)  # the new name itself, should the power fail
    except OSError as error:
        with contextlib.suppress(OSError):
            Path(temporary).unlink()
        raise RecordError(f"{path} was not saved: {error.strerror or error}. What was there before is untouched.") from error


@contextlib.contextmanager
def _folder(path: Path) -> Iterator[int]:
    handle = os.open(path.parent, os.O_RDONLY)
    try:
        yield handle
    finally:
        os.close(handle)


@contextlib.contextmanager
def alone(path: Path) -> Iterator[None]:
    """While this lasts no other histkit saves in the folder (where the system can lock folders; elsewhere it does nothing).

    It waits some seconds at most for another one: a program that hangs must not hang this one too.
    """
    try:
        import fcntl
    except ImportError:  # pragma: no cover - Windows
        yield
        return
    with contextlib.ExitStack() as stack:
        with contextlib.suppress(OSError):
            folder = stack.enter_context(_folder(path))
            for _ in range(int(_PATIENCE / _PAUSE)):
                try:
                    fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    break
                except BlockingIOError:
                    time.sleep(_PAUSE)
        yield
