"""Names in which a scan changed the shape of a letter or two: 'Camplior', 'Tinet. Hy0scyami', 'rectified spint', 'Gentianz'; or
of which a transcriber could not read a letter: 'cinnam•n'.

Only words that no name has are changed, each by what lookup_scanning.csv says that scans make of letters, or into the words that
have any letter in the place; what comes out is looked up like any print, and always with a doubt.
"""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterator
from functools import cache, lru_cache

from histkit.base import tables
from histkit.base.letters import ILLEGIBLE
from histkit.base.nouns import Doubt
from histkit.glossary.index import NameIndex
from histkit.glossary.words import fold, kinds, strangers

SHORTEST, SHORTEST_ALONE, LAST_TRY, TWICE = 4, 7, 5, 7
"""Letters of a word that may be worn at least; of one where no other word is whole, at first and where no other spelling is
near; and from which on two of them may be."""
MOST_CHOICES = 24
"""Ways to mend a name that are tried; one with more is too damaged."""
LEGIBLE = 3
"""Letters at least that can be read of a word with others that cannot."""
_WORD = re.compile(rf"[\w{ILLEGIBLE}]+")


@cache
def _shapes() -> tuple[tuple[str, str], ...]:
    return tuple((row["printed"], row["meant"]) for row in tables.read("glossary/lookup_scanning"))


def _with_one_shape_mended(word: str) -> Iterator[str]:
    for printed, meant in _shapes():
        place = word.find(printed)
        while place >= 0:
            yield word[:place] + meant + word[place + len(printed) :]
            place = word.find(printed, place + len(printed))


@lru_cache(maxsize=4096)
def _meant(word: str, index: NameIndex) -> tuple[str, ...]:
    """Words of names of which a scan could have made this one; the fewest changes that give any."""
    known, free = index.near_words.words, kinds().free
    if ILLEGIBLE in word:
        shape = re.compile(re.escape(word).replace(ILLEGIBLE, "."))
        return tuple(other for other in (*known, *free) if len(other) == len(word) and shape.fullmatch(other))
    once = dict.fromkeys(_with_one_shape_mended(word))
    if found := tuple(other for other in once if other in known or other in free):
        return found
    twice = (other for one in once for other in _with_one_shape_mended(one)) if len(word) >= TWICE else ()
    return tuple(dict.fromkeys(other for other in twice if other in known or other in free))


def _is_no_worn_word(word: str) -> bool:
    if ILLEGIBLE in word:
        return len(word) - word.count(ILLEGIBLE) < LEGIBLE
    return word in strangers() or word.isdigit() or (word.isalpha() and len(word) < SHORTEST)


def mended_names(name: str, index: NameIndex, shortest_alone: int = SHORTEST_ALONE) -> Iterator[tuple[str, Doubt]]:
    """The printed name with its worn words mended, each way that the glossary has words for, and the doubt about it."""
    known, free = index.near_words.words, kinds().free
    places = list(_WORD.finditer(name))
    worn = [place for place in places if (word := fold(place.group())) not in known and word not in free]
    words = [fold(place.group()) for place in worn]
    if not words or any(map(_is_no_worn_word, words)):
        return
    if len(worn) == len(places) and "".join(words).isalpha() and max(map(len, words)) < shortest_alone:
        return
    choices = [_meant(word, index) or (word,) for word in words]
    if choices == [(word,) for word in words] or not 0 < math.prod(map(len, choices)) <= MOST_CHOICES:
        return
    for chosen in itertools.product(*choices):
        instead, last = "", 0
        for place, word in zip(worn, chosen, strict=True):
            instead, last = instead + name[last : place.start()] + word, place.end()
        printed = ", ".join(repr(place.group()) for place in worn)
        instead_of = f"{printed} is in no name of the glossary; read as {', '.join(map(repr, chosen))}"
        text = f"{instead_of}, {'with a letter that could not be read' if ILLEGIBLE in printed else 'which a scan may print so'}."
        yield instead + name[last:], Doubt("ingredient", text, (), "Look at the page before you trust it.")
