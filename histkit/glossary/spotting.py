"""Known names in running text: which words of a sentence are the name of an ingredient.

    spots("Put an ounce of the oxide of zinc into a plate".split())      (Spot(start=5, end=8, ingredients=("zinc-oxide",), …),)

Words are compared as books of any age print them: without accents and long s, u for v and i for j, y for i, doubled letters and
a mute e at the end (lookup_exchanges), in singular or plural, Latin names in any case, or cut short where a full stop says so.
Links between the words of a name ('of', 'the', 'de', "d'") may stand or not. The longest names are taken first, and no word
twice. A word that is chiefly an everyday one (lookup_unspotted) names nothing by itself, and half of a hyphened word never does.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import cache, lru_cache
from typing import NamedTuple

from histkit.base import tables
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.index import LATIN, NameIndex
from histkit.glossary.own import index_in_use
from histkit.glossary.tables import NameRow
from histkit.glossary.words import Key, fold, singular, stem, strangers, words_of_kind

LONGEST_SPOT = 8
"""Words of a name at most, links not counted: longer ones are descriptions."""
SHORTEST_RESPELLED = 5
"""Letters that a lone word has at least, to be known in another spelling or case than the glossary's."""
MOST_LINKS = 2
"""Links between two words of a name: 'lily of the valley'."""


class Spot(NamedTuple):
    """A known name in a row of words: words[start:end], the ids of what it has meant, the likeliest first.

    `exact` tells that each of its words is one of the glossary's in these very letters (accents, long s, hyphens and an s of
    the plural aside), and not only in another spelling, in another case, or cut short.
    """

    start: int
    end: int
    ingredients: tuple[str, ...]
    exact: bool


def spots(words: Sequence[str]) -> tuple[Spot, ...]:
    """All known names among these words, in their order, none overlapping: the longest are taken first, then the earliest.

    `words` are the printed words in order, each without its punctuation (a full stop of an abbreviation may stay; brackets and
    commas are taken off). What must not be joined, such as the words at both sides of a full stop, goes into two calls.

    Raises:
        TableError: a maker's own tables break a rule, as `glossary.use` says.
    """
    found = sorted(_candidates(words, names_in_use()))
    if not found:
        return ()
    taken: list[Spot] = []
    free = [True] * len(words)
    for _, start, end, ingredients, exact in found:
        if all(free[start:end]):
            free[start:end] = [False] * (end - start)
            taken.append(Spot(start, end, ingredients, exact))
    return tuple(sorted(taken))


# -- the words of a text and of the names ---------------------------------------------------------------------------------


class Part(NamedTuple):
    """A word that counts, or half of a hyphened one."""

    folded: str
    plain: str
    """As all periods spell it, in the singular."""
    cut: bool
    """Whether a full stop follows."""


@lru_cache(maxsize=32768)
def parts_of(word: str) -> tuple[Part, ...]:
    """The parts of a printed word that count; links ('of', "d'") do not."""
    if word.isascii() and word.isalpha():
        folded = word.lower()
        return () if folded in _links() else (Part(folded, plain_spelling(folded), False),)
    pieces = _BORDERS.split(_elision().sub(" ", word))
    out = []
    for place, piece in enumerate(pieces):
        for folded in fold(piece).split():
            if folded not in _links():
                cut = piece.endswith(".") and place == len(pieces) - 1
                out.append(Part(folded, plain_spelling(folded), cut))
    return tuple(out)


_BORDERS = re.compile(r"[-/\s]+")


@cache
def _links() -> frozenset[str]:
    return frozenset(words_of_kind("link"))


@cache
def _elision() -> re.Pattern[str]:
    return re.compile(rf"\b(?:{'|'.join(words_of_kind('elided'))})['’](?=\w)", re.IGNORECASE)


@lru_cache(maxsize=65536)
def plain_spelling(word: str) -> str:
    """A folded word in the singular, its letters as lookup_exchanges levels them: 'oyles', 'oile' and 'oil' have the same."""
    return _levelled(singular(word))


@lru_cache(maxsize=65536)
def bare_spelling(word: str) -> str:
    """A folded word without its Latin ending, its letters levelled as `plain_spelling` does it."""
    return _levelled(stem(word))


def _levelled(word: str) -> str:
    """A word with one letter for those that old spelling exchanges; three letters at least are left of it."""
    letters, groups, endings = _exchanges()
    word = word.translate(letters)
    for printed, instead in groups:
        if printed in word:
            word = word.replace(printed, instead)
    if len(word) > 3:
        word = _DOUBLED.sub(r"\1", word)
        for printed, instead in endings:
            if word.endswith(printed) and len(word) - len(printed) + len(instead) >= 3:
                word = word[: len(word) - len(printed)] + instead
    return word


_DOUBLED = re.compile(r"(.)\1+")


@cache
def _exchanges() -> tuple[dict[int, str], tuple[tuple[str, str], ...], tuple[tuple[str, str], ...]]:
    """From lookup_exchanges: letters, groups of letters anywhere, endings."""
    rows = [(row["where"], row["printed"], row["instead"]) for row in tables.read("glossary/lookup_exchanges")]
    letters = str.maketrans({printed: instead for where, printed, instead in rows if where == "letter"})
    groups, endings = (tuple((p, i) for where, p, i in rows if where == kind) for kind in ("anywhere", "end"))
    return letters, groups, endings


@cache
def _unspotted(where: str) -> frozenset[str]:
    """Words that name nothing "alone", or that belong to no name "anywhere"."""
    return frozenset(row["word"] for row in tables.read("glossary/lookup_unspotted") if row["where"] == where)


# -- the names ------------------------------------------------------------------------------------------------------------


class Names(NamedTuple):
    """The names of an index by their words."""

    source: NameIndex
    plain: dict[Key, tuple[str, ...]]
    """Ingredients by the plain spelling of each word."""
    latin: dict[Key, tuple[str, ...]]
    """Ingredients by the words of a Latin name, without their endings."""
    cut: dict[Key, list[tuple[Key, str]]]
    """Latin names by the first two letters of each of their words."""
    longest: dict[str, int]
    """Words of the longest name that begins with this word, in plain spelling."""
    longest_latin: dict[str, int]


@follows_the_tables
@cache
def names_in_use() -> Names:
    """The names of the glossary and those of the maker's own tables in use. Raises TableError as `glossary.use` does."""
    return names_of(index_in_use())


def names_of(index: NameIndex) -> Names:
    """The names of an index, by their words."""
    names = Names(index, {}, {}, {}, {}, {})
    turned: list[tuple[Key, str]] = []
    heads = frozenset(map(plain_spelling, words_of_kind("head-noun")))
    with tables.uncollected():
        for row in _rows(index):
            words = row.name.split()
            parts = [part for word in words for part in parts_of(word)]
            if not 0 < len(parts) <= LONGEST_SPOT:
                continue
            key = tuple([part.plain for part in parts])
            _note(names.plain, names.longest, key, row.ingredient)
            if row.language in LATIN:
                _note_latin(names, parts, row.ingredient)
            elif len(parts) > 1 and key[-1] in heads:
                turned.append(((key[-1], *key[:-1]), row.ingredient))
            elif len(parts) > 1 and key[0] in heads and len(words) > len(parts):
                turned.append(((*key[1:], key[0]), row.ingredient))
        known = frozenset(names.plain)
        for key, ingredient in turned:  # 'clove oil' for 'oil of cloves', unless it is a name of its own
            if key not in known:
                _note(names.plain, names.longest, key, ingredient)
    return names


def _note_latin(names: Names, parts: list[Part], ingredient: str) -> None:
    _note(names.latin, names.longest_latin, tuple([bare_spelling(part.folded) for part in parts]), ingredient)
    folded = tuple([part.folded for part in parts])
    names.cut.setdefault(tuple([word[:2] for word in folded]), []).append((folded, ingredient))


def _rows(index: NameIndex) -> Iterator[NameRow]:
    if index.base:
        yield from _rows(index.base)
    yield from index.rows


def _note(names: dict[Key, tuple[str, ...]], longest: dict[str, int], key: Key, ingredient: str) -> None:
    known = names.get(key)
    if known is None:
        names[key] = (ingredient,)
        if len(key) > longest.get(key[0], 0):
            longest[key[0]] = len(key)
    elif ingredient not in known:
        names[key] = (*known, ingredient)


# -- finding them ---------------------------------------------------------------------------------------------------------

_Found = tuple[int, int, int, tuple[str, ...], bool]
"""(minus the number of words that count, start, end, ingredients, exact): sorted, the longest come first."""


def _candidates(words: Sequence[str], names: Names) -> Iterator[_Found]:
    """Every stretch of the text that is a known name, those within others too."""
    row, at = [], []
    for place, word in enumerate(words):
        for part in parts_of(word):
            row.append(part)
            at.append(place)
    at.append(-1)
    nowhere = _unspotted("anywhere")
    for start, (folded, plain, cut) in enumerate(row):
        most = max(names.longest.get(plain, 0), names.longest_latin.get(bare_spelling(folded), 0), LONGEST_SPOT if cut else 0)
        if not most or (start and at[start - 1] == at[start]):
            continue
        for end in range(start + 1, min(start + most, len(row)) + 1):
            if row[end - 1].folded in nowhere or (end - start > 1 and at[end - 1] - at[end - 2] > MOST_LINKS + 1):
                break
            if at[end] != at[end - 1] and (found := _meant(stretch := row[start:end], names)):
                yield (start - end, at[start], at[end - 1] + 1, found, all(_in_its_letters(part, names) for part in stretch))


def _in_its_letters(part: Part, names: Names) -> bool:
    return part.folded in names.source.vocabulary or singular(part.folded) in names.source.vocabulary


def _meant(stretch: list[Part], names: Names) -> tuple[str, ...]:
    found = names.plain.get(tuple([part.plain for part in stretch]), ())
    found = found or names.latin.get(tuple([bare_spelling(part.folded) for part in stretch]), ())
    if not found and any(part.cut for part in stretch):
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
    return len(part.folded) >= SHORTEST_RESPELLED and part.folded not in strangers() and one not in strangers()


def _meant_by_cut_words(stretch: list[Part], names: Names) -> tuple[str, ...]:
    """'Ol. Ros.': the Latin names of as many words that begin so, where all of them mean the same."""
    if len(stretch) == 1 and len(stretch[0].folded) < SHORTEST_RESPELLED - 1:
        return ()
    meanings = {
        ingredient
        for name, ingredient in names.cut.get(tuple([part.folded[:2] for part in stretch]), ())
        if all(map(_begins, name, stretch))
    }
    return tuple(meanings) if len(meanings) == 1 else ()


def _begins(word: str, part: Part) -> bool:
    return word.startswith(part.folded) if part.cut else stem(word) == stem(part.folded)
