"""What the rows of the glossary's own tables must obey: guards against slips and changes, not evidence that they are true.

Evidence, from books, laws and other tables, stands in test_evidence.py and test_names_of_the_period.py.
"""

from collections import Counter, defaultdict
from itertools import pairwise

import pytest
from settled_glossary import COLUMNS, settled, written

from histkit import glossary
from histkit.base import tables
from histkit.glossary import fold

ALL = list(glossary.ingredients.values())


def test_the_data_package_is_valid():
    """The open Table Schema standard, foreign keys included, checked by its reference library."""
    frictionless = pytest.importorskip("frictionless")
    report = frictionless.Package(str(glossary.folder() / "datapackage.json")).validate()
    assert report.valid, report.flatten(["fieldName", "rowNumber", "note"])[:10]


def test_it_is_large_enough():
    assert len(ALL) >= 2400
    assert len(glossary.rows("names")) >= 40000


def test_cas_check_digits():
    """The last figure of a CAS number is the sum of the others, each times its place from the right, modulo 10."""
    wrong = []
    for entry in ALL:
        figures = entry.cas.replace("-", "")
        total = sum(place * int(figure) for place, figure in enumerate(reversed(figures[:-1]), start=1))
        if figures and total % 10 != int(figures[-1]):
            wrong.append((entry.id, entry.cas))
    assert sum(1 for entry in ALL if entry.cas) >= 600
    assert wrong == []


UNITS = {
    "density": "g/mL", "true-density": "g/cm3", "bulk-density": "g/cm3", "tapped-density": "g/cm3", "melting-point": "C",
    "refractive-index": "1", "ph": "1", "water-share": "1", "oil-absorption": "g/100g", "particle-size": "um", "piece-mass": "g",
    "strength": "% v/v",
}  # fmt: skip


def test_ranges_are_ordered_and_units_fit_the_property():
    wrong = [
        row
        for row in glossary.rows("properties")
        if float(row["low"]) > float(row["high"]) or row["unit"] != UNITS[row["property"]]
    ]
    assert wrong == []


GENITIVES = ("ae", "i", "is", "us", "um", "es", "ys", "os")  # of the five declensions and the Greek names among them
UNDECLINED = set(
    """et in de e ex non sine per igne acido prussico contra cacao cornu sassafras catechu quatuor behen been anthos mahaleb tonco
    tonca carrageen pichurim sumbul buchu bucco kino manihot colombo sappan napha henna betel tolu mecca chio copal anime dammar taban
    sago petit grain cocos gambir diachylon amyl salep rhoeados ammeos calomelanos ireos paralyseos vegeto ammonio nitrico sulphure
    potassio amylo philosophice picea lauro meconio saponato herba bezoar ceterach columbo coto massoy matico quebracho quinque roob
sebesten corde creta minio opio bolo""".split()
)


def test_latin_genitives_end_as_the_declensions_do():
    wrong = []
    for row in glossary.rows("names"):
        if row["language"] == "la" and row["form"] == "genitive":
            odd = [w for w in fold(row["name"]).split() if not w.endswith(GENITIVES) and w not in UNDECLINED]
            wrong += [(row["ingredient"], row["name"], odd)] if odd else []
    assert wrong == []


def test_a_name_of_two_ingredients_is_marked_contested():
    meanings = defaultdict(set)
    contested = defaultdict(set)
    for row in glossary.rows("names"):
        meanings[fold(row["name"])].add(row["ingredient"])
        contested[fold(row["name"])].add(row["certainty"])
    silent = {name: ids for name, ids in meanings.items() if len(ids) > 1 and contested[name] != {"contested"}}
    assert silent == {}


def test_a_contested_name_has_at_least_two_meanings():
    lonely = []
    for row in glossary.rows("names"):
        if row["certainty"] == "contested":
            match = glossary.find(row["name"])
            meanings = {match.ingredient.id, *(a.id for a in match.alternatives)} if match else set()
            if len(meanings) < 2:
                lonely.append((row["name"], row["ingredient"], meanings))
    assert lonely == []


def test_every_ingredient_has_a_role_and_a_name_that_finds_it():
    assert [e.id for e in ALL if not e.roles] == []
    lost = []
    for entry in ALL:
        match = glossary.find(entry.name)
        if match is None or entry.id not in {match.ingredient.id, *(a.id for a in match.alternatives)}:
            lost.append((entry.id, match and match.ingredient.id))
    assert lost == []


def test_every_listed_name_leads_to_its_ingredient():
    lost = []
    for entry in ALL:
        for name in entry.names:
            match = glossary.find(name.name)
            if match is None or entry.id not in {match.ingredient.id, *(a.id for a in match.alternatives)}:
                lost.append((name.name, entry.id, match and match.ingredient.id))
    assert lost == []


def test_what_must_not_be_used_says_by_which_law_and_what_stands_in():
    """The law, or in words that none was found; a stand-in that is itself allowed, or what leaving it out changes."""
    wrong = []
    for entry in ALL:
        kept_out = [c for c in entry.cautions if c.level in ("forbidden", "restricted")]
        wrong += [(entry.id, "a caution without law or text") for c in kept_out if not (c.law and c.text)]
        if kept_out and not entry.stands:
            wrong.append((entry.id, "no stand-in, nor word of leaving it out"))
        for stand in entry.stands:
            if kept_out and not (stand.parts or stand.changes):
                wrong.append((entry.id, f"{stand.option}: what changes is not said"))
            wrong += [(entry.id, key) for key, share in stand.parts if glossary.ingredients[key].forbidden or share <= 0]
    assert wrong == []


def test_no_stand_in_leads_back_to_what_it_replaces_through_hazards():
    """White lead may not be replaced by something that the glossary itself would replace by white lead."""
    wrong = []
    for entry in ALL:
        for key in {key for stand in entry.stands for key, _ in stand.parts}:
            other = glossary.ingredients[key]
            if entry.id in {k for s in other.stands for k, _ in s.parts} and (entry.forbidden or other.forbidden):
                wrong.append((entry.id, key))
    assert wrong == []


def test_no_preparation_is_made_of_itself_and_none_stands_in_for_itself():
    """Following the parts of a preparation, and the parts of those, comes to an end."""
    parts = {e.id: {k for k, _ in e.made_of} for e in ALL}
    for start, direct in parts.items():
        reached, following = set(), set(direct)
        while following:
            reached |= following
            following = {k for key in following for k in parts.get(key, ())} - reached
        assert start not in reached, start
    assert [e.id for e in ALL for stand in e.stands if e.id in {k for k, _ in stand.parts}] == []


def test_preparations_add_up_and_hold_what_they_say():
    wrong = [
        (e.id, e.made_of)
        for e in ALL
        if e.made_of and (abs(sum(share for _, share in e.made_of) - 1) > 1e-6 or any(share <= 0 for _, share in e.made_of))
    ]
    assert wrong == []


FORMULAS = (
    "proof-spirit rose-water cold-cream simple-ointment benzoin-compound-tincture benzoin-tincture cologne-water dovers-powder "
    "collodion aromatic-ammonia-spirit blue-pill honey-water milk-of-roses camphor-liniment"
).split()


def test_a_preparation_that_is_a_formula_names_its_parts():
    assert [key for key in FORMULAS if len(glossary.ingredients[key].made_of) < 2] == []


def test_the_table_of_changes_tells_what_the_tables_say_now():
    """Each correction names its source, and its new value is the one that stands."""
    known = {row["id"] for row in glossary.rows("sources")}
    changes = glossary.rows("changes")
    assert len(changes) >= 100
    last = {(c["table"], c["row"], c["column"]): c for c in changes}
    for change in changes:
        assert change["source"] in known and change["reason"], change
        assert change["source"] != "memory" or change["table"] == "names", change  # what a name means is a matter of usage
        assert change["old"] != change["new"], change
    for (table, row, column), change in last.items():
        if table == "properties":
            name, _, end = column.rpartition(" ")
            values = {float(r[end]) for r in glossary.rows(table) if r["ingredient"] == row and r["property"] == name}
            assert float(change["new"]) in values, change
        elif table == "cautions" and column == "law" and change["new"]:
            laws = {r["law"] for r in glossary.rows(table) if r["ingredient"] == row}
            assert change["new"] in laws, change
        elif table == "compositions":
            parts = ", ".join(f"{k} {share:g}" for k, share in glossary.ingredients[row].made_of)
            assert parts == change["new"], change


def test_every_liquid_has_a_density():
    assert [e.id for e in ALL if e.state == "liquid" and e.value("density") is None] == []


def test_densities_are_possible_ones():
    """A heap is lighter than the same heap tapped, and that lighter than its grains; a liquid lies between ether and mercury."""
    wrong = []
    for entry in ALL:
        ladder = [entry.value(name) for name in ("bulk-density", "tapped-density", "true-density")]
        heaps = [spread for spread in ladder if spread is not None]
        wrong += [(entry.id, a, b) for a, b in pairwise(heaps) if a.low >= b.high]
        liquid = entry.value("density")
        if liquid is not None and not 0.55 <= liquid.low <= liquid.high <= 13.7:
            wrong.append((entry.id, liquid))
    assert wrong == []


def test_every_value_has_a_source():
    known = {row["id"] for row in glossary.rows("sources")}
    for table in ("ingredients", "names", "roles", "properties", "cautions", "substitutes", "compositions", "constituents"):
        missing = Counter(row["source"] for row in glossary.rows(table) if row["source"] not in known)
        assert missing == {}, table


def test_nothing_changes_unseen():
    """Cautions, strengths of roles, values, stand-ins and parts are those written down in settled.csv, made by settled_glossary.py."""
    before, now = {row["ingredient"]: row for row in written()}, {row["ingredient"]: row for row in settled()}
    changed = [
        f"{key}, {column}: {before.get(key, {}).get(column)!r} is now {now.get(key, {}).get(column)!r}"
        for key in {**before, **now}
        for column in COLUMNS
        if before.get(key, {}).get(column) != now.get(key, {}).get(column)
    ]
    assert changed == [], "if this is meant, run python tests/settled_glossary.py and look at the difference"


def test_each_word_of_the_look_up_stands_once_and_as_it_is_compared():
    """What is not folded would never meet a printed word; words of the kind "kept" are compared by the reader, as printed."""
    rows = tables.read("glossary/lookup_words")
    words = [row["word"] for row in rows]
    strangers = [row["word"] for row in tables.read("glossary/lookup_strangers")]
    assert [word for word, times in Counter(words).items() if times > 1] == []
    assert [r["word"] for r in rows if r["kind"] != "kept" and (fold(r["word"]) != r["word"] or " " in r["word"])] == []
    assert [word for word in strangers if fold(word) != word] == []


def test_the_kinds_of_words_are_those_that_the_look_up_asks_for():
    asked = "small edge last free doubtful latin-part same choice joiner head article kept link elided between leading whole lacking"
    kinds = {kind for row in tables.read("glossary/lookup_words") for kind in tables.words(row, "kind")}
    assert kinds == {*asked.split(), "de", "fr"}
    assert [r for r in tables.read("glossary/lookup_words") if bool(r["instead"]) != ("same" in tables.words(r, "kind"))] == []
