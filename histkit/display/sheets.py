"""The bench sheet on paper: pages to print, with boxes to tick, room to write beside every amount, and room for notes.

Nothing is cut off: what does not fit on a page goes on the next one, each line of the list staying whole. Everything is set in
black, so that a plain printer will do.
"""

from __future__ import annotations

import io
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.files import write_atomically
from histkit.display.frames import Bar, Frame, Words, figure
from histkit.display.lettering import ASCENT, Face, plain, width, wrap

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.sheet import BenchSheet, SheetRow

_DPI = 256
PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres: ISO 216 and ANSI/ASME Y14.1."""
_INK, _GREY, _LINE = "#000000", "#444444", "#999999"
_LEAD = 1.32


def _mm(millimetres: float) -> float:
    return millimetres / 25.4 * _DPI


def _pt(points: float) -> float:
    return points / 72 * _DPI


_MARGIN = _mm(16)
_TEXT, _SMALL, _HEAD, _TITLE = _pt(9.5), _pt(8), _pt(11.5), _pt(16)
_BOX = _mm(3.6)
_NOTE_LINE = _mm(8)


@dataclass(frozen=True, slots=True)
class _Block:
    """Things that stay together, placed from the top of the block; `high` is its height. A heading keeps with the next block."""

    items: tuple[Words | Bar, ...]
    high: float
    keeps_next: bool = False


def save_sheet(path: str | Path, batch: Batch, paper: str = "a4") -> Path:
    """Write the bench sheet of a batch by the ending of its name: .pdf, .html or .md.

    Raises:
        BadValue: the ending is another, or the paper is not known.
        RecordError: the file cannot be written.
    """
    from histkit.display import html

    path = Path(path)
    ending = path.suffix.lower()
    if ending == ".pdf":
        write_atomically(path, to_pdf(batch.bench_sheet(), paper))
    elif ending == ".html":
        write_atomically(path, html.bench_page(batch))
    elif ending == ".md":
        write_atomically(path, batch.to_markdown())
    else:
        raise BadValue(f"{path}: a bench sheet is written as .pdf, .html or .md")
    return path


def to_pdf(sheet: BenchSheet, paper: str = "a4") -> bytes:
    """The sheet as the bytes of a PDF, the same for the same sheet. Raises BadValue for a paper that is not known."""
    import matplotlib
    from matplotlib.backends.backend_pdf import PdfPages

    settings = {"pdf.fonttype": 42, "text.hinting": "none", "text.usetex": False}
    about = {"Title": plain(f"Bench sheet: {sheet.title}"), "Creator": "histkit", "CreationDate": None}
    out = io.BytesIO()
    with matplotlib.rc_context(settings), PdfPages(out, metadata=about) as document:  # type: ignore[arg-type]
        for frame in pages(sheet, paper):
            document.savefig(figure(frame))
    return out.getvalue()


def pages(sheet: BenchSheet, paper: str = "a4") -> tuple[Frame, ...]:
    """The pages, each a frame of the size of the paper."""
    if paper.lower() not in PAPERS:
        raise BadValue(f"the paper is one of {', '.join(PAPERS)}, not {paper!r}")
    wide, high = (round(_mm(side)) for side in PAPERS[paper.lower()])
    setting = _Setting(sheet, wide - 2 * _MARGIN)
    foot = 2 * _LEAD * _SMALL
    room = high - 2 * _MARGIN - foot
    placed: list[list[tuple[float, _Block]]] = [[]]
    y = 0.0
    blocks = setting.blocks()
    for number, block in enumerate(blocks):
        needed = block.high + (blocks[number + 1].high if block.keeps_next and number + 1 < len(blocks) else 0.0)
        if y + needed > room and placed[-1]:
            placed.append([])
            y = 0.0
        placed[-1].append((y, block))
        y += block.high
    more = int((room - y) / _NOTE_LINE)
    placed[-1].append((y, _Block(tuple(setting.note_lines(more)), more * _NOTE_LINE)))
    out = []
    for page, entries in enumerate(placed, start=1):
        items: list[Words | Bar] = []
        for top, block in entries:
            items += [replace(item, x=item.x + _MARGIN, y=item.y + _MARGIN + top) for item in block.items]
        line = high - _MARGIN - 0.4 * _SMALL
        named = f"{sheet.title}{f', batch {sheet.number}' if sheet.number else ''}"
        name = wrap(named, _SMALL, 0.8 * (wide - 2 * _MARGIN))[0]
        items.append(Bar(_MARGIN, line - 1.5 * _SMALL, wide - 2 * _MARGIN, _pt(0.5), _LINE))
        items.append(Words(name, _MARGIN, line, _SMALL, _GREY))
        items.append(Words(f"page {page} of {len(placed)}", wide - _MARGIN, line, _SMALL, _GREY, "regular", "right"))
        out.append(Frame(wide, high, tuple(items), "#ffffff", title=plain(f"Bench sheet: {sheet.title}, page {page}")))
    return tuple(out)


class _Setting:
    """The blocks of a sheet for a column of text of that width."""

    def __init__(self, sheet: BenchSheet, room: float) -> None:
        self.sheet, self.room = sheet, room

    def blocks(self) -> list[_Block]:
        from histkit.bench.sheet import BENCH_CAUTION

        sheet = self.sheet
        out = [self._text(f"Bench sheet: {sheet.title}", _TITLE, "bold", after=0.25), *self._fields()]
        out += [self._text(words, _TEXT, "bold", after=0.25) for words in sheet.warnings]
        out += [self._text(sheet.price, _TEXT, after=0.25)] if sheet.price else []
        if sheet.cautions:
            out.append(self._heading("Cautions"))
            out += [self._bullet(f"{who}: {words}") for who, words in sheet.caution_lines()]
        out.append(self._text(BENCH_CAUTION, _SMALL, "bold", after=0.4))
        for name, steps in sheet.aliquots:
            out += [self._heading(f"Aliquot: {name}"), *map(self._tick, _numbered(steps))]
        out += [self._heading("Weigh"), *self._weighings(sheet.rows)]
        if sheet.mixing:
            out += [self._heading("Mix small into large"), *map(self._tick, _numbered(sheet.mixing))]
        out += [self._heading("Steps (common practice, no source)")]
        out += map(self._tick, _numbered([sheet.step_text(step) for step in sheet.steps]))
        return [*out, self._notes()]

    def _lines(
        self, lines: Sequence[str], size: float, x: float, face: Face = "regular", colour: str = _INK
    ) -> list[Words | Bar]:
        return [Words(text, x, (n * _LEAD + ASCENT) * size, size, colour, face) for n, text in enumerate(lines)]

    def _text(self, words: str, size: float, face: Face = "regular", after: float = 0.0) -> _Block:
        lines = wrap(words, size, self.room, face)
        return _Block(tuple(self._lines(lines, size, 0.0, face)), (len(lines) * _LEAD + after) * size)

    def _heading(self, words: str) -> _Block:
        lines = wrap(words, _HEAD, self.room, "bold")
        space = 0.8 * _HEAD
        items = [replace(item, y=item.y + space) for item in self._lines(lines, _HEAD, 0.0, "bold")]
        return _Block(tuple(items), space + (len(lines) * _LEAD + 0.2) * _HEAD, keeps_next=True)

    def _fields(self) -> list[_Block]:
        """Batch number, date, room, total: with lines to write on."""
        fields = [
            ("Batch number", self.sheet.number, 34.0),
            ("Date", "", 30.0),
            ("Room, °C", "", 16.0),
            ("Total", self.sheet.total, 30.0),
        ]
        rows: list[list[Words | Bar]] = [[]]
        x = 0.0
        for name, value, least in fields:
            label = f"{name}: "
            long = max(_mm(least), width(value, _TEXT, "bold") + _mm(2))
            if x and x + width(label, _TEXT) + long > self.room:
                rows.append([])
                x = 0.0
            y = ASCENT * _TEXT
            rows[-1].append(Words(label.rstrip(), x, y, _TEXT, _INK))
            x += width(label, _TEXT)
            if value:
                rows[-1] += [Words(text, x, y, _TEXT, _INK, "bold") for text in wrap(value, _TEXT, self.room, "bold")[:1]]
            else:
                rows[-1].append(Bar(x, 1.12 * _TEXT, long, _pt(0.5), _LINE))
            x += long + _mm(4)
        return [_Block(tuple(row), 1.9 * _TEXT) for row in rows]

    def _bullet(self, words: str) -> _Block:
        lines = wrap(words, _SMALL, self.room - _mm(4))
        items = [Words("•", 0.0, ASCENT * _SMALL, _SMALL, _INK), *self._lines(lines, _SMALL, _mm(4))]
        return _Block(tuple(items), (len(lines) * _LEAD + 0.15) * _SMALL)

    def _tick(self, words: str) -> _Block:
        lines = wrap(words, _TEXT, self.room - _BOX - _mm(2.5))
        items = [*_box(0.0, 0.18 * _TEXT), *self._lines(lines, _TEXT, _BOX + _mm(2.5))]
        return _Block(tuple(items), (max(len(lines) * _LEAD, _BOX / _TEXT + 0.2) + 0.3) * _TEXT)

    def _weighings(self, rows: Sequence[SheetRow]) -> list[_Block]:
        """One line for each weighing: box, amount, ingredient with its note, and a line for what the balance showed."""
        write = _mm(26)
        amounts = max(width(row.amount, _TEXT, "bold") for row in rows)
        start = _BOX + _mm(2.5)
        name_x = start + amounts + _mm(4)
        room = self.room - name_x - write - _mm(4)
        head = [
            Words("Weigh", start + amounts, ASCENT * _SMALL, _SMALL, _GREY, "regular", "right"),
            Words("Ingredient", name_x, ASCENT * _SMALL, _SMALL, _GREY),
            Words("Balance showed", self.room - write, ASCENT * _SMALL, _SMALL, _GREY),
        ]
        out = [_Block(tuple(head), 1.5 * _SMALL, keeps_next=True)]
        stage = ""
        for row in rows:
            lines = wrap(row.ingredient.name, _TEXT, room)
            note = "; ".join(filter(None, (row.stage if row.stage != stage else "", row.note)))
            small = wrap(note, _SMALL, room) if note else []
            stage = row.stage
            top = 0.25 * _TEXT
            items: list[Words | Bar] = [Bar(0.0, 0.0, self.room, _pt(0.35), _LINE), *_box(0.0, top + 0.1 * _TEXT)]
            base = top + ASCENT * _TEXT
            items.append(Words(row.amount, start + amounts, base, _TEXT, _INK, "bold", "right"))
            items += [replace(item, y=item.y + top) for item in self._lines(lines, _TEXT, name_x)]
            below = top + len(lines) * _LEAD * _TEXT
            items += [replace(item, y=item.y + below) for item in self._lines(small, _SMALL, name_x, colour=_GREY)]
            items.append(Bar(self.room - write, base + 0.2 * _TEXT, write, _pt(0.5), _LINE))
            high = max(below + len(small) * _LEAD * _SMALL, _BOX + 0.6 * _TEXT) + 0.25 * _TEXT
            out.append(_Block(tuple(items), high))
        return out

    def _notes(self) -> _Block:
        """Room for notes: three lines at least; more follow to the foot of the page."""
        heading = self._heading("Notes")
        lines = [replace(bar, y=bar.y + heading.high) for bar in self.note_lines(3)]
        return _Block((*heading.items, *lines), heading.high + 3 * _NOTE_LINE)

    def note_lines(self, count: int) -> list[Bar]:
        """Lines to write on, from the top of a block."""
        return [Bar(0.0, (n + 0.9) * _NOTE_LINE, self.room, _pt(0.5), _LINE) for n in range(count)]


def _numbered(steps: Iterable[str]) -> list[str]:
    return [f"{number}. {words}" for number, words in enumerate(steps, start=1)]


def _box(x: float, y: float) -> list[Bar]:
    """A box to tick: four thin bars."""
    thin = _pt(0.7)
    return [
        Bar(x, y, _BOX, thin, _INK),
        Bar(x, y + _BOX - thin, _BOX, thin, _INK),
        Bar(x, y, thin, _BOX, _INK),
        Bar(x + _BOX - thin, y, thin, _BOX, _INK),
    ]
