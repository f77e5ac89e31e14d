"""The plain nouns that travel all the way: source, doubt, spread, and amounts as they are printed.

Every one is frozen; each step of the way makes new ones. Amounts are plain floats; units are the canonical words of `UNITS`;
masses are grams and volumes millilitres. A noun that belongs to one stretch of the way stands in the folder of that stretch.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from histkit.base.errors import BadValue, quoted

Amount = float | tuple[float, float] | None
"""A printed figure: one number, a range (low, high), or None where no figure is printed."""


Measure = tuple[Amount, str]
"""A figure and a canonical unit word."""


UNITS: frozenset[str] = frozenset(
    {
        "grain", "scruple", "drachm", "ounce", "pound",
        "minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon",
        "drop", "teaspoonful", "tablespoonful", "wineglassful", "cupful",
        "part", "per cent", "gram", "milligram", "centigram", "kilogram", "millilitre", "litre",
        "piece", "handful", "pinch", "q.s.", "none",
    }
)  # fmt: skip
"""Canonical unit words. A bare 'oz.' is "ounce": whether by weight or measure is the translation's question."""


KINDS: tuple[str, ...] = (
    "pharmacopoeia",
    "prescription",
    "trade receipt book",
    "household receipt book",
    "perfumery manual",
)
"""Sorts of book; the sort says which ounce its writer meant."""


@dataclass(frozen=True, slots=True)
class Source:
    """Which book a formula was copied from, and where and when it was printed.

    `country` is an ISO 3166 two-letter code ("GB", "US", "FR", "DE" …); `kind` one of `KINDS` or None.
    `measures` is what the book says of its own measures, in its words ('wine measure', 'sixteen ounces to the pint').
    """

    title: str = ""
    author: str = ""
    year: int | None = None
    country: str = ""
    kind: str | None = None
    place: str = ""
    page: str = ""
    url: str = ""
    measures: str = ""

    def __post_init__(self) -> None:
        if self.year is not None:
            if isinstance(self.year, bool) or not isinstance(self.year, int):
                raise BadValue(f"the year of a source is a whole number such as 1872, not {quoted(self.year)}")
            if not 1000 <= self.year <= 2100:
                raise BadValue(f"the year of a source lies between 1000 and 2100, not {quoted(self.year)}")
        if self.kind is not None and self.kind not in KINDS:
            raise BadValue(f"the kind of a source is one of {', '.join(map(repr, KINDS))} or None, not {self.kind!r}")

    def citation(self) -> str:
        """Author, title, place and year, page: in one line, as a caption or a reference prints it."""
        author = f"{self.author}, " if self.author else ""
        printed = ", ".join(str(part) for part in (self.place, self.year) if part)
        page = f", {self.page}" if self.page else ""
        return f"{author}{self.title or 'untitled source'}{f' ({printed})' if printed else ''}{page}"


@dataclass(frozen=True, slots=True)
class Doubt:
    """Something that could be taken two ways, or that is damaged, or that was guessed.

    `about` says what it concerns ("amount", "unit", "ingredient", "group", "measure", "strength" …), `text` is
    a sentence for the maker, `others` are the other readings in words, `effect` what they would change.
    """

    about: str
    text: str
    others: tuple[str, ...] = ()
    effect: str = ""


def times(amount: Amount, factor: float) -> Amount:
    """An amount, or both ends of its range, multiplied; None stays None."""
    if isinstance(amount, tuple):
        return (amount[0] * factor, amount[1] * factor)
    return None if amount is None else amount * factor


def figure_text(value: float) -> str:
    """A number to four significant figures, never in powers of ten: '0.3512', '28.35', '22,490'."""
    return f"{value:,.0f}" if abs(value) >= 1000 else f"{value:.4g}"


@dataclass(frozen=True, slots=True)
class Spread:
    """A value with the range that history leaves open: low ≤ best ≤ high. It is no standard deviation."""

    low: float
    best: float
    high: float

    def __post_init__(self) -> None:
        if not self.low <= self.best <= self.high:
            raise BadValue(f"a spread runs low ≤ best ≤ high, not {self.low}, {self.best}, {self.high}")

    @classmethod
    def exact(cls, value: float) -> Spread:
        return cls(value, value, value)

    @classmethod
    def over(cls, values: Iterable[float], best: float) -> Spread:
        """The spread that holds `best` and all `values`."""
        everything = [best, *values]
        return cls(min(everything), best, max(everything))

    @property
    def is_exact(self) -> bool:
        return self.low == self.high

    @property
    def relative(self) -> float:
        """Width over best: 0 for an exact value, infinite where best is 0 and the width is not."""
        width = self.high - self.low
        return width / abs(self.best) if self.best else (math.inf if width else 0.0)

    def __add__(self, other: Spread) -> Spread:
        return Spread(self.low + other.low, self.best + other.best, self.high + other.high)

    def __mul__(self, other: float | Spread) -> Spread:
        """Times a number or a spread, neither of them negative."""
        if isinstance(other, Spread):
            return Spread(self.low * other.low, self.best * other.best, self.high * other.high)
        return Spread(self.low * other, self.best * other, self.high * other)

    __rmul__ = __mul__

    def __str__(self) -> str:
        best, low, high = map(figure_text, (self.best, self.low, self.high))
        return best if self.is_exact else f"{best} ({low}–{high})"


def amount_text(amount: Amount) -> str:
    """A figure in digits: '2', '0.5', '5 to 16', '' for none."""
    if amount is None:
        return ""
    if isinstance(amount, tuple):
        return f"{amount[0]:.6g} to {amount[1]:.6g}"
    return f"{amount:.6g}"
