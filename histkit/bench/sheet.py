"""The bench sheet of a batch: what to weigh, what to do in one sequence, what to beware of, room for notes."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.descriptions import Paper
from histkit.base.grid import Grid
from histkit.base.nouns import figure_text
from histkit.base.text import listed
from histkit.bench import describing
from histkit.bench.describing import AT_THE_HEAD, BENCH_CAUTION, weighing_list
from histkit.bench.ledger import joint_dilutions
from histkit.bench.sequence import BenchStep, in_order, letter_of, mixing_stage, sequence
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution
from histkit.safety.law import judged_words, region_of

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.weighing import Weighing

_SAID_ONCE = "Rules differ and change: ask a safety assessor."
"""The close of many cautions; the sheet says it once for all."""


@dataclass(frozen=True, slots=True)
class SheetRow(Tabular):
    """One line of the weighing list: when, what, how much the balance shows, and what is to be known about it."""

    order: int
    stage: str
    name: str
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
    steps: tuple[BenchStep, ...]
    """Everything that is done, in one sequence; the last steps hold the whole batch."""
    cautions: tuple[tuple[str, Caution], ...]
    warnings: tuple[str, ...]
    price: str = ""
    """The price of the batch and of a pan in words, where prices were given."""
    hazards: tuple[str, ...] = ()
    """What the gate found that the maker should know, the gravest first, and what was declared known."""
    judged: str = ""
    """As which product, and by whose law, it was judged."""
    press_card: tuple[tuple[str, str], ...] = ()
    """What the pans take and how hard they are pressed, where the batch is for pans."""
    lots: tuple[tuple[str, str], ...] = ()
    """(ingredient, its lot and dates), and when the batch is best used up, where they were noted."""
    accounts: tuple[tuple[str, str], ...] = ()
    """For each of the dilutions (its name), how far it may be off in all and what it wastes; and what to do instead."""

    def _grid(self) -> Grid:
        notes = [*self.hazards, *self.warnings, *filter(None, [self.price])]
        notes += [f"Caution, {who}: {words}" for who, words in self.caution_lines()] + [
            *filter(None, [self.judged]),
            BENCH_CAUTION,
        ]
        caption = f"{self.title}, {self.total}{f', batch {self.number}' if self.number else ''}"
        return weighing_list(self.rows).grid(caption, tuple(notes))

    def describe(self) -> Paper:
        """The sheet as it is to be shown."""
        return describing.paper(self)

    def caution_lines(self) -> tuple[tuple[str, str], ...]:
        """(ingredient, all its cautions), the ingredient with the gravest first; what they all close with is left to the end."""
        return _caution_lines(self.cautions)

    def gravest_cautions(self) -> tuple[tuple[str, str], ...]:
        """The cautions that belong at the head of the sheet: those of the gravest level that there is, of a few at most."""
        return _caution_lines(self._gravest())[:AT_THE_HEAD]

    def further_cautions(self) -> tuple[tuple[str, str], ...]:
        """The cautions that stand behind the work: all others."""
        kept = [who for who, _ in self.gravest_cautions()]
        head = [pair for pair in self._gravest() if pair[0] in kept]
        return _caution_lines(pair for pair in self.cautions if pair not in head)

    def _gravest(self) -> list[tuple[str, Caution]]:
        level = self.cautions[0][1].level if self.cautions else ""
        return [(who, caution) for who, caution in self.cautions if caution.level == level]

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


def _caution_lines(cautions: Iterable[tuple[str, Caution]]) -> tuple[tuple[str, str], ...]:
    lines: dict[str, list[str]] = {}
    for who, caution in cautions:
        law = f" [{', '.join(filter(None, (caution.law, caution.date)))}]" if caution.law else ""
        lines.setdefault(who, []).append(f"({caution.level}) {caution.text.removesuffix(_SAID_ONCE).strip()}{law}")
    return tuple((who, " ".join(texts)) for who, texts in lines.items())


def bench_sheet(batch: Batch, press: bool | None = None) -> BenchSheet:
    """The bench sheet of a batch. `press` says whether the pressing steps belong on it; None: where the batch is pressed."""
    if press is None:
        press = batch.pressed
    ordered = in_order(batch)
    hazards = tuple(finding.text for finding in batch.safety)
    return BenchSheet(
        batch.composition.name or "batch",
        batch.number,
        batch.balance.text(batch.grams),
        tuple(_sheet_row(w, batch) for w in ordered),
        sequence(batch, press),
        tuple((i.name, c) for i, c in batch.cautions),
        tuple(warning for warning in batch.warnings if warning not in hazards),
        batch.price_text(),
        hazards,
        judged_words(batch.judged_as, region_of(batch.region)),
        batch.press_card if press else (),
        batch.lots,
        _accounts(batch, ordered),
    )


def _accounts(batch: Batch, ordered: tuple[Weighing, ...]) -> tuple[tuple[str, str], ...]:
    """Each dilution with how exact it is and what it wastes, and what could be one dilution instead."""
    made = [(f"{letter_of(w, batch)}, {_diluted(w)}", _account(w, batch)) for w in ordered if w.mixed]
    if batch.together:
        return tuple(made)
    could = joint_dilutions(batch.composition, batch.grams, batch.balance, batch.error_limit)
    return (*made, *((f"{joint.names} together", f"{joint.text()} {_TOGETHER}") for joint in could))


_TOGETHER = "Choose 'one dilution for several' to have it among the steps."


def _diluted(weighing: Weighing) -> str:
    """The names of what comes in one dilution."""
    return weighing.ingredient.name if weighing.joint is None else weighing.joint.names


def _sheet_row(weighing: Weighing, batch: Batch) -> SheetRow:
    order, stage = mixing_stage(weighing.ingredient)
    show, letter = batch.balance.text, letter_of(weighing, batch)
    if weighing.joint is not None:
        amount, note = show(weighing.joint.take), f"of mixture {letter}, in {weighing.joint.diluent.name}"
        note = f"{note}; it holds {weighing.joint.holds()}"
        return SheetRow(order, stage, weighing.joint.names, amount, note)
    if weighing.aliquot is not None:
        amount = show(weighing.aliquot.take)
        note = f"of {weighing.made} {letter}, in {weighing.aliquot.diluent.name}; it holds {weighing.content:.4g} g"
    elif weighing.direct <= 0 < weighing.content:
        amount, note = "–", f"{show(weighing.grams)} in all, which comes with the extension"
    else:
        amount, note = show(weighing.direct), ""
        if weighing.direct < weighing.content - 1e-12:
            note = f"{show(weighing.grams)} in all; the rest comes with the dilutions"
    return SheetRow(order, stage, weighing.ingredient.name, amount, "; ".join(filter(None, (note, weighing.note))))


MUCH_WASTE = 5
"""How many times its own amount an ingredient may be wasted before the sheet speaks against its dilution (own judgement)."""


def _account(weighing: Weighing, batch: Batch) -> str:
    """How far a dilution may be off in all, what of it is left over, what that is worth, and what to do where it is much.

    Of a dilution of several the worst of them counts.
    """
    joint = weighing.joint
    members = [weighing] if joint is None else [batch.weighing(ingredient) for ingredient, _, _ in joint.parts]
    worst = max(member.whole_error for member in members)
    text = f"May be off by {100 * worst:.2g} % in all"
    text += f", above your limit of {100 * batch.error_limit:g} %" if worst > batch.error_limit * (1 + 1e-9) else ""
    left = joint.left_over if joint is not None else weighing.aliquot.left_over if weighing.aliquot is not None else 0.0
    wasted = listed([f"{member.wasted:.3g} g of {member.ingredient.name}" for member in members])
    text += f". Left over: {left:.3g} g of mixture with {wasted}"
    prices = dict(batch.prices)
    if any(member.ingredient.id in prices for member in members):
        money = f" {batch.currency}" if batch.currency else ""
        text += f", worth {math.fsum(prices.get(m.ingredient.id, 0.0) * m.wasted for m in members):.2f}{money}"
    if weighing.extended:
        return f"{text}; label it: with the rest of the extension the shade is corrected."
    much = max(members, key=lambda member: member.wasted / member.content if member.content > 0 else 0.0)
    if much.wasted <= MUCH_WASTE * much.content:
        return f"{text}; label it for the next batch."
    scarcest = min(member.content for member in members)
    enough = batch.grams * batch.balance.least_divisions * batch.balance.readability / scarcest
    times = figure_text(float(f"{much.wasted / much.content:.2g}"))
    return (
        f"{text}, {times} times what goes in: make {enough:.0f} g, where it is weighed straight, keep the mixture for the next"
        " batch, or leave it out."
    )
