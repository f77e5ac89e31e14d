"""Spoonfuls, cups and gallons that books weighed: the printed weight lies inside the spread, and that of level ones is narrow."""

import pytest

from histkit.base.nouns import Source
from histkit.reading import read
from histkit.translating.translator import translate

HOUSE, TRADE = "household receipt book", "trade receipt book"


def weigh(text, country, year, kind):
    return translate(read(text, source=Source(country=country, year=year, kind=kind))).lines[0]


@pytest.mark.parametrize(
    ("text", "country", "year", "kind", "grams"),
    [
        ("1 tablespoonful vinegar", "US", 1906, HOUSE, 14.17),  # Harland 1906, l. 29798: half an ounce
        ("1 gallon syrup", "GB", 1887, HOUSE, 6123.5),  # Spons 1887, l. 11754: 13½ pounds
        ("1 gallon molasses", "US", 1909, HOUSE, 5443.11),  # Horse Secrets 1909, l. 424: 12 pounds
        ("1 gallon ether", "GB", 1870, TRADE, 3401.94),  # Beasley: 7½ pounds at .750
        ("1 tablespoonful water", "GB", 1861, HOUSE, 14.17),  # Beeton 1861, l. 6510: half an ounce
        ("1 cupful butter", "US", 1910, HOUSE, 226.8),  # Farmer 1910, l. 1514: two to the pound
        ("1 tablespoonful flour", "US", 1910, HOUSE, 7.09),  # Farmer 1910: four to the ounce
        ("1 cupful sugar", "US", 1910, HOUSE, 226.8),  # Farmer 1910: two to the pound
        ("1 cupful confectioners' sugar", "US", 1910, HOUSE, 129.6),  # Farmer 1910: three and a half to the pound
        ("1 cupful brown sugar", "US", 1910, HOUSE, 170.1),  # Farmer 1910: two and two thirds to the pound
        ("1 quart of flour", "US", 1850, HOUSE, 453.6),  # Leslie 1850, l. 139: a pound
        ("1 quart of powdered sugar", "US", 1850, HOUSE, 481.9),  # Leslie 1850, l. 143: 17 ounces
        ("1 quart of cornmeal", "US", 1850, HOUSE, 510.3),  # Leslie 1850, l. 140: 18 ounces
        ("1 quart of white sugar", "US", 1911, HOUSE, 907.2),  # Triemens 1911, l. 12609: two pounds
    ],
)
def test_level_measures_and_liquids(text, country, year, kind, grams):
    spread = weigh(text, country, year, kind).grams
    assert spread.low * 0.995 <= grams <= spread.high * 1.005
    assert spread.high / spread.low <= 1.5


@pytest.mark.parametrize(
    ("text", "country", "year", "grams"),
    [
        ("1 tablespoonful flour", "GB", 1830, 14.17),  # Kitchiner 1830, l. 3140: half an ounce
        ("1 tablespoonful flour", "NZ", 1914, 28.35),  # Edmonds 1914, l. 1612: an ounce
        ("1 tablespoonful salt", "US", 1850, 28.35),  # Leslie 1850, l. 168: an ounce
        # a German cookery book of after 1868, quoted at meinalteskochbuch.de, Wissenswertes: a heaped spoon of flour, of sugar
        ("1 tablespoonful flour", "DE", 1875, 25),
        ("1 tablespoonful sugar", "DE", 1875, 30),
    ],
)
def test_heaped_spoonfuls_have_the_doubt(text, country, year, grams):
    line = weigh(text, country, year, HOUSE)
    assert line.grams.low <= grams <= line.grams.high
    (doubt,) = (doubt for doubt in line.doubts if "often heaped" in doubt.text)
    assert doubt.others[0].startswith("level: ") and doubt.effect
    level = weigh(text.replace("table", "level table"), country, year, HOUSE).grams
    assert line.grams.high / line.grams.low <= 1.85 * level.high / level.low  # two to three times level, and a little more
    assert 2 <= line.grams.best / level.best <= 3


def test_the_words_beside_a_spoonful_decide():
    level = weigh("1 level tablespoonful flour", "GB", 1830, HOUSE)
    assert level.grams.high / level.grams.low <= 1.5 and not any("heaped" in doubt.text for doubt in level.doubts)
    heaped = weigh("1 heaped tablespoonful flour", "US", 1910, HOUSE)
    assert heaped.grams.low == pytest.approx(2 * weigh("1 level tablespoonful flour", "US", 1910, HOUSE).grams.low)
    assert not any("heaped" in doubt.text for doubt in weigh("1 tablespoonful vinegar", "GB", 1830, HOUSE).doubts)


def test_an_unknown_density_says_so():
    """Of a liquid or a powder without a row in properties.csv; one with a row says nothing."""
    from histkit.glossary.nouns import Ingredient
    from histkit.translating.amounts import UNKNOWN_DENSITY, Reading
    from histkit.translating.doubts import _of_the_density

    measured = (Reading("measure", UNKNOWN_DENSITY, "x"),)
    (doubt,) = _of_the_density(Ingredient("x", "seal oil", state="liquid"), measured)
    assert "No table gives the density of seal oil" in doubt.text
    assert _of_the_density(Ingredient("x", "x", state="powder"), measured)[0].effect == "50 % less to 67 % more in this line."
    assert _of_the_density(Ingredient("x", "x", state="liquid"), (Reading("weight", UNKNOWN_DENSITY, "x"),)) == []
    assert not any("density" in doubt.text for doubt in weigh("1 pint of water", "GB", 1861, HOUSE).doubts)
    assert any("No table gives the density" in doubt.text for doubt in weigh("1 pint of qwertzol", "GB", 1861, HOUSE).doubts)


def test_every_liquid_without_a_density_says_so_and_no_other():
    from histkit import glossary
    from histkit.measures import conventions
    from histkit.translating.amounts import Printed, density_of
    from histkit.translating.doubts import _of_the_density
    from histkit.translating.translator import Book

    book = Book.of(read("1 pint water"), conventions["household-gb"])
    liquids = [entry for entry in glossary.ingredients.values() if entry.state == "liquid"]
    assert len(liquids) > 300
    for entry in liquids:
        readings = book.weigh(Printed(1.0, "pint"), entry)
        assert bool(_of_the_density(entry, readings)) is (entry.value("density") is None), entry.id
        if entry.value("density") is None:
            assert readings[0].grams.high > readings[0].grams.low and "no density known" in density_of(entry)[1]


@pytest.mark.parametrize(
    ("text", "country", "year", "grams"),
    [
        ("1 teacupful of water", "US", 1911, 177),  # Triemens 1911, l. 12612: twelve tablespoonfuls
        ("1 tea-cupful of water", "US", 1856, 118),  # Peterson 1856, l. 1130: four to the pint
        ("1 tumblerful of water", "US", 1911, 236.4),  # Triemens 1911: half a pint
        ("1 breakfast-cupful of milk", "NZ", 1914, 292.6),  # Edmonds 1914, l. 2020: half an Imperial pint
        ("1 cupful of water", "US", 1908, 236.4),  # Howard 1908, l. 1520: two gills
    ],
)
def test_each_cup_has_its_size(text, country, year, grams):
    spread = weigh(text, country, year, HOUSE).grams
    assert spread.best == pytest.approx(grams, rel=5e-3)


def test_a_cup_that_a_country_does_not_know_is_its_cup():
    assert weigh("1 breakfast-cupful of water", "US", 1908, HOUSE).grams == weigh("1 cupful of water", "US", 1908, HOUSE).grams
