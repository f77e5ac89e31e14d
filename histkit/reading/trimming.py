"""What of the words beside an amount is the name itself: without what only joins it, leads to it or follows it."""

from __future__ import annotations

from histkit.reading.figures import figure_at
from histkit.reading.vocabulary import OF, TO, connectives, direction_words, word_list
from histkit.reading.wording import Wording

Piece = tuple[int, int]
"""The tokens of a name: the first, and the one behind the last."""
_ANY = word_list("of-any-sort")
_WITH_OR_IN, _STEEPED, _ADDING = word_list("with-or-in"), word_list("steeped"), word_list("adding")


def ends_known(wording: Wording, name: Piece) -> bool:
    """Whether a known name ends where this one does."""
    return any(known.last == name[1] for known in wording.known_in(*name))


def trim(wording: Wording, a: int, b: int) -> Piece:
    """Without leading and trailing connectives, separators, 'take', braces."""
    while a < b and _only_leads(wording, a, b):
        a += 1
    while a < b and (behind := _only_follows(wording, a, b)):
        b -= behind
    return a, b


def _only_leads(wording: Wording, a: int, b: int) -> bool:
    """Whether token a, the first of a name that ends before b, is no part of it."""
    token = wording.tokens[a]
    if token.kind in ("gap", "line", "para", "brace", "other", "sign", "close", "sep"):
        return True
    tells = wording.is_direction(a) or token.word in _ADDING
    of_any_sort = token.word in _ANY and figure_at(wording.view, b) is not None  # 'any oil two ounces', but 'any kind of plums'
    of_any_sort = of_any_sort and OF.isdisjoint(wording.view.words[a:b])
    return token.word in connectives() or ((tells or of_any_sort) and wording.is_nominal(a + 1, b))


def _only_follows(wording: Wording, a: int, b: int) -> int:
    """How many of the last tokens of the name a…b are no part of it."""
    token = wording.tokens[b - 1]
    numbers_a_step = token.kind == "num" and b - 2 > a and wording.tokens[b - 2].kind == "line"  # at the head of the next line
    if token.kind in ("gap", "line", "para", "brace", "sep", "other", "ditto", "sign", "open") or numbers_a_step:
        return 1
    if token.word in connectives():
        return 1
    bracketed = wording.view.depth[b - 1] or token.kind == "close"
    if bracketed and not any(t.kind == "open" for t in wording.tokens[a:b]):
        return 1  # 'sage, if you can get it'
    if token.word in _STEEPED and wording.view.next_word(b) in _WITH_OR_IN and ends_known(wording, (a, b - 1)):
        return 1  # 'tannin dissolved in an ounce of glycerin'
    if b - 1 > a and wording.is_direction(b - 1) and figure_at(wording.view, b) and not ends_known(wording, (a, b)):
        return 1  # 'in one pint of alcohol dissolve 1 ounce of borax', but 'red precipitate an ounce'
    if b - 2 > a and wording.tokens[b - 2].word in TO and token.word in direction_words():
        return 2  # 'attar of rose to perfume'
    return 0
