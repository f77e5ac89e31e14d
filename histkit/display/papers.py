"""A sheet on paper: pages to print, with boxes to tick, room to write beside every amount, and room for notes.

Nothing is cut off: what does not fit on a page goes on the next one. Everything is set in black, so that a plain printer will do.
"""

from __future__ import annotations

from typing import Any, assert_never

from histkit.base.descriptions import Bullets, Form, Heading, Notes, Paper, PaperBlock, Paragraph, Ticked, WeighingList
from histkit.base.errors import BadValue
from histkit.base.text import clean
from histkit.display import typesetting
from histkit.display.typography import parted, printed, words

PAPERS = {"a4": (210.0, 297.0), "letter": (215.9, 279.4)}
"""Width and height in millimetres: ISO 216 and ANSI/ASME Y14.1."""
_LONG = 4000
"""Characters of one piece of text on a sheet; what is longer is no text for a bench."""
_RUNNING = 54
"""Characters of the title at the foot of each page, which has one line; the whole title stands at the head of the first."""


def to_pdf(paper: Paper, size: str = "a4") -> bytes:
    """The sheet as the bytes of a PDF, the same for the same sheet. Raises BadValue for a size of paper that is not known."""
    return typesetting.render("paper", fields(paper, size), "pdf")


def fields(paper: Paper, size: str = "a4") -> dict[str, Any]:
    """What the template of the sheet is given. Raises BadValue for a size of paper that is not known."""
    if size.lower() not in PAPERS:
        raise BadValue(f"the paper is one of {', '.join(PAPERS)}, not {size!r}")
    wide, high = PAPERS[size.lower()]
    return {
        "width": wide,
        "height": high,
        "title": clean(paper.title),
        "words": printed(paper.title, _LONG),
        "running": words(paper.running, _RUNNING),
        "blocks": [_block(block) for block in paper.blocks],
    }


def _block(block: PaperBlock) -> dict[str, Any]:
    """A block of the description for the template."""
    match block:
        case Heading(text) | Notes(text):
            return {"block": "heading" if isinstance(block, Heading) else "notes", "words": words(text, _LONG)}
        case Paragraph(text, kind):
            return {"block": "paragraph", "kind": kind, "words": words(text, _LONG)}
        case Bullets(entries):
            return {"block": "bullets", "entries": [(words(who, _LONG), words(text, _LONG)) for who, text in entries]}
        case Form(blanks):
            made = [{"name": words(b.name), "value": words(b.value), "unit": words(b.unit), "room": b.room} for b in blanks]
            return {"block": "form", "blanks": made}
        case Ticked(steps):
            return {"block": "ticked", "steps": [words(step, _LONG) for step in steps]}
        case WeighingList(rows):
            made, stage = [], ""
            for row in rows:  # the stage is named once, where it begins
                note = "; ".join(filter(None, (row.stage if row.stage != stage else "", row.note)))
                made.append({"name": words(row.name, _LONG), "amount": parted(words(row.amount)), "note": words(note, _LONG)})
                stage = row.stage
            return {"block": "weighings", "rows": made}
    assert_never(block)
