"""The table of old and new as a workbook for spreadsheets."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

from histkit.base.text import Cell, clean, spreadsheet_cell

if TYPE_CHECKING:
    from histkit.telling.comparison import ComparisonTable

_WIDTHS = (34, 30, 12, 12, 12, 60)


def to_bytes(table: ComparisonTable) -> bytes:
    """The bytes of an .xlsx file: the sheet 'old and new' with figures as numbers, the sheet 'notes' with all that is below it.

    Every text is stored as text; one that begins like a formula gets an apostrophe before it as well.
    """
    import openpyxl
    from openpyxl.styles import Alignment, Border, Font, Side

    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None  # a new workbook has one
    sheet.title = "old and new"
    columns = table.columns()
    rows: list[tuple[Cell, ...]] = [
        (
            row.marked(),
            f"→ {row.today}" if row.fate == "stand-in" else row.today,
            row.then_percent,
            row.now_percent,
            row.grams,
            row.change,
        )
        for row in table.rows
    ]
    rows.append(("Total", None, table.then_total, table.now_total, table.grams_total, None))
    top = Alignment(vertical="top", wrap_text=True)
    line = Side(style="thin")
    for number, cells in enumerate([tuple(c.heading for c in columns), *rows], start=1):
        for place, (cell, column) in enumerate(zip(cells, columns, strict=True), start=1):
            target = sheet.cell(number, place)
            _put(target, cell)
            target.alignment = top
            if isinstance(cell, float):
                digits = _digits(cell, column.decimals or 0)
                target.number_format = "0." + "0" * digits if digits else "0"
            if number == 1 or number == len(rows) + 1:
                target.font = Font(bold=True)
                target.border = Border(bottom=line) if number == 1 else Border(top=line)
    for letter, wide in zip("ABCDEF", _WIDTHS, strict=True):
        sheet.column_dimensions[letter].width = wide
    sheet.freeze_panes = "A2"
    notes = book.create_sheet("notes")
    entries = [("Title", table.title), ("Source", table.citation())]
    entries += [(f"Doubt {n.sign}", n.text) for n in table.footnotes]
    entries += [("Note", note) for note in table.notes]
    for number, (label, text) in enumerate(entries, start=1):
        _put(notes.cell(number, 1), label)
        _put(notes.cell(number, 2), text)
        notes.cell(number, 2).alignment = top
    notes.column_dimensions["A"].width = 12
    notes.column_dimensions["B"].width = 110
    book.properties.title = clean(table.title)[:250]
    book.properties.creator = "histkit"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _digits(value: float, least: int) -> int:
    return next((d for d in range(least, 6) if abs(round(value, d) - value) < 1e-9), 6)


def _put(target: Any, cell: Cell) -> None:
    """A number as a number, a text as a text and never as a formula."""
    target.value = spreadsheet_cell(cell)
    if isinstance(cell, str):
        target.data_type = "s"
