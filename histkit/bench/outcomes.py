"""What a trial says of a share that is varied, and of the pressure: one answer for the suggestion, the table and the drawing.

Two rules of practice stand behind it (common practice, no source): with more binder, and with more pressure, a cake holds better
and gives off less. So what crumbles below the published window of pressures says nothing of the binder, nor does what gives off
well there; what glazes above it, or holds there, says nothing either; and what caps was pressed too hard or too fast.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench.faults import Fault
from histkit.bench.pressures import window_of_pressures

if TYPE_CHECKING:
    from histkit.bench.trials import Trial, TrialLog, Varied

DIGITS = 6
"""Shares that are the same to so many digits are one share: the floats of two ladders differ in the seventeenth."""


@dataclass(frozen=True, slots=True)
class Outcome:
    """What one trial says of the share that is varied; None where it says nothing.

    `soft`, `much`: it held, or gave off, but its words ask for more or less; such a one neither bounds the next trial as a good
    one nor counts for the curves as well done. `press` says which way the pressure is to go ("harder", "softer", ""), `words`
    what was not taken as it was ticked, and why.
    """

    share: float
    held: bool | None
    gave: bool | None
    soft: bool = False
    much: bool = False
    press: str = ""
    words: tuple[str, ...] = ()


def outcomes(log: TrialLog, vary: Varied, drops: int = 3, payoff: int = 3) -> list[Outcome]:
    """What each trial of a log says. Raises BadValue for another `vary`."""
    if vary not in ("binder", "oil"):
        raise BadValue(f"vary is 'binder' or 'oil', not {vary!r}")
    return [outcome(trial, vary, drops, payoff, log.pressure) for trial in log.trials]


def outcome(trial: Trial, vary: Varied, drops: int = 3, payoff: int = 3, usual: float | None = None) -> Outcome:
    """What a trial says; `usual` is the pressure (MPa) where it notes none itself."""
    faults = trial.faults()
    more, less = any(vary in f.more for f in faults), any(vary in f.less for f in faults)
    held, gave = trial.held(drops), trial.gave(payoff)
    words = []
    if held is None and more:
        held = False
        words.append(f"trial {trial.number} counts as not holding, by its words ({_names(faults, vary, 'more')})")
    if gave is None and less:
        gave = False
        words.append(f"trial {trial.number} counts as giving off badly, by its words ({_names(faults, vary, 'less')})")
    soft, much = bool(held) and more, bool(gave) and less
    words += [f"trial {trial.number} held, but its words ask for more ({_names(faults, vary, 'more')})"] if soft else []
    words += [f"trial {trial.number} gave off, but its words ask for less ({_names(faults, vary, 'less')})"] if much else []
    share = round(trial.binder_share if vary == "binder" else trial.oil_share, DIGITS)
    noted = Outcome(share, held, gave, soft, much, "", tuple(words))
    return _pressed(noted, trial, faults, trial.pressure if trial.pressure is not None else usual)


def _names(faults: tuple[Fault, ...], vary: str, which: str) -> str:
    return ", ".join(f.fault for f in faults if vary in (f.more if which == "more" else f.less))


def _pressed(noted: Outcome, trial: Trial, faults: tuple[Fault, ...], pressure: float | None) -> Outcome:
    """The same without what is the pressure's doing."""
    window = window_of_pressures()
    held, gave, soft, much = noted.held, noted.gave, noted.soft, noted.much
    capped = [f.fault for f in faults if f.less == ("pressure",)]
    if capped:
        why = f"trial {trial.number}: it {', '.join(capped)}, which more of anything does not mend"
        return Outcome(noted.share, None if held is False else held, gave, False, much, "softer", (*noted.words, why))
    if pressure is None:
        return noted
    if pressure < window.low and (held is False or soft):
        why = f"trial {trial.number} was pressed at {pressure:.3g} MPa, below the window: that it did not hold says no more"
        return Outcome(noted.share, None, None if gave else gave, False, much, "harder", (*noted.words, why))
    if pressure > window.high and (gave is False or much):
        why = f"trial {trial.number} was pressed at {pressure:.3g} MPa, above the window: that it gave off badly says no more"
        return Outcome(noted.share, None if held else held, None, soft, False, "softer", (*noted.words, why))
    return noted


def next_pressure(log: TrialLog, results: list[Outcome]) -> tuple[Spread | None, str]:
    """(pressure for the next trial in MPa, why) where a trial was pressed too softly or too hard and none was pressed well."""
    window = window_of_pressures()
    middle = (window.low * window.high) ** 0.5
    known = [(t.pressure if t.pressure is not None else log.pressure, r.press) for t, r in zip(log.trials, results, strict=True)]
    low = [p for p, way in known if way == "harder" and p is not None]
    high = [p for p, way in known if way == "softer" and p is not None]
    words = f"the window of {window.low:g} to {window.high:g} MPa"
    if low and not high:
        return Spread(window.low, middle, window.high), f"Press harder first: {max(low):.3g} MPa lies below {words}"
    if high:
        most = min(*high, window.high)
        floor = max((*low, min(window.low, most / 2)))
        best = min(most * 2 / 3, middle) if most > window.low else most * 2 / 3
        how = "in two passes, the first one light"
        return Spread(min(floor, best), best, most), f"Press less hard than {min(high):.3g} MPa, {how} (window: {words[14:]})"
    if any(way == "softer" for _, way in known):
        return None, f"Press less hard, in two passes, the first one light; note the pressure ({words})"
    return None, ""
