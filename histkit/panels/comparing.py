"""Each amount of a text that was read from a photograph beside its strip of the picture: yes, or put right.

Python says what each line is and makes every change; `comparing.js` shows and asks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import traitlets

from histkit.base.errors import BadValue, HistkitError
from histkit.keeping.photograph import compared_as
from histkit.keeping.records import Compared, Record
from histkit.panels.changes import lines_of
from histkit.panels.parts import trouble_told
from histkit.panels.signs import STYLES
from histkit.panels.state import Desk, with_text
from histkit.panels.strips import Strips
from histkit.photo.places import doubts_of
from histkit.telling.printing import measured

NAME = "amounts beside the photograph"
NOWHERE = "This line has no place on the picture: compare it with the page itself."
GONE = "The picture does not lie beside this formula any more: compare the line with the page itself."


def key_of(compared: Compared) -> str:
    """A line as the page names it."""
    return f"{compared.left} {compared.top} {compared.amount} {compared.words}"


def rows_of(record: Record, strips: Strips) -> list[dict[str, Any]]:
    """What the list shows: a row for each line, with its strip, what was read, what is doubtful, and whether it was compared."""
    seen, photograph = record.seen(), record.photograph
    if photograph is None or seen is None:
        return []
    waiting, pictures = frozenset(record.to_compare()), strips.of(record)
    doubts = doubts_of(seen, record.formula())
    out: list[dict[str, Any]] = []
    keys: set[str] = set()
    for n, line in enumerate(lines_of(record)):
        key = key_of(compared_as(seen, line))
        if line.set_aside or key in keys:  # two lines of the same words at the same place are one
            continue
        keys.add(key)
        strip = pictures[n] if pictures else {"picture": "", "width": 0, "least": 0}
        means = f"{measured(line)}: {line.full_name}" if line.full_name else measured(line)
        out.append({
            "key": key, "line": n, "words": " ".join(line.raw.split()), "means": means, "done": n not in waiting,
            "doubts": list(dict.fromkeys(doubt.words for doubt in doubts[n])), "nowhere": NOWHERE if pictures else GONE, **strip,
        })  # fmt: skip
    return out


def state_of(rows: Iterable[dict[str, Any]]) -> str:
    """How far the comparing is, in a sentence."""
    done = [row["done"] for row in rows]
    if all(done):
        return "Each amount was compared with the picture. A line that you change later is asked for again."
    return f"{sum(done)} of {len(done)} compared. Look at each strip, then at what was read; nothing is weighed before."


def lines_named(record: Record, strips: Strips, keys: Iterable[str]) -> tuple[int, ...]:
    """The lines (from 0) of these names. Raises BadValue where one is no longer there."""
    by_key = {row["key"]: row["line"] for row in rows_of(record, strips)}
    if any(key not in by_key for key in keys):
        raise BadValue("the text has changed and this line is no longer there: look at the list again")
    return tuple(by_key[key] for key in keys)


def put_so(record: Record, line: int, words: str) -> tuple[Record, str]:
    """The record in which a line (from 0) has these words, as the maker sees them on the page, and counts as compared; and a
    sentence about corrections that no longer fit.

    Raises BadValue where there are no words.
    """
    if not words.strip():
        raise BadValue("write what stands on the page; what is no ingredient is set aside on the marked page below")
    begins, ends = lines_of(record)[line].span
    new, lost = with_text(record, record.text[:begins] + words.strip() + record.text[ends:])
    until = begins + len(words.strip())
    return new.with_compared(n for n, one in enumerate(lines_of(new)) if begins <= one.span[0] < until), lost


def all_compared(record: Record, lines: Iterable[int]) -> Record:
    """The record with all that still waits compared. Raises BadValue where the lines that were shown are not all of them."""
    shown = frozenset(lines)
    if not shown >= frozenset(record.to_compare()):
        raise BadValue("some lines have not been shown yet: look at each strip first")
    return record.with_compared(shown)


class CompareList(anywidget.AnyWidget):  # type: ignore[misc, unused-ignore]
    """The list over a desk. `on_point` hears which line is pointed at (-1: none)."""

    _esm = (Path(__file__).parent / "comparing.js").read_text(encoding="utf-8")
    _css = STYLES
    rows: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)
    state = traitlets.Unicode().tag(sync=True)
    points = traitlets.Int(-1).tag(sync=True)

    def __init__(self, table: Desk, strips: Strips, on_point: Callable[[int], None] = lambda _: None) -> None:
        super().__init__()
        self._table, self._strips, self._on_point = table, strips, on_point
        self.on_msg(lambda _, message, __: self.handle(message))

    def refresh(self, record: Record) -> None:
        """Show the record as it is now."""
        try:
            rows = rows_of(record, self._strips)
        except HistkitError:
            rows = []  # the marked page says why nothing can be read
        self.state, self.rows = state_of(rows) if rows else "", rows

    def handle(self, message: Any) -> dict[str, Any]:
        """Do what the maker asked for; what is said back."""
        if message["does"] == "point":
            self.points = message["line"]
            self._on_point(message["line"])
            return {}
        answer: dict[str, Any] = {}
        with trouble_told(answer):
            lost: list[str] = []
            self._table.edit(partial(self._changed, message=message, lost=lost))
            if any(lost):
                self._table.news = lost[-1]
        self.send(answer)
        return answer

    def _changed(self, record: Record, message: dict[str, Any], lost: list[str]) -> Record:
        keys = message["keys"] if message["does"] == "all" else [message["key"]]
        lines = lines_named(record, self._strips, keys)
        if message["does"] == "all":
            return all_compared(record, lines)
        if message["does"] == "change":
            new, loss = put_so(record, lines[0], str(message["words"]))
            lost.append(loss)
            return new
        return record.with_compared(lines)
