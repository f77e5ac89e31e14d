"""From places in the text to places on the picture, and what of the page a read formula does not use."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from difflib import SequenceMatcher

from histkit.base.errors import BadValue
from histkit.photo.nouns import Box, PhotoDoubt, PhotoText, Word
from histkit.reading.formula import Formula

_WORD = re.compile(r"\S+")
_TELLS = re.compile(r"[^\W_]")


def boxes_of(photo_text: PhotoText, start: int, end: int) -> tuple[Box, ...]:
    """Where `text[start:end]` stands on the picture: a box for each printed line of it, in the order of the text."""
    boxes: list[Box] = []
    before: Word | None = None
    for word in photo_text.words:
        if word.end <= start or word.start >= end:
            continue
        if before is not None and "\n" not in photo_text.text[before.end : word.start]:
            boxes[-1] = _around(boxes[-1], word.box)
        else:
            boxes.append(word.box)
        before = word
    return tuple(boxes)


def _around(one: Box, other: Box) -> Box:
    return Box(
        min(one.left, other.left), min(one.top, other.top), max(one.right, other.right), max(one.bottom, other.bottom)
    )  # fmt: skip


def doubts_of(photo_text: PhotoText, formula: Formula) -> tuple[tuple[PhotoDoubt, ...], ...]:
    """The doubts of each line of a formula that was read from this very text, in the order of `formula.lines`.

    Raises BadValue where the formula was read from another text: its places would mean nothing.
    """
    _same_text(photo_text, formula)
    return tuple(
        tuple(doubt for doubt in photo_text.doubts if doubt.start < line.span[1] and doubt.end > line.span[0])
        for line in formula.lines
    )


def unused(photo_text: PhotoText, formula: Formula) -> tuple[Word, ...]:
    """The words of the page that no line, title or direction of the formula holds: first those of its unread text, then
    `photo_text.unread`, which stood in no printed line.

    Raises BadValue as `doubts_of` does.
    """
    _same_text(photo_text, formula)
    spans = list(_unread_spans(formula))
    left = tuple(
        word
        for word in photo_text.words
        if _TELLS.search(word.text) and any(word.start < end and word.end > start for start, end in spans)
    )
    return (*left, *photo_text.unread)


def _same_text(photo_text: PhotoText, formula: Formula) -> None:
    if formula.text != photo_text.text:
        raise BadValue("this formula was read from another text than that of the picture: read it again")


def _unread_spans(formula: Formula) -> Iterator[tuple[int, int]]:
    """Where the unread pieces stand: each is looked for behind the one before it, and never within a line."""
    taken = sorted(line.span for line in formula.lines)
    place = 0
    for piece in formula.unread:
        start = formula.text.find(piece, place)
        while start >= 0 and (inside := next((span for span in taken if span[0] < start + len(piece) and span[1] > start), None)):
            start = formula.text.find(piece, inside[1])
        if start < 0:
            continue
        place = start + len(piece)
        yield start, place


def retyped(photo_text: PhotoText, text: str) -> PhotoText:
    """The same page after the maker put its text right: words and doubts that still stand keep their places on the picture.

    A doubt whose words were changed is gone; words that were typed over keep the boxes of those that stood there.
    """
    if text == photo_text.text:
        return photo_text
    old, new = list(_WORD.finditer(photo_text.text)), list(_WORD.finditer(text))
    matcher = SequenceMatcher(None, [m.group() for m in old], [m.group() for m in new], autojunk=False)
    words: list[Word] = []
    kept: dict[int, int] = {}
    for tag, first, last, begins, ends in matcher.get_opcodes():
        if tag == "equal":
            for one, other in zip(old[first:last], new[begins:ends], strict=True):
                kept.update({one.start() + n: other.start() + n for n in range(len(one.group()) + 1)})
                words += _shifted(photo_text, one, other.start())
        elif tag == "replace":
            words += _typed_over(photo_text, old[first:last], new[begins:ends])
    doubts = tuple(
        replace(doubt, start=kept[doubt.start], end=kept[doubt.end])
        for doubt in photo_text.doubts
        if all(place in kept or photo_text.text[place].isspace() for place in range(doubt.start, doubt.end))
        and doubt.start in kept
        and doubt.end in kept
        and text[kept[doubt.start] : kept[doubt.end]] == doubt.reading
    )
    return replace(photo_text, text=text, words=tuple(words), doubts=doubts)


def _within(photo_text: PhotoText, start: int, end: int) -> list[Word]:
    return [word for word in photo_text.words if word.start < end and word.end > start]


def _shifted(photo_text: PhotoText, one: re.Match[str], start: int) -> list[Word]:
    moved = start - one.start()
    return [replace(w, start=w.start + moved, end=w.end + moved) for w in _within(photo_text, *one.span())]


def _typed_over(photo_text: PhotoText, old: list[re.Match[str]], new: list[re.Match[str]]) -> list[Word]:
    """The new words with the boxes of those that they stand for: one for one where they are as many, all together otherwise."""
    if len(old) == len(new):
        pairs = [(_within(photo_text, *one.span()), other) for one, other in zip(old, new, strict=True)]
    else:
        everything = _within(photo_text, old[0].start(), old[-1].end())
        pairs = [(everything, other) for other in new]
    made = []
    for words, other in pairs:
        if words:
            box = words[0].box
            for word in words[1:]:
                box = _around(box, word.box)
            made.append(Word(other.group(), box, 1.0, *other.span()))
    return made
