"""An invented page as a picture, and what a reading of it gives, words and places known: for tests that need no reading."""

from io import BytesIO
from pathlib import Path

import matplotlib
from PIL import Image, ImageDraw, ImageFont

from histkit.photo.nouns import Box, PhotoDoubt, PhotoText, Word

LINES = ("WHITE POWDER.", "Venetian talc, 4 oz.", "Rice starch, 2 oz.", "Zinc oxide, 1½ oz.", "Orris root, 3 drachms.", "Mix and sift well.")
SIZE = (900, 560)
_FACE = Path(matplotlib.get_data_path()) / "fonts" / "ttf" / "DejaVuSerif.ttf"


def _placed(lines):
    """(word, its box, number of its line) of every word."""
    face = ImageFont.truetype(str(_FACE), 34)
    space = face.getlength(" ")
    for number, line in enumerate(lines):
        left, top = 120.0, 60 + 70 * number
        for word in line.split():
            width = face.getlength(word)
            yield word, Box(round(left), top, round(left + width), top + 42), number
            left += width + space


def page(lines=LINES, turned=0):
    """A PNG of the page; `turned` quarters to the left."""
    image = Image.new("RGB", SIZE, (244, 236, 220))
    draw, face = ImageDraw.Draw(image), ImageFont.truetype(str(_FACE), 34)
    for word, box, _ in _placed(lines):
        draw.text((box.left, box.top), word, fill=(30, 26, 22), font=face)
    buffer = BytesIO()
    image.rotate(90 * turned, expand=True).save(buffer, "PNG")
    return buffer.getvalue()


def seen(read=LINES, printed=LINES, other=(("1½", "12"),), stray=()):
    """What a reading gave, line for line and word for word as many as are printed. `other` are words of which the second reading
    had something else, `stray` words that were seen in no line: (text, box)."""
    places = list(_placed(printed))
    words, text, doubts, at = [], "", [], 0
    for number, line in enumerate(read):
        text += "\n" if number else ""
        for n, word in enumerate(line.split()):
            text += " " if n else ""
            words.append(Word(word, places[at][1], 0.93, len(text), len(text) + len(word)))
            doubts += [PhotoDoubt(len(text), len(text) + len(word), "amount", word, second) for first, second in other if first == word]
            text += word
            at += 1
    unread = tuple(Word(word, box, 0.4, -1, -1) for word, box in stray)
    return PhotoText(text, tuple(words), tuple(doubts), unread, SIZE, ("invented", "by hand"))
