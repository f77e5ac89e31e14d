"""A printed formula taken apart: lines, directions, and what is left unread."""

from __future__ import annotations

import json
from collections.abc import Iterable
from dataclasses import asdict, dataclass
from typing import Any

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Amount, Doubt, Source, amount_text
from histkit.base.text import Cell, clean
from histkit.display.tabular import Tabular


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
    formula says 'by measure', "weight" where it says 'by weight', else the measure that is named beside the amount ("wine",
    "imperial", "winchester", "ale", "scots", "apothecaries' weight", "level", "heaped"), else ""."""
    strength: str = ""
    """A printed grade or strength beside the amount ('60 over proof', '90 per cent', 'No. 40')."""
    optional: bool = False
    approximate: bool = False
    doubts: tuple[Doubt, ...] = ()
    steps: tuple[str, ...] = ()
    """How the words were read, one sentence for each step."""
    set_aside: str = ""
    """Why the maker takes it out of the formula ('not an ingredient', 'belongs to the line above'); "" where it is in it."""

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
    left_over: tuple[Doubt, ...] = ()
    """Amounts and known names that ended in no line and have no reason to: a doubt for each, about "left over"."""

    @property
    def doubts(self) -> tuple[Doubt, ...]:
        """All doubts: of all lines in order, then of the portions, then of what was left over."""
        lines = (d for line in self.lines for d in line.doubts)
        return (*lines, *(d for portion in self.portions for d in portion.doubts), *self.left_over)

    def _grid(self) -> Grid:
        grid = lines_grid(self.lines, self.title or "Formula")
        notes = [f"Source: {self.source.citation()}."] if self.source else []
        if self.directions:
            notes.append("Directions: " + " ".join(self.directions.split()))
        notes += [f"Left over: {doubt.text} {doubt.effect}" for doubt in self.left_over]
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
            left_over = _doubts_from({"doubts": data.get("left_over", ())})
            return cls(lines, data["title"], data["directions"], tuple(data["unread"]), source, data["text"], portions, left_over)
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
