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


@pytest.mark.parametrize(("printed", "expected"), [("Lemon", "lemon-oil"), ("Rosemary", "rosemary-oil"), ("Olive oil", "olive-oil"), ("Camphor", "camphor")])
def test_by_drops_a_plant_is_its_oil(printed, expected):
    match = glossary.find(printed, unit="drop")
    assert match is not None and match.ingredient.id == expected
