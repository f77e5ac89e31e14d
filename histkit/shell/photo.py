"""`histkit photo`: what a photographed, scanned or PDF page says, what is doubtful in it, and what was made of it."""

from __future__ import annotations

import textwrap
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from histkit.base.errors import BadValue, ReadingError
from histkit.display.grids import ACROSS
from histkit.shell.answering import Json, kindly, print_json, say, say_prose

if TYPE_CHECKING:
    from histkit.photo import Box, PhotoDoubt, PhotoText, Word
    from histkit.reading.formula import Formula

_PROMISE = "This saves typing, and no more: compare every amount with the page before anything is weighed."
_INDENTED: dict[str, Any] = {"initial_indent": "  ", "subsequent_indent": "    "}


def photo(
    picture: Annotated[
        Path, typer.Argument(help="JPEG, PNG, TIFF, WebP, HEIC or PDF.", exists=True, dir_okay=False, show_default=False)
    ],
    page: Annotated[int, typer.Option(help="The page of a PDF or TIFF, from 1.")] = 1,
    frame: Annotated[
        str, typer.Option(help="One formula of the page: left,top,right,bottom in pixels of the upright picture.")
    ] = "",
    text_only: Annotated[bool, typer.Option("--text-only", help="The text alone, for 'translate'.")] = False,
    json_answer: Json = False,
) -> None:
    """The text of a photographed page, its doubts, and the formula that was read in it."""
    from histkit.photo import open_picture, read_photo, unused
    from histkit.reading import read

    with kindly():
        box = _frame(frame)
        seen = read_photo(open_picture(picture, page=page), box)
        if text_only and not json_answer:
            say(seen.text)
            return
        try:
            formula = read(seen.text)
        except ReadingError:
            formula = None
        left = unused(seen, formula) if formula is not None else (*seen.words, *seen.unread)
        if json_answer:
            print_json(_json(seen, formula, left))
        else:
            _tell(seen, formula, left)
        if not seen.text:
            raise typer.Exit(1)


def _frame(words: str) -> Box | None:
    from histkit.photo import Box

    if not words:
        return None
    try:
        left, top, right, bottom = (int(figure) for figure in words.split(","))
    except ValueError:
        raise BadValue(f"--frame {words}: write it as left,top,right,bottom in pixels, such as 120,80,900,640") from None
    return Box(left, top, right, bottom)


def _tell(seen: PhotoText, formula: Formula | None, left: tuple[Word, ...]) -> None:
    if not seen.text:
        say("No print was found on this picture: see that it is sharp, light enough and not too small.", err=True)
        return
    say(seen.text)
    if formula is None:
        say_prose("\nNo ingredient line was found in this text. Frame one formula with --frame.")
    else:
        say("\n" + formula.to_text())
    if seen.doubts:
        say("\nCompare with the page:")
        for doubt in seen.doubts:
            say(textwrap.fill(f"Line {_line_of(seen, doubt)}: {doubt.words}", ACROSS, **_INDENTED))
    if formula is not None and left:
        say("\nWords of the page that no line uses:")
        say(textwrap.fill(" · ".join(word.text for word in left), ACROSS, **_INDENTED))
    say_prose(f"\n{_PROMISE}")


def _line_of(seen: PhotoText, doubt: PhotoDoubt) -> int:
    """The line of the text in which a doubt stands, from 1."""
    return seen.text.count("\n", 0, doubt.start) + 1


def _json(seen: PhotoText, formula: Formula | None, left: tuple[Word, ...]) -> dict[str, Any]:
    lines = formula.lines if formula is not None else ()
    return {
        "text": seen.text,
        "size": seen.size,
        "engines": seen.engines,
        "words": [_word(word) for word in seen.words],
        "doubts": [
            {"kind": d.kind, "start": d.start, "end": d.end, "reading": d.reading, "other": d.other, "text": d.words}
            for d in seen.doubts
        ],
        "lines": [
            {"raw": line.raw, "span": line.span, "measure": line.measure_text(), "name": line.full_name} for line in lines
        ],
        "unused": [_word(word) for word in left],
    }


def _word(word: Word) -> dict[str, Any]:
    box = [word.box.left, word.box.top, word.box.right, word.box.bottom]
    return {"text": word.text, "box": box, "confidence": word.confidence, "start": word.start, "end": word.end}
