"""What lies on the desk and how far it is, in a few sentences that follow every change."""

from __future__ import annotations

from typing import Any

from IPython.display import display

from histkit.base.text import markdown_cell
from histkit.panels.parts import Later, Panel, in_voila, listed, live, result
from histkit.panels.state import Desk, desk


class Summary:
    """The sentences, one to a line, as plain text and as a Markdown list."""

    def __init__(self, table: Desk) -> None:
        self.text = table.summary()

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        lines = self.text.split("\n")
        return {"text/plain": self.text, "text/markdown": "\n".join(f"* {markdown_cell(line)}" for line in lines)}

    def __repr__(self) -> str:
        return self.text


def build(table: Desk) -> Panel:
    """The sentences as a panel, for where only widgets live."""
    place = result()

    def refresh(_: Any = None) -> None:
        place.value = live(listed(table.summary().split("\n")))

    table.watch(refresh, "summary panel")
    return Panel("summary panel", [place])


def summary_panel(table: Desk | None = None) -> None:
    """Show where the work stands. The sentences are part of the notebook itself, so they stay when it is saved."""
    table = table or desk()
    table.follow()
    if in_voila():
        display(build(table))  # type: ignore[no-untyped-call]
        return
    handle = display(Summary(table), display_id=True)  # type: ignore[no-untyped-call]
    if handle is not None:
        table.watch(Later(lambda: handle.update(Summary(table))), "summary", now=False)
