"""What is asked of every drawing, on its frames: seen in the pixels and in what the template says of each piece of text."""

import io
import re

import numpy
from PIL import Image

from histkit.display import frames as drawing
from histkit.display import typesetting
from histkit.display.typography import curled


def words_of(frames):
    return " ".join(" ".join(frame.text() for frame in frames).split())


def letters(text):
    """Words as they are set, without blanks and without capitals: quotes are curled, CAPITALS are small capitals."""
    return re.sub(r"\s+", "", curled(text)).casefold()


def pixels(frame):
    return numpy.asarray(Image.open(io.BytesIO(drawing.to_bytes(frame, "png"))).convert("RGBA"))


def sound(frame, margin=0.05):
    """The size asked for, nothing outside the safe area, no text below the least size, nothing cut, no box for a letter."""
    drawn = pixels(frame)
    high, wide = drawn.shape[:2]
    assert (wide, high) == (frame.width, frame.height)
    across, down = int(margin * wide) - 1, int(margin * high) - 1
    around = drawn.copy()
    around[down : high - down, across : wide - across] = drawn[0, 0]
    assert (around == drawn[0, 0]).all(), f"{frame.title}: something stands outside the safe area"
    assert not frame.report["overflow"], f"{frame.title}: {frame.report}"
    least = frame.data["least"]
    for piece in frame.pieces():
        assert piece.size >= least - 1e-6, f"{frame.title}: {piece.words!r} has {piece.size} of {least}"
        assert all(c.isspace() or typesetting.covers(c) for c in piece.words), piece.words
