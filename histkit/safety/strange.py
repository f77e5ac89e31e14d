"""Printed words that no table knows: what a name holds beside what was understood of it."""

from __future__ import annotations

from collections.abc import Iterable
from functools import cache, lru_cache

from histkit.glossary.caches import follows_the_tables
from histkit.glossary.nouns import Match
from histkit.glossary.own import index_in_use
from histkit.glossary.words import fold, listed_words, singular, strangers
from histkit.reading import vocabulary

_DROPS = ("inside", "modifier")
"""The ways of a look-up that leave words of the print out."""


FRAGMENT = 3
"""Words of what may be the beginning of a name, at most: more are a sentence."""
_NUMERAL = frozenset("ivxlcdm")


def not_understood(name: str, match: Match | None, before: str = "") -> str:
    """The words that stand in no table and were left out when a printed name was found; '' where there are none.

    `before` are words that the reader left unread right before the name, on the same line: 'Plumh. Carb.' may be no coal.
    """
    dropped = match is not None and match.via in _DROPS and bool(match.doubts)
    return " ".join(filter(nobody_knows, fold(f"{before} {name}" if dropped else before).split()))


def unread_before(text: str, raw: str, unread: Iterable[str]) -> str:
    """What was left unread right before the print of a line, on the same line of a text; '' where nothing was."""
    head = text[: max(text.find(raw), 0)].rpartition("\n")[2].strip()
    return head if head in unread and len(head.split()) <= FRAGMENT else ""


@follows_the_tables
@lru_cache(maxsize=65536)
def nobody_knows(word: str) -> bool:
    """Whether a folded word stands in no table: neither in a name of the glossary, nor among the words of look-up and reader."""
    if word.isdigit() or len(word) < 2 or set(word) <= _NUMERAL:
        return False
    known = index_in_use().vocabulary
    return word not in known and singular(word) not in known and word not in strangers() and word not in _plain_words()


@cache
def _plain_words() -> frozenset[str]:
    """The words that the reader and the look-up have tables of: units, numbers, directions, small words, modifiers."""
    words = [*listed_words(), *(row["word"] for row in vocabulary.table("figure_words"))]
    words += [*vocabulary.units(), *vocabulary.other_units(), *vocabulary.numbers(), *vocabulary.connectives()]
    words += vocabulary.direction_words()
    words += [word for group in vocabulary.phrases().values() for phrase in group for word in phrase.words]
    return frozenset(part for word in words for part in fold(word).split())
