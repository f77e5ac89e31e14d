"""Amounts that a scan has worn: mended where an amount stands, with a doubt; left alone where words only look like one."""

import pytest

import histkit as hk


def amounts(text):
    return [(line.amount, line.unit) for line in hk.read(text).lines]


def test_ounces_with_worn_letters():
    text = "Yellow saunders . 202,\nCoriander seeds : 2 02.\nOrris root 2 oz.\nCalamus 2 07.\nLavender 2 or.\nOak shavings 1 Ib."
    assert amounts(text) == [(2, "ounce")] * 5 + [(1, "pound")]
    doubted = [any(d.about == "unit" for d in line.doubts) for line in hk.read(text).lines]
    assert doubted == [True, True, False, True, True, True]


@pytest.mark.parametrize(
    ("printed", "amount", "unit"),
    [
        ("% an ounce of oil of lavender", 0.5, "ounce"),
        ("44 of an ounce of oil of rosemary", 0.25, "ounce"),
        ("2% pounds of lard", 2.5, "pound"),
        ("4 drathms of borax", 4, "drachm"),
        ("1-2 an oz. of oil of lavender", 0.5, "ounce"),
    ],
)
def test_worn_fractions_and_units(printed, amount, unit):
    (line,) = hk.read(f"Take {printed}.").lines
    assert (line.amount, line.unit) == (amount, unit)


def test_a_fraction_that_a_copy_has_collapsed():
    lines = hk.read("Borax, 2 drachms\nGlycerine, 212 oz.\nAlcohol, 114 pint\n").lines
    assert [(line.amount, line.unit) for line in lines] == [(2, "drachm"), (2.5, "ounce"), (1.25, "pint")]
    assert all("amount" in {d.about for d in line.doubts} for line in lines[1:])
    assert "212" in lines[1].doubts[0].others, "what is printed is the other reading"


def test_large_figures_are_left_alone_where_the_formula_has_others():
    assert amounts("Alcohol, 212 parts\nWater, 480 parts\nOil, 60 parts\n") == [(212, "part"), (480, "part"), (60, "part")]


@pytest.mark.parametrize("text", ["Talc 4 oz.\nPitch 2 oz.", "Lard 4 oz.; 2 points of camphor"])
def test_words_like_a_unit_are_none(text):
    assert all("unit" not in {d.about for d in line.doubts} for line in hk.read(text).lines)


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("Beef suet ^xvj, lard §xvj, turpentine ^ij", [(16, "ounce"), (16, "ounce"), (2, "ounce")]),
        ("Mercury Ibij, lard ^xxiij", [(2, "pound"), (23, "ounce")]),
        ("Pearl barley %ss, water f^xvj", [(0.5, "ounce"), (16, "fluid ounce")]),
        ("Gum arabic gvj, white sugar ^iij", [(6, "drachm"), (3, "ounce")]),
        ("Chalk . . 5iij. Myrrh . 5ss.", [(3, "drachm"), (0.5, "drachm")]),
        ("Galls Jviij; lard ʒj", [(8, "drachm"), (1, "drachm")]),
        ("Plumbi acetatis, 3 ss. Aquae rosae f3 viij.", [(0.5, "drachm"), (8, "fluid drachm")]),
        ("Pulv. rhei, Biij ; Syr. sarsap. fSiv.", [(3, "scruple"), (4, "fluid ounce")]),
        ("Ol. ricini, |j. Tinct. opii TTt xx.", [(1, "ounce"), (20, "minim")]),
    ],
)
def test_worn_signs(printed, expected):
    """In the manner of raw scans of formularies of the 1850s."""
    assert amounts(printed) == expected


def test_a_range_set_as_tight_as_a_decimal_is_doubted():
    one, other = hk.read("Oil of roses, 1-6 grammes; musk, 2·5 grammes").lines
    assert one.amount == (1, 6) and one.doubts[0].others == ("1.6 gram",) and other.amount == 2.5


@pytest.mark.parametrize(
    ("printed", "amount", "unit"),
    [
        ("Myrrh 1^ oz.", 1.5, "ounce"),
        ("Myrrh 3| lb.", 3.5, "pound"),
        ("Myrrh 4% scruples", 4.5, "scruple"),
        ("Myrrh 2i dr.", 2.5, "drachm"),
        ("Myrrh V2 oz.", 0.5, "ounce"),
        ("Myrrh ¥4 oz.", 0.25, "ounce"),
        ("Myrrh, 11½2 oz.", 1.5, "ounce"),
        ("Myrrh £ an ounce", 0.5, "ounce"),
    ],
)
def test_a_fraction_of_which_a_scan_leaves_a_scrap(printed, amount, unit):
    (line,) = hk.read(f"Borax 2 oz.\n{printed}\n").lines[1:]
    assert (line.amount, line.unit) == (amount, unit)
    assert [d.about for d in line.doubts] == ["amount"] and "three quarters" in line.doubts[0].others


@pytest.mark.parametrize(
    ("printed", "amount", "unit"),
    [
        ("4 draclims", 4, "drachm"),
        ("4 drachnis", 4, "drachm"),
        ("6 drojis", 6, "drop"),
        ("5 0z.", 5, "ounce"),
        ("20z.", 2, "ounce"),
        ("16 os.", 16, "ounce"),
        ("31b.", 3, "pound"),
        ("2 di.", 2, "drachm"),
        ("10 gi.", 10, "grain"),
        ("cight drachms", 8, "drachm"),
        ("1 fl. 02.", 1, "fluid ounce"),
    ],
)
def test_units_and_numbers_that_a_scan_has_worn(printed, amount, unit):
    lines = hk.read(f"Borax, 2 oz.\nWhite wax, {printed}\nMyrrh, 3 lb.\n").lines
    assert [(line.amount, line.unit) for line in lines] == [(2, "ounce"), (amount, unit), (3, "pound")]
    assert lines[1].ingredient == "White wax" and (lines[1].doubts or "fl" in printed)


def test_the_head_of_a_page_is_no_ingredient():
    text = "COLD CREAM.\nSpermaceti, 2 oz.\nWhite wax, 3 oz.\n118 THE NEW FORMULARY.\nRose water, 6 oz.\nDISPENSATORY  119\nBorax, 1 oz.\n"
    formula = hk.read(text)
    assert [line.ingredient for line in formula.lines] == ["Spermaceti", "White wax", "Rose water", "Borax"]
    assert formula.title == "COLD CREAM" and any("FORMULARY" in piece for piece in formula.unread)


def test_a_numbered_title_and_a_list_in_capitals_are_no_heads_of_pages():
    assert "280. COLD CREAM" in " ".join([*hk.read("Lard, 2 oz.\n280. COLD CREAM.\nWax, 3 oz.").unread])
    assert len(hk.read("LARD 2\nCLOVES 12\nWAX 13").lines) == 3


def test_a_word_with_a_figure_for_a_letter_is_one_word():
    lines = hk.read("Oil of 1avender, 6 gr.\nYellow r0sin, 2 oz.\nAmygda1æ, 3 oz.\nChalk1oz.").lines
    assert [(line.ingredient, line.amount) for line in lines[:3]] == [("Oil of 1avender", 6), ("Yellow r0sin", 2), ("Amygda1æ", 3)]
    assert (lines[3].ingredient, lines[3].amount, lines[3].unit) == ("Chalk", 1, "ounce")


@pytest.mark.parametrize(
    ("printed", "expected"),
    [
        ("Camphor, f3ii\nSyrup, {3 iij\nHoney, f§j", [(2, "fluid drachm"), (3, "fluid drachm"), (1, "fluid ounce")]),
        ("Laudanum, TTLxx\nSquills, mx\nHoney, M v", [(20, "minim"), (10, "minim"), (5, "minim")]),
        ("Acid, Qiij\nSpirit, 0ij", [(3, "pint"), (2, "pint")]),
        ("Myrrh, 3iss\nOpium, 31\nRhubarb, 3155", [(1.5, "drachm"), (1, "drachm"), (1.5, "drachm")]),
        ("Myrrh, gi. xv\nOpium, gr. ij", [(15, "grain"), (2, "grain")]),
        ("Myrrh, 5i8s", [(1.5, "drachm")]),
    ],
)
def test_signs_of_which_figures_and_letters_are_left(printed, expected):
    lines = hk.read(printed).lines
    assert [(line.amount, line.unit) for line in lines] == expected
    assert all(line.doubts for line in lines if line.raw.split(",")[1][1:3] != "gr")


def test_figures_without_other_signs_stay_figures():
    assert amounts("Talc, 31 parts\nChalk, 51 parts") == [(31, "part"), (51, "part")]
    assert not hk.read("Cerat. simplicis, gr. iij").lines[0].doubts


def test_a_figure_that_may_hide_a_fraction_is_doubted_where_others_do():
    lines = hk.read("Borax, 2% oz.\nMyrrh, 24 oz.\nChalk, 134 lb.\nAlum, 8 oz.\n").lines
    assert [bool(line.doubts) for line in lines] == [True, True, True, False]
    assert "2.25 ounce" in lines[1].doubts[0].others
    assert not any(line.doubts for line in hk.read("Borax, 2 oz.\nMyrrh, 24 oz.\nAlum, 8 oz.\n").lines)


def test_a_worn_abbreviation_belongs_to_its_name():
    """'Ætheris nitrosi' without its spirit would be another, and a dangerous, thing."""
    lines = hk.read("Tinct. Opii, 3j; Spr. Ætheris Nitrosi, 3iss; Adipis, 3ij").lines
    assert [line.ingredient for line in lines] == ["Tinct. Opii", "Spr. Ætheris Nitrosi", "Adipis"]
    assert hk.read("Spt. Ætheris Nitrosi, 3iss\nAdipis, 3j").lines[0].ingredient == "Spt. Ætheris Nitrosi"


def test_a_worn_abbreviation_at_the_head_of_a_text_is_no_title():
    """'Carb.' alone would be charcoal, and it is white lead."""
    lines = hk.read("Plumh. Carb. 2 oz.\nTalc 3 oz.").lines
    assert [line.ingredient for line in lines] == ["Plumh. Carb", "Talc"]
    assert hk.read("Pomade. Lard 2 oz.\nWax 3 oz.").title == "Pomade"


def test_a_capital_numeral_among_figures_may_be_a_fraction():
    lines = hk.read("Borax, 2 oz.\nMyrrh, X dr.\nTreacle, 4X oz.").lines
    assert "a half" in lines[1].doubts[0].others and (lines[2].amount, lines[2].unit) == (4.5, "ounce")


def test_a_figure_behind_the_last_dot_of_a_leader_is_doubted():
    first, second = hk.read("Borax, 2 oz.\nOpium .20 gr.").lines
    assert not first.doubts and second.doubts[-1].others == ("20 grain",)


def test_units_that_do_not_fit_a_worn_text_are_doubted():
    lines = hk.read("Borax, 2% oz.\nMyrrh, 6 grams\nAlum, 3 drachms").lines
    assert lines[1].doubts[0].others == ("grain",) and not lines[2].doubts
    assert not any(line.doubts for line in hk.read("Borax, 2 oz.\nMyrrh, 6 grams\nAlum, 3 drachms").lines)


def test_a_clause_of_a_worn_text_that_cannot_be_read_is_told():
    formula = hk.read("Camphor, 3iss; Spq. Athcnx Nl-\ntrqst, Bviij; Honey, 3ij; Myrrh, 5j")
    assert [line.ingredient for line in formula.lines] == ["Camphor", "Honey", "Myrrh"]
    assert any("Athcnx" in doubt.text for doubt in formula.doubts)


def test_a_leader_read_as_letters_is_none_of_the_name():
    lines = hk.read("Venice turpentine .........ccoweemsermsescessin cnresscssnene 4 fl. oz.\nMyrrh .....occevvverisicenne 2 oz.").lines
    assert [(line.ingredient, line.amount, line.unit) for line in lines] == [
        ("Venice turpentine", 4, "fluid ounce"),
        ("Myrrh", 2, "ounce"),
    ]
    assert hk.read("Common resin, 2 oz.\nNecessaries, 3 oz.").lines[0].ingredient == "Common resin"


def test_a_mixed_figure_without_its_blank_is_no_improper_fraction():
    one, other = hk.read("Cinnamon, 41/4 oz.\nCloves, 3/4 oz.").lines
    assert (one.amount, other.amount) == (4.25, 0.75) and one.doubts and not other.doubts


@pytest.mark.parametrize(("printed", "amount"), [("3½4", 0.75), ("½2", 0.5), ("%2", 0.5)])
def test_fractions_given_twice(printed, amount):
    (line,) = hk.read(f"Borax, 3 oz.\nAlum, {printed} drachm").lines[1:]
    assert line.amount == amount and line.doubts


@pytest.mark.parametrize(
    ("printed", "amount", "unit", "about"),
    [
        ("Take 2 cupa of sugar.", 2, "cupful", "unit"),
        ("One-half piut milk.", 0.5, "pint", "unit"),
        ("Take ha1f an ounce of borax.", 0.5, "ounce", "amount"),
        ("Borax 2 oz.; threc fourths ounce of alum.", 0.75, "ounce", "amount"),
        ("2 lbs. rice, l large onion.", 1, "piece", "amount"),
    ],
)
def test_worn_words_of_amounts_are_told(printed, amount, unit, about):
    line = hk.read(printed).lines[-1]
    assert (line.amount, line.unit) == (amount, unit)
    assert about in {doubt.about for doubt in line.doubts}


def test_or_at_the_end_of_a_line_is_no_worn_ounce():
    lines = hk.read("Take 2 ounces of sugar and 1 quart of milk, let it stand 2 or\nthree days, and add a pound of honey.").lines
    assert [(line.ingredient, line.unit) for line in lines] == [("sugar", "ounce"), ("milk", "quart"), ("honey", "pound")]


def test_the_stop_behind_a_figure_and_before_or():
    """'4. or 6. ounces', as prints of about 1600 have it."""
    lines = hk.read("2. ounces of Isinglass, and 4. or 6. ounces of sugar.").lines
    assert [(line.ingredient, line.amount) for line in lines] == [("Isinglass", 2.0), ("sugar", (4.0, 6.0))]
