"""The formula side by side with others: kept ones, pasted ones, a tin's ingredient list, the nearest of whole books."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from pathlib import Path

import ipywidgets as widgets

from histkit.base.errors import BadValue
from histkit.base.nouns import Source
from histkit.books.besides import nearest_versions
from histkit.display.tabular import Tabular
from histkit.keeping import beside
from histkit.keeping.records import Companion, Record
from histkit.panels.drawings import drawn
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    button,
    choice,
    folded,
    good,
    heading,
    kindly,
    live,
    news_of,
    offer,
    paragraph,
    result,
    show,
    text_area,
    text_field,
    tick,
    whole_number,
)
from histkit.panels.state import Desk, desk
from histkit.telling.versions import MOST, Versions

NAME = "side by side panel"
NOTHING = "Nothing stands beside your formula yet."
PICTURE, BOOK, TABLE = "side-by-side.png", "side-by-side.xlsx", "side-by-side.csv"
FORMS = (
    ("a formula as a book prints it", "formula"),
    ("the ingredient list of a label, without amounts", "list"),
    ("the list of an old tin, whose order says nothing", "old list"),
)


# -- what is changed --------------------------------------------------------------------------------------------------


def with_companion(record: Record, companion: Companion) -> Record:
    """The record with one more beside it.

    Raises:
        BadValue: it stands there already, or there is no room for another.
    """
    if companion in record.beside:
        raise BadValue("this stands beside your formula already")
    if len(record.beside) >= MOST - 1:
        raise BadValue(f"{MOST} formulas side by side are the most: take one away first")
    return replace(record, beside=(*record.beside, companion))


def without_companion(record: Record, number: int) -> Record:
    """The record without the one of that number (from 1)."""
    return replace(record, beside=tuple(c for n, c in enumerate(record.beside, start=1) if n != number))


def called(companion: Companion) -> str:
    """What one beside the formula is called in a list."""
    first = next((line.strip() for line in companion.text.split("\n") if line.strip()), "")
    words = companion.name or first
    return words if len(words) <= 60 else f"{words[:58].rstrip()} …"


def noun(record: Record, folder: Path = Path()) -> Tabular | None:
    """The formulas side by side; None where there is nothing to set beside it."""
    if not record.text.strip() or not record.beside:
        return None
    return beside.side_by_side(record, folder)[0]


def view(record: Record, folder: Path, without_binders: bool) -> str:
    """The tables, and a sentence for each companion that cannot be shown."""

    def made() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        side, troubles = beside.side_by_side(record, folder, without_binders)
        told = "".join(map(alert, troubles))
        if side is None:
            return told + paragraph(NOTHING)
        return told + side.to_html() + folded("The same as a picture: the deeper the more", drawn(side.describe()))

    return live(kindly(made))


# -- the fields -------------------------------------------------------------------------------------------------------


class BesideBox:
    """What stands beside the formula, fields for more, the tables, and the files."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.done, self.of_books = Troubles(), result(), result(), result()
        self.powder = tick("compare the powders alone, without what presses them")
        self.places = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.kept = choice("A formula kept in this folder", [("–", "")], "", "34em")
        self.form = choice("What you paste", FORMS, "formula", "36em")
        self.text = text_area("Words to set beside it", "", 5, "Talc, 4 oz.  …   or   Ingredients: Talc, Zinc Oxide, …")
        self.name = text_field("What it is called", "", "30em", "its title, if you leave this empty")
        self.year = text_field("Year of that book", "", "14em", "1893")
        self.country = text_field("Country of that book", "", "20em", "GB, US, FR …")
        self.one_percent = text_field("Below 1 % from", "", "22em", "a name on the label, if you know it")
        self.folder = text_field("Folder with the tables of whole books", "", "44em", "what 'histkit corpus read' wrote")
        self.count = whole_number("How many of them", 3, 1, MOST - 1, "16em")
        self.side: Versions | None = None
        self.children = [
            self.places,
            self.troubles.place,
            self.done,
            self.shown,
            self.powder,
            widgets.HBox([button("Save tables and picture", self.save, self.troubles)], layout=ROW),
            heading("Set another beside it"),
            widgets.HBox([self.kept, button("Set the kept one beside it", self.add_kept, self.troubles)], layout=ROW),
            self.form,
            self.text,
            widgets.HBox([self.name, self.year, self.country, self.one_percent], layout=ROW),
            button("Set these words beside it", self.add_text, self.troubles),
            heading("The nearest of whole books"),
            widgets.HBox([self.folder, self.count, button("Find the nearest", self.find, self.troubles)], layout=ROW),
            self.of_books,
        ]
        self.powder.observe(lambda _: self.refresh(self.table.record), names="value")
        self.form.observe(lambda _: self._fit(), names="value")
        self._fit()

    def _fit(self) -> None:
        """Show the fields that the chosen form has."""
        formula = self.form.value == "formula"
        for field in (self.year, self.country):
            field.layout.display = "" if formula else "none"
        self.one_percent.layout.display = "" if self.form.value == "list" else "none"

    def refresh(self, record: Record) -> None:
        """Show what stands beside the formula now."""
        self.shown.value = view(record, self.table.home, self.powder.value)
        offer(self.kept, [("–", ""), *((file.stem, file.name) for file in self.table.kept())], self.kept.value)
        rows = []
        for number, companion in enumerate(record.beside, start=1):
            words = widgets.HTML(paragraph(f"{number}. {called(companion)}"))
            away = button(f"Take number {number} away", partial(self.take_away, number), self.troubles)
            rows.append(widgets.HBox([words, away], layout=ROW))
        self.places.children = rows

    def add_kept(self) -> None:
        """Set a kept record beside the formula."""
        if not self.kept.value:
            raise BadValue("choose a formula that is kept in this folder; 'Keep a copy' in the first notebook makes one")
        self._add(Companion(self.kept.value, "record"))

    def add_text(self) -> None:
        """Set the pasted words beside the formula."""
        if not self.text.value.strip():
            raise BadValue("paste a formula, or the ingredient list of a tin, into 'Words to set beside it'")
        source = Source()
        if self.form.value == "formula":
            source = Source(year=_year(self.year.value), country=self.country.value.strip().upper())
        below = self.one_percent.value.strip() if self.form.value == "list" else ""
        self._add(Companion(self.text.value, self.form.value, self.name.value.strip(), source, below))
        self.text.value = self.name.value = self.one_percent.value = ""

    def _add(self, companion: Companion) -> None:
        beside.version_from(companion, self.table.home)  # what cannot be read is told here, and not kept
        self.table.edit(lambda record: with_companion(record, companion))
        self.done.value = good(f"{called(companion)} stands beside your formula now.")

    def take_away(self, number: int) -> None:
        """Take one away again."""
        self.table.edit(lambda record: without_companion(record, number))
        self.done.value = good("Taken away.")

    def find(self) -> None:
        """The nearest of whole books beside the formula."""
        if not self.folder.value.strip():
            raise BadValue("name the folder that 'histkit corpus read' wrote its tables into")
        side = nearest_versions(Path(self.folder.value.strip()).expanduser(), self.table.record, self.count.value)
        self.of_books.value = live(side.to_html())

    def save(self) -> None:
        """The tables as files, and the strips as a picture."""
        side, _ = beside.side_by_side(self.table.record, self.table.home, self.powder.value)
        if side is None:
            raise BadValue("set something beside your formula first")
        folder = self.table.folder
        written = [side.to_csv(folder / TABLE), side.to_xlsx(folder / BOOK), *side.to_picture(folder / PICTURE, (1920, 1080))]
        self.done.value = good(f"Saved beside your record: {', '.join(path.name for path in written)}.")


def _year(words: str) -> int | None:
    if not words.strip():
        return None
    if not words.strip().isdecimal():
        raise BadValue(f"{words.strip()!r} is no year; write for instance 1893")
    return int(words)


def build(table: Desk) -> Panel:
    """The panel itself."""
    box = BesideBox(table)
    table.watch(box.refresh, NAME)
    return Panel(NAME, [news_of(table), *box.children])


def beside_panel(table: Desk | None = None) -> None:
    """Show the formula side by side with others."""
    table = table or desk(replaced=True)
    folder = table.home
    show(build(table), table, lambda record: noun(record, folder), NOTHING)
