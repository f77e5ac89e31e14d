"""What is kept of the photograph that a text came from: its words with their places, and the amounts compared with it.

The words stay as they were first read; where the maker has put the text right since, `as_it_stands` carries their places over.
A line counts as compared as long as its words, its amount and its place are those that the maker said yes to.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from histkit.base import fields as shapes
from histkit.base.errors import BadValue
from histkit.base.fields import kept
from histkit.base.nouns import Doubt
from histkit.photo.nouns import Box, PhotoText
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
class Photograph:
    """The photograph, scan or page of a PDF that the text of a formula was read from. The picture lies beside the record."""

    name: str = kept(shapes.MISSING, "the name of the file that was chosen")
    seen: PhotoText = kept(shapes.MISSING, "the words as they were read, with their places on the upright picture")
    page: int = kept(1, "the page of that file,", least=1)
    frame: Box | None = kept(None, "the frame that was drawn on the upright picture; null: all of it was read")
    picture: str = kept("", "where the upright picture lies: folder and file, beside the record; empty: nowhere")
    digest: str = kept("", "SHA-256 of the picture's file, so that no other one is taken for it")
    compared: tuple[Compared, ...] = kept((), "the lines whose amounts were compared with the picture")

    def __post_init__(self) -> None:
        shapes.check(self)


def as_it_stands(photograph: Photograph, text: str) -> PhotoText:
    """The words of the photograph with their places in the text as the maker has it now."""
    return photograph.seen if photograph.seen.text == text else retyped(photograph.seen, text)


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
