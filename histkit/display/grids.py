"""A grid as HTML, Markdown or plain text."""

from __future__ import annotations

import textwrap

from histkit.base.grid import Column, Grid
from histkit.base.text import clean, escape, markdown_cell


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
