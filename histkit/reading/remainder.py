"""What no line holds: the title, the directions and what was not read."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from collections.abc import Callable, Sequence
from itertools import pairwise

from histkit.reading.cleaning import Cleaned
from histkit.reading.formula import Line
from histkit.reading.vocabulary import direction_words, modifiers, pattern
from histkit.reading.wording import Wording

_LETTER_OR_FIGURE = re.compile(r"[^\W_]")

Directs = Callable[[int, int], bool]
"""Whether the printed text from one place to another tells what to do."""


def remainder(
    lines: Sequence[Line], text: str, directs: Directs, left: Sequence[tuple[int, int]] = ()
) -> tuple[str, str, list[str]]:
    """Title, directions and unread: every stretch of text with a word in it that no line holds.

    `left` are stretches that hold something of which no line tells: they are unread, whatever else they say.
    """
    first_word = _LETTER_OR_FIGURE.search(text)
    begins = first_word.start() if first_word else len(text)
    edges = [0, *(edge for line in lines for edge in line.span), len(text)]
    left = _joined(left)
    left_edges, left_ends = [edge for span in left for edge in span], [end for _, end in left]
    fragments: list[tuple[int, int]] = []
    for start, end in zip(edges[::2], edges[1::2], strict=True):
        for a, b in _set_apart(start, end, left_edges):
            fragments += _divided(text, a, b, begins)
    title, directions, unread = "", [], []
    for index, (start, end) in enumerate(fragments):
        piece = text[start:end].strip()
        at = bisect_right(left_ends, start)
        weighs = at < len(left) and left[at][0] < end
        if index == 0 and start < lines[0].span[0] and not weighs and is_title(piece, text[end:]):
            title = piece
        elif directs(start, end) and not weighs:
            directions.append(piece)
        else:
            unread.append(piece)
    return title.rstrip(".:—- "), "\n".join(directions), unread


def _joined(spans: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Stretches in order, those that touch or overlap made one."""
    joined: list[tuple[int, int]] = []
    for start, end in sorted(spans):
        if joined and start <= joined[-1][1]:
            joined[-1] = (joined[-1][0], max(end, joined[-1][1]))
        else:
            joined.append((start, end))
    return joined


def _set_apart(start: int, end: int, edges: Sequence[int]) -> list[tuple[int, int]]:
    """The stretch, divided at those of `edges`, which are in order, that lie within it."""
    inside = edges[bisect_right(edges, start) : bisect_left(edges, end)]
    return list(pairwise((start, *inside, end)))


_BREAK = re.compile(r"(?P<blank>\n[ \t]*\n)|\n|(?<=[.»:])\s?(?P<dash>—|--)")
_LONGEST_OPENING = 90
"""Characters of a first line or 'Title.—' that is divided from what follows."""


def _divided(text: str, start: int, end: int, begins: int) -> list[tuple[int, int]]:
    """A stretch between lines, divided at blank lines, and at the very beginning of the text (where its first word stands at
    `begins`) after its first line or its 'Title.—'. Stretches without a word in them are left out."""
    word = _LETTER_OR_FIGURE.search(text, start, end)
    if word is None:
        return []
    pieces: list[tuple[int, int]] = []
    position = start
    for division in _BREAK.finditer(text[start:end]):
        if word is None:
            break
        cut = start + division.end()
        opening = position <= begins and cut - position < _LONGEST_OPENING
        if (opening or division.group("blank")) and word.start() < cut:
            pieces.append((position, cut))
            position = cut
            word = _LETTER_OR_FIGURE.search(text, cut, end)
    if word is not None:
        pieces.append((position, end))
    elif pieces:
        pieces[-1] = (pieces[-1][0], end)
    return pieces


def is_title(piece: str, after: str) -> bool:
    """A short first line or heading; not the beginning of a sentence that goes on."""
    if len(piece.split()) > 12 or "\n" in piece or not re.search(r"[^\W\d_]", piece) or piece.endswith(","):
        return False
    words = [word.lower() for word in re.findall(r"[^\W\d_]+", piece)]
    kind = direction_words().get(words[0])
    if kind == "take":
        return False
    if len(words) == 1 and kind == "verb" and words[0] not in modifiers() and piece[-1:].isalpha():
        return False  # 'Boil' of 'Boil 1 lb. of lard'
    goes_on = after.lstrip()[:1].islower() and not re.search(r"[.:—»]$", piece)
    if pattern("number-of-a-formula").fullmatch(piece):
        return False  # a bare number of the formula, or its 'Recipe'
    return not goes_on and (piece[:1].isupper() or not piece[:1].isalpha())


def directing(wording: Wording, cleaned: Cleaned, offset: int = 0) -> Directs:
    """The test of a stretch of the printed text, of which `cleaned` is the part that begins at `offset`."""
    tokens = wording.tokens

    def printed(i: int) -> int:
        return offset + cleaned.starts[tokens[i].start]

    def directs(start: int, end: int) -> bool:
        i = bisect_left(range(len(tokens)), start, key=printed)
        while i < len(tokens) and printed(i) < end:
            if wording.is_direction(i):
                return True
            i += 1
        return False

    return directs
