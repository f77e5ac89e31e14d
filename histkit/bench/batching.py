"""A batch: what to weigh of each ingredient for so many grams, in whole divisions of the balance.

A batch is refused while a forbidden ingredient is in it. Amounts are whole divisions of the balance by the largest remainder;
an amount below the balance's minimum is diluted in another of the formula's own ingredients (`weighing`, `ledger`), which
also brings it in finer than the balance shows where rounding would change it by more than the limit. How large a batch is for
pans or for what is at hand is worked out in `sizing`.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from decimal import ROUND_HALF_EVEN, Decimal
from typing import Any

from histkit.base.checking import MOST, is_number, is_whole, positive
from histkit.base.errors import BadValue, Forbidden, quoted
from histkit.base.grid import Grid
from histkit.bench.binders import BINDER_NOTES
from histkit.bench.extension import Extension
from histkit.bench.ledger import Ledger
from histkit.bench.pressing import PressedFormula
from histkit.bench.sheet import BenchSheet, bench_sheet
from histkit.bench.weighing import Balance, Weighing, weighings_grid
from histkit.composing.composition import Composition, resolve
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient
from histkit.safety.evidence import Finding
from histkit.safety.law import concerns, region_of
from histkit.safety.products import Product, product_of

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
    size_notes: tuple[str, ...] = ()
    """How the size came about (rounded to the balance, from pans, from what is at hand); they are the first of the warnings."""
    safety: tuple[Finding, ...] = ()
    """What the gate found that its maker should know, the gravest first; their texts are the last of the warnings."""
    product: str | None = None
    """The sort of product that was chosen; None: guessed from the name."""
    region: str = "EU"
    """The region whose law was asked."""
    press_card: tuple[tuple[str, str], ...] = ()
    """What the pans take and how hard they are pressed, (what, its text), where the batch is for pans."""
    lots: tuple[tuple[str, str], ...] = ()
    """(ingredient, its lot and dates), where a maker noted them."""
    together: bool = False
    """Whether small amounts of a sort (colours, liquids, other powders) share one dilution where one fits."""
    extensions: tuple[Extension, ...] = ()
    """The colour extensions in it: all of their pigments is weighed by them."""

    def weighing(self, ingredient: Ingredient | str) -> Weighing:
        """The weighing of one ingredient (raises BadValue where the batch has none of it)."""
        wanted = ingredient.id if isinstance(ingredient, Ingredient) else ingredient
        for w in self.weighings:
            if w.ingredient.id == wanted:
                return w
        raise BadValue(f"{wanted} is not in this batch, which holds {', '.join(w.ingredient.id for w in self.weighings)}")

    def with_size_note(self, note: str) -> Batch:
        """The batch with a note on how its size came about."""
        return replace(self, size_notes=(note, *self.size_notes), warnings=(note, *self.warnings))

    @property
    def cautions(self) -> tuple[tuple[Ingredient, Caution], ...]:
        """(ingredient, caution) for every caution that concerns this product in this region, the gravest level first."""
        product, region = self.judged_as, region_of(self.region)
        return tuple(pair for pair in self.composition.cautions_by_ingredient if concerns(pair[1], product, region))

    @property
    def judged_as(self) -> Product:
        """The sort of product whose law was asked."""
        return product_of(self.product, self.composition.name, self.pressed)

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
        for joint in dict.fromkeys(w.joint for w in self.weighings if w.joint is not None):
            needed[joint.diluent.id] += joint.diluent_grams
            for ingredient, weigh, _ in joint.parts:
                needed[ingredient.id] += weigh
        return needed

    def cost(self, prices: Mapping[str, float] | None = None) -> tuple[float, tuple[str, ...]]:
        """(price of all that is weighed, ids without a price); `prices` maps ids to the price of one gram, or those of the batch.

        Raises BadValue for a price that is no number of 0 or more.
        """
        of_one_gram = dict(self.prices) if prices is None else prices
        for key, price in of_one_gram.items():
            if not is_number(price) or price < 0:
                raise BadValue(f"the price of {key} is a number for one gram, 0 or more, not {quoted(price)}")
        needed = self.to_weigh
        total = math.fsum(grams * of_one_gram[key] for key, grams in needed.items() if key in of_one_gram)
        return total, tuple(key for key in needed if key not in of_one_gram)

    def price_text(self) -> str:
        """The price of the batch, and of one pan, in words; '' where no price was given."""
        total, without = self.cost()
        if len(without) == len(self.to_weigh):
            return ""
        money = f" {self.currency}" if self.currency else ""
        each = f", {total / self.pans:.2f}{money} a pan ({self.pans} pans)" if self.pans else ""
        names = ", ".join(self.weighing(key).ingredient.name for key in without)
        return f"Price: {total:.2f}{money}{each}{f'; without {names}, for which no price is given' if names else ''}"

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
        """The choices as JSON text (composition, grams, balance, limit, number …); `from_json` weighs anew from them."""
        data = {
            "composition": json.loads(self.composition.to_json()),
            "grams": self.grams,
            "balance": {
                "readability": self.balance.readability,
                "minimum": self.balance.minimum,
                "repeatability": self.balance.repeatability,
                "name": self.balance.name,
                "own_drops": [list(pair) for pair in self.balance.own_drops],
            },
            "error_limit": self.error_limit,
            "number": self.number,
            "prices": dict(self.prices),
            "currency": self.currency,
            "pans": self.pans,
            "pressed": self.pressed,
            "wetting": {i.id: grams for i, grams in self.wetting},
            "size_notes": list(self.size_notes),
            "product": self.product,
            "region": self.region,
            "press_card": [list(line) for line in self.press_card],
            "lots": [list(line) for line in self.lots],
            "together": self.together,
            "extensions": [[e.pigment, e.base, e.share] for e in self.extensions],
        }
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str, ingredients: Mapping[str, Ingredient] | None = None) -> Batch:
        """The batch that `to_json` wrote; ids are looked up in `ingredients` first, then in the glossary."""
        try:
            data: dict[str, Any] = json.loads(text)
            composition = json.dumps(data["composition"])
            kept: dict[str, Any] = {**data["balance"]}
            kept["own_drops"] = tuple((str(key), mass) for key, mass in kept.get("own_drops", ()))
            balance = Balance(**kept)
            grams, limit, number = data["grams"], data["error_limit"], data["number"]
            more = {"prices": dict(data.get("prices", {})), "currency": data.get("currency", ""), "pans": data.get("pans", 0)}
            more |= {"product": data.get("product"), "region": data.get("region", "EU")}
            more["together"] = bool(data.get("together", False))
            more["extensions"] = [Extension(*entry) for entry in data.get("extensions", ())]
            pressed, wetting = bool(data.get("pressed", False)), dict(data.get("wetting", {}))
            size_notes = tuple(str(note) for note in data.get("size_notes", ()))
            card, lots = (tuple((str(what), str(words)) for what, words in data.get(key, ())) for key in ("press_card", "lots"))
        except (json.JSONDecodeError, KeyError, TypeError, ValueError) as error:
            raise BadValue(f"this is not a batch that histkit wrote: {error}") from error
        weighed = batch(Composition.from_json(composition, ingredients), grams, balance, error_limit=limit, number=number, **more)
        own = ingredients or {}
        masses = {key: positive(mass, f"the grams of {key} that dry off") for key, mass in wetting.items()}
        liquids = tuple((own.get(key) or resolve(key), mass) for key, mass in masses.items())
        weighed = replace(weighed, pressed=pressed, wetting=liquids, press_card=card, lots=lots)
        for note in reversed(size_notes):
            weighed = weighed.with_size_note(note)
        return weighed


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
    product: str | None = None,
    region: str = "EU",
    together: bool = False,
    extensions: Iterable[Extension] = (),
) -> Batch:
    """What to weigh for `grams` of a composition on a balance (readability 0.01 g, minimum 0.2 g where none is given).

    Every amount is a whole number of divisions of the balance, so that all of them add up to the batch exactly. What is below
    the balance's minimum gets an `aliquot`; `error_limit` is the share that its weighings and its rounding together may be off.
    With `together` several small amounts of a sort share one dilution where one fits. `number` is a batch number of your own;
    with `prices` (of one gram, by id) and `pans` the bench sheet tells the price of the batch and of a pan. `product` (an id of
    `histkit/safety/products.csv`, guessed from the name where None) and `region` ("EU", "GB", "US", "CA") say whose law is asked.
    All of a pigment that one of the colour `extensions` holds is weighed by it.

    Raises Forbidden, with all that it found in one text, while anything is in it that must not be used, alone or inside a
    preparation, that this product may not hold, that explodes or poisons with another part, whose printed words name a poison,
    or that nobody has identified; UnknownName for a product or region that nobody knows; BadValue for grams that are no finite
    number above 0 or less than the balance shows, or an extension whose base is not there.
    """
    mixture = composition if isinstance(composition, Composition) else composition.composition
    scales = balance or Balance()
    safety = _gate(composition, product, region)
    total = divisions(grams, scales)
    _check(error_limit, pans)
    ground = tuple(extensions)
    ledger = _booked(Ledger(mixture, total, scales, error_limit), ground, together)
    size = float(total * scales.division)
    size_notes = (*_rounded(grams, total, scales), *_of_drying(composition))
    weighed = Batch(
        mixture,
        size,
        scales,
        ledger.weighings(),
        error_limit,
        number,
        (*size_notes, *ledger.warnings, *(finding.text for finding in safety)),
        tuple((prices or {}).items()),
        currency,
        pans,
        _is_pressed(composition),
        _wetting(composition, size),
        size_notes,
        safety,
        product,
        region,
        together=together,
        extensions=tuple(e for e in ground if e.pigment in mixture),
    )
    weighed.cost()  # a price that is no number is told here, not when the sheet is printed
    return weighed


def _check(error_limit: float, pans: int) -> None:
    """Raises BadValue where the limit of error is no share or the pans are no number of pans."""
    if not (is_number(error_limit) and 0 < error_limit < 1):
        raise BadValue(f"error_limit is a share between 0 and 1 (0.05 is 5 %), not {quoted(error_limit)}")
    if not is_whole(pans) or pans < 0:
        raise BadValue(f"pans is a whole number of pans, 0 or more, not {quoted(pans)}")


def _booked(ledger: Ledger, extensions: Iterable[Extension], together: bool) -> Ledger:
    """The ledger with its colour extensions, and then with a dilution for all else that is too small."""
    for extension in extensions:
        ledger.extend(extension)
    ledger.plan(together)
    return ledger


def _rounded(grams: float, total: int, balance: Balance) -> tuple[str, ...]:
    """A note where the balance shows other grams than were asked for."""
    if Decimal(str(float(grams))) == total * balance.division:
        return ()
    shown = balance.text(float(total * balance.division))
    return (f"{grams:g} g is rounded to {shown}, which is what the balance shows",)


def _of_drying(composition: Composition | PressedFormula) -> tuple[str, ...]:
    """What the maker should know of the liquids that dry off."""
    if isinstance(composition, Composition) or composition.basis is None:
        return ()
    dried = {liquid.ingredient for liquid in composition.basis.dried}
    strengths = [f"{p.ingredient.name}, {p.note}" for p in composition.basis.given.parts if p.note and p.ingredient in dried]
    return (*composition.basis.warnings, *strengths)


def _gate(composition: Composition | PressedFormula, product: str | None, region: str) -> tuple[Finding, ...]:
    """What its maker should know. Raises Forbidden for a powder or cake that is refused, or for what dries off from it."""
    pressed = _is_pressed(composition)
    if isinstance(composition, Composition):
        return refuse_unsafe(composition, product, region, pressed)
    safety = refuse_unsafe(composition.composition, product, region, pressed)
    if composition.basis is not None:
        refuse_unsafe(composition.basis.given, product, region, pressed)  # it is in the mortar all the same
    return safety


def _is_pressed(composition: Composition | PressedFormula) -> bool:
    """Whether it is pressed into a cake, as far as is known."""
    if isinstance(composition, Composition):
        return any(part.note in BINDER_NOTES.values() for part in composition.parts)
    return bool(composition.binders or composition.wetting)


def _wetting(composition: Composition | PressedFormula, grams: float) -> tuple[tuple[Ingredient, float], ...]:
    """The liquids that wet so many grams of it and dry off."""
    if isinstance(composition, Composition):
        return ()
    powder = composition.powder_grams(grams)
    return tuple((i, ratio * powder) for i, ratio in composition.wetting)


def refuse_unsafe(
    composition: Composition, product: str | None = None, region: str = "EU", pressed: bool = False
) -> tuple[Finding, ...]:
    """What its maker should know of a composition, the gravest first.

    Raises Forbidden where anything keeps it from the bench, listing all of it. `Composition.replace` puts something else in its
    place, `Composition.declare` says why a name is known.
    """
    found = composition.findings(product, region, pressed)
    holding = [finding for finding in found if finding.holds]
    if not holding:
        return found
    ids = dict.fromkeys(key for finding in holding for key in finding.ingredients)
    reasons = " ".join(f"({n}) {finding.text}" for n, finding in enumerate(holding, 1))
    raise Forbidden(
        f"This batch is refused until what follows has been lowered, replaced, named or declared known. {reasons}",
        tuple(ids),
    )


def divisions(grams: float, balance: Balance, rounding: str = ROUND_HALF_EVEN) -> int:
    """So many grams in whole divisions of the balance. Raises BadValue for what is no amount, or less than it shows."""
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
