"""The state that all panels of a notebook share: one record, and the file it is kept in."""

from __future__ import annotations

import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import traitlets

from histkit import demo
from histkit.errors import HistkitError
from histkit.records import Record, RecordError, load, save

DEFAULT_FILE = "my-formula.json"


class Desk(traitlets.HasTraits):
    """A record on the desk. Changing it saves it; `trouble` holds a sentence where something went wrong.

    With `path` None nothing is written. A desk whose file is not there yet starts from an invented demo formula and
    writes nothing until something is changed.
    """

    record = traitlets.Instance(Record)
    trouble = traitlets.Unicode()

    def __init__(self, path: Path | None = None, replaced: bool = False) -> None:
        record, trouble = demo.record("complexion", replaced=replaced), ""
        self.path = path
        if path is not None and path.exists():
            try:
                record = load(path)
            except RecordError as error:
                trouble = (
                    f"{error} The invented demo formula is shown instead; "
                    "nothing is written over your file until you change something."
                )
        super().__init__(record=record, trouble=trouble)

    def change(self, **choices: Any) -> None:
        """Make other choices and keep them. An error is told in `trouble` and the old choices stay."""
        try:
            changed = replace(self.record, **choices)
        except HistkitError as error:
            self.trouble = str(error)
            return
        self.keep(changed)

    def keep(self, record: Record) -> None:
        """Put another record on the desk and save it."""
        if record == self.record:
            return
        self.trouble = ""
        self.record = record
        if self.path is None:
            return
        try:
            save(record, self.path)
        except RecordError as error:
            self.trouble = f"{error} Your choices hold in this window, but they are not saved."

    def watch(self, listener: Callable[[Record], None]) -> None:
        """Call `listener` with the record now and whenever it has changed."""
        self.observe(lambda change: listener(change["new"]), names="record")
        listener(self.record)

    def summary(self) -> str:
        """In a few plain sentences: what lies on the desk and how far it is."""
        record = self.record
        out = [f"Formula: {record.formula().title or 'without a title'}, {len(record.formula().lines)} lines."]
        composition = record.final()
        forbidden = ", ".join(i.name for i in composition.forbidden)
        out.append(
            f"Must be replaced before a batch can be made: {forbidden}." if forbidden else "Nothing in it must not be used."
        )
        out.append(f"{'Pressed' if record.pressing else 'Loose'}: {len(composition.parts)} ingredients.")
        if not forbidden:
            grams = sum(w.grams for w in record.batch().weighings)
            out.append(f"Batch: {grams:.2f} g.")
        return "\n".join(out)

    @property
    def folder(self) -> Path:
        """Where pictures and bench sheets go: beside the record."""
        return self.path.parent if self.path is not None else Path()


_desks: dict[Path, Desk] = {}


def desk(replaced: bool = False) -> Desk:
    """The desk of this notebook: the record file is `my-formula.json` beside it, or what HISTKIT_RECORD names."""
    path = Path(os.environ.get("HISTKIT_RECORD") or DEFAULT_FILE).resolve()
    if path not in _desks:
        _desks[path] = Desk(path, replaced)
    return _desks[path]
