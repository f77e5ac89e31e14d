"""What a formula says of others, and what no line holds."""

import pytest

from histkit.reading import read, separate
from histkit.reading.remainder import is_title


def test_a_portion_speaks_of_the_lines_just_above():
    formula = read("Talc 4 oz. Mix.\n\nChalk 2 oz.\nRose 1 oz.\n\nTo 12 drachms of this powder add musk 2 grains")
    assert [portion.lines for portion in formula.portions] == [(1, 3)]
    assert [portion.doubts[0].others for portion in formula.portions] == [("all 3 lines above it",)]


def test_another_formula_begins():
    text = "Talc 4 oz.\n\nAnother: chalk 2 oz.\n"
    assert separate(text) == ("Talc 4 oz.\n\n", "Another: chalk 2 oz.\n")


def test_title_directions_and_unread():
    formula = read("ROUGE.\n\nTalc 4 oz.\nCarmine 1 oz.\n\nMix and sift.\n\nA pretty thing")
    assert (formula.title, formula.directions, formula.unread) == ("ROUGE", "Mix and sift.", ("A pretty thing",))


@pytest.mark.parametrize(
    ("piece", "after", "title"),
    [("FACE POWDER", "\nTalc", True), ("Boil", " 1 lb.", False), ("No. 4,", "", False), ("Recipe", "", False)],
)
def test_titles(piece, after, title):
    assert is_title(piece, after) is title


@pytest.mark.parametrize(
    "second",
    [
        "Garland's--Shellac, 4 oz.; spirit, 1 pint.",
        "Another cement is made by melting two ounces of wax with an ounce of rosin.",
        "The following is also a good liniment: Soap, 1 ounce; ammonia, 2 ounces.",
        "As a tonic we advise the following: Gentian, four ounces; nitre, four ounces.",
        "For worms give turpentine, one ounce; linseed oil, one pint.",
        "Second. The flux of purple is made with 3 ounces of red lead and 5 ounces of borax.",
        "In case large quantities are needed, ten pounds of lime may be slaked in twenty gallons of water.",
        "\n2. LEAN MIXTURE\n 1 oz. cement\n 3 oz. sand",
    ],
)
def test_where_another_formula_begins_is_told_once(second):
    """Fault: the amounts of several receipts were one formula, in silence."""
    told = [doubt.text for doubt in read(f"Borax, 1 ounce; water, 2 pints. {second}").doubts if doubt.about == "formula"]
    assert len(told) == 1 and "Another formula" in told[0]


@pytest.mark.parametrize(
    "second",
    [
        "Then add the following: soap, 1 ounce; ammonia, 2 ounces.",
        "For the colour take carmine, 2 drachms.",
        "Second, add the oil, 3 ounces.",
        "The following day add 2 ounces of alum.",
        "Lastly, otto of rose, 3 drops.",
    ],
)
def test_what_goes_on_is_no_other_formula(second):
    assert not [d for d in read(f"Borax, 1 ounce; water, 2 pints. {second}").doubts if d.about == "formula"]
