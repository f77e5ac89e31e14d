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
