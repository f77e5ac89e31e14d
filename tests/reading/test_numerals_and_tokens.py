"""Figures, Roman numerals and signs as old books and their scans print them."""

import pytest

from histkit.reading.cleaning import clean
from histkit.reading.numerals import roman
from histkit.reading.tokens import tokenise


@pytest.mark.parametrize(
    ("printed", "value"),
    [
        ("½", 0.5), ("1½", 1.5), ("2 ¾", 2.75), ("1/2", 0.5), ("1-1/2", 1.5), ("1 1/4", 1.25), ("9 1\ufeff/\ufeff2", 9.5),
        ("1\u202f1\u2060/\u20602", 1.5), ("1\u20442", 0.5), ("7,000", 7000), ("1,000.0", 1000), ("0.75", 0.75), ("0·5", 0.5), ("100,0", 100), (".5", 0.5),
    ],
)  # fmt: skip
def test_figures(printed, value):
    figures = [t.value for t in tokenise(clean(printed).text) if t.kind == "num"]
    assert sum(figures) == pytest.approx(value)


@pytest.mark.parametrize(
    ("printed", "value"),
    # The first nine as worked by period pharmacy and nursing texts; ss is semis, a final i is written j.
    [("ss", 0.5), ("iss", 1.5), ("j", 1), ("iv", 4), ("vij", 7), ("xij", 12), ("xx", 20), ("vijss", 7.5), ("lx", 60),
     ("xlix", 49), ("xc", 90), ("iiij", 4), ("xxiv", 24), ("dcxxiv", 624), ("ijß", 2.5)],
)  # fmt: skip
def test_roman_numerals(printed, value):
    assert roman(printed)[0] == value


@pytest.mark.parametrize(("damaged", "value", "other"), [("ji", 2, "ij"), ("x1", 40, "xj")])
def test_damaged_roman_numerals_name_the_other_reading(damaged, value, other):
    read_value, doubt = roman(damaged)
    assert read_value == value
    assert doubt and doubt.replace("j", "i") == other.replace("j", "i")


@pytest.mark.parametrize("word", ["oil", "mild", "of", "talc", "musk", "", "borax"])
def test_words_are_no_numerals(word):
    assert roman(word) is None


@pytest.mark.parametrize(
    ("printed", "sign"),
    [("ʒij", "ʒ"), ("Ʒij", "ʒ"), ("[dram]ij", "ʒ"), ("f ℥iss", "f℥"), ("fʒj", "fʒ"), ("[Oz]j", "℥"), ("♏︎x", "♏"), ("Οij", "O"), ("oj.", "O"), ("3ij", "ʒ"), ("§xvj", "℥"), ("9j", "℈")],
)  # fmt: skip
def test_signs(printed, sign):
    assert [t.word for t in tokenise(clean(printed).text) if t.kind == "sign"] == [sign]


def test_a_figure_before_an_ordinary_word_is_no_damaged_sign():
    assert [t.kind for t in tokenise("3 cloves and 5 lemons")].count("sign") == 0


def test_cleaning_maps_every_character_back():
    printed = "Oil\u00a0of roſe _Petale_ 1\ufeff/\ufeff2 [dram]ij"
    cleaned = clean(printed)
    assert cleaned.text == "Oil of rose Petale 1/2 ʒij"
    start = cleaned.text.index("ʒ")
    assert printed[slice(*cleaned.printed_span(start, start + 1))] == "[dram]"
    assert printed[slice(*cleaned.printed_span(0, len(cleaned.text)))] == printed


def test_ditto_marks_are_told_from_quotation_marks():
    kinds = [t.kind for t in tokenise(clean('"  bergamot, “Neugenwerz,” 50').text)]
    assert kinds.count("ditto") == 1
