"""Shade: where to start, a row of tests, colour extensions, swatches from a photograph, and what to add next."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import HistkitError
from histkit.bench.extension import Extension
from histkit.keeping.records import Record, TakenExtension
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
    offer,
    out_of_bounds,
    paragraph,
    result,
    show,
    tick,
    whole_number,
    within_bounds,
)
from histkit.panels.state import Desk, desk
from histkit.panels.swatches import BASES, PIGMENTS, AdditionBox, PhotographBox, patch
from histkit.shade import depths, row_of_tests, starting_point
from histkit.shade.starts import SOURCE, RowOfTests, Start
from histkit.shade.tinting import of_powder

NAME = "shade panel"


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
        scales = record.weighing.scales()
        least = scales.least_divisions * scales.readability
        if taken < least:
            first += paragraph(
                f"{taken:.3g} g is less than the {least:g} g that your balance weighs well: grind a weaker one,"
                f" {100 * milligrams / 1000 / least:.2g} % or less."
            )
        steps = listed(extension.steps(make, record.weighing.scales()), "ol")
        return first + folded(f"How {make:g} g of it are made", steps)

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


def taken_view(record: Record) -> str:
    """The colour extensions that are in the powder, and what of the powder each is."""

    def view() -> str:
        if not record.extensions:
            return paragraph("No colour extension is in your powder yet.")
        try:
            composition = record.composition()
        except HistkitError as trouble:
            return alert(str(trouble))
        items = []
        for taken in record.extensions:
            made, share = taken.extension(), of_powder(composition, taken.extension())
            told = f"{share:.3g} % of the powder" if share else "its pigment is not in the powder, so it is passed over"
            items.append(f"{made.name}: {told}")
        bench = (
            "The bench sheet of the batch says how it is ground; pigment and base count as themselves in shares, law and label."
        )
        return paragraph("In your powder:") + listed(items) + paragraph(bench)

    return live(kindly(view))


class ExtensionBox:
    """A colour extension: pigment, base, strength; from milligrams to grams of it; taken into the powder."""

    def __init__(self, table: Desk) -> None:
        self.table, self.shown, self.taken = table, result(), result()
        self.troubles, self.done = Troubles(), result()
        self.pigment = choice("Pigment", [(glossary.name_of(key), key) for key in PIGMENTS], "carmine")
        self.base = choice("ground into", [(glossary.name_of(key), key) for key in BASES], "talc")
        self.per_cent = number("Per cent of pigment in it", 10.0, 1, 50, 1, "20em")
        self.milligrams = number("I need so many mg of pigment", 5.0, 0.01, 100_000, 1, "22em")
        self.make = number("I make so many grams of it", 20.0, 0.5, 10_000, 1, "22em")
        fields = [self.pigment, self.base, self.per_cent, self.milligrams, self.make]
        for field in fields:
            field.observe(self._show, names="value")
        self._show()
        self.of_powder = number("Per cent of my powder that is this extension", 5.0, 0.01, 90, 1, "30em")
        self.own = tick("use the pigment that my formula has", False)
        self.own.observe(self._own, names="value")
        self.out = choice("Take out of the powder", [("–", "")], "", "24em")
        into = [button("Put it into my powder", self.take, self.troubles, main=True), self.out]
        self.children = [
            widgets.HBox(fields, layout=ROW),
            self.shown,
            widgets.HBox([self.of_powder, self.own], layout=ROW),
            widgets.HBox([*into, button("Take it out", self.leave, self.troubles)], layout=ROW),
            self.troubles.place,
            self.done,
            self.taken,
        ]
        table.watch(self.refresh, "shade panel: extensions")

    def refresh(self, record: Record) -> None:
        """Show what is in the powder."""
        self.taken.value = taken_view(record)
        offer(self.out, [("–", ""), *((glossary.name_of(e.pigment), e.pigment) for e in record.extensions)], self.out.value)

    def _own(self, _: Any = None) -> None:
        self.of_powder.layout.display = "none" if self.own.value else "flex"

    def _show(self, _: Any = None) -> None:
        wrong = [out_of_bounds(field, field.value) for field in (self.per_cent, self.milligrams, self.make)]
        if any(wrong):
            self.shown.value = live("".join(map(alert, wrong)))
            return
        figures = (self.per_cent.value, self.milligrams.value, self.make.value)
        self.shown.value = extension_view(self.pigment.value, self.base.value, *figures, self.table.record)

    def take(self) -> None:
        """Put it into the powder; one of the same pigment that is there goes."""
        self.done.value = ""
        within_bounds(self.per_cent, self.of_powder)
        share = None if self.own.value else self.of_powder.value
        taken = TakenExtension(self.pigment.value, self.base.value, self.per_cent.value / 100, share)

        def put(record: Record) -> Record:
            others = tuple(e for e in record.extensions if e.pigment != taken.pigment)
            new = replace(record, extensions=(*others, taken))
            if record.text.strip():
                new.composition()  # what cannot be taken is told here, and not kept
            return new

        self.table.edit(put)
        self.done.value = good(f"In your powder: {taken.extension().name}.")

    def leave(self) -> None:
        """Take the chosen one out again."""
        self.done.value, key = "", self.out.value
        self.table.edit(lambda record: replace(record, extensions=tuple(e for e in record.extensions if e.pigment != key)))


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
    "Keep the powder each time with what was ground in. From the second batch on, ask by what your batches showed: that is worth"
    " more than any forecast.",
    "A colour extension that belongs to the formula is put into the powder above: the bench sheet then says how it is ground.",
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
    photograph = PhotographBox(table)
    parts += [heading("Swatches from a photograph"), *photograph.children]
    parts += [heading("What to add next"), *AdditionBox(table, photograph.ground).children, widgets.HTML(paragraph(CANNOT))]
    parts.append(widgets.HTML(folded("How this page is used", listed(HELP, "ol"))))
    caution = "Use pigments of cosmetic grade that your local rules allow for this product, and wear a dust mask."
    return Panel(NAME, [widgets.HTML(alert(caution)), *parts])
