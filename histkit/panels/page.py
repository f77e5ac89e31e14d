"""The printed page, marked, as a widget: what was read stands in the print, and a click on it opens a small form.

Python draws the page (`telling.marking`, `display.marked`) and makes every change; `page.js` shows and asks, and works nothing
out. Nothing is loaded from elsewhere.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from histkit import glossary
from histkit.base.errors import BadValue, HistkitError
from histkit.base.nouns import UNITS, amount_text
from histkit.display.marked import alive, at_rest
from histkit.glossary.nouns import Ingredient
from histkit.keeping.records import Correction, Record
from histkit.keeping.sharing import chosen_words, page_of
from histkit.panels.changes import (
    LEAVE_OUT,
    as_printed,
    choice_for,
    chosen_grams,
    correction_of,
    kept_choice,
    put_right,
    set_aside,
    with_choice,
    without,
)
from histkit.panels.parts import alert, kindly, listed, paragraph, sentence, trouble_told, unexpected
from histkit.panels.signs import STYLES
from histkit.panels.state import Desk
from histkit.panels.substitutes import concerns, level_of, suggestions
from histkit.telling.marking import balance_text, doubts_of, own_grams
from histkit.translating.translation import TranslatedLine

MOST_OPTIONS = 8
"""Stand-ins that the page itself offers; the notebook on substitutes has them all, with what they change."""
_HERE = Path(__file__).parent


def page_at_rest(record: Record) -> str:
    """The page as plain HTML, for saved notebooks and for sharing; a sentence where nothing can be read."""

    def view() -> str:
        return at_rest(page_of(record)) if record.text.strip() else paragraph("There is no formula yet.")

    return kindly(view)


def explained(t: TranslatedLine) -> str:
    """How one line came about, step by step, with the glossary's entry for it."""

    def view() -> str:
        unknown = "The glossary does not know this name: find out what it is before you use it."
        card = t.ingredient.to_html() if t.ingredient else paragraph(t.line.set_aside) or alert(unknown)
        return listed(t.explain().split("\n")) + card

    return kindly(view)


def form_of(record: Record, index: int, t: TranslatedLine) -> dict[str, Any]:
    """What the small form of one line shows."""
    match = t.match
    entries: list[Ingredient] = [match.ingredient, *match.alternatives] if match else []
    return {
        "printed": " ".join(t.line.raw.split()),
        "amount": amount_text(t.line.amount),
        "unit": t.line.unit,
        "name": t.line.full_name,
        "meaning": match.ingredient.id if match else "",
        "meanings": [[entry.id, entry.name] for entry in dict.fromkeys(entries)],
        "doubts": list(doubts_of(t)),
        "changed": correction_of(record, index) != Correction(index),
    }


def grave_of(record: Record) -> list[dict[str, Any]]:
    """What must not be used in the printed formula, with what may stand in for it, or what was chosen."""
    out: list[dict[str, Any]] = []
    for entry in concerns(record):
        if level_of(entry) != "forbidden":
            continue
        chosen, name = kept_choice(record, entry.id), f"{entry.name[:1].upper()}{entry.name[1:]}"
        text = next((c.text for c in entry.cautions if c.level == "forbidden"), "It holds what must not be used.")
        options = [] if chosen else [*(s.option for s in suggestions(record, entry.id)[:MOST_OPTIONS]), LEAVE_OUT]
        out.append({
            "key": entry.id, "name": entry.name, "options": options,
            "title": f"{name}: {chosen_words(chosen)}" if chosen else f"{name} must not be used",
            "text": f"{text} No batch is made while it is in.", "taken": chosen_grams(chosen) if chosen else "",
        })  # fmt: skip
    return out


class PageWidget(anywidget.AnyWidget):  # type: ignore[misc, unused-ignore]
    """The page over a desk. What the maker does there arrives as a message, `handle` makes the change.

    `strips` gives the stretch of a photograph for each line, `point` hears which line is pointed at (-1: none).
    """

    _esm = (_HERE / "page.js").read_text(encoding="utf-8")
    _css = STYLES
    html = traitlets.Unicode().tag(sync=True)
    strips: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)
    lines: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)
    grave: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)
    units = traitlets.List(sorted(UNITS)).tag(sync=True)

    def __init__(
        self,
        table: Desk,
        strips: Callable[[Record], list[dict[str, Any]]] = lambda _: [],
        point: Callable[[int], None] = lambda _: None,
    ) -> None:
        super().__init__()
        self._table, self._strips, self._point = table, strips, point
        self.on_msg(lambda _, message, __: self.handle(message))

    def refresh(self, record: Record) -> None:
        """Draw the record as it is now."""
        if not record.text.strip():
            self.lines, self.grave, self.strips, self.html = [], [], [], ""
            return
        try:
            self.strips = self._strips(record)
            self.lines = [form_of(record, n, t) for n, t in enumerate(record.translation().lines)]
            self.grave = grave_of(record)
            self.html = alive(page_of(record))
        except HistkitError as error:
            self.lines, self.grave, self.html = [], [], alert(sentence(error))
        except Exception as error:
            self.lines, self.grave, self.html = [], [], alert(unexpected(error))

    def handle(self, message: Any) -> dict[str, Any]:
        """Do what the maker asked for; what is said back to the page."""
        answer: dict[str, Any] = {"line": message.get("line"), "key": message.get("key")}
        if message["does"] == "point":
            self._point(message["line"])
            return answer
        with trouble_told(answer):
            if message["does"] == "explain":
                answer["closer"] = explained(self._table.record.translation().lines[message["line"]])
            else:
                self._table.edit(self._change(message))
                answer["done"] = self._said(message)
        self.send(answer)
        return answer

    def _change(self, message: dict[str, Any]) -> Callable[[Record], Record]:
        line, key = message.get("line", 0), message.get("key", "")
        ways: dict[str, Callable[[Record], Record]] = {
            "put_right": lambda record: put_right(record, line, message["values"]),
            "leave_out": lambda record: set_aside(record, line),
            "join": lambda record: set_aside(record, line, joins_above=True),
            "as_printed": lambda record: as_printed(record, line),
            "replace": lambda record: replaced_by(record, key, message["option"]),
            "take_back": partial(without, key=key),
        }
        return ways[message["does"]]

    def _said(self, message: dict[str, Any]) -> str:
        """What a screen reader is told when it is done."""
        if message.get("line") is None:
            return "Done and kept."
        t = self._table.record.translation().lines[message["line"]]
        grams = own_grams(t)
        weight = f"{balance_text(grams)} g" if grams is not None else "no weight"
        return f"Line {message['line'] + 1}: {t.line.set_aside or f'{t.name}, {weight}'}. Kept."


def replaced_by(record: Record, key: str, option: str) -> Record:
    """The record with the stand-in of that name in place of an ingredient; LEAVE_OUT puts nothing there.

    Raises BadValue where no stand-in has that name now.
    """
    offered = {suggestion.option: suggestion for suggestion in suggestions(record, key)}
    if option != LEAVE_OUT and option not in offered:
        raise BadValue(f"{option!r} is not offered any more: choose again")
    return with_choice(record, choice_for(glossary.ingredient(key), offered.get(option), ""))
