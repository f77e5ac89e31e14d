"""Shares of a formula's lines, and how far other readings and conventions may move them."""

from __future__ import annotations

import math
from collections.abc import Sequence

from histkit.base.nouns import Spread
from histkit.translating.amounts import Reading


def shares_of(grams: Sequence[float | None]) -> list[float]:
    """The share of each mass in their sum; 0 for what has none."""
    total = math.fsum(g for g in grams if g is not None)
    return [g / total if g is not None and total > 0 else 0.0 for g in grams]


def distance(one: Sequence[float], two: Sequence[float]) -> float:
    """How far two sets of shares lie apart: the mass that would change place (0–1)."""
    return 0.5 * math.fsum(abs(a - b) for a, b in zip(one, two, strict=True))


def share_bounds(scenarios: Sequence[Sequence[tuple[Reading, ...]]]) -> list[Spread | None]:
    """Shares with their limits: within a scenario each line moves between its readings, and scenarios don't mix."""
    count = len(scenarios[0])
    lows: list[float] = [math.inf] * count
    highs: list[float] = [0.0] * count
    best = shares_of([readings[0].grams.best if readings else None for readings in scenarios[0]])
    for scenario in scenarios:
        low = [min((r.grams.low for r in readings), default=0.0) for readings in scenario]
        high = [max((r.grams.high for r in readings), default=0.0) for readings in scenario]
        low_total, high_total = math.fsum(low), math.fsum(high)
        for i, readings in enumerate(scenario):
            if not readings:
                continue
            others_high, others_low = high_total - high[i], low_total - low[i]
            lows[i] = min(lows[i], low[i] / (low[i] + others_high) if low[i] + others_high > 0 else 0.0)
            highs[i] = max(highs[i], high[i] / (high[i] + others_low) if high[i] + others_low > 0 else 0.0)
    return [
        Spread(min(lows[i], best[i]), best[i], max(highs[i], best[i])) if readings else None
        for i, readings in enumerate(scenarios[0])
    ]
