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


ACROSS = 80
"""Characters of a line in a terminal that has no other width."""
WIDEST = 36
"""Characters of a text column; longer cells are wrapped."""
NARROWEST, TALLEST = 9, 12
"""Characters that a text column has at least, and lines that a row has at most: where columns do not fit so, each row becomes a
paragraph."""


def to_text(grid: Grid, across: int = ACROSS) -> str:
    """Aligned columns for a terminal of `across` characters; long cells and notes are wrapped, nothing is cut off.

    Columns that do not fit beside each other are told one below the other, a paragraph for each row.
    """
    texts = [list(row) for row in grid.texts()]
    widths = _widths(grid, texts, across)
    out = [*textwrap.wrap(grid.caption, across), ""] if grid.caption else []
    out += _beside(grid, texts, widths) if widths and _tallest(texts, widths) <= TALLEST else _below(grid, texts, across)
    for note in grid.notes:
        out += textwrap.wrap(note, across, initial_indent="  ", subsequent_indent="    ")
    return clean("\n".join(out))


def _widths(grid: Grid, texts: list[list[str]], across: int) -> list[int]:
    """The width of each column; none where they do not fit. Figures are never wrapped, texts give way, the widest first."""
    columns = range(len(grid.columns))
    longest = [max((len(line) for row in texts for line in row[i].split("\n")), default=0) for i in columns]
    heads = [max(map(len, column.heading.split()), default=0) for column in grid.columns]
    least = [max(longest[i] if grid.columns[i].numeric else min(longest[i], NARROWEST), heads[i]) for i in columns]
    widths = [max(least[i], min(max(longest[i], len(grid.columns[i].heading)), WIDEST)) for i in columns]
    for i in columns:
        if grid.columns[i].numeric:
            widths[i] = least[i]
    room = across - 2 * (len(widths) - 1)
    if sum(least) > room:
        return []
    while sum(widths) > room:
        widest = max((i for i in columns if widths[i] > least[i]), key=widths.__getitem__)
        widths[widest] -= 1
    return widths


def _tallest(texts: list[list[str]], widths: list[int]) -> int:
    """How many lines the tallest row takes."""
    return max((len(textwrap.wrap(c, w)) for row in texts for c, w in zip(row, widths, strict=True)), default=0)


def _beside(grid: Grid, texts: list[list[str]], widths: list[int]) -> list[str]:
    """The rows as columns."""

    def lines(cells: list[str]) -> list[str]:
        wrapped = [textwrap.wrap(cell, width) or [""] for cell, width in zip(cells, widths, strict=True)]
        out = []
        for level in range(max(map(len, wrapped))):
            parts = [cell[level] if level < len(cell) else "" for cell in wrapped]
            placed = zip(parts, widths, grid.columns, strict=True)
            out.append("  ".join(p.rjust(w) if c.numeric else p.ljust(w) for p, w, c in placed).rstrip())
        return out

    out = [*lines([column.heading for column in grid.columns]), "  ".join("-" * width for width in widths)]
    for row in texts:
        out += lines(row)
    return out


def _below(grid: Grid, texts: list[list[str]], across: int) -> list[str]:
    """The rows as paragraphs: the first cell, and beneath it what stands in the others, by the headings of their columns."""
    room = max(len(column.heading) for column in grid.columns) + 2
    out = []
    for row in texts:
        out += textwrap.wrap(row[0], across) or ["–"]
        for column, cell in zip(grid.columns[1:], row[1:], strict=True):
            begin = f"  {column.heading}:".ljust(room + 2)
            out += textwrap.wrap(cell, across, initial_indent=begin, subsequent_indent=" " * len(begin)) if cell else []
        out.append("")
    return out
