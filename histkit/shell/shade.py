"""The commands of `histkit shade`: starting points, rows of tests, extensions, swatches of a photograph, the next addition."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say

if TYPE_CHECKING:
    from histkit.base.grid import Grid
    from histkit.bench.weighing import Balance
    from histkit.display.tabular import Tabular
    from histkit.shade.photograph import Box

app = typer.Typer(
    no_args_is_help=True, help="Shade: starting points, colour extensions, swatches of a photograph, the next addition."
)

Readability = Annotated[float, typer.Option(help="The smallest step of the balance, grams.")]
Minimum = Annotated[float, typer.Option(help="The least that the balance weighs well, grams.")]


def _balance(readability: float, minimum: float) -> Balance:
    from histkit.bench.weighing import Balance

    return Balance(readability, minimum)


def _answer(shown: Tabular, json_answer: bool) -> None:
    if json_answer:
        print_json(shown.to_frame().astype(object).to_dict(orient="records"))
    else:
        say(shown.to_text())


@app.command()
def start(
    depth: Annotated[
        str, typer.Argument(help="'very light', light, intermediate, tan, brown, dark; or #bc9a86.")
    ],
    json_answer: Json = False,
) -> None:
    """Usual loads of white and oxides for a depth of skin: wide, common practice, a place to start."""
    from histkit.shade import Colour, starting_point

    with kindly():
        point = starting_point(Colour.from_hex(depth) if depth.startswith("#") else depth)
        _answer(point, json_answer)
        if not json_answer:
            say(f"About the colour {point.looks.hex} ({point.looks}). Press a test before you make more.")


@app.command()
def row(
    pale: Annotated[str, typer.Argument(help="The palest depth of skin.")],
    deep: Annotated[str, typer.Argument(help="The deepest.")],
    count: Annotated[int, typer.Option(help="How many tests.")] = 5,
    grams: Annotated[float, typer.Option(help="Grams of each test.")] = 3.0,
    base: Annotated[str, typer.Option(help="The powder that the colours are ground into.")] = "talc",
    readability: Readability = 0.01,
    minimum: Minimum = 0.2,
    json_answer: Json = False,
) -> None:
    """Small pressed tests from pale to deep, and all that is weighed for them."""
    from histkit.shade import row_of_tests

    with kindly():
        made = row_of_tests(pale, deep, count, grams, base, _balance(readability, minimum))
        if json_answer:
            frames = {"tests": made, "pale powder": made.pale, "deep powder": made.deep}
            print_json({name: t.to_frame().astype(object).to_dict(orient="records") for name, t in frames.items()})
            return
        for shown in (made.pale, made.deep, made):
            say(shown.to_text() + "\n")


@app.command()
def extension(
    pigment: Annotated[str, typer.Argument(help="The pigment, by its name or id.")],
    base: Annotated[str, typer.Option(help="The powder that it is ground into.")] = "talc",
    share: Annotated[float, typer.Option(help="Share of pigment in the extension, 0.01 to 0.5.")] = 0.2,
    milligrams: Annotated[float | None, typer.Option(help="Milligrams of pigment that are wanted.")] = None,
    make: Annotated[float | None, typer.Option(help="Grams of extension to make.")] = None,
    readability: Readability = 0.01,
    minimum: Minimum = 0.2,
    json_answer: Json = False,
) -> None:
    """A colour extension: so much of it for so much pigment, and how it is ground."""
    from histkit.composing.composition import resolve
    from histkit.shade import Extension

    with kindly():
        made = Extension(resolve(pigment).id, resolve(base).id, share)
        scales = _balance(readability, minimum)
        steps = made.steps(make, scales) if make is not None else ()
        taken = None if milligrams is None else made.grams_for(milligrams / 1000)
        if json_answer:
            print_json({"extension": made.name, "take_grams": taken, "steps": list(steps)})
            return
        if taken is not None:
            say(f"{milligrams:g} mg: take {taken:.4g} g of {made.name}, and leave out {made.base_in(taken):.4g} g of the base.")
        for number, words in enumerate(steps, start=1):
            say(f"{number}. {words}")
        if taken is None and not steps:
            say(made.to_text())


@app.command()
def swatches(
    photograph: Annotated[
        Path, typer.Argument(help="A photograph of pressed swatches beside a grey card.", exists=True, dir_okay=False)
    ],
    box: Annotated[list[str], typer.Option(help="name=left,top,width,height in per cent of the picture. May be given again.")],
    grey: Annotated[list[str], typer.Option(help="The grey card: left,top,width,height. Twice, on either side, is better.")],
    reflectance: Annotated[float, typer.Option(help="What the grey card reflects, as a share.")] = 0.18,
    json_answer: Json = False,
) -> None:
    """The colours of swatches in a photograph, its light corrected by a grey card, or the reason why it cannot be."""
    from histkit.shade.photograph import picture_of, swatches_from

    with kindly():
        boxes = [_named(words) for words in box]
        found = swatches_from(picture_of(photograph), boxes, [_box(words) for words in grey], reflectance)
        if json_answer:
            print_json([{"name": s.name, "channels": s.channels, "error": s.error, "hex": s.colour.hex} for s in found.swatches])
            return
        say(_swatch_table(found.swatches))
        for note in found.notes:
            say(note)


@app.command(name="next")
def next_addition(
    record: Annotated[Path, typer.Argument(help="A record with a base, tints, the powder's swatch and a target.", exists=True)],
    grams: Annotated[float, typer.Option(help="Grams of powder that there are.")],
    share: Annotated[float, typer.Option(help="Share of pigment in the extensions.")] = 0.2,
    part: Annotated[float, typer.Option(help="Part of the way to go at once.")] = 0.5,
    json_answer: Json = False,
) -> None:
    """How much of each colour extension to add, from the swatches that the record keeps."""
    from histkit.keeping import records, shades

    with kindly():
        addition = shades.next_addition(records.load(record).swatches, grams, share, part)
        if json_answer:
            print_json({"add": dict(addition.grams), "gap": addition.gap, "reached": addition.reached, "notes": addition.notes})
            return
        say(addition.to_text())
        say(f"Expected then: {addition.expected.hex} ({addition.expected}).")
        for note in addition.notes:
            say(note)


def _swatch_table(found: tuple[object, ...]) -> str:
    from histkit.base.grid import Column, Grid
    from histkit.display.grids import to_text
    from histkit.shade.study import Swatch

    columns = (Column("name", "Swatch"), Column("lab", "Colour"), Column("hex", "On a screen"), Column("error", "May be off"))
    rows = tuple((s.name, str(s.colour), s.colour.hex, f"{s.error:.1%}") for s in found if isinstance(s, Swatch))
    grid: Grid = Grid(columns, rows, "Swatches")
    return to_text(grid)


def _named(words: str) -> tuple[str, Box]:
    name, equals, figures = words.rpartition("=")
    if not equals or not name.strip():
        raise BadValue(f"--box {words}: write it as name=left,top,width,height, in per cent of the picture")
    return name.strip(), _box(figures)


def _box(words: str) -> Box:
    from histkit.shade.photograph import Box

    try:
        left, top, width, height = (float(figure) / 100 for figure in words.split(","))
    except ValueError:
        raise BadValue(f"{words!r} is no box: four figures, left,top,width,height, in per cent of the picture") from None
    return Box(left, top, width, height)
