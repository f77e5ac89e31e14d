"""What is done with a batch, from clean tools to the patch test, as one sequence: what comes in at each step, what is there then.

Everything is counted in whole divisions of the balance, so that the mortar holds the whole batch in the end, to the last digit.
Powders go in by geometric dilution: the smallest first, each next one in portions no larger than what is in the mortar; the
colours are rubbed down with as much again of the largest powder before the rest, and what is left of that comes last. Fats and
oils follow, scents at the end.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import TYPE_CHECKING

from histkit.base import tables
from histkit.base.bibliography import sourced
from histkit.base.errors import TableError
from histkit.base.grid import Column, Grid
from histkit.base.text import listed
from histkit.bench.consistency import Consistency, consistency
from histkit.bench.steps import ProcessStep, process_steps
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.weighing import Balance, Weighing

SMALL_BESIDE = 10
"""How many times more must be in the mortar for a powder to be called small beside it (common practice: a tenth)."""
_WATER = "water"
"""The kind of the glossary that goes into oils and salves late."""
ALONE = 2
"""A powder of up to twice what is in the mortar is rubbed down together with it, without portions (own judgement)."""


@dataclass(frozen=True, slots=True)
class BenchStep(Tabular):
    """One step with a batch. `puts` are (what, grams) that come into the mortar, `holds` the grams that are in it afterwards,
    None as long as nothing is in it. `time` says how long it takes, in words.
    """

    stage: str
    step: str
    detail: str = ""
    time: str = ""
    puts: tuple[tuple[str, float], ...] = ()
    holds: float | None = None
    vessel: str = ""
    """Where it is and how much that holds then, in words."""

    def timing(self) -> str:
        """How long it takes, in words; '' where practice has no figure."""
        return self.time

    def text(self) -> str:
        """The step in one paragraph, as the sheet prints it."""
        detail = f" ({self.detail})" if self.detail else ""
        words = f"{self.step}{detail}{f' [{self.time}]' if self.time else ''}".removesuffix(".")
        return f"{words}.{f' {self.vessel}.' if self.vessel else ''}"

    def _grid(self) -> Grid:
        heads = (("stage", "Stage"), ("step", "Step"), ("time", "Time"), ("detail", "How"), ("holds", "Then there"))
        row = (self.stage, self.step, self.time, self.detail, self.holds)
        return Grid(tuple(Column(key, head) for key, head in heads), (row,), "Step")


def mixing_stage(ingredient: Ingredient) -> tuple[int, str]:
    """(when, in words) an ingredient comes into the mixture, by `mixing_order.csv` (common practice): the first row that fits."""
    chief = {r.role for r in ingredient.roles if r.main}
    state = "semisolid" if consistency(ingredient) == "fat" else ingredient.state or "powder"
    for row in sourced("bench/mixing_order"):
        states, roles = tables.words(row, "states"), tables.words(row, "roles")
        if (not states or state in states) and (not roles or chief & set(roles)):
            return int(row["order"]), row["words"]
    raise TableError("histkit/bench/mixing_order.csv: its last row must fit every ingredient")


@dataclass(frozen=True, slots=True)
class Charge:
    """Something that goes into the mortar: its words, whole divisions of the balance, and when it comes in.

    `mixture` is the letter of the dilution that it is a portion of, '' for what is weighed straight; `made` says how that is
    made, step by step, `of` names what is diluted in it, `colour` whether it is a colour or a dilution of one.
    """

    words: str
    amount: int
    order: int
    state: Consistency
    colour: bool
    mixture: str = ""
    of: str = ""
    made: tuple[str, ...] = ()
    watery: bool = False
    """Whether it is a water, which goes in after the oils."""
    title: str = "Dilution"
    """What is made first of it, as a title: a dilution, or a colour extension."""


def charges(batch: Batch) -> tuple[Charge, ...]:
    """All that goes into the mortar, in the order of weighing; together they are the batch."""
    out = []
    for weighing in in_order(batch):
        ingredient, letter = weighing.ingredient, letter_of(weighing, batch)
        words, amount, state, of = ingredient.name, weighing.direct, consistency(ingredient), ""
        if (dilution := weighing.joint or weighing.aliquot) is not None:
            of = ingredient.name if weighing.joint is None else weighing.joint.names
            diluent, amount = dilution.diluent, dilution.take
            words, state = f"{weighing.made} {letter} ({of} in {diluent.name})", consistency(diluent)
        if (whole := _divisions(amount, batch.balance)) > 0:
            colour = any(role.main and role.role == "colour" for role in ingredient.roles)
            made = dilution_steps(weighing, batch)
            watery = not letter and ingredient.kind == _WATER
            title = "Extension" if weighing.extended else "Dilution"
            out.append(Charge(words, whole, mixing_stage(ingredient)[0], state, colour, letter, of, made, watery, title))
    return tuple(out)


def dilution_steps(weighing: Weighing, batch: Batch) -> tuple[str, ...]:
    """How the dilution is made by which an ingredient comes in; () where it is weighed straight."""
    letter = letter_of(weighing, batch)
    if weighing.joint is not None:
        return (weighing.joint.step(letter),)
    return () if weighing.aliquot is None else weighing.aliquot.steps(weighing.ingredient.name, batch.balance, letter)


def in_order(batch: Batch) -> tuple[Weighing, ...]:
    """The weighings in the order in which they are weighed; of what comes in one dilution the first alone."""
    ordered = sorted(batch.weighings, key=lambda w: (mixing_stage(w.ingredient)[0], w.grams))
    firsts = {w.joint or w.ingredient: w for w in reversed(ordered)}
    return tuple(w for w in ordered if firsts[w.joint or w.ingredient] is w)


def letter_of(weighing: Weighing, batch: Batch) -> str:
    """The letter of the dilution by which an ingredient is weighed ('A', 'B' … 'Z', 'A2' …), '' where it is weighed straight."""
    if not weighing.mixed:
        return ""
    dilutions = list(dict.fromkeys(w.joint or w.ingredient for w in batch.weighings if w.mixed))
    round_, place = divmod(dilutions.index(weighing.joint or weighing.ingredient), 26)
    return f"{chr(ord('A') + place)}{round_ + 1 if round_ else ''}"


def _divisions(grams: float, balance: Balance) -> int:
    return round(Decimal(str(round(grams, 9))) / balance.division)


def sequence(batch: Batch, press: bool) -> tuple[BenchStep, ...]:
    """The steps of a batch in their order, from `process_steps.csv` (common practice) and from what it is made of.

    `press` says whether it is pressed in the end.
    """
    return tuple(_Bench(batch, press).steps())


class _Bench:
    """A batch on its way through the mortar: what is in it, in divisions of the balance."""

    def __init__(self, batch: Batch, press: bool) -> None:
        self.batch, self.press = batch, press
        self.held = 0
        self.charges = charges(batch)
        self.dry = [c for c in self.charges if c.state == "powder"]
        self.practice = {step.id: step for step in process_steps()}

    def steps(self) -> Iterator[BenchStep]:
        """All of them."""
        yield self._usual("tools")
        if self.dry:
            yield self._usual("mask")
        straight = [c for c in self.charges if not c.mixture]
        if straight:
            yield self._usual("weigh", f": {self._list(straight)}")
        yield from self._dilutions()
        yield from self._powders()
        yield from self._liquids()
        yield from self._end()

    # -- words ----------------------------------------------------------------------------------------------------------

    def _show(self, amount: int) -> str:
        return self.batch.balance.text(float(amount * self.batch.balance.division))

    def _list(self, entries: Iterable[Charge]) -> str:
        return listed([f"{c.words} {self._show(c.amount)}" for c in entries])

    def _usual(self, key: str, more: str = "") -> BenchStep:
        """A step of common practice, with what is said of this batch; nothing comes into the mortar."""
        usual = self.practice[key]
        return replace(_as_bench(usual), step=usual.step + more, holds=self._grams() if self.held else None)

    def _put(self, key: str, words: str, entries: Iterable[tuple[str, int]]) -> BenchStep:
        """A step that brings something into the mortar."""
        brought = tuple(entries)
        self.held += sum(amount for _, amount in brought)
        unit = float(self.batch.balance.division)
        usual = _as_bench(self.practice[key])
        where = "mortar" if self.dry else "vessel"
        return replace(
            usual,
            step=words,
            puts=tuple((name, round(amount * unit, 9)) for name, amount in brought),
            holds=self._grams(),
            vessel=f"In the {where}: {self._show(self.held)}",
        )

    def _grams(self) -> float:
        return float(self.held * self.batch.balance.division)

    # -- before the mortar ------------------------------------------------------------------------------------------------

    def _dilutions(self) -> Iterator[BenchStep]:
        """The dilutions, stage by stage."""
        usual = _as_bench(self.practice["dilute"])
        for charge in self.charges:
            for words in charge.made:
                yield replace(usual, step=f"{charge.title} {charge.mixture}, {charge.of}: {words}")

    # -- into the mortar --------------------------------------------------------------------------------------------------

    def _powders(self) -> Iterator[BenchStep]:
        """The powders by geometric dilution; then blended, rested and sieved."""
        straight = [c for c in self.dry if not c.mixture and not c.colour]
        bulk = max(straight, key=lambda c: c.amount) if len(self.dry) > 1 and straight else None
        others = sorted((c for c in self.dry if c is not bulk), key=lambda c: c.amount)
        first, later = _rubbed_first(others)
        left = 0 if bulk is None else bulk.amount
        if first:
            step, taken = self._colours(first, bulk)
            left -= taken
            yield step
        for charge in later:
            yield self._powder(charge.words, charge.amount, False)
        if bulk is not None and left:
            yield self._powder(bulk.words, left, left < bulk.amount)
        if len(self.dry) > 1:
            yield self._usual("blend", f": all {self._show(self.held)}")
            yield self._usual("rest")
        if self.dry:
            yield self._usual("clumps", f": all {self._show(self.held)}")

    def _colours(self, first: list[Charge], bulk: Charge | None) -> tuple[BenchStep, int]:
        """The colours, and what is small beside them, rubbed down with as much again of the largest powder; how much of it."""
        held, parts = 0, []
        for charge in first:
            portions = _portions(held, charge.amount) if held and charge.amount > ALONE * held else [charge.amount]
            held += charge.amount
            parts.append(f"{charge.words} {self._show(charge.amount)}{self._in_portions(portions)}")
        extension = 0 if bulk is None else min(held, bulk.amount)
        entries = [(c.words, c.amount) for c in first]
        words = f"Rub down the colours: {listed(parts)}"
        if bulk is not None:
            words += f"; then with {self._show(extension)} of {bulk.words}, {_as_much(extension, held)}, until no streak shows"
            entries.append((bulk.words, extension))
        return self._put("colours", words, entries), extension

    def _powder(self, name: str, amount: int, rest: bool) -> BenchStep:
        """One powder, at once or in portions as large as what is there."""
        the = f"the rest of the {name}" if rest else name
        if not self.held:
            return self._put("mix", f"Put into the mortar: {the} {self._show(amount)}", [(name, amount)])
        portions = _portions(self.held, amount)
        blended = "blend well after each" if len(portions) > 1 else "blend"
        words = f"Add {the} {self._show(amount)}{self._in_portions(portions)}, and {blended}"
        return self._put("mix", words, [(name, amount)])

    def _in_portions(self, portions: list[int]) -> str:
        return f" in portions of {listed([self._show(p) for p in portions])}" if len(portions) > 1 else ""

    def _liquids(self) -> Iterator[BenchStep]:
        """Fats, oils and other liquids, scents last; then the clumps that they made are broken."""
        wet = [c for c in self.charges if c.state != "powder"]
        # A salve takes up its water before its scent, when it cools; a spirit dissolves the scent before water weakens it.
        late = not self.dry and not any(c.state == "fat" for c in wet)
        wet.sort(key=lambda c: (late and c.watery, c.order, c.watery, c.amount))
        told: set[str] = set()
        for charge in wet:
            fat = charge.state == "fat"
            key = ("fat" if fat else "oil") if self.dry else "melt" if fat else "stir"
            words = f"{self.practice[key].step}: {charge.words} {self._show(charge.amount)}"
            step = self._put(key, words, [(charge.words, charge.amount)])
            yield replace(step, detail="", time="") if key in told else step
            told.add(key)
        if wet and self.dry:
            yield self._usual("rest")
            yield self._usual("again", f": all {self._show(self.held)}")

    # -- out of the mortar ------------------------------------------------------------------------------------------------

    def _end(self) -> Iterator[BenchStep]:
        """Wetting, pressing or filling, and the patch test; the whole batch is there."""
        if self.press:
            for liquid, grams in self.batch.wetting:
                usual = self.practice["wet"]
                words = f"{usual.step}: {self.batch.balance.text(grams)} of {liquid.name}"
                yield replace(_as_bench(usual), step=words, holds=self._grams())
        for usual in process_steps("press" if self.press else "loose"):
            if usual.id != "wet":
                yield self._usual(usual.id, f": all {self._show(self.held)}" if usual.id in ("fill", "jar") else "")
        yield self._usual("patch")


def _as_bench(step: ProcessStep) -> BenchStep:
    return BenchStep(step.stage, step.step, step.detail, step.timing())


def _rubbed_first(others: list[Charge]) -> tuple[list[Charge], list[Charge]]:
    """(the colours with what is small beside them when they are rubbed down, the other powders), either rising."""
    colours = [c for c in others if c.colour]
    rubbed = 2 * sum(c.amount for c in colours)
    first = [c for c in others if c.colour or c.amount * SMALL_BESIDE < rubbed]
    return (first, [c for c in others if c not in first]) if colours else ([], others)


def _portions(held: int, amount: int) -> list[int]:
    """An amount in portions no larger than what is there when they come in; a last pinch goes with the portion before it."""
    portions, there, left = [], held, amount
    while left > 0:
        portions.append(min(there, left))
        there, left = there + portions[-1], left - portions[-1]
    if len(portions) > 1 and portions[-1] * SMALL_BESIDE < portions[-2]:
        pinch = portions.pop()
        portions[-1] += pinch
    return portions


def _as_much(extension: int, held: int) -> str:
    return "as much again" if extension == held else "all of it"
