"""The nouns that travel: source, formula, line, doubt, spread, ingredient, caution.

Every one is frozen; each step of the way makes new ones. Amounts are plain floats; units are the
canonical words of `UNITS`; masses are grams and volumes millilitres. Nouns that can do something
with the glossary or the measures live with their verbs (`translation`, `composition`, `pressing`,
`batching`, `comparison`).
"""

from __future__ import annotations

import builtins
import json
import math
from collections.abc import Iterable
from dataclasses import asdict, dataclass, field
from typing import Any, Literal

from histkit.errors import BadValue, quoted
from histkit.tabular import Cell, Column, Grid, Tabular, clean

Amount = float | tuple[float, float] | None
"""A printed figure: one number, a range (low, high), or None where no figure is printed."""

Measure = tuple[Amount, str]
"""A figure and a canonical unit word."""

UNITS: frozenset[str] = frozenset(
    {
        "grain", "scruple", "drachm", "ounce", "pound",
        "minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon",
        "drop", "teaspoonful", "tablespoonful", "wineglassful", "cupful",
        "part", "per cent", "gram", "milligram", "centigram", "kilogram", "millilitre", "litre",
        "piece", "handful", "pinch", "q.s.", "none",
    }
)  # fmt: skip
"""Canonical unit words. A bare 'oz.' is "ounce": whether by weight or measure is the translation's question."""

KINDS: tuple[str, ...] = (
    "pharmacopoeia",
    "prescription",
    "trade receipt book",
    "household receipt book",
    "perfumery manual",
)
"""Sorts of book; the sort says which ounce its writer meant."""


@dataclass(frozen=True, slots=True)
class Source:
    """Which book a formula was copied from, and where and when it was printed.

    `country` is an ISO 3166 two-letter code ("GB", "US", "FR", "DE" …); `kind` one of `KINDS` or None.
    """

    title: str = ""
    author: str = ""
    year: int | None = None
    country: str = ""
    kind: str | None = None
    place: str = ""
    page: str = ""
    url: str = ""

    def __post_init__(self) -> None:
        if self.year is not None:
            if isinstance(self.year, bool) or not isinstance(self.year, int):
                raise BadValue(f"the year of a source is a whole number such as 1872, not {quoted(self.year)}")
            if not 1000 <= self.year <= 2100:
                raise BadValue(f"the year of a source lies between 1000 and 2100, not {quoted(self.year)}")
        if self.kind is not None and self.kind not in KINDS:
            raise BadValue(f"the kind of a source is one of {', '.join(map(repr, KINDS))} or None, not {self.kind!r}")

    def citation(self) -> str:
        """Author, title, place and year, page: in one line, as a caption or a reference prints it."""
        author = f"{self.author}, " if self.author else ""
        printed = ", ".join(str(part) for part in (self.place, self.year) if part)
        page = f", {self.page}" if self.page else ""
        return f"{author}{self.title or 'untitled source'}{f' ({printed})' if printed else ''}{page}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that could be taken two ways, or that is damaged, or that was guessed.

    `about` says what it concerns ("amount", "unit", "ingredient", "group", "measure", "strength" …), `text` is
    a sentence for the maker, `others` are the other readings in words, `effect` what they would change.
    """

    about: str
    text: str
    others: tuple[str, ...] = ()
    effect: str = ""


def times(amount: Amount, factor: float) -> Amount:
    """An amount, or both ends of its range, multiplied; None stays None."""
    if isinstance(amount, tuple):
        return (amount[0] * factor, amount[1] * factor)
    return None if amount is None else amount * factor


def figure_text(value: float) -> str:
    """A number to four significant figures, never in powers of ten: '0.3512', '28.35', '22,490'."""
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with the range that history leaves open: low ≤ best ≤ high. It is no standard deviation."""

    low: float
    best: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.best <= self.high:
            raise BadValue(f"a spread runs low ≤ best ≤ high, not {self.low}, {self.best}, {self.high}")

    @classmethod
    def exact(cls, value: float) -> Spread:
        return cls(value, value, value)

    @classmethod
    def over(cls, values: Iterable[float], best: float) -> Spread:
        """The spread that holds `best` and all `values`."""
        everything = [best, *values]
        return cls(min(everything), best, max(everything))

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    @property
    def relative(self) -> float:
        """Width over best: 0 for an exact value, infinite where best is 0 and the width is not."""
        width = self.high - self.low
        return width / abs(self.best) if self.best else (math.inf if width else 0.0)

    def __add__(self, other: Spread) -> Spread:
        return Spread(self.low + other.low, self.best + other.best, self.high + other.high)

    def __mul__(self, other: float | Spread) -> Spread:
        """Times a number or a spread, neither of them negative."""
        if isinstance(other, Spread):
            return Spread(self.low * other.low, self.best * other.best, self.high * other.high)
        return Spread(self.low * other, self.best * other, self.high * other)

    __rmul__ = __mul__

    def __str__(self) -> str:
        best, low, high = map(figure_text, (self.best, self.low, self.high))
        return best if self.is_exact else f"{best} ({low}–{high})"


@dataclass(frozen=True, slots=True)
class Line(Tabular):
    """One ingredient of a printed formula, as printed and as read.

    `raw` is the substring `text[span[0]:span[1]]` of the formula's text; the raws of a formula never overlap.
    """

    raw: str
    span: tuple[int, int]
    amount: Amount
    unit: str
    ingredient: str
    modifier: str = ""
    carried: str = ""
    """Words taken over from a line above or the head of a list ('Otto of' for a ditto mark), not printed on this line."""
    plus: tuple[tuple[Amount, str], ...] = ()
    to_make: tuple[Amount, str] | None = None
    also: tuple[tuple[Amount, str], ...] = ()
    of_each: bool = False
    system: str = ""
    """"apothecaries" where a sign (℥ ʒ ℈) was printed, "avoirdupois" where the words say so, "measure" where the
    formula says 'by measure', "weight" where it says 'by weight', else ""."""
    strength: str = ""
    """A printed grade or strength beside the amount ('60 over proof', '90 per cent', 'No. 40')."""
    optional: bool = False
    approximate: bool = False
    doubts: tuple[Doubt, ...] = ()
    steps: tuple[str, ...] = ()
    """How the words were read, one sentence for each step."""

    @property
    def full_name(self) -> str:
        """The name with the words that were carried over: what the glossary is asked for."""
        return f"{self.carried} {self.ingredient}".strip()

    def shown_name(self) -> str:
        """The name for people, carried words in square brackets as editors print supplied words."""
        return f"[{self.carried}] {self.ingredient}" if self.carried else self.ingredient

    def measure_text(self) -> str:
        """The amount as read, in words: '2 ounce + 175 grain', 'q.s. to make 6 fluid ounce'."""
        if self.to_make is not None:
            return f"q.s. to make {amount_text(self.to_make[0])} {self.to_make[1]}".replace("  ", " ")
        if self.amount is None:
            return {"q.s.": "q.s.", "none": "no amount"}.get(self.unit, f"some ({self.unit})")
        parts = [(self.amount, self.unit), *self.plus]
        return " + ".join(f"{amount_text(a)} {u}" if u != "none" else amount_text(a) for a, u in parts)

    def explain(self) -> str:
        """How this line came about, from the printed words on, with every doubt."""
        printed = " ".join(self.raw.split())
        out = [f"Printed: {printed}", *self.steps]
        out.append(f"Read as: {self.shown_name() or '(no name)'} — {self.measure_text()}{' (of each)' if self.of_each else ''}")
        out += [_doubt_text(d) for d in self.doubts]
        return clean("\n".join(out))

    def _grid(self) -> Grid:
        return lines_grid((self,), "One line of a formula")


@dataclass(frozen=True, slots=True)
class Portion:
    """'To 12 drachms of this mixture add …': only so much of some lines above goes on into what follows.

    `lines` is the half-open range of `Formula.lines` that "this" means; `raw` the printed words.
    """

    amount: Amount
    unit: str
    lines: tuple[int, int]
    raw: str
    doubts: tuple[Doubt, ...] = ()


def _doubt_text(doubt: Doubt) -> str:
    others = f" Other readings: {'; '.join(doubt.others)}." if doubt.others else ""
    effect = f" {doubt.effect}" if doubt.effect else ""
    return f"Doubt ({doubt.about}): {doubt.text}{others}{effect}"


def amount_text(amount: Amount) -> str:
    """A figure in digits: '2', '0.5', '5 to 16', '' for none."""
    if amount is None:
        return ""
    if isinstance(amount, tuple):
        return f"{amount[0]:.6g} to {amount[1]:.6g}"
    return f"{amount:.6g}"


_LINE_COLUMNS = (
    Column("raw", "As printed"),
    Column("measure", "Amount"),
    Column("ingredient", "Ingredient"),
    Column("modifier", "State"),
    Column("doubts", "Doubts"),
)


def lines_grid(lines: Iterable[Line], caption: str) -> Grid:
    rows: list[tuple[Cell, ...]] = [
        (" ".join(line.raw.split()), line.measure_text(), line.shown_name(), line.modifier, " ".join(d.text for d in line.doubts))
        for line in lines
    ]
    return Grid(_LINE_COLUMNS, tuple(rows), caption)


@dataclass(frozen=True, slots=True)
class Formula(Tabular):
    """A printed formula taken apart. Every non-blank word of `text` stands in exactly one of `title`, the raw of one
    line, `directions` and `unread`; `spans` says where each directions and unread fragment stood.
    """

    lines: tuple[Line, ...]
    title: str = ""
    directions: str = ""
    unread: tuple[str, ...] = ()
    source: Source | None = None
    text: str = ""
    portions: tuple[Portion, ...] = ()
    """What the text says of taking only some of what it made: each stands in `directions` or `unread` as printed."""

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All doubts: of all lines in order, then of the portions."""
        lines = (d for line in self.lines for d in line.doubts)
        return (*lines, *(d for portion in self.portions for d in portion.doubts))

    def _grid(self) -> Grid:
        grid = lines_grid(self.lines, self.title or "Formula")
        notes = [f"Source: {self.source.citation()}."] if self.source else []
        if self.directions:
            notes.append("Directions: " + " ".join(self.directions.split()))
        if self.unread:
            notes.append("Not read as ingredients: " + " … ".join(" ".join(u.split()) for u in self.unread))
        return Grid(grid.columns, grid.rows, grid.caption, tuple(notes))

    def to_json(self) -> str:
        """The whole formula as JSON text; `from_json` gives an equal one."""
        return json.dumps(asdict(self), ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> Formula:
        try:
            data = json.loads(text)
            source = Source(**data["source"]) if data["source"] else None
            lines = tuple(_line_from(entry) for entry in data["lines"])
            portions = tuple(_portion_from(entry) for entry in data.get("portions", ()))
            return cls(lines, data["title"], data["directions"], tuple(data["unread"]), source, data["text"], portions)
        except (json.JSONDecodeError, KeyError, TypeError) as error:
            raise BadValue(f"this is not a formula that histkit wrote: {error}") from error


def _amount_from(value: Any) -> Amount:
    return (value[0], value[1]) if isinstance(value, list) else value


def _doubts_from(data: dict[str, Any]) -> tuple[Doubt, ...]:
    return tuple(Doubt(d["about"], d["text"], tuple(d["others"]), d["effect"]) for d in data["doubts"])


def _portion_from(data: dict[str, Any]) -> Portion:
    first, last = data["lines"]
    return Portion(_amount_from(data["amount"]), data["unit"], (first, last), data["raw"], _doubts_from(data))


def _line_from(data: dict[str, Any]) -> Line:
    pairs = {key: tuple((_amount_from(a), u) for a, u in data[key]) for key in ("plus", "also")}
    to_make = data["to_make"]
    doubts = _doubts_from(data)
    fixed: dict[str, Any] = {
        **data,
        **pairs,
        "span": tuple(data["span"]),
        "amount": _amount_from(data["amount"]),
        "to_make": (_amount_from(to_make[0]), to_make[1]) if to_make else None,
        "doubts": doubts,
        "steps": tuple(data["steps"]),
    }
    return Line(**fixed)


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


@dataclass(frozen=True, slots=True)
class Name:
    """One name of an ingredient: what a book may print."""

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

    `via`: "exact", "latin", "modifier", "spelling", "damage". `alternatives` are the other meanings of a contested
    name, or near neighbours that would be dangerous to mix up.
    """

    ingredient: Ingredient
    score: float
    via: str
    name: str = ""
    alternatives: tuple[Ingredient, ...] = ()
    modifier: str = ""
    doubts: tuple[Doubt, ...] = ()
