"""Lists of prescriptions: Latin genitives cut short, with nothing but their stops between them."""

import pytest

import histkit as hk


def _read(text):
    formula = hk.read(text, source=hk.Source(title="An invented dispensatory", year=1660, country="GB"))
    meant = [line.ingredient.id if line.ingredient else None for line in hk.translate(formula).lines]
    return [(line.amount, line.unit, found) for line, found in zip(formula.lines, meant, strict=True)]


@pytest.mark.parametrize(
    ("text", "unit", "ingredients"),
    [
        ("℞ Fol. Malv. Alth. Parietar. ana M.j.", "handful", ["mallow-leaves", "marsh-mallow-leaves", "pellitory-wall-herb"]),
        ("℞ Sem. Anis. Foenic. Dauci ana ʒij.", "drachm", ["anise-seed", "fennel-seed", "carrot-seed"]),
        ("℞ Flor. Chamaem. Melilot. Sambuci ana ℥j.", "ounce", ["roman-chamomile-flowers", "melilot-herb", "elder-flowers"]),
        ("℞ Pulv. Rad. Irid. Cyper. Angel. ana ℥j.", "ounce", ["orris-root", "cyperus-root", "angelica-root"]),
        ("℞ flor. ros. rub. bacc. myrtill. balaust. an. ʒj.", "drachm", ["red-rose-petals", "bilberry", "pomegranate-flowers"]),
        ("Hordei contus. Passularum incis. an. ℥ iiij.", "ounce", ["barley", "raisin"]),
        ("℞ Aq. Rosar. Plantag. Solani ana ℥iij.", "ounce", ["rose-water", "plantain-water", "nightshade-water"]),
        ("℞ Aq. Rosar., Plantag., Solani ana ℥iij.", "ounce", ["rose-water", "plantain-water", "nightshade-water"]),
        ("℞ Syr. Violar., Papav. ana ℥j.", "ounce", ["violet-syrup", "poppy-syrup"]),
        ("℞ Rad. Althaeae, Bryon., Lilior. ana ℥j.", "ounce", ["marshmallow-root", "bryony-root", "lily-bulb"]),
        ("℞ Aq. Rosar., Alum. rup., Sacch. cand. ana ℥iij.", "ounce", ["rose-water", "alum", "sugar"]),
    ],
)
def test_each_genitive_is_a_name_and_takes_the_latin_head(text, unit, ingredients):
    read = _read(text)
    assert [found for _, _, found in read] == ingredients
    assert {at for _, at, _ in read} == {unit}


def test_words_of_an_english_list_are_no_names_cut_short():
    text = "Take of garden posy and water pepper herbs, each one ounce."
    assert [line.ingredient for line in hk.read(text).lines] == ["garden posy", "water pepper herbs"]


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("Cubebarum Drag. ss Nucis muscatae Drag. ij.", [(0.5, "drachm", "cubebs"), (2, "drachm", "nutmeg")]),
        ("jujubar. num. xxx. sem. lactucae ℥v.", [(30, "piece", "jujube"), (5, "ounce", "lettuce-seed")]),
        ("Caricar. No xij. sem. lactucae ℥v.", [(12, "piece", "fig"), (5, "ounce", "lettuce-seed")]),
        ("sem. lini, & foenugraeci sing. ℥ ij.", [(2, "ounce", "linseed"), (2, "ounce", "fenugreek-seed")]),
    ],
)
def test_units_and_counts_of_prescriptions(text, read):
    assert _read(text) == read


def test_a_word_cut_short_is_looked_up_with_its_stop():
    assert _read("℞ Lilior. ℥j. Althaeae ℥j.")[0] == (1, "ounce", "lily-leaves")
