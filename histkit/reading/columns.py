"""Plain columns read at once: 'Rice starch ..... 4 oz.' line by line, when the whole list is of that kind.

Many books print nothing else, and such a list needs none of the looking about that sentences need. Nothing is decided here
that `reader` would decide otherwise (a property test holds the two together): a list that has any word, sign, figure or
arrangement of which more could be said is left to it. What each figure, unit and name means is asked of the tokens, tables
and `naming` like everywhere else, and remembered, since the same few hundred of them fill a book.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import pairwise

from histkit.reading.cleaning import is_clean
from histkit.reading.damage import is_collapsed
from histkit.reading.formula import Line
from histkit.reading.measuring import plain_units
from histkit.reading.naming import tidied
from histkit.reading.numerals import LETTERS
from histkit.reading.tokens import GLYPHS, tokenise
from histkit.reading.view import phrases_by_first_word
from histkit.reading.vocabulary import (
    OF,
    TAKE,
    connectives,
    direction_words,
    modifiers,
    numbers,
    other_units,
    pattern,
    table,
    units,
    units_before_numerals,
    word_list,
)
from histkit.reading.worded import PURPOSES

_WORD = r"[^\W\d_]+(?:[-'][^\W\d_]+)*"
_WORDS = rf"{_WORD}(?:[ ]{_WORD}){{0,9}}"
_NAME = rf"{_WORD}(?:,?[ ]{_WORD}|[ ]\({_WORDS}\)){{0,9}}"
_LEADERS = r"\.{2,}|(?:\.[ ]){3,}"
_ROW = re.compile(
    rf"""
    [ ]*(?:(?P<name>{_NAME})(?:,?[ ]{{2,}}|,?[ ]*(?:{_LEADERS})[ ]*)|(?P<short>{_WORDS}),[ ])
    (?P<figure>[{GLYPHS}]|\d[\d/{GLYPHS} .,-]*)[ ](?P<unit>[a-z]{{2,}})\.?[;,]?(?P<end>)[ ]*(?:\n|\Z)
    """,
    re.VERBOSE,
)
_BLANK_LINES = re.compile(r"\n[ ]*\n")
_MEANING_MORE_THAN_ONE = word_list("grain-or-gram") | word_list("unit-before-of")
"""Units that are none, or another one, where nothing else stands with them."""
_LEAST_THOUSAND = 1000.0
_REMEMBERED = 16_384
"""Different names kept at once: more than one book prints, and about 4 MB."""


@dataclass(frozen=True, slots=True)
class Columns:
    """The lines of a plain list, with `text[:start]` above it and `text[end:]` below it."""

    lines: list[Line]
    start: int
    end: int


def plain_columns(text: str) -> Columns | None:
    """The plain list that a text begins with, or that follows its first blank line; None for any other text.

    The list ends with a blank line or with the text.
    """
    lines: list[Line] = []
    above = None if _ROW.match(text) else _BLANK_LINES.search(text)
    begin = place = above.end() if above else 0
    while (row := _ROW.match(text, place)) is not None:
        group = "name" if row.start("name") >= 0 else "short"
        printed, figure, word = row.group(group, "figure", "unit")
        named, amount, unit = _name(printed), _amount(figure), _unit(word)
        if named is None or not amount or unit is None:
            return None
        start, end = row.start(group), row.end("end")
        ingredient, modifier, strength = named
        lines.append(
            Line(
                text[start:end],
                (start, end),
                amount * unit[1],
                unit[0],
                ingredient,
                modifier,
                strength=strength,
            )
        )
        place = row.end()
    ends = place == len(text) or _BLANK_LINES.match(text, place - 1)
    if (
        not lines
        or not ends
        or not is_clean(text)
        or any(pattern("by-measure-or-weight").search(part) for part in (text[:begin], text[place:]))
    ):
        return None
    return Columns(lines, begin, place)


@lru_cache(maxsize=_REMEMBERED)
def _amount(figure: str) -> float:
    """The value of a printed figure; 0 for anything that is not one plain figure, or a decimal in another country ('1,250')."""
    tokens = tokenise(figure)
    plain = len(tokens) == 1 and tokens[0].kind == "num" and not tokens[0].damaged and not is_collapsed(tokens[0])
    plain = plain and ("," not in figure or tokens[0].value < _LEAST_THOUSAND)
    return tokens[0].value if plain else 0.0


@lru_cache(maxsize=_REMEMBERED)
def _unit(word: str) -> tuple[str, float] | None:
    """The unit and factor of a word that means one unit wherever it stands. 'gr.' is none: a grain here, a gramme there."""
    entry = plain_units().get(word)
    if entry is None or word in _MEANING_MORE_THAN_ONE or LETTERS.issuperset(word):
        return None
    return entry.unit, entry.factor


@lru_cache(maxsize=_REMEMBERED)
def _name(printed: str) -> tuple[str, str, str] | None:
    """The name, its modifiers and its grade, if every word of it does nothing but name; None otherwise."""
    tokens = tokenise(printed)
    if tokens[0].kind != "word" or tokens[0].word in OF or tokens[-1].word in OF or printed.count(",") > 1:
        return None
    depth = 0
    for before, token in pairwise((None, *tokens)):
        assert token is not None
        depth += (token.kind == "open") - (token.kind == "close")
        if token.kind != "word":
            if token.kind not in ("open", "close") and token.text != ",":
                return None
        elif token.dot or token.text.isupper():
            return None
        elif token.word in _verbs():  # 'Starch powder', 'Violet cut' where it ends the name; else it may tell what to do
            if token is not tokens[-1] or before is None or before.kind != "word" or before.word in _verbs():
                return None
        elif token.word not in OF and not _only_names(token.word):
            return None
    return tidied(printed)


def _only_names(word: str) -> bool:
    """Whether a word can be no figure, no unit and no part of what is said about an amount or to the maker."""
    pieces = (word, *re.split("[-']", word))
    if word.startswith(PURPOSES):
        return False
    return all(len(piece) > 1 and not LETTERS.issuperset(piece) and piece not in _meaning_more() for piece in pieces)


@cache
def _verbs() -> frozenset[str]:
    verbs = {word for word, kind in direction_words().items() if kind == "verb"}
    return frozenset(verbs.difference(modifiers(), connectives(), TAKE, word_list("range-of-numerals")))


@cache
def _meaning_more() -> frozenset[str]:
    """The words of all tables that mean something in a formula besides being part of a name."""
    telling = {word for word, kind in direction_words().items() if kind != "participle" and word not in modifiers()}
    sharing = {word for row in table("phrases") if row["kind"] in ("each", "equal") for word in row["phrase"].split()}
    tables = (
        telling,
        sharing,
        connectives(),
        phrases_by_first_word(),
        numbers(),
        units_before_numerals(),
        units(),
        other_units(),
    )
    kinds = map(
        word_list,
        (
            "adding",
            "after-a-known-name",
            "after-verb",
            "all-of-it",
            "anew",
            "before-numeral",
            "means-more",
            "no-name",
            "not-before-figure",
            "range-of-numerals",
            "refers",
            "supposes",
            "takes-in",
            "tells-use",
            "to",
            "whole",
        ),
    )
    return frozenset().union(*tables, *kinds)
