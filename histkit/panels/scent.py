"""The scent: how strong it is, what flies off first, what the law and the label want; half as much of it, or of one part."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import partial
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import BadValue, HistkitError, quoted
from histkit.base.files import write_atomically
from histkit.bench.scent import Scent
from histkit.display.tabular import Tabular
from histkit.keeping.records import AddedScent, Record, Scenting
from histkit.panels.drawings import drawn
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    bind,
    button,
    choice,
    good,
    heading,
    kindly,
    live,
    news_of,
    number,
    paragraph,
    result,
    show,
    text_field,
)
from histkit.panels.state import Desk, desk

NAME = "scent panel"
NOTHING = "Nothing in this powder is put in for its scent by drops or grams."
PICTURE, TABLE = "scent.png", "scent.md"
UNITS = (
    ("drops", "drop"),
    ("grams", "gram"),
    ("milligrams", "milligram"),
    ("millilitres", "millilitre"),
    ("per cent", "per cent"),
)
FILLS = (("the powder fills up: a weaker scent", "powder"), ("the other oils fill up: as strong as before", "scent"))


# -- what is changed --------------------------------------------------------------------------------------------------


def with_scenting(record: Record, **choices: Any) -> Record:
    """The record with more chosen of its scent.

    Raises:
        HistkitError: the choice makes no sense; nothing but scent would be left.
    """
    new = replace(record, scenting=replace(record.scenting, **choices))
    new.composition()  # what cannot be made is told here, and not kept
    return new


def with_part(record: Record, key: str, times: float) -> Record:
    """The record with so many times as much of one part of the scent; 1 is as printed."""
    others = tuple(pair for pair in record.scenting.changed if pair[0] != key)
    return with_scenting(record, changed=others if times == 1 else (*others, (key, times)))


def with_added(record: Record, name: str, amount: float, unit: str) -> Record:
    """The record with something added to its scent, by an old or a new name.

    Raises:
        HistkitError: nobody knows the name, or the amount makes no sense.
    """
    match = glossary.find(name) if name.strip() else None
    if match is None:
        raise BadValue(f"the glossary knows no {quoted(name.strip() or 'scent without a name')}: try another name of it")
    return with_scenting(record, added=(*record.scenting.added, AddedScent(match.ingredient.id, amount, unit)))


def without_added(record: Record, place: int) -> Record:
    """The record without the scent that was added at this place (from 0)."""
    return with_scenting(record, added=tuple(a for n, a in enumerate(record.scenting.added) if n != place))


# -- what is shown ----------------------------------------------------------------------------------------------------


def printed_scent(record: Record) -> Scent | None:
    """The scent as printed; None where there is none."""
    if not record.text.strip():
        return None
    try:
        return record.scent(as_printed=True)
    except HistkitError:
        return None


def noun(record: Record) -> Tabular | None:
    """The scent in the next batch; None where there is no formula, or nothing scents."""
    if not record.text.strip() or (printed_scent(record) is None and not record.scenting.added):
        return None
    return record.scent()


def view(record: Record) -> str:
    """The tables, with bars of what flies off first, beside the scent as printed where it was changed."""

    def made() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        if noun(record) is None:
            return paragraph(NOTHING)
        now, before = record.scent(), printed_scent(record)
        changed = before is not None and record.scenting != Scenting()
        first, *others = now.grids()
        told = [finding.text for finding in now.findings]
        quiet = replace(first, notes=tuple(note for note in first.notes if note not in told))
        return "".join(map(alert, told)) + to_html([quiet]) + drawn(now.describe(before if changed else None)) + to_html(others)

    return live(kindly(made))


def to_html(grids: Iterable[Any]) -> str:
    """Several tables, one under the other."""
    from histkit.display.grids import to_html as html

    return "".join(map(html, grids))


# -- the fields -------------------------------------------------------------------------------------------------------


class ScentBox:
    """Strength, parts, what is added, the tables, and the files."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.done = Troubles(), result(), result()
        self.strength = number("The whole scent, times as strong as printed", 1.0, 0.0, 19.0, 0.25, "30em")
        self.fill = choice("Where one part is less", FILLS, "powder", "34em")
        self.rows: dict[str, widgets.BoundedFloatText] = {}
        self.parts = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.added = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.name = text_field("Scent to add", "", "32em", "oil of sandalwood, essence bouquet …")
        self.amount = number("How much of it", 3.0, 0.001, 10_000, 1, "14em")
        self.unit = choice("Measured in", UNITS, "drop", "16em")
        self.per = number("for grams of powder", 100.0, 0.1, 1_000_000, 10, "18em")
        self.busy = False
        bind(table, self.troubles, self.strength, lambda r: r.scenting.strength, _strength, NAME)
        bind(table, self.troubles, self.fill, lambda r: r.scenting.fill, _fill, NAME)
        bind(table, self.troubles, self.per, lambda r: r.scenting.per_grams, _per, NAME)
        half = button("Half as strong", partial(self.put, _half), self.troubles)
        printed = button("As printed again", partial(self.put, _as_printed), self.troubles)
        self.children = [
            widgets.HBox([self.strength, half, printed], layout=ROW),
            self.fill,
            self.parts,
            self.troubles.place,
            self.done,
            self.shown,
            heading("Add a scent"),
            widgets.HBox([self.name, self.amount, self.unit, self.per], layout=ROW),
            button("Add it to the scent", self.add, self.troubles),
            self.added,
            button("Save the tables and the bars", self.save, self.troubles),
        ]

    def put(self, change: Any) -> None:
        """Make a change to the record."""
        self.table.edit(change)

    def refresh(self, record: Record) -> None:
        """Show the scent as it is now, a field for each part of it."""
        self.shown.value = view(record)
        before = printed_scent(record)
        keys = [p.ingredient.id for p in before.parts] if before is not None else []
        if keys != list(self.rows):
            self.rows = {key: self._row(key) for key in keys}
            self.parts.children = [widgets.HBox(list(self.rows.values()), layout=ROW)] if keys else []
        self.busy = True
        try:
            for key, field in self.rows.items():
                field.value = dict(record.scenting.changed).get(key, 1.0)
        finally:
            self.busy = False
        self.added.children = [self._added(place, added) for place, added in enumerate(record.scenting.added)]

    def _row(self, key: str) -> widgets.BoundedFloatText:
        field = number(f"{glossary.name_of(key)}, times", 1.0, 0.0, 19.0, 0.25, "20em")

        def put(change: Any) -> None:
            if not self.busy:
                self.troubles.attempt(key, lambda: self.table.edit(lambda record: with_part(record, key, change["new"])))

        field.observe(put, names="value")
        return field

    def _added(self, place: int, added: AddedScent) -> widgets.HBox:
        unit = next((words for words, unit in UNITS if unit == added.unit), added.unit)
        words = f"{place + 1}. {glossary.name_of(added.ingredient)}: {added.amount:g} {unit}"
        away = button(f"Take added scent {place + 1} out", partial(self.put, partial(without_added, place=place)), self.troubles)
        return widgets.HBox([widgets.HTML(paragraph(words)), away], layout=ROW)

    def add(self) -> None:
        """Add what stands in the fields."""
        name, amount, unit = self.name.value, self.amount.value, self.unit.value
        self.table.edit(lambda record: with_added(record, name, amount, unit))
        key = self.table.record.scenting.added[-1].ingredient
        self.done.value = good(f"Added: {glossary.name_of(key)}.")
        self.name.value = ""

    def save(self) -> None:
        """The tables as a file, and the bars as a picture."""
        record = self.table.record
        if noun(record) is None:
            raise BadValue(NOTHING)
        now, folder = record.scent(), self.table.folder
        write_atomically(folder / TABLE, now.to_markdown())
        before = printed_scent(record) if record.scenting != Scenting() else None
        paths = now.to_picture(folder / PICTURE, (1920, 1080), before=before)
        self.done.value = good(f"Saved beside your record: {', '.join([TABLE, *(path.name for path in paths)])}.")


def _strength(record: Record, value: float) -> Record:
    return with_scenting(record, strength=value)


def _fill(record: Record, value: str) -> Record:
    return with_scenting(record, fill=value)


def _per(record: Record, value: float) -> Record:
    return with_scenting(record, per_grams=value)


def _half(record: Record) -> Record:
    return with_scenting(record, strength=0.5)


def _as_printed(record: Record) -> Record:
    return replace(record, scenting=Scenting())


def build(table: Desk) -> Panel:
    """The panel itself."""
    box = ScentBox(table)
    table.watch(box.refresh, NAME)
    return Panel(NAME, [news_of(table), *box.children])


def scent_panel(table: Desk | None = None) -> None:
    """Show the scent."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, NOTHING)
