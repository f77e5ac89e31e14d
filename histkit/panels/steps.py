"""What was done at a desk, step by step, so that it can be taken back and done again.

Moves that follow close upon each other and change the same thing, as of a slider on its way, are one step.
"""

from __future__ import annotations

import time
from collections.abc import Callable, Iterable

from histkit.keeping.differences import differences
from histkit.keeping.records import Record

TOGETHER = 1.0
"""Seconds within which a further change of the same thing belongs to the step before."""
MOST = 200
"""Steps that are remembered; the history beside the file has all of them."""


class Steps:
    """The records before the present one, and those that were taken back."""

    def __init__(self, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._before: list[Record] = []
        self._after: list[Record] = []
        self._what: tuple[str, ...] = ()
        self._when = float("-inf")

    def made(self, before: Record, after: Record) -> None:
        """Remember a change; what was taken back can no longer be done again."""
        what, now = tuple(words.partition(":")[0] for words in differences(before, after)), self._clock()
        if not (self._before and what == self._what and now - self._when < TOGETHER):
            self._before = [*self._before[1 - MOST :], before]
        self._after.clear()
        self._what, self._when = what, now

    def pause(self) -> None:
        """Whatever comes next is a step of its own."""
        self._what = ()

    def unmade(self) -> None:
        """Forget the change that was remembered last: it did not come about."""
        if self._before:
            self._before.pop()

    def earlier(self, present: Record, kept: Callable[[], Iterable[Record]]) -> Record | None:
        """The record before the present one; None where there is none.

        Where nothing was done here yet, `kept` gives the states of the file's history, the oldest first.
        """
        if not self._before and not self._after:
            for record in kept():
                if not self._before or record != self._before[-1]:
                    self._before.append(record)
            while self._before and self._before[-1] == present:
                self._before.pop()
        if not self._before:
            return None
        self._after.append(present)
        self._what = ()
        return self._before.pop()

    def later(self, present: Record) -> Record | None:
        """The record that was taken back last; None where there is none."""
        if not self._after:
            return None
        self._before.append(present)
        self._what = ()
        return self._after.pop()
