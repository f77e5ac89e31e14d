"""A long book in stretches that can be searched one by one, cut by the text alone where no formula can be.

How a run shares out its work can therefore not change what is found.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass

from histkit.books.evidence import Evidence, evidence
from histkit.books.pages import Lines, Pages
from histkit.books.titles import NUMBER_ALONE, looks_like_title

SEGMENT = 32_000
"""Characters after which a text is divided at the next safe place."""
_AT_TITLE = 1.1
_AT_BLANK = 8
_AT_LINE = 16
"""How many times that length is waited, where prose is lacking, for the title of a formula, for a blank line, for any line."""
_LOOK_BACK = 3_000
"""Characters before a segment may end in which it is seen what has gone by."""
MOST_DIRECTIONS = 2
"""Paragraphs of directions below the ingredients."""


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of a book that is searched by itself: `text[start:end]`, its first line counted from 1."""

    start: int
    end: int
    first_line: int


def segments(text: str, layout: Pages) -> tuple[Segment, ...]:
    """The book in stretches that can be searched one by one, cut where no formula can be: between two paragraphs of prose.

    Where prose is lacking for long, the cut comes at a title, at a blank line, at last at any line. What lies before
    `layout.first` and after `layout.last` belongs to none.
    """
    lines = Lines.of(text)
    end = len(text) if layout.last is None else layout.last
    cuts: list[Segment] = []
    begin = bisect_right(lines.starts, layout.first) - 1
    prose = _Prose()
    for i in range(begin, len(lines)):
        offset = lines.starts[i]
        length = offset - lines.starts[begin]
        if offset >= end:
            break
        if length < SEGMENT - _LOOK_BACK or offset in layout.furniture:
            continue
        line = lines[i]
        if not line.strip():
            prose.blank_line()
            continue
        weighed = evidence(line)
        if length > SEGMENT and _may_cut(length / SEGMENT, prose, lines, i, weighed):
            cuts.append(Segment(lines.starts[begin], offset, begin + 1))
            begin, prose = i, _Prose()
        prose.line(line, weighed)
    if lines.starts[begin] < end:
        cuts.append(Segment(lines.starts[begin], end, begin + 1))
    return tuple(cuts)


def _may_cut(times: float, prose: _Prose, lines: Lines, i: int, weighed: Evidence) -> bool:
    """Whether a segment that is `times` as long as it should be may end before line i."""
    if not prose.after_blank:
        return times > _AT_LINE
    if times > _AT_BLANK:
        return True
    if not looks_like_title(lines[i], weighed):
        return prose.paragraphs > MOST_DIRECTIONS and _is_prose(weighed)
    return times > _AT_TITLE and not NUMBER_ALONE.match(prose.last) and _heads_a_formula(lines, i)


def _heads_a_formula(lines: Lines, i: int) -> bool:
    """The first words below line i are an ingredient with its amount."""
    for k in range(i + 1, min(i + 4, len(lines))):
        if lines[k].strip():
            return evidence(lines[k]).item
    return False


def _is_prose(weighed: Evidence) -> bool:
    return not weighed.hits and not weighed.bare and weighed.foreign + weighed.verbs >= 3


@dataclass(slots=True)
class _Prose:
    """How many paragraphs of nothing but prose have just gone by: more than can be the directions of a formula above."""

    paragraphs: int = 0
    lines: int = 0
    """Lines of prose in the paragraph under way."""
    amounts: bool = False
    after_blank: bool = True
    last: str = ""
    """The last printed line."""

    def blank_line(self) -> None:
        if not self.after_blank:
            self.paragraphs = self.paragraphs + 1 if self.lines >= 2 and not self.amounts else 0
        self.lines, self.amounts, self.after_blank = 0, False, True

    def line(self, line: str, weighed: Evidence) -> None:
        self.last = line
        self.lines += _is_prose(weighed)
        self.amounts = self.amounts or bool(weighed.hits or weighed.bare)
        self.after_blank = False
