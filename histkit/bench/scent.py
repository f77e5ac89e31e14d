"""The scent of a powder or cake: how much oil it is, what flies off first, what the law and the label want, what it costs.

Parts come by drop, gram, millilitre or per cent, or are those that a composition holds. Everything is reckoned on so many grams
of the finished powder or cake.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from pathlib import Path
from typing import Any, Literal

from histkit.base.bibliography import sourced
from histkit.base.checking import is_number, positive
from histkit.base.descriptions import Bars
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Grid
from histkit.base.nouns import Spread
from histkit.bench import scent_telling as telling
from histkit.bench.drops import bench_drop
from histkit.bench.label import label_rules
from histkit.bench.scent_telling import Bought, Mixed, ScentStock, StripStep
from histkit.composing.composition import Composition, resolve
from histkit.composing.scents import NO_SCENT, UNTOLD, apart, made_of, notes, volatility
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.constituents import allergens as allergens_above
from histkit.safety.constituents import taken_apart as constituents_of
from histkit.safety.evidence import Finding
from histkit.safety.gate import Mixture, findings
from histkit.safety.law import region_of
from histkit.safety.products import Product, product_of

FILLS = ("powder", "scent")
"""What fills up where one part is lessened: the powder, or the other parts of the scent, so that it stays as strong."""
Fill = Literal["powder", "scent"]
STOCK = 0.1
"""Strength of a stock: one gram in ten."""
LADDER = (0.25, 0.5, 1.0, 2.0)
"""Strengths of the test strips, beside the scent as it is."""
MOST_SHARE = 0.5
"""A powder that is half scent is none."""


@dataclass(frozen=True, slots=True)
class ScentPart(Tabular):
    """One part: its grams in the finished powder, what was said of it ('12 drops'), and whose drop that is."""

    ingredient: Ingredient
    grams: Spread
    said: str = ""
    why: str = ""

    def _grid(self) -> Grid:
        return telling.parts_grid((self,), 0.0, "One part of a scent")


@dataclass(frozen=True)
class Scent(Tabular):
    """The scent in `total` grams of the finished powder or cake; `rest` is what else is in it (ingredient, share of the whole).

    `own_drops` are (id, grams of 20 drops) of the maker's own dropper, `prices` (id, price of one gram).
    """

    parts: tuple[ScentPart, ...]
    total: float
    name: str = ""
    rest: tuple[tuple[Ingredient, float], ...] = ()
    product: str | None = None
    region: str = "EU"
    pressed: bool = False
    own_drops: tuple[tuple[str, float], ...] = ()
    prices: tuple[tuple[str, float], ...] = ()
    currency: str = ""

    # -- how much it is ---------------------------------------------------------------------------------------------------

    @property
    def grams(self) -> Spread:
        """Grams of all scented parts together, solvents included."""
        return _sum(part.grams for part in self.parts)

    @property
    def share(self) -> Spread:
        """Their share of the finished mass (0–1)."""
        return self.grams * (1 / self.total)

    @property
    def oil_share(self) -> float:
        """The share of the finished mass that scents: old bases and tinctures taken apart, without spirit, water and fat."""
        carried = math.fsum(p.grams.best * (1 - volatility(p.ingredient).get(NO_SCENT, 0.0)) for p in self.parts)
        return carried / self.total

    @property
    def judged_as(self) -> Product:
        """The sort of product whose law is asked."""
        return product_of(self.product, self.name, self.pressed)

    def level(self) -> tuple[str, float, float, str]:
        """(what is usual for this product in words, least and most share, who says so)."""
        product = self.judged_as
        rows = sourced("bench/scent_levels")
        row = next(r for r in rows if _fits(product, r["tags"]))
        return row["words"], float(row["low"]), float(row["high"]), "common practice, no source"

    def verdict(self) -> str:
        """How strong it is beside what is usual, in a sentence."""
        words, low, high, source = self.level()
        share = self.oil_share
        beside = "less than usual" if share < low else "more than usual" if share > high else "within what is usual"
        return f"Scent: {_percent(share)} of the whole, {beside} ({words}; {source})."

    def bears(self) -> str:
        """What a cake bears: all its liquid oils with the scent among them, in a sentence; '' where it is no cake."""
        return telling.bears(self) if self.pressed else ""

    def cost(self) -> tuple[float, tuple[Ingredient, ...]]:
        """(price of the scent in the whole amount, those of which no price is known)."""
        prices = dict(self.prices)
        known = math.fsum(p.grams.best * prices[p.ingredient.id] for p in self.parts if p.ingredient.id in prices)
        return known, tuple(p.ingredient for p in self.parts if p.ingredient.id not in prices)

    # -- how it goes off ---------------------------------------------------------------------------------------------------

    @cached_property
    def by_note(self) -> dict[str, float]:
        """Note → its share of what scents (0–1, adding to 1): top, heart, base and what is not known."""
        masses = {note.name: 0.0 for note in notes()} | {UNTOLD: 0.0}
        for part in self.parts:
            for note, share in volatility(part.ingredient).items():
                if note != NO_SCENT:
                    masses[note] += part.grams.best * share
        total = math.fsum(masses.values())
        return {note: mass / total if total else 0.0 for note, mass in masses.items()}

    # -- the law -----------------------------------------------------------------------------------------------------------

    @cached_property
    def findings(self) -> tuple[Finding, ...]:
        """What keeps the scent from the bench, limits of its constituents included, the gravest first.

        Old bases count by what they are made of.
        """
        bought = apart((p.ingredient, p.grams.high / self.total) for p in self.parts)
        scenting = {entry.id for entry, _ in bought} | {p.ingredient.id for p in self.parts}
        found = findings(Mixture((*bought, *self.rest)), self.judged_as, region_of(self.region))
        return tuple(f for f in found if set(f.ingredients) & scenting)

    @cached_property
    def allergens(self) -> tuple[tuple[str, float], ...]:
        """(name, share of the whole at most) of the fragrance allergens that a label must name, the most first."""
        bought = apart((p.ingredient, p.grams.high / self.total) for p in self.parts)
        rule = "allergen-rinse-off" if self.judged_as.rinsed_off else "allergen-leave-on"
        return tuple(allergens_above(constituents_of((*bought, *self.rest)), float(label_rules()[rule]["value"])))

    # -- changes -----------------------------------------------------------------------------------------------------------

    def scaled(self, factor: float) -> Scent:
        """The same scent so many times as strong; the powder fills up.

        Raises:
            BadValue: the factor is no number of 0 or more, or the scent would be half of the powder.
        """
        return self.changed({p.ingredient.id: factor for p in self.parts})

    def changed(self, factors: Mapping[str, float], fill: Fill = "powder") -> Scent:
        """'Half as much jasmine': parts (by id) so many times as much as now.

        `fill` "powder": the powder takes the place of what went; "scent": the other parts of the scent do, in proportion, so that
        the whole stays as strong. A part of 0 is left out.

        Raises:
            BadValue: there is no such part, a factor is no number of 0 or more, nothing is left to fill up with, or the scent
                would be half of the powder.
        """
        if fill not in FILLS:
            raise BadValue(f"what fills up is one of {', '.join(FILLS)}, not {quoted(fill)}")
        held = {p.ingredient.id: p for p in self.parts}
        for key, factor in factors.items():
            if key not in held:
                raise BadValue(f"{quoted(key)} is not in this scent, which holds {', '.join(held)}")
            if not is_number(factor) or factor < 0:
                raise BadValue(f"how much of {held[key].ingredient.name} is a number of times, 0 or more, not {quoted(factor)}")
        others = 1.0
        if fill == "scent":
            moved = math.fsum(held[key].grams.best * (factor - 1) for key, factor in factors.items())
            free = math.fsum(p.grams.best for p in self.parts if p.ingredient.id not in factors)
            if free <= 0 or free - moved < 0:
                raise BadValue("no other part of the scent is left to fill up with: let the powder fill up")
            others = (free - moved) / free
        parts = [
            replace(p, grams=p.grams * times, said=_said(p.said, times), why=p.why)
            for p in self.parts
            if (times := factors.get(p.ingredient.id, others)) > 0
        ]
        return _checked(replace(self, parts=tuple(parts), rest=self._refilled(parts)))

    def _refilled(self, parts: Sequence[ScentPart]) -> tuple[tuple[Ingredient, float], ...]:
        """The rest in proportion, so that all shares add to 1 again."""
        before = math.fsum(share for _, share in self.rest)
        left = 1 - math.fsum(p.grams.best for p in parts) / self.total
        return tuple((entry, share * left / before) for entry, share in self.rest) if before else ()

    def composition(self) -> Composition:
        """The whole as a composition: the rest with this scent in it.

        Raises:
            BadValue: it is not known what else is in it.
        """
        if not self.rest:
            raise BadValue("this scent was given by itself: what else is in the powder is not known")
        scent = [(p.ingredient, p.grams.best / self.total) for p in self.parts]
        return Composition.of([*self.rest, *scent], name=self.name)

    # -- at the bench ------------------------------------------------------------------------------------------------------

    def bought(self) -> tuple[Bought, ...]:
        """What to buy for it: old bases, extracts and tinctures taken apart, with who says what they are made of."""
        out: dict[Ingredient, Bought] = {}
        for part in self.parts:
            source = telling.whence(part.ingredient) if made_of(part.ingredient) else ""
            for entry, grams in apart([(part.ingredient, part.grams.best)]):
                before = out.get(entry, Bought(entry, 0.0, (), ()))
                inside = (part.ingredient.name,) if entry != part.ingredient else ()
                sources = (source,) if source and source not in before.sources else ()
                out[entry] = Bought(entry, before.grams + grams, before.out_of + inside, before.sources + sources)
        return tuple(out.values())

    def stocks(self, solvent: Ingredient | str = "rectified-spirit", strength: float = STOCK) -> tuple[ScentStock, ...]:
        """For each part that is less than a drop, a stock in spirit or oil of this strength, and how many drops of it to take.

        Raises:
            BadValue: the solvent is no liquid, or the strength lies not between 0 and 1.
        """
        carrier = resolve(solvent)
        if not carrier.liquid:
            raise BadValue(f"a stock is made in a liquid; {carrier.name} is none")
        if not is_number(strength) or not 0 < strength < 1:
            raise BadValue(f"the strength of a stock lies between 0 and 1, 0.1 for one in ten, not {quoted(strength)}")
        drop, whose = bench_drop(carrier, self.own_drops)
        out = []
        for part in self.parts:
            own, _ = bench_drop(part.ingredient, self.own_drops)
            if part.grams.best < own.best:
                grams = part.grams.best / strength
                out.append(ScentStock(part.ingredient, carrier, strength, grams, grams / drop.best, whose))
        return tuple(out)

    def strips(self, factors: Sequence[float] = LADDER, powder_grams: float = 5.0) -> tuple[StripStep, ...]:
        """A ladder of test strips: the scent at these strengths, as it would be in so many grams of powder, from one stock.

        Raises:
            BadValue: a strength or `powder_grams` is no number above 0.
        """
        positive(powder_grams, "powder_grams")
        each = self.grams.best / self.total * powder_grams
        carrier = resolve("rectified-spirit")
        drop, _ = bench_drop(carrier, self.own_drops)
        steps = [(n, positive(factor, "a strength")) for n, factor in enumerate(factors, start=1)]
        if any(factor * STOCK >= 1 for _, factor in steps):
            raise BadValue(f"a strip is less than {1 / STOCK:g} times as strong as the scent is: the stock would be all scent")
        return tuple(StripStep(n, f, 10 * STOCK * f, each * f, each * f / STOCK / drop.best) for n, f in steps)

    # -- to be shown --------------------------------------------------------------------------------------------------------

    def _grid(self) -> Grid:
        return telling.scent_grid(self)

    def grids(self) -> tuple[Grid, ...]:
        """All that is to be told: parts, notes, what to buy, stocks, test strips."""
        return telling.grids(self)

    def describe(self, before: Scent | None = None) -> Bars:
        """Top, heart and base as bars; beside those of another scent where one is given."""
        return telling.bars(self, before)

    def to_picture(
        self, path: str | Path, size: tuple[int, int] = (3840, 2160), theme: str = "paper", before: Scent | None = None
    ) -> list[Path]:
        """Draw the bars into a picture; by its ending png, svg or pdf. The paths written.

        Raises:
            BadValue: the ending, the size or the theme is none of those. RecordError: the file cannot be written.
        """
        from histkit.display import pictures

        return pictures.save(self.describe(before), path, size, theme)

    def to_json(self) -> str:
        """The scent as JSON text; `from_json` gives an equal one."""
        data = {
            "parts": [
                {"ingredient": p.ingredient.id, "grams": [p.grams.low, p.grams.best, p.grams.high], "said": p.said, "why": p.why}
                for p in self.parts
            ],
            "rest": [[entry.id, share] for entry, share in self.rest],
            **{key: getattr(self, key) for key in ("total", "name", "product", "region", "pressed", "currency")},
            "own_drops": [list(pair) for pair in self.own_drops],
            "prices": [list(pair) for pair in self.prices],
        }
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> Scent:
        """The scent that `to_json` wrote; ids are looked up in the glossary.

        Raises:
            BadValue: the text is none. UnknownName: an ingredient is not in the glossary.
        """
        try:
            data = json.loads(text)
            parts = tuple(
                ScentPart(resolve(str(p["ingredient"])), Spread(*map(float, p["grams"])), str(p["said"]), str(p["why"]))
                for p in data.pop("parts")
            )
            rest = tuple((resolve(str(key)), float(share)) for key, share in data.pop("rest"))
            pairs: dict[str, Any] = {key: tuple((str(k), float(v)) for k, v in data.pop(key)) for key in ("own_drops", "prices")}
            return _checked(cls(parts=parts, rest=rest, **pairs, **data))
        except (json.JSONDecodeError, KeyError, TypeError, ValueError, AttributeError) as error:
            raise BadValue(f"this is not a scent that histkit wrote: {error}") from error


def scent(
    given: Any,
    powder_grams: float = 100.0,
    *,
    own_drops: Iterable[tuple[str, float]] = (),
    product: str | None = None,
    region: str = "EU",
    pressed: bool | None = None,
    prices: Mapping[str, float] | None = None,
    currency: str = "",
    name: str = "",
) -> Scent:
    """The scent of a powder or cake.

    `given` is a composition, a pressed formula, a batch or a record, whose scented parts are taken; or parts as
    (ingredient or id, amount, unit), by drop, gram, milligram, millilitre or per cent (of the finished whole), that go into
    `powder_grams` of powder. For a composition `powder_grams` is the finished amount that is looked at. `own_drops` are (id of a
    liquid, grams of 20 drops) of the maker's own dropper; without them drops are those of the pharmacopoeia's dropper.

    Raises:
        BadValue: nothing in it scents, an amount or unit is none, or the scent would be half of the powder.
        UnknownName: nobody knows an ingredient, the product or the region.
    """
    chosen: dict[str, Any] = {"own_drops": tuple(own_drops), "product": product, "region": region, "currency": currency}
    chosen["prices"] = tuple((prices or {}).items())
    held = telling.mixed(given)
    grams = positive(powder_grams, "powder_grams")
    if held is not None:
        chosen["pressed"] = held.cake if pressed is None else pressed
        return _of_composition(held, grams, name or held.name, chosen)
    parts, total = _of_parts(given, grams, chosen["own_drops"])
    return _checked(Scent(parts, total, name, pressed=bool(pressed), **chosen))


def _of_composition(held: Mixed, total: float, name: str, chosen: dict[str, Any]) -> Scent:
    if not held.scents:
        raise BadValue(f"nothing in {held.name or 'this powder'} is put in for its scent by drops or grams")
    parts = tuple(ScentPart(entry, Spread.exact(share * total), said) for entry, share, said in held.scents)
    return _checked(Scent(parts, total, name, held.rest, **chosen))


def _of_parts(given: Any, powder: float, own_drops: tuple[tuple[str, float], ...]) -> tuple[tuple[ScentPart, ...], float]:
    """The parts in grams, and grams of the finished whole: per cent are of the whole, all else comes on top of the powder."""
    entries = telling.entries_of(given)
    percent = math.fsum(amount for _, amount, unit in entries if unit == "per cent") / 100
    if percent >= MOST_SHARE:
        raise BadValue(f"{100 * percent:g} per cent of the powder would be scent: a powder holds a few at most")
    weighed = [
        (entry, _grams(entry, amount, unit, own_drops), f"{amount:g} {_plural(unit, amount)}")
        for entry, amount, unit in entries
        if unit != "per cent"
    ]
    total = (powder + math.fsum(grams.best for _, (grams, _), _ in weighed)) / (1 - percent)
    parts = [ScentPart(e, grams, said, why) for e, (grams, why), said in weighed]
    parts += [ScentPart(e, Spread.exact(a / 100 * total), f"{a:g} per cent") for e, a, unit in entries if unit == "per cent"]
    order = [e for e, _, _ in entries]
    return tuple(sorted(_each_once(parts), key=lambda p: order.index(p.ingredient))), total


def _each_once(parts: Sequence[ScentPart]) -> list[ScentPart]:
    out: dict[Ingredient, ScentPart] = {}
    for part in parts:
        before = out.get(part.ingredient)
        if before is not None:
            part = replace(part, grams=before.grams + part.grams, said=f"{before.said} and {part.said}")
        out[part.ingredient] = part
    return list(out.values())


def _grams(entry: Ingredient, amount: float, unit: str, own_drops: Iterable[tuple[str, float]]) -> tuple[Spread, str]:
    if unit == "drop":
        drop, whose = bench_drop(entry, own_drops)
        return drop * amount, f"one drop is {drop.best:.3g} g from {whose}"
    if unit == "millilitre":
        density = entry.value("density")
        if density is None:
            raise BadValue(f"how heavy a millilitre of {entry.name} is, is not known: give it by drops or grams")
        return density * amount, f"density {density} g/mL"
    return Spread.exact(amount / 1000 if unit == "milligram" else amount), ""


def _checked(made: Scent) -> Scent:
    if not made.parts:
        raise BadValue("a scent has at least one part")
    if not made.share.best < MOST_SHARE:
        raise BadValue(f"the scent would be {_percent(made.share.best)} of the whole: a powder holds a few per cent at most")
    return made


def _sum(spreads: Iterable[Spread]) -> Spread:
    total = Spread.exact(0.0)
    for spread in spreads:
        total = total + spread
    return total


def _fits(product: Product, tags: str) -> bool:
    return all(tag in product.tags or tag == "any" for tag in tags.split())


def _percent(share: float) -> str:
    return f"{100 * share:.2g} %"


def _plural(unit: str, amount: float) -> str:
    return unit if unit == "per cent" or amount == 1 else f"{unit}s"


def _said(said: str, times: float) -> str:
    return said if times == 1 else f"{times:.3g} times {said or 'as much'}"
