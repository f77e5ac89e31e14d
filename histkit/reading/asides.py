"""Why a name or an amount may stand beside the lines and still go into nothing: what asides.csv says of the words around it.

A thing is compared ('like sealing-wax'), denied ('no salt'), closes a vessel, is the vessel's stuff, or is what is made.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from functools import cache
from typing import NamedTuple

from histkit.base.tables import words as entries_of
from histkit.reading.vocabulary import table, word_list
from histkit.reading.wording import Wording

_OF = word_list("of")
_TELLS = word_list("tells") | word_list("being") | word_list("helping-verb")
_PUTS_IN = word_list("puts-in") | word_list("takes-in") | word_list("verb-of-mixing")
_LONGEST_SENTENCE = 40
"""Tokens on either side of a name that are looked at for the end of its sentence."""


class Aside(NamedTuple):
    """Words that excuse a name or an amount so many words behind ("before") or ahead of them ("behind")."""

    before: bool
    words: frozenset[str]
    reach: int
    unless: frozenset[str]
    """Words that take the excuse away where they stand between, or on the other side of the excusing word: 'pour over'."""
    between: frozenset[str]
    """Words that take it away where they stand between: 'as much'."""
    only: frozenset[str]
    """Last words of the names of which it holds; all where there are none."""

    def holds(self, last_word: str, near: Sequence[str]) -> bool:
        """Whether it excuses a name that ends in `last_word`, with these words beside it, the nearest first."""
        if self.only and last_word not in self.only:
            return False
        at = next((n for n, word in enumerate(near[: self.reach]) if word in self.words), None)
        return at is not None and self.unless.isdisjoint(near[: at + 2]) and self.between.isdisjoint(near[:at])


@cache
def _asides(of: str) -> tuple[Aside, ...]:
    rows = (row for row in table("asides") if row["of"] == of)
    return tuple(_aside(row["where"] == _AHEAD, int(row["reach"]), row) for row in rows)


def _aside(before: bool, reach: int, row: dict[str, str]) -> Aside:
    def said(column: str) -> frozenset[str]:
        return frozenset(entries_of(row, column))

    return Aside(before, said("words"), reach, said("unless"), said("between"), said("only"))


_AHEAD = "before"
_FARTHEST = max(int(row["reach"]) for row in table("asides")) + 1


def name_is_aside(wording: Wording, first: int, last: int, clause: tuple[int, int]) -> bool:
    """Whether the words of the clause around the name in tokens `first`…`last` say that it does not go in."""
    return _is_aside("name", wording, first, last, clause)


def is_told_of(wording: Wording, i: int) -> bool:
    """Whether the sentence around token i tells what is and puts nothing in: 'The horse should be kept on oats.'"""
    begins, ends = sentence_around(wording, i)
    sentence = set(wording.view.words[begins:ends])
    return not _TELLS.isdisjoint(sentence) and _PUTS_IN.isdisjoint(sentence)


def sentence_around(wording: Wording, i: int) -> tuple[int, int]:
    """Where the sentence or the clause before a semicolon around token i begins, and where it ends, as far as is looked."""
    ends = sentence_ends(wording)
    at = bisect_left(ends, i)
    before, behind = ends[at - 1] if at else -1, ends[at] if at < len(ends) else len(wording.tokens)
    return max(before + 1, i - _LONGEST_SENTENCE, 0), min(behind + 1, i + _LONGEST_SENTENCE, len(wording.tokens))


def sentence_ends(wording: Wording) -> list[int]:
    """The tokens that end their paragraph, or are a stop or a whole word with one."""
    if not wording.ending:
        tokens, by_kind = wording.tokens, wording.view.by_kind
        stops = [i for i in by_kind["sep"] if tokens[i].text in _STOPS]
        stopped = [i for i, token in enumerate(tokens) if token.dot and len(token.text) > _SHORTENED]
        wording.ending.extend(sorted({*by_kind["para"], *stops, *stopped}))
    return wording.ending


_STOPS = (".", ";", ":")
_SHORTENED = 3
"""Letters of an abbreviation, whose stop ends nothing."""


def amount_is_aside(wording: Wording, first: int, last: int, clause: tuple[int, int]) -> bool:
    """The same of an amount, where nothing is named behind it: 'seethe it to a quart', but not 'to a quart of ale'."""
    behind = wording.view.solid[last]
    if wording.is_name(behind) or wording.view.words[behind] in _OF:
        return False
    return _is_aside("amount", wording, first, last, clause)


def _is_aside(of: str, wording: Wording, first: int, last: int, clause: tuple[int, int]) -> bool:
    before = _nearest(wording, range(first - 1, clause[0] - 1, -1))
    behind = _nearest(wording, range(last, clause[1]))
    word = wording.view.words[last - 1]
    return any(aside.holds(word, before if aside.before else behind) for aside in _asides(of))


def _nearest(wording: Wording, places: range) -> list[str]:
    """The words at these places, as far as any of the table reaches; a figure ends them: 'No. 2 chalk' is not denied."""
    near: list[str] = []
    for i in places:
        if len(near) == _FARTHEST or wording.tokens[i].kind == "num":
            break
        if wording.view.words[i]:
            near.append(wording.view.words[i])
    return near
