"""What a page brings into a text and no author wrote: page numbers, running heads, footnotes; and which page a place is on.

Worked out once for a whole book, by rules that look at the order of the numbers: a number printed alone counts as a page
number only as one of a row that goes on from page to page.
"""

from __future__ import annotations

import re
from bisect import bisect_right
from collections import Counter
from dataclasses import dataclass
from itertools import pairwise

from histkit.books.marks import any_of, marks

_BRACKETED = re.compile(
    rf"\[{any_of(marks('page in square brackets'))}\s?(\d{{1,4}})\]|\{{(?:{any_of(marks('page in braces'))} )?(\d{{1,4}})\}}",
    re.IGNORECASE,
)
_ALONE = re.compile(r"[\W_]*(\d{1,4})[\W_]*\Z")
_BEFORE = re.compile(r"\s*(\d{1,4})\s{2,}(\S.*?)\s*\Z")
_AFTER = re.compile(r"\s*(\S.*?)\s{2,}(\d{1,4})\s*\Z")
_NOTE = re.compile(rf"\s*(?:\[{any_of(marks('footnote word'))}\b|{any_of(marks('footnote sign'))}\s?[^\W\d_]|\[\d{{1,2}}\]\s)")
_EDGE = re.compile(rf"\*\*\*.{{0,20}}\b(?:({any_of(marks('book begins'))})|({any_of(marks('book ends'))}))\b")
_LETTERS = re.compile(r"[^\W\d_]+")
SHORTEST_PAGE, LONGEST_PAGE = 8, 120
"""Printed lines of a page; numbers that stand closer or farther apart are no page numbers (common practice, no source)."""
LONGEST_HEAD = 80
_RUN = 3
"""So many numbers in a row make page numbers, and so many pages with the same words at their top a running head; the pages
follow each other, or every other one, since left and right often have heads of their own."""
_NOTE_LINES = 6


@dataclass(frozen=True, slots=True)
class Lines:
    """The printed lines of a text: line i is `text[starts[i]:ends[i]]`, without its line end."""

    text: str
    starts: list[int]
    ends: list[int]

    @classmethod
    def of(cls, text: str) -> Lines:
        starts, ends = [0], []
        for line_end in re.finditer(r"\r\n?|\n", text):
            ends.append(line_end.start())
            starts.append(line_end.end())
        ends.append(len(text))
        return cls(text, starts, ends)

    def __len__(self) -> int:
        return len(self.starts)

    def __getitem__(self, index: int) -> str:
        return self.text[self.starts[index] : self.ends[index]]


@dataclass(frozen=True, slots=True)
class Pages:
    """`marks` are (offset at which a page begins, its number), `furniture` the offsets of lines that belong to the page and
    not to the author, both in order. `first`, `last` bound the book inside the text: before and after lie words of whoever
    keeps the text.
    """

    marks: tuple[tuple[int, int], ...] = ()
    furniture: frozenset[int] = frozenset()
    first: int = 0
    last: int | None = None

    def page_at(self, offset: int) -> int | None:
        """The page on which the character at `offset` stands; None before the first number is known."""
        index = bisect_right(self.marks, (offset, 1 << 30))
        return self.marks[index - 1][1] if index else None


def pages(text: str) -> Pages:
    """The pages of a whole book. Takes time in proportion to its length."""
    lines = Lines.of(text)
    first, last = _edges(lines)
    feeds = [i for i in _lines_with(lines, "\f") if text[lines.starts[i]] == "\f"]
    bracketed = _bracketed(lines)
    marks: dict[int, int] = {}
    numbered: list[int] = []
    furniture: set[int] = set()
    if len(bracketed) >= _RUN:
        marks = {m: n for _, n, m in bracketed}
        numbered = [i for i, _, _ in bracketed]
        furniture = {i for i, _, _ in bracketed if not _LETTERS.search(_BRACKETED.sub("", lines[i]))}
    else:
        chain = _chain(_candidates(lines))
        numbered = [i for i, _ in chain]
        furniture = set(numbered)
        marks = _placed(lines, chain, feeds)
    if feeds and not marks:
        marks = {0: 1, **{lines.starts[i]: n for n, i in enumerate(feeds, start=2)}}
    furniture |= _heads(lines, sorted({*numbered, *feeds}), {*numbered})
    furniture |= _notes(lines, sorted({*numbered, *feeds}))
    return Pages(tuple(sorted(marks.items())), frozenset(lines.starts[i] for i in furniture), first, last)


def _lines_with(lines: Lines, character: str) -> list[int]:
    """The lines that hold a character, each once."""
    holding: list[int] = []
    at = lines.text.find(character)
    while at >= 0:
        line = bisect_right(lines.starts, at) - 1
        holding.append(line)
        at = lines.text.find(character, lines.ends[line])
    return holding


def _edges(lines: Lines) -> tuple[int, int | None]:
    """Where the book begins and ends, if lines of asterisks with START and END say so."""
    first, last = 0, None
    for edge in _EDGE.finditer(lines.text):
        index = bisect_right(lines.starts, edge.start()) - 1
        if edge.group(1) and last is None:
            first = lines.starts[min(index + 1, len(lines) - 1)]
        elif edge.group(2) and last is None and edge.start() > first:
            last = lines.starts[index]
    return first, last


def _bracketed(lines: Lines) -> list[tuple[int, int, int]]:
    """(line, number, offset) of each '[Page 112]' or '{112}'."""
    return [
        (bisect_right(lines.starts, mark.start()) - 1, int(mark.group(1) or mark.group(2)), mark.start())
        for mark in _BRACKETED.finditer(lines.text)
    ]


def _candidates(lines: Lines) -> list[tuple[int, int]]:
    """(line, number) of lines that may be page numbers, alone or with a running head in capitals."""
    candidates = []
    for i in range(len(lines)):
        if not 0 < lines.ends[i] - lines.starts[i] <= LONGEST_HEAD:
            continue
        line = lines[i]
        if (match := _ALONE.match(line)) or (match := _BEFORE.match(line)):
            candidates.append((i, int(match.group(1))))
        elif match := _AFTER.match(line):
            candidates.append((i, int(match.group(2))))
    return candidates


def _chain(candidates: list[tuple[int, int]]) -> list[tuple[int, int]]:
    """The longest row of numbers that goes on by 1 to 3 from page to page; empty where it is shorter than three."""
    length: list[int] = []
    back: list[int] = []
    latest: dict[int, int] = {}  # number → the candidate that ends the longest row with it
    for k, (line, number) in enumerate(candidates):
        best, from_where = 1, -1
        for step in (1, 2, 3):
            before = latest.get(number - step)
            if before is None:
                continue
            apart = line - candidates[before][0]
            if SHORTEST_PAGE * step <= apart <= LONGEST_PAGE * step and length[before] + 1 > best:
                best, from_where = length[before] + 1, before
        length.append(best)
        back.append(from_where)
        old = latest.get(number)
        if old is None or length[old] <= best or line - candidates[old][0] > 3 * LONGEST_PAGE:
            latest[number] = k
    if not length or max(length) < _RUN:
        return []
    chain = []
    k = max(range(len(length)), key=lambda j: length[j])
    while k >= 0:
        chain.append(candidates[k])
        k = back[k]
    return chain[::-1]


def _placed(lines: Lines, chain: list[tuple[int, int]], feeds: list[int]) -> dict[int, int]:
    """Offset → page: a number stands at the top of its page, unless a form feed shows that it stands at the foot."""
    marks = {}
    for line, number in chain:
        index = bisect_right(feeds, line) - 1
        at_foot = index + 1 < len(feeds) and feeds[index + 1] - line <= 3 and (index < 0 or line - feeds[index] > 3)
        if at_foot:
            marks[lines.starts[feeds[index]] if index >= 0 else 0] = number
        else:
            marks[lines.starts[line]] = number
    return marks


def _head_words(line: str) -> str:
    return " ".join(_LETTERS.findall(line)).casefold()


def _heads(lines: Lines, breaks: list[int], numbered: set[int]) -> set[int]:
    """Lines beside a page break whose words come again at other page breaks."""
    beside: dict[int, str] = {}
    pages_with: dict[str, list[int]] = {}
    for page, i in enumerate(breaks):
        for step in (-1, 0, 1):
            j = i + step
            while 0 <= j < len(lines) and abs(j - i) <= 3:
                if step == 0 or _head_words(lines[j]) or _ALONE.match(lines[j]):
                    words = _head_words(lines[j])
                    if words and lines.ends[j] - lines.starts[j] <= LONGEST_HEAD and j not in beside:
                        beside[j] = words
                        pages_with.setdefault(words, []).append(page)
                    break
                j += step
    heads = {words for words, at in pages_with.items() if sum(b - a <= 2 for a, b in pairwise(at)) >= _RUN - 1}
    often = Counter(beside.values())
    if heads:  # words that stand elsewhere as often ('Mix and sift.') are the author's
        longest = max(lines.ends[j] - lines.starts[j] for j, words in beside.items() if words in heads)
        everywhere = Counter(
            words
            for i in range(len(lines))
            if 0 < lines.ends[i] - lines.starts[i] <= longest and (words := _head_words(lines[i])) in heads
        )
        heads = {words for words in heads if 2 * often[words] > everywhere[words]}
    return {j for j, words in beside.items() if words in heads and j not in numbered}


def _notes(lines: Lines, breaks: list[int]) -> set[int]:
    """Footnotes: from a line with a footnote's sign to the end of the page, where that is near."""
    notes: set[int] = set()
    for i in breaks:
        j, printed = i - 1, 0
        while j >= 0 and printed < _NOTE_LINES and i - j < 2 * _NOTE_LINES:
            line = lines[j]
            printed += bool(line.strip())
            if _NOTE.match(line):
                notes |= {k for k in range(j, i) if lines[k].strip()}
            j -= 1
    return notes
