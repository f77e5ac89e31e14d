"""How alike two words are, letter by letter."""

from __future__ import annotations

import re
from functools import cache

from histkit.base import tables

_REPEATED = re.compile(r"(.)\1+")


@cache
def _confusions() -> tuple[tuple[str, str], ...]:
    return tuple((row["printed"], row["meant"]) for row in tables.read("glossary/lookup_confusions"))


def skeleton(text: str) -> str:
    """A name with the letters made one that scanning and old spelling exchange: 'tale' and 'talc' have the same."""
    for printed, meant in _confusions():
        text = text.replace(printed, meant)
    return _REPEATED.sub(r"\1", text)


def word_likeness(one: str, two: str) -> float:
    """0–1, and -1 where two words differ too much to be spellings of each other."""
    from rapidfuzz.distance import DamerauLevenshtein

    if one == two:
        return 1.0
    distance = DamerauLevenshtein.distance(one, two)
    longest = max(len(one), len(two))
    allowed = 0 if longest < 5 else 1 if longest < 8 else 2
    if distance > allowed:
        return -1.0
    if one[0] != two[0] and longest < 7:
        return -1.0
    return 1 - distance / longest


def letters_swapped(words: list[str], others: list[str]) -> bool:
    """Whether the names differ only in that neighbouring letters of one long word changed places."""
    differing = [(a, b) for a, b in zip(words, others, strict=True) if a != b]
    return len(differing) == 1 and len(differing[0][0]) > 5 and sorted(differing[0][0]) == sorted(differing[0][1])


def one_letter_off(one: str, two: str) -> bool:
    """Whether two words differ in one letter, or in two neighbours that changed places."""
    from rapidfuzz.distance import DamerauLevenshtein

    return DamerauLevenshtein.distance(one, two) == 1
