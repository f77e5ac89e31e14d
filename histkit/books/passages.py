"""A formula as it stands in a book: its place, its words as printed, and the text of it that is read."""

from __future__ import annotations

import re
from bisect import bisect_right
from collections.abc import Iterator
from dataclasses import dataclass

_DIVIDED = re.compile(r"(?<=[^\W\d_])-[ \t]*(?:\r\n?|\n)[ \t]*(?=[^\W\d_])")
"""The hyphen and line end inside a divided word."""


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
        for first, last in self._of_the_author():
            for start, end in _unbroken(self.text, first - self.start, last - self.start):
                clean.append(length)
                printed.append(self.start + start)
                pieces.append(self.text[start:end])
                length += end - start
        return Body("".join(pieces), tuple(clean), tuple(printed))

    def _of_the_author(self) -> Iterator[tuple[int, int]]:
        """The stretches of the book from `block` on that are not set aside."""
        at = self.block
        for first, last in self.set_aside:
            if last <= self.block:
                continue
            yield at, max(first, at)
            at = max(last, at)
        yield at, self.end


def _unbroken(text: str, start: int, end: int) -> Iterator[tuple[int, int]]:
    """The stretches of `text[start:end]` without the hyphens and line ends inside divided words."""
    at = start
    for division in _DIVIDED.finditer(text, start, end):
        if text[division.end()].islower():
            yield at, division.start()
            at = division.end()
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
