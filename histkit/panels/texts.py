"""The field for the text of a formula: typed, pasted, or read from a photograph.

Corrections that do not fit another text are told; of quite another text it is asked whether it is a new formula, and until that
is answered the old one stays.
"""

from __future__ import annotations

import ipywidgets as widgets

from histkit.keeping.library import with_picture
from histkit.keeping.records import Photograph, Record
from histkit.panels.parts import ROW, Troubles, alert, bind, button, paragraph, result, text_area
from histkit.panels.state import Desk, begun, is_another, with_text


class TextBox:
    """The field, and the question whether another text is a new formula."""

    def __init__(self, table: Desk, troubles: Troubles, panel: str) -> None:
        self.table, self.troubles = table, troubles
        self.field = text_area("Formula", table.record.text, 10, "Paste the formula here, just as the book prints it")
        self._lost: list[str] = []
        self._waiting: list[str] = []
        self._coming: tuple[Photograph, bytes] | None = None
        self._question = result()
        self._asked = widgets.VBox(layout=widgets.Layout(display="none", width="100%"))
        answers = [button("A new formula", self._begin, troubles, main=True)]
        answers.append(button("The same formula, its text changed", self._go_on, troubles))
        answers.append(button("Put the old text back", self._put_back, troubles))
        self._asked.children = [self._question, widgets.HBox(answers, layout=ROW)]
        bind(table, troubles, self.field, lambda r: r.text, self._kept, panel)
        table.watch(self._tell_lost, f"{panel}, lost corrections")
        table.watch(self._changed, f"{panel}, question", now=False)
        self.children = [self.field, self._asked]

    def take(self, photograph: Photograph, picture: bytes) -> None:
        """Put what was read from a photograph into the field, as if it had been pasted; `picture` is kept beside the formula."""
        self._coming = (photograph, picture)
        text = photograph.text
        if self.field.value != text:
            self.field.value = text
        else:
            self.table.edit(lambda record: self._kept(record, text))

    def _kept(self, record: Record, value: str) -> Record:
        if is_another(record, value):
            self._waiting[:] = [value, record.text]
            self._question.value = _question(record, value)
            self._asked.layout.display = "flex"
            return record
        self._close()
        new, sentence = with_text(record, value)
        self._lost[:] = [sentence] if sentence else []
        return self._pictured(new)

    def _pictured(self, record: Record) -> Record:
        """The record with the photograph that its text is from, where it is the one that was read last."""
        if self._coming is None or record.text != self._coming[0].text:
            return record
        photograph, picture = self._coming
        return with_picture(record, photograph, picture, self.table.home if self.table.path is not None else None)

    def _begin(self) -> None:
        if self._waiting:
            self.table.begin(self._pictured(begun(self.table.record, self._waiting[0])))
            self._close()

    def _go_on(self) -> None:
        if self._waiting:
            text = self._waiting[0]
            self.table.edit(lambda record: self._pictured(with_text(record, text)[0]))
            self._close()

    def _put_back(self) -> None:
        self._close()
        self._coming = None
        self.field.value = self.table.record.text

    def _close(self) -> None:
        self._waiting.clear()
        self._asked.layout.display = "none"

    def _changed(self, record: Record) -> None:
        if self._waiting and record.text != self._waiting[1]:
            self._close()

    def _tell_lost(self, _: Record) -> None:
        if self._lost:
            self.table.news = self._lost.pop()


def _question(record: Record, text: str) -> str:
    """Whether a text that takes the place of the record's own is a new formula, asked in words."""
    name = record.title or record.text.strip().splitlines()[0].strip()
    what = "This is another text" if text.strip() else "The text is empty"
    return alert(f"{what}. Is it a new formula?") + paragraph(
        f"A new one has its own book, year, choices and files; '{name}' is kept among your formulas."
    )
