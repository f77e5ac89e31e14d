"""A picture of how a kind of formula changed: for each group of ingredients a row of columns, one for each decade.

Laid out and drawn like every other picture (`display.layout`, `display.frames`); where the frame is too narrow for all decades
side by side, each decade is a list of bars.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path

from histkit.base.text import counted
from histkit.books.questions import FEW, Trend
from histkit.display.frames import Bar, Frame, Screen, Words, save
from histkit.display.layout import LEAD, Block, Item, Sheet, Stack, Text, line_of, set_sheet, stacked
from histkit.display.lettering import width, wrap
from histkit.display.palette import Theme, theme

_STEPS = (1.0, 1.1, 1.22, 1.36)
_HIGH = (2, 1)
"""Height of the tallest column, in lines: the second where the first would take more than one frame."""


def trend_frames(
    trend: Trend, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """The trend as pictures: shares in per cent above each column, the number of formulas under each decade.

    Raises:
        BadValue: the size is none, or there is no such theme.
    """
    screen, colours = Screen.of(size), theme(theme_name)
    most = max((s for d in trend.decades for s in d.shares), default=1.0) or 1.0

    def maker(high: int) -> Callable[[float], Sheet]:
        def make(type_size: float) -> Sheet:
            names = max(width(name, type_size) for name in trend.groups)
            left = screen.left + min(1.01 * names, 0.3 * screen.room) + type_size
            step = (screen.right - left) / len(trend.decades)
            if step >= width("1880s", screen.least, "bold") + 0.4 * screen.least:
                return _columns(trend, type_size, screen, colours, left, step, most, high)
            return _lists(trend, type_size, screen, colours, most)

        return make

    def alt(_words: str, which: str) -> str:
        rows = [
            f"{d.decade}s ({counted(d.formulas, 'formula')}): "
            + ", ".join(f"{g} {100 * s:.0f} %" for g, s in zip(trend.groups, d.shares, strict=True) if s >= 0.005)
            for d in trend.decades
        ]
        return "\n".join([f"Mean composition of {trend.kind or 'all formulas'} by decade{which}.", *rows, *trend.notes()])

    title = f"{(trend.kind or 'all formulas').capitalize()}: the composition, decade by decade"
    books = sum(d.books for d in trend.decades)
    subtitle = f"Mean shares by {trend.by}, of {counted(sum(d.formulas for d in trend.decades), 'formula')} in {books} books"
    text = Text(title, subtitle, " ".join(("Per cent of the mass.", *trend.notes())), {}, alt)
    sizes = [screen.least * k for k in _STEPS]
    tall, low = (set_sheet(maker(high), sizes, text, screen, colours, transparent) for high in _HIGH)
    return low if len(low) < len(tall) else tall


def _figure(share: float) -> str:
    return f"{100 * share:.0f}" if share >= 0.005 else "–"


def _columns(
    trend: Trend, type_size: float, screen: Screen, colours: Theme, left: float, step: float, most: float, tallest: int
) -> Sheet:
    line = LEAD * type_size
    small = screen.least
    bar = 0.55 * step
    blocks = []
    for index, group in enumerate(trend.groups):
        label = wrap(group, type_size, left - screen.left - type_size)
        rows: list[list[Item]] = [list(row) for row in stacked(type_size, [Stack(tuple(label), screen.left, colours.ink)])]
        while len(rows) < 1 + tallest:
            rows.append([])
        for place, d in enumerate(trend.decades):
            share = d.shares[index]
            x = left + (place + 0.5) * step
            high = share / most * tallest * line
            top = (1 + tallest) * line - high
            colour = colours.new if d.formulas >= FEW else colours.shade
            if share >= 0.005:
                rows[0].append(Bar(x - bar / 2, top, bar, max(high, screen.rule()), colour))
            ink = colours.ink if share >= 0.005 else colours.muted
            figure = Words(_figure(share), x, top - line, small, ink, "regular", "center")
            rows[0] += line_of(type_size, figure)
        blocks.append(Block(tuple(map(tuple, rows)), hair=True))
    heads: list[Item] = []
    for place, d in enumerate(trend.decades):
        x = left + (place + 0.5) * step
        heads += line_of(small, Words(f"{d.decade}s", x, 0, small, colours.ink, "bold", "center"))
        heads += line_of(small, Words(f"n = {d.formulas}", x, LEAD * small, small, colours.muted, "regular", "center"))
    return Sheet(type_size, tuple(blocks), Block((tuple(heads), ())), gap=0.3, stretch=0.9)


def _lists(trend: Trend, type_size: float, screen: Screen, colours: Theme, most: float) -> Sheet:
    figures = width("100", type_size) + 0.5 * type_size
    blocks = []
    for d in trend.decades:
        few = "" if d.formulas >= FEW else ", few"
        head = f"{d.decade}s: {counted(d.formulas, 'formula')}{few}"
        rows: list[list[Item]] = [list(line_of(type_size, Words(head, screen.left, 0, type_size, colours.ink, "bold")))]
        for group, share in zip(trend.groups, d.shares, strict=True):
            if share < 0.005:
                continue
            label = wrap(group, type_size, 0.5 * screen.room)
            rows += [list(row) for row in stacked(type_size, [Stack(tuple(label), screen.left, colours.ink)])]
            left = screen.left + 0.5 * screen.room + 0.5 * type_size
            long = share / most * (screen.right - left - figures)
            colour = colours.new if d.formulas >= FEW else colours.shade
            rows[-1].append(Bar(left, 0.25 * type_size, max(long, screen.rule()), 0.8 * type_size, colour))
            rows[-1] += line_of(type_size, Words(_figure(share), left + long + 0.4 * type_size, 0, type_size, colours.ink))
        blocks.append(Block(tuple(map(tuple, rows)), hair=True))
    return Sheet(type_size, tuple(blocks), gap=0.4, stretch=1.0)


def save_trend(trend: Trend, path: str | Path, size: Sequence[int] = (3840, 2160), theme_name: str = "light") -> list[Path]:
    """The trend as png, svg or pdf, by the ending of the name; the paths, several where one frame does not hold it."""
    return save(trend_frames(trend, size, theme_name), path, alt_text=False)
