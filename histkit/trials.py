"""Small trial presses: a ladder of shares with its weighings, a log of what came of them, and a suggestion for the next one.

The suggestion rests on two rules that practice agrees on (common practice, no source): with more binder a cake holds better,
and with more binder it gives off less. Each is fitted as a logistic curve that can only rise, or only fall, over all plausible
curves weighted by how well they explain the log; what comes out is a suggestion with its uncertainty, no measurement.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable
from dataclasses import asdict, dataclass, fields, replace
from decimal import ROUND_CEILING, Decimal
from typing import TYPE_CHECKING, Literal

from histkit import tables
from histkit.checking import is_number, is_whole
from histkit.composition import Composition
from histkit.errors import BadValue
from histkit.model import Ingredient, Spread
from histkit.tabular import Cell, Column, Grid, Tabular

if TYPE_CHECKING:
    from histkit.batching import Balance, Batch
    from histkit.pressing import PressedFormula
    from histkit.weighing import Weighing

Varied = Literal["binder", "oil"]


@dataclass(frozen=True, slots=True)
class Trial(Tabular):
    """One small press and what came of it. Shares are of the finished cake (0–1); pressure in MPa.

    `drops_survived`: how many drops of the drop test (about 20–25 cm, flat, onto wood) it stood; `payoff` from 0 (nothing comes
    off) to 5 (comes off freely); None: not tried. `notes` are your own words; the fault table is looked up in them.
    """

    number: int
    binder_share: float
    oil_share: float = 0.0
    pressure: float | None = None
    drops_survived: int | None = None
    crumbles: bool | None = None
    payoff: int | None = None
    glazes: bool | None = None
    notes: str = ""

    def __post_init__(self) -> None:
        for what, share in (("binder_share", self.binder_share), ("oil_share", self.oil_share)):
            if not (is_number(share) and 0 <= share < 1):
                raise BadValue(f"{what} of trial {self.number} is 0 or more and below 1 (0.05 is 5 %), not {share!r}")
        if self.pressure is not None and not (is_number(self.pressure) and self.pressure > 0):
            raise BadValue(f"the pressure of trial {self.number} is a number of MPa above 0, not {self.pressure!r}")
        if self.payoff is not None and self.payoff not in range(6):
            raise BadValue(f"the payoff of trial {self.number} runs from 0 to 5, not {self.payoff!r}")
        if self.drops_survived is not None and self.drops_survived < 0:
            raise BadValue(f"the drops survived in trial {self.number} are 0 or more, not {self.drops_survived!r}")

    def held(self, drops: int = 3) -> bool | None:
        """Whether the cake held together: stood so many drops and did not crumble. None where neither was tried."""
        if self.crumbles is None and self.drops_survived is None:
            return None
        return not self.crumbles and (self.drops_survived is None or self.drops_survived >= drops)

    def gave(self, payoff: int = 3) -> bool | None:
        """Whether it gave off well: payoff of so much and no glaze. None where neither was tried."""
        if self.glazes is None and self.payoff is None:
            return None
        return not self.glazes and (self.payoff is None or self.payoff >= payoff)

    def faults(self) -> tuple[Fault, ...]:
        """What the fault table says to this trial."""
        words = [self.notes]
        words += ["crumbles"] if self.crumbles or self.drops_survived == 0 else []
        words += ["glazed"] if self.glazes else []
        words += ["no payoff"] if self.payoff == 0 else []
        return faults_in("; ".join(words))

    def _grid(self) -> Grid:
        return _trials_grid((self,), f"Trial {self.number}")


def _trials_grid(trials: Iterable[Trial], caption: str) -> Grid:
    columns = (
        Column("number", "Trial", 0),
        Column("binder", "Binder, %", 2),
        Column("oil", "Oil, %", 2),
        Column("pressure", "MPa"),
        Column("drops", "Drops stood"),
        Column("crumbles", "Crumbles"),
        Column("payoff", "Payoff, 0 to 5"),
        Column("glazes", "Glazes"),
        Column("notes", "Notes"),
        Column("remedies", "What to try"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            t.number,
            100 * t.binder_share,
            100 * t.oil_share,
            t.pressure,
            t.drops_survived,
            t.crumbles,
            t.payoff,
            t.glazes,
            t.notes,
            "; ".join(f.remedy for f in t.faults()),
        )
        for t in trials
    ]
    return Grid(columns, tuple(rows), caption)


@dataclass(frozen=True, slots=True)
class TrialLog(Tabular):
    """The trials of one powder, in the order in which they were pressed."""

    trials: tuple[Trial, ...] = ()
    name: str = ""

    def add(self, trial: Trial) -> TrialLog:
        """The log with one more trial; a trial of the same number is replaced (its results came in)."""
        kept = tuple(t for t in self.trials if t.number != trial.number)
        return replace(self, trials=tuple(sorted((*kept, trial), key=lambda t: t.number)))

    def _grid(self) -> Grid:
        return _trials_grid(self.trials, f"Trials: {self.name}" if self.name else "Trials")

    def to_json(self) -> str:
        """The log as JSON text; `from_json` gives an equal one."""
        return json.dumps({"name": self.name, "trials": [asdict(t) for t in self.trials]}, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> TrialLog:
        try:
            data = json.loads(text)
            known = {f.name for f in fields(Trial)}
            strange = sorted({key for entry in data["trials"] for key in entry} - known)
            if strange:
                raise BadValue(f"a trial has no {', '.join(strange)}; it has {', '.join(sorted(known))}")
            return cls(tuple(Trial(**entry) for entry in data["trials"]), str(data["name"]))
        except (json.JSONDecodeError, KeyError, TypeError, AttributeError) as error:
            raise BadValue(f"this is not a trial log that histkit wrote: {error}") from error


@dataclass(frozen=True, slots=True)
class Fault(Tabular):
    """A fault of a pressed cake with its cause and remedy."""

    id: str
    fault: str
    cause: str
    remedy: str
    mark: str
    source: str

    def _grid(self) -> Grid:
        heads = (("fault", "Fault"), ("cause", "Cause"), ("remedy", "What to try"), ("source", "Source"))
        columns = tuple(Column(key, head) for key, head in heads)
        return Grid(columns, ((self.fault, self.cause, self.remedy, f"{self.mark}: {self.source}"),), "Fault")


def faults_in(words: str) -> tuple[Fault, ...]:
    """The faults of `faults.csv` that these words of a maker speak of; none where none is recognised.

    A word counts where it begins a word of the text, and not after "no", "not" or "without" ("no cracks").
    """
    text = " ".join(words.lower().replace(",", " ").replace(".", " ").replace(";", " ").split())
    return tuple(
        Fault(row["id"], row["fault"], row["cause"], row["remedy"], row["mark"], row["source"])
        for row in tables.read("faults")
        if any(_speaks_of(text, stem) for stem in tables.words(row, "words"))
    )


def _speaks_of(text: str, stem: str) -> bool:
    padded, start = f" {text}", 0
    while (at := padded.find(f" {stem}", start)) >= 0:
        before = padded[:at].split()
        if not before or before[-1] not in ("no", "not", "without", "never", "nor"):
            return True
        start = at + 1
    return False


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
) -> Ladder:
    """`count` small presses of `grams_each`, their share of binder (or oil) `step` apart around `around`.

    From a pressed formula, its binder and oil are kept and `around` is its own share; from a loose composition those of
    the arguments are used. Shares below 0 are left out (the ladder then starts at 0 upwards). Each trial is weighed from
    the powder, blended once, its binder and its oil; what is too small for the balance comes as an aliquot in the powder.

    Raises Forbidden while the powder holds what must not be used, BadValue for a formula without the binder that is varied.
    """
    from histkit.batching import Balance, batch
    from histkit.pressing import press

    if not is_whole(count) or not 1 <= count <= 20:
        raise BadValue(f"count is a whole number of trials from 1 to 20, not {count!r}")
    if not (math.isfinite(step) and 0 < step < 0.5):
        raise BadValue(f"step is a share above 0 and below 0.5 (0.01 is one per cent), not {step!r}")
    if vary not in ("binder", "oil"):
        raise BadValue(f"vary is 'binder' or 'oil', not {vary!r}")
    if isinstance(pressed, Composition):
        start = press(pressed, binder, binder_share, oil, oil_share if oil is not None else 0.0)
    else:
        start = pressed
    kind = "dry" if vary == "binder" else "liquid"
    chosen = next((b for b in start.binders if b.kind == kind), None)
    if chosen is None:
        raise BadValue(f"this formula has no {kind} binder whose share could be varied")
    middle = chosen.target if around is None else around
    if not (math.isfinite(middle) and 0 <= middle < 1):
        raise BadValue(f"around is a share, 0 or more and below 1 (0.05 is 5 %), not {around!r}")
    lowest = max(0.0, middle - step * (count - 1) / 2)
    steps = []
    scales = balance or Balance()
    for place in range(count):
        share = round(lowest + step * place, 6)
        targets = {b.ingredient: (share if b is chosen else b.target) for b in start.binders}
        dry: dict[Ingredient | str, float] = {b.ingredient: targets[b.ingredient] for b in start.binders if b.kind == "dry"}
        liquid: dict[Ingredient | str, float] = {b.ingredient: targets[b.ingredient] for b in start.binders if b.kind == "liquid"}
        made = press(start.powder, dry, oil=liquid, of=start.of)
        trial = Trial(place + 1, _total(made, "dry"), _total(made, "liquid"))
        steps.append(LadderStep(trial, made, batch(_as_weighed(made), grams_each, scales, number=f"trial {place + 1}")))
    # A tenth more powder than the trials take, for what sticks to the tools (common practice).
    powder = 1.1 * math.fsum(s.batch.to_weigh[_BASE] for s in steps)
    whole = (Decimal(str(powder)) / scales.division).to_integral_value(ROUND_CEILING)
    return Ladder(tuple(steps), vary, float(whole * scales.division))


def _total(pressed: PressedFormula, kind: str) -> float:
    return math.fsum(b.share for b in pressed.binders if b.kind == kind)


_BASE = "blended-powder"


def _as_weighed(pressed: PressedFormula) -> Composition:
    """The cake as three things to weigh: the powder, blended before, and what is added to it."""
    from histkit.batching import refuse_forbidden

    refuse_forbidden(pressed.powder)
    base = Ingredient(_BASE, pressed.powder.name or "the blended powder", kind="preparation", state="powder")
    masses: list[tuple[Ingredient | str, float]] = [(base, 1.0)]
    masses += [(b.ingredient, b.added) for b in pressed.binders if b.added > 0]
    return Composition.of(masses, pressed.powder.name)


@dataclass(frozen=True, slots=True)
class Proposal(Tabular):
    """A suggestion for the next trial: a share of binder with its spread, how likely it is to hold and to give off, and why."""

    share: Spread
    holds: float
    gives: float
    reason: str

    def _grid(self) -> Grid:
        columns = (
            Column("share", "Try, % of the cake"),
            Column("holds", "Likely to hold, %", 0),
            Column("gives", "Likely to give off, %", 0),
        )
        shown = str(self.share * 100)
        return Grid(columns, ((shown, 100 * self.holds, 100 * self.gives),), "Suggestion for the next trial", (self.reason,))


_MIDPOINTS = tuple(i * 0.0025 for i in range(1, 121))
_WIDTHS = (0.0025, 0.005, 0.01, 0.02, 0.04)
"""Curves that are weighed: turning at 0.25 to 30 %, sharp within a quarter of a per cent up to blurred over four."""


def propose(log: TrialLog, vary: Varied = "binder", drops: int = 3, payoff: int = 3) -> Proposal:
    """A share for the next trial from what the log holds: where holding together and giving off are both likeliest.

    `drops` and `payoff` say what counts as holding and as giving off. Raises BadValue where no trial has a result yet.
    """
    points = [(t.binder_share if vary == "binder" else t.oil_share, t.held(drops), t.gave(payoff)) for t in log.trials]
    held = [(share, bool(result)) for share, result, _ in points if result is not None]
    gave = [(share, bool(result)) for share, _, result in points if result is not None]
    if not held and not gave:
        raise BadValue("no trial in the log has a result yet: note drops_survived or crumbles, payoff or glazes")
    rising, falling = _weigh(held, 1), _weigh(gave, -1)
    top = max(share for share, _, _ in points)
    shares = [i * 0.001 for i in range(0, min(300, int(1000 * (top + 0.05))) + 1)]
    holds = [_mean(rising, share, 1) if held else 1.0 for share in shares]
    gives = [_mean(falling, share, -1) if gave else 1.0 for share in shares]
    good = [h * g for h, g in zip(holds, gives, strict=True)]
    best = max(range(len(shares)), key=lambda i: (good[i], -i))
    if not gave:  # nothing pulls downward: take the least that holds in nine of ten
        best = next((i for i, h in enumerate(holds) if h >= 0.9), len(shares) - 1)
    elif not held:
        best = next((i for i in reversed(range(len(shares))) if gives[i] >= 0.9), 0)
    if held and gave:
        spread = Spread.over((s for s, likely in zip(shares, good, strict=True) if likely >= 0.9 * good[best]), shares[best])
    else:
        spread = _blur(shares[best], rising if held else falling)
    told = "holding" if not gave else "giving off" if not held else "holding and giving off"
    reason = (
        f"A suggestion from {len(held)} trials of holding and {len(gave)} of giving off: logistic curves for {told} over the"
        f" share of {vary}, one rising and one falling (common practice, no source). Few trials leave a wide range; press again"
        " and note the result."
    )
    return Proposal(spread, holds[best], gives[best], reason)


def _logistic(share: float, midpoint: float, width: float, sign: int) -> float:
    return 1 / (1 + math.exp(max(-60.0, min(60.0, -sign * (share - midpoint) / width))))


def _weigh(points: list[tuple[float, bool]], sign: int) -> list[tuple[float, float, float]]:
    """(midpoint, width, weight) of every curve, by how likely it makes the results; one in fifty results may be a slip."""
    curves = []
    for midpoint in _MIDPOINTS:
        for width in _WIDTHS:
            likelihood = 1.0
            for share, result in points:
                chance = 0.02 + 0.96 * _logistic(share, midpoint, width, sign)
                likelihood *= chance if result else 1 - chance
            curves.append((midpoint, width, likelihood))
    total = math.fsum(weight for _, _, weight in curves)
    return [(midpoint, width, weight / total) for midpoint, width, weight in curves]


def _mean(curves: list[tuple[float, float, float]], share: float, sign: int) -> float:
    return math.fsum(weight * _logistic(share, midpoint, width, sign) for midpoint, width, weight in curves)


def _blur(share: float, curves: list[tuple[float, float, float]]) -> Spread:
    """The share with the middle half of where the curve may turn on either side."""
    weights: dict[float, float] = {}
    for midpoint, _, weight in curves:
        weights[midpoint] = weights.get(midpoint, 0.0) + weight
    running, quarter = 0.0, [0.0, 0.0]
    for midpoint in sorted(weights):
        before, running = running, running + weights[midpoint]
        if before < 0.25 <= running:
            quarter[0] = midpoint
        if before < 0.75 <= running:
            quarter[1] = midpoint
    half = (quarter[1] - quarter[0]) / 2
    return Spread(max(0.0, share - half), share, share + half)
