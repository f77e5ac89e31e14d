"""Latin names, in whatever case and cut short as a prescription writes them."""

from __future__ import annotations

import re
from itertools import chain

from histkit.glossary.agreement import senses
from histkit.glossary.index import Hits, NameIndex
from histkit.glossary.letters import chemical_ending
from histkit.glossary.words import Key, kinds, stem, strangers

SHORTEST_MADE = 5
"""Letters of an adjective without its ending that says of what a thing is made, more than this: 'cervin', 'hordeac'."""
_MADE_OF = re.compile(r"(?:in|ace|ac)$")
MOST_WORDS = 6
"""Words of a Latin name at most; the longest of the glossary's that books abbreviate have five."""
SHORTEST_CUT = 3
"""Letters of a word that is taken for cut short though it has no full stop, unless the glossary cuts it so itself ('ol')."""


def latin_hits(folded: str, dotted: frozenset[str], index: NameIndex) -> Hits:
    """Ingredients whose Latin name these words are, in whatever case, each word perhaps cut short.

    `dotted` are the words printed with a full stop: only they may be cut anywhere; a lone word without one is taken
    for an abbreviation only where most of it stands there.
    """
    words = folded.split()
    if not words or len(words) > MOST_WORDS or (folded in strangers() and folded not in dotted):
        return ()
    if any(len(word) < SHORTEST_CUT and word not in dotted and word not in index.vocabulary for word in words):
        return ()
    best: list[str] = []
    best_score = 0.0
    start = words[0][: 3 if len(stem(words[0])) > 2 else 2]
    others = {word[0] for word in words[1:]}
    for name, key in chain.from_iterable(index.latin.get((len(words) + more, start), ()) for more in (0, 1)):
        if others and not others.issubset([word[0] for word in name]):
            continue  # as most are: each word has to meet one of the name
        score = _score(words, name, dotted)
        if score > best_score + 1e-9:
            best, best_score = [key], score
        elif score and abs(score - best_score) <= 1e-9 and key not in best:
            best.append(key)
    return tuple((key, len(best) > 1) for key in best)


def _score(words: list[str], name: Key, dotted: frozenset[str]) -> float:
    """0 unless every word meets a word of the name of its own; more for whole words than for cut ones."""
    free = list(name)
    total = 0.0
    for word in words:
        for at, other in enumerate(free):
            if len(words) == 1 and "colour" in senses(other):
                continue  # 'albi' alone names no resin
            if word[0] == other[0] and (worth := _worth(word, other, len(words) == 1, dotted)):
                total += worth
                del free[at]
                break
        else:
            return 0.0
    parts = kinds().latin_parts
    if any(word not in parts for word in free) or (free and len(words) == 1 and len(words[0]) < 4):
        return 0.0  # only 'radix', 'flores' and their like may be left unsaid
    return total / len(words) - 0.25 * len(free)


def _worth(word: str, other: str, alone: bool, dotted: frozenset[str]) -> float:
    """How well a printed word meets a word of a name, 0–1; 0 where it does not."""
    if word == other:
        return 1.0
    bare = stem(word)
    if len(word) > 3 and len(other) > 3 and bare == stem(other) and chemical_ending(word) == chemical_ending(other):
        return 0.95
    if len(word) >= 2 and other.startswith(word) and (not alone or _may_be_cut(word, other, dotted)):
        return 0.6 + 0.3 * len(word) / len(other)
    if not alone and len(bare) > SHORTEST_MADE and _made_of(bare) == stem(other):
        return 0.9
    if word in dotted and len(bare) >= 4 and other.startswith(bare):
        return 0.55
    return 0.0


def _may_be_cut(word: str, other: str, dotted: frozenset[str]) -> bool:
    """Whether a word that stands alone may be the beginning of `other`."""
    return len(word) >= 4 and (word in dotted or len(word) > 0.75 * len(other))


def _made_of(bare: str) -> str:
    """The stem of what an adjective is made from: 'cerv', as in 'cervi', of 'cervin' ('medullae cervinae'); "" for others."""
    return _MADE_OF.sub("", bare) if _MADE_OF.search(bare) else ""
