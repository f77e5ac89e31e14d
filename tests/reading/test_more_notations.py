"""Notations found by hand in the manner of many books: worn figures, brackets, totals, columns, other tongues.

The formulas are invented; only the ways of printing are the period's.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

import histkit as hk
from histkit.reading import read, separate


def told(text):
    """(amount, unit, name) of every line, further parts of an amount after it."""
    return [(line.amount, line.unit, *line.plus, line.shown_name()) for line in read(text).lines]


def doubts(text, index=0):
    return [d.about for d in read(text).lines[index].doubts]


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("Starch, l0 lbs.", 10, "pound"),
        ("Orris, 1O oz.", 10, "ounce"),
        ("Oxide of zinc i oz.", 1, "ounce"),
        ("Rose water io oz.", 10, "ounce"),
        ("Borax . . J oz.", 0.5, "ounce"),
        ("White wax i 1/2 oz.", 1.5, "ounce"),
        ("White wax 1 l/2 oz.", 1.5, "ounce"),
        ("White wax l/2 oz.", 0.5, "ounce"),
        ("Borax, £ oz.", 0.5, "ounce"),
        ("Oil of cloves, HI v.", 5, "minim"),
        ("Ol. berg........3 v.", 5, "drachm"),
    ],
)
def test_a_worn_figure_or_sign_is_read_with_a_doubt(text, amount, unit):
    assert told(text)[0][:2] == (amount, unit)
    assert set(doubts(text)) & {"amount", "unit"}


@pytest.mark.parametrize(
    ("text", "amount", "unit", "name"),
    [
        ("Orris iv oz.", 4, "ounce", "Orris"),
        ("Oil of bergamot, xx m.", 20, "minim", "Oil of bergamot"),
        ("Sp. vini rect.....O iv.", 4, "pint", "Sp. vini rect"),
        ("Alcohol, 80 0/0 . . 4 pints", 4, "pint", "Alcohol, 80 0/0"),
        ("borax 1 drm.", 1, "drachm", "borax"),
        ("Storax . . . —  ounces 4 drachms", 4, "drachm", "Storax"),
        ("esprit-de-vin, une pinte", 1, "pint", "esprit-de-vin"),
        ("eau de roses, une chopine", 0.5, "pint", "eau de roses"),
        ("Blanc de baleine . . . 1 once et demie", 1.5, "ounce", "Blanc de baleine"),
        ("eau de roses, un demi-litre", 0.5, "litre", "eau de roses"),
        ("teinture de benjoin, une cuillerée à café", 1, "teaspoonful", "teinture de benjoin"),
        ("alcool à 90°, 300 cent. cubes", 300, "millilitre", "alcool à 90"),
        ("Carmin 1 Th.", 1, "part", "Carmin"),
        ("amidon 2 p.", 2, "part", "amidon"),
    ],
)
def test_amounts_that_are_read_without_harm(text, amount, unit, name):
    assert told(text)[0] == (amount, unit, name)


def test_figures_after_the_french_unit_are_its_decimals():
    assert told("Huile de ricin, 100 grammes; essence de citron, 2 gr. 50.") == [
        (100, "gram", "Huile de ricin"), (2.5, "gram", "essence de citron")]  # fmt: skip


def test_an_amount_in_brackets_belongs_to_the_name_before_it():
    assert told("Dissolve the camphor (1 oz.) in the alcohol (4 oz.), then add the water (1 pint).") == [
        (1, "ounce", "camphor"), (4, "ounce", "alcohol"), (1, "pint", "water")]  # fmt: skip


def test_each_in_brackets_and_each_before_a_list():
    assert told("Cassie, orris, rose-leaves (of each)     1 lb.\nVanilla    4 oz.") == [
        (1, "pound", "Cassie"), (1, "pound", "orris"), (1, "pound", "rose-leaves"), (4, "ounce", "Vanilla")]  # fmt: skip
    assert told("1 oz each: powdered chalk, powdered orris. 10 drops each: oil of cloves, oil of cinnamon.") == [
        (1, "ounce", "powdered chalk"), (1, "ounce", "powdered orris"), (10, "drop", "oil of cloves"), (10, "drop", "oil of cinnamon"),
    ]  # fmt: skip


def test_weight_or_measure_said_before_or_after_the_amount():
    lines = read("Glycerin, by weight, 20 parts. Water, by measure, 40 parts. Talc, 3 parts, by weight.").lines
    assert [(line.ingredient, line.amount, line.system) for line in lines] == [
        ("Glycerin", 20, "weight"), ("Water", 40, "measure"), ("Talc", 3, "weight")]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "total"),
    [
        ("Borax, ½ oz.; Rose-water, to 10 fl. oz.", (10, "fluid ounce")),
        ("Salicylic acid, 3; zinc oxide, 10; talc, to 100.", (100, "part")),
        ("Prepared chalk     6 drachms\nRice powder   to   2 ounces", (2, "ounce")),
    ],
)
def test_to_after_a_name_is_a_total(text, total):
    line = read(text).lines[-1]
    assert (line.amount, line.unit, line.to_make) == (None, "q.s.", total)


def test_compound_amounts_that_leave_the_word_fluid_out():
    assert told("alcohol, 2 pints 2 ozs.; oil of rosemary 5 drs. 30 min.") == [
        (2, "pint", (2, "ounce"), "alcohol"), (5, "drachm", (30, "minim"), "oil of rosemary")]  # fmt: skip


def test_an_amount_or_its_like_in_another_unit():
    line = read("Otto of roses 1 fl. dr. or 60 drops\nAlcohol  1 pt.").lines[0]
    assert (line.amount, line.unit, line.also) == (1, "fluid drachm", ((60, "drop"),))
    assert [d.about for d in line.doubts] == ["unit"]


def test_a_metric_and_an_imperial_column():
    lines = read(
        '                Metric.     Imperial.\nZinc oxide . .   20.00      200 grains\nTalc . . . . .   40.00      400   "\nOil of rose .     0.20        2 minims'
    ).lines
    assert [(line.amount, line.unit, line.also) for line in lines] == [
        (20, "gram", ((200, "grain"),)), (40, "gram", ((400, "grain"),)), (0.2, "millilitre", ((2, "minim"),))]  # fmt: skip


def test_rules_numbers_and_letters_of_a_table_are_no_amounts():
    assert told("Talc | 10 | oz.\nZinc oxide | 2 | oz.") == [(10, "ounce", "Talc"), (2, "ounce", "Zinc oxide")]
    assert told("| Talc     | 10 oz.  |\n| Rose oil | 5 drops |") == [(10, "ounce", "Talc"), (5, "drop", "Rose oil")]
    assert told("1 Precipitated chalk 4 oz.\n2 Orris 2 oz.\n3 Myrrh 1 oz.") == [
        (4, "ounce", "Precipitated chalk"), (2, "ounce", "Orris"), (1, "ounce", "Myrrh")]  # fmt: skip
    assert told("(a) Talc, 4 oz.; starch, 2 oz. (b) Carmine, 10 gr.") == [
        (4, "ounce", "Talc"), (2, "ounce", "starch"), (10, "grain", "Carmine")]  # fmt: skip


def test_eggs_that_stand_inside_their_name_leave_the_next_thing_alone():
    assert told("an Ounce of Soap scraped, the Whites of two Eggs, and the Juice of a Lemon.") == [
        (1, "ounce", "Soap scraped"), (2, "piece", "Whites Eggs"), (1, "piece", "Juice of a Lemon")]  # fmt: skip


def test_the_same_after_a_comma_repeats_the_amount():
    assert told("oil of orange, 5 ounces; oil of lemon, same; bergamot, 2 ounces.")[1] == (5, "ounce", "oil of lemon")


def test_a_rate_says_that_it_is_one():
    line = read("Quinine 12 grs. to the ounce of bay rum").lines[0]
    assert (line.amount, line.unit) == (12, "grain")
    assert any("rate" in d.text for d in line.doubts)


class TestOtherFormulas:
    def test_a_name_that_is_another_formula_says_so(self):
        for text in ("White powder (see above)   8 oz.\nCarmine   2 drs.", "Take of the above powder, 4 oz.; myrrh, 1 oz."):
            assert [d.about for d in read(text).lines[0].doubts] == ["reference"]
            assert not read(text).lines[1].doubts

    def test_a_portion_of_what_stands_above(self):
        text = "Talc   22 lbs.\n\nMix.\n\nCologne spirit  2 oz.\nRose water   2 drs.\n\nTo 12 drachms of this mixture add:\n\nNeroli  1 drachm\nAlcohol to   3 ounces"
        formula = read(text)
        (portion,) = formula.portions
        assert (portion.amount, portion.unit, portion.lines) == (12, "drachm", (1, 3))
        assert [d.about for d in formula.doubts] == ["reference"], "the talc above could be meant too"
        assert hk.Formula.from_json(formula.to_json()) == formula
        lines = hk.translate(formula).lines
        taken = sum(line.grams.best for line in lines[1:3])
        whole = sum(
            line.grams.best for line in hk.translate(read(text.replace("To 12 drachms of this mixture add:", "Add:"))).lines[1:3]
        )
        assert taken / whole == pytest.approx(12 / 18, abs=0.01)  # 12 of 18 drachms, by measure
        assert lines[4].grams is not None, "the total counts what is taken and added, not the powder made before"
        assert any("only" in reading.why for reading in lines[1].readings)

    def test_a_figure_without_a_unit_is_no_portion(self):
        formula = read("musk, four grains, half an ounce of ambrette; mix them with the rest 9 of the powder,")
        assert formula.portions == ()
        hk.translate(formula)

    def test_a_portion_of_something_printed_elsewhere_is_a_line(self):
        formula = read("To 12 drachms of this powder add 1 drachm of carmine and 3 drops of otto of rose.")
        assert (formula.lines[0].amount, formula.lines[0].unit) == (12, "drachm")
        assert [d.about for d in formula.lines[0].doubts] == ["reference"]
        assert formula.portions == ()

    @pytest.mark.parametrize(
        "text",
        [
            "No. 1.\nCarmine, 1 dr.\nRose water, 1 pint.\n\n|No. 2.\nCarmine, ½ dr.\nRose water, 1 pint.",
            "Rouge. Talc, 4 oz.; carmine, 1 dr. Mix.\n|Another: Chalk, 8 oz.; carmine, 2 drs.",
            "Chalk, 4 oz.; orris, 2 oz. |Or another.—Chalk, 8 oz.; myrrh, 1 oz.",
            "I.—Almond meal 7,000 parts\n    Bran meal 2,000 parts\n|II.—Almond meal 100 parts\n   Soap 5 parts",
        ],
    )
    def test_a_second_formula_is_told_and_can_be_separated(self, text):
        pieces = tuple(text.split("|"))
        whole = "".join(pieces)
        assert separate(whole) == pieces
        assert sum(d.about == "formula" for d in read(whole).doubts) == 1

    def test_one_formula_stays_in_one_piece(self):
        for text in ("Carmine No. 40 250 grains\nTalc 2 oz.", "A wineglassful of Cologne water, and another of lemon juice"):
            assert separate(text) == (text,)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("½ oz. mag. carb.\nperfume to suit\n", [(0.5, "ounce", "mag. carb"), (None, "q.s.", "perfume")]),
        ("Carmine, sufficient to colour\nOtto of rose, 5 drops", [(None, "q.s.", "Carmine"), (5, "drop", "Otto of rose")]),
        ("Talc ... 72.5\nColour and perfume ... q.s.", [(72.5, "part", "Talc"), (None, "q.s.", "Colour and perfume")]),
        ("alcohol, two ounces, scented with oil of rose, five drops.", [(2, "ounce", "alcohol"), (5, "drop", "oil of rose")]),
        ("1 whole lemon; 3 cloves", [(1, "piece", "whole lemon"), (3, "piece", "cloves")]),
        ("1 lb. of lard with 6 oz. of rose leaves for 2 hours", [(1, "pound", "lard"), (6, "ounce", "rose leaves")]),
        ("Ether, 1 oz. (fluid); camphor, ½ oz. (av.)", [(1, "fluid ounce", "Ether"), (0.5, "ounce", "camphor")]),
        ("To each pound of starch add one ounce of orris", [(1, "pound", "starch"), (1, "ounce", "orris")]),
        ("Sweet oil a gill; white wax size of a walnut", [(1, "gill", "Sweet oil"), (None, "none", "white wax")]),
        (
            "A piece of alum the size of a nut; a saltspoonful of salt",
            [(1, "piece", "alum"), (0.25, "teaspoonful", "salt")],
        ),
        (
            "½—1 drachm tannin; 1 oz. glycerine; water to 8 oz.",
            [((0.5, 1), "drachm", "tannin"), (1, "ounce", "glycerine"), (None, "q.s.", "water")],
        ),
        ("Talc ana 20,0\nOl. Bergam. gtt. X\nM.D.S. external", [(20, "gram", "Talc"), (10, "drop", "Ol. Bergam")]),
    ],
)
def test_entries_as_books_run_them_on(text, expected):
    assert told(text) == expected


def test_typewriters_print_halves_with_a_hyphen():
    both = read("oil lavender 1-2 oz.; oil cloves 1-4 oz.; soap 2 1-2 lbs.").lines
    assert [line.amount for line in both] == [0.5, 0.25, 2.5]
    assert all("range" in line.doubts[0].text for line in both[:2])
    alone = read("glycerine 1-2 oz.; rose water 8 oz.").lines[0]
    assert alone.amount == (1, 2)
    assert alone.doubts[0].others == ("0.5 ounce",)
    assert read("oil of cloves, 3-4 drops; talc 2 oz.").lines[0].amount == (3, 4)


def test_formulas_side_by_side_in_columns():
    lines = read(
        "                  A       B       C\nTalc             50      60      40\nKaolin           20      10      25"
    ).lines
    assert [(line.ingredient, line.amount, line.also) for line in lines] == [
        ("Talc", 50, ((60, "part"), (40, "part"))), ("Kaolin", 20, ((10, "part"), (25, "part")))]  # fmt: skip
    assert all(any("side by side" in d.text for d in line.doubts) for line in lines)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("rose water, qt. 1; sugar, oz. 2", [(1, "quart", "rose water"), (2, "ounce", "sugar")]),
        ("Acid. Salicyl. ........ 1.5\nAmyl. ........ 12.", [(1.5, "part", "Acid. Salicyl"), (12, "part", "Amyl")]),
        ("Cassiæ gr. xv; Caryophyll. No. vj.", [(15, "grain", "Cassiæ"), (6, "piece", "Caryophyll")]),
        (
            "melt in it two ounces of wax; when cold, add oil of bergamot, ten drops",
            [(2, "ounce", "wax"), (10, "drop", "oil of bergamot")],
        ),
        (
            "Rosin and beeswax equal parts, lard twice the quantity of both.",
            [(1, "part", "Rosin"), (1, "part", "beeswax"), (2, "part", "lard")],
        ),
        (
            "gum arabic 1 ounce, essence of rose enough to perfume, say 20 drops.",
            [(1, "ounce", "gum arabic"), (20, "drop", "essence of rose")],
        ),
        ("talc, one part, with sufficient attar of rose to perfume.", [(1, "part", "talc"), (None, "q.s.", "attar of rose")]),
        ("white soap 2 ds., oil of wintergreen 10 ms.", [(2, "drachm", "white soap"), (10, "minim", "oil of wintergreen")]),
    ],
)
def test_more_entries_as_books_run_them_on(text, expected):
    assert told(text) == expected


def test_a_numbered_solution_counts_nothing():
    assert told("Solution No. i., Borax, one ounce. Solution No. ii. Alum, one drachm") == [
        (1, "ounce", "Borax"),
        (1, "drachm", "Alum"),
    ]


def test_a_range_printed_backwards_is_turned_and_told():
    line = read("Hydrarg. ammon. .... gr. lx-xxx\nAdipis ℥j").lines[0]
    assert line.amount == (30, 60)
    assert [d.about for d in line.doubts] == ["amount"]
    assert hk.translate(read("Hydrarg. ammon. .... gr. lx-xxx\nAdipis ℥j")).lines[0].grams is not None


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("In one pint of alcohol dissolve 1 ounce borax.", [(1, "pint", "alcohol"), (1, "ounce", "borax")]),
        (
            "Prepared chalk ½ lb., orris ditto, cloves pulv. 1 oz.",
            [(0.5, "pound", "Prepared chalk"), (0.5, "pound", "orris"), (1, "ounce", "cloves pulv")],
        ),
        ("ROUGE. (No. 3.) Carmine 1½ oz.; talc 1 lb.", [(1.5, "ounce", "Carmine"), (1, "pound", "talc")]),
        ("Water . . . 6 oz.\nDose: a teaspoonful in half a tumbler of water.", [(6, "ounce", "Water")]),
        ("Starch, 2 parts; musk, trace.", [(2, "part", "Starch"), (None, "none", "musk")]),
    ],
)
def test_words_that_are_no_names(text, expected):
    assert told(text) == expected


def test_a_total_in_dittoes_and_an_amount_said_again_in_drops():
    lines = read(
        'Boric acid............ ½ oz.\nZinc oxide ........... 1  "\nFrench chalk to make.. 8  "\nRose oil . . 0.25 gram (about 8 drops)'
    ).lines
    assert lines[2].to_make == (8, "ounce")
    assert lines[3].also == ((8, "drop"),)


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # a heading without its stop, and what a scan glues together
        ("To Make Meadow Powder Take 4 oz. of starch and 1 oz. of orris.", [(4, "ounce", "starch"), (1, "ounce", "orris")]),
        ("Soap2 lb.\nTalc¾ oz.\nMadder lake¾ to 1½ oz.", [(2, "pound", "Soap"), (0.75, "ounce", "Talc"), ((0.75, 1.5), "ounce", "Madder lake")]),
        ("Myrrh 1 oz., well pulverized. Mix them and sift.", [(1, "ounce", "Myrrh")]),
        # things that are tools and vessels, and lengths of use
        ("Alum, 6 grains, and water, 1 quart. Boil in a cup, and rub on with a small bit of sponge tied to a stick.", [(6, "grain", "Alum"), (1, "quart", "water")]),
        # the amount of the whole
        ("Carmine, 1 drachm. Sufficient rose water to make up four ounces.", [(1, "drachm", "Carmine"), (None, "q.s.", "rose water")]),
        ("Carmine, 1 drachm. Make up four ounces with rose water.", [(1, "drachm", "Carmine"), (None, "q.s.", "rose water")]),
        # equal parts and the same quantity before several names
        ("Almond Paste. Take equal parts bitter almonds and sweet almonds.", [(1, "part", "bitter almonds"), (1, "part", "sweet almonds")]),
        ("One ounce of essence of bergamot, the same quantity of essence of lemon, lavender, and cloves.",
         [(1, "ounce", "essence of bergamot"), (1, "ounce", "essence of lemon"), (1, "ounce", "[essence of] lavender"), (1, "ounce", "[essence of] cloves")]),
        # words of manner before the name, an amount before a name with its own figure
        ("Melt the wax; add, very gradually, of rose-water, 4 fluid ounces.", [(4, "fluid ounce", "rose-water")]),
        ("Conserve of roses, 2 oz. the juice of half a lemon, a little claret.", [(2, "ounce", "Conserve of roses"), (0.5, "piece", "juice lemon"), (None, "none", "claret")]),
        ("Extract of violet, 1 oz. Green colouring, quantity sufficient. Proceed as before.", [(1, "ounce", "Extract of violet"), (None, "q.s.", "Green colouring")]),
        # what is done in between, and lengths of time
        ("Dry the roses in a warm place. To a pint of the petals add powdered orris 2 oz.", [(1, "pint", "petals"), (2, "ounce", "powdered orris")]),
        ("Wax, one ounce; throw in a piece of alkanet root to color it, and when cooling, perfume it with oil of rose.",
         [(1, "ounce", "Wax"), (1, "piece", "alkanet root"), (None, "q.s.", "oil of rose")]),
        ("Lard, 1 lb. Stir in sufficient rose or elder water to give it a fine scent.", [(1, "pound", "Lard"), (None, "q.s.", "rose or elder water")]),
        ("Cloves, 1 oz.; spirit, 1 quart; digest a few days and then distil.", [(1, "ounce", "Cloves"), (1, "quart", "spirit")]),
        ('Fresh rose oil, 1 lb.\n" fleur d\'orange oil, 2 lb.\n" tuberose oil, 3 lb.',
         [(1, "pound", "Fresh rose oil"), (2, "pound", "[Fresh] fleur d'orange oil"), (3, "pound", "[Fresh] tuberose oil")]),
        ("Almonds, one ounce, and several drops of attar of roses.", [(1, "ounce", "Almonds"), (None, "drop", "attar of roses")]),
        ("Lard, 2 oz. Add 1 drachm of oil of almonds, and any perfume you approve.",
         [(2, "ounce", "Lard"), (1, "drachm", "oil of almonds"), (None, "q.s.", "perfume")]),
        ("Benzoin, 7 parts, by weight; lavender oil and lemon oil, 15 parts, by weight, each; neroli oil, 3 parts, by weight.",
         [(7, "part", "Benzoin"), (15, "part", "lavender oil"), (15, "part", "lemon oil"), (3, "part", "neroli oil")]),
        ("Otto of santal,}\n\" cassia,} each,3 drachms.\n\" cloves,}\nNitre,2 oz.",
         [(3, "drachm", "Otto of santal"), (3, "drachm", "[Otto of] cassia"), (3, "drachm", "[Otto of] cloves"), (2, "ounce", "Nitre")]),
        ("Talc       lbs. 6\nCorn starch     lbs. 2\nBoric acid     oz. 8", [(6, "pound", "Talc"), (2, "pound", "Corn starch"), (8, "ounce", "Boric acid")]),
        ("Rice powder 100, talc 50, lycopodium 10 (parts).", [(100, "part", "Rice powder"), (50, "part", "talc"), (10, "part", "lycopodium")]),
        ("(fluid) 1 oz. of water, 2 oz. of chalk", [(1, "fluid ounce", "water"), (2, "ounce", "chalk")]),
        ("Two thirds of an ounce of talc.", [(2 / 3, "ounce", "talc")]),
        # what only looks like a tool, a vessel or the whole
        ("To a piece of camphor add one ounce of spirit of wine.", [(1, "piece", "camphor"), (1, "ounce", "spirit of wine")]),
        ("Put on a lump of sugar two drops of oil of rose.", [(1, "piece", "sugar"), (2, "drop", "oil of rose")]),
        ("Talc, 1 oz.; take two drachms of the liquid storax.", [(1, "ounce", "Talc"), (2, "drachm", "liquid storax")]),
        ("Une gousse de vanille, deux litres d'alcool.", [(1, "piece", "gousse de vanille"), (2, "litre", "alcool")]),
        # German and French
        ("Nr. 12. Ein gutes Zahnpulver: Alaun, ein Lot, Myrrhe, zwei Lot.", [(0.5, "ounce", "Alaun"), (1, "ounce", "Myrrhe")]),
        ("4 Theile Kreide, 1 Theil Alaun u. einige Tropfen Nelkenöl.", [(4, "part", "Kreide"), (1, "part", "Alaun"), (None, "drop", "Nelkenöl")]),
        ("Nelkenöl, sechs Tropfen, eben so viel Bergamottöl.", [(6, "drop", "Nelkenöl"), (6, "drop", "Bergamottöl")]),
    ],
)  # fmt: skip
def test_entries_of_yet_more_books(text, expected):
    assert told(text) == expected


def test_a_total_that_is_said_after_its_name_is_kept():
    for text in ("Sufficient rose water to make up four ounces.", "Make up four ounces with rose water."):
        assert read(f"Carmine, 1 drachm. {text}").lines[1].to_make == (4, "ounce")


def test_a_shared_head_stops_at_a_name_with_its_own():
    lines = read("Extrait de jasmin, }\nEsprit de neroli, } of each, 1 pint.").lines
    assert [line.shown_name() for line in lines] == ["Extrait de jasmin", "Esprit de neroli"]


def test_signs_that_a_transcriber_names_in_brackets():
    text = "Ol. lemon [[dram symbol]] ij\nOl. rose [dram sign] i\nTinct. musk [symbol for ounce] ss"
    assert told(text) == [(2, "drachm", "Ol. lemon"), (1, "drachm", "Ol. rose"), (0.5, "ounce", "Tinct. musk")]


ONES = "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen".split()
TENS = "twenty thirty forty fifty sixty seventy eighty ninety".split()


def in_words(number, joint=" and "):
    """An English cardinal below ten thousand: 256 is 'two hundred and fifty-six'."""
    if number >= 1000:
        rest = number % 1000
        return f"{ONES[number // 1000 - 1]} thousand" + (f"{joint if rest < 100 else ' '}{in_words(rest, joint)}" if rest else "")
    if number >= 100:
        rest = number % 100
        return f"{ONES[number // 100 - 1]} hundred" + (f"{joint}{in_words(rest)}" if rest else "")
    if number < 20:
        return ONES[number - 1]
    return TENS[number // 10 - 2] + (f"-{ONES[number % 10 - 1]}" if number % 10 else "")


@given(st.integers(1, 9999), st.sampled_from([" and ", " "]))
def test_numbers_in_words(number, joint):
    assert told(f"Take {in_words(number, joint)} grains of talc.") == [(number, "grain", "talc")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("A hundred and fifty drops of oil of rose.", [(150, "drop", "oil of rose")]),
        ("One hundred and five and twenty grains of talc.", [(125, "grain", "talc")]),
        ("Take a dozen and a half eggs, and a pint of milk.", [(18, "piece", "eggs"), (1, "pint", "milk")]),
        ("Five and twenty drops of oil of rose.", [(25, "drop", "oil of rose")]),
        ("Take 2 ounces, 20 grains of talc and 3 drachms of chalk.", [(2, "ounce", (20, "grain"), "talc"), (3, "drachm", "chalk")]),
        ("Talc, 2 ounces, 20 grains of carmine.", [(2, "ounce", "Talc"), (20, "grain", "carmine")]),
        ("1 oz. or 30 grams of talc, 2 oz. of chalk", [(1, "ounce", "talc"), (2, "ounce", "chalk")]),
        ("Any other powder will do. Starch 1 oz.", [(1, "ounce", "Starch")]),
        ("Talci ℥ unam cum semisse, Boracis ʒ tres, Syrupi ℥ duas et dimidia",
         [(1.5, "ounce", "Talci"), (3, "drachm", "Boracis"), (2.5, "ounce", "Syrupi")]),
        ("A few cloves, and starch 1 oz.", [(None, "none", "cloves"), (1, "ounce", "starch")]),
        ("Half-a-dozen cloves, starch 1 oz.", [(6, "piece", "cloves"), (1, "ounce", "starch")]),
        ("Talc 1 oz. good weight, starch 2 oz.", [(1, "ounce", "Talc"), (2, "ounce", "starch")]),
        ("Chalk 1 oz., starch, the same. Mix.", [(1, "ounce", "Chalk"), (1, "ounce", "starch")]),
        ("Talc, 4 oz.; chalk, 8 oz. Mix. Of this solution add 1 ounce to orris, 2 oz.", [(4, "ounce", "Talc"), (8, "ounce", "chalk"), (2, "ounce", "orris")]),
    ],
)  # fmt: skip
def test_entries_that_tests_of_every_branch_found(text, expected):
    assert told(text) == expected


def test_this_alone_speaks_of_the_whole():
    formula = read("Talc, 4 oz.; chalk, 8 oz. Mix. To 2 ounces of this add: musk, 1 grain.")
    (portion,) = formula.portions
    assert (portion.amount, portion.unit, portion.lines) == (2, "ounce", (0, 2))


def test_a_total_without_a_unit_takes_the_one_before_it_with_a_doubt():
    line = read("Boracis ʒi, Talci q. s. ad 100").lines[1]
    assert line.to_make == (100, "drachm") and [d.about for d in line.doubts] == ["unit"]


def test_several_names_before_one_amount_leave_a_doubt():
    *_, violets, tuberoses, mint = read("Talc, 1 oz. A quarter of a pound of violets, tuberoses, and mint.").lines
    for line, name in ((violets, "violets"), (tuberoses, "tuberoses"), (mint, "mint")):
        assert (line.amount, line.unit, line.ingredient, line.of_each) == (0.25, "pound", name, True)
        assert [d.about for d in line.doubts] == ["group"]
    (line,) = read("A quarter of a pound of violets, wooden spoons, and bowls.").lines  # not all of them are known
    assert [(d.about, d.text.split()[0]) for d in line.doubts] == [("group", "Several")]


def test_names_behind_an_article_are_one_each():
    text = "Take two ounces of cloves, a nutmeg, the juice of purslane, and twelve grains of musk."
    assert told(text) == [(2, "ounce", "cloves"), (1, "piece", "nutmeg"), (None, "none", "juice of purslane"), (12, "grain", "musk")]
    assert all([d.about for d in line.doubts] == ["amount"] for line in read(text).lines[1:3])
    assert told("Half an ounce of cloves, as much cinnamon, a nutmeg, and musk.")[2] == (1, "piece", "nutmeg")
    assert told("Take the white of an egg, camphor a drachm")[0] == (1, "piece", "white of an egg")


def test_a_few_or_a_little_of_several_names():
    assert told("Half a pint of cream, a few cloves, nutmegs and mace, with a little salt.") == [
        (0.5, "pint", "cream"), (None, "none", "cloves"), (None, "none", "nutmegs"), (None, "none", "mace"), (None, "none", "salt")]  # fmt: skip


def test_what_is_worked_on_is_not_what_is_measured():
    text = "Take red rose leaves an ounce, a pound of white sugar; melt the sugar in rose water, two ounces."
    assert told(text)[-1] == (2, "ounce", "rose water")
    assert told("Litharge one dram; in the working put thereto rose water and honey, of each a spoonful.")[1:] == [
        (1, "tablespoonful", "rose water"), (1, "tablespoonful", "honey")]  # fmt: skip


def test_by_weight_between_commas():
    text = "1 part, by weight, of gelatin, 1 part, by weight, of glycerine, in 12 parts, by weight, of vinegar"
    assert told(text) == [(1, "part", "gelatin"), (1, "part", "glycerine"), (12, "part", "vinegar")]


def test_letters_that_a_transcriber_could_not_read():
    text = "Take sage, one ounce and hal•, mace, of eac• two ounc•, camphor tw• drams, mint one h•ndfull."
    assert told(text) == [(1.5, "ounce", "sage"), (2, "ounce", "mace"), (2, "drachm", "camphor"), (1, "handful", "mint")]
    assert all(line.doubts for line in read(text).lines)
    assert told("min• two ounces") == [(2, "ounce", "min•")]


def test_an_amount_between_two_names_tells_of_the_other():
    lines = read("Hair Lotion.—Two drachms cologne water, 1 drachm sal ammoniac, distilled or rain water, 7 ozs.").lines
    assert [(line.amount, line.ingredient) for line in lines[:2]] == [(2, "cologne water"), (1, "sal ammoniac")]
    plain = ("Take talc, 4 oz.; starch, 2 oz.; orris, 1 oz.", "Liquorice eight ounces. Aniseed and caraway, of each an ounce.")
    assert not [d for text in plain for line in read(text).lines for d in line.doubts]


def test_a_name_on_a_line_of_its_own_between_entries_has_no_amount():
    assert told("4 lbs. White wax.\n2 oz. Borax.\nRose perfume.\n3 pints Water.")[2] == (None, "none", "Rose perfume")
    assert [name for _, _, name in told("Wax 4 lb.\n\nCOLD CREAM\n\nBorax 2 lb.")] == ["Wax", "Borax"]


def test_a_rule_of_dashes_at_the_head_of_a_line_repeats_the_name():
    lines = read("spirit of wine,   2 lbs.\n————— rosemary,   3 do.").lines
    assert [(line.amount, line.unit, line.full_name) for line in lines] == [
        (2, "pound", "spirit of wine"), (3, "pound", "spirit of rosemary")]  # fmt: skip
    assert read("Talc ———— fine, 2 oz.").lines[0].carried == ""


def test_ditto_and_the_same_behind_a_comma_at_the_end_of_a_line():
    assert told("Chalk, one drachm; magnesia,\nditto; mace, two grains; vanilla,\nthe same; clove, six grains") == [
        (1, "drachm", "Chalk"), (1, "drachm", "magnesia"), (2, "grain", "mace"), (2, "grain", "vanilla"), (6, "grain", "clove")]  # fmt: skip


def test_what_is_no_ingredient():
    assert told("To perfume hair powder. Take one drachm of musk.") == [(1, "drachm", "musk")]
    assert told("Boil it in a quart of wine, till it come to a quarter of a pint; add two ounces of sugar.") == [
        (1, "quart", "wine"), (2, "ounce", "sugar")]  # fmt: skip
    assert told("Eine Methode, das Papier, ist: 50 Grm. Gallerte, 30 Grm. Seife und eine Citrone") == [
        (50, "gram", "Gallerte"), (30, "gram", "Seife"), (1, "piece", "Citrone")]  # fmt: skip
    assert told("Well washed oysters a pint, season them with pepper; half a pound of butter.")[-1] == (0.5, "pound", "butter")


def test_two_figures_that_stand_inside_their_names():
    assert told("the whites of three or four eggs, juice of a couple of lemons, camphor one dram") == [
        ((3, 4), "piece", "whites eggs"), (2, "piece", "juice lemons"), (1, "drachm", "camphor")]  # fmt: skip


def test_a_bracket_at_the_head_of_a_name_is_no_part_of_it():
    assert told("Gin, 1 pint; (dissolved in) water, 4 oz.")[1] == (4, "ounce", "water")


def test_a_known_name_within_another_line_is_told():
    line = read("Take two ounces of prepared chalk free from bismuth, and orris an ounce.").lines[0]
    assert [(d.about, d.others) for d in line.doubts] == [("group", ("'bismuth' is an ingredient of its own",))]
    assert not any(line.doubts for line in read("Take two ounces of mucilage of tragacanth, and orris an ounce.").lines)


def test_figures_of_a_shared_amount_may_be_collapsed():
    lines = read("Ambergris, 2 oz.; neroli, 3 oz.; oils of sassafras and cloves, of each 12 oz.; musk, 1 drachm").lines
    assert [bool(line.doubts) for line in lines] == [False, False, True, True, False]


@pytest.mark.parametrize(
    "said",
    ["This will make 9 gallons.", "It makes nearly two quarts.", "This quantity should produce about 3 pounds.", "Makes 2 lbs."],
)
def test_what_comes_out_is_no_ingredient(said):
    """Fault: 'will', 9 gallons, was the third ingredient."""
    formula = read(f"Raw sugar, 2 lb.\nWater, 3 gallons.\n\n{said}")
    assert [line.ingredient for line in formula.lines] == ["Raw sugar", "Water"]
    assert said in f"{formula.directions} {' '.join(formula.unread)}"


def test_what_is_made_into_something_is_one():
    assert [line.ingredient for line in read("Make 4 oz. of talc and 2 oz. of chalk into a paste.").lines] == ["talc", "chalk"]


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Slice thinly four tart apples, two onions.", [(4, "piece", "tart apples"), (2, "piece", "onions")]),
        ("Wash and peel 3 celery roots, cover with 1 qt of water.", [(3, "piece", "celery roots"), (1, "quart", "water")]),
        ("Fry together a cup of chopped steak, a cup of onions.", [(1, "cupful", "chopped steak"), (1, "cupful", "onions")]),
        ("Use 2 lb. zibeline in a bath which contains 4 lb. alum.", [(2, "pound", "zibeline"), (4, "pound", "alum")]),
        ("Wipe off 2 pounds of zibeline; add a pint of milk.", [(2, "pound", "zibeline"), (1, "pint", "milk")]),
        ("Put in a pound more sugar; mix in a pint of milk.", [(1, "pound", "sugar"), (1, "pint", "milk")]),
        ("1 or more lbs. of fresh cod, 1 oz. butter.", [(1, "pound", "fresh cod"), (1, "ounce", "butter")]),
    ],
)
def test_what_a_verb_is_done_to_is_taken(text, lines):
    assert told(text) == lines


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Recipe for making ten gallons of ratafia. Take bitter almonds ten pounds.", ["bitter almonds"]),
        ("Take twelve pounds of roses, and digest in two gallons of water; after which draw off three pints.", ["roses", "water"]),
        ("Boil two pounds of sugar in a three quart saucepan with a pint of water.", ["sugar", "water"]),
        ("Mix a pound of flour and a pint of water; divide into twenty parts, and bake.", ["flour", "water"]),
        ("Alum, 1 oz.; dose: horses, 2 dr.; sheep and pigs, 1 dr.", ["Alum"]),
        ("An ounce of alum; one quart of the former.", ["alum"]),
    ],
)
def test_what_comes_of_it_what_holds_it_and_who_takes_it_is_no_ingredient(text, names):
    assert [line.shown_name() for line in read(text).lines] == names


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("Take gentian, tormentil, of each of them two ounces.", [(2, "ounce", "gentian"), (2, "ounce", "tormentil")]),
        ("With two drams a peece of storax, and benjamin.", [(2, "drachm", "storax"), (2, "drachm", "benjamin")]),
        ("1 lb. sugar; salt and pepper to taste.", [(1, "pound", "sugar"), (None, "q.s.", "salt"), (None, "q.s.", "pepper")]),
        ("One egg yolk, and salt and pepper to taste.", [(1, "piece", "egg yolk"), (None, "q.s.", "salt"), (None, "q.s.", "pepper")]),
        ("A gill of broth, salt, and pepper.", [(1, "gill", "broth"), (None, "none", "salt"), (None, "none", "pepper")]),
        ("Half an ounce of cloves, mace, and cinnamon.", [(0.5, "ounce", name) for name in ("cloves", "mace", "cinnamon")]),
        ("Six gallons of brandy for the space of 24. hours.", [(6, "gallon", "brandy")]),
        ("One ounce of butter three minutes, add a pint of milk.", [(1, "ounce", "butter"), (1, "pint", "milk")]),
        ("Add one ounce of salt of tartar to the whole.", [(1, "ounce", "salt of tartar")]),
        ("A spoonful of grated cheese and a crumb of bread.", [(1, "tablespoonful", "grated cheese"), (1, "piece", "crumb of bread")]),
    ],
)
def test_who_shares_an_amount_and_where_a_name_ends(text, lines):
    assert told(text) == lines


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        ("16 onces 3/4 de graines de lin", [(16.75, "ounce", "graines de lin")]),
        ("2 lb. ½ of sugar, 1 oz. salt", [(2.5, "pound", "sugar"), (1, "ounce", "salt")]),
        ("Pale malt, 12 lb.\n--\n24\n--\n14 lb. of hops.", [(12, "pound", "Pale malt"), (14, "pound", "hops")]),
        ("Alum  50 parts, or 38·46 per cent.\nBorax  5 parts, or 3·85 per cent.", [(50, "part", "Alum"), (5, "part", "Borax")]),
        (
            "Dissolve in water 2 ounces, 5 drams and 45 grains of common soda.",
            [(2, "ounce", (5, "drachm"), (45, "grain"), "common soda")],
        ),
        ("one cup sugar, pinch cayenne, one cup milk", [(1, "cupful", "sugar"), (1, "pinch", "cayenne"), (1, "cupful", "milk")]),
        ("1 cup sugar\nJuice one lemon\n1 quart cream", [(1, "cupful", "sugar"), (1, "piece", "Juice lemon"), (1, "quart", "cream")]),
        ("Water, one pint.\nA big lemon.\nSalt, one ounce.", [(1, "pint", "Water"), (1, "ounce", "Salt"), (1, "piece", "big lemon")]),
        ("2 rounded tablespoonfuls of sugar; 2 Eßl. Essig", [(2, "tablespoonful", "sugar"), (2, "tablespoonful", "Essig")]),
        ("2 cloves of garlic, 5 cloves", [(2, "piece", "garlic"), (5, "piece", "cloves")]),
        (
            "Put in the rinds of 5 lemons and the juice of 12 lemons.",
            [(5, "piece", "rinds lemons"), (12, "piece", "juice lemons")],
        ),
    ],
)
def test_notations_of_kitchens_and_trades(text, lines):
    assert sorted(told(text), key=str) == sorted(lines, key=lambda line: str((float(line[0]), *line[1:])))


@pytest.mark.parametrize(
    ("text", "lines"),
    [
        # counted by the word itself: The Accomplished Ladies Rich Closet of Rarities, 1687, and its like
        ("Raisins one handful, sliced Figs, number four", [(1, "handful", "Raisins"), (4, "piece", "sliced Figs")]),
        ("Dates, numb. x. Liquorice one ounce", [(10, "piece", "Dates"), (1, "ounce", "Liquorice")]),
        ("Prunes in number sixteen, Water three pints", [(16, "piece", "Prunes"), (3, "pint", "Water")]),
        ("Jujubes, Sebestens, of each number thirty", [(30, "piece", "Jujubes"), (30, "piece", "Sebestens")]),
        # the whole number and its fraction without the unit, which is the one before: The Young Housekeeper's Friend, 1859
        (
            "a cup of sugar, one of sour milk, two and a half of flour",
            [(1, "cupful", "sugar"), (1, "cupful", "sour milk"), (2.5, "cupful", "flour")],
        ),
        ("one ounce of wax, two and a quarter of oil", [(1, "ounce", "wax"), (2.25, "ounce", "oil")]),
        # Latin written out, the name before its amount and a stop behind: The Pharmacopoeia of the United States, 1820
        (
            "Cantharidum in pulverem tritarum uncias duas. Aquae distillatae fluiduncias octo. Cerati resinosi uncias octo.",
            [
                (2, "ounce", "Cantharidum in pulverem tritarum"),
                (8, "fluid ounce", "Aquae distillatae"),
                (8, "ounce", "Cerati resinosi"),
            ],
        ),
        (
            "Aloes uncias duas, Myrrhae unciam, Croci drachmas tres.",
            [(2, "ounce", "Aloes"), (1, "ounce", "Myrrhae"), (3, "drachm", "Croci")],
        ),
        ("Picis liquidae libram. Sevi libram dimidiam.", [(1, "pound", "Picis liquidae"), (0.5, "pound", "Sevi")]),
        ("Sodae libram; Calcis unciam; Aquae congium.", [(1, "pound", "Sodae"), (1, "ounce", "Calcis"), (1, "gallon", "Aquae")]),
        ("Boil one ounce of bark in 3 quarts of water 'til it comes to 3 pints", [(1, "ounce", "bark"), (3, "quart", "water")]),
        ("a jill of rose water, two jills of milk", [(1, "gill", "rose water"), (2, "gill", "milk")]),
    ],
)
def test_counts_in_full_latin_singulars_and_bare_fractions(text, lines):
    assert told(text) == lines


@pytest.mark.parametrize(
    ("text", "names"),
    [
        # The Toilet of Flora, 1779: sweet and bitter almonds; Culpeper, 1653: red and white corals, pepper long and black
        ("Sweet and bitter almonds, of each 2 oz.", ["almonds Sweet", "bitter almonds"]),
        ("Two ounces each of white and yellow wax, a pint of oil", ["wax white", "yellow wax", "oil"]),
        ("Take of red, white, and yellow Sanders, each one dram", ["Sanders red", "Sanders white", "yellow Sanders"]),
        ("Take Coral red and white, of each one dram", ["Coral red", "Coral white"]),
        ("Take Pepper long and black, of each one ounce", ["Pepper long", "Pepper black"]),
        ("Take ginger, white and black pepper, of each one dram", ["ginger", "pepper white", "black pepper"]),
        ("Take Roses red, Sanders white, of each one dram", ["Roses red", "Sanders white"]),
        ("Take white and red Coral one dram", ["Coral white", "red Coral"]),
    ],
)
def test_a_noun_printed_once_is_that_of_each_sort(text, names):
    lines = read(text).lines
    assert [line.full_name for line in lines] == names
    assert all(("ingredient" in [d.about for d in line.doubts]) == bool(line.carried) for line in lines)


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Take Arum (or Cuckoe-pintle) Briony, of each one ounce", ["Arum (or Cuckoe-pintle)", "Briony"]),
        ("Take Bugloss (called Oxtongue) Violets, of each a handful", ["Bugloss (called Oxtongue)", "Violets"]),
        ("Take Coral red Pearl, of each one dram", ["Coral red", "Pearl"]),
        ("Take salt of white Tartar, Chalk, of each an ounce", ["salt of white Tartar", "Chalk"]),
        ("Take Saccharum (i.e. sugar) candy, Cloves, of each one ounce", ["Saccharum (i.e. sugar) candy", "Cloves"]),
    ],
)
def test_a_comma_may_lack_behind_a_bracket(text, names):
    assert [line.full_name for line in read(text).lines] == names


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Senna ℥. iij. Rhubarb ʒ. ij.", [(3, "ounce", "Senna"), (2, "drachm", "Rhubarb")]),
        ("Senna, ʒ. 3. Rhubarb, ʒ. 2.", [(3, "drachm", "Senna"), (2, "drachm", "Rhubarb")]),
        ("Senna ℥. 2. ss. Aloes ℥.ss.", [(2.5, "ounce", "Senna"), (0.5, "ounce", "Aloes")]),
        ("Rosin of Jalap ʒ. 1. gr. 6. Senna ʒ. 1.", [(1, "drachm", (6, "grain"), "Rosin of Jalap"), (1, "drachm", "Senna")]),
        ("Senna ℥ ij. gr. vj. of Opium", [(2, "ounce", "Senna"), (6, "grain", "Opium")]),
    ],
)
def test_stops_behind_signs_and_their_figures(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Salviae, Rutae ana M. j. Rosarum p. ij.", [(1, "handful"), (1, "handful"), (2, "pinch")]),
        ("Fol. Salviae M. iss. flor. Rosarum pug. ij.", [(1.5, "handful"), (2, "pinch")]),
        ("Salviae manip. ij. Rosarum pugil. j.", [(2, "handful"), (1, "pinch")]),
        ("Salviae manipulum unum, Rosarum pugillos duos", [(1, "handful"), (2, "pinch")]),
    ],
)
def test_handfuls_and_pinches_of_older_books(text, expected):
    lines = read(text, source=hk.Source("An invented dispensatory", year=1640)).lines
    assert [(line.amount, line.unit) for line in lines] == expected


def test_p_before_a_figure_is_a_page_and_before_a_numeral_of_a_later_book_a_part():
    assert [line.unit for line in read("Rose water p. ij. Sugar p. j.", source=hk.Source("An invented book", year=1850)).lines] == ["part"] * 2
    assert all(line.unit != "part" for line in read("Sage (see p. 12) 2 oz.").lines)


def test_colons_that_a_clerk_wrote_for_stops():
    assert told("℞: Pulv: Rhei: gr: x: Calomel: ppt: gr: v:") == [(10, "grain", "Pulv. Rhei"), (5, "grain", "Calomel. ppt")]
    assert told("Take: two ounces of sugar; and then: 3 gr: of musk")[0] == (2, "ounce", "sugar")


def test_gr_beside_cubic_centimetres_is_told_as_grammes_with_a_doubt():
    lines = read("Water, 200 c.c.; potassium carbonate, 90 gr.").lines
    assert [(line.amount, line.unit) for line in lines] == [(200, "millilitre"), (90, "gram")]
    assert [doubt.others for doubt in lines[1].doubts] == [("grains",)]
    assert read("Water, 2 pints; vinegar 20 c.c.; potassium carbonate, 90 gr.").lines[2].unit == "grain"


def test_what_is_taken_in_the_middle_of_a_text_is_one_group():
    text = "Take nine ounces of cinnamon, then take of rosemary and balm, of each half a handful"
    assert told(text) == [(9, "ounce", "cinnamon"), (0.5, "handful", "rosemary"), (0.5, "handful", "balm")]


def test_an_amount_that_stands_again_before_another_clause_is_not_named_again():
    text = "One scruple of calomel; a drink composed of sulphuric either, one ounce; laudanum, one ounce"
    assert [line.amount for line in read(text).lines] == [1, 1, 1]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Acidi nitrici Partem unam, Aquae destillatae Partes tres.", [(1, "part"), (3, "part")]),
        ("Mandelöl 2 flüssige Unzen, Kampher 2 Drachmen", [(2, "fluid ounce"), (2, "drachm")]),
        ("Logwood four ounces, Water three English pints", [(4, "ounce"), (3, "pint")]),
    ],
)
def test_units_in_other_words(text, expected):
    assert [line[:2] for line in told(text)] == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Rhubarb drams ij. Senna drams iij.", [(2, "drachm", "Rhubarb"), (3, "drachm", "Senna")]),
        ("Elder-vinegar ounces 3. Sugar ounces 2.", [(3, "ounce", "Elder-vinegar"), (2, "ounce", "Sugar")]),
        ("two ounces 3 drams of senna", [(2, "ounce", (3, "drachm"), "senna")]),
        ("one hand full of mint, two hands full of sage, 3 hand-fulls of rue", [(1, "handful", "mint"), (2, "handful", "sage"), (3, "handful", "rue")]),
        ("Oil of dill, &amp; oil of almonds, of each one ounce", [(1, "ounce", "Oil of dill"), (1, "ounce", "oil of almonds")]),
        ("Borax  2&frac12; oz.\nMyrrh  &frac34; oz.", [(2.5, "ounce", "Borax"), (0.75, "ounce", "Myrrh")]),
    ],
)  # fmt: skip
def test_units_before_their_figures_and_in_two_words(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "names"),
    [
        ("Sage, dried roses, of each an ounce", ["Sage", "dried roses"]),
        ("Sage, grated nutmeg, of each an ounce", ["Sage", "grated nutmeg"]),
        ("Sage, bruised juniper berries, mace, of each an ounce", ["Sage", "bruised juniper berries", "mace"]),
        ("Balm, sage, gathered in their prime, of each an ounce", ["Balm", "sage, gathered in their prime"]),
        ("Roses, nigella, infused in vinegar, of each an ounce", ["Roses", "nigella, infused in vinegar"]),
        ("Talc, dried and sifted, of each an ounce", ["Talc, dried and sifted"]),
    ],
)
def test_what_was_done_to_a_thing_of_a_group_and_what_is_another_thing(text, names):
    assert [line.ingredient for line in read(text).lines] == names


def test_what_is_added_to_a_strained_liquor_is_not_what_it_is_strained_with():
    text = "Sarcocol ℥j. mix, then strain it, to which add essence of castor ℥ss. essence of saffron ʒj."
    assert told(text) == [(1, "ounce", "Sarcocol"), (0.5, "ounce", "essence of castor"), (1, "drachm", "essence of saffron")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("a quarter of pound of raisins, 2 ounces of salt", [(0.25, "pound", "raisins"), (2, "ounce", "salt")]),
        ("a sufficient quantity of sugar and cinnamon", [(None, "q.s.", "sugar"), (None, "q.s.", "cinnamon")]),
        (
            "Cremor Tartari ʒiij mix for a Clyster. Or thus: ℞ roots of Althaea, of Mallows, A. ℥j",
            [(3, "drachm", "Cremor Tartari"), (1, "ounce", "roots of Althaea"), (1, "ounce", "Mallows (roots of)")],
        ),
    ],
)
def test_a_part_of_pound_two_things_enough_of_and_a_second_recipe(text, expected):
    assert [(amount, unit, name) for amount, unit, name in told(text)][: len(expected) - 1] == expected[:-1]
    assert len(told(text)) == len(expected)


def test_another_name_of_the_same_thing_is_none_of_the_group():
    lines = read("Birds-tongue, commonly called Ash-keys, rue, of each 2 drams").lines
    assert [line.ingredient for line in lines] == ["Birds-tongue, commonly called Ash-keys", "rue"]


def test_an_l_in_a_book_older_than_the_litre_is_a_pound():
    old = hk.Source("An invented book of secrets", year=1574)
    assert [(line.amount, line.unit) for line in read("Carduus, a quarter of a l. Sage half a l.", source=old).lines] == [
        (0.25, "pound"),
        (0.5, "pound"),
    ]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("℞ _Aq. Angelicæ +℥ ij.+ Syr. Rosarum +℥ j.+", [(2, "ounce", "Aq. Angelicæ"), (1, "ounce", "Syr. Rosarum")]),
        ("salis Tartari, absynthii +ana+ gr. +viij.+", [(8, "grain", "salis Tartari"), (8, "grain", "absynthii")]),
        ("one ounce and a half, or two ounces, of the infusion of crocus", [((1.5, 2), "ounce", "infusion of crocus")]),
        ("1 Th. Leim und dem erforderlichen Wasser", [(1, "part", "Leim"), (None, "q.s.", "Wasser")]),
        ("Cerae, part. 5. Olei, part. 2.", [(5, "part", "Cerae"), (2, "part", "Olei")]),
    ],
)
def test_marks_of_type_ranges_in_two_commas_and_enough_in_german(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("löse 2 Loth Gummi in einer Unze Wasser", [(1, "ounce", "Gummi"), (1, "ounce", "Wasser")]),
        ("26 Gran Salmiak, in ein Pfund des hellsten Leinöles", [(26, "grain", "Salmiak"), (1, "pound", "hellsten Leinöles")]),
        ("2 Loth Gummi, welche in einer Unze Wasser gelöst wurden", [(1, "ounce", "Gummi"), (1, "ounce", "Wasser")]),
        ("in eine Tasse gießen 2 Loth Zucker", [(1, "ounce", "Zucker")]),
        ("put 2 oz. of sugar in a pint saucepan", [(2, "ounce", "sugar")]),
        ("Nutmeg half a dram, of balsam what will suffice", [(0.5, "drachm", "Nutmeg"), (None, "q.s.", "balsam")]),
        (
            "℞ Diacalciteos ℥j. Opium strained ℥ss. Venice Soap ʒij. mix",
            [(1, "ounce", "Diacalciteos"), (0.5, "ounce", "Opium strained"), (2, "drachm", "Venice Soap")],
        ),
    ],
)
def test_what_a_thing_is_put_into_in_german_and_an_entry_that_ends_with_its_numeral(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "ids"),
    [
        ("roots of round and long Birthwort, of each one handful", ["round-birthwort-root", "long-birthwort-root"]),
        ("leaves of red and white roses, of each a handful", ["red-rose-petals", "rose-petals"]),
    ],
)
def test_the_noun_printed_once_behind_the_sorts_of_a_part(text, ids):
    assert [line.ingredient.id for line in hk.translate(read(text)).lines] == ids


def test_a_head_without_of_ends_what_the_head_before_it_is_shared_with():
    text = "Oils of Sassafras, Hemlock, Spirits of Turpentine, Tincture Cayenne, Catechu, of each one ounce"
    assert [line.carried for line in read(text).lines] == ["", "oil of", "", "", ""]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "Potassium            10 parts\n     bichromate\nZinc sulphate   4 parts\nWater                300 parts",
            [(10, "part", "Potassium bichromate"), (4, "part", "Zinc sulphate"), (300, "part", "Water")],
        ),
        (
            "Precipitated          3 parts\n  chalk\nCarmine 2 parts",
            [(3, "part", "Precipitated chalk"), (2, "part", "Carmine")],
        ),
        ("Starch  4 parts\nSalt\nBorax 2 parts", [(4, "part", "Starch"), (None, "none", "Salt"), (2, "part", "Borax")]),
    ],
)
def test_a_name_that_goes_on_behind_its_amount_and_a_line_of_its_own(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # the unit set as the decimal sign is (Dingler's Polytechnisches Journal, volumes of the 1880s)
        ("20k Cement, 12k,5 Käse, 5g,25 Salz", [(20, "kilogram"), (12.5, "kilogram"), (5.25, "gram")]),
        ("Salz 5g,20g Zucker", [(5, "gram"), (20, "gram")]),
        ("Water iv ℥\nFerric chloride 50 grs.", [(4, "ounce"), (50, "grain")]),
        ("12-16 gal. water, 3 lb. soap", [((12, 16), "gallon"), (3, "pound")]),
        ("two volumes of ether, 3 vols. of alcohol", [(2, "part"), (3, "part")]),
        ("three pair of calves' feet, 2 brace of partridges", [(6, "piece"), (4, "piece")]),
        ("a tiny pinch of soda, a liberal handful of bran", [(1, "pinch"), (1, "handful")]),
        ("one cupful of molasses, table-spoonful butter, handful bran", [(1, "cupful"), (1, "tablespoonful"), (1, "handful")]),
        ("2 oz. wax, as much salt as two ounces, as much horseradish as will fill a tablespoon",
         [(2, "ounce"), (2, "ounce"), (1, "tablespoonful")]),
        ("50 oz. of nitric acid, liquid measure, and 25 oz. of soot", [(50, "fluid ounce"), (25, "ounce")]),
        ("infuse in a gallon of white wine 4. or 5. dayes; put to it a pound of sugar", [(1, "gallon"), (1, "pound")]),
    ],
)  # fmt: skip
def test_amounts_in_ways_met_in_the_ninth_list(text, expected):
    assert [(line.amount, line.unit) for line in read(text).lines] == expected


@pytest.mark.parametrize(
    ("text", "amount", "doubted"),
    [
        ("Aloes, ij to iv drachms\nSoap, 2 oz.", (2, 4), False),
        ("Aloes, i to 1 drachm.\nSoap, 2 oz.", 1, True),
        ("Aloes, 1 to 1 drachm.\nSoap, 2 oz.", 1, True),
        ("Water, to 1 pint.\nSoap, 2 oz.", None, False),
    ],
)
def test_ranges_of_numerals_and_those_that_lost_a_fraction(text, amount, doubted):
    line = read(text).lines[0]
    assert line.amount == amount and line.ingredient in ("Aloes", "Water")
    assert any(doubt.about == "amount" for doubt in line.doubts) == doubted


def test_the_hyphen_of_a_range_is_told_from_that_of_a_fraction():
    """Nobody prints twelve sixteenths: that is a range, and only what may be a fraction carries the doubt."""
    assert not read("12-16 gal. water, 3 lb. soap").lines[0].doubts
    assert [doubt.about for doubt in read("3-4 oz. alum, 3 lb. soap").lines[0].doubts] == ["amount"]
    assert read("1 -4 oz. alum, 3 lb. soap").lines[0].amount == 0.25 and read("1 - 4 oz. alum, 3 lb. soap").lines[0].amount == (1, 4)


@pytest.mark.parametrize(
    "text",
    [
        "125 Th. Kaliumsulfat oder 100 Th. Natriumsulfat",
        "2 ounces of gum, or three ounces of dextrin",
        "1 oz. cloves, or 1 drachm oil of cloves",
    ],
)
def test_of_two_amounts_with_or_between_them_the_second_says_so(text):
    first, second = read(text).lines
    assert not first.doubts and [doubt.about for doubt in second.doubts] == ["group"]


def test_large_enough_is_no_sufficient_quantity():
    assert told("2 oz. sugar, put the butter in a kettle large enough, 1 pint of milk")[1] == (None, "none", "butter")


def test_cubic_centimetres_are_no_two_hundred_drachms():
    assert [line.amount for line in read("5cc Salpetersäure, 20 ccm Wasser").lines] == [5, 20]


def test_a_french_adjective_is_no_weight():
    source = hk.Source(title="", year=1850, country="FR")
    assert [line.unit for line in hk.read("six gros oignons, deux gros de cannelle", source=source).lines] == ["piece", "drachm"]


def test_a_number_before_the_first_name_of_a_brace_is_no_amount():
    text = "1. Spirits camphor,    }\n   Glycerin,           } āā f℥j\n   Tr. benzoin,        }\n   Alcohol,         f℥v"
    assert told(text) == [(1, "fluid ounce", "Spirits camphor"), (1, "fluid ounce", "Glycerin"), (1, "fluid ounce", "Tr. benzoin"),
                          (5, "fluid ounce", "Alcohol")]  # fmt: skip


def test_a_fraction_whose_unit_is_that_of_one():
    saltpetre, alum = read("1-6 ounce Salt Peter.\n1-6 ounces alum").lines
    assert saltpetre.amount == pytest.approx(1 / 6) and saltpetre.doubts and alum.amount == (1, 6)


def test_a_table_copied_cell_by_cell():
    """As the volumes of Dingler's Polytechnisches Journal come out of their files."""
    text = "Gemahlenes Glas\n\n63,0\n\nTheile\n\nAetzkalk\n\n18,5\n\n„\n\nFlußspath\n\n18,5\n\n„"
    assert told(text) == [(63, "part", "Gemahlenes Glas"), (18.5, "part", "Aetzkalk"), (18.5, "part", "Flußspath")]
    assert all("group" in [doubt.about for doubt in line.doubts] for line in read(text).lines)


def test_french_gold_leaves_no_choice():
    line = hk.translate(read("1 gramme de chlorure d'or et 4 grammes d'hyposulfite de soude")).lines[0]
    assert line.ingredient.id == "gold-chloride" and not line.doubts


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        (
            "a warm salt solution (half a teaspoonful of table salt to three-quarters of a cup of warm water).",
            [(0.5, "teaspoonful", "table salt"), (0.75, "cupful", "warm water")],
        ),
        ("(1 tablespoonful of vinegar to 3 of sweet oil.)", [(1, "tablespoonful", "vinegar"), (3, "tablespoonful", "sweet oil")]),
    ],
)
def test_a_list_in_brackets_is_no_remark(text, expected):
    assert told(text) == expected


def test_a_remark_in_brackets_is_no_list():
    (line,) = read("2 drachms balsam (containing 2 grains of opium and 3 grains of ipecac)").lines
    assert (line.amount, line.unit) == (2, "drachm")


def test_an_amount_to_an_amount_of_another_thing_is_no_range():
    text = "a solution of quinine, one dram to two ounces of water; borax, from half an ounce to two drachms"
    assert [(line.amount, line.unit) for line in read(text).lines] == [(1, "drachm"), (2, "ounce"), ((2, 4), "drachm")]


def test_the_word_of_use_in_a_list_and_fractions_seldom_printed():
    assert told("half a pound of rosin, one pint salt, one pint washing fluid.")[2] == (1, "pint", "washing fluid")
    assert read("camphor in four-sevenths of a liter of water").lines[-1].amount == pytest.approx(4 / 7)


def test_what_begins_the_next_row_of_a_column_makes_no_vessel_of_the_amount_above():
    assert told("Borax   1 oz\nalembic wax   1 oz")[0] == (1, "ounce", "Borax")


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Take a pinte of wine and a halfe, two ounces of sugar.", [(1.5, "pint", "wine"), (2, "ounce", "sugar")]),
        ("two pounds of honey, and an half; sugar a pound", [(2.5, "pound", "honey"), (1, "pound", "sugar")]),
        ("a pound of sugar and a quarter of cinnamon", [(1, "pound", "sugar"), (0.25, "pound", "cinnamon")]),
        ("a pound of sugar and half an ounce of mace", [(1, "pound", "sugar"), (0.5, "ounce", "mace")]),
        ("an ounce and a half of gum, and a half of wax", [(1.5, "ounce", "gum"), (0.5, "ounce", "wax")]),
    ],
)
def test_the_half_may_stand_behind_the_name(text, expected):
    assert told(text) == expected


def test_a_solution_is_numbered_only_where_no_name_stands_with_it():
    told_of = told("Glycerin 2\nstrong potash solution 8\nwater 10")
    assert told_of == [(2, "part", "Glycerin"), (8, "part", "strong potash solution"), (10, "part", "water")]
    two = "Silver nitrate 2 oz.\nwater 10 oz.\nSolution 2.\nPyrogallol 3 grains\nMix solution 1 with 4 oz. of water."
    assert [(amount, unit) for amount, unit, _ in told(two)] == [(2, "ounce"), (10, "ounce"), (3, "grain"), (4, "ounce")]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Wash with half vinegar and half water.", [(0.5, "part", "vinegar"), (0.5, "part", "water")]),
        ("Take a quarter of lard and three quarters of tallow.", [(0.25, "part", "lard"), (0.75, "part", "tallow")]),
        ("A drachm of camphor; one half alcohol", [(1, "drachm", "camphor"), (0.5, "part", "alcohol")]),
        ("Kerosene and water, half and half.", [(1, "part", "Kerosene"), (1, "part", "water")]),
        ("equal parts of oil and vinegar", [(1, "part", "oil"), (1, "part", "vinegar")]),
        ("half a nutmeg, half a pint of wine", [(0.5, "piece", "nutmeg"), (0.5, "pint", "wine")]),
    ],
)
def test_a_half_of_what_comes_in_no_pieces_is_a_part(text, expected):
    assert told(text) == expected


@pytest.mark.parametrize("verb", ["makes an excellent wash", "make a good gargle", "forms a paste", "is excellent"])
def test_what_the_thing_makes_is_no_part_of_its_last_name(verb):
    assert told(f"Half an ounce of borax in a pint of water {verb}.") == [(0.5, "ounce", "borax"), (1, "pint", "water")]


def test_what_is_dissolved_in_the_next_thing_keeps_its_name():
    line, _ = hk.translate(read("A drachm of tannin dissolved in an ounce of glycerine.")).lines
    assert line.line.ingredient == "tannin" and "ingredient" not in {doubt.about for doubt in line.doubts}


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Take a pound of Deer Suet, wax an ounce.", [(1, "pound", "Deer Suet"), (1, "ounce", "wax")]),
        (
            "Oil of lavender 3 oz., oil of bergamot the like, musk 1 oz.",
            [(3, "ounce", "Oil of lavender"), (3, "ounce", "oil of bergamot"), (1, "ounce", "musk")],
        ),
        (
            "Oil of lavender 3 oz., oil of bergamot the same, musk 1 oz.",
            [(3, "ounce", "Oil of lavender"), (3, "ounce", "oil of bergamot"), (1, "ounce", "musk")],
        ),
        (
            "Into a gallon of spirit put of camphor 3 oz., oil of bergamot 2 oz.",
            [(1, "gallon", "spirit"), (3, "ounce", "camphor"), (2, "ounce", "oil of bergamot")],
        ),
        (
            "In a gallon of spirit dissolve camphor 3 oz., oil of bergamot 2 oz.",
            [(1, "gallon", "spirit"), (3, "ounce", "camphor"), (2, "ounce", "oil of bergamot")],
        ),
        ("Starch, scented with attar of roses at the rate of five drops to the pound.", [(5, "drop", "attar of roses")]),
        ("Fill a bottle half full of turpentine, add an ounce of camphor.", [(None, "none", "turpentine"), (1, "ounce", "camphor")]),
    ],
)
def test_the_like_the_rate_and_what_is_put_in(text, expected):
    assert told(text)[-len(expected) :] == expected
