"""What is kept of the photograph that a text came from: its words with their places, and the amounts compared with it.

The words stay as they were first read; where the maker has put the text right since, `as_it_stands` carries their places over.
A line counts as compared as long as its words, its amount and its place are those that the maker said yes to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any

from histkit.base import fields as shapes
from histkit.base.errors import BadValue
from histkit.base.fields import kept
from histkit.base.nouns import Doubt
from histkit.photo.kinds import doubt_kinds
from histkit.photo.nouns import Box, PhotoDoubt, PhotoText, Word
from histkit.photo.places import doubts_of, retyped
from histkit.reading.formula import Formula, Line
from histkit.safety.evidence import Finding


@dataclass(frozen=True, slots=True)
class Compared:
    """A line whose amount the maker has compared with the picture."""

    words: str = kept(shapes.MISSING, "the printed words of a line that was compared with the picture")
    amount: str = kept(shapes.MISSING, "the amount that was read in it then")
    left: int = kept(-1, "where its first word begins on the picture, pixels from the left; -1: it has no place there;", least=-1)
    top: int = kept(-1, "the same, pixels from the top,", least=-1)

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class SeenWord:
    """A word as it was read: its place in that text (-1: it stood in no line) and on the upright picture, in pixels."""

    text: str = kept(shapes.MISSING, "the word")
    start: int = kept(shapes.MISSING, "where it begins in the text that was read; -1: in no line of it;", least=-1)
    left: int = kept(shapes.MISSING, "where it begins on the picture, pixels from the left,", least=0)
    top: int = kept(shapes.MISSING, "the same, pixels from the top,", least=0)
    width: int = kept(shapes.MISSING, "how wide it is there, pixels,", above=0)
    height: int = kept(shapes.MISSING, "how high it is there, pixels,", above=0)
    sure: float = kept(1.0, "how sure it was read, by whatever read it,", least=0, most=1)

    def __post_init__(self) -> None:
        shapes.check(self)

    def as_word(self) -> Word:
        """The word as the room `photo` knows it."""
        end = self.start + len(self.text) if self.start >= 0 else -1
        box = Box(self.left, self.top, self.left + self.width, self.top + self.height)
        return Word(self.text, box, self.sure, self.start, end)


@dataclass(frozen=True, slots=True)
class SeenDoubt:
    """What was doubtful when it was read."""

    start: int = kept(shapes.MISSING, "where the doubtful stretch begins in the text that was read,", least=0)
    end: int = kept(shapes.MISSING, "where it ends,", least=0)
    kind: str = kept(shapes.MISSING, "the sort of doubt, out of photo/doubt_kinds.csv")
    reading: str = kept("", "what stands in the text")
    other: str = kept("", "what else it may be")

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Frame:
    """A frame that was drawn on the upright picture, in pixels."""

    left: int = kept(shapes.MISSING, "the left edge of the frame,", least=0)
    top: int = kept(shapes.MISSING, "its upper edge,", least=0)
    width: int = kept(shapes.MISSING, "its width,", above=0)
    height: int = kept(shapes.MISSING, "its height,", above=0)

    def __post_init__(self) -> None:
        shapes.check(self)

    def as_box(self) -> Box:
        """The frame as the room `photo` knows it."""
        return Box(self.left, self.top, self.left + self.width, self.top + self.height)


@dataclass(frozen=True, slots=True)
class Photograph:
    """The photograph, scan or page of a PDF that the text of a formula was read from. The picture lies beside the record."""

    name: str = kept(shapes.MISSING, "the name of the file that was chosen")
    text: str = kept(shapes.MISSING, "the text as it was read, before anything was put right")
    words: tuple[SeenWord, ...] = kept((), "the words of it with their places, and those that stood in no line")
    doubts: tuple[SeenDoubt, ...] = kept((), "what was doubtful")
    width: int = kept(1, "the width of the upright picture, pixels,", above=0)
    height: int = kept(1, "its height, pixels,", above=0)
    read_by: tuple[str, ...] = kept((), "the programs that read it")
    page: int = kept(1, "the page of the file,", least=1)
    frame: Frame | None = kept(None, "the frame that was drawn; null: all of the picture was read")
    picture: str = kept("", "where the upright picture lies: folder and file, beside the record; empty: nowhere")
    digest: str = kept("", "SHA-256 of the picture's file, so that no other one is taken for it")
    compared: tuple[Compared, ...] = kept((), "the lines whose amounts were compared with the picture")

    def __post_init__(self) -> None:
        shapes.check(self)

    @property
    def seen(self) -> PhotoText:
        """What was read, as the room `photo` knows it; a word that does not stand in the text is left out."""
        words = [word.as_word() for word in self.words]
        placed = tuple(w for w in words if w.start >= 0 and self.text[w.start : w.end] == w.text)
        known = doubt_kinds()
        doubts = [PhotoDoubt(d.start, d.end, d.kind, d.reading, d.other) for d in self.doubts if d.kind in known]
        unread = tuple(w for w in words if w.start < 0)
        return PhotoText(self.text, placed, tuple(doubts), unread, (self.width, self.height), self.read_by)

    def reach(self) -> Box | None:
        """The frame as a box on the picture; None where all of it was read."""
        return None if self.frame is None else self.frame.as_box()

    def is_of(self, other: Photograph) -> bool:
        """Whether both are the same reading of the same picture, wherever it is kept and whatever was compared."""
        nothing: dict[str, Any] = {"picture": "", "digest": "", "compared": ()}
        return replace(self, **nothing) == replace(other, **nothing)


def photograph_of(seen: PhotoText, name: str, page: int = 1, frame: Box | None = None) -> Photograph:
    """What is kept of a picture that was just read."""
    words = tuple(
        SeenWord(w.text, w.start, max(0, w.box.left), max(0, w.box.top), w.box.width, w.box.height, round(w.confidence, 2))
        for w in (*seen.words, *seen.unread)
    )
    doubts = tuple(SeenDoubt(d.start, d.end, d.kind, d.reading, d.other) for d in seen.doubts)
    drawn = None if frame is None else Frame(frame.left, frame.top, frame.width, frame.height)
    return Photograph(name, seen.text, words, doubts, *seen.size, seen.engines, page, drawn)


def as_it_stands(photograph: Photograph, text: str) -> PhotoText:
    """The words of the photograph with their places in the text as the maker has it now."""
    return photograph.seen if photograph.text == text else retyped(photograph.seen, text)


def compared_as(seen: PhotoText, line: Line) -> Compared:
    """What is kept of a line once its amount was compared."""
    begins, ends = line.span
    first = next((word for word in seen.words if begins <= word.start < ends), None)
    place = (first.box.left, first.box.top) if first is not None else (-1, -1)
    return Compared(" ".join(line.raw.split()), line.measure_text(), *place)


def to_compare(photograph: Photograph, seen: PhotoText, formula: Formula) -> tuple[int, ...]:
    """The lines (from 0) whose amounts have not been compared with the picture; one that is set aside is none of them."""
    done = frozenset(photograph.compared)
    lines = enumerate(formula.lines)
    return tuple(n for n, line in lines if not line.set_aside and compared_as(seen, line) not in done)


def with_compared(photograph: Photograph, seen: PhotoText, lines: Iterable[Line]) -> Photograph:
    """The photograph with these lines among those that were compared."""
    new = (compared_as(seen, line) for line in lines)
    return replace(photograph, compared=tuple(dict.fromkeys((*photograph.compared, *new))))


def with_doubts(photograph: Photograph, seen: PhotoText, formula: Formula) -> Formula:
    """The formula with what is doubtful in the picture among the doubts of its lines, but for those that were compared."""
    open_lines = frozenset(to_compare(photograph, seen, formula))
    lines = []
    for n, (line, doubts) in enumerate(zip(formula.lines, doubts_of(seen, formula), strict=True)):
        named = [Doubt("ingredient" if d.reading.strip(" .,;:") in line.ingredient else "amount", d.words) for d in doubts]
        lines.append(replace(line, doubts=(*line.doubts, *named)) if named and n in open_lines else line)
    return replace(formula, lines=tuple(lines))


def finding(open_lines: int, lines: int) -> Finding:
    """What keeps a text with so many lines that were not compared yet from the bench."""
    have = "has" if open_lines == 1 else "have"
    text = (
        f"The text was read from a photograph, and {open_lines} of its {lines} lines {have} not been compared with the picture"
        " yet. A misread figure weighs wrong: look at each amount beside its strip of the picture, and say yes or put it right."
    )
    return Finding("ask", "photograph", text)


def told(photograph: Photograph, open_lines: int) -> str:
    """In a sentence, for those whom the formula is handed on to: that it was photographed, and whether it was compared."""
    page = f", page {photograph.page}" if photograph.page > 1 else ""
    state = "each amount was compared with the picture" if not open_lines else "not every amount has been compared with it yet"
    return f"The text was read from a photograph ({photograph.name}{page}); {state}."


def check_place(picture: str) -> tuple[str, str]:
    """Folder and file of where a picture lies. Raises BadValue where it is anything but two plain names."""
    parts = picture.split("/")
    if len(parts) != 2 or any(part in ("", ".", "..") or "\\" in part or part.startswith(".") or "\0" in part for part in parts):
        raise BadValue(f"a picture lies in a folder beside the record, such as 'rice-powder/page.jpg', not at {picture!r}")
    return parts[0], parts[1]
