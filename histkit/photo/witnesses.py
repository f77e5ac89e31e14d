"""Two engines as witnesses: the words of both laid beside each other by place, and what is taken where they differ."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

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
_LEADERS = re.compile(r"[.·•…_‥]{2,}|(?<=\w)[·•…_](?=\s|$)")
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
    """The line as both witnesses tell it; `second` are the words that the second engine saw on it, from left to right."""
    groups = _grouped(line.words, second)
    return [_judged(first, other) for first, other in groups]


def _grouped(first: Sequence[Seen], second: Sequence[Seen]) -> list[tuple[tuple[Seen, ...], tuple[Seen, ...]]]:
    """The words of both in groups that overlap each other and no further word."""
    everything = sorted([(word, 0) for word in first] + [(word, 1) for word in second], key=lambda pair: (pair[0].left, pair[1]))
    groups: list[tuple[list[Seen], list[Seen]]] = []
    ends = -1.0
    for word, witness in everything:
        width = word.right - word.left
        slack = min(0.3 * width, 6.0)
        others = groups[-1][1 - witness] if groups else []
        overlaps = any(_shared(word, other) > 0.3 * min(width, other.right - other.left) for other in others)
        inside = groups and word.left < ends - slack and any(_shared(word, other) > 0.5 * width for other in others)
        if overlaps or inside:
            groups[-1][witness].append(word)
            ends = max(ends, word.right)
        else:
            groups.append(([word], []) if witness == 0 else ([], [word]))
            ends = word.right
    return [(tuple(one), tuple(other)) for one, other in groups]


def _shared(one: Seen, other: Seen) -> float:
    return min(one.right, other.right) - max(one.left, other.left)


def _judged(first: tuple[Seen, ...], second: tuple[Seen, ...]) -> Testified:
    if not first:
        return Testified(second, "one only", first=False)
    one, other = _said(first), _said(second)
    if not second:
        doubt = "one only" if tells(one) else ""
        return Testified(first, doubt)
    if _same(one, other):
        unsure = min(word.confidence for word in first) < UNSURE
        return Testified(_spaced(first, second), "uncertain" if unsure and tells(one) else "")
    if not _bare(other):
        return Testified(first, "one only" if is_amount(one) else "")
    if not _bare(one):
        return Testified(second, "amount" if is_amount(other) else "word", one)
    kind = "amount" if is_amount(one) or is_amount(other) else "word"
    taken = _taken(one, other, first, second)
    return Testified(first, kind, other) if taken else Testified(second, kind, one)


def _said(words: Sequence[Seen]) -> str:
    return " ".join(word.text for word in words)


def _bare(text: str) -> str:
    """What a text says, without leaders, blanks, points at its ends and the difference of capitals."""
    plain = unicodedata.normalize("NFKD", _LEADERS.sub(" ", text)).casefold()
    return "".join(piece.strip(_EDGES) for piece in plain.split())


def _same(one: str, other: str) -> bool:
    return _bare(one) == _bare(other)


def tells(text: str) -> bool:
    return any(letter.isalnum() for letter in text)


def is_amount(text: str) -> bool:
    """Whether there are figures, signs, numbers or units in it."""
    return any(
        token.kind in ("num", "sign") or token.word in units() or token.word in numbers()
        for token in tokenise(_LEADERS.sub(" ", text).strip())
    ) or any(letter.isdigit() or unicodedata.category(letter) == "No" for letter in text)


def _spaced(first: tuple[Seen, ...], second: tuple[Seen, ...]) -> tuple[Seen, ...]:
    """Where both read the same letters: the words as divided by the second engine, which measures blanks, unless it divides less."""
    return second if len(second) > len(first) else first


@cache
def _trust() -> dict[tuple[str, str], str]:
    return {(row["first"], row["second"]): row["taken"] for row in tables.read("photo/trust")}


def _class_of(text: str) -> str:
    bare = _bare(text)
    if any(letter.isdigit() or unicodedata.category(letter) == "No" for letter in text):
        return "figure"
    return "letters" if bare and all(letter.isalpha() for letter in bare) else "sign"


def _taken(one: str, other: str, first: Sequence[Seen], second: Sequence[Seen]) -> bool:
    """Whether the first engine is believed."""
    rule = _trust().get((_class_of(one), _class_of(other)), "first")
    if rule != "known":
        return rule == "first"
    unknown, other_unknown = _strange(one), _strange(other)
    if unknown != other_unknown:
        return unknown < other_unknown
    return _sureness(first) + 0.1 >= _sureness(second)


def _strange(text: str) -> int:
    """How many words of it nobody knows."""
    words = [word.strip(_EDGES).casefold() for word in text.split()]
    return sum(bool(word) and word not in known_words() for word in words)


def _sureness(words: Sequence[Seen]) -> float:
    return min(word.confidence for word in words)
