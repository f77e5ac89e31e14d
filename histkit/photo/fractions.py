"""Fractions by the shape of their ink: a figure over another with a bar between, or a small one before a slanted stroke and
another behind it. The small figures are then shown to the first engine one by one.

All lengths are pixels of the levelled picture.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from histkit.base import tables
from histkit.photo import engines
from histkit.photo.engines import Seen, cells_of
from histkit.photo.lines import PrintedLine
from histkit.photo.shapes import Edges, Ruling, around, on_line, piled, ruling_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.pieces import Pieces
    from histkit.photo.preparing import Pixels

@dataclass(frozen=True, slots=True)
class Shape:
    """Where a fraction stands, with its upper and its lower figure."""

    over: Edges
    under: Edges
    left: float
    right: float


@cache
def _in_use() -> frozenset[tuple[str, str]]:
    return frozenset((row["over"], row["under"]) for row in tables.read("photo/fractions"))


@cache
def _alike() -> dict[str, str]:
    return {row["seen"]: row["figure"] for row in tables.read("photo/figures")}


@cache
def _run_together() -> tuple[tuple[re.Pattern[str], str], ...]:
    return tuple((re.compile(row["seen"]), row["instead"]) for row in tables.read("photo/run_together"))


def with_fractions(lines: Sequence[PrintedLine], pieces: Pieces, colour: Pixels, letter: float) -> list[PrintedLine]:
    """The lines with their fractions read figure by figure, where both figures are read and make a fraction that was in use.

    Such a word keeps in `was` how it was read before, so that it is doubted whatever the second engine says. Elsewhere nothing
    is changed but readings in which the first engine is known to run a fraction together (`run_together.csv`).
    """
    made = []
    for line in lines:
        words = line.words
        own = on_line(pieces, line.level, line.left - letter, line.right + letter, letter)
        ruling = ruling_of(own, letter) if letter > 0 else None
        if ruling is not None:
            for shape in shapes_between(own, line.left, line.right, letter, ruling):
                words = _with_fraction(words, shape, own, colour, letter, ruling)
        made.append(replace(line, words=tuple(_parted(word) for word in words)))
    return made


def _parted(word: Seen) -> Seen:
    for pattern, instead in _run_together():
        text = pattern.sub(instead, word.text)
        if text != word.text and not word.was:
            return replace(word, text=text, was=word.text, cells=())
    return word


def _with_fraction(
    words: tuple[Seen, ...], shape: Shape, own: Pieces, colour: Pixels, letter: float, ruling: Ruling
) -> tuple[Seen, ...]:
    whole_box = _figures_before(shape, own, letter, ruling)
    boxes = (shape.over, shape.under, *([whole_box] if whole_box else []))
    over, under, *rest = (_figure(text) for text in engines.figures_alone(colour, boxes))
    if (over, under) not in _in_use() or (whole_box and not rest[0].isdecimal()):
        return words
    left = whole_box[0] if whole_box else shape.left
    top, bottom = min(shape.over[1], ruling.foot - 1.5 * letter), max(shape.under[3], ruling.foot)
    kept: list[Seen] = []
    was: list[str] = []
    for word in words:
        before, gone, after = _divided(word, left, shape.right, letter)
        was += [gone] if gone else []
        kept += [piece for piece in (before, after) if piece is not None]
    text = " ".join([*rest, f"{over}/{under}"])
    sure = min((word.confidence for word in words if word not in kept), default=0.5)
    fraction = Seen(text, left, top, shape.right, bottom, sure, (), " ".join(was) or "-")
    return tuple(sorted([*kept, fraction], key=lambda word: (word.left + word.right, word.text)))


def _figure(text: str) -> str:
    plain = text.strip(" .,'’‘")
    return "".join(_alike().get(letter, letter) for letter in plain)


def _figures_before(shape: Shape, own: Pieces, letter: float, ruling: Ruling) -> Edges | None:
    """Where the whole number stands before a fraction: the figures to its left, each within half a letter of the next."""
    edges = own.edges
    tall = (own.height >= 0.85 * letter) & (own.height <= 2.2 * letter) & (own.width <= 1.3 * letter)
    tall &= (edges[:, 3] >= ruling.foot - 0.25 * letter) & ((edges[:, 0] + edges[:, 2]) / 2 < shape.left)
    left = shape.left
    found: list[NDArray[np.float64]] = []
    for edge in edges[tall][np.argsort(-edges[tall][:, 2])]:
        if left - edge[2] <= 0.5 * letter and len(found) < 3:
            found.append(edge)
            left = min(left, float(edge[0]))
    return around(np.array(found)) if found else None


def _divided(word: Seen, left: float, right: float, letter: float) -> tuple[Seen | None, str, Seen | None]:
    """A word without what stands between two places: what is left before it, the letters that are gone, what is left behind."""
    reach = 0.3 * letter
    if word.right <= left or word.left >= right or word.was:
        return word, "", None
    cells = cells_of(word)
    middles = [(a + b) / 2 for a, b in cells]
    gone = [
        n
        for n, (sign, x) in enumerate(zip(word.text, middles, strict=False))
        if left - reach <= x <= right + reach and (not _is_letter(sign) or (sign in _alike() and left <= x <= right))
    ]
    if not gone:
        return word, "", None
    first, last = gone[0], gone[-1]
    return _piece(word, cells, 0, first), word.text[first : last + 1], _piece(word, cells, last + 1, len(word.text))


def _is_letter(sign: str) -> bool:
    """Whether it is a letter of a word; 'ª' is none, which the engine makes of a raised figure."""
    return unicodedata.category(sign) in ("Lu", "Ll")


def _piece(word: Seen, cells: Sequence[tuple[float, float]], first: int, last: int) -> Seen | None:
    if first >= last:
        return None
    own = tuple(cells[first:last])
    return replace(word, text=word.text[first:last], left=own[0][0], right=own[-1][1], cells=own)


def shapes_between(pieces: Pieces, left: float, right: float, letter: float, ruling: Ruling) -> list[Shape]:
    """The fractions between two places across."""
    middle = (pieces.edges[:, 0] + pieces.edges[:, 2]) / 2
    inside = pieces.chosen((middle >= left - 0.4 * letter) & (middle <= right + 0.4 * letter))
    stacked = [Shape(over, under, bar[0], bar[2]) for bar, over, under in piled(inside, letter, ruling)]
    return [*stacked, *_slanted(inside, letter, ruling)]


def _slanted(inside: Pieces, letter: float, ruling: Ruling) -> list[Shape]:
    edges = inside.edges
    strokes = (inside.height >= 0.9 * letter) & (inside.width >= 0.3 * letter) & (inside.width <= 1.5 * letter)
    strokes &= inside.area <= 0.42 * inside.width * inside.height
    found = []
    for stroke in edges[strokes]:
        middle = (stroke[0] + stroke[2]) / 2
        x = (edges[:, 0] + edges[:, 2]) / 2
        small = (inside.height >= 0.4 * letter) & (inside.height <= 1.1 * letter) & (inside.width <= 1.0 * letter)
        raised = small & (x < middle) & (x > stroke[0] - 0.9 * letter) & (edges[:, 3] <= ruling.foot - 0.4 * letter)
        low = small & (x > middle) & (x < stroke[2] + 0.9 * letter) & (edges[:, 3] >= ruling.foot - 0.2 * letter)
        low &= edges[:, 1] >= ruling.foot - 1.05 * letter
        if raised.any() and low.any():
            over, under = around(edges[raised]), around(edges[low])
            found.append(Shape(over, under, over[0], under[2]))
    return found
