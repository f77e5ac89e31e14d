"""Names as receipt books and dispensatories of 1580 to 1750 print them, one case and more for each class.

What each means was settled by hand, name by name, from what the words say, and not asked of the look-up.
"""

import pytest

from histkit import glossary
from histkit.base.nouns import Source

EARLY_SPELLINGS = {
    "coults foote": "coltsfoot-leaves", "hartes tunge": "harts-tongue-fern", "enulacampain": "elecampane-root",
    "enulacompain rootes": "elecampane-root", "flowers of mullion": "mullein-flowers", "flowers of molleyn": "mullein-flowers", "flowres of molleyn": "mullein-flowers",
    "refemary": "rosemary-leaves", "seedes of parseley": "parsley-seed", "damaske pruines": "prune-fruit", "pruans": "prune-fruit",
    "cicory": "chicory-herb", "cardemony": "cardamom-seed", "polipodian": "polypody-root", "dasie leaues": "daisy-herb",
    "gotsrue": "goats-rue-herb", "suddernwood": "southernwood-herb", "asarabecca": "asarabacca-leaves",
    "leaues of nepp": "catmint-herb", "maxioram": "sweet-marjoram-herb", "roots of daneswort": "dwarf-elder-root",
    "juyce of fumetary": "fumitory-juice", "sirrup of fumotery": "fumitory-syrup", "honisuckle leaues": "woodbine-leaves",
    "cittrin mirabalans": "citrine-myrobalan-fruit", "resins of jallop": "jalap-resin", "oaken leaves": "oak-leaves",
    "fethersue": "feverfew-herb", "collumbind leaues": "columbine-herb", "flowers of tamarise": "tamarisk-flowers",
}  # fmt: skip

OTHER_NAMES_OF_HERBS = {
    "snakeweed": "bistort-root", "whitebottle": "white-campion-herb", "spatling-poppy": "white-campion-herb",
    "Paulsbittony": "speedwell-herb", "Venus navel-wort": "navelwort-herb", "osmond royal": "osmund-root",
    "leaves of osmond royal": "osmund-herb", "long-wort of the oak": "tree-lungwort", "langue de beif": "bugloss-herb",
    "thorough-wax": "thoroughwax-herb", "tops of young broom": "broom-herb", "lent figs": "fig", "roots of hemp": "hemp-root",
    "leaves of wild pear-tree": "pear-leaves", "inner rind of fir": "fir-bark", "oak-buds": "oak-buds",
}  # fmt: skip

LATIN_FORMS = {
    "uvar. passul. enucleat.": "raisin", "caricae pingues": "fig", "sem. urticar.": "nettle-seed", "rad. lilior.": "lily-bulb",
    "rad. pucedani": "hogs-fennel-root", "far. milii": "millet-flour", "far. fabar.": "bean-flour", "succi intybi": "endive-juice",
    "succ. beton.": "betony-juice", "succ. beton": "betony-juice", "succ. lactucae": "lettuce-juice", "succ. cancr. fluviatil.": "crayfish-juice",
    "flor. trium cordial.": "cordial-flowers", "vini odoriferi": "wine", "folior. sicc. scordii": "scordium-herb",
    "pulv. ostr. combust.": "oyster-shell-burnt", "Anthos": "rosemary-flowers", "Cons. flor. anthos": "rosemary-conserve",
    "C. C. C.": "hartshorn-burnt", "Geranium Robertianum": "crane-bill-herb",
    "summitat. marjoranae": "sweet-marjoram-herb",
}  # fmt: skip

SYRUPS_AND_OILS_FROM = {
    "syr. è moris": "mulberry-syrup", "syr. è capil. veneris": "maidenhair-syrup", "syr. è cort. citri": "citron-tree-syrup",
    "syr. è succo cydoniorum": "quince-tree-syrup", "syr. è symphyt. Fernel.": "comfrey-syrup", "syr. de meconio": "poppy-syrup",
    "syr. de rhab.": "rhubarb-syrup", "syr. de absinthio": "wormwood-syrup", "syr. è violis": "violet-syrup",
    "syr. de pom. magist.": "purging-apple-syrup", "syr. e succo limonum": "lemon-syrup", "pil. e styrace": "storax-pills",
    "ol. lilior.": "lily-infused-oil", "ol. de lateribus": "oil-bricks", "ol. petrae": "petroleum", "ol. Aparici": "aparice-oil",
}  # fmt: skip

OF_THE_SHOPS = {
    "ungt. martiatum": "martiatum", "ungt. nervinum": "nerve-ointment", "Ʋnguent laurini": "laurel-ointment",
    "empl. diachalciteos": "diapalma", "diachyl. ireat.": "lead-plaster", "dialthaeae": "marshmallow-ointment",
    "spec. diambrae": "species-diambra", "diamargarit. cal.": "diamargariton", "spec. diagem. cal.": "species-of-gems",
    "diarrhodon abbatis": "diarrhodon", "diagalangae": "diagalanga", "diamuscus dulcis": "species-diambra",
    "pil. Rudii": "rudius-pills", "Extractum Rudii": "rudius-pills", "pil. Ruffii": "rufus-pills",
    "confection of alkerns": "confection-alkermes", "confectio hamec": "confection-hamech",
    "carminative spirit of Sylvius": "sylvius-carminative-spirit", "plaster of Sylvius": "sylvius-carminative-plaster",
    "syrup of purging thorn": "buckthorn-syrup", "penide-sugar": "penids", "tanner's ooze": "oak-bark-decoction",
    "parmacetae": "spermaceti", "bezoard. occident.": "bezoar", "vol. salt of vipers": "viper-salt",
    "trochisks of alhandal": "alhandal-troches", "emollient herbs": "emollient-herbs",
}  # fmt: skip

PARTS_OF_ANIMALS = {
    "hares stones": "hare-testicles", "matrix of a hare": "hare-womb", "cocks throats": "cock-throat", "stones of a cock": "cock-stones",
    "pith of an oxe": "ox-pith", "axungia humana": "human-fat", "senectus serpentum": "snake-skin",
}  # fmt: skip

OVERLINED = {"marierō": "sweet-marjoram-herb", "opiũ": "opium", "oleum liliorū": "lily-infused-oil", "cinamõ": "cinnamon-bark"}

ABBREVIATED_CHEMICALS = {
    "coral. rub. pp.": "red-coral", "margarit. pp.": "pearls", "perlarum": "pearls", "limat. chalyb.": "iron",
    "cinnab. antimonii": "mercuric-sulfide", "sal volat. succini": "succinic-acid", "spiritus salis armoniaci": "ammonia-solution",
    "turpeth. gummos.": "turbith-root", "burnt harts horn": "hartshorn-burnt", "aureae Alexandrinae": "aurea-alexandrina",
    "laetitiae Galeni": "laetificans", "Epsom waters": "epsom-water", "wild poppey": "poppy-petals",
}  # fmt: skip

CLASSES = (
    EARLY_SPELLINGS, OTHER_NAMES_OF_HERBS, LATIN_FORMS, SYRUPS_AND_OILS_FROM, OF_THE_SHOPS, PARTS_OF_ANIMALS, OVERLINED,
    ABBREVIATED_CHEMICALS,
)  # fmt: skip


@pytest.mark.parametrize(("printed", "meant"), [pair for names in CLASSES for pair in names.items()])
def test_early_print_is_known(printed, meant):
    match = glossary.find(printed)
    assert match is not None and match.ingredient.id == meant
    assert match.via not in ("spelling", "inside")


@pytest.mark.parametrize("printed", ["pil. Rudii", "confection of anacardium", "laudan. Londinensis", "aureae Alexandrinae", "diachyl. ireat.", "natural balsam"])
def test_what_an_early_name_hides_has_its_caution(printed):
    """Black hellebore, marking nuts, opium, lead, and Peru balsam, the graver of two meanings."""
    assert glossary.find(printed).ingredient.forbidden


@pytest.mark.parametrize("printed", ["roots of suddernwood", "rootes of suddernwood", "pebble stones burnt"])
def test_another_part_in_old_spelling_is_no_silent_answer(printed):
    assert glossary.find(printed).doubts


def test_salt_and_pepper_are_not_one_thing():
    for printed in ("salt and pepper", "pepper and salt"):
        match = glossary.find(printed)
        assert match is None or (match.ingredient.id != "mixed-spice" and match.doubts)


@pytest.mark.parametrize("printed", ["mercury", "mercurie"])
def test_mercury_by_handfuls_is_the_herb_and_the_metal_keeps_its_caution(printed):
    herb, metal = glossary.find(printed, unit="handful"), glossary.find(printed, unit="ounce")
    assert herb.ingredient.id == "mercury-herb-herb" and [a.id for a in herb.alternatives] == ["mercury"] and herb.doubts
    assert metal.ingredient.id == "mercury" and metal.ingredient.forbidden and metal.doubts


@pytest.mark.parametrize(
    ("printed", "year", "meant", "also"),
    [
        ("opopanax", 1653, "opopanax-gum", "opoponax"), ("opopanax", 1892, "opoponax", "opopanax-gum"),
        ("Antimon", 1860, "antimony-metal", "antimony-trisulfide"), ("Antimon", 1720, "antimony-trisulfide", "antimony-metal"),
        ("Kohle", 1830, "charcoal", "coal"),
    ],
)  # fmt: skip
def test_the_year_decides_between_meanings(printed, year, meant, also):
    match = glossary.find(printed, Source(year=year))
    assert match.ingredient.id == meant and also in {a.id for a in match.alternatives}


@pytest.mark.parametrize("printed", ["garden mercury", "French mercury"])
def test_mercuries_of_the_garden_are_herbs(printed):
    assert glossary.find(printed).ingredient.id == "mercury-herb-herb"


MADE_OF = {
    "medullae cervinae": "deer-marrow", "olei chamaemelini": "chamomile-infused-oil", "axungiae anserinae": "goose-grease",
    "axungiae equi": "lard", "seui ceruini": "deer-suet",
}  # fmt: skip
"""Latin adjectives that say of what a thing is made."""

IN_OLD_LISTS = {
    "Succi beton": "betony-juice", "Rosemary blossomes": "rosemary-flowers", "Straw-berries": "strawberry", "wheate flowre": "wheat-flour",
    "terebinth. lot.": "turpentine-crude", "your Lemons": "lemon", "slic't nutmegs": "nutmeg", "greene victriall": "ferrous-sulfate",
    "Lond. Thriac": "london-treacle", "diach. simp": "lead-plaster", "Auxungia porc": "lard", "Iusquiami": "henbane-leaves",
    "mercurii sublimati": "mercuric-chloride", "gold Lethargyr": "lead-oxide", "wild gourd": "colocynth", "Vomiting Wine": "antimony-wine",
    "Burning Wine": "brandy", "Crocus Anglicus": "saffron", "essence of Castor": "castoreum-tincture", "Fisticorum viridium": "pistachio",
    "unhopp'd Ale": "ale", "Litarge of Leade": "lead-oxide", "Eclect. Cariocostin": "caryocostinum", "Musilidge of Marshmallow roots": "marshmallow-mucilage",
}  # fmt: skip
"""What books of 1563 to 1752 print, each of a class: a word cut behind a whole Latin head, an old spelling, a participle, a poison."""


@pytest.mark.parametrize(("printed", "meant"), [*MADE_OF.items(), *IN_OLD_LISTS.items()])
def test_names_of_old_lists_are_known(printed, meant):
    assert glossary.find(printed).ingredient.id == meant


@pytest.mark.parametrize("printed", ["Albi", "flavae", "nigri", "Galeni", "Gallipots", "gallipot", "Cattel", "Diaspoliticon Galeni"])
def test_a_colour_an_author_or_a_jar_is_no_ingredient(printed):
    assert glossary.find(printed) is None


@pytest.mark.parametrize("printed", ["your Ale", "old ale give him", "Sulphurata Ale"])
def test_ale_is_no_aloes(printed):
    match = glossary.find(printed)
    assert match.ingredient.id == "ale" and "aloes" not in {a.id for a in match.alternatives}


@pytest.mark.parametrize(
    ("printed", "meanings"),
    [
        ("sandaraca", {"sandarac", "realgar"}), ("Eupatorium", {"agrimony-herb", "boneset-herb"}), ("plaister", {"lead-plaster", "plaster-of-paris"}),
        ("myrtillorum", {"myrtle-fruit", "bilberry"}), ("oil of violets", {"violet-oil", "violet-infused-oil"}),
        ("hyacinth", {"hyacinth-flowers", "jacinth"}), ("amomi", {"amomum-seed", "allspice"}),
    ],
)  # fmt: skip
def test_what_meant_two_things_says_so(printed, meanings):
    match = glossary.find(printed)
    assert {match.ingredient.id, *(a.id for a in match.alternatives)} >= meanings and match.doubts
