"""Whose law counts, and what has to be settled before there is a bench sheet: each with the choices that settle it."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import HistkitError
from histkit.keeping.records import Known, Record
from histkit.panels.changes import corrected
from histkit.panels.comparing import CompareList
from histkit.panels.parts import ROW, Troubles, alert, bind, button, choice, good, listed, live, paragraph, result, text_field
from histkit.panels.signs import Signs
from histkit.panels.state import Desk
from histkit.panels.strips import Strips
from histkit.panels.substitutes import MARKETS
from histkit.safety.evidence import Finding
from histkit.safety.products import products

BY_TITLE = "as the title says"
NAME = "what has to be settled"
ELSEWHERE = ("forbidden", "photograph")
"""What is settled by a stand-in, or by comparing each amount with its picture."""


def with_law(record: Record, **law: Any) -> Record:
    """The record with another product or region whose law counts."""
    return replace(record, constraints=replace(record.constraints, **law))


def judged_as(record: Record, product: str) -> Record:
    """The record judged as that sort of product; '' as its title says."""
    return with_law(record, product=product or None)


def with_known(record: Record, words: str, reason: str) -> Record:
    """The record with one more thing that the maker vouches for. Raises BadValue without words or a reason."""
    others = tuple(said for said in record.known if said.words != words)
    return replace(record, known=(*others, Known(words, reason)))


def without_known(record: Record, words: str) -> Record:
    """The record without what the maker vouched for."""
    return replace(record, known=tuple(said for said in record.known if said.words != words))


def with_name(record: Record, finding: Finding, name: str) -> Record:
    """The record in which the line that a finding speaks of means this ingredient."""
    line = record.line_of(finding)
    return record if line is None else corrected(record, line, ingredient=name)


def to_settle(record: Record) -> tuple[Finding, ...]:
    """What keeps the mixture from the bench and is settled by a choice or a reason given here."""
    if not record.text.strip():
        return ()
    try:
        return tuple(finding for finding in record.findings() if finding.holds and finding.about not in ELSEWHERE)
    except HistkitError:
        return ()


class Question:
    """One thing that has to be settled, and the choices that settle it."""

    def __init__(self, table: Desk, finding: Finding, troubles: Troubles) -> None:
        self.table, self.finding, self.troubles = table, finding, troubles
        self.name = text_field(f"{finding.words[:24]} is", "", "26em", "kaolin, or any name the glossary knows")
        self.reason = text_field("Known to me, because", "", "34em", "the dealer's sheet says …")
        words = result()
        words.value = live(alert(finding.text))
        self.box = widgets.VBox([words, *self._choices()], layout=widgets.Layout(width="100%"))

    def _choices(self) -> list[Any]:
        rows: list[Any] = []
        if self.finding.about == "contested" and self.finding.choices:
            rows.append(widgets.HBox([self._meaning(key) for key in self.finding.choices], layout=ROW))
        elif self.finding.about in ("unknown", "poison") and self.table.record.line_of(self.finding) is not None:
            rows.append(widgets.HBox([self.name, button("Name it so", self._name, self.troubles)], layout=ROW))
        if self.finding.level == "ask":
            rows.append(widgets.HBox([self.reason, button("Keep the reason", self._vouch, self.troubles)], layout=ROW))
        return rows

    def _meaning(self, key: str) -> widgets.Button:
        """One click says which of its meanings a name has here."""
        name = glossary.name_of(key)
        return button(f"It is {name}", partial(self._put, partial(with_name, finding=self.finding, name=name)), self.troubles)

    def _name(self) -> None:
        match = glossary.find(self.name.value)
        name = match.ingredient.name if match else self.name.value
        self._put(partial(with_name, finding=self.finding, name=name))

    def _vouch(self) -> None:
        self._put(partial(with_known, words=self.finding.words, reason=self.reason.value))

    def _put(self, change: Any) -> None:
        self.table.edit(change)


class SettlingBox:
    """The product and the region, and all that has to be settled."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles = table, Troubles()
        sorts = [(BY_TITLE, ""), *((p.words, p.id) for p in products().values())]
        product = choice("Sort of product", sorts, table.record.constraints.product or "", "30em")
        region = choice("Law of", MARKETS, table.record.constraints.market, "22em")
        bind(table, self.troubles, product, lambda r: r.constraints.product or "", judged_as, NAME)
        bind(table, self.troubles, region, lambda r: r.constraints.market, lambda r, v: with_law(r, market=v), NAME)
        self.words, self.kept = result(), widgets.VBox(layout=widgets.Layout(width="100%"))
        self.place = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.shown: tuple[Finding, ...] | None = None
        self.compare, self._compares = CompareList(table, Strips(table)), False
        self.photograph = widgets.VBox([self.compare, Signs()], layout=widgets.Layout(width="100%", max_width="64em"))
        self.children = [
            widgets.HBox([product, region], layout=ROW), self.words, self.place, self.photograph, self.kept, self.troubles.place,
        ]  # fmt: skip

    def refresh(self, record: Record) -> None:
        """Show what has to be settled now, and what was."""
        found = to_settle(record)
        if found != self.shown:
            self.shown = found
            self.place.children = [Question(self.table, finding, self.troubles).box for finding in found]
        self.words.value = _judged(record)
        self._compares = record.photograph is not None and (self._compares or _waits(record))  # once begun, its end is seen too
        self.photograph.layout.display = "flex" if self._compares else "none"
        if self._compares:
            self.compare.refresh(record)
        self.kept.children = [self._kept(said) for said in record.known]

    def _kept(self, said: Known) -> widgets.HBox:
        words = widgets.HTML(listed([f"{said.words}: {said.reason}"]))
        undo = button("No longer", lambda: self.table.edit(lambda record: without_known(record, said.words)), self.troubles)
        return widgets.HBox([words, undo], layout=ROW)


def _waits(record: Record) -> bool:
    """Whether amounts wait to be compared with the photograph."""
    try:
        return bool(record.to_compare())
    except HistkitError:
        return False


def _judged(record: Record) -> str:
    """As what it is judged, and that nothing is left to settle."""
    if not record.text.strip():
        return ""
    try:
        judged, free = record.product(), not any(finding.holds for finding in record.findings())
    except HistkitError:
        return ""
    guessed = " (guessed from the title)" if judged.guessed else ""
    settled = good("Nothing is left to settle before you weigh.") if free else ""
    return live(paragraph(f"Judged as {judged.words}{guessed}.") + settled)
