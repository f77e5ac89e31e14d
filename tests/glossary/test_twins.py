"""Names that differ in nothing but the spelling of their age mean the same, or are listed in twins.csv with a reason.

A book prints 'oyl' for 'oil' and 'bee wax' for 'bees wax': a name that is in the tables in one spelling only must not mean another
thing in the other without a word.
"""

import csv
from collections import defaultdict
from pathlib import Path

from histkit import glossary
from histkit.glossary import fold
from histkit.glossary.stretches import parts_of

HERE = Path(__file__).parent


def twins():
    """Plain spelling → the names that have it, with their ingredients, where these are not the same."""
    groups = defaultdict(lambda: defaultdict(set))
    named = [(row["name"], row["ingredient"]) for row in glossary.rows("names")]
    named += [(row["name"], row["id"]) for row in glossary.rows("ingredients")]
    for name, ingredient in named:
        plain = " ".join(part.plain for word in name.split() for part in parts_of(word))
        if plain:
            groups[plain][fold(name)].add(ingredient)
    return {plain: names for plain, names in groups.items() if len(set(map(frozenset, names.values()))) > 1}


def written(names):
    return "; ".join(f"{name} = {' '.join(sorted(ids))}" for name, ids in sorted(names.items()))


def settled():
    with (HERE / "twins.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_no_spelling_of_a_name_means_another_thing_unless_it_is_said_why():
    """A new pair is settled in the tables (the same meanings for both spellings), or gets its row and its reason here."""
    known = {row["plain"]: row["names"] for row in settled()}
    found = {plain: written(names) for plain, names in twins().items()}
    assert {plain: said for plain, said in found.items() if known.get(plain) != said} == {}
    assert [plain for plain in known if plain not in found] == []


def test_each_settled_pair_has_its_reason():
    assert [row["plain"] for row in settled() if not row["why"].strip()] == []
