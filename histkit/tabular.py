"""A grid of words and numbers that any noun can show of itself.

Computing is one thing and rendering another: a noun says what its table holds (`_grid`), and this
module turns that into a DataFrame, HTML, Markdown or plain text. pandas is imported only when a
frame is asked for.
"""

from __future__ import annotations

import math
import re
import textwrap
from dataclasses import dataclass
from html import escape as _html_escape
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    import pandas

Cell = str | int | float | bool | None


@dataclass(frozen=True, slots=True)
class Column:
    """One column: the key that frames use, the heading that people read, and how to print its numbers."""

    key: str
    heading: str
    decimals: int | None = None
    """Digits after the point for numbers; None prints up to four significant digits."""

    @property
    def numeric(self) -> bool:
        return self.decimals is not None


@dataclass(frozen=True, slots=True)
class Grid:
    """`columns` × `rows` with a caption above and notes below. Every row has one cell for each column."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""
    notes: tuple[str, ...] = ()

    def texts(self) -> list[list[str]]:
        """The cells as people read them."""
        return [[show(cell, column.decimals) for cell, column in zip(row, self.columns, strict=True)] for row in self.rows]


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
    text = re.sub(r"([\\`*_{}\[\]|#$~])", r"\\\1", text)
    return _OPENS_A_LIST.sub(r"\1\\\2", text, count=1)


_OPENS_A_LIST = re.compile(r"\A(\d*)([-+=.)])(?=[-+= ]|\Z)")
"""What makes a list, a rule or a heading of a paragraph that begins with it: '- x', '1. x', '---'."""


_STARTERS = frozenset("=+-@＝＋－＠")
"""Signs that make a formula of a cell; programs set up for East Asian languages take the wide ones too."""


def spreadsheet_cell(cell: Cell) -> Cell:
    """A cell that no spreadsheet will take for a formula: text that begins with = + - @ gets an apostrophe before it."""
    if isinstance(cell, str):
        cell = clean(cell)
        if cell[:1] in ("\t", "\n") or cell.lstrip()[:1] in _STARTERS:
            return "'" + cell
    return cell


def to_html(grid: Grid, css_class: str = "histkit") -> str:
    """A plain HTML table with caption and scoped headings; colours follow the notebook's theme."""
    out = [f'<table class="{escape(css_class)}" style="{_TABLE}">']
    if grid.caption:
        out.append(f'<caption style="{_CAPTION}">{escape(grid.caption)}</caption>')
    out.append("<thead><tr>")
    out += [f'<th scope="col" style="{_HEAD}{_align(c)}">{escape(c.heading)}</th>' for c in grid.columns]
    out.append("</tr></thead><tbody>")
    for texts in grid.texts():
        out.append("<tr>")
        for index, (text, column) in enumerate(zip(texts, grid.columns, strict=True)):
            tag, scope = ("th", ' scope="row"') if index == 0 else ("td", "")
            body = escape(text).replace("\n", "<br>")
            out.append(f'<{tag}{scope} style="{_BODY}{_align(column)}">{body}</{tag}>')
        out.append("</tr>")
    out.append("</tbody></table>")
    out += [f'<p style="{_NOTE}">{escape(note)}</p>' for note in grid.notes]
    return "".join(out)


_TEXT = "color:var(--jp-ui-font-color1,#1b1b1b);background:transparent;"
_TABLE = f"border-collapse:collapse;margin:.4em 0;{_TEXT}"
_CAPTION = f"caption-side:top;text-align:left;font-weight:600;padding:.2em 0;{_TEXT}"
_HEAD = f"padding:.25em .7em;border-bottom:2px solid var(--jp-border-color0,#777);vertical-align:bottom;{_TEXT}"
_BODY = f"padding:.25em .7em;border-bottom:1px solid var(--jp-border-color2,#ccc);font-weight:normal;vertical-align:top;{_TEXT}"
_NOTE = f"margin:.2em 0;font-size:.9em;max-width:60em;{_TEXT}"


def _align(column: Column) -> str:
    return "text-align:right;font-variant-numeric:tabular-nums;" if column.numeric else "text-align:left;"


def to_markdown(grid: Grid) -> str:
    """The grid as a Markdown table; notes follow as paragraphs."""
    lines = [f"**{markdown_cell(grid.caption)}**", ""] if grid.caption else []
    lines.append("| " + " | ".join(markdown_cell(c.heading) for c in grid.columns) + " |")
    lines.append("|" + "|".join("---:" if c.numeric else "---" for c in grid.columns) + "|")
    lines += ["| " + " | ".join(markdown_cell(text) for text in texts) + " |" for texts in grid.texts()]
    for note in grid.notes:
        lines += ["", markdown_cell(note)]
    return "\n".join(lines) + "\n"


WIDEST = 36
"""Characters of a text column in a terminal; longer cells are wrapped."""


def to_text(grid: Grid) -> str:
    """Aligned columns for a terminal; long cells and notes are wrapped, nothing is cut off."""
    rows = [[textwrap.wrap(text, WIDEST) or [""] for text in texts] for texts in grid.texts()]
    head = [textwrap.wrap(c.heading, WIDEST) for c in grid.columns]
    widths = [max(len(piece) for row in [head, *rows] for piece in row[i]) for i in range(len(head))]

    def lines(cells: list[list[str]]) -> list[str]:
        out = []
        for level in range(max(len(cell) for cell in cells)):
            parts = [
                (cell[level] if level < len(cell) else "").rjust(width)
                if column.numeric
                else (cell[level] if level < len(cell) else "").ljust(width)
                for cell, width, column in zip(cells, widths, grid.columns, strict=True)
            ]
            out.append("  ".join(parts).rstrip())
        return out

    total = max(60, sum(widths) + 2 * len(widths) - 2)
    out = [grid.caption, ""] if grid.caption else []
    out += [*lines(head), "  ".join("-" * w for w in widths)]
    for row in rows:
        out += lines(row)
    for note in grid.notes:
        out += textwrap.wrap(note, min(total, 110), initial_indent="  ", subsequent_indent="    ")
    return clean("\n".join(out))


class Tabular:
    """Mixed into each noun: it says what its table holds (`_grid`) and can then be shown everywhere."""

    __slots__ = ()

    def _grid(self) -> Grid:
        raise NotImplementedError

    def to_frame(self) -> pandas.DataFrame:
        """The table as a DataFrame: one row for each line, columns named by their keys, plain numbers."""
        import pandas

        grid = self._grid()
        return pandas.DataFrame([list(row) for row in grid.rows], columns=[c.key for c in grid.columns])

    def to_html(self) -> str:
        """The table as HTML, everything escaped."""
        return to_html(self._grid())

    def to_markdown(self) -> str:
        """The table as Markdown."""
        return to_markdown(self._grid())

    def to_text(self) -> str:
        """The table as aligned plain text."""
        return to_text(self._grid())

    def _repr_html_(self) -> str:
        return self.to_html()

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(f"{type(self).__name__}(…)" if cycle else self.to_text())
