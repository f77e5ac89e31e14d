"""Ingredient lists without amounts: told apart, looked up, and what their order says."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

import histkit as hk
from histkit.base.errors import BadValue
from histkit.telling.listed import IngredientList, meanings, ordinal

LABEL = "Ingredients: Talc, Zea Mays (Corn) Starch, Kaolin; Zinc Stearate, Parfum. May contain [+/-]: CI 77891, CI 77491 (Iron Oxides)."


def test_a_label_as_it_is_printed():
    label = hk.ingredient_list(LABEL)
    assert [e.ingredient.id for e in label.entries] == [
        "talc", "corn-starch", "kaolin", "zinc-stearate", "perfume", "titanium-dioxide", "iron-oxide-red",
    ]  # fmt: skip
    assert [e.place for e in label.entries] == [1, 2, 3, 4, 5, None, None]
    assert [e.perhaps for e in label.entries] == [False] * 5 + [True] * 2


@pytest.mark.parametrize("words", [
    "Talc, Zinc Oxide, Parfum", "INGREDIENTS - TALC • ZINC OXIDE • PARFUM", "Face powder. Contains: Talc; Zinc Oxide; Parfum.",
    "Ingrédients : Talc, Zinc Oxide, Parfum", "Talc\nZinc Oxide\nParfum\n", "Talc, Zinc Oxide, talc, Parfum",
])  # fmt: skip
def test_the_same_list_in_other_shapes(words):
    assert [e.ingredient.id for e in hk.ingredient_list(words).entries] == ["talc", "zinc-oxide", "perfume"]


def test_colours_at_the_end_have_no_place_and_those_before_others_have():
    assert [e.place for e in hk.ingredient_list("Talc, Mica, CI 77491, CI 77891").entries][-2:] == [None, None]
    assert [e.place for e in hk.ingredient_list("Talc, CI 77891, Kaolin").entries] == [1, 2, 3]


def test_a_name_that_nobody_knows_is_kept():
    label = hk.ingredient_list("Talc, Umbrella Dust")
    assert label.entries[1].ingredient.id.startswith("unknown") and "Umbrella Dust" in label.to_text()


def test_one_label_name_for_several_old_things():
    assert {"calcium-carbonate-precipitated", "calcium-carbonate"} <= {i.id for i in meanings("Calcium Carbonate")}


def test_bounds_by_hand():
    """The law's order (article 19(1)(g)): of four names the first is at least a quarter, the second at most a half …"""
    four = hk.ingredient_list("Talc, Kaolin, Zinc Stearate, Parfum")
    assert [four.bounds(e) for e in four.entries] == [(0.25, 1.0), (0.0, 0.5), (0.0, pytest.approx(1 / 3)), (0.0, 0.25)]
    known = hk.ingredient_list("Talc, Kaolin, Zinc Stearate, Parfum", one_percent_from="parfum")
    # three above 1 %, one below: 3 x ≥ 0.99 for the first; the second at most (1 - 0.01) / 2
    assert known.bounds(known.entries[0]) == pytest.approx((0.33, 0.98))
    assert known.bounds(known.entries[1]) == pytest.approx((0.01, 0.495))
    assert known.bounds(known.entries[3]) == (0.0, 0.01)
    old = hk.ingredient_list("Talc, Kaolin", ordered=False)
    assert [old.bounds(e) for e in old.entries] == [(0.0, 1.0)] * 2


NAMES = ("Talc", "Kaolin", "Zinc Stearate", "Magnesium Carbonate", "Silica", "Parfum")


@given(st.lists(st.floats(0.0001, 1), min_size=2, max_size=6), st.integers(0, 2**31), st.booleans())
def test_every_lawful_label_lies_within_its_bounds(masses, seed, told):
    """Any mixture, labelled as the law says, has each share within the bounds that are read from its label."""
    shares = [m / sum(masses) for m in masses]
    above = sorted((s for s in shares if s >= 0.01), reverse=True)
    below = [s for s in shares if s < 0.01]
    random.Random(seed).shuffle(below)
    names = NAMES[: len(shares)]
    line = names[len(above)] if told and below else None
    label = hk.ingredient_list(", ".join(names), one_percent_from=line)
    for entry, share in zip(label.entries, (*above, *below), strict=True):
        low, high = label.bounds(entry)
        assert low - 1e-9 <= share <= high + 1e-9


@pytest.mark.parametrize("text", ["", " , ; ", "Ingredients:", "12, 13"])
def test_lists_that_name_nothing(text):
    with pytest.raises(BadValue, match="names nothing"):
        hk.ingredient_list(text)


def test_other_refusals():
    with pytest.raises(BadValue, match="at most"):
        hk.ingredient_list("talc," * 10_000)
    for wrong in ("mica", 9, "Talc", 1):
        with pytest.raises(BadValue, match="one_percent_from"):
            hk.ingredient_list("Talc, Kaolin", one_percent_from=wrong)
    with pytest.raises(BadValue, match="not an ingredient list"):
        IngredientList.from_json('{"entries": 3}')


def test_kept_as_json():
    label = hk.ingredient_list(LABEL, name="a tin", one_percent_from="Parfum")
    assert IngredientList.from_json(label.to_json()) == label


def test_everything_typed_is_escaped():
    assert "<script>" not in hk.ingredient_list("Talc, <script>alert(1)</script>").to_html()


@pytest.mark.parametrize(
    ("number", "words"), [(1, "1st"), (2, "2nd"), (3, "3rd"), (4, "4th"), (11, "11th"), (12, "12th"), (21, "21st")]
)
def test_places_in_words(number, words):
    assert ordinal(number) == words
