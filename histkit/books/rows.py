"""What a run keeps of each line and each formula of the books: the columns of its tables."""

from __future__ import annotations

from dataclasses import dataclass, fields
from types import MappingProxyType


@dataclass(frozen=True, slots=True)
class LineRow:
    """One ingredient of one formula of one book. Grams are those of the formula as printed; shares are 0 to 1."""

    book: str
    number: int
    line: int
    page: int | None
    printed_line: int
    printed: str
    name: str
    modifier: str
    amount: str
    unit: str
    measure: str
    grams_low: float | None
    grams: float | None
    grams_high: float | None
    share_low: float | None
    share: float | None
    share_high: float | None
    ingredient: str
    today: str
    via: str
    certainty: float | None
    perhaps: str
    caution: str
    holds: str
    doubts: str


@dataclass(frozen=True, slots=True)
class FormulaRow:
    """One formula of one book. `error` says why it could not be read; then it has no lines, and its words are in `unread`.

    `grams` is the sum over the lines of known weight, `unknown` counts the others; where `in_parts` is true, one part stands
    as one gram and only the proportions mean something.
    """

    book: str
    number: int
    title: str
    kind: str
    page: int | None
    first_line: int
    last_line: int
    year: int | None
    country: str
    convention: str
    lines: int
    unidentified: int
    unknown: int
    grams: float | None
    in_parts: bool
    doubts: int
    caution: str
    holds: str
    directions: str
    unread: str
    set_aside: str
    error: str


ROWS = MappingProxyType({"lines": LineRow, "formulas": FormulaRow})
"""Name of a table → what a row of it is, in the order in which a part keeps them."""


def columns(name: str) -> tuple[str, ...]:
    """The columns of `lines` or `formulas`, in order."""
    return tuple(field.name for field in fields(ROWS[name]))
