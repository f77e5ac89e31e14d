"""Figures with a decimal comma and no unit: the grams of a prescription on the Continent.

Since the gram weight came in (by law in Prussia in 1868, in the whole Empire in 1872) German and Austrian pharmacy writes the
grams of a prescription as decimal figures with one place at least, and leaves the unit out: 'Talcum 20,0'. Ewald and Lüdecke,
Handbuch der allgemeinen und speciellen Arzneiverordnungslehre (1883), print their tables of doses so; it is still the rule
(Altmeyers Enzyklopädie, 'Praescriptio': the amounts are in grams, with one place behind the comma and without the g).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from histkit.base.nouns import Doubt
from histkit.reading.formula import Line

_DECIMALS = re.compile(r"\d[.,]\d")
_COMMA = re.compile(r"\d,\d{1,2}(?!\d)")
_AS_GRAMS = Doubt(
    "unit",
    "No unit is printed; figures with a decimal comma are taken as grams, as pharmacists on the Continent write them.",
    ("parts, in the proportions printed",),
    "As parts the shares stay the same; drops and pieces beside them would not.",
)


def has_decimals(figure: str) -> bool:
    """Whether a figure is printed with a decimal comma or point: '2,5', '10.0'."""
    return _DECIMALS.search(figure) is not None


def in_grams(lines: Sequence[Line]) -> list[Line]:
    """The lines of a formula, those without a unit in grams where each of them is printed with a decimal comma."""
    unitless = [line for line in lines if _is_unitless(line)]
    says_parts = any(line.unit == "part" and not _is_unitless(line) for line in lines)
    if not unitless or says_parts or not all(_COMMA.search(line.raw) for line in unitless):
        return list(lines)
    return [_in_grams(line) if _is_unitless(line) else line for line in lines]


def _is_unitless(line: Line) -> bool:
    """Whether a line is in parts because it prints no unit."""
    total = line.to_make[1] if line.to_make else ""
    return "part" in (line.unit, total) and any(doubt.about == _AS_GRAMS.about for doubt in line.doubts)


def _in_grams(line: Line) -> Line:
    doubts = tuple(dict.fromkeys(_AS_GRAMS if doubt.about == _AS_GRAMS.about else doubt for doubt in line.doubts))
    to_make = (line.to_make[0], "gram") if line.to_make and line.to_make[1] == "part" else line.to_make
    return replace(line, unit="gram" if line.unit == "part" else line.unit, to_make=to_make, doubts=doubts)
