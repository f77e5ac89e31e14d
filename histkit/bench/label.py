"""The draft of a label: ingredients in descending order of mass, which a safety assessor has to check."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from histkit.base.bibliography import cited, sourced
from histkit.base.grid import Column, Grid
from histkit.base.tables import Row
from histkit.base.text import Cell
from histkit.bench.batching import refuse_unsafe
from histkit.composing.composition import Composition, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.constituents import allergens as allergens_above
from histkit.safety.constituents import taken_apart


@dataclass(frozen=True, slots=True)
class LabelEntry(Tabular):
    """One name of the list of ingredients; `share` of the product (0–1), None for what only may be in it."""

    name: str
    share: float | None
    note: str = ""

    def _grid(self) -> Grid:
        return _label_grid((self,), "Label entry", ())


def _label_grid(entries: Iterable[LabelEntry], caption: str, notes: tuple[str, ...]) -> Grid:
    columns = (Column("name", "Name"), Column("percent", "Per cent", 3), Column("note", "Note"))
    rows: list[tuple[Cell, ...]] = [(e.name, None if e.share is None else 100 * e.share, e.note) for e in entries]
    return Grid(columns, tuple(rows), caption, notes)


@dataclass(frozen=True, slots=True)
class LabelDraft(Tabular):
    """A list of ingredients in descending order of mass. A draft: a safety assessor has to check it before anything is sold."""

    entries: tuple[LabelEntry, ...]
    allergens: tuple[LabelEntry, ...]
    may_contain: tuple[str, ...]
    notes: tuple[str, ...]

    def text(self) -> str:
        """The list as one line, marked as a draft."""
        # An allergen may stand in the list already, as an ingredient of its own.
        names = list({e.name.casefold(): e.name for e in (*self.allergens, *self.entries)}.values())
        order = {e.name: place for place, e in enumerate((*self.entries, *self.allergens))}
        names.sort(key=lambda name: order[name])
        may = f". May contain: {', '.join(self.may_contain)}" if self.may_contain else ""
        return f"DRAFT, to be checked by a safety assessor. Ingredients: {', '.join(names)}{may}."

    def _grid(self) -> Grid:
        return _label_grid((*self.entries, *self.allergens), "Draft of a label, to be checked by a safety assessor", self.notes)


@cache
def label_rules() -> dict[str, Row]:
    """The rows of `label_rules.csv` by their ids: shares from which on a label names something, and in which order."""
    return {row["id"]: row for row in sourced("bench/label_rules")}


def label_draft(
    composition: Composition,
    rinse_off: bool = False,
    may_contain: Iterable[Ingredient | str] = (),
    *,
    product: str | None = None,
    region: str = "EU",
) -> LabelDraft:
    """Ingredients in descending order with their label names, preparations taken apart, allergens above their threshold.

    Allergens come from the glossary's constituents, with the highest share that is known, so rather one too many than one
    too few. Where the glossary has no label name, the plain name stands with a note. Raises Forbidden, as `batch` does, while
    anything keeps it from the bench as this `product` by the law of this `region`.
    """
    found = refuse_unsafe(composition, product, region)
    masses = taken_apart((part.ingredient, part.share) for part in composition.parts)
    rules = label_rules()
    entries = tuple(
        LabelEntry(i.inci or i.name, share, "" if i.inci else "no label name known: the plain name stands for it")
        for i, share in sorted(masses.items(), key=lambda pair: (-pair[1], pair[0].id))
    )
    rule = rules["allergen-rinse-off" if rinse_off else "allergen-leave-on"]
    above = allergens_above(masses, float(rule["value"]))
    allergens = tuple(LabelEntry(name, share, "fragrance allergen, highest share known") for name, share in above)
    notes = [f"{row['words'].capitalize()} ({cited(row, mark=True)})." for row in (rules["any-order-below"], rule)]
    notes.append("Only what the glossary knows of the oils is counted; the supplier's own allergen sheet goes before it.")
    notes += [finding.text for finding in found]
    if composition.omitted:
        notes.append(f"Not counted for want of an amount: {', '.join(composition.omitted)}.")
    listed = tuple(dict.fromkeys((i := resolve(given)).inci or i.name for given in may_contain))
    return LabelDraft(entries, allergens, listed, tuple(notes))
