"""Amounts that a scan has worn: mended where an amount stands, with a doubt; left alone where words only look like one."""

import pytest

import histkit as hk


def amounts(text):
    return [(line.amount, line.unit) for line in hk.read(text).lines]


def test_ounces_with_worn_letters():
    text = "Yellow saunders . 202,\nCoriander seeds : 2 02.\nOrris root 2 oz.\nCalamus 2 07.\nLavender 2 or.\nOak shavings 1 Ib."
    assert amounts(text) == [(2, "ounce")] * 5 + [(1, "pound")]
    doubted = [any(d.about == "unit" for d in line.doubts) for line in hk.read(text).lines]
    assert doubted == [True, True, False, True, True, True]


@pytest.mark.parametrize(
    ("printed", "amount", "unit"),
    [
        ("% an ounce of oil of lavender", 0.5, "ounce"),
        ("44 of an ounce of oil of rosemary", 0.25, "ounce"),
        ("2% pounds of lard", 2.5, "pound"),
        ("4 drathms of borax", 4, "drachm"),
        ("1-2 an oz. of oil of lavender", 0.5, "ounce"),
    ],
)
def test_worn_fractions_and_units(printed, amount, unit):
    (line,) = hk.read(f"Take {printed}.").lines
    assert (line.amount, line.unit) == (amount, unit)


def test_a_fraction_that_a_copy_has_collapsed():
    lines = hk.read("Borax, 2 drachms\nGlycerine, 212 oz.\nAlcohol, 114 pint\n").lines
    assert [(line.amount, line.unit) for line in lines] == [(2, "drachm"), (2.5, "ounce"), (1.25, "pint")]
    assert all("amount" in {d.about for d in line.doubts} for line in lines[1:])
    assert "212" in lines[1].doubts[0].others, "what is printed is the other reading"


def test_large_figures_are_left_alone_where_the_formula_has_others():
    assert amounts("Alcohol, 212 parts\nWater, 480 parts\nOil, 60 parts\n") == [(212, "part"), (480, "part"), (60, "part")]


@pytest.mark.parametrize("text", ["Talc 4 oz.\nPitch 2 oz.", "Lard 4 oz.; 2 points of camphor"])
def test_words_like_a_unit_are_none(text):
    assert all("unit" not in {d.about for d in line.doubts} for line in hk.read(text).lines)


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("Beef suet ^xvj, lard §xvj, turpentine ^ij", [(16, "ounce"), (16, "ounce"), (2, "ounce")]),
        ("Mercury Ibij, lard ^xxiij", [(2, "pound"), (23, "ounce")]),
        ("Pearl barley %ss, water f^xvj", [(0.5, "ounce"), (16, "fluid ounce")]),
        ("Gum arabic gvj, white sugar ^iij", [(6, "drachm"), (3, "ounce")]),
        ("Chalk . . 5iij. Myrrh . 5ss.", [(3, "drachm"), (0.5, "drachm")]),
        ("Galls Jviij; lard ʒj", [(8, "drachm"), (1, "drachm")]),
    ],
)
def test_worn_signs(printed, expected):
    """In the manner of raw scans of formularies of the 1850s."""
    assert amounts(printed) == expected


def test_a_range_set_as_tight_as_a_decimal_is_doubted():
    one, other = hk.read("Oil of roses, 1-6 grammes; musk, 2·5 grammes").lines
    assert one.amount == (1, 6) and one.doubts[0].others == ("1.6 gram",) and other.amount == 2.5
