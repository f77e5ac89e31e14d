"""Evidence against a key that no reader made: lists set by chance in the ways that books print them, each amount known beforehand.

Names first or amounts first, seven signs between name and amount, five between entries, unit words whole or cut short, capitals or
not, with a title or 'Take' before them, with a last thing that has no amount or with directions behind. All names are common ones.
Where nothing at all divides the entries and a name without an amount stands at the end, the print itself leaves it open: left out.

Then the ways that take more words: 'of each' in each of its places, sentences that mix it with single things, amounts in many words,
half the quantity of the thing before, numbered steps, names broken over two lines, wholes that are filled up, early print, Latin, German
and French.
"""

import itertools
import random

import pytest

import histkit as hk

NAMES = (
    "starch", "borax", "glycerine", "rose water", "oil of almonds", "spermaceti", "white wax", "orris root", "oxide of zinc", "camphor",
    "tincture of benzoin", "alum", "myrrh", "lard", "carmine", "prepared chalk", "castile soap", "cologne water", "oil of bergamot",
)  # fmt: skip
UNITS = {
    "ounce": ("ounces", "oz."), "drachm": ("drachms", "dr."), "pound": ("pounds", "lb."), "grain": ("grains", "gr."),
    "gill": ("gills", "gills"), "drop": ("drops", "gtt."),
}  # fmt: skip
AMOUNTS = (("2", 2), ("3", 3), ("½", 0.5), ("1½", 1.5), ("four", 4), ("ten", 10), ("1/4", 0.25), ("6", 6))
NAME_FIRST, AMOUNT_FIRST = (" ", ", ", ": ", " — "), (" ", " of ")
BETWEEN = (". ", "; ", ", ", "\n", ",\n", " ")
WAYS = [
    (first, join, between)
    for first, joins in (("name", NAME_FIRST), ("amount", AMOUNT_FIRST))
    for join, between in itertools.product(joins, BETWEEN)
    if join != between  # 'borax, 2 oz., wax, 1 oz.' has other tests
]


def printed(chance, first, join, between, short, capital, last, before):
    """A list set in one way, and its key: (amount, unit, name) of each entry that has an amount."""
    *names, without = chance.sample(NAMES, chance.randint(4, 6))
    entries, key = [], []
    for name in names:
        (figure, amount), unit = chance.choice(AMOUNTS), chance.choice(list(UNITS))
        word = UNITS[unit][short]
        measure = f"{figure} {word if short or amount > 1 else word[:-1]}"
        shown = name.capitalize() if capital else name
        entries.append(f"{shown}{join}{measure}" if first == "name" else f"{measure}{join}{shown}")
        key.append((amount, unit, name))
    text = between.join(entry.rstrip(".") if between == ". " else entry for entry in entries)
    if last == "name":
        text += between + (without.capitalize() if capital else without)
    text = text.rstrip(".") + (". Mix well and strain through muslin." if last == "directions" else ".")
    return {"": "", "title": "Cold Cream.\n", "take": "Take "}[before] + text, key


@pytest.mark.parametrize(("first", "join", "between"), WAYS)
def test_a_list_is_read_as_it_is_set(first, join, between):
    chance = random.Random(f"{first}{join}{between}")
    wrong = []
    for short, capital, last, before in itertools.product((0, 1), (0, 1), ("", "name", "directions"), ("", "title", "take")):
        if (between == ". " and not capital) or (between == " " and last == "name"):
            continue
        text, key = printed(chance, first, join, between, short, capital, last, before)
        lines = {line.ingredient.lower(): (line.amount, line.unit) for line in hk.read(text).lines}
        wrong += [(text, entry, lines) for entry in key if lines.get(entry[2]) != entry[:2]]
    assert wrong == []


HERBS = (
    "saffron", "red sage", "white pepper", "orris root", "olibanum", "cochineal", "tartaric acid", "white lead", "sal ammoniac",
    "common salt", "cream of tartar", "yellow rosin", "lemon peel", "blue vitriol", "caraway seeds", "elder flowers", "gum arabic",
    "oil of cloves", "spirit of wine", "tincture of myrrh", "essence of lemon", "flowers of sulphur", "rose leaves", "distilled water",
    "red precipitate", "white precipitate",
)  # fmt: skip
POOLS = {
    "en": HERBS,
    "early": ("Roſes", "Beniamin", "Cloues", "Ciuet", "Muske", "white waxe", "Cinamon", "Sugar", "oyle of Almonds", "Masticke", "Lauender"),
    "la": ("Pulv. rhei", "Syr. simplicis", "Aquæ rosæ", "Ext. gentianæ", "Camphoræ", "Glycerini", "Tinct. benzoini", "Flor. sambuci"),
    "de": ("Zimmt", "Nelken", "Borax", "Kampfer", "Mandelöl", "Rosenwasser", "Kreide", "Myrrhe", "Alaun", "Salmiak", "weißes Wachs", "Stärke"),
    "fr": ("benjoin", "storax", "iris de Florence", "cire blanche", "camphre", "alun", "myrrhe", "savon blanc", "huile d'amandes douces"),
}  # fmt: skip
PRINTED = {
    "en": (
        "two ounces", "half an ounce", "a drachm", "a pound", "six drachms", "an ounce and a half", "three quarters of an ounce",
        "two ounces and a half", "a pound and four ounces", "the eighth part of an ounce", "two-and-a-half ounces", "4 drachms",
        "from two to three ounces", "a quarter of a pound", "one and a half pounds", "2½ oz.", "three ounces and two drachms",
    ),
    "early": ("two vnces", "halfe an ounce", "iij. drammes", "a dramme", "foure ounces", "ſixe graines", "an vnce and a halfe", "a pounde"),
    "la": ("℥ij.", "ʒj.", "℈ss.", "ʒiijss.", "drachm. ij.", "gr. xv.", "unc. ss.", "drachmam dimidiam"),
    "de": ("2 Loth", "ein Quentchen", "ein halbes Pfund", "drei Loth", "anderthalb Loth", "10 Gramm", "1 Pfund"),
    "fr": ("une once", "deux gros", "demi-once", "une livre", "30 grammes", "une once et demie", "dix grains"),
}  # fmt: skip
MEANT = {
    "two ounces": "2 ounce", "half an ounce": "0.5 ounce", "a drachm": "1 drachm", "a pound": "1 pound", "six drachms": "6 drachm",
    "an ounce and a half": "1.5 ounce", "three quarters of an ounce": "0.75 ounce", "two ounces and a half": "2.5 ounce",
    "a pound and four ounces": "1 pound + 4 ounce", "the eighth part of an ounce": "0.125 ounce", "two-and-a-half ounces": "2.5 ounce",
    "4 drachms": "4 drachm", "from two to three ounces": "2 to 3 ounce", "a quarter of a pound": "0.25 pound",
    "one and a half pounds": "1.5 pound", "2½ oz.": "2.5 ounce", "three ounces and two drachms": "3 ounce + 2 drachm",
    "two vnces": "2 ounce", "halfe an ounce": "0.5 ounce", "iij. drammes": "3 drachm", "a dramme": "1 drachm",
    "foure ounces": "4 ounce", "ſixe graines": "6 grain", "an vnce and a halfe": "1.5 ounce", "a pounde": "1 pound",
    "℥ij.": "2 ounce", "ʒj.": "1 drachm", "℈ss.": "0.5 scruple", "ʒiijss.": "3.5 drachm", "drachm. ij.": "2 drachm",
    "gr. xv.": "15 grain", "unc. ss.": "0.5 ounce", "drachmam dimidiam": "0.5 drachm",
    "2 Loth": "1 ounce", "ein Quentchen": "1 drachm", "ein halbes Pfund": "0.5 pound", "drei Loth": "1.5 ounce",
    "anderthalb Loth": "0.75 ounce", "10 Gramm": "10 gram", "1 Pfund": "1 pound",
    "une once": "1 ounce", "deux gros": "2 drachm", "demi-once": "0.5 ounce", "une livre": "1 pound", "30 grammes": "30 gram",
    "une once et demie": "1.5 ounce", "dix grains": "10 grain",
}  # fmt: skip
"""Printed amount → what it says, as a line tells it."""
TOLD = (
    ("en", "Take of {w}, {x} and {y}, of each {a}; {z}, {b}. Beat them together.", "w:a x:a y:a z:b"),
    ("en", "Take {w} {a}, {x} and {y} of each {b}, {z} {c}; mix them.", "w:a x:b y:b z:c"),
    ("en", "Take {a} of {w}, of {x} and {y} each {b}, dissolve in a pint of {z}, and strain.", "w:a x:b y:b z:pint"),
    ("en", "Take {w}, {x}, and {y}, of every one {a}, {z} {b}; pound them.", "w:a x:a y:a z:b"),
    ("en", "Of each, {a}: {w}, {x}, and {y}; {z}, {b}.", "w:a x:a y:a z:b"),
    ("en", "Take {w}, {x} and {y}, {a} of each; {z}, {b}.", "w:a x:a y:a z:b"),
    ("en", "{w}, {x} and {y} (2 oz. each); {z}, {a}.", "w:oz x:oz y:oz z:a"),
    ("en", "{w:20}}}\n{x:20}}} of each {a}\n{y:20}}}\n{z:20}  {b}\nMix.", "w:a x:a y:a z:b"),
    ("en", "Take {w}, {x} and {y}, of each a like quantity; mix them.", "w:part x:part y:part"),
    ("en", "Take an equal quantity of {w}, {x} and {y}; mix and apply.", "w:part x:part y:part"),
    ("en", "Take {a} of {w}, {b} of {x}, to which add {c} of {y}, together with {d} of {z}.", "w:a x:b y:c z:d"),
    ("en", "Take two ounces of {w}, the same quantity of {x}, half as much {y}, and {a} of {z}.", "w:oz x:oz z:a"),
    ("en", "1. Melt {a} of {w} in {b} of {x}.\n2. Strain through muslin.\n3. Add {c} of {y}, and bottle.", "w:a x:b y:c"),
    ("en", "{w}   {a}\n{x}   {b}\nWater     to 1 pint.", "w:a x:b"),
    ("en", "Hair Oil. Olive oil, {d}; {w}, {a}; {x}, {b}; {y}, {c}. Bottle, and cork well.", "w:a x:b y:c"),
    ("en", "a) {w}, {a}.\nb) {x}, {b}.\nc) {y}[12], {c}.", "w:a x:b y:c"),
    ("en", "Take six ounces of {w}, four of {x}, and two of {y}; mix.", "w:six x:four y:oz"),
    ("en", "Put {a} of {w} into a jar, pour over it {b} of {x}; when cold stir in {c} of {y}.", "w:a x:b y:c"),
    ("early", "Take {w} {a}, {x} and {y}, of ech {b}, {z} {c}: seeth them together.", "w:a x:b y:b z:c"),
    ("early", "Take of {w} {a}, of {x} as much, of {y} {b}, and of {z} {c}, beat them.", "w:a x:a y:b z:c"),
    ("la", "R. {w} {a}\n{x} {b}\n{y} {c}\nM.", "w:a x:b y:c"),
    ("la", "℞ {w} {a}\n{x}\n{y}, āā ʒij.\n{z} {b}\nM.", "w:a x:zij y:zij z:b"),
    ("de", "Man nehme {a} {w}, ebenso viel {x}, und {b} {y}.", "w:a x:a y:b"),
    ("de", "Von {w}, {x} und {y} je {a}, von {z} {b}.", "w:a x:a y:a z:b"),
    ("fr", "Prenez {w}, {x} et {y}, de chaque {a}; {z}, {b}.", "w:a x:a y:a z:b"),
)  # fmt: skip
"""Language, what is printed, and which amount each name has."""
FIXED = {"oz": "2 ounce", "pint": "1 pint", "part": "1 part", "six": "6 ounce", "four": "4 ounce", "zij": "2 drachm"}


@pytest.mark.parametrize(("language", "way", "key"), TOLD)
def test_a_sentence_is_read_as_it_is_set(language, way, key):
    """A line is wrong where its amount is, or where it has words of another name and no doubt says so."""
    chance, wrong = random.Random(way), []
    for _ in range(15):
        names = dict(zip("wxyz", chance.sample(POOLS[language], 4), strict=True))
        printed = {letter: chance.choice(PRINTED[language]) for letter in "abcd"}
        text = way.format(**{k: v[0].upper() + v[1:] if way.startswith(f"{{{k}}}") else v for k, v in (names | printed).items()})
        text = text.replace("oz..", "oz.")
        lines = {line.ingredient.casefold(): line for line in hk.read(text).lines}
        for letter, amount in (pair.split(":") for pair in key.split()):
            line = lines.get(names[letter].casefold())
            meant = FIXED.get(amount) or MEANT[printed[amount]]
            if line is None or line.measure_text() != meant or (line.carried and not line.doubts):
                wrong.append((text, names[letter], line))
    assert wrong == []
