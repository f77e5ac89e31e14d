"""The balance and dilutions by hand: steps, plans, what is shown."""

from __future__ import annotations

import math
from decimal import Decimal
from fractions import Fraction
from itertools import product

import pytest
from bench_ingredients import CUPBOARD
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue
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

pytestmark = pytest.mark.usefixtures("cupboard")


class TestBalance:
    @pytest.mark.parametrize(
        ("wrong", "told"),
        [
            ({"readability": 0}, "the readability of a balance is a number of grams, above 0, not 0"),
            ({"readability": -1}, "the readability of a balance is a number of grams, above 0, not -1"),
            ({"minimum": -0.1}, "the minimum of a balance is a number of grams, 0 or more, not -0.1"),
            ({"repeatability": -1}, "the repeatability of a balance is a number of grams, 0 or more, not -1"),
            ({"repeatability": math.nan}, "the repeatability of a balance is a number of grams, 0 or more, not nan"),
        ],
    )
    def test_what_a_balance_cannot_be(self, wrong: dict[str, float], told: str) -> None:
        with pytest.raises(BadValue) as caught:
            Balance(**wrong)
        assert str(caught.value) == told

    def test_nought_is_fine_where_it_makes_sense(self) -> None:
        assert Balance(minimum=0, repeatability=0).least_divisions == 1

    def test_errors(self) -> None:
        assert Balance(0.01).error(0.5) == pytest.approx(0.01)
        assert Balance(0.01, repeatability=0.02).error(0.5) == pytest.approx(0.08)
        assert Balance(0.01).error(0) == math.inf and Balance(0.01).error(1e-9) == pytest.approx(5e6)

    def test_least_divisions_round_up(self) -> None:
        assert [Balance(0.05, m).least_divisions for m in (0, 0.05, 0.2, 0.21, 0.25)] == [1, 1, 4, 5, 5]

    def test_table(self) -> None:
        frame = Balance(0.01, 0.2, 0.004, "kitchen").to_frame()
        assert dict(zip(frame["what"], frame["grams"], strict=True)) == {
            "readability, g": 0.01, "least amount trusted, g": 0.2, "repeatability, g": 0.004, "least weight by USP <41>, g": pytest.approx(8.2),
        }  # fmt: skip
        assert Balance(0.01, 0.2, 0.004, "kitchen").to_text().startswith("kitchen") and Balance().to_text().startswith("Balance")
        assert "repeatability, g" not in set(Balance().to_frame()["what"])


class TestBalanceInUse:
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


class TestSteps:
    """What is printed for the maker, to the letter."""

    def test_one_dilution_in_a_powder(self) -> None:
        aliquot = Aliquot(CUPBOARD["talc"], (AliquotStage(0.2, 3.8, 4.0, 0.34),), 0.017, 0.04)
        assert aliquot.steps("carmine", Balance(0.01)) == (
            "Weigh 0.20 g of carmine and 3.80 g of talc. Mix by geometric dilution: 4.00 g. Then take 0.34 g of the mixture,"
            " which holds 0.017 g of carmine.",
        )
        assert aliquot.take == 0.34 and aliquot.diluent_taken == pytest.approx(0.323) and aliquot.left_over == pytest.approx(3.66)

    def test_two_dilutions_in_an_oil(self) -> None:
        stages = (AliquotStage(0.2, 1.8, 2.0, 0.2), AliquotStage(0.2, 3.8, 4.0, 0.5))
        aliquot = Aliquot(CUPBOARD["almond-oil"], stages, 0.0025, 0.05, "stock")
        assert aliquot.steps("rose oil", Balance(0.01)) == (
            "Weigh 0.20 g of rose oil and 1.80 g of almond oil. Stir: 2.00 g. Then take 0.20 g of mixture 1.",
            "Weigh 0.20 g of mixture 1 and 3.80 g of almond oil. Stir: 4.00 g. Then take 0.50 g of mixture 2, which holds 0.0025 g of rose oil.",
        )
        assert aliquot.take == 0.5 and aliquot.left_over == pytest.approx(5.3)
        frame = aliquot.to_frame()
        assert frame[["weigh", "diluent", "mixture", "take"]].values.tolist() == [[0.2, 1.8, 2.0, 0.2], [0.2, 3.8, 4.0, 0.5]]
        assert aliquot.to_text().startswith("Diluted in almond oil")

    def test_a_weighing_as_a_row(self) -> None:
        aliquot = Aliquot(CUPBOARD["talc"], (AliquotStage(0.2, 3.8, 4.0, 0.34),), 0.017, 0.04)
        row = Weighing(CUPBOARD["carmine"], 0.02, aliquot, -0.01, 0.0172, 0.017, 0.0, 0.04, None, "a note").to_frame().iloc[0]
        assert row.to_dict() == {
            "ingredient": "carmine", "grams": 0.02, "direct": None, "aliquot": "0.34 g of it in talc (holds 0.017 g)",
            "rounding": pytest.approx(-1.0), "note": "a note",
        }  # fmt: skip
        direct = Weighing(CUPBOARD["talc"], 5.0, direct=4.68).to_frame().iloc[0]
        assert direct["direct"] == 4.68 and direct["aliquot"] == ""
        assert Weighing(CUPBOARD["talc"], 0.5, direct=0.5).to_frame().iloc[0]["direct"] == 0.5
        assert Weighing(CUPBOARD["talc"], 0.5, direct=0.0)._grid().rows[0][2] is None


class TestPlans:
    def test_by_hand(self) -> None:
        """0.017 g on a balance of 0.01 g that weighs 0.2 g and more: 20 times that is 0.34 g, in 34 whole divisions.

        The error, worst case: half a division in 34 of the portion; half a division, and a twentieth of that, in the 20 that are
        weighed of the strong side.
        """
        plan = plan_aliquot(Fraction(17, 10), 20, 0.5, 0.05, 1000)
        assert plan == AliquotPlan((20,), 20, 34, pytest.approx(0.5 / 34 + 0.5 * 1.05 / 20))
        assert plan.mixed == 400
        assert plan.stages(Decimal("0.01")) == (AliquotStage(0.2, 3.8, 4.0, 0.34),)

    def test_the_smallest_mixture_of_those_that_fit(self) -> None:
        """A tighter limit needs more on the balance: 0.5/34 leaves 0.0053 for the strong side, so 99 divisions and no less."""
        plan = plan_aliquot(Fraction(17, 10), 20, 0.5, 0.02, 10_000)
        assert plan is not None and plan.error <= 0.02
        strong = 0.5 * (1 + 1 / plan.ratios[0])
        assert plan.weigh == math.ceil(strong / (0.02 - 0.5 / plan.take))
        for ratio in (2, 3, 4, 5, 6, 8, 10, 12, 15, 20, 25, 30, 40, 50, 60, 80, 100):
            take = Fraction(17, 10) * ratio
            if take.denominator == 1 and take >= 20 and 0.5 / take < 0.02:
                weigh = max(20, math.ceil(0.5 * (1 + 1 / ratio) / (0.02 - 0.5 / take)), math.ceil(take / ratio))
                assert ratio * weigh >= plan.mixed

    def test_the_diluent_that_comes_along_must_be_there(self) -> None:
        """34 divisions with 1.7 of the strong side bring 32.3 of the diluent: 33 is room enough, 32 is not."""
        fits = plan_aliquot(Fraction(17, 10), 34, 0.5, 0.05, 33)
        assert fits is not None and fits.take == 34 and fits.take - Fraction(17, 10) <= 33
        assert plan_aliquot(Fraction(17, 10), 34, 0.5, 0.05, 32) is None

    def test_exactly_enough_room_and_exactly_the_least_are_enough(self) -> None:
        assert plan_aliquot(Fraction(2), 20, 0.1, 0.05, 18) is not None  # 20 divisions, 18 of them diluent
        assert plan_aliquot(Fraction(2), 20, 0.1, 0.05, 17) is None
        plan = plan_aliquot(Fraction(2), 20, 0.1, 0.05, 18)
        assert plan is not None and plan.take == 20 == plan.weigh

    def test_no_more_is_taken_than_was_mixed(self) -> None:
        """20.5 divisions, of which twice as much can be shown: 41 are taken, so that 21 and 21 are mixed, not 20 and 20."""
        plan = plan_aliquot(Fraction(41, 2), 20, 0.01, 0.5, 10**6)
        assert plan is not None and (plan.ratios, plan.weigh, plan.take) == ((2,), 21, 41)
        for least in (1, 2, 5, 20):
            for parts in range(1, 200):
                found = plan_aliquot(Fraction(parts, 8), least, 0.01, 0.5, 10**6)
                assert found is None or found.take <= found.ratios[-1] * found.weigh

    def test_nothing_and_less_have_no_plan(self) -> None:
        assert plan_aliquot(Fraction(0), 1, 0.1, 0.5, 100) is None
        assert plan_aliquot(Fraction(-1), 1, 0.1, 0.5, 100) is None

    def test_one_dilution_before_two(self) -> None:
        plan = plan_aliquot(Fraction(1), 20, 0.5, 0.1, 10**6)
        assert plan is not None and len(plan.ratios) == 1
        many = plan_aliquot(Fraction(1, 1000), 20, 0.5, 0.2, 10**6)
        assert many is not None and len(many.ratios) == 3 and math.prod(many.ratios) * Fraction(1, 1000) == many.take
        stages = many.stages(Decimal("0.01"))
        assert [s.take for s in stages[:-1]] == [s.weigh for s in stages[1:]]

    @given(st.fractions(Fraction(1, 20), 19, max_denominator=20), st.integers(5, 40), st.sampled_from([0.05, 0.1, 0.2]))
    @settings(deadline=None)
    def test_the_error_told_is_never_less_than_what_weighings_that_are_off_bring_about(
        self, content: Fraction, least: int, limit: float
    ) -> None:
        """Every weighing off by half a division up or down, in all ways: the worst is within what was told, and not far from it."""
        plan = plan_aliquot(content, least, 0.5, limit, 10**6)
        if plan is None:
            return
        worst = 0.0
        for signs in product((-0.5, 0.5), repeat=2 * len(plan.ratios) + 1):
            strength = 1.0
            for stage, ratio in enumerate(plan.ratios):
                strong, weak = plan.weigh + signs[2 * stage], (ratio - 1) * plan.weigh + signs[2 * stage + 1]
                strength *= strong / (strong + weak)
            got = (plan.take + signs[-1]) * strength
            worst = max(worst, abs(got / float(content) - 1))
        assert worst <= plan.error * (1 + plan.error) + 1e-12
        assert worst >= 0.6 * plan.error


class TestLargestRemainder:
    def test_by_hand(self) -> None:
        assert largest_remainder([Fraction(1, 3)] * 3) == [1, 0, 0]
        assert largest_remainder([Fraction(5, 2), Fraction(5, 2)]) == [3, 2]
        assert largest_remainder([Fraction(6, 5), Fraction(9, 5), Fraction(2)]) == [1, 2, 2]
        assert largest_remainder([Fraction(17, 10), Fraction(8, 5), Fraction(17, 10)]) == [2, 1, 2]

    @given(st.lists(st.integers(0, 10**6), min_size=1, max_size=9), st.integers(1, 10**5))
    @settings(deadline=None)
    def test_the_sum_stays_and_nothing_moves_by_a_whole(self, masses: list[int], total: int) -> None:
        if not sum(masses):
            return
        quotas = [Fraction(m * total, sum(masses)) for m in masses]
        whole = largest_remainder(quotas)
        assert sum(whole) == total
        assert all(abs(w - q) < 1 and w >= 0 for w, q in zip(whole, quotas, strict=True))


class TestWhatIsShown:
    @pytest.mark.parametrize(
        ("readability", "shown"),
        [
            (10, "20 g"),
            (1, "20 g"),
            (0.5, "20.0 g"),
            (0.1, "20.0 g"),
            (0.05, "20.00 g"),
            (0.001, "20.000 g"),
            (1e-4, "20.0000 g"),
        ],
    )
    def test_an_amount_has_the_digits_of_the_balance(self, readability: float, shown: str) -> None:
        assert Balance(readability, 50).text(20) == shown

    def test_the_least_weight_by_the_pharmacopoeia(self) -> None:
        """USP <41>: 2000 s, with s not below 0.41 d: 8.2 g for d = 0.01 g where s is not known, 20 g for s = 0.01 g."""
        assert Balance(0.01).minimum_weight_usp41() == pytest.approx(8.2)
        assert Balance(0.01, repeatability=0.01).minimum_weight_usp41() == pytest.approx(20)
        assert Balance(0.01, repeatability=0.001).minimum_weight_usp41() == pytest.approx(8.2)

    def test_headings_and_captions(self) -> None:
        assert [c.heading for c in Balance()._grid().columns] == ["What", "Value"] and Balance()._grid().caption == "Balance"
        stage = AliquotStage(0.2, 3.8, 4.0, 0.34)._grid()
        assert stage.caption == "Dilution" and stage.rows == ((0.2, 3.8, 4.0, 0.34),)
        assert [c.heading for c in stage.columns] == ["Weigh, g", "Add diluent, g", "Makes, g", "Take, g"]
        row = Weighing(CUPBOARD["talc"], 5.0, direct=4.68)._grid()
        assert row.caption == "Weighing"
        assert [c.heading for c in row.columns] == [
            "Ingredient",
            "In the batch, g",
            "Weigh straight, g",
            "By aliquot",
            "Rounding, %",
            "Note",
        ]
        fixed = weighings_grid((Weighing(CUPBOARD["talc"], 5.0, direct=4.68),), "Batch", ("a note",), 3)
        assert [c.decimals for c in fixed.columns] == [None, 3, 3, None, 2, None] and (fixed.caption, fixed.notes) == (
            "Batch",
            ("a note",),
        )
        assert [(c.key, c.heading) for c in fixed.columns] == [(c.key, c.heading) for c in row.columns]
