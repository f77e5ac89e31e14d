"""Batches add up exactly whatever the composition and the balance; what is too small is diluted; what is forbidden is refused."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from decimal import Decimal
from fractions import Fraction

import pytest
from bench_ingredients import CUPBOARD, as_glossary, made
from hypothesis import example, given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden
from histkit.base.nouns import Spread
from histkit.bench.batching import Batch, batch
from histkit.bench.dispensing import (
    aliquot_liquid,
    aliquot_solid,
    alligation_alternate,
    alligation_medial,
    dilution_makes,
    geometric_dilution,
    least_weighable,
    parts_to_masses,
    scale,
    split,
    stock_for,
    strengthen,
    trituration,
)
from histkit.bench.drops import drops_of
from histkit.bench.label import label_draft
from histkit.bench.ledger import content_within
from histkit.bench.pressing import press
from histkit.bench.sheet import mixing_stage
from histkit.bench.sizing import batch_for_pans, batch_from_scarcest, smallest_batch
from histkit.bench.stocks import scent_stock
from histkit.bench.weighing import Aliquot, Balance, largest_remainder, plan_aliquot
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Caution, Ingredient


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


SAFE = sorted(set(CUPBOARD) - {"lead-carbonate", "bloom-of-youth"})


def tinted() -> Composition:
    """An invented tinted powder with a trace of colour and scent."""
    return Composition.of(
        [("talc", 60), ("kaolin", 25), ("zinc-oxide", 14.8), ("carmine", 0.1), ("rose-oil", 0.1)], "invented tinted powder"
    )


def decimal_sum(made_batch: Batch) -> Decimal:
    return sum((Decimal(repr(w.grams)) for w in made_batch.weighings), Decimal(0))


SEVERAL_TOO_SMALL = Composition.of(
    (CUPBOARD[key], parts)
    for key, parts in {
        "alcohol": 0.37, "almond-oil": 0.28, "bismuth-oxychloride": 23.97, "carmine": 20.97, "iron-oxide-red": 0.28,
        "kaolin": 20.97, "lavender-oil": 21.35, "magnesium-carbonate": 11.80,
    }.items()
)  # fmt: skip
compositions = st.dictionaries(st.sampled_from(SAFE), st.floats(1e-4, 1), min_size=1, max_size=9).map(Composition.of)
balances = st.builds(
    Balance,
    readability=st.sampled_from([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1.0]),
    minimum=st.sampled_from([0.0, 0.02, 0.2, 0.25, 1.0, 2.0]),
    repeatability=st.sampled_from([None, 0.001, 0.01]),
)


class TestAddingUp:
    @settings(deadline=None, max_examples=300)
    @given(compositions, balances, st.floats(2, 1000))
    def test_any_batch_adds_up_exactly(self, composition: Composition, balance: Balance, grams: float) -> None:
        made_batch = batch(composition, grams, balance)
        size = Decimal(repr(made_batch.grams))
        assert abs(size - Decimal(repr(grams))) <= balance.division / 2
        assert size % balance.division == 0
        assert abs(decimal_sum(made_batch) - size) < Decimal("1e-9")
        floats = math.fsum(w.grams for w in made_batch.weighings)
        assert round(floats / balance.readability) * balance.readability == pytest.approx(made_batch.grams, abs=1e-9)
        # What the weighings bring into it adds up as well: straight weighings, and the portions of aliquots.
        assert math.fsum(w.content for w in made_batch.weighings) == pytest.approx(made_batch.grams, abs=1e-9)
        on_balance = [w.direct if w.aliquot is None else w.aliquot.take for w in made_batch.weighings]
        assert math.fsum(on_balance) == pytest.approx(made_batch.grams, abs=1e-9)

    @settings(deadline=None, max_examples=300)
    @given(compositions, balances, st.floats(2, 1000))
    def test_every_weighing_is_above_the_minimum_or_the_maker_is_told(
        self, composition: Composition, balance: Balance, grams: float
    ) -> None:
        made_batch = batch(composition, grams, balance)
        least = max(balance.minimum, balance.readability) - 1e-9
        for w in made_batch.weighings:
            amounts = [w.direct] if w.aliquot is None else []
            if w.aliquot is not None:
                for stage in w.aliquot.stages:
                    amounts += [stage.weigh, stage.diluent, stage.take]
                    assert stage.weigh + stage.diluent == pytest.approx(stage.mixture)
                assert w.direct == 0
                strength = math.prod(stage.weigh / stage.mixture for stage in w.aliquot.stages)
                assert w.aliquot.take * strength == pytest.approx(w.content, rel=1e-9)
            for amount in amounts:
                divisions = amount / balance.readability
                assert divisions == pytest.approx(round(divisions), abs=1e-6)
            told = any(w.ingredient.name in warning for warning in made_batch.warnings) and w.note
            assert all(amount >= least for amount in amounts) or told
            assert w.grams > 0 or told

    @given(compositions, st.floats(2, 1000))
    @example(SEVERAL_TOO_SMALL, 2.0)  # several ingredients round to nothing and are booked on one diluent
    def test_grams_are_the_shares_rounded_by_less_than_a_division(self, composition: Composition, grams: float) -> None:
        made_batch = batch(composition, grams, Balance(0.01, 0.0))
        for w in made_batch.weighings:
            assert abs(w.grams - composition.share(w.ingredient) * made_batch.grams) < 0.01 + 1e-9
            assert w.exact == pytest.approx(composition.share(w.ingredient) * made_batch.grams)
            assert w.error_share == pytest.approx(w.content / w.exact - 1)

    @settings(deadline=None)
    @given(compositions, balances, st.floats(2, 1000))
    def test_what_is_fetched_is_the_batch_and_what_is_left_over(
        self, composition: Composition, balance: Balance, grams: float
    ) -> None:
        """Nothing is lost on the way: of every ingredient there is enough, and in all no more than the aliquots leave over."""
        made_batch = batch(composition, grams, balance)
        left = math.fsum(w.aliquot.left_over for w in made_batch.weighings if w.aliquot is not None)
        assert math.fsum(made_batch.to_weigh.values()) == pytest.approx(made_batch.grams + left, abs=1e-9)
        for w in made_batch.weighings:
            assert made_batch.to_weigh[w.ingredient.id] >= w.content - 1e-9

    @settings(deadline=None)
    @given(compositions, balances, st.floats(2, 1000), st.sampled_from([0.02, 0.05, 0.2]))
    def test_what_is_shown_is_what_is_brought_where_rounding_stays_within_the_limit(
        self, composition: Composition, balance: Balance, grams: float, limit: float
    ) -> None:
        made_batch = batch(composition, grams, balance, error_limit=limit)
        carriers = {w.aliquot.diluent.id for w in made_batch.weighings if w.aliquot is not None}
        for w in made_batch.weighings:
            if w.aliquot is not None and abs(w.grams / w.exact - 1) < limit - 1e-6:
                assert w.content == pytest.approx(w.grams, abs=1e-12)
            elif w.aliquot is not None:
                assert abs(w.error_share) <= limit + 1e-9
            elif w.ingredient.id not in carriers:
                assert w.content == pytest.approx(w.grams, abs=1e-12)
        assert made_batch.worst_rounding == max(abs(w.error_share) for w in made_batch.weighings)

    def test_what_is_fetched_by_hand(self) -> None:
        """0.05 g of carmine in 100 g: 0.25 g of it with 0.75 g of talc, and 0.2 g of that; 99.8 g of talc straight."""
        made_batch = batch(Composition.of([("talc", 99.95), ("carmine", 0.05)]), 100)
        assert made_batch.to_weigh == {"talc": pytest.approx(99.8 + 0.75), "carmine": pytest.approx(0.25)}
        prices = {"talc": 0.02, "carmine": 3.0}
        assert made_batch.cost(prices) == (pytest.approx(100.55 * 0.02 + 0.25 * 3), ()), "what is left over is paid for as well"
        # Twice diluted: the second stage takes of the first mixture, not of the carmine again.
        twice = batch(Composition.of([("talc", 1), ("carmine", 2e-6)]), 500)
        first, second = twice.weighing("carmine").aliquot.stages  # type: ignore[union-attr]
        assert twice.to_weigh["carmine"] == first.weigh
        assert twice.to_weigh["talc"] == pytest.approx(twice.weighing("talc").direct + first.diluent + second.diluent)

    def test_the_order_in_a_formula_decides_nothing(self) -> None:
        """Little of everything, and little room for dilutions: the largest of the small are fitted in first, wherever they stand."""
        masses = {"lavender-oil": 39.92, "zinc-stearate": 9.9, "rice-starch": 7.63, "almond-oil": 8.88, "alcohol": 5.05}
        forward, backward = (batch(Composition.of(pairs), 0.806) for pairs in (masses.items(), reversed(masses.items())))
        assert {w.ingredient.id: w for w in forward.weighings} == {w.ingredient.id: w for w in backward.weighings}

    def test_half_a_division_goes_to_the_even_one(self) -> None:
        one = Composition.of([("talc", 1)])
        assert [batch(one, grams).grams for grams in (60.005, 60.015, Fraction(60))] == [60, 60.02, 60]  # type: ignore[arg-type]

    def test_thirds(self) -> None:
        """Three thirds of 100 g on a balance of 0.01 g: 33.34 + 33.33 + 33.33, the earlier first among equals."""
        thirds = batch(Composition.of([("talc", 1), ("kaolin", 1), ("zinc-oxide", 1)]), 100, Balance(0.01, 0.2))
        assert [w.grams for w in thirds.weighings] == [33.34, 33.33, 33.33]
        assert largest_remainder([Fraction(10, 3)] * 3) == [4, 3, 3]
        assert largest_remainder([Fraction(5, 2), Fraction(7, 2), Fraction(1)]) == [3, 3, 1]

    def test_a_balance_of_fives(self) -> None:
        made_batch = batch(tinted(), 60, Balance(0.05, 0.2))
        assert decimal_sum(made_batch) == 60
        assert all(Decimal(repr(w.grams)) % Decimal("0.05") == 0 for w in made_batch.weighings)

    def test_a_batch_between_two_divisions_is_rounded_and_said(self) -> None:
        made_batch = batch(tinted(), 60.004, Balance(0.01, 0.2))
        assert made_batch.grams == 60 and "rounded" in made_batch.warnings[0]
        assert "60.004 g" in made_batch.warnings[0] and "60.00 g" in made_batch.warnings[0]
        assert not any("rounded" in w for w in batch(tinted(), 60, Balance(0.01, 0.2)).warnings)
        limited = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60.004)
        assert "rounded" in limited.warnings[0] and "limited" in limited.warnings[1]

    @pytest.mark.parametrize("grams", [0, -1, math.nan, math.inf, True, "60", None, 0.001])
    def test_grams_that_are_none(self, grams: float) -> None:
        told = r"0\.001 g is less than the balance shows \(0\.01 g\)" if grams == 0.001 else f"finite .* above 0, not {grams!r}"
        with pytest.raises(BadValue, match=told):
            batch(tinted(), grams)

    @pytest.mark.parametrize("limit", [0, 1, -0.05, 5, math.nan, "0.05", None, True])
    def test_an_error_limit_that_is_none(self, limit: float) -> None:
        with pytest.raises(BadValue, match=f"error_limit is a share .* not {limit!r}"):
            batch(tinted(), 60, error_limit=limit)

    def test_a_pressed_formula_can_be_given_itself(self) -> None:
        pressed = press(tinted())
        assert batch(pressed, 60) == batch(pressed.composition, 60)


class TestAliquots:
    def test_small_amounts_are_diluted_in_the_formula_itself(self) -> None:
        """60 g at 0.1 %: 0.06 g of carmine, too little for a balance that is trusted from 0.2 g."""
        made_batch = batch(tinted(), 60, Balance(0.01, 0.2))
        carmine = made_batch.weighing("carmine")
        assert isinstance(carmine.aliquot, Aliquot)
        assert carmine.grams == pytest.approx(0.06) and carmine.aliquot.content == pytest.approx(0.06)
        assert carmine.aliquot.diluent.id == "talc" and carmine.aliquot.kind == "dilution"
        assert carmine.aliquot.error <= 0.05
        talc = made_batch.weighing("talc")
        portions = [w.aliquot.diluent_taken for w in made_batch.weighings if w.aliquot and w.aliquot.diluent.id == "talc"]
        assert talc.direct + sum(portions) == pytest.approx(talc.content)
        assert made_batch.to_weigh["carmine"] == pytest.approx(carmine.aliquot.stages[0].weigh)
        assert any("0.06 g of carmine" in step for step in carmine.aliquot.steps("carmine", made_batch.balance))

    def test_a_scent_is_diluted_in_oil_where_there_is_one(self) -> None:
        rose = batch(press(tinted()), 60, Balance(0.01, 0.2)).weighing("rose-oil")
        assert rose.aliquot is not None and rose.aliquot.kind == "stock" and rose.aliquot.diluent.id == "jojoba-oil"
        assert rose.drops is not None and rose.drops.low <= rose.drops.best <= rose.drops.high
        assert "drops" in rose.note

    def test_an_aliquot_is_finer_than_the_balance_where_rounding_would_change_too_much(self) -> None:
        """0.037 g would round to 0.04 g, 8 % more; the aliquot brings 0.037 g, and the sheet still adds up."""
        made_batch = batch(Composition.of([("talc", 99.963), ("carmine", 0.037)]), 100, Balance(0.01, 0.2))
        carmine = made_batch.weighing("carmine")
        assert carmine.grams == 0.04
        assert carmine.content == pytest.approx(0.037) and carmine.error_share == pytest.approx(0, abs=1e-9)
        assert made_batch.weighing("talc").content == pytest.approx(99.963)
        assert decimal_sum(made_batch) == 100

    def test_what_rounds_to_nothing_is_not_shown_as_nothing(self) -> None:
        made_batch = batch(Composition.of([("talc", 99.997), ("carmine", 0.003)]), 100, Balance(0.01, 0.2))
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None and carmine.grams == pytest.approx(0.003)
        assert decimal_sum(made_batch) == 100

    def test_very_small_amounts_take_several_dilutions(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("carmine", 2e-6)]), 500, Balance(0.01, 0.2))
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None and len(carmine.aliquot.stages) > 1
        assert carmine.content == pytest.approx(0.001, rel=0.05)

    def test_without_room_for_an_aliquot_the_maker_is_told(self) -> None:
        made_batch = batch(Composition.of([("talc", 9), ("carmine", 1)]), 0.3, Balance(0.01, 0.2))
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is None and carmine.grams == 0.03
        assert "make at least 2 g" in carmine.note
        assert any("carmine" in warning for warning in made_batch.warnings)

    def test_what_carries_a_scent_and_what_carries_nothing(self) -> None:
        """Oil or spirit before powder before water; a cream carries nothing; crystals and what is of no known state are powders."""
        water = made("water", "water", "liquid", "solvent")
        cream = made("cream", "preparation", "semisolid", "bulk")
        crystals, unknown = made("alum", "chemical", "solid", "astringent"), Ingredient("dust", "dust")
        butter = made("hard-oil", "fixed-oil", "solid", "emollient")

        def carrier(scent: str, *others: tuple[Ingredient | str, float]) -> str | None:
            aliquot = batch(Composition.of([(scent, 0.1), *others]), 100).weighing(scent).aliquot
            return None if aliquot is None else aliquot.diluent.id

        assert carrier("rose-oil", (water, 80), ("talc", 10), ("alcohol", 9.9)) == "alcohol"
        assert carrier("rose-oil", (water, 90), ("talc", 9.9)) == "talc"
        assert carrier("rose-oil", (cream, 90), (water, 9.9)) == "water"
        assert carrier("rose-oil", (cream, 99.9)) is None
        assert carrier("rose-oil", (butter, 90), ("almond-oil", 9.9)) == "almond-oil", "a hard oil is stirred into nothing"
        for solid in (crystals, unknown):
            assert carrier("carmine", (solid, 50), (water, 49.9)) == solid.id

    def test_an_oil_carries_no_more_than_leaves_it_weighable(self) -> None:
        """Of 0.45 g of oil 0.2 g stay to be weighed: two scents of 0.1 g take 0.1 g each in their portions, a third goes elsewhere."""
        scents = ("rose-oil", "lavender-oil", "alcohol")
        made_batch = batch(Composition.of([("talc", 99.25), ("jojoba-oil", 0.45), *((key, 0.1) for key in scents)]), 100)
        aliquots = [made_batch.weighing(key).aliquot for key in scents]
        assert [a and (a.diluent.id, a.take) for a in aliquots] == [("jojoba-oil", 0.2), ("jojoba-oil", 0.2), ("talc", 0.2)]
        assert made_batch.weighing("jojoba-oil").direct == pytest.approx(0.25) and not made_batch.warnings

    def test_the_largest_carries_though_its_figure_was_rounded_down(self) -> None:
        """60.3, 30.7 and 1 division: 60, 31 and 1. The one that is too small is shown as 1, which takes nothing from another."""
        start = Composition.of([("talc", 60.3), ("kaolin", 30.7), ("carmine", 1)])
        made_batch = batch(start, 0.92, Balance(0.01, 0.02), error_limit=0.9)
        aliquot = made_batch.weighing("carmine").aliquot
        assert (
            [w.grams for w in made_batch.weighings] == [0.6, 0.31, 0.01] and aliquot is not None and aliquot.diluent.id == "talc"
        )

    def test_what_is_not_weighed_at_all_is_off_by_nothing(self) -> None:
        none = batch(Composition.of([("talc", 999), ("carmine", 1)]), 0.3, Balance(0.1, 0.2)).weighing("carmine")
        assert (none.grams, none.direct, none.balance_error, none.aliquot) == (0, 0, 0, None)

    def test_a_coarse_aliquot_is_told(self) -> None:
        """0.1 g in all leaves too little talc for a portion that is weighed within a twentieth."""
        made_batch = batch(Composition.of([("talc", 9), ("carmine", 1)]), 0.1, Balance(0.01, 0.02))
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None and carmine.aliquot.error > made_batch.error_limit
        assert "above the limit of 5 %" in carmine.note and "carmine" in made_batch.warnings[0]

    def test_what_the_balance_may_be_off(self) -> None:
        """Half a division of 0.01 g in what is put on the balance; for an aliquot all its weighings together."""
        made_batch = batch(tinted(), 60)
        for w in made_batch.weighings:
            if w.aliquot is not None:
                assert w.balance_error == w.aliquot.error > 0
            else:
                assert w.balance_error == pytest.approx(0.005 / w.direct)
        assert made_batch.weighing("talc").balance_error < made_batch.weighing("talc").direct
        assert any(w.aliquot is not None for w in made_batch.weighings)

    def test_what_is_said_where_there_is_no_aliquot(self) -> None:
        """Nothing else to dilute in: both are too small for it, and the maker is told which amount would do."""
        half = batch(Composition.of([("talc", 1), ("kaolin", 1)]), 0.2, Balance(0.01, 0.2))
        note = "is 0.10 g, below the balance's minimum, and no aliquot in this batch gives it; make at least 0.4 g or use a finer balance"
        assert [w.note for w in half.weighings] == [note, note] and half.warnings == (f"talc {note}", f"kaolin {note}")
        none = batch(Composition.of([("talc", 999), ("carmine", 1)]), 0.3, Balance(0.1, 0.2))
        assert (
            none.weighing("carmine").note.startswith("rounds to nothing, and no aliquot") and none.weighing("carmine").grams == 0
        )
        one = batch(Composition.of([("talc", 4), ("carmine", 1)]), 0.05, Balance(0.01, 0.2))
        assert one.weighing("carmine").note.startswith("is 0.01 g, below")

    def test_which_ingredient_carries_a_small_one(self) -> None:
        """For a scent the largest oil or spirit, for a colour the largest powder; never what is itself hardly there."""
        parts = [("kaolin", 30), ("talc", 60), ("jojoba-oil", 2), ("almond-oil", 3), ("rose-oil", 0.05), ("carmine", 0.05)]
        made_batch = batch(Composition.of(parts), 100)
        rose, carmine = made_batch.weighing("rose-oil").aliquot, made_batch.weighing("carmine").aliquot
        assert rose is not None and rose.diluent.id == "almond-oil" and rose.kind == "stock"
        assert carmine is not None and carmine.diluent.id == "talc" and carmine.kind == "dilution"
        # Twice the least is just enough for a diluent, less is not: then the scent goes into the powder.
        for oil, diluent in ((0.40, "jojoba-oil"), (0.39, "talc")):
            masses = [("talc", 100 - oil - 0.1), ("jojoba-oil", oil), ("rose-oil", 0.1)]
            found = batch(Composition.of(masses), 100, error_limit=0.5).weighing("rose-oil").aliquot
            assert found is not None and found.diluent.id == diluent, oil
        dry = batch(Composition.of([("carmine", 0.05), ("almond-oil", 60), ("kaolin", 39.95)]), 100).weighing("carmine").aliquot
        assert dry is not None and dry.diluent.id == "kaolin", "a powder goes into a powder, though there is more oil"

    def test_what_is_just_at_the_minimum_is_weighed_straight(self) -> None:
        made_batch = batch(Composition.of([("talc", 99.8), ("carmine", 0.2)]), 100)
        assert made_batch.weighing("carmine").aliquot is None and made_batch.weighing("carmine").direct == 0.2
        assert batch(Composition.of([("talc", 99.81), ("carmine", 0.19)]), 100).weighing("carmine").aliquot is not None

    def test_what_a_coarse_aliquot_says(self) -> None:
        made_batch = batch(Composition.of([("talc", 9), ("carmine", 1)]), 0.1, Balance(0.01, 0.02))
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None
        words = f"the aliquot may be off by {100 * carmine.aliquot.error:.0f} %, above the limit of 5 %"
        assert carmine.note == words and made_batch.warnings[0] == f"carmine: {words}; make at least 0.2 g or use a finer balance"

    @pytest.mark.parametrize(
        ("exact", "limit", "content"),
        [
            (Fraction(17, 10), 0.05, Fraction(17, 10)), (Fraction(103, 100), 0.05, 1), (Fraction(12, 10), 0.05, Fraction(12, 10)),
            (Fraction(1234, 1000), 0.05, Fraction(12, 10)), (Fraction(1234, 1000), 0.001, Fraction(123, 100) + Fraction(4, 1000)),
            (Fraction(123, 100000), 0.05, Fraction(12, 10000)), (Fraction(1, 10**9), 0.05, 0), (Fraction(20), 0.05, 20), (Fraction(105, 100), 0.05, 1),
        ],
    )  # fmt: skip
    def test_the_roundest_amount_within_the_limit(self, exact: Fraction, limit: float, content: Fraction) -> None:
        assert content_within(exact, limit) == content

    @given(
        st.integers(1, 40_000).map(lambda n: Fraction(n, 1000)),
        st.integers(1, 100), st.floats(0.5, 3), st.floats(0.02, 0.2), st.integers(100, 100000),
    )  # fmt: skip
    def test_plans_keep_their_promises(self, content: Fraction, least: int, uncertainty: float, limit: float, room: int) -> None:
        plan = plan_aliquot(content, least, uncertainty, limit, room)
        if plan is None:
            return
        assert plan.error <= limit + 1e-9
        assert plan.weigh >= least and plan.take >= least
        assert Fraction(plan.take, math.prod(plan.ratios)) == content
        assert plan.take <= plan.ratios[-1] * plan.weigh
        assert plan.take - content <= room
        # The promised error is the worst case: push every weighing by its uncertainty, all the unlucky way.
        amount = 1.0
        for ratio in plan.ratios:
            high, other = plan.weigh + uncertainty, (ratio - 1) * plan.weigh - uncertainty
            amount *= high / (high + other)
        worst = amount * (plan.take + uncertainty) / float(content) - 1
        assert worst <= plan.error * (1 + 2 * limit) ** len(plan.ratios) + 1e-9


class TestStock:
    def test_the_error_of_a_stock_is_that_of_its_weighings_the_unlucky_way(self) -> None:
        """Half a division of 0.01 g in the scent, in the spirit and in the portion, together within a twentieth."""
        stock = scent_stock(batch(Composition.of([("talc", 99.9), ("rose-oil", 0.1)]), 60), "rose-oil", "alcohol")
        (stage,) = stock.stages
        assert stage.take * stage.weigh / stage.mixture == pytest.approx(0.06) == stock.content
        worst = 0.005 / stage.take + 0.005 / stage.weigh * (1 + stage.weigh / stage.mixture)
        assert stock.error == pytest.approx(worst) and 0.01 < stock.error <= 0.05

    def test_what_cannot_be_a_stock(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("rose-oil", 1e-12)]), 60)
        with pytest.raises(BadValue, match="no stock of rose oil fits"):
            scent_stock(made_batch, "rose-oil", "alcohol")
        poison = made("poison-spirit", "spirit", "liquid", "solvent", cautions=CUPBOARD["lead-carbonate"].cautions)
        with pytest.raises(Forbidden, match=r"^poison spirit cannot be a solvent\. .*poison") as refused:
            scent_stock(made_batch, "rose-oil", poison)
        assert refused.value.ingredients == ("poison-spirit",)


class TestRefusal:
    def test_lead_is_refused_with_the_reason_and_what_stands_in(self) -> None:
        with pytest.raises(Forbidden, match=r"lead carbonate.*poison.*zinc and titanium whites") as refused:
            batch(Composition.of([("talc", 3), ("lead-carbonate", 1)]), 60, Balance(readability=0.01, minimum=0.2))
        assert refused.value.ingredients == ("lead-carbonate",)

    def test_also_inside_a_preparation_and_in_traces(self) -> None:
        with pytest.raises(Forbidden, match=r"bloom of youth.*holds lead carbonate") as refused:
            batch(Composition.of([("talc", 1e6), ("bloom-of-youth", 1)]), 60)
        assert refused.value.ingredients == ("bloom-of-youth", "lead-carbonate")

    def test_every_offender_is_named(self) -> None:
        other = Ingredient("calomel", "calomel", cautions=CUPBOARD["lead-carbonate"].cautions)
        with pytest.raises(Forbidden) as refused:
            batch(Composition.of([("lead-carbonate", 1), (other, 1)]), 60)
        assert set(refused.value.ingredients) == {"lead-carbonate", "calomel"}

    def test_pressing_does_not_launder(self) -> None:
        with pytest.raises(Forbidden):
            batch(press(Composition.of([("talc", 3), ("lead-carbonate", 1)])), 60)

    def test_the_warning_names_share_limit_form_and_law(self) -> None:
        anyhow = Caution("restricted", "Not much.", "test", "Annex X", limit=0.1)
        mouth = Caution("restricted", "Not for lips.", "test", form="oral", limit=0.2)
        earth = made("new-earth", "mineral", "powder", "bulk", cautions=(anyhow, mouth))
        warnings = batch(Composition.of([(earth, 1), ("kaolin", 1)]), 60).warnings
        assert warnings == (
            "new earth makes 50 % and is limited to 10 %: Not much. Annex X",
            "new earth makes 50 % and is limited to 20 % (oral): Not for lips.",
        )

    def test_above_a_legal_limit_is_a_warning(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60)
        assert any("50 %" in w and "25 %" in w for w in made_batch.warnings)


class TestBalance:
    def test_minimum_weight_by_usp_41(self) -> None:
        """2000 s, s not below 0.41 d: USP <41>."""
        assert Balance(0.0001, 0.0, 0.00015).minimum_weight_usp41() == pytest.approx(0.3)
        assert Balance(0.01, 0.2).minimum_weight_usp41() == pytest.approx(8.2)
        assert Balance(0.01, 0.2, 0.001).minimum_weight_usp41() == pytest.approx(8.2)

    @pytest.mark.parametrize(
        "wrong",
        [{"readability": 0}, {"readability": -0.01}, {"readability": math.nan}, {"minimum": -1}, {"minimum": math.inf},
         {"repeatability": -1}, {"readability": "0.01"}],
    )  # fmt: skip
    def test_a_balance_that_cannot_be(self, wrong: dict[str, float]) -> None:
        with pytest.raises(BadValue, match=next(iter(wrong))):
            Balance(**wrong)

    def test_digits(self) -> None:
        assert [Balance(d, 1).decimals for d in (1.0, 0.5, 0.1, 0.05, 0.01, 0.001)] == [0, 1, 1, 2, 2, 3]
        assert Balance(0.01, 0.2).text(3.1) == "3.10 g"
        assert Balance(0.01, 0.2).error(0.5) == pytest.approx(0.01)
        assert Balance(0.01, 0.2, repeatability=0.02).error(0.5) == pytest.approx(0.08)
        assert Balance(0.01, 0.205).least_divisions == 21
        assert "8.2" in Balance().to_text()

    @settings(deadline=None)
    @given(compositions, st.floats(0.01, 0.2), st.floats(1, 3))
    def test_from_the_smallest_batch_on_every_error_is_within_the_limit(
        self, composition: Composition, error: float, more: float
    ) -> None:
        balance = Balance(0.01, 0.2)
        grams = smallest_batch(composition, balance, error) * more
        made_batch = batch(composition, grams, balance)
        assert all(w.aliquot is None and w.direct >= 0.2 - 1e-9 for w in made_batch.weighings)
        assert made_batch.worst_rounding <= error

    def test_smallest_batch_by_hand(self) -> None:
        """1 % carmine at 0.2 g least: 20 divisions (and one to spare) are 1 % of 21 g."""
        assert smallest_batch(Composition.of([("talc", 99), ("carmine", 1)]), Balance(0.01, 0.2)) == 21
        assert smallest_batch(Composition.of([("talc", 1), ("carmine", 1)]), Balance(0.01, 0.2)) == 0.42
        assert smallest_batch(Composition.of([("talc", 1.5), ("carmine", 1)]), Balance(0.01, 0.2)) == 0.53, "52.5, and so 53"
        with pytest.raises(BadValue):
            smallest_batch(tinted(), error=0)

    def test_smallest_batch_where_rounding_decides(self) -> None:
        """Within 1 %, the scarcest needs 100 divisions (and one to spare): 1.01 g are 1 % of 101 g."""
        start = Composition.of([("talc", 99), ("carmine", 1)])
        assert smallest_batch(start, Balance(0.01, 0.2), 0.01) == pytest.approx(101, abs=0.02)
        assert smallest_batch(start) == smallest_batch(start, Balance()) != smallest_batch(start, Balance(0.1, 0.2))
        pressed = press(start, oil=None)
        assert smallest_batch(pressed) == smallest_batch(pressed.composition)
        for error in (0, 1, 1.5, -0.1, math.nan, "0.05", None):
            with pytest.raises(BadValue, match=f"0.05 is 5 %.* not {error!r}"):
                smallest_batch(start, error=error)  # type: ignore[arg-type]


class TestScaling:
    def test_what_is_not_said_of_pans(self) -> None:
        """One pan, 4 mm deep, a tenth more, rounded up to what the balance shows; everything else is passed on."""
        pressed = press(tinted())
        area = math.pi / 4 * 2.6**2
        plain = batch_for_pans(pressed, 26, density_g_cm3=1.0)
        assert plain.grams == math.ceil(area * 0.4 * 1.1 * 100) / 100 and plain.pans == 1
        coarse = batch_for_pans(pressed, 26, density_g_cm3=1.0, balance=Balance(0.5, 0.5), error_limit=0.2, currency="EUR")
        assert coarse.grams == 2.5 and coarse.balance == Balance(0.5, 0.5)
        assert (coarse.error_limit, coarse.currency) == (0.2, "EUR")
        assert batch_for_pans(pressed, 26, density_g_cm3=1.0, allowance=1).grams == pytest.approx(2 * area * 0.4, abs=0.01)
        for allowance in (-0.01, 1.01, math.nan, "0.1"):
            with pytest.raises(BadValue, match=f"allowance .* not {allowance!r}"):
                batch_for_pans(pressed, 26, allowance=allowance)  # type: ignore[arg-type]
        # 1 cm2 × 0.4 cm × 1.0025 g/cm3 × 1.1 = 0.4411 g: rounded up, so that the pan is full.
        sizes: dict[str, float] = {"width_mm": 10, "length_mm": 10}
        assert batch_for_pans(pressed, **sizes, density_g_cm3=1.0025).grams == 0.45
        assert batch_for_pans(pressed, **sizes, density_g_cm3=1.0).grams == 0.44, "and not where it is 0.44 but for a float"
        spread = batch_for_pans(pressed, **sizes, density_g_cm3=Spread(0.5, 1.0, 1.5))
        assert spread.grams == 0.44 and "0.4 (0.2–0.6) g" in spread.warnings[-1], "the best fill, with its spread told"

    def test_the_scarcest_is_found_whatever_its_name(self) -> None:
        """30 g of kaolin at 25 % allow 120 g, 6 g of talc at 60 % only 10 g."""
        start = Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 15)], "plain")
        scales = Balance(0.1, 0.5)
        made_batch = batch_from_scarcest(
            start, {"kaolin": 30, "talc": 6}, scales, error_limit=0.1, number="9", prices={"talc": 0.1}, currency="EUR", pans=2
        )
        assert made_batch.grams == 10 and made_batch.warnings[0] == "talc is the scarcest: 6 g at hand"
        assert (made_batch.balance, made_batch.error_limit, made_batch.number) == (scales, 0.1, "9")
        assert (made_batch.prices, made_batch.currency, made_batch.pans) == ((("talc", 0.1),), "EUR", 2)
        assert (
            batch_from_scarcest(start, {"talc": 0.6}, Balance(0.01, 0.0)).grams == pytest.approx(1.0)
            and batch_from_scarcest(start, {"talc": 6}).pans == 0
        )
        assert batch_from_scarcest(start, {"talc": 6.04}, Balance(0.1, 0.1)).grams == 10, "rounded down to what is there"
        pressed = press(start, oil=None)
        assert (
            batch_from_scarcest(pressed, {"talc": 5.7}).grams == pytest.approx(10)
            and batch_from_scarcest(pressed, {"talc": 5.7}).pressed
        )
        with pytest.raises(BadValue, match="talc is too little for a batch on a balance of 1 g"):
            batch_from_scarcest(start, {"talc": 0.7}, Balance(1.0, 1.0))

    def test_stepping_down_to_what_aliquots_leave_over(self) -> None:
        """0.05 % of colour needs 0.2 g on the balance, straight or for a dilution: less at hand is too little for any batch."""
        start = Composition.of([("talc", 99.95), ("carmine", 0.05)])
        enough = batch_from_scarcest(start, {"carmine": 0.2})
        assert enough.grams == 400 and enough.to_weigh["carmine"] == pytest.approx(0.2)
        with pytest.raises(BadValue, match=r"0\.19 g of carmine is too little for a batch on a balance of 0\.01 g"):
            batch_from_scarcest(start, {"carmine": 0.19})
        # 30 g of talc at 97 % would be 30.92 g, but the dilution of the colour leaves some of it over.
        some = batch_from_scarcest(Composition.of([("talc", 97), ("zinc-oxide", 2.9), ("carmine", 0.1)]), {"talc": 30})
        assert 20 < some.grams < 30 / 0.97 and 29.5 < some.to_weigh["talc"] <= 30
        larger = batch(some.composition, some.grams + 0.01)
        assert larger.to_weigh["talc"] > 30, "the largest batch that fits"

    def test_for_rectangular_pans_with_their_spread(self) -> None:
        pressed = press(tinted())
        made_batch = batch_for_pans(
            pressed, width_mm=20, length_mm=30, depth_mm=4, count=3, below_rim_mm=0.5, density_g_cm3=1.2, allowance=0
        )
        assert made_batch.grams == pytest.approx(3 * 2 * 3 * 0.35 * 1.2) and made_batch.pans == 3
        assert not any("looser or denser" in w for w in made_batch.warnings)
        by_hand = batch_for_pans(pressed, 44, 4, 2, press="thumb")
        by_press = batch_for_pans(pressed, 44, 4, 2, press="arbor", number="9", prices={"talc": 0.1})
        assert by_hand.grams < by_press.grams and "The 2 pans take about" in by_hand.warnings[-1]
        assert by_press.number == "9" and "a pan (2 pans)" in by_press.price_text()
        assert batch_for_pans(pressed, 44, 4, 2, pressure=10).grams > batch_for_pans(pressed, 44, 4, 2, pressure=2).grams

    def test_for_pans(self) -> None:
        pressed = press(tinted())
        made_batch = batch_for_pans(pressed, 44, 4, 3, allowance=0.1, density_g_cm3=1.2)
        volume = math.pi / 4 * 4.4**2 * 0.4 * 3
        assert volume * 1.2 * 1.1 <= made_batch.grams < volume * 1.2 * 1.1 + 0.01
        with pytest.raises(BadValue):
            batch_for_pans(pressed, 44, 4, 3, allowance=-1)

    @settings(deadline=None, max_examples=50)
    @given(compositions, st.data())
    def test_the_scarcest_is_not_exceeded(self, composition: Composition, data: st.DataObject) -> None:
        keys = [i.id for i in composition.ingredients]
        have = data.draw(st.dictionaries(st.sampled_from(keys), st.floats(1, 50), min_size=1))
        try:
            made_batch = batch_from_scarcest(composition, have)
        except BadValue:
            return  # too little for any batch
        for key, grams in have.items():
            assert made_batch.to_weigh[key] <= grams + 1e-9
        more = float(Decimal(repr(made_batch.grams)) + Decimal("0.01"))
        if more < min(grams / composition.share(key) for key, grams in have.items()):
            larger = batch(composition, more)
            lost = any(w.content == 0 for w in larger.weighings)
            assert lost or any(larger.to_weigh[key] > grams for key, grams in have.items()), "one division more does not fit"

    def test_a_long_way_down_to_what_fits(self) -> None:
        """0.1 % of colour: 0.2 g of it with 3.8 g of talc, and 0.34 g of that. So 20 g of talc are enough for 20 - 3.8 + 0.34 g."""
        start = Composition.of([("talc", 99.9), ("carmine", 0.1)])
        made_batch = batch_from_scarcest(start, {"talc": 20})
        assert made_batch.grams == 16.54 and made_batch.to_weigh["talc"] == pytest.approx(20)
        (stage,) = made_batch.weighing("carmine").aliquot.stages  # type: ignore[union-attr]
        assert (stage.weigh, stage.diluent, stage.take) == (0.2, 3.8, 0.34)

    def test_no_batch_without_one_of_its_ingredients(self) -> None:
        """8 g of talc do not fill any dilution of 0.1 % of colour; 0.3 g in which it rounds to nothing are no batch of it."""
        start = Composition.of([("talc", 99.9), ("carmine", 0.1)])
        with pytest.raises(BadValue, match="8 g of talc is too little"):
            batch_from_scarcest(start, {"talc": 8})
        # Where it is lost at the full size already, the maker is told so.
        tiny = batch_from_scarcest(start, {"talc": 0.3})
        assert tiny.grams == 0.3 and any("carmine rounds to nothing" in w for w in tiny.warnings)

    def test_the_scarcest_by_hand(self) -> None:
        """30 g of talc at 60 % allow 50 g; 10 g of kaolin at 25 % only 40 g."""
        start = Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 15)])
        made_batch = batch_from_scarcest(start, {"talc": 30, "kaolin": 10})
        assert made_batch.grams == 40 and "kaolin is the scarcest" in made_batch.warnings[0]
        with pytest.raises(BadValue, match="none of carmine, orris-root is in .* holds talc, kaolin, zinc-oxide"):
            batch_from_scarcest(start, {"carmine": 3, "orris-root": 5})
        with pytest.raises(BadValue, match="none of nothing"):
            batch_from_scarcest(start, {})
        for amount in (0, -1, math.nan):
            with pytest.raises(BadValue, match=f"grams of talc .* not {amount!r}"):
                batch_from_scarcest(start, {"talc": amount})
        # 9 g of zinc oxide at 15 % would allow 60 g: more of it would not help, though there is less of it than of talc.
        talc = batch_from_scarcest(start, {"zinc-oxide": 9, "talc": 30})
        assert talc.grams == 50 and talc.warnings[0] == "talc is the scarcest: 30 g at hand"
        # 2.3 g at 1 % are 230 g, and 229.99999999999997 g to a computer.
        assert batch_from_scarcest(Composition.of([("talc", 1), ("kaolin", 99)]), {"talc": 2.3}).grams == 230
        one = batch_from_scarcest(Composition.of([("talc", 1)]), {"talc": 0.01}, Balance(0.01, 0.0))
        assert one.grams == 0.01, "one division is a batch"

    def test_cost(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("kaolin", 1)]), 100)
        assert made_batch.cost({"talc": 0.02}) == (pytest.approx(1.0), ("kaolin",))
        for wrong in (-1, math.nan, "2", True):
            with pytest.raises(BadValue, match=f"price of talc .* not {wrong!r}"):
                made_batch.cost({"talc": wrong})  # type: ignore[dict-item]
            with pytest.raises(BadValue, match="price of talc"):
                batch(tinted(), 60, prices={"talc": wrong})  # type: ignore[dict-item]

    def test_price_of_a_batch_and_of_a_pan(self) -> None:
        assert batch(tinted(), 60, prices={"talc": 0}).price_text().startswith("Price: 0.00; without")
        half = Composition.of([("talc", 1), ("kaolin", 1)])
        assert batch(half, 100).price_text() == ""
        assert batch(half, 100, prices={"chalk": 1}).price_text() == ""
        assert batch(half, 100, prices={"talc": 0.02}).price_text() == "Price: 1.00; without kaolin, for which no price is given"
        three = Composition.of([("talc", 2), ("kaolin", 1), ("carmine", 1)])
        assert "without kaolin, carmine, for which" in batch(three, 100, prices={"talc": 1}).price_text()
        whole = batch(half, 100, prices={"talc": 0.02, "kaolin": 0.03}, currency="EUR", pans=5)
        assert whole.price_text() == "Price: 2.50 EUR, 0.50 EUR a pan (5 pans)"
        for pans in (-1, 1.5, True):
            with pytest.raises(BadValue, match=f"whole number of pans.* not {pans!r}"):
                batch(half, 100, pans=pans)  # type: ignore[arg-type]


class TestSheet:
    def test_price_and_number_are_on_it(self) -> None:
        made_batch = batch(press(tinted()), 60, number="7b", prices={"talc": 0.02}, currency="EUR", pans=4)
        for text in (made_batch.to_html(), made_batch.to_markdown(), made_batch.bench_sheet().to_text()):
            assert "7b" in text and "EUR a pan (4 pans)" in text

    def test_cautions_stand_once_for_each_ingredient_the_gravest_first(self) -> None:
        lines = batch(tinted(), 60).bench_sheet().caution_lines()
        assert lines[0] == (
            "zinc oxide",
            "(restricted) Limited in the finished product. Ask a safety assessor. (care) Fine dust: wear a mask.",
        )
        assert len({who for who, _ in lines}) == len(lines)
        closed = Caution("restricted", "Not for lips. Rules differ and change: ask a safety assessor.", "test")
        strange = made("strange-earth", "mineral", "powder", "bulk", cautions=(closed,))
        sheet = batch(Composition.of([(strange, 1)]), 60).bench_sheet()
        assert sheet.caution_lines() == (("strange earth", "(restricted) Not for lips."),)
        assert "Rules differ and change" in sheet.to_markdown() and "safety assessor" in sheet.to_html()

    def test_wet_pressing_is_a_step_and_no_weighing(self) -> None:
        made_batch = batch(press(tinted(), wetting="alcohol", wetting_share=0.2), 60)
        powder = 60 * 0.92  # 5 % binder and 3 % oil are no powder
        assert made_batch.wetting == ((CUPBOARD["alcohol"], pytest.approx(0.2 * powder)),)
        sheet = made_batch.bench_sheet()
        stages = [s.stage for s in sheet.steps]
        assert (
            sheet.steps[stages.index("press")].step
            == "Wet with 11.04 g of alcohol, a little at a time, until the powder just clings"
        )
        assert all(row.ingredient.id != "alcohol" for row in sheet.rows)
        assert "Wet with" in made_batch.to_markdown() and "Wet with" not in batch(press(tinted()), 60).to_markdown()
        assert Batch.from_json(made_batch.to_json()) == made_batch

    def test_what_the_powder_held_of_the_binder_is_still_pressed(self) -> None:
        held = Composition.of([("talc", 9), ("magnesium-stearate", 1)], notes={"magnesium-stearate": "in the book"})
        made_batch = batch(press(held, oil=None), 60)
        assert made_batch.pressed and any(s.stage == "press" for s in made_batch.bench_sheet().steps)
        assert not batch(press(held, None, oil=None), 60).pressed
        assert not any(s.stage == "press" for s in made_batch.bench_sheet(press=False).steps)

    def test_small_into_large(self) -> None:
        """1 g into 20 g: as much again each time, and the last pinch with the portion before it."""
        steps = batch(Composition.of([("talc", 20.1), ("zinc-oxide", 1.34)]), 21.44).bench_sheet().mixing
        assert steps == tuple(
            f"Add {portion} g of talc to what is in the mortar and blend: {mixed} g"
            for portion, mixed in (("1.34", "2.68"), ("2.68", "5.36"), ("5.36", "10.72"), ("10.72", "21.44"))
        )
        pinch = batch(Composition.of([("talc", 20.2), ("zinc-oxide", 1.34)]), 21.54).bench_sheet().mixing
        assert pinch[-1] == "Add 10.82 g of talc to what is in the mortar and blend: 21.54 g"
        assert batch(Composition.of([("talc", 10), ("zinc-oxide", 5)]), 15).bench_sheet().mixing == ()
        assert batch(Composition.of([("talc", 10)]), 15).bench_sheet().mixing == ()

    def test_drops_are_told_where_they_can_be_counted(self) -> None:
        made_batch = batch(Composition.of([("talc", 98.8), ("rose-oil", 0.2), ("lavender-oil", 0.01), ("jojoba-oil", 1)]), 60)
        rose, lavender, jojoba = (made_batch.weighing(k) for k in ("rose-oil", "lavender-oil", "jojoba-oil"))
        assert rose.aliquot is not None and rose.note.startswith("without the aliquot: about ")
        assert "no drops but the aliquot" in lavender.note
        assert jojoba.aliquot is None and jojoba.direct < jojoba.grams == 0.6, "a part of the oil carries the scent"
        count = round(drops_of("jojoba-oil", jojoba.direct).best)
        assert jojoba.note.startswith(f"{jojoba.direct:.2f} g is about {count} (") and jojoba.note.endswith(" drops")

    def test_html_and_markdown(self) -> None:
        made_batch = batch(press(tinted().replace("kaolin", {"kaolin": 1}, reason="<script>")), 60, number="7 <b>")
        page, text = made_batch.to_html(), made_batch.to_markdown()
        assert "<script>" not in page and "<b>" not in page and "&lt;b&gt;" in page
        assert "<script>" not in text
        for word in ("carmine", "Aliquot", "Notes", "Cautions", "dust mask", "Patch test", "60.00 g"):
            assert word in page and word in text
        assert "☐" in page and text.count("- [ ]") >= len(made_batch.weighings)
        assert made_batch.weighing("talc").direct > 0
        assert made_batch.balance.text(made_batch.weighing("talc").direct) in page

    def test_every_amount_to_put_on_the_balance_stands_on_it(self) -> None:
        made_batch = batch(press(tinted()), 60)
        sheet = made_batch.bench_sheet()
        amounts = [Decimal(row.amount.removesuffix(" g")) for row in sheet.rows]
        assert sum(amounts) == 60
        assert [row.order for row in sheet.rows] == sorted(row.order for row in sheet.rows)
        assert sheet.rows[-1].ingredient.id == "rose-oil"

    def test_pressing_steps_only_where_it_is_pressed(self) -> None:
        assert any(s.stage == "press" for s in batch(press(tinted()), 60).bench_sheet().steps)
        assert not any(s.stage == "press" for s in batch(tinted(), 60).bench_sheet().steps)

    def test_when_things_come_in(self) -> None:
        order = [mixing_stage(CUPBOARD[k])[0] for k in ("carmine", "zinc-oxide", "magnesium-carbonate", "zinc-stearate", "talc")]
        assert order == [1, 2, 3, 4, 5]
        assert mixing_stage(CUPBOARD["jojoba-oil"])[0] == 7 and mixing_stage(CUPBOARD["rose-oil"])[0] == 8
        assert mixing_stage(CUPBOARD["orris-root"])[0] == 5  # a scent, but a powder

    def test_drops_by_hand(self) -> None:
        """Alcohol has 30 drops to the gram, 25 to 60, and rose oil 25, 20 to 50: told below 5 g, and in the note below 1 g."""
        for grams, count, note in (
            (0.99, 30 * 0.99, "0.99 g is about 30 (25 to 59) drops"),
            (1, 30, ""),
            (4.99, 149.7, ""),
            (5, None, ""),
        ):
            spirit = batch(Composition.of([("talc", 100 - grams), ("alcohol", grams)]), 100).weighing("alcohol")
            assert spirit.note == note and (spirit.drops is None if count is None else spirit.drops.best == pytest.approx(count))
        # 0.06 g are 1.5 drops at best, which is two at the bench; 0.05 g are 1.25.
        for grams, words in (
            (0.06, "without the aliquot: about 2 (1 to 3) drops"),
            (0.05, "less than two drops"),
            (0.1, "about 2 (2 to 5)"),
        ):
            rose = batch(Composition.of([("talc", 100 - grams), ("rose-oil", grams)]), 100).weighing("rose-oil")
            assert rose.aliquot is not None and words in rose.note
        coarse = batch(Composition.of([("talc", 9), ("rose-oil", 1)]), 0.1, Balance(0.01, 0.02)).weighing("rose-oil").note
        assert "above the limit of 5 %" in coarse and "; " in coarse and "less than two drops" in coarse
        assert batch(Composition.of([("talc", 1), ("carmine", 1)]), 1).weighing("carmine").drops is None

    def test_the_table_of_a_batch(self) -> None:
        plain = batch(Composition.of([("talc", 3), ("kaolin", 1)]), 6)
        assert plain.to_text().startswith("6.00 g\n") and "4.50" in plain.to_text() and "1.50" in plain.to_text()
        named = batch(tinted(), 60, number="7b").to_text()
        assert named.startswith("invented tinted powder: 60.00 g, batch 7b\n")
        assert batch(tinted(), 60).to_text().startswith("invented tinted powder: 60.00 g\n")
        # Where one amount is shown finer than the balance, none is cut to its digits.
        fine = batch(Composition.of([("talc", 99.997), ("carmine", 0.003)]), 100)
        assert "0.003" in fine.to_text() and fine.to_frame()["grams"].tolist() == pytest.approx([99.997, 0.003])
        warned = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60).to_text()
        assert "limited to 25 %" in warned
        with pytest.raises(BadValue, match="moon-dust .* holds talc, kaolin"):
            plain.weighing("moon-dust")

    def test_a_composition_with_binders_in_it_is_pressed(self) -> None:
        for pressed in (press(tinted(), oil=None), press(tinted(), None)):
            assert batch(pressed.composition, 60).pressed
        assert not batch(tinted(), 60).pressed

    @pytest.mark.parametrize("mass", ["x", None, -1, 0, [1]])
    def test_a_file_with_a_wetting_that_is_none(self, mass: object) -> None:
        data = json.loads(batch(press(tinted(), wetting="alcohol"), 60).to_json())
        data["wetting"]["alcohol"] = mass
        with pytest.raises(BadValue, match="grams of alcohol"):
            Batch.from_json(json.dumps(data))

    def test_tables_and_json(self) -> None:
        made_batch = batch(press(tinted()), 60, Balance(0.01, 0.2, 0.005, "kitchen"), error_limit=0.04, number="7")
        assert made_batch.to_frame()["grams"].sum() == pytest.approx(60)
        assert Batch.from_json(made_batch.to_json()) == made_batch
        for broken, told in (("", "Expecting value"), ("{}", "composition"), ("[1]", "indices")):
            with pytest.raises(BadValue, match=f"not a batch that histkit wrote: .*{told}"):
                Batch.from_json(broken)
        assert made_batch.weighing(CUPBOARD["carmine"]) == made_batch.weighing("carmine")
        own = Ingredient("own-earth", "own earth ℥", state="powder")
        spirit = Ingredient("own-spirit", "own spirit", state="liquid")
        strange = batch(press(Composition.of([(own, 1)], "℥"), None, oil=None, wetting=spirit), 20)
        cupboard = {i.id: i for i in (own, spirit)}
        again = Batch.from_json(strange.to_json(), cupboard)
        assert again == strange and again.wetting[0][0].name == "own spirit" and again.pressed and "℥" in strange.to_json()
        older = json.loads(made_batch.to_json())
        for key in ("prices", "currency", "pans", "pressed", "wetting"):
            del older[key]
        opened = Batch.from_json(json.dumps(older))
        assert (opened.prices, opened.currency, opened.pans, opened.pressed, opened.wetting) == ((), "", 0, False, ())
        full = batch(press(tinted()), 60, prices={"talc": 0.1}, currency="EUR", pans=3)
        assert Batch.from_json(full.to_json()) == full
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None
        assert carmine.to_text() and carmine.aliquot.to_text() and carmine.aliquot.stages[0].to_text()
        with pytest.raises(BadValue, match="moon-dust"):
            made_batch.weighing("moon-dust")


class TestLabel:
    def test_descending_with_label_names_and_marked_as_a_draft(self) -> None:
        label = label_draft(tinted(), may_contain=["iron-oxide-red"])
        shares = [e.share for e in label.entries if e.share is not None]
        assert shares == sorted(shares, reverse=True)
        assert label.entries[0].name == "Talc"
        assert label.text().startswith("DRAFT") and "assessor" in label.text()
        assert label.text().endswith("May contain: Iron Oxide Red.")

    def test_preparations_are_taken_apart(self) -> None:
        label = label_draft(Composition.of([("rouge-base", 50), ("talc", 50)]))
        assert [(e.name, e.share) for e in label.entries] == [("Talc", pytest.approx(0.9)), ("Carmine", pytest.approx(0.1))]

    def test_allergens_above_their_threshold(self) -> None:
        """0.1 % rose oil with up to 25 % geraniol: 0.025 %, above 0.001 % and 0.01 %; a tenth of it only above the first."""
        label = label_draft(tinted())
        assert [(e.name, e.share) for e in label.allergens] == [("Geraniol", pytest.approx(0.00025))]
        weak = Composition.of([("talc", 99.99), ("rose-oil", 0.01)])
        assert [e.name for e in label_draft(weak).allergens] == ["Geraniol"]
        assert label_draft(weak, rinse_off=True).allergens == ()

    def test_an_allergen_that_is_an_ingredient_too_is_named_once(self) -> None:
        pure = Ingredient("linalool", "linalool", inci="LINALOOL", kind="aroma-chemical", state="liquid")
        label = label_draft(Composition.of([("talc", 90), ("lavender-oil", 6), (pure, 4)]))
        assert [e.name for e in label.allergens] == ["Linalool"]
        assert label.text().endswith("Ingredients: Talc, Lavender Oil, LINALOOL.")

    def test_without_a_label_name(self) -> None:
        nameless = Ingredient("mystery-earth", "mystery earth")
        label = label_draft(Composition.of([(nameless, 1)]))
        assert label.entries[0].name == "mystery earth" and "no label name" in label.entries[0].note

    def test_a_preparation_made_of_itself_is_refused(self, monkeypatch: pytest.MonkeyPatch) -> None:
        loop = made("loop", "preparation", "powder", "bulk", made_of=(("talc", 0.5), ("loop", 0.5)))
        monkeypatch.setitem(CUPBOARD, "loop", loop)
        with pytest.raises(BadValue, match="made of itself"):
            label_draft(Composition.of([("loop", 1)]))


class TestDispensing:
    @given(st.floats(0.01, 10), st.floats(0.01, 1000))
    def test_geometric_dilution_uses_all_and_never_more_than_doubles(self, small: float, large: float) -> None:
        steps = geometric_dilution(small, large)
        assert math.fsum(portion for portion, _ in steps) == pytest.approx(large)
        assert steps[-1][1] == pytest.approx(small + large)
        before = small
        for portion, mixed in steps:
            assert portion <= before * (1 + 1e-9) and mixed == pytest.approx(before + portion)
            before = mixed

    def test_geometric_dilution_by_hand(self) -> None:
        assert geometric_dilution(1, 10) == ((1, 2), (2, 4), (4, 8), (3, 11))

    @given(st.lists(st.integers(0, 100), min_size=2, max_size=6, unique=True), st.integers(1, 99))
    def test_alligation_makes_the_target(self, strengths: list[int], target: int) -> None:
        try:
            parts = alligation_alternate(strengths, target)
        except BadValue:
            assert not min(strengths) < target < max(strengths)
            return
        assert alligation_medial([(p, s) for p, s in zip(parts, strengths, strict=True)]) == pytest.approx(target)
        assert all(p == int(p) for p in parts) and math.gcd(*(int(p) for p in parts)) == 1

    @given(st.floats(0.1, 50), st.floats(1, 200))
    def test_a_solid_aliquot_holds_what_is_needed(self, need: float, least: float) -> None:
        if need > least:
            return
        a = aliquot_solid(need, least)
        assert a.content == pytest.approx(need) and a.weigh >= least * (1 - 1e-9) and a.take >= least
        assert a.weigh + a.diluent == pytest.approx(a.mixture)

    def test_what_cannot_be(self) -> None:
        for wrong in (
            lambda: least_weighable(0, 0.05), lambda: aliquot_solid(2, 120, multiple=10), lambda: aliquot_solid(2, 120, take=50),
            lambda: aliquot_liquid(60, 50, 10), lambda: trituration(1, 100), lambda: trituration(200, 100), lambda: trituration(5, 50, 1),
            lambda: alligation_medial([]), lambda: alligation_alternate([5, 10], 20), lambda: strengthen(500, 0.01, 0.04, 0.03),
            lambda: strengthen(500, 0.01, 0.04, 0.04), lambda: stock_for(100, 0.5, 0.2), lambda: dilution_makes(100, 0.02, 0.05),
            lambda: split(100, 1.5), lambda: scale([1], 0, 5), lambda: parts_to_masses([0, 0], 10), lambda: parts_to_masses([-1, 3], 10),
            lambda: geometric_dilution(0, 5), lambda: strengthen(500, 1.0, 4.0),
        ):  # fmt: skip
            with pytest.raises(BadValue):
                wrong()
