"""Figures and signs as old books and their scans print them."""

import pytest

from histkit.reading.cleaning import clean
from histkit.reading.tokens import pieces, tokenise


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
    ("printed", "sign"),
    [("ʒij", "ʒ"), ("Ʒij", "ʒ"), ("[dram]ij", "ʒ"), ("f ℥iss", "f℥"), ("fʒj", "fʒ"), ("[Oz]j", "℥"), ("♏︎x", "♏"), ("Οij", "O"), ("oj.", "O"), ("3ij", "ʒ"), ("§xvj", "℥"), ("9j", "℈")],
)  # fmt: skip
def test_signs(printed, sign):
    assert [t.word for t in tokenise(clean(printed).text) if t.kind == "sign"] == [sign]


def test_a_figure_before_an_ordinary_word_is_no_damaged_sign():
    assert [t.kind for t in tokenise("3 cloves and 5 lemons")].count("sign") == 0


def test_ditto_marks_are_told_from_quotation_marks():
    kinds = [t.kind for t in tokenise(clean('"  bergamot, “Neugenwerz,” 50').text)]
    assert kinds.count("ditto") == 1


def test_the_short_cut_for_plain_words_takes_no_compound_and_no_figure():
    """Most words are known by their first letters; whatever the tables hold besides must still be seen."""
    printed = "fluid oz., fl. drms, 4 c. c., cub. centimetres, table spoonful, tea cup, wine glass, per cent, p. c., u., l0, i/2, Oj, cc."
    assert [t.word for t in tokenise(printed) if t.kind == "word" and t.word != t.text.lower()] == [
        "floz", "fldr", "cc", "cc", "tablespoonful", "cupful", "wineglassful", "per cent", "und", "cc",
    ]  # fmt: skip
    assert [t.value for t in tokenise(printed) if t.kind == "num"] == [4, 10, 0.5]


def test_the_pieces_of_a_line_are_its_words_figures_and_signs():
    assert pieces("Orris-root ..... ℥ij; 2,5 c.c. of 1½ lb.") == [
        "Orris-root",
        ".....",
        "℥",
        "ij",
        ";",
        "2,5",
        "cc",
        "of",
        "1",
        "½",
        "lb",
    ]


def test_a_figure_too_long_to_be_one_is_none():
    assert [t.kind for t in tokenise("1" + ",000" * 200)] == ["other"]
