"""How far values may lie from their best: a bar from the least to the most, a tick at the best, all on one scale."""

from __future__ import annotations

from histkit.base.descriptions import Range, Ranges
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import BESIDE_FROM, COLUMNS_FROM, Block, Item, Sheet, Stack, Text, chart, line_of, stacked
from histkit.display.lettering import width, wrap
from histkit.display.palette import Theme


def ranges_frames(ranges: Ranges, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """The rows in their order, or the words for that there are none."""

    def make(type_size: float) -> Sheet:
        return _Setting(ranges, type_size, screen, colours).sheet()

    return chart(make, Text(ranges.title, ranges.subtitle, ranges.foot, {}, ranges.spoken), screen, colours, transparent)


def _off(row: Range) -> tuple[float, float]:
    """How far the limits lie from the best, as parts of it: (-0.1, 0.2)."""
    return row.value.low / row.value.best - 1, row.value.high / row.value.best - 1


class _Setting:
    """The drawing at one size of type."""

    def __init__(self, ranges: Ranges, size: float, screen: Screen, colours: Theme) -> None:
        self.ranges, self.size, self.screen, self.colours = ranges, size, screen, colours
        rows = ranges.rows
        self.lowest = min((_off(row)[0] for row in rows), default=0.0)
        self.highest = max((_off(row)[1] for row in rows), default=0.0)
        self.wide = screen.ems >= BESIDE_FROM
        names = max((width(row.name, size) for row in rows), default=0.0)
        self.left = screen.left + (min(names * 1.01, 0.34 * screen.room) + size if self.wide else 0.0)
        self.beside = screen.ems >= COLUMNS_FROM and bool(rows)  # whether the words stand at the right of the bars
        words = max((width(row.words, size) for row in rows), default=0.0) + size if self.beside else 0.0
        self.start = self.left + width(f"−{-100 * self.lowest:.0f} %", size) + 0.4 * size
        self.end = screen.right - width(f"+{100 * self.highest:.0f} %", size) - 0.4 * size - words

    def _x(self, off: float) -> float:
        """Where something stands that lies so far from the best."""
        span = (self.highest - self.lowest) or 1.0
        return self.start + (off - self.lowest) / span * (self.end - self.start)

    def sheet(self) -> Sheet:
        blocks = [self._block(row) for row in self.ranges.rows]
        if not blocks:
            nothing = Stack((self.ranges.nothing,), self.screen.left, self.colours.ink)
            blocks.append(Block(stacked(self.size, [nothing])))
        return Sheet(self.size, tuple(blocks), Block((self._head(),)), gap=0.5, stretch=1.2)

    def _head(self) -> tuple[Item, ...]:
        small, screen = max(self.screen.least, 0.84 * self.size), self.screen
        half = width(self.ranges.best_head, small) / 2
        x = min(max(self._x(0), screen.left + half), screen.right - half)
        head = [Words(self.ranges.best_head, x, 0, small, self.colours.new, "regular", "center")]
        label = self.ranges.words_head
        if self.beside and x + half + width(label, small) + small < screen.right:
            head.append(Words(label, screen.right, 0, small, self.colours.muted, "regular", "right"))
        return line_of(small, *head)

    def _block(self, row: Range) -> Block:
        """The name of a row, its bar, and its words beside or beneath."""
        size, screen, colours = self.size, self.screen, self.colours
        label = wrap(row.name, size, self.left - screen.left - size if self.wide else screen.room)
        lines = [list(line) for line in stacked(size, [Stack(tuple(label), screen.left, colours.ink)])]
        first = 0 if self.wide else len(label)
        while len(lines) < first + 1:
            lines.append([])
        lines[first] += self._bar(row)
        if self.beside:
            lines[first] += line_of(size, Words(row.words, screen.right, 0, size, colours.ink, "regular", "right"))
        else:
            for text in wrap(row.words, size, screen.right - self.left):
                lines.append(list(line_of(size, Words(text, self.left, 0, size, colours.muted))))
        return Block(tuple(map(tuple, lines)))

    def _bar(self, row: Range) -> list[Item]:
        """The bar, the tick at the best, and how far the limits are off where they are."""
        size, colours, thin = self.size, self.colours, self.screen.rule(0.5)
        low, high = _off(row)
        zero, x0, x1 = self._x(0), self._x(low), self._x(high)
        items: list[Item] = [
            Bar(zero - thin / 2, -0.1 * size, thin, 1.48 * size, colours.hair),
            Bar(x0, 0.52 * size, max(x1 - x0, thin), 0.24 * size, colours.shade),
            Bar(zero - 0.07 * size, 0.24 * size, 0.14 * size, 0.8 * size, colours.new),
        ]
        if abs(low) > 5e-4:
            items += line_of(size, Words(_percent(low), x0 - 0.4 * size, 0, size, colours.muted, "regular", "right"))
        if abs(high) > 5e-4:
            items += line_of(size, Words(_percent(high), x1 + 0.4 * size, 0, size, colours.muted))
        return items


def _percent(off: float) -> str:
    return f"{'−' if off < 0 else '+'}{100 * abs(off):.{0 if abs(off) > 0.0095 else 1}f} %"
