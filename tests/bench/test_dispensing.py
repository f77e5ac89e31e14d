"""The dispenser's arithmetic by hand; what cannot be is refused with its name and figure. Textbook examples: tests/published."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.bench.dispensing import (
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

NONE = (0, -3, math.nan, math.inf, "3", None, True)


@pytest.mark.parametrize(
    ("call", "names"),
    [
        (least_weighable, {"sensitivity": 6, "error": 0.05}),
        (weighing_error, {"sensitivity": 6, "weighed": 50}),
        (aliquot_solid, {"need": 2, "least": 120}),
        (aliquot_liquid, {"need": 60, "weigh": 300, "solution": 50}),
        (trituration, {"need": 50, "least": 100}),
        (geometric_dilution, {"small": 1, "large": 10}),
        (stock_for, {"make": 100, "target": 0.1, "stock": 0.2}),
        (dilution_makes, {"amount": 100, "strength": 0.2, "target": 0.1}),
        (one_in, {"parts": 20}),
    ],
)
@pytest.mark.parametrize("wrong", NONE)
def test_each_figure_is_a_number_above_nothing(call: Callable[..., object], names: dict[str, float], wrong: object) -> None:
    call(**names)
    for name in names:
        with pytest.raises(BadValue, match=f"^{name} is a number above 0, not {wrong!r}"):
            call(**{**names, name: wrong})


@pytest.mark.parametrize("wrong", NONE)
def test_amounts_beside_other_figures(wrong: object) -> None:
    for name, call in (
        ("amount", lambda v: strengthen(v, 0.01, 0.04)), ("amount", lambda v: split(v, 0.5)), ("of", lambda v: scale([1], v, 5)),
        ("to", lambda v: scale([1], 5, v)), ("total", lambda v: parts_to_masses([1, 2], v)),
        ("take", lambda v: aliquot_solid(2, 120, take=v)),
    ):  # fmt: skip
        if wrong is None and name == "take":
            continue  # None: the least weighable quantity
        with pytest.raises(BadValue, match=f"^{name} is a number above 0, not {wrong!r}"):
            call(wrong)


@pytest.mark.parametrize("wrong", [-0.01, 1.01, math.nan, "0.5", None, True])
def test_shares_that_are_none(wrong: object) -> None:
    for name, call in (
        ("share", lambda v: split(100, v)), ("strength", lambda v: strengthen(100, v, 0.5)),
        ("target", lambda v: strengthen(100, 0.1, v)), ("addition", lambda v: strengthen(100, 0.1, 0.5, v)),
    ):  # fmt: skip
        with pytest.raises(BadValue, match=f"^{name} is a share from 0 to 1 .* not {wrong!r}"):
            call(wrong)


@pytest.mark.parametrize("wrong", [-1, math.nan, math.inf, "2", None])
def test_lists_with_a_figure_that_is_none(wrong: float) -> None:
    for what, call in (
        ("amounts", lambda: alligation_medial([(1, 0.5), (wrong, 0.5)])), ("amounts", lambda: scale([1, wrong], 5, 10)),
        ("parts", lambda: parts_to_masses([1, wrong], 10)),
    ):  # fmt: skip
        with pytest.raises(BadValue, match=f"^{what} are numbers, 0 or more, not .*{wrong!r}"):
            call()
    if wrong != -1:  # a strength may be any number, such as degrees below proof
        with pytest.raises(BadValue, match=f"^strengths are numbers, not .*{wrong!r}"):
            alligation_medial([(1, 0.5), (1, wrong)])
        for strengths, target in (([1, wrong], 3), ([1, 5], wrong)):
            with pytest.raises(BadValue, match=f"^strengths and target are numbers, not .*{wrong!r}"):
                alligation_alternate(strengths, target)


class TestAliquots:
    def test_what_is_needed_is_weighed_the_least_number_of_times_that_will_do(self) -> None:
        """3 mg where 10 mg can be weighed: four times, since three make only 9; 5 mg: twice, exactly; 200 mg: straight."""
        for need, times in ((3, 4), (5, 2), (10, 1)):
            a = aliquot_solid(need, 10)
            assert (a.weigh, a.mixture, a.take, a.content) == pytest.approx((need * times, 10 * times, 10, need))
        assert aliquot_solid(200, 120, take=250).weigh == 200
        # 2.1 / 0.3 is a little more than seven to a computer, and 0.1 + 0.2 a little more than 0.3.
        assert aliquot_solid(0.3, 2.1).weigh == pytest.approx(2.1)
        straight = aliquot_solid(0.1 + 0.2, 0.3)
        assert (straight.weigh, straight.diluent, straight.take) == (pytest.approx(0.3), 0, 0.3)
        assert aliquot_solid(0.7, 2.1, multiple=3).weigh == pytest.approx(2.1), "and three times 0.7 a little less than 2.1"

    @pytest.mark.parametrize("wrong", [0, -2, 2.5, math.nan, "20"])
    def test_a_multiple_that_is_none(self, wrong: int) -> None:
        with pytest.raises(BadValue, match=f"multiple is a whole number of times, 1 or more, not {wrong!r}"):
            aliquot_solid(2, 1, multiple=wrong)

    def test_a_multiple_may_be_given(self) -> None:
        assert aliquot_solid(120, 120, multiple=1).weigh == 120
        assert aliquot_solid(2, 120, multiple=60).weigh == 120, "as much as can just be weighed"

    def test_what_cannot_be_weighed_or_taken(self) -> None:
        with pytest.raises(BadValue, match="a multiple of 59 weighs 118, below the least weighable 120"):
            aliquot_solid(2, 120, multiple=59)
        with pytest.raises(BadValue, match="a multiple of 60 weighs 119.94, below the least weighable 120"):
            aliquot_solid(1.999, 120, multiple=60)
        with pytest.raises(BadValue, match="at least 120, not 119.9"):
            aliquot_solid(2, 120, take=119.9)
        with pytest.raises(BadValue, match="at least 200, not 150"):
            aliquot_solid(200, 120, take=150)
        with pytest.raises(BadValue, match="at least 200, not 120"):
            aliquot_solid(200, 120)
        assert aliquot_solid(2, 120, take=120).take == 120
        with pytest.raises(BadValue, match="holds 50 in all; 60 cannot"):
            aliquot_liquid(60, 50, 10)
        assert aliquot_liquid(50, 50, 10) == 10, "all of it"

    def test_triturations_at_their_ends(self) -> None:
        """1 in 10 of 100 mg holds 100 mg in 1000: 10 mg take 100 mg of it, the least that can be weighed; 100 mg take all."""
        assert trituration(10, 100).take == 100 and trituration(100, 100).take == trituration(100, 100).mixture == 1000
        half = trituration(60, 100, 2)
        assert (half.weigh, half.diluent, half.mixture, half.take) == (100, 100, 200, 120)
        assert trituration(0.7, 2.1, 3).take == pytest.approx(2.1), "a little less than 2.1 to a computer"
        assert trituration(0.1 + 0.2, 0.3, 3).take == pytest.approx(0.9), "a little more than all of it to a computer"
        with pytest.raises(BadValue, match="1 in 10 is too strong: the portion of 99.95 is below the least weighable 100"):
            trituration(9.995, 100)
        with pytest.raises(BadValue, match="100.05 is more than the 100 that"):
            trituration(100.05, 100)
        for ratio in (1, 1.9, math.nan, "10"):
            with pytest.raises(BadValue, match=f"1 in 2 or weaker, not 1 in {ratio!r}"):
                trituration(60, 100, ratio)  # type: ignore[arg-type]

    def test_as_a_table(self) -> None:
        """3 mg where 10 mg can be weighed: 12 mg and 28 mg of the diluent make 40 mg; 10 mg of them hold 3 mg."""
        a = aliquot_solid(3, 10)
        frame = a.to_frame()
        assert [(c.key, c.heading, c.decimals) for c in a._grid().columns] == [("what", "Step", None), ("mass", "Mass", 4)]
        assert frame["mass"].tolist() == pytest.approx([12, 28, 40, 10, 3])
        words = frame["what"].tolist()
        assert all(word in text for word, text in zip(("weigh", "diluent", "makes", "take", "holds"), words, strict=True))
        assert a.to_text().startswith("Aliquot\n") and "28.0000" in a.to_text()


class TestGeometricDilution:
    def test_the_last_portion_leaves_no_crumb(self) -> None:
        """0.27 g in 0.09 g are two portions; floats leave 3e-17 g over, which nobody weighs."""
        assert [portion for portion, _ in geometric_dilution(0.09, 0.27)] == pytest.approx([0.09, 0.18])
        assert [portion for portion, _ in geometric_dilution(0.01, 0.07)] == pytest.approx([0.01, 0.02, 0.04])

    def test_what_is_no_crumb_is_a_portion(self) -> None:
        assert [portion for portion, _ in geometric_dilution(1, 1.0001)] == pytest.approx([1, 0.0001])
        assert geometric_dilution(2, 1) == ((1, 3),)


class TestAlligation:
    def test_the_mean_by_amount(self) -> None:
        """300 of 10 %, 100 of 30 % and none of 90 %: 60 in 400."""
        assert alligation_medial([(300, 0.10), (100, 0.30), (0, 0.90)]) == pytest.approx(0.15)
        assert alligation_medial([(0.5, 0.4)]) == pytest.approx(0.4)
        for nothing in ([], [(0, 0.5)], [(0, 0.5), (0, 0.1)]):
            with pytest.raises(BadValue, match="not all of them 0"):
                alligation_medial(nothing)

    def test_parts_by_hand(self) -> None:
        """0.5 and 1.25 to make 1: 0.25 above, 0.5 below, so 1 part and 2. One that is the target already gets 0."""
        assert alligation_alternate([0.5, 1.25], 1) == (1, 2)
        assert alligation_alternate([0.1, 0.5], 0.2) == (3, 1)
        assert alligation_alternate([10, 20, 30], 20) == (1, 0, 1)
        assert alligation_alternate([0, 0.75, 0.9], 0.6) == (3, 4, 4), "0.15 + 0.3 above and 0.6 below"

    def test_a_target_outside(self) -> None:
        for strengths, target in (([5, 10], 20), ([5, 10], 10), ([5, 10], 5), ([5, 10], 2)):
            with pytest.raises(BadValue, match=f"target {target} does not lie between the strengths 5, 10"):
                alligation_alternate(strengths, target)


class TestStrengths:
    def test_up_and_down(self) -> None:
        """100 g of 10 % and 12.5 g pure make 22.5 g in 112.5 g, 20 %; 100 g of 50 % and 150 g of nothing make 20 %."""
        assert strengthen(100, 0.1, 0.2) == pytest.approx(12.5)
        assert strengthen(100, 0.5, 0.2, 0) == pytest.approx(150)
        assert strengthen(100, 0.1, 0.2, 0.6) == pytest.approx(25), "10 + 15 in 125"
        assert strengthen(100, 0.1, 0.1, 0.5) == 0, "it is as strong as that already"
        for strength, target, addition in ((0.01, 0.04, 0.03), (0.01, 0.04, 0.04), (0.5, 0.2, 0.3), (0.04, 0.04, 0.04)):
            with pytest.raises(BadValue, match=f"of {addition} cannot bring {strength} to {target}"):
                strengthen(500, strength, target, addition)

    def test_dilutions_at_their_ends(self) -> None:
        assert stock_for(100, 0.2, 0.2) == 100 and dilution_makes(100, 0.2, 0.2) == 100
        with pytest.raises(BadValue, match="a stock of 0.2 cannot be diluted to 0.5"):
            stock_for(100, 0.5, 0.2)
        with pytest.raises(BadValue, match=r"0\.02 cannot be diluted to 0\.05"):
            dilution_makes(100, 0.02, 0.05)

    def test_one_in_so_many(self) -> None:
        assert one_in(20) == 0.05

    def test_splitting(self) -> None:
        assert split(80, 0.25) == (20, 60) and split(80, 0) == (0, 80) and split(80, 1) == (80, 0)


def test_formulas_larger_and_smaller() -> None:
    """2, 0 and 3 of 5 for 20 are 8, 0 and 12; 1 part, none and 3 of 10 g are 2.5, 0 and 7.5 g."""
    assert scale([2, 0, 3], 5, 20) == (8, 0, 12)
    assert parts_to_masses([1, 0, 3], 10) == (2.5, 0, 7.5) and parts_to_masses([0.5, 0.5], 10) == (5, 5)
    with pytest.raises(BadValue, match="sum_of_parts is a number above 0"):
        parts_to_masses([0, 0], 10)


class TestByProperties:
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
