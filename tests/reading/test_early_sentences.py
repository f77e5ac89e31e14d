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
        ("Powder of Myrrh, 6. Grains; Saffron 12. Grains, Honey 2. Ounces", [(6.0, "grain", "Powder of Myrrh"), (12.0, "grain", "Saffron"), (2.0, "ounce", "Honey")]),
        ("Take 4. Ounces of Sugar and a spunfull of honey.", [(4.0, "ounce", "Sugar"), (1.0, "tablespoonful", "honey")]),
        ("Sugar 2 ounces. Found in 1804. Pounds of it were sold.", [(2.0, "ounce", "Sugar")]),
        ("Take turpentine 2 ounces and 1/6\n(Winchester) quart of spirit, wax 3 ounces", [(2.0, "ounce", "turpentine"), (1 / 6, "quart", "spirit"), (3.0, "ounce", "wax")]),
        ("Take a pound of sugar, and a half, and 3 ounces of wax", [(1.5, "pound", "sugar"), (3.0, "ounce", "wax")]),
        ("Take Sene an ounce, 2, dragmes of Agarick, 3, ounces of honey.", [(1.0, "ounce", "Sene"), (2.0, "drachm", "Agarick"), (3.0, "ounce", "honey")]),
        ("Take Hartshorn an ounce, 6. cloves, Coral half an ounce.", [(1.0, "ounce", "Hartshorn"), (6.0, "piece", "cloves"), (0.5, "ounce", "Coral")]),
        # a stop inside a known name, between its words
        ("Take syrup an ounce, half a dram of Sal. Prunellae, a scruple of salt.", [(1.0, "ounce", "syrup"), (0.5, "drachm", "Sal. Prunellae"), (1.0, "scruple", "salt")]),
        ("Take Rue and wine, parts equal, of oil a pound.", [(1.0, "part", "Rue"), (1.0, "part", "wine"), (1.0, "pound", "oil")]),
        # counting by scores and hundreds
        ("Take threescore and ten walnuts, a score of figs, sugar a pound.", [(70.0, "piece", "walnuts"), (20.0, "piece", "figs"), (1.0, "pound", "sugar")]),
        ("Take a hundred of walnuts, fourscore dates, sugar a pound.", [(100.0, "piece", "walnuts"), (80.0, "piece", "dates"), (1.0, "pound", "sugar")]),
        ("Score the meat, add two ounces of salt.", [(2.0, "ounce", "salt")]),
        # what is not poured is counted, whatever unit a liquid before it has
        ("Take wine a pint, Damsons 30, sugar a pound.", [(1.0, "pint", "wine"), (30.0, "piece", "Damsons"), (1.0, "pound", "sugar")]),
        ("Take red wine two pints, white wine 3, sugar a pound.", [(2.0, "pint", "red wine"), (3.0, "pint", "white wine"), (1.0, "pound", "sugar")]),
        # bones are no half pints
        ("℞ Coral. rub. ʒij. oss. sepiae ʒj.", [(2.0, "drachm", "Coral. rub"), (1.0, "drachm", "oss. sepiae")]),
        ("℞ Cerevisiae oss. Mannae ℥j.", [(0.5, "pint", "Cerevisiae"), (1.0, "ounce", "Mannae")]),
        # animals that share their grease
        ("Take of Hogs and Bears grease, of each two ounces.", [(2.0, "ounce", "Hogs"), (2.0, "ounce", "Bears grease")]),
        # a part of what the page speaks of, and a dose of it
        ("Take the juice thereof two ounces, honey an ounce.", [(2.0, "ounce", "juice thereof"), (1.0, "ounce", "honey")]),
        ("The root thereof half an ounce, with honey an ounce, is good.", [(0.5, "ounce", "root thereof"), (1.0, "ounce", "honey")]),
        ("Mix wax a pound and honey an ounce. Take thereof half an ounce.", [(1.0, "pound", "wax"), (1.0, "ounce", "honey")]),
        ("Take Ceruse, burnt lead, of eche one a scruple, of honey an ounce.", [(1.0, "scruple", "Ceruse"), (1.0, "scruple", "burnt lead"), (1.0, "ounce", "honey")]),
        ("Take Vinegar two ounces, and with Honey and Oyl make a plaister.", [(2.0, "ounce", "Vinegar"), (None, "none", "Honey"), (None, "none", "Oyl")]),
        # what was done to a thing, between its name and its amount
        ("Take Turpentine, washed in Rose-water, an ounce; oil of Roses, two ounces.", [(1.0, "ounce", "Turpentine, washed in Rose-water"), (2.0, "ounce", "oil of Roses")]),
        ("Take Aloes, washed with juice of Roses, a dram, wax an ounce.", [(1.0, "drachm", "Aloes, washed with juice of Roses"), (1.0, "ounce", "wax")]),
        ("Take sugar a pound, dissolved in Rose-water, half a pint.", [(1.0, "pound", "sugar"), (0.5, "pint", "dissolved in Rose-water")]),
        ("Take flower a pound, whites of Eggs so many as will serve.", [(1.0, "pound", "flower"), (None, "q.s.", "whites of Eggs")]),
    ],
)  # fmt: skip
def test_early_sentences(text: str, expected: list[tuple[object, str, str]]) -> None:
    assert lines_of(text) == expected


def test_a_lower_part_is_no_four() -> None:
    assert lines_of("rub the lower parts with it, oil two ounces.") == [(2.0, "ounce", "oil")]


def ids_of(text: str) -> list[str | None]:
    """The ingredients of a text."""
    translation = hk.translate(hk.read(text, source=SOURCE))
    return [line.ingredient.id if line.ingredient else None for line in translation.lines]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Take Wine without sugar or honey a pint, of wax an ounce.", ["wine", "beeswax-yellow"]),
        ("Take Confection of Alkermes without Musk or Ambergrise a dram, wax an ounce.", ["confection-alkermes", "beeswax-yellow"]),
        ("Take Xyz or honey a pint, wax an ounce.", ["honey", "beeswax-yellow"]),
        ("Take Guaiacum a pound, the Bark thereof two ounces.", ["guaiac-wood", "guaiac-bark"]),
        ("Take Rue a handful, the Bark two ounces.", ["rue-leaves", "cinchona-bark"]),
    ],
)
def test_what_early_names_mean(text: str, expected: list[str | None]) -> None:
    assert ids_of(text) == expected


def test_a_bark_behind_another_thing_may_be_of_that() -> None:
    formula = hk.read("Take Rue a handful, the Bark two ounces.", source=SOURCE)
    assert any("may be its" in doubt.text for doubt in formula.lines[1].doubts)
    assert not any("may be its" in doubt.text for doubt in formula.lines[0].doubts)
