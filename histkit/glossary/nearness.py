"""Which known words a printed word may be a damaged or an old spelling of.

A word with one letter wrong has one of its halves whole, a long word with two letters wrong nearly always its beginning or its
end: so a few dozen words are compared, and not all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache, cached_property, lru_cache

from histkit.base.tables import uncollected
from histkit.glossary.letters import consonants, exchanged_endings, skeleton, skeletons
from histkit.glossary.words import singular

TWO_LETTERS = 8
"""From this many letters on, a word may differ in two."""
SHORTEST_WORD = 2
"""Letters of a word at least."""
LIKE = 65.0
"""Least likeness (rapidfuzz ratio, 0–100) of words that have the same consonants."""
FEWEST_CONSONANTS = 3
"""Letters of `consonants` that a word has at least, to be found by them."""

_Parted = tuple[dict[str, list[str]], dict[str, list[str]]]
"""The words of one length by their beginnings, and by their ends."""


class NearWords:
    """Words to be found by their likeness."""

    def __init__(self, words: Iterable[str]) -> None:
        self.words = dict.fromkeys(words)
        self._halves = cache(lambda length: self._parted(length, length // 2, length - length // 2))
        self._thirds = cache(lambda length: self._parted(length, length // 3, length // 3))
        self.near = lru_cache(maxsize=4096)(self._near)
        """Words that a word may be meant for, with how many letters differ, whether it is a known word itself or not."""

    def _near(self, word: str) -> dict[str, int]:
        if len(word) < SHORTEST_WORD:
            return {}
        found = _closest(word, self._sharing_a_half(word), 1)
        found |= {other: 1 for other in _swapped(word) if other in self.words}
        found |= {other: 2 for other in self._by_skeleton.get(skeleton(word), ()) if other not in found}
        if word not in self.words:
            found |= {other: 2 for other in self._sounding_alike(word) if other not in found}
        found.pop(word, None)
        if not found and len(word) >= TWO_LETTERS:
            found = _closest(word, self._sharing_an_end(word), 2)
        if not found and (one := singular(word)) != word:
            return self.near(one)
        return {other: letters for other, letters in found.items() if not exchanged_endings(word, other)}

    def _sharing_a_half(self, word: str) -> Iterator[str]:
        for length in range(len(word) - 1, len(word) + 2):
            half = length // 2
            beginnings, ends = self._halves(length)
            yield from beginnings.get(word[:half], ())
            yield from ends.get(word[half - length :], ())

    def _sharing_an_end(self, word: str) -> Iterator[str]:
        for length in range(len(word) - 2, len(word) + 3):
            third = length // 3
            beginnings, ends = self._thirds(length)
            yield from beginnings.get(word[:third], ())
            yield from ends.get(word[-third:], ())

    @cached_property
    def _by_length(self) -> dict[int, list[str]]:
        index: dict[int, list[str]] = {}
        for word in self.words:
            if len(word) >= SHORTEST_WORD:
                index.setdefault(len(word), []).append(word)
        return index

    def _parted(self, length: int, beginning: int, end: int) -> _Parted:
        """The words of a length by so many of their first letters and by so many of their last."""
        words = self._by_length.get(length, ())
        return _by((word[:beginning], word) for word in words), _by((word[length - end :], word) for word in words)

    def _sounding_alike(self, word: str) -> Iterator[str]:
        """Words of the same consonants and most of the letters: 'synoper' and 'sinoper'."""
        from rapidfuzz import fuzz

        if len(heard := consonants(word)) >= FEWEST_CONSONANTS:
            yield from (other for other in self._by_consonants.get(heard, ()) if fuzz.ratio(word, other) >= LIKE)

    @cached_property
    def _by_consonants(self) -> dict[str, list[str]]:
        with uncollected():
            index: dict[str, list[str]] = {}
            for word in self.words:
                index.setdefault(consonants(word), []).append(word)
            return index

    @cached_property
    def _by_skeleton(self) -> dict[str, list[str]]:
        with uncollected():
            words = [word for word in self.words if len(word) >= SHORTEST_WORD]
            index: dict[str, list[str]] = {}
            for word, letters in zip(words, skeletons(words), strict=True):
                index.setdefault(letters, []).append(word)
            return index


def _by(entries: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    index: dict[str, list[str]] = {}
    for piece, word in entries:
        index.setdefault(piece, []).append(word)
    return index


def _closest(word: str, others: Iterable[str], letters: int) -> dict[str, int]:
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    close = process.extract(word, list(dict.fromkeys(others)), scorer=OSA.distance, score_cutoff=letters, limit=None)
    return {other: int(distance) for other, distance, _ in close}


def _swapped(word: str) -> Iterator[str]:
    """The word with two neighbouring letters exchanged, at every place."""
    for at in range(len(word) - 1):
        yield word[:at] + word[at + 1] + word[at] + word[at + 2 :]
