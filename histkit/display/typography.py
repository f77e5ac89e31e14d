"""Words as a printer sets them: curly quotes, true fractions, CAPITALS as small capitals, figures held to their units."""

from __future__ import annotations

import re
import unicodedata

from histkit.base.text import clean
from histkit.display.typesetting import covers

Runs = list[tuple[str, str]]
"""Pieces of words with what they are: '' plain, 'caps' small capitals, 'fraction' a fraction."""

HELD = "\u00a0"
"""A space at which no line is broken."""
_TOGETHER = re.compile(r"(?:(?<=[\d½⅓⅔¼¾⅛⅜⅝⅞])|(?<=\bp\.)|(?<=\bpp\.)|(?<=\bc\.)) (?=\S)")
_OPENING = re.compile(r"(^|[\s(\[—–\u00a0])([\"'])(?=\S)")
_PIECES = re.compile(r"(?P<fraction>(?<![\d/])\d{1,3}/\d{1,3}(?![\d/]))|(?P<caps>(?<!\w)[^\W\d_a-z][^\W\d_a-zß]+(?!\w))")
_HAIR = "\u202f"
_WHOLE_AND_PART = re.compile(rf"(?<=\d)[ {HELD}](?=\d{{1,3}}/\d{{1,3}}(?![\d/])|[½⅓⅔¼¾⅛⅜⅝⅞])")


def drawable(text: str) -> str:
    """`text` on one line, with only characters that a face has: others are taken apart, or else shown as �."""
    out = []
    for character in re.sub(r"[^\S\u00a0]+", " ", clean(text)).strip():
        if character.isascii() or character == HELD or covers(character):
            out.append(character)
            continue
        apart = [c for c in unicodedata.normalize("NFKD", character) if covers(c) and not unicodedata.combining(c)]
        out.append("".join(apart) or "\N{REPLACEMENT CHARACTER}")
    return "".join(out)


def curled(text: str) -> str:
    """Straight quotes and apostrophes as printers set them."""
    text = _OPENING.sub(lambda m: m[1] + ("“" if m[2] == '"' else "‘"), text)
    return text.replace('"', "”").replace("'", "’")


def words(text: str, most: int = 400) -> str:
    """Words of today: drawable, with curly quotes, figures held to their units; cut with … after `most` characters."""
    return _TOGETHER.sub(HELD, curled(_short(drawable(text), most)))


def printed(text: str, most: int = 240) -> Runs:
    """Words of the book in runs, so that fractions and CAPITALS can be set as such."""
    text = _WHOLE_AND_PART.sub(_HAIR, curled(_short(drawable(text), most)))
    text = _TOGETHER.sub(HELD, text)
    out: Runs = []
    end = 0
    for found in _PIECES.finditer(text):
        kind, piece = found.lastgroup or "", found[0]
        if kind == "caps" and piece != piece.upper():
            continue
        out += [("", text[end : found.start()])] if found.start() > end else []
        out.append((kind, piece.capitalize() if kind == "caps" else piece))
        end = found.end()
    return [*out, ("", text[end:])] if end < len(text) or not out else out


def _short(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 1].rstrip() + "…"


def parted(figure: str) -> tuple[str, str]:
    """A figure before and after its decimal point, so that points can stand below each other: '3.16 g' gives '3', '.16 g'."""
    whole, point, rest = figure.partition(".")
    if point:
        return whole, point + rest
    head, blank, unit = whole.partition(" ")
    return head, blank + unit
