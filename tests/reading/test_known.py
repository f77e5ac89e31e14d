"""Known names in the text, and what they decide: where a name ends, what has no amount, what is no ingredient, what is left over."""

import pytest

import histkit as hk


def names(text):
    return [line.ingredient for line in hk.read(text).lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Put 1 ounce of the oxide of zinc into a plate, and 2 ounces of lard upon it.", ["oxide of zinc", "lard"]),
        ("Take two ounces of Rosin, seeth all these together, one ounce of lard.", ["Rosin", "lard"]),
        ("Four ounces of borax, and one ounce of crude mercury at the least six hours", ["borax", "crude mercury"]),
        ("Take a pint of proof spirit. Shake all together; add an ounce of camphor.", ["proof spirit", "camphor"]),
        ("Man nimmt 2 Loth Stärke und mit 4 Loth Wasser versetzt", ["Stärke", "Wasser"]),
        (
            "2 lbs. whiting, ½ lb. gold size, thinned with spirits of turpentine.",
            ["whiting", "gold size", "spirits of turpentine"],
        ),
    ],
)
def test_a_name_ends_where_the_text_goes_on(text, expected):
    assert [name for name in names(text) if name in expected] == expected


@pytest.mark.parametrize(
    ("text", "unmeasured"),
    [
        ("Benzoin (10%), aloes (2%), balsam of tolu (4%), in alcohol.", ["alcohol"]),
        ("Opium (2.5%), with oils of caraway, fennel and peppermint in syrup and water.", ["oils of caraway", "fennel", "peppermint", "syrup", "water"]),
        ("Take of blanched almonds, 1 lb.\nsugar, 1 lb.\n\nBeat up with orange flower water.", ["orange flower water"]),
        ("Talc 6 oz. Make it into a paste with honey.", ["honey"]),
        ("Take a drachm of borax, the white of egg, camphor a drachm and a half.", ["white of egg"]),
    ],
)  # fmt: skip
def test_ingredients_without_an_amount(text, unmeasured):
    lines = [line for line in hk.read(text).lines if line.amount is None]
    assert [line.ingredient for line in lines] == unmeasured
    assert all(any(d.about == "amount" for d in line.doubts) for line in lines)


def test_a_shared_head_is_carried_to_what_has_no_amount():
    lines = hk.read("Opium (2.5%), with oils of caraway, fennel and peppermint in syrup.").lines
    assert [line.full_name for line in lines[2:4]] == ["oil of fennel", "oil of peppermint"]


def test_the_last_head_of_a_list_is_shared_by_what_is_known_with_it():
    lines = hk.read("Take rose, bean-flower and lily water, of each a pint.").lines
    assert lines[0].full_name == "water of rose" and "ingredient" in {d.about for d in lines[0].doubts}
    lines = hk.read("Take cloves, mace, and orris root, of each an ounce.").lines
    assert [line.full_name for line in lines] == ["cloves", "mace", "orris root"]


@pytest.mark.parametrize(
    "aside",
    [
        "Divide it into equal portions.",
        "Use one pint to a barrel.",
        "Take a spoonful of it at a time.",
        "Stir it with a stick.",
        "Wash the face with warm water.",
        "There should be half an ounce of talc when it is done.",
        "Beat it with a silver spoon.",
        "Stir till it is soft enough.",
        "Serve it with any sort of sauce.",
        "Have the board covered with thick buff leather.",
    ],
)
def test_what_is_said_beside_a_formula_is_no_ingredient(aside):
    assert names(f"Talc, 4 ounces; starch, 2 ounces. {aside}") == ["Talc", "starch"]


@pytest.mark.parametrize("printed", ["Butyr. Antim., 2 oz.", "Butyr. Antim. 2 oz.", "℞ Butyr. Antim. ℥ij"])
def test_two_abbreviations_of_one_known_name_are_not_divided(printed):
    assert "Butyr. Antim" in names(f"{printed}\nTalc 4 oz.")


def test_an_unknown_name_of_which_a_quantity_suffices_is_an_ingredient():
    assert names("Talc, 4 ounces\nPythian bouquet, a sufficient quantity\n") == ["Talc", "Pythian bouquet"]


def test_one_or_more_of_a_unit_is_a_range():
    (line,) = hk.read("Put to it a spoonful or two of rose-water.").lines
    assert (line.amount, line.unit) == ((1, 2), "tablespoonful")


def test_names_left_over_are_one_doubt():
    """Once for all, however many there are; a poison has a doubt of its own."""
    text = "Talc, 4 ounces; starch, 2 ounces. Beside it lie cinnamon, orris root and white lead."
    doubts = [doubt.text for doubt in hk.read(text).left_over]
    assert len(doubts) == 2 and sum("white lead" in text for text in doubts) == 1
    assert any("cinnamon" in text and "orris root" in text for text in doubts)


def test_a_year_and_the_number_of_a_receipt_are_no_amounts():
    assert names("Extrait, Fr. 1. From ambergris and musk, of each 20 gr.") == ["ambergris", "musk"]
    assert names("Nach dem Journal, Mai 1833. Man nimmt 13 Unzen Oker und 2 Unzen Bleiweiß") == ["Oker", "Bleiweiß"]


# -- what is left over ---------------------------------------------------------------------------------------------------------


def test_a_poison_that_ends_in_no_line_is_told():
    formula = hk.read("Talc, 4 ounces; starch, 2 ounces. Lay white lead upon the bottom of the pot.")
    (doubt,) = formula.left_over
    assert doubt.about == "left over" and "white lead" in doubt.text
    assert doubt in formula.doubts and any("white lead" in fragment for fragment in formula.unread)
    assert any("white lead" in note for note in formula._grid().notes)


def test_an_amount_that_ends_in_no_line_is_told():
    formula = hk.read("Prenez deux dragmes de cire, dix-sept gouttes d'essence de rose; six onces; mêlez.")
    assert [line.amount for line in formula.lines] == [2, 17]
    assert any("six onces" in doubt.text for doubt in formula.left_over)


@pytest.mark.parametrize(
    "text",
    [
        "Talc, 4 ounces; starch, 2 ounces. Mix the starch with the talc and sift.",
        "ROSE POWDER.\n\nTalc, 4 ounces; starch, 2 ounces. Sift twice.",
        "Talc, 4 ounces; starch, 2 ounces. Dust over the face; wash it off with soap and water.",
        "Dose: a teaspoonful.\n\nTalc, 4 ounces\nStarch, 2 ounces\n",
        "Talc, 4 ounces; starch, 2 ounces. Proceed as for the gold powder.",
        "Talc, 4 ounces; starch, 2 ounces. Form into balls about the size of a walnut.",
        "Talc, 4 ounces; starch, 2 ounces. There must be no salt about them.",
        "Talc, 4 ounces; starch, 2 ounces. Absolute alcohol content about 80 per cent.",
        "Isinglass, 4 ounces; water, 2 pints. Keep it in a bottle close stopped with wax.",
        "Wax, 4 ounces; olive oil, 8 ounces. Melt together in a dish over hot water.",
        "Wax, 4 ounces; olive oil, 8 ounces. Mix them into an ointment.",
        "Wax, 4 ounces; olive oil, 8 ounces; melt, and pour the ointment off.",
        "Talc, 4 ounces; starch, 2 ounces. Mix well.\n76. To preserve Grapes.",
        "Talc, 4 ounces; starch, 2 ounces. Mix well.\nTO CLEAN SILVER PLATE",
        "Talc, 4 ounces; starch, 2 ounces. The horse must have oats daily, and these are good.",
        "Hartshorn, 4 ounces; water, 2 pints; seethe it to a quart.",
    ],
)
def test_what_has_its_reason_is_no_doubt(text):
    assert hk.read(text).left_over == ()


@pytest.mark.parametrize(
    ("text", "named"),
    [
        ("Talc, 4 ounces; starch, 2 ounces. Add as much carmine, and sift.", "carmine"),
        ("Talc, 4 ounces; starch, 2 ounces. Let the camphor be ground and added.", "camphor"),
        ("Talc, 4 ounces; starch, 2 ounces. Take chalk No. 2 and mix.", "chalk"),
        ("Talc, 4 ounces; starch, 2 ounces; pour over boiling water.", "boiling water"),
        ("Talc, 4 ounces; starch, 2 ounces.\nPrepare it as a paste with rose oil.", "rose oil"),
        ("As a base take 200 of powdered iris root, add 600 parts of talc and 2 parts of starch.", "iris root"),
        ("Precipitated chalk forms the best basis, to which may be added talc, 1 ounce; soap, 2 ounces.", "Precipitated chalk"),
        ("℞ Fellis Bovini recentis\n    Balsami Peruviani   f ʒj.", "Fellis Bovini"),
    ],
)
def test_an_ingredient_that_was_missed_is_told(text, named):
    formula = hk.read(text)
    said = " ".join(doubt.text for doubt in formula.doubts)
    assert named in said or any(named in line.full_name for line in formula.lines)


def test_the_title_stays_where_a_name_behind_it_is_left_over():
    formula = hk.read("Rose Powder.—As a base take 200 of powdered iris root, add 600 parts of talc and 2 parts of starch.")
    assert formula.title == "Rose Powder" and any("iris root" in part for part in formula.unread)


def test_left_over_doubts_are_kept():
    formula = hk.read("Talc, 4 ounces; starch, 2 ounces. Lay white lead upon the bottom of the pot.")
    assert type(formula).from_json(formula.to_json()) == formula
