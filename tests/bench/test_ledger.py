"""Aliquots for what is too small for the balance: which ingredient carries them, and what is said where none fits."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction

import pytest
from bench_ingredients import made, tinted
from hypothesis import given
from hypothesis import strategies as st

from histkit.bench.batching import Batch, batch
from histkit.bench.ledger import content_within
from histkit.bench.pressing import press
from histkit.bench.weighing import Aliquot, Balance, plan_aliquot
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Ingredient

pytestmark = pytest.mark.usefixtures("cupboard")


def decimal_sum(made_batch: Batch) -> Decimal:
    return sum((Decimal(repr(w.grams)) for w in made_batch.weighings), Decimal(0))


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
        assert made_batch.weighing("jojoba-oil").direct == pytest.approx(0.25)
        assert [w for w in made_batch.warnings if "methyl eugenol" not in w] == []

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
