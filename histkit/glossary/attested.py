"""Where a name was seen in print: the table of attestations, read when somebody asks for it.

`glossary/attestations.csv` has a row for each folded name that stands in one of the books it names: how often in all, in how
many books, and up to four of them, the earliest and the latest among them. `histkit corpus attest` writes it.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from histkit.base import tables
from histkit.base.bibliography import works
from histkit.base.stored import stored_by_key
from histkit.glossary.words import fold

TABLE = "attestations"


@dataclass(frozen=True, slots=True)
class Attestation:
    """A name in print: how often in all, in how many books, and the books shown, by year: (id of the work, times)."""

    total: int
    books: int
    shown: tuple[tuple[str, int], ...]

    @property
    def years(self) -> tuple[str, ...]:
        """The years of the books shown, each once, the earliest first."""
        known = works()
        return tuple(sorted({known[book].year.removeprefix("about ") for book, _ in self.shown if book in known}))

    def text(self) -> str:
        """'printed so in 1657, 1779 and 1892'; with the number of books where not all are shown."""
        *before, last = self.years or ("a book without a year",)
        said = f"{', '.join(before)} and {last}" if before else last
        more = f", in {self.books} books in all" if self.books > len(self.shown) else ""
        return f"printed so in {said}{more}"


NEVER_SEEN = "not seen in print in the books looked through"


def attested(name: str) -> Attestation | None:
    """Where this name was seen; None where it was not."""
    row = _rows().get(fold(name))
    if row is None:
        return None
    times, books, seen = row
    pairs = (entry.rsplit(" ", 1) for entry in seen.split(";"))
    return Attestation(int(times), int(books), tuple((book, int(of_book)) for book, of_book in pairs))


def is_attested(folded: str) -> bool:
    """Whether this folded name was seen in print."""
    return folded in _rows()


def seen_in_words(name: str) -> str:
    """What the table says of a name, for a reader."""
    found = attested(name)
    return found.text() if found else NEVER_SEEN


@cache
def _rows() -> Mapping[str, tuple[str, str, str]]:
    """The other cells of each row of the table, by its folded name."""
    return stored_by_key("attestations", _read)


def _read() -> dict[str, tuple[str, str, str]]:
    path = tables.data_folder() / f"{TABLE}.csv"
    rows = tables.rows_of(path, strip=False) if path.is_file() else ()
    return {row["name"]: (row["times"], row["books"], row["seen"]) for row in rows}
