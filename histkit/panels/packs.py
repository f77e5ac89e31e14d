"""What is known of the packs at hand (lots, dates, sizes) and of the maker's own dropper: one ingredient at a time."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue, HistkitError
from histkit.bench.drops import WEIGHED_DROPS
from histkit.glossary.nouns import Ingredient
from histkit.keeping.records import Pack, Record
from histkit.panels.parts import ROW, Troubles, choice, live, offer, paragraph, result, text_field
from histkit.panels.state import Desk
from histkit.panels.stores import weighed
from histkit.panels.trials import figure_of

WORDS = (
    "For the record of the batch, as far as you like: the lot on the pack, dates such as 2026-05-31, how many months it keeps"
    " once it is open, and the packs that are sold. The batch keeps as long as the part of it that keeps shortest."
)
DROPPER = (
    f"Your own dropper: weigh {WEIGHED_DROPS} drops of a liquid once; the sheet then counts in your drops. Other liquids are"
    " reckoned from it."
)


def pack_of(record: Record, key: str) -> Pack:
    """The pack of an ingredient, an empty one where nothing is noted."""
    return next((pack for pack in record.packs if pack.ingredient == key), Pack(key))


def with_pack(record: Record, key: str, **parts: Any) -> Record:
    """The record with more noted of a pack; one of which nothing is noted any more is left out.

    Raises:
        BadValue: a date or a figure that cannot be.
    """
    pack = replace(pack_of(record, key), **parts)
    others = tuple(p for p in record.packs if p.ingredient != key)
    return replace(record, packs=others if pack == Pack(key) else (*others, pack))


def with_own_drops(record: Record, key: str, grams: float | None) -> Record:
    """The record with the grams that 20 drops of a liquid weigh from the maker's own dropper; None takes it back.

    Raises:
        BadValue: so many grams are no 20 drops.
    """
    others = tuple(pair for pair in record.weighing.own_drops if pair[0] != key)
    drops = others if grams is None else (*others, (key, grams))
    new = replace(record, weighing=replace(record.weighing, own_drops=drops))
    new.weighing.scales()  # what cannot be weighed is told here, and not kept
    return new


def sizes_of(words: str) -> tuple[float, ...]:
    """Sizes of packs in grams, as '50, 250'. Raises BadValue for what is no list of figures."""
    parts = [part for part in words.replace(";", ",").split(",") if part.strip()]
    sizes = tuple(figure_of(part.replace("g", ""), "a size of pack, in grams,") for part in parts)
    return tuple(size for size in sizes if size is not None)


def shopping_view(record: Record) -> str:
    """The shopping list and the record of the batch; nothing where there is no batch to be made."""
    try:
        return live(record.shopping_list().to_html() + record.batch_record().to_html()) if record.text.strip() else ""
    except HistkitError:
        return ""  # why there is no batch stands where the sheet would be


class PacksBox:
    """An ingredient to choose, what is noted of its pack, and the grams of 20 drops of a liquid."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles, self.busy = table, Troubles(), False
        self.which = choice("Pack of", [("nothing yet", "")], "", "24em")
        self.fields = {
            "lot": text_field("Lot", "", "14em"),
            "opened": text_field("Opened on", "", "16em", "2026-05-31"),
            "best_before": text_field("Best before", "", "16em", "2027-05-31"),
            "months": text_field("Keeps open, months", "", "17em"),
            "sizes": text_field("Packs sold, g", "", "18em", "50, 250"),
        }
        self.liquid = choice("Liquid", [("no liquid in it", "")], "", "22em")
        self.drops = text_field(f"{WEIGHED_DROPS} drops weigh, g", "", "18em")
        self.shown, words, dropper = result(), result(), result()
        words.value, dropper.value = paragraph(WORDS), paragraph(DROPPER)
        for name, field in self.fields.items():
            field.observe(lambda change, name=name: self._note(name, change["new"]), names="value")
        self.drops.observe(lambda change: self._weighed(change["new"]), names="value")
        for field in (self.which, self.liquid):
            field.observe(lambda _: self._show(self.table.record), names="value")
        self.children = [
            words,
            widgets.HBox([self.which, *self.fields.values()], layout=ROW),
            dropper,
            widgets.HBox([self.liquid, self.drops], layout=ROW),
            self.troubles.place,
            self.shown,
        ]

    def refresh(self, record: Record) -> None:
        """Offer what is weighed now, and show what is noted of the chosen one."""
        entries = weighed(record)
        self.busy = True
        try:
            offer(self.which, _named(entries) or [("nothing yet", "")], self.which.value)
            liquids = tuple(entry for entry in entries if entry.liquid)
            offer(self.liquid, _named(liquids) or [("no liquid in it", "")], self.liquid.value)
        finally:
            self.busy = False
        self._show(record)
        self.shown.value = shopping_view(record)

    def _show(self, record: Record) -> None:
        if self.busy:
            return
        pack, own = pack_of(record, self.which.value), dict(record.weighing.own_drops)
        grams = own.get(self.liquid.value)
        self.busy = True
        try:
            for name in ("lot", "opened", "best_before"):
                self.fields[name].value = getattr(pack, name)
            self.fields["months"].value = "" if pack.months is None else f"{pack.months:g}"
            self.fields["sizes"].value = ", ".join(f"{size:g}" for size in pack.sizes)
            self.drops.value = "" if grams is None else f"{grams:g}"
        finally:
            self.busy = False

    def _note(self, name: str, words: str) -> None:
        if self.busy:
            return
        key = self.which.value

        def keep() -> None:
            if not key:
                raise BadValue("there is nothing to weigh yet, so there is no pack of it")
            value: Any = words.strip()
            if name == "months":
                value = figure_of(words, "the months that it keeps")
            elif name == "sizes":
                value = sizes_of(words)
            self.table.edit(lambda record: with_pack(record, key, **{name: value}))

        self.troubles.attempt(f"pack {name}", keep)

    def _weighed(self, words: str) -> None:
        if self.busy:
            return
        key = self.liquid.value

        def keep() -> None:
            if not key:
                raise BadValue("there is no liquid in it whose drops could be weighed")
            grams = figure_of(words, f"the weight of {WEIGHED_DROPS} drops")
            self.table.edit(lambda record: with_own_drops(record, key, grams))

        self.troubles.attempt("dropper", keep)


def _named(entries: tuple[Ingredient, ...]) -> list[tuple[str, Any]]:
    return [(entry.name, entry.id) for entry in entries]
