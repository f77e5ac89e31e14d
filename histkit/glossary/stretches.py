"""Stretches of printed words that are known names, in the spelling of any age: what spotting and the look-up stand on."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, lru_cache, partial
from itertools import chain
from typing import NamedTuple

from histkit.base import tables
from histkit.base.letters import levelled
from histkit.glossary.agreement import heads
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.index import LATIN, NameIndex
from histkit.glossary.letters import names_a_salt
from histkit.glossary.words import fold, set_of_kind, singular, stem, strangers, words_of_kind

LONGEST_SPOT = 8
"""Words of a name at most, links not counted: longer ones are descriptions."""
SHORTEST_RESPELLED = 5
"""Letters that a lone word has at least, to be known in another spelling or case than the glossary's."""
SHORTEST_RUN_TOGETHER, SHORTEST_HALF = 8, 3
"""Letters of a word, and of each half of it, for it to be two that the print runs together."""
MOST_LINKS = 2
"""Links between two words of a name: 'lily of the valley'."""


# -- the words of a text and of the names ---------------------------------------------------------------------------------


class Part(NamedTuple):
    """A word that counts, or half of a hyphened one."""

    folded: str
    plain: str
    """As all periods spell it, in the singular."""
    bare: str
    """The same without its Latin ending."""
    cut: bool
    """Whether a full stop follows."""


@lru_cache(maxsize=32768)
def parts_of(word: str) -> tuple[Part, ...]:
    """The parts of a printed word that count; links ('of', "d'") do not."""
    if word.isascii() and word.isalpha():
        folded = word.lower()
        return () if folded in set_of_kind("link") else (Part(folded, plain_spelling(folded), bare_spelling(folded), False),)
    pieces = _BORDERS.split(_elision().sub(" ", word) if _APOSTROPHES.search(word) else word)
    out = []
    for place, piece in enumerate(pieces):
        for folded in fold(piece).split():
            if folded not in set_of_kind("link"):
                cut = piece.endswith(".") and place == len(pieces) - 1
                out.append(Part(folded, plain_spelling(folded), bare_spelling(folded), cut))
    return tuple(out)


_BORDERS = re.compile(r"[-/\s]+")
_APOSTROPHES = re.compile(r"['’]")
_SHORTEST = 3
"""Letters that are left of a word at least."""


@cache
def _elision() -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(words_of_kind('elided'))})['’](?=\w)", re.IGNORECASE)


def plain_spelling(word: str) -> str:
    """A folded word in the singular, its letters as base/exchanges levels them: 'oyles', 'oile' and 'oil' have the same."""
    return _levelled(singular(word))


def bare_spelling(word: str) -> str:
    """A folded word without its Latin ending, its letters levelled as `plain_spelling` does it."""
    return _levelled(stem(word))


@lru_cache(maxsize=65536)
def _levelled(word: str) -> str:
    return levelled(word, "name", _SHORTEST)


@cache
def _unspotted(where: str) -> frozenset[str]:
    """Words that name nothing "alone", or that belong to no name "anywhere"."""
    return frozenset(row["word"] for row in tables.read("glossary/lookup_unspotted") if row["where"] == where)


@cache
def _unspotted_in_any_spelling() -> frozenset[str]:
    return frozenset(map(plain_spelling, _unspotted("alone")))


# -- the names ------------------------------------------------------------------------------------------------------------


_Meant = dict[str, tuple[str, ...]]
_Longest = dict[str, int]


@dataclass(frozen=True, eq=False)
class Names:
    """The names of an index by their words, with a blank between two."""

    source: NameIndex
    plain: _Meant
    """Ingredients by the plain spelling of each word."""
    latin: _Meant
    """Ingredients by the words of a Latin name, without their endings."""
    longest: _Longest
    """Words of the longest name that begins with this word, or with these two, in plain spelling."""
    longest_latin: _Longest

    @cached_property
    def reach(self) -> Callable[[Part], int]:
        """Words of the longest name that may begin with this one: most words of a text begin none, and the same come again."""

        def reach(part: Part) -> int:
            return LONGEST_SPOT if part.cut else max(self.longest.get(part.plain, 0), self.longest_latin.get(part.bare, 0))

        return lru_cache(maxsize=32768)(reach)

    @cached_property
    def reach_of_two(self) -> Callable[[Part, Part], int]:
        """The same of two words."""

        def reach(part: Part, other: Part) -> int:
            plain, bare = f"{part.plain} {other.plain}", f"{part.bare} {other.bare}"
            return max(self.longest.get(plain, 0), self.longest_latin.get(bare, 0))

        return lru_cache(maxsize=32768)(reach)

    @cached_property
    def alone(self) -> Callable[[Part], tuple[str, ...]]:
        """What a lone word means."""
        return lru_cache(maxsize=32768)(lambda part: _meant([part], self))


@follows_the_tables
@lru_cache(maxsize=2)
def names_of(index: NameIndex) -> Names:
    """The names of an index, by their words."""
    return Names(index, *index.stored("spelled-names", partial(_spelled, index)))


def _spelled(index: NameIndex) -> tuple[_Meant, _Meant, _Longest, _Longest]:
    """What `Names` holds of an index."""
    names = Names(index, {}, {}, {}, {})
    turned: list[tuple[list[str], str]] = []
    with tables.uncollected():
        for ingredient, language, words, parts in _rows(index):
            key = [part.plain for part in parts]
            _note(names.plain, names.longest, key, ingredient)
            if language in LATIN:
                _note(names.latin, names.longest_latin, [part.bare for part in parts], ingredient)
            elif len(parts) > 1 and _turns(parts[-1]):
                turned.append(([key[-1], *key[:-1]], ingredient))
            elif len(parts) > 1 and words > len(parts) and _turns(parts[0]):
                turned.append(([*key[1:], key[0]], ingredient))
        known = frozenset(names.plain)
        for key, ingredient in turned:  # 'clove oil' for 'oil of cloves', unless it is a name of its own
            if " ".join(key) not in known:
                _note(names.plain, names.longest, key, ingredient)
    return names.plain, names.latin, names.longest, names.longest_latin


def _turns(part: Part) -> bool:
    """Whether a word may stand before or behind what it is of: 'oil of cloves', 'clove oil', 'zinc oxide'."""
    return part.plain in _heads() or names_a_salt(part.folded)


@cache
def _heads() -> frozenset[str]:
    return frozenset(map(plain_spelling, heads()))


def _rows(index: NameIndex) -> Iterator[tuple[str, str, int, list[Part]]]:
    """(ingredient, language, words with the links, parts) of each name that is no description; "" for the language where the
    name is cut short, since what is left of its words has no ending: 'Sulph.' is no case of 'sulphas'."""
    if index.base:
        yield from _rows(index.base)
    for ingredient, name, language, form, *_ in index.rows:
        words = name.split()
        parts: list[Part] = []
        for word in words:
            parts += parts_of(word)
        if 0 < len(parts) <= LONGEST_SPOT:
            yield ingredient, "" if form == "abbreviation" else language, len(words), parts


def _note(names: _Meant, longest: _Longest, words: list[str], ingredient: str) -> None:
    name = " ".join(words)
    known = names.get(name)
    if known is None:
        names[name] = (ingredient,)
        for begins in {words[0], " ".join(words[:2])}:
            longest[begins] = max(len(words), longest.get(begins, 0))
    elif ingredient not in known:
        names[name] = (*known, ingredient)


# -- finding them ---------------------------------------------------------------------------------------------------------

Stretch = tuple[int, int, int, tuple[str, ...], bool]
"""(minus the number of words that count, start, end, ingredients, exact): sorted, the longest come first."""


def respelled(words: Sequence[str], index: NameIndex) -> tuple[str, ...]:
    """The ingredients that all of these words together are a name of, in the spelling of any age or in any case."""
    stretch = [part for word in words for part in parts_of(word)]
    if len(stretch) == 1 and (
        hits := index.exact.get(stretch[0].folded)
    ):  # "de l'eau": no running text, where 'eau' is too little
        return tuple(key for key, _ in hits)
    return _meant(stretch, names_of(index)) if 0 < len(stretch) <= LONGEST_SPOT else ()


def two_words(word: str, index: NameIndex) -> str:
    """A word that the print runs together, as the two of a name: 'bole armoniack' of 'bolearmoniack'; "" where it is none."""
    if len(word) < SHORTEST_RUN_TOGETHER or not word.isalpha() or word in index.vocabulary or word in strangers():
        return ""
    names = names_of(index).plain
    for cut in range(SHORTEST_HALF, len(word) - SHORTEST_HALF + 1):
        front, back = word[:cut], word[cut:]
        if f"{plain_spelling(front)} {plain_spelling(back)}" in names:
            return f"{front} {back}"
    return ""


def stretches(words: Sequence[str], names: Names) -> Iterator[Stretch]:
    """Every stretch of the text that is a known name, those within others too."""
    groups = list(map(parts_of, words))
    row = list(chain.from_iterable(groups))
    at = [place for place, parts in enumerate(groups) for _ in parts] + [-1]
    nowhere = _unspotted("anywhere")
    for start, most in enumerate(map(names.reach, row)):
        if not most or (start and at[start - 1] == at[start]):
            continue
        if most > 1 and start + 1 < len(row) and not any([part.cut for part in row[start : start + most]]):
            most = names.reach_of_two(row[start], row[start + 1]) or 1  # a word cut short may be any that begins so
        for end in range(start + 1, min(start + most, len(row)) + 1):
            if row[end - 1].folded in nowhere or (end - start > 1 and at[end - 1] - at[end - 2] > MOST_LINKS + 1):
                break
            stretch = row[start:end]
            if at[end] != at[end - 1] and (found := _meant(stretch, names) if len(stretch) > 1 else names.alone(row[start])):
                yield (start - end, at[start], at[end - 1] + 1, found, all(_in_its_letters(part, names) for part in stretch))


def _in_its_letters(part: Part, names: Names) -> bool:
    return part.folded in names.source.vocabulary or singular(part.folded) in names.source.vocabulary


def _meant(stretch: list[Part], names: Names) -> tuple[str, ...]:
    found = names.plain.get(" ".join([part.plain for part in stretch]), ())
    if len(found) > 1 and len(stretch) == 1:  # in its own letters a word is no other one that is spelled nearly so: ale, aloe
        exact = {key for key, _ in names.source.exact.get(stretch[0].folded, ())}
        found = tuple(key for key in found if key in exact) or found
    if not found and len(stretch) <= names.longest_latin.get(stretch[0].bare, 0):
        found = names.latin.get(" ".join([part.bare for part in stretch]), ())
    if not found and any([part.cut for part in stretch]):
        found = _meant_by_cut_words(stretch, names)
    if not found or (len(stretch) == 1 and not _may_stand_alone(stretch[0], names)):
        return ()
    return found


def _may_stand_alone(part: Part, names: Names) -> bool:
    """Whether a lone word is no everyday word, and long enough where it is not spelled as the glossary spells it."""
    one = singular(part.folded)
    if part.folded in _unspotted("alone") or one in _unspotted("alone"):
        return False
    if part.folded in names.source.exact or one in names.source.exact:
        return True
    if part.plain in _unspotted_in_any_spelling():
        return False
    if part.plain in names.plain:
        left, least = part.plain, SHORTEST_RESPELLED - 1
    else:  # a Latin word in another case
        left, least = part.bare, SHORTEST_RESPELLED
    long_enough = len(part.folded) >= SHORTEST_RESPELLED and len(left) >= least
    return long_enough and part.folded not in strangers() and one not in strangers()


def _meant_by_cut_words(stretch: list[Part], names: Names) -> tuple[str, ...]:
    """'Ol. Ros.': the Latin names of as many words that begin so, where all of them mean the same."""
    if len(stretch) == 1 and len(stretch[0].folded) < SHORTEST_RESPELLED - 1:
        return ()
    starts = [part.folded[: 3 if part.cut else 2] for part in stretch]  # by three letters far fewer are looked at
    alike = min((names.source.latin.get((len(stretch), start), ()) for start in starts), key=len)
    meanings = {
        ingredient
        for name, ingredient in alike
        if name[0].startswith(starts[0]) and name[-1].startswith(starts[-1]) and all(map(_begins, name, stretch))
    }
    return tuple(meanings) if len(meanings) == 1 else ()


def _begins(word: str, part: Part) -> bool:
    alike = word[:2] == part.folded[:2]
    return alike and (word.startswith(part.folded) if part.cut else stem(word) == stem(part.folded))
