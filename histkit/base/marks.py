"""A printed page with what was read marked in it: what is to be shown, and nothing of how it looks."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

MarkKind = Literal["words", "title", "name", "amount", "direction", "unread"]
"""What a stretch of print was taken for; "words" join names and amounts ('Take of', 'and')."""


@dataclass(frozen=True, slots=True)
class Mark:
    """A stretch of the print, blanks and leaders made one; `doubts` say why it may be taken otherwise."""

    kind: MarkKind
    text: str
    doubts: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class MarkedRow:
    """One row of the page: the print, and beside it what an ingredient line is today.

    `line` is its number among the formula's lines, from 0; None for print that is no line. `today` is its name now, '' where the
    print says the same; `grams` and `share` are figures in words, '' where there are none. `fate` says what became of it
    ('replaced by zinc oxide', 'not an ingredient'), `changed` what the maker put right ('put right: 12 drops'); `aside`: the
    maker has set it aside.
    """

    marks: tuple[Mark, ...]
    line: int | None = None
    today: str = ""
    grams: str = ""
    share: str = ""
    poison: bool = False
    known: bool = True
    changed: str = ""
    fate: str = ""
    aside: bool = False


@dataclass(frozen=True, slots=True)
class MarkedPage:
    """The whole page in its printed order. `measures` is one sentence, `why` the rest of it; `remarks` are the doubts that
    several lines share, each said once."""

    rows: tuple[MarkedRow, ...]
    measures: str = ""
    why: str = ""
    remarks: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    """What must not be used and is still there, a sentence each."""

    @property
    def lines(self) -> tuple[MarkedRow, ...]:
        """The rows that are lines of the formula."""
        return tuple(row for row in self.rows if row.line is not None)
