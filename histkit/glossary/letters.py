"""How alike two words are, letter by letter."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache, lru_cache

from histkit.base import tables
from histkit.base.letters import levelled


def skeleton(text: str) -> str:
    """A name with the letters made one that scanning and old spelling exchange: 'tale' and 'talc' have the same."""
    return levelled(text, "likeness")


def skeletons(words: Sequence[str]) -> list[str]:
    """The skeletons of many words, none of them empty, with all their letters changed at once."""
    return skeleton("\n".join(words)).split("\n")


def consonants(word: str) -> str:
    """The first letter of a word and its other consonants, those that sound alike made one."""
    return word[:1] + levelled(word[1:], "consonants")


@cache
def _chemical() -> tuple[dict[str, str], tuple[str, ...]]:
    """From lookup_chemistry: what each ending says, and the beginnings that count; the longest first."""
    rows = tables.read("glossary/lookup_chemistry")
    endings = {row["part"]: row["says"] for row in rows if row["place"] == "end"}
    beginnings = [row["part"] for row in rows if row["place"] == "beginning"]
    longest = sorted(endings, key=len, reverse=True)
    return {ending: endings[ending] for ending in longest}, tuple(sorted(beginnings, key=len, reverse=True))


@lru_cache(maxsize=65536)
def chemical_ending(word: str) -> str:
    """What the ending of a chemical name says ('ide', 'ate', 'ite', 'ic', 'ous'); empty for other words."""
    endings, _ = _chemical()
    if not word.endswith(tuple(endings)):  # as most words do not
        return ""
    return next((says for ending, says in endings.items() if word.endswith(ending) and len(word) > len(ending) + 2), "")


@lru_cache(maxsize=65536)
def names_a_salt(word: str) -> bool:
    """Whether the ending of a word alone tells that it is a chemical name: 'chloride', 'sulphuret', 'nitratis'."""
    return word.endswith(_sure_endings()) and any(word.endswith(end) and len(word) > len(end) + 2 for end in _sure_endings())


@cache
def _sure_endings() -> tuple[str, ...]:
    return tuple(row["part"] for row in tables.read("glossary/lookup_chemistry") if row["sure"])


def exchanged_endings(one: str, two: str) -> bool:
    """Whether two words are names of different substances by their chemical endings or beginnings: a chloride is no chlorate,
    a sulphite no hyposulphite, whatever a scan did to them."""
    first, second = chemical_ending(one), chemical_ending(two)
    if not second or not first:
        return False
    if first != second:
        return True
    return _beginning(one) != _beginning(two)


def _beginning(word: str) -> str:
    return next((start for start in _chemical()[1] if word.startswith(start)), "")
