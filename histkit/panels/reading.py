"""Paste a formula, say which book, look at every line and put right what was read wrongly."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue
from histkit.base.nouns import KINDS
from histkit.keeping.records import Record
from histkit.panels import library
from histkit.panels.page import PageWidget, page_at_rest
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    bind,
    choice,
    folded,
    heading,
    kindly,
    listed,
    live,
    news_of,
    paragraph,
    result,
    show,
    text_field,
)
from histkit.panels.past import PastBox
from histkit.panels.photo import PhotoBox
from histkit.panels.signs import Signs
from histkit.panels.state import Desk, desk
from histkit.panels.strips import Strips
from histkit.panels.texts import TextBox

NAME = "reading panel"
EMPTY = "Paste a formula above, one line for each ingredient or a whole sentence, just as the book prints it."


def figures_view(record: Record) -> str:
    """What stands beneath the page, folded: the doubts that move most, and the whole table."""

    def view() -> str:
        if not record.text.strip():
            return paragraph(EMPTY)
        translation = record.translation()
        matters = [m for m in translation.what_matters() if m.effect > 0.001][:3]
        items = [f"{100 * m.effect:.1f} % of the mass would change places: {m.text}" for m in matters]
        doubts = folded("What the doubts would change, the greatest first", listed(items, "ol")) if items else ""
        return doubts + folded("All figures, as a table", translation.to_html())

    return live(kindly(view))


def year_of(words: str) -> int | None:
    """The year a maker typed; None for nothing.

    Raises:
        BadValue: it is no year.
    """
    digits = words.strip()
    if not digits:
        return None
    if not re.fullmatch(r"[0-9]{1,6}", digits):
        raise BadValue(f"{words!r} is no year: write four figures, such as 1872, or leave it empty")
    return int(digits)


def countries() -> list[tuple[str, str]]:
    """The countries whose measures are known, by their names."""
    from histkit.measures.rows import rows

    named = [(row["name"].removeprefix("the ").strip(), row["code"]) for row in rows("countries")]
    return [("not known", ""), *((f"{name[:1].upper()}{name[1:]} ({code})", code) for name, code in named)]


def conventions() -> list[tuple[str, str]]:
    """The measures to choose from; the first leaves the choice to the book."""
    from histkit import measures

    return [("chosen from the book", ""), *((c.name, key) for key, c in measures.conventions.items())]


def in_source(entry: str, read: Callable[[Any], Any]) -> Callable[[Record, Any], Record]:
    """A change that sets one entry of the source."""
    return lambda record, value: replace(record, source=replace(record.source, **{entry: read(value)}))


class Saved:
    """What stays in the saved notebook: the page, marked, and the table beneath it."""

    def __init__(self, record: Record) -> None:
        self._record = record

    def to_text(self) -> str:
        """The table as plain text."""
        return self._record.translation().to_text()

    def to_html(self) -> str:
        """The page, marked, and the table."""
        return page_at_rest(self._record) + self._record.translation().to_html()


def noun(record: Record) -> Saved | None:
    """What the plain copy shows: the page and the translation, or nothing for an empty page."""
    return Saved(record) if record.text.strip() else None


def reading_panel(table: Desk | None = None) -> None:
    """Show the panel for reading and translating a formula."""
    table = table or desk()
    show(build(table, at_once=False), table, noun, "There is no formula yet.")


def build(table: Desk, at_once: bool = True) -> Panel:
    """The panel itself. Not `at_once`: its fields can be seen before the first formula is read, which takes a second."""
    troubles, shown, past, strips = Troubles(), result(), PastBox(table), Strips(table)
    formulas = library.folded_away(table)
    text = TextBox(table, troubles, NAME)
    photo = PhotoBox(table, strips, text.take)
    page = PageWidget(table, strips.of, photo.point)
    fields = _fields_of(table, troubles)

    def refresh(record: Record) -> None:
        page.refresh(record)
        photo.refresh(record)
        shown.value = figures_view(record)
        past.refresh()

    table.watch(refresh, NAME, now=at_once)
    if not at_once and table.record.text.strip():
        shown.value = paragraph("The formula is being read …")
    return Panel(
        NAME,
        [
            news_of(table),
            widgets.HBox([formulas[0], past.children[0]], layout=ROW),
            formulas[1],
            past.children[1],
            heading("The formula, and which book it comes from"),
            *text.children,
            widgets.HBox([Signs(), photo.button], layout=ROW),
            *photo.children,
            widgets.HBox([fields[name] for name in ("title", "author", "year", "page")], layout=ROW),
            widgets.HBox([fields[name] for name in ("country", "kind", "said")], layout=ROW),
            widgets.HBox([fields[name] for name in ("measures", "name")], layout=ROW),
            troubles.place,
            heading("The page as it was read: click what is wrong"),
            page,
            shown,
        ],
        begin=None if at_once else lambda: refresh(table.record),
    )


def _fields_of(table: Desk, troubles: Troubles) -> dict[str, Any]:
    """The fields for the book, the measures and the name of the formula."""
    source = table.record.source
    fields: dict[str, Any] = {
        "title": text_field("Book", source.title, "34em", "its title; a doubtful ounce is decided by the book"),
        "author": text_field("Author", source.author, "22em"),
        "year": text_field("Year", str(source.year or ""), "9em", "1872"),
        "page": text_field("Page", source.page, "12em"),
        "said": text_field("The book says of its measures", source.measures, "38em", "wine measure; sixteen ounces to the pint"),
        "country": choice("Country", countries(), "", "22em"),
        "kind": choice("Sort of book", [("not known", ""), *((k, k) for k in KINDS)], "", "24em"),
        "measures": choice("Measures", conventions(), "", "40em"),
        "name": text_field("Name of the formula", table.record.title, "30em", "as printed"),
    }
    ways: dict[str, tuple[Callable[[Record], Any], Callable[[Record, Any], Record]]] = {
        "title": (lambda r: r.source.title, in_source("title", str.strip)),
        "author": (lambda r: r.source.author, in_source("author", str.strip)),
        "year": (lambda r: str(r.source.year or ""), in_source("year", year_of)),
        "page": (lambda r: r.source.page, in_source("page", str.strip)),
        "said": (lambda r: r.source.measures, in_source("measures", str.strip)),
        "country": (lambda r: r.source.country, in_source("country", str)),
        "kind": (lambda r: r.source.kind or "", in_source("kind", lambda v: v or None)),
        "measures": (lambda r: r.convention or "", lambda r, v: replace(r, convention=v or None)),
        "name": (lambda r: r.title, lambda r, v: replace(r, title=v.strip())),
    }
    for name, (show_it, keep_it) in ways.items():
        bind(table, troubles, fields[name], show_it, keep_it, NAME)
    return fields
