"""Which known words a printed word may be a damaged or an old spelling of.

A word with one letter wrong has one of its halves whole, a long word with two letters wrong nearly always its beginning or its
end: so a few dozen words are compared, and not all.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache, cached_property, lru_cache

from histkit.base.stored import stored, stored_by_key
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
    """Words to be found by their likeness; where they are the package's own (`packaged`), what is made of them is kept."""

    def __init__(self, words: Iterable[str], packaged: bool = False) -> None:
        self.words = dict.fromkeys(words)
        self._packaged = packaged
        self._halves = cache(lambda length: self._all_halves.get(f"{length}", ({}, {})))
        self._thirds = cache(lambda length: self._all_thirds.get(f"{length}", ({}, {})))
        self.near = lru_cache(maxsize=4096)(self._near)
        """Words that a word may be meant for, with how many letters differ, whether it is a known word itself or not."""

    def _near(self, word: str) -> dict[str, int]:
        if len(word) < SHORTEST_WORD:
            return {}
        found = _closest(word, self._sharing_a_half(word), 1)
        found |= {other: 1 for other in _swapped(word) if other in self.words}
        found |= {other: 2 for other in self._by_skeleton.get(skeleton(word), "").split() if other not in found}
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

    def _sounding_alike(self, word: str) -> Iterator[str]:
        """Words of the same consonants and most of the letters: 'synoper' and 'sinoper'."""
        from rapidfuzz import fuzz

        if len(heard := consonants(word)) >= FEWEST_CONSONANTS:
            alike = self._by_consonants.get(heard, "").split()
            yield from (other for other in alike if fuzz.ratio(word, other) >= LIKE)

    @cached_property
    def _all_halves(self) -> Mapping[str, _Parted]:
        return self._by_length("halves-of-words", lambda length: (length // 2, length - length // 2))

    @cached_property
    def _all_thirds(self) -> Mapping[str, _Parted]:
        return self._by_length("thirds-of-words", lambda length: (length // 3, length // 3))

    def _by_length(self, name: str, parts: Callable[[int], tuple[int, int]]) -> Mapping[str, _Parted]:
        """The words of each length by so many of their first letters and by so many of their last."""

        def make() -> dict[str, _Parted]:
            lengths: dict[int, list[str]] = {}
            for word in self.words:
                if len(word) >= SHORTEST_WORD:
                    lengths.setdefault(len(word), []).append(word)
            return {f"{length}": _parted(words, *parts(length)) for length, words in lengths.items()}

        return stored_by_key(name, make) if self._packaged else make()

    @cached_property
    def _by_skeleton(self) -> dict[str, str]:
        """Words with the same skeleton, with a blank between two."""
        return self._by_form("skeletons-of-words", skeletons)

    @cached_property
    def _by_consonants(self) -> dict[str, str]:
        """Words with the same consonants, with a blank between two."""
        return self._by_form("consonants-of-words", lambda words: list(map(consonants, words)))

    def _by_form(self, name: str, forms: Callable[[list[str]], list[str]]) -> dict[str, str]:
        def make() -> dict[str, str]:
            words = [word for word in self.words if len(word) >= SHORTEST_WORD]
            return {form: " ".join(alike) for form, alike in _by(zip(forms(words), words, strict=True)).items()}

        return stored(name, make) if self._packaged else make()


def _parted(words: Iterable[str], beginning: int, end: int) -> _Parted:
    return _by((word[:beginning], word) for word in words), _by((word[len(word) - end :], word) for word in words)


def _by(entries: Iterable[tuple[str, str]]) -> dict[str, list[str]]:
    index: dict[str, list[str]] = {}
    with uncollected():
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
