"""Early spellings of the reader's own words."""

import pytest

import histkit as hk
from histkit.reading.spelling import SPELLED, bare


@pytest.mark.parametrize(
    ("printed", "meant"),
    [
        ("halfe", "half"), ("foure", "four"), ("fiue", "five"), ("ſixe", "six"), ("twelue", "twelve"), ("twentie", "twenty"),
        ("graines", "grains"), ("pounde", "pound"), ("pownd", "pound"), ("dramme", "dram"), ("handfull", "handful"), ("gallō", "gallon"),
        ("spoonfull", "spoonful"), ("boyle", "boil"), ("vntill", "until"), ("euery", "every"), ("fixteen", "sixteen"),
    ],
)  # fmt: skip
def test_an_early_spelling_is_the_word_of_today(printed, meant):
    assert SPELLED[printed] == meant or bare(SPELLED[printed]) == bare(meant)


@pytest.mark.parametrize(
    "word", ["talc", "dress", "does", "trees", "poison", "live", "fair", "mill", "skin", "step", "viij", "xxij"]
)
def test_other_words_stay_as_they_are(word):
    assert SPELLED[word] == word


def test_amounts_in_early_spelling():
    """The quantities and names of a powder in H. Plat, Delightes for Ladies, 1602, no. 9 of the beauty secrets."""
    text = "Take fiue ounces of orace, two ounces of Cipres; halfe an ounce of Cloues, ſixe graines of muske, foure handfuls of Roſe leaues"
    lines = hk.read(text).lines
    assert [(line.amount, line.unit) for line in lines] == [
        (5, "ounce"), (2, "ounce"), (0.5, "ounce"), (6, "grain"), (4, "handful"),
    ]  # fmt: skip
    assert [line.ingredient for line in lines] == ["orace", "Cipres", "Cloues", "muske", "Rose leaues"]


@pytest.mark.parametrize("word", ["deer", "steel", "bone", "male", "lini", "terre", "brine", "back", "sure", "poison", "point"])
def test_a_word_of_its_own_is_no_old_spelling_of_another(word):
    assert SPELLED[word] == word


@pytest.mark.parametrize(("word", "meant"), [("ſome", "some"), ("boyle", "boil"), ("glasse", "glass"), ("vpon", "upon")])
def test_an_old_spelling_of_a_small_word_is_that_word(word, meant):
    assert SPELLED[word] == meant
