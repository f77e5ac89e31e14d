"""A sheet on paper: pages to print, with boxes to tick, room to write beside every amount, and room for notes.

Nothing is cut off: what does not fit on a page goes on the next one, each line of a list staying whole. Everything is set in
black, so that a plain printer will do.
"""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import assert_never

from histkit.base.descriptions import (
    Bullets,
    Form,
    Heading,
    Notes,
    Paper,
    PaperBlock,
    Paragraph,
    Ticked,
    ToWeigh,
    WeighingList,
)
from histkit.base.errors import BadValue
from histkit.display.frames import Bar, Frame, Words, figure
from histkit.display.lettering import ASCENT, Face, plain, width, wrap

_DPI = 256
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres: ISO 216 and ANSI/ASME Y14.1."""
_INK, _GREY, _LINE = "#000000", "#444444", "#999999"
_LEAD = 1.32


def _mm(millimetres: float) -> float:
    return millimetres / 25.4 * _DPI


def _pt(points: float) -> float:
    return points / 72 * _DPI


MARGIN = _mm(16)
BOX = _mm(3.6)
"""Side of a box to tick, in pixels."""
_TEXT, _SMALL, _HEAD, _TITLE = _pt(9.5), _pt(8), _pt(11.5), _pt(16)
_NOTE_LINE = _mm(8)
_HAND = _mm(4)
"""Room for one character written by hand."""


@dataclass(frozen=True, slots=True)
class _Block:
    """Things that stay together, placed from the top of the block; `high` is its height. A heading keeps with the next block."""

    items: tuple[Words | Bar, ...]
    high: float
    keeps_next: bool = False


def to_pdf(paper: Paper, size: str = "a4") -> bytes:
    """The sheet as the bytes of a PDF, the same for the same sheet. Raises BadValue for a size of paper that is not known."""
    import matplotlib
    from matplotlib.backends.backend_pdf import PdfPages

    settings = {"pdf.fonttype": 42, "text.hinting": "none", "text.usetex": False}
    about = {"Title": plain(paper.title), "Creator": "histkit", "CreationDate": None}
    out = io.BytesIO()
    with matplotlib.rc_context(settings), PdfPages(out, metadata=about) as document:  # type: ignore[arg-type]
        for frame in pages(paper, size):
            document.savefig(figure(frame))
    return out.getvalue()


def pages(paper: Paper, size: str = "a4") -> tuple[Frame, ...]:
    """The pages, each a frame of the size of the paper. Raises BadValue for a size of paper that is not known."""
    if size.lower() not in PAPERS:
        raise BadValue(f"the paper is one of {', '.join(PAPERS)}, not {size!r}")
    wide, high = (round(_mm(side)) for side in PAPERS[size.lower()])
    setting = _Setting(wide - 2 * MARGIN)
    blocks = [setting.text(paper.title, _TITLE, "bold", after=0.25)]
    blocks += [part for block in paper.blocks for part in setting.parts(block)]
    placed = _placed(blocks, setting, high - 2 * MARGIN - 2 * _LEAD * _SMALL)
    out = []
    for page, entries in enumerate(placed, start=1):
        items: list[Words | Bar] = []
        for top, block in entries:
            items += [replace(item, x=item.x + MARGIN, y=item.y + MARGIN + top) for item in block.items]
        line = high - MARGIN - 0.4 * _SMALL
        name = wrap(paper.running, _SMALL, 0.8 * (wide - 2 * MARGIN))[0]
        items.append(Bar(MARGIN, line - 1.5 * _SMALL, wide - 2 * MARGIN, _pt(0.5), _LINE))
        items.append(Words(name, MARGIN, line, _SMALL, _GREY))
        items.append(Words(f"page {page} of {len(placed)}", wide - MARGIN, line, _SMALL, _GREY, "regular", "right"))
        out.append(Frame(wide, high, tuple(items), "#ffffff", title=plain(f"{paper.title}, page {page}")))
    return tuple(out)


def _placed(blocks: Sequence[_Block], setting: _Setting, room: float) -> list[list[tuple[float, _Block]]]:
    """For each page its blocks with their tops; lines for notes fill the last page."""
    placed: list[list[tuple[float, _Block]]] = [[]]
    y = 0.0
    for number, block in enumerate(blocks):
        needed = block.high + (blocks[number + 1].high if block.keeps_next and number + 1 < len(blocks) else 0.0)
        if y + needed > room and placed[-1]:
            placed.append([])
            y = 0.0
        placed[-1].append((y, block))
        y += block.high
    more = int((room - y) / _NOTE_LINE)
    placed[-1].append((y, _Block(tuple(setting.note_lines(more)), more * _NOTE_LINE)))
    return placed


class _Setting:
    """The blocks of a sheet for a column of text of that width."""

    def __init__(self, room: float) -> None:
        self.room = room

    def parts(self, block: PaperBlock) -> list[_Block]:
        """A block of the description, in pieces that stay whole."""
        match block:
            case Heading(words):
                return [self._heading(words)]
            case Paragraph(words, "warning"):
                return [self.text(words, _TEXT, "bold", after=0.25)]
            case Paragraph(words, "caution"):
                return [self.text(words, _SMALL, "bold", after=0.4)]
            case Paragraph(words):
                return [self.text(words, _TEXT, after=0.25)]
            case Bullets(entries):
                return [self._bullet(f"{who}: {words}") for who, words in entries]
            case Form():
                return self._form(block)
            case Ticked(steps):
                return [self._tick(f"{number}. {words}") for number, words in enumerate(steps, start=1)]
            case WeighingList(rows):
                return self._weighings(rows)
            case Notes(words):
                return [self._notes(words)]
        assert_never(block)

    def _lines(
        self, lines: Sequence[str], size: float, x: float, face: Face = "regular", colour: str = _INK
    ) -> list[Words | Bar]:
        return [Words(text, x, (n * _LEAD + ASCENT) * size, size, colour, face) for n, text in enumerate(lines)]

    def text(self, words: str, size: float, face: Face = "regular", after: float = 0.0) -> _Block:
        """A paragraph; `after` is the space below it, in ems."""
        lines = wrap(words, size, self.room, face)
        return _Block(tuple(self._lines(lines, size, 0.0, face)), (len(lines) * _LEAD + after) * size)

    def _heading(self, words: str) -> _Block:
        lines = wrap(words, _HEAD, self.room, "bold")
        space = 0.8 * _HEAD
        items = [replace(item, y=item.y + space) for item in self._lines(lines, _HEAD, 0.0, "bold")]
        return _Block(tuple(items), space + (len(lines) * _LEAD + 0.2) * _HEAD, keeps_next=True)

    def _form(self, form: Form) -> list[_Block]:
        """Names with their values, or with lines to write on."""
        rows: list[list[Words | Bar]] = [[]]
        x = 0.0
        for blank in form.blanks:
            label = f"{blank.name}{f', {blank.unit}' if blank.unit else ''}: "
            long = max(blank.room * _HAND, width(blank.value, _TEXT, "bold") + _mm(2))
            if x and x + width(label, _TEXT) + long > self.room:
                rows.append([])
                x = 0.0
            y = ASCENT * _TEXT
            rows[-1].append(Words(label.rstrip(), x, y, _TEXT, _INK))
            x += width(label, _TEXT)
            if blank.value:
                rows[-1] += [Words(text, x, y, _TEXT, _INK, "bold") for text in wrap(blank.value, _TEXT, self.room, "bold")[:1]]
            else:
                rows[-1].append(Bar(x, 1.12 * _TEXT, long, _pt(0.5), _LINE))
            x += long + _mm(4)
        return [_Block(tuple(row), 1.9 * _TEXT) for row in rows]

    def _bullet(self, words: str) -> _Block:
        lines = wrap(words, _SMALL, self.room - _mm(4))
        items = [Words("•", 0.0, ASCENT * _SMALL, _SMALL, _INK), *self._lines(lines, _SMALL, _mm(4))]
        return _Block(tuple(items), (len(lines) * _LEAD + 0.15) * _SMALL)

    def _tick(self, words: str) -> _Block:
        lines = wrap(words, _TEXT, self.room - BOX - _mm(2.5))
        items = [*_box(0.0, 0.18 * _TEXT), *self._lines(lines, _TEXT, BOX + _mm(2.5))]
        return _Block(tuple(items), (max(len(lines) * _LEAD, BOX / _TEXT + 0.2) + 0.3) * _TEXT)

    def _weighings(self, rows: Sequence[ToWeigh]) -> list[_Block]:
        """One line for each weighing: box, amount, ingredient with its note, and a line for what the balance showed."""
        write = _mm(26)
        amount_right = BOX + _mm(2.5) + max((width(row.amount, _TEXT, "bold") for row in rows), default=0.0)
        name_x = amount_right + _mm(4)
        head = [
            Words("Weigh", amount_right, ASCENT * _SMALL, _SMALL, _GREY, "regular", "right"),
            Words("Ingredient", name_x, ASCENT * _SMALL, _SMALL, _GREY),
            Words("Balance showed", self.room - write, ASCENT * _SMALL, _SMALL, _GREY),
        ]
        out = [_Block(tuple(head), 1.5 * _SMALL, keeps_next=True)]
        stage = ""
        for row in rows:
            note = "; ".join(filter(None, (row.stage if row.stage != stage else "", row.note)))
            out.append(self._weighing(row, note, amount_right, name_x, write))
            stage = row.stage
        return out

    def _weighing(self, row: ToWeigh, note: str, amount_right: float, name_x: float, write: float) -> _Block:
        room = self.room - name_x - write - _mm(4)
        lines = wrap(row.name, _TEXT, room)
        small = wrap(note, _SMALL, room) if note else []
        top = 0.25 * _TEXT
        base, below = top + ASCENT * _TEXT, top + len(lines) * _LEAD * _TEXT
        items: list[Words | Bar] = [
            Bar(0.0, 0.0, self.room, _pt(0.35), _LINE),
            *_box(0.0, top + 0.1 * _TEXT),
            Words(row.amount, amount_right, base, _TEXT, _INK, "bold", "right"),
            *(replace(item, y=item.y + top) for item in self._lines(lines, _TEXT, name_x)),
            *(replace(item, y=item.y + below) for item in self._lines(small, _SMALL, name_x, colour=_GREY)),
            Bar(self.room - write, base + 0.2 * _TEXT, write, _pt(0.5), _LINE),
        ]
        high = max(below + len(small) * _LEAD * _SMALL, BOX + 0.6 * _TEXT) + 0.25 * _TEXT
        return _Block(tuple(items), high)

    def _notes(self, words: str) -> _Block:
        """Room for notes: three lines at least; more follow to the foot of the page."""
        heading = self._heading(words)
        lines = [replace(bar, y=bar.y + heading.high) for bar in self.note_lines(3)]
        return _Block((*heading.items, *lines), heading.high + 3 * _NOTE_LINE)

    def note_lines(self, count: int) -> list[Bar]:
        """Lines to write on, from the top of a block."""
        return [Bar(0.0, (n + 0.9) * _NOTE_LINE, self.room, _pt(0.5), _LINE) for n in range(count)]


def _box(x: float, y: float) -> list[Bar]:
    """A box to tick: four thin bars."""
    thin = _pt(0.7)
    return [
        Bar(x, y, BOX, thin, _INK),
        Bar(x, y + BOX - thin, BOX, thin, _INK),
        Bar(x, y, thin, BOX, _INK),
        Bar(x + BOX - thin, y, thin, BOX, _INK),
    ]
