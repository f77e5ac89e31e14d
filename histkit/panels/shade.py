"""Shade: where to start, a row of tests, colour extensions, swatches from a photograph, and what to add next."""

from __future__ import annotations

import base64
from dataclasses import replace
from io import BytesIO
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import BadValue
from histkit.base.text import escape
from histkit.keeping import shades
from histkit.keeping.records import Record
from histkit.keeping.shades import KeptSwatch
from histkit.panels.boxes import Boxes
from histkit.panels.drawings import drawn
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    button,
    choice,
    folded,
    good,
    heading,
    kindly,
    listed,
    live,
    news_of,
    number,
    out_of_bounds,
    paragraph,
    result,
    show,
    whole_number,
    within_bounds,
)
from histkit.panels.state import Desk, desk
from histkit.shade import Box, Colour, Extension, depths, row_of_tests, starting_point, swatches_from
from histkit.shade.photograph import light_of, upright
from histkit.shade.starts import SOURCE, RowOfTests, Start

NAME = "shade panel"
PIGMENTS = (
    "iron-oxide-yellow",
    "iron-oxide-red",
    "iron-oxide-black",
    "umber",
    "ultramarine",
    "carmine",
    "titanium-dioxide",
)
BASES = ("talc", "kaolin", "rice-starch", "zinc-oxide")
ROLES = [
    ("the bare base", "base"),
    ("the base with one pigment", "tint"),
    ("my powder as it is now", "powder"),
    ("what it is to look like", "target"),
]
SHOWN_WIDTH = 1400
"""Pixels of the picture in the page; the colours are taken from the whole one."""


def patch(colour: Colour, words: str) -> str:
    """A colour on the screen with words under it."""
    return (
        '<div style="display:inline-block;margin:.3em .8em .3em 0;text-align:center;line-height:1.4;">'
        f'<div style="width:7em;height:4.5em;border:1px solid #777;background:{colour.hex};"></div>{escape(words)}</div>'
    )


def start_view(depth: str) -> str:
    """Usual loads for a depth of skin, with about its colour."""

    def view() -> str:
        start = starting_point(depth)
        ways = "Darker: black before more red. Warmer: more yellow, then red. Cooler: a trace of ultramarine."
        return (
            patch(start.looks, f"about {depth}")
            + start.to_html()
            + paragraph(f"{ways} These loads are a place to start and no more ({SOURCE}): press a test before you make more.")
        )

    return live(kindly(view))


def row_view(row: RowOfTests) -> str:
    """The tests as a picture, what is in each, and the two powders that they are mixed of."""
    return (
        drawn(row.describe())
        + paragraph("The patches show the skins that the tests are for, not the tests: a screen cannot show a powder.")
        + row.pale.to_html()
        + row.deep.to_html()
        + row.to_html()
        + paragraph("Press each test alike, let it rest a day, and try them on the skin beside a window.")
    )


def extension_view(pigment: str, base: str, per_cent: float, milligrams: float, make: float, record: Record) -> str:
    """How much of the extension to take, and how it is made."""

    def view() -> str:
        extension = Extension(pigment, base, per_cent / 100)
        taken = extension.grams_for(milligrams / 1000)
        first = paragraph(
            f"For {milligrams:g} mg of {glossary.name_of(pigment)} take {taken:.3g} g of the extension,"
            f" and leave {extension.base_in(taken):.3g} g of {glossary.name_of(base)} out of the formula."
        )
        steps = listed(extension.steps(make, record.weighing.scales()), "ol")
        return first + folded(f"How {make:g} g of it are made", steps)

    return live(kindly(view))


def study_view(record: Record) -> str:
    """The kept swatches as patches, and what is still missing for a forecast."""

    def view() -> str:
        if not record.swatches:
            return paragraph("No swatch is kept yet.")
        words = {role: said for said, role in ROLES}
        out = "".join(patch(s.swatch().colour, f"{s.name}: {_content(s) or words[s.role]}") for s in record.swatches)
        try:
            shades.study_of(record.swatches)
        except BadValue as missing:
            out += paragraph(f"For a forecast: {missing}.")
        return out

    return live(kindly(view))


def _content(kept: KeptSwatch) -> str:
    return ", ".join(f"{glossary.name_of(pigment)} {100 * share:g} %" for pigment, share in kept.pigments)


def addition_view(record: Record, grams: float, per_cent: float, part: float) -> str:
    """What to add, the colour now, then, and the target side by side."""

    def view() -> str:
        addition = shades.next_addition(record.swatches, grams, per_cent / 100, part)
        now = next(s for s in reversed(record.swatches) if s.role == "powder").swatch().colour
        patches = (
            patch(now, "now") + patch(addition.expected, "expected then") + patch(shades.target_of(record.swatches), "target")
        )
        return patches + addition.to_html() + "".join(map(paragraph, addition.notes))

    return live(kindly(view))


class StartBox:
    """Where to start: the depth of the skin, and a row of tests between two depths."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.row = Troubles(), result(), result()
        names = [(depth.name, depth.name) for depth in depths()]
        self.depth = choice("The skin is", names, "light", "16em")
        self.pale, self.deep = choice("From", names, "very light", "14em"), choice("to", names, "tan", "14em")
        self.count, self.grams = whole_number("Tests", 5, 2, 12), number("Grams of each", 3.0, 0.5, 100, 0.5)
        self.depth.observe(self._start, names="value")
        self._start()
        fields = [self.pale, self.deep, self.count, self.grams]
        work = button("Work out the row of tests", self.work_out, self.troubles)
        self.children = [self.depth, self.shown, widgets.HBox(fields, layout=ROW), work, self.troubles.place, self.row]

    def _start(self, _: Any = None) -> None:
        self.shown.value = start_view(self.depth.value)

    def work_out(self) -> None:
        """Show the row."""
        self.row.value = ""
        within_bounds(self.count, self.grams)
        scales = self.table.record.weighing.scales()
        row = row_of_tests(self.pale.value, self.deep.value, self.count.value, self.grams.value, balance=scales)
        self.row.value = live(row_view(row))


class ExtensionBox:
    """A colour extension: pigment, base, strength; from milligrams to grams of it."""

    def __init__(self, table: Desk) -> None:
        self.table, self.shown = table, result()
        self.pigment = choice("Pigment", [(glossary.name_of(key), key) for key in PIGMENTS], "carmine")
        self.base = choice("ground into", [(glossary.name_of(key), key) for key in BASES], "talc")
        self.per_cent = number("Per cent of pigment in it", 10.0, 1, 50, 1, "20em")
        self.milligrams = number("I need so many mg of pigment", 5.0, 0.01, 100_000, 1, "22em")
        self.make = number("I make so many grams of it", 20.0, 0.5, 10_000, 1, "22em")
        fields = [self.pigment, self.base, self.per_cent, self.milligrams, self.make]
        for field in fields:
            field.observe(self._show, names="value")
        self._show()
        self.children = [widgets.HBox(fields, layout=ROW), self.shown]

    def _show(self, _: Any = None) -> None:
        wrong = [out_of_bounds(field, field.value) for field in (self.per_cent, self.milligrams, self.make)]
        if any(wrong):
            self.shown.value = live("".join(map(alert, wrong)))
            return
        figures = (self.per_cent.value, self.milligrams.value, self.make.value)
        self.shown.value = extension_view(self.pigment.value, self.base.value, *figures, self.table.record)


class PhotographBox:
    """A photograph of pressed swatches beside a grey card: boxes drawn on it, each kept as what it is."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.done, self.kept = Troubles(), result(), result()
        self.upload = widgets.FileUpload(
            accept="image/*", multiple=False, description="Choose a photograph", layout=widgets.Layout(width="auto", margin="2px")
        )
        self.boxes = Boxes()
        self.reflectance = number("The grey card reflects, per cent", 18.0, 2, 98, 1, "22em")
        self.role = choice("The swatches are", ROLES, "tint", "26em")
        self.pigment = choice("with", [(glossary.name_of(key), key) for key in PIGMENTS], PIGMENTS[0])
        self.share = number("Per cent of it", 2.0, 0.01, 10, 0.5, "14em")
        self.upload.observe(self._chosen, names="value")
        self.role.observe(self._coloured, names="value")
        self.children = [
            widgets.HTML(
                listed(
                    (
                        "Press base and tints alike. Lay them beside a grey card, in the shade of a window, and photograph them"
                        " without flash.",
                        "Draw a box on the grey card first, better two, on either side, named grey. Then one on each swatch.",
                        "Say what the swatches are, and keep them. Tints of different pigments are kept one after the other.",
                    ),
                    "ol",
                )
            ),
            self.upload,
            self.boxes,
            widgets.HBox([self.reflectance, self.role, self.pigment, self.share], layout=ROW),
            widgets.HBox(
                [
                    button("Keep these swatches", self.keep, self.troubles, main=True),
                    button("Take the last kept swatch away", self.take_back, self.troubles),
                ],
                layout=ROW,
            ),
            self.troubles.place,
            self.done,
            self.kept,
        ]
        table.watch(lambda record: setattr(self.kept, "value", study_view(record)), "shade panel: swatches")

    def _coloured(self, _: Any = None) -> None:
        """Which pigment is asked for only where there is one."""
        display = "flex" if self.role.value in ("tint", "powder") else "none"
        self.pigment.layout.display = self.share.layout.display = display

    def _chosen(self, _: Any = None) -> None:
        def put() -> None:
            if not self.upload.value:
                return
            image = upright(bytes(self.upload.value[0]["content"]))  # what is no picture is told here
            self.picture = light_of(image)
            image.thumbnail((SHOWN_WIDTH, SHOWN_WIDTH))
            buffer = BytesIO()
            image.save(buffer, "JPEG", quality=88)
            self.boxes.boxes = []
            self.boxes.picture = "data:image/jpeg;base64," + base64.b64encode(buffer.getvalue()).decode("ascii")

        self.done.value = ""
        self.troubles.attempt("photograph", put)

    def keep(self) -> None:
        """Correct the light and keep the swatches in the boxes.

        Raises BadValue where there is no picture or the light cannot be corrected.
        """
        self.done.value = ""
        if not self.boxes.picture:
            raise BadValue("choose a photograph first")
        within_bounds(self.reflectance, self.share)
        named = [
            (str(b["name"]).strip(), Box(*(float(b[k]) for k in ("left", "top", "width", "height")))) for b in self.boxes.boxes
        ]
        greys = [box for name, box in named if name.lower().startswith("grey")]
        wanted = [(name or "swatch", box) for name, box in named if not name.lower().startswith("grey")]
        found = swatches_from(self.picture, wanted, greys, self.reflectance.value / 100)
        role = self.role.value
        pigments = ((self.pigment.value, self.share.value / 100),) if role in ("tint", "powder") else ()
        new = tuple(
            KeptSwatch(s.name, role, (s.channels[0], s.channels[1], s.channels[2]), pigments, s.error) for s in found.swatches
        )
        self.table.edit(lambda record: replace(record, swatches=(*record.swatches, *new)))
        self.done.value = good(f"Kept: {', '.join(s.name for s in new)}.") + "".join(map(paragraph, found.notes))

    def take_back(self) -> None:
        """Take the last one away."""
        self.done.value = ""
        self.table.edit(lambda record: replace(record, swatches=record.swatches[:-1]))


class AdditionBox:
    """What to add next, to come nearer to the target."""

    def __init__(self, table: Desk) -> None:
        self.table, self.shown, self.troubles = table, result(), Troubles()
        self.grams = number("Grams of powder that I have", 20.0, 0.5, 100_000, 1, "20em")
        self.per_cent = number("Per cent of pigment in my extensions", 20.0, 1, 50, 1, "24em")
        self.part = number("Per cent of the way at once", 50.0, 5, 100, 5, "20em")
        fields = [self.grams, self.per_cent, self.part]
        work = button("Work out the next addition", self.work_out, self.troubles, main=True)
        self.children = [widgets.HBox(fields, layout=ROW), work, self.troubles.place, self.shown]

    def work_out(self) -> None:
        """Show it."""
        within_bounds(self.grams, self.per_cent, self.part)
        self.shown.value = addition_view(self.table.record, self.grams.value, self.per_cent.value, self.part.value / 100)


CANNOT = (
    "It cannot tell what a powder looks like on skin, nor foresee pearls, more than 10 % of pigment, or another maker's pigment."
    " Grinding, oil and pressing darken a powder more than any of this arithmetic is off: judge pressed swatches only."
)


HELP = (
    "Without anything measured: choose the depth of the skin, read the usual loads, and press the row of tests.",
    "Grind each pigment into base once, as a colour extension: a balance weighs it better, and no specks are left.",
    "To work from measurements: press the bare base, and for each pigment two tints (2 and 10 %), all alike, and photograph them"
    " beside a grey card in even light. Keep the base, then the tints, pigment by pigment.",
    "Press and photograph your powder as it is, and what it is to look like: a swatch, an old powder in its tin, skin.",
    "Ask what to add next. Half of the way is proposed: grind it in, press, photograph, keep, ask again. Two rounds mostly do.",
)


def shade_panel(table: Desk | None = None) -> None:
    """Show the panel."""
    at = table or desk()
    show(build(at), at, lambda _: _plain(), "Nothing yet.")


def _plain() -> Start:
    """What the saved notebook keeps: a starting point."""
    return starting_point("light")


def build(table: Desk) -> Panel:
    """The panel itself."""
    parts: list[Any] = [news_of(table), heading("Where to start"), *StartBox(table).children]
    parts += [heading("A colour extension"), *ExtensionBox(table).children]
    parts += [heading("Swatches from a photograph"), *PhotographBox(table).children]
    parts += [heading("What to add next"), *AdditionBox(table).children, widgets.HTML(paragraph(CANNOT))]
    parts.append(widgets.HTML(folded("How this page is used", listed(HELP, "ol"))))
    caution = "Use pigments of cosmetic grade that your local rules allow for this product, and wear a dust mask."
    return Panel(NAME, [widgets.HTML(alert(caution)), *parts])
