"""Figures in digits and in words."""

import pytest
from reading_stages import viewed

import histkit as hk
from histkit.reading.figures import amount_at, figure_at


@pytest.mark.parametrize(
    ("text", "amount"),
    [
        ("two and a half ounces", 2.5), ("1 to 2", (1.0, 2.0)), ("five-and-twenty", 25.0), ("a dozen and a half", 18.0), ("2 ½", 2.5),
        ("three-fourths of an", 0.75), ("a couple of", 2.0), ("one hundred and fifty-six", 156.0), ("iv oz.", 4.0),
        ("half a quarter of an", 0.125), ("halfe a\nquarter of a", 0.125), ("half quarter of an", 0.125),
    ],
)  # fmt: skip
def test_amounts(text, amount):
    assert amount_at(viewed(text), 0).amount == amount


def test_a_row_of_hundreds_ends_somewhere():
    assert figure_at(viewed("hundred " * 400), 0).value < 1e30


def test_typewritten_fractions_are_told_from_ranges_by_the_whole_text():
    assert viewed("2 1-2 oz.").mixes_hyphens and not viewed("1-2 drops").mixes_hyphens


@pytest.mark.parametrize(
    ("text", "amount"), [("a dozen of", 12.0), ("two dosen", 24.0), ("half a douzen", 6.0), ("a dozzen and a half", 18.0)]
)
def test_dozens_of_any_spelling(text, amount):
    assert amount_at(viewed(f"{text} eggs"), 0).amount == amount
    assert [line.amount for line in hk.read(f"Take a pint of milk, {text} eggs, and an ounce of sugar.").lines][1] == amount
