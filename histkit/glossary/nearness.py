"""Which known words a printed word may be a damaged or an old spelling of.

A word with one letter wrong has one of its halves whole, a long word with two letters wrong nearly always its beginning or its
end: so a few dozen words are compared, and not all.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cached_property, lru_cache

from histkit.base.tables import uncollected
from histkit.glossary.letters import exchanged_endings, skeleton
from histkit.glossary.words import singular

TWO_LETTERS = 8
"""From this many letters on, a word may differ in two."""
SHORTEST_WORD = 2
"""Letters of a word at least."""

_Piece = tuple[int, str]
"""(letters of the whole word, its beginning or its end)."""


class NearWords:
    """Words to be found by their likeness."""

    def __init__(self, words: Iterable[str]) -> None:
        self.words = dict.fromkeys(words)
        self.near = lru_cache(maxsize=4096)(self._near)
        """Words that a word may be meant for, with how many letters differ, whether it is a known word itself or not."""

    def _near(self, word: str) -> dict[str, int]:
        if len(word) < SHORTEST_WORD:
            return {}
        found = _closest(word, self._sharing_a_half(word), 1)
        found |= {other: 1 for other in _swapped(word) if other in self.words}
        found |= {other: 2 for other in self._by_skeleton.get(skeleton(word), ()) if other not in found}
        found.pop(word, None)
        if not found and len(word) >= TWO_LETTERS:
            found = _closest(word, self._sharing_an_end(word), 2)
        if not found and (one := singular(word)) != word:
            return self.near(one)
        return {other: letters for other, letters in found.items() if not exchanged_endings(word, other)}

    def _sharing_a_half(self, word: str) -> Iterator[str]:
        for length in range(len(word) - 1, len(word) + 2):
            half = length // 2
            yield from self._beginnings.get((length, word[:half]), ())
            yield from self._ends.get((length, word[half - length :]), ())

    def _sharing_an_end(self, word: str) -> Iterator[str]:
        for length in range(len(word) - 2, len(word) + 3):
            third = length // 3
            yield from self._first_thirds.get((length, word[:third]), ())
            yield from self._last_thirds.get((length, word[-third:]), ())

    @cached_property
    def _beginnings(self) -> dict[_Piece, list[str]]:
        return _by(((len(word), word[: len(word) // 2]), word) for word in self.words if len(word) >= SHORTEST_WORD)

    @cached_property
    def _ends(self) -> dict[_Piece, list[str]]:
        return _by(((len(word), word[len(word) // 2 :]), word) for word in self.words if len(word) >= SHORTEST_WORD)

    @cached_property
    def _first_thirds(self) -> dict[_Piece, list[str]]:
        return _by(((len(word), word[: len(word) // 3]), word) for word in self.words if len(word) >= TWO_LETTERS - 2)

    @cached_property
    def _last_thirds(self) -> dict[_Piece, list[str]]:
        return _by(((len(word), word[-(len(word) // 3) :]), word) for word in self.words if len(word) >= TWO_LETTERS - 2)

    @cached_property
    def _by_skeleton(self) -> dict[str, list[str]]:
        with uncollected():
            index: dict[str, list[str]] = {}
            for word in self.words:
                if len(word) >= SHORTEST_WORD:
                    index.setdefault(skeleton(word), []).append(word)
            return index


def _by(entries: Iterable[tuple[_Piece, str]]) -> dict[_Piece, list[str]]:
    with uncollected():
        index: dict[_Piece, list[str]] = {}
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
