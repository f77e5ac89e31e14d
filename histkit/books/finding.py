"""The text of a book → the formulas in it: title, ingredients and directions, each a stretch of the text as printed.

Every printed line is weighed by cheap evidence (`evidence`); lines that read like ingredients are gathered (`blocks`); a block
that holds enough amounts and known names for its prose is a formula (`judging`), and gets the title above it and the
directions below (`edges`). Nothing here looks back over the text, so that the time grows with the length and no faster.
"""

from __future__ import annotations

from dataclasses import replace

from histkit.books.blocks import Block, blocks
from histkit.books.dividing import Segment, segments
from histkit.books.edges import directions_below, title_above, title_line_before
from histkit.books.judging import accepted
from histkit.books.pages import Lines, Pages, pages
from histkit.books.passages import Passage
from histkit.books.titles import NUMERAL_HEAD, run_in_title
from histkit.books.view import View


def find_formulas(text: str, layout: Pages | None = None) -> tuple[Passage, ...]:
    """All formulas of a book, in order. `layout` is `pages(text)` where it is already known.

    Every offset and line number counts in `text`. Takes any text; a text without formulas gives none.
    """
    layout = pages(text) if layout is None else layout
    passages: list[Passage] = []
    for segment in segments(text, layout):
        for passage in find_in(text[segment.start : segment.end], segment, layout):
            passages.append(replace(passage, number=len(passages) + 1))
    return tuple(passages)


def find_in(text: str, segment: Segment, layout: Pages) -> list[Passage]:
    """The formulas of one segment; `text` is the segment's own. Offsets and line numbers are those of the book.

    Their numbers are all 0: only who has all segments can count.
    """
    view = View.of(Lines.of(text), segment, layout)
    passages: list[Passage] = []
    formulas = [block for block in blocks(view) if accepted(view, block)]
    floor = 0
    for index, block in enumerate(formulas):
        first, title = title_above(view, block, floor)
        limit = len(view.lines)
        if index + 1 < len(formulas):
            limit = title_line_before(view, formulas[index + 1].first, block.last + 1)
        last = directions_below(view, block, limit)
        floor = last + 1
        if not title and passages and NUMERAL_HEAD.match(view.lines[block.first]):
            title = passages[-1].title
        passages.append(_passage(view, segment, layout, block, title, first, last))
    return passages


def _passage(view: View, segment: Segment, layout: Pages, block: Block, title: str, first: int, last: int) -> Passage:
    """The passage from line `first` to line `last`, whose ingredients are those of the block."""
    lines, text = view.lines, view.lines.text
    start, end, block_start = lines.starts[first], lines.ends[last], lines.starts[block.first]
    if first == block.first and (run_in := run_in_title(lines[block.first])) is not None:
        title = run_in[0]
        block_start += run_in[1]
    aside = [
        _with_blanks(text, lines.starts[i], lines.starts[i + 1] if i + 1 < len(lines) else lines.ends[i])
        for i in range(first, last + 1)
        if view.furniture[i]
    ]
    return Passage(
        number=0,
        title=title,
        text=text[start:end],
        start=segment.start + start,
        end=segment.start + end,
        block=segment.start + block_start,
        first_line=segment.first_line + first,
        last_line=segment.first_line + last,
        page=layout.page_at(segment.start + start),
        set_aside=tuple((segment.start + a, segment.start + b) for a, b in aside),
    )


def _with_blanks(text: str, start: int, end: int) -> tuple[int, int]:
    """The stretch `text[start:end]` with the blank lines around it, which the page brought too."""
    while start > 0 and text[start - 1] in " \t\r\n\f":
        start -= 1
    while end < len(text) and text[end] in "\r\n\f":
        end += 1
    line_end = text.find("\n", start)
    start = line_end + 1 if 0 <= line_end < end else start
    return start, end
