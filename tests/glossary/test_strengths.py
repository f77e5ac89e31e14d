"""A printed strength says which spirit is meant; the figures are those of the law and of the pharmacopoeias."""

import pytest

import histkit as hk
from histkit import glossary
from histkit.measures import alcohol


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
    match = glossary.find("spirits of wine of 50 per cent")
    assert match.ingredient.id == "proof-spirit" and "alcohol" in {other.id for other in match.alternatives}


@pytest.mark.parametrize(
    ("printed", "meant"),
    [
        ("Schwefelsäure von 66° B.", "sulfuric-acid"),
        ("Salzsäure von 20° Baumé", "hydrochloric-acid"),
        ("nitric acid of 36 degrees", "nitric-acid"),
        ("ammonia, sp. gr. 0.880", "ammonia-solution"),
        ("Aetzkalilauge von 1,3 spec. Gew.", "potassium-hydroxide-solution"),
        ("caustic soda lye of 40° Tw.", "caustic-lye"),
        ("Glycerin von 26° B.", "glycerin"),
        ("Weingeist von 80 Proc.", "alcohol"),
        ("spirit, 56° o.p.", "alcohol"),
    ],
)
def test_a_strength_behind_a_name_is_no_part_of_it(printed, meant):
    match = glossary.find(printed)
    assert match.ingredient.id == meant and match.name == printed
    assert not any("not understood" in doubt.text or "another preparation" in doubt.text for doubt in match.doubts)


@pytest.mark.parametrize("printed", ["gold leaf No. 2", "lemon juice 3", "30 per cent acetic acid"])
def test_figures_that_are_no_strength_behind_a_name_stay(printed):
    assert alcohol.without_strength(printed) == printed


def test_the_line_of_a_formula_is_the_strong_spirit():
    (line, _) = hk.translate(hk.read("Alcohol 190 proof, 1 pint; oil of rose, 1 drachm.")).lines
    assert line.ingredient.id == "alcohol"
