"""Shares and their limits by hand."""

from __future__ import annotations

import itertools
import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.nouns import Spread
from histkit.translating.amounts import Reading
from histkit.translating.shares import distance, share_bounds, shares_of


def weighed(*ends: tuple[float, float, float] | None) -> list[tuple[Reading, ...]]:
    return [() if e is None else (Reading("weight", Spread(*e), ""),) for e in ends]


def test_shares_by_hand() -> None:
    assert shares_of([1.0, None, 3.0]) == [0.25, 0.0, 0.75]
    assert shares_of([None, None]) == [0.0, 0.0] and shares_of([0.0]) == [0.0]
    assert distance([0.5, 0.5, 0.0], [0.25, 0.5, 0.25]) == 0.25


def test_limits_by_hand() -> None:
    """1 to 3 g beside 3 to 4 g: the first is least as 1 of 1 + 4, and most as 3 of 3 + 3."""
    first, second, third = share_bounds([weighed((1, 2, 3), (3, 3, 4), None)])
    assert first is not None and second is not None and third is None
    assert (first.low, first.best, first.high) == pytest.approx((1 / 5, 2 / 5, 3 / 6))
    assert (second.low, second.best, second.high) == pytest.approx((3 / 6, 3 / 5, 4 / 5))


def test_conventions_do_not_mix() -> None:
    """Under one convention 1 and 1 g, under the other 2 and 2: the share is a half under either, and nothing between."""
    (first, second) = share_bounds([weighed((1, 1, 1), (1, 1, 1)), weighed((2, 2, 2), (2, 2, 2))])
    assert first == second == Spread(0.5, 0.5, 0.5)
    (wide, _) = share_bounds([weighed((1, 1, 1), (1, 1, 1)), weighed((2, 2, 2), (1, 1, 1))])
    assert wide is not None and (wide.low, wide.best, wide.high) == pytest.approx((0.5, 0.5, 2 / 3))


@settings(max_examples=200, deadline=None)
@given(st.lists(st.tuples(st.floats(0.01, 10), st.floats(0.01, 10)), min_size=1, max_size=4))
def test_limits_are_those_of_all_corners(ends: list[tuple[float, float]]) -> None:
    """The least and the most share over all corners of the box, tried one by one."""
    bounds = share_bounds([weighed(*((min(e), min(e), max(e)) for e in ends))])
    corners = [[c / math.fsum(corner) for c in corner] for corner in itertools.product(*ends)]
    for place, bound in enumerate(bounds):
        assert bound is not None
        assert bound.low == pytest.approx(min(corner[place] for corner in corners))
        assert bound.high == pytest.approx(max(corner[place] for corner in corners))
