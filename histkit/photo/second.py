"""The second engine over the columns that the first has found, its words laid beside the first's, line by line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from histkit.photo import engines
from histkit.photo.engines import Seen
from histkit.photo.lines import Item, PrintedLine, in_order
from histkit.photo.witnesses import SURE_ALONE, Told, laid_beside, tells

if TYPE_CHECKING:
    from histkit.photo.preparing import Prepared

LEAST_SURE = 0.3
"""Confidence of the second engine below which what it alone sees is taken for dirt."""
_SMALLEST, _LARGEST = 0.55, 3.2
"""Heights of a word that the second engine alone sees, in heights of a small letter: others are dirt or ornament."""


def lines_with_second(lines: Sequence[PrintedLine], level: Prepared) -> tuple[list[Told], list[Seen]]:
    """The lines as both engines tell them, and the words that stand in none of them."""
    letter = level.letter or 20.0
    seen = _seen_by_second(lines, level)
    beside: list[list[Seen]] = [[] for _ in lines]
    alone: list[Seen] = []
    for word in seen:
        number = _line_of(word, lines)
        if number is None:
            alone.append(word)
        else:
            beside[number].append(word)
    told, unread = [], []
    for line, others in zip(lines, beside, strict=True):
        groups = laid_beside(line, sorted(others, key=lambda word: word.left))
        kept = tuple(group for group in groups if group.first or _worth_it(group.words, letter))
        unread += [word for group in groups if group not in kept for word in group.words if _worth_showing(word, letter)]
        if kept:
            told.append(Told(line, kept))
    added, doubtful = _lines_alone(alone, letter)
    return _in_place(told, added), [*unread, *doubtful]


def _seen_by_second(lines: Sequence[PrintedLine], level: Prepared) -> list[Seen]:
    """The words that the second engine sees, each column looked at by itself."""
    columns = sorted({line.column for line in lines})
    if len(columns) <= 1:
        return list(engines.words_of_second(level.grey))
    margin = 0.6 * (level.letter or 20.0)
    words: list[Seen] = []
    for column in columns:
        own = [line for line in lines if line.column == column]
        left, right = min(line.left for line in own) - margin, max(line.right for line in own) + margin
        top = min(line.level - line.height for line in own) - margin
        bottom = max(line.level + line.height for line in own) + margin
        x, y = max(0, int(left)), max(0, int(top))
        part = level.grey[y : max(y + 1, int(bottom)), x : max(x + 1, int(right))]
        if min(part.shape) >= 8:
            words += [word.moved(x, y) for word in engines.words_of_second(part)]
    return words


def _line_of(word: Seen, lines: Sequence[PrintedLine]) -> int | None:
    """The number of the line on which a word stands."""
    best: tuple[float, int] | None = None
    for number, line in enumerate(lines):
        off = abs(word.middle - line.level)
        beside = max(line.left - word.right, word.left - line.right, 0.0)
        if off <= 0.55 * line.height and beside <= 12 * line.height and (best is None or off + beside / 10 < best[0]):
            best = (off + beside / 10, number)
    return None if best is None else best[1]


def _worth_it(words: Sequence[Seen], letter: float) -> bool:
    """Whether words that the second engine alone saw are taken into the text."""
    return all(word.confidence >= SURE_ALONE and _worth_showing(word, letter) for word in words)


def _worth_showing(word: Seen, letter: float) -> bool:
    height = word.bottom - word.top
    return tells(word.text) and word.confidence >= LEAST_SURE and _SMALLEST * letter <= height <= _LARGEST * letter


def _lines_alone(words: Sequence[Seen], letter: float) -> tuple[list[Told], list[Seen]]:
    """Lines that the second engine alone saw: those that it is sure of, and the words of the others."""
    likely = [word for word in words if _worth_showing(word, letter)]
    items = [Item((word,), word.left, word.right, word.middle, word.bottom - word.top) for word in likely]
    told: list[Told] = []
    doubtful: list[Seen] = []
    for line in in_order(items, letter):
        if _worth_it(line.words, letter) and sum(len(word.text) for word in line.words) >= 3:
            told.append(Told(line, tuple(laid_beside(replace(line, words=()), line.words))))
        else:
            doubtful += line.words
    return told, doubtful


def _in_place(told: list[Told], added: Sequence[Told]) -> list[Told]:
    """The added lines put before the first line below them that stands over or under them."""
    made = list(told)
    for new in added:
        for number, other in enumerate(made):
            across = min(new.line.right, other.line.right) - max(new.line.left, other.line.left)
            if across > 0 and other.line.level > new.line.level:
                made.insert(number, new)
                break
        else:
            made.append(new)
    return made
