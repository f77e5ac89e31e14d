"""Where the names of the glossary stand in print: every name against whole books, folded as the look-up folds it.

A name counts where it stands by itself: within a longer known name ('almond oil' in 'bitter almond oil'), or with a comma,
a bracket or the end of a sentence between its words, it does not.
"""

from __future__ import annotations

import csv
import io
import re
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from histkit import glossary
from histkit.base.bibliography import TABLE as TABLE_OF_WORKS
from histkit.base.bibliography import works
from histkit.base.errors import BadValue
from histkit.base.files import write_atomically
from histkit.books.shelf import decode
from histkit.glossary import fold
from histkit.glossary.tables import CONTESTED, names

_BREAKS_AFTER = tuple(",;:)]!?")
_BREAKS_BEFORE = ("(", "[")
_DIVIDED = re.compile(r"[¬∣]")


def names_in_text(names: Iterable[str], text: str, cut: frozenset[str] = frozenset()) -> Counter[str]:
    """How often each of these folded names stands in a text, the longest name first, none inside another.

    `cut` are words that are printed cut short: the stop behind them ends no name.
    """
    wanted = set(names)
    longest: dict[str, int] = {}
    for name in wanted:
        first, *rest = name.split(" ")
        longest[first] = max(longest.get(first, 0), 1 + len(rest))
    seen: Counter[str] = Counter()
    for run in _runs(text, cut):
        at = 0
        while at < len(run):
            at += _longest_at(run, at, longest.get(run[at], 0), wanted, seen)
    return seen


def _longest_at(run: list[str], at: int, most: int, wanted: set[str], seen: Counter[str]) -> int:
    """Counts the longest name that begins here; how many words to go on."""
    for words in range(min(most, len(run) - at), 0, -1):
        name = " ".join(run[at : at + words])
        if name in wanted:
            seen[name] += 1
            return words
    return 1


def _runs(text: str, cut: frozenset[str]) -> Iterator[list[str]]:
    """The folded words of a text between the signs that end a name."""
    run: list[str] = []
    for printed in _DIVIDED.sub("", text).split():
        if printed.startswith(_BREAKS_BEFORE) and run:
            yield run
            run = []
        folded = fold(printed).split(" ")
        run.extend(word for word in folded if word)
        if _ends_a_name(printed, folded[-1] in cut):
            yield run
            run = []
    yield run


def _ends_a_name(printed: str, cut_short: bool) -> bool:
    bare = printed.rstrip("_*\"'’”")
    return bare.endswith(_BREAKS_AFTER) or (bare.endswith(".") and not cut_short)


def words_cut_short(printed_names: Iterable[str]) -> frozenset[str]:
    """The folded words that the names themselves end in a stop: 'rad' and 'irid' of 'Rad. Irid.'."""
    return frozenset(fold(word) for name in printed_names for word in name.split() if word.endswith("."))


# -- the table ------------------------------------------------------------------------------------------------------------


NAMES, BOOKS = "attestations.csv", "attesting.csv"
SHOWN = 4
"""Books that a row names, at most."""


def attest(files: Iterable[Path], folder: Path, anew: bool = False) -> int:
    """Look the names of the glossary up in these texts and add what is found to the tables in `folder`.

    The name of each file is the id of its work in the table of works ('flora-1779.txt'). With `anew` the tables begin empty.
    Returns how many names the table then holds. Where `folder` has the table of names, those recalled cite their print.

    Raises:
        BadValue: a file is named after no work, was looked through before, or cannot be read.
    """
    rows, books = ({}, []) if anew else (_written(folder), _listed(folder))
    known = {row["source"] for row in books}
    wanted = {fold(row.name) for row in names()} | {fold(row["name"]) for row in glossary.rows("ingredients")}
    cut = words_cut_short(row.name for row in names())
    for path in files:
        book = path.stem
        if book not in works():
            raise BadValue(f"{path}: its name is no id in {TABLE_OF_WORKS}; name the text after its work, or add the work there")
        if book in known:
            raise BadValue(f"{path}: this book was looked through before; with --anew all texts are counted again")
        known.add(book)
        text = _text(path)
        counts = names_in_text(wanted, text, cut)
        for name, times in counts.items():
            rows[name] = rows.get(name, _Row()).with_book(book, times)
        books.append({"source": book, "words": str(len(text.split())), "names": str(len(counts))})
    _write(folder / NAMES, ("name", "times", "books", "seen"), ({"name": name, **rows[name].cells()} for name in sorted(rows)))
    _write(folder / BOOKS, ("source", "words", "names"), sorted(books, key=lambda row: row["source"]))
    _cite_prints(folder / "names.csv", {name: row.shown[0][0] for name, row in rows.items()})
    return len(rows)


def _cite_prints(path: Path, earliest: dict[str, str]) -> None:
    """Names that were recalled cite the earliest book that prints them; other rows stay as they are, to the byte.

    A contested name stays recalled: that it stands in print does not say which of its meanings was meant.
    """
    if not path.is_file():
        return
    heading, *lines = path.read_text(encoding="utf-8").splitlines(keepends=True)
    columns = next(csv.reader([heading]))
    if columns[-1] != "source":
        raise BadValue(f"{path}: its last column is {columns[-1]}; it must be source, where a name's print is written")
    for number, cells in enumerate(csv.reader(lines)):
        row = dict(zip(columns, cells, strict=True))
        book = earliest.get(fold(row["name"]))
        if book and row["source"] == "memory" and row["certainty"] != CONTESTED:
            lines[number] = f"{lines[number].rstrip().removesuffix('memory')}{book}\n"
    write_atomically(path, "".join([heading, *lines]))


@dataclass(frozen=True, slots=True)
class _Row:
    times: int = 0
    books: int = 0
    shown: tuple[tuple[str, int], ...] = ()

    def with_book(self, book: str, times: int) -> _Row:
        """This row with one more book; the earliest and the latest stay shown, and those that print the name most."""
        shown = sorted((*self.shown, (book, times)), key=lambda pair: (works()[pair[0]].year.removeprefix("about "), pair[0]))
        if len(shown) > SHOWN:
            shown.remove(min(shown[1:-1], key=lambda pair: pair[1]))
        return _Row(self.times + times, self.books + 1, tuple(shown))

    def cells(self) -> dict[str, str]:
        seen = ";".join(f"{book} {times}" for book, times in self.shown)
        return {"times": str(self.times), "books": str(self.books), "seen": seen}


def _written(folder: Path) -> dict[str, _Row]:
    rows: dict[str, _Row] = {}
    for row in _rows(folder / NAMES):
        pairs = (entry.rsplit(" ", 1) for entry in row["seen"].split(";"))
        rows[row["name"]] = _Row(int(row["times"]), int(row["books"]), tuple((book, int(times)) for book, times in pairs))
    return rows


def _listed(folder: Path) -> list[dict[str, str]]:
    return _rows(folder / BOOKS)


def _rows(path: Path) -> list[dict[str, str]]:
    if not path.is_file():
        return []
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _text(path: Path) -> str:
    try:
        return decode(path.read_bytes())[0]
    except OSError as error:
        raise BadValue(f"{path} cannot be read: {error.strerror or error}") from error


def _write(path: Path, columns: tuple[str, ...], rows: Iterable[dict[str, str]]) -> None:
    out = io.StringIO(newline="")
    table = csv.DictWriter(out, columns, lineterminator="\n")
    table.writeheader()
    table.writerows(rows)
    write_atomically(path, out.getvalue())
