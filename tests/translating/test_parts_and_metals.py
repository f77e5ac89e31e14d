"""Which part of a plant a handful is of, which part stands behind its plant, and bare names among metals."""

import pytest

import histkit as hk


def ids(text, year=1650):
    formula = hk.read(text, source=hk.Source(title="x", year=year, country="GB"))
    return [line.ingredient.id if line.ingredient else None for line in hk.translate(formula).lines]


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Comfrey two handfuls, water a pint.", "comfrey-leaves"),
        ("Soapwort a handful, water a pint.", "soapwort-leaves"),
        ("Willow a handful, water a pint.", "willow-leaves"),
        ("Comfrey two ounces, water a pint.", "comfrey-root"),
        ("Comfrey roots two handfuls, water a pint.", "comfrey-root"),
    ],
)
def test_a_handful_is_of_leaves_unless_the_part_is_printed(text, meant):
    assert ids(f"Take {text}")[0] == meant


def test_the_leaves_are_told_with_the_root_beside_them():
    match = hk.translate(hk.read("Take Comfrey two handfuls, water a pint.")).lines[0]
    assert any("comfrey root" in doubt.text for doubt in match.doubts)


@pytest.mark.parametrize(
    ("text", "meant"),
    [
        ("Elder leaves a handful, the bark an ounce, honey a pint.", "elder-bark"),
        ("Fennel roots an ounce, the seeds two drachms, honey a pint.", "fennel-seed"),
        ("Sugar a pound, the bark an ounce, honey a pint.", "cinchona-bark"),
    ],
)
def test_a_part_with_its_article_is_that_of_the_plant_before(text, meant):
    assert ids(f"Take {text}", 1750)[1] == meant


def test_the_herb_and_roots_of_a_plant_are_no_sweet_herbs():
    assert ids("Take of the herb and flowers of Betony, of each an ounce; honey a pound.") == [
        "betony-herb",
        "betony-flowers",
        "honey",
    ]


def test_bare_names_among_metals_are_metals():
    text = "Copper, 90 parts; tin, 8 parts; bismuth, 2 parts; zinc, 3 parts; antimony, 1 part."
    assert ids(text, 1900) == ["copper", "tin", "bismuth-metal", "zinc-metal", "antimony-metal"]


def test_bare_names_beside_other_things_are_not():
    assert "zinc-metal" not in ids("Copper, 9 parts; tin, 8 parts; zinc, 3 parts; starch, 2 parts.", 1900)


@pytest.mark.parametrize(
    ("text", "modifier"),
    [
        ("Flour or air-slaked lime, 5 lb.; salt 1 lb.", ""),
        ("One ounce of sugar or powdered alum, and a pint of water.", ""),
        ("One ounce of fresh or dried roses, and a pint of water.", "fresh dried"),
        ("One ounce of powdered sugar or alum, and a pint of water.", "powdered"),
    ],
)
def test_a_modifier_behind_or_is_not_the_first_ones(text, modifier):
    assert hk.read(text).lines[0].modifier == modifier


def test_alum_dissolved_is_alum_and_lupins_are_seeds():
    assert ids("Alum, dissolved, 1 teaspoonful; water, 1 pint.", 1900)[0] == "alum"
    assert ids("Take Lupines 2 drachms, honey an ounce.")[0] == "lupin-seed"
