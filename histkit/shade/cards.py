"""A colour card: the colours that its maker gives, read from words, and where its patches lie on a photograph."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.display.tabular import Tabular
from histkit.shade.colour import Colour
from histkit.shade.photograph import LEAST_PATCHES, Box, ColourCard

MOST_PATCHES = 200
MIDDLE = 0.5
"""The part of a patch's width and height that is looked at, when one box lies over the whole card (own judgement)."""
LIGHTS = ("D65", "D50")
"""Daylights for which the sheet of a card gives L*a*b*."""
WHOLE = "card"
"""The name of a box that lies over all patches of the card."""
HOW = "write a line for each patch: its name, L*, a*, b* (or its name and #bc9a86)"


@dataclass(frozen=True, slots=True)
class Card(Tabular):
    """Patches of known colour, (name, colour), as they lie on the card: row by row from the left, so many in a row."""

    patches: tuple[tuple[str, Colour], ...]
    columns: int = 6

    def __post_init__(self) -> None:
        if not LEAST_PATCHES <= len(self.patches) <= MOST_PATCHES:
            raise BadValue(f"a colour card has {LEAST_PATCHES} to {MOST_PATCHES} patches, not {len(self.patches)}; {HOW}")
        names = [name.casefold() for name, _ in self.patches]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice or WHOLE in names:
            raise BadValue(f"each patch has a name of its own, and none is called {WHOLE!r}: {', '.join(twice) or WHOLE}")
        if not is_whole(self.columns) or self.columns < 1 or len(self.patches) % self.columns:
            raise BadValue(f"{len(self.patches)} patches do not lie in rows of {quoted(self.columns)}: say how many are in a row")

    def on_picture(self, boxes: Sequence[tuple[str, Box]]) -> ColourCard:
        """The card on a photograph. Boxes, (name, box), are named as its patches, or one is named 'card' and lies over all of it,
        from the outer edges of the corner patches. A patch with a box of its own is taken from that; other boxes are passed over.

        Raises BadValue where too few patches are marked.
        """
        named = {name.strip().casefold(): box for name, box in boxes}
        whole = named.get(WHOLE)
        cells: dict[int, Box] = {} if whole is None else dict(enumerate(self._cells(whole)))
        found = [(n, named.get(name.casefold()) or cells.get(n)) for n, (name, _) in enumerate(self.patches)]
        marked = [(n, box) for n, box in found if box is not None]
        if len(marked) < LEAST_PATCHES:
            raise BadValue(
                f"draw one box over the whole card and name it {WHOLE!r}, or a box on each patch, named as it is;"
                f" {LEAST_PATCHES} patches at least, and {len(marked)} are marked"
            )
        patches = tuple((box, self.patches[n][1]) for n, box in marked)
        return ColourCard(patches, tuple(self.patches[n][0] for n, _ in marked))

    def _cells(self, whole: Box) -> list[Box]:
        """The middle of each patch of a card that fills this box."""
        rows = len(self.patches) // self.columns
        width, height = whole.width / self.columns, whole.height / rows
        edge = (1 - MIDDLE) / 2
        places = [(row, column) for row in range(rows) for column in range(self.columns)]
        return [
            Box(whole.left + (column + edge) * width, whole.top + (row + edge) * height, MIDDLE * width, MIDDLE * height)
            for row, column in places
        ]

    def _grid(self) -> Grid:
        columns = tuple(Column(f"patch{n}", f"{n + 1}") for n in range(self.columns))
        starts = range(0, len(self.patches), self.columns)
        rows = tuple(tuple(f"{name}: {colour}" for name, colour in self.patches[n : n + self.columns]) for n in starts)
        return Grid(columns, rows, f"Colour card, {len(self.patches)} patches, L*a*b* under D65")


def read_card(text: str, columns: int = 6, light: str = "D65") -> Card:
    """The card that these words give: a line for each patch, its name and L*, a*, b*, or its name and a screen's #bc9a86.

    Commas, semicolons or tabs part them (with the latter two a figure may have a decimal comma); a first line of headings is
    passed over. `light` is the daylight that the L*a*b* are for; those for D50 are carried over to D65.

    Raises BadValue that names the line.
    """
    if light not in LIGHTS:
        raise BadValue(f"the L*a*b* of a card are for {' or '.join(LIGHTS)}, not {quoted(light)}")
    patches: list[tuple[str, Colour]] = []
    lines = [(number, line.strip()) for number, line in enumerate(text.splitlines(), start=1) if line.strip()]
    for place, (number, line) in enumerate(lines):
        fields = _fields(line)
        try:
            patches.append((fields[0] or f"patch {len(patches) + 1}", _colour(fields[1:], light)))
        except (BadValue, ValueError) as trouble:
            if place == 0 and len(fields) > 1 and not any(c.isdigit() for field in fields[1:] for c in field):
                continue  # a line of headings
            why = f": {trouble}" if isinstance(trouble, BadValue) else ""
            raise BadValue(f"line {number} of the colour card, {quoted(line)}, is no patch{why}; {HOW}") from None
    return Card(tuple(patches), columns)


def _fields(line: str) -> list[str]:
    """The parts of a line; a comma is a decimal comma where something else parts them."""
    for mark in ("\t", ";"):
        if mark in line:
            return [field.strip().replace(",", ".") for field in line.split(mark)]
    return [field.strip() for field in line.split(",")]


def _colour(fields: Sequence[str], light: str) -> Colour:
    if len(fields) == 1:
        return Colour.from_hex(fields[0])
    lightness, a, b = map(float, fields)
    return Colour.under_d50(lightness, a, b) if light == "D50" else Colour(lightness, a, b)
