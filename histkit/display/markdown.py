"""A sheet to work with as Markdown, with boxes to tick."""

from __future__ import annotations

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
from histkit.base.text import markdown_cell

_NOTE_LINES = 3


def paper(described: Paper) -> str:
    """The sheet, everything in it made harmless."""
    out = [f"# {markdown_cell(described.title)}", ""]
    for block in described.blocks:
        out += _block(block)
    return "\n".join(out) + "\n"


def _block(block: PaperBlock) -> list[str]:
    match block:
        case Heading(words):
            return [f"## {markdown_cell(words)}", ""]
        case Paragraph(words, "warning"):
            return [f"**{markdown_cell(words)}**", ""]
        case Paragraph(words):
            return [markdown_cell(words), ""]
        case Bullets(entries):
            return [*(f"- **{markdown_cell(who)}**: {markdown_cell(words)}" for who, words in entries), ""]
        case Form():
            return [markdown_cell(block.text()), ""]
        case Ticked(steps):
            return [*(f"{number}. [ ] {markdown_cell(step)}" for number, step in enumerate(steps, 1)), ""]
        case WeighingList(rows):
            return [*map(_weighing, rows), ""]
        case Notes(words):
            return [f"## {markdown_cell(words)}", "", *["______________________________\n"] * _NOTE_LINES]
    assert_never(block)


def _weighing(row: ToWeigh) -> str:
    note = f" ({markdown_cell(row.note)})" if row.note else ""
    return f"- [ ] {markdown_cell(row.amount)} {markdown_cell(row.name)}{note}; balance showed ______"
