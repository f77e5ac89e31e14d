"""A whole run: the books of a folder → lines and formulas as CSV and Parquet, on one process, several, or a Dask cluster.

Each finished part is a file of its own, put in place in one step and named by the hash of all that it depends on. A run that was
stopped, however hard, is taken up again by giving the same command; what is done is not done twice. The tables are put together
from the parts in a fixed order, so that they are the same byte for byte however the run went.
"""

from __future__ import annotations

import concurrent.futures
import contextlib
import json
import os
import re
import tempfile
from collections.abc import Callable, Iterator
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, field
from importlib import import_module
from pathlib import Path
from typing import Any, BinaryIO, Protocol

from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, HistkitError, quoted
from histkit.base.files import write_atomically
from histkit.base.text import counted
from histkit.books.parts import SIZE, Part, fingerprint, parts_of, worked_out
from histkit.books.sheets import PartError, PartFile, Placed, opened, write_csv, write_parquet
from histkit.books.shelf import Shelf, text_of
from histkit.books.shelf import shelf as shelf_at

PARTS, MANIFEST = "parts", "manifest.json"
TABLES = ("lines.csv", "formulas.csv", "lines.parquet", "formulas.parquet")
MOST_JOBS = 256
"""Processes on one machine: more than any has processors, and each takes two hundred megabytes."""
_OWN = re.compile(r"\.?[0-9a-f]{32}\.part(?:\..*)?")
"""The names of parts, finished and half-written; whatever else lies in their folder is somebody else's."""
_TRIES = 3
"""How often work is given out anew after workers died without finishing anything."""

Told = Callable[[int, int, int], None]
"""Called with (bytes of text done, bytes in all, formulas found so far)."""


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

    def text(self) -> str:
        """In words, for the screen."""
        again = f" ({self.parts_kept} of {self.parts_kept + self.parts_done} parts were there already)" if self.parts_kept else ""
        found = f"{counted(self.formulas, 'formula')} with {counted(self.lines, 'line')} in {counted(self.books, 'book')}"
        told = [f"{found}{again}."]
        if self.unreadable:
            told.append(f"{self.unreadable:,} could not be read; the column 'error' says why.")
        return "\n".join([*told, *self.notes, f"Written to {self.out}: {', '.join(TABLES)}"])


class Crew(Protocol):
    """Who does the work. `submit` gives out a part, `wait` returns the finished among those given out."""

    width: int

    def submit(self, part: Part) -> Any: ...

    def wait(self, waiting: set[Any]) -> set[Any]: ...

    def result(self, task: Any) -> bytes:
        """The bytes; raises LookupError where the worker died and the part must be given out again."""
        ...

    def close(self, stopped: bool) -> None: ...


def run(
    where: str | Path,
    out: str | Path,
    jobs: int = 1,
    scheduler: str = "",
    told: Told | None = None,
    part_size: int = SIZE,
) -> Summary:
    """Find, read and translate all formulas of the books at `where`, and write the tables into the folder `out`.

    `jobs` is the number of processes; with `scheduler`, the address of a Dask scheduler ('tcp://…'), its workers do the
    work. `part_size` (in characters) changes how the work is shared out and nothing else.

    Raises:
        BadValue: there is nothing to read, or a number or address makes no sense.
        RecordError: the folder cannot be written to.
    """
    if not (is_whole(jobs) and 1 <= jobs <= MOST_JOBS):
        raise BadValue(f"the number of jobs is 1 or more and at most {MOST_JOBS}, not {quoted(jobs)}")
    if part_size < 1:
        raise BadValue(f"the size of a part is 1 character or more, not {part_size}")
    out = Path(out)
    books = shelf_at(where)
    folder = out / PARTS
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadValue(f"cannot make the folder {folder}: {error.strerror or error}") from error
    ledger = _Ledger(folder, sum(book.size for book in books.books), told)
    crew = _crew(jobs, scheduler)
    finished = False
    try:
        _work_through(_given_out(books, ledger, part_size), crew, ledger)
        finished = True
    finally:
        crew.close(stopped=not finished)
    return _put_together(out, books, ledger)


@dataclass
class _Ledger:
    """What is known of the run: the parts of each book in order, those done and those that were there."""

    folder: Path
    total: int
    told: Told | None
    order: list[tuple[str, str]] = field(default_factory=list)
    """(book, key) of every part, in the order of the tables."""
    files: dict[str, PartFile] = field(default_factory=dict)
    notes: list[str] = field(default_factory=list)
    done: int = 0
    kept: int = 0
    bytes_done: int = 0
    formulas: int = 0

    def path(self, key: str) -> Path:
        return self.folder / f"{key}.part"

    def at_hand(self, key: str) -> bool:
        """Whether the part is there already, whole; a damaged one is made again."""
        if key in self.files:
            return True
        path = self.path(key)
        if not path.exists():
            return False
        try:
            found = opened(path)
        except PartError:
            return False
        if found.key != key:
            return False
        self.files[key] = found
        return True

    def note(self, part: Part, kept: bool) -> None:
        self.kept += kept
        self.done += not kept
        self.formulas += self.files[part.key].formulas
        self.bytes_done += len(part.text.encode("utf-8", "replace"))
        if self.told is not None:
            self.told(min(self.bytes_done, self.total), self.total, self.formulas)

    def put(self, part: Part, data: bytes) -> None:
        write_atomically(self.path(part.key), data)
        found = opened(self.path(part.key), whole=False)
        if found.made_by != fingerprint():
            with contextlib.suppress(OSError):
                self.path(part.key).unlink()
            raise BadValue("the workers run another version of histkit than this machine: install the same one everywhere")
        self.files[part.key] = found
        self.note(part, kept=False)


def _given_out(books: Shelf, ledger: _Ledger, part_size: int) -> Iterator[Part]:
    """The parts still to be done, book after book; only one book is held in memory."""
    ledger.notes += books.notes
    for book in books.books:
        text, notes = text_of(book)
        ledger.notes += [*book.notes, *notes]
        for part in parts_of(text, book.source, book.file, part_size):
            ledger.order.append((book.file, part.key))
            if ledger.at_hand(part.key):
                ledger.note(part, kept=True)
            else:
                yield part


def _work_through(parts: Iterator[Part], crew: Crew, ledger: _Ledger) -> None:
    """All parts through the crew, never more of them under way than keep everybody busy."""
    waiting: dict[Any, Part] = {}
    again: list[Part] = []
    deaths = 0
    more = True
    while more or waiting or again:
        while len(waiting) < 2 * crew.width and (again or more):
            part = again.pop() if again else next(parts, None)
            if part is None:
                more = False
                break
            waiting[crew.submit(part)] = part
        for task in crew.wait(set(waiting)) if waiting else ():
            part = waiting.pop(task)
            try:
                data = crew.result(task)
            except LookupError as death:
                again.append(part)
                deaths += 1
                if deaths > _TRIES * (1 + 2 * crew.width):
                    raise HistkitError(
                        f"workers died again and again, last at part {part.number + 1} of {part.book} ({death}): "
                        "the machine may be short of memory; give fewer jobs. What is done is kept"
                    ) from death
                continue
            deaths = 0
            ledger.put(part, data)


# -- who does the work -------------------------------------------------------------------------------------------------------


def _crew(jobs: int, scheduler: str) -> Crew:
    if scheduler:
        return _Cluster(scheduler)
    return _Alone() if jobs == 1 else _Processes(jobs)


class _Alone:
    """This process."""

    width = 1

    def submit(self, part: Part) -> Any:
        return _Done(worked_out(part))

    def wait(self, waiting: set[Any]) -> set[Any]:
        return waiting

    def result(self, task: Any) -> bytes:
        data: bytes = task.data
        return data

    def close(self, stopped: bool) -> None:
        pass


class _Done:
    def __init__(self, data: bytes) -> None:
        self.data = data


class _Processes:
    """Several processes of this machine. When one is killed they are started anew, and what was under way is given out again."""

    def __init__(self, jobs: int) -> None:
        self.width = jobs
        self._pool = self._new()

    def _new(self) -> concurrent.futures.ProcessPoolExecutor:
        import multiprocessing

        # started fresh, so that nothing of this process (threads, locks) is copied half-way
        return concurrent.futures.ProcessPoolExecutor(
            self.width, mp_context=multiprocessing.get_context("spawn"), initializer=_quiet
        )

    def submit(self, part: Part) -> Any:
        try:
            return self._pool.submit(worked_out, part)
        except BrokenProcessPool:
            self._pool.shutdown(wait=False, cancel_futures=True)
            self._pool = self._new()
            return self._pool.submit(worked_out, part)

    def wait(self, waiting: set[Any]) -> set[Any]:
        return concurrent.futures.wait(waiting, return_when=concurrent.futures.FIRST_COMPLETED).done

    def result(self, task: Any) -> bytes:
        try:
            data: bytes = task.result()
        except (BrokenProcessPool, concurrent.futures.CancelledError) as error:
            raise LookupError(str(error)) from error
        return data

    def close(self, stopped: bool) -> None:
        if stopped:
            for process in list((self._pool._processes or {}).values()):
                process.terminate()
        self._pool.shutdown(wait=not stopped, cancel_futures=True)


def _quiet() -> None:
    """Ctrl-C is for the process that gives out the work."""
    import signal

    signal.signal(signal.SIGINT, signal.SIG_IGN)


class _Cluster:
    """The workers of a Dask scheduler."""

    def __init__(self, address: str) -> None:
        try:
            distributed: Any = import_module("distributed")
        except ImportError:
            raise BadValue(
                "a scheduler needs Dask, which is not installed here: pip install 'histkit[corpus]', on this machine and on "
                "those of the workers; without it --jobs uses the processors of this machine"
            ) from None
        self._distributed = distributed
        try:
            if not address.startswith("inproc:"):  # a client that was half made would go on trying behind our back
                import_module("distributed.comm.addressing").get_address_host_port(address)
            self._client = distributed.Client(address, timeout=20, set_as_default=False)
        except (OSError, ValueError, TimeoutError) as error:
            raise BadValue(
                f"no Dask scheduler answers at {address!r}: {error}; the address looks like tcp://127.0.0.1:8786"
            ) from None
        self.width = max(1, sum(self._client.nthreads().values()))

    def submit(self, part: Part) -> Any:
        self.width = max(1, sum(self._client.nthreads().values()))
        return self._client.submit(worked_out, part, key=f"histkit-{part.key}", pure=True, retries=_TRIES)

    def wait(self, waiting: set[Any]) -> set[Any]:
        with self._client.as_current():
            done: set[Any] = self._distributed.wait(list(waiting), return_when="FIRST_COMPLETED").done
        return done

    def result(self, task: Any) -> bytes:
        try:
            data: bytes = task.result()
        except (self._distributed.KilledWorker, concurrent.futures.CancelledError) as error:
            task.cancel()
            raise LookupError(str(error)) from error
        finally:
            task.release()
        return data

    def close(self, stopped: bool) -> None:
        with contextlib.suppress(OSError, TimeoutError):
            self._client.close()


# -- the tables --------------------------------------------------------------------------------------------------------------


def _put_together(out: Path, books: Shelf, ledger: _Ledger) -> Summary:
    placed: list[Placed] = []
    before: dict[str, int] = {}
    for book, key in ledger.order:
        part = ledger.files[key]
        placed.append(Placed(part, book, before.get(book, 0)))
        before[book] = before.get(book, 0) + part.formulas
    for name in ("lines", "formulas"):
        with replaced(out / f"{name}.csv") as file:
            write_csv(file, name, placed)
        with replaced(out / f"{name}.parquet") as file:
            write_parquet(file, name, placed)
    unreadable = _unreadable(out)
    summary = Summary(
        out,
        len(books.books),
        sum(p.part.formulas for p in placed),
        sum(p.part.lines for p in placed),
        unreadable,
        ledger.done,
        ledger.kept,
        tuple(dict.fromkeys(ledger.notes)),
    )
    write_atomically(out / MANIFEST, _manifest(books, ledger, summary))
    _tidy(ledger)
    return summary


def _unreadable(out: Path) -> int:
    import pyarrow.compute
    import pyarrow.parquet

    errors = pyarrow.parquet.read_table(out / "formulas.parquet", columns=["error"])["error"]
    return int(pyarrow.compute.sum(pyarrow.compute.not_equal(errors, "")).as_py() or 0)


def _manifest(books: Shelf, ledger: _Ledger, summary: Summary) -> str:
    by_book: dict[str, list[dict[str, object]]] = {}
    for book, key in ledger.order:
        part = ledger.files[key]
        by_book.setdefault(book, []).append({"key": key, "formulas": part.formulas, "lines": part.lines})
    told = {
        "histkit-corpus": 1,
        "made_by": fingerprint(),
        "formulas": summary.formulas,
        "lines": summary.lines,
        "unreadable": summary.unreadable,
        "notes": list(summary.notes),
        "books": [
            {
                "file": b.file,
                "title": b.source.title,
                "year": b.source.year,
                "country": b.source.country,
                "parts": by_book.get(b.file, []),
            }
            for b in books.books
        ],
    }
    return json.dumps(told, ensure_ascii=False, indent=1) + "\n"


def _tidy(ledger: _Ledger) -> None:
    """Parts that belong to nothing any more, and what a killed run left half-written."""
    wanted = {ledger.path(key).name for _, key in ledger.order}
    for path in ledger.folder.iterdir():
        if path.name not in wanted and _OWN.fullmatch(path.name):
            with contextlib.suppress(OSError):
                path.unlink()


@contextlib.contextmanager
def replaced(path: Path) -> Iterator[BinaryIO]:
    """A file to write that takes the place of `path` in one step when it is whole, and leaves it untouched if it never is."""
    handle, name = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    try:
        with os.fdopen(handle, "wb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        mask = os.umask(0)
        os.umask(mask)
        Path(name).chmod(0o666 & ~mask)
        Path(name).replace(path)
    except BaseException:
        with contextlib.suppress(OSError):
            Path(name).unlink()
        raise
