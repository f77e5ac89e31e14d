"""Roman numerals as pharmacists print them."""

from __future__ import annotations

import re

BELOW_FORTY = frozenset("ivxj")
"""The letters of most numerals of a formula."""
PRINTED = re.compile(r"(?:[ivxlcj]{1,6}(?:ss)?|ss)(?:-(?:[ivxlcj]{1,6}(?:ss)?|ss))?")
"""A numeral behind a sign, or a range of two, in small letters."""
LARGE, THOUSANDS, BEFORE_WORN_FINAL, LETTERS = frozenset("mdc"), frozenset("md"), frozenset("xiv"), frozenset("ivxlcdmjs")
"""The letters of hundreds, those that no amount needs, those before a last stroke that scans make a figure of, and all that a
numeral may hold."""
_VALUES = {"i": 1, "j": 1, "v": 5, "x": 10, "l": 50, "c": 100, "d": 500, "m": 1000}
_WHOLE = re.compile(r"m{0,3}(?:cm|cd|d?c{0,4})(?:xc|xl|l?x{0,4})(?:ix|iv|v?(?:[ij]{0,4}))", re.IGNORECASE)
_HALF = re.compile(r"(ss|fs|8s)\Z")
_HALF_AS_PRINTED = "ss"
_I, _FINAL_I, _TEN, _FIFTY = "ijxl"
_WORN_FINAL = "1"


def roman(word: str) -> tuple[float, str] | None:
    """(value, other reading) of a numeral: final j, ss or ß for a half; None if the word is none.

    'ijss' is 2.5, 'ss' 0.5. A numeral of odd shape ('ji', 'x1') is read with the likelier printed form as its other reading.
    """
    text = word.lower().rstrip("'").replace("ß", _HALF_AS_PRINTED).replace("β", _HALF_AS_PRINTED)
    half, other = 0.0, ""
    if ending := _HALF.search(text):
        half, text = 0.5, text[: ending.start()]
        other = "" if ending.group() == _HALF_AS_PRINTED else f"{text}{_HALF_AS_PRINTED}"
    if not text:
        return (half, other) if half else None
    text, other = _without_worn_final(text, other)
    small = BELOW_FORTY.issuperset(text)
    if _FINAL_I in text[:-1] and small and text != 2 * _FINAL_I:
        other = text[:-1].replace(_FINAL_I, _I) + _FINAL_I  # j is printed for the last i only
    if not _WHOLE.fullmatch(text.replace(_FINAL_I, _I)):
        if not small:
            return None
        other = "".join(sorted(text.replace(_FINAL_I, _I), key="xvi".index))
    added_up = bool(other) and small and text != _TEN
    return (sum(_VALUES[letter] for letter in text) if added_up else _value(text)) + half, other


def _without_worn_final(text: str, other: str) -> tuple[str, str]:
    """'x1' is xl, or xj; 'i1' is ij."""
    before = text[:-1]
    if not before or text[-1] != _WORN_FINAL or not BEFORE_WORN_FINAL.issuperset(before):
        return text, other
    return before + (_FIFTY if before[-1] == _TEN else _FINAL_I), before + _FINAL_I


def _value(text: str) -> int:
    total, previous = 0, 0
    for letter in reversed(text):
        value = _VALUES[letter]
        total += value if value >= previous else -value
        previous = max(previous, value)
    return total
