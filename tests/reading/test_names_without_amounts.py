"""Names beside an amount that is none of theirs; the lines are made up in the manner of prints of 1650 to 1910."""

from __future__ import annotations

import pytest

import histkit as hk


def weighed(text, country="GB", year=1850):
    source = hk.Source(title="An invented book", year=year, country=country)
    return [(line.full_name, line.amount, line.unit) for line in hk.read(text, source=source).lines]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "2 Eier, Muskatnuß, Pfeffer, 1 Loth Butter",
            [("Eier", 2.0, "piece"), ("Muskatnuß", None, "none"), ("Pfeffer", None, "none"), ("Butter", 0.5, "ounce")],
        ),
        (
            "3 eggs, nutmeg, pepper and mace, 2 cups of flour",
            [("eggs", 3.0, "piece"), ("nutmeg", None, "none"), ("pepper", None, "none"), ("mace", None, "none"),
             ("flour", 2.0, "cupful")],
        ),
        (
            "2 oz. raisins, ½ oz. cinnamon, 60 grs. cochineal, proof spirit.",
            [("raisins", 2.0, "ounce"), ("cinnamon", 0.5, "ounce"), ("cochineal", 60.0, "grain"), ("proof spirit", None, "none")],
        ),
    ],
)  # fmt: skip
def test_behind_a_count_or_an_amount_that_ends_the_list(text, lines):
    assert weighed(text) == lines


def test_behind_the_and_of_a_list():
    """'Proof spirit' stands behind the list whose last two names 'and' joins."""
    assert weighed("2 oz. senna, ½ oz. each of caraway, mace and coriander, proof spirit.") == [
        ("senna", 2.0, "ounce"), ("caraway", 0.5, "ounce"), ("mace", 0.5, "ounce"), ("coriander", 0.5, "ounce"),
        ("proof spirit", None, "none"),
    ]  # fmt: skip


def test_a_list_with_commas_alone_is_whole():
    assert weighed("½ oz. each of caraway, mace, coriander, sugar.") == [
        ("caraway", 0.5, "ounce"), ("mace", 0.5, "ounce"), ("coriander", 0.5, "ounce"), ("sugar", 0.5, "ounce"),
    ]  # fmt: skip


def test_enough_behind_a_comma():
    assert weighed("One tablespoonful of flour, enough brandy or water to make a paste.")[1] == ("brandy or water", None, "q.s.")


def test_so_viel_is_as_much_as_it_takes():
    assert weighed("125 g Butter und soviel Milch, 200 g Mehl", "DE", 1895) == [
        ("Butter", 125.0, "gram"), ("Milch", None, "q.s."), ("Mehl", 200.0, "gram"),
    ]  # fmt: skip


def test_as_many_is_as_much():
    text = "Take three pounds of Roses, two of the Flowers of Orange, as many of Myrtle, half a pound of Cloves."
    assert weighed(text)[1:3] == [("Flowers of Orange", 2.0, "pound"), ("Myrtle", 2.0, "pound")]


def test_a_sentence_ends_behind_the_word_that_a_line_ran_over_to():
    text = "One dozen oranges, two quarts water; sugar to the\ntaste. Rind of four oranges."
    assert weighed(text)[2] == ("Rind oranges", 4.0, "piece")


def test_names_that_a_comma_joins_to_one_are_told():
    source = hk.Source(title="An invented book", year=1669, country="GB")
    first = hk.read("Put it to your Cream with half a pound of Raisins, Sugar, Spice, four Eggs.", source=source).lines[0]
    assert [doubt.about for doubt in first.doubts] == ["group"]
    assert not hk.read("Three laurel, peach, or nectarine leaves in a pint of cream.", source=source).lines[1].doubts


def test_what_it_is_seasoned_with():
    text = "Take two pounds of veal; season it with pepper, ginger and salt; lay it in a dish with a pint of cream."
    assert [name for name, _, _ in weighed(text)] == ["veal", "pepper", "ginger", "salt", "cream"]


@pytest.mark.parametrize(
    "text",
    [
        "Boil a pint of cream with an ounce of isinglass; rub it through a hair sieve.",
        "Take an ounce of borax and a pint of rose water; it strengthens the hair.",
        "Take an ounce of borax and a pint of the most fragrant rose water.",
    ],
)
def test_a_sieve_of_hair_and_the_hair_that_is_washed_are_not_missed(text):
    """Nor is 'most' the juice of grapes."""
    source = hk.Source(title="An invented book", year=1830, country="GB")
    formula = hk.read(text, source=source)
    assert formula.doubts == () and len(formula.lines) == 2


@pytest.mark.parametrize(
    ("said", "names"),
    [
        ("Flavor it with nutmeg and cinnamon", ["nutmeg", "cinnamon"]),
        ("perfume with oil of lemon and oil of bergamot", ["oil of lemon", "oil of bergamot"]),
        ("scent with bergamot, cloves and cassia", ["bergamot", "cloves", "cassia"]),
        ("coloured with carmine and scented with otto of roses", ["carmine", "otto of roses"]),
        ("colour with cochineal or carmine", ["cochineal or carmine"]),
    ],
)
def test_each_of_two_that_it_is_scented_with_has_its_line(said, names):
    """'Flavor it with nutmeg and cinnamon': The Young Housekeeper's Friend, 1859."""
    assert weighed(f"1 lb. of starch, 2 oz. of soap; {said}.")[2:] == [(name, None, "q.s.") for name in names]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (  # Pigments, Paint and Painting, 1893
            "Grind 1 part washed antimony with 2 parts red-lead to a stiff paste with water",
            [(1, "part", "washed antimony"), (2, "part", "red-lead"), (None, "none", "water")],
        ),
        (
            "Mix 3 parts of whiting and 1 part of white lead to a thin cream with linseed oil.",
            [(3, "part", "whiting"), (1, "part", "white lead"), (None, "none", "linseed oil")],
        ),
        ("Rub 2 oz. of chalk into a smooth paste with rose water.", [(2, "ounce", "chalk"), (None, "none", "rose water")]),
        ("Knead 2 lb. of flour to a dough with milk", [(2, "pound", "flour"), (None, "none", "milk")]),
        ("1 oz. of gum to a pint of cream", [(1, "ounce", "gum"), (1, "pint", "cream")]),
        ("Melt a pound of glue, thin with a quart of vinegar", [(1, "pound", "glue"), (1, "quart", "vinegar")]),
        ("two ounces of thin glue, one pint of water", [(2, "ounce", "thin glue"), (1, "pint", "water")]),
    ],
)
def test_what_comes_of_it_is_no_part_of_a_name(text, lines):
    assert weighed(text) == [(name, amount, unit) for amount, unit, name in lines]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        # 'a piece of butter the size of an egg': The Young Housekeeper's Friend, 1859
        (
            "Melt a piece of butter the size of an egg and add a pint of milk.",
            [("butter", 1, "piece"), ("milk", 1, "pint")],
        ),
        ("Take a lump of alum the size of a walnut, a pint of water.", [("alum", 1, "piece"), ("water", 1, "pint")]),
        ("A lump of sugar as big as a little walnut, one pint of cream.", [("sugar", 1, "piece"), ("cream", 1, "pint")]),
        ("Alum half as large as an egg, two pints of water.", [("Alum", None, "none"), ("water", 2, "pint")]),
        ("Potash, a piece the size of a nut; 1 pint of water.", [("Potash", 1, "piece"), ("water", 1, "pint")]),
    ],
)
def test_what_a_piece_is_compared_with_is_no_part_of_its_name(text, lines):
    assert weighed(text) == lines
    assert any("gives no weight" in doubt.text for doubt in hk.read(text).lines[0].doubts)


def test_an_abbreviation_at_the_head_of_a_column_is_no_title():
    """'Sacch. Pepsin': The Propaganda for Reform in Proprietary Medicines, 1916."""
    assert weighed("Sacch. Pepsin   4 grains\nPure Pancreatin   1 grain")[0] == ("Sacch. Pepsin", 4, "grain")


def test_a_row_that_could_not_be_read_is_told_and_a_heading_is_not():
    """'Red Coloring.': The Candy Maker's Guide, 1896."""
    rows = "7 lbs. White Sugar.\n2 lbs. Glucose.\n{}\n3 pints Water."
    assert [doubt.text for doubt in hk.read(rows.format("Red Coloring.")).doubts] == [
        "'Red Coloring.' stands among the ingredients and could not be read."
    ]
    assert not hk.read(rows.format("For brown:")).doubts
    assert not hk.read(rows.format("RED DROPS.")).doubts


@pytest.mark.parametrize(
    ("said", "name"),
    [
        ("gießt noch etwa verdünnten Alkohol hinzu", "verdünnten Alkohol"),  # Blätter für Mode und Handarbeit, 1899
        ("man schmelzt es und setzt Rosenwasser zu", "Rosenwasser"),
        ("hierzu thut man Kampfer", "Kampfer"),
        ("und fügt Essig bei", "Essig"),
    ],
)
def test_what_a_german_sentence_pours_in(said, name):
    assert weighed(f"4 Loth Seife und 2 Loth Salz, {said}.", country="DE")[2:] == [(name, None, "none")]


def test_half_a_german_word_is_that_of_the_choice():
    line = hk.translate(hk.read("1 Pfund Rosen- oder Orangenblüthenwasser")).lines[0]
    assert line.ingredient.id == "rose-water" and line.doubts


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        (
            "Dissolve 20 lbs. of lump sugar in hot water, add 2 oz. of alum",
            [("lump sugar", 20.0, "pound"), ("hot water", None, "none"), ("alum", 2.0, "ounce")],
        ),
        ("juice of apples 1 oz.; clarify this with the white of an egg", [("juice of apples", 1.0, "ounce"), ("white of an egg", 1.0, "piece")]),
        ("gum 2 oz.; pour on spirit of wine, strew on sugar", [("gum", 2.0, "ounce"), ("spirit of wine", None, "none"), ("sugar", None, "none")]),
        (
            "crab-claws 2 oz., make this into paste with jelly of isinglass",
            [("crab-claws", 2.0, "ounce"), ("jelly of isinglass", None, "none")],
        ),
        (
            "make it into a paste with a little cold water; pour over it half a pint of boiling water, 1 drachm of borax",
            [("cold water", None, "none"), ("boiling water", 0.5, "pint"), ("borax", 1.0, "drachm")],
        ),
        ("add a quart of water to the barley, 2 oz. of figs", [("water", 1.0, "quart"), ("figs", 2.0, "ounce")]),
        (
            "twenty raisins, a bit of stick liquorice as long as your finger",
            [("raisins", 20.0, "piece"), ("stick liquorice", 1.0, "piece")],
        ),
    ],
)  # fmt: skip
def test_what_a_sentence_puts_to_it_and_what_it_is_put_to(text, lines):
    assert weighed(text) == lines


def test_a_tool_is_no_ingredient_though_its_word_begins_a_name():
    assert weighed("3 oz. of gum; rub it with a bit of stick, add 2 oz. of sugar") == [("gum", 3.0, "ounce"), ("sugar", 2.0, "ounce")]


@pytest.mark.parametrize("said", ["mit Wasser angerührt", "in Wasser aufgelöst", "mit Wasser versetzt"])
def test_what_a_german_participle_behind_it_puts_in(said):
    assert weighed(f"4 Loth Seife und 2 Loth Salz, {said}.", country="DE")[2:] == [("Wasser", None, "none")]


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Boil mint and camomile in water, sweeten with treacle.", ["mint", "camomile", "water", "treacle"]),
        ("A red paste, which is a mixture of safflower and talc.", ["safflower", "talc"]),
        ("Gentian root\nCentaury\nGermander\nMix all these, finely powdered.", ["Gentian root", "Centaury", "Germander"]),
    ],
)
def test_a_receipt_without_any_amount_gives_what_it_names(text, names):
    """Fault: such a receipt was refused."""
    formula = hk.read(text)
    assert [line.ingredient for line in formula.lines] == names
    assert all(line.amount is None and line.doubts for line in formula.lines)


@pytest.mark.parametrize("text", ["Roses and violets grew about the house.", "Boil the water.", "Talc", "Talc and chalk are white."])
def test_what_is_no_receipt_is_refused_still(text):
    with pytest.raises(hk.ReadingError):
        hk.read(text)
