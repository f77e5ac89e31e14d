"""The results of test presses as a small drawing for the notebook: SVG inside HTML, in the colours of the page around it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TYPE_CHECKING

from histkit.base.text import escape

if TYPE_CHECKING:
    from histkit.bench.proposals import Proposal
    from histkit.bench.trials import Trial, TrialLog, Varied

_WIDE, _HIGH = 600, 310
_LEFT, _RIGHT, _TOP, _BOTTOM = 52, 584, 40, 200
_STEPS = (0.1, 0.25, 0.5, 1.0, 2.0, 5.0, 10.0)
"""Distances of ticks, per cent of the cake."""
_MOST_TICKS = 9
_STRIP = 0.7
"""How far below a payoff of 0 the trials stand whose payoff was not tried, in steps of payoff."""
_INK = "var(--jp-ui-font-color1,currentColor)"
_BRAND = "var(--jp-brand-color1,#0b5577)"
_PAPER = "var(--jp-layout-color0,#ffffff)"


def trial_plot(log: TrialLog, vary: Varied = "binder", proposal: Proposal | None = None) -> str:
    """Payoff (0–5) over the share that was varied (per cent of the cake); full where it held, open where it did not.

    The band is the share that `proposal` suggests, its line the best. Trials without any result are left out; nothing is
    drawn ('') where no trial has one. Trials of one share and one payoff stand beside each other.
    """
    tried = [t for t in log.trials if t.held() is not None or t.gave() is not None]
    if not tried:
        return ""
    scale = _Scale([_share(t, vary) for t in log.trials], proposal)
    body = [*_axes(scale, vary), *(_band(scale, proposal) if proposal else ())]
    beside: dict[tuple[float, int | None], int] = {}
    for trial in tried:
        place = (_share(trial, vary), trial.payoff)
        body.append(_mark(scale, trial, vary, beside.get(place, 0)))
        beside[place] = beside.get(place, 0) + 1
    if any(t.payoff is None for t in tried):
        body.append(_text(_LEFT - 8, scale.y(None) + 4, "?", "end"))
    return (
        f'<svg role="img" viewBox="0 0 {_WIDE} {_HIGH}" style="width:100%;min-width:26em;max-width:40em;display:block;">'
        f"<title>Payoff over the share of {vary}</title><desc>{escape(_told(tried, vary, proposal))}</desc>"
        f"{''.join(body)}{_legend()}</svg>"
    )


def _share(trial: Trial, vary: Varied) -> float:
    """Per cent of the cake."""
    return 100 * (trial.binder_share if vary == "binder" else trial.oil_share)


class _Scale:
    """From per cent and payoff to places in the drawing."""

    def __init__(self, shares: Sequence[float], proposal: Proposal | None) -> None:
        seen = [*shares, *((100 * proposal.share.low, 100 * proposal.share.high) if proposal else ())]
        room = max(0.15 * (max(seen) - min(seen)), 0.5)
        low, high = max(0.0, min(seen) - room), max(seen) + room
        self.step: float = next((s for s in _STEPS if (high - low) / s < _MOST_TICKS), _STEPS[-1])
        self.low: float = self.step * math.floor(low / self.step)
        self.high: float = self.step * math.ceil(high / self.step)

    def x(self, share: float) -> float:
        return _LEFT + (share - self.low) / (self.high - self.low) * (_RIGHT - _LEFT)

    def y(self, payoff: int | None) -> float:
        steps: float = -_STRIP if payoff is None else payoff
        return _BOTTOM - steps / 5 * (_BOTTOM - _TOP)

    def ticks(self) -> list[float]:
        return [self.low + n * self.step for n in range(round((self.high - self.low) / self.step) + 1)]


def _text(x: float, y: float, words: str, anchor: str = "middle", colour: str = _INK) -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" font-size="13" text-anchor="{anchor}" fill="{colour}">{escape(words)}</text>'


def _line(x1: float, y1: float, x2: float, y2: float, width: float, opacity: float = 1.0) -> str:
    return (
        f'<line x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}" stroke="{_INK}" stroke-width="{width}" '
        f'opacity="{opacity}"/>'
    )


def _axes(scale: _Scale, vary: Varied) -> list[str]:
    floor = scale.y(None) + 14
    out = [_text(_LEFT, 18, "Payoff, 0 to 5", "start"), _text(_RIGHT, floor + 38, f"{vary}, % of the cake", "end")]
    for payoff in range(6):
        out += [
            _line(_LEFT, scale.y(payoff), _RIGHT, scale.y(payoff), 1, 0.18),
            _text(_LEFT - 8, scale.y(payoff) + 4, str(payoff), "end"),
        ]
    out.append(_line(_LEFT, floor, _RIGHT, floor, 1))
    for tick in scale.ticks():
        out += [_line(scale.x(tick), floor, scale.x(tick), floor + 5, 1), _text(scale.x(tick), floor + 20, f"{tick:g}")]
    return out


def _band(scale: _Scale, proposal: Proposal) -> list[str]:
    low, best, high = (scale.x(100 * v) for v in (proposal.share.low, proposal.share.best, proposal.share.high))
    floor = scale.y(None) + 14
    words = f"try {100 * proposal.share.best:.3g} %"
    return [
        f'<rect x="{low:.1f}" y="{_TOP - 10}" width="{max(high - low, 1):.1f}" height="{floor - _TOP + 10:.1f}" fill="{_BRAND}" '
        'opacity="0.16"/>',
        f'<line x1="{best:.1f}" y1="{_TOP - 10}" x2="{best:.1f}" y2="{floor:.1f}" stroke="{_BRAND}" stroke-width="2"/>',
        _text(min(max(best, _LEFT + 130), _RIGHT - 30), _TOP - 16, words),
    ]


def _mark(scale: _Scale, trial: Trial, vary: Varied, place: int) -> str:
    """A disc where it held, a ring where it did not, a small cross where that was not tried."""
    x, y, held = scale.x(_share(trial, vary)) + 15 * place, scale.y(trial.payoff), trial.held()
    if held is None:
        return _cross(x, y)
    return _disc(x, y, held)


def _disc(x: float, y: float, full: bool) -> str:
    return f'<circle cx="{x:.1f}" cy="{y:.1f}" r="6" fill="{_INK if full else _PAPER}" stroke="{_INK}" stroke-width="2"/>'


def _cross(x: float, y: float) -> str:
    return _line(x - 5, y - 5, x + 5, y + 5, 2) + _line(x - 5, y + 5, x + 5, y - 5, 2)


def _legend() -> str:
    y = _HIGH - 10
    return "".join(
        [
            _disc(_LEFT + 6, y - 4, True), _text(_LEFT + 18, y, "held together", "start"),
            _disc(_LEFT + 136, y - 4, False), _text(_LEFT + 148, y, "did not", "start"),
            _cross(_LEFT + 226, y - 4), _text(_LEFT + 238, y, "holding not tried", "start"),
            _text(_LEFT + 370, y, "? payoff not tried", "start"),
        ]
    )  # fmt: skip


def _told(tried: Sequence[Trial], vary: Varied, proposal: Proposal | None) -> str:
    """The drawing in sentences."""
    words = {True: "it held", False: "it did not hold", None: "holding not tried"}
    out = [
        f"Trial {t.number}, {_share(t, vary):.3g} % of {vary}: {words[t.held()]}, "
        f"payoff {t.payoff if t.payoff is not None else 'not tried'}."
        for t in tried
    ]
    if proposal is not None:
        low, best, high = (100 * v for v in (proposal.share.low, proposal.share.best, proposal.share.high))
        out.append(f"Suggested: {best:.3g} %, {low:.3g} to {high:.3g} %.")
    return " ".join(out)
