"""Logistic curves over a share, weighed by how well they explain what trials showed.

Rising curves stand for holding together, falling ones for giving off. All curves of a grid are kept, each with its weight, so
that few trials give a wide answer.
"""

from __future__ import annotations

import math

from histkit.base.nouns import Spread

Curves = list[tuple[float, float, float]]
"""(midpoint, width, weight) of each curve; the weights add to 1."""

MIDPOINTS = tuple(i * 0.0025 for i in range(1, 161))
WIDTHS = (0.0025, 0.005, 0.01, 0.02, 0.04)
"""Curves that are weighed: turning at 0.25 to 40 %, sharp within a quarter of a per cent up to blurred over four."""
USUAL = 0.06
"""Before any trial a curve that turns at m is taken to be as likely as exp(-m / this): most cakes are pressed with 2 to 10 per
cent, few with 20 (the published levels run so; the curve is own judgement, no source)."""


def _logistic(share: float, midpoint: float, width: float, sign: int) -> float:
    return 1 / (1 + math.exp(max(-60.0, min(60.0, -sign * (share - midpoint) / width))))


def weigh(points: list[tuple[float, bool]], sign: int) -> Curves:
    """Every curve by how usual it is and how likely it makes the results, (share, came out well); `sign` 1 rises, -1 falls.

    One result in 50 may be a slip of the hand.
    """
    curves = []
    for midpoint in MIDPOINTS:
        for width in WIDTHS:
            logarithm = -midpoint / USUAL
            for share, result in points:
                chance = 0.02 + 0.96 * _logistic(share, midpoint, width, sign)
                logarithm += math.log(chance if result else 1 - chance)
            curves.append((midpoint, width, logarithm))
    most = max(logarithm for _, _, logarithm in curves)  # taken off before exp, so that many trials do not come to nothing
    weights = [math.exp(logarithm - most) for _, _, logarithm in curves]
    total = math.fsum(weights)
    # Curves that the results rule out are dropped: together they weigh less than a millionth.
    return [(m, width, weight / total) for (m, width, _), weight in zip(curves, weights, strict=True) if weight > 1e-9 * total]


def likely(curves: Curves, share: float, sign: int) -> float:
    """How likely a trial with this share comes out well, over all curves (0–1)."""
    return math.fsum(weight * _logistic(share, midpoint, width, sign) for midpoint, width, weight in curves)


def blurred(share: float, curves: Curves, low: float, high: float) -> Spread:
    """The share with half the middle half of where the curve may turn on either side, kept between `low` and `high`."""
    weights: dict[float, float] = {}
    for midpoint, _, weight in curves:
        weights[midpoint] = weights.get(midpoint, 0.0) + weight
    running, quarter = 0.0, [0.0, 0.0]
    for midpoint, weight in weights.items():  # in rising order, as the curves are
        before, running = running, running + weight
        if before < 0.25 <= running:
            quarter[0] = midpoint
        if before < 0.75 <= running:
            quarter[1] = midpoint
    half = (quarter[1] - quarter[0]) / 2
    return Spread(max(low, share - half), share, min(high, share + half))
