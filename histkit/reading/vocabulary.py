"""The words that the reader knows, from the CSV tables beside this module. Nothing about words is in the code."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import NamedTuple

from histkit.base.tables import read, rows_of

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
    """`when` names what must hold beside the words: 'ditto' is an amount at an entry's end only, 'an.' is ana with its stop."""

    words: tuple[str, ...]
    kind: str
    value: str
    when: str = ""


def _units(sort: str) -> dict[str, UnitWord]:
    rows = (row for row in table("units") if row["sort"] == sort)
    return {row["word"]: UnitWord(row["unit"], float(row["factor"]), row["language"], row["note"]) for row in rows}


@cache
def units() -> Mapping[str, UnitWord]:
    """The words that are a unit after a figure."""
    return MappingProxyType(_units("word"))


@cache
def sign_units() -> Mapping[str, str]:
    """Sign, as the tokens name it ('℥', 'f℥', 'O'), → unit."""
    return MappingProxyType({sign: entry.unit for sign, entry in _units("sign").items()})


@cache
def units_before_numerals() -> Mapping[str, str]:
    """Word that may stand before its numeral ('gr. x', 'lb. ij', 'uncias duas') → unit."""
    entries = {**units(), **_units("before numeral")}
    return MappingProxyType({word: entries[word].unit if word in entries else "" for word in word_list("before-numeral")})


@cache
def numbers() -> Mapping[str, NumberWord]:
    return MappingProxyType({r["word"]: NumberWord(float(r["value"]), r["kind"], r["language"]) for r in table("numbers")})


@cache
def phrases() -> Mapping[str, tuple[Phrase, ...]]:
    """First word → the phrases that begin with it, longest first."""
    by_first: dict[str, list[Phrase]] = {}
    for row in table("phrases"):
        words = tuple(row["phrase"].split())
        by_first.setdefault(words[0], []).append(Phrase(words, row["kind"], row["value"], row["when"]))
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
    """Word that tells of a name's state or quality ('pulv.') → what it says in plain words; the look-up's own table holds it."""
    return MappingProxyType({row["word"]: row["modifier"] for row in read("glossary/lookup_words") if row["modifier"]})


@cache
def connectives() -> frozenset[str]:
    return frozenset(row["word"] for row in table("connectives"))


@cache
def heads(kind: str) -> Mapping[str, str]:
    """The heads of one kind in heads.csv with what each stands for: plural 'oils' for 'oil', 'ol' alone for 'oil of'."""
    return MappingProxyType({row["word"]: row["stands_for"] for row in table("heads") if row["kind"] == kind})


@cache
def word_list(kind: str) -> frozenset[str]:
    """The words of one kind in figure_words.csv: 'no-name', 'after-verb', 'of'. A kind without words is an error.

    Raises:
        KeyError: the table has no word of this kind.
    """
    words = _word_lists()[kind]
    return frozenset(words)


@cache
def _word_lists() -> dict[str, list[str]]:
    lists: dict[str, list[str]] = {}
    for row in table("figure_words"):
        lists.setdefault(row["kind"], []).append(row["word"])
    return lists


def stems(kind: str) -> tuple[str, ...]:
    """The beginnings or endings of one kind in figure_words.csv, for `startswith` and `endswith`."""
    return tuple(_word_lists()[kind])


@cache
def pattern(name: str) -> re.Pattern[str]:
    """The patterns of one name in patterns.csv as one expression; capitals count where the table says so.

    Raises:
        KeyError: the table has no pattern of this name.
    """
    rows = [row for row in table("patterns") if row["name"] == name]
    if not rows:
        raise KeyError(name)
    flags = re.NOFLAG if rows[0]["capitals"] == "count" else re.IGNORECASE
    return re.compile("|".join(row["pattern"] for row in rows), flags)


OF, TO, AND, OR, THE, DITTO, DO, TAKE, HALF = map(word_list, ("of", "to", "and", "or", "the", "ditto", "do", "take", "half"))
"""Small words on which much depends: each a set, so that a word of another language can be added in the table."""
ELIDED = word_list("elided")
"""What is a word of its own before what follows its apostrophe: 'd'essence', 'l'eau', 'qu'une'."""
AMPERSAND = "and"
"""The word that '&' becomes."""
PER_CENT = "per cent"
"""The word that a sign or an abbreviation for hundredths becomes."""
CUBIC = "cc"
"""The word that the ways of printing a cubic centimetre become."""
