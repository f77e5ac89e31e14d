"""Which drachm a formula means: 60 grains, or a sixteenth of the ounce (27.34 grains), told from its company.

`drachm_company.csv` lists what tells the small drachm. A printed sign or scruples beside it mean the drachm of 60 grains.
"""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache

from histkit.base.bibliography import cite, sourced
from histkit.base.tables import Row, entries
from histkit.measures import Convention
from histkit.reading.formula import Formula, Line

_OF_TRADES = frozenset({"trade receipt book", "household receipt book", "perfumery manual"})
_OF_APOTHECARIES = frozenset({"scruple", "grain", "minim", "fluid drachm", "fluid ounce"})
"""Units whose company speaks for the drachm of 60 grains."""
_FINEST = 24
"""Printed fractions are halves, thirds, quarters, eighths: anything else is a decimal."""


def why_small_drachm(formula: Formula, convention: Convention) -> str:
    """What tells that the drachms of `formula` are sixteenths of the ounce, with its source; '' where nothing does."""
    if not _has_small(convention) or any(line.system == "apothecaries" or line.unit == "scruple" for line in formula.lines):
        return ""
    kind = formula.source.kind if formula.source else None
    kinds = {kind} if kind else set(convention.kinds)
    ounces = any(line.unit == "ounce" for line in formula.lines)
    for row in _company():
        asked = entries(row["kinds"])
        if asked and not kinds & set(asked):
            continue
        if any(_told(row, line, ounces) for line in formula.lines):
            return f"{row['words']} (source: {cite(row['source'], row['section'], row['mark'])})"
    return ""


def may_be_small(formula: Formula, convention: Convention) -> bool:
    """Whether a dry drachm of this formula may be a sixteenth of the ounce although nothing tells it: in the books of trades,
    kitchens and perfumers, beside ounces or pounds, where no grain, minim, scruple or sign speaks of the apothecaries' drachm."""
    if not _has_small(convention):
        return False
    kind = formula.source.kind if formula.source else None
    if not {kind} & _OF_TRADES if kind else not set(convention.kinds) & _OF_TRADES:
        return False
    units = {unit for line in formula.lines for unit in (line.unit, *(u for _, u in line.plus))}
    signs = any(line.system == "apothecaries" for line in formula.lines)
    return bool(units & {"ounce", "pound"}) and not units & _OF_APOTHECARIES and not signs


def _has_small(convention: Convention) -> bool:
    """Whether a drachm can be a sixteenth of this convention's ounce at all: that of a trade which weighs by avoirdupois."""
    return bool(convention.trade) and convention.grams("ounce") == convention.grams("avoirdupois ounce")


@cache
def _company() -> tuple[Row, ...]:
    return sourced("translating/drachm_company")


def _told(row: Row, line: Line, ounces: bool) -> bool:
    for figure, beside_ounce in _drachms(line):
        if row["told_by"] == "decimals" and abs(figure * _FINEST - round(figure * _FINEST)) > 1e-6:
            return True
        if row["told_by"] == "figure" and figure == float(row["figure"]):
            return True
        if row["told_by"] == "over" and beside_ounce and figure > float(row["figure"]):
            return True
        if row["told_by"] == "over beside ounces" and ounces and float(row["figure"]) < figure < 16:
            return True
    return False


def _drachms(line: Line) -> Iterator[tuple[float, bool]]:
    """The figures of a line printed in drachms, and whether each stands beside an ounce in one amount."""
    if line.unit == "drachm" and isinstance(line.amount, float | int):
        yield float(line.amount), False
    for amount, unit in line.plus:
        if unit == "drachm" and isinstance(amount, float | int):
            yield float(amount), line.unit == "ounce"
