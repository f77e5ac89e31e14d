"""Measuring and wrapping text in the one typeface that has all the signs: DejaVu Sans, which comes with Matplotlib.

It holds the signs of the apothecaries (℥ ʒ ℈ ℔ ♏ ℞), the vulgar fractions and the letters of old prints in all four faces.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from histkit.base.text import clean

if TYPE_CHECKING:
    from matplotlib.font_manager import FontProperties

Face = Literal["regular", "bold", "oblique"]

_FILES = {"regular": "DejaVuSans.ttf", "bold": "DejaVuSans-Bold.ttf", "oblique": "DejaVuSans-Oblique.ttf"}
HELD = "\u00a0"
"""A space at which no line is broken."""
_TOGETHER = re.compile(r"(?:(?<=[\d½⅓⅔¼¾⅛⅜⅝⅞])|(?<=\bp\.)|(?<=\bpp\.)) (?=\S)")
_BREAKS = re.compile(r"[^\S\u00a0]+")
_REFERENCE = 512
ASCENT, DESCENT = 0.93, 0.24
"""How far the face reaches above and below its baseline, in ems (the file's own hhea table: 0.928 and 0.236)."""
_SLACK = 1.012
"""Hinting at small sizes may widen a line by about one per cent."""


@cache
def font_path(face: Face) -> Path:
    """Where the face lies on this machine: inside Matplotlib, so that it is everywhere the same."""
    import matplotlib

    return Path(matplotlib.get_data_path()) / "fonts" / "ttf" / _FILES[face]


@cache
def properties(face: Face) -> FontProperties:
    from matplotlib.font_manager import FontProperties

    return FontProperties(fname=str(font_path(face)))


@cache
def _measure(face: Face) -> Any:
    from PIL import ImageFont

    return ImageFont.truetype(str(font_path(face)), _REFERENCE, layout_engine=ImageFont.Layout.BASIC)


@lru_cache(maxsize=50_000)
def _unit_width(text: str, face: Face) -> float:
    return float(_measure(face).getlength(text)) / _REFERENCE * _SLACK


def width(text: str, size: float, face: Face = "regular") -> float:
    """Width of a line of text in pixels at `size` pixels per em."""
    return _unit_width(text, face) * size


@lru_cache(maxsize=4096)
def _has_glyph(character: str) -> bool:
    from matplotlib.font_manager import get_font

    return bool(get_font(str(font_path("regular"))).get_char_index(ord(character)))


def drawable(text: str) -> str:
    """`text` on one line, with only characters that the face has: others are taken apart, or else shown as �.

    A figure is held to the word behind it ('2 oz.', 'p. 43'), so that no line ends between them.
    """
    out = []
    for character in _TOGETHER.sub(HELD, _BREAKS.sub(" ", clean(text)).strip()):
        if character.isascii() or character == HELD or _has_glyph(character):
            out.append(character)
            continue
        apart = [c for c in unicodedata.normalize("NFKD", character) if _has_glyph(c) and not unicodedata.combining(c)]
        out.append("".join(apart) or "\N{REPLACEMENT CHARACTER}")
    return "".join(out)


def plain(text: str) -> str:
    """`text` as it is drawn, with ordinary spaces: for descriptions and metadata."""
    return drawable(text).replace(HELD, " ")


def wrap(text: str, size: float, room: float, face: Face = "regular") -> list[str]:
    """`text` in lines of at most `room` pixels; a word that is too long for a line is broken, nothing is left out."""
    return list(_wrap(drawable(text), room / size, face))


@lru_cache(maxsize=20_000)
def _wrap(text: str, room: float, face: Face) -> tuple[str, ...]:
    lines: list[str] = []
    line = ""
    for word in text.split(" "):
        trial = f"{line} {word}" if line else word
        if _unit_width(trial, face) <= room:
            line = trial
            continue
        if line:
            lines.append(line)
        line = word
        while _unit_width(line, face) > room and len(line) > 1:
            fits = _fitting(line, room, face)
            lines.append(line[:fits].rstrip(HELD))
            line = line[fits:]
    if line:
        lines.append(line)
    return tuple(lines)


def _fitting(word: str, room: float, face: Face) -> int:
    """How many characters of a word fit; preferably up to a hyphen or a slash."""
    count = next((n for n in range(len(word) - 1, 0, -1) if _unit_width(word[:n], face) <= room), 1)
    breaks = [n for n in range(1, count + 1) if word[n - 1] in f"{HELD}-/–,." and n > count // 3]
    return breaks[-1] if breaks else count


def longest_word(text: str, size: float, face: Face = "regular") -> float:
    """Width of the widest word, in pixels."""
    return max((width(word, size, face) for word in drawable(text).split(" ")), default=0.0)
