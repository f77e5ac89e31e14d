"""The record: a formula with all choices made about it, and the way from it to every noun."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from histkit.base import fields as shapes
from histkit.base.errors import BadValue, Forbidden
from histkit.base.fields import kept
from histkit.base.nouns import Source, Spread
from histkit.bench.batch_record import BatchRecord, ShoppingList, shopping_list
from histkit.bench.batching import Batch
from histkit.bench.drying import dry_basis
from histkit.bench.extension import Extension
from histkit.bench.label import LabelDraft, label_draft
from histkit.bench.ladders import IncrementalLadder, Ladder, incremental_ladder, ladder
from histkit.bench.pans import Filling, PansNeed
from histkit.bench.press_card import PressCard
from histkit.bench.pressing import PressedFormula
from histkit.bench.pressures import PressPressure, alike_words
from histkit.bench.profiles import BaseProfile, base_profile
from histkit.bench.proposals import Proposal, propose
from histkit.bench.scent import Scent
from histkit.bench.sizing import smallest_batch
from histkit.bench.trials import Trial, TrialLog, Varied
from histkit.composing.avoiding import unwanted
from histkit.composing.blending import Blend, solve_blend
from histkit.composing.composition import Composition
from histkit.composing.effects import Effects
from histkit.composing.quantities import KEPT
from histkit.composing.substitution import Suggestion, substitutes
from histkit.glossary.nouns import Ingredient
from histkit.keeping import working
from histkit.keeping.choices import (
    Companion,
    Constraints,
    Correction,
    Known,
    Pack,
    Pressing,
    Replacement,
    Scenting,
    TakenExtension,
    Weighing,
)
from histkit.keeping.form import from_text, schema_of, to_text
from histkit.keeping.photograph import Photograph, as_it_stands, finding, to_compare, with_compared, with_doubts
from histkit.keeping.shades import KeptCard, KeptSwatch
from histkit.photo.nouns import PhotoText
from histkit.reading.formula import Formula
from histkit.safety.evidence import Finding
from histkit.safety.gate import sorted_findings
from histkit.safety.products import Product, product_of
from histkit.telling.comparing import compare
from histkit.telling.comparison import ComparisonTable
from histkit.telling.viewers import CHOICES
from histkit.translating.translation import Translation
from histkit.translating.translator import translate


@dataclass(frozen=True)
class Record:
    """Everything that was chosen, and the way from it to every noun. Each noun is worked out once, when first asked for.

    `save`, `load` and `RecordFile` keep it as a JSON file; `schema()` (in the shell: `histkit record --schema`) describes that
    file as a JSON Schema.
    """

    text: str = kept("", "the formula as printed")
    source: Source = kept(Source, "the book it is from")
    convention: str | None = kept(None, "id of the convention of measures; null: chosen from the source")
    corrections: tuple[Correction, ...] = kept((), "what the maker put right in the reading")
    replacements: tuple[Replacement, ...] = kept((), "stand-ins, in the order in which they were put in")
    constraints: Constraints = kept(Constraints, "what the maker will not have, and whose law counts")
    pressing: Pressing | None = kept(None, "how it is pressed; null: it stays a loose powder")
    weighing: Weighing = kept(Weighing, "the batch that is made next")
    title: str = kept("", "a title that goes before the printed one")
    notes: str = kept("", "notes on the formula")
    trials: tuple[Trial, ...] = kept((), "the trial presses and what came of them")
    batches: tuple[Weighing, ...] = kept((), "the batches that were made, each with its number")
    prices: tuple[tuple[str, float], ...] = kept((), "pairs of an id and the price of one gram; such a price", least=0)
    currency: str = kept("", "the currency of the prices")
    known: tuple[Known, ...] = kept((), "unknown or contested names that the maker vouches for, with the reasons")
    swatches: tuple[KeptSwatch, ...] = kept((), "swatches of base, tints, powder and target, for the shade")
    packs: tuple[Pack, ...] = kept((), "what is at hand: lots, dates, sizes of packs")
    beside: tuple[Companion, ...] = kept((), "what is set side by side with the formula")
    scenting: Scenting = kept(Scenting, "how strong the scent is, and what is added to it")
    viewers: str = kept("", "what stands beside the grams for viewers", choices=CHOICES)
    extensions: tuple[TakenExtension, ...] = kept((), "the colour extensions that go into the powder, one for each pigment")
    card: KeptCard = kept(KeptCard, "the colour card beside which swatches are photographed")
    kept_as: str = kept("", "the name of its file among the maker's formulas, where it has one")
    photograph: Photograph | None = kept(None, "the photograph that the text was read from; null: it was typed or pasted")

    def __post_init__(self) -> None:
        shapes.check(self)

    # -- the formula --------------------------------------------------------------------------------------------------

    def formula(self) -> Formula:
        """The formula as read, with the maker's corrections in it."""
        return self._formula

    def translation(self) -> Translation:
        """What each line is today, in grams."""
        return self._translation

    def composition(self) -> Composition:
        """The composition with all replacements made; one whose ingredient is no longer there is passed over."""
        return self._composition

    def pressed(self) -> PressedFormula | None:
        """The pressed formula, or None where it stays a loose powder."""
        return self._pressed

    def final(self) -> Composition:
        """What is weighed: the cake where it is pressed, else the powder."""
        pressed = self.pressed()
        return pressed.composition if pressed is not None else self.composition()

    @cached_property
    def _formula(self) -> Formula:
        formula = working.formula_of(self.text, self.source, self.title, self.corrections)
        seen = self.seen()
        return formula if self.photograph is None or seen is None else with_doubts(self.photograph, seen, formula)

    @cached_property
    def _translation(self) -> Translation:
        return translate(self.formula(), self.convention)

    @cached_property
    def _composition(self) -> Composition:
        plain = working.composition_of(self.translation(), self.replacements, self.corrections, self.known)
        return working.tinted(working.scented(plain, self.scenting, self.weighing.own_drops), self.extensions)

    @cached_property
    def _pressed(self) -> PressedFormula | None:
        return None if self.pressing is None else working.pressed_from(self.composition(), self.pressing)

    # -- the photograph -----------------------------------------------------------------------------------------------

    def seen(self) -> PhotoText | None:
        """The words of the photograph with their places in the text as it is now; None where the text is from none."""
        return self._seen

    def to_compare(self) -> tuple[int, ...]:
        """The lines (from 0) whose amounts have not been compared with the photograph yet; none where the text is from none."""
        seen = self.seen()
        return () if self.photograph is None or seen is None else to_compare(self.photograph, seen, self.formula())

    def with_compared(self, lines: Iterable[int]) -> Record:
        """The record with the amounts of these lines (from 0) compared with the photograph."""
        seen, read = self.seen(), self.formula().lines
        if self.photograph is None or seen is None:
            return self
        return replace(self, photograph=with_compared(self.photograph, seen, [read[n] for n in lines if 0 <= n < len(read)]))

    @cached_property
    def _seen(self) -> PhotoText | None:
        return None if self.photograph is None else as_it_stands(self.photograph, self.text)

    # -- stand-ins ----------------------------------------------------------------------------------------------------

    def stand_ins(self, key: str) -> tuple[Suggestion, ...]:
        """Ranked stand-ins for the ingredient of that id, under the maker's constraints, in this product and beside the rest.

        Raises UnknownName as `substitutes` does.
        """
        law: dict[str, Any] = {"market": self.constraints.market, "product": self.product().id}
        return substitutes(key, avoid=self.constraints.avoid, beside=self.composition().ingredients, **law)

    def unwanted(self, ingredients: Iterable[Ingredient]) -> tuple[Ingredient, ...]:
        """Those of these ingredients that the maker's constraints bar. Raises UnknownName for a word that nobody knows."""
        return unwanted(ingredients, self.constraints.avoid)

    def blend(
        self,
        remove: str | Iterable[str],
        stand_ins: Iterable[str],
        keep: Iterable[str] = KEPT,
        bounds: Mapping[str, tuple[float, float]] | None = None,
        region: str = "",
        form: str = "",
    ) -> Blend:
        """The shares of several stand-ins that keep the work of what goes, as `histkit.solve_blend` finds them."""
        return solve_blend(self.composition(), remove, stand_ins, keep, bounds, region=region, form=form)

    def effects(self) -> Effects:
        """What all changes together do, from the formula as printed to what is weighed."""
        return self.translation().composition().effects(self.final(), dict(self.prices) or None)

    def base(self) -> BaseProfile | None:
        """What a powder such as this one usually takes to be pressed; None where nothing is known of its sort."""
        return base_profile(dry_basis(self.composition()).dry)

    def no_powder(self) -> str:
        """That the mixture is no powder to press, with what to do instead; '' where it is one."""
        return dry_basis(self.composition()).no_powder

    def scent(self, as_printed: bool = False) -> Scent:
        """The scent in the next batch, with its limits, allergens and cost; `as_printed` before the maker changed it.

        Raises BadValue where nothing in it is put in for its scent by drops or grams.
        """
        record = replace(self, scenting=Scenting()) if as_printed else self
        law, prices = self.constraints, dict(self.prices)
        return working.scent_of(record.pressed() or record.composition(), self.weighing, law, prices, self.currency)

    # -- pans and test presses ----------------------------------------------------------------------------------------

    def pans_need(self) -> PansNeed | None:
        """What the pans take and what to make for them (grams); None where there are no pans or it stays loose."""
        pressed = self.pressed()
        if pressed is None or self.pressing is None or not self.weighing.pans:
            return None
        return working.need_of_pans(pressed, self.pressing, self.weighing)

    def filling(self) -> Filling | None:
        """The pans and how they are pressed; None where there are no pans or it stays loose."""
        return None if self.pressing is None or not self.weighing.pans else working.filling_of(self.pressing, self.weighing)

    def pan_fill(self) -> Spread | None:
        """Grams of cake that the pans take, with their spread; None where there are no pans or it stays loose."""
        need = self.pans_need()
        return None if need is None else need.fill

    def pressure(self) -> PressPressure | None:
        """The pressure on a pan, and how it lies to the published window; None where nothing is said of how it is pressed."""
        return None if self.pressing is None else working.pressure_of(self.pressing, self.weighing)

    def press_card(self) -> PressCard | None:
        """How the pans are filled and pressed; None where there are no pans or it stays loose."""
        pressed = self.pressed()
        if pressed is None or self.pressing is None or not self.weighing.pans:
            return None
        return working.press_card_of(pressed, self.pressing, self.weighing)

    def log(self) -> TrialLog:
        """The trial presses as a log, with the pressure and the binders that are chosen."""
        return working.log_of(self.trials, self.title or self.formula().title, self.pressing, self.weighing)

    def proposal(self, vary: Varied = "binder") -> Proposal:
        """The share that the trial presses suggest for the next one. Raises BadValue where none has a result yet."""
        return propose(self.log(), vary)

    def trial_pressure(self, vary: Varied = "binder") -> Spread | None:
        """The pressure (MPa) for the next trial presses: what the trials suggest, else the chosen one; None where none is."""
        log = self.log()
        suggested = propose(log, vary).pressure if any(trial.has_result for trial in log.trials) else None
        return suggested or (None if log.pressure is None else Spread.exact(log.pressure))

    def press_words(self, vary: Varied = "binder") -> str:
        """How hard the next trial presses are pressed, in words."""
        return alike_words(self.trial_pressure(vary))

    def ladder(
        self, vary: Varied = "binder", count: int = 5, grams_each: float = 5.0, step: float = 0.01, around: float | None = None
    ) -> Ladder:
        """`count` small presses around a share (the chosen one where `around` is None), weighed on the maker's own balance.

        Raises:
            BadValue: it stays a loose powder. Forbidden: an ingredient that must not be used is still in it, or amounts have not
                been compared with the photograph.
        """
        self._was_compared()
        pressed = self.pressed()
        if pressed is None:
            raise BadValue("it stays a loose powder: choose first that it is pressed into a cake")
        law: dict[str, Any] = {"product": self.constraints.product, "region": self.constraints.market}
        return ladder(pressed, around, count, grams_each, self.weighing.scales(), step=step, vary=vary, **law)

    def incremental_ladder(
        self, vary: Varied = "binder", count: int = 5, grams_each: float = 5.0, step: float = 0.01, around: float | None = None
    ) -> IncrementalLadder:
        """As `ladder`, but one powder pressed again and again with a little more each time. Raises as `ladder`."""
        self._was_compared()
        pressed = self.pressed()
        if pressed is None:
            raise BadValue("it stays a loose powder: choose first that it is pressed into a cake")
        law: dict[str, Any] = {"product": self.constraints.product, "region": self.constraints.market}
        return incremental_ladder(pressed, around, count, grams_each, self.weighing.scales(), step=step, vary=vary, **law)

    # -- what keeps it from the bench ---------------------------------------------------------------------------------

    def product(self) -> Product:
        """The sort of product whose law counts: the maker's choice, or what the title speaks of."""
        return product_of(self.constraints.product, self.formula().title, self.pressing is not None)

    def findings(self) -> tuple[Finding, ...]:
        """What keeps it from the bench, and what the maker should know, the gravest first."""
        found = self.final().findings(self.constraints.product, self.constraints.market, self.pressing is not None)
        return sorted_findings([*found, *self._not_compared()])

    def _not_compared(self) -> list[Finding]:
        waiting = self.to_compare()
        return [finding(len(waiting), sum(not line.set_aside for line in self.formula().lines))] if waiting else []

    def _was_compared(self) -> None:
        """Raises Forbidden while amounts of a text from a photograph have not been compared with it."""
        for waiting in self._not_compared():
            raise Forbidden(waiting.text)

    def line_of(self, finding: Finding) -> int | None:
        """The line (from 0) whose printed words a finding speaks of; None where it is no line's."""
        return working.line_of(self.translation(), finding, self.corrections)

    # -- the batch ----------------------------------------------------------------------------------------------------

    def batch(self, number: str | None = None) -> Batch:
        """What to weigh: the next batch, or the one of that number among those that were made.

        Raises:
            Forbidden: something still keeps it from the bench (see `findings`).
            BadValue: there is no batch of that number; pans are to be filled and there are none, or it stays loose.
        """
        return self._next_batch if number is None else self._batch(number)

    def _ground(self) -> tuple[Extension, ...]:
        """The colour extensions of which the powder has the pigment."""
        return tuple(e.extension() for e in self.extensions if e.pigment in self.composition())

    @cached_property
    def _next_batch(self) -> Batch:
        return self._batch(None)

    def _batch(self, number: str | None) -> Batch:
        weighing = working.chosen_weighing(number, self.weighing, self.batches)
        self._was_compared()
        prices = dict(self.prices)
        mixture = self.composition()
        shown: dict[str, Any] = {"prices": prices, "currency": self.currency, "extensions": self._ground()}
        made = working.batch_of(self.pressed(), mixture, self.pressing, weighing, self.constraints, shown)
        return replace(made, lots=working.record_of_batch(made, weighing, self.packs).lines())

    def batch_record(self, number: str | None = None) -> BatchRecord:
        """Lots, dates, cost and waste of the next batch, or of the one of that number. Raises as `batch`."""
        weighing = working.chosen_weighing(number, self.weighing, self.batches)
        return working.record_of_batch(self.batch(number), weighing, self.packs)

    def shopping_list(self) -> ShoppingList:
        """What to buy for the next batch. Raises as `batch`."""
        sizes = {pack.ingredient: pack.sizes for pack in self.packs if pack.sizes}
        return shopping_list(self.batch(), dict(self.weighing.cupboard), sizes)

    def straight_from(self) -> float:
        """Grams from which on every ingredient is weighed straight on the maker's balance, within the limit of error."""
        return smallest_batch(self.final(), self.weighing.scales(), self.weighing.error_limit)

    def label(self, rinse_off: bool | None = None, may_contain: tuple[str, ...] = ()) -> LabelDraft:
        """The draft of a label for what is weighed; whether it is rinsed off is the product's own affair where None."""
        self._was_compared()
        rinsed = self.product().rinsed_off if rinse_off is None else rinse_off
        law: dict[str, Any] = {"product": self.constraints.product, "region": self.constraints.market}
        return label_draft(self.final(), rinsed, may_contain, **law)

    def table(self) -> ComparisonTable:
        """Old beside new. Without a batch as long as something forbidden is in it."""
        try:
            return compare(self.translation(), self.batch(), viewers=self.viewers)
        except Forbidden:
            return compare(self.translation(), composition=self.final(), viewers=self.viewers)

    # -- as text ------------------------------------------------------------------------------------------------------

    def to_json(self) -> str:
        """The record as JSON text; `from_json` gives an equal one. Its form is `schema()`."""
        return to_text(self)

    @classmethod
    def from_json(cls, text: str, name: str = "this record") -> Record:
        """The record that `to_json` wrote.

        Raises:
            RecordError: the text is no record, is cut off, was written by a newer histkit, or an entry does not fit; the text
                says which.
        """
        return from_text(cls, text, name)


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a record file.

    It is published as `histkit/keeping/record.schema.json`; `histkit record --schema` prints it.
    """
    return schema_of(Record)
