"""The look-up finds what it should and nothing else, and takes no longer than a name is worth."""

import re

import pytest
from counted_calls import calls_of

import histkit as hk
from histkit import glossary
from histkit.glossary import lookup, stages, tables
from histkit.glossary.candidates import candidates
from histkit.glossary.index import shipped


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
        ("spermacctl", "spermaceti"),
        ("bergarnot oil", "bergamot-oil"),
        ("precipitaled chalk", "calcium-carbonate-precipitated"),
        ("cinchena bark", "cinchona-bark"),
    ],
)
def test_scanning_damage_comes_with_a_doubt(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected
    assert match.via == "spelling" and match.doubts and match.score < 0.95


@pytest.mark.parametrize(
    ("printed", "expected"),
    [("spermacete", "spermaceti"), ("bergamott oil", "bergamot-oil"), ("cinchona barck", "cinchona-bark"), ("Cinamome", "cinnamon-bark"),
     ("oyle of Cynamon", "cinnamon-oil"), ("d'iris", "orris-root")],
)  # fmt: skip
def test_what_another_age_only_spelled_otherwise_is_known_without_a_doubt(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected
    assert match.via == "respelled" and match.doubts == () and match.score < 0.95


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


# -- how long a name may be -----------------------------------------------------------------------------------------------

PIECES = ["a ", "oil of ", "or ", "calcined ", "pulv. ", "x", "(", ")", "( ) ", ".", ",", "℥j ", "4 oz. ", "-", "'", "é", "\u017f"]


@pytest.mark.parametrize("piece", PIECES)
def test_a_page_is_no_name_and_nothing_is_looked_up_for_it(piece, monkeypatch):
    def looked_up(*_):
        raise AssertionError("it was looked up")

    monkeypatch.setattr(lookup, "identified", looked_up)
    monkeypatch.setattr(lookup, "by_words", looked_up)
    page = piece * 60_000
    assert glossary.find(page) is None and not glossary.knows(page)


def test_blanks_do_not_make_a_name_long():
    assert glossary.find("white" + " " * 60_000 + "lead").ingredient.id == "lead-carbonate"
    assert glossary.find(" " * 60_000) is None


def test_the_longest_name_is_far_longer_than_any_that_the_glossary_has():
    assert 4 * max(len(row["name"]) for row in glossary.rows("names")) <= lookup.LONGEST_NAME


def calls_for(name):
    """How many functions are called to look a name up."""
    return calls_of(lambda: stages.identified(name, shipped()))


@pytest.mark.parametrize("piece", PIECES)
def test_work_grows_with_the_length_of_a_name_and_not_faster(piece):
    half, whole = ((piece * lookup.LONGEST_NAME)[: lookup.LONGEST_NAME // part] for part in (2, 1))
    calls_for(whole)  # the words are folded, and kept
    assert calls_for(whole) <= 3 * calls_for(half) + 500


def test_an_unknown_name_is_not_compared_with_every_name_of_the_glossary():
    """A search through all names would show in the calls, or hide in one call over a long list."""
    unknown = ["some unknowwn thingg", "oil of zzyzx", "Ol. fffg. opt.", "balsam of vnknovvn", "sulphatte of znic"]
    for name in unknown:
        calls_for(name)  # what is worked out once for all names
    assert max(calls_for(f"{name} anew") for name in unknown) < len(tables.names()) / 8


def test_few_words_are_compared_for_a_damaged_one(monkeypatch):
    from histkit.glossary import nearness

    compared = []
    closest = nearness._closest

    def counting(word, others, letters):
        others = list(others)
        compared.append(len(others))
        return closest(word, others, letters)

    monkeypatch.setattr(nearness, "_closest", counting)
    near = nearness.NearWords(shipped().vocabulary)
    for word in ("camphirq", "sperrnaceti", "glycerinc", "bergamoot", "qqqqqqqqq", "potosh"):
        near.near(word)
    assert len(near.words) > 10_000 and max(compared) < len(near.words) / 10


def test_no_doubt_names_an_empty_word():
    """A name that loses only its free words ('sliced') is the same thing said otherwise ('gentian'), and nothing was lost."""
    every = [c for name in ("Gentian roots sliced", "Caraway-seeds bruised", "—") for c in candidates(name, shipped())]
    assert "gentian" in [c.words for c in every]
    assert not [d.text for c in every for d in c.doubts if "''" in d.text]


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("Camplior", "camphor"), ("oil of c1oves", "clove-oil"), ("O1ive 0il", "olive-oil"), ("rectified spint", "rectified-spirit"),
        ("Tinet. Hy0scyami", "henbane-tincture"), ("8pt. Ætheris Nitrosi", "spirit-of-nitrous-ether"), ("Ol. Arnygdalx", "sweet-almond-oil"),
        ("Hydrarg. Clilor", "mercurous-chloride"), ("Orange-Hower water", "orange-flower-water"), ("Peppermint warer", "peppermint-water"),
    ],
)  # fmt: skip
def test_letters_whose_shape_a_scan_changed(printed, expected):
    match = glossary.find(printed)
    assert match.ingredient.id == expected and match.via == "spelling" and match.doubts


@pytest.mark.parametrize("printed", ["mellow", "dagger", "better", "arrange", "clock", "Xqzvk rnlii", "Prnk0w waxing"])
def test_words_that_only_look_like_worn_names_stay_unknown(printed):
    assert glossary.find(printed) is None


@pytest.mark.parametrize(
    ("printed", "key"),
    [
        ("fresh white water lilly flowers", "water-lily-flowers"),
        ("water mint", "horse-mint-herb"),
        ("vitriol white", "zinc-sulfate"),
        ("yellow lemons", "lemon"),
        ("coarse violet powder", "white-toilet-powder"),
        ("Junci odorati", "squinant-herb"),
        ("raspings of guaiacum", "guaiac-wood"),
    ],
)
def test_the_order_of_words_and_each_of_them_tell_what_is_meant(printed, key):
    """Water of lilies is no water lily, yellow lemons are no lemon yellow, violet powder is more than powdered violets."""
    assert glossary.find(printed).ingredient.id == key


def test_water_of_mint_is_no_water_mint():
    assert glossary.find("water of mint").ingredient.kind == "water"


@pytest.mark.parametrize(
    ("printed", "ingredient"),
    [("sugav", "sugar"), ("niyrrh", "myrrh"), ("liops", "hops"), ("camphov", "camphor"), ("lavge nutmeg", "nutmeg")],
)
def test_a_short_lone_word_that_a_scan_has_worn_is_read_with_a_doubt(printed, ingredient):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == ingredient and match.doubts


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("cinnam•n", "cinnamon-bark"), ("oil of an•iseeds", "anise-oil"), ("gu• arabick", "gum-arabic"), ("ro•e water", "rose-water"),
        ("sug•r", "sugar"), ("b•st honey", "honey"), ("white le•d", "lead-carbonate"), ("sugar of le•d", "lead-acetate"), ("arsen•c", "arsenic-trioxide"),
    ],
)  # fmt: skip
def test_letters_that_a_transcriber_could_not_read(printed, expected):
    match = glossary.find(printed)
    assert match.ingredient.id == expected
    assert match.doubts


def test_too_few_letters_name_nothing():
    assert glossary.find("••ne") is None
    assert glossary.find("white of le••") is None
    assert glossary.find("• sugar").doubts == ()


@pytest.mark.parametrize(
    ("printed", "meant"),
    [
        ("bolearmoniack", "bole-armenian"),
        ("cinamonwater", "cinnamon-water"),
        ("conserve of scurvigrass", "scurvy-grass-conserve"),
        ("red roseleaues dried", "red-rose-petals"),
        ("syrup of peonyflowers", "peony-syrup"),
        ("linseedoyle", "linseed-oil"),
        ("roots of master-wort", "masterwort-root"),
    ],
)
def test_words_that_the_print_runs_together_or_parts(printed, meant):
    """From receipt books of 1590 to 1750; what each is stood fixed before the look-up saw it."""
    match = glossary.find(printed)
    assert match.ingredient.id == meant and not match.doubts


@pytest.mark.parametrize("printed", ["candlesticks", "waterproof", "grammolata"])
def test_words_of_two_that_are_no_name_stay_unknown(printed):
    assert glossary.find(printed) is None


@pytest.mark.parametrize(
    ("printed", "meant"),
    [("soda, in powder", "sodium-bicarbonate"), ("pearl in powder", "pearls"), ("violet, in powder", "violet-flowers")],
)
def test_a_thing_in_powder_is_no_powder_of_another_name(printed, meant):
    assert glossary.find(printed).ingredient.id == meant


@pytest.mark.parametrize("printed", ["rind and juice oranges", "grated rind and juice of one lemon"])
def test_of_two_parts_of_a_fruit_the_one_left_out_is_told(printed):
    assert any("rind" in doubt.text for doubt in glossary.find(printed).doubts)


def test_two_printed_words_that_the_glossary_writes_as_one():
    assert glossary.find("milk weed roots").ingredient.id == "milkweed-root"


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("oyle of tarter", "potassium-carbonate"), ("creme of tarter", "potassium-bitartrate"), ("white vinegre", "vinegar"), ("Ceder oil", "cedarwood-oil"),
        ("coriandar", "coriander-seed"), ("gingar", "ginger-root"), ("white Franckinſence", "frankincense"), ("frankensense", "frankincense"),
        ("spickenard", "spikenard-root"), ("quinses", "quince"), ("nettels", "nettle-herb"), ("mugwurt", "mugwort-herb"), ("powder of sulphre", "sulfur"),
    ],
)  # fmt: skip
def test_endings_and_soft_consonants_that_another_age_wrote_otherwise(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected and match.doubts == ()


@pytest.mark.parametrize("everyday", ["platter", "peter", "agree", "cattle", "leader", "ledger", "lacking", "surgeons", "psyche", "gargoyle"])
def test_everyday_words_are_not_taken_for_such_a_spelling(everyday):
    assert glossary.find(everyday) is None


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("Deuto-chloruret of mercury", "mercuric-chloride"), ("proto-chloruret of mercury", "mercurous-chloride"), ("ioduret of potassium", "potassium-iodide"),
        ("cyanuret of potassium", "potassium-cyanide"), ("azotate of silver", "silver-nitrate"), ("azotate de plomb", "lead-nitrate"),
        ("azotate de potasse", "potassium-nitrate"), ("azotate de strontiane", "strontium-nitrate"), ("bromuret of potassium", "potassium-bromide"),
    ],
)  # fmt: skip
def test_salts_by_the_words_of_the_older_chemistry(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected and match.doubts == ()


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("äzender Queksilbersublimat", "mercuric-chloride"), ("ätzenden Sublimats", "mercuric-chloride"), ("flüssigen Aezkali's", "potassium-hydroxide"),
        ("des besten Leinöls", "linseed-oil"), ("Bleizuckers", "lead-acetate"), ("gehörig zertheilter Schwefel", "sulfur"),
        ("gebrochene Galläpfel", "oak-galls"), ("zerdrückte Wacholderbeeren", "juniper-berries"), ("gebranntes Kupfer", "burnt-copper"),
        ("gebrannte Stärke", "dextrin"), ("saures schwefelsaures Kali", "potassium-bisulfate"), ("rothes blausaures Kali", "potassium-ferricyanide"),
        ("salpetersaures Uranoxyd", "uranium-salt"), ("salzsaures Hydroxylamin", "hydroxylamine-hydrochloride"), ("Ferridcyanammonium", "ammonium-ferricyanide"),
        ("Weinsteinöl", "potassium-carbonate"), ("Traganthwasser", "tragacanth-mucilage"),
    ],
)  # fmt: skip
def test_german_genitives_participles_and_salts(printed, expected):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == expected and match.doubts == ()


@pytest.mark.parametrize("printed", ["seeds thus prepared", "thus prepared", "the roots thus dried"])
def test_thus_is_no_resin_where_another_word_is_left_out(printed):
    match = glossary.find(printed)
    assert match is None or "frankincense" not in match.ingredient.id


@pytest.mark.parametrize(
    ("year", "expected"), [(1680, "frankincense"), (1868, "common-frankincense")]
)
def test_gum_thus_was_olibanum_and_became_the_resin_of_pines(year, expected):
    match = glossary.find("gum thus", source=hk.Source(year=year))
    assert match.ingredient.id == expected and len(match.alternatives) == 1


@pytest.mark.parametrize(
    ("printed", "expected", "poison"),
    [
        ("fulminate", "mercury-fulminate", "silver-fulminate"), ("Chlorquecksilber", "mercuric-chloride", "mercurous-chloride"),
        ("bitter root", "gentian-root", "dogbane-root"), ("Kermesbeeren", "kermes", "pokeberries"), ("blausaures Kali", "potassium-ferrocyanide", "potassium-cyanide"),
        ("sesquicarbonate of soda", "sodium-bicarbonate", "sodium-sesquicarbonate"),
    ],
)  # fmt: skip
def test_names_that_two_trades_used_for_two_things_show_both(printed, expected, poison):
    match = glossary.find(printed)
    assert match.ingredient.id == expected and poison in {other.id for other in match.alternatives} and match.doubts


@pytest.mark.parametrize(
    ("one", "another"),
    [
        (("mutton suet", "mutton-suet"), ("beef suet", "beef-suet")), (("winter savory", "winter-savory-herb"), ("summer savory", "savory-herb")),
        (("dandelion leaves", "dandelion-leaves"), ("dandelion root", "dandelion-root")), (("lupulin", "lupulin"), ("hops", "hops")),
        (("sassafras pith", "sassafras-pith"), ("sassafras wood", "sassafras-wood")), (("glass of antimony", "antimony-glass"), ("flowers of antimony", "antimony-oxide")),
        (("Contrayerva Stone", "contrayerva-stone"), ("Gascoigne's powder", "crab-claw-powder")), (("Haller's acid", "hallers-acid"), ("elixir of vitriol", "aromatic-sulfuric-acid")),
        (("poke berries", "pokeberries"), ("poke root", "pokeroot")), (("pink salt", "pink-salt"), ("tin spirits", "tin-solution")),
        (("French mustard", "compound-mustard"), ("flour of mustard", "mustard-seed")), (("aniline salt", "aniline-hydrochloride"), ("aniline oil", "aniline")),
        (("compound powder of bole", "compound-bole-powder"), ("compound powder of bole with opium", "bole-opium-powder")),
        (("fluoride of sodium", "sodium-fluoride"), ("hydrofluoric acid", "hydrofluoric-acid")), (("white vine root", "bryony-root"), ("vine root", "vine-root")),
    ],
)  # fmt: skip
def test_parts_and_preparations_that_old_books_keep_apart(one, another):
    for printed, expected in (one, another):
        match = glossary.find(printed)
        assert match is not None and match.ingredient.id == expected and match.doubts == (), printed
