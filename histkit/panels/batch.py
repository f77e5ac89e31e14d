"""How much to make, on which balance, and the sheet to weigh from."""

from __future__ import annotations

from dataclasses import replace

import ipywidgets as widgets

from histkit.errors import Forbidden, HistkitError
from histkit.panels.desk import Desk, desk
from histkit.panels.parts import ROW, Panel, alert, button, good, heading, kindly, live, number, result, show
from histkit.records import Record


def bench_view(record: Record) -> str:
    """The bench sheet; where something in it must not be used, the reason and what stands in."""

    def view() -> str:
        try:
            return record.batch().to_html()
        except Forbidden as error:
            return alert(str(error)) + alert(
                "Choose stand-ins in the notebook on substitutes; the bench sheet comes by itself then."
            )

    return live(kindly(view))


def save_sheet(table: Desk) -> str:
    """Write the bench sheet as a page and as Markdown beside the record; what was done, in HTML."""
    from histkit.display import files

    try:
        page, text = files.save_bench_sheet(table.folder, table.record.batch())
    except HistkitError as error:
        return alert(str(error))
    return good(f"Saved as {page.name} and {text.name} in {page.parent}. Open the first in a browser to print it.")


def batch_panel(table: Desk | None = None) -> None:
    """Show the panel for the batch and the bench sheet."""
    table = table or desk(replaced=True)
    show(build(table), bench_view(table.record))


def build(table: Desk) -> Panel:
    """The panel itself."""
    w = table.record.weighing
    grams = number("Make, grams", w.grams, 0.5, 100_000, 1, "16em")
    readability = number("Smallest step of the balance, g", w.readability, 0.0001, 10, 0.01, "24em")
    minimum = number("Least it weighs well, g", w.minimum, 0.0, 100, 0.05, "22em")
    sheet, done = result(), result()

    def changed(_: object = None) -> None:
        weighing = replace(table.record.weighing, grams=grams.value, readability=readability.value, minimum=minimum.value)
        table.change(weighing=weighing)

    for field in (grams, readability, minimum):
        field.observe(changed, names="value")

    def refresh(record: Record) -> None:
        sheet.value = bench_view(record)

    table.watch(refresh)
    return Panel(
        "batch panel",
        [
            heading("How much, and on which balance"),
            widgets.HBox([grams, readability, minimum], layout=ROW),
            button("Save the bench sheet", lambda: setattr(done, "value", save_sheet(table))),
            done,
            sheet,
        ],
    )
