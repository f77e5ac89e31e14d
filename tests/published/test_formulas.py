"""Formulas from public-domain books, their names and figures typed as facts, read and compared with what the page says.

The layout (columns, brackets, signs, dittos) follows each book, since that is what has to be read; the prose is not kept.
"""

import pytest

import histkit as hk

PIESSE = hk.Source(title="The Art of Perfumery", author="G. W. S. Piesse", year=1857, country="GB", kind="perfumery manual")
FLORA = hk.Source(title="The Toilet of Flora", author="P.-J. Buc'hoz", year=1779, country="GB", kind="household receipt book")
ENQUIRE = hk.Source(title="Enquire Within Upon Everything", year=1894, country="GB", kind="household receipt book")
ASKINSON = hk.Source(title="Perfumes and their Preparation", author="G. W. Askinson", year=1892, country="US", kind="perfumery manual")
DEITE = hk.Source(title="A Practical Treatise on the Manufacture of Perfumery", author="C. Deite", year=1892, country="US", kind="perfumery manual")
STELWAGON = hk.Source(title="Essentials of Diseases of the Skin", author="H. W. Stelwagon", year=1909, country="US", kind="prescription")
HENLEY = hk.Source(title="Henley's Twentieth Century Formulas", author="G. D. Hiscox (ed.)", year=1914, country="US", kind="trade receipt book")
STEVANS = hk.Source(title="The Woman Beautiful", author="H. F. Stevans", year=1899, country="US", kind="household receipt book")
BEASLEY = hk.Source(title="The Druggist's General Receipt Book", author="H. Beasley", year=1872, country="GB", kind="trade receipt book")
COBBETT = hk.Source(title="The English Housekeeper", author="A. Cobbett", year=1851, country="GB", kind="household receipt book")
PARIS = hk.Source(title="Pharmacologia", author="J. A. Paris", year=1831, country="US", kind="prescription")
BPC = hk.Source(title="British Pharmaceutical Codex", year=1911, country="GB", kind="pharmacopoeia")

FORMULAS = {
    # Piesse 1857, Violet Powder: a column with ditto marks for 'Otto of'
    "column with dittos": (PIESSE, """Wheat starch,                    12 lbs.
Orris-root powder,                2 lbs.
Otto of lemon,                   1/2 oz.
"  bergamot,                     3/4 oz.
"  cloves,                    2 drachms.""",
        [(12, "pound", "wheat-starch"), (2, "pound", "orris-root"), (0.5, "ounce", "lemon-oil"), (0.75, "ounce", "bergamot-oil"), (2, "drachm", "clove-oil")]),
    # Piesse 1857, Millefleur Sachet (part): two brace groups told apart by the column of the brace
    "braces": (PIESSE, """Orris,                    } each,             1 lb.
Rose-leaves,              }
Tonquin,                     }
Vanilla,                     } each,        1/4 lb.
Cloves, ground,                             1/4 lb.
Cinnamon,       } each,                       2 oz.
Allspice,       }""",
        [(1, "pound", "orris-root"), (1, "pound", "rose-petals"), (0.25, "pound", "tonka-bean"), (0.25, "pound", "vanilla-bean"), (0.25, "pound", "cloves"), (2, "ounce", None), (2, "ounce", "allspice")]),
    # Toilet of Flora 1779, no. 43: a sentence, amounts after the names, 'of each'
    "sentence of 1779": (FLORA, "Take Myrrh, Roch Allum, Dragon's Blood, and Cream of Tartar, of each\nhalf an ounce; Musk, two grains",
        [(0.5, "ounce", "myrrh"), (0.5, "ounce", "alum"), (0.5, "ounce", "dragons-blood"), (0.5, "ounce", None), (2, "grain", "musk")]),
    # Toilet of Flora 1779, no. 216 (part): back-references
    "back-references": (FLORA, "six ounces of Bean Flour, and the same quantity of worm-eaten Wood, four ounces of Cyprus Wood, a quarter of an ounce of Calamus, and as much Labdanum",
        [(6, "ounce", None), (6, "ounce", None), (4, "ounce", None), (0.25, "ounce", None), (0.25, "ounce", None)]),
    # Enquire Within 1894, no. 1690
    "american tooth powder": (ENQUIRE, "Coral, cuttlefish bone, dragon's blood, of each eight drachms; burnt alum and red sanders, of each four drachms; orris root, eight drachms",
        [(8, "drachm", "red-coral"), (8, "drachm", "cuttlefish-bone"), (8, "drachm", "dragons-blood"), (4, "drachm", None), (4, "drachm", "red-sanders"), (8, "drachm", "orris-root")]),
    # Askinson 1892, White Toilet Powder: fraction glyphs joined to the figure
    "fraction glyphs": (ASKINSON, "Fine levigated zinc white   1¾ oz.\n  Venetian talcum             1¾ oz.\n  Carbonate of magnesia       1¾ oz.\n  Oil of rose                20 drops.",
        [(1.75, "ounce", "zinc-oxide"), (1.75, "ounce", "talc"), (1.75, "ounce", "magnesium-carbonate"), (20, "drop", "rose-oil")]),
    # Deite 1892, sachet à la rose (part): the unit printed once
    "carried unit": (DEITE, "Ground rose leaves, ground rose wood and\npulverized starch each 50 drachms, Turkish rose oil 1½, rose-geranium\noil 2½, bergamot oil 2½.",
        [(50, "drachm", "rose-petals"), (50, "drachm", None), (50, "drachm", None), (1.5, "drachm", "rose-oil"), (2.5, "drachm", None), (2.5, "drachm", "bergamot-oil")]),
    # Stelwagon 1909, dusting powder: apothecaries' signs, Latin genitives, āā over four lines
    "signs and āā": (STELWAGON, "℞ Pulv. acidi borici,\n  Pulv. talci veneti,\n  Pulv. zinci oxidi,\n  Pulv. amyli, ..........................āā......... ʒij.   M.",
        [(2, "drachm", "boric-acid"), (2, "drachm", "talc"), (2, "drachm", "zinc-oxide"), (2, "drachm", None)]),
    # Stelwagon 1909: a range of Roman numerals, q.s. ad
    "Roman range and total": (STELWAGON, "℞ Ac. salicylici, .................... gr. x-xxx.\n  Glycerinæ, ...................... fʒij\n  Aquæ, ........... q.s. ad. ...... f℥iv.   M.",
        [((10, 30), "grain", None), (2, "fluid drachm", "glycerin"), (None, "q.s.", "water")]),
    # Henley 1914, Violet Poudre de Riz (part): a formula number stuck to the first name
    "formula number": (HENLEY, "I.—Cornstarch             7 pounds\n     Rice flour             1 pound\n     Powdered talc          1 pound",
        [(7, "pound", "corn-starch"), (1, "pound", "rice-flour"), (1, "pound", "talc")]),
    # Henley 1914, Brunette (part): 'av.' and a grade beside the amount
    "grade and avoirdupois": (HENLEY, "Powdered Florentine orris    1 pound\n Powdered yellow ocher        (av.) 3 ounces 120 grains\n Carmine No. 40               60 grains",
        [(1, "pound", "orris-root"), (3, "ounce", None), (60, "grain", "carmine")]),
    # Stevans 1899, Consuelo Powder: amounts first, '2 drops each of oils of'
    "amounts first": (STEVANS, "5 ounces of talcum.\n5 ounces of rice flour.\n2-1/2 ounces of the best zinc oxide.\n2 drops each of oils of bergamot, ylang-ylang and neroli.",
        [(5, "ounce", "talc"), (5, "ounce", "rice-flour"), (2.5, "ounce", "zinc-oxide"), (2, "drop", "bergamot-oil"), (2, "drop", None), (2, "drop", "neroli-oil")]),
    # Beasley 1872, compound camphorated tooth powder
    "abbreviated units": (BEASLEY, "Camphor 1 oz., precipitated chalk 2 oz., cuttle-fish bone ½ oz., myrrh 2 dr., borax 2 dr., lake or rose pink 1 dr.",
        [(1, "ounce", None), (2, "ounce", "calcium-carbonate-precipitated"), (0.5, "ounce", "cuttlefish-bone"), (2, "drachm", "myrrh"), (2, "drachm", "borax"), (1, "drachm", None)]),
    # Cobbett 1851, Lip Salve (part)
    "figures and words": (COBBETT, "Two oz. white wax, 2 oz. of unsalted lard, ½ oz. spermaceti, 1 oz. oil sweet almonds, 2 drachms balsam of Peru",
        [(2, "ounce", "beeswax-white"), (2, "ounce", "lard"), (0.5, "ounce", "spermaceti"), (1, "ounce", "sweet-almond-oil"), (2, "drachm", None)]),
    # Paris 1831: colons that end abbreviations
    "colons": (PARIS, "℞. Gallarum pulverisat: ʒj.\n     Adipis præparat: ʒj", [(1, "drachm", None), (1, "drachm", "lard")]),
    # British Pharmaceutical Codex 1911, Pulvis Rosae Compositus: two columns of figures
    "two systems": (BPC, "Oil of Rose 0.10 | 2 minims\nGum Acacia, in powder 15.00 | 262 ½ grains\nRefined Sugar, in powder to 100.00 | to 4 ounces",
        [(0.1, "part", "rose-oil"), (15, "part", "gum-arabic"), (None, "q.s.", "sugar")]),
}  # fmt: skip


@pytest.mark.parametrize("name", FORMULAS)
def test_amounts_and_units(name):
    source, text, expected = FORMULAS[name]
    formula = hk.read(text, source=source)
    assert [(line.amount, line.unit) for line in formula.lines] == [(amount, unit) for amount, unit, _ in expected]


@pytest.mark.parametrize("name", FORMULAS)
def test_ingredients(name):
    source, text, expected = FORMULAS[name]
    translation = hk.translate(hk.read(text, source=source))
    found = [t.ingredient.id if t.ingredient else None for t in translation.lines]
    wrong = [(t.line.full_name, got, want) for t, got, (_, _, want) in zip(translation.lines, found, expected, strict=True) if want and got != want]
    assert wrong == []
    assert None not in found, [t.line.full_name for t in translation.lines if t.ingredient is None]


def test_a_compound_amount_with_drachms_is_apothecaries():
    """Hartley, The Ladies' Book of Etiquette (1860): 3 ounces 2 drachms of white lead = 3.25 ounces of 480 grains."""
    line = hk.translate(hk.read("Take 3 ounces 2 drachms of powdered carbonate of lead, 45 grains of powdered camphor.")).lines[0]
    assert line.grams.best == pytest.approx(3.25 * 480 * 0.06479891)  # grain of the 1959 agreement
    assert line.ingredient.id == "lead-carbonate" and line.ingredient.forbidden


def test_more_grains_than_an_avoirdupois_ounce_make_the_ounce_apothecaries():
    """Henley 1914, Foot-Powder V: 2 ounces, 440 grains; 440 is more than the 437.5 grains of an avoirdupois ounce."""
    line = hk.translate(hk.read("Boric acid   2 ounces, 440 grains\nTalcum   38 ounces", source=HENLEY)).lines[0]
    assert line.grams.best == pytest.approx((2 * 480 + 440) * 0.06479891)
