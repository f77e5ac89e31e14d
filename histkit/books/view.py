"""The lines of one stretch of a book with their evidence, and what can be said of single lines among their neighbours."""

from __future__ import annotations

import re
from dataclasses import dataclass

from histkit.books import vocabulary as v
from histkit.books.dividing import Segment
from histkit.books.evidence import NOTHING, Evidence, evidence
from histkit.books.pages import Lines, Pages
from histkit.books.titles import goes_on, in_capitals, looks_like_title

_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class View:
    """The lines of a segment, counted from 0. `furniture` tells which the page brought in, `blank` which hold no words."""

    lines: Lines
    weighed: list[Evidence]
    furniture: list[bool]
    blank: list[bool]

    @classmethod
    def of(cls, lines: Lines, segment: Segment, layout: Pages) -> View:
        """The view of a segment; `lines` are its own."""
        weighed, furniture, blank = [], [], []
        waits = False
        for i in range(len(lines)):
            aside = segment.start + lines.starts[i] in layout.furniture
            line = "" if aside else lines[i]
            empty = not line.strip()
            furniture.append(aside)
            blank.append(empty)
            before = waits if not empty else False
            weighed.append(NOTHING if empty else evidence(line, before))
            waits = weighed[-1].waits
        for i in range(1, len(blank)):  # the blank lines around a running head are the page's too
            furniture[i] = furniture[i] or (furniture[i - 1] and blank[i])
        for i in range(len(blank) - 2, -1, -1):
            furniture[i] = furniture[i] or (furniture[i + 1] and blank[i])
        return cls(lines, weighed, furniture, blank)

    def is_title(self, k: int) -> bool:
        """A short line by itself, not the end of a sentence or the beginning of one that goes on."""
        line = self.lines[k]
        if not looks_like_title(line, self.weighed[k]):
            return False
        before_blank = k == 0 or self.blank[k - 1]
        after_blank = k + 1 >= len(self.lines) or self.blank[k + 1]
        return before_blank and (after_blank or not goes_on(line))

    def titled_without_gap(self, k: int) -> bool:
        """'HAIR WASH' in capitals straight after other lines."""
        return in_capitals(self.lines[k]) and not self.weighed[k].first_verb

    def stands_alone(self, k: int) -> bool:
        """No other words of the same paragraph stand above the line, or it needs no gap."""
        return k == 0 or self.blank[k - 1] or in_capitals(self.lines[k])

    def column_head(self, k: int) -> bool:
        """'Parts.', the unit above a column of figures."""
        words = [word.casefold() for word in _WORD.findall(self.lines[k])]
        return 0 < len(words) <= 3 and words[-1] in {word.strip(".") for word in v.word_list("column")}

    def last_printed(self, start: int, stop: int) -> int:
        """The last line of `start` to `stop` that holds words; `start` where none does."""
        for k in range(stop - 1, start - 1, -1):
            if not self.blank[k]:
                return k
        return start
