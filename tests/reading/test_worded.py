"""Amounts in words, totals and purposes."""

import pytest
from reading_stages import viewed

from histkit.reading.worded import read_any, read_worded


@pytest.mark.parametrize(
    ("text", "kind", "to_make"),
    [
        ("a little talc", "some", None), ("q.s. to make 6 ounces", "qs", (6.0, "ounce")), ("twice as much", "same", None), ("size of a nut", "sized", None),
        ("a few drops", "few", None), ("coloured with carmine", "qs", None), ("a small piece of", "piece", None), ("as much rose water as", "qs", None),
    ],
)  # fmt: skip
def test_kinds(text, kind, to_make):
    measure = read_worded(viewed(text), 0)
    assert (measure.unit if kind == "piece" else measure.kind, measure.to_make) == (kind, to_make)


def test_a_total_after_a_name():
    assert read_worded(viewed("rose water, to 10 fl. oz."), 3).to_make == (10.0, "fluid ounce")


def test_the_first_notation_that_fits_is_taken():
    assert read_any(viewed("half the quantity"), 0).kind == "same"
    assert read_any(viewed("half an ounce"), 0).unit == "ounce"
    assert read_any(viewed("boiled enough when"), 1) is None
