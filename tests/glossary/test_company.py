"""A bare fruit among oils is its oil."""

import pytest

import histkit as hk
from histkit import glossary


def taken(text):
    return {line.line.ingredient: line for line in hk.translate(hk.read(text)).lines}


def test_a_fruit_by_weight_among_essential_oils_is_its_oil_and_a_doubt_says_so():
    lines = taken("Oil of bergamot   3 oz.\nOil of rosemary   1 drachm\nLemon   3 drachms\nSpirit of wine   1 pint")
    lemon = lines["Lemon"]
    assert lemon.ingredient.id == "lemon-oil" and any("stands among essential oils" in doubt.text for doubt in lemon.doubts)


def test_a_fruit_that_is_counted_or_stands_alone_stays_a_fruit():
    counted = taken("Oil of bergamot   3 oz.\nOil of rosemary   1 drachm\nThree lemons\nSpirit of wine   1 pint")
    alone = taken("Lemon   3 oz.\nSugar   1 pound\nWater   1 pint")
    assert counted["lemons"].ingredient.id == "lemon" and alone["Lemon"].ingredient.id == "lemon"


@pytest.mark.parametrize(
    ("printed", "expected"),
    [("Lemon", "lemon-oil"), ("Rosemary", "rosemary-oil"), ("Olive oil", "olive-oil"), ("Camphor", "camphor")],
)
def test_by_drops_a_plant_is_its_oil(printed, expected):
    match = glossary.find(printed, unit="drop")
    assert match is not None and match.ingredient.id == expected


@pytest.mark.parametrize(("unit", "part"), [("handful", "fennel-leaves"), ("ounce", "fennel-seed"), ("", "fennel-seed")])
def test_what_is_measured_by_handfuls_is_the_herb(unit, part):
    match = glossary.find("fennel", unit=unit)
    assert match.ingredient.id == part and match.doubts


def test_a_water_by_handfuls_is_doubted():
    assert any("is a liquid" in doubt.text for doubt in glossary.find("Water Dittanie", unit="handful").doubts)
    assert glossary.find("Water Dittanie", unit="pint").doubts == ()


def test_two_names_with_a_comma_may_be_two_ingredients():
    assert any("two ingredients" in doubt.text for doubt in glossary.find("sugar, milk").doubts)


@pytest.mark.parametrize(
    "printed", ["starch, wheat", "water, rose", "zinc, white", "soap, castile", "sugar of milk", "milk sugar"]
)
def test_a_name_turned_round_is_one_ingredient(printed):
    assert not any("two ingredients" in doubt.text for doubt in glossary.find(printed).doubts)
