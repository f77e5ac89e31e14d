"""What English receipts of the 18th and 19th century taught: one line for each fault that was found. The receipts are invented."""

import pytest

import histkit as hk
from histkit.reading import damage
from histkit.reading.tokens import tokenise


def lines_of(text):
    return [(line.amount, line.unit, line.full_name) for line in hk.read(text).lines]


@pytest.mark.parametrize("word", ["pills", "taste", "party", "class", "rumps", "grace", "prices", "wheel", "stove"])
def test_an_ordinary_word_is_no_worn_unit(word):
    tokens = damage.mended(tokenise(f"give the mass 50 {word} of it"))
    assert [token.word for token in tokens if token.damaged] == [] and word in [token.word for token in tokens]


def test_what_a_mass_is_made_into_is_no_line():
    assert lines_of("Take aloes two drachms, saffron one scruple, to make the Mass into 50 Pills.") == [
        (2.0, "drachm", "aloes"),
        (1.0, "scruple", "saffron"),
    ]


@pytest.mark.parametrize("opening", ["Take to", "To", "INGREDIENTS.--To"])
def test_what_the_rate_is_of_goes_in(opening):
    text = f"{opening} every gallon of brandy, one handful of rosemary, one handful of lavender."
    assert [line[:2] for line in lines_of(text)] == [(1.0, "gallon"), (1.0, "handful"), (1.0, "handful")]


def test_what_is_left_after_boiling_is_no_other_end_of_a_range():
    assert lines_of("Boil in water 3 quarts to 2 quarts; common soap 2 ounces.")[0] == (3.0, "quart", "water")
    assert lines_of("Take water 2 quarts to 3 quarts; common soap 2 ounces.")[0] == ((2.0, 3.0), "quart", "water")


def test_the_weight_of_a_joint_is_no_line():
    assert lines_of("Boil a leg of 7 lbs. weight, with two ounces of salt.") == [(2.0, "ounce", "salt")]
    assert lines_of("Take of 7 lbs. weight of salt.")[0][:2] == (7.0, "pound")


def test_an_inch_or_two_is_a_length():
    assert lines_of("Lay it an inch or two thick with a pound of snuff.") == [(1.0, "pound", "snuff")]


@pytest.mark.parametrize(("done", "how"), [("boil'd", "thro'"), ("boiled", "through")])
def test_what_is_done_to_a_thing_is_no_name(done, how):
    strained = "strain'd" if "'" in done else "strained"
    text = f"To a pint of raspberries put half a pint of red currants, {done} with very little water, and {strained} {how} a hair sieve."
    assert [line[:2] for line in lines_of(text)] == [(1.0, "pint"), (0.5, "pint"), (None, "none")]


def test_what_is_added_towards_the_end_begins_its_name_there():
    assert lines_of("Boil rue two ounces in wine 2 pints; towards the last adding white wine half a pint.")[2] == (
        0.5,
        "pint",
        "white wine",
    )


@pytest.mark.parametrize(
    "printed", ["powder'd rhubarb", "rhubarb powder’d", "highly rectify'd spirit of wine", "candy'd citron peel"]
)
def test_a_participle_cut_short_is_understood(printed):
    match = hk.glossary.find(printed)
    whole = hk.glossary.find(printed.replace("y'd", "ied").replace("'d", "ed").replace("’d", "ed"))
    assert match.ingredient == whole.ingredient
    assert not any("not understood" in doubt.text for doubt in match.doubts)


def test_what_is_beaten_up_with_yolks_is_another_line():
    text = "Beat two ounces of sugar up with the yolks of 5 eggs, and a glass of white wine."
    assert [line[:2] for line in lines_of(text)] == [(2.0, "ounce"), (5.0, "piece"), (1.0, "wineglassful")]
    assert lines_of("Take sugar; beat it up with the yolks of 5 eggs.") == [(5.0, "piece", "yolks eggs")]


def test_add_behind_a_bracket_is_no_part_of_the_name():
    assert lines_of("Take water a pint, to which (when strained) add oil of mace 3 drams.")[1] == (3.0, "drachm", "oil of mace")


@pytest.mark.parametrize(
    ("text", "counts"),
    [
        ("Take the yolks of seven eggs and the whites of five, and beat them up with a quarter of a pound of sugar.", [7, 5, 0.25]),
        ("The whites of three eggs, and yolks of four; sugar two ounces.", [3, 4, 2]),
        ("Take eight eggs, leave out the whites of four, half a pint of cream.", [8, 0.5]),
    ],
)
def test_the_whites_of_five_are_counted_like_the_yolks_of_seven_eggs(text, counts):
    """Bury (1844) and most kitchens before 1900."""
    assert [line.amount for line in hk.read(text).lines] == counts


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "Take an ounce and a drachm of green vitriol, and two drachms and a scruple of alum.",
            [(1, "ounce", ((1, "drachm"),)), (2, "drachm", ((1, "scruple"),))],
        ),
        ("Alum a drachm and a scruple, sugar one ounce.", [(1, "drachm", ((1, "scruple"),)), (1, "ounce", ())]),
        (
            "An ounce of nitre, the same of sal ammoniac, two drachms and a scruple of alum.",
            [(1, "ounce", ()), (1, "ounce", ()), (2, "drachm", ((1, "scruple"),))],
        ),
        ("Milk a pint and a gill of honey, sugar 2 oz.", [(1, "pint", ()), (1, "gill", ()), (2, "ounce", ())]),
        ("Nitre an ounce, sugar two drachms and a scruple of alum.", [(1, "ounce", ()), (2, "drachm", ()), (1, "scruple", ())]),
    ],
)
def test_an_ounce_and_a_drachm_are_one_amount_where_one_name_has_both(text, lines):
    assert [(line.amount, line.unit, line.plus) for line in hk.read(text).lines] == lines


@pytest.mark.parametrize(
    ("text", "unit", "name"),
    [
        ("Water 2 ounces fluid.", "fluid ounce", "Water"),
        ("Water, 3 drachms fluid; alum 4 oz.", "fluid drachm", "Water"),
        ("2 oz. fluid extract of senna.", "ounce", "fluid extract of senna"),
    ],
)
def test_fluid_behind_its_unit(text, unit, name):
    line = hk.read(text).lines[0]
    assert (line.unit, line.ingredient) == (unit, name)


def test_a_unit_whose_figure_could_not_be_read_weighs_nothing_and_says_so():
    lost, cloves = hk.read("Cinamon • dram, Cloves one scruple.").lines
    assert (lost.ingredient, lost.amount, lost.unit, {d.about for d in lost.doubts}) == ("Cinamon", None, "drachm", {"amount"})
    assert (cloves.ingredient, cloves.amount, cloves.unit, cloves.doubts) == ("Cloves", 1, "scruple", ())


def test_a_verb_at_the_head_of_the_sentence_counts_the_eggs():
    text = "Put a pound of grated bread. Beat up eight eggs; mix them with half a pint of spirit of wine, stop close the phial."
    assert [(line.full_name, line.amount) for line in hk.read(text).lines] == [
        ("grated bread", 1.0), ("eggs", 8.0), ("spirit of wine", 0.5),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Starch, 3 ounces. Honey, 1 ounce. Salt (two).", [(3, "Starch"), (1, "Honey")]),
        ("Starch 3 ounces. Honey 1 ounce. White of egg.", [(3, "Starch"), (1, "Honey")]),
        ("Starch, 3 oz. Honey, 1 oz. White of egg.", [(3, "Starch"), (1, "Honey")]),
        ("3 oz. Lard 1 oz. Wax 2 oz. Camphor", [(3, "Lard"), (1, "Wax"), (2, "Camphor")]),
        ("Cold cream. 3 oz. Lard 1 oz. Wax 2 oz. Camphor", [(3, "Lard"), (1, "Wax"), (2, "Camphor")]),
    ],
)
def test_a_list_that_begins_with_a_name_keeps_its_amounts_behind_the_names(text, lines):
    assert [(line.amount, line.ingredient) for line in hk.read(text).lines if line.amount is not None] == lines


@pytest.mark.parametrize("stop", [",", ""])
def test_an_amount_alone_on_its_line_is_that_of_the_name_above(stop):
    text = f"Glycerine, 1 drachm.\nCarbonate of soda{stop}\n36 grains.\nSpermaceti ointment, 1 ounce."
    assert lines_of(text) == [(1, "drachm", "Glycerine"), (36, "grain", "Carbonate of soda"), (1, "ounce", "Spermaceti ointment")]
    titled = hk.read("FACE POWDER.\n36 grains.\nGlycerine, 1 drachm.\nSpermaceti ointment, 1 ounce.")
    assert "FACE POWDER" in titled.title and len(titled.lines) == 2


def test_ana_with_its_stops():
    text = "Alum, common salt, _a.a._      1 lb.\nVinegar,            2 pints."
    assert lines_of(text)[:2] == [(1, "pound", "Alum"), (1, "pound", "common salt")]
