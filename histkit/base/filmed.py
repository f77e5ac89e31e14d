"""What a film shows one at a time, as plain descriptions like those of base/descriptions.py, and all that can be drawn.

- `Warned`: one thing that must not be used; `Swapped`: what went and what stands in its place;
- `StepCard`: one step, one weight; `PanPlan`: pressed cakes in their pans, to scale;
- `Plaque`: a title, a lower third, an end card; `Strip`: rows × columns of shares, or shades.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from histkit.base.descriptions import Bars, Card, Figure, Ledger, Listing, Periods, Ranges, Spoken


@dataclass(frozen=True, slots=True)
class Warned:
    """One thing that must not be used: its printed words, today's name, one word of warning, what it does, who says so."""

    title: str
    printed: str
    today: str
    mark: str
    share: Figure | None = None
    """Its share then, per cent."""
    harm: tuple[str, ...] = ()
    """What it does, a sentence each."""
    law: tuple[str, ...] = ()
    source: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class StandIn:
    """What stands in the place of another: its name, its share now in per cent, grams for one gram of what went."""

    name: str
    share: Figure
    ratio: str = ""
    weigh: str = ""


@dataclass(frozen=True, slots=True)
class Swapped:
    """What went and what stands in its place, with why."""

    title: str
    printed: str
    went: str
    mark: str
    share: Figure
    stand_ins: tuple[StandIn, ...]
    why: str = ""
    source: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class StepCard:
    """One step, one weight: which of how many, what to do, how much or how long, and what is to be known of it."""

    title: str
    number: int
    of: int
    words: str
    figure: str = ""
    more: str = ""
    source: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class PanPlan:
    """Pressed cakes in their pans, to scale: outlines in millimetres, round where `length_mm` is None; `depth_mm` inside.

    `fill` is how much of the depth the cake takes (0–1), None where it is not known; `facts` are labels with their values.
    """

    title: str
    width_mm: float
    depth_mm: float
    count: int
    length_mm: float | None = None
    fill: float | None = None
    swatch: str = ""
    facts: tuple[tuple[str, str], ...] = ()
    source: str = ""
    foot: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class Plaque:
    """A few words over or between the film: a title, a lower third, an end card with its source."""

    words: str
    more: str = ""
    source: str = ""
    kind: Literal["title", "lower third", "end"] = "title"
    lines: tuple[str, ...] = ()
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class StripRow:
    """A row of a strip: its name, for each column the value (None: not known) with its words, and what it belongs to."""

    name: str
    cells: tuple[Figure, ...]
    group: str = ""


@dataclass(frozen=True, slots=True)
class Strip:
    """Rows × columns of shares in per cent, the fuller the larger; or with `swatches`, one colour for each column, of shades."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[StripRow, ...]
    swatches: tuple[str, ...] = ()
    subtitle: str = ""
    foot: str = ""
    spoken: Spoken | None = None


Picture = Ledger | Bars | Periods | Ranges | Card | Listing | Warned | Swapped | StepCard | PanPlan | Plaque | Strip
"""What can be drawn for the screen."""
