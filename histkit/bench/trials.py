"""Small trial presses: a ladder of shares with its weighings, a log of what came of them, and a suggestion for the next one.

The suggestion rests on two rules that practice agrees on (common practice, no source): with more binder a cake holds better,
and with more binder it gives off less. From them follows between which shares the next trial lies: above what crumbled, not
above what held, below what glazed. Within these bounds a logistic curve that can only rise, and one that can only fall, are
weighed over all plausible curves by how well they explain the log; what comes out is a suggestion with its uncertainty, no
measurement.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from decimal import ROUND_CEILING, Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from histkit.base import tables
from histkit.base.checking import is_number, is_whole
from histkit.base.descriptions import Bars
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell, counted
from histkit.bench import describing
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.batching import Balance, Batch
    from histkit.bench.pressing import PressedFormula
    from histkit.bench.weighing import Weighing

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
        if not is_whole(self.number):
            raise BadValue(f"the number of a trial is a whole number, not {quoted(self.number)}")
        for what, share in (("binder_share", self.binder_share), ("oil_share", self.oil_share)):
            if not (is_number(share) and 0 <= share < 1):
                raise BadValue(f"{what} of trial {self.number} is 0 or more and below 1 (0.05 is 5 %), not {quoted(share)}")
        if self.pressure is not None and not (is_number(self.pressure) and self.pressure > 0):
            raise BadValue(f"the pressure of trial {self.number} is a number of MPa above 0, not {quoted(self.pressure)}")
        if self.payoff is not None and self.payoff not in range(6):
            raise BadValue(f"the payoff of trial {self.number} runs from 0 to 5, not {quoted(self.payoff)}")
        if self.drops_survived is not None and not (is_whole(self.drops_survived) and self.drops_survived >= 0):
            raise BadValue(f"the drops survived in trial {self.number} are whole, 0 or more, not {quoted(self.drops_survived)}")

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

    def describe(self, vary: Varied = "binder") -> Bars:
        """The trials and the suggestion for the next one as they are to be shown. Raises BadValue where none has a result."""
        return describing.trial_bars(self, vary, propose(self, vary), lambda shares: likelihoods(self, shares, vary))

    def to_picture(self, path: str | Path, size: Sequence[int] = (1920, 1080), vary: Varied = "binder") -> list[Path]:
        """The trials and the suggestion for the next one as a picture (.png, .svg, .pdf); the paths written."""
        from histkit.display import pictures

        return pictures.save(self.describe(vary), path, size)

    def to_svg(self, vary: Varied = "binder", proposal: Proposal | None = None) -> str:
        """The trials as a small drawing for the notebook, with the share that `proposal` suggests; '' where none has a result."""
        from histkit.display import points

        described = describing.trial_points(self, vary, proposal)
        return "" if described is None else points.to_svg(described)

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
    more: tuple[str, ...] = ()
    """Of which of "binder" and "oil" the next trial wants more."""
    less: tuple[str, ...] = ()

    def _grid(self) -> Grid:
        heads = (("fault", "Fault"), ("cause", "Cause"), ("remedy", "What to try"), ("source", "Source"))
        columns = tuple(Column(key, head) for key, head in heads)
        return Grid(columns, ((self.fault, self.cause, self.remedy, f"{self.mark}: {self.source}"),), "Fault")


def faults_in(words: str) -> tuple[Fault, ...]:
    """The faults of `faults.csv` that these words of a maker speak of; none where none is recognised.

    A word counts where it begins a word of the text, and not after "no", "without" and the like ("no cracks", "doesn't crumble").
    """
    text = words.lower().replace("’", "'").replace("hardly", "no")  # it begins with a word for a glazed cake
    text = " ".join(text.replace(",", " ").replace(".", " ").replace(";", " ").split())
    return tuple(
        Fault(
            row["id"],
            row["fault"],
            row["cause"],
            row["remedy"],
            row["mark"],
            row["source"],
            tables.words(row, "more"),
            tables.words(row, "less"),
        )
        for row in tables.read("bench/faults")
        if any(_speaks_of(text, stem) for stem in tables.words(row, "words"))
    )


_NO = ("no", "not", "without", "never", "neither", "nor", "cannot")


def _speaks_of(text: str, stem: str) -> bool:
    padded, start = f" {text}", 0
    while (at := padded.find(f" {stem}", start)) >= 0:
        before = padded[:at].split()
        if not before or not (before[-1] in _NO or before[-1].endswith("n't")):
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
    from histkit.bench.batching import Balance, batch
    from histkit.bench.pressing import press

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
    whole = (Decimal(str(round(powder, 6))) / scales.division).to_integral_value(ROUND_CEILING)
    return Ladder(tuple(steps), vary, float(whole * scales.division))


def _total(pressed: PressedFormula, kind: str) -> float:
    return math.fsum(b.share for b in pressed.binders if b.kind == kind)


_BASE = "blended-powder"


def _as_weighed(pressed: PressedFormula) -> Composition:
    """The cake as three things to weigh: the powder, blended before, and what is added to it."""
    from histkit.bench.batching import refuse_forbidden

    refuse_forbidden(pressed.powder)
    base = Ingredient(_BASE, pressed.powder.name or "the blended powder", kind="preparation", state="powder")
    masses: list[tuple[Ingredient | str, float]] = [(base, 1.0)]
    masses += [(b.ingredient, b.added) for b in pressed.binders if b.added > 0]
    return Composition.of(masses, pressed.powder.name)


@dataclass(frozen=True, slots=True)
class Proposal(Tabular):
    """A suggestion for the next trial: a share of binder with its spread, how likely it is to hold and to give off, and why.

    `holds` or `gives` is None where the log says nothing of it.
    """

    share: Spread
    holds: float | None
    gives: float | None
    reason: str

    def _grid(self) -> Grid:
        columns = (
            Column("share", "Try, % of the cake"),
            Column("holds", "Likely to hold, %", 0),
            Column("gives", "Likely to give off, %", 0),
        )
        shown = [None if likely is None else 100 * likely for likely in (self.holds, self.gives)]
        return Grid(columns, ((str(self.share * 100), *shown),), "Suggestion for the next trial", (self.reason,))


_MIDPOINTS = tuple(i * 0.0025 for i in range(1, 161))
_WIDTHS = (0.0025, 0.005, 0.01, 0.02, 0.04)
"""Curves that are weighed: turning at 0.25 to 40 %, sharp within a quarter of a per cent up to blurred over four."""
_USUAL = 0.06
"""Before any trial a curve that turns at m is taken to be as likely as exp(-m / this): most cakes are pressed with 2 to 10 per
cent, few with 20 (the published levels run so; the curve is own judgement, no source)."""
_REACH = 0.02
"""How far beyond what was tried a suggestion goes: twice the one per cent that the fault table adds (common practice)."""
_DIGITS = 6
"""Shares that are the same to so many digits are one share: the floats of two ladders differ in the seventeenth."""
_LIKELY = 2 / 3
"""Where only one side is known: twice as likely to come out well as not, so that the next trial narrows the gap."""


@dataclass(frozen=True, slots=True)
class _Result:
    """What one trial says of the share that is varied. `soft`, `much`: it held, or gave off, but its words ask for more or less;
    such a one neither bounds the next trial as a good one nor counts for the curves as well done.
    """

    share: float
    held: bool | None
    gave: bool | None
    soft: bool
    much: bool


@dataclass(frozen=True, slots=True)
class _Bounds:
    """Where the next trial lies, and why. `above`, `below`: the bound itself is not to be tried again."""

    low: float
    high: float
    above: bool
    below: bool
    words: str

    def shares(self) -> list[float]:
        """Shares to choose from, rising: a tenth of a per cent apart, but at least ten and at most a hundred steps."""
        steps = max(10, min(100, round((self.high - self.low) / 0.001)))
        run = [round(self.low + (self.high - self.low) * i / steps, _DIGITS) for i in range(steps + 1)]
        return sorted(set(run[int(self.above) : steps + 1 - int(self.below)]))


def propose(log: TrialLog, vary: Varied = "binder", drops: int = 3, payoff: int = 3) -> Proposal:
    """A share for the next trial from what the log holds: where holding together and giving off are both likeliest.

    `drops` and `payoff` say what counts as holding and as giving off; the words of the notes count where nothing was ticked.
    The suggestion lies above every share that mostly failed to hold, not above one that mostly held (unless its notes ask for
    more), and below one that glazed; at most two per cent beyond what was tried. Where results contradict each other it lies
    between them, and the reason says so. Raises BadValue where no trial has a result yet.
    """
    results = _results(log, vary, drops, payoff)
    held, gave = _outcomes(results)
    if not held and not gave:
        raise BadValue("no trial in the log has a result yet: note drops_survived or crumbles, payoff or glazes")
    bounds = _bounds(results)
    shares = bounds.shares()
    rising, falling = _weigh(held, 1), _weigh(gave, -1)
    holds = [_mean(rising, share, 1) if held else 1.0 for share in shares]
    gives = [_mean(falling, share, -1) if gave else 1.0 for share in shares]
    good = [h * g for h, g in zip(holds, gives, strict=True)]
    if held and gave:
        best = max(range(len(shares)), key=lambda i: (good[i], -i))
        spread = Spread.over((s for s, likely in zip(shares, good, strict=True) if likely >= 0.9 * good[best]), shares[best])
    else:
        # Only one side is known: the least that is likely to hold, or the most that is likely to give off.
        order = list(range(len(shares))) if held else list(reversed(range(len(shares))))
        best = next((i for i in order if good[i] >= _LIKELY), order[-1])
        spread = _blur(shares[best], rising if held else falling, bounds)
    told = "holding" if not gave else "giving off" if not held else "holding and giving off"
    reason = (
        f"A suggestion from {_count(held)} of holding and {_count(gave)} of giving off. {bounds.words} Between these bounds:"
        f" logistic curves for {told} over the share of {vary}, {_DIRECTIONS[bool(held), bool(gave)]} (common practice, no"
        f" source). {_missing(held, gave)}{_strangers(log, vary)}Few trials leave a wide range; press again and note the result."
    )
    return Proposal(spread, holds[best] if held else None, gives[best] if gave else None, reason)


def likelihoods(
    log: TrialLog, shares: Iterable[float], vary: Varied = "binder", drops: int = 3, payoff: int = 3
) -> tuple[tuple[float | None, float | None], ...]:
    """How likely a cake holds, and gives off, at each of these shares, by the curves that `propose` weighs (0–1).

    None where the log says nothing of it. Raises BadValue for another `vary`.
    """
    held, gave = _outcomes(_results(log, vary, drops, payoff))
    rising, falling = _weigh(held, 1), _weigh(gave, -1)
    return tuple((_mean(rising, share, 1) if held else None, _mean(falling, share, -1) if gave else None) for share in shares)


_DIRECTIONS = {(True, True): "one rising and one falling", (True, False): "rising", (False, True): "falling"}


def _count(results: list[tuple[float, bool]]) -> str:
    return counted(len(results), "trial")


def _missing(held: list[tuple[float, bool]], gave: list[tuple[float, bool]]) -> str:
    if held and gave:
        return ""
    what = "whether it gives off (payoff, glaze)" if held else "whether it holds (drops, crumbling)"
    return f"Nothing was noted of {what}: note it with the next one. "


def _strangers(log: TrialLog, vary: Varied) -> str:
    """What else differs between the trials: the curves know only the share that is varied."""
    other = {round(t.oil_share if vary == "binder" else t.binder_share, 4) for t in log.trials}
    pressures = {t.pressure for t in log.trials}
    names = [
        *(["oil" if vary == "binder" else "binder"] if len(other) > 1 else []),
        *(["pressure"] if len(pressures) > 1 else []),
    ]
    return f"The trials also differ in {' and '.join(names)}, which these curves do not see. " if names else ""


def _results(log: TrialLog, vary: Varied, drops: int, payoff: int) -> list[_Result]:
    if vary not in ("binder", "oil"):
        raise BadValue(f"vary is 'binder' or 'oil', not {vary!r}")
    return [_result(trial, vary, drops, payoff) for trial in log.trials]


def _outcomes(results: list[_Result]) -> tuple[list[tuple[float, bool]], list[tuple[float, bool]]]:
    """What counts for the curves of holding and of giving off: (share, whether it came out well and needs no change)."""
    held = [(r.share, r.held and not r.soft) for r in results if r.held is not None]
    gave = [(r.share, r.gave and not r.much) for r in results if r.gave is not None]
    return held, gave


def _result(trial: Trial, vary: Varied, drops: int, payoff: int) -> _Result:
    faults = trial.faults()
    more, less = any(vary in f.more for f in faults), any(vary in f.less for f in faults)
    held, gave = trial.held(drops), trial.gave(payoff)
    if held is None and more:
        held = False
    if gave is None and less:
        gave = False
    share = round(trial.binder_share if vary == "binder" else trial.oil_share, _DIGITS)
    return _Result(share, held, gave, bool(held) and more, bool(gave) and less)


def _mostly(results: list[tuple[float, bool]]) -> tuple[list[float], list[float]]:
    """(shares whose trials mostly came out well, the other shares), rising; as many of either kind counts as not well."""
    votes: dict[float, int] = {}
    for share, well in results:
        votes[share] = votes.get(share, 0) + (1 if well else -1)
    return sorted(s for s, v in votes.items() if v > 0), sorted(s for s, v in votes.items() if v <= 0)


def _bounds(results: list[_Result]) -> _Bounds:
    stood, failed = _mostly([(r.share, r.held) for r in results if r.held is not None])
    gave, glazed = _mostly([(r.share, r.gave) for r in results if r.gave is not None])
    soft = {r.share for r in results if r.soft}
    firm = [share for share in stood if share not in soft]
    floor = max((*failed, *(s for s in stood if s in soft and not (firm and s >= firm[0]))), default=None)
    much = sorted(r.share for r in results if r.much)
    caps = [*((share, True, "glazed or gave off badly") for share in glazed[:1])]
    caps += [(share, False, "held") for share in firm[:1]] + [
        (share, False, "began to glaze, by its notes,") for share in much[:1]
    ]
    cap, below, came = min(caps, key=lambda c: (c[0], not c[1]), default=(None, False, ""))
    if floor is not None and cap is not None and cap <= floor:
        return _Bounds(cap, floor, False, False, _contradiction(firm, sorted((*glazed, *much)), floor))
    if floor is not None and cap is not None:
        return _Bounds(floor, cap, True, below, f"It did not hold at {_pc(floor)} and {came} at {_pc(cap)}, so between them.")
    if floor is not None:
        remedy = next(f.remedy for f in faults_in("soft") if f.id == "soft")
        words = f"Nothing held well yet, up to {_pc(floor)}, so more than that; the fault table also says: {remedy}."
        return _Bounds(floor, round(floor + _REACH, _DIGITS), True, False, words)
    if cap is not None:
        # Where only giving off was noted, what gave off well is the lower bound.
        known = [share for share in gave if share < cap] if not stood else []
        low = max(known) if known else max(0.0, round(cap - _REACH, _DIGITS))
        then = "so less" if below else "so not more; less may do"
        return _Bounds(low, cap, False, below, f"It {came} at {_pc(cap)}, {then}.")
    most = max(gave)
    words = f"It gave off well up to {_pc(most)}, so a little more can be tried."
    return _Bounds(most, round(most + _REACH, _DIGITS), False, False, words)


def _contradiction(firm: list[float], glazed: list[float], floor: float) -> str:
    """Why no share lies above what failed and below what was too much; of `firm` and `glazed` one begins below `floor`."""
    if glazed and glazed[0] <= floor:
        return (
            f"It glazed or gave off badly from {_pc(glazed[0])} on and did not hold up to {_pc(floor)}: no share of this alone"
            " does both, so change the oil, the pressure or the powder as well."
        )
    return (
        f"The results contradict each other: it held at {_pc(firm[0])} and not at {_pc(floor)}. One of them may be a slip of"
        " the hand: press both again at the same pressure."
    )


def _pc(share: float) -> str:
    return f"{100 * share:.4g} %"


def _logistic(share: float, midpoint: float, width: float, sign: int) -> float:
    return 1 / (1 + math.exp(max(-60.0, min(60.0, -sign * (share - midpoint) / width))))


def _weigh(points: list[tuple[float, bool]], sign: int) -> list[tuple[float, float, float]]:
    """(midpoint, width, weight) of every curve, by how usual it is and how likely it makes the results; 1 in 50 may be a slip."""
    curves = []
    for midpoint in _MIDPOINTS:
        for width in _WIDTHS:
            logarithm = -midpoint / _USUAL
            for share, result in points:
                chance = 0.02 + 0.96 * _logistic(share, midpoint, width, sign)
                logarithm += math.log(chance if result else 1 - chance)
            curves.append((midpoint, width, logarithm))
    most = max(logarithm for _, _, logarithm in curves)  # taken off before exp, so that many trials do not come to nothing
    weights = [math.exp(logarithm - most) for _, _, logarithm in curves]
    total = math.fsum(weights)
    # Curves that the results rule out are dropped: together they weigh less than a millionth.
    return [(m, width, weight / total) for (m, width, _), weight in zip(curves, weights, strict=True) if weight > 1e-9 * total]


def _mean(curves: list[tuple[float, float, float]], share: float, sign: int) -> float:
    return math.fsum(weight * _logistic(share, midpoint, width, sign) for midpoint, width, weight in curves)


def _blur(share: float, curves: list[tuple[float, float, float]], bounds: _Bounds) -> Spread:
    """The share with half the middle half of where the curve may turn on either side, as far as the bounds allow."""
    weights: dict[float, float] = {}
    for midpoint, _, weight in curves:
        weights[midpoint] = weights.get(midpoint, 0.0) + weight
    running, quarter = 0.0, [0.0, 0.0]
    for midpoint, weight in weights.items():  # rising, as the curves are
        before, running = running, running + weight
        if before < 0.25 <= running:
            quarter[0] = midpoint
        if before < 0.75 <= running:
            quarter[1] = midpoint
    half = (quarter[1] - quarter[0]) / 2
    return Spread(max(bounds.low, share - half), share, min(bounds.high, share + half))
