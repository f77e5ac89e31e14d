"""A maker's formulas: find one, open it, copy it, name it, put it into the bin, hand it on."""

from __future__ import annotations

from functools import partial
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue, RecordError
from histkit.base.files import write_atomically
from histkit.keeping import example as demo
from histkit.keeping import library
from histkit.keeping.library import Entry
from histkit.keeping.records import Record
from histkit.keeping.sharing import page_to_share
from histkit.panels.chooser import Chooser
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    button,
    choice,
    download,
    good,
    heading,
    news_of,
    offer,
    paragraph,
    result,
    show,
    text_field,
)
from histkit.panels.state import Desk, begun, desk

NAME = "library panel"
ROWS, LEAST_ROWS = 8, 2
"""Formulas that are seen at once in the list: at most, and the rows that it has at least."""


class LibraryBox:
    """The list with its search, and what can be done with the formula that is chosen."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles, self.done, self.about = table, Troubles(), result(), result()
        self.entries: dict[str, Entry] = {}
        self.search = text_field("Search", "", "24em", "name, ingredient, book or year")
        self.search.continuous_update = True
        self.list = widgets.Select(
            description="Kept formulas", rows=ROWS, layout=widgets.Layout(width="auto", max_width="64em"),
            style={"description_width": "initial"},
        )  # fmt: skip
        self.name = text_field("Name", "", "24em", "rice powder 1871")
        self.upload = Chooser("Bring a formula in", ".json", self._brought_in, partial(self.troubles.tell, "bring in"))
        self.bin = choice("In the bin", [("nothing", "")], "", "24em")
        examples = [(" ".join(i.replace("-", " ").split()), i) for i in demo.names()]
        self.example = choice("Invented example", examples, examples[0][1], "18em")
        self.search.observe(self.refresh, names="value")
        self.list.observe(self._chosen, names="value")
        self.refresh()

    def rows(self) -> list[Any]:
        """The fields and buttons, in their order."""

        def row(*children: Any) -> widgets.HBox:
            return widgets.HBox(list(children), layout=ROW)

        def does(words: str, action: Any, main: bool = False) -> widgets.Button:
            return button(words, action, self.troubles, main)

        return [
            self.search,
            self.list,
            self.about,
            row(
                does("Open it", self._open, main=True),
                does("Make a copy of it", self._duplicate),
                does("Move it to the bin", self._to_bin),
            ),
            row(self.name, does("Give it this name", self._rename), does("Keep a copy of the desk under this name", self._keep)),
            row(does("Hand on as a page", self._share), does("Hand on as a file", self._export), self.upload),
            row(self.bin, does("Take it out of the bin", self._from_bin)),
            row(does("Begin with an empty page", self._anew), self.example, does("Use the example", self._take_example)),
            self.troubles.place,
            self.done,
        ]

    def refresh(self, _: Any = None) -> None:
        """Show the formulas as they are now, those that the search finds."""
        found = library.matching(library.entries(self.table.home, self.table.path), self.search.value)
        self.entries = {entry.file.name: entry for entry in found}
        nothing = "none found" if self.search.value.strip() else "none yet: what you paste is kept here once another follows"
        self.list.rows = min(ROWS, max(LEAST_ROWS, len(found)))
        offer(self.list, [(entry.line(), key) for key, entry in self.entries.items()] or [(nothing, "")], self.list.value)
        binned = [(entry.line(), entry.file.name) for entry in library.in_bin(self.table.home)]
        offer(self.bin, binned or [("nothing", "")], self.bin.value)
        self._chosen()

    def _chosen(self, _: Any = None) -> None:
        entry = self.entries.get(self.list.value or "")
        self.about.value = "" if entry is None else alert(entry.problem) or paragraph(f"With {', '.join(entry.ingredients)}.")

    def _entry(self) -> Entry:
        entry = self.entries.get(self.list.value or "")
        if entry is None:
            raise BadValue("choose a formula in the list first")
        return entry

    def _said(self, words: str, more: str = "") -> None:
        self.refresh()
        self.done.value = good(words) + more

    def _lay(self, record: Record) -> None:
        self.table.begin(record)
        self._said(self.table.news or "It lies on the desk now.")

    def _open(self) -> None:
        self._lay(library.opened(self._entry().file))

    def _duplicate(self) -> None:
        self._said(f"Copied as {library.duplicate(self._entry().file).name}.")

    def _off_the_desk(self) -> Entry:
        """The chosen formula, where it is not the one that lies on the desk."""
        entry = self._entry()
        if entry.file.stem == self.table.record.kept_as:
            raise BadValue(f"{entry.name} lies on the desk now: open another formula first")
        return entry

    def _to_bin(self) -> None:
        library.to_bin(self._off_the_desk().file)
        self._said("It lies in the bin, and can be taken out again.")

    def _from_bin(self) -> None:
        if not self.bin.value:
            raise BadValue("there is nothing in the bin")
        self._said(f"Taken out as {library.from_bin(self.table.home / library.BIN / self.bin.value).name}.")

    def _rename(self) -> None:
        renamed = library.rename(self._off_the_desk().file, self.name.value, self.table.path)
        self._said(f"It is called {self.name.value.strip()} now, in {renamed.name}.")

    def _keep(self) -> None:
        self._said(f"Kept as {self.table.keep_copy(self.name.value)}, in the folder of this notebook.")

    def _share(self) -> None:
        page = self.table.folder / "page-to-share.html"
        write_atomically(page, page_to_share(self.table.record))
        self._said(f"The formula on the desk as one page: {page.parent.name}/{page.name}.", download(page, "Download the page"))

    def _export(self) -> None:
        folder = self.table.folder
        file = folder / "formula.json"
        self._said(f"The formula on the desk as one file: {folder.name}/{file.name}.", download(file, "Download the file"))

    def _brought_in(self, name: str, data: bytes) -> None:
        self.troubles.attempt("bring in", lambda: self._take_in(name, data))

    def _take_in(self, name: str, data: bytes) -> None:
        try:
            text = data.decode("utf-8-sig")
        except UnicodeDecodeError as error:
            raise RecordError(f"{name} cannot be read: {error}") from error
        self._said(f"Brought in as {library.take_in(text, name, self.table.home).name}.")

    def _take_example(self) -> None:
        self._lay(demo.record(self.example.value, replaced=False))

    def _anew(self) -> None:
        self._lay(begun(self.table.record))


def folded_away(table: Desk) -> list[Any]:
    """The library behind a button, for a page that is about something else; its list is read when it is opened."""
    toggle = widgets.ToggleButton(description="Your formulas", layout=widgets.Layout(width="auto"))
    body = widgets.VBox(layout=widgets.Layout(display="none", width="100%"))

    def opened(change: Any) -> None:
        if change["new"] and not body.children:
            body.children = LibraryBox(table).rows()
        body.layout.display = "flex" if change["new"] else "none"

    toggle.observe(opened, names="value")
    return [toggle, body]


def library_panel(table: Desk | None = None) -> None:
    """Show the library."""
    table = table or desk()
    show(build(table), table, lambda _: None, "Your formulas are listed here while the page runs; they lie as files beside it.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    box = LibraryBox(table)
    table.watch(box.refresh, NAME, now=False)
    return Panel(NAME, [news_of(table), heading("Your formulas"), *box.rows()])
