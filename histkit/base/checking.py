"""Checks of plain numbers at the doors of the package: callers are not all typed, and a NaN must not travel."""

from __future__ import annotations

import math
from numbers import Integral, Real

from histkit.base.errors import BadValue, quoted


def is_number(value: object) -> bool:
    """Whether this is a finite real number (True and False are none)."""
    try:
        return not isinstance(value, bool) and isinstance(value, Real) and math.isfinite(value)
    except OverflowError:  # a whole number that no float can hold
        return False


def is_whole(value: object) -> bool:
    """Whether this is a whole number of an integer type (True and False are none)."""
    return not isinstance(value, bool) and isinstance(value, Integral)


LEAST, MOST = 1e-12, 1e12
"""Between these lie all masses, sizes and pressures of a kitchen, in grams, millimetres or MPa; beyond them figures run out of
bounds in the middle of a sum."""


def positive(value: float, what: str) -> float:
    """`value` where it is a number above 0, within `LEAST` and `MOST`; raises BadValue otherwise, naming `what`."""
    if not is_number(value) or value <= 0:
        raise BadValue(f"{what} is a number above 0, not {quoted(value)}")
    if not LEAST <= value <= MOST:
        raise BadValue(f"{what} is a number above 0, from {LEAST:g} to {MOST:g}, not {quoted(value)}")
    return float(value)
