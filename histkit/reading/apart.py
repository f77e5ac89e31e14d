"""Columns that a copy has torn apart: names in one block and amounts in another, or name and amount on lines of their own.

As many lines with nothing but a name as lines with nothing but an amount, in one row of lines: the first name has the first
amount, the second the second, whatever their order on the page. Such a line always carries a doubt.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from histkit.base.nouns import Doubt
from histkit.reading.assigning import Entry, trim
from histkit.reading.measure import Measure
from histkit.reading.settling import with_unit_in_force
from histkit.reading.wording import Wording

_FEWEST = 2
"""Pairs of a name and an amount; one alone may be a heading and a figure."""
_LONGEST_NAME = 9
"""Words of a line that is no more than a name."""
_KINDS = ("plain", "bare", "qs", "percent")
_EFFECT = "One line too many in either column would give every amount to another name: look at the page."


@dataclass(frozen=True, slots=True)
class Row:
    """A printed line: tokens `first` up to `last`; `measure` is all that stands in it, None for a name alone."""

    first: int
    last: int
    measure: Measure | None


def columns_apart(wording: Wording, measures: list[Measure]) -> tuple[list[Entry], list[Measure]]:
    """The entries of columns that stand apart, and the measures that belong to none of them."""
    entries: list[Entry] = []
    taken: set[int] = set()
    for run in _runs(wording, measures):
        names = [row for row in run if row.measure is None]
        amounts = [row.measure for row in run if row.measure is not None]
        if len(names) == len(amounts) + 1 and run[0].measure is None and run[0].first <= _first_word(wording):
            names = names[1:]  # the title
        if not _FEWEST <= len(names) == len(amounts):
            continue
        unit = next((amount.unit for amount in amounts if amount.unit and amount.kind == "plain"), "")
        for row, printed_amount in zip(names, amounts, strict=True):
            amount = with_unit_in_force(printed_amount, unit) if printed_amount.kind == "bare" else printed_amount
            printed = " ".join(t.text for t in wording.tokens[amount.first : amount.last] if t.kind not in ("gap", "line"))
            doubt = Doubt(
                "group", f"Name and amount stand apart on the page; {printed!r} is taken for this name by its place.", (), _EFFECT
            )
            beside = _adjoin(run, row, amount)
            entries.append(
                Entry([trim(wording, row.first, row.last)], replace(amount, doubts=(*amount.doubts, doubt)), holds_measure=beside)
            )
            taken.add(amount.first)
    return entries, [m for m in measures if m.first not in taken]


def _first_word(wording: Wording) -> int:
    return next((i for i, token in enumerate(wording.tokens) if token.kind == "word"), 0)


def _adjoin(run: list[Row], row: Row, amount: Measure) -> bool:
    """Whether a name and its amount stand on neighbouring lines, so that one stretch of the text holds both."""
    at = run.index(row)
    beside = [run[k].measure for k in (at - 1, at + 1) if 0 <= k < len(run)]
    return any(other is not None and other.first == amount.first for other in beside)


def _runs(wording: Wording, measures: list[Measure]) -> Iterator[list[Row]]:
    """Rows of lines of which each holds nothing but a name or nothing but an amount; blank lines between them do not count."""
    run: list[Row] = []
    for first, last in _lines(wording):
        inside = [m for m in measures if first <= m.first < last]
        row = _row(wording, first, last, inside)
        if row is not None:
            run.append(row)
            continue
        if run:
            yield run
        run = []
    if run:
        yield run


def _lines(wording: Wording) -> Iterator[tuple[int, int]]:
    """The printed lines that hold anything, as stretches of tokens."""
    start = 0
    for i, token in enumerate(wording.tokens):
        if token.kind in ("line", "para"):
            if i > start:
                yield start, i
            start = i + 1
    if start < len(wording.tokens):
        yield start, len(wording.tokens)


def _row(wording: Wording, first: int, last: int, inside: list[Measure]) -> Row | None:
    if not inside:
        words = wording.words_between(first, last)
        names = wording.has_name(first, last) and words <= _LONGEST_NAME
        directs = any(wording.is_direction(i) for i in range(first, last))
        return Row(first, last, None) if names and not directs else None
    only = len(inside) == 1 and inside[0].kind in _KINDS and not inside[0].each and inside[0].last <= last
    return (
        Row(first, last, inside[0])
        if only and not wording.is_nominal(first, inside[0].first) and not wording.is_nominal(inside[0].last, last)
        else None
    )
