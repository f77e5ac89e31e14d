"""Words put together to lines, and lines to columns, by their boxes alone.

All lengths are pixels of the levelled picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from statistics import median

import numpy as np

from histkit.photo.engines import Seen, Stretch

LEAST_LINES = 3
"""Lines that a column has at least."""
COLUMN_WIDTH = 14.0
"""How wide the lines of a column are at least, in heights of a small letter: a row of amounts behind their names is narrower."""
LEAST_BAND = 0.8
"""How wide the empty band between two columns is at least, in heights of a small letter."""
CROSSING = 0.12
"""The share of lines that may run across that band: titles and the like."""


@dataclass(frozen=True, slots=True)
class Item:
    """A stretch of print with its words; `level` is the height of its middle."""

    words: tuple[Seen, ...]
    left: float
    right: float
    level: float
    height: float


@dataclass(frozen=True, slots=True)
class PrintedLine(Item):
    """A line of one column, its words from left to right."""

    column: int = 0


def items_of(stretches: Sequence[Stretch]) -> list[Item]:
    """The stretches as items of a line."""
    made = []
    for stretch in stretches:
        quad = stretch.corners
        height = float(quad[3, 1] - quad[0, 1] + quad[2, 1] - quad[1, 1]) / 2
        left, right = float(quad[:, 0].min()), float(quad[:, 0].max())
        made.append(Item(stretch.words, left, right, float(quad[:, 1].mean()), max(1.0, height)))
    return made


def in_order(items: Sequence[Item], letter: float) -> list[PrintedLine]:
    """The lines in the order in which they are read: column after column, what runs across several of them between them."""
    made: list[PrintedLine] = []
    for column, group in enumerate(_columns(list(items), letter or 20.0)):
        made += [replace(line, column=column) for line in _grouped(group)]
    return made


def _columns(items: list[Item], letter: float, depth: int = 0) -> list[list[Item]]:
    """The items of each column, in reading order; what runs across is a column of its own."""
    band = _band(items, letter) if depth < 4 else None
    if band is None:
        return [items] if items else []
    middle = sum(band) / 2
    across = sorted((i for i in items if i.left < band[0] and i.right > band[1]), key=lambda item: item.level)
    made: list[list[Item]] = []
    rest = [item for item in items if item not in across]
    for crossing in [*across, None]:
        above = [item for item in rest if crossing is None or item.level < crossing.level]
        rest = [item for item in rest if item not in above]
        for side in ([i for i in above if _middle(i) < middle], [i for i in above if _middle(i) >= middle]):
            made += _columns(side, letter, depth + 1)
        if crossing is not None:
            made.append([crossing])
    return made


def _middle(item: Item) -> float:
    return (item.left + item.right) / 2


def _band(items: Sequence[Item], letter: float) -> tuple[float, float] | None:
    """The emptiest band from top to bottom that has lines as wide as a column's on both sides; None where there is none."""
    if len(items) < 2 * LEAST_LINES:
        return None
    start, end = min(i.left for i in items), max(i.right for i in items)
    step = letter / 4
    covered = np.zeros(int((end - start) / step) + 2)
    for item in items:
        covered[int((item.left - start) / step) : int((item.right - start) / step) + 1] += 1
    rows = len(_grouped(items))
    best: tuple[float, tuple[float, float]] | None = None
    place = 0
    most = max(1.0, CROSSING * rows)
    while place < len(covered):
        if covered[place] > most:
            place += 1
            continue
        last = place
        while last + 1 < len(covered) and covered[last + 1] <= most:
            last += 1
        band = (start + place * step, start + (last + 1) * step)
        place = last + 1
        if band[1] - band[0] < LEAST_BAND * letter:
            continue
        width = _narrower(items, band)
        if width >= COLUMN_WIDTH * letter and (best is None or width > best[0]):
            best = (width, band)
    return best[1] if best else None


def _narrower(items: Sequence[Item], band: tuple[float, float]) -> float:
    """The usual width of a line on the side where lines are narrower; 0 where a side has too few of them."""
    middle = sum(band) / 2
    widths = []
    for side in ([i for i in items if i.right <= middle], [i for i in items if i.left >= middle]):
        lines = _grouped(side)
        if len(lines) < LEAST_LINES:
            return 0.0
        widths.append(median(line.right - line.left for line in lines))
    return min(widths)


def _grouped(items: Sequence[Item]) -> list[PrintedLine]:
    """The lines of one column from top to bottom: items of about one height that do not stand over each other."""
    lines: list[list[Item]] = []
    for item in sorted(items, key=lambda i: (i.level, i.left)):
        fitting = [line for line in lines[-4:] if _fits(line, item)]
        if fitting:
            min(fitting, key=lambda line: abs(_level(line) - item.level)).append(item)
        else:
            lines.append([item])
    made = []
    for line in sorted(lines, key=_level):
        words = tuple(sorted((word for item in line for word in item.words), key=lambda w: (w.left + w.right, w.text)))
        height = median(item.height for item in line)
        made.append(PrintedLine(words, min(i.left for i in line), max(i.right for i in line), _level(line), height))
    return made


def _level(line: Sequence[Item]) -> float:
    """The height of the line: that of its widest item."""
    return max(line, key=lambda item: item.right - item.left).level


def _fits(line: Sequence[Item], item: Item) -> bool:
    small, large = sorted((max(i.height for i in line), item.height))
    reach = 0.45 * small if small > 0.7 * large else 0.4 * large  # a raised figure stands within the height of its line
    if abs(_level(line) - item.level) > reach:
        return False
    shared = max(min(i.right, item.right) - max(i.left, item.left) for i in line)
    return shared < 0.5 * (item.right - item.left)
