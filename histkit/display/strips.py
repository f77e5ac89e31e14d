"""Shares beside each other: a field of colour for each, the deeper the more, with its figure in it."""

from __future__ import annotations

import math
from itertools import groupby

from histkit.base.descriptions import Strip, StripCell, Strips
from histkit.base.errors import BadValue
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import BESIDE_FROM, Block, Item, Sheet, Stack, Text, chart, line_of, stacked
from histkit.display.lettering import longest_word, width, wrap
from histkit.display.palette import LEAST_CONTRAST, Theme, contrast

_NAMES = 0.3
"""Of the room, what the names take at most."""
_HEAD_LINES = 4
"""Lines of a head above its fields; where one wants more, letters stand there and a key says what they mean."""


def strips_frames(strips: Strips, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """The strips in the order of their rows, the name of each group above its first.

    Raises:
        BadValue: there are none.
    """
    if not strips.rows:
        raise BadValue(f"{strips.title}: there is nothing to draw")
    text = Text(strips.title, strips.subtitle, strips.foot, {}, strips.spoken)
    return chart(lambda size: _Setting(strips, size, screen, colours).sheet(), text, screen, colours, transparent)


class _Setting:
    """The strips at one size of type."""

    def __init__(self, strips: Strips, size: float, screen: Screen, colours: Theme) -> None:
        self.strips, self.size, self.screen, self.colours = strips, size, screen, colours
        self.wide = screen.ems >= BESIDE_FROM
        names = max(width(row.name, size) for row in strips.rows)
        self.left = screen.left + (min(1.01 * names, _NAMES * screen.room) + 0.8 * size if self.wide else 0.0)
        self.gap, self.small = 0.12 * size, max(screen.least, 0.84 * size)
        self.step = (screen.right - self.left) / len(strips.heads)
        shares = [field.share for row in strips.rows for field in row.fields if field.share is not None]
        self.most = max(shares, default=0.0) or 1.0
        self.deepest = deepest(colours)
        room = self.step - 2 * self.gap
        self.lettered = any(
            longest_word(head, self.small, "bold") > room or len(wrap(head, self.small, room, "bold")) > _HEAD_LINES
            for head in strips.heads
        )

    def sheet(self) -> Sheet:
        groups = groupby(self.strips.rows, key=lambda row: row.group)
        blocks = [self._group(name, list(rows)) for name, rows in groups]
        if self.lettered:
            blocks.insert(0, self._key())
        return Sheet(self.size, tuple(blocks), self._heads(), gap=0.25, stretch=0.7)

    def _heads(self) -> Block:
        small, room = self.small, self.step - 2 * self.gap
        heads = [_letter(n) if self.lettered else head for n, head in enumerate(self.strips.heads)]
        stacks = [
            Stack(tuple(wrap(head, small, room, "bold")), self.left + place * self.step + self.gap, self.colours.ink, "bold")
            for place, head in enumerate(heads)
        ]
        return Block(stacked(small, stacks))

    def _key(self) -> Block:
        """What the letters mean."""
        lines: list[tuple[Item, ...]] = []
        for place, head in enumerate(self.strips.heads):
            words = wrap(head, self.small, self.screen.room - 1.6 * self.small)
            letter = Stack((_letter(place),), self.screen.left, self.colours.ink, "bold")
            lines += stacked(self.small, [letter, Stack(tuple(words), self.screen.left + 1.6 * self.small, self.colours.ink)])
        return Block(tuple(lines))

    def _group(self, name: str, rows: list[Strip]) -> Block:
        head = line_of(self.screen.least, Words(name, self.screen.left, 0, self.screen.least, self.colours.muted))
        lines: list[tuple[Item, ...]] = [head]
        for row in rows:
            lines += self._row(row)
        return Block(tuple(lines), hair=True)

    def _row(self, row: Strip) -> tuple[tuple[Item, ...], ...]:
        size = self.size
        label = wrap(row.name, size, self.left - self.screen.left - 0.6 * size if self.wide else self.screen.room)
        lines = [list(line) for line in stacked(size, [Stack(tuple(label), self.screen.left, self.colours.ink)])]
        if not self.wide:
            lines.append([])
        fields = lines[0 if self.wide else -1]
        for place, field in enumerate(row.fields):
            x = self.left + place * self.step
            long = self.step - self.gap
            fields.append(Bar(x, 0.08 * size, long, 1.14 * size, self._colour(field)))
            words = wrap(field.words, size, long)[0]
            ink = self.colours.ink if field.share is None or field.share > 0 else self.colours.muted
            fields += line_of(size, Words(words, x + long / 2, 0, size, ink, "regular", "center"))
        return tuple(map(tuple, lines))

    def _colour(self, field: StripCell) -> str:
        """Deeper by the root of the share, so that little is still seen; without a share the paper's own."""
        if not field.share:
            return mixed(self.colours.paper, self.colours.hair, 0.35 if field.share is None else 0.0)
        return mixed(self.colours.paper, self.colours.new, self.deepest * math.sqrt(field.share / self.most))


def _letter(place: int) -> str:
    return chr(ord("A") + place)


def deepest(colours: Theme) -> float:
    """How much of the colour may be in a field (0–1) with the ink still legible on it."""
    steps = [n / 100 for n in range(101)]
    return max(s for s in steps if contrast(colours.ink, mixed(colours.paper, colours.new, s)) >= LEAST_CONTRAST)


def mixed(one: str, other: str, share: float) -> str:
    """Two colours (#rrggbb) mixed, with this share (0–1) of the other."""
    pairs = [(int(one[i : i + 2], 16), int(other[i : i + 2], 16)) for i in (1, 3, 5)]
    return "#" + "".join(f"{round(a + (b - a) * share):02x}" for a, b in pairs)
