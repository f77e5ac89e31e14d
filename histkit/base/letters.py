"""Letters that old print, old spelling and scans exchange: one table, with a column that says for whom each exchange holds.

`holds`: "reader" (the reader's own words), "name" (names of the glossary), "poison" (words of poisons), "likeness" (how alike two
names are: scans as well), "consonants" (what is left of a word by its sound), "unit" (a number or unit with one letter misread),
"german" (spellings of German names).
Two words meet where their levelled forms do.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache
from typing import NamedTuple

from histkit.base.tables import Row, read

ILLEGIBLE = "•"
"""What transcribers put for a letter that they could not read: 'ounc•', 'hal•'."""
_DOUBLED = re.compile(r"(.)(?=\1)")
OVERLINES = "\u0303\u0304"
"""The tilde and the macron over a vowel, for an m or n behind it."""
MADE_SHORT = ("n", "m")
_OVERLINED = re.compile(f"(?<=[aeiouy])[{OVERLINES}]")
Pairs = tuple[tuple[str, str], ...]


class _Exchanges(NamedTuple):
    """The exchanges of one purpose: of single letters, of letters anywhere, of endings, and what finds whether any applies."""

    letters: dict[int, str]
    groups: Pairs
    any_group: re.Pattern[str]
    endings: Pairs
    any_ending: tuple[str, ...]


@cache
def exchanges_for(purpose: str) -> tuple[Row, ...]:
    """The exchanges that hold for a purpose, in the order of the table."""
    return tuple(row for row in read("base/exchanges") if purpose in row["holds"].split("; "))


@cache
def _by_place(purpose: str) -> _Exchanges:
    rows = exchanges_for(purpose)
    places = ("letter", "anywhere", "end")
    letters, groups, endings = (tuple((r["printed"], r["instead"]) for r in rows if r["where"] == place) for place in places)
    any_group = re.compile("|".join(re.escape(printed) for printed, _ in groups) or r"(?!)")
    return _Exchanges(str.maketrans(dict(letters)), groups, any_group, endings, tuple(printed for printed, _ in endings))


def levelled(text: str, purpose: str, least: int = 1) -> str:
    """Small letters with one for those that are exchanged and for doubled ones; `least` letters at least are left of a word."""
    letters, groups, any_group, endings, any_ending = _by_place(purpose)
    text = text.translate(letters)
    for printed, instead in groups if any_group.search(text) else ():  # in most words none stands
        text = text.replace(printed, instead)
    if len(text) <= least:
        return text
    single = _DOUBLED.sub("", text)
    text = single if len(single) >= least else text
    for printed, instead in endings if text.endswith(any_ending) else ():
        if text.endswith(printed) and len(text) - len(printed) + len(instead) >= least:
            text = text[: len(text) - len(printed)] + instead
    return text


def written_out(text: str) -> tuple[str, ...]:
    """A text with the letters that stand for its overlines: 'marierom' and 'marieron' for 'marierō'; () where it has none."""
    apart = unicodedata.normalize("NFD", text)
    if not _OVERLINED.search(apart):
        return ()
    return tuple(unicodedata.normalize("NFC", _OVERLINED.sub(letter, apart)) for letter in MADE_SHORT)
