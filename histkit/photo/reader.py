"""From a picture to its text: prepared, read by two engines, put together."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from histkit.base.errors import BadValue
from histkit.photo import engines
from histkit.photo.bending import bend_of, levelled
from histkit.photo.fractions import with_fractions
from histkit.photo.lines import in_order, items_of
from histkit.photo.marking import marked
from histkit.photo.nouns import Box, PhotoText, Picture, Word
from histkit.photo.pieces import overlooked, pieces_of, widened
from histkit.photo.preparing import Prepared, prepared
from histkit.photo.second import lines_with_second
from histkit.photo.setting import SetText, set_in_lines
from histkit.photo.signs import with_signs
from histkit.photo.witnesses import tells

if TYPE_CHECKING:
    from numpy.typing import NDArray

LEAST_FRAME = 16
"""Pixels of the shorter side of a frame in which anything can stand."""
SURE_PRINT = 0.8
"""Confidence of the first engine in its least sure letter, from which ink that its search has missed is taken for print."""
LIKELY_PRINT = 0.4
"""Confidence of the first engine on the whole, from which such ink is taken for print where it stands beside print."""
BENT = 0.4
"""Heights of a small letter by which lines fall, from which print is looked for once more on the levelled picture."""
_ASKED = 8
"""Stretches of print that are asked which way up they stand."""


def read_photo(picture: Picture, frame: Box | None = None) -> PhotoText:
    """The words within `frame` (the whole picture where it is None) as text, with their places on the whole picture.

    A page on which nothing is read gives an empty text. Raises BadValue where the frame lies outside the picture or is too
    small; HistkitError where the extra `photo` is not installed.
    """
    pixels, origin = _framed(picture, frame)
    ready, corners = _upright(pixels, origin)
    level = levelled(ready, bend_of(ready))
    if level.bend.most(ready.grey.shape) > BENT * level.letter:
        corners = engines.corners_of_print(level.colour)
    else:
        corners = level.bend.level(corners)
    pieces = pieces_of(level)
    quads = widened(corners, pieces, level.letter)
    found = engines.stretches(level.colour, quads)
    missed = engines.stretches(level.colour, overlooked(quads, pieces, level.letter))
    found += tuple(stretch for stretch in missed if _is_print(stretch, quads, level.letter))
    lines = in_order(items_of(found), level.letter)
    lines = with_signs(with_fractions(lines, pieces, level.colour, level.letter), pieces, level.ink, level.letter)
    told, unread = lines_with_second(lines, level)
    return _placed(set_in_lines(marked(told, pieces, level.letter), level.letter), unread, level, picture.size)


def _is_print(stretch: engines.Stretch, quads: NDArray[np.float64], letter: float) -> bool:
    """Whether what the search for print has missed is print: it tells something, and the engine is sure of it, or half sure where
    it stands on a line with print that was found."""
    if not any(tells(word.text) for word in stretch.words):
        return False
    level = float(stretch.corners[:, 1].mean())
    beside = bool((np.abs(quads[:, :, 1].mean(axis=1) - level) <= 0.5 * letter).any()) if len(quads) else False
    return min(word.confidence for word in stretch.words) >= SURE_PRINT or (beside and stretch.confidence >= LIKELY_PRINT)


def _framed(picture: Picture, frame: Box | None) -> tuple[NDArray[np.uint8], tuple[int, int]]:
    """The pixels within the frame, and where its left upper corner lies."""
    width, height = picture.size
    if frame is None:
        return np.asarray(picture.image.convert("RGB")), (0, 0)
    left, top = max(0, int(frame.left)), max(0, int(frame.top))
    right, bottom = min(width, int(frame.right)), min(height, int(frame.bottom))
    if min(right - left, bottom - top) < LEAST_FRAME:
        raise BadValue(
            f"the frame {frame.left},{frame.top},{frame.right},{frame.bottom} has too little of the picture in it, which has"
            f" {width} × {height} pixels: left,top,right,bottom, at least {LEAST_FRAME} apart"
        )
    return np.asarray(picture.image.crop((left, top, right, bottom)).convert("RGB")), (left, top)


def _upright(pixels: NDArray[np.uint8], origin: tuple[int, int]) -> tuple[Prepared, NDArray[np.float64]]:
    """The picture made ready, turned so that its print stands upright, and the corners of the stretches of print on it."""
    turns = 0
    ready = prepared(pixels, origin)
    corners = engines.corners_of_print(ready.colour)
    if _sideways(corners):
        turns = 1
        ready = prepared(pixels, origin, turns)
        corners = engines.corners_of_print(ready.colour)
    widest = corners[np.argsort(-np.ptp(corners[:, :, 0], axis=1), kind="stable")[:_ASKED]]
    if engines.turned_over(ready.colour, widest) > 0.5:
        ready = prepared(pixels, origin, turns + 2)
        corners = engines.corners_of_print(ready.colour)
    return ready, corners


def _sideways(corners: NDArray[np.float64]) -> bool:
    """Whether most stretches of print stand on end."""
    wide, high = np.ptp(corners[:, :, 0], axis=1), np.ptp(corners[:, :, 1], axis=1)
    return len(corners) >= 2 and int((high > 1.5 * wide).sum()) > len(corners) / 2


def _placed(text: SetText, unread: Sequence[engines.Seen], level: Prepared, size: tuple[int, int]) -> PhotoText:
    """Places on the prepared picture become places on the upright one."""
    words = tuple(Word(w.seen.text, _box(w.seen, level, size), _share(w.seen.confidence), w.start, w.end) for w in text.words)
    left = tuple(Word(seen.text, _box(seen, level, size), _share(seen.confidence), -1, -1) for seen in unread)
    return PhotoText(text.text, words, text.doubts, left, size, (engines.FIRST, engines.SECOND))


def _share(confidence: float) -> float:
    return round(min(1.0, max(0.0, confidence)), 3)


def _box(seen: engines.Seen, level: Prepared, size: tuple[int, int]) -> Box:
    corners = [[seen.left, seen.top], [seen.right, seen.top], [seen.right, seen.bottom], [seen.left, seen.bottom]]
    placed = level.back(np.array(corners, dtype=np.float64))
    (left, top), (right, bottom) = np.floor(placed.min(axis=0)).astype(int), np.ceil(placed.max(axis=0)).astype(int)
    left, top = min(max(0, int(left)), size[0] - 1), min(max(0, int(top)), size[1] - 1)
    return Box(left, top, max(left + 1, min(size[0], int(right))), max(top + 1, min(size[1], int(bottom))))
