"""Least squares over a bounded simplex: shares that add to a whole, each within its bounds, with sums near their targets.

The problem is convex with one answer. It is solved by daqp, a dual active-set solver: the answer lies on the bounds that hold it
back exactly, and where nothing fits the solver says so.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from histkit.base.errors import BadValue

_PULL = 1e-6
"""Weight of a pull towards equal shares: it settles ties, and moves no answer that is not one (own judgement)."""
_TOLERANCE = 1e-9
"""How far bounds and limits may be overstepped, as a share of the whole."""
_SOLVED, _NOTHING_FITS = 1, -1
"""What the solver answers."""
_EQUALITY = 5
"""What it calls a constraint that holds exactly."""


@dataclass(frozen=True, slots=True)
class Goal:
    """A sum of coefficient × share that should come near `target`; no further from it than `limit` where one is given."""

    coefficients: tuple[float, ...]
    target: float
    limit: float | None = None


def least_squares(goals: Sequence[Goal], lows: Sequence[float], highs: Sequence[float], whole: float) -> tuple[float, ...] | None:
    """The shares between `lows` and `highs` that add to `whole` and miss the goals least, by the sum of squares.

    None where no shares fit the bounds and limits. Raises BadValue where the solver gives up for another reason.
    """
    import daqp
    import numpy as np

    # In units of the whole, so that a small replacement is solved as sharply as a large one.
    low, high = np.array(lows) / whole, np.array(highs) / whole
    count = len(low)
    matrix = np.array([goal.coefficients for goal in goals], dtype=float).reshape(len(goals), count) * whole
    targets = np.array([goal.target for goal in goals])
    limited = [place for place, goal in enumerate(goals) if goal.limit is not None]
    limits = np.array([goal.limit for goal in goals if goal.limit is not None], dtype=float)

    curvature = 2 * (matrix.T @ matrix + _PULL * np.eye(count))
    slope = -2 * matrix.T @ targets  # the pull towards 1 / count adds the same to every answer that adds to one: left out
    answer, _, flag, _ = daqp.solve(
        curvature,
        slope,
        np.vstack([np.ones((1, count)), matrix[limited]]),
        np.concatenate([high, [1.0], targets[limited] + limits]),
        np.concatenate([low, [1.0], targets[limited] - limits]),
        np.array([0] * count + [_EQUALITY] + [0] * len(limited), dtype=np.intc),
        primal_tol=_TOLERANCE,
    )
    if flag == _NOTHING_FITS:
        return None
    if flag != _SOLVED:
        raise BadValue(f"the blend could not be solved (answer {flag} of the solver): try fewer stand-ins or wider bounds")
    shares = np.clip(answer, low, high)
    return tuple(float(share) for share in shares * (whole / float(np.sum(shares))))


def within_bounds(
    rows: Sequence[Sequence[float]], targets: Sequence[float], lows: Sequence[float], highs: Sequence[float]
) -> tuple[float, ...]:
    """The numbers between `lows` and `highs` for which rows × numbers miss the targets least, by the sum of squares.

    They need add to nothing. Where several would do as well the smallest are taken. Raises BadValue where the solver gives up.
    """
    import daqp
    import numpy as np

    matrix, low, high = np.array(rows, dtype=float), np.array(lows, dtype=float), np.array(highs, dtype=float)
    scale = max(float(np.abs(matrix).max(initial=0.0)), 1e-30)
    matrix = matrix / scale
    curvature = 2 * (matrix.T @ matrix + _PULL * np.eye(len(low)))
    slope = -2 * matrix.T @ (np.array(targets, dtype=float))
    answer, _, flag, _ = daqp.solve(
        curvature,
        slope,
        np.zeros((0, len(low))),
        high * scale,
        low * scale,
        np.zeros(len(low), dtype=np.intc),
        primal_tol=_TOLERANCE,
    )
    if flag != _SOLVED:
        raise BadValue(f"the additions could not be solved (answer {flag} of the solver): try fewer of them")
    return tuple(float(x) for x in np.clip(answer / scale, low, high))
