"""Cards and lists as frames."""

from __future__ import annotations

import re

from histkit.base.descriptions import Card, CardEntry, ListEntry, Listing
from histkit.base.errors import BadValue
from histkit.display.frames import Frame, Screen
from histkit.display.layout import BESIDE_FROM, Block, Sheet, Stack, Text, chart, stacked
from histkit.display.lettering import HELD, Face, width, wrap
from histkit.display.palette import Theme

_MASS = re.compile(r"[\d.,]+ g")


def card_frames(card: Card, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """A card: one frame, more where its texts are long."""
    wide = screen.ems >= BESIDE_FROM

    def make(type_size: float) -> Sheet:
        labels = max((width(entry.label, type_size) for entry in card.entries), default=0.0)
        left = screen.left + (labels + 1.2 * type_size if wide else 0.0)
        return Sheet(type_size, tuple(block(entry, type_size, left) for entry in card.entries), gap=0.4, stretch=1.0)

    def block(entry: CardEntry, type_size: float, left: float) -> Block:
        face: Face = "bold" if entry.bold else "regular"
        lines = wrap(HELD.join((entry.text, *entry.signs)), type_size, screen.right - left, face)
        label = Stack((entry.label,), screen.left, colours.muted)
        text = Stack(tuple(lines), left, colours.tone(entry.tone), face, first=0 if wide else 1)
        return Block(stacked(type_size, [label, text]), entry.signs)

    text = Text(card.title, card.subtitle, "", {note.sign: note.text for note in card.footnotes}, card.spoken)
    return chart(make, text, screen, colours, transparent)


def listing_frames(listing: Listing, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """A list of words with a figure at the right and quieter words beneath, over as many frames as it takes.

    Raises:
        BadValue: the list is empty.
    """
    if not listing.entries:
        raise BadValue(f"{listing.title}: there is nothing on this list to draw")

    def make(type_size: float) -> Sheet:
        setting = _Setting(listing, type_size, screen, colours)
        blocks = tuple(setting.block(number, entry) for number, entry in enumerate(listing.entries, start=1))
        return Sheet(type_size, blocks, gap=0.5, stretch=1.1)

    text = Text(listing.title, listing.subtitle, listing.foot, {}, listing.spoken)
    return chart(make, text, screen, colours, transparent)


class _Setting:
    """A list at one size of type."""

    def __init__(self, listing: Listing, size: float, screen: Screen, colours: Theme) -> None:
        self.size, self.screen, self.colours, self.numbered = size, screen, colours, listing.numbered
        figures = [entry.figure for entry in listing.entries]
        widest = max(width(figure, size, "bold") for figure in figures)
        self.after = max(width(_after_point(figure), size, "bold") for figure in figures)
        self.beside = widest <= 0.4 * screen.room
        self.aligned = self.beside and all(_MASS.fullmatch(figure) for figure in figures)  # decimal points below each other
        self.number_room = width(f"{len(figures)}.", size) + 0.1 * size if listing.numbered else 0.0
        self.left = screen.left + self.number_room + (0.45 * size if listing.numbered else 0.0)
        self.room = screen.right - self.left - (widest + size if self.beside else 0.0)

    def block(self, number: int, entry: ListEntry) -> Block:
        size, screen, colours = self.size, self.screen, self.colours
        words = wrap(entry.words, size, self.room)
        stacks = [Stack(tuple(words), self.left, colours.ink)]
        if self.numbered:
            stacks.append(Stack((f"{number}.",), screen.left + self.number_room, colours.muted, align="right"))
        if entry.figure:
            x = screen.right
            if self.aligned:
                x += width(_after_point(entry.figure), size, "bold") - self.after
            stacks.append(Stack((entry.figure,), x, colours.new, "bold", "right", 0 if self.beside else len(words)))
        if entry.more:
            below = len(words) + (0 if self.beside or not entry.figure else 1)
            stacks.append(Stack(tuple(wrap(entry.more, size, self.room)), self.left, colours.muted, first=below))
        return Block(stacked(size, stacks), hair=True)


def _after_point(figure: str) -> str:
    """What stands after the decimal point, with the point: '3.16 g' gives '.16 g'; without a point the unit alone."""
    whole, point, rest = figure.partition(".")
    if point:
        return point + rest
    _, blank, unit = whole.partition(" ")
    return blank + unit
