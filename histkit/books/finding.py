"""The text of a book → the formulas in it: title, ingredients and directions, each a stretch of the text as printed.

Every printed line is weighed by cheap evidence (`evidence`); lines that read like ingredients are gathered into blocks, across
page breaks and short asides; a block that holds enough amounts and known names for its prose is a formula, and gets the title
above it and the directions below. Nothing here looks back over the text, so that the time grows with the length and no faster.

A long text is divided at places where no formula can be (`segments`), by the text alone: how a run shares out its work can
not change what is found.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from itertools import pairwise

from histkit.books import vocabulary as v
from histkit.books.evidence import NOTHING, Evidence, evidence
from histkit.books.pages import Lines, Pages, pages

SEGMENT = 32_000
"""Characters after which a text is divided at the next safe place."""
_AT_TITLE = 1.1
_AT_BLANK = 8
_AT_LINE = 16
"""How many times that length is waited, where prose is lacking, for the title of a formula, for a blank line, for any line."""
_LOOK_BACK = 3_000
"""Characters before a segment may end in which it is seen what has gone by."""
LONGEST_TITLE = 90
_MOST_DIRECTIONS = 2
"""Paragraphs of directions below a block."""
_LONGEST_DIRECTIONS = 20
_ASIDE = 14
"""Words of prose that may stand between two ingredients of one formula."""
_ASIDE_LINES = 3
_KEPT = 12
"""Lines before a first ingredient that may still belong to it."""

_ROMAN_HEAD = re.compile(r"\s*(?:[IVXL]{1,6}|[A-Z])\s?(?:\.\s?)?(?:—|--|–)|\s*(?:No\.|Nr\.|N°)\s?\d+\.?\s*(?:—|--|–)")
_ONLY_NUMBER = re.compile(
    r"[\W_]*(?:(?:no|nr|n°|form|formula)[.\s]*)?(?:\d{1,4}|[IVXLC]{1,7}|[A-LN-RT-Z])[\W_]*\Z", re.IGNORECASE
)
_NUMBERED = re.compile(r"\s*\d{1,2}\.\s+[^\W\d_]")
_RUN_IN = re.compile(r"\s*(?P<title>[_=]?[^\W\d_][^—;\n]{2,80}?)(?:[.:]?[_=]?)\s?(?:—|--)\s*(?=\S)")
_NUMBERING = re.compile(r"\s*(?:(?:[Nn]o|[Nn]r|[Nn]°)[.\s]*)?(?:\d{1,4}\s?[.):\s]|[IVXLC]{1,7}\s?[.):—])\s*(?:[-—–]+\s*)?")
_WORD = re.compile(r"[^\W\d_]+")


@dataclass(frozen=True, slots=True)
class Passage:
    """One formula as it stands in a book.

    `text` is `book[start:end]`, exactly as printed: title, ingredients and directions, with whatever page number or running
    head stands between; those are listed in `set_aside` as offsets into the book. The ingredients begin at `block`.
    Lines are counted from 1. `page` is the page on which it begins, None where the book prints none.
    """

    number: int
    title: str
    text: str
    start: int
    end: int
    block: int
    first_line: int
    last_line: int
    page: int | None = None
    set_aside: tuple[tuple[int, int], ...] = ()

    def body(self) -> Body:
        """The ingredients and directions without what the page brought in, divided words joined: what is read."""
        pieces: list[str] = []
        clean: list[int] = []
        printed: list[int] = []
        length = 0
        at = self.block

        def keep(until: int) -> None:
            nonlocal length
            for piece in _unbroken(self.text, at - self.start, until - self.start):
                clean.append(length)
                printed.append(self.start + piece[0])
                pieces.append(self.text[piece[0] : piece[1]])
                length += piece[1] - piece[0]

        for first, last in self.set_aside:
            if last <= self.block:
                continue
            keep(max(first, at))
            at = max(last, at)
        keep(self.end)
        return Body("".join(pieces), tuple(clean), tuple(printed))


_DIVIDED = re.compile(r"(?<=[^\W\d_])-[ \t]*(?:\r\n?|\n)[ \t]*(?=[^\W\d_])")


def _unbroken(text: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    """The stretches of `text[start:end]` without the hyphens and line ends inside divided words."""
    at = start
    for found in _DIVIDED.finditer(text, start, end):
        if text[found.end()].islower():
            yield at, found.start()
            at = found.end()
    if at < end:
        yield at, end


@dataclass(frozen=True, slots=True)
class Body:
    """Text to be read, with the way back: character `clean[i]` of it is character `printed[i]` of the book."""

    text: str
    clean: tuple[int, ...]
    printed: tuple[int, ...]

    def offset(self, position: int) -> int:
        """Where in the book the character at `position` of the text stands."""
        index = bisect_right(self.clean, position) - 1
        return self.printed[index] + position - self.clean[index]


@dataclass(frozen=True, slots=True)
class Segment:
    """A stretch of a book that is searched by itself: `text[start:end]`, its first line counted from 1."""

    start: int
    end: int
    first_line: int


def find_formulas(text: str, layout: Pages | None = None) -> tuple[Passage, ...]:
    """All formulas of a book, in order. `layout` is `pages(text)` where it is already known.

    Every offset and line number counts in `text`. Takes any text; a text without formulas gives none.
    """
    layout = pages(text) if layout is None else layout
    found: list[Passage] = []
    for segment in segments(text, layout):
        for passage in find_in(text[segment.start : segment.end], segment, layout):
            found.append(replace(passage, number=len(found) + 1))
    return tuple(found)


# -- dividing a book ---------------------------------------------------------------------------------------------------------


def segments(text: str, layout: Pages) -> tuple[Segment, ...]:
    """The book in stretches that can be searched one by one, cut where no formula can be: between two paragraphs of prose.

    Where prose is lacking for long, the cut comes at a title, at a blank line, at last at any line. What lies before
    `layout.first` and after `layout.last` belongs to none.
    """
    lines = Lines.of(text)
    end = len(text) if layout.last is None else layout.last
    found: list[Segment] = []
    begin = bisect_right(lines.starts, layout.first) - 1
    prose = _Prose()
    for i in range(begin, len(lines)):
        offset = lines.starts[i]
        far = offset - lines.starts[begin]
        if offset >= end:
            break
        if far < SEGMENT - _LOOK_BACK or offset in layout.furniture:
            continue
        line = lines[i]
        if not line.strip():
            prose.blank_line()
            continue
        weighed = evidence(line)
        if far > SEGMENT and _may_cut(far / SEGMENT, prose, lines, i, weighed):
            found.append(Segment(lines.starts[begin], offset, begin + 1))
            begin, prose = i, _Prose()
        prose.line(line, weighed)
    if lines.starts[begin] < end:
        found.append(Segment(lines.starts[begin], end, begin + 1))
    return tuple(found)


def _may_cut(far: float, prose: _Prose, lines: Lines, i: int, weighed: Evidence) -> bool:
    """Whether a segment that is `far` times as long as it should be may end before line i."""
    if not prose.after_blank:
        return far > _AT_LINE
    if far > _AT_BLANK:
        return True
    if not _looks_like_title(lines[i], weighed):
        return prose.paragraphs > _MOST_DIRECTIONS and _is_prose(weighed)
    return far > _AT_TITLE and not _ONLY_NUMBER.match(prose.last) and _heads_a_formula(lines, i)


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


# -- finding in one stretch --------------------------------------------------------------------------------------------------


@dataclass(slots=True)
class _Block:
    """Lines (indices into the segment) that may be the ingredients of one formula, with the sum of their evidence."""

    first: int
    last: int
    items: int = 0
    named: int = 0
    hits: int = 0
    foreign: int = 0
    shaped: int = 0
    """Lines whose amount stands at either end."""
    soft: int = 0
    """Names without an amount of their own."""
    taken: bool = False
    signed: bool = False
    bare: tuple[str, ...] = ()
    headed: bool = False
    """A column of figures under its unit."""


@dataclass(slots=True)
class _Gathered:
    """The blocks so far, the one under way, and the lines passed by since its last ingredient."""

    blocks: list[_Block] = field(default_factory=list)
    block: _Block | None = None
    pending: list[int] = field(default_factory=list)
    aside_words: int = 0
    aside_lines: int = 0
    after_blank: bool = False
    parted: bool = False
    """A blank line stands before the aside."""

    def close(self) -> None:
        if self.block is not None:
            self.blocks.append(self.block)
            self.block = None


def find_in(text: str, segment: Segment, layout: Pages) -> list[Passage]:
    """The formulas of one segment; `text` is the segment's own. Offsets and line numbers are those of the book."""
    lines = Lines.of(text)
    view = _View.of(lines, segment, layout)
    found: list[Passage] = []
    blocks = [b for b in view.blocks() if view.accepted(b)]
    previous_end = 0
    for index, block in enumerate(blocks):
        next_first = blocks[index + 1].first if index + 1 < len(blocks) else len(lines)
        first, title = view.title_above(block, previous_end)
        heading = view.title_line_before(next_first, block.last + 1) if index + 1 < len(blocks) else next_first
        last = view.directions_below(block, heading)
        previous_end = last + 1
        if not title and found and _ROMAN_HEAD.match(lines[block.first]):
            title = found[-1].title
        start, end = lines.starts[first], lines.ends[last]
        block_start = lines.starts[block.first]
        if (run_in := _run_in_title(lines[block.first])) is not None and first == block.first:
            title = run_in[0]
            block_start += run_in[1]
        aside = tuple(
            (segment.start + lines.starts[i], segment.start + (lines.starts[i + 1] if i + 1 < len(lines) else lines.ends[i]))
            for i in range(first, last + 1)
            if view.furniture[i]
        )
        found.append(
            Passage(
                0,
                title,
                text[start:end],
                segment.start + start,
                segment.start + end,
                segment.start + block_start,
                segment.first_line + first,
                segment.first_line + last,
                layout.page_at(segment.start + start),
                _with_blanks(aside, text, segment.start),
            )
        )
    return found


def _with_blanks(aside: tuple[tuple[int, int], ...], text: str, start: int) -> tuple[tuple[int, int], ...]:
    """The stretches with the blank lines around them, which the page brought too."""
    out = []
    for first, last in aside:
        a, b = first - start, last - start
        while a > 0 and text[a - 1] in " \t\r\n\f":
            a -= 1
        while b < len(text) and text[b] in "\r\n\f":
            b += 1
        line_end = text.find("\n", a)
        a = line_end + 1 if 0 <= line_end < b else a
        out.append((a + start, b + start))
    return tuple(out)


@dataclass(frozen=True, slots=True)
class _View:
    """The lines of a segment with their evidence."""

    lines: Lines
    weighed: list[Evidence]
    furniture: list[bool]
    blank: list[bool]

    @classmethod
    def of(cls, lines: Lines, segment: Segment, layout: Pages) -> _View:
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

    # -- blocks

    def blocks(self) -> list[_Block]:
        """All runs of lines that read like ingredients, whether or not a formula comes of them."""
        gathered = _Gathered()
        for i, e in enumerate(self.weighed):
            if self.blank[i]:
                gathered.after_blank = gathered.after_blank or not self.furniture[i]
                continue
            bare = bool(e.bare) and not e.price and not e.against and e.foreign <= 2
            if bare or e.item or self._completes(i, gathered.pending, gathered.after_blank):
                self._take(gathered, i, bare)
            else:
                self._pass_by(gathered, i)
        gathered.close()
        return gathered.blocks

    def _take(self, gathered: _Gathered, i: int, bare: bool) -> None:
        """Line i is an ingredient: of the block under way with what was passed by since, or of a new one."""
        block = gathered.block
        another = block is not None and self._begins_another(block, gathered, i, bare)
        figures = (*block.bare, self.weighed[i].bare) if block is not None else ()
        alike = block is not None and (bool(block.bare) == bare or _in_grammes(tuple(filter(None, figures))))
        if block is not None and not another and alike:
            for k in (*gathered.pending, i):
                self._count(block, k, bare)
        else:
            gathered.close()
            above = gathered.blocks[-1].last if gathered.blocks else -1
            first = self._soft_above(i, gathered.pending, above) if block is None or another else i
            gathered.block = fresh = _Block(first, first)
            if bare and self._column_head(gathered.pending, i):
                fresh.first, fresh.headed = gathered.pending[-1], True
            for k in range(first, i + 1):
                self._count(fresh, k, bare)
        gathered.pending = []
        gathered.aside_words = gathered.aside_lines = 0
        gathered.after_blank = gathered.parted = False

    def _begins_another(self, block: _Block, gathered: _Gathered, i: int, bare: bool) -> bool:
        """Whether the ingredient on line i is the first of another formula: after a title, a numeral, ℞, or a full stop."""
        e, line, pending = self.weighed[i], self.lines[i], gathered.pending
        if block.hits >= 2 and (e.take or (e.hits > 0 and _ROMAN_HEAD.match(line) is not None)):
            return True
        if bare:
            return len(block.bare) >= 2 and _NUMBERED.match(line) is not None
        if any(self._is_title(k) for k in pending) or (gathered.after_blank and self._finished(block, pending)):
            return True
        if block.hits >= 2 and _run_in_title(line) is not None:
            return True
        return bool(pending) and not gathered.after_blank and self._titled_without_gap(pending)

    def _pass_by(self, gathered: _Gathered, i: int) -> None:
        """Line i is no ingredient by itself: a name that waits for its amount, an aside, or the prose after the formula."""
        e, block = self.weighed[i], gathered.block
        gathered.pending.append(i)
        if block is None:
            del gathered.pending[:-_KEPT]
        elif e.soft and not self._is_title(i) and not (gathered.after_blank and e.foreign) and not gathered.aside_lines:
            self._count(block, i, False)
            gathered.pending.clear()
        else:
            # prose of a new paragraph weighs double: a formula seldom goes on after it
            gathered.parted = gathered.parted or gathered.after_blank
            gathered.aside_words += (e.foreign + e.verbs + e.fills) * (2 if gathered.parted else 1)
            gathered.aside_lines += 1
            if gathered.aside_words > _ASIDE or gathered.aside_lines > _ASIDE_LINES:
                gathered.close()
        gathered.after_blank = False

    def _completes(self, i: int, pending: list[int], after_blank: bool) -> bool:
        """The second line of an ingredient that begins on the line above and has its amount here."""
        e = self.weighed[i]
        if after_blank or not pending or pending[-1] != i - 1 or not e.hits or e.price or e.against:
            return False
        above = self.weighed[i - 1]
        unfinished = not self.lines[i - 1].rstrip().endswith((".", ";", ":"))
        return unfinished and above.names > 0 and not above.price and e.ends and e.gap and e.foreign <= 3

    def _finished(self, block: _Block, pending: list[int]) -> bool:
        """Whether a sentence has ended before the blank line: the formula is told, and what follows is another."""
        if pending:
            return self.lines[pending[-1]].rstrip().endswith((".", "!", "?"))
        return block.hits > 1.5 * block.items and self.lines[block.last].rstrip().endswith(".")

    def _soft_above(self, i: int, pending: list[int], floor: int) -> int:
        """Where the block begins that has its first amount on line i: names with a brace or a comma may stand above it."""
        first = i
        for k in reversed(pending):
            e = self.weighed[k]
            joined = all(self.furniture[j] for j in range(k + 1, first))
            continues = e.soft or (first == i and not self.weighed[i].names and e.names > 0 and e.fills == 0) or self._wraps(k, i)
            if not joined or k <= floor or not continues or self._is_title(k):
                break
            if not (e.shared or e.take or self.lines[k].rstrip().endswith((",", "}", "of", "-", "and")) or self._wraps(k, i)):
                break
            first = k
        return first

    def _wraps(self, k: int, i: int) -> bool:
        """Line k begins an ingredient that line i, set further in, finishes."""
        above, below = self.lines[k], self.lines[i]
        inset = len(below) - len(below.lstrip()) > len(above) - len(above.lstrip())
        return k == i - 1 and inset and self.weighed[k].names > 0 and self._completes(i, [k], False)

    def _count(self, block: _Block, k: int, bare: bool) -> None:
        e = self.weighed[k]
        block.last = k
        block.foreign += e.foreign
        block.hits += e.hits + e.elided
        block.taken = block.taken or e.take
        block.signed = block.signed or "℥" in self.lines[k] or "ʒ" in self.lines[k]
        block.soft += not e.hits and e.names > 0
        if e.hits or (bare and e.bare):
            block.items += 1
            block.named += bool(e.names or e.ditto)
            block.shaped += e.starts or e.ends
            if not e.names and k and self.weighed[k - 1].names and not self.weighed[k - 1].hits:
                block.named += 1
        if bare and e.bare:
            block.bare = (*block.bare, e.bare) if len(block.bare) < 60 else block.bare

    def _column_head(self, pending: list[int], i: int) -> bool:
        if not pending or i - pending[-1] > 2:
            return False
        words = [w.casefold() for w in re.findall(r"[^\W\d_]+", self.lines[pending[-1]])]
        return 0 < len(words) <= 3 and words[-1] in {w.strip(".") for w in v.word_list("column")}

    # -- judging

    def accepted(self, block: _Block) -> bool:
        """Whether so many amounts and known names in so few words of prose make a formula."""
        if self._against_above(block):
            return False
        if block.bare:
            return self._column_of_figures(block)
        if block.items == 0 or block.hits + (block.soft if block.taken and block.signed else 0) < 2:
            return False
        if block.named < max(1, 0.45 * block.items):
            return False
        prose = self._prose_around(block)
        if block.foreign > 2.5 * block.hits or prose > 7 * block.hits + 6 * block.taken:
            return False
        if block.hits >= 3 or block.taken or block.signed:
            return True
        return block.shaped == block.items or self._directed(block) or block.foreign <= 1

    def _against_above(self, block: _Block) -> bool:
        """An analysis, a table of prices or of contents announces itself in the lines before it."""
        seen = 0
        for k in range(block.first - 1, -1, -1):
            if self.blank[k]:
                continue
            e = self.weighed[k]
            seen += 1
            if (e.against or e.price) and e.words <= 12 and self._is_title(k):
                return True
            if seen >= 2:
                return False
        return False

    def _column_of_figures(self, block: _Block) -> bool:
        figures = [float(re.sub(r"[^\d.]", "", f.replace(",", ".")) or 0.5) for f in block.bare if f.count(".") <= 1]
        if len(figures) < 2 or block.named < 0.7 * block.items or block.foreign > len(figures):
            return False
        if block.headed or _in_grammes(block.bare):
            return True
        rising = all(a <= b for a, b in pairwise(figures))
        whole = sum(figures) in (10.0, 20.0, 50.0, 100.0, 200.0, 500.0, 1000.0)
        return len(figures) >= 3 and (whole or self._directed(block)) and not rising

    def _prose_around(self, block: _Block) -> int:
        """Words of prose in the paragraph that the block stands in, as far as the lines before it on which no amount stands."""
        count = 0
        k = block.first - 1
        steps = 0
        while k >= 0 and not self.blank[k] and steps < 12:
            e = self.weighed[k]
            if self._is_title(k) or e.hits:
                break
            count += e.foreign
            k -= 1
            steps += 1
        return count

    def _directed(self, block: _Block) -> bool:
        return any(self.weighed[k].verbs for k in range(block.last, min(block.last + 3, len(self.lines))))

    # -- titles and directions

    def _is_title(self, k: int) -> bool:
        """A short line by itself, not the end of a sentence or the beginning of one that goes on."""
        e = self.weighed[k]
        line = self.lines[k]
        if not _looks_like_title(line, e):
            return False
        before_blank = k == 0 or self.blank[k - 1]
        after_blank = k + 1 >= len(self.lines) or self.blank[k + 1]
        return before_blank and (after_blank or not _goes_on(line))

    def _titled_without_gap(self, pending: list[int]) -> bool:
        """'HAIR WASH' in capitals straight after other lines."""
        line = self.lines[pending[-1]].strip(" .:_=")
        return len(line) > 3 and line.isupper() and not self.weighed[pending[-1]].first_verb

    def title_above(self, block: _Block, floor: int) -> tuple[int, str]:
        """(first line of the formula, its title): the nearest short line above the block, at most two lines away."""
        if _run_in_title(self.lines[block.first]) is not None:
            return block.first, ""
        k = block.first - 1
        seen = 0
        while k >= floor and seen < 4:
            if self.blank[k]:
                seen += not self.furniture[k]
                k -= 1
                continue
            if self._column_head([k], block.first) and not _looks_like_title(self.lines[k], self.weighed[k]):
                k -= 1
                continue
            if not _looks_like_title(self.lines[k], self.weighed[k]) or not self._stands_alone(k, block.first):
                return block.first, ""
            above = k - 1
            while above >= floor and self.blank[above]:
                above -= 1
            if above < max(floor, k - 3):
                return k, _title_words(self.lines[k])
            if not _ONLY_NUMBER.match(self.lines[k]):  # the number may stand above the title
                return above if _ONLY_NUMBER.match(self.lines[above]) else k, _title_words(self.lines[k])
            if self._is_title(above) and not self.weighed[above].first_verb:
                return above, _title_words(self.lines[above])
            return k, _title_words(self.lines[k])
        return block.first, ""

    def _stands_alone(self, k: int, block_first: int) -> bool:
        """No other words of the same paragraph stand above the line."""
        if k == 0 or self.blank[k - 1]:
            return True
        line = self.lines[k].strip(" .:_=")
        return line.isupper() and len(line) > 3

    def title_line_before(self, first: int, floor: int) -> int:
        """The line at which the next formula begins, title included."""
        k = first - 1
        while k >= floor and self.blank[k]:
            k -= 1
        if k >= floor and _looks_like_title(self.lines[k], self.weighed[k]) and self._stands_alone(k, first):
            return k
        return first

    def directions_below(self, block: _Block, limit: int) -> int:
        """The last line of the formula: the rest of the block's own paragraph, and paragraphs that say what to do."""
        last = block.last
        k = last + 1
        while k < limit and not self.blank[k] and k - last <= _LONGEST_DIRECTIONS and not self._titled_without_gap([k]):
            k += 1
        if k < limit and self.furniture[k]:  # the paragraph may go on after the page break
            k = self._after_furniture(k, limit)
            while k < limit and not self.blank[k] and not self._is_title(k) and k - last <= _LONGEST_DIRECTIONS:
                k += 1
        end = self._last_printed(last, k)
        for _ in range(_MOST_DIRECTIONS):
            start = end + 1
            while start < limit and self.blank[start]:
                start += 1
            stop = start
            while stop < limit and not self.blank[stop] and stop - start < _LONGEST_DIRECTIONS:
                stop += 1
            stop = self._over_break(start, stop, limit)
            if start >= limit or stop == start or not self._directs(start, stop):
                break
            end = self._last_printed(start, stop)
        return end

    def _last_printed(self, start: int, stop: int) -> int:
        for k in range(stop - 1, start - 1, -1):
            if not self.blank[k]:
                return k
        return start

    def _after_furniture(self, k: int, limit: int) -> int:
        """The first printed line after a page break, if the words before it did not end there; else k."""
        before = self._last_printed(0, k)
        j = k
        while j < limit and self.blank[j]:
            j += 1
        ended = self.lines[before].rstrip().endswith((".", "!", "?", ":", '"', "”"))
        return k if ended or j >= limit or not self.lines[j].strip()[:1].islower() else j

    def _over_break(self, start: int, stop: int, limit: int) -> int:
        if stop >= limit or stop == start:
            return stop
        k = stop
        while k < limit and self.blank[k] and not self.furniture[k]:
            k += 1
        if k >= limit or not self.furniture[k]:
            return stop
        j = self._after_furniture(k, limit)
        while j > k and j < limit and not self.blank[j]:
            j += 1
        return j if j > k else stop

    def _directs(self, start: int, stop: int) -> bool:
        """A paragraph of directions: it begins with a verb of the bench, or is short and has one early, and names no price."""
        first = self.weighed[start]
        if (first.first_verb or (first.take and not first.hits)) and not first.price:
            return True
        told = [self.weighed[k] for k in range(start, stop)]
        verbs, words = sum(e.verbs for e in told), sum(e.words for e in told)
        return first.verbs > 0 and words <= 24 and 12 * verbs >= words and not any(e.price for e in told)


def _in_grammes(figures: tuple[str, ...]) -> bool:
    """'100,0', '0,25' and nothing else: grammes as German pharmacists print them, and no years, pages or prices."""
    return bool(figures) and all(re.fullmatch(r"\d+,\d{1,2}", figure) for figure in figures)


def _looks_like_title(line: str, e: Evidence) -> bool:
    text = line.strip()
    if not text or len(text) > LONGEST_TITLE or e.words > 12 or e.hits or e.shared or e.enough or text.endswith((",", ";", "-")):
        return False
    letters = text.strip(" \t_=*.\"'“”«»([")
    if _ONLY_NUMBER.match(text):
        return not e.bare
    if not letters or not (letters[0].isupper() or letters[0].isdigit()):
        return False
    first = _WORD.search(letters)
    if first is not None and first.group().casefold() in v.word_list("joins") and not text.isupper():
        return False
    if e.fills > 2 or (e.first_verb and text.endswith(".") and not text.isupper() and e.words != 2):
        return False
    return not e.bare and not (e.first_verb and e.words > 3)


def _goes_on(line: str) -> bool:
    """Whether the line is so long that it is rather the beginning of a paragraph."""
    return len(line.strip()) > 48 or line.rstrip().endswith((",", "-"))


def _run_in_title(line: str) -> tuple[str, int] | None:
    """(title, where the ingredients begin) of 'VIOLET POWDER.—Starch, 12 lbs.'; None where the line has no such title."""
    match = _RUN_IN.match(line)
    if match is None or _ROMAN_HEAD.match(line):
        return None
    words = match.group("title")
    weighed = evidence(words)
    if weighed.hits or weighed.words > 10:
        return None
    return _title_words(words), match.end()


def _title_words(line: str) -> str:
    """The title as a reader would say it: without its number, stops and italics."""
    text = " ".join(line.split()).strip("_=* ")
    numbering = None if _ONLY_NUMBER.match(text) else _NUMBERING.match(text)
    without = text[numbering.end() :] if numbering else text
    return (without or text).strip(" .:;—–-_=*[]") or text
