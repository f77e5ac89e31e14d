"""Amounts whose figure stands first."""

import pytest
from reading_stages import viewed

from histkit.reading.counted import read_counted


@pytest.mark.parametrize(
    ("text", "amount", "unit", "plus"),
    [
        ("2 oz.", 2.0, "ounce", ()), ("3 lbs. 8 oz.", 3.0, "pound", ((8.0, "ounce"),)), ("half-a-drachm", 0.5, "drachm", ()),
        ("one drachm to half an ounce", (1.0, 4.0), "drachm", ()), ("2 gr. 50", 2.5, "gram", ()),
    ],
)  # fmt: skip
def test_amounts(text, amount, unit, plus):
    measure = read_counted(viewed(text), 0)
    assert (measure.amount, measure.unit, measure.plus) == (amount, unit, plus)


def test_what_is_no_amount_and_what_is_one_without_a_unit():
    assert read_counted(viewed("No. 4"), 0) is None
    assert read_counted(viewed("4 hours"), 0) is None
    assert read_counted(viewed("4 cloves"), 0).kind == "bare"
