"""Files written in one step: a reader sees the old file or the new one, never half of either.

`write_atomically` replaces a file, `replacing` one that is written bit by bit. `write_new` makes one under the first name of a
row that nothing has yet, so that nothing is ever written over, not even by two programs at once. `alone` keeps other programs out
of a folder for a moment.
"""

from __future__ import annotations

import contextlib
import os
import re
import stat
import tempfile
import time
from collections.abc import Iterable, Iterator
from itertools import chain, count
from pathlib import Path
from typing import BinaryIO

from histkit.base.errors import RecordError

_PATIENCE, _PAUSE = 3.0, 0.02
"""Seconds to wait for another program that saves in the same folder, and between two tries."""

_BEGINNING, _ENDING = ".histkit-", ".tmp"
_TEMPORARY = re.compile(r"\.histkit-([0-9]+)-[A-Za-z0-9_]+\.tmp")
"""Names of temporary files; the figures are the number of the process that writes."""
_LEFT_BEHIND = 600.0
"""Seconds after which a temporary file of a process that no longer runs was left behind by a kill."""


def write_atomically(path: Path, text: str | bytes, *, follow: bool = False) -> None:
    """Put `text` in `path` in one step; a file that is there already is replaced and keeps its permissions.

    With `follow` a link stays a link and the file that it leads to is replaced. Without it, as is right for a folder of
    results, a link of that name is itself replaced by the file: a link that somebody put there leads nothing elsewhere. This
    is about the name itself; where a folder on the way to it may be a link, the caller has to look.

    Raises RecordError where it cannot be written; what was there before is then untouched.
    """
    place = Path(os.path.realpath(path)) if follow else Path(path)
    data = _encoded(text, f"{place}")
    clear_left_behind(place.parent)
    with replacing(place) as file:
        file.write(data)


@contextlib.contextmanager
def replacing(path: Path) -> Iterator[BinaryIO]:
    """A file to write that takes the place of `path` in one step when it is whole, and leaves it untouched if it never is.

    A link of that name gives way itself, and a file that is there already keeps its permissions, as in `write_atomically`.

    Raises RecordError where it cannot be written.
    """
    with _temporary(path.parent, f"{path}", _mode_of(path)) as (file, temporary):
        yield file
        _close_safely(file)
        temporary.replace(path)


def write_new(folder: Path, names: Iterable[str], text: str | bytes) -> Path:
    """Put `text` in a new file of `folder` under the first of `names` that nothing has yet; its path.

    `numbered` gives such names. The name is taken in one step, so two programs never get the same one. A folder, a link and a
    name that differs only in what the file system takes to be alike (capitals) count as taken.

    Raises RecordError where it cannot be written, or no name is free.
    """
    what = f"a new file in {folder}"
    data = _encoded(text, what)
    clear_left_behind(folder)
    with _temporary(folder, what, 0o666 & ~_umask()) as (file, temporary):
        file.write(data)
        _close_safely(file)
        for name in names:
            try:
                _take_name(temporary, folder / name)
            except FileExistsError:
                continue
            return folder / name
    raise RecordError(f"nothing was saved in {folder}: no name is free")


def numbered(stem: str, ending: str = "") -> Iterator[str]:
    """Names without end: `powder.json`, `powder-2.json`, `powder-3.json` … for the stem 'powder' and the ending '.json'."""
    return chain([f"{stem}{ending}"], (f"{stem}-{number}{ending}" for number in count(2)))


def _encoded(text: str | bytes, what: str) -> bytes:
    if isinstance(text, bytes):
        return text
    try:
        return text.encode("utf-8")
    except UnicodeEncodeError as error:
        raise RecordError(f"{what} was not saved: place {error.start + 1} of the text holds half of a character") from None


def _mode_of(place: Path) -> int:
    """The permissions that a file of this name has, or that a new one gets. Raises RecordError where it is write-protected."""
    try:
        present = place.lstat()
    except FileNotFoundError:
        return 0o666 & ~_umask()
    except OSError as error:
        raise RecordError(f"{place} was not saved: {error.strerror or error}") from error
    if stat.S_ISLNK(present.st_mode):
        return 0o666 & ~_umask()
    if not os.access(place, os.W_OK):
        raise RecordError(f"{place} was not saved: it is write-protected. Save under another name, or take the protection off.")
    return stat.S_IMODE(present.st_mode) & 0o777


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


@contextlib.contextmanager
def _temporary(folder: Path, what: str, mode: int) -> Iterator[tuple[BinaryIO, Path]]:
    """A new file to write and to be given its name, and where it lies; whatever happens, it is gone afterwards.

    Errors speak of it as `what`.
    """
    try:
        handle, name = tempfile.mkstemp(prefix=f"{_BEGINNING}{os.getpid()}-", suffix=_ENDING, dir=folder)
    except OSError as error:
        raise RecordError(f"cannot write in the folder {folder}: {error.strerror or error}") from error
    temporary = Path(name)
    try:
        with os.fdopen(handle, "w+b") as file:
            if hasattr(os, "fchmod"):  # Windows has it from Python 3.13 on, and no such permissions before
                os.fchmod(handle, mode)  # a temporary file is private; the finished one is like any other
            yield file, temporary
        with contextlib.suppress(OSError), _opened(folder) as open_folder:
            os.fsync(open_folder)  # the new name itself, should the power fail
    except OSError as error:
        raise RecordError(f"{what} was not saved: {error.strerror or error}. What was there before is untouched.") from error
    finally:
        with contextlib.suppress(OSError):  # mostly it is gone, having been given its name
            temporary.unlink()


def _close_safely(file: BinaryIO) -> None:
    """Close a file whose words are safe on the disk; an open one could not be given its name on every system."""
    file.flush()
    os.fsync(file.fileno())
    file.close()


def _take_name(temporary: Path, place: Path) -> None:
    """Give a finished file its name. Raises FileExistsError where something has that name."""
    try:
        os.link(temporary, place)
    except FileExistsError:
        raise
    except (OSError, AttributeError, NotImplementedError):
        # A file system without hard links, as on a memory stick: an empty file takes the name and is replaced at once.
        os.close(os.open(place, os.O_CREAT | os.O_EXCL | os.O_WRONLY))
        try:
            temporary.replace(place)
        except BaseException:
            place.unlink()
            raise


def clear_left_behind(folder: Path, after: float = _LEFT_BEHIND) -> None:
    """Remove temporary files of programs that were killed `after` seconds ago or more while they saved here.

    Who knows that no other program writes in the folder may say 0. Files with other names are never touched.
    """
    with contextlib.suppress(OSError):  # the folder is not there: whoever writes in it says so
        for name in os.listdir(folder):  # noqa: PTH208  (names are enough, and folders of results may hold thousands)
            if not name.startswith(_BEGINNING) or (parsed := _TEMPORARY.fullmatch(name)) is None:
                continue
            with contextlib.suppress(OSError):
                age = time.time() - (folder / name).lstat().st_mtime
                if age >= after and not _runs(int(parsed[1])):
                    (folder / name).unlink()


def _runs(process: int) -> bool:
    """Whether a process of this number runs on this machine, as far as can be seen."""
    if os.name == "nt":  # pragma: no cover - there, asking by a signal would end the process
        return False
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return False
    except OSError:
        return True
    return True


@contextlib.contextmanager
def _opened(folder: Path) -> Iterator[int]:
    handle = os.open(folder, os.O_RDONLY)
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
            folder = stack.enter_context(_opened(path.parent))
            for _ in range(int(_PATIENCE / _PAUSE)):
                try:
                    fcntl.flock(folder, fcntl.LOCK_EX | fcntl.LOCK_NB)
                    break
                except BlockingIOError:
                    time.sleep(_PAUSE)
        yield
