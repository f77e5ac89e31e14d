"""units.txt: its own grammar, exact fractions, the same sizes in Pint, a source for each line."""

import math
from fractions import Fraction

import pytest

from histkit.base.bibliography import cite
from histkit.base.errors import TableError, UnknownName
from histkit.measures import definitions, exact, registry, unit, units
from histkit.measures.rows import near, rows

MARKS = {"exact", "seen", "computed", "memory", "common practice"}


def test_pint_and_our_own_reading_of_the_file_agree_for_every_unit():
    base = {"mass": "gram", "volume": "millilitre", "length": "metre"}
    for name, ours in units().items():
        quantity = registry().Quantity(1.0, name).to(base[ours.dimension])
        assert math.isclose(quantity.magnitude, float(ours.size), rel_tol=1e-9), name


def test_every_unit_has_a_definition_a_known_source_and_a_mark():
    for ours in units().values():
        assert len(ours.definition) > 3
        assert ours.mark in MARKS, ours.name
        assert ours.group
        assert cite(ours.source, ours.section) in ours.explain()


def test_the_registry_is_made_once_and_has_no_prefixes():
    assert registry() is registry()
    with pytest.raises(Exception, match="kilodrachm"):
        registry().Quantity(1, "kilodrachm")
    assert "fl" not in registry()


def test_an_unknown_unit_names_its_neighbours():
    with pytest.raises(UnknownName) as caught:
        unit("imperial_fluid_once")
    assert "imperial_fluid_ounce" in caught.value.near
    assert exact("drachm") == 60 * exact("grain")


@pytest.mark.parametrize(
    ("line", "told"),
    [
        ("furlong = 3 * cubit  # x | international-system | exact", "before it is defined"),
        ("area = metre * metre  # x | international-system | exact", "neither a mass"),
        ("thing = 3 * gram", "definition"),
        ("thing = 3 + gram  # x | international-system | exact", "something other"),
        ("gram = 3 * gram  # x | international-system | exact", "given twice"),
        ("thing =  # x | international-system | exact", "a unit reads"),
        ("thing = 3 * gram  # x | | exact", "a unit reads"),
        ("thing = 3 * gram  # x | memory | memory | p. 3 | p. 4", "a unit reads"),
        ("thing = 3 * gram  # x | nobody | seen", "has no work 'nobody'"),
        ("thing = 3 * gram = = things  # x | international-system | exact", "a unit reads"),
    ],
)
def test_a_broken_line_is_told_with_its_number(tmp_path, monkeypatch, line, told):
    file = tmp_path / "units.txt"
    note = "# x | international-system | exact\n"
    file.write_text(f"gram = [mass] = g  {note}metre = [length]  {note}{line}\n", encoding="utf-8")
    monkeypatch.setattr(definitions, "_FILE", file)
    with pytest.raises(TableError, match=told) as caught:
        definitions.units.__wrapped__()
    assert "line 3" in str(caught.value)


def test_a_unit_answers_to_its_symbol_and_its_further_names():
    assert unit("mm") is unit("millimeter") is unit("millimetre") and exact("mm") * 1000 == exact("metre") == 1
    assert unit("g") is unit("gramme") is unit("gram") and unit("mm").names == ("millimetre", "mm", "millimeter")
    assert "_" not in units() and all(name in units() and units()[name] is found for found in units().values() for name in found.names)


def test_a_unit_in_words():
    words = "imperial fluid ounce: 1/160 gallon, the room of one ounce of water. Source: Weights and Measures Act 1963, First Schedule "
    assert unit("imperial_fluid_ounce").explain() == words + "(exact by definition)."
    assert unit("imperial_fluid_ounce").group == "Imperial measure (Britain and Ireland from 1826)"


def test_at_most_three_neighbours():
    assert near("drachm", ["drachma", "drachms", "drachme", "drachmo", "pint"]) == near("drachm", ["drachma", "drachms", "drachme", "drachmo"])
    assert len(near("drachm", ["drachma", "drachms", "drachme", "drachmo"])) == 3 and near("drachm", ["pint"]) == ()


def test_powers_and_quotients(tmp_path, monkeypatch):
    file = tmp_path / "units.txt"
    note = "  # x | international-system | exact\n"
    file.write_text(
        f"gram = [mass]{note}metre = [length]{note}foot = 0.3 * metre{note}box = foot ** 3 / 2{note}dose = 1/8 * gram / 2 * 4{note}",
        encoding="utf-8",
    )
    monkeypatch.setattr(definitions, "_FILE", file)
    table = definitions.units.__wrapped__()
    assert table["box"].size == Fraction(27, 1000) / 2 * 1_000_000
    assert table["dose"].size == Fraction(1, 4)


SOURCED = [
    "convention_units",
    "conventions",
    "reaches",
    "drops",
    "drop_liquids",
    "droppers",
    "harkins_brown",
    "spirits",
    "dry_masses",
    "alcohol_coefficients",
]


@pytest.mark.parametrize("table", SOURCED)
def test_every_row_names_a_source_and_a_mark(table):
    for row in rows(table):
        if table == "convention_units" and not row["source"]:
            assert row["registered"] in units()  # its source is that of the unit
            continue
        assert row["source"] and row.get("mark", "seen") in MARKS


@pytest.mark.parametrize("table", ["kind_affinities", "title_words", "countries"])
def test_rules_of_thumb_say_so(table):
    assert {row["mark"] for row in rows(table)} == {"common practice"}
