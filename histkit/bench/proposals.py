"""A share for the next trial from what the log of trials holds.

The suggestion rests on two rules that practice agrees on (common practice, no source): with more binder a cake holds better,
and with more binder it gives off less. From them follows between which shares the next trial lies: above what crumbled, not
above what held, below what glazed. Within these bounds a logistic curve that can only rise, and one that can only fall, are
weighed over all plausible curves by how well they explain the log (`curves`); what comes out is a suggestion with its
uncertainty, no measurement.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import counted
from histkit.bench.curves import blurred, likely, weigh
from histkit.bench.faults import faults_of
from histkit.display.tabular import Tabular

if TYPE_CHECKING:
    from histkit.bench.trials import Trial, TrialLog, Varied


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
        shown = [None if chance is None else 100 * chance for chance in (self.holds, self.gives)]
        return Grid(columns, ((str(self.share * 100), *shown),), "Suggestion for the next trial", (self.reason,))


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
    of_what = "holding" if not gave else "giving off" if not held else "holding and giving off"
    reason = (
        f"A suggestion from {_count(held)} of holding and {_count(gave)} of giving off. {bounds.words} Between these bounds:"
        f" logistic curves for {of_what} over the share of {vary}, {_DIRECTIONS[bool(held), bool(gave)]} (common practice, no"
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
        remedy = faults_of(("soft",))[0].remedy
        words = f"Nothing held well yet, up to {_pc(floor)}, so more than that; the fault table also says: {remedy}."
        return _Bounds(floor, round(floor + _REACH, _DIGITS), True, False, words)
    if cap is not None:
        # Where only giving off was noted, what gave off well is the lower bound.
        gave_below = [share for share in gave if share < cap] if not stood else []
        low = max(gave_below) if gave_below else max(0.0, round(cap - _REACH, _DIGITS))
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
