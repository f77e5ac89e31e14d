"""The head of a list, printed once before its first name or behind its last; invented sentences in the manner of 1550 to 1700."""

from __future__ import annotations

import pytest

import histkit as hk

EARLY = hk.Source(title="An early dispensatory", year=1650, country="GB")


def read(text):
    """The ids of the lines and which of them have a doubt of their name."""
    formula = hk.read(text, source=EARLY)
    ids = [line.ingredient.id if line.ingredient else "" for line in hk.translate(formula).lines]
    return ids, [any(doubt.about == "ingredient" for doubt in line.doubts) for line in formula.lines]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Take barks of Elm, Oak and Ash, of each a handful.", ["elm-bark", "oak-bark", "ash-bark"]),
        ("Take the juice of Oranges and Lemons, of each a pint.", ["orange-juice", "lemon-juice"]),
        ("Take the meal of Beans, Barley, and Lupins, of each an ounce.", ["bean-flour", "barley-meal", "lupin-flour"]),
        ("Take the grease of a goose and of a henne, of each two ounces.", ["goose-grease", "capon-grease"]),
        ("Seeds of anise, parsley, and nettles, of each two drams.", ["anise-seed", "parsley-seed", "nettle-seed"]),
        ("Syrup of Violets, clove-gilly-flowers, and Roses, of each an ounce.", ["violet-syrup", "clove-pink-petals", "rose-syrup"]),
    ],
)
def test_a_list_goes_on_past_a_name_that_no_row_knows_with_its_head(text, meant):
    ids, doubted = read(text)
    assert ids == meant
    assert all(doubted[2:])


@pytest.mark.parametrize(
    "text",
    [
        "Take water of Hops, of Cicory, of Germander, of each an ounce.",
        "Take distilled water of plantain, of Mullein and of Fern, of each a pound.",
        "Take the flowers of Camomill, of Rue, of Dill, of each a handful.",
        "A plaster made of Oil of Aniseeds, of wax, of bitter Almonds, of each an ounce.",
    ],
)
def test_what_may_be_meant_with_the_head_of_its_list_is_told(text):
    assert read(text)[1][-1]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Take Parsley and Anise seed, of each two drams.", ["parsley-seed", "anise-seed"]),
        ("Laurel and Juniper Berries, of each two drams.", ["bay-berries", "juniper-berries"]),
        ("Take Oak, Ash and Willow bark, of each an ounce.", ["oak-bark", "ash-bark", "white-willow-bark"]),
        ("Take Capon and Goose grease, of each an ounce.", ["capon-grease", "goose-grease"]),
        ("Take Bean and Barley meal, of each an ounce.", ["bean-flour", "barley-meal"]),
        ("Take Lettice and Purslain seed of each bruised two drachms.", ["lettuce-seed", "purslane-seed"]),
    ],
)
def test_the_noun_behind_the_next_name_is_taken_and_told(text, meant):
    ids, doubted = read(text)
    assert ids == meant
    assert all(doubted[:-1])


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Take ginger and fennel seed, of each a dram.", ["ginger-root", "fennel-seed"]),
        ("Take cloves, mace and orris root, of each a dram.", ["cloves", "mace", "orris-root"]),
        ("Take oil of olives, white wax, ginger and cloves, of each an ounce.", ["olive-oil", "beeswax-white", "ginger-root", "cloves"]),
        ("Meal of Linseed, and Wheat meal, of each an ounce.", ["linseed", "wheat-flour"]),
    ],
)
def test_what_has_no_such_part_shares_nothing_and_nothing_is_doubted(text, meant):
    ids, doubted = read(text)
    assert ids == meant
    assert not any(doubted)


def test_what_the_name_before_is_washed_in_is_told():
    formula = hk.read("Take Turpentine, washed in Rose-water, and Plantain-water, of each an ounce.", source=EARLY)
    washed = next(line for line in formula.lines if "Rose" in line.ingredient)
    assert any("worked with" in doubt.text for doubt in washed.doubts)


@pytest.mark.parametrize("name", ["powder of Cinnamon", "Oyl of Acorns"])
def test_the_head_of_a_name_without_an_amount_stays_with_it(name):
    formula = hk.read(f"Take Sage two ounces, Rue one ounce, boil them, and aromatize it with {name}.", source=EARLY)
    assert formula.lines[-1].ingredient == name


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("cinnamon, root of Bohemian angelica, and dill seed, each one drachm", ["cinnamon-bark", "angelica-root", "dill-seed"]),
        ("Dried leaves of rosemary, and lavender flowers, each an ounce", ["rosemary-leaves", "lavender-flowers"]),
    ],
)
def test_a_name_with_a_head_before_of_takes_no_tail_of_the_list(text, meant):
    assert read(text)[0] == meant
