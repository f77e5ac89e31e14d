"""The words that the reader knows, from the CSV tables beside this module. Nothing about words is in the code."""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from histkit.base.tables import rows_of

_HERE = Path(__file__).parent


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `<name>.csv` beside this module. Blanks count: some of the signs are blanks."""
    return rows_of(_HERE / f"{name}.csv", strip=False)


class UnitWord(NamedTuple):
    unit: str
    factor: float
    language: str
    note: str


class NumberWord(NamedTuple):
    value: float
    kind: str
    language: str


class Phrase(NamedTuple):
    words: tuple[str, ...]
    kind: str
    value: str


@cache
def units() -> Mapping[str, UnitWord]:
    return MappingProxyType(
        {r["word"]: UnitWord(r["unit"], float(r["factor"]), r["language"], r["note"]) for r in table("units")}
    )


@cache
def numbers() -> Mapping[str, NumberWord]:
    return MappingProxyType({r["word"]: NumberWord(float(r["value"]), r["kind"], r["language"]) for r in table("numbers")})


@cache
def phrases() -> Mapping[str, tuple[Phrase, ...]]:
    """First word → the phrases that begin with it, longest first."""
    by_first: dict[str, list[Phrase]] = {}
    for row in table("phrases"):
        words = tuple(row["phrase"].split())
        by_first.setdefault(words[0], []).append(Phrase(words, row["kind"], row["value"]))
    ordered = {first: tuple(sorted(ps, key=lambda p: -len(p.words))) for first, ps in by_first.items()}
    return MappingProxyType(ordered)


class WornFigure(NamedTuple):
    value: float
    others: tuple[str, ...]


@cache
def worn_figures() -> Mapping[str, WornFigure]:
    """What stands before a unit where the scan made letters of a figure; the case of the letters counts."""
    rows = table("worn_figures")
    return MappingProxyType({r["printed"]: WornFigure(float(r["value"]), tuple(filter(None, [r["others"]]))) for r in rows})


@cache
def other_units() -> Mapping[str, str]:
    """Words after a number that make it a time, a length, a price or a strength: no amount of an ingredient."""
    return MappingProxyType({r["word"]: r["kind"] for r in table("other_units")})


@cache
def direction_words() -> Mapping[str, str]:
    return MappingProxyType({r["word"]: r["kind"] for r in table("directions")})


@cache
def modifiers() -> Mapping[str, str]:
    return MappingProxyType({r["word"]: r["modifier"] for r in table("modifiers")})


@cache
def word_list(kind: str) -> frozenset[str]:
    """The words of one kind in figure_words.csv: 'before-numeral', 'not-before-figure', 'no-name', 'after-verb'."""
    return frozenset(r["word"] for r in table("figure_words") if r["kind"] == kind)
