"""A share for the next trial from what the log of trials holds.

The suggestion rests on two rules that practice agrees on (common practice, no source): with more binder a cake holds better,
and with more binder it gives off less. From them follows between which shares the next trial lies: above what crumbled, not
above what held, below what glazed. Within these bounds a logistic curve that can only rise, and one that can only fall, are
weighed over all plausible curves by how well they explain the log (`curves`); what comes out is a suggestion with its
uncertainty, no measurement.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell, counted
from histkit.bench.curves import blurred, likely, weigh
from histkit.bench.faults import Fault, faults_of
from histkit.bench.levels import Level, fence, range_words
from histkit.bench.outcomes import DIGITS, Outcome, next_pressure, outcomes
from histkit.bench.pressures import window_of_pressures
from histkit.display.tabular import Tabular

if TYPE_CHECKING:
    from histkit.bench.trials import TrialLog, Varied


@dataclass(frozen=True, slots=True)
class Proposal(Tabular):
    """A suggestion for the next trial: a share of binder with its spread, how likely it is to hold and to give off, and why.

    `holds` or `gives` is None where the log says nothing of it.
    """

    share: Spread
    holds: float | None
    gives: float | None
    reason: str
    change: str = "share"
    """What to change first: the "share", the "pressure", or "neither"."""
    pressure: Spread | None = None
    """MPa to press it at, where the trials say so."""
    remedies: tuple[Fault, ...] = ()
    """What the fault table says to all that was named, each fault once."""

    def _grid(self) -> Grid:
        columns: tuple[Column, ...] = (
            Column("share", "Try, % of the cake"),
            Column("holds", "Likely to hold, %", 0),
            Column("gives", "Likely to give off, %", 0),
        )
        row: tuple[Cell, ...] = (str(self.share * 100), *(None if c is None else 100 * c for c in (self.holds, self.gives)))
        if self.pressure is not None:
            columns, row = (Column("pressure", "Press at, MPa"), *columns), (str(self.pressure), *row)
        return Grid(columns, (row,), "Suggestion for the next trial", (self.reason,))


_REACH = 0.02
"""How far beyond what was tried a suggestion goes: twice the one per cent that the fault table adds (common practice)."""
_LIKELY = 2 / 3
"""Where only one side is known: twice as likely to come out well as not, so that the next trial narrows the gap."""


@dataclass(frozen=True, slots=True)
class _Bounds:
    """Where the next trial lies, and why. `above`, `below`: the bound itself is not to be tried again."""

    low: float
    high: float
    above: bool
    below: bool
    words: str
    upward: bool = False
    """Whether nothing that was tried bounds it from above."""

    def shares(self) -> list[float]:
        """Shares to choose from, rising: a tenth of a per cent apart, but at least ten and at most a hundred steps."""
        steps = max(10, min(100, round((self.high - self.low) / 0.001)))
        run = [round(self.low + (self.high - self.low) * i / steps, DIGITS) for i in range(steps + 1)]
        return sorted(set(run[int(self.above) : steps + 1 - int(self.below)]))


def propose(log: TrialLog, vary: Varied = "binder", drops: int = 3, payoff: int = 3) -> Proposal:
    """A share for the next trial from what the log holds: where holding together and giving off are both likeliest.

    `drops` and `payoff` say what counts as holding and as giving off; the words of the notes count where nothing was ticked.
    The suggestion lies above every share that mostly failed to hold, not above one that mostly held (unless its notes ask for
    more), and below one that glazed; at most two per cent beyond what was tried. Where results contradict each other it lies
    between them, and the reason says so. Raises BadValue where no trial has a result yet.
    """
    results = outcomes(log, vary, drops, payoff)
    held, gave = _outcomes(results)
    remedies = tuple(dict.fromkeys(fault for trial in log.trials for fault in trial.faults()))
    pressure, harder = next_pressure(log, results)
    said = _said(results)
    if not held and not gave:
        if not any(trial.has_result for trial in log.trials):
            raise BadValue("no trial in the log has a result yet: note drops_survived or crumbles, payoff or glazes")
        return _no_share(log, results, pressure, f"{harder}. " if harder else "", said, remedies)
    bounds = _bounds(results)
    highest = fence("dry" if vary == "binder" else "liquid", log.binders if vary == "binder" else log.oils, log.cake or None)
    if bounds.upward and bounds.low >= highest.high - 1e-9:
        return _fenced(log, bounds, highest, pressure, said, remedies)
    bounds = _within(bounds, highest)
    shares = bounds.shares()
    rising, falling = weigh(held, 1), weigh(gave, -1)
    holds = [likely(rising, share, 1) if held else 1.0 for share in shares]
    gives = [likely(falling, share, -1) if gave else 1.0 for share in shares]
    good = [h * g for h, g in zip(holds, gives, strict=True)]
    if held and gave:
        best = max(range(len(shares)), key=lambda i: (good[i], -i))
        spread = Spread.over((s for s, chance in zip(shares, good, strict=True) if chance >= 0.9 * good[best]), shares[best])
    else:
        # Only one side is known: the least that is likely to hold, or the most that is likely to give off.
        order = list(range(len(shares))) if held else list(reversed(range(len(shares))))
        best = next((i for i in order if good[i] >= _LIKELY), order[-1])
        spread = blurred(shares[best], rising if held else falling, bounds.low, bounds.high)
    reason = f"{said}{_reason(held, gave, bounds, vary)}{_missing(held, gave)}{_strangers(log, vary)}"
    at = _pressed_well(log, results) or pressure
    return Proposal(
        spread,
        holds[best] if held else None,
        gives[best] if gave else None,
        f"{reason}Few trials leave a wide range; press again and note the result.",
        "share",
        at,
        remedies,
    )


def _reason(held: list[tuple[float, bool]], gave: list[tuple[float, bool]], bounds: _Bounds, vary: Varied) -> str:
    of_what = "holding" if not gave else "giving off" if not held else "holding and giving off"
    return (
        f"A suggestion from {_count(held)} of holding and {_count(gave)} of giving off. {bounds.words} Between these bounds:"
        f" logistic curves for {of_what} over the share of {vary}, {_DIRECTIONS[bool(held), bool(gave)]} (common practice, no"
        f" source). "
    )


def _said(results: list[Outcome]) -> str:
    """What was not taken as it was ticked, or was taken from words, in sentences."""
    return "".join(f"{words[:1].upper()}{words[1:]}. " for result in results for words in result.words)


def _pressed_well(log: TrialLog, results: list[Outcome]) -> Spread | None:
    """The pressures of the trials that count, where they noted one."""
    good = [t for t, r in zip(log.trials, results, strict=True) if t.pressure is not None and not r.press]
    known = [t.pressure for t in sorted(good, key=lambda t: t.number) if t.pressure is not None]
    return Spread(min(known), known[-1], max(known)) if known else None


def _no_share(
    log: TrialLog, results: list[Outcome], pressure: Spread | None, harder: str, said: str, remedies: tuple[Fault, ...]
) -> Proposal:
    """What to do where no trial says anything of the share: another pressure, or the remedy of what was named."""
    share = Spread.exact(max(zip(log.trials, results, strict=True), key=lambda pair: pair[0].number)[1].share)
    if harder:
        return Proposal(
            share, None, None, f"{harder}{said}Keep to the same shares, and note the result.", "pressure", pressure, remedies
        )
    told = "; ".join(f"{fault.fault}: {fault.remedy}" for fault in remedies)
    words = f"Nothing noted asks for another share. {f'By the fault table, {told}. ' if told else ''}{said}"
    return Proposal(share, None, None, words.strip(), "neither", pressure, remedies)


def _fenced(
    log: TrialLog, bounds: _Bounds, highest: Level, pressure: Spread | None, said: str, remedies: tuple[Fault, ...]
) -> Proposal:
    """What to do where it does not hold though there is as much in it as was ever published: not more of the same."""
    window, share = window_of_pressures(), min(bounds.low, highest.high)
    came = "did not hold" if bounds.above else "gave off well"
    known = [p for p in (t.pressure if t.pressure is not None else log.pressure for t in log.trials) if p is not None]
    words = (
        f"{said}It {came} up to {_pc(bounds.low)}, and no level above {_pc(highest.high)} is known ({range_words((highest,))}):"
        " more of it is no answer. "
    )
    if pressure is None and known and max(known) < window.high * 0.9:
        pressure = Spread(max(known), (max(known) * window.high) ** 0.5, window.high)
        words += f"Press harder, up to {window.high:g} MPa; "
    elif not known:
        words += f"Note the pressure: below {window.low:g} MPa no binder holds a cake; "
    words += "else put in 5 to 10 % of kaolin, grind finer, or press it wet."
    return Proposal(Spread.exact(share), None, None, words, "pressure" if pressure else "neither", pressure, remedies)


def _within(bounds: _Bounds, highest: Level) -> _Bounds:
    """The bounds without what lies above the highest published level."""
    if bounds.high <= highest.high + 1e-9 or bounds.low >= highest.high:
        return bounds
    words = f"{bounds.words} Not above {_pc(highest.high)}, the highest level known ({range_words((highest,))})."
    return replace(bounds, high=highest.high, below=False, words=words)


def likelihoods(
    log: TrialLog, shares: Iterable[float], vary: Varied = "binder", drops: int = 3, payoff: int = 3
) -> tuple[tuple[float | None, float | None], ...]:
    """How likely a cake holds, and gives off, at each of these shares, by the curves that `propose` weighs (0–1).

    None where the log says nothing of it. Raises BadValue for another `vary`.
    """
    held, gave = _outcomes(outcomes(log, vary, drops, payoff))
    rising, falling = weigh(held, 1), weigh(gave, -1)
    return tuple((likely(rising, share, 1) if held else None, likely(falling, share, -1) if gave else None) for share in shares)


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


def _outcomes(results: list[Outcome]) -> tuple[list[tuple[float, bool]], list[tuple[float, bool]]]:
    """What counts for the curves of holding and of giving off: (share, whether it came out well and needs no change)."""
    held = [(r.share, r.held and not r.soft) for r in results if r.held is not None]
    gave = [(r.share, r.gave and not r.much) for r in results if r.gave is not None]
    return held, gave


def _mostly(results: list[tuple[float, bool]]) -> tuple[list[float], list[float]]:
    """(shares whose trials mostly came out well, the other shares), rising; as many of either kind counts as not well."""
    votes: dict[float, int] = {}
    for share, well in results:
        votes[share] = votes.get(share, 0) + (1 if well else -1)
    return sorted(s for s, v in votes.items() if v > 0), sorted(s for s, v in votes.items() if v <= 0)


def _bounds(results: list[Outcome]) -> _Bounds:
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
        remedy = faults_of(("soft",))[0].remedy
        words = f"Nothing held well yet, up to {_pc(floor)}, so more than that; the fault table says: {remedy}."
        return _Bounds(floor, round(floor + _REACH, DIGITS), True, False, words, True)
    if cap is not None:
        # Where only giving off was noted, what gave off well is the lower bound.
        gave_below = [share for share in gave if share < cap] if not stood else []
        low = max(gave_below) if gave_below else max(0.0, round(cap - _REACH, DIGITS))
        then = "so less" if below else "so not more; less may do"
        return _Bounds(low, cap, False, below, f"It {came} at {_pc(cap)}, {then}.")
    most = max(gave)
    words = f"It gave off well up to {_pc(most)}, so a little more can be tried."
    return _Bounds(most, round(most + _REACH, DIGITS), False, False, words, True)


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
