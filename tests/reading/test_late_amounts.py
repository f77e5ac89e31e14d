"""Amounts as books after 1780 print them, found by eye on their pages; every sentence here is our own. Guards."""

import pytest

import histkit as hk


def told(text, country="GB", year=1890):
    lines = hk.read(text, source=hk.Source(title="An invented book", year=year, country=country)).lines
    return [(line.amount, line.unit, line.ingredient) for line in lines]


def doubts(text, country="GB", year=1890, about=("amount", "unit")):
    lines = hk.read(text, source=hk.Source(title="An invented book", year=year, country=country)).lines
    return [doubt.text for line in lines for doubt in line.doubts if doubt.about in about]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Ether, 5 c.c.; rose water, 3 c. c.", [(5, "millilitre", "Ether"), (3, "millilitre", "rose water")]),
        ("600 c.c.m. of water, 20 c.c.m. of ammonia.", [(600, "millilitre", "water"), (20, "millilitre", "ammonia")]),
        ("Glycerine 9 c.c., water 5 l.", [(9, "millilitre", "Glycerine"), (5, "litre", "water")]),
        ("Aloes 5 i., myrrh 3 ii.", [(1, "drachm", "Aloes"), (2, "drachm", "myrrh")]),
    ],
)
def test_cubic_centimetres_are_no_drachms(text, expected):
    assert told(text) == expected


def test_litres_among_worn_signs_are_told():
    assert "Other figures here are worn signs of the drachm." in doubts("Aloes 5 i., myrrh 3 ii., water 5 l.")


@pytest.mark.parametrize(
    ("country", "text", "expected"),
    [
        ("DE", "0,5 Grm. Borax und 2,125 Grm. Soda.", [(0.5, "gram", "Borax"), (2.125, "gram", "Soda")]),
        ("FR", "Borax 1,250 gr.; camphre 0,5 gr.", [(1.25, "gram", "Borax"), (0.5, "gram", "camphre")]),
        ("FR", "Eau 1 000 gr.; borax 2,5 gr.", [(1000, "gram", "Eau"), (2.5, "gram", "borax")]),
        ("FR", "Eau 1,000 gr.; borax 2,5 gr.", [(1000, "gram", "Eau"), (2.5, "gram", "borax")]),
        ("GB", "Water, 1,250 parts; borax, 25 parts.", [(1250, "part", "Water"), (25, "part", "borax")]),
        ("GB", "Water    1,250 parts\nBorax    25 parts", [(1250, "part", "Water"), (25, "part", "Borax")]),
        ("DE", "Wasser    1,250 Gramm\nBorax    2,5 Gramm", [(1.25, "gram", "Wasser"), (2.5, "gram", "Borax")]),
    ],
)
def test_the_comma_of_a_figure_in_other_countries(country, text, expected):
    assert told(text, country) == expected


@pytest.mark.parametrize("text", ["Borax 1,500 Kilogr., Harz 3 Kilogr.", "Alkohol 1,500 Gramm; Wasser 700 Gramm."])
def test_a_comma_that_may_be_either_is_told(text):
    assert any("its comma may be the other one" in doubt for doubt in doubts(text, "DE"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A 1 in 200 solution of formalin.", [(0.5, "per cent", "solution of formalin")]),
        ("Formalin, 1 in 50, or carbolic acid, 1 to 200.", [(2, "per cent", "Formalin"), (0.5, "per cent", "carbolic acid")]),
        ("2 ounces of borax in a 1 to 20 carbolic acid solution", [(2, "ounce", "borax")]),
        ("Carbolic acid 1 to 4 ounces; water 1 to 20 quarts", [((1, 4), "ounce", "Carbolic acid"), ((1, 20), "quart", "water")]),
    ],
)
def test_a_strength_is_no_range(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "units"),
    [
        ("Soap, 2 lb.; water, 1 gal.; turpentine, 1 pt. Dilute it with 20 parts of water.", ["pound", "gallon", "pint", "part"]),
        ("Vinegar, 2 pts.; alum, 3 oz. Use equal parts.", ["pint", "ounce"]),
        ("Oil 1 pt.; wax 2 pts.; resin 5 parts.", ["part", "part", "part"]),
    ],
)
def test_a_pint_or_a_part_by_its_own_list(text, units):
    assert [unit for _, unit, _ in told(text)] == units


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("One-half ounce of borax in one-half pint of water.", [0.5, 0.5]),
        ("Alum, three-fourths ounce; wax, two and one-half pounds.", [0.75, 2.5]),
    ],
)
def test_whole_words_of_fractions_are_not_doubted(text, amounts):
    assert [amount for amount, _, _ in told(text)] == amounts
    assert not doubts(text)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Nitric acid, sp. gr. 1.42, 3 ounces; water, 6 ounces.", [(3, "ounce", "Nitric acid"), (6, "ounce", "water")]),
        ("Two ounces of nitric acid of specific gravity 1.4, and 3 of water", [(2, "ounce", "nitric acid"), (3, "ounce", "water")]),
        ("Opium, gr. 2; camphor, gr. 5.", [(2, "grain", "Opium"), (5, "grain", "camphor")]),
    ],
)
def test_how_heavy_a_thing_is_is_no_amount(text, expected):
    assert told(text) == expected


def totals(text):
    lines = hk.read(text, source=hk.Source(title="An invented book", year=1890, country="GB")).lines
    return [(line.ingredient, line.to_make) for line in lines if line.to_make]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Quinine, gr. ij.\nAqua   to ℥ii for each dose.", [("Aqua", (2, "ounce"))]),
        ("Quinine, gr. ij; syrup to one ounce for a dose.", [("syrup", (1, "ounce"))]),
        ("Sugar, 2 pounds; water enough to give a gallon of syrup.", [("water", (1, "gallon"))]),
        ("Sugar, 2 pounds. Dilute with sufficient water to give about 30 gallons.", [("water", (30, "gallon"))]),
        ("To a third of a quart of oil add enough gasoline to make the quart.", [("gasoline", (1, "quart"))]),
        ("Borax, 2 drachms; rose water to fill a half-pint bottle.", [("rose water", (0.5, "pint"))]),
        ("Alum, 1 ounce; enough water to fill a pint bottle.", [("water", (1, "pint"))]),
        ("Dissolve 3 gm. of borax in 25 c.c. of oil, and fill it up with water to 500 c.c.", [("water", (500, "millilitre"))]),
        ("Aloes gr. v. to ʒi, myrrh ʒij.", []),
        ("Use enough oil to give a good colour, and an ounce of wax.", []),
        ("Add 2 ounces of soap, and boil it to give a pint to the horse.", []),
    ],
)
def test_totals(text, expected):
    assert totals(text) == expected


def test_a_total_of_nothing_is_told():
    text = "Dissolve 3 gm. of borax in 25 c.c. of water, and the whole is then {} up to 500 c.c."
    for word in ("filled", "made"):
        assert any(f"'{word} up to 500 c.c.'" in doubt.text for doubt in hk.read(text.format(word)).doubts)
    assert not hk.read("Boil 2 ounces of bark in 3 quarts of water till it comes to 3 pints.").doubts


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Between three and four ounces of sugar, and a pint of milk.", [((3, 4), "ounce", "sugar"), (1, "pint", "milk")]),
        ("Take between half an ounce and an ounce of alum.", [((0.5, 1), "ounce", "alum")]),
        ("Between ½ and ¾ oz. of camphor; wax, between 1/10 and 2/10 lb.", [((0.5, 0.75), "ounce", "camphor"), ((0.1, 0.2), "pound", "wax")]),
        ("1/2 and 3/4 lb. of borax", [((0.5, 0.75), "pound", "borax")]),
        ("2 and 3/4 lb. of borax", [(2.75, "pound", "borax")]),
        ("Boil between two and three hours an ounce of glue.", [(1, "ounce", "glue")]),
        ("From two to three ounces of sugar", [((2, 3), "ounce", "sugar")]),
    ],
)  # fmt: skip
def test_between_two_amounts(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Tin, one-half of 1 per cent.; lead, 9 per cent.", [(0.5, "per cent", "Tin"), (9, "per cent", "lead")]),
        ("One-half of one per cent of phenol in a pint of oil.", [(0.5, "per cent", "phenol"), (1, "pint", "oil")]),
        ("one-half of one part of benzine", [(0.5, "part", "benzine")]),
    ],
)
def test_parts_of_a_hundredth(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("One ounce of nitre, then the same volume of water.", [(1, "ounce", "nitre"), (1, "ounce", "water")]),
        ("Add a quart of some sweet oil and one ounce of wax.", [(1, "quart", "sweet oil"), (1, "ounce", "wax")]),
        ("Some sweet oil, and one ounce of wax.", [(None, "none", "sweet oil"), (1, "ounce", "wax")]),
        ("90 Proc. Alkohol und 10 Procent Wasser.", [(90, "per cent", "Alkohol"), (10, "per cent", "Wasser")]),
        ("A pint bowlful of meat; a bowlful of flour.", [(1, "pint", "meat"), (None, "none", "flour")]),
    ],
)
def test_rarer_amounts(text, expected):
    assert told(text) == expected
