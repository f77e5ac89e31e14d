"""The accounts of a batch while it is worked out: rounded to the balance so that it adds up, aliquots for what is too small.

What is too small is diluted by itself, or, where the maker wants it so, together with others of its sort (`joint`).
"""

from __future__ import annotations

import math
from fractions import Fraction

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.base.text import listed
from histkit.bench.consistency import Consistency, consistency
from histkit.bench.drops import bench_drop, in_drops
from histkit.bench.extension import Extension, ExtensionPlan, plan_extension
from histkit.bench.joint import JointDilution, JointPlan, plan_together
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
        self.shared: dict[tuple[int, ...], tuple[JointPlan, int]] = {}
        self.notes: dict[int, str] = {}
        self.warnings: list[str] = []
        self.least = balance.least_divisions

    def small(self) -> list[int]:
        """Places of the ingredients below the minimum, the largest first: they are the easiest to fit in."""
        places = [i for i, n in enumerate(self.rounded) if n < self.least and i not in self.plans and not self.taken[i]]
        return sorted(places, key=lambda i: (-self.exact[i], i))

    def plan(self, together: bool) -> None:
        """Finds a dilution for all that is too small: one for several of a sort where `together`, else one for each."""
        places = self.small()
        if together:
            for sort in self._sorts(places):
                self.share(sort)
        shared = {place for sort in self.shared for place in sort}
        for place in places:
            if place not in shared:
                self.dilute(place)

    def _sorts(self, places: list[int]) -> list[tuple[int, ...]]:
        """Those that could go into one dilution: liquids, colours, other powders; two of a sort at least."""
        sorts: dict[tuple[Consistency, bool], list[int]] = {}
        for place in sorted(places):
            ingredient = self.parts[place].ingredient
            colour = any(role.main and role.role == "colour" for role in ingredient.roles)
            sorts.setdefault((consistency(ingredient), colour), []).append(place)
        return [tuple(sort) for sort in sorts.values() if len(sort) > 1]

    def share(self, places: tuple[int, ...]) -> None:
        """Finds one dilution for several small ingredients and books it; says so where there is none."""
        exact, uncertainty = [self.exact[place] for place in places], self.balance.uncertainty / self.balance.readability
        for diluent in self._diluents(places[0]):
            plan = plan_together(exact, self._room(places, diluent), self.least, uncertainty, self.limit)
            if plan is not None:
                self._book_shared(places, diluent, plan)
                return
        names = listed([self.parts[place].ingredient.name for place in places])
        self.warnings.append(f"No one dilution of {names} together fits this batch, so that each is diluted by itself")

    def _room(self, places: tuple[int, ...], diluent: int) -> int:
        """Divisions of a diluent and of these together: what a portion and the rest of the diluent share out."""
        return int(self.content[diluent] - self.taken[diluent] + sum(self.content[place] for place in places))

    def _book_shared(self, places: tuple[int, ...], diluent: int, plan: JointPlan) -> None:
        self.shared[places] = (plan, diluent)
        for place, content in zip(places, plan.contents(), strict=True):
            self._deliver(place, content, diluent)
        self.taken[diluent] += plan.take - sum(plan.contents())

    def joints(self) -> tuple[JointDilution, ...]:
        """The dilutions of several, in grams."""
        return tuple(self._joint(places) for places in self.shared)

    def _joint(self, places: tuple[int, ...]) -> JointDilution:
        plan, diluent = self.shared[places]
        ingredients = [self.parts[place].ingredient for place in places]
        straight = self.content[diluent] - self.taken[diluent]
        unit = Fraction(self.balance.division)
        return plan.dilution(ingredients, self.parts[diluent].ingredient, straight, unit, self.balance.decimals)

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
        contents = self._contents(place)
        options = sorted(self._diluents(place), key=lambda i: not self._stays_close(i, place, contents[0]))
        rooms = {i: room for i in options if (room := int(self.content[i] - self.taken[i]) - self.least) > 0}
        # Rounding and weighing within the limit together, else the weighing alone; rather a coarse one that is told than none.
        whole = [(content, self._left_to_weighing(place, content)) for content in contents]
        for wanted in (whole, [(contents[0], self.limit)], [(contents[0], 1.0)]) if rooms else ():
            booked = self._smallest(wanted, rooms)
            if booked is not None:
                self._book(place, *booked)
                return
        name, smallest = self.parts[place].ingredient.name, self._enough(place)
        shown = self.balance.text(float(self.rounded[place] * self.balance.division))
        what = "rounds to nothing" if self.rounded[place] == 0 else f"is {shown}, below the balance's minimum"
        note = f"{what}, and no aliquot in this batch gives it; make at least {smallest} or use a finer balance"
        self.notes[place] = note
        self.warnings.append(f"{name} {note}")

    def _contents(self, place: int) -> list[Fraction]:
        """What could be delivered: whole divisions where rounding stays within the limit, and finer ones; the roundest first."""
        exact, whole = self.exact[place], Fraction(self.rounded[place])
        first = whole if abs(whole - exact) <= Fraction(self.limit) * exact else content_within(exact, self.limit)
        return list(dict.fromkeys([first, content_within(exact, self.limit / 2), content_within(exact, self.limit / 10)]))

    def _left_to_weighing(self, place: int, content: Fraction) -> float:
        """What the weighings may be off, so that they and the rounding stay within the limit together."""
        return (1 + self.limit) / (1 + abs(float(content / self.exact[place]) - 1)) - 1

    def _smallest(self, wanted: list[tuple[Fraction, float]], rooms: dict[int, int]) -> tuple[Fraction, int, AliquotPlan] | None:
        """The smallest dilution that brings one of these (content, limit), in the first diluent that has room for one."""
        uncertainty = self.balance.uncertainty / self.balance.readability
        # What does not fit where there is most room fits nowhere; and what fits is the same dilution wherever it still fits.
        roomiest = [
            (content, limit, plan)
            for content, limit in wanted
            if (plan := plan_aliquot(content, self.least, uncertainty, limit, max(rooms.values()))) is not None
        ]
        for diluent, room in rooms.items() if roomiest else ():
            fitting = []
            for content, limit, most in roomiest:
                fits = most.take - content <= room
                plan = most if fits else plan_aliquot(content, self.least, uncertainty, limit, room)
                fitting += [] if plan is None else [(content, plan)]
            if fitting:
                content, plan = min(fitting, key=lambda pair: (len(pair[1].ratios), pair[1].mixed))
                return content, diluent, plan
        return None

    def _diluents(self, place: int) -> list[int]:
        """Places that could carry it: for a liquid first an oil or spirit, else powders; the largest first."""
        ingredient = self.parts[place].ingredient
        able = [i for i, n in enumerate(self.rounded) if n >= 2 * self.least]
        liquids = [i for i in able if self.parts[i].ingredient.liquid]
        powders = [i for i in able if consistency(self.parts[i].ingredient) == "powder"]
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
        self._deliver(place, content, diluent)
        self.taken[diluent] += plan.take - content
        ground = isinstance(plan, ExtensionPlan)
        error = plan.error
        if ground:  # the portion of an extension is whole divisions
            error += (1 + error) * float(abs(content / self.exact[place] - 1))
        if error > self.limit:
            ingredient, what = self.parts[place].ingredient, "extension" if ground else "aliquot"
            note = f"the {what} may be off by {100 * error:.0f} %, above the limit of {100 * self.limit:g} %"
            self.notes[place] = note
            instead = "grind a weaker extension, make more" if ground else f"make at least {self._enough(place)}"
            self.warnings.append(f"{ingredient.name}: {note}; {instead} or use a finer balance")

    def _deliver(self, place: int, content: Fraction, diluent: int) -> None:
        """Books so much of an ingredient in the place of what rounding gave; its diluent keeps the sum."""
        if self.rounded[place] == 0:  # shown finer than a division rather than as nothing
            self.shown[diluent] -= content
            self.shown[place] = content
        self.content[diluent] += self.content[place] - content
        self.content[place] = content

    def _enough(self, place: int) -> str:
        """The batch in which this ingredient can be weighed straight, in words."""
        factor = self.least / self.exact[place]
        divisions = math.ceil(sum(self.exact) * factor)
        return f"{float(divisions * self.balance.division):.4g} g"

    def weighings(self) -> tuple[Weighing, ...]:
        joints = {place: self._joint(places) for places in self.shared for place in places}
        return tuple(self._weighing(place, joints.get(place)) for place in range(len(self.parts)))

    def _weighing(self, place: int, joint: JointDilution | None) -> Weighing:
        ingredient, content, exact = self.parts[place].ingredient, self.content[place], self.exact[place]
        booked = self.plans.get(place)
        aliquot = None if booked is None else self._aliquot(place, *booked)
        diluted = booked is not None or joint is not None
        direct = Fraction(0) if diluted else content - self.taken[place]
        grams, straight = self._grams(self.shown[place]), self._grams(direct)
        by_balance = self.balance.error(straight) if direct > 0 else 0.0
        error = aliquot.error if aliquot is not None else joint.part(ingredient)[2] if joint is not None else by_balance
        drop, whose = bench_drop(ingredient, self.balance.own_drops) if ingredient.liquid and 0 < grams < 5 else (None, "")
        drops = drop and in_drops(grams, drop)
        notes = [self.notes[place]] if place in self.notes else []
        notes += [self.parts[place].note] if ingredient.kind == "spirit" and self.parts[place].note else []
        if drop is not None and drops is not None and grams < 1:
            # Of what goes on the balance: the portions of aliquots bring the rest.
            put = drops if diluted else in_drops(straight, drop)
            notes.append(_drops_note(put, self.balance.text(straight), whose, diluted))
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
            joint,
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


def joint_dilutions(composition: Composition, grams: float, balance: Balance, limit: float) -> tuple[JointDilution, ...]:
    """The dilutions of several that a batch of these grams (whole divisions) could have; none where fewer than two are small."""
    ledger = Ledger(composition, round(Fraction(str(round(grams, 9))) / Fraction(balance.division)), balance, limit)
    for sort in ledger._sorts(ledger.small()):
        ledger.share(sort)
    return ledger.joints()


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
        f"without the dilution: {run} drops of {whose}"
        if drops.best >= 1.5
        else "less than two drops, so no drops but the dilution"
    )
