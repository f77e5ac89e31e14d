"""Words set as text for the reader, each with its place in it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from statistics import median_low

from histkit.photo.engines import Seen
from histkit.photo.nouns import PhotoDoubt
from histkit.photo.witnesses import Told

WIDE_GAP = 2.6
"""Blank between two words, in heights of a small letter, from which they stand in two columns of a list."""
NEW_PARAGRAPH = 1.5
"""Distance of two lines, in usual distances, from which there is a blank line between them."""
_GAP = "    "
_LEADERS = re.compile(r"[.·•…_‥]{2,}")


@dataclass(frozen=True, slots=True)
class SetWord:
    """A word and its place in the text."""

    seen: Seen
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class SetText:
    """A text, the places of its words, and its doubts."""

    text: str
    words: tuple[SetWord, ...]
    doubts: tuple[PhotoDoubt, ...]


def set_in_lines(told: Sequence[Told], letter: float) -> SetText:
    """The lines as text: a blank between words, several where the print leaves a wide one, an empty line between paragraphs."""
    text = ""
    words: list[SetWord] = []
    doubts: list[PhotoDoubt] = []
    pitch = _pitch(told)
    above: Told | None = None
    for line in told:
        if above is not None:
            apart = line.line.column != above.line.column or line.line.level - above.line.level > NEW_PARAGRAPH * pitch
            text += "\n\n" if apart and text else "\n" if text else ""
        above = line
        edge: float | None = None
        for group in line.groups:
            start = None
            for word in group.words:
                shown = _LEADERS.sub("", word.text)
                if not shown:
                    edge = edge if edge is not None else word.left
                    continue
                if edge is not None and text and not text.endswith("\n"):
                    text += _GAP if word.left - edge > WIDE_GAP * (letter or 20.0) else " "
                start = len(text) if start is None else start
                words.append(SetWord(_renamed(word, shown), len(text), len(text) + len(shown)))
                text += shown
                edge = word.right
            if group.doubt and start is not None:
                doubts.append(PhotoDoubt(start, len(text), group.doubt, text[start:], group.other))
    return SetText(text, tuple(words), tuple(doubts))


def _renamed(word: Seen, text: str) -> Seen:
    return Seen(text, word.left, word.top, word.right, word.bottom, word.confidence)


def _pitch(told: Sequence[Told]) -> float:
    """The usual distance of a line from the one above it."""
    steps = [
        below.line.level - line.line.level
        for line, below in pairwise(told)
        if line.line.column == below.line.column and below.line.level > line.line.level
    ]
    return median_low(steps) if steps else float("inf")
