"""What the glossary knows of one ingredient (names, roles, properties, cautions, stand-ins), and the answer of a look-up."""

from __future__ import annotations

import builtins
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from histkit.base.grid import Column, Grid
from histkit.base.nouns import Doubt, Spread
from histkit.base.text import Cell
from histkit.display.tabular import Tabular

CautionLevel = Literal["forbidden", "restricted", "care"]


CAUTION_LEVELS: tuple[CautionLevel, ...] = ("forbidden", "restricted", "care")
"""The gravest first."""


@dataclass(frozen=True, slots=True)
class Caution:
    """A warning that goes with an ingredient. Laws differ and change: every text defers to a safety assessor.

    `law` names the article or annex entry; `limit` is the highest share of the finished product (0–1) where the
    law gives one; `form` the product form it speaks of ("any", "loose", "pressed", "leave-on", "rinse-off", "oral",
    "bench": the danger is to the maker while weighing).
    """

    level: CautionLevel
    text: str
    source: str
    law: str = ""
    region: str = ""
    form: str = "any"
    limit: float | None = None
    date: str = ""


def worst_level(cautions: Iterable[Caution]) -> CautionLevel | None:
    """The gravest level among these cautions; None where there are none."""
    return min((c.level for c in cautions), key=CAUTION_LEVELS.index, default=None)


def is_forbidden(cautions: Iterable[Caution]) -> bool:
    """Whether one of the cautions forbids the thing."""
    return worst_level(cautions) == "forbidden"


def gravity(level: str | None) -> int:
    """How grave a level of caution is: 0 without one, 1 for care, the most for what is forbidden."""
    return len(CAUTION_LEVELS) - [*map(str, CAUTION_LEVELS)].index(level) if level else 0


class Name(NamedTuple):
    """One name of an ingredient: what a book may print. There are so many that each is a tuple, which is made sooner."""

    name: str
    language: str
    form: str = ""
    period: str = ""
    region: str = ""
    contested: bool = False
    source: str = ""


@dataclass(frozen=True, slots=True)
class Role:
    """What an ingredient does in a formula; `main` marks its chief purposes."""

    role: str
    main: bool
    source: str = ""


@dataclass(frozen=True, slots=True)
class Property:
    """A measured or quoted value, with its range, unit, condition and source."""

    property: str
    low: float
    high: float
    unit: str
    condition: str = ""
    source: str = ""
    section: str = ""

    @builtins.property  # the field `property` hides the decorator's name
    def spread(self) -> Spread:
        return Spread(self.low, (self.low + self.high) / 2, self.high)


@dataclass(frozen=True, slots=True)
class Stand:
    """One way to stand in for an ingredient: `parts` are (ingredient id, grams for one gram of the replaced)."""

    option: str
    parts: tuple[tuple[str, float], ...]
    kept: str
    changes: str
    source: str

    @property
    def ratio(self) -> float:
        """Grams of the stand-in for one gram of what it replaces."""
        return sum(share for _, share in self.parts)


@dataclass(frozen=True, slots=True)
class Ingredient(Tabular):
    """What an archaic name is today. Compared and hashed by its id."""

    id: str
    name: str = field(compare=False)
    inci: str = field(default="", compare=False)
    cas: str = field(default="", compare=False)
    formula: str = field(default="", compare=False)
    kind: str = field(default="", compare=False)
    state: str = field(default="", compare=False)
    description: str = field(default="", compare=False)
    roles: tuple[Role, ...] = field(default=(), compare=False)
    cautions: tuple[Caution, ...] = field(default=(), compare=False)
    names: tuple[Name, ...] = field(default=(), compare=False)
    properties: tuple[Property, ...] = field(default=(), compare=False)
    stands: tuple[Stand, ...] = field(default=(), compare=False)
    made_of: tuple[tuple[str, float], ...] = field(default=(), compare=False)
    """For a preparation: (ingredient id, share of its mass)."""
    source: str = field(default="", compare=False)

    @property
    def forbidden(self) -> bool:
        return any(c.level == "forbidden" for c in self.cautions)

    @property
    def counted(self) -> bool:
        """Whether it comes in pieces whose mass is known: a nutmeg, an egg."""
        return self.value("piece-mass") is not None

    @property
    def uncountable(self) -> bool:
        """Whether it comes as a powder, a liquid or a paste, of which nobody takes so many pieces."""
        return self.state in ("powder", "liquid", "semisolid") and not self.counted

    @property
    def liquid(self) -> bool:
        return self.state == "liquid"

    def value(self, name: str) -> Spread | None:
        """The spread of a property over all its rows, or None where no row is known."""
        rows = [p for p in self.properties if p.property == name]
        if not rows:
            return None
        return Spread.over((v for p in rows for v in (p.low, p.high)), rows[0].spread.best)

    def has_role(self, role: str) -> bool:
        return any(r.role == role for r in self.roles)

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [("today", self.name)]
        rows += [
            (label, text)
            for label, text in (("label name", self.inci), ("CAS number", self.cas), ("formula", self.formula))
            if text
        ]
        rows.append(("what it is", self.description))
        rows.append(("was called", ", ".join(n.name for n in self.names)))
        rows.append(("does", ", ".join(r.role for r in self.roles)))
        rows += [(f"caution ({c.level})", f"{c.text} {c.law}".strip()) for c in self.cautions]
        rows += [("in its place", f"{s.option}: keeps {s.kept}; {s.changes}") for s in self.stands]
        return Grid((Column("about", "About"), Column("text", "Entry")), tuple(rows), self.name)


@dataclass(frozen=True, slots=True)
class Match:
    """The answer of a look-up: which ingredient, how sure (0–1), by which way, and what else it might be.

    `via`: "exact", "latin", "modifier", "respelled" (an old spelling), "compound" (a preparation, by the names of what it
    is made of), "spelling" (the nearest one), "inside" (a known name inside the printed one; the doubts say what was dropped).
    `alternatives` are the other meanings of a contested name, or near neighbours that would be dangerous to mix up.
    """

    ingredient: Ingredient
    score: float
    via: str
    name: str = ""
    alternatives: tuple[Ingredient, ...] = ()
    modifier: str = ""
    doubts: tuple[Doubt, ...] = ()
