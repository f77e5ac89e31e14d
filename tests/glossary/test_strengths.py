"""A printed strength says which spirit is meant; the figures are those of the law and of the pharmacopoeias."""

import pytest

import histkit as hk
from histkit import glossary


@pytest.mark.parametrize(
    ("printed", "spirit"),
    [
        ("alcohol 190 proof", "alcohol"),  # twice the per cent by volume: 95
        ("190 proof alcohol", "alcohol"),
        ("alcohol, 95 per cent", "alcohol"),
        ("alcohol, 80 per cent", "alcohol"),  # weaker than usual, and still called alcohol
        ("alcohol of 100 proof", "proof-spirit"),  # 50 per cent, the United States' proof
        ("alcohol of 50 per cent", "diluted-alcohol"),
        ("proof spirit", "proof-spirit"),
        ("alcohol", "alcohol"),
    ],
)
def test_the_spirit_follows_the_strength(printed, spirit):
    assert glossary.find(printed).ingredient.id == spirit


def test_a_spirit_of_another_kind_keeps_its_name():
    assert glossary.find("brandy 160 proof").ingredient.id == "brandy"


def test_what_was_found_first_stays_beside_it():
    match = glossary.find("alcohol 190 proof")
    assert "proof-spirit" in {other.id for other in match.alternatives}


def test_the_line_of_a_formula_is_the_strong_spirit():
    (line, _) = hk.translate(hk.read("Alcohol 190 proof, 1 pint; oil of rose, 1 drachm.")).lines
    assert line.ingredient.id == "alcohol"
