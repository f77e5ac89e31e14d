"""Constructions found by eye on passages of household, trade and veterinary books of 1781 to 1927; every sentence is our own."""

import pytest

import histkit as hk


def read(text, year=1900, country="US"):
    return hk.read(text, source=hk.Source(title="An invented book", year=year, country=country))


def told(text, **source):
    return [(line.amount, line.unit, line.ingredient) for line in read(text, **source).lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Apply a liniment consisting of camphor, four ounces; olive oil, eight ounces.", [(4, "ounce", "camphor"), (8, "ounce", "olive oil")]),
        ("Having made a size composed of gelatine 20 parts, water 50 parts.", [(20, "part", "gelatine"), (50, "part", "water")]),
        ("Soap containing borax, two ounces; water, a pint.", [(2, "ounce", "Soap containing borax"), (1, "pint", "water")]),
    ],
)  # fmt: skip
def test_a_name_begins_behind_what_says_that_it_is_made_of_it(text, expected):
    assert told(text) == expected


def test_a_rate_between_two_things_that_are_named_before_is_the_amount_of_neither():
    formula = read("Dilute the lye with water in the proportion of 1 oz. to 2 pints. Add two ounces of sugar.")
    assert [(line.amount, line.ingredient) for line in formula.lines] == [(2, "sugar")]
    assert any("'water'" in doubt.text for doubt in formula.doubts)
    assert told("Add alum in the proportion of two ounces to a pint of water.") == [(2, "ounce", "alum"), (1, "pint", "water")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Lysol 1 part to 20 parts water.", [(1, "part", "Lysol"), (20, "part", "water")]),
        ("Apply one part of lime to one thousand parts water.", [(1, "part", "lime"), (1000, "part", "water")]),
        ("Borax, from 1 part to 4 parts; wax, 20 parts.", [((1, 4), "part", "Borax"), (20, "part", "wax")]),
        ("Borax, 1 part to 2 parts; wax, 20 parts.", [((1, 2), "part", "Borax"), (20, "part", "wax")]),
    ],
)
def test_one_part_to_many_is_no_range(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Stir a teaspoonful of borax into 1 pint\nof milk.", [(1, "teaspoonful", "borax"), (1, "pint", "milk")]),
        ("We use 1 dram of alum to 1 quart\nof water.", [(1, "drachm", "alum"), (1, "quart", "water")]),
        ("Use 3 ounces of soap to 20\ngallons of water.", [(3, "ounce", "soap"), (20, "gallon", "water")]),
        ("A pound of lime to 100\npounds or 12 gallons of water.", [(1, "pound", "lime"), (100, "pound", "water")]),
    ],
)
def test_an_amount_whose_name_or_unit_stands_on_the_next_line_is_no_total(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Add three well cleaned carrots and a pint of milk.", [(3, "piece", "well-cleaned carrots"), (1, "pint", "milk")]),
        ("Take 2 well washed lemons, sugar 1 oz.", [(2, "piece", "well-washed lemons"), (1, "ounce", "sugar")]),
        ("Take a pound of sugar, well beaten, and a pint of milk.", [(1, "pound", "sugar, well beaten"), (1, "pint", "milk")]),
        ("Take a 3-lb. chicken and a pint of milk.", [(3, "pound", "chicken"), (1, "pint", "milk")]),
        ("Boil a 2-pound ham and an onion.", [(2, "pound", "ham"), (1, "piece", "onion")]),
        ("2 c. sugar\n1 tsp. salt\n1 c. milk", [(2, "cupful", "sugar"), (1, "teaspoonful", "salt"), (1, "cupful", "milk")]),
        ("2 T-butter\n½ t-salt\n1 C-flour", [(2, "tablespoonful", "butter"), (0.5, "teaspoonful", "salt"), (1, "cupful", "flour")]),
        ("4½ level tbs. sugar\n2 (l.) tsps. soda", [(4.5, "tablespoonful", "sugar"), (2, "teaspoonful", "soda")]),
        ("2 breakfastcupfuls of flour, 2 l. water", [(2, "cupful", "flour"), (2, "litre", "water")]),
        ("Three liquid ounces of spirit, liquid glucose 1 oz.", [(3, "fluid ounce", "spirit"), (1, "ounce", "liquid glucose")]),
    ],
)
def test_what_other_books_print_otherwise(text, expected):
    assert told(text) == expected


def test_the_letter_of_a_unit_is_none_where_nothing_else_says_spoonful():
    assert told("Alum 2 oz.; 3 c. galls")[0] == (2, "ounce", "Alum")
    assert all(unit != "cupful" for _, unit, _ in told("Alum 2 oz.; 3 c. galls"))


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Œufs n° 4; farine, 500 grammes; beurre, 200 grammes.", (4, "piece", "Œufs")),
        ("Farine n° 1, 20 grammes; sucre, 10 grammes.", (20, "gram", "Farine No 1")),
        ("Faites bouillir un quart d'heure une livre de sucre et deux livres d'eau.", (1, "pound", "sucre")),
    ],
)
def test_numbers_and_quarters_of_an_hour_in_french_books(text, expected):
    assert told(text, year=1870, country="FR")[0] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A pound of flour and a pint of milk. Knead it (adding half an ounce of ginger,) and bake.", [(0.5, "ounce", "ginger")]),
        ("A pound of flour. Mix it to a paste, (adding the yolks of three eggs,) with milk.", [(3, "piece", "yolks eggs")]),
        ("A pound of flour and a pint of milk. Knead it (adding more water if needed) and bake.", [(1, "pint", "milk")]),
    ],
)  # fmt: skip
def test_brackets_in_which_more_is_put_in(text, expected):
    assert told(text)[-len(expected) :] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A well-beaten egg and a pint of milk.", [(1, "piece", "well-beaten egg"), (1, "pint", "milk")]),
        ("A lemon, two pounds of sugar, and a quart of water.", [(1, "piece", "lemon"), (2, "pound", "sugar"), (1, "quart", "water")]),
        ("Form balls the size of an egg, two ounces of sugar on each.", [(2, "ounce", "sugar")]),
        ("To a syrup, two ounces of sugar.", [(2, "ounce", "sugar")]),
    ],
)
def test_a_counted_thing_with_its_article_before_the_first_amount(text, expected):
    assert told(text) == expected


def test_a_name_that_leads_to_the_first_amount_is_no_title():
    assert any("'Oil of almonds'" in doubt.text for doubt in read("Oil of almonds and 2 oz. of wax.").doubts)
    assert not any("'Lip salve'" in doubt.text for doubt in read("Lip salve. 2 oz. of wax and 1 oz. of oil.").doubts)


@pytest.mark.parametrize(
    "text",
    [
        "Egg-yolk, 1/2 lb., or six fresh yolks; oil, 2 lbs.",
        "30 parts of rosin, or rather 45 parts of pitch, 10 parts of water.",
        "30 Theile Harz, oder vielmehr 45 Theile Pech, 10 Theile Wasser.",
    ],
)
def test_or_before_a_count_and_before_or_rather(text):
    lines = read(text).lines
    assert [any("leaves a choice" in doubt.text for doubt in line.doubts) for line in lines] == [False, True, False]


def test_amounts_of_things_in_brackets_are_told_on_whichever_side_they_stand():
    for text in ("Sugar, 2 lbs. (or honey, 1 lb.); water, 1 gallon.", "Sugar, 2 lbs. (or 1 lb. of honey); water, 1 gallon."):
        assert any("honey" in doubt.text for doubt in read(text).doubts)
    assert not any("talc" in doubt.text for doubt in read("Talc (French chalk), 2 oz.; starch, 1 oz.").doubts)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Sugar, 3 pounds. Lemon (juice), one. Raisins, 2 pounds.", (1, "piece", "Lemon (juice)")),
        ("Sugar   3 pounds\nEgg   one\nRaisins   2 pounds", (1, "piece", "Egg")),
        ("Sugar, 3 pounds; wax, one; oil, 4 pounds.", (1, "pound", "wax")),
    ],
)
def test_one_behind_a_comma_counts_what_is_counted(text, expected):
    assert told(text)[1] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("½ pound sugar 1 or 2 eggs ½ ounce ginger", [(0.5, "pound", "sugar"), ((1, 2), "piece", "eggs"), (0.5, "ounce", "ginger")]),
        ("1 oz. starch 2 lemons 1 oz. talc", [(1, "ounce", "starch"), (2, "piece", "lemons"), (1, "ounce", "talc")]),
        ("Four ounces of flour. Cut into strips, and into one or two rings.", [(4, "ounce", "flour")]),
        ("A pound of sugar. Pull and cut into six sticks.", [(1, "pound", "sugar")]),
        ("A pound of sugar. Put into it six eggs.", [(1, "pound", "sugar"), (6, "piece", "eggs")]),
    ],
)
def test_counts_in_the_midst_of_a_list_and_of_what_is_made(text, expected):
    assert told(text) == expected
