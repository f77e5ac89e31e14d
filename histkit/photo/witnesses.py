"""Two engines as witnesses: the words of both laid beside each other by place, and what is taken where they differ."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from difflib import SequenceMatcher
from functools import cache

from rapidfuzz import fuzz

from histkit.base import tables
from histkit.photo.engines import Seen
from histkit.photo.known_words import known_words
from histkit.photo.lines import PrintedLine
from histkit.reading.tokens import tokenise
from histkit.reading.vocabulary import numbers, units

UNSURE = 0.5
"""Confidence of the first engine in its least sure letter, below which the word is doubtful though both agree."""
SURE_ALONE = 0.55
"""Confidence of the second engine from which a word that it alone saw is taken into the text."""
MISSPELT = 60
"""Likeness, 0 to 100, from which a word that nobody knows is a known word misread."""
_LEADERS = re.compile(r"[.·•…_‥]{2,}|(?<=\w)[·•…_](?=\s|$)")
_DASHES = re.compile(r"[—–]+")
_QUOTES = str.maketrans("‘’`", "'''")
_EDGES = ".,;:'\"`‘’“”|-—–_·• "


@dataclass(frozen=True, slots=True)
class Testified:
    """A stretch of a line: what is taken for its words (left to right), the kind of its doubt ("" for none), and what else it
    may be."""

    words: tuple[Seen, ...]
    doubt: str = ""
    other: str = ""
    first: bool = True
    """Whether the first engine saw anything here."""


@dataclass(frozen=True, slots=True)
class Told:
    """A printed line with what both witnesses tell of it."""

    line: PrintedLine
    groups: tuple[Testified, ...]


def laid_beside(line: PrintedLine, second: Sequence[Seen]) -> list[Testified]:
    """The line as both witnesses tell it; `second` are the words that the second engine saw on it, from left to right.

    Words on which both agree hold the rest in its place: what lies between two of them is laid beside each other by its boxes.
    """
    first = line.words
    matcher = SequenceMatcher(None, [_bare(word.text) for word in first], [_bare(word.text) for word in second], autojunk=False)
    told: list[Testified] = []
    for tag, begins, ends, others_begin, others_end in matcher.get_opcodes():
        pairs = zip(range(begins, ends), range(others_begin, others_end), strict=False)
        agreed = tag == "equal" and all(_near(first[n], second[m]) for n, m in pairs)
        if agreed:
            told += [_judged((first[n],), (second[n - begins + others_begin],)) for n in range(begins, ends)]
        else:
            told += [_judged(one, other) for one, other in _grouped(first[begins:ends], second[others_begin:others_end])]
    return told


def _near(one: Seen, other: Seen) -> bool:
    """Whether two words stand at about one place: the first engine's places drift a little on long lines."""
    return abs(one.left + one.right - other.left - other.right) / 2 <= max(1.5 * (one.bottom - one.top), one.right - one.left)


def _grouped(first: Sequence[Seen], second: Sequence[Seen]) -> list[tuple[tuple[Seen, ...], tuple[Seen, ...]]]:
    """The words of both in groups that overlap each other and no further word."""
    everything = sorted([(word, 0) for word in first] + [(word, 1) for word in second], key=lambda pair: (pair[0].left, pair[1]))
    groups: list[tuple[list[Seen], list[Seen]]] = []
    for word, witness in everything:
        width = word.right - word.left
        others = groups[-1][1 - witness] if groups else []
        if any(_shared(word, other) > 0.35 * min(width, other.right - other.left) for other in others):
            groups[-1][witness].append(word)
        else:
            groups.append(([word], []) if witness == 0 else ([], [word]))
    return [(tuple(one), tuple(other)) for one, other in groups]


def _shared(one: Seen, other: Seen) -> float:
    return min(one.right, other.right) - max(one.left, other.left)


def _judged(first: tuple[Seen, ...], second: tuple[Seen, ...]) -> Testified:
    if not first:
        return Testified(second, "one only", first=False)
    one, other = _said(first), _said(second)
    if any(word.was for word in first):
        before = (word.was.strip("-") if word.was else word.text for word in first)
        kind = next(word.kind for word in first if word.was)
        return Testified(first, kind, " ".join(filter(None, before)))
    if not second:
        doubt = "one only" if tells(one) else ""
        return Testified(first, doubt)
    if _same(one, other):
        unsure = min(word.confidence for word in first) < UNSURE
        return Testified(_spaced(first, second), "uncertain" if unsure and tells(one) else "")
    taken = _taken(one, other, first, second)
    words, said, denied = (first, one, other) if taken else (second, other, one)
    doubt = _difference(said, denied)
    return Testified(words, doubt, denied if doubt else "")


def _difference(taken: str, other: str) -> str:
    """The kind of doubt where two readings differ; none where a known word stands against a misspelling of it, or against
    the same shapes taken for other letters ('lb.' and '1b.')."""
    if _alike(taken, other) and _strange(taken) == 0:
        return ""
    if _figures(taken) != _figures(other):
        return "amount"
    if not _figures(taken) and _strange(taken) == 0 < _strange(other) and fuzz.ratio(_bare(taken), _bare(other)) >= MISSPELT:
        return ""
    return "amount" if is_amount(taken) or is_amount(other) else "word"


def _figures(text: str) -> str:
    return "".join(letter for letter in text if letter.isdigit() or unicodedata.category(letter) == "No")


def _alike(one: str, other: str) -> bool:
    """Whether two readings are of the same shapes, letters and figures that look alike being one."""
    return _bare(one).translate(_shapes()) == _bare(other).translate(_shapes())


@cache
def _shapes() -> dict[int, str]:
    return {ord(row["seen"].casefold()): row["figure"] for row in tables.read("photo/figures")}


def _said(words: Sequence[Seen]) -> str:
    return " ".join(word.text for word in words)


def _bare(text: str) -> str:
    """What a text says, without leaders, blanks, points at its ends and the difference of capitals."""
    plain = unicodedata.normalize("NFKD", _LEADERS.sub(" ", text)).casefold().translate(_QUOTES)
    return "".join(piece.strip(_EDGES) for piece in plain.split())


def _same(one: str, other: str) -> bool:
    return _bare(one) == _bare(other)


def tells(text: str) -> bool:
    return any(letter.isalnum() for letter in text)


def is_amount(text: str) -> bool:
    """Whether there are figures, signs, numbers or units in it."""
    tokens = tokenise(_LEADERS.sub(" ", text).strip())
    counted = any(t.kind in ("num", "sign") or t.word in units() or t.word in _number_words() for t in tokens)
    return counted or bool(_figures(text))


@cache
def _number_words() -> frozenset[str]:
    """Words for numbers, without the articles."""
    return frozenset(word for word, number in numbers().items() if number.kind != "article")


def _spaced(first: tuple[Seen, ...], second: tuple[Seen, ...]) -> tuple[Seen, ...]:
    """Where both read the same letters: as divided by the second engine, which measures blanks, unless it divides less."""
    return second if len(second) > len(first) else first


@cache
def _trust() -> dict[tuple[str, str], str]:
    return {(row["first"], row["second"]): row["taken"] for row in tables.read("photo/trust")}


def _class_of(text: str) -> str:
    bare = _bare(text)
    if _figures(text):
        return "figure"
    return "letters" if bare and all(letter.isalpha() for letter in bare) else "sign"


def _taken(one: str, other: str, first: Sequence[Seen], second: Sequence[Seen]) -> bool:
    """Whether the first engine is believed."""
    if _alike(one, other) and (_strange(one) == 0) != (_strange(other) == 0):
        return _strange(one) == 0
    rule = _trust().get((_class_of(one), _class_of(other)), "first")
    if rule != "known":
        return rule == "first"
    unknown, other_unknown = _strange(one), _strange(other)
    if unknown != other_unknown:
        return unknown < other_unknown
    return _sureness(first) + 0.1 >= _sureness(second)


def _strange(text: str) -> int:
    """How many words of it nobody knows; figures are known."""
    words = [word.strip(_EDGES).casefold().translate(_QUOTES) for word in _DASHES.sub(" ", text).split()]
    return sum(bool(word) and not word.isdecimal() and word not in known_words() for word in words)


def _sureness(words: Sequence[Seen]) -> float:
    return min(word.confidence for word in words)
