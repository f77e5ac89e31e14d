"""How much to make, on which balance, and the sheet to weigh from."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from histkit.batching import Balance, smallest_batch
from histkit.composition import refusal_reason
from histkit.errors import Forbidden, HistkitError
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    bind,
    button,
    download,
    good,
    heading,
    kindly,
    live,
    news_of,
    number,
    result,
    show,
    told,
)
from histkit.panels.pressing import with_weighing
from histkit.panels.state import Desk, desk
from histkit.records import Record

NAME = "batch panel"


def bench_view(record: Record) -> str:
    """The bench sheet; where something in it must not be used, the reason and what stands in."""

    def view() -> str:
        if not record.text.strip():
            return told("There is no formula yet: paste one in the first notebook.")
        try:
            return f'{least_view(record)}<div style="max-width:64em;">{record.batch().to_html()}</div>'
        except Forbidden:
            names = ", ".join(i.name for i in record.final().forbidden)
            out = [alert(f"No bench sheet yet: {names} must not be weighed or used.")]
            out += [told(refusal_reason(i, ids=False)) for i in record.final().forbidden]
            out.append(told("Choose a stand-in in the notebook on substitutes (2-explore-substitutes); the sheet comes then."))
            return "".join(out)

    return live(kindly(view))


def least_view(record: Record) -> str:
    """From how many grams on everything is weighed straight, without an aliquot."""
    w = record.weighing
    try:
        least = smallest_batch(record.final(), Balance(w.readability, w.minimum))
    except HistkitError:
        return ""
    if least <= w.grams:
        return told("This balance weighs every ingredient of such a batch straight.")
    return told(
        f"On this balance every ingredient could be weighed straight from {least:g} g on; for less, the sheet says how to "
        "weigh the small ones by way of a dilution."
    )


def save_sheet(table: Desk) -> str:
    """Write the bench sheet as a page and as Markdown beside the record; what was done, in HTML, with a link to download it.

    Raises:
        HistkitError: there is no sheet to be had, or it cannot be written.
    """
    from histkit.display import files

    table.fetch()
    page, words = files.save_bench_sheet(table.folder, table.record.batch())
    told_where = f"Saved as {page.name} and {words.name} in {page.parent}. Open the first in a browser to print it."
    return good(told_where) + download(page, "Download the bench sheet")


def noun(record: Record) -> Any:
    """What the plain copy shows: the batch."""
    return record.batch() if record.text.strip() else None


def batch_panel(table: Desk | None = None) -> None:
    """Show the panel for the batch and the bench sheet."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    w, troubles = table.record.weighing, Troubles()
    grams = number("Make, grams", w.grams, 0.01, 100_000, 1, "16em")
    readability = number("Smallest step of the balance, g", w.readability, 0.0001, 10, 0.01, "23em")
    minimum = number("Least it weighs well, g", w.minimum, 0.0, 100, 0.05, "20em")
    sheet, done = result(), result()

    bind(table, troubles, grams, lambda r: r.weighing.grams, lambda r, v: with_weighing(r, grams=v), NAME)
    bind(table, troubles, readability, lambda r: r.weighing.readability, lambda r, v: with_weighing(r, readability=v), NAME)
    bind(table, troubles, minimum, lambda r: r.weighing.minimum, lambda r, v: with_weighing(r, minimum=v), NAME)

    def save() -> None:
        done.value = ""
        done.value = save_sheet(table)

    def refresh(record: Record) -> None:
        sheet.value, done.value = bench_view(record), ""

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            heading("How much, and on which balance"),
            widgets.HBox([grams, readability, minimum], layout=ROW),
            button("Save the bench sheet", save, troubles),
            troubles.place,
            done,
            sheet,
        ],
    )
