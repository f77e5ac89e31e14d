"""Names a letter or two off a known one: old spellings and scanning damage."""

from __future__ import annotations

import re
from dataclasses import replace

from histkit.base.nouns import Doubt
from histkit.glossary.attested import is_attested
from histkit.glossary.entries import ingredients
from histkit.glossary.index import NameIndex
from histkit.glossary.letters import letters_swapped, one_letter_off, skeleton, word_likeness
from histkit.glossary.meanings import match_of
from histkit.glossary.nouns import Match
from histkit.glossary.words import fold, kinds, peeled, strangers, words_of_kind

CLOSEST = 86.0
"""Least likeness (rapidfuzz ratio, 0–100) for a spelling to be taken for a known name; tests/glossary measures its mistakes."""
PRINTED = 1.0
"""How much nearer a name counts that was seen in print, where two compete."""
SHORTEST, LONGEST = 5, 60
"""Letters of a name that is looked for in another spelling, at least and at most."""
_CUT = re.compile(r"[,;(]")


def by_spelling(name: str, index: NameIndex) -> Match | None:
    """The known name that is nearest to a printed one, with a doubt; None where none is near enough."""
    free = kinds().free
    attempts = [fold(name), peeled(fold(name), free)[0]]
    if _CUT.search(name):
        attempts.append(peeled(fold(_CUT.split(name, maxsplit=1)[0]), free)[0])
    for text in dict.fromkeys(attempts):
        if not SHORTEST <= len(text) <= LONGEST or text in strangers():
            continue
        if near := _near(text, index):
            return _match_by_spelling(name, text, near, index)
    return None


def _match_by_spelling(name: str, text: str, near: list[tuple[str, float]], index: NameIndex) -> Match:
    spelled, score = near[0]
    hits = index.exact[spelled]
    others = [key for other, likeness in near[1:] for key, _ in index.exact[other] if likeness > score - 4]
    dangerous = [key for other, _ in near[1:] for key, _ in index.exact[other] if ingredients[key].forbidden]
    neighbours = tuple(dict.fromkeys(others + dangerous))
    doubt = Doubt(
        "ingredient",
        f"The name {text!r} is not in the glossary; {spelled!r} is the nearest spelling.",
        tuple(ingredients[key].name for key in neighbours if key != hits[0][0]),
        "Look at the page before you trust it.",
    )
    match = match_of(name, hits, "spelling", score / 100 - 0.1, "", (doubt,))
    more = [ingredients[key] for key in neighbours if key != match.ingredient.id]
    return replace(match, alternatives=tuple(dict.fromkeys((*match.alternatives, *more))))


def _near(text: str, index: NameIndex) -> list[tuple[str, float]]:
    """Known names close to `text`, every word of them close too, with their likeness (0–100), nearest first."""
    from rapidfuzz import fuzz, process
    from rapidfuzz.distance import DamerauLevenshtein

    letters = 1 if len(text) < 8 else 2 if len(text) < 15 else 3
    alike = index.skeletons.get(skeleton(text), ())
    close = [(spelled, 97.0) for spelled in alike if DamerauLevenshtein.distance(text, spelled) <= letters]
    close += [(spelled, 98.0) for spelled in _one_word_spoilt(text, index)]
    close += [(spelled, 99.0) for spelled in index.without_blanks.get(text.replace(" ", ""), ())]
    words = text.split()
    for spelled, score, _ in process.extract(text, index.spellings, scorer=fuzz.ratio, score_cutoff=CLOSEST - 8, limit=16):
        others = spelled.split()
        if len(others) != len(words):
            continue
        likeness = [word_likeness(a, b) for a, b in zip(words, others, strict=True)]
        if min(likeness) >= 0 and (score >= CLOSEST or letters_swapped(words, others)):
            close.append((spelled, max(score, CLOSEST)))
        elif score >= CLOSEST and _one_short_word_off(words, others):
            close.append((spelled, score))
    best: dict[str, float] = {}
    for spelled, score in close:
        best[spelled] = max(score, best.get(spelled, 0.0))
    return sorted(best.items(), key=lambda pair: -pair[1] - (PRINTED if is_attested(pair[0]) else 0.0))


def _one_word_spoilt(text: str, index: NameIndex) -> list[str]:
    """Known names that differ in one letter of one word, where all other words are right and that one is no word at all:
    'sassafras iol', 'salt of gcld'."""
    from rapidfuzz import process
    from rapidfuzz.distance import OSA

    words = text.split()
    odd = [i for i, word in enumerate(words) if word not in index.vocabulary]
    if len(words) < 2 or len(odd) != 1 or len(words[odd[0]]) < 3 or words[odd[0]] in strangers():
        return []
    at = odd[0]
    close = process.extract(words[at], index.word_list, scorer=OSA.distance, score_cutoff=1, limit=None)
    names = (" ".join([*words[:at], word, *words[at + 1 :]]) for word, _, _ in close)
    return [name for name in names if name in index.exact]


def _one_short_word_off(words: list[str], others: list[str]) -> bool:
    """Whether one short word differs by a letter, not its first, while the words that count are the same and long enough."""
    small = kinds().small
    proves_nothing = small.union(words_of_kind("everywhere"))
    differing = [(a, b) for a, b in zip(words, others, strict=True) if a != b]
    same = sum(len(a) for a, b in zip(words, others, strict=True) if a == b and a not in proves_nothing)
    if len(differing) != 1 or same < 5:
        return False
    one, two = differing[0]
    return one_letter_off(one, two) and (two in small or one[0] == two[0])
