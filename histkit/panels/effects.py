"""Before and after as a maker reads it: figures with few digits, and the change in words."""

from __future__ import annotations

from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.composing.effects import Effect, Effects

UNCHANGED = 0.005
"""Change of a figure, as a share of it, up to which it is called the same."""


def effects_grid(effects: Effects) -> Grid:
    """Before and after with the change in words; below it what the figures rest on."""
    columns = (Column("effect", "What"), Column("before", "Before"), Column("after", "After"), Column("change", "Change"))
    rows: list[tuple[Cell, ...]] = []
    gaps: dict[str, list[str]] = {}
    for effect in effects.rows:
        heading = f"{effect.heading}, {effect.unit}" if effect.unit else effect.heading
        rows.append((heading, _short(effect.before.value), _short(effect.after.value), changed(effect)))
        if effect.without:
            gaps.setdefault(_gap(effect), []).append(effect.heading)
    notes = [f"{what[0][:1].upper()}{', '.join(what)[1:]}: {words}" for words, what in gaps.items()]
    return Grid(columns, tuple(rows), "Before and after", tuple(notes))


def _gap(effect: Effect) -> str:
    """What a figure does not know, and on how much of the mass it rests: with gaps, before and after may not be comparable."""
    before, after = 100 * effect.before.known_share, 100 * effect.after.known_share
    return (
        f"no value is known of {', '.join(effect.without)}; they rest on {before:.3g} % of the mass before, {after:.3g} % after."
    )


def _short(value: Spread | None) -> str:
    if value is None:
        return "not known"
    best = f"{value.best:.3g}"
    return best if value.is_exact else f"{best} ({value.low:.3g} to {value.high:.3g})"


def changed(effect: Effect) -> str:
    """How far a figure moves, and whether that hangs on what is not known exactly."""
    if effect.change is None:
        return "–"
    if abs(effect.change) < UNCHANGED:
        return "about the same"
    return f"{'+' if effect.change > 0 else '−'}{100 * abs(effect.change):.0f} %{'' if effect.certain else ', not sure'}"
