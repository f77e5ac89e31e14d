"""A blend of several stand-ins whose shares are worked out so that the powder stays as it was."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import BadValue, HistkitError
from histkit.composing.blending import Blend
from histkit.display.grids import to_html
from histkit.keeping.records import Record, Replacement
from histkit.panels.changes import without
from histkit.panels.effects import UNCHANGED, effects_grid
from histkit.panels.parts import (
    ROW,
    Troubles,
    button,
    choice,
    good,
    kindly,
    listed,
    live,
    offer,
    paragraph,
    result,
    text_field,
    tick,
)
from histkit.panels.state import Desk

KEEP = (("keep how it covers", "opacity"), ("keep how much oil it takes up", "oil-absorption"), ("keep its bulk", "bulk-density"))
OPTION = "a blend worked out"
MOST_ROWS = 8
"""Rows of the list of stand-ins that are seen at once."""


def candidates(record: Record, key: str) -> list[tuple[str, str]]:
    """What may go into a blend in place of an ingredient: all that its stand-ins are made of, by name.

    Raises:
        HistkitError: a word to avoid that nobody knows.
    """
    if key not in glossary.ingredients:
        return []
    ids = dict.fromkeys(part for suggestion in record.stand_ins(key) for part, _ in suggestion.parts)
    return sorted((glossary.name_of(part), part) for part in ids)


def blend(record: Record, key: str, stand_ins: tuple[str, ...], keep: tuple[str, ...]) -> Blend:
    """The shares of the stand-ins that keep what is asked for, in the formula without the ingredient's other stand-in.

    Raises:
        HistkitError: nothing or too little was chosen, or no blend fits.
    """
    if not stand_ins:
        raise BadValue("choose the stand-ins for the blend, two or three of them")
    if not keep:
        raise BadValue("tick what the blend is to keep")
    form = "loose" if record.pressing is None else "pressed"
    return without(record, key).blend(key, stand_ins, keep, region=record.constraints.market, form=form)


def blend_view(solved: Blend) -> str:
    """What goes in for each gram, what stays not quite as it was, before and after."""

    def view() -> str:
        parts = ", ".join(f"{grams:.3g} g {glossary.name_of(key)}" for key, grams in solved.parts if grams > 0)
        labels = {entry: words.removeprefix("keep ") for words, entry in KEEP}
        missed = [
            f"{labels.get(name, name)}: {100 * abs(share):.2g} % {'more' if share > 0 else 'less'}"
            for name, share in solved.missed
            if abs(share) >= UNCHANGED
        ]
        out = [paragraph(f"For each gram of {', '.join(map(glossary.name_of, solved.removed))}: {parts}.")]
        out += [paragraph("Not quite as it was:") + listed(missed)] if missed else []
        out += [paragraph(words) for words in (*solved.at_bounds, *solved.notes)]
        return "".join(out) + to_html(effects_grid(solved.effects))

    return live(kindly(view))


class BlendBox:
    """The fields: what is replaced, by which, what is kept; the answer; a button to take it."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.done = Troubles(), result(), result()
        self.solved: Blend | None = None
        self.which = choice("Blend in place of", [("–", "")], "", "34em")
        self.stand_ins = widgets.SelectMultiple(
            options=[],
            rows=MOST_ROWS,
            description="Stand-ins, several with Ctrl or Shift",
            style={"description_width": "initial"},
            layout=widgets.Layout(width="44em", max_width="98%"),
        )
        self.keep = {entry: tick(words, True) for words, entry in KEEP}
        self.reason = text_field("My reason for this blend", "", "40em", "for the table and the video")
        self.more = widgets.VBox(
            [
                self.stand_ins,
                widgets.HBox(list(self.keep.values()), layout=ROW),
                button("Work out the blend", self.work_out, self.troubles),
                self.troubles.place,
                self.shown,
                self.reason,
                button("Use this blend", self.take, self.troubles),
            ],
            layout=widgets.Layout(width="100%", display="none"),
        )
        self.children = [self.which, self.more, self.done]
        self.which.observe(self._offer, names="value")

    def refresh(self, record: Record) -> None:
        """Offer the ingredients of the formula as it is now; a blend that was worked out for another is taken away."""
        try:
            entries = record.translation().composition().ingredients
        except HistkitError:
            entries = ()
        offer(self.which, [("–", ""), *((entry.name, entry.id) for entry in entries)], self.which.value)
        self._offer()

    def _offer(self, _: Any = None) -> None:
        self.solved, self.shown.value = None, ""
        self.more.layout.display = "flex" if self.which.value else "none"

        def put() -> None:
            offered = candidates(self.table.record, self.which.value)
            if list(self.stand_ins.options) != offered:
                chosen = tuple(key for key in self.stand_ins.value if key in [v for _, v in offered])
                self.stand_ins.options = offered
                self.stand_ins.value = chosen

        self.troubles.attempt("stand-ins", put)

    def work_out(self) -> None:
        """Solve it and show it."""
        self.done.value = ""
        keep = tuple(entry for entry, box in self.keep.items() if box.value)
        self.solved = blend(self.table.record, self.which.value, tuple(self.stand_ins.value), keep)
        self.shown.value = blend_view(self.solved)

    def take(self) -> None:
        """Keep it as the stand-in."""
        if self.solved is None:
            raise BadValue("work out a blend first")
        parts = tuple((key, grams) for key, grams in self.solved.parts if grams > 0)
        key, reason = self.which.value, self.reason.value.strip()

        def put(record: Record) -> Record:
            base = without(record, key)
            new = replace(base, replacements=(*base.replacements, Replacement(key, parts, reason, OPTION)))
            new.composition()  # what cannot be made is told here, and not kept
            return new

        self.table.edit(put)
        self.done.value = good(f"Kept: the blend stands in for {glossary.name_of(key)}.")
