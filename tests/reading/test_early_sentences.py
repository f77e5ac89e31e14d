"""Early print: small things of its sentences that were read wrong or lost, each with a neighbour that must stay."""

from __future__ import annotations

import pytest

import histkit as hk

SOURCE = hk.Source(title="Receipts", author="N. N.", year=1650, country="GB")


def lines_of(text: str) -> list[tuple[object, str, str]]:
    """(amount, unit, name) of each line that is read."""
    return [(line.amount, line.unit, line.ingredient) for line in hk.read(text, source=SOURCE).lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        # the first thing that is taken, with nothing but an article
        ("Take an Ox gall, half a pint of honey, mix them.", [(1.0, "piece", "Ox gall"), (0.5, "pint", "honey")]),
        ("Take a lemon and half a pint of honey.", [(1.0, "piece", "lemon"), (0.5, "pint", "honey")]),
        ("Take a pipkin, put in it half a pint of honey.", [(0.5, "pint", "honey")]),
        ("Take wine two gall, sugar a pound.", [(2.0, "gallon", "wine"), (1.0, "pound", "sugar")]),
        # sizes before a handful, and what is done to each
        ("Take Rue, Sage, of each a little handful, honey a pint.", [(1.0, "handful", "Rue"), (1.0, "handful", "Sage"), (1.0, "pint", "honey")]),
        ("Take Rue two ounces, a little bit of camphor.", [(2.0, "ounce", "Rue"), (None, "none", "camphor")]),
        ("Take Linseed and Anise, of each well bruised one ounce.", [(1.0, "ounce", "Linseed"), (1.0, "ounce", "Anise")]),
        ("Take wine and vinegar, of each finely strained two pints.", [(2.0, "pint", "wine"), (2.0, "pint", "vinegar")]),
        ("Take wine and vinegar, of each two pints.", [(2.0, "pint", "wine"), (2.0, "pint", "vinegar")]),
        # words of measure and of amount as early books spell them
        ("Take honey two ounces, white wax asmoche as shall suffise.", [(2.0, "ounce", "honey"), (None, "q.s.", "white wax")]),
        ("Sennae vnc. iiij. Hermodact. vnc. 1.", [(4.0, "ounce", "Sennae"), (1.0, "ounce", "Hermodact")]),
        ("Take half an vnse of mace, of cloves an unse.", [(0.5, "ounce", "mace"), (1.0, "ounce", "cloves")]),
        # a comma behind a figure, a stop behind a count
        ("Take Sene an ounce, 2, dragmes of Agarick, 3, ounces of honey.", [(1.0, "ounce", "Sene"), (2.0, "drachm", "Agarick"), (3.0, "ounce", "honey")]),
        ("Take Hartshorn an ounce, 6. cloves, Coral half an ounce.", [(1.0, "ounce", "Hartshorn"), (6.0, "piece", "cloves"), (0.5, "ounce", "Coral")]),
        # a stop inside a known name, between its words
        ("Take syrup an ounce, half a dram of Sal. Prunellae, a scruple of salt.", [(1.0, "ounce", "syrup"), (0.5, "drachm", "Sal. Prunellae"), (1.0, "scruple", "salt")]),
        ("Take Rue and wine, parts equal, of oil a pound.", [(1.0, "part", "Rue"), (1.0, "part", "wine"), (1.0, "pound", "oil")]),
    ],
)  # fmt: skip
def test_early_sentences(text: str, expected: list[tuple[object, str, str]]) -> None:
    assert lines_of(text) == expected


def test_a_lower_part_is_no_four() -> None:
    assert lines_of("rub the lower parts with it, oil two ounces.") == [(2.0, "ounce", "oil")]
