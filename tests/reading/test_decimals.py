"""Figures without a unit: grams where they have a decimal comma, no pieces of what comes in none. All formulas are invented.

That German prescriptions print grams so, without the g: Ewald and Lüdecke, Handbuch der allgemeinen und speciellen
Arzneiverordnungslehre (1883), and Altmeyers Enzyklopädie, 'Praescriptio' (read in 2026).
"""

import pytest

import histkit as hk

NO_UNIT = "No unit is printed"


def units(text):
    return [line.unit for line in hk.read(text).lines]


@pytest.mark.parametrize(
    "text",
    [
        "Zinkoxyd 10,0\nTalcum 20,0\nRosenöl gtt. V\nVeilchenwurzel 2,5",
        "10,0 Zinkoxyd\n20,0 Talcum\n5 Tropfen Rosenöl\n2,5 Veilchenwurzel",
    ],
)
def test_a_decimal_comma_without_a_unit_means_grams_and_says_so(text):
    lines = hk.read(text).lines
    assert [(line.amount, line.unit) for line in lines] == [(10, "gram"), (20, "gram"), (5, "drop"), (2.5, "gram")]
    assert all(NO_UNIT in lines[i].doubts[0].text and lines[i].doubts[0].others == ("parts, in the proportions printed",) for i in (0, 1, 3))


def test_a_total_goes_with_them():
    line = hk.read("Salicylsäure 2,0\nWeingeist ad 100,0").lines[1]
    assert line.to_make == (100, "gram")


@pytest.mark.parametrize(
    "text",
    [
        "Zinc oxide 10\nTalc 20,5",  # one figure has no comma: a part is a part
        "Zinc oxide 10.0\nTalc 20.5",  # a point says nothing of the Continent
        "Zinkoxyd 10 Th.\nTalcum 20,5",  # parts are printed
        "Zinc oxide 1,000\nTalc 2,000",  # thousands
    ],
)
def test_anything_else_stays_in_parts(text):
    assert set(units(text)) == {"part"}


@pytest.mark.parametrize("text", ["100 Talc\n50 Starch\n2 oil of bergamot", "10.0 Talc\n5.5 Starch\n0.5 oil of bergamot"])
def test_nobody_takes_pieces_of_a_powder_or_a_liquid(text):
    lines = hk.read(text).lines
    assert {line.unit for line in lines} == {"part"}
    assert any(NO_UNIT in doubt.text for line in lines for doubt in line.doubts)


def test_pieces_stay_pieces():
    assert units("3 eggs\n2 lemons\n12 cloves\none nutmeg") == ["piece"] * 4


def test_a_comma_behind_a_decimal_figure_is_none_of_its_own():
    lines = hk.read("Talcum 12,5, Zinkoxyd 11,25, Weizenstärke 3,75.").lines
    assert [(line.amount, line.unit) for line in lines] == [(12.5, "gram"), (11.25, "gram"), (3.75, "gram")]


@pytest.mark.parametrize(
    ("text", "amounts"),
    [
        ("Weingeist 90 % 500,0\nRosenöl 5,0", [("Weingeist 90 %", 500.0), ("Rosenöl", 5.0)]),
        ("Spiritus (90 %) 500,0\nRosenöl 5,0", [("Spiritus (90 %)", 500.0), ("Rosenöl", 5.0)]),
        ("℞ Zinci oxydati 5,0 Amyli 10,0 Vaselini flavi 25,0.", [("Zinci oxydati", 5), ("Amyli", 10), ("Vaselini flavi", 25)]),
        ("Borax 2,5 % in Rosenwasser", [("Borax", 2.5)]),
    ],
)
def test_a_strength_is_no_amount_and_rows_on_one_line_are_apart(text, amounts):
    """Fault: the share was the amount, and '500,0' stood in no line; three rows were one."""
    found = [(line.ingredient, line.amount) for line in hk.read(text, source=hk.Source(country="DE", year=1890)).lines]
    assert found[: len(amounts)] == amounts
