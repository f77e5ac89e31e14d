"""Amounts whose unit stands first."""

import pytest
from reading_stages import viewed

from histkit.reading.signed import read_signed


@pytest.mark.parametrize(
    ("text", "amount", "unit"),
    [
        ("℥ij", 2.0, "ounce"),
        ("gr. x-xx", (10.0, 20.0), "grain"),
        ("f℥iss", 1.5, "fluid ounce"),
        ("℥ss–ʒij", (2.0, 4.0), "drachm"),
        ("uncias duas", 2.0, "ounce"),
    ],
)
def test_amounts(text, amount, unit):
    measure = read_signed(viewed(text), 0)
    assert (measure.amount, measure.unit) == (amount, unit)


@pytest.mark.parametrize("text", ["lb. 2 oz.", "M.D.S.", "talc", "℞"])
def test_what_is_no_amount(text):
    assert read_signed(viewed(text), 0) is None
