"""Shares of groups, period by period: for each group a row of columns, one for each period.

Where the frame is too narrow for all periods side by side, each period is a list of bars.
"""

from __future__ import annotations

from collections.abc import Callable

from histkit.base.descriptions import Length, Period, Periods
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import LEAD, Block, Item, Sheet, Stack, Text, line_of, set_sheet, stacked
from histkit.display.lettering import width, wrap
from histkit.display.palette import Theme

_STEPS = (1.0, 1.1, 1.22, 1.36)
_HIGH = (2, 1)
"""Height of the tallest column, in lines: the second where the first would take more than one frame."""


def periods_frames(described: Periods, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """Columns with their figures above them, the period and its count at the head."""

    def maker(high: int) -> Callable[[float], Sheet]:
        return lambda type_size: _Setting(described, type_size, screen, colours).sheet(high)

    text = Text(described.title, described.subtitle, described.foot, {}, described.spoken)
    sizes = [screen.least * k for k in _STEPS]
    tall, low = (set_sheet(maker(high), sizes, text, screen, colours, transparent) for high in _HIGH)
    return low if len(low) < len(tall) else tall


class _Setting:
    """The drawing at one size of type."""

    def __init__(self, described: Periods, size: float, screen: Screen, colours: Theme) -> None:
        self.described, self.size, self.screen, self.colours = described, size, screen, colours
        values = [length.value.best for period in described.periods for length in period.lengths if length.value is not None]
        self.most = max(values, default=1.0) or 1.0
        names = max(width(name, size) for name in described.names)
        self.left = screen.left + min(1.01 * names, 0.3 * screen.room) + size
        self.step = (screen.right - self.left) / len(described.periods)

    def sheet(self, tallest: int) -> Sheet:
        heads = max(width(period.name, self.screen.least, "bold") for period in self.described.periods)
        return self._columns(tallest) if self.step >= heads + 0.4 * self.screen.least else self._lists()

    def _bar_colour(self, period: Period) -> str:
        return self.colours.shade if period.little else self.colours.new

    def _columns(self, tallest: int) -> Sheet:
        small, screen, colours = self.screen.least, self.screen, self.colours
        blocks = tuple(self._group(index, name, tallest) for index, name in enumerate(self.described.names))
        heads: list[Item] = []
        for place, period in enumerate(self.described.periods):
            x = self.left + (place + 0.5) * self.step
            heads += line_of(small, Words(period.name, x, 0, small, colours.ink, "bold", "center"))
            heads += line_of(small, Words(period.count, x, LEAD * screen.least, small, colours.muted, "regular", "center"))
        return Sheet(self.size, blocks, Block((tuple(heads), ())), gap=0.3, stretch=0.9)

    def _group(self, index: int, name: str, tallest: int) -> Block:
        """The name of a group and its columns."""
        size, screen, colours = self.size, self.screen, self.colours
        line, bar = LEAD * size, 0.55 * self.step
        label = wrap(name, size, self.left - screen.left - size)
        rows: list[list[Item]] = [list(row) for row in stacked(size, [Stack(tuple(label), screen.left, colours.ink)])]
        while len(rows) < 1 + tallest:
            rows.append([])
        for place, period in enumerate(self.described.periods):
            length = period.lengths[index]
            high = length.value.best / self.most * tallest * line if length.value is not None else 0.0
            x, top = self.left + (place + 0.5) * self.step, (1 + tallest) * line - high
            if length.value is not None:
                rows[0].append(Bar(x - bar / 2, top, bar, max(high, screen.rule()), self._bar_colour(period)))
            figure = Words(length.words, x, top - line, screen.least, self._ink(length), "regular", "center")
            rows[0] += line_of(size, figure)
        return Block(tuple(map(tuple, rows)), hair=True)

    def _ink(self, length: Length) -> str:
        return self.colours.muted if length.value is None else self.colours.ink

    def _lists(self) -> Sheet:
        return Sheet(self.size, tuple(map(self._list, self.described.periods)), gap=0.4, stretch=1.0)

    def _list(self, period: Period) -> Block:
        """A period with a bar for each group of which there is anything."""
        size, screen, colours = self.size, self.screen, self.colours
        figures = width("100", size) + 0.5 * size
        head = Words(period.words, screen.left, 0, size, colours.ink, "bold")
        rows: list[list[Item]] = [list(line_of(size, head))]
        for name, length in zip(self.described.names, period.lengths, strict=True):
            if length.value is None:
                continue
            label = wrap(name, size, 0.5 * screen.room)
            rows += [list(row) for row in stacked(size, [Stack(tuple(label), screen.left, colours.ink)])]
            left = screen.left + 0.5 * screen.room + 0.5 * size
            long = length.value.best / self.most * (screen.right - left - figures)
            rows[-1].append(Bar(left, 0.25 * size, max(long, screen.rule()), 0.8 * size, self._bar_colour(period)))
            rows[-1] += line_of(size, Words(length.words, left + long + 0.4 * size, 0, size, colours.ink))
        return Block(tuple(map(tuple, rows)), hair=True)
