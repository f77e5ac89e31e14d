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


def share(value: float, what: str, below: float = 1.0) -> float:
    """`value` where it is a number from 0 to below `below`; raises BadValue otherwise, naming `what`."""
    if not is_number(value) or not 0 <= value < below:
        raise BadValue(f"{what} is 0 or more and below {below:g} (0.05 is five per cent), not {value!r}")
    return float(value)
