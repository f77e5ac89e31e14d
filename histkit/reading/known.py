"""The names of the glossary that stand in a text, as stretches of its tokens."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from histkit.glossary.own import index_in_use
from histkit.glossary.spotting import Spot, spots
from histkit.glossary.words import fold
from histkit.reading.tokens import Token
from histkit.reading.vocabulary import heads, numbers, units, word_list

_APART = ("sep", "para", "num", "sign", "ditto", "brace", "open", "close")
"""Kinds of token over which no name goes on."""
_ABBREVIATED = 6
_SHORTEST_WORD = 5
"""Letters of a word before the stop of a sentence; shorter ones may be abbreviations."""


class Known(NamedTuple):
    """Tokens `first` up to but not including `last` print a known name; `ingredients` are the ids of what it has meant, the
    likeliest first; `exact` tells that it is printed in the glossary's own letters."""

    first: int
    last: int
    ingredients: tuple[str, ...]
    exact: bool


def known_names(tokens: list[Token]) -> tuple[Known, ...]:
    """All known names of a text, in order, none overlapping."""
    names: list[Known] = []
    for run in _runs(tokens):
        words = [tokens[i].text + "." * tokens[i].dot for i in run]
        for spot in spots(words):
            for part in _line_by_line(tokens, run, words, spot):
                names.append(Known(run[part.start], run[part.end - 1] + 1, part.ingredients, part.exact))
    return tuple(names)


def _line_by_line(tokens: list[Token], run: list[int], words: list[str], spot: Spot) -> tuple[Spot, ...]:
    """The name, or the two names that a line end and a capital part in it: 'Salt' and 'Borax' of a column are no salt of borax,
    but 'Rose' and 'Water' have that very name."""
    breaks = [at for at in range(spot.start + 1, spot.end) if run[at] - run[at - 1] > 1 and tokens[run[at]].text[:1].isupper()]
    if not breaks or fold(" ".join(words[spot.start : spot.end])) in index_in_use().exact:
        return (spot,)
    for at in breaks:
        halves = [(a, spots(words[a:b])) for a, b in ((spot.start, at), (at, spot.end))]
        if sum(part.end - part.start for _, parts in halves for part in parts) == spot.end - spot.start:
            return tuple(part._replace(start=part.start + a, end=part.end + a) for a, parts in halves for part in parts)
    return (spot,)


@cache
def _measuring() -> frozenset[str]:
    """The words of units, without those that name things too: 'cloves', of garlic or by themselves."""
    return frozenset(units()) - word_list("unit-before-of")


def _runs(tokens: list[Token]) -> Iterator[list[int]]:
    """Rows of words with nothing but blanks and line ends between them."""
    run: list[int] = []
    measuring, things = _measuring(), word_list("unit-or-thing")
    for i, token in enumerate(tokens):
        thing = token.word in things and run and tokens[i - 1].kind == "word" and tokens[i - 1].word not in numbers()
        if token.kind == "word" and (token.word not in measuring or thing):  # 'ox gall', but 'two gall'
            run.append(i)
            if token.dot and _ends_a_sentence(tokens, i):
                yield run
                run = []
        elif token.kind in _APART or token.kind == "word":
            if run:
                yield run
            run = []
    if run:
        yield run


def _ends_a_sentence(tokens: list[Token], i: int) -> bool:
    """Whether the word at token i, which has a stop, is a whole one and stands before a capital."""
    if len(tokens[i].text) < _SHORTEST_WORD or tokens[i].word in heads("before a genitive"):
        return False  # 'Flor. Chamaem.'
    after = [token for token in tokens[i + 1 : i + 6] if token.kind not in ("gap", "line")]
    following = after[0] if after else None
    if following is not None and following.dot and len(tokens[i].text) <= _ABBREVIATED:
        if after[1:] and after[1].kind != "word":
            return False  # 'Butyr. Antimon., 2 oz.': its stop ends no sentence either
        return not 2 < len(following.text) <= _ABBREVIATED and following.text[:1].isupper()  # 'Butyr. Antim.'
    return following is None or following.text[:1].isupper()
