"""Roman numerals as pharmacists and their scans print them."""

import pytest

from histkit.reading.numerals import roman


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
