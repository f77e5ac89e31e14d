"""Soap that forms in a powder, by fractions of the atomic weights."""

from __future__ import annotations

from fractions import Fraction

import pytest

from histkit.base.bibliography import sourced
from histkit.bench.pressing import press
from histkit.bench.soaps import soaps_formed
from histkit.composing.composition import Composition

ATOMS = {"C": Fraction("12.011"), "H": Fraction("1.008"), "O": Fraction("15.999"), "N": Fraction("14.007")}
ATOMS |= {"Na": Fraction("22.990"), "K": Fraction("39.098")}
STEARIC = 18 * ATOMS["C"] + 36 * ATOMS["H"] + 2 * ATOMS["O"]
OLEIC = STEARIC - 2 * ATOMS["H"]
AMINE = 6 * ATOMS["C"] + 15 * ATOMS["H"] + ATOMS["N"] + 3 * ATOMS["O"]
WATER = 2 * ATOMS["H"] + ATOMS["O"]
GAS = ATOMS["C"] + 2 * ATOMS["O"]
ALKALIS = {
    "triethanolamine": (AMINE, Fraction(0)),
    "sodium-hydroxide": (ATOMS["Na"] + ATOMS["O"] + ATOMS["H"], WATER),
    "potassium-hydroxide": (ATOMS["K"] + ATOMS["O"] + ATOMS["H"], WATER),
    "sodium-carbonate": (ATOMS["Na"] + (ATOMS["C"] + 3 * ATOMS["O"]) / 2, (WATER + GAS) / 2),
    "potassium-carbonate": (ATOMS["K"] + (ATOMS["C"] + 3 * ATOMS["O"]) / 2, (WATER + GAS) / 2),
}


def test_the_table_is_that_of_the_atomic_weights() -> None:
    rows = sourced("bench/soaps")
    for row in rows:
        alkali, freed = ALKALIS[row["alkali"]]
        acid = {"stearic-acid": STEARIC, "oleic-acid": OLEIC}[row["acid"]]
        printed = [Fraction(row[column]) for column in ("acid_equivalent", "alkali_equivalent", "freed")]
        assert [float(p) for p in printed] == pytest.approx([float(acid), float(alkali), float(freed)], abs=0.02)
    assert {row["alkali"] for row in rows} == set(ALKALIS)


@pytest.mark.parametrize("alkali", ALKALIS)
@pytest.mark.parametrize("grams", [0.2, 1.0, 4.0])
def test_mass_adds_up(alkali: str, grams: float) -> None:
    """Acid and alkali are soap, what is freed and what is left; one of the two is used up."""
    cake = Composition.of([("talc", 80), ("stearic-acid", 6), (alkali, grams)])
    (soap,) = soaps_formed(cake)
    equivalent, freed = ALKALIS[alkali]
    whole = Fraction(86) + Fraction(str(grams))
    moles = min(Fraction(6) / STEARIC, Fraction(str(grams)) / equivalent)
    assert soap.share == pytest.approx(float(moles * (STEARIC + equivalent - freed) / whole), rel=2e-4)
    gone = soap.acid_share + soap.alkali_share - soap.acid_left - soap.alkali_left - soap.share
    assert gone == pytest.approx(float(moles * freed / whole), abs=1e-6)
    assert min(soap.acid_left, soap.alkali_left) == pytest.approx(0, abs=1e-9)


def test_it_is_told_and_counts_as_a_binder() -> None:
    """10 g of stearic acid take 5.24 g of the amine: 5 g leave 0.466 g of the acid free and make 14.53 g of 100."""
    pressed = press(Composition.of([("talc", 85), ("stearic-acid", 10), ("triethanolamine", 5)]), None, oil=None)
    (note,) = [n for n in pressed.notes if "triethanolamine stearate" in n]
    assert "make 14.5 % of triethanolamine stearate" in note and "0.47 % of stearic acid stays free" in note
    assert not any("Nothing in it binds" in w or "caustic" in w for w in pressed.warnings)


def test_free_alkali_is_told() -> None:
    pressed = press(Composition.of([("talc", 90), ("stearic-acid", 5), ("triethanolamine", 5)]), None, oil=None)
    (told,) = [w for w in pressed.warnings if "caustic" in w]
    assert "2.4 % of triethanolamine stays free" in told and "1 g of stearic acid takes 0.524 g" in told and "assessor" in told


def test_an_acid_alone_makes_no_soap() -> None:
    assert soaps_formed(Composition.of([("talc", 90), ("stearic-acid", 10)])) == ()
