"""Sharing out a book: stretches of some hundred kilobytes, each worked out by itself by one pure function, bytes in, bytes out.

A part holds all that its rows depend on (its text, what the pages brought into it, the source), so that it can be worked out
anywhere and twice without harm; its key is the hash of all that and of the code and tables of histkit, so that a finished part
is known again and anything changed is done anew.
"""

from __future__ import annotations

import hashlib
import json
from bisect import bisect_left, bisect_right
from collections.abc import Iterator
from dataclasses import asdict, dataclass, replace
from functools import cache

from histkit import glossary
from histkit.base.nouns import Source
from histkit.base.tables import PACKAGE
from histkit.books.dividing import Segment, segments
from histkit.books.finding import find_in
from histkit.books.harvest import harvest
from histkit.books.pages import Pages, pages
from histkit.books.partfiles import packed

SIZE = 200_000
"""Characters of a part, or as many more as the last segment brings: about a second of work, beside which giving it out
costs nothing."""


@dataclass(frozen=True, slots=True)
class Part:
    """`text` is `book[offset:offset + len(text)]`; `cuts` are its segments as (start, end, first line) in the book;
    `marks` and `furniture` what `Pages` says of it, `page` the page on which it begins.
    """

    book: str
    number: int
    source: Source
    offset: int
    text: str
    cuts: tuple[tuple[int, int, int], ...]
    marks: tuple[tuple[int, int], ...]
    furniture: tuple[int, ...]
    key: str = ""

    def layout(self) -> Pages:
        return Pages(self.marks, frozenset(self.furniture))


@cache
def fingerprint() -> str:
    """The hash of the code and the tables that the rows depend on."""
    digest = hashlib.sha256()
    for folder, pattern in ((PACKAGE, "**/*.py"), (PACKAGE, "**/*.csv"), (PACKAGE, "**/*.txt"), (glossary.folder(), "*.csv")):
        for path in sorted(folder.glob(pattern)):
            data = path.read_bytes()
            digest.update(f"{path.relative_to(folder).as_posix()}\0{len(data)}\0".encode() + data)
    digest.update(repr(sorted(glossary.own_rows().items())).encode())
    return digest.hexdigest()[:16]


def parts_of(text: str, source: Source, book: str, size: int = SIZE) -> Iterator[Part]:
    """The parts of a book, each of `size` characters or a little more. Whatever the size, the rows are the same."""
    layout = pages(text)
    cuts = segments(text, layout)
    furniture = sorted(layout.furniture)
    for number, group in enumerate(_groups(cuts, size)):
        start, end = group[0].start, group[-1].end
        a, b = bisect_right(layout.marks, (start, 1 << 30)) - 1, bisect_right(layout.marks, (end, -1))
        part = Part(
            book,
            number,
            source,
            start,
            text[start:end],
            tuple((s.start, s.end, s.first_line) for s in group),
            layout.marks[max(a, 0) : b],
            tuple(furniture[bisect_left(furniture, start) : bisect_left(furniture, end)]),
        )
        yield replace(part, key=_key(part))


def _groups(cuts: tuple[Segment, ...], size: int) -> Iterator[list[Segment]]:
    group: list[Segment] = []
    for segment in cuts:
        group.append(segment)
        if segment.end - group[0].start >= size:
            yield group
            group = []
    if group:
        yield group


def _key(part: Part) -> str:
    depends_on = [part.offset, part.cuts, part.marks, part.furniture, asdict(part.source), fingerprint()]
    digest = hashlib.sha256(json.dumps(depends_on).encode())
    digest.update(part.text.encode("utf-8", "surrogatepass"))
    return digest.hexdigest()[:32]


def worked_out(part: Part) -> bytes:
    """The rows of a part, packed. The same part gives the same bytes, in whichever process on whichever machine."""
    layout = part.layout()
    passages = []
    for start, end, first_line in part.cuts:
        segment = Segment(start, end, first_line)
        text = part.text[start - part.offset : end - part.offset]
        passages += find_in(text, segment, layout)
    numbered = (replace(p, number=n) for n, p in enumerate(passages, start=1))
    formulas, lines = harvest(numbered, part.source, part.book, layout)
    return packed(part.key, fingerprint(), formulas, lines)
