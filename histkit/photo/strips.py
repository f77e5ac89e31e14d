"""A stretch of the picture to look at beside what was read there, and places on the picture as shares of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING

from histkit.photo.nouns import Box, PhotoText

if TYPE_CHECKING:
    from PIL import Image

LINE, LEAST_LINE = 44, 24
"""Pixels that a printed line is high in a strip, and that it is high at least where there is little room (own judgement)."""
WIDEST, ENLARGED = 1800, 4.0
"""Pixels that a strip is wide at most, and how many times it is enlarged at most."""
AROUND = 0.7
"""How much of the neighbours is seen above and below, in heights of a printed line: enough to see where on the page it is."""
INK = (23, 92, 120)


@dataclass(frozen=True, slots=True)
class Strip:
    """A JPEG picture with the words in question framed; `least` is the width in pixels below which it is hard to read."""

    jpeg: bytes
    width: int
    height: int
    least: int


def strip_of(picture: Image.Image, boxes: Sequence[Box], reach: Box) -> Strip:
    """The strip of the picture where `boxes` stand, a box for each printed line, across the whole width of `reach`: an amount
    that nobody read is seen too.
    """
    from PIL import Image, ImageDraw

    line = sorted(box.height for box in boxes)[len(boxes) // 2]
    left, right = min(reach.left, *(b.left for b in boxes)), max(reach.right, *(b.right for b in boxes))
    margin = round(AROUND * line)
    top, bottom = min(b.top for b in boxes) - margin, max(b.bottom for b in boxes) + margin
    left, top, right, bottom = max(0, left - margin), max(0, top), min(picture.width, right + margin), min(picture.height, bottom)
    scale = min(ENLARGED, LINE / max(1, line), WIDEST / max(1, right - left))
    cut = picture.crop((left, top, right, bottom)).convert("RGB")
    size = (max(1, round(scale * cut.width)), max(1, round(scale * cut.height)))
    shown = cut.resize(size, Image.Resampling.LANCZOS)
    draw, gap = ImageDraw.Draw(shown), 0.16 * line
    for box in boxes:
        edges = (box.left - gap - left, box.top - gap - top, box.right + gap - left, box.bottom + gap - top)
        draw.rounded_rectangle([scale * edge for edge in edges], radius=5, outline=INK, width=2)
    return Strip(jpeg_of(shown, 82), *size, round(size[0] * LEAST_LINE / max(1.0, scale * line)))


def jpeg_of(picture: Image.Image, quality: int = 90) -> bytes:
    """A picture as a JPEG file, without whatever a camera notes in one (place, time, name)."""
    buffer = BytesIO()
    picture.convert("RGB").save(buffer, "JPEG", quality=quality)
    return buffer.getvalue()


def smaller(picture: Image.Image, most: int) -> Image.Image:
    """The picture with no side longer than so many pixels."""
    copy = picture.copy()
    copy.thumbnail((most, most))
    return copy


def reach_of(seen: PhotoText, frame: Box | None) -> Box:
    """The frame that was drawn; where there was none, as far as words were read."""
    boxes = [word.box for word in (*seen.words, *seen.unread)]
    if frame is not None or not boxes:
        return frame or Box(0, 0, max(1, seen.size[0]), max(1, seen.size[1]))
    return Box(min(b.left for b in boxes), min(b.top for b in boxes), max(b.right for b in boxes), max(b.bottom for b in boxes))


def shares(box: Box, size: tuple[int, int]) -> dict[str, float]:
    """A box as shares (0–1) of a picture of that size."""
    across, down = size
    figures = {"left": box.left / across, "top": box.top / down, "right": box.right / across, "bottom": box.bottom / down}
    return {side: min(1.0, max(0.0, share)) for side, share in figures.items()}


def frame_of(drawn: dict[str, float], size: tuple[int, int]) -> Box | None:
    """A frame of shares as pixels; None where it is the whole picture."""
    across, down = size
    left, right = (round(min(1.0, max(0.0, drawn[side])) * across) for side in ("left", "right"))
    top, bottom = (round(min(1.0, max(0.0, drawn[side])) * down) for side in ("top", "bottom"))
    whole = (left, top, right, bottom) == (0, 0, across, down)
    return None if whole else Box(left, top, max(right, left + 1), max(bottom, top + 1))
