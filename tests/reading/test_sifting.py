"""The amounts in the light of the whole text."""

from reading_stages import viewed

import histkit as hk
from histkit.reading.sifting import sifted


def units(text, source=None):
    return [m.unit for m in sifted(viewed(text), source)]


def test_abbreviations_of_two_units():
    assert units("Talc 40 pt. rose 20 pt.") == ["part", "part"]
    assert units("Talc 4 gr.", hk.Source(country="FR", year=1890)) == ["gram"]
    assert units("Talc 4 gr.", hk.Source(country="DE", year=1850)) == ["grain"]
    assert units("Talc 4 gr.", hk.Source(country="DE")) == ["grain"]
    assert units("Talc 4 gr.", hk.Source(country="IT")) == ["gram"]


def test_figures_that_number_the_lines_and_amounts_of_use_are_left_out():
    assert units("1 Chalk 4 oz.\n2 Talc 3 oz.") == ["ounce", "ounce"]
    assert units("Talc 4 oz.\nDose. a teaspoonful\n\nChalk 2 drachms") == ["ounce", "drachm"]
