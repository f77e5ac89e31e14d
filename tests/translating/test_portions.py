"""Portions taken of what was made before, and what fills up to a total."""

from __future__ import annotations

from dataclasses import replace

import pytest

import histkit as hk
from histkit.reading.formula import Portion
from histkit.translating.amounts import Book
from histkit.translating.portions import weigh_all

GRAIN = 0.06479891  # g, exact: international yard and pound agreement, 1959


TRADE = hk.Source(title="An invented receipt book", year=1871, country="GB", kind="trade receipt book")


PRESCRIPTION = hk.Source(title="An invented formulary", year=1900, country="US", kind="prescription")


def translate(text, source=None, convention=None):
    return hk.translate(hk.read(text, source=source), convention)


def grams(text, source=None, convention=None):
    return [t.grams.best if t.grams else None for t in translate(text, source, convention).lines]


def test_a_total_is_filled_up():
    calamine = translate("Calamine   120 grains\nOxide of zinc   60 grains\nRose water, to make   3 fl. oz.", PRESCRIPTION)
    water = calamine.lines[2].grams
    # 3 fl. oz. are 88.72 mL; 180 grains (11.66 g) of heavy powders take up some 3 to 7 mL of them
    assert 81 < water.best < 88 and water.low <= water.best <= water.high
    parts = translate("Soap   60 parts\nWater to make   500 parts")
    assert parts.lines[1].grams.best == pytest.approx(440)


def test_two_that_make_up_a_total_share_it():
    lines = translate("Sulphur   ℥j\nAdipis,\nPetrolati, ... āā ... q.s. ad ℥iij", PRESCRIPTION).lines
    assert lines[1].grams.best == pytest.approx(480 * GRAIN) == lines[2].grams.best


def test_a_total_printed_with_ditto_takes_the_unit_before_it():
    formula = hk.read("Ten teaspoonsful of water, one ditto of\nbrandy, ad one \nditto of vinegar")
    assert formula.lines[-1].to_make == (1, "teaspoonful")
    assert hk.translate(formula).lines


def test_totals_by_weight_by_measure_and_in_parts():
    assert grams("Borax 5 parts\nTalc, to 100 parts") == [5, 95]
    assert grams("Borax 5 gram\nTalc, to 100 grams") == [5, 95]
    borax = hk.glossary.ingredient("borax").value("true-density") or hk.glossary.ingredient("borax").value("density")
    water = hk.glossary.ingredient("water").value("density")
    assert grams("Borax 5 gram\nWater, to 100 millilitres")[1] == pytest.approx((100 - 5 / borax.best) * water.best, rel=1e-3)
    # US fluid ounces: a bare ounce of a liquid total is one of measure
    assert grams("Borax 1 drachm\nRose water, q.s. to 6 oz.", PRESCRIPTION) == pytest.approx(
        grams("Borax 1 drachm\nRose water, q.s. to 6 fl. oz.", PRESCRIPTION)
    )


def test_totals_that_cannot_be_filled_leave_the_line_without_a_weight():
    """Less than what is in it already, and two totals in one text."""
    for text in ("Borax 5 gram\nTalc, to 4 grams", "Borax 5 gram\nTalc, to 100 grams\nWater, to 20 grams"):
        first, *others = translate(text).lines
        assert first.grams.best == 5 and all(t.grams is None for t in others)
        assert "No weight can be worked out for this line" in others[0].explain()


def test_a_portion_taken_shrinks_what_it_is_taken_of():
    """Of 1 oz. and 3 oz. two ounces are used: half of each. A heaviest thing that is measured makes the portion one of measure."""
    borax, talc, carmine = grams("Borax 1 oz.\nTalc 3 oz.\nMix. To 2 ounces of this powder add:\nCarmine 1 drachm", TRADE)
    assert (borax, talc, carmine) == pytest.approx((0.5 * 437.5 * GRAIN, 1.5 * 437.5 * GRAIN, 60 * GRAIN))
    borax, water, _ = grams("Borax 1 oz.\nRose water 7 oz.\nMix. To 2 ounces of the mixture add 1 drachm of carmine.", TRADE)
    whole_borax, whole_water = grams("Borax 1 oz.\nRose water 7 oz.", TRADE)
    assert borax / water == pytest.approx(whole_borax / whole_water) and 2 / 8 < water / whole_water < 2 / 7


def test_a_total_that_is_full_already_leaves_a_doubt():
    line = hk.translate(hk.read("Borax 5 gram\nTalc, to 4 grams")).lines[1]
    assert line.grams is None and any(d.about == "amount" and "filled" not in d.text and "total" in d.text for d in line.doubts)


def test_a_total_holds_what_is_taken_and_added_and_not_what_was_made_before():
    """5 g are taken of 5 and 5 g, and made up to 20 g: 15 g more, whatever 50 g of something else stand above."""
    formula = hk.read("Talc 50 grams\nBorax 5 grams\nAlum 5 grams\nStarch, to 20 grams")
    portion = Portion(5.0, "gram", (1, 3), "to 5 grams of this add")
    talc, borax, alum, starch = (t.grams.best for t in hk.translate(replace(formula, portions=(portion,))).lines)
    assert (talc, borax, alum, starch) == pytest.approx((50, 2.5, 2.5, 15))


def test_the_spread_of_a_total_is_that_of_what_is_in_it():
    """To 100 mL beside 60 g of a solid of 1.2 to 2.5 g/mL (1.5 best): 50, 60 and 76 mL are left for the water."""
    unknown = hk.read("Moonstone 60 grams\nWater, to 100 millilitres")
    stone = replace(hk.glossary.ingredient("talc"), id="moonstone", properties=())
    water = hk.glossary.ingredient("water")
    matches = [replace(hk.glossary.find("talc"), ingredient=stone), hk.glossary.find("water")]
    (_, (filling,)) = weigh_all(unknown, matches, Book.of(unknown, hk.measures.conventions["metric"]))
    density = water.value("density")
    assert filling.grams.low == pytest.approx((100 - 60 / 1.2) * density.low)
    assert filling.grams.best == pytest.approx((100 - 60 / 1.5) * density.best)
    assert filling.grams.high == pytest.approx((100 - 60 / 2.5) * density.high)
