"""Guards: whole receipts as printed, with heading, directions, doses and remarks; what is no ingredient's stands in no line.

The texts are invented, in the manner of prints of 1720 to 1930.
"""

import pytest

import histkit as hk


def read(text, year=1850):
    return hk.read(text, source=hk.Source(title="A Book of Receipts", year=year, country="GB"))


def weighed(text):
    return [(line.full_name, line.amount, line.unit) for line in read(text).lines]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "Take nine gallons of water and two pounds of sugar; boil these till one gallon is lost, taking off the scum.",
            [("water", 9.0, "gallon"), ("sugar", 2.0, "pound")],
        ),
        (
            "Boil two ounces of logwood in two pints of water until it is only one pint; add a drachm of alum.",
            [("logwood", 2.0, "ounce"), ("water", 2.0, "pint"), ("alum", 1.0, "drachm")],
        ),
        (
            "Strain the juice; if you have four gallons, stir in a tea-cup full of yeast and two spoons full of rum.",
            [("yeast", 1.0, "cupful"), ("rum", 2.0, "tablespoonful")],
        ),
        (
            "Recipe for a Gallon of Rose Water.\n\nTake four pounds of roses and two gallons of water.",
            [("roses", 4.0, "pound"), ("water", 2.0, "gallon")],
        ),
        (
            "Take four pounds of orange flowers and nine quarts of water. Distil, and draw off at first full seven quarts.",
            [("orange flowers", 4.0, "pound"), ("water", 9.0, "quart")],
        ),
        (
            "Take a pint of vinegar and one ounce of cloves, and put them into a half gallon stone jar.",
            [("vinegar", 1.0, "pint"), ("cloves", 1.0, "ounce")],
        ),
        (
            "To a pint of rose water add one teaspoonful of a solution containing six ounces of water and half an ounce of alum.",
            [("rose water", 1.0, "pint"), ("water", 6.0, "ounce"), ("alum", 0.5, "ounce")],
        ),
        (
            "Nitrate of silver    3 drachms.\nWater     8 ounces.\n\nDissolve the nitrate of silver in 2 ounces of the water.",
            [("Nitrate of silver", 3.0, "drachm"), ("Water", 8.0, "ounce")],
        ),
    ],
)
def test_guard_what_there_is_and_what_comes_of_it_goes_into_nothing(text, lines):
    assert weighed(text) == lines


@pytest.mark.parametrize(
    "dose",
    [
        "Take one or two teaspoonfuls twice a day in a glass of sherry.",
        "Give two ounces of Epsom salts at a dose.",
        "A wineglassful of the tincture every four hours, in half a pint of gruel.",
    ],
)
def test_guard_a_dose_behind_the_formula_is_none_of_its_lines(dose):
    assert weighed(f"Peruvian bark, two ounces; orange peel, half an ounce; brandy, a pint and a half. {dose}") == [
        ("Peruvian bark", 2.0, "ounce"),
        ("orange peel", 0.5, "ounce"),
        ("brandy", 1.5, "pint"),
    ]


def test_guard_what_is_taken_is_the_formula_where_nothing_else_is_measured():
    assert weighed("Laudanum, twenty drops, every four hours.") == [("Laudanum", 20.0, "drop")]


def test_guard_a_colon_ends_what_is_said_of_the_dose():
    text = "Give one of the following powders twice a day: nitre, one ounce; aloes, one ounce."
    assert weighed(text) == [("nitre", 1.0, "ounce"), ("aloes", 1.0, "ounce")]


@pytest.mark.parametrize("taste", ["sweeten it to taste, and let it cool", "sweeten to your taste"])
def test_guard_it_is_sweetened_and_names_nothing(taste):
    assert weighed(f"Boil a quart of milk with an ounce of cinnamon; {taste}.") == [
        ("milk", 1.0, "quart"),
        ("cinnamon", 1.0, "ounce"),
    ]


def test_guard_things_to_your_taste():
    text = "Mix half a pound of butter with one pound of flour; wine, currants and citron to your taste."
    assert [(name, unit) for name, _, unit in weighed(text)][2:] == [("wine", "q.s."), ("currants", "q.s."), ("citron", "q.s.")]


def test_guard_equal_parts_with_the_amount_of_each():
    text = "Gentian root, saltpetre and capsicum, equal parts one ounce. Mix."
    assert weighed(text) == [("Gentian root", 1.0, "ounce"), ("saltpetre", 1.0, "ounce"), ("capsicum", 1.0, "ounce")]


def test_guard_glasses_are_measures_and_a_stuff():
    text = "Take half a glass of brandy, two glasses of milk, three ounces of powdered glass and one ounce of glass of antimony."
    assert weighed(text) == [
        ("brandy", 0.5, "wineglassful"),
        ("milk", 2.0, "wineglassful"),
        ("powdered glass", 3.0, "ounce"),
        ("glass of antimony", 1.0, "ounce"),
    ]


def test_guard_the_number_of_a_page_and_lowered_figures_are_no_amounts():
    text = "Treat it with 10 parts of potassium\ncarbonate and 4 parts of borax in 100 parts of water, H_{2}O. {344}"
    assert [line[1:] for line in weighed(text)] == [(10.0, "part"), (4.0, "part"), (100.0, "part")]
    assert weighed(text)[0][0] == "potassium carbonate"


def test_guard_a_density_is_no_amount():
    text = "Stir thoroughly 1,000 parts of naphtha of about 908 density and 500 parts of water."
    assert [line[1:] for line in weighed(text)] == [(1000.0, "part"), (500.0, "part")]


def test_guard_a_sentence_ends_behind_a_whole_known_name():
    assert weighed("Inject four ounces of vinegar and half a gallon linseed oil. Elevate the quarters.")[1] == (
        "linseed oil",
        0.5,
        "gallon",
    )


@pytest.mark.parametrize(
    "remark",
    [
        "Make it into a bolus.",
        "Eat hot with wine sauce.",
        "It sells for about 25 cents a pound.",
    ],
)
def test_guard_remarks_leave_no_doubt(remark):
    assert read(f"Take two ounces of sugar and one ounce of gum arabic. {remark}").doubts == ()


def test_guard_twelve_ounces_beside_pounds_are_not_doubted():
    text = "Arsenic, 2 pounds.\nCamphor, 5 ounces.\nWhite soap, 2 pounds.\nSalt of tartar, 12 ounces.\nLime, 4 ounces."
    assert [doubt.about for line in read(text).lines for doubt in line.doubts if doubt.about == "amount"] == []


def test_guard_a_fraction_does_not_take_the_article_of_the_next_sentence():
    assert weighed("Orange peel, an ounce; brandy, a pint and a half. A spoonful is enough.")[1] == ("brandy", 1.5, "pint")


@pytest.mark.parametrize("use", ["Put sufficient in a glass of water.", "A little of this in a glass of white wine is a tonic."])
def test_guard_what_is_taken_in_a_glass(use):
    assert [name for name, _, _ in weighed(f"Take a quart of brandy and an ounce of gentian root. {use}")] == [
        "brandy",
        "gentian root",
    ]


def test_guard_a_glass_in_which_something_is_steeped():
    assert weighed("Steep one ounce of saffron in half a glass of brandy.")[1] == ("brandy", 0.5, "wineglassful")


@pytest.mark.parametrize(
    "text",
    [
        "Fluid for Copper. Mix two ounces of aqua fortis with five ounces of water.",
        "FORMULAS FOR DRY PERFUMES.\n\n\nMUSK SACHET POWDER.\n\nMace    23 oz.\nPatchouli    28 oz.",
        "Take two ounces of nutmegs and a pint of balm-water; distil, and keep the water thus obtained in bottles.",
    ],
)
def test_guard_headings_and_what_is_named_again_leave_no_doubt(text):
    assert [doubt for doubt in read(text).doubts if doubt.about == "left over"] == []


def test_guard_a_pill_with_two_systems_in_brackets():
    text = (
        "Each pill contains aloes (0.065 Gm. or 1 grain), resin of jalap and extract of nux vomica (each 0.016 Gm. or 1/4 grain)."
    )
    lines = read(text, 1921).lines
    assert [(line.amount, line.unit) for line in lines] == [(0.065, "gram"), (0.016, "gram"), (0.016, "gram")]
    assert lines[0].also == ((1.0, "grain"),)


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Beat them, and put to them two\nPound and two Ounces of sugar, and half a pint of water.", 2),
        ("Take a pound of almonds, and a few bitter ones, and a quart of water.", 3),
        ("Mix 15 parts of chalk and 7 parts of litharge, with pure linseed oil, and grind it.", 3),
        ("Milk 11 oz.\nLime water 4 oz.\n\n9th to 12th week.", 2),
        ("Dissolve two ounces of soda in a pint of water, a spoonful at a time; it is fit in a day or two.", 2),
        ("Soak it in a pint of water and an ounce of soda for several days or weeks, as may be necessary.", 2),
        ("Alum, one ounce; water, four ounces. One teaspoonful to a basin of water is enough.", 2),
        ("Steep in four gallons of cider; add a pound of honey and four gallons more of the cider.", 3),
        ("Chalk, 4 ounces; glycerine, 2 ounces. Rub the chalk with the glycerine.", 2),
        ("Add 4 litres of glycerine and 1 litre of methylic alcohol. [Footnote: of 11 pints.]", 2),
    ],
)
def test_guard_the_number_of_lines(text, lines):
    assert len(read(text).lines) == lines


def test_guard_pounds_and_ounces_behind_a_pronoun():
    line = read("Beat them, and put to them two\nPound and two Ounces of sugar, and half a pint of water.").lines[0]
    assert (line.amount, line.unit, line.plus) == (2.0, "pound", ((2.0, "ounce"),))


@pytest.mark.parametrize(
    "text",
    [
        "Calomel 5 grains, rhubarb 10 grains, to be taken at night.",
        "Laudanum 20 drops, syrup 1 spoonful, every four hours.",
        "Sugar 1 ounce, half a pint of vinegar a little at a time.",
        "Orange flowers, four ounces to a gallon of brandy.",
    ],
)
def test_guard_what_goes_in_is_not_lost_beside_words_of_taking(text):
    assert len(weighed(text)) == 2


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("Two and a half sheets of gelatine put into one quart of milk.", [(2.5, "piece"), (1.0, "quart")]),
        ("Boil an ounce of bruised root in three\nhalf-pints of water.", [(1.0, "ounce"), (1.5, "pint")]),
        ("Mix one half-ounce of borax with two ounces and a half of alum.", [(0.5, "ounce"), (2.5, "ounce")]),
    ],
)
def test_guard_a_whole_number_and_its_half(text, amounts):
    assert [line[1:] for line in weighed(text)] == amounts


def test_guard_what_the_directions_name_again_with_its_amount():
    text = "Hops, 2 ounces.\nWater, 4 quarts.\nFlour, 1 lb.\n\nTie up the hops, and boil them in 4 quarts of water."
    assert len(weighed(text)) == 3
    assert read(text).doubts == ()


def test_guard_two_solutions_of_the_same_amount_of_water_stay():
    text = "Mix 2 ounces of soda in 1 pint of water and add 1 ounce of alum dissolved in 1 pint of water."
    assert [line[1:] for line in weighed(text)] == [(2.0, "ounce"), (1.0, "pint"), (1.0, "ounce"), (1.0, "pint")]


def test_guard_what_thickens():
    assert weighed("Heat 3 pounds of glue and 1 pound of rosin. Thicken with whiting until it is stiff.")[-1][0] == "whiting"


def test_guard_a_count_of_its_own_is_told_where_it_ends_in_no_line():
    formula = read("½ Pfund Zucker, woran 4 Citronen abgerieben werden, 8 Eigelb, den Saft von 2 Citronen.")
    assert [doubt.text for doubt in formula.doubts] == ["The amount '4 Citronen' (4 piece) stands in no ingredient line."]


def test_guard_a_count_named_again_is_not_told():
    assert read("Take 3 eggs and a pint of milk. Beat the 3 eggs, and stir in the milk.").doubts == ()


@pytest.mark.parametrize("last", ["a slice of ham. Simmer the whole", "two ounces of tar. Mix them", "half a pint of oil. Stir it"])
def test_guard_a_short_word_ends_its_sentence_before_a_verb(last):
    assert len(weighed(f"Take a pint of broth and {last}.")[1][0]) == 3


@pytest.mark.parametrize("size", ["the size of a hickory nut", "the bigness of a pigeon's egg", "as big as a small walnut", "as large as an egg"])
def test_guard_butter_of_a_size(size):
    formula = read(f"One-half cup of molasses, butter {size}, one tablespoon vinegar.")
    assert formula.lines[1].full_name == "butter" and formula.lines[1].amount is None
    assert any("gives no weight" in doubt.text for doubt in formula.lines[1].doubts)


def test_guard_pounds_and_ounces_below_the_line_of_take():
    line = read("Boil one pound of orange flowers; then take\ntwo pounds and two ounces of sugar.").lines[1]
    assert (line.full_name, line.amount, line.unit, line.plus) == ("sugar", 2.0, "pound", ((2.0, "ounce"),))


def test_guard_what_is_put_in_and_what_it_is_taken_in():
    assert weighed("Six eggs, a pint of milk; put in a glass of brandy.")[2] == ("brandy", 1.0, "wineglassful")
    assert len(weighed("Aloes 1 oz., myrrh 2 oz. Put it in a glass of wine and drink.")) == 2


def test_guard_degrees_are_no_count():
    text = "Red oil                         80     parts\nCaustic soda lye, 36 degs. B.    3     parts\nCaustic potash                  23     parts"
    assert [line[1:] for line in weighed(text)] == [(80.0, "part"), (3.0, "part"), (23.0, "part")]


def test_guard_cups_full_and_as_much_as_a_nut():
    assert weighed("Stir two pint cups full of milk into a half-pint cup of cream.")[0] == ("milk", 2.0, "pint")
    formula = read("Take of Musk as much as a good hazel nut, of Cloves and Mace, of each one ounce.")
    assert formula.lines[0].amount is None and "gives no weight" in formula.lines[0].doubts[0].text
