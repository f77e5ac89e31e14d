"""Formulas in every notation that the period used. The names and figures are invented or common to many books."""

import pytest

import histkit as hk
from histkit.reading import read


def told(text, **source):
    """(amount, unit, name) of every line."""
    formula = read(text, source=hk.Source(**source) if source else None)
    return [(line.amount, line.unit, line.shown_name()) for line in formula.lines]


def test_a_column():
    assert told("Powdered talc         4 oz.\nRice starch,        1-1/2 lb.\nCarmine ........... 20 grains") == [
        (4, "ounce", "Powdered talc"), (1.5, "pound", "Rice starch"), (20, "grain", "Carmine")]  # fmt: skip


def test_amount_before_the_name():
    assert told("1/2 ounce carbonate of magnesia, finely powdered.\n20 grains boracic acid.\n2 drops each of oils of neroli and clove.") == [
        (0.5, "ounce", "carbonate of magnesia, finely powdered"), (20, "grain", "boracic acid"),
        (2, "drop", "oils of neroli"), (2, "drop", "[oil of] clove")]  # fmt: skip


def test_a_sentence_that_changes_sides():
    assert told(
        "Take half a pound of starch; of talc and orris root, each two ounces; carmine, a drachm; an ounce and a half of zinc, and four drops of otto of roses."
    ) == [(0.5, "pound", "starch"), (2, "ounce", "talc"), (2, "ounce", "orris root"), (1, "drachm", "carmine"), (1.5, "ounce", "zinc"), (4, "drop", "otto of roses")]  # fmt: skip


def test_signs_and_latin():
    formula = read(
        "℞ Zinci oxidi,\n  Talci veneti, ....... āā ....... ʒij\n  Ol. rosæ ............... ♏x\n  Aquæ, ...... q.s. ad .... f℥iv.   M."
    )
    assert [(line.amount, line.unit, line.of_each) for line in formula.lines] == [
        (2, "drachm", True), (2, "drachm", True), (10, "minim", False), (None, "q.s.", False)]  # fmt: skip
    assert formula.lines[3].to_make == (4, "fluid ounce")
    assert formula.lines[0].system == "apothecaries"


def test_brace_groups_are_told_apart_by_their_column():
    text = "Lavender, }\nOrris,    } each,    1 lb.\nTonquin,     }\nVanilla,     } each, 1/4 lb.\nMusk,        2 drachms."
    assert told(text) == [
        (1, "pound", "Lavender"), (1, "pound", "Orris"), (0.25, "pound", "Tonquin"), (0.25, "pound", "Vanilla"), (2, "drachm", "Musk")]  # fmt: skip


def test_dittos_for_name_and_unit():
    assert told('Otto of rose,     2 drachms.\n"  santal,        2  "\n"    "  clove,    1  "') == [
        (2, "drachm", "Otto of rose"), (2, "drachm", "[Otto of] santal"), (1, "drachm", "[Otto of santal] clove")]  # fmt: skip


def test_a_written_ditto_with_an_amount_of_its_own_repeats_the_name():
    assert told("Oil of lavender, 2 drachms; ditto of bergamot, 1 drachm; ditto cloves, 10 drops; orris, ditto") == [
        (2, "drachm", "Oil of lavender"), (1, "drachm", "[Oil of] bergamot"), (10, "drop", "[Oil of] cloves"),
        (10, "drop", "orris")]  # fmt: skip


def test_latin_number_words_after_an_abbreviated_unit():
    assert told("Cretae praep. unc. duas; pulv. irid. drach. tres; ol. rosae gtt. decem") == [
        (2, "ounce", "Cretae praep"), (3, "drachm", "pulv. irid"), (10, "drop", "ol. rosae")]  # fmt: skip


def test_do_in_the_column_of_amounts_repeats_the_amount():
    same = [(2, "ounce", "Orris root"), (2, "ounce", "Tonquin beans"), (10, "grain", "Musk")]
    for text in ("Orris root {}2 oz\nTonquin beans {}do.\nMusk {}10 grs".format(*[gap] * 3) for gap in ("", "... ", "      ")):
        assert told(text) == same
    assert told("Orris root, 2 oz.\nTonquin beans, do.\nMusk, 10 grs") == same
    assert told("Orris ... 2 oz\nCloves ... 1 do.") == [(2, "ounce", "Orris"), (1, "ounce", "Cloves")]


def test_gr_beside_kilograms_is_grammes_with_a_doubt():
    formula = read("Amidon 1 kil. 500 gr.\nIris 50 gr.\nCarmin 2 gr.")
    assert [(line.amount, line.unit, line.plus) for line in formula.lines] == [
        (1, "kilogram", ((500, "gram"),)), (50, "gram", ()), (2, "gram", ())]  # fmt: skip
    assert formula.lines[1].doubts[-1].others == ("grains",)
    assert read("Chalk 2 oz\nCarmine 5 gr.").lines[1].unit == "grain"


def test_letters_that_number_a_list_and_the_black_letter_drachm():
    assert told("A. Chalk 5 lbs\nB. Soap 4 oz\nC. Oil of cloves ℨij") == [
        (5, "pound", "Chalk"), (4, "ounce", "Soap"), (2, "drachm", "Oil of cloves")]  # fmt: skip


def test_carried_units_and_back_references_carry_a_doubt():
    formula = read(
        "Starch 50 drachms, talc 25, musk 2 drops, orris 1½; four grains of civet, and the same quantity of ambergris; half as much musk."
    )
    units = [line.unit for line in formula.lines]
    assert units == ["drachm", "drachm", "drop", "drachm", "grain", "grain", "grain"]
    assert [line.amount for line in formula.lines][-2:] == [4, 2]
    assert all(formula.lines[i].doubts for i in (1, 3, 5, 6))


def test_compound_amounts_and_amounts_in_two_systems():
    formula = read("Boric acid   2 ounces, 440 grains\nOchre   (av.) 3 ounces 120 grains\nThymol   25 centigrams (4 grains)")
    one, two, three = formula.lines
    assert one.plus == ((440, "grain"),)
    assert two.plus == ((120, "grain"),) and two.system == "avoirdupois"
    assert (three.unit, three.also) == ("centigram", ((4, "grain"),))


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("otto of roses, five to sixteen drops", (5, 16), "drop"), ("camphor, one or two drachms", (1, 2), "drachm"), ("Lake   1¾ to 2½ oz.", (1.75, 2.5), "ounce"),
        ("℞ Sodæ ℥ ss.--ʒij.", (2, 4), "drachm"), ("℞ Ol. ricini ♏xxx-fʒij.", (30, 120), "minim"), ("℞ Ac. salicylici gr. x-xxx.", (10, 30), "grain"),
        ("oil of wintergreen, 1–200 part", 0.005, "part"), ("sugar, half-a-pound", 0.5, "pound"), ("musk, a quarter of an ounce", 0.25, "ounce"),
        ("camphor, one drachm and a half", 1.5, "drachm"), ("water, three and one-fourth ounces", 3.25, "ounce"), ("2 pt. naphthol, 100 pt. starch", 2, "part"),
        ("four table spoonsful of honey", 4, "tablespoonful"), ("castor oil   500 c.c.", 500, "millilitre"), ("clove oil   2 c. cent.", 2, "millilitre"),
        ("borax, three-fifths", 0.6, "part"), ("Talci veneti uncias duas", 2, "ounce"), ("amidon, une livre", 1, "pound"), ("Stärke 2 Loth", 1, "ounce"),
    ],
)  # fmt: skip
def test_amounts(text, amount, unit):
    line = read(text).lines[0]
    assert (line.amount, line.unit) == (pytest.approx(amount), unit)


@pytest.mark.parametrize(
    "text",
    [
        "Simple syrup,   enough to form a paste.",
        "Carmine, quantity sufficient.",
        "almond oil q. s.",
        "a sufficient quantity of rose-water",
        "sufficient spirits of wine",
    ],
)
def test_as_much_as_suffices(text):
    line = read("Talc   1 oz.\n\n" + text).lines[-1]
    assert (line.amount, line.unit) == (None, "q.s.")


@pytest.mark.parametrize(
    "text", ["Water, to make   ℥ iij.", "Rose water, sufficient to make 3 ounces.", "Aquæ   ad ℥ iij.", "Alcohol to     3 ounces"]
)
def test_totals(text):
    line = read("Talc   1 oz.\n" + text).lines[-1]
    assert (line.unit, line.to_make) == ("q.s.", (3, "ounce"))


@pytest.mark.parametrize(
    ("text", "count"),
    [
        ("Spirit, 60 over proof,      6 gallons.", 1), ("Carmine No. 40   250 grains", 1), ("Alcohol, 80 per cent    1,600 parts", 1),
        ("proof spirit (made by mixing equal parts of spirit and water), three ounces", 1), ("Sugar (or saccharine, 2 grains)     1 ounce", 1),
        ("two ounces of talc; let it stand four and twenty hours, then sift", 1), ("lard, two ounces; perfumed with an ounce of bergamot to every pound of salve", 2),
        ("3 oz. of talc. Rub a little on the face three times a day.", 1),
    ],
)  # fmt: skip
def test_figures_that_are_no_amounts(text, count):
    assert len(read(text).lines) == count


def test_by_measure_makes_the_ounces_before_it_fluid():
    formula = read("Rose water, one ounce; spirit, three drachms (all by measure).")
    assert [line.unit for line in formula.lines] == ["fluid ounce", "fluid drachm"]


def test_title_directions_and_list_numbers():
    formula = read("VIOLET POWDER.\n\nI.—Starch             7 lb.\nOrris root     1 lb.\n\nMix and sift.")
    assert formula.title == "VIOLET POWDER"
    assert formula.directions == "Mix and sift."
    assert [line.ingredient for line in formula.lines] == ["Starch", "Orris root"]


@pytest.mark.parametrize(
    ("text", "about"),
    [
        ("Chalk   3ij.\nMyrrh   ʒj.", "unit"), ("Syrup   fʒji\nWater   fʒij", "amount"), ("Musk and civet,   2 drachms.", "group"), ("Starch 50 drachms, talc 25.", "unit"),
        ("oil of cassia or of cloves 5 drops", "ingredient"), ("cinnamon, \ufffd oz., musk 1 gr.", "amount"),
    ],
)  # fmt: skip
def test_what_is_doubtful_says_so(text, about):
    assert any(d.about == about for d in read(text).doubts)


def test_gr_is_a_gramme_in_a_metric_country():
    french = read("Talc 200 gr.\nAmidon 50 gr.", source=hk.Source(year=1890, country="FR"))
    english = read("Talc 200 gr.\nStarch 50 gr.", source=hk.Source(year=1890, country="GB"))
    assert [line.unit for line in french.lines] == ["gram", "gram"]
    assert french.doubts and [line.unit for line in english.lines] == ["grain", "grain"]


@pytest.mark.parametrize("text", ["", "   \n ", "Nothing to weigh here.", "??!"])
def test_no_ingredient_line_is_a_reading_error(text):
    with pytest.raises(hk.ReadingError, match="ingredient line"):
        read(text)


def test_what_is_no_text_or_too_long_is_refused():
    with pytest.raises(hk.BadValue, match="text"):
        read(None)
    with pytest.raises(hk.BadValue, match="characters"):
        read("x" * 1_000_001)


def test_explain_shows_the_printed_words_and_the_doubt():
    text = read("Starch 50 drachms, talc 25.").lines[1].explain()
    assert "talc 25" in text and "carried" in text and "25 drachm" in text


def test_a_formula_survives_json():
    formula = read(
        "Thymol   25 centigrams (4 grains)\nSyrup   fʒji\nWater, to make   ℥ iij.",
        source=hk.Source(title="An invented book", year=1880),
    )
    assert hk.Formula.from_json(formula.to_json()) == formula
    with pytest.raises(hk.BadValue, match="formula"):
        hk.Formula.from_json("{}")


def test_to_frame_has_a_row_for_each_line():
    frame = read("Talc   1 oz.\nCarmine   2 gr.").to_frame()
    assert list(frame["ingredient"]) == ["Talc", "Carmine"]
