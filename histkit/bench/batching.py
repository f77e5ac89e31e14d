"""From a composition to what is weighed: scaled, rounded to the balance so that it adds up, aliquots for what is too small.

A batch is refused while a forbidden ingredient is in it. Amounts are whole divisions of the balance by the largest remainder;
an amount below the balance's minimum is diluted in another of the formula's own ingredients (`histkit.weighing`), which
also brings it in finer than the balance shows where rounding would change it by more than the limit.

The dispenser's plain arithmetic is in `histkit.dispensing`, the bench sheet and the label in `histkit.benchsheet`; both are
reached from here.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Decimal
from fractions import Fraction
from typing import TYPE_CHECKING, Any

from histkit.base.checking import MOST, is_number, is_whole, positive
from histkit.base.errors import BadValue, Forbidden, quoted
from histkit.base.grid import Grid
from histkit.base.nouns import Spread
from histkit.bench.dispensing import (
    SolidAliquot,
    aliquot_liquid,
    aliquot_solid,
    alligation_alternate,
    alligation_medial,
    dilution_makes,
    geometric_dilution,
    least_weighable,
    one_in,
    parts_to_masses,
    scale,
    split,
    stock_for,
    strengthen,
    trituration,
    weighing_error,
)
from histkit.bench.sheet import BenchSheet, LabelDraft, bench_sheet, label_draft
from histkit.bench.weighing import (
    Aliquot,
    AliquotPlan,
    AliquotStage,
    Balance,
    Weighing,
    largest_remainder,
    plan_aliquot,
    weighings_grid,
)
from histkit.composing.composition import Composition, forbidden_within, refusal_reason, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.pressing import PressedFormula

__all__ = [
    "Aliquot", "AliquotStage", "Balance", "Batch", "BenchSheet", "LabelDraft", "SolidAliquot", "Weighing", "aliquot_liquid",
    "aliquot_solid", "alligation_alternate", "alligation_medial", "batch", "batch_for_pans", "batch_from_scarcest", "bench_sheet",
    "dilution_makes", "geometric_dilution", "label_draft", "least_weighable", "one_in", "parts_to_masses", "scale", "scent_stock",
    "smallest_batch", "split", "stock_for", "strengthen", "trituration", "weighing_error",
]  # fmt: skip

ERROR_LIMIT = 0.05
"""What a weighing may be off at most before it is called too coarse: one part in twenty, the limit of dispensing textbooks."""


@dataclass(frozen=True, slots=True)
class Batch(Tabular):
    """What to weigh for so many grams. The grams of the weighings add up to `grams` exactly in the balance's digits.

    `warnings` say what the maker should know before weighing: amounts too small to weigh well, shares above a legal limit.
    """

    composition: Composition
    grams: float
    balance: Balance
    weighings: tuple[Weighing, ...]
    error_limit: float = ERROR_LIMIT
    number: str = ""
    warnings: tuple[str, ...] = ()
    prices: tuple[tuple[str, float], ...] = ()
    """Prices of one gram, by id, as far as they were given; in `currency`."""
    currency: str = ""
    pans: int = 0
    """How many pans the batch is for; 0 where it is not said."""
    pressed: bool = False
    """Whether it is pressed into a cake afterwards, as far as is known from what it was made of."""
    wetting: tuple[tuple[Ingredient, float], ...] = ()
    """(liquid, grams) for wet pressing: they dry off again and are no part of the batch."""

    def weighing(self, ingredient: Ingredient | str) -> Weighing:
        """The weighing of one ingredient (raises BadValue where the batch has none of it)."""
        wanted = ingredient.id if isinstance(ingredient, Ingredient) else ingredient
        for w in self.weighings:
            if w.ingredient.id == wanted:
                return w
        raise BadValue(f"{wanted} is not in this batch, which holds {', '.join(w.ingredient.id for w in self.weighings)}")

    @property
    def worst_rounding(self) -> float:
        """The greatest share by which rounding changed an ingredient."""
        return max(abs(w.error_share) for w in self.weighings)

    @property
    def to_weigh(self) -> dict[str, float]:
        """Grams of each ingredient (by id) to have at hand: the batch and what the aliquots leave over."""
        needed = {w.ingredient.id: w.direct for w in self.weighings}
        for w in self.weighings:
            if w.aliquot is not None:
                needed[w.ingredient.id] += w.aliquot.stages[0].weigh
                needed[w.aliquot.diluent.id] += math.fsum(stage.diluent for stage in w.aliquot.stages)
        return needed

    def cost(self, prices: Mapping[str, float] | None = None) -> tuple[float, tuple[str, ...]]:
        """(price of all that is weighed, ids without a price); `prices` maps ids to the price of one gram, or those of the batch.

        Raises BadValue for a price that is no number of 0 or more.
        """
        given = dict(self.prices) if prices is None else prices
        for key, price in given.items():
            if not is_number(price) or price < 0:
                raise BadValue(f"the price of {key} is a number for one gram, 0 or more, not {quoted(price)}")
        needed = self.to_weigh
        known = math.fsum(grams * given[key] for key, grams in needed.items() if key in given)
        return known, tuple(key for key in needed if key not in given)

    def price_text(self) -> str:
        """The price of the batch, and of one pan, in words; '' where no price was given."""
        known, without = self.cost()
        if len(without) == len(self.to_weigh):
            return ""
        money = f" {self.currency}" if self.currency else ""
        each = f", {known / self.pans:.2f}{money} a pan ({self.pans} pans)" if self.pans else ""
        names = ", ".join(self.weighing(key).ingredient.name for key in without)
        return f"Price: {known:.2f}{money}{each}{f'; without {names}, for which no price is given' if names else ''}"

    def bench_sheet(self, press: bool | None = None) -> BenchSheet:
        """The sheet for the bench: order of weighing, aliquots, steps with times, cautions, room for notes."""
        return bench_sheet(self, press)

    def to_html(self) -> str:
        """The bench sheet as plain HTML with boxes to tick, everything escaped."""
        return self.bench_sheet().to_html()

    def to_markdown(self) -> str:
        """The bench sheet as Markdown with boxes to tick."""
        return self.bench_sheet().to_markdown()

    def to_pdf(self, paper: str = "a4") -> bytes:
        """The bench sheet as the bytes of a PDF to print on "a4" or "letter" paper."""
        return self.bench_sheet().to_pdf(paper)

    def _grid(self) -> Grid:
        name = f"{self.composition.name}: " if self.composition.name else ""
        number = f", batch {self.number}" if self.number else ""
        fine = any(w.grams != round(w.grams, self.balance.decimals) for w in self.weighings)
        caption = f"{name}{self.balance.text(self.grams)}{number}"
        return weighings_grid(self.weighings, caption, self.warnings, None if fine else self.balance.decimals)

    def to_json(self) -> str:
        """The choices as JSON text (composition, grams, balance, limit, number); `from_json` weighs anew from them."""
        data = {
            "composition": json.loads(self.composition.to_json()),
            "grams": self.grams,
            "balance": {
                "readability": self.balance.readability,
                "minimum": self.balance.minimum,
                "repeatability": self.balance.repeatability,
                "name": self.balance.name,
            },
            "error_limit": self.error_limit,
            "number": self.number,
            "prices": dict(self.prices),
            "currency": self.currency,
            "pans": self.pans,
            "pressed": self.pressed,
            "wetting": {i.id: grams for i, grams in self.wetting},
        }
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str, ingredients: Mapping[str, Ingredient] | None = None) -> Batch:
        """The batch that `to_json` wrote; ids are looked up in `ingredients` first, then in the glossary."""
        try:
            data: dict[str, Any] = json.loads(text)
            composition = json.dumps(data["composition"])
            balance = Balance(**data["balance"])
            grams, limit, number = data["grams"], data["error_limit"], data["number"]
            more = {"prices": dict(data.get("prices", {})), "currency": data.get("currency", ""), "pans": data.get("pans", 0)}
            pressed, wetting = bool(data.get("pressed", False)), dict(data.get("wetting", {}))
        except (json.JSONDecodeError, KeyError, TypeError, ValueError) as error:
            raise BadValue(f"this is not a batch that histkit wrote: {error}") from error
        made = batch(Composition.from_json(composition, ingredients), grams, balance, error_limit=limit, number=number, **more)
        own = ingredients or {}
        masses = {key: positive(mass, f"the grams of {key} that dry off") for key, mass in wetting.items()}
        return replace(made, pressed=pressed, wetting=tuple((own.get(key) or resolve(key), mass) for key, mass in masses.items()))


def batch(
    composition: Composition | PressedFormula,
    grams: float,
    balance: Balance | None = None,
    *,
    error_limit: float = ERROR_LIMIT,
    number: str = "",
    prices: Mapping[str, float] | None = None,
    currency: str = "",
    pans: int = 0,
) -> Batch:
    """What to weigh for `grams` of a composition on a balance (readability 0.01 g, minimum 0.2 g where none is given).

    Every amount is a whole number of divisions of the balance, by the largest remainder, so that all of them add up to the
    batch exactly. What is below the balance's minimum gets an `aliquot`; `error_limit` is the share that its weighings
    together, and its rounding, may be off. `number` is a batch number of your own; with `prices` (of one gram, by id) and
    `pans` the bench sheet tells the price of the batch and of a pan.

    Raises Forbidden while an ingredient that must not be used is in it, alone or inside a preparation, naming each with its
    substitutes; BadValue for grams that are no finite number above 0 or less than the balance shows.
    """
    mixture = composition if isinstance(composition, Composition) else composition.composition
    refuse_forbidden(mixture)
    scales = balance or Balance()
    total = _divisions(grams, scales)
    if not (is_number(error_limit) and 0 < error_limit < 1):
        raise BadValue(f"error_limit is a share between 0 and 1 (0.05 is 5 %), not {quoted(error_limit)}")
    if not is_whole(pans) or pans < 0:
        raise BadValue(f"pans is a whole number of pans, 0 or more, not {quoted(pans)}")
    ledger = _Ledger(mixture, total, scales, error_limit)
    for place in ledger.small():
        ledger.dilute(place)
    size = float(total * scales.division)
    warnings = list(ledger.warnings)
    if Decimal(str(float(grams))) != total * scales.division:
        warnings.insert(0, f"{grams:g} g is rounded to {scales.text(size)}, which is what the balance shows")
    warnings += _limit_warnings(mixture)
    priced = tuple((prices or {}).items())
    wetting: tuple[tuple[Ingredient, float], ...] = ()
    if isinstance(composition, Composition):
        pressed = any(part.note in ("dry binder", "liquid binder") for part in mixture.parts)
    else:
        pressed = bool(composition.binders or composition.wetting)
        powder = composition.powder_grams(size)
        wetting = tuple((i, ratio * powder) for i, ratio in composition.wetting)
    weighings = ledger.weighings()
    made = Batch(mixture, size, scales, weighings, error_limit, number, tuple(warnings), priced, currency, pans, pressed, wetting)
    made.cost()  # a price that is none is told here, not when the sheet is printed
    return made


def refuse_forbidden(composition: Composition) -> None:
    """Raises Forbidden where the composition holds what must not be used, naming each with its reason and substitutes."""
    offenders = composition.forbidden
    if not offenders:
        return
    ids = dict.fromkeys(key for i in offenders for key in (i.id, *(inner.id for inner in forbidden_within(i))))
    reasons = " ".join(refusal_reason(i) for i in offenders)
    raise Forbidden(f"This batch is refused until what follows has been replaced (Composition.replace). {reasons}", tuple(ids))


def _divisions(grams: float, balance: Balance, rounding: str = ROUND_HALF_EVEN) -> int:
    if not is_number(grams) or grams <= 0:
        raise BadValue(f"a batch is a finite number of grams above 0, not {quoted(grams)}")
    if grams > MOST or Decimal(str(float(grams))) > Decimal(MOST) * balance.division:
        raise BadValue(
            f"a batch of {grams:g} g is more than can be worked out in steps of {balance.readability:g} g: make less,"
            " or say what the balance really shows"
        )
    total = int((Decimal(str(float(grams))) / balance.division).to_integral_value(rounding))
    if total < 1:
        raise BadValue(f"a batch of {grams:g} g is less than the balance shows ({balance.readability:g} g)")
    return total


def _limit_warnings(composition: Composition) -> list[str]:
    return [
        f"{ingredient.name} makes {100 * share:.3g} % and is limited to {100 * (caution.limit or 0):.3g} %"
        f"{f' ({caution.form})' if caution.form not in ('', 'any') else ''}: {caution.text} {caution.law}".strip()
        for ingredient, caution, share in composition.over_limits()
    ]


def _fraction(share: float, whole: Fraction, total: int) -> Fraction:
    return Fraction(share) / whole * total


class _Ledger:
    """The accounts of a batch while it is worked out, in divisions of the balance.

    `shown`: what the sheet gives for each ingredient, by largest remainder. `content`: what the weighings bring of it, finer
    than a division where an aliquot makes that possible. `taken`: what of it comes with portions of aliquots (for diluents).
    What is weighed straight is content less taken, always whole. `shown` and `content` each add up to the batch.
    """

    def __init__(self, composition: Composition, total: int, balance: Balance, limit: float) -> None:
        self.parts, self.balance, self.limit = composition.parts, balance, limit
        whole = sum((Fraction(p.share) for p in self.parts), Fraction(0))
        self.exact = [_fraction(p.share, whole, total) for p in self.parts]
        self.rounded = largest_remainder(self.exact)
        self.shown = [Fraction(n) for n in self.rounded]
        self.content = list(self.shown)
        self.taken = [Fraction(0) for _ in self.parts]
        self.plans: dict[int, tuple[AliquotPlan, int]] = {}
        self.notes: dict[int, str] = {}
        self.warnings: list[str] = []
        self.least = balance.least_divisions

    def small(self) -> list[int]:
        """Places of the ingredients below the minimum, the largest first: they are the easiest to fit in."""
        places = [i for i, n in enumerate(self.rounded) if n < self.least]
        return sorted(places, key=lambda i: (-self.exact[i], i))

    def dilute(self, place: int) -> None:
        """Finds a dilution for a small ingredient and books it; says so where there is none."""
        content = self._content(place)
        uncertainty = self.balance.uncertainty / self.balance.readability
        options = sorted(self._diluents(place), key=lambda i: not self._stays_close(i, place, content))
        rooms = {i: room for i in options if (room := int(self.content[i] - self.taken[i]) - self.least) > 0}
        for limit in (self.limit, 1.0) if rooms else ():  # rather a coarse aliquot that is told than none
            # What does not fit where there is most room fits nowhere; and what fits is the same dilution wherever it still fits.
            roomiest = plan_aliquot(content, self.least, uncertainty, limit, max(rooms.values()))
            if roomiest is None:
                continue
            for diluent, room in rooms.items():
                fits = roomiest.take - content <= room
                plan = roomiest if fits else plan_aliquot(content, self.least, uncertainty, limit, room)
                if plan is not None:
                    self._book(place, content, diluent, plan)
                    return
        name, smallest = self.parts[place].ingredient.name, self._enough(place)
        shown = self.balance.text(float(self.rounded[place] * self.balance.division))
        what = "rounds to nothing" if self.rounded[place] == 0 else f"is {shown}, below the balance's minimum"
        note = f"{what}, and no aliquot in this batch gives it; make at least {smallest} or use a finer balance"
        self.notes[place] = note
        self.warnings.append(f"{name} {note}")

    def _content(self, place: int) -> Fraction:
        """The amount to deliver: whole divisions where rounding stays within the limit, otherwise as fine as is needed."""
        exact, whole = self.exact[place], Fraction(self.rounded[place])
        return whole if abs(whole - exact) <= Fraction(self.limit) * exact else _content_within(exact, self.limit)

    def _diluents(self, place: int) -> list[int]:
        """Places that could carry it: for a liquid first an oil or spirit, else powders; the largest first."""
        ingredient = self.parts[place].ingredient
        able = [i for i, n in enumerate(self.rounded) if n >= 2 * self.least]
        liquids = [i for i in able if self.parts[i].ingredient.liquid]
        powders = [i for i in able if self.parts[i].ingredient.state in ("powder", "solid", "")]
        stocks = [i for i in liquids if self.parts[i].ingredient.kind in ("fixed-oil", "spirit")] if ingredient.liquid else []

        def largest_first(places: list[int]) -> list[int]:
            return sorted(places, key=lambda i: (-self.rounded[i], i))

        return list(dict.fromkeys([*largest_first(stocks), *largest_first(powders), *largest_first(liquids)]))

    def _stays_close(self, diluent: int, place: int, content: Fraction) -> bool:
        """Whether the figure of a diluent on the sheet stays within a division of its exact one when this is booked on it."""
        given = content if self.rounded[place] == 0 else Fraction(0)
        return abs(self.shown[diluent] - given - self.exact[diluent]) < 1

    def _book(self, place: int, content: Fraction, diluent: int, plan: AliquotPlan) -> None:
        self.plans[place] = (plan, diluent)
        if self.rounded[place] == 0:  # shown finer than a division rather than as nothing; the diluent keeps the sum
            self.shown[diluent] -= content
            self.shown[place] = content
        self.content[diluent] += self.content[place] - content
        self.content[place] = content
        self.taken[diluent] += plan.take - content
        if plan.error > self.limit:
            ingredient = self.parts[place].ingredient
            note = f"the aliquot may be off by {100 * plan.error:.0f} %, above the limit of {100 * self.limit:g} %"
            self.notes[place] = note
            self.warnings.append(f"{ingredient.name}: {note}; make at least {self._enough(place)} or use a finer balance")

    def _enough(self, place: int) -> str:
        """The batch in which this ingredient can be weighed straight, in words."""
        factor = self.least / self.exact[place]
        divisions = math.ceil(sum(self.exact) * factor)
        return f"{float(divisions * self.balance.division):.4g} g"

    def weighings(self) -> tuple[Weighing, ...]:
        return tuple(self._weighing(place) for place in range(len(self.parts)))

    def _weighing(self, place: int) -> Weighing:
        from histkit.bench.pressing import drops_of

        ingredient, content, exact = self.parts[place].ingredient, self.content[place], self.exact[place]
        booked = self.plans.get(place)
        aliquot = None if booked is None else self._aliquot(place, *booked)
        direct = Fraction(0) if booked else content - self.taken[place]
        grams, straight = self._grams(self.shown[place]), self._grams(direct)
        by_balance = self.balance.error(straight) if direct > 0 else 0.0
        error = by_balance if aliquot is None else aliquot.error
        drops = drops_of(ingredient, grams) if ingredient.liquid and 0 < grams < 5 else None
        notes = [self.notes[place]] if place in self.notes else []
        if drops is not None and grams < 1:
            # Of what goes on the balance: the portions of aliquots bring the rest.
            put = drops if aliquot is not None else drops_of(ingredient, straight)
            notes.append(_drops_note(put, self.balance.text(straight), aliquot is not None))
        return Weighing(
            ingredient,
            grams,
            aliquot,
            float((content - exact) / exact),
            self._grams(exact),
            self._grams(content),
            straight,
            error,
            drops,
            "; ".join(notes),
        )

    def _grams(self, divisions: Fraction) -> float:
        return float(divisions * Fraction(self.balance.division))

    def _aliquot(self, place: int, plan: AliquotPlan, diluent: int) -> Aliquot:
        carrier = self.parts[diluent].ingredient
        return Aliquot(
            carrier,
            plan.stages(self.balance.division),
            self._grams(self.content[place]),
            plan.error,
            "stock" if carrier.liquid else "dilution",
        )


def _content_within(exact: Fraction, limit: float) -> Fraction:
    """The roundest amount (divisions, in tenths, hundredths …) within the limit of the exact one; 0 where there is none."""
    for digits in range(7):
        content = Fraction(round(exact * 10**digits), 10**digits)
        if abs(content - exact) <= Fraction(limit) * exact:
            return content
    return Fraction(0)


def _drops_note(drops: Spread, amount: str, diluted: bool) -> str:
    """How many drops an amount is: instead of weighing, or of the dilution where there are enough to count."""
    run = f"about {drops.best:.0f} ({drops.low:.0f} to {drops.high:.0f})"
    if not diluted:
        return f"{amount} is {run} drops"
    return f"without the aliquot: {run} drops" if drops.best >= 1.5 else "less than two drops, so no drops but the aliquot"


def scent_stock(made: Batch, ingredient: Ingredient | str, solvent: Ingredient | str = "rectified-spirit") -> Aliquot:
    """A small liquid of a batch as a stock in a spirit or an oil that is no part of the formula, for dropping or spraying it in.

    Every weighing is at least the balance's minimum and the error within the limit of the batch. A spirit dries off again; an oil
    stays, and comes on top of the batch. Raises BadValue where either is no liquid, the batch has none of it, or no stock fits;
    Forbidden for a solvent that must not be used.
    """
    weighing, carrier = made.weighing(ingredient), resolve(solvent)
    if forbidden_within(carrier):
        raise Forbidden(f"{carrier.name} cannot be a solvent. {refusal_reason(carrier)}", (carrier.id,))
    for liquid in (weighing.ingredient, carrier):
        if not liquid.liquid:
            raise BadValue(f"a stock is made of liquids; {liquid.name} is none")
    scales, division = made.balance, Fraction(made.balance.division)
    exact = Fraction(weighing.exact) / division
    content = _content_within(exact, made.error_limit)
    plan = plan_aliquot(content, scales.least_divisions, scales.uncertainty / scales.readability, made.error_limit, 10**9)
    if plan is None:
        raise BadValue(f"no stock of {weighing.ingredient.name} fits this balance: weigh it straight, or make more")
    return Aliquot(carrier, plan.stages(scales.division), float(content * division), plan.error, "stock")


def smallest_batch(
    composition: Composition | PressedFormula, balance: Balance | None = None, error: float = ERROR_LIMIT
) -> float:
    """Grams from which on every ingredient is weighed straight and rounding changes none by more than `error` (a share).

    Rounding by largest remainder moves an amount by less than one division; so the scarcest ingredient must have
    1 / error divisions, and the balance's minimum. Raises BadValue for an error that is not between 0 and 1.
    """
    scales = balance or Balance()
    if not (is_number(error) and 0 < error < 1):
        raise BadValue(f"error is a share between 0 and 1 (0.05 is 5 %), not {quoted(error)}")
    mixture = composition if isinstance(composition, Composition) else composition.composition
    least = max(Fraction(scales.least_divisions), 1 / Fraction(str(error)))
    scarcest = min(Fraction(p.share) for p in mixture.parts)
    # One division more than the rule asks for: rounding down must not bring the scarcest below the minimum again.
    return float(math.ceil((least + 1) / scarcest) * scales.division)


def batch_for_pans(
    pressed: PressedFormula,
    diameter_mm: float | None = None,
    depth_mm: float = 4.0,
    count: int = 1,
    balance: Balance | None = None,
    *,
    allowance: float = 0.1,
    width_mm: float | None = None,
    length_mm: float | None = None,
    density_g_cm3: float | Spread | None = None,
    below_rim_mm: float = 0.0,
    press: str | None = None,
    pressure: float | None = None,
    error_limit: float = ERROR_LIMIT,
    number: str = "",
    prices: Mapping[str, float] | None = None,
    currency: str = "",
) -> Batch:
    """The batch that fills `count` pans, with an allowance (a share; a tenth: common practice) for what sticks to the tools.

    The pans and how they are pressed are those of `histkit.compaction.pan_fill_spread`; a warning says from what to what the fill
    may run.
    """
    from histkit.bench.compaction import pan_fill_spread

    if not (is_number(allowance) and 0 <= allowance <= 1):
        raise BadValue(f"allowance is a share from 0 to 1 (0.1 is a tenth more), not {quoted(allowance)}")
    filled = pan_fill_spread(
        pressed,
        diameter_mm,
        depth_mm,
        count,
        width_mm=width_mm,
        length_mm=length_mm,
        below_rim_mm=below_rim_mm,
        density_g_cm3=density_g_cm3,
        press=press,
        pressure=pressure,
    )
    scales = balance or Balance()
    # To a thousandth of a milligram first, so that the last digits of a float do not add a division.
    wanted = round(filled.best * (1 + allowance), 6)
    grams = float(_divisions(wanted, scales, ROUND_CEILING) * scales.division)
    made = batch(pressed, grams, scales, error_limit=error_limit, number=number, prices=prices, currency=currency, pans=count)
    if filled.is_exact:
        return made
    told = f"The {count} pans take about {filled} g, looser or denser with the pressure"
    return replace(made, warnings=(*made.warnings, told))


def batch_from_scarcest(
    composition: Composition | PressedFormula,
    have: Mapping[str, float],
    balance: Balance | None = None,
    *,
    error_limit: float = ERROR_LIMIT,
    number: str = "",
    prices: Mapping[str, float] | None = None,
    currency: str = "",
    pans: int = 0,
) -> Batch:
    """The batch that the cupboard allows: `have` maps ids to grams; what it does not name is taken to be plenty.

    It is as large as the shares allow, or so much smaller that what aliquots leave over comes out of the cupboard as well.
    Raises BadValue where `have` names nothing of the composition, an amount is no number above 0, or there is too little for any
    batch that has everything in it.
    """
    mixture = composition if isinstance(composition, Composition) else composition.composition
    scales = balance or Balance()
    for key, grams in have.items():
        if not is_number(grams) or grams <= 0:
            raise BadValue(f"the grams of {key} at hand are a finite number above 0, not {quoted(grams)}")
    shares = {key: mixture.share(key) for key in have if mixture.share(key) > 0}
    if not shares:
        raise BadValue(f"none of {', '.join(have) or 'nothing'} is in this composition, which holds {_ids(mixture)}")
    scarcest = min(shares, key=lambda key: have[key] / shares[key])
    most = round(have[scarcest] / shares[scarcest], 6)
    total = _divisions(most, scales, ROUND_FLOOR)

    def weighed(divisions: int) -> Batch:
        return batch(
            composition,
            float(divisions * scales.division),
            scales,
            error_limit=error_limit,
            number=number,
            prices=prices,
            currency=currency,
            pans=pans,
        )

    def fits(made: Batch) -> bool:
        within = all(made.to_weigh[key] <= have[key] * (1 + 1e-12) for key in shares)
        return within and all(w.content > 0 or w.ingredient in lost for w in made.weighings)

    # Rounding and aliquots can ask for a little more than the share: step down until it fits, after a while in larger steps,
    # and from there halfway back up as long as that fits; but not so far down that an ingredient rounds to nothing.
    made, too_much, tries, step = weighed(total), total + 1, 0, 1
    lost = {w.ingredient for w in made.weighings if w.content == 0}
    while not fits(made) and total > 1:
        too_much, total, tries = total, max(1, total - step), tries + 1
        step = step if tries < 64 else step * 2
        made = weighed(total)
    if not fits(made):
        raise BadValue(f"{have[scarcest]:g} g of {scarcest} is too little for a batch on a balance of {scales.readability:g} g")
    while too_much - total > 1:
        between = (total + too_much) // 2
        larger = weighed(between)
        if fits(larger):
            total, made = between, larger
        else:
            too_much = between
    told = f"{scarcest} is the scarcest: {have[scarcest]:g} g at hand"
    return replace(made, warnings=(told, *made.warnings))


def _ids(composition: Composition) -> str:
    return ", ".join(i.id for i in composition.ingredients)
