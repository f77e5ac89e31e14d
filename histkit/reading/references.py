"""What a formula says of other formulas: 'White powder (see above)', 'To 12 drachms of this add', 'Another: …'."""

from __future__ import annotations

import re
from bisect import bisect_right
from dataclasses import replace
from itertools import pairwise

from histkit.base.nouns import Doubt
from histkit.reading.formula import Line, Portion
from histkit.reading.measure import Measure
from histkit.reading.vocabulary import pattern, word_list

_WORDS = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
_LETTERS = re.compile(r"[^\W\d_]+")
_PIECE = re.compile(r"[^\W_][^\n.:;]*[.:]?(?:[ ]?[\w]+[.:])?(?:[ ]?[—–-]+)?")
_ROMAN_HEAD = re.compile(r"\W*(I[IVX]+|VI*|X[IVX]*)\s*[.,]?\s*[—–-]{1,2}")
_REFERS, _SEE, _ANEW, _BEFORE_ANEW = map(word_list, ("refers", "see", "anew", "before-anew"))

_LONGEST_OPENING = 60
"""Characters of the words that begin a receipt within a sentence."""


def referring(lines: list[Line]) -> list[Line]:
    """The lines, with a Doubt on each whose name is that of another formula of the book."""
    return [replace(line, doubts=(*line.doubts, _elsewhere(line))) if _refers(line) else line for line in lines]


def _refers(line: Line) -> bool:
    words = _WORDS.findall(line.ingredient.lower())
    if any(word in _REFERS for word in words) or (words and words[-1] not in _SEE and not _SEE.isdisjoint(words)):
        return True
    return line.unit != "none" and pattern("of-this").search(f"{line.raw} ") is not None


def _elsewhere(line: Line) -> Doubt:
    return Doubt(
        "reference",
        f"{line.ingredient!r} is another formula of the book.",
        (),
        "What it holds, and what in it may be harmful, is not counted here: read that formula too.",
    )


def portions(measures: list[tuple[Measure, tuple[int, int]]], lines: list[Line], text: str) -> tuple[Portion, ...]:
    """For each 'to 12 drachms of this': which of the lines above it speaks of.

    `measures` are those of kind "portion" with the stretch of the text that prints them. It is the lines back to the last
    break in the text (a direction such as 'Mix.' or another heading); where more lines stand above, the doubt says so.
    """
    begins = [0] * len(lines)  # for each line, the first of those that stand with it, nothing but signs between them
    for i in range(1, len(lines)):
        apart = re.search(r"[^\W_]", text[lines[i - 1].span[1] : lines[i].span[0]])
        begins[i] = i if apart else begins[i - 1]
    ends = [line.span[1] for line in lines]
    taken = []
    for measure, (start, end) in measures:
        above = bisect_right(ends, start)
        if not above:
            continue
        first = begins[above - 1]
        doubts: tuple[Doubt, ...] = ()
        if first > 0:
            others = (f"all {above} lines above it",)
            which = "the line" if above - first == 1 else f"the {above - first} lines"
            doubts = (
                Doubt("reference", f"'Of this' is taken to mean {which} just above.", others, "The base would be another."),
            )
        taken.append(Portion(measure.amount, measure.unit, (first, above), text[start:end], doubts))
    return tuple(taken)


def beginning_anew(lines: list[Line], text: str) -> list[Line]:
    """The lines, with a Doubt on each that seems to begin a second formula ('Another:', 'No. 2.', 'II.—')."""
    marked = lines[:1]
    for before, line in pairwise(lines):
        start = _start_of_heading(text, before, line)
        if start is not None:
            heading = " ".join(text[start : line.span[0]].split()) or line.raw.split()[0]
            doubt = Doubt(
                "formula",
                f"Another formula seems to begin here ({heading!r}).",
                ("one formula all through",),
                "Its amounts do not belong with those above: read each formula by itself.",
            )
            line = replace(line, doubts=(*line.doubts, doubt))
        marked.append(line)
    return marked


def separated(lines: tuple[Line, ...], text: str) -> tuple[str, ...]:
    """`text` cut where another formula seems to begin, each heading with what follows it; nothing is left out."""
    starts = [_start_of_heading(text, before, line) for before, line in pairwise(lines)]
    cuts = [0, *(start for start in starts if start is not None), len(text)]
    return tuple(text[a:b] for a, b in pairwise(cuts))


def _start_of_heading(text: str, before: Line, line: Line) -> int | None:
    """Where the heading of another formula stands between two lines, or at the start of the second; None where there is none."""
    for piece in _PIECE.finditer(text, before.span[1], line.span[0]):
        words = (word.lower() for word in _LETTERS.findall(piece.group()))
        first = next((word for word in words if word not in _BEFORE_ANEW), "")
        last = piece.group().rstrip()[-1:]
        anew = first in _ANEW and last in ":.—–-"
        closed = last in ".:—-" or text[piece.end() : piece.end() + 1] == "\n"
        if anew or (closed and pattern("number-of-another").match(piece.group())) or _ROMAN_HEAD.match(piece.group()):
            return piece.start()
    if _ROMAN_HEAD.match(line.raw):
        return line.span[0]
    return _start_of_sentence(text, before.span[1], line.span[0])


def _start_of_sentence(text: str, start: int, end: int) -> int | None:
    """Where a sentence between two places, or at the second, begins another receipt ('Or take', 'Should no chemist be at hand'),
    or one of several rows of nothing but 'Mix.' ends; None where none does."""
    another, until = pattern("begins-another-receipt"), end + _LONGEST_OPENING
    for place in pattern("where-a-receipt-may-begin").finditer(text, start, end):
        if another.match(text, place.start(), until):
            return place.start()
    row = pattern("row-that-ends-a-receipt").search(text, start, end)
    several = row is not None and sum(1 for _ in pattern("row-that-ends-a-receipt").finditer(text)) > 1
    return row.end() if row is not None and several else None
