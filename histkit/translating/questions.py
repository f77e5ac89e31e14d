"""The sentence that tells a maker what to look for in her book: questions.csv, by what is asked, the unit and the country."""

from __future__ import annotations

from collections.abc import Collection
from functools import cache
from typing import NamedTuple

from histkit.base.bibliography import sourced
from histkit.base.tables import entries
from histkit.measures import Convention

_ALIKE = 0.01
"""Two measures that differ by less than this part are one."""


class Question(NamedTuple):
    """What is in question: the conventions themselves ('ratio'), a heap ('heaped'), weight or measure ('by measure'), a
    vessel of two sizes ('vessel'), or a drachm that its company tells ('small drachm')."""

    asks: str
    unit: str


@cache
def _questions() -> tuple[tuple[str, tuple[str, ...], tuple[str, ...], tuple[str, str], str], ...]:
    return tuple(
        (row["asks"], entries(row["units"]), entries(row["countries"]), (row["first"], row["rival"]), row["look_for"])
        for row in sourced("translating/questions")
    )


def look_for(question: Question, first: Convention, rival: Convention | None, countries: Collection[str]) -> str:
    """What the front of the book would decide about `question`; '' where nothing would.

    A ratio (ounces to the pound) is asked for only where the two conventions differ in it; else both sizes are told.
    """
    for asks, units, where, (part, whole), words in _questions():
        if asks != question.asks or question.unit not in units or (where and not set(where) & set(countries)):
            continue
        if asks != "ratio":
            return f"Look at the front of the book to see {words}."
        if rival is not None and abs(_ratio(first, part, whole) / _ratio(rival, part, whole) - 1) > _ALIKE:
            return f"Look for a table of weights and measures at the front of the book: {words}."
    if question.asks != "ratio" or rival is None or question.unit not in first.units():
        return ""
    told = "pound" if first.grams(question.unit) is not None else question.unit
    sizes = " or ".join(f"{held.exact_words(told)} ({held.name})" for held in (first, rival))
    return f"Look at the front of the book for the town or state whose measures it names: its {told} is {sizes}."


def _ratio(convention: Convention, part: str, whole: str) -> float:
    return float(convention.exact(whole) / convention.exact(part))
