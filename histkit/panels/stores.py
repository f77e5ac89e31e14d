"""What the maker has in the cupboard, and what it costs: a row for each ingredient that is weighed."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import HistkitError
from histkit.glossary.nouns import Ingredient
from histkit.keeping.records import Record
from histkit.panels.parts import ROW, Figure, Troubles, number, paragraph, result, within_bounds
from histkit.panels.state import Desk


def with_stock(record: Record, key: str, grams: float) -> Record:
    """The record with so many grams of an ingredient at hand; 0 says nothing of it."""
    others = tuple(pair for pair in record.weighing.cupboard if pair[0] != key)
    stock = (*others, (key, grams)) if grams > 0 else others
    return replace(record, weighing=replace(record.weighing, cupboard=stock))


def with_price(record: Record, key: str, price: float) -> Record:
    """The record with the price of one gram of an ingredient; 0 says nothing of it."""
    others = tuple(pair for pair in record.prices if pair[0] != key)
    return replace(record, prices=(*others, (key, price)) if price > 0 else others)


def weighed(record: Record) -> tuple[Ingredient, ...]:
    """What is weighed, in its order; nothing where it cannot be worked out."""
    if not record.text.strip():
        return ()
    try:
        return record.final().ingredients
    except HistkitError:
        return ()


class StoreRow:
    """How much of one ingredient is at hand, and the price of a gram."""

    def __init__(self, table: Desk, entry: Ingredient, troubles: Troubles) -> None:
        self.table, self.key, self.troubles, self.busy = table, entry.id, troubles, False
        self.have = number(f"{entry.name}: have, g", 0.0, 0.0, 1_000_000, 10, "26em")
        self.price = number(f"{entry.name}: price of 1 g", 0.0, 0.0, 1_000_000, 0.01, "26em")
        self.have.observe(lambda _: self._put(with_stock, self.have), names="value")
        self.price.observe(lambda _: self._put(with_price, self.price), names="value")
        self.box = widgets.HBox([self.have, self.price], layout=ROW)

    def show(self, record: Record) -> None:
        """Put what is kept into the fields."""
        self.busy = True
        try:
            self.have.value = dict(record.weighing.cupboard).get(self.key, 0.0)
            self.price.value = dict(record.prices).get(self.key, 0.0)
        finally:
            self.busy = False

    def _put(self, change: Any, field: Figure) -> None:
        def keep() -> None:
            within_bounds(field)
            self.table.edit(lambda record: change(record, self.key, field.value))

        if not self.busy:
            self.troubles.attempt(field.description, keep)


class StoresBox:
    """The rows, and what they are for."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles = table, Troubles()
        self.words = result()
        self.words.value = paragraph(
            "Fill in what you like: what you have decides the batch where you choose so above, prices give the price of a pan. "
            "0 means: not said."
        )
        self.rows: dict[str, StoreRow] = {}
        self.place = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.children = [self.words, self.place, self.troubles.place]

    def refresh(self, record: Record) -> None:
        """Show a row for each ingredient that is weighed now."""
        entries = {entry.id: entry for entry in weighed(record)}
        if list(entries) != list(self.rows):
            self.rows = {key: self.rows.get(key) or StoreRow(self.table, entry, self.troubles) for key, entry in entries.items()}
            self.place.children = [row.box for row in self.rows.values()]
        for row in self.rows.values():
            row.show(record)
