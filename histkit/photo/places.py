"""From places in the text to places on the picture, and what of the page a read formula does not use."""

from __future__ import annotations

from histkit.photo.nouns import Box, PhotoDoubt, PhotoText, Word
from histkit.reading.formula import Formula


def boxes_of(photo_text: PhotoText, start: int, end: int) -> tuple[Box, ...]:
    """Where `text[start:end]` stands on the picture: a box for each printed line of it, in the order of the text."""
    raise NotImplementedError


def doubts_of(photo_text: PhotoText, formula: Formula) -> tuple[tuple[PhotoDoubt, ...], ...]:
    """The doubts of each line of a formula that was read from this very text, in the order of `formula.lines`."""
    raise NotImplementedError


def unused(photo_text: PhotoText, formula: Formula) -> tuple[Word, ...]:
    """The words of the page that stand in no line, title or direction of the formula: its unread ones, then `photo_text.unread`."""
    raise NotImplementedError


def retyped(photo_text: PhotoText, text: str) -> PhotoText:
    """The same page after the maker put its text right: words and doubts that still stand keep their places on the picture.

    A doubt whose words were changed is gone; a word that was typed over keeps its box.
    """
    raise NotImplementedError
