"""Preparations named in words that no row has, by the names of what they are made of; and none in silence for its mother."""

import pytest

from histkit import glossary
from histkit.base import tables

PREPARATIONS = {
    "sirop de coing": "quince-tree-syrup",
    "vinaigre de framboise": "raspberry-vinegar",
    "huile de mélisse": "balm-oil",
    "Wermutsaft": "wormwood-juice",
    "Zimtsirup": "cinnamon-syrup",
    "Wacholdergeist": "juniper-spirit",
    "Quecksilberpflaster": "mercury-plaster",
    "extrait de belladone": "belladonna-extract",
    "Blauholzabsud": "decoction-logwood",
    "sirop de laitue": "lettuce-syrup",
    "eau de tilleul": "lime-flower-water",
}


@pytest.mark.parametrize("printed", PREPARATIONS)
def test_a_preparation_is_found_by_the_names_of_what_it_is_made_of(printed):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == PREPARATIONS[printed]
    assert not [doubt for doubt in match.doubts if "only" in doubt.text]


@pytest.mark.parametrize("printed", ["Myrrhensalbe", "Rosmarinschleim", "Lavendelessig", "sirop d'estragon", "balsam of lavender"])
def test_where_only_the_mother_is_known_a_doubt_says_so(printed):
    match = glossary.find(printed)
    assert match is None or any(doubt.about == "ingredient" for doubt in match.doubts) or match.via == "exact"


@pytest.mark.parametrize("printed", ["Menthol", "Phenol", "Thymol", "Alkohol", "Branntwein"])
def test_an_ending_that_is_no_head_makes_no_compound(printed):
    match = glossary.find(printed)
    assert match is not None and match.via == "exact"


@pytest.mark.parametrize("printed", ["sirop d'opium", "esprit d'arsenic", "Arsenikwasser", "Opiumsirup", "Schierlingspflaster"])
def test_a_preparation_of_a_poison_stays_one(printed):
    match = glossary.find(printed)
    assert match is not None
    assert any(entry.forbidden for entry in (match.ingredient, *match.alternatives)), match.ingredient.id


@pytest.mark.parametrize(
    ("printed", "key"),
    [
        ("juice of raspberries", "raspberry-juice"),
        ("Himbeersaft", "raspberry-juice"),
        ("juice of quinces", "quince-juice"),
        ("balsam of sulphur", "balsam-of-sulphur"),
        ("bisulphite of soda", "sodium-bisulfite"),
        ("ammonium sulphocyanide", "ammonium-thiocyanate"),
        ("Korinthen", "currants-dried"),
        ("glass of water", "water"),
        ("water glass", "sodium-silicate"),
    ],
)
def test_a_preparation_with_an_entry_is_not_taken_for_its_mother(printed, key):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == key


GENERAL = {
    "barberry jam": "barberries",
    "Fluid Extract Yellow Dock": "dock root",
    "strong liverwort tea": "liverwort",
    "oil of agrimony": "agrimony",
    "trochisks of gentian": "gentian",
    "tincture of burnet": "burnet",
    "electuary of juniper berries": "juniper",
    "Decoctum betonicae": "betony",
    "honey of betony": "betony",
    "clarified juice of vervain": "vervain",
}


@pytest.mark.parametrize("printed", GENERAL)
def test_a_preparation_without_an_entry_is_that_of_a_herb_and_says_of_which(printed):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id in {row["ingredient"] for row in tables.read("glossary/lookup_general")}
    assert any(GENERAL[printed] in option for doubt in match.doubts for option in doubt.others), match.doubts


@pytest.mark.parametrize("printed", ["pills of hemlock", "extract of henbane root", "plaster of arsenic", "wine of white hellebore"])
def test_what_is_made_of_a_poison_is_no_herb_without_an_entry(printed):
    match = glossary.find(printed)
    assert match is not None and any(entry.forbidden for entry in (match.ingredient, *match.alternatives)), match


def test_the_table_of_general_preparations_is_in_order():
    rows = tables.read("glossary/lookup_general")
    heads = {row["instead"] for row in tables.read("glossary/lookup_heads")}
    assert {row["head"] for row in rows} <= heads and len({row["head"] for row in rows}) == len(rows)
    assert all(glossary.ingredients[row["ingredient"]] and row["kinds"] for row in rows)


def test_the_table_of_heads_is_in_order():
    rows = tables.read("glossary/lookup_heads")
    assert {row["place"] for row in rows} == {"first", "last", "end", "part-first", "part-last"} and all(row["instead"] for row in rows)
    assert len({(row["word"], row["place"]) for row in rows}) == len(rows)
    assert [row["word"] for row in rows if row["place"] == "end" and not row["word"].islower()] == []


@pytest.mark.parametrize(
    ("printed", "meant"),
    [
        ("Pomgranat Flowers", "pomegranate-flowers"),
        ("Bark of Guaicum", "guaiac-bark"),
        ("berries of dwale", "belladonna-fruit"),
        ("black Henbane ſeed", "henbane-seed"),
        ("Selendine roots", "celandine-root"),
        ("iuice of egrimony", "agrimony-juice"),
        ("rootes of Danewort", "dwarf-elder-root"),
    ],
)
def test_a_part_of_a_plant_under_another_name_of_the_plant_is_that_part(printed, meant):
    """The plant may be known under the printed name by another part of it only."""
    match = glossary.find(printed)
    assert match is not None and (match.ingredient.id, match.doubts) == (meant, ())


@pytest.mark.parametrize("printed", ["solution of boric acid", "Iuice of Red Poppy-flowers", "Logwood-water"])
def test_only_a_part_is_asked_of_a_plant_so_and_no_preparation(printed):
    """'Logwood' is 'blue wood' as well, and logwood water no water of blue vitriol."""
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id not in {"borax", "opium", "blue-vitriol-water"}
