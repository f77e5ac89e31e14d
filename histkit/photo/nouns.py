"""What a photographed page becomes: a picture that stands upright, the words read on it with their places, and the doubts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted

if TYPE_CHECKING:
    from PIL import Image


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels of the upright picture, `right` and `bottom` just outside it."""

    left: int
    top: int
    right: int
    bottom: int

    def __post_init__(self) -> None:
        figures = (self.left, self.top, self.right, self.bottom)
        if not all(is_number(f) for f in figures) or self.left >= self.right or self.top >= self.bottom:
            raise BadValue(f"a box is left, top, right, bottom in pixels, each side of some length, not {quoted(figures)}")

    @property
    def width(self) -> int:
        """Pixels across."""
        return self.right - self.left

    @property
    def height(self) -> int:
        """Pixels from top to bottom."""
        return self.bottom - self.top

    def moved(self, across: int, down: int) -> Box:
        """The same box so many pixels further right and down."""
        return Box(self.left + across, self.top + down, self.right + across, self.bottom + down)


@dataclass(frozen=True, slots=True)
class Word:
    """A word as it was read, where it stands on the picture and in the text.

    `text` is `PhotoText.text[start:end]`; `start` and `end` are -1 for a word that stands in no line of the text.
    `confidence` is the engine's own, 0 to 1.
    """

    text: str
    box: Box
    confidence: float
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class PhotoDoubt:
    """Why a stretch of the text, `text[start:end]`, may be misread.

    `kind` is one of `doubt_kinds()`; `reading` is what stands in the text, `other` what else it may be ("" where nobody can say).
    """

    start: int
    end: int
    kind: str
    reading: str
    other: str

    @property
    def words(self) -> str:
        """The doubt as a sentence for people."""
        from histkit.photo.kinds import in_words

        return in_words(self)


@dataclass(frozen=True, slots=True)
class PhotoText:
    """The words of a picture as text for the reader.

    `words` are in the order of the text and do not overlap; `doubts` in the order of their places. `unread` are words that were
    seen and stood in no line (their `start` is -1). `size` is width and height of the upright picture, `engines` what read it.
    """

    text: str
    words: tuple[Word, ...]
    doubts: tuple[PhotoDoubt, ...]
    unread: tuple[Word, ...]
    size: tuple[int, int]
    engines: tuple[str, ...]


@dataclass(frozen=True, slots=True, eq=False)
class Picture:
    """One upright picture in RGB: `name` of its file ("" where there is none), `page` (from 1) of `pages`."""

    image: Image.Image
    name: str
    page: int
    pages: int

    @property
    def size(self) -> tuple[int, int]:
        """Width and height in pixels."""
        return self.image.size
