"""Poisons in whatever was printed: their words, stems and names are looked for in any text, whatever the reader made of it.

`poison_words.csv` has words and stems in several languages; every certain name of an ingredient that must not be used counts too.
A longer name of something harmless around a word covers it: 'black lead' is graphite.
"""

from __future__ import annotations

import re
from collections.abc import Container, Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import NamedTuple

from histkit.base.bibliography import sourced
from histkit.base.letters import levelled
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.entries import ingredients, name_of
from histkit.glossary.index import shipped
from histkit.glossary.own import index_in_use
from histkit.glossary.telling import telling_words
from histkit.glossary.words import fold, singular, strangers
from histkit.safety.within import forbidden_within

LONGEST = 7
"""Words that a name of the glossary may have to be looked for inside a text."""
LONG_STEM = 7
"""Letters from which on a stem is also known with one letter wrong, in a word that no table knows."""


@dataclass(frozen=True, slots=True)
class Found:
    """A poison's word in a text: the words as folded, the group or ingredient it speaks of, and whether it has other meanings."""

    words: str
    group: str
    contested: bool
    ingredient: str = ""


class _Word(NamedTuple):
    letters: str
    stem: bool

    def fits(self, token: str) -> bool:
        return token.startswith(self.letters) if self.stem else token == self.letters


class _Pattern(NamedTuple):
    words: tuple[_Word, ...]
    group: str
    sense: str

    @property
    def weight(self) -> int:
        return sum(len(word.letters) for word in self.words)


class _Hit(NamedTuple):
    start: int
    end: int
    weight: int
    group: str
    sense: str
    ingredient: str


@follows_the_tables
@lru_cache(maxsize=4096)
def poisons_in(text: str, loose: bool = False) -> tuple[Found, ...]:
    """The poisons that a printed text names, each once, in the order of the text.

    With `loose` a word such as 'without' also speaks for what stands two words later, as it may in a title or in directions.
    """
    found: dict[Found, None] = {}
    for reading in _readings(text):
        for hit in _hits(reading):
            if not _set_apart(reading, hit, 2 if loose else 0):
                found[Found(" ".join(reading[hit.start : hit.end]), hit.group, hit.sense == "contested", hit.ingredient)] = None
    return tuple(found)


def why(group: str) -> tuple[str, str, str]:
    """(name, what it does, law) of a group of poisons."""
    row = _groups()[group]
    return row["name"], row["why"], row["law"]


def in_words(found: Found) -> str:
    """What a poison's word speaks of, in words."""
    if found.ingredient:
        return f"{found.words!r} is {name_of(found.ingredient)}"
    name, what, law = why(found.group)
    return f"{found.words!r} speaks of {name} ({what}{f'; {law}' if law else ''})"


# -- the text -------------------------------------------------------------------------------------------------------------


_APOSTROPHES = re.compile("['’‘`´]")
_DIVIDED = re.compile(r"[-¬]\s*\n\s*")


def _readings(text: str) -> Iterator[tuple[str, ...]]:
    """The folded words of a text; with an apostrophe in it once as one word and once as two ('d'amandes')."""
    text = _DIVIDED.sub("", text)
    text = text.translate(_signs())
    yield tuple(fold(text).split())
    if _APOSTROPHES.search(text):
        yield tuple(fold(_APOSTROPHES.sub(" ", text)).split())


@cache
def _signs() -> dict[int, str]:
    """The signs of the alchemists' and apothecaries' poisons, with their words, for `str.translate`."""
    return str.maketrans({row["sign"]: f" {row['word']} " for row in sourced("safety/poison_signs")})


@lru_cache(maxsize=65536)
def _even(word: str) -> str:
    """A word with the letters made one that old print exchanges."""
    return levelled(word, "poison")


@follows_the_tables
@lru_cache(maxsize=65536)
def _spellings(word: str) -> tuple[str, ...]:
    """A word, and what else its letters may be where no table knows it: a long s read as f, 'rn' read for 'm'."""
    even = _even(word)
    if word in index_in_use().vocabulary or word in strangers():
        return (even,)
    others = (word.replace("f", "s"), word.replace("rn", "m"), word.replace("1", "l").replace("0", "o"))
    return tuple(dict.fromkeys((even, *map(_even, others))))


# -- what is looked for ---------------------------------------------------------------------------------------------------


@cache
def _groups() -> dict[str, dict[str, str]]:
    return {row["group"]: row for row in sourced("safety/poison_groups")}


@cache
def _patterns() -> dict[str, tuple[_Pattern, ...]]:
    """The patterns by the first two letters of their first word."""
    by_start: dict[str, list[_Pattern]] = {}
    for row in sourced("safety/poison_words"):
        words = tuple(_Word(_even(word.rstrip("*")), word.endswith("*")) for word in row["words"].split())
        by_start.setdefault(words[0].letters[:2], []).append(_Pattern(words, row["group"], row["sense"]))
    return {start: tuple(group) for start, group in by_start.items()}


@cache
def _long_stems() -> dict[str, str]:
    """Stems of one long word that is always a poison → its group."""
    return {
        p.words[0].letters: p.group
        for group in _patterns().values()
        for p in group
        if len(p.words) == 1 and p.sense == "poison" and p.words[0].stem and p.weight >= LONG_STEM
    }


@follows_the_tables
@lru_cache(maxsize=16384)
def _named(name: str) -> tuple[str, bool] | None:
    """(Ingredient, whether it must not be used) of a folded name that is certain; None for any other.

    A preparation that only holds something forbidden says nothing either way: 'cold cream' is the title of many a page.
    """
    known: tuple[str, bool] | None = None
    for index in dict.fromkeys((shipped(), index_in_use())):
        hits = index.exact.get(name, ())
        if len(hits) != 1 or hits[0][1]:
            continue
        entry = ingredients[hits[0][0]]
        if entry.forbidden or not forbidden_within(entry):
            known = (entry.id, entry.forbidden or (known is not None and known[1]))
    return known


# -- the search -----------------------------------------------------------------------------------------------------------


def _hits(words: tuple[str, ...]) -> list[_Hit]:
    """The words of poisons that no longer name of something harmless covers."""
    begun = [tuple(_stems_at(words, start)) if any(_begun_by(word)) else () for start, word in enumerate(words)]
    if all(hit.sense == "harmless" for stems in begun for hit in stems) and not _may_name_a_poison(words):
        return []
    vocabulary = index_in_use().vocabulary
    hits = [hit for start, stems in enumerate(begun) for hit in (*stems, *_names_at(words, start, vocabulary))]
    covers = [hit for hit in hits if hit.sense == "harmless"]
    return [hit for hit in hits if hit.sense != "harmless" and not any(_covers(cover, hit) for cover in covers)]


def _may_name_a_poison(words: tuple[str, ...]) -> bool:
    """Whether a name of something that must not be used can be among these words, its last one in the plural or not."""
    telling = telling_words()
    return telling is None or not (telling.isdisjoint(words) and telling.isdisjoint(map(singular, words)))


def _covers(cover: _Hit, hit: _Hit) -> bool:
    """Whether a harmless name speaks for the words of a hit: it holds them all, and more letters; a second meaning stays."""
    holds = cover.start <= hit.start and hit.end <= cover.end and cover.weight > hit.weight
    return holds and (hit.sense != "contested" or cover.end - cover.start > hit.end - hit.start)


def _stems_at(words: tuple[str, ...], start: int) -> Iterator[_Hit]:
    patterns, near = _begun_by(words[start])
    for pattern in patterns:
        if end := _end_of(pattern, words, start):
            yield _Hit(start, end, pattern.weight, pattern.group, pattern.sense, "")
    if near:
        yield _Hit(start, start + 1, len(words[start]), near, "poison", "")


@follows_the_tables
@lru_cache(maxsize=65536)
def _begun_by(word: str) -> tuple[tuple[_Pattern, ...], str]:
    """The patterns whose first word this is, in one of its spellings, and the group that it is `_nearly` of; most are of none."""
    spellings = ((spelling, _patterns().get(spelling[:2], ())) for spelling in _spellings(word))
    return tuple(pattern for spelling, near in spellings for pattern in near if pattern.words[0].fits(spelling)), _nearly(word)


def _end_of(pattern: _Pattern, words: tuple[str, ...], start: int) -> int:
    """Behind the last word of a pattern whose first word fits; 0 where the others do not follow."""
    if start + len(pattern.words) > len(words):
        return 0
    at = start + 1
    for wanted in pattern.words[1:]:
        while at < len(words) and words[at] in _between() and not wanted.fits(_even(words[at])):
            at += 1
        if at >= len(words) or not any(map(wanted.fits, _spellings(words[at]))):
            return 0
        at += 1
    return at


def _nearly(word: str) -> str:
    """The group of a long stem that a word which no table knows holds ('Aetzquecksilber'), or differs from by one letter.

    '' where there is none.
    """
    if len(word) < LONG_STEM or word in index_in_use().vocabulary or singular(word) in index_in_use().vocabulary:
        return ""
    if word in strangers():
        return ""
    from rapidfuzz.distance import OSA
    from rapidfuzz.process import extractOne

    even = _even(word)
    for stem, group in _long_stems().items():
        if stem in even:
            return group
    for length, stems in _long_stems_by_length().items():
        if length > len(even) + 1:
            continue  # more than one letter would be missing
        for beginning in (even[:length], even[: length + 1]):
            if near := extractOne(beginning, stems, scorer=OSA.distance, score_cutoff=1):
                return _long_stems()[near[0]]
    return ""


@cache
def _long_stems_by_length() -> dict[int, tuple[str, ...]]:
    lengths = dict.fromkeys(map(len, _long_stems()))
    return {length: tuple(stem for stem in _long_stems() if len(stem) == length) for length in lengths}


def _names_at(words: tuple[str, ...], start: int, vocabulary: Container[str]) -> Iterator[_Hit]:
    before = ""
    for end in range(start + 1, min(start + LONGEST, len(words)) + 1):
        last, one = words[end - 1], singular(words[end - 1])
        goes_on = last in vocabulary  # no name goes on across a word that is of none
        if not goes_on and one not in vocabulary:
            break
        name = before + last
        before = f"{name} "
        known = _named(name) or (_named(name.removesuffix(last) + one) if one != last else None)
        if known:
            weight = sum(len(_even(word)) for word in words[start:end] if word not in _between())
            yield _Hit(start, end, weight, "", "poison" if known[1] else "harmless", known[0])
        if not goes_on:
            break


@cache
def _apart() -> tuple[tuple[tuple[str, ...], str], ...]:
    rows = sourced("safety/apart_words")
    return tuple((tuple(row["words"].split()), row["place"]) for row in rows if row["place"] != "between")


@cache
def _between() -> frozenset[str]:
    """Words that may stand inside a name and do not count: 'of', 'de'."""
    return frozenset(row["words"] for row in sourced("safety/apart_words") if row["place"] == "between")


def _set_apart(words: tuple[str, ...], hit: _Hit, between: int) -> bool:
    """Whether the text says that this is not in it: 'free from lead', 'lead-free'."""
    for phrase, place in _apart():
        size = len(phrase)
        if place == "before":
            ends = range(hit.start, max(hit.start - between, size) - 1, -1)
            if any(words[end - size : end] == phrase for end in ends if end >= size):
                return True
        elif words[hit.end : hit.end + size] == phrase and words[hit.end + size : hit.end + size + 1] not in (("from",), ("of",)):
            return True
    return False
