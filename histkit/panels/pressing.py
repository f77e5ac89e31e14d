"""From loose powder to pressed cake: binder, oil, pans, test presses."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets

from histkit import glossary
from histkit.panels.desk import Desk, desk
from histkit.panels.parts import (
    ROW,
    Panel,
    alert,
    button,
    choice,
    heading,
    kindly,
    live,
    number,
    result,
    show,
    slider,
    tick,
    told,
    whole_number,
)
from histkit.pressing import pan_fill_spread, process_steps
from histkit.records import Pressing, Record
from histkit.trials import ladder

BINDERS = ("magnesium-stearate", "zinc-stearate", "kaolin", "rice-starch", "corn-starch")
OILS = (
    "jojoba-oil",
    "squalane",
    "sweet-almond-oil",
    "mineral-oil",
    "caprylic-capric-triglyceride",
    "isopropyl-myristate",
    "castor-oil",
)


def known(keys: tuple[str, ...]) -> list[tuple[str, str]]:
    """Those of these ingredients that the glossary has, by their names, and none of them."""
    return [("none", ""), *((glossary.ingredients[k].name, k) for k in keys if k in glossary.ingredients)]


def cake_view(record: Record) -> str:
    """The finished cake, what to add to 100 g of powder, and where the shares lie outside published levels."""

    def view() -> str:
        pressed = record.pressed()
        if pressed is None:
            return told("It stays a loose powder.")
        return "".join([pressed.to_html(), *map(alert, pressed.warnings)])

    return live(kindly(view))


def pans_view(record: Record) -> str:
    """How much powder the pans take."""

    def view() -> str:
        pressed, w = record.pressed(), record.weighing
        if pressed is None or not w.pans:
            return ""
        fill = pan_fill_spread(pressed, diameter_mm=w.pan_diameter_mm, depth_mm=w.pan_depth_mm, count=w.pans)
        return told(
            f"{w.pans} round pans, {w.pan_diameter_mm:g} mm across and {w.pan_depth_mm:g} mm deep, take about {fill.best:.1f} g "
            f"({fill.low:.1f} to {fill.high:.1f} g, for a cake is denser or looser with the pressure)."
        )

    return live(kindly(view))


def ladder_view(record: Record, count: int, grams_each: float) -> str:
    """Small test presses around the chosen binder."""

    def view() -> str:
        pressed = record.pressed()
        if pressed is None:
            return told("Choose a binder first.")
        return ladder(pressed, count=count, grams_each=grams_each).to_html()

    return live(kindly(view))


def steps_view() -> str:
    """How to press, step by step."""
    items = "".join(
        f"<li>{told(f'{step.step}: {step.detail}' + (f' ({step.timing()})' if step.timing() else ''))}</li>"
        for step in process_steps()
    )
    return f"<details><summary>How to press, step by step (common practice, no source)</summary><ol>{items}</ol></details>"


def pressing_panel(table: Desk | None = None) -> None:
    """Show the panel for pressing."""
    table = table or desk(replaced=True)
    show(build(table), cake_view(table.record))


def build(table: Desk) -> Panel:
    """The panel itself."""
    p, w = table.record.pressing or Pressing(), table.record.weighing
    pressed = tick("press it into a cake", table.record.pressing is not None)
    binders, oils = known(BINDERS), known(OILS)
    binder = choice("Dry binder", binders, p.binder if p.binder in {v for _, v in binders} else "")
    oil = choice("Oil", oils, p.oil if p.oil in {v for _, v in oils} else "")
    binder_row, binder_share = slider("Binder, % of the cake", round(100 * p.binder_share, 2), 0, 25, 0.25)
    oil_row, oil_share = slider("Oil, % of the cake", round(100 * p.oil_share, 2), 0, 15, 0.25)
    pans = whole_number("Pans", w.pans, 0, 200, "10em")
    diameter = number("Across, mm", w.pan_diameter_mm, 5, 200, 0.5, "13em")
    depth = number("Deep, mm", w.pan_depth_mm, 0.5, 30, 0.5, "13em")
    cake, fill, tests, trouble = result(), result(), result(), result()
    count = whole_number("Test presses", 5, 2, 9, "13em")
    each = number("Grams each", 5, 0.5, 100, 0.5, "13em")

    def changed(_: object = None) -> None:
        dry, liquid = binder.value or None, oil.value or None
        shares = (binder_share.value / 100 if dry else 0.0, oil_share.value / 100 if liquid else 0.0)
        pressing = Pressing(dry, shares[0], liquid, shares[1]) if pressed.value else None
        weighing = replace(table.record.weighing, pans=pans.value, pan_diameter_mm=diameter.value, pan_depth_mm=depth.value)
        table.change(pressing=pressing, weighing=weighing)

    for field in (pressed, binder, oil, binder_share, oil_share, pans, diameter, depth):
        field.observe(changed, names="value")

    def refresh(record: Record) -> None:
        cake.value, fill.value = cake_view(record), pans_view(record)

    def test() -> None:
        tests.value = ladder_view(table.record, count.value, each.value)

    table.watch(refresh)
    table.observe(lambda change: setattr(trouble, "value", alert(change["new"])), names="trouble")
    trouble.value = alert(table.trouble)
    return Panel(
        "pressing panel",
        [
            trouble,
            heading("1. Binder and oil, in per cent of the finished cake"),
            pressed,
            widgets.HBox([binder, binder_row], layout=ROW),
            widgets.HBox([oil, oil_row], layout=ROW),
            cake,
            heading("2. Pans"),
            widgets.HBox([pans, diameter, depth], layout=ROW),
            fill,
            heading("3. Try it small first"),
            widgets.HBox([count, each, button("Work out test presses", test)], layout=ROW),
            tests,
            widgets.HTML(steps_view()),
        ],
    )
