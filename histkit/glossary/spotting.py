"""Known names in running text: which words of a sentence are the name of an ingredient.

    spots("Put an ounce of the oxide of zinc into a plate".split())      (Spot(start=5, end=8, ingredients=("zinc-oxide",), …),)

Words are compared as books of any age print them: without accents and long s, u for v and i for j, y for i, doubled letters and
a mute e at the end (base/exchanges), in singular or plural, Latin names in any case, or cut short where a full stop says so.
Links between the words of a name ('of', 'the', 'de', "d'") may stand or not. The longest names are taken first, and no word
twice. A word that is chiefly an everyday one (lookup_unspotted) names nothing by itself, and half of a hyphened word never does.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from histkit.glossary.own import index_in_use
from histkit.glossary.stretches import names_of, stretches


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
    found = sorted(stretches(words, names_of(index_in_use())))
    if not found:
        return ()
    taken: list[Spot] = []
    free = [True] * len(words)
    for _, start, end, ingredients, exact in found:
        if all(free[start:end]):
            free[start:end] = [False] * (end - start)
            taken.append(Spot(start, end, ingredients, exact))
    return tuple(sorted(taken))
