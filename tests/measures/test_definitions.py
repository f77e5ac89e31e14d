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


@pytest.mark.parametrize(
    ("pound", "rest", "ounces", "scruple_of", "grains"),
    [
        ("apothecary_pound", "apothecary_ounce drachm scruple grain", 12, 3, 20),
        ("nuremberg_pound", "nuremberg_ounce nuremberg_drachm nuremberg_scruple nuremberg_grain", 12, 3, 20),
        ("prussian_medicinal_pound", "prussian_ounce prussian_drachm prussian_scruple prussian_grain", 12, 3, 20),
        ("saxon_medicinal_pound", "saxon_ounce saxon_drachm saxon_scruple saxon_grain", 12, 3, 20),
        ("bavarian_medicinal_pound", "bavarian_ounce bavarian_drachm bavarian_scruple bavarian_grain", 12, 3, 20),
        ("vienna_medicinal_pound", "vienna_ounce vienna_drachm vienna_scruple vienna_grain", 12, 3, 20),
        ("metric_medicinal_pound", "metric_medicinal_ounce metric_medicinal_drachm metric_medicinal_scruple metric_medicinal_grain", 12, 3, 20),
        ("castilian_medicinal_pound", "castilian_ounce castilian_drachm castilian_scruple castilian_grain", 12, 3, 24),
        ("lisbon_medicinal_pound", "lisbon_ounce lisbon_drachm lisbon_scruple lisbon_grain", 12, 3, 24),
        ("swedish_medicinal_pound", "swedish_ounce swedish_drachm swedish_scruple swedish_grain", 12, 3, 20),
        ("dutch_medicinal_pound", "dutch_ounce dutch_drachm dutch_scruple dutch_grain", 12, 3, 20),
        ("russian_medicinal_pound", "russian_ounce russian_drachm russian_scruple russian_grain", 12, 3, 20),
        ("roman_libbra", "roman_ounce roman_drachm roman_scruple roman_grain", 12, 3, 24),
        ("venetian_libbra", "venetian_ounce venetian_drachm venetian_scruple venetian_grain", 12, 3, 20),
        ("polish_medicinal_pound", "polish_ounce polish_drachm polish_scruple polish_grain", 12, 3, 20),
        ("paris_livre", "paris_once paris_gros paris_scrupule paris_grain", 16, 3, 24),
        ("usuel_livre", "usuel_once usuel_gros usuel_scrupule usuel_grain", 16, 3, 24),
    ],
)
def test_weights_are_divided_as_everywhere(pound, rest, ounces, scruple_of, grains):
    """Twelve ounces (sixteen of the merchants' livre) of eight drachms of three scruples of twenty grains, or of twenty-four."""
    ounce, drachm, scruple, grain = rest.split()
    assert exact(pound) == ounces * exact(ounce) and exact(ounce) == 8 * exact(drachm)
    assert exact(drachm) == scruple_of * exact(scruple) and exact(scruple) == grains * exact(grain)


@pytest.mark.parametrize(("family", "ounces"), [("us", 16), ("wine", 16), ("imperial", 20), ("ale", 0), ("irish", 0)])
def test_measures_are_divided_as_everywhere(family, ounces):
    """Four quarts or eight pints to the gallon, four gills to the pint, eight fluid drachms of sixty minims to the ounce."""

    def size(name):
        return exact(f"{family}_{name}")

    assert size("gallon") == 8 * size("pint")
    if family != "irish":
        assert size("gallon") == 4 * size("quart")
    if ounces:
        assert size("pint") == 4 * size("gill") == ounces * size("fluid_ounce")
        assert size("fluid_ounce") == 8 * size("fluid_drachm") == 480 * size("minim")


@pytest.mark.parametrize(
    ("name", "size"),
    [
        # Gallons by their cubic inches of 16.387064 mL (exact since 1959), as the statutes and tables named in units.txt give them.
        ("us_gallon", 231 * 16.387064), ("ale_gallon", 282 * 16.387064), ("corn_gallon", 268.8 * 16.387064), ("irish_gallon", 217.6 * 16.387064),
        # Half a kilogram by decree: the livre usuelle of 1812, the Zollpfund and the pond.
        ("usuel_livre", 500.0), ("metric_pound", 500.0),
        # Spoons and glasses by the count that the books print.
        ("us_teaspoonful", 231 * 16.387064 / 1024), ("us_dessertspoonful", 231 * 16.387064 / 512), ("us_tablespoonful", 231 * 16.387064 / 256),
        ("us_wineglassful", 231 * 16.387064 / 64), ("us_teacupful", 231 * 16.387064 / 32), ("us_cupful", 231 * 16.387064 / 16),
        ("gb_teaspoonful", 4546.09 / 1280), ("gb_dessertspoonful", 4546.09 / 640), ("gb_tablespoonful", 4546.09 / 320),
        ("gb_wineglassful", 4546.09 / 80), ("gb_teacupful", 4546.09 / 32), ("gb_breakfastcupful", 4546.09 / 16), ("gb_tumblerful", 4546.09 / 16),
        ("stone", 14 * 453.59237), ("long_hundredweight", 112 * 453.59237), ("pennyweight", 31.1034768 / 20), ("dram", 453.59237 / 256),
    ],
)  # fmt: skip
def test_sizes_reckoned_another_way(name, size):
    assert float(exact(name)) == pytest.approx(size, rel=1e-9)
