"""Text made fit to be shown or exported: nothing hidden in it, nothing in it that a page or a spreadsheet would act upon."""

from __future__ import annotations

import math
import re
from collections.abc import Iterable
from html import escape as _html_escape

Cell = str | int | float | bool | None


_BREAKS = re.compile(r"\r\n?|[\u000b\u000c\u001c-\u001e\u0085\u2028\u2029]")


_INVISIBLE = re.compile(
    r"[\u0000-\u0008\u000e-\u001b\u001f\u007f-\u009f\u00ad\u061c\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f\ufeff\ufff9-\ufffb"
    r"\U000e0000-\U000e007f]"
)


_NO_CHARACTER = re.compile(r"[\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff]")
"""Halves of characters, as in a file's name that is no UTF-8, and places where Unicode has none: no file could hold them."""


def clean(text: str) -> str:
    """`text` without control characters and bidirectional overrides, which could hide or reorder words.

    Every sort of line break becomes a plain one, so that no two words run together; what is no character is shown as U+FFFD.
    """
    if text.isprintable():
        return text
    return _NO_CHARACTER.sub("\ufffd", _INVISIBLE.sub("", _BREAKS.sub("\n", text)))


def counted(number: int, what: str) -> str:
    """'1 formula', '12 formulas'."""
    return f"{number:,} {what}{'' if number == 1 else 's'}"


def listed(names: Iterable[str]) -> str:
    """'talc', 'talc and chalk', 'talc, chalk and rice'; '' for none."""
    *before, last = [*names] or [""]
    return f"{', '.join(before)} and {last}" if before else last


def escape(text: str) -> str:
    """`text` made safe for HTML."""
    return _html_escape(clean(text), quote=True)


def show(cell: Cell, decimals: int | None = None) -> str:
    """One cell as people read it: `None` is a dash, numbers have a fixed number of decimals where one is given."""
    if cell is None:
        return "–"
    if isinstance(cell, bool):
        return "yes" if cell else "no"
    if isinstance(cell, (int, float)):
        if isinstance(cell, float) and not math.isfinite(cell):
            return "–"
        if decimals is not None:
            return f"{cell:,.{decimals}f}"
        return f"{cell:.4g}"
    return clean(cell)


def markdown_cell(text: str) -> str:
    """`text` with what Markdown or an embedded HTML parser would act upon made harmless."""
    text = re.sub(r"[ \t\n]+", " ", _html_escape(clean(text), quote=False)).strip(" ")
    text = re.sub(r"([\\`*_{}\[\]|#$~@])", r"\\\1", text)
    text = _BECOMES_A_LINK.sub(r"\g<0>\\", text)
    return _OPENS_A_LIST.sub(r"\1\\\2", text, count=1)


_BECOMES_A_LINK = re.compile(r":(?=//)|www(?=\.)", re.IGNORECASE)
"""Where an address begins that many programs make a link of by themselves: 'http://', 'www.'; addresses of letters have an @."""


_OPENS_A_LIST = re.compile(r"\A(\d*)([-+=.)])(?=[-+= ]|\Z)")
"""What makes a list, a rule or a heading of a paragraph that begins with it: '- x', '1. x', '---'."""


FORMULA_STARTERS = frozenset("=+-@＝＋－＠")
"""Signs that make a formula of a cell; programs set up for East Asian languages take the wide ones too."""


def spreadsheet_cell(cell: Cell) -> Cell:
    """A cell that no spreadsheet will take for a formula: text that begins with = + - @ gets an apostrophe before it."""
    if isinstance(cell, str):
        cell = clean(cell)
        if cell[:1] in ("\t", "\n") or cell.lstrip()[:1] in FORMULA_STARTERS:
            return "'" + cell
    return cell


_STARTS_A_CELL = re.compile(rf'[,;\t\n][\s"]*(?=[{re.escape("".join(sorted(FORMULA_STARTERS)))}])')
"""Where a cell would begin with a formula if the file were taken apart at another sign than the one it was made with."""


def csv_text(rows: Iterable[Iterable[Cell]]) -> str:
    """Rows of a CSV file with commas between the cells: text in quotation marks, figures bare, nothing for None.

    No spreadsheet takes a cell for a formula, neither where it parts cells at commas nor at semicolons or tabs: beside the text
    that begins with = + - @, what comes so after one of these signs or a line break gets an apostrophe before it.
    """
    return "".join(f"{','.join(map(_csv_cell, row))}\n" for row in rows)


def _csv_cell(cell: Cell) -> str:
    if not isinstance(cell, str):
        return "" if cell is None else str(cell)
    guarded = _STARTS_A_CELL.sub(r"\g<0>'", str(spreadsheet_cell(cell)))
    return '"' + guarded.replace('"', '""') + '"'
