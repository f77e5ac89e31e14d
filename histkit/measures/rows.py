"""Reads the tables of this package; each is read once, when first asked for."""

from __future__ import annotations

from collections.abc import Iterable

from histkit.base.bibliography import sourced
from histkit.base.tables import Row


def rows(name: str) -> tuple[Row, ...]:
    """The rows of `histkit/measures/<name>.csv`, cells as text without blanks at their ends.

    Raises TableError where a row has more or fewer cells than the heading, or cites a work that is not in the bibliography.
    """
    return sourced(f"measures/{name}")


def near(name: str, names: Iterable[str]) -> tuple[str, ...]:
    """The known names closest in spelling to `name`, best first, at most three."""
    from difflib import get_close_matches

    return tuple(get_close_matches(name, list(names), n=3, cutoff=0.55))
