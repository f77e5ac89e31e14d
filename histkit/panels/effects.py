"""Before and after as a maker reads it: what the change does in words, the figures behind it with few digits."""

from __future__ import annotations

from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.composing.effects import UNCHANGED, Effect, Effects

__all__ = ["UNCHANGED", "effects_grid"]


def effects_grid(effects: Effects) -> Grid:
    """What the change does in words, with the figures before and after; below it what the figures rest on."""
    columns = (Column("change", "What it does"), Column("effect", "Figure"), Column("before", "Before"), Column("after", "After"))
    rows: list[tuple[Cell, ...]] = []
    gaps: dict[str, list[str]] = {}
    for effect in effects.rows:
        heading = f"{effect.heading}, {effect.unit}" if effect.unit else effect.heading
        rows.append((effect.verdict(), heading, _short(effect.before.value), _short(effect.after.value)))
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
