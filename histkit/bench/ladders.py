"""A ladder of small trial presses: shares a step apart, each with what to weigh for it.

A separate ladder (`ladder`) weighs every press from its own powder; an incremental one (`incremental_ladder`) presses the same
powder again and again, ground up with a little more of the binder or the oil each time, and takes far less of it.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import ROUND_CEILING, Decimal

from histkit.base.checking import is_number, is_whole
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench.batching import Batch, batch, refuse_unsafe
from histkit.bench.binders import Binder
from histkit.bench.pressing import PressedFormula, press
from histkit.bench.sequence import dilution_steps, letter_of
from histkit.bench.trials import Trial, TrialLog, Varied
from histkit.bench.weighing import Balance, Weighing
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient


@dataclass(frozen=True, slots=True)
class LadderStep(Tabular):
    """One trial of a ladder: the pressed formula, and what to weigh of the blended powder, the binder and the oil."""

    trial: Trial
    pressed: PressedFormula
    batch: Batch

    def _grid(self) -> Grid:
        return _ladder_grid((self,), f"Trial {self.trial.number}")


@dataclass(frozen=True, slots=True)
class Ladder(Tabular):
    """Several small presses around a share, ready to be weighed. `powder_grams`: blend this much powder first."""

    steps: tuple[LadderStep, ...]
    varied: Varied
    powder_grams: float

    @property
    def log(self) -> TrialLog:
        """An empty log with the planned trials in it."""
        return TrialLog(tuple(step.trial for step in self.steps), self.steps[0].pressed.powder.name)

    def _grid(self) -> Grid:
        return _ladder_grid(self.steps, f"Trial ladder: {self.varied} varied")


def _ladder_grid(steps: Iterable[LadderStep], caption: str) -> Grid:
    listed = tuple(steps)
    columns = (
        Column("number", "Trial", 0),
        Column("binder", "Binder, % of the cake", 2),
        Column("oil", "Oil, % of the cake", 2),
        Column("weighings", "Weigh"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            s.trial.number,
            100 * s.trial.binder_share,
            100 * s.trial.oil_share,
            "; ".join(_weighing_text(w) for w in s.batch.weighings),
        )
        for s in listed
    ]
    warnings = tuple(dict.fromkeys(w for s in listed for w in (*s.pressed.warnings, *s.batch.warnings)))
    return Grid(columns, tuple(rows), caption, (*warnings, *(words for s in listed for words in _dilutions(s))))


def _dilutions(step: LadderStep) -> Iterable[str]:
    """How the dilutions of a trial are made."""
    for weighing in step.batch.weighings:
        for words in dilution_steps(weighing, step.batch):
            letter = letter_of(weighing, step.batch)
            yield f"Trial {step.trial.number}, mixture {letter} ({weighing.ingredient.name}): {words}"


def _weighing_text(w: Weighing) -> str:
    amount = f"{w.direct:g} g" if w.aliquot is None else f"{w.content:.3g} g, as {w.aliquot.take:g} g of its mixture (below)"
    return f"{w.ingredient.name}: {amount}{f' ({w.note})' if w.note else ''}"


def ladder(
    pressed: PressedFormula | Composition,
    around: float | None = None,
    count: int = 5,
    grams_each: float = 5.0,
    balance: Balance | None = None,
    *,
    step: float = 0.01,
    vary: Varied = "binder",
    binder: str | Ingredient = "magnesium-stearate",
    oil: str | Ingredient | None = "jojoba-oil",
    binder_share: float = 0.05,
    oil_share: float = 0.03,
    product: str | None = None,
    region: str = "EU",
) -> Ladder:
    """`count` small presses of `grams_each`, their share of binder (or oil) `step` apart around `around`.

    From a pressed formula, its binder and oil are kept and `around` is its own share; from a loose composition those of
    the arguments are used. Shares below 0 are left out (the ladder then starts at 0 upwards). Each trial is weighed from
    the powder, blended once, its binder and its oil; what is too small for the balance comes as an aliquot in the powder.

    Raises Forbidden while the powder holds what must not be used, BadValue for a formula without the binder that is varied.
    """
    if not is_whole(count) or not 1 <= count <= 20:
        raise BadValue(f"count is a whole number of trials from 1 to 20, not {quoted(count)}")
    if not (is_number(step) and 0 < step < 0.5):
        raise BadValue(f"step is a share above 0 and below 0.5 (0.01 is one per cent), not {quoted(step)}")
    if vary not in ("binder", "oil"):
        raise BadValue(f"vary is 'binder' or 'oil', not {vary!r}")
    start = press(pressed, binder, binder_share, oil, oil_share) if isinstance(pressed, Composition) else pressed
    kind = "dry" if vary == "binder" else "liquid"
    chosen = next((b for b in start.binders if b.kind == kind), None)
    if chosen is None:
        raise BadValue(f"this formula has no {kind} binder whose share could be varied")
    middle = chosen.target if around is None else around
    if not (is_number(middle) and 0 <= middle < 1):
        raise BadValue(f"around is a share, 0 or more and below 1 (0.05 is 5 %), not {quoted(around)}")
    lowest = max(0.0, middle - step * (count - 1) / 2)
    scales = balance or Balance()
    shares = [round(lowest + step * place, 6) for place in range(count)]
    refuse_unsafe(start.powder, product, region, pressed=True)
    steps = tuple(_step(start, chosen, share, number, grams_each, scales) for number, share in enumerate(shares, start=1))
    # A tenth more powder than the trials take, for what sticks to the tools (common practice).
    powder = 1.1 * math.fsum(s.batch.to_weigh[_BASE] for s in steps)
    whole = (Decimal(str(round(powder, 6))) / scales.division).to_integral_value(ROUND_CEILING)
    return Ladder(steps, vary, float(whole * scales.division))


def _step(start: PressedFormula, varied: Binder, share: float, number: int, grams: float, balance: Balance) -> LadderStep:
    """The formula pressed with another share of one binder, and `grams` of it to weigh."""
    targets = {b.ingredient: (share if b is varied else b.target) for b in start.binders}
    dry: dict[Ingredient | str, float] = {b.ingredient: targets[b.ingredient] for b in start.binders if b.kind == "dry"}
    liquid: dict[Ingredient | str, float] = {b.ingredient: targets[b.ingredient] for b in start.binders if b.kind == "liquid"}
    pressed = press(start.powder, dry, oil=liquid, of=start.of)
    trial = Trial(number, _total(pressed, "dry"), _total(pressed, "liquid"))
    return LadderStep(trial, pressed, batch(_as_weighed(pressed), grams, balance, number=f"trial {number}"))


def _total(pressed: PressedFormula, kind: str) -> float:
    return math.fsum(b.share for b in pressed.binders if b.kind == kind)


_BASE = "blended-powder"


def _as_weighed(pressed: PressedFormula) -> Composition:
    """The cake as three things to weigh: the powder, blended before, and what is added to it."""
    base = Ingredient(_BASE, pressed.powder.name or "the blended powder", kind="preparation", state="powder")
    masses: list[tuple[Ingredient | str, float]] = [(base, 1.0)]
    masses += [(b.ingredient, b.added) for b in pressed.binders if b.added > 0]
    return Composition.of(masses, pressed.powder.name)


@dataclass(frozen=True, slots=True)
class Rung(Tabular):
    """One press of an incremental ladder: its shares, the grams to add to what is there, and the grams that there are then."""

    trial: Trial
    add: float
    holds: float

    def _grid(self) -> Grid:
        return _rungs_grid((self,), f"Trial {self.trial.number}", ())


@dataclass(frozen=True, slots=True)
class IncrementalLadder(Tabular):
    """The same powder pressed again and again, with a little more each time.

    `powder_grams` is the blended powder to begin with, `first` what is added to it before the first press (name, grams), `added`
    the name of what each rung adds; `separate_grams` the powder that as many separate presses would take.
    """

    rungs: tuple[Rung, ...]
    varied: Varied
    added: str
    powder_grams: float
    first: tuple[tuple[str, float], ...]
    separate_grams: float
    decimals: int = 2
    least: float = 0.0
    """The least that the balance weighs well, grams."""
    smallest: float = math.inf
    """The smallest addition that is wanted, before it is rounded, grams."""

    @property
    def log(self) -> TrialLog:
        """An empty log with the planned trials in it."""
        return TrialLog(tuple(rung.trial for rung in self.rungs))

    @property
    def notes(self) -> tuple[str, ...]:
        """How it is done, and what it cannot tell."""
        begin = _joined_grams(self.first, self.decimals)
        too_small = (
            (
                f"The balance weighs {self.least:g} g at least and some additions are less: press cakes"
                f" {math.ceil(10 * self.least / self.smallest) / 10:g} times as large, or weigh on a finer balance."
            )
            if self.smallest < self.least
            else ""
        )
        return (
            *filter(None, [too_small]),
            f"Begin with {self.powder_grams:.{self.decimals}f} g of the blended powder{f', {begin}' if begin else ''}; separate"
            f" presses would take {self.separate_grams:.{self.decimals}f} g of powder.",
            "Press, try it, grind it up again and sieve it, add what the next line says, and press at the same pressure.",
            "Powder that was pressed before packs closer and holds better: press the best share once more from fresh powder"
            " (common practice, no source).",
        )

    def _grid(self) -> Grid:
        return _rungs_grid(self.rungs, f"Trial ladder, one powder: {self.added} added step by step", self.notes, self.decimals)


def _joined_grams(parts: Iterable[tuple[str, float]], decimals: int) -> str:
    return " and ".join(f"{grams:.{decimals}f} g of {name}" for name, grams in parts)


def _rungs_grid(rungs: Iterable[Rung], caption: str, notes: tuple[str, ...], decimals: int = 2) -> Grid:
    columns = (
        Column("number", "Trial", 0),
        Column("binder", "Binder, % of the cake", 2),
        Column("oil", "Oil, % of the cake", 2),
        Column("add", "Add, g", decimals),
        Column("holds", "There is then, g", decimals),
    )
    rows = tuple((r.trial.number, 100 * r.trial.binder_share, 100 * r.trial.oil_share, r.add, r.holds) for r in rungs)
    return Grid(columns, rows, caption, notes)


def _held_of(pressed: PressedFormula, held: dict[Ingredient, float], kind: str) -> float:
    """The grams of all binders of a kind."""
    return math.fsum(held[b.ingredient] for b in pressed.binders if b.kind == kind and b.ingredient in held)


def incremental_ladder(
    pressed: PressedFormula,
    around: float | None = None,
    count: int = 5,
    grams_each: float = 5.0,
    balance: Balance | None = None,
    *,
    step: float = 0.01,
    vary: Varied = "binder",
    product: str | None = None,
    region: str = "EU",
) -> IncrementalLadder:
    """One powder pressed `count` times, with so much more of the binder (or the oil) each time that its share rises by `step`.

    With m grams there and the share p, x grams more make it (p m + x) / (m + x); so x = m (q - p) / (1 - q) for the share q.
    The amounts are rounded to the balance one after the other, and the shares given are those of the rounded ones. All of it is
    counted as kept; what clings to the tools changes the amounts, not the shares, as long as the next addition is taken for
    what is left (weigh it). The other binders are added at the beginning, so that their share falls a little. Raises as `ladder`.
    """
    separate = ladder(pressed, around, count, grams_each, balance, step=step, vary=vary, product=product, region=region)
    scales = balance or Balance()
    kind = "dry" if vary == "binder" else "liquid"
    chosen = next(b for b in pressed.binders if b.kind == kind)
    start = separate.steps[0].pressed
    unit = float(scales.division)

    def weighed(grams: float) -> float:
        return round(grams / unit) * unit

    # A tenth more than one press takes, for what sticks to the tools (common practice).
    powder = weighed(1.1 * grams_each / (1 + math.fsum(b.added for b in start.binders)))
    parts = {b.ingredient: weighed(b.added * powder) for b in start.binders if b.added > 0}
    mass = powder + math.fsum(parts.values())
    held = {b.ingredient: b.held * powder + parts.get(b.ingredient, 0.0) for b in start.binders}
    held.setdefault(chosen.ingredient, chosen.held * powder)
    wanted_adds = [b.added * powder for b in start.binders if b.added > 0]
    rungs = []
    for place, wanted in enumerate(separate.steps):
        add = 0.0
        if place:
            target = next((b.share for b in wanted.pressed.binders if b.ingredient == chosen.ingredient), 0.0)
            exact = (target * mass - held[chosen.ingredient]) / (1 - target)
            add = max(0.0, weighed(exact))
            wanted_adds.append(exact)
            held[chosen.ingredient] += add
            mass += add
        dry, oil = (_held_of(pressed, held, sort) / mass for sort in ("dry", "liquid"))
        rungs.append(Rung(Trial(place + 1, round(dry, 6), round(oil, 6)), round(add, 9), round(mass, 9)))
    first = tuple((i.name, grams) for i, grams in parts.items())
    return IncrementalLadder(
        tuple(rungs),
        vary,
        chosen.ingredient.name,
        round(powder, 9),
        first,
        separate.powder_grams,
        scales.decimals,
        scales.minimum,
        min((grams for grams in wanted_adds if grams > 0), default=math.inf),
    )
