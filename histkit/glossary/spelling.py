"""Names a letter or two off a known one: old spellings and scanning damage."""

from __future__ import annotations

import itertools
import math
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from typing import NamedTuple

from histkit.base.nouns import Doubt
from histkit.glossary.attested import is_attested
from histkit.glossary.entries import ingredients
from histkit.glossary.index import NameIndex
from histkit.glossary.letters import names_a_salt, skeleton
from histkit.glossary.meanings import match_of
from histkit.glossary.nouns import Ingredient, Match
from histkit.glossary.words import fold, kinds, peeled, singular, strangers, words_of_kind

CLOSEST = 86.0
"""Least likeness (rapidfuzz ratio, 0–100) for a spelling to be taken for a known name; tests/glossary measures its mistakes."""
PRINTED = 1.0
"""How much nearer a name counts that was seen in print, where two compete."""
SHORTEST, LONGEST = 5, 60
"""Letters of a name that is looked for in another spelling, at least and at most."""
MOST_CHOICES = 64
"""Ways to respell a name that are tried; one with more is too damaged."""
_CUT = re.compile(r"[,;(]")


class Guess(NamedTuple):
    """What a printed name is taken for by the likeness of its letters, and in how many it differs."""

    match: Match
    letters: int


def by_spelling(name: str, index: NameIndex) -> Guess | None:
    """The known name that is nearest to a printed one, with a doubt; None where none is near enough."""
    for text in shortened(name):
        if SHORTEST <= len(text) <= LONGEST and text not in strangers() and (near := _near(text, index)):
            return Guess(_match_by_spelling(name, text, near, index), letters_apart(text, near[0][0]))
    return None


def letters_apart(text: str, other: str) -> int:
    """In how many letters two names differ; two neighbours that are exchanged count once."""
    from rapidfuzz.distance import OSA

    return int(OSA.distance(text, other))


def beside(match: Match, others: Iterable[Ingredient]) -> Match:
    """The match with these ingredients among its alternatives as well."""
    more = dict.fromkeys((*match.alternatives, *others))
    return replace(match, alternatives=tuple(other for other in more if other is not match.ingredient))


def shortened(name: str) -> tuple[str, ...]:
    """What of a name is looked for in another spelling: the whole, it without free words, what stands before a comma."""
    free = kinds().free
    attempts = [fold(name), peeled(fold(name), free)[0]]
    if _CUT.search(name):
        attempts.append(peeled(fold(_CUT.split(name, maxsplit=1)[0]), free)[0])
    return tuple(dict.fromkeys(attempts))


def _match_by_spelling(name: str, text: str, near: list[tuple[str, float]], index: NameIndex) -> Match:
    spelled, score = near[0]
    hits = index.exact[spelled]
    letters = letters_apart(text, spelled)
    alike = [other for other, likeness in near[1:] if likeness > score - 4 or letters_apart(text, other) == letters]
    others = [key for other in alike for key, _ in index.exact[other]]
    dangerous = [key for other, _ in near[1:] for key, _ in index.exact[other] if ingredients[key].forbidden]
    neighbours = tuple(dict.fromkeys(others + dangerous))
    doubt = Doubt(
        "ingredient",
        f"The name {text!r} is not in the glossary; {spelled!r} is the nearest spelling.",
        tuple(ingredients[key].name for key in neighbours if key != hits[0][0]),
        "Look at the page before you trust it.",
    )
    return beside(match_of(name, hits, "spelling", score / 100 - 0.1, "", (doubt,)), (ingredients[key] for key in neighbours))


def _near(text: str, index: NameIndex) -> list[tuple[str, float]]:
    """Known names that `text` may be a spelling of, with their likeness (0–100), nearest first."""
    from rapidfuzz import fuzz

    words = text.split()
    names = [*index.run_together(text.replace(" ", "")), *_respelled(words, index)]
    near = [(name, fuzz.ratio(text, name)) for name in dict.fromkeys(names)]
    return sorted(near, key=lambda pair: -pair[1] - (PRINTED if is_attested(pair[0]) else 0.0))


def _respelled(words: list[str], index: NameIndex) -> list[str]:
    """Known names that have near words in place of those that are no words at all ('sassafras iol', 'salt of gcld'), or, where
    all are words, of one that is no name by itself ('sassafras rot') or means the same ('kassia' and 'cassia')."""
    known = index.near_words.words
    odd = [at for at, word in enumerate(words) if word not in known and not word.isdigit()]
    if any(words[at] in strangers() for at in odd):
        return []
    if found := list(_with_near_words(words, odd, index)) or list(_without_a_scrap(words, odd, index)):
        return found
    if odd or len(words) < 2:
        return []
    common = [at for at, word in enumerate(words) if not names_a_salt(word)]
    return [name for at in common for name in _with_near_words(words, [at], index)]


def _with_near_words(words: list[str], odd: list[int], index: NameIndex) -> Iterator[str]:
    """Known names that differ in these words only, and not by too many letters."""
    choices = [_near_words(words[at], index) for at in odd]
    if not 0 < math.prod(map(len, choices)) <= MOST_CHOICES:
        return
    sure = [word for at, word in enumerate(words) if at not in odd and word not in kinds().small]
    alone = not sure or len(odd) > 1  # nothing beside it speaks for it, or not enough
    letters = sum(map(len, words))
    most = 1 if letters < 8 else 2 if letters < 15 else 3
    for chosen in itertools.product(*choices):
        if sum(near[word] for near, word in zip(choices, chosen, strict=True)) > most:
            continue
        respelled = list(words)
        for at, word in zip(odd, chosen, strict=True):
            respelled[at] = word
        name = next((name for name in (" ".join(respelled), " ".join(map(singular, respelled))) if name in index.exact), "")
        if name and all(_proves_enough(words[at], respelled[at]) for at in odd if alone):
            yield name


def _near_words(word: str, index: NameIndex) -> dict[str, int]:
    """Words near to one; where it is a name by itself, only those that mean the same."""
    near, meaning = index.near_words.near(word), index.exact.get(word)
    if not meaning:
        return near
    return {other: letters for other, letters in near.items() if index.exact.get(other, ((None,),))[0][0] == meaning[0][0]}


def _without_a_scrap(words: list[str], odd: list[int], index: NameIndex) -> Iterator[str]:
    """Known names with a link ('of') where a scrap of two or three letters stands between words: 'oil 0f mirbane'."""
    links = words_of_kind("link")
    for at in odd or range(1, len(words) - 1):
        if 0 < at < len(words) - 1 and len(words[at]) <= 3 and words[at] not in links:
            names = (" ".join([*words[:at], link, *words[at + 1 :]]) for link in links)
            yield from (name for name in names if name in index.exact)


def _proves_enough(word: str, name: str) -> bool:
    """Whether a word, with nothing beside it that speaks for it, is near enough to a known one to be its spelling."""
    from rapidfuzz import fuzz

    if len(name) < SHORTEST or (word[0] != name[0] and max(len(word), len(name)) < 7):
        return False
    swapped = len(word) > 5 and sorted(word) == sorted(name)
    return swapped or skeleton(word) == skeleton(name) or fuzz.ratio(word, name) >= CLOSEST
