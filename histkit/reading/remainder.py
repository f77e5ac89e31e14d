"""What no line holds: the title, the directions and what was not read."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Callable

from histkit.reading.assigning import Assigner
from histkit.reading.cleaning import Cleaned
from histkit.reading.formula import Line
from histkit.reading.vocabulary import direction_words, modifiers

_LETTER_OR_FIGURE = re.compile(r"[^\W_]")

Directs = Callable[[int, int], bool]
"""Whether the printed text from one place to another tells what to do."""


def remainder(lines: list[Line], text: str, directs: Directs) -> tuple[str, str, list[str]]:
    """Title, directions and unread: every stretch of text with a word in it that no line holds."""
    fragments: list[tuple[int, int]] = []
    position = 0
    for line in [*lines, None]:
        start = line.span[0] if line is not None else len(text)
        if _LETTER_OR_FIGURE.search(text[position:start]):
            fragments += _split_fragment(text, position, start)
        position = line.span[1] if line is not None else position
    title, directions, unread = "", [], []
    for index, (start, end) in enumerate(fragments):
        piece = text[start:end].strip()
        if index == 0 and start < lines[0].span[0] and is_title(piece, text[end:]):
            title = piece
        elif directs(start, end):
            directions.append(piece)
        else:
            unread.append(piece)
    return title.rstrip(".:—- "), "\n".join(directions), unread


def _split_fragment(text: str, start: int, end: int) -> list[tuple[int, int]]:
    """A stretch between lines, divided at blank lines, and at the very beginning of the text after its first line or its
    'Title.—'."""
    pieces = []
    position = start
    first_word = _LETTER_OR_FIGURE.search(text)
    begins = first_word.start() if first_word else len(text)
    for found in re.finditer(r"\n[ \t]*\n|\n|(?<=[.»:])\s?(?:—|--)", text[start:end]):
        cut = start + found.end()
        opening = position <= begins and cut - position < 90
        if not found.group().strip("\n \t") and found.group().count("\n") < 2 and not opening:
            continue
        if found.group().strip() and not opening:
            continue
        if _LETTER_OR_FIGURE.search(text[position:cut]):
            pieces.append((position, cut))
            position = cut
    if _LETTER_OR_FIGURE.search(text[position:end]):
        pieces.append((position, end))
    elif pieces:
        pieces[-1] = (pieces[-1][0], end)
    return pieces


def is_title(piece: str, after: str) -> bool:
    """A short first line or heading; not the beginning of a sentence that goes on."""
    if len(piece.split()) > 12 or "\n" in piece or not re.search(r"[^\W\d_]", piece) or piece.endswith(","):
        return False
    first = re.search(r"[^\W\d_]+", piece)
    if first and direction_words().get(first.group().lower()) == "take":
        return False
    words = re.findall(r"[^\W\d_]+", piece.lower())
    if len(words) == 1 and direction_words().get(words[0]) == "verb" and words[0] not in modifiers() and piece[-1:].isalpha():
        return False  # 'Boil' of 'Boil 1 lb. of lard'
    goes_on = after.lstrip()[:1].islower() and not re.search(r"[.:—»]$", piece)
    if re.fullmatch(r"[\W_]*(?:[IVXLC]+|\d+|[a-z]|R[pxe]?|Recipe)[\W_]*", piece):
        return False  # a bare number of the formula, or its 'Recipe'
    return not goes_on and (piece[:1].isupper() or not piece[:1].isalpha())


def directing(assigner: Assigner, cleaned: Cleaned, offset: int = 0) -> Directs:
    """The test of a stretch of the printed text, of which `cleaned` is the part that begins at `offset`."""
    tokens = assigner.tokens

    def printed(i: int) -> int:
        return offset + cleaned.starts[tokens[i].start]

    def directs(start: int, end: int) -> bool:
        i = bisect_left(range(len(tokens)), start, key=printed)
        while i < len(tokens) and printed(i) < end:
            if assigner.is_direction(i):
                return True
            i += 1
        return False

    return directs
