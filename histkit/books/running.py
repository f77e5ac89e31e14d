"""A whole run: the books of a folder → lines and formulas as tables, on one process, several, or a Dask cluster.

Each finished part is a file of its own, put in place in one step and named by the hash of all that it depends on. A run that was
stopped, however hard, is taken up again by giving the same command; what is done is not done twice. The tables are put together
from the parts in a fixed order, so that they are the same byte for byte however the run went.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, HistkitError, quoted
from histkit.books.assembling import PARTS, Summary, put_together
from histkit.books.crews import TRIES, Crew, crew
from histkit.books.ledger import Ledger, Progress
from histkit.books.locking import held
from histkit.books.parquet import pyarrow
from histkit.books.parts import SIZE, Part, parts_of
from histkit.books.shelf import Shelf, shelf, text_of

MOST_JOBS = 256
"""Processes on one machine: more than any has processors, and each takes two hundred megabytes."""


def run(
    where: str | Path,
    out: str | Path,
    jobs: int = 1,
    scheduler: str = "",
    progress: Progress | None = None,
    part_size: int = SIZE,
    parquet: bool = False,
    waiting: Callable[[str], None] | None = None,
) -> Summary:
    """Find, read and translate all formulas of the books at `where`, and write the tables into the folder `out`.

    `jobs` is the number of processes; with `scheduler`, the address of a Dask scheduler ('tcp://…'), its workers do the
    work. `part_size` (in characters) changes how the work is shared out and nothing else. `parquet` asks for the tables as
    Parquet beside the CSV. Where another run is writing into `out` and `waiting` is given, it is called once with who that is,
    and the end of that run is waited for.

    Raises:
        BadValue: there is nothing to read, a number or address makes no sense, or pyarrow or Dask is asked for and missing.
        RecordError: the folder cannot be written to, or another run is writing into it.
        HistkitError: the workers or their scheduler died; what is done is kept.
    """
    if not (is_whole(jobs) and 1 <= jobs <= MOST_JOBS):
        raise BadValue(f"the number of jobs is 1 or more and at most {MOST_JOBS}, not {quoted(jobs)}")
    if part_size < 1:
        raise BadValue(f"the size of a part is 1 character or more, not {part_size}")
    if parquet:
        pyarrow()
    out = Path(out)
    books = shelf(where)
    folder = out / PARTS
    if folder.is_symlink():
        raise BadValue(f"{folder} is a link, which is not followed: remove it, or name another folder for the tables")
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise BadValue(f"cannot make the folder {folder}: {error.strerror or error}") from error
    with held(out, waiting):
        ledger = Ledger(folder, sum(book.size for book in books.books), progress)
        workers = crew(jobs, scheduler)
        finished = False
        try:
            _work_through(_given_out(books, ledger, part_size), workers, ledger)
            finished = True
        finally:
            workers.close(stopped=not finished)
        return put_together(out, books, ledger, parquet)


def _given_out(books: Shelf, ledger: Ledger, part_size: int) -> Iterator[Part]:
    """The parts still to be done, book after book; only one book is held in memory."""
    ledger.notes += books.notes
    for book in books.books:
        text, notes = text_of(book)
        ledger.notes += [*book.notes, *notes]
        for part in parts_of(text, book.source, book.file, part_size):
            ledger.order.append((book.file, part.key))
            if ledger.at_hand(part):
                ledger.note(part, kept=True)
            else:
                yield part


def _work_through(parts: Iterator[Part], workers: Crew, ledger: Ledger) -> None:
    """All parts through the crew, never more of them under way than keep everybody busy."""
    waiting: dict[Any, Part] = {}
    again: list[Part] = []
    deaths = 0
    more = True
    while more or waiting or again:
        while len(waiting) < 2 * workers.width and (again or more):
            part = again.pop() if again else next(parts, None)
            if part is None:
                more = False
                break
            waiting[workers.submit(part)] = part
        for task in workers.wait(set(waiting)) if waiting else ():
            part = waiting.pop(task)
            try:
                data = workers.result(task)
            except LookupError as death:
                again.append(part)
                deaths += 1
                if deaths > TRIES * (1 + 2 * workers.width):
                    raise HistkitError(
                        f"workers died again and again, last at part {part.number + 1} of {part.book} ({death}): "
                        "the machine may be short of memory; give fewer jobs. What is done is kept"
                    ) from death
                continue
            deaths = 0
            ledger.put(part, data)
