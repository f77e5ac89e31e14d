"""One run in one output folder at a time: the process that writes holds a lock in it, for as long as it lives.

Where the system can lock files (`fcntl`) the lock ends with the process, however it ends. Elsewhere a file that only one process
can make stands for the lock; one that a dead process of this machine left behind is put aside. Only the process that gives out
the work and writes takes the lock: workers, on this machine or on others, write nothing.
"""

from __future__ import annotations

import contextlib
import json
import os
import platform
import time
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from histkit.base.errors import RecordError
from histkit.base.text import clean

LOCK = "run.lock"
_EXCLUSIVE = "run.held"
"""The name of the file where the system cannot lock one."""
_PAUSE = 0.5
"""Seconds between two looks whether the folder is free."""
_LONGEST = 1000
"""Bytes of a lock that are looked at."""


@contextlib.contextmanager
def held(folder: Path, waiting: Callable[[str], None] | None = None) -> Iterator[None]:
    """While this lasts no other run writes into the folder.

    Where another one does and `waiting` is given, it is called once with a sentence that says who holds the folder, and the
    end of the other is waited for.

    Raises:
        RecordError: another run holds the folder and is not waited for; or the lock is a link or cannot be made.
    """
    release = _taken(folder)
    if isinstance(release, str) and waiting is not None:
        waiting(f"waiting: {release}")
    while isinstance(release, str):
        if waiting is None:
            raise RecordError(f"{release}: give the command again when that has ended, or with --wait, or name another folder")
        time.sleep(_PAUSE)
        release = _taken(folder)
    try:
        yield
    finally:
        with contextlib.suppress(OSError):
            release()


def busy(folder: Path) -> str:
    """Who writes into the folder, in words that can begin a sentence; '' where nobody does."""
    if not any((folder / name).exists() for name in (LOCK, _EXCLUSIVE)):
        return ""
    try:
        release = _taken(folder)
    except RecordError:  # a folder that cannot be written to is written into by nobody
        return ""
    if isinstance(release, str):
        return release
    release()
    return ""


def _taken(folder: Path) -> Callable[[], None] | str:
    """What gives the lock back, or in words who holds it."""
    for name in (LOCK, _EXCLUSIVE):
        if (folder / name).is_symlink():
            raise RecordError(f"{folder / name} is a link, which is not followed: remove it")
    try:
        try:
            return _locked(folder / LOCK)
        except ImportError:  # Windows has no fcntl
            return _made_alone(folder / _EXCLUSIVE)
    except OSError as error:
        raise RecordError(f"cannot lock the folder {folder} for this run: {error.strerror or error}") from error


def _locked(path: Path) -> Callable[[], None] | str:
    """The lock as a lock of the system on a file, which is removed when it is given back."""
    from fcntl import LOCK_EX, LOCK_NB, flock

    while True:
        handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_NOFOLLOW, 0o666)
        try:
            flock(handle, LOCK_EX | LOCK_NB)
        except BlockingIOError:
            holder = os.read(handle, _LONGEST)
            os.close(handle)
            return _in_words(path.parent, _holder(holder))
        except OSError:  # a file system without locks
            os.close(handle)
            return _made_alone(path.with_name(_EXCLUSIVE))
        if _same(handle, path):
            break
        os.close(handle)  # the one before removed the file in between

    def release() -> None:
        path.unlink(missing_ok=True)
        os.close(handle)

    os.ftruncate(handle, 0)
    os.write(handle, _this_process())
    return release


def _same(handle: int, path: Path) -> bool:
    try:
        return os.path.samestat(os.fstat(handle), path.lstat())
    except FileNotFoundError:
        return False


def _made_alone(path: Path) -> Callable[[], None] | str:
    """The lock as a file that only one process can make."""
    while True:
        try:
            handle = os.open(path, os.O_RDWR | os.O_CREAT | os.O_EXCL, 0o666)
            break
        except FileExistsError:
            try:
                holder = _holder(path.read_bytes()[:_LONGEST])
                if not _left_behind(holder):
                    return f"{_in_words(path.parent, holder)} (if no such process is running any more, remove {path})"
                path.unlink(missing_ok=True)
            except PermissionError:  # Windows removes no file that a living process has open
                return _in_words(path.parent, {})
            except FileNotFoundError:  # it was given back just now
                continue

    def release() -> None:
        os.close(handle)
        path.unlink(missing_ok=True)

    os.write(handle, _this_process())
    return release


def _this_process() -> bytes:
    since = datetime.now().astimezone().isoformat(" ", "seconds")
    return json.dumps({"process": os.getpid(), "machine": platform.node(), "since": since}).encode()


def _holder(data: bytes) -> dict[str, object]:
    """What a process wrote into its lock; empty where it has not yet, or where somebody else wrote there."""
    try:
        holder = json.loads(data)
    except (ValueError, RecursionError):
        return {}
    return holder if isinstance(holder, dict) else {}


def _in_words(folder: Path, holder: dict[str, object]) -> str:
    who = "another run"
    if {"process", "machine", "since"} <= holder.keys():
        who += clean(f" (process {holder['process']} on {holder['machine']}, since {holder['since']})")[:200]
    return f"{who} is writing into {folder}"


def _left_behind(holder: dict[str, object]) -> bool:
    """Whether the process that made the lock is surely no more."""
    process = holder.get("process")
    if holder.get("machine") != platform.node() or not isinstance(process, int):
        return False
    if os.name == "nt":  # asking after a process would end it there; removing the file shows whether it lives
        return True
    try:
        os.kill(process, 0)
    except (ProcessLookupError, OverflowError):
        return True
    except PermissionError:  # it lives, and is another user's
        return False
    return False
