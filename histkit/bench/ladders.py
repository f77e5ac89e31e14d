"""A ladder of small trial presses: shares a step apart around a middle one, each with what to weigh for it."""

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
    return Grid(columns, tuple(rows), caption, warnings)


def _weighing_text(w: Weighing) -> str:
    if w.aliquot is None:
        amount = f"{w.direct:g} g"
    else:
        amount = f"{w.content:.3g} g, as {w.aliquot.take:g} g of its mixture with {w.aliquot.diluent.name}"
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
