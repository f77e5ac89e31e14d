"""The table of old beside new as a workbook for spreadsheets."""

from __future__ import annotations

import io
from collections.abc import Sequence
from typing import Any

from histkit.base.descriptions import Ledger, LedgerEntry, LedgerLine
from histkit.base.grid import Grid
from histkit.base.text import Cell, clean, spreadsheet_cell

_WORDS_WIDTH, _FIGURE_WIDTH, _CHANGE_WIDTH = (34, 30), 12, 60


def to_bytes(ledger: Ledger) -> bytes:
    """The bytes of an .xlsx file: the sheet 'old and new' with figures as numbers, the sheet 'notes' with all that is below it.

    The totals are sums that follow the cells above them; nothing else is a formula: every text is stored as text, and one that
    begins like a formula gets an apostrophe before it as well. Both sheets print on landscape pages, the table on one.
    """
    import openpyxl

    book = openpyxl.Workbook()
    sheet = book.active
    assert sheet is not None  # a new workbook has one
    sheet.title = "old and new"
    _fill_table(sheet, ledger)
    _fill_notes(book.create_sheet("notes"), ledger)
    book.properties.title = clean(ledger.title)[:250]
    book.properties.creator = "histkit"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def of_grids(grids: Sequence[Grid]) -> bytes:
    """The bytes of an .xlsx file with a sheet for each grid, named by its caption: figures as numbers, notes below."""
    import openpyxl

    book = openpyxl.Workbook()
    if book.active is not None:
        book.remove(book.active)
    for number, grid in enumerate(grids, start=1):
        letters = "".join(c for c in clean(grid.caption) if c.isalnum() or c in " -,")[:28].strip()
        _fill_grid(book.create_sheet(letters or f"table {number}"), grid)
    book.properties.creator = "histkit"
    out = io.BytesIO()
    book.save(out)
    return out.getvalue()


def _fill_grid(sheet: Any, grid: Grid) -> None:
    from openpyxl.styles import Alignment, Border, Font, Side
    from openpyxl.utils import get_column_letter

    top = Alignment(vertical="top", wrap_text=True)
    rows: list[tuple[Cell, ...]] = [tuple(column.heading for column in grid.columns), *grid.rows]
    for number, cells in enumerate(rows, start=1):
        for place, (cell, column) in enumerate(zip(cells, grid.columns, strict=True), start=1):
            target = sheet.cell(number, place)
            _put(target, cell)
            target.alignment = top
            if isinstance(cell, float) and column.decimals is not None:
                target.number_format = "0." + "0" * column.decimals if column.decimals else "0"
            if number == 1:
                target.font, target.border = Font(bold=True), Border(bottom=Side(style="thin"))
    for number, note in enumerate(grid.notes, start=len(rows) + 2):
        _put(sheet.cell(number, 1), note)
    for place, column in enumerate(grid.columns, start=1):
        wide = _FIGURE_WIDTH if column.numeric else _WORDS_WIDTH[1]
        sheet.column_dimensions[get_column_letter(place)].width = max(wide, min(len(column.heading) + 2, 34))
    sheet.freeze_panes = "B2"


def _fill_table(sheet: Any, ledger: Ledger) -> None:
    from openpyxl.styles import Alignment, Border, Font, Side
    from openpyxl.utils import get_column_letter

    heads = (ledger.printed_head, ledger.today_head, *ledger.figure_heads, ledger.change_head)
    rows: list[tuple[Cell, ...]] = [tuple(head.words for head in heads)]
    rows += [_cells(entry if n == 0 else None, line) for entry in ledger.entries for n, line in enumerate(entry.lines)]
    rows.append((ledger.total_words, None, *(figure.value for figure in ledger.totals), None))
    top, edge = Alignment(vertical="top", wrap_text=True), Side(style="thin")
    for number, cells in enumerate(rows, start=1):
        for place, (cell, head) in enumerate(zip(cells, heads, strict=True), start=1):
            target = sheet.cell(number, place)
            _put(target, cell)
            target.alignment = top
            if isinstance(cell, float):
                digits = _digits(cell, head.decimals or 0)
                target.number_format = "0." + "0" * digits if digits else "0"
            if number in (1, len(rows)):
                target.font = Font(bold=True)
                target.border = Border(bottom=edge) if number == 1 else Border(top=edge)
            if number == len(rows) and isinstance(cell, float):
                letter = get_column_letter(place)
                target.value = f"=SUM({letter}2:{letter}{number - 1})"
    for place, wide in enumerate((*_WORDS_WIDTH, *[_FIGURE_WIDTH] * len(ledger.figure_heads), _CHANGE_WIDTH), start=1):
        sheet.column_dimensions[get_column_letter(place)].width = wide
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
    sheet.oddHeader.center.text = clean(ledger.title).replace("&", "&&")[:200]
    _lay_out(sheet)


def _lay_out(sheet: Any) -> None:
    """One landscape page of A4."""
    sheet.page_setup.orientation = "landscape"
    sheet.page_setup.paperSize = sheet.PAPERSIZE_A4
    sheet.sheet_properties.pageSetUpPr.fitToPage = True
    sheet.page_setup.fitToWidth = sheet.page_setup.fitToHeight = 1


def _cells(entry: LedgerEntry | None, line: LedgerLine) -> tuple[Cell, ...]:
    """The cells of a line; the printed words stand beside the first line of their entry."""
    printed = " ".join((entry.printed, *entry.signs)) if entry is not None else ""
    today = f"→ {line.named}" if line.place == "instead" else line.named
    return (printed, today, *(figure.value for figure in line.figures), line.change)


def _fill_notes(sheet: Any, ledger: Ledger) -> None:
    from openpyxl.styles import Alignment

    entries = [("Title", ledger.title), ("Source", ledger.source)]
    entries += [(f"Doubt {note.sign}", note.text) for note in ledger.footnotes]
    entries += [("Note", note) for note in ledger.notes]
    for number, (label, text) in enumerate(entries, start=1):
        _put(sheet.cell(number, 1), label)
        _put(sheet.cell(number, 2), text)
        sheet.cell(number, 2).alignment = Alignment(vertical="top", wrap_text=True)
    sheet.column_dimensions["A"].width = 12
    sheet.column_dimensions["B"].width = 110
    _lay_out(sheet)


def _digits(value: float, least: int) -> int:
    return next((d for d in range(least, 6) if abs(round(value, d) - value) < 1e-9), 6)


def _put(target: Any, cell: Cell) -> None:
    """A number as a number, a text as a text and never as a formula."""
    target.value = spreadsheet_cell(cell)
    if isinstance(cell, str):
        target.data_type = "s"
