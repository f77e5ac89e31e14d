"""The longest known name inside a printed one: what is known of it, and what had to be dropped."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.agreement import heads
from histkit.glossary.entries import ingredients
from histkit.glossary.index import Hits, NameIndex
from histkit.glossary.letters import chemical_ending
from histkit.glossary.stretches import SHORTEST_RESPELLED, Part, Stretch, names_of, parts_of, stretches
from histkit.glossary.words import kinds, singular

MOST_DROPPED = 3
"""Words that were not understood, at most: what has more is a sentence and no name."""
_MARKS = ',;:()[]"“”'


class Inside(NamedTuple):
    """The ingredients that a part of a printed name stands for, the likeliest first, how surely (0–1), and what was dropped."""

    meanings: Hits
    score: float
    dropped: str
    doubts: tuple[Doubt, ...]


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
    others: tuple[str, ...]


def known_inside(name: str, index: NameIndex) -> Inside | None:
    """The longest known name inside a printed one, a poison before anything else; None where what is left over makes it another
    substance, or says too much."""
    words = [word.strip(_MARKS) for word in name.split()]
    whole = _not_within_others(sorted(stretches(words, names_of(index))))
    choices = [(_rank(found), found, dropped) for found in whole if _tells(found, dropped := _dropped(words, found), words)]
    if not choices:
        return None
    choices.sort(key=lambda choice: choice[0])
    best, found, dropped = choices[0]
    equals = [other for rank, other, _ in choices[1:] if rank[:2] == best[:2]]
    meanings = dict.fromkeys((*found[3], *(key for other in equals for key in other[3])))
    hits = tuple((key, len(meanings) > 1) for key in meanings)
    lost = sum(map(len, dropped)) - len(dropped.free)
    gone = " ".join((*dropped.free, *dropped.doubtful))
    return Inside(hits, max(0.5, 0.9 - 0.1 * lost), gone, _doubts(" ".join(words[found[1] : found[2]]), dropped))


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


def _dropped(words: Sequence[str], found: Stretch) -> _Dropped:
    outside = [*words[: found[1]], *words[found[2] :]]
    sorts: dict[str, list[str]] = {sort: [] for sort in _Dropped._fields}
    for part in (part for printed in outside for part in parts_of(printed)):
        if part.folded not in kinds().small and part.folded not in kinds().at_the_end and not part.folded.isdigit():
            sorts[_sort(part)].append(part.folded)
    return _Dropped(*map(tuple, sorts.values()))


def _sort(part: Part) -> str:
    word = part.folded
    if word in kinds().free:
        return "free"
    if word in kinds().doubtful:
        return "doubtful"
    if aspect := heads().get(word) or heads().get(singular(word)):
        return f"{aspect}s"
    if chemical_ending(word):
        return "chemical"
    return "cut" if part.cut and len(word) <= SHORTEST_RESPELLED else "others"


def _tells(found: Stretch, dropped: _Dropped, words: Sequence[str]) -> bool:
    """Whether a known name tells enough of the whole. A salt is not its metal, a water named after something no water."""
    unclear = dropped.others or dropped.cut
    if len(dropped.others) + len(dropped.cut) > MOST_DROPPED:
        return False
    if dropped.chemical or dropped.cut or (dropped.forms and unclear):
        return ingredients[found[3][0]].forbidden
    named = [part.folded for word in words[found[1] : found[2]] for part in parts_of(word)]
    only_heads = all(word in heads() or singular(word) in heads() for word in named)
    return not (only_heads and (unclear or dropped.parts or dropped.forms))


def _doubts(known: str, dropped: _Dropped) -> tuple[Doubt, ...]:
    missing = (*dropped.parts, *dropped.forms, *dropped.chemical)
    texts = []
    if missing:
        said = " ".join(missing)
        texts.append(f"Only {known!r} is known here and not its {said!r}, which is another part or preparation of it.")
    if unclear := " ".join((*dropped.others, *dropped.cut)):
        texts.append(f"Only {known!r} is known here; {unclear!r} was not understood.")
    if dropped.doubtful:
        lost = " ".join(dropped.doubtful)
        texts.append(f"Found only without the word(s) {lost!r}, which may make it another substance.")
    return tuple(Doubt("ingredient", text, (), "Look at the page before you trust it.") for text in texts)
