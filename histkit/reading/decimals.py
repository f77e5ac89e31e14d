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
from math import log

from histkit.base.nouns import Doubt, amount_text
from histkit.reading.formula import Line
from histkit.reading.measure import METRIC, Measure
from histkit.reading.view import View

_DECIMALS = re.compile(r"\d[.,]\d")
_COMMA = re.compile(r"\d,\d{1,2}(?!\d)")
_AS_GRAMS = Doubt(
    "unit",
    "No unit is printed; figures with a decimal comma are taken as grams, as pharmacists on the Continent write them.",
    ("parts, in the proportions printed",),
    "As parts the shares stay the same; drops and pieces beside them would not.",
)

_EITHER = re.compile(r"[1-9]\d{0,2},(?!000)\d{3}")
_SURELY_DECIMAL = re.compile(r"0,\d+|\d+,\d{1,2}")
_WEIGHED_IN_DECIMALS = frozenset((*METRIC, "millilitre", "litre", "part", "per cent", ""))
_THOUSAND = 1000.0


def with_decimal_commas(view: View, measures: list[Measure]) -> list[Measure]:
    """The amounts of a text of the Continent, '1,250 Grm.' read as 1.25 grams: the comma of its thousands is the decimal comma.

    Both were printed in the nineteenth century. Where no other figure shows which is meant, or the other amounts in the same
    unit speak against what they show, a doubt tells of the other reading.
    """
    grouped = {m.first: printed for m in measures if (printed := _in_either_way(view, m))}
    if not grouped:
        return measures
    shown = any(token.kind == "num" and _SURELY_DECIMAL.fullmatch(token.text) for token in view.tokens)
    settled = []
    for m in measures:
        if m.first in grouped and isinstance(m.amount, float):
            others = [o.amount for o in measures if o.unit == m.unit and isinstance(o.amount, float) and o.first not in grouped]
            small = _is_nearer(m.amount / _THOUSAND, m.amount, [other for other in others if other > 0])
            amount, other = (m.amount / _THOUSAND, m.amount) if small else (m.amount, m.amount / _THOUSAND)
            doubt = Doubt(
                "amount",
                f"{grouped[m.first]!r} is read as {amount_text(amount)}; its comma may be the other one.",
                (f"{amount_text(other)} {m.unit}".strip(),),
                "It makes a thousandfold difference.",
            )
            m = m._replace(amount=amount, doubts=m.doubts if shown and small else (*m.doubts, doubt))
        settled.append(m)
    return settled


def _in_either_way(view: View, m: Measure) -> str:
    """The figure of an amount, where it is the only one and may be printed with a decimal comma or that of thousands."""
    figures = [token.text for token in view.tokens[m.first : m.last] if token.kind == "num"]
    either = len(figures) == 1 and m.unit in _WEIGHED_IN_DECIMALS and _EITHER.fullmatch(figures[0]) is not None
    return figures[0] if either else ""


def _is_nearer(one: float, other: float, amounts: list[float]) -> bool:
    """Whether one of the amounts is as near to `one` as any of them to `other`; where there are none it is taken to be."""
    near_one, near_other = (min((abs(log(value / a)) for a in amounts), default=0.0) for value in (one, other))
    return near_one <= near_other


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
