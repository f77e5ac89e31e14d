"""From loose powder to pressed cake: binder, oil, pans, how hard to press, test presses and what came of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.bibliography import sourced
from histkit.base.errors import BadValue
from histkit.bench.levels import levels
from histkit.bench.pans import Pan, pans
from histkit.bench.steps import process_steps
from histkit.display.grids import to_html
from histkit.glossary.nouns import Ingredient
from histkit.keeping.records import Pressing, Record, Weighing
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    bind,
    button,
    choice,
    folded,
    good,
    heading,
    kindly,
    live,
    news_of,
    number,
    out_of_bounds,
    paragraph,
    result,
    show,
    slider,
    tick,
    whole_number,
)
from histkit.panels.state import Desk, desk
from histkit.panels.trials import TrialsBox

NAME = "pressing panel"
SHAPES = ("round", "rectangular")


def binders() -> list[tuple[str, str]]:
    """Powders that the glossary knows as binders or that a published level names, by their names; and none of them."""
    return _offered(lambda i: i.state == "powder" and i.has_role("binder"), "dry")


def oils() -> list[tuple[str, str]]:
    """Oils that the glossary knows as binders or that a published level names, by their names; and none of them."""
    return _offered(lambda i: i.kind == "fixed-oil" and i.state == "liquid" and i.has_role("binder"), "liquid")


def _offered(fits: Callable[[Ingredient], bool], kind: str) -> list[tuple[str, str]]:
    named = {key for level in levels(kind=kind) for key in level.ingredients}
    # What binds but has no name for a label is no cosmetic material (cement is a binder too).
    offered = [i for i in glossary.ingredients.values() if ((fits(i) and i.inci) or i.id in named) and not i.forbidden]
    return [("none", ""), *sorted((i.name, i.id) for i in offered)]


def ways_of_pressing() -> list[tuple[str, str]]:
    """How a maker may press, by the words of the table."""
    return [("not chosen", ""), *((row["press"], row["id"]) for row in sourced("bench/pressing_forces"))]


def usual_pans() -> list[tuple[str, str]]:
    """Usual pans by size and use, with their ids; nothing for another size."""
    return [("another size", ""), *((f"{_size(_of_pan(Weighing(), pan))}, {pan.use}", pan.id) for pan in pans())]


def shape_of(w: Weighing) -> str:
    """'round' or 'rectangular'."""
    return SHAPES[w.pan_width_mm is not None]


def _size(w: Weighing) -> str:
    return f"{w.pan_diameter_mm:g} mm across" if w.pan_width_mm is None else f"{w.pan_length_mm:g} by {w.pan_width_mm:g} mm"


def _of_pan(w: Weighing, pan: Pan) -> Weighing:
    """The weighing with the shape and size of a pan."""
    round_one = replace(w, pan_width_mm=None, pan_length_mm=None)
    if pan.diameter_mm is not None:
        return replace(round_one, pan_diameter_mm=pan.diameter_mm)
    return replace(round_one, pan_width_mm=pan.width_mm, pan_length_mm=pan.length_mm)


def usual_pan_of(w: Weighing) -> str:
    """The id of the usual pan that is chosen; '' for another size."""
    return next((pan.id for pan in pans() if _of_pan(w, pan) == w), "")


# -- what is shown ----------------------------------------------------------------------------------------------------


def cake_view(record: Record) -> str:
    """The finished cake, what to add to 100 g of powder, and where the shares lie outside published levels."""

    def view() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        pressed = record.pressed()
        if pressed is None:
            return paragraph(record.no_powder() or "It stays a loose powder.") + record.final().to_html()
        grid = pressed._grid()
        shown = "".join(map(alert, pressed.warnings)) + to_html(replace(grid, notes=tuple(pressed.notes)))
        base = record.base()
        usual = "" if base is None else folded("What such a powder usually takes", paragraph(base.text()) + base.to_html())
        published = folded("Published levels for these binders, with their sources", to_html(pressed.levels_grid()))
        return shown + (published if pressed.levels else "") + usual

    return live(kindly(view))


def pans_view(record: Record) -> str:
    """How much powder the pans take, and what a way of pressing brings about on them."""

    def view() -> str:
        if record.pressed() is None:
            what = "What is no powder" if record.no_powder() else "A loose powder"
            return paragraph(f"{what} goes into a jar or bottle: there are no pans to fill.")
        need, pressure = record.pans_need(), record.pressure()
        out = [paragraph(need.text() if need is not None else "Say how many pans you want to fill.")]
        if pressure is not None:
            out.append(pressure.to_html())
        if (card := record.press_card()) is not None:
            out.append(folded("Press card: fill line, pressure and force on this pan", card.to_html()))
        return "".join(out)

    return live(kindly(view))


def steps_view() -> str:
    """How to press, step by step."""
    words = (
        f"{step.step}{f': {step.detail}' if step.detail else ''}{f' ({step.timing()})' if step.timing() else ''}"
        for step in process_steps("press")
    )
    items = "".join(f"<li>{paragraph(line)}</li>" for line in words)
    return folded("How to press, step by step (common practice, no source)", f"<ol>{items}</ol>")


# -- what is changed --------------------------------------------------------------------------------------------------


def pressed_or_loose(record: Record, wanted: bool) -> Record:
    """The record pressed with the usual binder and oil, or left loose."""
    return replace(record, pressing=(record.pressing or Pressing()) if wanted else None)


def with_pressing(record: Record, **parts: Any) -> Record:
    """The record with another binder, oil or share; a share without its binder waits until one is chosen.

    Raises:
        HistkitError: it cannot be pressed so.
    """
    new = replace(record, pressing=replace(record.pressing or Pressing(), **parts))
    if new.text.strip():
        new.pressed()  # what cannot be pressed is told here, and not kept
    return new


def with_base(record: Record) -> Record:
    """The record with the binder, the oil and the pressure that such a powder usually takes, to begin the trials with.

    Raises:
        BadValue: it is no powder, or nothing is known of a powder of this sort.
    """
    base = record.base()
    if base is None:
        raise BadValue(
            record.no_powder()
            or "nothing is known of what such a powder takes; begin with 4 % of dry binder and 4 % of oil and try it small"
        )
    now = record.pressing or Pressing()
    shares: dict[str, Any] = {
        "binder": now.binder or Pressing().binder,
        "binder_share": base.binder.best,
        "oil_share": base.oil.best,
    }
    new = replace(now, **shares, oil=now.oil or Pressing().oil, oil_from="share", of="cake")
    return with_pressing(replace(record, pressing=new))


def with_weighing(record: Record, **parts: Any) -> Record:
    """The record with other grams, another balance or other pans."""
    return replace(record, weighing=replace(record.weighing, **parts))


def with_shape(record: Record, shape: str) -> Record:
    """The record with round pans, or with rectangular ones that begin at a usual size."""
    if shape == shape_of(record.weighing):
        return record
    if shape == SHAPES[0]:
        return with_weighing(record, pan_width_mm=None, pan_length_mm=None)
    usual = next(pan for pan in pans() if pan.diameter_mm is None)
    return replace(record, weighing=_of_pan(record.weighing, usual))


def with_usual_pan(record: Record, key: str) -> Record:
    """The record with the size of a usual pan; '' leaves the size as it is."""
    chosen = next((pan for pan in pans() if pan.id == key), None)
    return record if chosen is None else replace(record, weighing=_of_pan(record.weighing, chosen))


def as_much_as_the_pans_take(record: Record) -> Record:
    """The record with a batch of so many grams as its pans take, with what sticks to the tools: what `Record.pans_need` says.

    Raises:
        BadValue: no pan is asked for, or it is not pressed. Forbidden: something in it must not be used.
    """
    if record.pans_need() is None:
        raise BadValue("say first that it is pressed, and how many pans you want to fill")
    return with_weighing(record, make="grams", grams=with_weighing(record, make="pans").batch().grams)


def noun(record: Record) -> Any:
    """What the plain copy shows: the pressed formula, or the loose one."""
    return (record.pressed() or record.final()) if record.text.strip() else None


def pressing_panel(table: Desk | None = None) -> None:
    """Show the panel for pressing."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    cake, pans_box, trials = _CakeBox(table), _PansBox(table), TrialsBox(table)

    def refresh(record: Record) -> None:
        cake.refresh(record)
        pans_box.refresh(record)
        trials.refresh(record)

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            heading("1. Binder and oil, in per cent of the finished cake"),
            *cake.children,
            heading("2. Pans"),
            *pans_box.children,
            heading("3. Try it small first, and write down what came of it"),
            *trials.children,
            widgets.HTML(steps_view()),
        ],
    )


def _pressing_of(record: Record) -> Pressing:
    """How it is pressed; for a loose powder how it would be."""
    return record.pressing or Pressing()


def _per_cent(share: float) -> float:
    return round(100 * share, 4)


def further(record: Record) -> dict[str, float]:
    """The shares of all binders and oils beside the first ones, by id."""
    now = _pressing_of(record)
    return dict((*now.more_binders, *now.more_oils))


def with_further(record: Record, key: str, share: float) -> Record:
    """The record with one more dry binder or oil at this share; 0 takes it out.

    Raises:
        HistkitError: it cannot be pressed so, or nothing was chosen.
    """
    if not key:
        raise BadValue("choose first which further binder or oil it is")
    entry = "more_oils" if key in [value for _, value in oils()] else "more_binders"
    others = tuple(pair for pair in getattr(_pressing_of(record), entry) if pair[0] != key)
    return with_pressing(record, **{entry: (*others, (key, share)) if share > 0 else others})


class _FurtherBox:
    """One more dry binder or oil at a time, of as many as wanted."""

    def __init__(self, table: Desk, troubles: Troubles) -> None:
        self.table, self.troubles, self.busy = table, troubles, False
        offered = [("none", ""), *((f"{name} (dry)", key) for name, key in binders()[1:])]
        offered += [(f"{name} (oil)", key) for name, key in oils()[1:]]
        self.which = choice("Further binder or oil", offered, "", "30em")
        self.share = number("Its share, % of the cake", 0.0, 0, 25, 0.25, "20em")
        self.words = result()
        self.which.observe(lambda _: self.refresh(self.table.record), names="value")
        self.share.observe(lambda change: self._put(change["new"]), names="value")
        self.row = widgets.HBox([self.which, self.share, self.words], layout=ROW)

    def refresh(self, record: Record) -> None:
        """Show the share of the chosen one, and which there are."""
        shares = further(record)
        self.busy = True
        try:
            self.share.value = _per_cent(shares.get(self.which.value, 0.0))
        finally:
            self.busy = False
        names = ", ".join(f"{glossary.name_of(key)} {_per_cent(share):g} %" for key, share in shares.items())
        self.words.value = paragraph(f"Beside the first: {names}.") if names else ""

    def _put(self, per_cent: float) -> None:
        if wrong := out_of_bounds(self.share, per_cent):
            self.troubles.tell("further binder", wrong)
        elif not self.busy:
            key = self.which.value
            self.troubles.attempt(
                "further binder", lambda: self.table.edit(lambda record: with_further(record, key, per_cent / 100))
            )


class _CakeBox:
    """The fields for binder and oil, and the cake that they make."""

    def __init__(self, table: Desk) -> None:
        troubles, present = Troubles(), _pressing_of(table.record)
        self.shown = result()
        pressed = tick("press it into a cake")
        binder = choice("Dry binder", binders(), "", "26em")
        oil = choice("Oil", oils(), "", "26em")
        binder_row, binder_share = slider("Binder, % of the cake", _per_cent(present.binder_share), 0, 25, 0.25)
        oil_row, oil_share = slider("Oil, % of the cake", _per_cent(present.oil_share), 0, 15, 0.25)
        bind(table, troubles, pressed, lambda r: r.pressing is not None, pressed_or_loose, NAME)
        for field, entry in ((binder, "binder"), (oil, "oil")):
            bind(table, troubles, field, _chosen(entry), _put(entry, lambda value: value or None), NAME)
        for share, entry in ((binder_share, "binder_share"), (oil_share, "oil_share")):
            bind(table, troubles, share, _share(entry), _put(entry, lambda value: value / 100), NAME)
        self.table, self.done, self.further = table, result(), _FurtherBox(table, troubles)
        begin = button("Begin with what such a powder takes", self.begin, troubles)
        self.children = [
            widgets.HBox([pressed, begin], layout=ROW),
            widgets.HBox([binder, binder_row], layout=ROW),
            widgets.HBox([oil, oil_row], layout=ROW),
            self.further.row,
            troubles.place,
            self.done,
            self.shown,
        ]

    def begin(self) -> None:
        """Take binder and oil from the profile of the base."""
        self.table.edit(with_base)
        base = self.table.record.base()
        assert base is not None  # else it was refused
        self.done.value = good(base.text())

    def refresh(self, record: Record) -> None:
        """Show the cake as it is now."""
        self.shown.value, self.done.value = cake_view(record), ""
        self.further.refresh(record)


def _chosen(entry: str) -> Callable[[Record], Any]:
    return lambda record: getattr(_pressing_of(record), entry) or ""


def _share(entry: str) -> Callable[[Record], float]:
    return lambda record: _per_cent(getattr(_pressing_of(record), entry))


def _put(entry: str, read: Callable[[Any], Any]) -> Callable[[Record, Any], Record]:
    return lambda record, value: with_pressing(record, **{entry: read(value)})


class _PansBox:
    """The fields for the pans and for how they are pressed, and what they take."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles = table, Troubles()
        self.shown, self.done = result(), result()
        w = table.record.weighing
        count = whole_number("Pans", w.pans, 0, 500)
        usual_pan = choice("Usual pans", usual_pans(), "", "28em")
        shape = choice("Shape", [(shape, shape) for shape in SHAPES], shape_of(w), "14em")
        self.sides = {
            "pan_diameter_mm": number("Across, mm", w.pan_diameter_mm, 5, 200, 0.5, "13em"),
            "pan_length_mm": number("Long, mm", w.pan_length_mm or 5, 5, 300, 0.5, "13em"),
            "pan_width_mm": number("Wide, mm", w.pan_width_mm or 5, 5, 300, 0.5, "13em"),
            "pan_depth_mm": number("Deep, mm", w.pan_depth_mm, 0.5, 30, 0.5, "13em"),
        }
        press = choice("Pressed with", ways_of_pressing(), "", "26em")
        self._bind_entry(count, "pans")
        bind(table, self.troubles, shape, lambda r: shape_of(r.weighing), with_shape, NAME)
        for entry, field in self.sides.items():
            self._bind_entry(field, entry)
        bind(table, self.troubles, usual_pan, lambda r: usual_pan_of(r.weighing), with_usual_pan, NAME)
        bind(table, self.troubles, press, _chosen("press"), _put("press", str), NAME)
        self.children = [
            widgets.HBox([count, usual_pan, shape, *self.sides.values()], layout=ROW),
            widgets.HBox([press, button("Make as much as the pans take", self.as_much, self.troubles)], layout=ROW),
            self.troubles.place,
            self.shown,
            self.done,
        ]

    def _bind_entry(self, field: Any, entry: str) -> None:
        """Tie a field to an entry of the weighing."""

        def kept(record: Record) -> Any:
            value = getattr(record.weighing, entry)
            return field.value if value is None else value  # a round pan has no length: its hidden field stays as it is

        bind(self.table, self.troubles, field, kept, lambda r, v: with_weighing(r, **{entry: v}), NAME)

    def as_much(self) -> None:
        """Make the batch as large as the pans ask for."""
        self.table.edit(as_much_as_the_pans_take)
        grams = self.table.record.weighing.grams
        self.done.value = good(f"The batch is now {grams:g} g: what the pans take, and more for what sticks to the tools.")

    def refresh(self, record: Record) -> None:
        """Show what the pans take now, and the fields that their shape has."""
        self.shown.value, self.done.value = pans_view(record), ""
        wanted = record.weighing.pan()
        for entry, field in self.sides.items():  # a round pan has no length, a rectangular one nothing across
            field.layout.display = None if entry.removeprefix("pan_") in wanted else "none"
