"""Worked examples of dispensing arithmetic from textbooks, courses and rules; the source stands beside each.

"seen": the source prints the answer. "worked": the source sets the question, the answer was worked out for this test.
"""

from __future__ import annotations

import pytest

from histkit.bench.dispensing import (
    aliquot_liquid,
    aliquot_solid,
    alligation_alternate,
    alligation_medial,
    dilution_makes,
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
from histkit.bench.weighing import Balance

BMK = "Basic Medical Key, chapter on accurate weighing for prescriptions"
UNC_W = "University of North Carolina, compounding laboratory, page on weighing"
UNC_T = "University of North Carolina, compounding laboratory, page on the trituration method"
ALQ = "lecture on the aliquot method for weighing and measuring, slides 6-9"
ALQ2 = "handout on aliquots of very small quantities, page 1"
TRIT = "self-assessment questions on trituration, questions 5.1 and 5.2"
HW3 = "homework key on pharmaceutical measurement, item 1"
QUIZ = "student cards with problems of the Ansel and Stoklosa type"
USP41 = "USP <41> Balances, official 1 Aug 2019"
SART = "a balance maker's summary of the changes to USP <41>"
IPC = "Rees, Smith and Watson, Introduction to Pharmaceutical Calculations, 4th ed. (2015), p. 144"
HDB = "pharmacy calculation examples, example problem 1"
UH = "University of Houston, PHAR 4330, practice answers"
PRX = "alligation medial, worked examples"
MD = "US Army Medical Department, subcourse MD0802, Pharmaceutical Calculations, lesson 2"
FIT = "dilution lecture that prints the problems of MD0802 with answers"

TO_PRINTED_DIGITS = {"rel": 0.002}


@pytest.mark.parametrize(
    ("sensitivity_mg", "error", "least_mg"),
    [
        (6, 0.05, 120),  # BMK and UNC-W, seen
        (6, 0.01, 600),  # BMK, seen
        (6, 0.03, 200),  # ALQ, worked
        (10, 0.05, 200),  # QUIZ, seen
    ],
)
def test_least_weighable_quantity(sensitivity_mg: float, error: float, least_mg: float) -> None:
    assert least_weighable(sensitivity_mg, error) == pytest.approx(least_mg, **TO_PRINTED_DIGITS)


@pytest.mark.parametrize(
    ("weighed_mg", "per_cent"),
    [
        (50, 12),  # UNC-W, worked
        (190, 3.158),  # ALQ, worked
    ],
)
def test_error_of_a_weighing_on_a_balance_of_6_mg(weighed_mg: float, per_cent: float) -> None:
    assert 100 * weighing_error(6, weighed_mg) == pytest.approx(per_cent, **TO_PRINTED_DIGITS)


class TestAliquots:
    def test_two_milligrams_by_a_multiple_of_sixty(self) -> None:
        """BMK, seen: 120 mg weighed, portions of 125 mg: 7500 mg of mixture with 7380 mg of diluent."""
        a = aliquot_solid(need=2, least=120, take=125)
        assert (a.weigh, a.mixture, a.diluent, a.take) == pytest.approx((120, 7500, 7380, 125))

    def test_ten_capsules(self) -> None:
        """UNC-T, method, multiple, 6 mg and 120 mg seen, the rest worked: 10 capsules of 200 mg with 0.6 mg of active each."""
        active = 10 * 0.6
        a = aliquot_solid(need=active, least=120, multiple=20, take=120)
        assert (active, a.weigh, a.mixture, a.diluent) == pytest.approx((6, 120, 2400, 2280))
        assert 10 * 200 - a.take == pytest.approx(1880)  # further diluent to fill the capsules

    def test_a_one_in_ten_trituration_for_twenty_five_powders(self) -> None:
        """TRIT, seen: 25 powders of 100 mg with 2 mg each; 100 mg with 900 mg, 500 mg of it, then 2000 mg more to 2500 mg."""
        a = trituration(need=25 * 2, least=100, ratio=10)
        assert (a.weigh, a.diluent, a.take) == pytest.approx((100, 900, 500))
        assert 25 * 100 - a.take == pytest.approx(2000)

    def test_a_solution(self) -> None:
        assert aliquot_liquid(need=60, weigh=300, solution=50) == pytest.approx(10)  # HW3, seen: 0.3 g in 50 mL, 60 mg wanted
        assert aliquot_liquid(need=20, weigh=200, solution=10) == pytest.approx(1)  # ALQ2, seen: 0.2 g in 10 mL, 20 mg wanted


class TestBalanceMinimum:
    def test_two_thousand_times_the_deviation(self) -> None:
        """USP41, seen: a standard deviation of 0.00015 g gives 0.3 g."""
        assert Balance(0.0001, 0, repeatability=0.00015).minimum_weight_usp41() == pytest.approx(0.3)

    def test_the_lowest_that_any_balance_starts_from(self) -> None:
        """SART, seen: s below 0.41 d counts as 0.41 d, so 820 d."""
        assert Balance(0.0001, 0, repeatability=0).minimum_weight_usp41() / 0.0001 == pytest.approx(820)
        assert Balance(0.0001, 0, repeatability=0.00002).minimum_weight_usp41() == pytest.approx(0.082)  # worked

    def test_a_kitchen_balance(self) -> None:
        """SART, worked: d = 0.01 g, s = 0.008 g give 16 g."""
        assert Balance(0.01, 0.2, repeatability=0.008).minimum_weight_usp41() == pytest.approx(16)


class TestAlligation:
    def test_alcohol_of_seventy(self) -> None:
        """HDB, seen: 95 % and 50 % to make 70 %, 4 parts and 5."""
        assert alligation_alternate([95, 50], 70) == (4, 5)

    def test_three_ointments(self) -> None:
        """UH, seen: 50, 20 and 5 % to make 10 %, 1, 1 and 10 parts."""
        assert alligation_alternate([50, 20, 5], 10) == (1, 1, 10)

    def test_medial(self) -> None:
        """PRX, seen: 5 mL of 2 % with 10 mL of 4 %."""
        assert alligation_medial([(5, 2), (10, 4)]) == pytest.approx(3.33, rel=0.002)

    def test_pure_tar_to_strengthen_an_ointment(self) -> None:
        """MD, worked: 500 g of 1 % to 4 %."""
        assert strengthen(500, 0.01, 0.04) == pytest.approx(15.625)


@pytest.mark.parametrize(
    ("make_ml", "target", "stock", "stock_ml"),
    [
        (120, 0.0002, 0.02, 1.2),  # MD, seen
        (4000, one_in(2000), 0.10, 20),  # FIT, seen
        (2000, one_in(4000), one_in(200), 100),  # FIT, seen
        (5000, one_in(1500), 0.025, 133.33),  # MD, worked
    ],
)
def test_stock_to_dilute(make_ml: float, target: float, stock: float, stock_ml: float) -> None:
    assert stock_for(make_ml, target, stock) == pytest.approx(stock_ml, **TO_PRINTED_DIGITS)


def test_how_much_a_dilution_makes() -> None:
    """MD, worked: 1250 g of 5 % make 3125 g of 2 %."""
    assert dilution_makes(1250, 0.05, 0.02) == pytest.approx(3125)


def test_percentage() -> None:
    """MD, worked: 120 g of hydrous wool fat with 25 % of water."""
    water, wool_fat = split(120, 0.25)
    assert (wool_fat, water) == pytest.approx((90, 30))


HYDROPHILIC_OINTMENT = (0.25, 0.15, 10, 120, 250, 250)
"""Grams in 1000 g, water to make up (UH)."""
HUNDRED_CAPSULES = (1.25, 10, 3, 20, 250)
"""Grams for 100 capsules (UH)."""


class TestEnlargingAndReducing:
    @pytest.mark.parametrize(
        ("pounds", "grams"),
        [
            (5, (0.57, 0.34, 22.7, 272.4, 567.5, 567.5)),  # UH, seen, at 454 g to the pound
            (3.5, (0.4, 0.24, 15.89, 190.68, 397.25, 397.25)),  # UH, seen
        ],
    )
    def test_hydrophilic_ointment(self, pounds: float, grams: tuple[float, ...]) -> None:
        assert scale(HYDROPHILIC_OINTMENT, of=1000, to=pounds * 454) == pytest.approx(grams, rel=0.01)

    @pytest.mark.parametrize(
        ("capsules", "grams"),
        [
            (75, (0.94, 7.5, 2.25, 15.0, 187.5)),  # UH, seen
            (250, (3.13, 25, 7.5, 50, 625)),  # UH, seen
        ],
    )
    def test_capsules(self, capsules: int, grams: tuple[float, ...]) -> None:
        assert scale(HUNDRED_CAPSULES, of=100, to=capsules) == pytest.approx(grams, rel=0.005)

    def test_zinc_ointment_with_a_liquid_by_volume(self) -> None:
        """IPC, seen: zinc oxide 10 g, liquid paraffin 15 mL of 0.88 g/mL, soft paraffin to 100 g; make 25 g."""
        paraffin = 15 * 0.88
        assert paraffin == pytest.approx(13.2)
        reduced = scale((10, paraffin, 100 - 10 - paraffin), of=100, to=25)
        assert reduced == pytest.approx((2.5, 3.3, 19.2))

    @pytest.mark.parametrize(("make_ml", "glycerin_ml"), [(1000, 158.36), (4750, 752.21)])
    def test_glycerin_by_volume(self, make_ml: float, glycerin_ml: float) -> None:
        """UH, seen: 50 g of specific gravity 1.263 in 250 mL (its second answer comes from a rounded first one)."""
        assert scale([50 / 1.263], of=250, to=make_ml)[0] == pytest.approx(glycerin_ml, **TO_PRINTED_DIGITS)

    def test_parts(self) -> None:
        """UH, seen: 3, 5 and 10 parts to make three tubes of 75 g."""
        assert parts_to_masses([3, 5, 10], 3 * 75) == pytest.approx((37.5, 62.5, 125))
