"""Amounts of early receipts: whose they are, what is left, what a dose is taken in. Invented sentences in the manner of 1550 to 1700."""

from __future__ import annotations

import pytest

import histkit as hk

EARLY = hk.Source(title="An early dispensatory", year=1650, country="GB")


def lines(text):
    return [(line.amount, line.unit, line.ingredient) for line in hk.read(text, source=EARLY).lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("take of that decoction. lb.j. of honie. ℥.ss. of salt. ʒ.j. commixe them together.",
         [(1.0, "pound", "decoction"), (0.5, "ounce", "honie"), (1.0, "drachm", "salt")]),
        ("take of the liquor. lb.ij. of sugar. ℥.j. of cloves. ʒ.iij. and mingle them.",
         [(2.0, "pound", "liquor"), (1.0, "ounce", "sugar"), (3.0, "drachm", "cloves")]),
        ("Take two ounces of sugar, an ounce of honey and a dram of salt, boil them.",
         [(2.0, "ounce", "sugar"), (1.0, "ounce", "honey"), (1.0, "drachm", "salt")]),
        ("Take a pound of Quinces & fower ounces of Suger.", [(1.0, "pound", "Quinces"), (4.0, "ounce", "Suger")]),
        ("Take of sugar apinte, of honey anounce, of salt a dram.",
         [(1.0, "pint", "sugar"), (1.0, "ounce", "honey"), (1.0, "drachm", "salt")]),
        ("℞ juniperi recent. an ʒ vj. cort. citri ʒ ij.", [(6.0, "drachm", "juniperi recent"), (2.0, "drachm", "cort. citri")]),
        ("Boil them in two quarts of water with Borage, Endive, Hops, each a handful.",
         [(2.0, "quart", "water"), (1.0, "handful", "Borage"), (1.0, "handful", "Endive"), (1.0, "handful", "Hops")]),
        ("Take Bole four Ounces; Vinegar one Ounce, in which dissolve two Scruples of the best Bole.",
         [(4.0, "ounce", "Bole"), (1.0, "ounce", "Vinegar"), (2.0, "scruple", "best Bole")]),
    ],
)  # fmt: skip
def test_each_amount_has_its_own_name(text, expected):
    assert lines(text) == expected


@pytest.mark.parametrize(
    "dose",
    [
        "Give him a spoonful or two of it in a quart of ale.", "Let him take of this a spoonful in a pint of white wine.",
    ],
)  # fmt: skip
def test_what_a_dose_is_taken_in_is_no_ingredient(dose):
    assert [name for _, _, name in lines(f"Take rue an ounce, honey a pound, boil them. {dose}")] == ["rue", "honey"]


def test_what_a_thing_is_put_in_is_an_ingredient():
    assert len(lines("Take sugar a pound; boil an ounce of it in a pint of ale, add a dram of cloves.")) >= 2
    assert (1.0, "pint", "ale") in lines("Take rue an ounce and put thereto a pint of ale.")


@pytest.mark.parametrize(
    "left", ["till the third part be consumed", "to the consumption of a third part", "till it comes to a pint", "let it come to a pint"]
)
def test_what_is_boiled_away_or_left_is_no_amount_of_the_next_thing(left):
    read = lines(f"Take Sage, Rue, of each a handful, water a gallon. Boil them {left}, then add an ounce of sugar.")
    assert [(amount, unit) for amount, unit, _ in read] == [(1.0, "handful"), (1.0, "handful"), (1.0, "gallon"), (1.0, "ounce")]


def test_what_is_put_in_before_the_straining_is_no_use():
    assert len(lines("Take sugar a pound, water a pint, boil them, then put in a Lemon and strain it.")) == 3
    assert len(lines("Take rue an ounce; put it in warm water and wash the face.")) == 1


@pytest.mark.parametrize("bath", ["set it in Horsedung", "digest it in horse-dung fourteen days"])
def test_a_bath_of_dung_is_no_ingredient_and_told(bath):
    formula = hk.read(f"Take myrrh six ounces, spirit a pint, lute it fast, and {bath}.", source=EARLY)
    assert len(formula.lines) == 2
    assert any("dung" in doubt.text for doubt in formula.doubts)


def test_what_is_taken_off_is_none():
    assert [name for _, _, name in lines("To a pint of Milk put a pint of Butter-milk, take off the Curd")] == ["Milk", "Butter-milk"]


@pytest.mark.parametrize("price", ["ij. d. worth of cloves", "of Saffaron one penny worth", "of Saffron one penny worth"])
def test_a_price_stands_for_an_amount_and_is_told(price):
    formula = hk.read(f"Take Myrrh one ounce, {price}, and an ounce of sugar.", source=EARLY)
    assert [line.amount for line in formula.lines] == [1.0, None, 1.0]
    assert any("price" in doubt.text for doubt in formula.lines[1].doubts)


@pytest.mark.parametrize("names", ["Suet, and Raisins and Dates", "Suet, and Currants and Figs", "Pepper and Mace"])
def test_a_good_deal_of_several_known_things_is_a_line_for_each(names):
    formula = hk.read(f"Take a pint of cream, and a good deal of {names}, and a little Sugar.", source=EARLY)
    assert len(formula.lines) == 2 + len(names.replace(",", "").split(" and "))
