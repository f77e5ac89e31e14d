"""Checks of plain numbers at the doors of the package: callers are not all typed, and a NaN must not travel."""

from __future__ import annotations

import math
from numbers import Integral, Real

from histkit.errors import BadValue


def is_number(value: object) -> bool:
    """Whether this is a finite real number (True and False are none)."""
    return not isinstance(value, bool) and isinstance(value, Real) and math.isfinite(value)


def is_whole(value: object) -> bool:
    """Whether this is a whole number of an integer type (True and False are none)."""
    return not isinstance(value, bool) and isinstance(value, Integral)


def positive(value: float, what: str) -> float:
    """`value` where it is a finite number above 0; raises BadValue otherwise, naming `what`."""
    if not is_number(value) or value <= 0:
        raise BadValue(f"{what} is a number above 0, not {value!r}")
    return float(value)
