"""The glossary: its tables obey their own rules, and the look-up finds what it should and nothing else."""

import re
from collections import Counter, defaultdict

import pytest

import histkit as hk
from histkit import glossary
from histkit.glossary import fold

ALL = list(glossary.ingredients.values())


# -- the tables ---------------------------------------------------------------------------------------------------------


def test_the_data_package_is_valid():
    """The open Table Schema standard, foreign keys included, checked by its reference library."""
    frictionless = pytest.importorskip("frictionless")
    report = frictionless.Package(str(glossary.folder() / "datapackage.json")).validate()
    assert report.valid, report.flatten(["fieldName", "rowNumber", "note"])[:10]


def test_it_is_large_enough():
    assert len(ALL) >= 600
    assert len(glossary.rows("names")) >= 4000


@pytest.mark.parametrize("entry", [e for e in ALL if e.cas], ids=lambda e: e.id)
def test_cas_check_digits(entry):
    digits = entry.cas.replace("-", "")
    total = sum(weight * int(digit) for weight, digit in enumerate(reversed(digits[:-1]), start=1))
    assert total % 10 == int(digits[-1]), entry.cas


def test_ranges_are_ordered_and_units_fit_the_property():
    units = defaultdict(set)
    for row in glossary.rows("properties"):
        assert float(row["low"]) <= float(row["high"]), row
        units[row["property"]].add(row["unit"])
    assert {p: len(u) for p, u in units.items()} == dict.fromkeys(units, 1), units


def test_a_name_of_two_ingredients_is_marked_contested():
    meanings = defaultdict(set)
    contested = defaultdict(set)
    for row in glossary.rows("names"):
        meanings[fold(row["name"])].add(row["ingredient"])
        contested[fold(row["name"])].add(row["certainty"])
    silent = {name: ids for name, ids in meanings.items() if len(ids) > 1 and contested[name] != {"contested"}}
    assert silent == {}


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
    for entry in ALL:
        if entry.forbidden:
            assert any(c.law for c in entry.cautions if c.level == "forbidden"), entry.id
            assert entry.stands, entry.id
        for stand in entry.stands:
            for key, share in stand.parts:
                assert not glossary.ingredients[key].forbidden, (entry.id, key)
                assert share > 0


def test_no_stand_in_leads_back_to_what_it_replaces_through_hazards():
    """White lead may not be replaced by something that the glossary itself would replace by white lead."""
    for entry in ALL:
        for stand in entry.stands:
            for key, _ in stand.parts:
                back = {k for s in glossary.ingredients[key].stands for k, _ in s.parts}
                if entry.id in back:
                    assert not entry.forbidden and not glossary.ingredients[key].forbidden, (entry.id, key)


def test_preparations_add_up_and_hold_what_they_say():
    for entry in ALL:
        if entry.made_of:
            assert sum(share for _, share in entry.made_of) == pytest.approx(1, abs=1e-6), entry.id


def test_every_liquid_has_a_density():
    assert [e.id for e in ALL if e.state == "liquid" and e.value("density") is None] == []


def test_every_value_has_a_source():
    known = {row["id"] for row in glossary.rows("sources")}
    for table in ("ingredients", "names", "roles", "properties", "cautions", "substitutes", "compositions", "constituents"):
        missing = Counter(row["source"] for row in glossary.rows(table) if row["source"] not in known)
        assert missing == {}, table


# -- the look-up --------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("pulv. rad. irid. flor.", "orris-root"), ("Pulvis radicis iridis florentinæ", "orris-root"), ("Irid. rhiz. pulv.", "orris-root"), ("Florentine Orrice-root", "orris-root"),
        ("Zinci oxidi", "zinc-oxide"), ("zinci oxid.", "zinc-oxide"), ("oxide of zinc", "zinc-oxide"), ("flowers of zinc", "zinc-oxide"), ("Zinc, white", "zinc-oxide"),
        ("white lead", "lead-carbonate"), ("Plumbi Carbonatis", "lead-carbonate"), ("ceruse", "lead-carbonate"),
        ("French chalk", "talc"), ("Venetian talcum", "talc"), ("Talci veneti", "talc"), ("chalk", "calcium-carbonate"),
        ("precipitated chalk", "calcium-carbonate-precipitated"), ("Cretæ præcipitatæ", "calcium-carbonate-precipitated"),
        ("otto of roses", "rose-oil"), ("attar of rose", "rose-oil"), ("Ol. rosæ", "rose-oil"), ("oil of bergamot", "bergamot-oil"), ("Bergamot oil", "bergamot-oil"),
        ("gum benjamin", "benzoin"), ("Gum Benzoin", "benzoin"), ("spermacetti", "spermaceti"), ("cetaceum", "spermaceti"), ("Adipis", "lard"), ("Aquæ rosæ", "rose-water"),
        ("boracic acid", "boric-acid"), ("Ac. borici", "boric-acid"), ("corrosive sublimate", "mercuric-chloride"), ("Hydrarg. chlorid. corros.", "mercuric-chloride"),
        ("orpiment", "arsenic-trisulfide"), ("levigated calamine", "calamine"), ("best white wax", "beeswax-white"),
    ],
)  # fmt: skip
def test_printed_names(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected


UNKNOWN = """table chair window bicycle telephone umbrella hammer cathedral sergeant algebra philosophy geometry violin trombone locomotive
parliament butterfly elephant giraffe sparrow mackerel newspaper keyboard helicopter submarine television photograph carpenter
blacksmith lighthouse windmill cobblestone wheelbarrow handkerchief candlestick teapot saucepan ironing tuesday february autumn saturday
polypropylene polystyrene nylon stocking gasoline kerosene plutonium uranium hexafluoride toluene diisocyanate aspartame ibuprofen paracetamol
caffeine tablet adrenaline insulin penicillin streptomycin dynamite gunpowder concrete asphalt cardboard linoleum cellophane
graphite pencil fountain pen blotting paper sealing wax stamp sodium pentothal methyl isocyanate acrylonitrile tetracycline
marmalade sandwich omelette spaghetti pancake porridge sausage bacon""".split()


def test_names_that_are_not_in_the_glossary_find_nothing():
    wrong = {
        word: match.ingredient.id for word in UNKNOWN if (match := glossary.find(word)) and match.via in ("spelling", "damage")
    }
    assert wrong == {}


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("spermacete", "spermaceti"),
        ("bergamott oil", "bergamot-oil"),
        ("precipitaled chalk", "calcium-carbonate-precipitated"),
        ("cinchona barck", "cinchona-bark"),
    ],
)
def test_spellings_and_scanning_damage_come_with_a_doubt(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected
    assert match.via == "spelling" and match.doubts and match.score < 0.95


def test_a_contested_name_shows_its_other_meaning_and_the_poison():
    match = glossary.find("flake white")
    assert match is not None
    meanings = {match.ingredient.id, *(a.id for a in match.alternatives)}
    assert "lead-carbonate" in meanings and len(meanings) > 1
    assert any("must not be used" in d.effect for d in match.doubts)
    translated = hk.translate(hk.read("Flake white   2 oz.\nTalc   4 oz."))
    assert any("lead" in c.text.lower() for c in translated.lines[0].cautions)


def test_white_precipitate_is_not_precipitated_chalk():
    mercury, chalk = glossary.find("white precipitate"), glossary.find("white precipitated chalk")
    assert mercury is not None and mercury.ingredient.id == "ammoniated-mercury"
    assert chalk is not None and chalk.ingredient.id == "calcium-carbonate-precipitated"


def test_the_amount_helps_with_a_contested_name():
    by_drops = glossary.find("oil of almonds", unit="drop")
    by_ounces = glossary.find("oil of almonds", unit="ounce")
    assert by_drops is not None and by_drops.ingredient.id == "bitter-almond-oil"
    assert by_ounces is not None and by_ounces.ingredient.id == "sweet-almond-oil"


def test_the_trade_calls_its_oxide_zinc():
    match = glossary.find("zinc")
    assert match is not None and match.ingredient.id == "zinc-oxide"


def test_an_unknown_id_names_its_neighbours():
    with pytest.raises(hk.UnknownName, match="zinc-oxide"):
        glossary.ingredient("zinc-oxid")


def test_missing_or_broken_tables_are_named(tmp_path):
    with pytest.raises(hk.TableError, match="missing"):
        glossary.load(tmp_path)
    for name in glossary.TABLES:
        (tmp_path / f"{name}.csv").write_text((glossary.folder() / f"{name}.csv").read_text(encoding="utf-8"), encoding="utf-8")
    broken = re.sub(
        r"(?m)^([^,]+,density),[^,]+,", r"\1,heavy,", (tmp_path / "properties.csv").read_text(encoding="utf-8"), count=1
    )
    (tmp_path / "properties.csv").write_text(broken, encoding="utf-8")
    with pytest.raises(hk.TableError, match=r"properties\.csv.*low.*heavy"):
        glossary.load(tmp_path)
