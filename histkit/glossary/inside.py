"""The longest known name inside a printed one: what is known of it, and what had to be dropped."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.agreement import heads
from histkit.glossary.compounds import fronts, halves, of_another_make
from histkit.glossary.entries import ingredients
from histkit.glossary.index import Hits, NameIndex
from histkit.glossary.letters import names_a_salt
from histkit.glossary.stretches import SHORTEST_RESPELLED, Part, Stretch, names_of, parts_of, respelled, stretches
from histkit.glossary.words import fold, kinds, set_of_kind, singular

MOST_DROPPED = 3
"""Words that were not understood, at most: what has more is a sentence and no name."""
_MARKS = ',;:()[]"“”'


_SORTS = ("fat-wax", "animal", "spirit")
"""Kinds of ingredients whose sorts early books hyphen: 'Heron-suet', 'Horse-blood', 'Barbadoes-rum'."""


class Inside(NamedTuple):
    """The ingredients that a part of a printed name stands for, the likeliest first, how surely (0–1), and what was dropped."""

    meanings: Hits
    score: float
    dropped: str
    doubts: tuple[Doubt, ...]
    beside: tuple[str, ...]
    """Ingredients of other names in it that are as good."""


class _Dropped(NamedTuple):
    """The words of a print outside a known name, by what their loss may cost."""

    free: tuple[str, ...]
    doubtful: tuple[str, ...]
    parts: tuple[str, ...]
    """Parts of a plant: 'seeds' of 'angelica seeds'."""
    forms: tuple[str, ...]
    """Preparations: 'water' of 'angelica water'."""
    chemical: tuple[str, ...]
    cut: tuple[str, ...]
    """Words cut short that nothing explains: they may say anything."""
    named: tuple[str, ...]
    """Words of another known name beside it."""
    others: tuple[str, ...]


def known_inside(name: str, index: NameIndex) -> Inside | None:
    """The longest known name inside a printed one, a poison before anything else; None where what is left over makes it another
    substance, or says too much."""
    words = [word for printed in name.split() for word in _without_head(printed.strip(_MARKS), index)]
    found = [one for one in sorted(stretches(words, names_of(index))) if not _of_another_make(words, one)]
    whole = _not_within_others(found)
    choices = [(_rank(one), one, left) for one in whole if _tells(one, left := _dropped(words, one, whole), words)]
    if not choices:
        return None
    choices.sort(key=lambda choice: choice[0])
    best, chosen, dropped = choices[0]
    equals = [key for rank, other, _ in choices[1:] if rank[:2] == best[:2] for key in other[3]]
    hits = tuple((key, len(chosen[3]) > 1) for key in chosen[3])
    lost = sum(map(len, dropped)) - len(dropped.free)
    gone = " ".join((*dropped.free, *dropped.doubtful))
    known = " ".join(words[chosen[1] : chosen[2]])
    return Inside(hits, max(0.5, 0.9 - 0.1 * lost), gone, _doubts(known, dropped), tuple(equals))


def _of_another_make(words: Sequence[str], found: Stretch) -> bool:
    name = " ".join(words[found[1] : found[2]])
    return all(of_another_make(name, ingredients[key]) for key in found[3])


def _without_head(word: str, index: NameIndex) -> Sequence[str]:
    """A hyphened word, its head for itself: 'hyssop', 'water'. No other half of one stands for it: 'goats-tallow' is whole.

    So is a German compound of a known name and a head, 'Melissen' and 'geist'.
    """
    thing, hyphen, head = word.rpartition("-")
    if hyphen and (fold(head) in heads() or _says_what_it_is(thing, head, index)):
        return (thing, head)
    if word.isalpha() and fold(word) not in index.exact:
        for front, ending in halves(word):
            if known := next((thing for thing in fronts(front) if fold(thing) in index.exact), ""):
                return (known, ending)
    return (word,)


def _says_what_it_is(thing: str, head: str, index: NameIndex) -> bool:
    """Whether the last half of a hyphened word is a name of which the whole, that is no name, may be a sort: 'Heron-suet'."""
    known = index.exact.get(fold(head), ())
    return bool(known) and not respelled([thing, head], index) and ingredients[known[0][0]].kind in _SORTS


def _not_within_others(found: Sequence[Stretch]) -> list[Stretch]:
    """The longest first: those that lie in no other one."""
    kept: list[Stretch] = []
    for one in found:
        if not any(other[1] <= one[1] and one[2] <= other[2] for other in kept):
            kept.append(one)
    return kept


def _rank(found: Stretch) -> tuple[bool, int, int]:
    """A poison first, then the longest, then the earliest."""
    return (not any(ingredients[key].forbidden for key in found[3]), found[0], found[1])


def _dropped(words: Sequence[str], found: Stretch, whole: Sequence[Stretch]) -> _Dropped:
    sorts: dict[str, list[str]] = {sort: [] for sort in _Dropped._fields}
    of_names = {at for other in whole if not _only_heads(words, other) for at in range(other[1], other[2])}
    for at, part in ((at, part) for at, printed in enumerate(words) for part in parts_of(printed)):
        if not (found[1] <= at < found[2] or part.folded in _says_nothing() or part.folded.isdigit()):
            sorts["named" if at in of_names else _sort(part)].append(part.folded)
    return _Dropped(*map(tuple, sorts.values()))


@cache
def _says_nothing() -> frozenset[str]:
    return kinds().small | kinds().at_the_end | set_of_kind("joiner") | set_of_kind("choice")


def _sort(part: Part) -> str:
    word = part.folded
    if word in kinds().free:
        return "free"
    if word in kinds().doubtful:
        return "doubtful"
    if aspect := heads().get(word) or heads().get(singular(word)):
        return f"{aspect}s"
    if names_a_salt(word):
        return "chemical"
    return "cut" if part.cut and len(word) <= SHORTEST_RESPELLED else "others"


def _tells(found: Stretch, dropped: _Dropped, words: Sequence[str]) -> bool:
    """Whether a known name tells enough of the whole. A salt is not its metal, a water named after something no water."""
    unclear = dropped.others or dropped.cut
    if len(dropped.others) + len(dropped.cut) > MOST_DROPPED:
        return False
    if dropped.chemical or dropped.cut or (dropped.forms and unclear):
        return ingredients[found[3][0]].forbidden
    if not _only_heads(words, found) or not (unclear or dropped.parts or dropped.forms or dropped.named):
        return True
    return not dropped.parts and _stands_for_itself(words, found)


def _stands_for_itself(words: Sequence[str], found: Stretch) -> bool:
    """Whether a preparation is no preparation of something: 'boiling water and salt', but not 'sage water', 'water of sage'."""
    before = [part.folded for word in words[: found[1]] for part in parts_of(word)]
    if any(word not in _says_nothing() and word not in kinds().free and not word.isdigit() for word in before):
        return False
    following = fold(words[found[2]]) if found[2] < len(words) else ""
    return following in _says_nothing() and following not in set_of_kind("link")


def _only_heads(words: Sequence[str], found: Stretch) -> bool:
    """Whether a name says only which part or preparation is meant, and not of what: 'water', 'spirit'."""
    named = [part.folded for word in words[found[1] : found[2]] for part in parts_of(word)]
    return all(word in heads() or singular(word) in heads() for word in named)


def _doubts(known: str, dropped: _Dropped) -> tuple[Doubt, ...]:
    missing = (*dropped.parts, *dropped.forms, *dropped.chemical)
    texts = []
    if missing:
        said = " ".join(missing)
        texts.append(f"Only {known!r} is known here and not its {said!r}, which is another part or preparation of it.")
    if dropped.named:
        texts.append(f"{' '.join(dropped.named)!r} is named beside {known!r} and left out: it may be an ingredient of its own.")
    if unclear := " ".join((*dropped.others, *dropped.cut)):
        texts.append(f"Only {known!r} is known here; {unclear!r} was not understood.")
    if dropped.doubtful:
        lost = " ".join(dropped.doubtful)
        texts.append(f"Found only without the word(s) {lost!r}, which may make it another substance.")
    return tuple(Doubt("ingredient", text, (), "Look at the page before you trust it.") for text in texts)
