"""Puts the faults of `faults.csv` in, one at a time, and says which of them the tests catch: the measure of the tests.

    make faults                          all of them (an hour or so on two cores)
    make faults ARGS="--room bench"      those of one room
    make faults ARGS="--number 7"        one

Each fault is put into a copy of the checkout. First the tests of its room run, then, where those pass, all but the browser's and
the notebooks'. A fault that lives is a test that is missing. A row whose `old` is no longer in its file is told as out of date.
"""

import argparse
import csv
import os
import shutil
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

HERE = Path(__file__).resolve().parent
CHECKOUT = HERE.parent.parent
COPIED = ("histkit", "glossary", "notebooks", "tests", "pyproject.toml", "README.md", "DEVELOPERS.md", "CHANGELOG.md", "LICENSE", "Makefile", ".ci")
TOO_LONG = 1200
"""Seconds after which a run counts as caught: the fault made something endless."""


@dataclass(frozen=True)
class Fault:
    """One fault: in `file` the text `old` becomes `new`; `why` says what a maker would suffer from it."""

    number: int
    room: str
    file: str
    old: str
    new: str
    why: str


def faults() -> list[Fault]:
    with (HERE / "faults.csv").open(encoding="utf-8", newline="") as file:
        return [Fault(number, row["room"], row["file"], row["old"], row["new"], row["why"]) for number, row in enumerate(csv.DictReader(file), start=1)]


def tests_of(room: str, where: Path) -> list[str]:
    """The folder of a room's tests and the checks against published sources."""
    return [name for name in (f"tests/{room}", "tests/published") if (where / name).is_dir()]


def passes(where: Path, tests: list[str]) -> bool:
    """Whether these tests pass in this copy."""
    environment = {**os.environ, "PYTHONPATH": str(where), "PYTHONDONTWRITEBYTECODE": "1"}
    call = [sys.executable, "-m", "pytest", "-q", "-x", "-p", "no:cacheprovider", "-m", "not browser", "--ignore=tests/faults", "--ignore=tests/notebooks", *tests]
    try:
        ended = subprocess.run(call, cwd=where, env=environment, capture_output=True, timeout=TOO_LONG, check=False)
    except subprocess.TimeoutExpired:
        return False
    return ended.returncode == 0


@contextmanager
def copied() -> Iterator[Path]:
    """A copy of the checkout in a temporary folder."""
    with tempfile.TemporaryDirectory(prefix="histkit-fault-") as folder:
        where = Path(folder)
        for name in COPIED:
            source = CHECKOUT / name
            if source.is_dir():
                shutil.copytree(source, where / name, ignore=shutil.ignore_patterns("__pycache__", ".ipynb_checkpoints"))
            elif source.exists():
                shutil.copy(source, where / name)
        yield where


def sound(room: str) -> bool:
    """Whether the tests of a room pass without any fault: else everything would seem to be caught."""
    with copied() as where:
        return passes(where, tests_of(room, where))


def outcome(fault: Fault) -> str:
    """'caught by the room', 'caught elsewhere', 'lives' or 'out of date'."""
    with copied() as where:
        target = where / fault.file
        text = target.read_bytes().decode("utf-8") if target.exists() else ""
        if text.count(fault.old) != 1:
            return "out of date"
        target.write_bytes(text.replace(fault.old, fault.new).encode("utf-8"))
        if not passes(where, tests_of(fault.room, where)):
            return "caught by the room"
        return "lives" if passes(where, ["tests"]) else "caught elsewhere"


def main() -> int:
    words = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    words.add_argument("--room")
    words.add_argument("--number", type=int, action="append")
    words.add_argument("--jobs", type=int, default=os.cpu_count() or 1)
    asked = words.parse_args()
    chosen = [f for f in faults() if asked.room in (None, f.room) and (asked.number is None or f.number in asked.number)]
    counts: dict[str, int] = {}
    with ThreadPoolExecutor(asked.jobs) as crew:
        rooms = sorted({fault.room for fault in chosen})
        if unsound := [room for room, fine in zip(rooms, crew.map(sound, rooms), strict=True) if not fine]:
            print(f"the tests of {', '.join(unsound)} fail without any fault: mend that first", file=sys.stderr)
            return 2
        for fault, result in zip(chosen, crew.map(outcome, chosen), strict=True):
            counts[result] = counts.get(result, 0) + 1
            print(f"{result:18} {fault.number:3} {fault.room:11} {fault.file}: {fault.why}", flush=True)
    print(", ".join(f"{count} {result}" for result, count in sorted(counts.items())))
    return 1 if counts.keys() & {"lives", "out of date"} else 0


if __name__ == "__main__":
    sys.exit(main())
