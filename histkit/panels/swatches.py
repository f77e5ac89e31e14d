"""Swatches: out of a photograph beside a grey or a colour card, kept as what they are, and what to add next by them."""

from __future__ import annotations

import base64
from collections.abc import Callable
from dataclasses import replace
from io import BytesIO
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import BadValue
from histkit.base.text import escape
from histkit.display.grids import to_html
from histkit.keeping import shades
from histkit.keeping.records import Record
from histkit.keeping.shades import GroundIn, KeptCard, KeptSwatch
from histkit.panels.boxes import Boxes
from histkit.panels.parts import (
    ROW,
    Troubles,
    alert,
    bind,
    button,
    choice,
    folded,
    good,
    kindly,
    listed,
    live,
    number,
    paragraph,
    result,
    text_area,
    whole_number,
    within_bounds,
)
from histkit.panels.state import Desk
from histkit.shade import Box, Colour, depths, swatches_from
from histkit.shade.cards import WHOLE
from histkit.shade.photograph import light_of, upright

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
GROUND = "ground"
ROLES = [
    ("the bare base", "base"),
    ("the base with one pigment", "tint"),
    ("my powder as it is now", "powder"),
    ("my powder, after I ground something in", GROUND),
    ("what it is to look like", "target"),
]
NATURAL = widgets.Layout(width="auto", margin="2px", align_self="flex-start")
SHOWN_WIDTH = 1400
"""Pixels of the picture in the page; the colours are taken from the whole one."""
GREY = "grey"
"""How the name of a box on the grey card begins."""


def patch(colour: Colour, words: str) -> str:
    """A colour on the screen with words under it."""
    return (
        '<div style="display:inline-block;vertical-align:top;max-width:11em;margin:.3em .8em .3em 0;text-align:center;'
        'line-height:1.4;">'
        f'<div style="width:7em;height:4.5em;margin:auto;border:1px solid #777;background:{colour.hex};"></div>'
        f"{escape(words)}</div>"
    )


def study_view(record: Record) -> str:
    """The kept swatches as patches, and what is still missing for a forecast."""

    def view() -> str:
        if not record.swatches:
            return paragraph("No swatch is kept yet.")
        words = {role: said for said, role in ROLES}
        out = "".join(patch(s.swatch().colour, f"{s.name}: {content(s) or words[s.role]}") for s in record.swatches)
        try:
            shades.study_of(record.swatches)
        except BadValue as missing:
            out += paragraph(f"For a forecast by swatches: {missing}.")
        return out + folded("In figures", to_html(shades.swatches_grid(record.swatches)))

    return live(kindly(view))


def content(kept: KeptSwatch) -> str:
    """What colour is in a swatch, and what was ground in."""
    pigments = [f"{glossary.name_of(pigment)} {100 * share:.2g} %" for pigment, share in kept.pigments]
    ground = [f"{a.grams:g} g of {a.name} ground in" for a in kept.added]
    return ", ".join(pigments + ground)


def card_view(record: Record) -> str:
    """The colours of the card as they are understood, row by row."""

    def view() -> str:
        if not record.card.text.strip():
            return ""
        card = record.card.card()
        cells = [
            f'<div title="{escape(name)}" style="width:3em;height:2em;border:1px solid #777;background:{colour.hex};"></div>'
            for name, colour in card.patches
        ]
        style = f"display:grid;gap:.2em;grid-template-columns:repeat({card.columns},3em);"
        grid = f'<div role="img" aria-label="The card as it is understood" style="{style}">{"".join(cells)}</div>'
        return paragraph(f"Your card, {len(card.patches)} patches, as it is understood:") + grid

    return live(kindly(view))


def forecast_view(record: Record, shares: dict[str, float], target: str) -> str:
    """What a blend will look like, how sure that is, and how far from the target."""

    def view() -> str:
        made, gap = shades.forecast(record.swatches, shares, target)
        told = f"{made}: 9 times in 10 no further off than that (difference CIEDE2000; about 1 is just seen)."
        out = patch(made.colour, "the blend, about") + (
            "" if gap is None else patch(shades.target_of(record.swatches, target), "target")
        )
        out += paragraph(told) + ("" if gap is None else paragraph(f"From the target: {gap:.1f}."))
        return out + "".join(map(alert, made.warnings))

    return live(kindly(view))


def addition_view(record: Record, grams: float, per_cent: float, part: float, by_batches: bool, target: str) -> str:
    """What to add, the colour now, then, and the target side by side."""

    def view() -> str:
        kept = record.swatches
        ways = shades.next_by_batches(kept, grams, part, per_cent / 100, target) if by_batches else None
        addition = ways or shades.next_addition(kept, grams, per_cent / 100, part, target)
        now = shades.last_powder(kept).swatch().colour
        patches = patch(now, "now") + patch(addition.expected, "expected then") + patch(shades.target_of(kept, target), "target")
        out = patches + addition.to_html() + "".join(map(paragraph, addition.notes))
        slopes = folded("What each addition did", shades.measured_slopes(kept, per_cent / 100).to_html()) if by_batches else ""
        return out + slopes

    return live(kindly(view))


class PartsList:
    """A list that is built up: `fields` that say what and how much, and buttons. `entries` are (what, how much); `now` is what
    the fields say, `told` how an entry is called, `words` the heading of the list and what is noted in it.
    """

    def __init__(
        self,
        words: tuple[str, str],
        fields: list[Any],
        now: Callable[[], tuple[Any, float]],
        told: Callable[[Any], str],
        troubles: Troubles,
    ) -> None:
        self.entries: list[tuple[Any, float]] = []
        (self.heading, what), self.fields, self.now, self.told, self.shown = words, fields, now, told, result()
        note = button(f"Note {what}", self.note, troubles)
        clear = button(f"Forget {what}", self.clear, troubles)
        row = widgets.HBox([*fields, note, clear], layout=ROW)
        self.box = widgets.VBox([row, self.shown], layout=widgets.Layout(width="100%"))
        self.put([])

    def note(self) -> None:
        """Put what stands in the fields into the list; the same thing noted again counts instead of before."""
        within_bounds(*(field for field in self.fields if hasattr(field, "low")))
        what, amount = self.now()
        self.put([*(entry for entry in self.entries if entry[0] != what), (what, amount)])

    def clear(self) -> None:
        """Empty the list."""
        self.put([])

    def put(self, entries: list[tuple[Any, float]]) -> None:
        """Have these entries."""
        self.entries = entries
        items = "; ".join(f"{self.told(what)} {amount:.3g}" for what, amount in entries)
        self.shown.value = live(paragraph(f"{self.heading}: {items or 'nothing noted yet'}."))


class GroundBox:
    """What was ground into the powder since it was kept before."""

    def __init__(self, troubles: Troubles) -> None:
        pigments = [(f"extension of {glossary.name_of(key)}", (key, True)) for key in PIGMENTS]
        plain = [(f"plain {glossary.name_of(key)}", (key, False)) for key in BASES]
        self.what = choice("Ground in", [*pigments, *plain], (PIGMENTS[0], True), "28em")
        self.share = number("Per cent of pigment in what went in", 20.0, 1, 50, 1, "24em")
        self.grams = number("Grams of it", 0.5, 0.001, 10_000, 0.1, "14em")
        self.into = number("Into so many grams of powder", 20.0, 0.5, 100_000, 1, "22em")
        self.what.observe(self._asked, names="value")
        self.list = PartsList(
            ("Ground in", "what I ground in"), [self.what, self.share, self.grams], self._now, self._told, troubles
        )
        self.box = widgets.VBox([self.list.box, self.into], layout=widgets.Layout(width="100%"))

    def _asked(self, _: Any = None) -> None:
        self.share.layout.display = "flex" if self.what.value[1] else "none"

    def _now(self) -> tuple[Any, float]:
        key, extended = self.what.value
        return (key, self.share.value / 100 if extended else None), self.grams.value

    def _told(self, what: Any) -> str:
        return GroundIn(what[0], 1.0, what[1]).name + ", g:"

    def added(self) -> tuple[GroundIn, ...]:
        """What was noted. Raises BadValue where nothing was."""
        within_bounds(self.into)
        if not self.list.entries:
            raise BadValue("note first what you ground in, each thing with its grams")
        return tuple(GroundIn(key, grams, share) for (key, share), grams in self.list.entries)

    def fill(self, proposed: tuple[GroundIn, ...], into: float) -> None:
        """Have what was proposed as what was ground in."""
        self.into.value = into
        self.list.put([((g.what, g.share), g.grams) for g in proposed])


class CardBox:
    """What lies beside the swatches: a grey card, or a colour card with its colours."""

    def __init__(self, table: Desk) -> None:
        self.troubles = Troubles()
        self.beside = choice("Beside the swatches lies", [("a grey card", "grey"), ("a colour card", "card")], "grey", "28em")
        self.reflectance = number("The grey card reflects, per cent", 18.0, 2, 98, 1, "22em")
        hint = "dark brown, 38, 14, 14\npale rose, 66, 18, 18\nsea green, #4cbfae"
        self.text = text_area(
            "Colours of the card, a line for each patch: its name, L*, a*, b* (or its name, #bc9a86)", "", 6, hint
        )
        self.columns = whole_number("Patches in a row", 6, 1, 100, "14em")
        lights = [("D65 (midday)", "D65"), ("D50 (printers)", "D50")]
        self.light = choice("Its L*a*b* are for the daylight", lights, "D65", "26em")
        self.file = widgets.FileUpload(
            accept=".csv,.txt,.tsv",
            multiple=False,
            description="Choose a file with these lines",
            layout=NATURAL,
        )
        self.shown = result()
        self.words = widgets.VBox(
            [self.text, widgets.HBox([self.columns, self.light, self.file], layout=ROW), self.troubles.place, self.shown],
            layout=widgets.Layout(width="100%"),
        )
        self.children = [widgets.HBox([self.beside, self.reflectance], layout=ROW), self.words]
        self.table = table
        bind(table, self.troubles, self.text, lambda r: r.card.text, _card_text, NAME)
        bind(table, self.troubles, self.columns, lambda r: r.card.columns, _card_columns, NAME)
        bind(table, self.troubles, self.light, lambda r: r.card.light, _card_light, NAME)
        self.file.observe(self._filled, names="value")
        self.beside.observe(self._turned, names="value")
        table.watch(self._refresh, "shade panel: card")
        if table.record.card.text.strip():
            self.beside.value = "card"
        self._turned()

    @property
    def by_card(self) -> bool:
        """Whether the light is corrected by a colour card."""
        return bool(self.beside.value == "card")

    def _turned(self, _: Any = None) -> None:
        self.words.layout.display = "flex" if self.by_card else "none"
        self.reflectance.layout.display = "none" if self.by_card else "flex"

    def _refresh(self, record: Record) -> None:
        self.shown.value = card_view(record)

    def _filled(self, _: Any = None) -> None:
        def put() -> None:
            if self.file.value:
                self.text.value = bytes(self.file.value[0]["content"]).decode("utf-8-sig", "replace")

        self.troubles.attempt("file", put)


def _card_text(record: Record, text: str) -> Record:
    return replace(record, card=replace(record.card, text=text))


def _card_columns(record: Record, columns: int) -> Record:
    return replace(record, card=replace(record.card, columns=columns))


def _card_light(record: Record, light: str) -> Record:
    return replace(record, card=KeptCard(record.card.text, record.card.columns, light))


STEPS = (
    "Press base and tints alike. Lay them beside a grey card, or a card of known colours, in the shade of a window, and"
    " photograph them without flash.",
    "With a grey card: draw a box on it first, better two, on either side, named grey. With a colour card: one box over all of"
    " its patches, named card. Then a box on each swatch.",
    "Say what the swatches are, and keep them. Tints of different pigments are kept one after the other.",
)


class PhotographBox:
    """A photograph of pressed swatches beside a card: boxes drawn on it, each kept as what it is."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.done, self.kept = Troubles(), result(), result()
        self.upload = widgets.FileUpload(accept="image/*", multiple=False, description="Choose a photograph", layout=NATURAL)
        self.card, self.boxes = CardBox(table), Boxes()
        self.role = choice("The swatches are", ROLES, "tint", "30em")
        pigments = [(glossary.name_of(key), key) for key in PIGMENTS]
        self.pigment = choice("with", pigments, PIGMENTS[0])
        self.share = number("Per cent of it", 2.0, 0.01, 10, 0.5, "14em")
        per_cent = number("Per cent of the powder", 1.0, 0.001, 50, 0.5, "18em")
        colour = choice("In it", pigments, PIGMENTS[0])
        told = lambda key: f"{glossary.name_of(key)}, %:"  # noqa: E731
        self.inside = PartsList(
            ("In it", "what colour is in it"), [colour, per_cent], lambda: (colour.value, per_cent.value), told, self.troubles
        )
        self.ground = GroundBox(self.troubles)
        self.upload.observe(self._chosen, names="value")
        self.role.observe(self._asked, names="value")
        self.card.beside.observe(self._first, names="value")
        self._asked()
        self._first()
        self.children = [
            widgets.HTML(listed(STEPS, "ol")),
            *self.card.children,
            self.upload,
            self.boxes,
            widgets.HBox([self.role, self.pigment, self.share], layout=ROW),
            self.inside.box,
            self.ground.box,
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

    def _first(self, _: Any = None) -> None:
        """What the first box that is drawn is called."""
        self.boxes.first = WHOLE if self.card.by_card else GREY

    def _asked(self, _: Any = None) -> None:
        """What colour is in a swatch is asked for only where there may be one."""
        role = self.role.value
        self.pigment.layout.display = self.share.layout.display = "flex" if role == "tint" else "none"
        self.inside.box.layout.display = "flex" if role == "powder" else "none"
        self.ground.box.layout.display = "flex" if role == GROUND else "none"

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
        within_bounds(self.card.reflectance, self.share)
        sides = ("left", "top", "width", "height")
        named = [(str(b["name"]).strip(), Box(*(float(b[side]) for side in sides))) for b in self.boxes.boxes]
        card = self.table.record.card.card() if self.card.by_card else None
        patches = {WHOLE, *(name.casefold() for name, _ in card.patches)} if card is not None else set()
        greys = [box for name, box in named if name.casefold().startswith(GREY) and name.casefold() not in patches]
        others = [(name or "swatch", box) for name, box in named if not name.casefold().startswith(GREY)]
        wanted = [(name, box) for name, box in others if name.casefold() not in patches]
        laid = None if card is None else card.on_picture(named)
        found = swatches_from(self.picture, wanted, greys, self.card.reflectance.value / 100, laid)
        role = self.role.value
        kept = tuple((s.name, (s.channels[0], s.channels[1], s.channels[2]), s.error) for s in found.swatches)
        if role == GROUND and len(kept) != 1:
            raise BadValue("draw one box on the powder that you ground something into, and keep it alone")

        def put(record: Record) -> Record:
            more = self._content(record)
            meant = "powder" if role == GROUND else role
            new = tuple(KeptSwatch(name, meant, channels, error=error, **more) for name, channels, error in kept)
            return replace(record, swatches=(*record.swatches, *new))

        self.table.edit(put)
        self.ground.list.clear()
        self.done.value = good(f"Kept: {', '.join(name for name, *_ in kept)}.") + "".join(map(paragraph, found.notes))

    def _content(self, record: Record) -> dict[str, Any]:
        """What colour is in the swatches, and what was ground in."""
        match self.role.value:
            case "tint":
                return {"pigments": ((self.pigment.value, self.share.value / 100),)}
            case "powder":
                return {"pigments": tuple((key, share / 100) for key, share in self.inside.entries)}
            case "ground":
                added, into = self.ground.added(), self.ground.into.value
                before = shades.last_powder(record.swatches)
                return {"pigments": shades.after_grinding(before, added, into), "added": added, "into": into}
        return {}

    def take_back(self) -> None:
        """Take the last one away."""
        self.done.value = ""
        self.table.edit(lambda record: replace(record, swatches=record.swatches[:-1]))


WAYS = [("by my swatches of base and tints", False), ("by what my batches showed", True)]


class AdditionBox:
    """What to add next, to come nearer to the target."""

    def __init__(self, table: Desk, ground: GroundBox) -> None:
        self.table, self.ground, self.shown, self.troubles, self.done = table, ground, result(), Troubles(), result()
        self.way = choice("Worked out", WAYS, False, "26em")
        self.grams = number("Grams of powder that I have", 20.0, 0.5, 100_000, 1, "20em")
        self.per_cent = number("Per cent of pigment in my extensions", 20.0, 1, 50, 1, "24em")
        self.part = number("Per cent of the way at once", 50.0, 5, 100, 5, "20em")
        depth = [(f"{d.name} skin", d.name) for d in depths()]
        self.target = choice("The target is", [("the swatch that I kept", ""), *depth], "", "24em")
        fields = [self.way, self.target, self.grams, self.per_cent, self.part]
        pigments = [(glossary.name_of(key), key) for key in PIGMENTS]
        colour, share = (
            choice("Colour of a blend", pigments, PIGMENTS[0]),
            number("Per cent of the base", 1.0, 0.001, 10, 0.5, "18em"),
        )
        told = lambda key: f"{glossary.name_of(key)}, %:"  # noqa: E731
        now = lambda: (colour.value, share.value)  # noqa: E731
        self.blend = PartsList(("A blend", "this colour of the blend"), [colour, share], now, told, self.troubles)
        self.foreseen = result()
        foresee = button("Foresee this blend", self.foresee, self.troubles)
        work = button("Work out the next addition", self.work_out, self.troubles, main=True)
        took = button("I ground this in: note it for the next swatch", self.took, self.troubles)
        self.children = [
            widgets.HBox(fields, layout=ROW),
            widgets.HBox([work, took], layout=ROW),
            self.troubles.place,
            self.shown,
            self.done,
            self.blend.box,
            foresee,
            self.foreseen,
        ]

    def foresee(self) -> None:
        """Show what the noted blend will look like."""
        self.foreseen.value = ""
        if not self.blend.entries:
            raise BadValue("note first what colours are in the blend, each with its per cent")
        shares = {key: per_cent / 100 for key, per_cent in self.blend.entries}
        self.foreseen.value = forecast_view(self.table.record, shares, self.target.value)

    def work_out(self) -> None:
        """Show it."""
        self.done.value = ""
        within_bounds(self.grams, self.per_cent, self.part)
        figures = (self.grams.value, self.per_cent.value, self.part.value / 100)
        self.shown.value = addition_view(self.table.record, *figures, self.way.value, self.target.value)

    def took(self) -> None:
        """Have what is proposed in the list of what was ground in."""
        within_bounds(self.grams, self.per_cent, self.part)
        kept, share = self.table.record.swatches, self.per_cent.value / 100
        figures = (self.grams.value, self.part.value / 100, share)
        proposed = shades.proposed(kept, *figures, by_batches=self.way.value, target=self.target.value)
        self.ground.fill(proposed, self.grams.value)
        self.done.value = good("Noted above: press it, photograph it, and keep it as your powder after grinding something in.")
