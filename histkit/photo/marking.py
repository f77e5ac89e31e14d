"""Doubts that the shape of the ink raises, added to those of the two witnesses. Nothing is filled in."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import cache

from histkit.base import tables
from histkit.photo import shapes
from histkit.photo.engines import Seen, cells_of
from histkit.photo.pieces import Pieces
from histkit.photo.signs import TOLD
from histkit.photo.witnesses import Testified, Told

_USUAL = frozenset(".,;:'\"`‘’“”|-—–()[]{}/&*+=!?½¼¾⅓⅔⅛⅜⅝⅞℥ʒ℈·•…°")
"""What is printed beside letters and figures."""


def marked(told: Sequence[Told], pieces: Pieces, letter: float) -> list[Told]:
    """The lines with a doubt at each stacked fraction, each sign that the engines do not know, and at print that nobody read."""
    if letter <= 0:
        return list(told)
    hanging = shapes.old_figures(list(_figures(told, pieces, letter)))
    return [_line_marked(line, pieces, letter, hanging) for line in told]


def _figures(told: Sequence[Told], pieces: Pieces, letter: float) -> Iterator[tuple[str, bool]]:
    """Each figure with whether it reaches below its line."""
    for line in told:
        own = shapes.on_line(pieces, line.line.level, line.line.left, line.line.right, letter)
        ruling = shapes.ruling_of(own, letter)
        if ruling is None:
            continue
        for group in line.groups:
            for word in group.words:
                for figure, left, right in _cells(word):
                    yield figure, shapes.falls_below(own, left, right, letter, ruling)


def _cells(word: Seen) -> Iterator[tuple[str, float, float]]:
    """The figures of a word with where each begins and ends."""
    for letter, (left, right) in zip(word.text, cells_of(word), strict=False):
        if letter.isdigit():
            yield letter, left, right


def _line_marked(told: Told, pieces: Pieces, letter: float, hanging: bool) -> Told:
    own = shapes.on_line(pieces, told.line.level, told.line.left - letter, told.line.right + letter, letter)
    ruling = shapes.ruling_of(own, letter)
    groups = [_signs_marked(group) for group in told.groups]
    if ruling is not None:
        groups = [_shape_marked(group, own, letter, ruling, hanging) for group in groups]
        groups = _missed_marked(groups, own, letter, ruling)
    return replace(told, groups=tuple(groups))


def _signs_marked(group: Testified) -> Testified:
    """A letter that no old book prints stands for a sign that the engine does not have."""
    text = " ".join(word.text for word in group.words)
    strange = [letter for letter in text if not _printed(letter)]
    if not strange:
        return group
    other = "".join(_perhaps().get(letter, letter) for letter in text)
    return replace(group, doubt="sign", other=other if other != text else group.other)


def _printed(letter: str) -> bool:
    if letter.isspace() or letter.isdigit() or letter in _USUAL:
        return True
    return letter.isalpha() and unicodedata.name(letter, "").startswith("LATIN") and letter not in _perhaps()


@cache
def _perhaps() -> dict[str, str]:
    return {row["seen"]: row["perhaps"] for row in tables.read("photo/signs")}


def _shape_marked(group: Testified, own: Pieces, letter: float, ruling: shapes.Ruling, hanging: bool) -> Testified:
    if group.doubt in ("fraction", TOLD):
        return group
    for word in group.words:
        figures = list(_cells(word))
        places = figures or ([("", word.left, word.right)] if group.doubt == "amount" and len(word.text) <= 3 else [])
        if any(shapes.stacked(own, left, right, letter, ruling) for _, left, right in places):
            return replace(group, doubt="stacked")
        below = any(shapes.falls_below(own, left, right, letter, ruling) for figure, left, right in figures)
        if below and not hanging:
            return replace(group, doubt="sign")
    return group


def _missed_marked(groups: list[Testified], own: Pieces, letter: float, ruling: shapes.Ruling) -> list[Testified]:
    """A doubt at the word beside ink as large as a figure that stands in no word's box."""
    words = [(number, word) for number, group in enumerate(groups) for word in group.words]
    made = list(groups)
    for left, top, right, bottom in own.edges:
        if bottom - top < 0.45 * letter or not ruling.small - 0.9 * letter <= (top + bottom) / 2 <= ruling.foot + 0.3 * letter:
            continue
        middle = (left + right) / 2
        if any(word.left - 0.2 * letter <= middle <= word.right + 0.2 * letter for _, word in words):
            continue
        number, word = min(words, key=lambda pair: max(pair[1].left - right, left - pair[1].right))
        if max(word.left - right, left - word.right) < 4 * letter and not made[number].doubt:
            made[number] = replace(made[number], doubt="missed")
    return made

