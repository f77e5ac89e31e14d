"""Words, stems and names of poisons in whatever is printed, and the harmless names that hold the same words.

The printed names are of old books and of their abbreviations, spelled as there; which poison they mean is not the program's answer.
"""

from collections import Counter

import pytest

from histkit.base import tables
from histkit.safety.poisons import poisons_in, why

POISONOUS = {
    "lead": (
        "Cerussæ venetæ opt. præp.", "Plumbi acetas", "Sacch. Sat.", "Empl. Plumb.", "sugar of lead", "spirits of Saturn ceruse",
        "Bleiweiß", "céruse", "blanc de Venise", "unguentum diapompholygos", "black lead ore", "plumbate of lime", "biacca",
    ),
    "mercury": (
        "foure ounces of ſublimate", "fublimate", "crude Mercury", "Hydrarg. Oxid. Flav.", "Hydr. Amm.", "précipité rouge",
        "precipitate per se", "mercury killed with spittle", "Queckſilber", "vermillion", "argentum vivum", "lotio nigra",
        "rnercury", "mer-\ncury", "onguent napolitain", "Merc. praec. rub.", "quekesylver", "quicke siluer",
    ),
    "arsenic": ("Fliegengift", "rat poison", "King's yellow", "realgar", "auripigmentum", "arſenick", "Rauschgelb", "mort aux rats", "Fowler's solution"),
    "antimony": ("Butyr. Antim.", "Antim. Crud.", "tartar emetick", "Spießglanz", "beurre d'antimoine"),
    "copper": ("Eruginis raris", "Gruͤnspan auf", "verdigreece", "vert de gris", "Aeruginis"),
    "cyanide": ("mandorle amare", "almendras amargas", "Ol. Amygd. Amar.", "essence d'amandes amères", "prussic acid", "Kirschlorbeerwasser", "laurel water"),
    "opium": ("Morph. Acet.", "Tinct. Opii", "acetate of morphia", "Mohnsaft", "Dover's powder"),
    "borate": ("Acid. Boric.", "biborate of soda", "Borsäure", "sal sedativum"),
    "carbon-disulfide": ("Schwefelalkohol", "alcool de soufre", "sulphuret of carbon"),
    "mineral-acid": ("acqua forte", "agua regia", "aqua fortis", "Scheidewaſſer", "oil of vitriol", "spirit of salt", "glacial acetic acid"),
}  # fmt: skip
HARMLESS = (
    "black lead", "sugar", "butter", "milk of roses", "red sandal", "sweet almonds", "cream of tartar", "salt of wormwood",
    "syrup of red poppies", "plums", "precipitated chalk", "sulphur sublimatum", "heavy spar", "yellow prussiate of potash",
    "Prussian blue", "mallow flowers", "Bleistift", "lead-free glaze", "free from lead", "starch without arsenic", "flowers of sulphur",
    "chromium oxide", "gum benzoin", "hemlock spruce", "labdanum", "phosphate of soda", "ambrette seed", "white poppy oil", "baryta white", "mercerised cotton",
)  # fmt: skip


@pytest.mark.parametrize(("group", "printed"), [(group, name) for group, names in POISONOUS.items() for name in names])
def test_a_poison_is_found_in_what_is_printed(group: str, printed: str) -> None:
    found = [f for f in poisons_in(printed) if not f.contested]
    assert found, printed
    assert group in {f.group for f in found} or all(f.ingredient for f in found)


@pytest.mark.parametrize("printed", HARMLESS)
def test_a_harmless_name_is_left_alone(printed: str) -> None:
    assert poisons_in(printed) == ()


def test_a_harmless_word_beside_it_covers_no_poison() -> None:
    """'butyr' is butter and 'sacch' sugar, but not with what stands behind; 'black lead' does not cover its ore."""
    assert any(f.group == "antimony" for f in poisons_in("Butyr. Antim."))
    assert any(f.group == "lead" for f in poisons_in("black lead ore"))
    assert any(f.group == "lead" for f in poisons_in("black lead, and white lead"))


def test_free_of_something_else_is_not_free_of_it() -> None:
    assert poisons_in("white lead, free from arsenic") and not any(
        f.group == "arsenic" for f in poisons_in("white lead, free from arsenic")
    )
    assert poisons_in("a powder without any white lead", loose=True) == ()
    assert poisons_in("half an ounce of white lead without water")
    assert poisons_in("with neither lead nor arsenic in it", loose=True) == ()
    assert poisons_in("nor white lead", loose=True) == () and poisons_in("and white lead", loose=True)


@pytest.mark.parametrize("printed", ["flake white", "sandarach", "virgin's milk", "white ointment", "treacle"])
def test_two_meanings_are_told_apart_from_one(printed: str) -> None:
    found = poisons_in(printed)
    assert all(f.contested for f in found) and (found or printed == "flake white")


def test_no_word_is_taken_away_unseen() -> None:
    """A guard: how many words there are of each sense. Change the figures when the table changes on purpose."""
    counted = Counter(row["sense"] for row in tables.read("safety/poison_words"))
    assert counted == {"poison": 1587, "contested": 54, "harmless": 89}
    assert {row["group"] for row in tables.read("safety/poison_words")} <= {
        row["group"] for row in tables.read("safety/poison_groups")
    }


def test_every_group_says_what_it_does() -> None:
    assert all(all(why(group)[:2]) for group in POISONOUS)


@pytest.mark.parametrize(
    ("sign", "group"), [("☿ dulc.", "mercury"), ("sal ♄", "lead"), ("♁ crud.", "antimony"), ("🜺", "arsenic")]
)
def test_a_sign_is_a_word(sign: str, group: str) -> None:
    assert group in {f.group for f in poisons_in(sign)}
