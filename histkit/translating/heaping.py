"""Whether a spoonful of powder was heaped: by the words beside it, else by the book's country, year and sort (heaped.csv)."""

from __future__ import annotations

from functools import cache
from typing import NamedTuple

from histkit.base.bibliography import cite, sourced
from histkit.base.nouns import Source, Spread
from histkit.base.tables import Row, entries

SPOONS = frozenset({"teaspoonful", "tablespoonful"})


class Heap(NamedTuple):
    """How often a level spoonful goes into one of this book, and who says so."""

    times: Spread
    words: str


LEVEL = Heap(Spread.exact(1.0), "")


def heap(printed: str, source: Source | None, kind: str | None) -> Heap:
    """The heap of a spoonful of powder. `printed` is 'level', 'heaped' or '' as the line says; the first row that fits counts."""
    for row in _rows():
        if row["printed"] == (printed if printed in ("level", "heaped") else "") and _fits(row, source or Source(), kind):
            times = Spread(*(float(row[column]) for column in ("low", "best", "high")))
            return Heap(times, f"{row['words']} (source: {cite(row['source'], row['section'], row['mark'])})")
    return LEVEL


@cache
def _rows() -> tuple[Row, ...]:
    return sourced("translating/heaped")


def _fits(row: Row, source: Source, kind: str | None) -> bool:
    countries, kinds = entries(row["countries"]), entries(row["kinds"])
    if (countries and source.country.upper() not in countries) or (kinds and kind not in kinds):
        return False
    year = source.year if source.year is not None else 1880  # the middle of the years of most books
    return int(row["from_year"] or 0) <= year <= int(row["to_year"] or 9999)
