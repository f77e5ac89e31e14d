"""The history of a formula: every choice that was kept, the latest first, and the way back to any of them."""

from __future__ import annotations

from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue
from histkit.keeping.records import Kept, Record
from histkit.panels.parts import ROW, Troubles, button, choice, listed, live, offer, paragraph, result
from histkit.panels.state import Desk

SHOWN = 40
"""States that are listed; all of them lie in the folder beside the file."""


def said(kept: Kept) -> str:
    """One state in a line: its number, when it was kept, what changed."""
    return f"{kept.number}, {kept.time.astimezone():%d %B %Y, %H:%M}: {'; '.join(kept.changes) or 'nothing changed'}"


class PastBox:
    """Opened when wanted, since a long history takes a while to read."""

    def __init__(self, table: Desk) -> None:
        self.table, self.troubles, self.list = table, Troubles(), result()
        self.toggle = widgets.ToggleButton(description="History of every choice", layout=widgets.Layout(width="auto"))
        self.state = choice("Go back to", [("–", 0)], 0, "40em")
        self.body = widgets.VBox(layout=widgets.Layout(display="none", width="100%"))
        self.body.children = [
            widgets.HBox([self.state, button("Go back to it", self._go_back, self.troubles)], layout=ROW),
            self.troubles.place,
            self.list,
        ]
        self.toggle.observe(self._opened, names="value")
        self.children = [self.toggle, self.body]

    def refresh(self, _: Record | None = None) -> None:
        """Show the states that are kept now, where the list is open."""
        if not self.toggle.value:
            return
        states = [kept for kept in reversed(self.table.history())][:SHOWN]
        offer(self.state, [("–", 0), *((said(kept)[:90], kept.number) for kept in states if kept.record is not None)], 0)
        nothing = paragraph("Nothing was kept yet: the first change begins the history.")
        self.list.value = live(listed(map(said, states)) if states else nothing)

    def _opened(self, change: Any) -> None:
        self.body.layout.display = "flex" if change["new"] else "none"
        self.refresh()

    def _go_back(self) -> None:
        if not self.state.value:
            raise BadValue("choose a state to go back to")
        self.table.go_back(self.state.value)
