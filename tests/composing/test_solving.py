"""Least squares over a bounded simplex against scipy, which is no part of the package: two other algorithms for the same answer."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.optimize import linprog, lsq_linear, minimize

from histkit.composing.solving import _PULL, Goal, least_squares


def problem(seed: int, limited: bool = False) -> tuple[list[Goal], np.ndarray, np.ndarray, float]:
    """Some goals over up to six shares, with bounds that leave room for the whole."""
    random = np.random.default_rng(seed)
    count, goals = int(random.integers(1, 7)), int(random.integers(0, 6))
    whole = float(random.choice([1.0, 0.3, 0.01]))
    low = random.uniform(0, 0.5, count) / count * random.integers(0, 2, count)
    high = np.minimum(1.0, low + random.uniform(0.2, 1.5, count))
    if high.sum() < 1:
        high = np.ones(count)
    rows = random.normal(0, 1, (goals, count)) * random.choice([0.05, 1.0, 5.0])
    inside = low + (high - low) * (1 - low.sum()) / (high - low).sum()  # a point that fits
    targets = rows @ (inside * whole) + random.normal(0, 0.5, goals) * whole
    limits = np.abs(rows @ (inside * whole) - targets) * random.uniform(0.3, 2.0) if limited else [None] * goals
    listed = [
        Goal(tuple(map(float, row)), float(target), None if limit is None else float(limit))
        for row, target, limit in zip(rows, targets, limits, strict=True)
    ]
    return listed, low * whole, high * whole, whole


def loss(goals: list[Goal], shares: np.ndarray, whole: float) -> float:
    """What is made least: the squares of the misses and the trace of pull towards equal shares."""
    missed = [float(np.dot(goal.coefficients, shares)) - goal.target for goal in goals]
    return sum(miss**2 for miss in missed) + _PULL * float(np.sum((shares / whole - 1 / len(shares)) ** 2))


@pytest.mark.parametrize("first", range(0, 300, 60))
def test_shares_are_those_of_scipy(first: int) -> None:
    """scipy's bounded least squares (BVLS, exact on the bounds), the sum brought in as a heavy row: the same to 1e-6."""
    for seed in range(first, first + 60):
        goals, low, high, whole = problem(seed)
        shares = least_squares(goals, low.tolist(), high.tolist(), whole)
        assert shares is not None
        count, heavy = len(low), 1e4
        matrix = np.array([goal.coefficients for goal in goals]).reshape(len(goals), count) * whole
        rows = np.vstack([matrix, np.sqrt(_PULL) * np.eye(count), np.full((1, count), heavy)])
        targets = np.array([*(goal.target for goal in goals), *[np.sqrt(_PULL) / count] * count, heavy])
        # Bounds that meet are no bounds to scipy.
        reference = lsq_linear(rows, targets, (low / whole - 1e-12, high / whole + 1e-12), method="bvls", tol=1e-15).x
        assert np.array(shares) / whole == pytest.approx(reference, abs=1e-6), seed
        assert sum(shares) == pytest.approx(whole, rel=1e-12)


@pytest.mark.parametrize("first", range(1000, 1150, 50))
def test_limits_are_kept_or_nothing_fits(first: int) -> None:
    """Whether anything fits as scipy's linear programming says; and no worse than its sequential quadratic programming."""
    fitting = 0
    for seed in range(first, first + 50):
        goals, low, high, whole = problem(seed, limited=True)
        rows = np.array([goal.coefficients for goal in goals]).reshape(len(goals), len(low))
        targets, limits = np.array([g.target for g in goals]), np.array([g.limit for g in goals], dtype=float)
        bounds = list(zip(low, high, strict=True))
        ends = np.concatenate([targets + limits, limits - targets])
        feasible = linprog(
            np.zeros(len(low)),
            A_ub=np.vstack([rows, -rows]) if goals else None,
            b_ub=ends if goals else None,
            A_eq=np.ones((1, len(low))),
            b_eq=[whole],
            bounds=bounds,
        )
        shares = least_squares(goals, low.tolist(), high.tolist(), whole)
        assert (shares is not None) == feasible.success, seed
        if shares is None:
            continue
        fitting += 1
        assert all(abs(float(np.dot(g.coefficients, shares)) - g.target) <= (g.limit or 0) + 1e-7 for g in goals), seed
        keeps = [{"type": "eq", "fun": lambda x, whole=whole: x.sum() - whole}]
        keeps += [
            {"type": "ineq", "fun": lambda x, g=g: (g.limit or 0) - abs(float(np.dot(g.coefficients, x)) - g.target)}
            for g in goals
        ]
        other = minimize(lambda x, g=goals, w=whole: loss(g, x, w), feasible.x, method="SLSQP", bounds=bounds, constraints=keeps)
        best = loss(goals, np.array(shares), whole)
        assert best <= loss(goals, other.x, whole) + 1e-6 or max(-float(np.min(k["fun"](other.x))) for k in keeps[1:]) > 1e-9, (
            seed
        )
    assert 10 < fitting < 50, "both kinds are among them"


def test_ties_are_settled_evenly() -> None:
    assert least_squares([], [0.0, 0.0, 0.0], [1.0, 1.0, 1.0], 0.6) == pytest.approx((0.2, 0.2, 0.2))
    assert least_squares([Goal((1.0, 1.0), 0.5)], [0.0, 0.0], [0.5, 0.5], 0.5) == pytest.approx((0.25, 0.25))


def test_one_share_and_bounds_that_meet() -> None:
    assert least_squares([Goal((2.0,), 0.0)], [0.0], [0.3], 0.3) == (0.3,)
    assert least_squares([Goal((1.0, -1.0), 0.0)], [0.2, 0.0], [0.2, 1.0], 1.0) == pytest.approx((0.2, 0.8))
    assert least_squares([Goal((1.0, 0.0), 0.1, 0.05)], [0.2, 0.0], [1.0, 1.0], 1.0) is None
