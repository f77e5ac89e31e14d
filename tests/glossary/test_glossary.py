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
    assert len(ALL) >= 1340
    assert len(glossary.rows("names")) >= 33000


@pytest.mark.parametrize("entry", [e for e in ALL if e.cas], ids=lambda e: e.id)
def test_cas_check_digits(entry):
    digits = entry.cas.replace("-", "")
    total = sum(weight * int(digit) for weight, digit in enumerate(reversed(digits[:-1]), start=1))
    assert total % 10 == int(digits[-1]), entry.cas


UNITS = {
    "density": "g/mL", "true-density": "g/cm3", "bulk-density": "g/cm3", "tapped-density": "g/cm3", "melting-point": "C",
    "refractive-index": "1", "ph": "1", "water-share": "1", "oil-absorption": "g/100g", "particle-size": "um", "piece-mass": "g",
    "strength": "% v/v",
}  # fmt: skip


def test_ranges_are_ordered_and_units_fit_the_property():
    for row in glossary.rows("properties"):
        assert float(row["low"]) <= float(row["high"]), row
        assert row["unit"] == UNITS[row["property"]], row


# Entries of the identifier table of `chemicals` that stand for something else than the name on the packet: a cation or an
# anhydrous base instead of the salt, an idealised mineral, a doubled formula, "NH3·H2O" for a solution.
OTHERWISE = {
    "bismuth-oxychloride", "talc", "magnesium-carbonate", "magnesium-carbonate-heavy", "plaster-of-paris", "iron-oxide-yellow",
    "iron-oxide-black", "ultramarine", "ponceau", "fluorescein", "arsenic-trisulfide", "antimony-golden-sulfide", "ammonia-solution",
    "alum", "potassium-bitartrate", "sodium-phosphate", "magnesium-chloride",
}  # fmt: skip


def molar_mass(formula):
    """g/mol of 'CuSO4.5H2O' or 'CaSO4.0.5H2O'; the parts behind a point may have a number before them."""
    from chemicals.elements import molecular_weight, nested_formula_parser

    total = 0.0
    for part in re.split(r"(?<!\.0)\.(?=\d*\.?\d*[A-Z(])", formula):
        number, atoms = re.fullmatch(r"(\d*\.?\d*)(.+)", part).groups()
        total += float(number or 1) * molecular_weight(nested_formula_parser(atoms))
    return total


def test_formulas_can_be_read_and_agree_with_the_number_of_the_substance():
    """Molar masses from the chemical formula against those that the package `chemicals` gives for the CAS number."""
    chemicals = pytest.importorskip("chemicals")
    compared, differ = 0, set()
    for entry in ALL:
        if not entry.formula or entry.formula.endswith("x"):  # K2Sx, liver of sulphur, is a mixture
            continue
        mass = molar_mass(entry.formula)
        assert mass > 1, entry.id
        try:
            known = chemicals.MW(entry.cas) if entry.cas else None
        except ValueError:
            known = None
        if known:
            compared += 1
            if mass != pytest.approx(known, rel=0.002):
                differ.add(entry.id)
    assert compared >= 250
    assert differ == OTHERWISE


def test_half_a_water_is_read():
    assert molar_mass("CaSO4.0.5H2O") == pytest.approx(145.15, abs=0.02)  # calcium sulfate hemihydrate, from atomic weights
    assert molar_mass("CuSO4.5H2O") == pytest.approx(249.68, abs=0.02)


GENITIVES = ("ae", "i", "is", "us", "um", "es", "ys")  # of the five declensions and the Greek names among them
UNDECLINED = set(
    """et in de e ex non sine per igne acido prussico contra cacao cornu sassafras catechu quatuor behen been anthos mahaleb tonco
    tonca carrageen pichurim sumbul buchu bucco kino manihot colombo sappan napha henna betel tolu mecca chio copal anime dammar taban
    sago petit grain cocos gambir diachylon amyl salep rhoeados ammeos calomelanos ireos paralyseos vegeto ammonio nitrico sulphure
    potassio amylo philosophice picea lauro meconio saponato herba""".split()
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
    for entry in ALL:
        kept_out = [c for c in entry.cautions if c.level in ("forbidden", "restricted")]
        for caution in kept_out:
            assert caution.law and caution.text, entry.id  # the law, or in words that none was found
        if kept_out:
            assert entry.stands, entry.id
            assert all(stand.parts or stand.changes for stand in entry.stands), entry.id  # 'leave out' says what that changes
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
    for entry in ALL:
        if entry.made_of:
            assert sum(share for _, share in entry.made_of) == pytest.approx(1, abs=1e-6), entry.id
            assert all(share > 0 for _, share in entry.made_of), entry.id


@pytest.mark.parametrize(
    "preparation",
    "proof-spirit rose-water cold-cream simple-ointment benzoin-compound-tincture benzoin-tincture cologne-water dovers-powder "
    "collodion aromatic-ammonia-spirit blue-pill honey-water milk-of-roses camphor-liniment".split(),
)
def test_a_preparation_that_is_a_formula_names_its_parts(preparation):
    assert len(glossary.ingredients[preparation].made_of) >= 2


def test_dovers_powder_is_a_tenth_opium():
    """US Pharmacopeia of 1890: 10 g ipecac, 10 g opium, 80 g milk sugar (King's American Dispensatory, 1898)."""
    assert dict(glossary.ingredients["dovers-powder"].made_of) == {"opium": 0.1, "ipecacuanha-root": 0.1, "lactose": 0.8}


def test_cold_cream_is_the_ointment_of_rose_water():
    """US Pharmacopeia IX: 125 g spermaceti, 120 white wax, 560 almond oil, 5 borax, 190 rose water."""
    parts = dict(glossary.ingredients["cold-cream"].made_of)
    assert parts["spermaceti"] == 0.125 and parts["sweet-almond-oil"] == 0.56 and parts["rose-water"] == 0.19


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


@pytest.mark.parametrize(
    ("printed", "meant"),
    [("sassafras iol", "sassafras oil"), ("senna opds", "senna pods"), ("orang esyrup", "orange syrup"), ("rosewater", "rose water"),
     ("zinc oxidc", "zinc oxide"), ("coal-lar dye", "coal-tar dye")],
)  # fmt: skip
def test_one_word_spoilt_or_a_blank_moved(printed, meant):
    match, true = glossary.find(printed), glossary.find(meant)
    assert match is not None and true is not None and match.ingredient.id == true.ingredient.id


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
