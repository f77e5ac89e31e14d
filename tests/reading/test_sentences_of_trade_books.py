"""Constructions found by eye on passages of trade and household books of 1780 to 1925; every sentence here is our own. Guards."""

import pytest

import histkit as hk


def told(text, year=1880):
    lines = hk.read(text, source=hk.Source(title="An invented book", year=year, country="US")).lines
    return [(line.amount, line.unit, line.ingredient) for line in lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Take alum, one-\nhalf ounce, and borax three-\nfourths of an ounce.", [(0.5, "ounce", "alum"), (0.75, "ounce", "borax")]),
        ("two and one-\nhalf ounces of wax, twenty-\nfour ounces of oil", [(2.5, "ounce", "wax"), (24, "ounce", "oil")]),
        ("one hundred and twenty-\nfive grains of borax", [(125, "grain", "borax")]),
        ("two table-\nspoonfuls of honey, an ounce of ex-\ntract of malt", [(2, "tablespoonful", "honey"), (1, "ounce", "ex- tract of malt")]),
        ("an ounce of rose-\nwater", [(1, "ounce", "rose- water")]),
    ],
)  # fmt: skip
def test_numbers_and_units_broken_at_the_end_of_a_line(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("from five[1] to twenty grains of alum in two[2] ounces of water", [((5, 20), "grain", "alum"), (2, "ounce", "water")]),
        ("2 drachms* of borax and 3† ounces of lard", [(2, "drachm", "borax"), (3, "ounce", "lard")]),
        ("from two (2) to three (3) drachms of aloes", [((2, 3), "drachm", "aloes")]),
        ("two (3 oz.) cakes of soap and an ounce of wax", [(1, "ounce", "wax")]),
    ],
)
def test_marks_of_notes_and_figures_that_say_it_again(text, expected):
    assert told(text)[-len(expected) :] == expected


def test_fractions_set_with_a_dash_behind_their_unit():
    text = "Atropine, gr. 1–250; morphine, gr. 1-8."
    lines = hk.read(text).lines
    assert [line.amount for line in lines] == [pytest.approx(1 / 250), 0.125]
    assert all("fraction" in line.doubts[0].text for line in lines)
    (line,) = hk.read("Calomel, gr. 1-6.").lines
    assert line.amount == (1, 6) and "may be a range or the fraction" in line.doubts[0].text
    assert hk.read("Sugar, grs. 5-10.").lines[0].doubts == ()


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("two quarts of skim milk, an ounce of sugar", [(2, "quart", "skim milk"), (1, "ounce", "sugar")]),
        ("two drachms of precipitate chalk; lard a pound", [(2, "drachm", "precipitate chalk"), (1, "pound", "lard")]),
        ("Mix equal parts of rust and lard.", [(1, "part", "rust"), (1, "part", "lard")]),
        ("Melt equal parts of pitch and tallow.", [(1, "part", "pitch"), (1, "part", "tallow")]),
    ],
)
def test_a_name_that_looks_like_a_verb_or_is_unknown(text, expected):
    assert told(text) == expected


def test_a_ditto_for_the_unit_before_a_numeral():
    text = 'Powdered opium, dr. ij.\nCamphor,   "  iij.\nCapsicum,  "  j.'
    assert [(line.amount, line.unit) for line in hk.read(text).lines] == [(2, "drachm"), (3, "drachm"), (1, "drachm")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("1 glass port wine, two glasses cold water", [(1, "wineglassful", "port wine"), (2, "wineglassful", "cold water")]),
        ("a claret-glass of vinegar, one ounce sugar", [(1, "wineglassful", "vinegar"), (1, "ounce", "sugar")]),
        ("Soda, 1 ounce; salt, two teaspoonfuls. Use night and morning.", [(1, "ounce", "Soda"), (2, "teaspoonful", "salt")]),
        ("Dissolve 12 parts of white sugar in 36 of water.", [(12, "part", "white sugar"), (36, "part", "water")]),
        ("½ pound sal soda, ¼ borax and ⅛ camphor", [(0.5, "pound", "sal soda"), (0.25, "pound", "borax"), (0.125, "pound", "camphor")]),
        ("a pound of resin and one-third as much tallow", [(1, "pound", "resin"), (pytest.approx(1 / 3, abs=1e-4), "pound", "tallow")]),
        ("an ounce of iodine to simple ointment four ounces", [(1, "ounce", "iodine"), (4, "ounce", "simple ointment")]),
        ("belladonna and opium--one ounce of each drug", [(1, "ounce", "belladonna"), (1, "ounce", "opium")]),
        ("Tinc. Opii, drachm j. Mixt. Cretæ, ounce xx.", [(1, "drachm", "Tinc. Opii"), (20, "ounce", "Mixt. Cretæ")]),
    ],
)  # fmt: skip
def test_amounts_in_sentences(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Rye whisky, three gallons; syrup, made of rock candy, one gallon.", ["Rye whisky", "syrup"]),
        ("aloes, myrrh, and orris, that is the root of the iris, of each an ounce; wax, two ounces", ["aloes", "myrrh", "orris", "wax"]),
        ("cinnamon, galingal, zedoary, which is a kind of setwal, of each a drachm", ["cinnamon", "galingal", "zedoary"]),
        ("two ounces of syrup, made with rose water, and a pint of wine", ["syrup", "rose water", "wine"]),
    ],
)  # fmt: skip
def test_what_only_tells_of_a_name_takes_no_amount(text, expected):
    assert [name for _, _, name in told(text)] == expected


def test_an_amount_of_two_names_in_equal_parts_is_shared():
    lines = hk.read("A pint of vinegar and water, equal parts").lines
    assert [(line.amount, line.unit, line.ingredient) for line in lines] == [(0.5, "pint", "vinegar"), (0.5, "pint", "water")]
    assert all("each is taken as its share" in line.doubts[0].text for line in lines)
    apart = told("Keg lead, 4 parts; white lead 1 part. Rubbing varnish and gold size, equal parts.")
    assert [amount for amount, _, _ in apart] == [4, 1, 1, 1]


def test_the_vessel_that_is_covered_takes_nothing_to_suffice():
    (copper, charcoal) = hk.read("Put 3 ounces of copper in a covered crucible, with powdered charcoal.").lines
    assert (copper.amount, charcoal.amount, charcoal.unit) == (3, None, "none")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("castor oil, minims 30; oil, drops 3; soap, teaspoonfuls 2", [(30, "minim"), (3, "drop"), (2, "teaspoonful")]),
        ("alcohol 3 oz., 20 drops oil of geranium and 10 of oil of almonds", [(3, "ounce"), (20, "drop"), (10, "drop")]),
        ("neroli a trace, alcohol 2 oz.", [(None, "none"), (2, "ounce")]),
    ],
)
def test_units_before_their_figures_and_drops_that_go_on(text, expected):
    assert [(line.amount, line.unit) for line in hk.read(text).lines] == expected


def test_a_text_that_prints_fractions_has_not_lost_them():
    lines = hk.read("Starch, 12 oz.; orris, 2 oz.; lemon, 1/2 oz.; cloves, 2 oz.").lines
    assert lines[0].doubts == ()
    assert "12 may be" in hk.read("Starch, 12 oz.; orris, 2 oz.; lemon, 1 oz.; cloves, 2 oz.").lines[0].doubts[0].text


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("whites of 2 eggs, corn meal to thicken.", [(2, "whites eggs"), (None, "corn meal")]),
        ("glycerine 2 ounces, stirred till it begins to thicken", [(2, "glycerine")]),
        ("the whites of 2 eggs, salt", [(2, "whites eggs"), (None, "salt")]),
        ("For 5 lbs. of powder: 4 lbs. best starch, 1 lb. French chalk.", [(4, "best starch"), (1, "French chalk")]),
        ("For a cough 2 oz. of honey: take it with 1 oz. of lemon juice", [(2, "honey"), (1, "lemon juice")]),
    ],
)
def test_what_thickens_what_stands_beside_eggs_and_what_is_made(text, expected):
    assert [(amount, name) for amount, _, name in told(text)] == expected
