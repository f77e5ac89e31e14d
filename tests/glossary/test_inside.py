"""Names that are known in part, names that differ in what counts, and answers that the print contradicts."""

import csv
from pathlib import Path

import pytest

from histkit import glossary
from histkit.base import tables
from histkit.glossary.agreement import senses
from histkit.glossary.index import shipped
from histkit.glossary.letters import exchanged_endings
from histkit.glossary.nearness import NearWords


def doubts_of(match):
    return " ".join(doubt.text for doubt in match.doubts)


# -- what is left out of a name -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("printed", "expected"),
    [("newly picked bits of alkanet", "alkanet-root"), ("the clippings of alkanet root", "alkanet-root"), ("strongest Vinegar", "vinegar"),
     ("frische Butter", "butter"), ("fleurs de lavande sèches", "lavender-flowers"), ("Cort. cinchon. subt. contus.", "cinchona-bark"),
     ("crushed chips of quassia", "quassia-wood")],
)  # fmt: skip
def test_free_words_fall_away_without_a_doubt(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected and match.doubts == ()


@pytest.mark.parametrize(
    ("printed", "expected"),
    [("newly distilled rose-water", "rose-water"), ("Rad. Irid. Flor. præp.", "orris-root"), ("rectified oil of cloves", "clove-oil")],
)
def test_a_word_that_changes_nothing_in_this_kind_of_thing_is_no_doubt(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected and match.doubts == ()


def test_the_same_word_is_a_doubt_elsewhere():
    for printed in ("distilled tar", "prepared zinc oxide"):
        match = glossary.find(printed)
        assert match is None or match.doubts


@pytest.mark.parametrize(
    ("printed", "expected", "dropped"),
    [("Burgandine wine", "wine", "burgandine"), ("Havannah snuff", "tobacco-snuff", "havannah"), ("oxide of zinc into a plate", "zinc-oxide", "plate"),
     ("alkanet water", "alkanet-root", "water"), ("oil of ambergris", "ambergris", "oil"), ("gelben Bernstein", "amber", "gelben"),
     ("Alkanet-water", "alkanet-root", "water"), ("selenite of mercury", "mercury", "selenite")],
)  # fmt: skip
def test_the_longest_known_name_inside_says_what_was_dropped(printed, expected, dropped):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected
    assert match.score < 0.95 and dropped in doubts_of(match)


@pytest.mark.parametrize(
    "printed",
    ["Mr. Mountford's water", "the spirit of it", "citrate of lime and silver iodate", "phosphuret of cobalt", "until it is as thick as honey or so",
     "rosewater-coloured", "goats-beeswax", "Oll. Zzyz. pur.", "unknown balsam"],
)  # fmt: skip
def test_what_is_left_over_may_say_too_much(printed):
    match = glossary.find(printed)
    assert match is None or match.doubts


@pytest.mark.parametrize("printed", ["potassium chloride", "chloride of potassium", "nitrite of potash", "citrate of potash", "chlorite of soda", "arsenite of soda"])
def test_salts_that_differ_in_a_letter_are_never_exchanged(printed):
    match = glossary.find(printed)
    said = {word for word in printed.split() if word not in ("of", "potash", "potassium", "soda")}
    assert match is None or match.doubts or any(said <= set(glossary.fold(name.name).split()) for name in match.ingredient.names)


def test_chemical_endings():
    assert exchanged_endings("chloride", "chlorate") and exchanged_endings("sulphite", "hyposulphite") and exchanged_endings("ferric", "ferrous")
    assert not exchanged_endings("chloridc", "chloride") and not exchanged_endings("oxyde", "oxide") and not exchanged_endings("rosc", "rose")


# -- poison before the harmless -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("printed", "poison", "other"),
    [("lard, with white lead", "lead-carbonate", "lard"), ("lard with corrosive sublimate", "mercuric-chloride", "lard"),
     ("olive oil and opium", "opium", None), ("wax (or vermilion)", "mercuric-sulfide", "beeswax-yellow")],
)  # fmt: skip
def test_a_poison_that_the_print_names_is_not_left_out(printed, poison, other):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == poison and "named beside" in doubts_of(match)
    assert other is None or other in {entry.id for entry in match.alternatives}


@pytest.mark.parametrize(
    ("printed", "poison"),
    [("Butyr. Antim.", "antimony-trichloride"), ("Ol. Amygd. Amar.", "bitter-almond-oil"), ("Empl. Plumb.", "lead-plaster"),
     ("Antim. Crud.", "antimony-trisulfide"), ("Sacch. Sat.", "lead-acetate")],
)  # fmt: skip
def test_names_cut_short_of_a_poison(printed, poison):
    assert glossary.find(printed).ingredient.id == poison


# -- an answer that the print contradicts ---------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("printed", "says"),
    [("dilute hydrochloric acid", "dilute"), ("Acid. Nitric. Dil.", "dilute"), ("juice of aconite", "another preparation"),
     ("Cypress-Nuts", "another part"), ("flowers of tragacanth", "another part"), ("scabious roots", "another part"), ("fennel root", "another part"), ("white coral", "another colour")],
)  # fmt: skip
def test_another_part_strength_or_colour_is_doubted_or_right(printed, says):
    match = glossary.find(printed)
    if match is None:
        return
    said, known = senses(glossary.fold(printed)), senses(glossary.fold(f"{match.ingredient.id} {match.ingredient.name}"))
    right = all(aspect in known and words & known[aspect] for aspect, words in said.items())
    assert right or says in doubts_of(match)


@pytest.mark.parametrize(
    "printed",
    ["rose leaves", "orris root", "oil of vitriol", "spirit of wine", "cream of tartar", "butter of antimony", "flowers of sulphur", "elder flowers",
     "wormwood tops", "saunders wood", "oil of red cedar wood", "Irid. Flor. pulv.", "lemon rind", "goulard water", "spirits of wine, 90 per cent", "camphor in powder"],
)  # fmt: skip
def test_what_agrees_has_no_such_doubt(printed):
    match = glossary.find(printed)
    assert match is not None and "glossary has only" not in doubts_of(match) and "all that the glossary has" not in doubts_of(match)


def test_salts_tartar_is_the_salt_of_tartar_and_liquor_no_ether():
    assert glossary.find("salts tartar").ingredient.id == "potassium-carbonate"
    liquor, gum = glossary.find("liquor"), glossary.find("syrup of gum")
    assert liquor is None or liquor.ingredient.id != "ether"
    assert gum is None or gum.ingredient.id != "simple-syrup"


# -- the search for near words --------------------------------------------------------------------------------------------


def test_near_words_are_all_that_a_search_through_every_word_finds():
    """Against a comparison with every word: one letter wrong is always found, whatever letter it is."""
    from rapidfuzz.distance import OSA

    words = [word for word in shipped().vocabulary if 4 < len(word) < 9][::40]
    near = NearWords(words)
    for word in words[::7]:
        for at in range(len(word)):
            for spoilt in (word[:at] + "q" + word[at + 1 :], word[:at] + word[at + 1 :], word[:at] + word[at] + word[at:]):
                if spoilt not in near.words:
                    others = {w for w in words if OSA.distance(spoilt, w) == 1 and not exchanged_endings(spoilt, w)}
                    assert others <= set(near.near(spoilt)), spoilt


def test_the_table_of_parts_is_in_order():
    rows = tables.read("glossary/lookup_parts")
    assert len({(row["word"], row["aspect"]) for row in rows}) == len(rows)
    assert {row["aspect"] for row in rows} == {"part", "form", "strength", "colour"}
    assert all(row["says"] or " " in row["word"] for row in rows)
    chemistry = tables.read("glossary/lookup_chemistry")
    assert {row["place"] for row in chemistry} == {"end", "beginning"} and all(row["says"] for row in chemistry if row["place"] == "end")


def test_every_table_of_the_look_up_is_folded():
    for table, column in (("lookup_parts", "word"), ("lookup_unspotted", "word"), ("lookup_chemistry", "part")):
        path = tables.PACKAGE / "glossary" / f"{table}.csv"
        with path.open(encoding="utf-8", newline="") as file:
            words = [row[column] for row in csv.DictReader(file)]
        assert [word for word in words if glossary.fold(word) != word] == []


def test_names_drawn_from_books_by_chance_are_never_wrong_in_silence():
    """drawn_names.csv: names of ingredients drawn by a seeded chance from 21 books of 1602 to 1922, settled by hand before the look-up
    saw them. `another`: another part or preparation is printed than the glossary has, or something it does not have at all."""
    with (Path(__file__).parent / "drawn_names.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    silent, unknown = [], []
    for row in rows:
        match = glossary.find(row["printed"])
        if match is None:
            unknown.append(row["printed"])
        elif not match.doubts and (row["another"] or match.ingredient.id not in row["ingredients"].split(";")):
            silent.append((row["printed"], match.ingredient.id))
    assert len(rows) >= 75 and silent == []
    assert len(unknown) <= 10, unknown
