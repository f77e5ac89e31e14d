"""What stands in for a dangerous, barred or unwanted ingredient, and what that changes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit import glossary
from histkit.base.errors import HistkitError
from histkit.composing.substitution import Suggestion
from histkit.display.grids import to_html
from histkit.glossary.nouns import CAUTION_LEVELS, Caution, CautionLevel, Ingredient, worst_level
from histkit.keeping.records import Constraints, Record, Replacement
from histkit.keeping.sharing import chosen_words
from histkit.panels.blends import BlendBox
from histkit.panels.changes import choice_for, chosen_grams, kept_choice, with_choice, without
from histkit.panels.effects import effects_grid
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    alert,
    bind,
    button,
    choice,
    folded,
    good,
    heading,
    kindly,
    listed,
    live,
    news_of,
    offer,
    paragraph,
    result,
    show,
    text_field,
    tick,
)
from histkit.panels.state import Desk, desk
from histkit.safety.law import regions
from histkit.safety.within import forbidden_within

NAME = "substitutes panel"
AVOID = (
    ("avoid talc", "talc"),
    ("avoid starch", "starch"),
    ("avoid gluten", "gluten"),
    ("avoid animal products", "animal"),
    ("avoid nut oils", "nut"),
    ("avoid mineral oil", "mineral-oil"),
    ("avoid alcohol", "alcohol"),
    ("avoid fragrance", "fragrance"),
)
MARKETS = tuple((region.words.removeprefix("the "), region.id) for region in regions().values())
GRAVE: dict[CautionLevel | None, str] = {"forbidden": "must not be used", "restricted": "limited by law"}
"""Cautions whose ingredients have a place of their own at the top, the gravest first, and what is said of them there."""
LEAVE_IT_OUT = "leave it out"
UNWANTED = "you ticked to avoid it"
NOTHING_GRAVE = "No ingredient is forbidden, limited by law or unwanted, as far as the glossary knows."


def concerns(record: Record) -> tuple[Ingredient, ...]:
    """The ingredients of the printed formula, the dangerous ones first, then those a law limits, then the rest."""
    try:
        entries = record.translation().composition().ingredients
    except HistkitError:
        return ()
    order = list(GRAVE)
    return tuple(sorted(entries, key=lambda entry: order.index(level_of(entry)) if level_of(entry) in GRAVE else len(order)))


def to_replace(record: Record) -> dict[str, str]:
    """The ingredients that have a place of their own, by id, and why: what is dangerous, limited, or not wanted."""
    entries = concerns(record)
    barred = {entry.id for entry in record.unwanted(entries)}
    reasons = {entry.id: [GRAVE[level_of(entry)]] if level_of(entry) in GRAVE else [] for entry in entries}
    for key in barred:
        reasons[key].append(UNWANTED)
    return {key: "; ".join(why) for key, why in reasons.items() if why}


def with_avoided(record: Record, tag: str, wanted: bool) -> Record:
    """The record with one more, or one less, thing that the maker will not have."""
    others = tuple(t for t in record.constraints.avoid if t != tag)
    return replace(record, constraints=replace(record.constraints, avoid=(*others, tag) if wanted else others))


def level_of(entry: Ingredient) -> CautionLevel | None:
    """The gravest caution of an ingredient; one that holds something forbidden is as grave as that."""
    return "forbidden" if forbidden_within(entry) else worst_level(entry.cautions)


def overview(record: Record) -> str:
    """What is dangerous in the formula, and what has been replaced."""

    def view() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        composition = record.composition()
        out = []
        if composition.forbidden:
            names = ", ".join(i.name for i in composition.forbidden)
            out.append(alert(f"Must not be used: {names}. Choose what stands in for it; until then no bench sheet is made."))
        elif record.replacements:
            out.append(good("Nothing that must not be used is left in the formula."))
        else:
            out.append(good("The glossary forbids nothing in this formula. The cautions below still hold."))
        for change in composition.changes:
            given = ", ".join(f"{grams:.4g} g {glossary.name_of(key)}" for key, grams in change.parts)
            parts = given or "nothing, it is left out"
            reason = f" Reason: {change.reason}" if change.reason else ""
            out.append(paragraph(f"For each gram of {glossary.name_of(change.removed)}: {parts}.{reason}"))
        gone = [r for r in record.replacements if r.removed not in record.translation().composition()]
        if gone:
            names = ", ".join(glossary.name_of(r.removed) for r in gone)
            out.append(paragraph(f"Also kept, for when it comes back into the text: what stands in for {names}."))
        return "".join(out)

    return live(kindly(view))


def _worded(cautions: Iterable[Caution]) -> list[str]:
    words = {"forbidden": "must not be used", "restricted": "limited by law", "care": "take care"}
    return [f"{words[c.level].capitalize()}: {c.text} {c.law}".strip() for c in cautions]


def caution_view(entry: Ingredient) -> str:
    """Why an ingredient is a concern, the gravest reason open to see."""

    def view() -> str:
        if not entry.cautions:
            return paragraph("The glossary has no caution for it.")
        first, *others = sorted(entry.cautions, key=lambda c: CAUTION_LEVELS.index(c.level))
        text = _worded([first])[0]
        shown = alert(text) if first.level == "forbidden" else paragraph(text)
        return shown + (folded(f"More cautions ({len(others)})", listed(_worded(others))) if others else "")

    return kindly(view)


def effects_view(record: Record, key: str, suggestion: Suggestion | None) -> str:
    """Before and after, for the selected option; None: it is left out."""

    def view() -> str:
        old = without(record, key).composition()
        if suggestion is None:
            out = [paragraph("Left out; the rest keeps its proportions.")]
            new = old.replace(key, {}, option="leave out")
        else:
            parts = ", ".join(f"{grams:.3g} g {glossary.name_of(part)}" for part, grams in suggestion.parts) or "nothing"
            out = [
                paragraph(f"For each gram of {glossary.name_of(key)}: {parts}."),
                paragraph(f"Keeps: {suggestion.kept or 'little'}. Changes: {suggestion.changes or 'nothing known'}."),
                paragraph(f"Why: {suggestion.reason}. Source: {glossary.cited(suggestion.source)}."),
            ]
            new = suggestion.apply(old)
        effects = old.effects(new)
        out.append(to_html(effects_grid(effects)))
        gone = [f"{glossary.name_of(who)}: {c.text}" for who, c in effects.cautions_gone]
        come = _worded(suggestion.cautions) if suggestion else []
        if gone:
            out.append(folded(f"Cautions that fall away ({len(gone)})", listed(gone)))
        if come:
            out.append(folded(f"Cautions for what stands in ({len(come)})", listed(come)))
        return "".join(out)

    return live(kindly(view))


def suggestions(record: Record, key: str) -> tuple[Suggestion, ...]:
    """Stand-ins for one ingredient; none where the glossary does not know it."""
    return record.stand_ins(key) if key in glossary.ingredients else ()


def constraints_box(table: Desk, troubles: Troubles) -> widgets.VBox:
    """Boxes to tick for what the maker will not have, and the region whose law counts; both are kept in the record."""

    def box(label: str, tag: str) -> widgets.Checkbox:
        field = tick(label)
        bind(table, troubles, field, lambda r: tag in r.constraints.avoid, lambda r, on: with_avoided(r, tag, on), NAME)
        return field

    ticks = [box(label, tag) for label, tag in AVOID]
    market = choice("Region of law", MARKETS, "EU", "22em")
    bind(
        table, troubles, market, lambda r: r.constraints.market,
        lambda r, v: replace(r, constraints=replace(r.constraints, market=v)), NAME,
    )  # fmt: skip
    return widgets.VBox([widgets.HBox(ticks, layout=ROW), market, troubles.place], layout=widgets.Layout(width="100%"))


class Block:
    """One ingredient: why it is a concern, what may stand in for it, what that changes, and the choice."""

    def __init__(self, table: Desk, entry: Ingredient) -> None:
        self.table, self.entry = table, entry
        self.offered: tuple[Suggestion, ...] = ()
        self.searched: Constraints | None = None
        self.busy = False
        name = entry.name
        self.troubles, self.effects, self.state = Troubles(), result(), result()
        self.option = choice(f"In place of {name}", [(LEAVE_IT_OUT, 0)], 0, "40em")
        self.reason = text_field(f"My reason for replacing {name}", "", "40em", "for the table and the video")
        self.option.observe(self._look, names="value")
        self.reason.observe(self._reword, names="value")
        back = button(f"Take the choice for {name} back", self.undo, self.troubles)
        self.back = widgets.HBox([back], layout=widgets.Layout(display="none"))
        self.box = widgets.VBox(
            [
                widgets.HTML(caution_view(entry)),
                self.option,
                self.effects,
                self.reason,
                widgets.HBox([button(f"Use this instead of {name}", self.take, self.troubles, main=True), self.back], layout=ROW),
                self.troubles.place,
                self.state,
            ],
            layout=widgets.Layout(width="100%"),
        )
        self.refresh()

    def kept(self) -> Replacement | None:
        """What was chosen for this ingredient."""
        return kept_choice(self.table.record, self.entry.id)

    def _search(self) -> None:
        """Look for stand-ins where the constraints are others than before; what was chosen stays selected."""
        constraints = self.table.record.constraints
        if constraints == self.searched:
            return

        def look() -> None:
            self.offered = suggestions(self.table.record, self.entry.id)
            self.searched = constraints
            options = [
                (f"{s.option}{'' if s.curated else ' (worked out from its properties)'}", n) for n, s in enumerate(self.offered)
            ]
            kept = self.kept()
            taken = next((n for n, s in enumerate(self.offered) if kept and s.parts == kept.parts), None)
            if kept and taken is None and not kept.parts:
                taken = len(self.offered)
            offer(self.option, [*options, (LEAVE_IT_OUT, len(self.offered))], 0 if taken is None else taken)

        self.troubles.attempt("search", look)

    def chosen(self) -> Suggestion | None:
        return self.offered[self.option.value] if 0 <= self.option.value < len(self.offered) else None

    def _look(self, _: Any = None) -> None:
        self.effects.value = effects_view(self.table.record, self.entry.id, self.chosen())

    def refresh(self, _: Any = None) -> None:
        """Show the effects in the formula as it is now, and what was chosen."""
        self._search()
        self._look()
        kept = self.kept()
        self.back.layout.display = "flex" if kept is not None else "none"
        self.state.value = "" if kept is None else good(f"Chosen and kept: {chosen_words(kept)}. {chosen_grams(kept)}")
        if kept is not None and self.reason.value != kept.reason:
            self.busy = True
            self.reason.value = kept.reason
            self.busy = False

    def take(self) -> None:
        """Keep the selected option; without a reason of the maker's own its gravest caution is the reason."""
        taken = choice_for(self.entry, self.chosen(), self.reason.value)
        self.table.edit(lambda record: with_choice(record, taken))

    def undo(self) -> None:
        """Take the choice back."""
        self.table.edit(lambda record: without(record, self.entry.id))

    def _reword(self, change: Any) -> None:
        """A reason that is written after the choice belongs to the choice."""
        kept = self.kept()
        if not self.busy and kept is not None:
            self.troubles.attempt("reason", lambda: self._worded(kept, change["new"].strip()))

    def _worded(self, kept: Replacement, reason: str) -> None:
        self.table.edit(lambda record: with_choice(record, replace(kept, reason=reason)))


def noun(record: Record) -> Any:
    """What the plain copy shows: the composition with its replacements."""
    return record.composition() if record.text.strip() else None


def substitutes_panel(table: Desk | None = None) -> None:
    """Show the panel for substitutes."""
    table = table or desk()
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    state, blocks, own = result(), _Blocks(table), BlendBox(table)

    def refresh(record: Record) -> None:
        state.value = overview(record)
        own.refresh(record)
        blocks.refresh(record)

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            state,
            heading("What you will not have, and whose law counts"),
            constraints_box(table, Troubles()),
            blocks.grave,
            heading("Replace something else"),
            blocks.other,
            blocks.place,
            heading("Or a blend worked out from several"),
            *own.children,
        ],
    )


class _Blocks:
    """A block for each ingredient that is a concern, and for the one that is picked from the others."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.grave = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.place = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.other = choice("Another ingredient", [("–", "")], "", "40em")
        self.other.observe(self._pick, names="value")
        self.blocks: dict[str, Block] = {}
        self.entries: dict[str, Ingredient] = {}
        self.reasons: dict[str, str] = {}

    def _block(self, key: str) -> Block:
        if key not in self.blocks:
            self.blocks[key] = Block(self.table, self.entries[key])
        return self.blocks[key]

    def _pick(self, _: Any = None) -> None:
        key = self.other.value
        self.place.children = [self._block(key).box] if key in self.entries else []

    def _arrange(self, record: Record) -> None:
        """Give each ingredient its place; where they are the same as before, everything stays where it is."""
        entries, reasons = {entry.id: entry for entry in concerns(record)}, to_replace(record)
        for chosen in record.replacements:
            if chosen.removed in reasons:
                reasons[chosen.removed] = chosen_words(chosen)
        if list(entries) == list(self.entries) and reasons == self.reasons:
            return
        self.entries, self.reasons = entries, reasons
        self.blocks = {key: block for key, block in self.blocks.items() if key in entries}
        children: list[Any] = []
        for key, entry in entries.items():
            if key in reasons:
                title = f"{entry.name[:1].upper()}{entry.name[1:]}: {reasons[key]}"
                children += [heading(title), self._block(key).box]
        self.grave.children = children or [widgets.HTML(paragraph(NOTHING_GRAVE))]
        others = [(entry.name, key) for key, entry in entries.items() if key not in reasons]
        offer(self.other, [("–", ""), *others], self.other.value)

    def refresh(self, record: Record) -> None:
        """Show the ingredients of the formula as it is now, and in each block what was chosen."""
        self._arrange(record)
        for block in self.blocks.values():
            block.refresh()
