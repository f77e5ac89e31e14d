"""The dispenser's arithmetic: least weighable quantity, aliquots, trituration, alligation, dilution, scaling of formulas.

Plain functions of plain numbers. Strengths are shares (0.05 is 5 %); masses may be in any one unit unless a name says so. The
methods are those of pharmacy teaching of the last hundred years; the tests hold worked examples with their sources.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.display.tabular import Tabular


def _above_zero(**values: float) -> None:
    for name, value in values.items():
        positive(value, name)


def _share(**values: float) -> None:
    for name, value in values.items():
        if not (is_number(value) and 0 <= value <= 1):
            raise BadValue(f"{name} is a share from 0 to 1 (0.05 is 5 %), not {quoted(value)}")


def _numbers(what: str, values: Sequence[float]) -> None:
    if not all(map(is_number, values)):
        raise BadValue(f"{what} are numbers, not {', '.join(map(repr, values))}")


def _amounts(what: str, values: Sequence[float]) -> None:
    if not all(is_number(value) and value >= 0 for value in values):
        raise BadValue(f"{what} are numbers, 0 or more, not {', '.join(map(repr, values))}")


def least_weighable(sensitivity: float, error: float) -> float:
    """The least quantity that a balance of this sensitivity weighs within `error` (a share: 0.05), in its unit."""
    _above_zero(sensitivity=sensitivity, error=error)
    return sensitivity / error


def weighing_error(sensitivity: float, weighed: float) -> float:
    """The error that the sensitivity makes in a weighing, as a share of it."""
    _above_zero(sensitivity=sensitivity, weighed=weighed)
    return sensitivity / weighed


@dataclass(frozen=True, slots=True)
class SolidAliquot(Tabular):
    """A dilution by weight: weigh `weigh` of the strong substance, add `diluent` to make `mixture`, take `take` of it."""

    weigh: float
    diluent: float
    mixture: float
    take: float

    @property
    def content(self) -> float:
        """What of the strong substance the portion taken holds."""
        return self.take * self.weigh / self.mixture

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [
            ("weigh of the strong substance", self.weigh),
            ("add of the diluent", self.diluent),
            ("makes", self.mixture),
            ("take", self.take),
            ("which holds", self.content),
        ]
        return Grid((Column("what", "Step"), Column("mass", "Mass", 4)), tuple(rows), "Aliquot")


def aliquot_solid(need: float, least: float, multiple: int | None = None, take: float | None = None) -> SolidAliquot:
    """An aliquot for `need` of a substance that the balance cannot weigh: `multiple` times as much is weighed and diluted.

    `least` is the least weighable quantity; `multiple` the whole number of times (the smallest that reaches it where None);
    `take` the portion of the mixture that holds `need` (the least weighable quantity where None). Raises BadValue where a
    weighing would fall below `least` or the portion would be smaller than what it must hold.
    """
    _above_zero(need=need, least=least)
    times = math.ceil(round(least / need, 9)) if multiple is None else multiple
    if not is_number(times) or times < 1 or times % 1:
        raise BadValue(f"multiple is a whole number of times, 1 or more, not {times!r}")
    if need * times < least * (1 - 1e-9):
        raise BadValue(f"a multiple of {times} weighs {need * times:g}, below the least weighable {least:g}")
    portion = least if take is None else take
    _above_zero(take=portion)
    if portion < max(least, need) * (1 - 1e-9):
        raise BadValue(f"the portion taken is at least {max(least, need):g}, not {portion:g}")
    weigh, mixture = need * times, portion * times
    return SolidAliquot(weigh, max(mixture - weigh, 0.0), mixture, portion)


def aliquot_liquid(need: float, weigh: float, solution: float) -> float:
    """The volume (in the unit of `solution`) that holds `need` when `weigh` is dissolved to make `solution`."""
    _above_zero(need=need, weigh=weigh, solution=solution)
    if need > weigh:
        raise BadValue(f"the solution holds {weigh:g} in all; {need:g} cannot be taken from it")
    return need / weigh * solution


def trituration(need: float, least: float, ratio: int = 10) -> SolidAliquot:
    """A 1-in-`ratio` trituration made with `least` of the substance, and the portion of it that holds `need`."""
    _above_zero(need=need, least=least)
    if not is_number(ratio) or ratio < 2:
        raise BadValue(f"a trituration is 1 in 2 or weaker, not 1 in {ratio!r}")
    take, mixture = need * ratio, least * ratio
    if take < least * (1 - 1e-9):
        raise BadValue(f"1 in {ratio} is too strong: the portion of {take:g} is below the least weighable {least:g}")
    if take > mixture * (1 + 1e-9):
        raise BadValue(f"{need:g} is more than the {least:g} that the trituration holds: weigh it straight")
    return SolidAliquot(least, mixture - least, mixture, take)


def geometric_dilution(small: float, large: float) -> tuple[tuple[float, float], ...]:
    """Steps to mix a small amount into a large one: (portion of the large to add, mass of the mixture after it).

    Each portion is as much as is in the mortar already, so the mixture doubles; the last is what remains.
    """
    _above_zero(small=small, large=large)
    steps: list[tuple[float, float]] = []
    mixed, left = small, large
    while left > 0:
        portion = left if left <= mixed * (1 + 1e-9) else mixed
        mixed, left = mixed + portion, left - portion
        steps.append((portion, mixed))
    return tuple(steps)


def alligation_medial(parts: Sequence[tuple[float, float]]) -> float:
    """The strength of a mixture of (amount, strength): the mean by amount."""
    _amounts("amounts", [amount for amount, _ in parts])
    _numbers("strengths", [strength for _, strength in parts])
    total = math.fsum(amount for amount, _ in parts)
    if total == 0:
        raise BadValue("alligation needs amounts of 0 or more, not all of them 0")
    return math.fsum(amount * strength for amount, strength in parts) / total


def alligation_alternate(strengths: Sequence[float], target: float) -> tuple[float, ...]:
    """Parts of each strength that make the target, in smallest whole numbers where the strengths are decimal figures.

    Every strength above the target is linked with every one below. One equal to the target gets 0: any amount of
    it may be added. Raises BadValue where the target does not lie between the strengths.
    """
    _numbers("strengths and target", (*strengths, target))
    exact = [Fraction(str(s)) for s in strengths]
    goal = Fraction(str(target))
    above = [s for s in exact if s > goal]
    below = [s for s in exact if s < goal]
    if not above or not below:
        raise BadValue(f"the target {target:g} does not lie between the strengths {', '.join(f'{s:g}' for s in strengths)}")
    rise, fall = sum((s - goal for s in above), Fraction(0)), sum((goal - s for s in below), Fraction(0))
    parts = [fall if s > goal else rise if s < goal else Fraction(0) for s in exact]
    scale = math.lcm(*(p.denominator for p in parts))
    whole = [int(p * scale) for p in parts]
    divisor = math.gcd(*whole)
    return tuple(float(p // divisor) for p in whole)


def strengthen(amount: float, strength: float, target: float, addition: float = 1.0) -> float:
    """How much of a stuff of strength `addition` (1: pure; 0: plain diluent) brings `amount` from `strength` to `target`."""
    _above_zero(amount=amount)
    _share(strength=strength, target=target, addition=addition)
    if addition == target or (target - strength) / (addition - target) < 0:
        raise BadValue(f"adding something of {addition:g} cannot bring {strength:g} to {target:g}")
    return amount * (target - strength) / (addition - target)


def stock_for(make: float, target: float, stock: float) -> float:
    """How much of a stock of strength `stock` is diluted to `make` of strength `target`."""
    _above_zero(make=make, target=target, stock=stock)
    if target > stock:
        raise BadValue(f"a stock of {stock:g} cannot be diluted to {target:g}, which is stronger")
    return make * target / stock


def dilution_makes(amount: float, strength: float, target: float) -> float:
    """How much of strength `target` an `amount` of strength `strength` makes when diluted."""
    _above_zero(amount=amount, strength=strength, target=target)
    if target > strength:
        raise BadValue(f"{strength:g} cannot be diluted to {target:g}, which is stronger")
    return amount * strength / target


def one_in(parts: float) -> float:
    """The share that '1 in `parts`' means."""
    _above_zero(parts=parts)
    return 1 / parts


def split(amount: float, share: float) -> tuple[float, float]:
    """(what has that share of the amount, the rest)."""
    _above_zero(amount=amount)
    _share(share=share)
    return amount * share, amount * (1 - share)


def scale(amounts: Sequence[float], of: float, to: float) -> tuple[float, ...]:
    """A formula for `of` (grams, capsules …) enlarged or reduced to `to`."""
    _above_zero(of=of, to=to)
    _amounts("amounts", amounts)
    return tuple(amount * to / of for amount in amounts)


def parts_to_masses(parts: Sequence[float], total: float) -> tuple[float, ...]:
    """The masses of a formula in parts that make `total`."""
    _amounts("parts", parts)
    whole = math.fsum(parts)
    _above_zero(sum_of_parts=whole, total=total)
    return tuple(total * part / whole for part in parts)
