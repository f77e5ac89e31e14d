"""How words and figures stand in print: a line of the book, shares that add to 100, grams, signs of notes."""

from __future__ import annotations

import re
from collections.abc import Sequence
from fractions import Fraction

from histkit.base.text import clean
from histkit.bench.weighing import largest_remainder
from histkit.reading.formula import Line

NOT_IN_THE_BOOK = "(not in the book)"
"""What stands in the column of printed words for what the formula never had."""

SIGNS = ("†", "‡", "§", "‖", "¶")
"""Signs of the notes in the order in which printers use them; after the last they are doubled, then trebled."""

MOST_GRAM_DECIMALS = 6
"""A microgram: what no aliquot for the kitchen goes below."""

SAFETY = "Rules differ and change: ask a safety assessor before anybody else uses what you make."

# Each begins where no blank or dot stands before it: else a long row would be tried from every place in it.
_LEADERS = re.compile(r"(?<![\s.·…_])(?:\s*[.·…_]){3,}(?=\s)|(?:(?<!\s)\s++)?(?<!…)…+(?=\s)")
_DITTO = re.compile(r"^\s*(?:[\"”“″„〃]+|''|,,|(?:do\.|ditto)(?=\s|$))\s*", re.IGNORECASE)


# -- figures ------------------------------------------------------------------------------------------------------------


def grams_text(grams: float | None, decimals: int) -> str:
    """Grams with the digits of the balance, and more where the amount is finer than that."""
    if grams is None:
        return "–"
    needed = next((d for d in range(decimals, MOST_GRAM_DECIMALS) if abs(round(grams, d) - grams) < 1e-9), MOST_GRAM_DECIMALS)
    return f"{grams:,.{needed}f}"


def percent_text(printed: float | None, exact: float | None, decimals: int) -> str:
    """A share in per cent as printed. One that is there but too small to show says that it is less than the last digit."""
    if printed is None:
        return "–"
    if printed == 0 and exact:
        return f"<{10**-decimals:.{decimals}f}"
    return f"{printed:.{decimals}f}"


def printed_percents(shares: Sequence[float | None]) -> tuple[list[float | None], int]:
    """Shares (0–1) as per cent figures that add to 100, and their digits: one, two where something would vanish.

    No book weighs to a thousandth of a per cent: what is less still is printed as less than 0.01 (`percent_text`).
    """
    held = [Fraction(s) for s in shares if s is not None]
    total = sum(held, Fraction(0))
    if not held or total <= 0:
        return [None if s is None else 0.0 for s in shares], 1
    decimals = 1
    while decimals < 2 and any(0 < s / total * 100 * 10**decimals < Fraction(1, 2) for s in held):
        decimals += 1
    units = largest_remainder([s / total * 100 * 10**decimals for s in held])
    figures = iter(units)
    return [None if s is None else next(figures) / 10**decimals for s in shares], decimals


# -- words --------------------------------------------------------------------------------------------------------------


def sign(number: int) -> str:
    """The sign of the note of that number, counted from 0."""
    return SIGNS[number % len(SIGNS)] * (number // len(SIGNS) + 1)


def printed_words(line: Line) -> str:
    """A line as the book prints it, without leaders and line breaks; words that were supplied stand in square brackets."""
    words = clean(_LEADERS.sub(" ", line.raw))
    if line.carried:
        words = f"[{line.carried}] {_DITTO.sub('', words)}"
    words = " ".join(words.split()).strip(" ,;:")
    beside = re.sub(r"[\W_]+", "", " ".join(line.raw.split()).replace(" ".join(line.ingredient.split()), "", 1))
    if line.of_each and not beside and line.amount is not None:
        words = f"{words} [{measured(line)} of each]"
    return words


def measured(line: Line) -> str:
    """The amount as read, its unit in the plural where there are several."""
    words = line.measure_text()
    most = line.amount[1] if isinstance(line.amount, tuple) else line.amount or 0
    if most <= 1 or line.plus or line.unit in ("per cent", "q.s.", "none"):
        return words
    return words + ("es" if line.unit.endswith("ch") else "s")
