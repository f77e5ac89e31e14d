"""Each line of the formula by itself: how it was read, what is doubtful, boxes to put it right, the glossary's card."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue, HistkitError
from histkit.base.nouns import UNITS, Amount, amount_text
from histkit.base.text import escape
from histkit.keeping.records import Correction, Record
from histkit.panels.parts import ROW, Troubles, alert, button, choice, kindly, listed, live, paragraph, result, text_field
from histkit.panels.state import Desk, corrected, correction_of, lines_of
from histkit.reading.cleaning import clean
from histkit.reading.figures import amount_at, scanned
from histkit.reading.tokens import tokenise
from histkit.telling.printing import measured
from histkit.translating.translation import TranslatedLine, Translation

AS_READ = ""


def amount_of(words: str) -> Amount:
    """The amount a maker typed, read as the reader reads it: '2', '0.5', '½', '1 1/2', 'two', '5 to 8'; None for nothing.

    Raises:
        BadValue: the words are no amount, or hold more than one.
    """
    view = scanned(tokenise(clean(words).text))
    start = view.solid[0]
    if start >= len(view.tokens):
        return None
    amount = amount_at(view, start)
    if amount is None or view.solid[amount.after] < len(view.tokens):
        raise BadValue(f"{words!r} is no amount: write 2, 0.5, ½, 1 1/2 or 5 to 8, without the unit")
    return amount.amount


def headline(number: int, t: TranslatedLine, changed: bool) -> str:
    """A line in one sentence, with what is doubtful about it beneath."""
    printed = escape(" ".join(t.line.raw.split()))
    share = f", {100 * t.share.best:.3g} %" if t.share is not None else ""
    weight = f"{t.grams} g{share}" if t.grams is not None else "no weight"
    today = escape(t.name if t.ingredient else f"{t.name} (not in the glossary)")
    mark = " <b>Put right by you.</b>" if changed else ""
    warned = alert("Must not be used.") if any(c.level == "forbidden" for c in t.cautions) else ""
    doubts = [
        " ".join(part for part in (d.text, f"Or: {'; '.join(d.others)}." if d.others else "", d.effect) if part) for d in t.doubts
    ]
    return (
        f'<div style="line-height:1.45;max-width:56em;padding:.2em 0;"><b>{number}.</b> <i>{printed}</i> → <b>{today}</b>, '
        f"{escape(measured(t.line))}: {escape(weight)}.{mark}</div>{listed(doubts) if doubts else ''}{warned}"
    )


def closer_view(t: TranslatedLine) -> str:
    """How one line came about, step by step, with the glossary's entry for it."""

    def view() -> str:
        card = (
            t.ingredient.to_html()
            if t.ingredient
            else alert("The glossary does not know this name: find out what it is before you use it.")
        )
        return paragraph("How it came about:") + listed(t.explain().split("\n")) + card

    return live(kindly(view))


class LineRow:
    """One line. Its fields are made when it is first opened, so that a long formula appears at once."""

    def __init__(self, table: Desk, index: int) -> None:
        self.table, self.index, self.busy = table, index, False
        self.number = index + 1
        self.head, self.closer, self.troubles = result(), result(), Troubles()
        self.toggle = widgets.ToggleButton(
            description=f"Open line {self.number}",
            tooltip=f"Correct line {self.number}, or look closer",
            layout=widgets.Layout(width="auto", min_width="8.5em", margin="2px"),
        )
        self.body = widgets.VBox(layout=widgets.Layout(display="none", margin="0 0 1em 1.5em"))
        self.toggle.observe(self._opened, names="value")
        self.head.layout = widgets.Layout(width="auto", flex="1 1 24em", min_width="0")
        top = widgets.HBox([self.toggle, self.head], layout=_TOP)
        self.box = widgets.VBox([top, self.body], layout=widgets.Layout(width="100%"))
        self.fields: dict[str, Any] = {}
        self.last: dict[str, str] = {}
        self.shown: tuple[Record, TranslatedLine] | None = None

    def refresh(self, record: Record, t: TranslatedLine) -> None:
        """Show the line as it is now."""
        self.shown = record, t
        self.head.value = kindly(lambda: headline(self.number, t, correction_of(record, self.index) != Correction(self.index)))
        if self.fields:
            self._fill(record, t)

    def _opened(self, change: Any) -> None:
        if change["new"] and not self.fields and self.shown is not None:
            self._make()
            self._fill(*self.shown)
        self.body.layout.display = "flex" if change["new"] else "none"
        self.toggle.description = f"{'Close' if change['new'] else 'Open'} line {self.number}"

    def _make(self) -> None:
        n = self.number
        units = [("as read", AS_READ), *((u, u) for u in sorted(UNITS))]
        self.fields = {
            "amount": text_field(f"Amount in line {n}", "", "17em", "2, ½, 5 to 8"),
            "unit": choice(f"Unit in line {n}", units, AS_READ, "20em"),
            "ingredient": text_field(f"Ingredient in line {n}", "", "30em"),
        }
        for name, field in self.fields.items():
            field.observe(lambda change, name=name: self._put_right(name, change["new"]), names="value")
        self.body.children = [
            widgets.HBox(list(self.fields.values()), layout=ROW),
            widgets.HBox(
                [
                    button(f"Leave line {n} out", self._leave_out, self.troubles),
                    button(f"Read line {n} as printed", self._undo, self.troubles),
                ],
                layout=ROW,
            ),
            self.troubles.place,
            self.closer,
        ]

    def _fill(self, record: Record, t: TranslatedLine) -> None:
        put = correction_of(record, self.index)
        values = {
            "amount": amount_text(t.line.amount),
            "unit": put.unit or AS_READ,
            "ingredient": put.ingredient or t.line.full_name,
        }
        before, self.last = self.last, values
        if not self.busy:
            self.busy = True
            try:
                for name, value in values.items():
                    if before.get(name) != value:  # else what stands there is the maker's, even if it is wrong
                        self.fields[name].value = value
                        self.troubles.tell(name, "")
            finally:
                self.busy = False
        self.closer.value = closer_view(t)

    def _put_right(self, name: str, words: str) -> None:
        if self.busy:
            return
        self.busy = True
        try:
            done = self.troubles.attempt(name, lambda: self.table.edit(lambda record: self._with(record, name, words)))
        finally:
            self.busy = False
        if done and not words.strip():  # emptied: as it was read
            self._show_again()

    def _show_again(self) -> None:
        """Put what is kept into the fields, whatever stands in them."""
        self.last = {}
        if self.shown is not None:
            self._fill(*self.shown)

    def _with(self, record: Record, name: str, words: str) -> Record:
        """The record with one thing of this line put right; what equals the print is no correction."""
        printed = lines_of(replace(record, corrections=()))
        if self.index >= len(printed):
            raise BadValue("the text has changed and this line is no longer there")
        line = printed[self.index]
        value: Amount | str
        if name == "amount":
            amount = amount_of(words)
            value = None if amount_text(amount) == amount_text(line.amount) and not line.plus else amount
        elif name == "ingredient":
            value = None if words.strip() == line.full_name else words.strip() or None
        else:
            value = words or None
        return corrected(record, self.index, **{name: value, "leave_out": False})

    def _leave_out(self) -> None:
        self.table.edit(lambda record: corrected(record, self.index, amount=None, unit=None, ingredient=None, leave_out=True))

    def _undo(self) -> None:
        self.table.edit(lambda record: corrected(record, self.index, amount=None, unit=None, ingredient=None, leave_out=False))
        self._show_again()


_TOP = widgets.Layout(display="flex", flex_flow="row wrap", align_items="flex-start", width="100%", grid_gap=".1em 1em")


class LineRows:
    """All lines of the formula, as many as there are."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.rows: list[LineRow] = []
        self.box = widgets.VBox(layout=widgets.Layout(width="100%"))
        self._none = widgets.HTML(paragraph("There is no line to look at yet."))

    def refresh(self, record: Record) -> None:
        """Show the lines as they are now; rows that stay keep what is open."""
        translation = _translated(record)
        lines = translation.lines if translation is not None else ()
        if len(self.rows) != len(lines):
            self.rows = [*self.rows[: len(lines)], *(LineRow(self.table, n) for n in range(len(self.rows), len(lines)))]
            self.box.children = [row.box for row in self.rows] or [self._none]
        if not lines:
            self.box.children = [self._none]
        for row, line in zip(self.rows, lines, strict=True):
            row.refresh(record, line)


def _translated(record: Record) -> Translation | None:
    try:
        return record.translation() if record.text.strip() else None
    except HistkitError:
        return None  # the view above says why
