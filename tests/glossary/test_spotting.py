"""Known names in running text."""

from itertools import pairwise

import pytest

from histkit import glossary
from histkit.base import tables
from histkit.glossary.spotting import Spot, spots
from histkit.glossary.stretches import plain_spelling


def told(sentence):
    """The words of each name that was found, and the likeliest ingredient."""
    words = sentence.split()
    return [(" ".join(words[spot.start : spot.end]), spot.ingredients[0]) for spot in spots(words)]


def test_a_name_in_a_sentence():
    words = "Put an ounce of the oxide of zinc into a plate".split()
    assert spots(words) == (Spot(5, 8, ("zinc-oxide",), True),)
    assert spots([]) == () and spots(["", "of", "—"]) == ()


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("take oyle of Cloues and Beniamin", [("oyle of Cloues", "clove-oil"), ("Beniamin", "benzoin")]),
        ("ſixe ounces of red lead and a pint of ſallet oyle", [("red lead", "red-lead"), ("ſallet oyle", "olive-oil")]),
        ("vvater of Roſes", [("vvater of Roſes", "rose-water")]),
        ("Ol. Ros. Aquæ Rosarum", [("Ol. Ros.", "rose-oil"), ("Aquæ Rosarum", "rose-water")]),
        ("Hydrarg. Chlorid. Corros. gr", [("Hydrarg. Chlorid. Corros.", "mercuric-chloride")]),
        ("Eau de fleurs d'orange et huile d’amandes douces", [("Eau de fleurs d'orange", "orange-flower-water"), ("huile d’amandes douces", "sweet-almond-oil")]),
        ("clove oil and oil of cloves", [("clove oil", "clove-oil"), ("oil of cloves", "clove-oil")]),
        ("dissolve the corrosive sublimate in the rose-water", [("corrosive sublimate", "mercuric-chloride"), ("rose-water", "rose-water")]),
    ],
)  # fmt: skip
def test_names_as_any_age_prints_them(printed, expected):
    assert told(printed) == expected


@pytest.mark.parametrize("printed", ["stir there these until thus the time", "a fig for your patience", "till we may", "Take a gill", "odors"])
def test_everyday_words_name_nothing(printed):
    assert told(printed) == []


def test_half_of_a_hyphened_word_never_stands_for_it():
    assert told("goats-beeswax") == [] and told("tallow") == [("tallow", "tallow")]
    assert told("a rose-coloured hue") == []


def test_the_longest_name_is_taken_and_no_word_twice():
    assert told("oil of bitter almonds") == [("oil of bitter almonds", "bitter-almond-oil")]
    assert told("rose and water") == [("rose", "rose-petals"), ("water", "water")]
    found = spots("oil of rose water of ammonia cream of tartar emetic".split())
    assert all(one.end <= two.start for one, two in pairwise(found))


def test_a_contested_name_brings_all_its_meanings():
    (spot,) = spots(["flake", "white"])
    assert "lead-carbonate" in spot.ingredients and len(spot.ingredients) > 1


def test_a_respelled_word_is_told_apart():
    assert [spot.exact for spot in spots(["oyle", "of", "mynte", "oil", "of", "cloves"])] == [False, True]


def test_every_name_of_the_glossary_is_found_in_a_sentence():
    """But for the few whose words do not count, or are everyday words: each stands for something wherever it is printed."""
    missed = 0
    names = [row["name"] for row in glossary.rows("names") if row["language"] in ("en", "fr", "de")]
    for name in names:
        words = name.replace("(", "").replace(")", "").replace(",", "").split()
        missed += not any(spot.start == 0 and spot.end == len(words) for spot in spots(words))
    assert missed / len(names) < 0.01


def test_the_tables_of_spotting_are_in_order():
    rows = tables.read("glossary/lookup_unspotted")
    assert len({row["word"] for row in rows}) == len(rows) and {row["where"] for row in rows} == {"alone", "anywhere"}
    assert plain_spelling("oyles") == plain_spelling("oile") == plain_spelling("oil")
    assert plain_spelling("chloride") != plain_spelling("chlorate")
