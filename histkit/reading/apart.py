"""Columns that a copy has torn apart: names in one block and amounts in another, or name and amount on lines of their own.

As many lines with nothing but a name as lines with nothing but an amount, in one row of lines: the first name has the first
amount, the second the second, whatever their order on the page. Such a line always carries a doubt.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator
from dataclasses import dataclass

from histkit.base.nouns import Doubt
from histkit.reading.assigning import Entry
from histkit.reading.layout import printed_lines
from histkit.reading.measure import NONE_IN_FORCE, Measure
from histkit.reading.settling import with_unit_in_force
from histkit.reading.trimming import trim
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
        names = [(place, row) for place, row in enumerate(run) if row.measure is None]
        amounts = [(place, row.measure) for place, row in enumerate(run) if row.measure is not None]
        if len(names) == len(amounts) + 1 and run[0].measure is None:
            names = names[1:]  # the title
        if not _FEWEST <= len(names) == len(amounts):
            continue
        unit = next((amount.in_force for _, amount in amounts if amount.unit and amount.kind == "plain"), NONE_IN_FORCE)
        for (named_at, row), (stands_at, printed_amount) in zip(names, amounts, strict=True):
            amount = with_unit_in_force(printed_amount, unit) if printed_amount.kind == "bare" else printed_amount
            printed = wording.printed(amount.first, amount.last)
            text = f"Name and amount stand apart on the page; {printed!r} is taken for this name by its place."
            amount = amount._replace(doubts=(*amount.doubts, Doubt("group", text, (), _EFFECT)))
            neighbours = abs(named_at - stands_at) == 1  # then one stretch of the text holds both
            entries.append(Entry([trim(wording, row.first, row.last)], amount, holds_measure=neighbours))
            taken.add(amount.first)
    return entries, [m for m in measures if m.first not in taken]


def _runs(wording: Wording, measures: list[Measure]) -> Iterator[list[Row]]:
    """Rows of lines of which each holds nothing but a name or nothing but an amount; blank lines between them do not count."""
    run: list[Row] = []
    starts = [m.first for m in measures]
    for first, last in printed_lines(wording.view, 0, len(wording.tokens)):
        inside = measures[bisect_left(starts, first) : bisect_left(starts, last)]
        row = _row(wording, first, last, inside)
        if row is not None:
            run.append(row)
            continue
        yield run
        run = []
    yield run


def _row(wording: Wording, first: int, last: int, inside: list[Measure]) -> Row | None:
    if not inside:
        words = wording.words_between(first, last)
        names = wording.has_name(first, last) and words <= _LONGEST_NAME
        directs = any(wording.is_direction(i) for i in range(first, last))
        return Row(first, last, None) if names and not directs else None
    m = inside[0]
    if len(inside) > 1 or m.kind not in _KINDS or m.each or wording.is_nominal(first, m.first):
        return None
    behind = wording.view.solid[m.last]
    repeats = m.kind == "bare" and behind < last and wording.tokens[behind].kind == "ditto"  # '18,5 „'
    end = behind + 1 if repeats else m.last
    return None if wording.is_nominal(end, last) else Row(first, last, m._replace(last=end))
