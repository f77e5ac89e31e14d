"""The record of a batch that was made: lots, dates, what was used and wasted, what that cost; and what to buy for the next one.

A batch keeps as long as the part of it that keeps shortest. Amounts are grams, prices those of one gram, dates ISO (2026-05-31).
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.batching import Batch

DAY = r"[0-9]{4}-[0-9]{2}-[0-9]{2}"
"""How a date is written."""
MOST_NAMED = 3
"""How many parts without a date are named; more are counted."""
DAYS_OF_A_MONTH = 365.25 / 12


@dataclass(frozen=True, slots=True)
class Lot:
    """A pack of an ingredient at hand. `opened` and `best_before` are dates; `months` is how long it keeps once it is open."""

    lot: str = ""
    opened: date | None = None
    best_before: date | None = None
    months: float | None = None

    @property
    def keeps_until(self) -> date | None:
        """The earlier of its best-before date and of its months after opening; None where neither is known."""
        ends = [self.best_before] if self.best_before else []
        if self.opened is not None and self.months is not None:
            ends.append(self.opened + timedelta(days=math.floor(self.months * DAYS_OF_A_MONTH)))
        return min(ends, default=None)


def day(words: str, what: str) -> date | None:
    """A date from its ISO form; None for ''. Raises BadValue, which names `what`, for anything else."""
    if not words:
        return None
    try:
        if not re.fullmatch(DAY, words):
            raise ValueError(words)
        return date.fromisoformat(words)
    except ValueError:
        raise BadValue(f"{what} is a date such as 2026-05-31, not {quoted(words)}") from None


@dataclass(frozen=True, slots=True)
class Used(Tabular):
    """One ingredient of a batch that was made: its lot, the grams that went in and those that were left over, and their price."""

    ingredient: Ingredient
    lot: Lot | None
    used: float
    wasted: float
    price: float | None
    """Price of one gram; None where it is not known."""

    @property
    def cost(self) -> float | None:
        """What went in, in the currency of the prices."""
        return None if self.price is None else self.price * self.used

    @property
    def lost(self) -> float | None:
        """What was left over, in the currency of the prices."""
        return None if self.price is None else self.price * self.wasted

    def _grid(self) -> Grid:
        return _record_grid((self,), "Part of a batch", (), 3)


@dataclass(frozen=True, slots=True)
class BatchRecord(Tabular):
    """What was used for a batch. `best_before` is that of the part named in `shortest`; None where no part has a date."""

    title: str
    number: str
    made_on: date | None
    grams: float
    rows: tuple[Used, ...]
    currency: str = ""
    decimals: int = 2

    @property
    def shortest(self) -> Used | None:
        """The part that keeps shortest, of those with a date."""
        dated = [row for row in self.rows if row.lot is not None and row.lot.keeps_until is not None]
        return min(dated, key=_until, default=None)

    @property
    def best_before(self) -> date | None:
        """When the batch is best used up: with the part that keeps shortest."""
        return None if self.shortest is None else _until(self.shortest)

    @property
    def cost(self) -> float:
        """Price of all that went in, as far as prices are known."""
        return math.fsum(row.cost or 0.0 for row in self.rows)

    @property
    def lost(self) -> float:
        """Price of all that was left over, as far as prices are known."""
        return math.fsum(row.lost or 0.0 for row in self.rows)

    def notes(self) -> tuple[str, ...]:
        """Best before, cost and waste in sentences, with what is not known."""
        out, money = [], f" {self.currency}" if self.currency else ""
        undated = [r.ingredient.name for r in self.rows if r.lot is None or r.lot.keeps_until is None]
        which = ", ".join(undated) if len(undated) <= MOST_NAMED else f"its {len(undated)} other parts"
        without = f" (no date is known of {which})" if undated and len(undated) < len(self.rows) else ""
        if self.shortest is not None:
            out.append(f"Best before {self.best_before}, as long as {self.shortest.ingredient.name} keeps{without}.")
            if self.made_on is not None and self.best_before is not None and self.best_before < self.made_on:
                out.append(f"{self.shortest.ingredient.name} was past its date when this was made: do not use it.")
        priced = [row for row in self.rows if row.price is not None]
        if priced:
            unpriced = [row.ingredient.name for row in self.rows if row.price is None]
            rest = f", without {', '.join(unpriced)}, whose price is not known" if unpriced else ""
            out.append(f"Used {self.cost:.2f}{money}, left over {self.lost:.2f}{money}{rest}.")
        return tuple(out)

    def lines(self) -> tuple[tuple[str, str], ...]:
        """(ingredient, its lot and dates) for a sheet, of those with a lot, and when the batch is best used up."""
        lines = [(row.ingredient.name, _lot_words(row.lot)) for row in self.rows if row.lot is not None]
        return (*lines, *((("The batch", self.notes()[0]),) if self.best_before is not None else ()))

    def _grid(self) -> Grid:
        number = f", batch {self.number}" if self.number else ""
        made = f", made on {self.made_on}" if self.made_on else ""
        return _record_grid(self.rows, f"{self.title}{number}: {self.grams:g} g{made}", self.notes(), self.decimals)


def _until(row: Used) -> date:
    until = row.lot.keeps_until if row.lot is not None else None
    assert until is not None
    return until


def _lot_words(lot: Lot) -> str:
    words = [f"lot {lot.lot}" if lot.lot else "", f"opened {lot.opened}" if lot.opened else ""]
    words.append(f"best before {lot.keeps_until}" if lot.keeps_until else "")
    return ", ".join(filter(None, words)) or "no lot or date noted"


def _record_grid(rows: Iterable[Used], caption: str, notes: tuple[str, ...], decimals: int) -> Grid:
    columns = (
        Column("ingredient", "Ingredient"),
        Column("lot", "Lot"),
        Column("opened", "Opened"),
        Column("until", "Keeps until"),
        Column("used", "Used, g", decimals),
        Column("wasted", "Left over, g", decimals),
        Column("cost", "Cost", 2),
        Column("lost", "Lost", 2),
    )

    def row(part: Used) -> tuple[Cell, ...]:
        lot = part.lot or Lot()
        dates = tuple(str(when) if when else "" for when in (lot.opened, lot.keeps_until))
        return (part.ingredient.name, lot.lot, *dates, part.used, part.wasted, part.cost, part.lost)

    return Grid(columns, tuple(map(row, rows)), caption, notes)


def batch_record(batch: Batch, lots: Mapping[str, Lot] | None = None, made_on: date | None = None) -> BatchRecord:
    """The record of a batch: what went in, what the dilutions left over, what both cost. `lots` maps ids to the packs used."""
    packs, prices, needed = lots or {}, dict(batch.prices), batch.to_weigh
    rows = tuple(
        Used(
            w.ingredient,
            packs.get(w.ingredient.id),
            w.content,
            max(0.0, round(needed[w.ingredient.id] - w.content, 9)),
            prices.get(w.ingredient.id),
        )
        for w in batch.weighings
    )
    name = batch.composition.name or "Batch"
    return BatchRecord(name, batch.number, made_on, batch.grams, rows, batch.currency, max(2, batch.balance.decimals))


# -- what to buy --------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Purchase(Tabular):
    """One line of a shopping list: what is needed, at hand and to be bought (grams), in which packs, and their price.

    `packs` are (grams of a pack, how many); empty where no pack size is known.
    """

    ingredient: Ingredient
    needed: float
    have: float
    packs: tuple[tuple[float, int], ...]
    price: float | None

    @property
    def missing(self) -> float:
        """Grams to be bought at least."""
        return max(0.0, round(self.needed - self.have, 9))

    @property
    def bought(self) -> float:
        """Grams that the packs hold; what is missing where no pack size is known."""
        return math.fsum(grams * count for grams, count in self.packs) if self.packs else self.missing

    @property
    def cost(self) -> float | None:
        """Price of what is bought; None where it is not known."""
        return None if self.price is None else self.price * self.bought

    def words(self) -> str:
        """The packs in words: '2 of 50 g and 1 of 10 g'."""
        if not self.packs:
            return "" if self.missing else "enough at hand"
        return " and ".join(f"{count} of {grams:g} g" for grams, count in self.packs)

    def _grid(self) -> Grid:
        return _shopping_grid((self,), "To buy", "")


@dataclass(frozen=True, slots=True)
class ShoppingList(Tabular):
    """What to have and what to buy for a batch."""

    title: str
    lines: tuple[Purchase, ...]
    currency: str = ""

    @property
    def cost(self) -> float:
        """Price of all that is bought, as far as prices are known."""
        return math.fsum(line.cost or 0.0 for line in self.lines)

    def _grid(self) -> Grid:
        return _shopping_grid(self.lines, f"Shopping list: {self.title}", self.currency)


def _shopping_grid(lines: Iterable[Purchase], caption: str, currency: str) -> Grid:
    listed = tuple(lines)
    columns = (
        Column("ingredient", "Ingredient"),
        Column("needed", "Needed, g", 2),
        Column("have", "At hand, g", 2),
        Column("missing", "Missing, g", 2),
        Column("packs", "Buy"),
        Column("cost", "Price", 2),
    )
    rows: list[tuple[Cell, ...]] = [
        (line.ingredient.name, line.needed, line.have or None, line.missing or None, line.words(), line.cost or None)
        for line in listed
    ]
    notes = []
    if any(line.price is not None for line in listed):
        unpriced = [line.ingredient.name for line in listed if line.price is None and line.missing]
        rest = f", without {', '.join(unpriced)}" if unpriced else ""
        money = f" {currency}" if currency else ""
        notes.append(f"In all {math.fsum(line.cost or 0.0 for line in listed):.2f}{money}{rest}.")
    return Grid(columns, tuple(rows), caption, tuple(notes))


def fewest_packs(missing: float, sizes: Iterable[float]) -> tuple[tuple[float, int], ...]:
    """Packs of these sizes (grams) that hold what is missing: as many of the largest as fit, then the smallest for the rest.

    Empty where nothing is missing or no size is known.
    """
    offered = sorted(set(sizes), reverse=True)
    if missing <= 0 or not offered:
        return ()
    packs: dict[float, int] = {}
    whole = math.floor(missing / offered[0] + 1e-9)
    if whole:
        packs[offered[0]] = whole
    rest = missing - whole * offered[0]
    if rest > 1e-9:
        last = min(size for size in offered if size >= rest - 1e-9)
        packs[last] = packs.get(last, 0) + 1
    return tuple(packs.items())


def shopping_list(
    batch: Batch, have: Mapping[str, float] | None = None, sizes: Mapping[str, tuple[float, ...]] | None = None
) -> ShoppingList:
    """What to buy for a batch, aliquots included; `have` maps ids to grams at hand, `sizes` to the packs that are sold."""
    at_hand, sold, prices = have or {}, sizes or {}, dict(batch.prices)
    lines = []
    for weighing in batch.weighings:
        key = weighing.ingredient.id
        needed, present = batch.to_weigh[key], at_hand.get(key, 0.0)
        packs = fewest_packs(round(needed - present, 9), sold.get(key, ()))
        lines.append(Purchase(weighing.ingredient, needed, present, packs, prices.get(key)))
    return ShoppingList(batch.composition.name or "batch", tuple(lines), batch.currency)
