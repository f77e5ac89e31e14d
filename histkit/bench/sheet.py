"""The bench sheet of a batch, and the draft of a label: rendering of what `histkit.batching` worked out.

The sheet gives the order of weighing, the amounts as the balance shows them, the aliquots, the steps with their times, the
cautions and room for notes, with boxes to tick. The label is a draft that a safety assessor has to check.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base import tables
from histkit.base.descriptions import Paper
from histkit.base.errors import BadValue, TableError
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench import describing
from histkit.bench.describing import BENCH_CAUTION, weighing_list
from histkit.bench.dispensing import geometric_dilution
from histkit.composing.composition import Composition, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.pressing import ProcessStep
    from histkit.bench.weighing import Weighing

_SAID_ONCE = "Rules differ and change: ask a safety assessor."
"""The close of many cautions; the sheet says it once for all."""


@dataclass(frozen=True, slots=True)
class SheetRow(Tabular):
    """One line of the weighing list: when, what, how much the balance shows, and what is to be known about it."""

    order: int
    stage: str
    ingredient: Ingredient
    amount: str
    note: str

    def _grid(self) -> Grid:
        return weighing_list((self,)).grid("Weighing")


@dataclass(frozen=True, slots=True)
class BenchSheet(Tabular):
    """All that is needed at the bench, in the order in which it is done."""

    title: str
    number: str
    total: str
    rows: tuple[SheetRow, ...]
    aliquots: tuple[tuple[str, tuple[str, ...]], ...]
    """(name of the ingredient, its dilution step by step)."""
    mixing: tuple[str, ...]
    steps: tuple[ProcessStep, ...]
    cautions: tuple[tuple[str, Caution], ...]
    warnings: tuple[str, ...]
    price: str = ""
    """The price of the batch and of a pan in words, where prices were given."""

    def _grid(self) -> Grid:
        notes = [*self.warnings, *filter(None, [self.price])]
        notes += [f"Caution, {who}: {words}" for who, words in self.caution_lines()] + [BENCH_CAUTION]
        caption = f"{self.title}, {self.total}{f', batch {self.number}' if self.number else ''}"
        return weighing_list(self.rows).grid(caption, tuple(notes))

    def describe(self) -> Paper:
        """The sheet as it is to be shown."""
        return describing.paper(self)

    def caution_lines(self) -> tuple[tuple[str, str], ...]:
        """(ingredient, all its cautions), the ingredient with the gravest first; what they all close with is left to the end."""
        lines: dict[str, list[str]] = {}
        for who, caution in self.cautions:
            lines.setdefault(who, []).append(f"({caution.level}) {caution.text.removesuffix(_SAID_ONCE).strip()}")
        return tuple((who, " ".join(texts)) for who, texts in lines.items())

    def step_text(self, step: ProcessStep) -> str:
        """A step with its time in brackets, as the sheet prints it."""
        timing = f" [{step.timing()}]" if step.timing() else ""
        return f"{step.step}{timing}{f': {step.detail}' if step.detail else ''}"

    def to_html(self) -> str:
        """The sheet as plain HTML, everything escaped; it prints on one or two pages."""
        from histkit.display import html

        return html.paper(self.describe())

    def to_markdown(self) -> str:
        """The sheet as Markdown with task boxes."""
        from histkit.display import markdown

        return markdown.paper(self.describe())

    def to_pdf(self, paper: str = "a4") -> bytes:
        """The sheet as the bytes of a PDF to print on "a4" or "letter" paper."""
        from histkit.display import papers

        return papers.to_pdf(self.describe(), paper)


def mixing_stage(ingredient: Ingredient) -> tuple[int, str]:
    """(when, in words) an ingredient comes into the mixture, by `mixing_order.csv` (common practice): the first row that fits."""
    chief = {r.role for r in ingredient.roles if r.main}
    for row in tables.read("bench/mixing_order"):
        states, roles = tables.words(row, "states"), tables.words(row, "roles")
        if (not states or (ingredient.state or "powder") in states) and (not roles or chief & set(roles)):
            return int(row["order"]), row["words"]
    raise TableError("histkit/data/mixing_order.csv: its last row must fit every ingredient")


def bench_sheet(batch: Batch, press: bool | None = None) -> BenchSheet:
    """The bench sheet of a batch. `press` says whether the pressing steps belong on it; None: where the batch is pressed."""
    from histkit.bench.pressing import process_steps

    if press is None:
        press = batch.pressed
    ordered = sorted(batch.weighings, key=lambda w: (mixing_stage(w.ingredient)[0], w.grams))
    rows = tuple(_sheet_row(w, batch) for w in ordered)
    aliquots = tuple(
        (w.ingredient.name, w.aliquot.steps(w.ingredient.name, batch.balance)) for w in ordered if w.aliquot is not None
    )
    steps = tuple(s for s in process_steps() if press or s.stage != "press")
    cautions = tuple((i.name, c) for i, c in batch.composition.cautions_by_ingredient)
    return BenchSheet(
        batch.composition.name or "batch",
        batch.number,
        batch.balance.text(batch.grams),
        rows,
        aliquots,
        _mixing(ordered, batch),
        _with_wetting(steps, batch),
        cautions,
        batch.warnings,
        batch.price_text(),
    )


def _sheet_row(weighing: Weighing, batch: Batch) -> SheetRow:
    order, stage = mixing_stage(weighing.ingredient)
    show = batch.balance.text
    if weighing.aliquot is not None:
        amount = show(weighing.aliquot.take)
        note = f"of its mixture with {weighing.aliquot.diluent.name}, holds {weighing.content:.4g} g"
    else:
        amount, note = show(weighing.direct), ""
        if weighing.direct < weighing.content - 1e-12:
            note = f"{show(weighing.grams)} in all; the rest comes with the aliquots"
    return SheetRow(order, stage, weighing.ingredient, amount, "; ".join(filter(None, (note, weighing.note))))


def _mixing(ordered: list[Weighing], batch: Batch) -> tuple[str, ...]:
    """Geometric dilution of the small dry things into the largest one, where it is more than ten times as much."""
    dry = [w for w in ordered if not w.ingredient.liquid and w.direct > 0]
    if len(dry) < 2:
        return ()
    bulk = max(dry, key=lambda w: w.direct)
    small = sum(w.direct for w in dry if w is not bulk and w.direct < bulk.direct / 10)
    if small <= 0:
        return ()
    show = batch.balance.text
    portions = list(geometric_dilution(small, bulk.direct))
    if len(portions) > 1 and portions[-1][0] < portions[-2][0] / 10:  # a last pinch goes in with the portion before it
        (last, mixed), (before, _) = portions.pop(), portions.pop()
        portions.append((before + last, mixed))
    return tuple(
        f"Add {show(portion)} of {bulk.ingredient.name} to what is in the mortar and blend: {show(mixed)}"
        for portion, mixed in portions
    )


def _with_wetting(steps: tuple[ProcessStep, ...], batch: Batch) -> tuple[ProcessStep, ...]:
    """The steps with the liquid of wet pressing before the first of pressing; it is no part of the batch."""
    from histkit.bench.pressing import ProcessStep

    first = next((n for n, step in enumerate(steps) if step.stage == "press"), len(steps))
    wet = tuple(
        ProcessStep(
            "wet",
            "press",
            f"Wet with {batch.balance.text(grams)} of {liquid.name}, a little at a time, until the powder just clings",
            None,
            1,
            "it dries off and is not counted; dry slowly after pressing, keep flames away",
            "common practice",
            "no source",
        )
        for liquid, grams in batch.wetting
    )
    return (*steps[:first], *wet, *steps[first:])


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


def label_draft(composition: Composition, rinse_off: bool = False, may_contain: Iterable[Ingredient | str] = ()) -> LabelDraft:
    """Ingredients in descending order with their label names, preparations taken apart, allergens above their threshold.

    Allergens come from the glossary's constituents, with the highest share that is known, so rather one too many than one
    too few. Where the glossary has no label name, the plain name stands with a note.
    """
    masses: dict[Ingredient, float] = {}
    _take_apart(composition, masses)
    rules = {row["id"]: row for row in tables.read("bench/label_rules")}
    entries = tuple(
        LabelEntry(i.inci or i.name, share, "" if i.inci else "no label name known: the plain name stands for it")
        for i, share in sorted(masses.items(), key=lambda pair: (-pair[1], pair[0].id))
    )
    rule = rules["allergen-rinse-off" if rinse_off else "allergen-leave-on"]
    found = _allergens(masses, float(rule["value"]))
    allergens = tuple(LabelEntry(name, share, "fragrance allergen, highest share known") for name, share in found)
    notes = [f"{row['words'].capitalize()} ({row['mark']}: {row['source']})." for row in (rules["any-order-below"], rule)]
    notes.append("Only what the glossary knows of the oils is counted; the supplier's own allergen sheet goes before it.")
    if composition.omitted:
        notes.append(f"Not counted for want of an amount: {', '.join(composition.omitted)}.")
    listed = tuple(dict.fromkeys((i := resolve(given)).inci or i.name for given in may_contain))
    return LabelDraft(entries, allergens, listed, tuple(notes))


def _take_apart(composition: Composition, masses: dict[Ingredient, float]) -> None:
    """Shares of what is really in it: preparations become what they are made of, however deep."""
    waiting = [(p.ingredient, p.share, 0) for p in composition.parts]
    while waiting:
        ingredient, share, depth = waiting.pop(0)
        if depth > 20:
            raise BadValue(f"{ingredient.name} seems to be made of itself; check the glossary's compositions")
        if ingredient.made_of:
            waiting += [(resolve(key), share * part, depth + 1) for key, part in ingredient.made_of]
        else:
            masses[ingredient] = masses.get(ingredient, 0.0) + share


def _allergens(masses: dict[Ingredient, float], threshold: float) -> list[tuple[str, float]]:
    from histkit import glossary

    shares = {i.id: share for i, share in masses.items()}
    total: dict[str, float] = {}
    for row in glossary.rows("constituents"):
        if row["allergen"].lower() == "yes" and row["ingredient"] in shares and row["high"]:
            name = row["constituent"]
            total[name] = total.get(name, 0.0) + shares[row["ingredient"]] * float(row["high"]) / 100
    return sorted(((n, s) for n, s in total.items() if s > threshold), key=lambda pair: (-pair[1], pair[0]))
