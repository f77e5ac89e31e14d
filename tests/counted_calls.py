"""Work counted in calls of functions, those of C included: the same on any machine and at any load."""

import sys
from collections.abc import Callable


def calls_of(work: Callable[[], object]) -> int:
    """How many functions are called while `work` is done."""
    count = 0

    def counted(frame, event, argument):
        nonlocal count
        count += event in ("call", "c_call")

    sys.setprofile(counted)
    try:
        work()
    finally:
        sys.setprofile(None)
    return count
