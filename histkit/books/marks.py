"""The printed words and signs by which pages, numbers of formulas and unfinished lines are known; `marks.csv` holds them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

from histkit.base.tables import read


@cache
def marks(kind: str) -> tuple[str, ...]:
    """The marks of one kind, as printed, in the order of the table.

    Raises:
        KeyError: the table has no such kind.
    """
    of_kind = tuple(row["printed"] for row in read("books/marks") if row["kind"] == kind)
    if not of_kind:
        raise KeyError(f"books/marks.csv has no mark of the kind {kind!r}")
    return of_kind


def any_of(words: Iterable[str]) -> str:
    """A pattern for any of these words, the longest first, so that 'pg.' is tried before 'pg'."""
    return "(?:" + "|".join(re.escape(word) for word in sorted(words, key=lambda word: -len(word))) + ")"
