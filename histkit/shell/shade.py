"""The commands of `histkit shade`: starting points, rows of tests, extensions, swatches of a photograph, the next addition, and
what the maker's own batches showed."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say

if TYPE_CHECKING:
    from histkit.bench.weighing import Balance
    from histkit.display.tabular import Tabular
    from histkit.glossary.nouns import Ingredient
    from histkit.keeping.records import Record
    from histkit.keeping.shades import KeptCard
    from histkit.shade.photograph import Box, ColourCard
    from histkit.shade.study import Swatch

app = typer.Typer(
    no_args_is_help=True,
    help="Shade: starting points, colour extensions, swatches of a photograph, the next addition, what your batches showed.",
)

Readability = Annotated[float, typer.Option(help="The smallest step of the balance, grams.")]
Target = Annotated[str, typer.Option(help="A class of skin (tan) or #bc9a86, instead of the swatch kept as the target.")]
Minimum = Annotated[float, typer.Option(help="The least that the balance weighs well, grams.")]


def _called(words: str) -> Ingredient:
    """The ingredient of this id or name. Raises UnknownName where nobody knows it."""
    from histkit import glossary
    from histkit.composing.composition import resolve

    match = None if words in glossary.ingredients else glossary.find(words)
    return resolve(words) if match is None else match.ingredient


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
    depth: Annotated[str, typer.Argument(help="'very light', light, intermediate, tan, brown, dark; or #bc9a86.")],
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
    from histkit.shade import Extension

    with kindly():
        made = Extension(_called(pigment).id, _called(base).id, share)
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
def take(
    record: Annotated[Path, typer.Argument(help="The record of the powder.", exists=True, dir_okay=False)],
    pigment: Annotated[str, typer.Argument(help="The pigment of the extension, by its name or id.")],
    percent: Annotated[
        float | None,
        typer.Option(help="Per cent of the powder that is this extension; without: the formula's own pigment goes in as it."),
    ] = None,
    base: Annotated[str, typer.Option(help="The powder that the pigment is ground into.")] = "talc",
    share: Annotated[float, typer.Option(help="Share of pigment in the extension, 0.01 to 0.5.")] = 0.2,
    out: Annotated[bool, typer.Option("--out", help="Take the extension of this pigment out again.")] = False,
    json_answer: Json = False,
) -> None:
    """Put a colour extension into the powder of a record: from then on the bench sheet says how it is ground."""
    from dataclasses import replace

    from histkit.keeping import records
    from histkit.shade.tinting import of_powder

    with kindly():
        kept, key = records.load(record), _called(pigment).id
        others = tuple(e for e in kept.extensions if e.pigment != key)
        if out and len(others) == len(kept.extensions):
            raise BadValue(f"no extension of {key} is in this powder")
        if not out and percent is None and key not in kept.composition():
            raise BadValue(f"there is no {key} in this powder: say with --percent how much of it the extension is to be")
        taken = () if out else (records.TakenExtension(key, _called(base).id, share, percent),)
        new = replace(kept, extensions=(*others, *taken))
        composition = new.composition()  # what cannot be taken is told here, and not kept
        records.save(new, record)
        held = {e.extension().name: of_powder(composition, e.extension()) for e in new.extensions}
        if json_answer:
            print_json({"extensions": held})
            return
        for name, part in held.items():
            say(f"{name}: {part:.3g} % of the powder")
        say("How they are ground stands on the bench sheet." if held else "No colour extension is in this powder.")


@app.command()
def swatches(
    photograph: Annotated[
        Path, typer.Argument(help="A photograph of pressed swatches beside a grey or a colour card.", exists=True, dir_okay=False)
    ],
    box: Annotated[list[str], typer.Option(help="name=left,top,width,height in per cent of the picture. May be given again.")],
    grey: Annotated[
        list[str] | None, typer.Option(help="The grey card: left,top,width,height. Twice, on either side, is better.")
    ] = None,
    reflectance: Annotated[float, typer.Option(help="What the grey card reflects, as a share.")] = 0.18,
    card: Annotated[
        Path | None,
        typer.Option(help="A file with the colours of a colour card, a line for each patch: name, L*, a*, b* or name, #bc9a86."),
    ] = None,
    columns: Annotated[int, typer.Option(help="How many patches of the card are in a row.")] = 6,
    light: Annotated[str, typer.Option(help="The daylight that its L*a*b* are for: D65 or D50.")] = "D65",
    card_box: Annotated[str | None, typer.Option(help="Where all patches of the card lie: left,top,width,height.")] = None,
    patch: Annotated[
        list[str] | None, typer.Option(help="Where one patch lies, instead: name=left,top,width,height. May be given again.")
    ] = None,
    keep: Annotated[Path | None, typer.Option(help="Keep the swatches in this record.")] = None,
    role: Annotated[str, typer.Option("--as", help="What they are: base, tint, powder or target.")] = "powder",
    pigment: Annotated[
        list[str] | None, typer.Option(help="A pigment in them, as id=per cent of the mass: carmine=2. May be given again.")
    ] = None,
    ground: Annotated[
        list[str] | None,
        typer.Option(help="What was ground in since the powder was kept before: id=grams. May be given again."),
    ] = None,
    into: Annotated[float, typer.Option(help="Grams of powder that it went into.")] = 20.0,
    share: Annotated[
        float, typer.Option(help="Share of pigment in what was ground in; plain powders are known by their id.")
    ] = 0.2,
    json_answer: Json = False,
) -> None:
    """The colours of swatches in a photograph, its light corrected by a grey or a colour card, or the reason why it cannot be."""
    from histkit.display.grids import to_text
    from histkit.keeping import records
    from histkit.keeping.shades import KeptCard, swatches_grid
    from histkit.shade.photograph import picture_of, swatches_from
    from histkit.shell.options import read_pairs, read_text

    with kindly():
        described = None if card is None else KeptCard(read_text(str(card)), columns, light)
        laid = _laid(described, card_box, patch or [])
        greys = [_box(words) for words in grey or ()]
        found = swatches_from(picture_of(photograph), [_named(words) for words in box], greys, reflectance, laid)
        if keep is not None:
            pairs = (
                read_pairs("--pigment", pigment or [], "carmine=2"),
                read_pairs("--ground", ground or [], "iron-oxide-red=0.4"),
            )
            new = _kept(found.swatches, role, *pairs, into, share, keep)
            records.save(new if described is None else _with_card(new, described), keep)
        if json_answer:
            print_json([_swatch_json(swatch) for swatch in found.swatches])
            return
        say(to_text(swatches_grid(found.swatches)))
        for note in (*found.notes, *([] if keep is None else [f"kept in {keep}"])):
            say(note)


def _swatch_json(swatch: Swatch) -> dict[str, object]:
    colour = swatch.colour
    figures = {"channels": swatch.channels, "error": swatch.error, "hex": colour.hex, "lab": colour.axes, "ita": colour.ita}
    return {"name": swatch.name, **figures}


def _laid(described: KeptCard | None, whole: str | None, patches: list[str]) -> ColourCard | None:
    """Where the patches of a colour card lie; None where there is none."""
    if described is not None:
        places = [("card", _box(whole))] if whole else []
        return described.card().on_picture([*places, *map(_named, patches)])
    if whole or patches:
        raise BadValue("say with --card which file has the colours of the card")
    return None


def _with_card(record: Record, described: KeptCard) -> Record:
    from dataclasses import replace

    return replace(record, card=described)


def _kept(
    found: tuple[Swatch, ...],
    role: str,
    pigments: tuple[tuple[str, float], ...],
    ground: tuple[tuple[str, float], ...],
    into: float,
    share: float,
    path: Path,
) -> Record:
    """The record at a path (a new one where there is none) with these swatches in it."""
    from dataclasses import replace

    from histkit.keeping import records, shades

    record = records.load(path) if path.exists() else records.Record()
    inside = tuple((_called(key).id, per_cent / 100) for key, per_cent in pigments)
    more: dict[str, Any] = {"pigments": inside}
    if ground:
        if role != "powder" or inside or len(found) != 1:
            raise BadValue("--ground goes with one swatch of the powder, and without --pigment: what is in it follows from that")
        entries = [(_called(key), grams) for key, grams in ground]
        colours = [any(r.main and r.role == "colour" for r in entry.roles) for entry, _ in entries]
        added = tuple(
            shades.GroundIn(entry.id, grams, share if colour else None)
            for (entry, grams), colour in zip(entries, colours, strict=True)
        )
        before = shades.last_powder(record.swatches)
        more = {"pigments": shades.after_grinding(before, added, into), "added": added, "into": into}
    new = tuple(
        shades.KeptSwatch(s.name, role, (s.channels[0], s.channels[1], s.channels[2]), error=s.error, **more) for s in found
    )
    return replace(record, swatches=(*record.swatches, *new))


@app.command(name="next")
def next_addition(
    record: Annotated[Path, typer.Argument(help="A record with a base, tints, the powder's swatch and a target.", exists=True)],
    grams: Annotated[float, typer.Option(help="Grams of powder that there are.")],
    share: Annotated[float, typer.Option(help="Share of pigment in the extensions.")] = 0.2,
    part: Annotated[float, typer.Option(help="Part of the way to go at once.")] = 0.5,
    by_batches: Annotated[
        bool, typer.Option("--by-batches", help="By what your batches showed, instead of the swatches of base and tints.")
    ] = False,
    target: Target = "",
    json_answer: Json = False,
) -> None:
    """How much of each colour extension to add, from the swatches that the record keeps."""
    from histkit.keeping import records, shades

    with kindly():
        kept = records.load(record).swatches
        addition = (
            shades.next_by_batches(kept, grams, part, share, target)
            if by_batches
            else shades.next_addition(kept, grams, share, part, target)
        )
        if json_answer:
            print_json({"add": dict(addition.grams), "gap": addition.gap, "reached": addition.reached, "notes": addition.notes})
            return
        say(addition.to_text())
        say(f"Expected then: {addition.expected.hex} ({addition.expected}).")
        for note in addition.notes:
            say(note)


@app.command()
def forecast(
    record: Annotated[Path, typer.Argument(help="A record with swatches of a base and of tints.", exists=True)],
    pigment: Annotated[
        list[str], typer.Option(help="A pigment of the blend, as id=per cent of it: carmine=2. May be given again.")
    ],
    target: Target = "",
    json_answer: Json = False,
) -> None:
    """What a blend will look like, with its spread, and how far from the target."""
    from histkit.keeping import records, shades
    from histkit.shell.options import read_pairs

    with kindly():
        shares = {_called(key).id: per_cent / 100 for key, per_cent in read_pairs("--pigment", pigment, "carmine=2")}
        made, gap = shades.forecast(records.load(record).swatches, shares, target)
        if json_answer:
            print_json(
                {"lab": made.colour.axes, "within": made.within, "hex": made.colour.hex, "gap": gap, "warnings": made.warnings}
            )
            return
        say(f"{made} (difference CIEDE2000, 9 times in 10); on a screen about {made.colour.hex}.")
        if gap is not None:
            say(f"From the target: {gap:.1f}.")
        for words in made.warnings:
            say(words)


@app.command()
def slopes(
    record: Annotated[Path, typer.Argument(help="A record with swatches of the powder, one after the other.", exists=True)],
    share: Annotated[float, typer.Option(help="Share of pigment in extensions that were never added yet.")] = 0.2,
    json_answer: Json = False,
) -> None:
    """What each addition did to the colour of your own batches: for a gram of it in 100 g of powder."""
    from histkit.keeping import records, shades

    with kindly():
        found = shades.measured_slopes(records.load(record).swatches, share)
        if json_answer:
            print_json({"unit": found.unit, "slopes": dict(found.steps), "expected": list(found.expected)})
            return
        say(found.to_text())


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
