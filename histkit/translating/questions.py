"""The sentence that tells a maker what to look for in her book: questions.csv, by the unit and the country."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache

from histkit.base.bibliography import sourced
from histkit.base.tables import entries


@cache
def _questions() -> tuple[tuple[tuple[str, ...], tuple[str, ...], str], ...]:
    rows = sourced("translating/questions")
    return tuple((entries(row["units"]), entries(row["countries"]), row["look_for"]) for row in rows)


def look_for(unit: str, countries: Collection[str]) -> str:
    """What a table of weights and measures at the front of the book would decide about `unit`; '' where nothing is known."""
    for units, where, words in _questions():
        if unit in units and (not where or set(where) & set(countries)):
            return f"Look for a table of weights and measures at the front of the book: {words}."
    return ""
