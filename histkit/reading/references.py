"""What a formula says of other formulas: 'White powder (see above)', 'To 12 drachms of this add', 'Another: …'."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import pairwise

from histkit.base.nouns import Doubt
from histkit.reading.formula import Line, Portion
from histkit.reading.measure import Measure
from histkit.reading.vocabulary import word_list

_WORDS = re.compile(r"[^\W\d_]+(?:-[^\W\d_]+)*")
_NUMBERED = re.compile(r"\W*(?:no\.?|nr\.?|n°|formula)\s*(\d+|[ivx]+)\b", re.IGNORECASE)
_PIECE = re.compile(r"[^\W_][^\n.:;]*[.:]?(?:[ ]?[\w]+[.:])?(?:[ ]?[—–-]+)?")
_ROMAN_HEAD = re.compile(r"\W*(I[IVX]+|VI*|X[IVX]*)\s*[.,]?\s*[—–-]{1,2}")


def referring(lines: list[Line]) -> list[Line]:
    """The lines, with a Doubt on each whose name is that of another formula of the book."""
    return [replace(line, doubts=(*line.doubts, _elsewhere(line))) if _refers(line) else line for line in lines]


def _refers(line: Line) -> bool:
    words = _WORDS.findall(line.ingredient.lower())
    seen = "see" in words and words[-1] != "see"
    this = " this " in f"{line.raw} " and line.unit != "none" and re.search(r"\bof\s+this\b", line.raw, re.IGNORECASE)
    return seen or bool(this) or any(word in word_list("refers") for word in words)


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
    found = []
    for measure, (start, end) in measures:
        above = [i for i, line in enumerate(lines) if line.span[1] <= start]
        if not above:
            continue
        first = last = above[-1]
        while first > 0 and not re.search(r"[^\W_]", text[lines[first - 1].span[1] : lines[first].span[0]]):
            first -= 1
        doubts: tuple[Doubt, ...] = ()
        if first > 0:
            others = (f"all {len(above)} lines above it",)
            count = last - first + 1
            said = "the line" if count == 1 else f"the {count} lines"
            doubts = (Doubt("reference", f"'Of this' is taken to mean {said} just above.", others, "The base would be another."),)
        found.append(Portion(measure.amount, measure.unit, (first, last + 1), text[start:end], doubts))
    return tuple(found)


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
    for found in _PIECE.finditer(text, before.span[1], line.span[0]):
        words = re.findall(r"[^\W\d_]+", found.group().lower())
        begins = [w for w in words if w not in ("or", "and", "oder", "ou")][:1]
        anew = begins and begins[0] in word_list("anew") and found.group().rstrip()[-1:] in ":.—–-"
        numbered = _NUMBERED.match(found.group()) and (found.group().rstrip()[-1:] in ".:—-" or text[found.end() :][:1] == "\n")
        if anew or numbered or _ROMAN_HEAD.match(found.group()):
            return found.start()
    return line.span[0] if _ROMAN_HEAD.match(line.raw) else None
