"""Ounces and spoonfuls beside the grams: checked against a units library, and never where nothing is known."""

from __future__ import annotations

from dataclasses import replace

import pint
import pytest

import histkit as hk
from histkit.base.errors import BadValue
from histkit.keeping import example
from histkit.telling.viewers import NOTES, for_viewers

UNITS = pint.UnitRegistry()  # its own definitions, not histkit's


def entry(key: str):
    return hk.glossary.ingredients[key]


@pytest.mark.parametrize("grams", [0.2, 3.0, 28.349523125, 60.0, 453.59237, 5000.0])
def test_ounces_are_those_of_a_units_library(grams):
    ounces = (grams * UNITS.gram).to(UNITS.ounce).magnitude
    said = float(for_viewers(grams, entry("talc"), "ounces").removesuffix(" oz").replace(",", ""))
    assert said == pytest.approx(ounces, abs=0.0051 if ounces < 10 else 0.051)


def test_a_pound_is_sixteen_ounces():
    assert for_viewers(453.59237, None, "ounces") == "16.0 oz"


def test_water_fills_spoons_of_5_and_15_millilitres():
    """21 CFR 101.9(b)(5)(viii): a teaspoon means 5 mL, a tablespoon 15 mL."""
    water = entry("water")
    assert for_viewers(5, water, "spoons") == "about 1 tsp"
    assert for_viewers(7.6, water, "spoons") == "about 1½ tsp"
    assert for_viewers(30, water, "spoons") == "about 2 tbsp"
    assert for_viewers(300, water, "spoons") == "about 20 tbsp"
    assert for_viewers(1.2, water, "spoons") == "about ¼ tsp"


def test_a_spoonful_of_powder_goes_by_how_it_lies_and_not_by_how_heavy_a_grain_is():
    zinc = entry("zinc-oxide")
    bulk, true = zinc.value("bulk-density"), zinc.value("true-density") or zinc.value("density")
    assert bulk is not None and true is not None and bulk.best < true.best / 3
    assert for_viewers(5 * bulk.best, zinc, "spoons") == "about 1 tsp"


@pytest.mark.parametrize("kind", ["ounces", "spoons"])
def test_nothing_is_told_of_what_no_spoon_or_ounce_can_hold(kind):
    assert for_viewers(0.05, entry("rose-oil"), kind) == ""
    assert for_viewers(None, entry("talc"), kind) == for_viewers(0.0, entry("talc"), kind) == ""
    assert for_viewers(5.0, entry("talc"), "") == ""


def test_no_spoonful_is_told_of_what_has_no_density():
    unknown = replace(entry("talc"), properties=())
    assert for_viewers(20.0, unknown, "spoons") == for_viewers(20.0, None, "spoons") == ""


def test_the_table_shows_them_everywhere_and_the_grams_stay():
    plain = example.record().table()
    spoons = replace(example.record(), viewers="spoons").table()
    assert [row.grams for row in plain.rows] == [row.grams for row in spoons.rows]
    starch = next(row for row in spoons.rows if row.today == "wheat starch")
    said = spoons.viewers_of(starch)
    assert said.startswith("about ") and said.endswith(" tbsp")
    for shown in (spoons.to_text(), spoons.to_html(), spoons.to_markdown(), spoons.describe().spoken.text()):
        assert "tbsp" in shown
    assert NOTES["spoons"] in spoons.to_html() and "tbsp" not in plain.to_html()
    assert said in spoons.frames((1920, 1080))[0].text()
    assert spoons.to_frame()["for_viewers"].iloc[0] == said and set(plain.to_frame()["for_viewers"]) == {""}


def test_another_measure_is_refused_by_name():
    with pytest.raises(BadValue, match="ounces or spoons, not 'cups'"):
        hk.compare(example.record().translation(), viewers="cups")
