"""What stands in for a dangerous, barred or unwanted ingredient, and what that changes."""

from __future__ import annotations

import ipywidgets as widgets

from histkit import glossary
from histkit.composition import Composition
from histkit.errors import HistkitError
from histkit.model import CAUTION_LEVELS, Ingredient, worst_level
from histkit.panels.desk import Desk, desk
from histkit.panels.parts import (
    ROW,
    Panel,
    alert,
    button,
    choice,
    good,
    heading,
    kindly,
    live,
    offer,
    result,
    show,
    text_field,
    tick,
    told,
)
from histkit.records import Record, Replacement
from histkit.substitution import Suggestion, substitutes
from histkit.tabular import escape

AVOID = (
    ("without talc", "talc"),
    ("without starch", "starch"),
    ("without animal products", "animal"),
    ("without nut oils", "nut"),
    ("without scent", "fragrance"),
)
MARKETS = (("European Union", "EU"), ("United States", "US"))


def concerns(record: Record) -> tuple[Ingredient, ...]:
    """The ingredients of the printed formula, the dangerous ones first, then those a law limits, then the rest."""

    def worst(entry: Ingredient) -> int:
        level = worst_level(entry.cautions)
        return CAUTION_LEVELS.index(level) if level else len(CAUTION_LEVELS)

    try:
        entries = record.translation().composition().ingredients
    except HistkitError:
        return ()
    return tuple(sorted(entries, key=worst))


def suggestions(key: str, avoid: tuple[str, ...], market: str) -> tuple[Suggestion, ...]:
    """Stand-ins for one ingredient; none where the glossary does not know it."""
    if key not in glossary.ingredients:
        return ()
    return substitutes(key, avoid=avoid, market=market)


def before(record: Record) -> Composition:
    """The composition as printed, nothing replaced."""
    return record.translation().composition()


def overview(record: Record) -> str:
    """What is dangerous in the formula, and what has been replaced."""

    def view() -> str:
        composition = record.composition()
        out = []
        if composition.forbidden:
            names = ", ".join(i.name for i in composition.forbidden)
            out.append(alert(f"Must not be used: {names}. Choose what stands in for it; until then no bench sheet is made."))
        elif record.replacements:
            out.append(good("Nothing that must not be used is left in the formula."))
        for change in composition.changes:
            stand_ins = (
                ", ".join(f"{grams:g} g {glossary.ingredient(k).name}" for k, grams in change.parts) or "nothing: it is left out"
            )
            name = glossary.ingredients[change.removed].name if change.removed in glossary.ingredients else change.removed
            out.append(told(f"For each gram of {name}: {stand_ins}.{' Reason: ' + change.reason if change.reason else ''}"))
        return "".join(out)

    return live(kindly(view))


def caution_view(key: str) -> str:
    """Why an ingredient is a concern."""

    def view() -> str:
        entry = glossary.ingredient(key)
        items = "".join(f"<li><b>{escape(c.level)}</b>: {escape(c.text)} {escape(c.law)}</li>" for c in entry.cautions)
        return f"<ul>{items}</ul>" if items else told("The glossary has no caution for it.")

    return live(kindly(view))


def effects_view(record: Record, key: str, suggestion: Suggestion | None) -> str:
    """Before and after, for the option under the hand."""

    def view() -> str:
        old = before(record)
        if suggestion is None:
            new = old.replace(key, {}, option="leave out")
            about = told("Left out. The rest keeps its proportions.")
        else:
            new = suggestion.apply(old)
            about = told(
                f"Keeps {suggestion.kept or 'little'}. Changes: {suggestion.changes or 'nothing known'}. Why: {suggestion.reason}"
            )
        return about + old.effects(new).to_html()

    return live(kindly(view))


def substitutes_panel(table: Desk | None = None) -> None:
    """Show the panel for substitutes."""
    table = table or desk()
    show(build(table), overview(table.record))


def build(table: Desk) -> Panel:
    """The panel itself."""
    state = result()
    entries = concerns(table.record)
    first = entries[0].id if entries else ""
    which = choice("Ingredient", _options(entries), first, "40em")
    ticks = {tag: tick(label) for label, tag in AVOID}
    market = choice("Law of", MARKETS, "EU", "18em")
    option = choice("In its place", [("–", -1)], -1, "40em")
    reason = text_field("My reason", "", "40em", "for the table and the video")
    cautions, effects, done = result(), result(), result()
    found: list[Suggestion] = []

    def chosen() -> Suggestion | None:
        return found[option.value] if 0 <= option.value < len(found) else None

    def search(_: object = None) -> None:
        if not which.value:
            return
        cautions.value = caution_view(which.value)
        avoid = tuple(tag for tag, box in ticks.items() if box.value)
        try:
            found[:] = suggestions(which.value, avoid, market.value)
            done.value = ""
        except HistkitError as error:
            found[:] = []
            done.value = alert(str(error))
        options = [(f"{s.option}{'' if s.curated else ' (worked out from its properties)'}", n) for n, s in enumerate(found)]
        offer(option, [*options, ("leave it out", len(found))], 0)
        look()

    def look(_: object = None) -> None:
        if which.value:
            effects.value = effects_view(table.record, which.value, chosen())

    def take() -> None:
        if not which.value:
            return
        suggestion = chosen()
        parts = suggestion.parts if suggestion else ()
        name = suggestion.option if suggestion else "leave out"
        others = tuple(r for r in table.record.replacements if r.removed != which.value)
        table.change(replacements=(*others, Replacement(which.value, parts, reason.value.strip(), name)))
        done.value = good("Done, and kept with the formula.")

    def undo() -> None:
        table.change(replacements=tuple(r for r in table.record.replacements if r.removed != which.value))
        done.value = good("Taken back.")

    def refresh(record: Record) -> None:
        state.value = overview(record)
        options = _options(concerns(record))
        offer(which, options, which.value)

    which.observe(search, names="value")
    market.observe(search, names="value")
    option.observe(look, names="value")
    for box in ticks.values():
        box.observe(search, names="value")
    table.watch(refresh)
    search()
    return Panel(
        "substitutes panel",
        [
            state,
            heading("1. Which ingredient"),
            which,
            cautions,
            heading("2. What stands in for it"),
            widgets.HBox([*ticks.values(), market], layout=ROW),
            option,
            effects,
            heading("3. Take it"),
            reason,
            widgets.HBox([button("Use this instead", take), button("Take it back", undo)], layout=ROW),
            done,
        ],
    )


def _options(entries: tuple[Ingredient, ...]) -> list[tuple[str, str]]:
    marks = {"forbidden": "must not be used", "restricted": "limited by law", "care": "with care"}
    out: list[tuple[str, str]] = []
    for entry in entries:
        worst = worst_level(entry.cautions)
        out.append((f"{entry.name}{f' – {marks[worst]}' if worst else ''}", entry.id))
    return out or [("no ingredient yet: read a formula first", "")]
