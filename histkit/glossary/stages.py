"""The stages of a look-up, over an index of names: by name, by Latin name, without its modifiers, by its spelling."""

from __future__ import annotations

import re
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.candidates import candidates
from histkit.glossary.index import Hits, NameIndex
from histkit.glossary.latin import latin_hits
from histkit.glossary.meanings import match_of
from histkit.glossary.nouns import Match
from histkit.glossary.spelling import by_spelling
from histkit.glossary.words import fold, key_of

_DOTTED = re.compile(r"(\b\w++)\.")


class Hit(NamedTuple):
    """The ingredients that a name stands for, the likeliest first; how it was found and how surely (0–1)."""

    meanings: Hits
    via: str
    score: float
    modifier: str = ""
    doubts: tuple[Doubt, ...] = ()


def identified(name: str, index: NameIndex) -> Match | None:
    """What a printed name means by the names of `index`, whatever the book; None where none of them is near."""
    if hit := without_guessing(name, index):
        return match_of(name, hit.meanings, hit.via, hit.score, hit.modifier, hit.doubts)
    return by_spelling(name, index)


def without_guessing(name: str, index: NameIndex) -> Hit | None:
    """The name or a part of it by every way but a likeness of letters."""
    dotted = frozenset(fold(word) for word in _DOTTED.findall(name))
    for candidate in candidates(name, index):
        if hit := _by_name(candidate.words, dotted, index):
            via = "modifier" if candidate.modifier and hit.via == "exact" else hit.via
            return Hit(hit.meanings, via, hit.score - candidate.cost, candidate.modifier, candidate.doubts)
    return None


def _by_name(folded: str, dotted: frozenset[str], index: NameIndex) -> Hit | None:
    if hits := by_words(folded, index):
        return Hit(hits, "exact", 1.0 if folded in index.exact else 0.97)
    if hits := latin_hits(folded, dotted, index):
        return Hit(hits, "latin", 0.93)
    return None


def by_words(folded: str, index: NameIndex) -> Hits:
    """The ingredients of this very name, or of its words in another order or number."""
    return (folded and (index.exact.get(folded) or index.keys.get(key_of(folded)))) or ()
