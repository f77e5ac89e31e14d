"""What a change of ingredients does, as it is to be shown."""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.descriptions import BarRow, Bars, Length, Spoken
from histkit.base.errors import BadValue
from histkit.base.nouns import Spread

if TYPE_CHECKING:
    from histkit.composing.effects import Effects

_TITLE = "What the change does"


def effects_bars(effects: Effects) -> Bars:
    """Every figure before and after, each on its own scale.

    Raises:
        BadValue: no figure is known, or all are 0.
    """
    rows = []
    for effect in effects.rows:
        before, after = effect.before.value, effect.after.value
        full = max((value.high for value in (before, after) if value is not None), default=0.0)
        if full > 0:
            rows.append(BarRow(effect.heading, (_length(before, effect.unit), _length(after, effect.unit)), full))
    if not rows:
        raise BadValue("no figure of this change is known or above 0, so there is nothing to draw")
    gaps = dict.fromkeys(name for effect in effects.rows for name in effect.without)
    foot = "Each figure on its own scale; the thin line is its spread."
    foot += f" Some values are not known for {', '.join(gaps)}." if gaps else ""
    lines = [f"{row.name}: before {row.lengths[0].words}, after {row.lengths[1].words}." for row in rows]
    return Bars(_TITLE, ("before", "after"), tuple(rows), foot=foot, spoken=Spoken(_TITLE, lines=(*lines, foot)))


def _length(value: Spread | None, unit: str) -> Length:
    return Length(None, "not known") if value is None else Length(value, f"{value}{f' {unit}' if unit else ''}")
