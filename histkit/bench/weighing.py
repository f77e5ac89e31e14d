"""The balance, and how an amount too small for it is weighed all the same: by dilution in another of the formula's ingredients.

All of it is worked in whole divisions of the balance (`readability`), as integers and fractions, so that what is weighed adds
up exactly and nothing depends on how floats round.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal
from fractions import Fraction
from itertools import product
from typing import TYPE_CHECKING, Literal

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell, listed
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.joint import JointDilution

USP41_FACTOR = 2000
USP41_LEAST_DEVIATION = 0.41
"""USP <41> Balances: least weight 2000 s, with s not below 0.41 d (so 820 d at best)."""


MOST_TWENTY_DROPS = 10.0
"""Grams that 20 drops of anything stay below (own judgement: no tip lets half a gram hang)."""


@dataclass(frozen=True, slots=True)
class Balance(Tabular):
    """A balance: `readability` d, the smallest step it shows; `minimum`, the least amount you trust it with; `repeatability`
    s, the standard deviation of repeated weighings if you know it. All in grams.
    """

    readability: float = 0.01
    minimum: float = 0.2
    repeatability: float | None = None
    name: str = ""
    own_drops: tuple[tuple[str, float], ...] = ()
    """What was weighed on it once: (id of a liquid, grams of 20 drops of it from the maker's own dropper)."""

    def __post_init__(self) -> None:
        for what, value, least in (
            ("readability", self.readability, "above 0"),
            ("minimum", self.minimum, "0 or more"),
            ("repeatability", 0.0 if self.repeatability is None else self.repeatability, "0 or more"),
        ):
            if not is_number(value) or value < 0 or (least == "above 0" and value == 0):
                raise BadValue(f"the {what} of a balance is a number of grams, {least}, not {quoted(value)}")
        for key, grams in self.own_drops:
            if not is_number(grams) or not 0 < grams < MOST_TWENTY_DROPS:
                raise BadValue(f"20 drops of {key} weigh more than 0 and less than {MOST_TWENTY_DROPS:g} g, not {quoted(grams)}")

    @property
    def division(self) -> Decimal:
        """The readability as an exact decimal."""
        return Decimal(str(self.readability))

    @property
    def least_divisions(self) -> int:
        """The least weighing in whole divisions: the minimum rounded up, at least one."""
        return max(1, math.ceil(Decimal(str(self.minimum)) / self.division))

    @property
    def decimals(self) -> int:
        """Digits after the point that the balance shows."""
        exponent = self.division.normalize().as_tuple().exponent
        return max(0, -exponent) if isinstance(exponent, int) else 0

    @property
    def uncertainty(self) -> float:
        """Grams that a weighing may be off: half a division, or twice the repeatability where that is more."""
        return max(self.readability / 2, 2 * (self.repeatability or 0.0))

    def error(self, grams: float) -> float:
        """The share that a weighing of so many grams may be off."""
        return self.uncertainty / grams if grams > 0 else math.inf

    def minimum_weight_usp41(self) -> float:
        """Least weight by USP <41>: 2000 s grams, with s not below 0.41 d (s unknown: 0.41 d, the best that can be).

        It keeps a weighing within 0.1 % and is far stricter than a kitchen needs. Source: USP <41> Balances, official 1 Aug 2019.
        """
        return USP41_FACTOR * max(self.repeatability or 0.0, USP41_LEAST_DEVIATION * self.readability)

    def text(self, grams: float) -> str:
        """An amount as the balance shows it: '3.16 g'."""
        return f"{grams:.{self.decimals}f} g"

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [("readability, g", self.readability), ("least amount trusted, g", self.minimum)]
        rows += [("repeatability, g", self.repeatability)] if self.repeatability is not None else []
        rows.append(("least weight by USP <41>, g", self.minimum_weight_usp41()))
        return Grid((Column("what", "What"), Column("grams", "Value")), tuple(rows), self.name or "Balance")


@dataclass(frozen=True, slots=True)
class AliquotStage(Tabular):
    """One dilution, grams: `weigh` of the substance (or of the mixture before), with `diluent`, makes `mixture`; take `take`."""

    weigh: float
    diluent: float
    mixture: float
    take: float

    def _grid(self) -> Grid:
        return _stages_grid((self,), "Dilution")


def _stages_grid(stages: Iterable[AliquotStage], caption: str) -> Grid:
    columns = (
        Column("weigh", "Weigh, g"),
        Column("diluent", "Add diluent, g"),
        Column("mixture", "Makes, g"),
        Column("take", "Take, g"),
    )
    return Grid(columns, tuple((s.weigh, s.diluent, s.mixture, s.take) for s in stages), caption)


@dataclass(frozen=True, slots=True)
class Aliquot(Tabular):
    """How a small amount is weighed: diluted in another ingredient of the same formula, of which a portion is taken.

    `content` is what the portion holds (grams), `take` the portion itself, `error` the share that all its weighings
    together may be off at worst. `kind`: "dilution" in a powder, "stock" in a liquid, "extension" a colour ground into base.
    """

    diluent: Ingredient
    stages: tuple[AliquotStage, ...]
    content: float
    error: float
    kind: Literal["dilution", "stock", "extension"] = "dilution"

    @property
    def take(self) -> float:
        """Grams of the last mixture that go into the batch."""
        return self.stages[-1].take

    @property
    def diluent_taken(self) -> float:
        """Grams of the diluent that come into the batch with the portion."""
        return self.take - self.content

    @property
    def left_over(self) -> float:
        """Grams of the mixtures that are not used; label them or throw them away."""
        return math.fsum(s.mixture - s.take for s in self.stages)

    def steps(self, name: str, balance: Balance, letter: str = "") -> tuple[str, ...]:
        """The dilution as instructions, in the digits of the balance; `letter` is what its mixture is called ('A')."""
        show, other = balance.text, self.diluent.name
        if self.kind == "extension":
            (stage,) = self.stages
            take = f"Take {show(stage.take)} of it, extension {letter}, which holds {self.content:.4g} g of {name}."
            return (*grinding(name, other, stage.weigh, stage.diluent, balance), take)
        how = "Stir" if self.kind == "stock" else "Mix by geometric dilution"
        out = []
        for number, stage in enumerate(self.stages, start=1):
            what = name if number == 1 else f"mixture {letter}{number - 1}"
            last = number == len(self.stages)
            label = f"mixture {letter}{'' if last and letter else number}" if letter or len(self.stages) > 1 else "the mixture"
            end = f"take {show(stage.take)} of {label}"
            end += f", which holds {self.content:.4g} g of {name}" if last else ""
            start = f"Weigh {show(stage.weigh)} of {what} and {show(stage.diluent)} of {other}."
            out.append(f"{start} {how}: {show(stage.mixture)}. Then {end}.")
        return tuple(out)

    def _grid(self) -> Grid:
        return _stages_grid(self.stages, f"{'Ground into' if self.kind == 'extension' else 'Diluted in'} {self.diluent.name}")


def grinding(colour: str, white: str, pigment: float, base: float, balance: Balance) -> tuple[str, ...]:
    """How so many grams of pigment are ground into so many of base: never more base at once than what the mortar holds."""
    show = balance.text
    first = min(base, round(pigment / balance.readability) * balance.readability)
    out = [
        f"Weigh {show(pigment)} of {colour} into the mortar and grind it alone until no speck is left.",
        f"Add {show(first)} of {white} and grind: the mortar holds {show(pigment + first)}.",
    ]
    held = pigment + first
    while held < pigment + base - balance.readability / 2:
        part = min(held, pigment + base - held)
        held += part
        out.append(f"Add {show(part)} of {white} and grind: the mortar holds {show(held)}.")
    out.append(
        "Rub a little out on white paper with a knife; sieve, grind again, rub out again."
        " It is done when the third rubbing shows no streak and no other colour than the second."
    )
    return tuple(out)


@dataclass(frozen=True, slots=True)
class Weighing(Tabular):
    """One ingredient of a batch: `grams` of it in all, in the digits of the balance; the grams of a batch add up exactly.

    `exact` are the grams before rounding. `content` is what the weighings bring into the batch: the same as `grams`, but for an
    aliquot, which can bring a small amount more exactly than the balance shows, and for the ingredient it is diluted in.
    `error_share` is what rounding changed (content against exact), `balance_error` the share that the balance may be off.
    `direct` is what goes on the balance straight: 0 for what comes in an aliquot, less for what aliquots are diluted in.
    `drops`: how many drops it is, for liquids of which there are few. Where `grams` would round to nothing they are shown finer.
    """

    ingredient: Ingredient
    grams: float
    aliquot: Aliquot | None = None
    error_share: float = 0.0
    exact: float = 0.0
    content: float = 0.0
    direct: float = 0.0
    balance_error: float = 0.0
    drops: Spread | None = None
    note: str = ""
    joint: JointDilution | None = None
    """The dilution by which it comes together with others, where it does."""

    @property
    def mixed(self) -> bool:
        """Whether it comes in a portion of a mixture: a dilution, its own or one for several, or a colour extension."""
        return self.aliquot is not None or self.joint is not None

    @property
    def whole_error(self) -> float:
        """The share that it may be off in all at worst: rounding and every weighing the same way."""
        return (1 + abs(self.error_share)) * (1 + self.balance_error) - 1

    @property
    def wasted(self) -> float:
        """Grams of the ingredient itself that stay behind in the mixtures of its dilution; 0 where there is none."""
        if self.joint is not None:
            weigh, content, _ = self.joint.part(self.ingredient)
            return max(0.0, weigh - content)
        return 0.0 if self.aliquot is None else max(0.0, self.aliquot.stages[0].weigh - self.aliquot.content)

    def dilution_words(self) -> str:
        """The portion by which it comes, in words; '' where it is weighed straight."""
        if self.joint is not None:
            others = listed([i.name for i, _, _ in self.joint.parts if i != self.ingredient])
            portion = f"{self.joint.take:g} g in all, with {others}, in {self.joint.diluent.name}"
            return f"{portion} (holds {self.content:.3g} g)"
        if self.aliquot is None:
            return ""
        return _by_aliquot(self.aliquot, self.content)

    @property
    def extended(self) -> bool:
        """Whether it comes in a colour extension, which is ground for its own sake."""
        return self.aliquot is not None and self.aliquot.kind == "extension"

    @property
    def diluted(self) -> bool:
        """Whether it is diluted because it is too little for the balance."""
        return self.mixed and not self.extended

    @property
    def made(self) -> str:
        """What a portion of is weighed: an extension, or the mixture of a dilution."""
        return "extension" if self.extended else "mixture"

    def _grid(self) -> Grid:
        return weighings_grid((self,), "Weighing")


def weighings_grid(weighings: Iterable[Weighing], caption: str, notes: tuple[str, ...] = (), decimals: int | None = None) -> Grid:
    """Weighings as a table. With `decimals`, amounts have at least so many digits after the point."""
    columns = (
        Column("ingredient", "Ingredient"),
        Column("grams", "In the batch, g"),
        Column("direct", "Weigh straight, g"),
        Column("aliquot", "By aliquot"),
        Column("rounding", "Rounding, %", 2),
        Column("note", "Note"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            w.ingredient.name,
            w.grams,
            w.direct if w.direct > 0 else None,
            w.dilution_words(),
            round(100 * w.error_share, 6) + 0.0,
            w.note,
        )
        for w in weighings
    ]
    if decimals is not None:
        fixed = (Column("grams", "In the batch, g", decimals), Column("direct", "Weigh straight, g", decimals))
        columns = (columns[0], *fixed, *columns[3:])
    return Grid(columns, tuple(rows), caption, notes)


def _by_aliquot(aliquot: Aliquot, content: float) -> str:
    what = "of the extension" if aliquot.kind == "extension" else "of it"
    return f"{aliquot.take:g} g {what} in {aliquot.diluent.name} (holds {content:.3g} g)"


def largest_remainder(quotas: list[Fraction]) -> list[int]:
    """Whole numbers near the quotas (none negative) with the same sum, which must be whole.

    Each is rounded down; what is missing goes to the largest remainders, earlier ones first among equals.
    """
    whole = [math.floor(q) for q in quotas]
    missing = int(sum(quotas)) - sum(whole)
    order = sorted(range(len(quotas)), key=lambda i: (-(quotas[i] - whole[i]), i))
    for i in order[:missing]:
        whole[i] += 1
    return whole


@dataclass(frozen=True, slots=True)
class AliquotPlan:
    """A dilution in whole divisions: each stage weighs `weigh` (the same for all), ratio by ratio; `take` at the end."""

    ratios: tuple[int, ...]
    weigh: int
    take: int
    error: float

    @property
    def mixed(self) -> int:
        """Divisions of all mixtures together: the work and the waste."""
        return sum(ratio * self.weigh for ratio in self.ratios)

    def stages(self, division: Decimal) -> tuple[AliquotStage, ...]:
        out = []
        for place, ratio in enumerate(self.ratios):
            take = self.take if place == len(self.ratios) - 1 else self.weigh
            numbers = (self.weigh, (ratio - 1) * self.weigh, ratio * self.weigh, take)
            out.append(AliquotStage(*(float(n * division) for n in numbers)))
        return tuple(out)


_RATIOS: tuple[tuple[int, ...], ...] = (
    (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100),
    (5, 10, 20, 25, 50, 100),
    (10, 20, 50, 100),
    (10, 100),
)
"""Dilutions that are tried with one stage, two, three, four: 1 in 2 to 1 in 100, what can still be mixed evenly by hand."""


def plan_aliquot(content: Fraction, least: int, uncertainty: float, limit: float, available: int) -> AliquotPlan | None:
    """The dilution with the fewest stages and the smallest mixtures that gives `content` (divisions) within the limit; one stage
    more where more would be mixed than there is of the diluent, and the further stage halves it at least.

    Every weighing is at least `least` divisions; at most `available` divisions of diluent may come along; `uncertainty` is what
    a weighing may be off, in divisions. None where nothing fits. The error is the worst case: all weighings off the same way.
    """
    if content <= 0:
        return None
    best: AliquotPlan | None = None
    for stages, choices in enumerate(_RATIOS, start=1):
        plans = [_plan(content, ratios, least, uncertainty, limit) for ratios in product(choices, repeat=stages)]
        fitting = [p for p in plans if p is not None and p.take - content <= available]
        smallest = min(fitting, key=lambda p: (p.mixed, p.error, p.ratios), default=None)
        if smallest is not None and (best is None or 2 * smallest.mixed <= best.mixed):
            best = smallest
        if best is not None and best.mixed <= available:
            break
    return best


def _plan(content: Fraction, ratios: tuple[int, ...], least: int, uncertainty: float, limit: float) -> AliquotPlan | None:
    take, parts = divmod(content.numerator * math.prod(ratios), content.denominator)
    if parts or take < least:
        return None
    rest = limit - uncertainty / take
    if rest <= 0:
        return None
    # Each stage weighs `weigh` of the strong side and (ratio - 1) times as much diluent; an error in either moves the strength.
    per_stage = math.fsum(uncertainty * (1 + 1 / ratio) for ratio in ratios)
    weigh = max(least, math.ceil(per_stage / rest), math.ceil(take / ratios[-1]))
    error = uncertainty / take + per_stage / weigh
    return AliquotPlan(ratios, weigh, take, error)
