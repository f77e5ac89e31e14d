"""The amount as the reader passes it on, and what one unit is of another."""

from __future__ import annotations

from typing import NamedTuple

from histkit.base.nouns import Amount, Doubt, times

KINDS = (
    "plain", "bare", "qs", "some", "few", "sized", "same", "equal", "rate", "portion", "percent", "ditto", "column", "interior",
)  # fmt: skip
"""What an amount is: see `Measure`."""
EACH = ("", "before", "after")
"""Where 'of each' stands: nowhere, before the amount ('of each 2 oz'), or after it ('2 oz of each')."""
OF_THE_WHOLE = ("rate", "portion")
"""Kinds of measure that speak of the whole or of another thing, and never of an ingredient of their own."""
WEIGHTS = ("grain", "scruple", "drachm", "ounce", "pound")
METRIC = ("milligram", "centigram", "gram", "kilogram")
FLUIDS = ("minim", "fluid drachm", "fluid ounce", "gill", "pint", "quart", "gallon")
"""Units that may stand together in one amount, the smallest first."""
# How many of the smaller unit a larger one holds, where the ratio is the same in every system that has both.
RATIOS = {
    ("ounce", "drachm"): 8, ("drachm", "scruple"): 3, ("drachm", "grain"): 60, ("scruple", "grain"): 20, ("ounce", "scruple"): 24,
    ("fluid ounce", "fluid drachm"): 8, ("fluid drachm", "minim"): 60, ("fluid ounce", "minim"): 480,
    ("minim", "fluid drachm"): 1 / 60, ("quart", "pint"): 2, ("gallon", "quart"): 4, ("gallon", "pint"): 8,
}  # fmt: skip


class InForce(NamedTuple):
    """The unit of figures that print none: as printed, it is `holds` of `unit` (half an ounce to a Loth). `unit` "": none yet."""

    unit: str = ""
    holds: float = 1.0

    def of(self, m: Measure) -> Measure:
        """A figure in this unit, or in parts where there is none."""
        return m._replace(amount=times(m.amount, self.holds), unit=self.unit or "part", holds=self.holds, kind="plain")


NONE_IN_FORCE = InForce()


class Measure(NamedTuple):
    """Tokens `first` up to but not including `last` print this amount.

    `kind` is one of `KINDS`: plain, bare (a figure without a unit), qs, some, few, sized ('the size of a nut'), same (a
    reference back, `amount` is the factor), equal, rate, portion (of what stands above), percent, ditto, column, interior (the
    name stands on both sides). `each` is one of `EACH`.
    """

    first: int
    last: int
    amount: Amount
    unit: str
    kind: str = "plain"
    plus: tuple[tuple[Amount, str], ...] = ()
    to_make: tuple[Amount, str] | None = None
    also: tuple[tuple[Amount, str], ...] = ()
    each: str = ""
    system: str = ""
    approximate: bool = False
    article: bool = False
    reach: int = 0
    """For a phrase such as 'perfumed with': where the amount words end and the name begins."""
    holds: float = 1.0
    """How many of `unit` one of the printed unit is: 0.5 (ounces) for a Loth."""
    doubts: tuple[Doubt, ...] = ()
    steps: tuple[str, ...] = ()

    @property
    def in_force(self) -> InForce:
        """Its unit, for a figure below."""
        return InForce(self.unit, self.holds)


EQUAL_PARTS = Doubt("amount", "Equal parts: the size of a part is not printed; one part of each is taken.")


def fluid(unit: str) -> str:
    """The unit by measure that a word such as 'fluid' makes of an ounce or a drachm; any other unit stays."""
    return f"fluid {unit}" if unit in ("ounce", "drachm") else unit


def exceeds(one: Measure, other: Measure) -> bool:
    """Whether an amount is surely more than another: what has no common measure is not."""
    ratio = _ratio(one.unit, other.unit) or _AT_LEAST.get((one.unit, other.unit), 0.0)
    least, most = (end(a) if isinstance(a, tuple) else a for end, a in ((min, one.amount), (max, other.amount)))
    return least is not None and most is not None and least * ratio > most


_AT_LEAST = {("pound", "ounce"): 12.0}
"""The least of a smaller unit that a larger one holds in any system."""


def same_amount(one: Measure, other: Measure) -> bool:
    """Whether two amounts say the same, be it in two units."""
    return one.amount is not None and times(one.amount, _ratio(one.unit, other.unit)) == other.amount and one.plus == other.plus


def _ratio(unit: str, other: str) -> float:
    """How many of the other unit one of a unit holds; 0 where that is not the same in every system."""
    if unit == other:
        return 1.0
    return RATIOS.get((unit, other), 0.0) or (1 / RATIOS[other, unit] if (other, unit) in RATIOS else 0.0)


def smaller(unit: str, than: str) -> bool:
    """Whether `unit` may follow `than` in one amount. '2 pints 2 oz.' and '5 drs. 30 min.' leave the word fluid out."""
    family = next((f for f in (WEIGHTS, FLUIDS, METRIC) if unit in f and than in f), None)
    if family is None:
        one, other = f"fluid {unit}", f"fluid {than}"
        family = FLUIDS if (one in FLUIDS and than in FLUIDS) or (unit == "minim" and other in FLUIDS) else None
        unit, than = (one if one in FLUIDS else unit), (other if other in FLUIDS else than)
    return family is not None and family.index(unit) < family.index(than)
