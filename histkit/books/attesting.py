"""Where the names of the glossary stand in print: every name against whole books, folded as the look-up folds it.

A name counts where it stands by itself: within a longer known name ('almond oil' in 'bitter almond oil'), or with a comma,
a bracket or the end of a sentence between its words, it does not.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from histkit.glossary import fold

_BREAKS_AFTER = tuple(",;:)]!?")
_BREAKS_BEFORE = ("(", "[")
_DIVIDED = re.compile(r"[¬∣]")
LONGEST_ABBREVIATION = 6
"""Letters of the longest word whose stop may be that of a word cut short, and not the end of a sentence."""


@dataclass(frozen=True, slots=True)
class Seen:
    """A folded name in print: how often in each book, by the id of the book in the table of works."""

    name: str
    counts: Mapping[str, int]

    @property
    def total(self) -> int:
        return sum(self.counts.values())


def names_in_text(names: Iterable[str], text: str) -> Counter[str]:
    """How often each of these folded names stands in a text, the longest name first, none inside another."""
    wanted = set(names)
    longest: dict[str, int] = {}
    for name in wanted:
        first, *rest = name.split(" ")
        longest[first] = max(longest.get(first, 0), 1 + len(rest))
    seen: Counter[str] = Counter()
    for run in _runs(text):
        at = 0
        while at < len(run):
            at += _longest_at(run, at, longest.get(run[at], 0), wanted, seen)
    return seen


def _longest_at(run: list[str], at: int, most: int, wanted: set[str], seen: Counter[str]) -> int:
    """Counts the longest name that begins here; how many words to go on."""
    for words in range(min(most, len(run) - at), 0, -1):
        name = " ".join(run[at : at + words])
        if name in wanted:
            seen[name] += 1
            return words
    return 1


def _runs(text: str) -> Iterator[list[str]]:
    """The folded words of a text between the signs that end a name."""
    run: list[str] = []
    for printed in _DIVIDED.sub("", text).split():
        if printed.startswith(_BREAKS_BEFORE) and run:
            yield run
            run = []
        folded = fold(printed).split(" ")
        run.extend(word for word in folded if word)
        if _ends_a_name(printed, folded[-1]):
            yield run
            run = []
    yield run


def _ends_a_name(printed: str, last_word: str) -> bool:
    bare = printed.rstrip("_*\"'’”")
    return bare.endswith(_BREAKS_AFTER) or (bare.endswith(".") and len(last_word) > LONGEST_ABBREVIATION)


def seen_in(names: Iterable[str], texts: Mapping[str, str]) -> list[Seen]:
    """Each name that stands in one of the texts (by the id of its book), in the order of the alphabet."""
    wanted = set(names)
    counts: dict[str, dict[str, int]] = {}
    for book, text in texts.items():
        for name, count in names_in_text(wanted, text).items():
            counts.setdefault(name, {})[book] = count
    return [Seen(name, counts[name]) for name in sorted(counts)]
