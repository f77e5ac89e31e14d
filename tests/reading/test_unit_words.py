"""Unit words and signs."""

import pytest
from reading_stages import viewed

from histkit.reading.unit_words import unit_at


@pytest.mark.parametrize(
    ("text", "name", "system"),
    [
        ("oz.", "ounce", ""), ("fluid ounces", "fluid ounce", ""), ("oz. (av.)", "ounce", "avoirdupois"), ("(troy) oz.", "ounce", "apothecaries"),
        ("ℨ", "drachm", "apothecaries"), ("good handful", "handful", ""), ("oz. (fluid)", "fluid ounce", ""), ("(parts)", "part", ""),
    ],
)  # fmt: skip
def test_units(text, name, system):
    unit = unit_at(viewed(text), 0)
    assert (unit.name, unit.system) == (name, system)


@pytest.mark.parametrize("text", ["talc", "good talc", "℥ij", ""])
def test_what_is_no_unit(text):
    assert unit_at(viewed(text), 0) is None
