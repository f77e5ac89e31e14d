"""From loose powder to pressed cake: binder, oil, pans, how hard to press, test presses and what came of them."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit import glossary, tables
from histkit.batching import Balance, batch_for_pans
from histkit.errors import BadValue
from histkit.model import Ingredient
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
    result,
    show,
    slider,
    tick,
    told,
    whole_number,
)
from histkit.panels.state import Desk, desk
from histkit.panels.trials import TrialsBox
from histkit.pressing import PressedFormula, levels, pan_fill_spread, pans, press_pressure, process_steps
from histkit.records import Pressing, Record
from histkit.tabular import to_html

NAME = "pressing panel"


def binders() -> list[tuple[str, str]]:
    """Powders that the glossary knows as binders or that a published level names, by their names; and none of them."""
    return _offered(lambda i: i.state == "powder" and i.has_role("binder"), "dry")


def oils() -> list[tuple[str, str]]:
    """Oils that the glossary knows as binders or that a published level names, by their names; and none of them."""
    return _offered(lambda i: i.kind == "fixed-oil" and i.state == "liquid" and i.has_role("binder"), "liquid")


def _offered(fits: Callable[[Ingredient], bool], kind: str) -> list[tuple[str, str]]:
    named = {key for level in levels(kind=kind) for key in level.ingredients}
    found = [i for i in glossary.ingredients.values() if (fits(i) or i.id in named) and not i.forbidden]
    return [("none", ""), *sorted((i.name, i.id) for i in found)]


def ways_of_pressing() -> list[tuple[str, str]]:
    """How a maker may press, by the words of the table."""
    return [("not chosen", ""), *((row["press"], row["id"]) for row in tables.read("pressing_forces"))]


def round_pans() -> list[tuple[str, float]]:
    """Usual round pans by size and use, with their diameter in mm; 0 for another size."""
    found = [(f"{p.diameter_mm:g} mm, {p.use}", p.diameter_mm) for p in pans() if p.diameter_mm]
    return [("another size", 0.0), *found]


# -- what is shown ----------------------------------------------------------------------------------------------------


def cake_view(record: Record) -> str:
    """The finished cake, what to add to 100 g of powder, and where the shares lie outside published levels."""

    def view() -> str:
        if not record.text.strip():
            return told("There is no formula yet: paste one in the first notebook.")
        pressed = record.pressed()
        if pressed is None:
            return told("It stays a loose powder.") + record.final().to_html()
        grid = pressed._grid()
        shown = "".join(map(alert, pressed.warnings)) + to_html(replace(grid, notes=tuple(pressed.notes)))
        published = folded("Published levels for these binders, with their sources", to_html(pressed.levels_grid()))
        return shown + (published if pressed.levels else "")

    return live(kindly(view))


def pans_view(record: Record, press: str = "") -> str:
    """How much powder the pans take, and what a way of pressing brings about on them."""

    def view() -> str:
        pressed, w = record.pressed(), record.weighing
        if pressed is None:
            return told("A loose powder goes into a jar: there are no pans to fill.")
        out = []
        if w.pans:
            fill = pan_fill_spread(
                pressed, diameter_mm=w.pan_diameter_mm, depth_mm=w.pan_depth_mm, count=w.pans, press=press or None
            )
            count = "One round pan" if w.pans == 1 else f"{w.pans} round pans"
            out.append(
                told(
                    f"{count}, {w.pan_diameter_mm:g} mm across and {w.pan_depth_mm:g} mm deep, "
                    f"take{'s' if w.pans == 1 else ''} about {fill.best:.1f} g ({fill.low:.1f} to {fill.high:.1f} g, for a cake "
                    "is denser or looser with the pressure)."
                )
            )
        else:
            out.append(told("Say how many pans you want to fill."))
        if press:
            out.append(press_pressure(press, diameter_mm=w.pan_diameter_mm).to_html())
        return "".join(out)

    return live(kindly(view))


def steps_view() -> str:
    """How to press, step by step."""
    items = "".join(
        f"<li>{told(f'{step.step}: {step.detail}' + (f' ({step.timing()})' if step.timing() else ''))}</li>"
        for step in process_steps()
    )
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


def with_weighing(record: Record, **parts: Any) -> Record:
    return replace(record, weighing=replace(record.weighing, **parts))


def as_much_as_the_pans_take(record: Record) -> Record:
    """The record with a batch that fills its pans, and a tenth more for what sticks to the tools.

    Raises:
        BadValue: no pan is asked for, or it is not pressed. Forbidden: something in it must not be used.
    """
    pressed, w = record.pressed(), record.weighing
    if not isinstance(pressed, PressedFormula) or not w.pans:
        raise BadValue("say first that it is pressed, and how many pans you want to fill")
    made = batch_for_pans(pressed, w.pan_diameter_mm, w.pan_depth_mm, w.pans, Balance(w.readability, w.minimum))
    return with_weighing(record, grams=made.grams)


def noun(record: Record) -> Any:
    """What the plain copy shows: the pressed formula, or the loose one."""
    return (record.pressed() or record.final()) if record.text.strip() else None


def pressing_panel(table: Desk | None = None) -> None:
    """Show the panel for pressing."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    usual, troubles, pan_troubles = Pressing(), Troubles(), Troubles()
    cake, fill, done = result(), result(), result()

    def of(record: Record) -> Pressing:
        return record.pressing or usual

    pressed = tick("press it into a cake")
    binder = choice("Dry binder", binders(), "", "26em")
    oil = choice("Oil", oils(), "", "26em")
    p = of(table.record)
    binder_row, binder_share = slider("Binder, % of the cake", round(100 * p.binder_share, 4), 0, 25, 0.25)
    oil_row, oil_share = slider("Oil, % of the cake", round(100 * p.oil_share, 4), 0, 15, 0.25)
    bind(table, troubles, pressed, lambda r: r.pressing is not None, pressed_or_loose, NAME)
    bind(table, troubles, binder, lambda r: of(r).binder or "", lambda r, v: with_pressing(r, binder=v or None), NAME)
    bind(table, troubles, oil, lambda r: of(r).oil or "", lambda r, v: with_pressing(r, oil=v or None), NAME)
    bind(
        table, troubles, binder_share, lambda r: round(100 * of(r).binder_share, 4),
        lambda r, v: with_pressing(r, binder_share=v / 100), NAME,
    )  # fmt: skip
    bind(
        table, troubles, oil_share, lambda r: round(100 * of(r).oil_share, 4),
        lambda r, v: with_pressing(r, oil_share=v / 100), NAME,
    )  # fmt: skip

    count = whole_number("Pans", table.record.weighing.pans, 0, 500)
    usual_pan = choice("Usual pans", round_pans(), 0.0, "26em")
    diameter = number("Across, mm", table.record.weighing.pan_diameter_mm, 5, 200, 0.5, "13em")
    depth = number("Deep, mm", table.record.weighing.pan_depth_mm, 0.5, 30, 0.5, "13em")
    press = choice("Pressed with", ways_of_pressing(), "", "26em")
    bind(table, pan_troubles, count, lambda r: r.weighing.pans, lambda r, v: with_weighing(r, pans=v), NAME)
    bind(
        table,
        pan_troubles,
        diameter,
        lambda r: r.weighing.pan_diameter_mm,
        lambda r, v: with_weighing(r, pan_diameter_mm=v),
        NAME,
    )
    bind(table, pan_troubles, depth, lambda r: r.weighing.pan_depth_mm, lambda r, v: with_weighing(r, pan_depth_mm=v), NAME)

    def choose_pan(change: Any) -> None:
        if change["new"]:
            diameter.value = change["new"]

    def as_much() -> None:
        table.edit(as_much_as_the_pans_take)
        done.value = good(
            f"The batch is now {table.record.weighing.grams:g} g: what the pans take and a tenth more for the tools."
        )

    def show_pans(_: Any = None) -> None:
        fill.value = pans_view(table.record, press.value)

    def refresh(record: Record) -> None:
        cake.value = cake_view(record)
        done.value = ""
        size = record.weighing.pan_diameter_mm
        wanted = size if size in [v for _, v in usual_pan.options] else 0.0
        if usual_pan.value != wanted:
            usual_pan.value = wanted
        show_pans()

    usual_pan.observe(choose_pan, names="value")
    press.observe(show_pans, names="value")
    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            heading("1. Binder and oil, in per cent of the finished cake"),
            pressed,
            widgets.HBox([binder, binder_row], layout=ROW),
            widgets.HBox([oil, oil_row], layout=ROW),
            troubles.place,
            cake,
            heading("2. Pans"),
            widgets.HBox([count, usual_pan, diameter, depth], layout=ROW),
            widgets.HBox([press, button("Make as much as the pans take", as_much, pan_troubles)], layout=ROW),
            pan_troubles.place,
            fill,
            done,
            heading("3. Try it small first, and write down what came of it"),
            *TrialsBox(table).children,
            widgets.HTML(steps_view()),
        ],
    )
