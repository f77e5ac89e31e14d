"""How much to make, on which balance, and the sheet to weigh from."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue, Forbidden, HistkitError
from histkit.keeping.records import Record
from histkit.panels.packs import PacksBox
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    bind,
    button,
    choice,
    download,
    folded,
    good,
    heading,
    kindly,
    listed,
    live,
    news_of,
    number,
    paragraph,
    result,
    show,
    text_area,
    text_field,
    tick,
    whole_number,
)
from histkit.panels.pressing import with_weighing
from histkit.panels.settling import SettlingBox
from histkit.panels.state import Desk, desk
from histkit.panels.stores import StoresBox
from histkit.safety.within import refusal_reason

NAME = "batch panel"
SIZES = [("so many grams", "grams"), ("to fill the pans", "pans"), ("what I have (below) allows", "cupboard")]
"""What decides the size of a batch, in words, and as the record keeps it."""


def bench_view(record: Record) -> str:
    """The bench sheet; where something in it must not be used, the reason and what stands in."""

    def view() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        try:
            sheet = f'<div style="max-width:64em;">{record.batch().to_html()}</div>'
            label = folded("Draft of a label, for an assessor to check", record.label().to_html())
            return f"{least_view(record)}{sheet}{label}{made_view(record)}"
        except Forbidden:
            return held_view(record)

    return live(kindly(view))


def held_view(record: Record) -> str:
    """What keeps the mixture from the bench, and what to do about each."""
    forbidden = record.final().forbidden
    others = [finding for finding in record.findings() if finding.holds and finding.about != "forbidden"]
    out = []
    if forbidden:
        names = ", ".join(i.name for i in forbidden)
        out.append(alert(f"No bench sheet yet: {names} must not be weighed or used."))
        out += [paragraph(refusal_reason(i, ids=False)) for i in forbidden]
        out.append(paragraph("Choose a stand-in in the notebook on substitutes (2-explore-substitutes); the sheet comes then."))
    if others:
        out.append(alert(f"No bench sheet yet: {'this has' if len(others) == 1 else 'these have'} to be settled."))
        out.append(listed([finding.text for finding in others]))
    return "".join(out)


def least_view(record: Record) -> str:
    """From how many grams on everything is weighed straight, without an aliquot."""
    if record.weighing.make != "grams":
        return ""
    try:
        least = record.straight_from()
    except HistkitError:
        return ""
    if least <= record.weighing.grams:
        return paragraph("This balance weighs every ingredient of such a batch straight.")
    return paragraph(
        f"On this balance every ingredient could be weighed straight from {least:g} g on; for less, the sheet says how to "
        "weigh the small ones by way of a dilution."
    )


def made_view(record: Record) -> str:
    """The batches that were made before."""
    rows = []
    for b in record.batches:
        when = f" (made on {b.made_on})" if b.made_on else ""
        rows.append(f"{b.number or 'without a number'}{f': {b.notes}' if b.notes else ''}{when}")
    return folded("Batches made", listed(rows)) if rows else ""


def with_made(record: Record) -> Record:
    """The record with its batch among those that were made; the next one begins without number and notes.

    Raises:
        HistkitError: the batch cannot be made, or one of that number was made before.
    """
    present = record.weighing
    if not present.number.strip():
        raise BadValue("give the batch a number first, so that it can be found again")
    if any(before.number == present.number for before in record.batches):
        raise BadValue(f"a batch {present.number!r} was made before; give this one another number")
    record.batch()  # what cannot be made was not made
    made = replace(present, made_on=present.made_on or date.today().isoformat(), packs=record.packs)
    return replace(record, batches=(*record.batches, made), weighing=replace(present, number="", notes="", made_on=""))


def save_sheet(table: Desk) -> str:
    """Write the bench sheet as PDF, page and Markdown beside the record; what was done, in HTML, with links to download it.

    Raises:
        HistkitError: there is no sheet to be had, or it cannot be written.
    """
    from histkit.telling import files

    table.fetch()
    paper, page, words = files.save_bench_sheet(table.folder, table.record.batch())
    where_to = f"Saved as {paper.name}, {page.name} and {words.name} in {page.parent}. Print the first."
    return good(where_to) + download(paper, "Download the sheet to print") + download(page, "Download it as a web page")


def noun(record: Record) -> Any:
    """What the plain copy shows: the batch."""
    return record.batch() if record.text.strip() else None


def batch_panel(table: Desk | None = None) -> None:
    """Show the panel for the batch and the bench sheet."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def _shown(entry: str) -> Callable[[Record], Any]:
    return lambda record: getattr(record.weighing, entry)


def _kept(entry: str) -> Callable[[Record, Any], Record]:
    return lambda record, value: with_weighing(record, **{entry: value})


def build(table: Desk) -> Panel:
    """The panel itself."""
    w, troubles = table.record.weighing, Troubles()
    make = choice("How much", SIZES, w.make, "22em")
    pans = whole_number("Pans", w.pans, 0, 1000)
    batch_number = text_field("Batch number", w.number, "20em")
    currency = text_field("Currency", table.record.currency, "12em")
    notes = text_area("Notes on this batch", w.notes, 2)
    made_on = text_field("Made on", w.made_on, "16em", "2026-05-31")
    stores, packs, settling = StoresBox(table), PacksBox(table), SettlingBox(table)
    grams = number("Make, grams", w.grams, 0.01, 100_000, 1, "16em")
    readability = number("Smallest step of the balance, g", w.readability, 0.0001, 10, 0.01, "23em")
    minimum = number("Least it weighs well, g", w.minimum, 0.0, 100, 0.05, "20em")
    together = tick("one dilution for several small amounts")
    sheet, done = result(), result()

    entries: list[tuple[Any, str]] = [(grams, "grams"), (readability, "readability"), (minimum, "minimum"), (make, "make")]
    entries += [(together, "together"), (pans, "pans"), (batch_number, "number"), (made_on, "made_on"), (notes, "notes")]
    for field, entry in entries:
        bind(table, troubles, field, _shown(entry), _kept(entry), NAME)
    bind(table, troubles, currency, lambda r: r.currency, lambda r, v: replace(r, currency=v), NAME)

    def save() -> None:
        done.value = ""
        done.value = save_sheet(table)

    def was_made() -> None:
        number = table.record.weighing.number
        table.edit(with_made)
        done.value = good(f"Batch {number} is kept among those that were made.")

    def refresh(record: Record) -> None:
        sheet.value, done.value = bench_view(record), ""
        grams.disabled = record.weighing.make != "grams"
        for part in (stores, packs, settling):
            part.refresh(record)

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            heading("How much, and on which balance"),
            widgets.HBox([make, grams, pans], layout=ROW),
            widgets.HBox([readability, minimum, together], layout=ROW),
            widgets.HBox([batch_number, made_on, currency], layout=ROW),
            notes,
            heading("Whose law, and what has to be settled"),
            *settling.children,
            heading("The bench sheet"),
            widgets.HBox([button("Save the bench sheet", save, troubles), button("This batch was made", was_made, troubles)]),
            troubles.place,
            done,
            sheet,
            heading("What is at hand, and what it costs"),
            *stores.children,
            heading("Lots, dates, packs and your dropper"),
            *packs.children,
        ],
    )
