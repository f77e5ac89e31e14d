"""Invented photographs of swatches in a warm light, for the tests of shades: beside a card of colours, or between strips of grey."""

import io

import numpy as np
from PIL import Image

from histkit.shade import Colour

WARM = (1.0, 0.9, 0.7)
"""How much of red, green and blue the light gives."""


def png(pixels, light=WARM):
    """A PNG of linear pixels as a camera makes it in that light: encoded as sRGB (IEC 61966-2-1)."""
    lit = np.clip(pixels * np.array(light), 0, 1)
    encoded = np.where(lit <= 0.0031308, 12.92 * lit, 1.055 * lit ** (1 / 2.4) - 0.055)
    buffer = io.BytesIO()
    Image.fromarray(np.round(255 * encoded).astype(np.uint8)).save(buffer, "PNG")
    return buffer.getvalue()


def between_greys(colour, light=WARM, size=100):
    """The colour between two strips of an 18 per cent grey; three squares of `size` pixels."""
    pixels = np.full((size, 3 * size, 3), 0.18)
    pixels[:, size : 2 * size] = colour.channels
    return png(pixels, light)


def beside_a_card(card, colour, light=WARM, wide=100):
    """A card (name → L*, a*, b*) of two rows of three patches, `wide` pixels each, and the colour below it."""
    pixels = np.full((300, 3 * wide, 3), 0.2)
    for n, lab in enumerate(card.values()):
        row, column = divmod(n, 3)
        pixels[100 * row : 100 * row + 100, wide * column : wide * column + wide] = Colour(*lab).channels
    pixels[200:] = colour.channels
    return png(pixels, light)
