"""Names with one or two bars each, every bar with its spread as a thin line over it and its words behind."""

from __future__ import annotations

from collections.abc import Sequence

from histkit.base.descriptions import BarRow, Bars
from histkit.base.errors import BadValue
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import BESIDE_FROM, Block, Item, Sheet, Stack, Text, chart, line_of, stacked
from histkit.display.lettering import Face, width, wrap
from histkit.display.palette import Theme


def bars_frames(bars: Bars, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """The bars in the order of their rows.

    Raises:
        BadValue: there are none.
    """
    if not bars.rows:
        raise BadValue(f"{bars.title}: there is nothing to draw")
    wide = screen.ems >= BESIDE_FROM

    def make(type_size: float) -> Sheet:
        names = max(width(row.name, type_size, _face(row)) for row in bars.rows)
        left = screen.left + (min(names * 1.01, 0.4 * screen.room) + type_size if wide else 0.0)
        figures = max(width(length.words, type_size) for row in bars.rows for length in row.lengths) + 0.5 * type_size
        room = screen.right - left - figures
        blocks = tuple(_block(row, type_size, left, room, wide, screen, colours) for row in bars.rows)
        return Sheet(type_size, blocks, _legend(bars.legend, type_size, left, screen, colours), gap=0.35, stretch=1.0)

    return chart(make, Text(bars.title, bars.subtitle, bars.foot, {}, bars.spoken), screen, colours, transparent)


def _face(row: BarRow) -> Face:
    return "bold" if row.bold else "regular"


def _colours(theme: Theme) -> tuple[str, str]:
    """The colours of the first and the second bar."""
    return theme.shade, theme.new


def _legend(labels: Sequence[str], type_size: float, left: float, screen: Screen, colours: Theme) -> Block:
    """What the first and the second bar of each row stand for."""
    small = max(screen.least, 0.84 * type_size)
    head: list[Item] = []
    x = left
    for words, colour in zip(labels, _colours(colours), strict=False):  # the first alone where there is no second
        head.append(Bar(x, 0.2 * small, 0.9 * small, 0.85 * small, colour))
        head += line_of(small, Words(words, x + 1.25 * small, 0, small, colours.muted))
        x += 1.25 * small + width(words, small) + 1.4 * small
    return Block((tuple(head),))


def _block(row: BarRow, size: float, left: float, room: float, wide: bool, screen: Screen, colours: Theme) -> Block:
    """The name of a row and its bars."""
    label = wrap(row.name, size, left - screen.left - size if wide else screen.room, _face(row))
    lines = [list(line) for line in stacked(size, [Stack(tuple(label), screen.left, colours.ink, _face(row))])]
    first = 0 if wide else len(label)
    while len(lines) < first + len(row.lengths):
        lines.append([])
    thin = screen.rule()
    for offset, (length, colour) in enumerate(zip(row.lengths, _colours(colours), strict=False)):
        value, line = length.value, lines[first + offset]
        best = high = 0.0
        if value is not None and value.high > 0:
            low, best, high = (v / row.full * room for v in (value.low, value.best, value.high))
            line.append(Bar(left, 0.17 * size, max(best, thin), 0.92 * size, colour))
            if not value.is_exact:  # light upon the bar, dark beyond it, so that it is seen on both
                line.append(Bar(left + low, 0.6 * size, max(best - low, 0.0), thin, colours.paper))
                line.append(Bar(left + best, 0.6 * size, max(high - best, thin), thin, colours.ink))
        ink = colours.muted if value is None else colours.ink
        line += line_of(size, Words(length.words, left + max(best, high) + 0.4 * size, 0, size, ink))
    return Block(tuple(map(tuple, lines)), hair=row.bold)
