"""The accounts of a batch while it is worked out: rounded to the balance so that it adds up, aliquots for what is too small."""

from __future__ import annotations

import math
from fractions import Fraction

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench.drops import bench_drop, in_drops
from histkit.bench.extension import Extension, ExtensionPlan, plan_extension
from histkit.bench.weighing import Aliquot, AliquotPlan, Balance, Weighing, largest_remainder, plan_aliquot
from histkit.composing.composition import Composition


def _fraction(share: float, whole: Fraction, total: int) -> Fraction:
    return Fraction(share) / whole * total


class Ledger:
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
        self.plans: dict[int, tuple[AliquotPlan | ExtensionPlan, int]] = {}
        self.notes: dict[int, str] = {}
        self.warnings: list[str] = []
        self.least = balance.least_divisions

    def small(self) -> list[int]:
        """Places of the ingredients below the minimum, the largest first: they are the easiest to fit in."""
        places = [i for i, n in enumerate(self.rounded) if n < self.least and i not in self.plans and not self.taken[i]]
        return sorted(places, key=lambda i: (-self.exact[i], i))

    def extend(self, extension: Extension) -> None:
        """Books a colour extension for all of its pigment, before anything is diluted; nothing where the pigment is not here.

        Raises BadValue where less of its base is here than it brings along.
        """
        places = {part.ingredient.id: i for i, part in enumerate(self.parts)}
        if extension.pigment not in places:
            return
        place, base = places[extension.pigment], places.get(extension.base)
        if place in self.plans:
            raise BadValue(f"{extension.name}: all of this pigment is in one extension already")
        room = self.content[place] + (0 if base is None else self.content[base] - self.taken[base])
        plan = plan_extension(extension, self.exact[place], int(room), self.balance, self.limit)
        if base is None or plan.take > room:
            name = self.parts[place].ingredient.name
            raise BadValue(
                f"{extension.name}: the powder holds too little of its base for all the {name} in it;"
                " grind a stronger extension, or one with another base"
            )
        self._book(place, plan.content, base, plan)
        left = int(room) - plan.take
        if 0 < left < self.least:
            shown = self.balance.text(float(left * self.balance.division))
            self.notes[base] = f"{shown} to weigh beside the extension is below the balance's minimum"
            self.warnings.append(f"{self.parts[base].ingredient.name}: {self.notes[base]}; make more, or leave it away")

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
        return whole if abs(whole - exact) <= Fraction(self.limit) * exact else content_within(exact, self.limit)

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

    def _book(self, place: int, content: Fraction, diluent: int, plan: AliquotPlan | ExtensionPlan) -> None:
        self.plans[place] = (plan, diluent)
        if self.rounded[place] == 0:  # shown finer than a division rather than as nothing; the diluent keeps the sum
            self.shown[diluent] -= content
            self.shown[place] = content
        self.content[diluent] += self.content[place] - content
        self.content[place] = content
        self.taken[diluent] += plan.take - content
        if plan.error > self.limit:
            ingredient, ground = self.parts[place].ingredient, isinstance(plan, ExtensionPlan)
            what = "extension" if ground else "aliquot"
            note = f"the {what} may be off by {100 * plan.error:.0f} %, above the limit of {100 * self.limit:g} %"
            self.notes[place] = note
            instead = "grind a weaker extension, make more" if ground else f"make at least {self._enough(place)}"
            self.warnings.append(f"{ingredient.name}: {note}; {instead} or use a finer balance")

    def _enough(self, place: int) -> str:
        """The batch in which this ingredient can be weighed straight, in words."""
        factor = self.least / self.exact[place]
        divisions = math.ceil(sum(self.exact) * factor)
        return f"{float(divisions * self.balance.division):.4g} g"

    def weighings(self) -> tuple[Weighing, ...]:
        return tuple(self._weighing(place) for place in range(len(self.parts)))

    def _weighing(self, place: int) -> Weighing:
        ingredient, content, exact = self.parts[place].ingredient, self.content[place], self.exact[place]
        booked = self.plans.get(place)
        aliquot = None if booked is None else self._aliquot(place, *booked)
        direct = Fraction(0) if booked else content - self.taken[place]
        grams, straight = self._grams(self.shown[place]), self._grams(direct)
        by_balance = self.balance.error(straight) if direct > 0 else 0.0
        error = by_balance if aliquot is None else aliquot.error
        drop, whose = bench_drop(ingredient, self.balance.own_drops) if ingredient.liquid and 0 < grams < 5 else (None, "")
        drops = drop and in_drops(grams, drop)
        notes = [self.notes[place]] if place in self.notes else []
        if drop is not None and drops is not None and grams < 1:
            # Of what goes on the balance: the portions of aliquots bring the rest.
            put = drops if aliquot is not None else in_drops(straight, drop)
            notes.append(_drops_note(put, self.balance.text(straight), whose, aliquot is not None))
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

    def _aliquot(self, place: int, plan: AliquotPlan | ExtensionPlan, diluent: int) -> Aliquot:
        carrier = self.parts[diluent].ingredient
        made = isinstance(plan, ExtensionPlan)
        return Aliquot(
            carrier,
            plan.stages(self.balance.division),
            self._grams(self.content[place]),
            plan.error,
            "extension" if made else "stock" if carrier.liquid else "dilution",
        )


def content_within(exact: Fraction, limit: float) -> Fraction:
    """The roundest amount (divisions, in tenths, hundredths …) within the limit of the exact one; 0 where there is none."""
    for digits in range(7):
        content = Fraction(round(exact * 10**digits), 10**digits)
        if abs(content - exact) <= Fraction(limit) * exact:
            return content
    return Fraction(0)


def _drops_note(drops: Spread, amount: str, whose: str, diluted: bool) -> str:
    """How many drops an amount is: instead of weighing, or of the dilution where there are enough to count. `whose` dropper."""
    low, high = f"{drops.low:.0f}", f"{drops.high:.0f}"
    run = f"about {drops.best:.0f}" + (f" ({low} to {high})" if low != high else "")
    if not diluted:
        return f"{amount} is {run} drops of {whose}"
    return (
        f"without the aliquot: {run} drops of {whose}"
        if drops.best >= 1.5
        else "less than two drops, so no drops but the aliquot"
    )
