"""Pressing against what is published or follows by arithmetic; the source stands beside each.

Schlossman and Feldman 1971: J. Soc. Cosmet. Chem. 22:599-614, sample formulas in Tables I, III and VI to IX.
The checks of the models of compaction are arithmetic on made-up values: they prove the formulas, not the values.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from bench_ingredients import as_glossary, made

from histkit.bench.compaction import cake_density, fill_ratio, heckel, kawakita, kawakita_density, porosity, ryshkewitch
from histkit.bench.levels import levels
from histkit.bench.pans import pan_fill
from histkit.bench.pressing import press
from histkit.bench.pressures import gauge_to_mpa, kgf_cm2_to_mpa, mpa_to_psi, pressure_mpa, psi_to_mpa, window_note
from histkit.composing.composition import Composition
from histkit.composing.effects import oil_absorption


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


@pytest.mark.parametrize(
    ("binder", "cake", "low", "high"),
    [
        ("zinc-stearate", "translucent face powder", 1.5, 3),  # Table III
        ("zinc-stearate", "oil-blotting face powder", 5, 5),  # Table I
        ("zinc-stearate", "matte eye shadow", 8, 12),  # Table VIII
        ("zinc-stearate", "frosted eye shadow", 5, 10),  # Table IX
        ("zinc-stearate", "brow cake", 4, 10),  # Table VII
        ("magnesium-stearate", "eyeliner cake", 3, 10),  # Table VI
        ("aluminium-stearate", "eyeliner cake", 3, 6),  # Table VI
        ("kaolin", "translucent face powder", 5, 10),  # Table III
        ("kaolin", "oil-blotting face powder", 35, 35),  # Table I
        ("mineral-oil", "face powder", 3, 5),  # Tables I and III
        ("isopropyl-palmitate", "matte eye shadow", 4, 4),  # Table VIII
        ("squalane", "frosted eye shadow", 5, 5),  # Table IX
    ],
)
def test_levels_of_schlossman_and_feldman_1971(binder: str, cake: str, low: float, high: float) -> None:
    found = [level for level in levels(binder) if level.cake == cake]
    assert len(found) == 1
    assert (100 * found[0].low, 100 * found[0].high) == pytest.approx((low, high))
    assert "Schlossman and Feldman 1971" in found[0].source and found[0].mark == "seen"


class TestBinderOnTheFinishedMass:
    def test_250_grams_of_powder(self) -> None:
        """Arithmetic: 5 % dry binder and 4 % oil of the finished cake make 250 / 0.91 = 274.725 g."""
        powder = Composition.of([("talc", 1)])
        pressed = press(powder, "magnesium-stearate", 0.05, "jojoba-oil", 0.04)
        assert pressed.additions(250) == {
            "magnesium-stearate": pytest.approx(13.736, abs=5e-4),
            "jojoba-oil": pytest.approx(10.989, abs=5e-4),
        }
        assert pressed.cake_grams(250) == pytest.approx(274.725, abs=5e-4)

    def test_100_grams_at_5_per_cent(self) -> None:
        """Arithmetic: 100 × 0.05 / 0.95 = 5.263 g, not 5.000 g."""
        pressed = press(Composition.of([("talc", 1)]), "magnesium-stearate", 0.05, None)
        assert pressed.additions(100)["magnesium-stearate"] == pytest.approx(5.263, abs=5e-4)


class TestCompaction:
    """Arithmetic with made-up values: Py = 60 MPa, A = 0.65; a = 0.65, b = 0.4 1/MPa; sigma0 = 3 MPa, b = 8."""

    @pytest.mark.parametrize(("pressure", "density"), [(0, 0.4780), (1, 0.4866), (5, 0.5197), (10, 0.5581), (50, 0.7731)])
    def test_heckel(self, pressure: float, density: float) -> None:
        assert heckel(pressure, 60, 0.65) == pytest.approx(density, abs=5e-5)

    @pytest.mark.parametrize(("pressure", "loss"), [(1, 0.1857), (5, 0.4333), (10, 0.5200)])
    def test_kawakita(self, pressure: float, loss: float) -> None:
        assert kawakita(pressure, 0.65, 0.4) == pytest.approx(loss, abs=5e-5)
        assert kawakita_density(0.3, pressure, 0.65, 0.4) == pytest.approx(0.3 / (1 - loss), rel=2e-4)

    @pytest.mark.parametrize(("pores", "strength"), [(0.3, 0.2722), (0.45, 0.0820), (0.6, 0.0247)])
    def test_ryshkewitch(self, pores: float, strength: float) -> None:
        assert ryshkewitch(3, 8, pores) == pytest.approx(strength, abs=5e-5)

    def test_fill_ratio(self) -> None:
        assert fill_ratio(0.45, 1.20) == pytest.approx(2.667, abs=5e-4)

    def test_porosity_of_a_made_up_blend(self) -> None:
        """60 A 2.70, 25 B 2.50, 5 C 1.10, 5 oil 0.85, 5 D 4.0: true 2.2779 g/cm3; a cake of 1.25 has pores of 0.4512."""
        solids = [
            (made(key, "mineral", "powder", "bulk", true_density=value), grams)
            for key, value, grams in (("a", 2.70, 60), ("b", 2.50, 25), ("c", 1.10, 5), ("d", 4.0, 5))
        ]
        oil = made("oil", "fixed-oil", "liquid", "emollient", density=0.85)
        true = cake_density(Composition.of([*solids, (oil, 5)])).true
        assert true is not None and true.best == pytest.approx(2.2779, abs=5e-5)
        assert porosity(1.25, true.best) == pytest.approx(0.4512, abs=5e-5)

    def test_oil_demand_of_a_made_up_blend(self) -> None:
        """60 A 30, 25 B 45, 5 D 20, 10 C 90: 39.25 g for 100 g; 5 g are 12.7 % of it."""
        solids = [
            (made(key, "mineral", "powder", "bulk", oil_absorption=value), grams)
            for key, value, grams in (("a", 30, 60), ("b", 45, 25), ("d", 20, 5), ("c", 90, 10))
        ]
        value = oil_absorption(Composition.of(solids)).value
        assert value is not None and value.best == pytest.approx(39.25)
        assert 5 / value.best == pytest.approx(0.127, abs=5e-4)


class TestPressure:
    @pytest.mark.parametrize(("psi", "mpa"), [(300, 2.068), (1000, 6.895), (2000, 13.790)])
    def test_psi(self, psi: float, mpa: float) -> None:
        """Arithmetic: × 0.00689476."""
        assert psi_to_mpa(psi) == pytest.approx(mpa, abs=5e-4)
        assert mpa_to_psi(psi_to_mpa(psi)) == pytest.approx(psi)

    @pytest.mark.parametrize(("kgf", "mpa"), [(10, 0.981), (50, 4.903), (100, 9.807)])
    def test_kgf_on_a_square_centimetre(self, kgf: float, mpa: float) -> None:
        """Arithmetic: × 0.0980665."""
        assert kgf_cm2_to_mpa(kgf) == pytest.approx(mpa, abs=5e-4)

    def test_gauge(self) -> None:
        """Arithmetic: a ram of 40 mm at 50 bar on a punch of 36.5 mm gives 6.005 MPa."""
        assert gauge_to_mpa(50, 40, 36.5) == pytest.approx(6.005, abs=5e-4)

    @pytest.mark.parametrize(
        ("newton", "diameter", "mpa"),
        [(100, 26, 0.19), (200, 26, 0.38), (600, 26, 1.13), (9800, 26, 18.5), (9800, 36.5, 9.4), (9800, 59, 3.6), (1500, 26, 2.8)],
    )
    def test_force_over_area(self, newton: float, diameter: float, mpa: float) -> None:
        assert pressure_mpa(newton, diameter) == pytest.approx(mpa, rel=0.02)

    def test_the_published_window(self) -> None:
        """300 to 2000 psi: Cosmetics & Toiletries, March 2022, paper on binders for pressed powders (IFSCC 2020)."""
        assert window_note(psi_to_mpa(1000)).startswith("within 2.07 to 13.8 MPa")
        assert window_note(psi_to_mpa(200)).startswith("below")
        assert window_note(psi_to_mpa(2500)).startswith("above")


@pytest.mark.parametrize(
    ("diameter", "depth", "density", "grams"),
    [
        (26, 4, 1.2, 2.548),  # geometry: 5.309 cm2 × 0.40 cm × 1.2
        (26, 3, 1.0, 1.593),
        (26, 3.5, 1.2, 2.230),
        (36.5, 4, 1.2, 5.02),
        (59, 4, 1.2, 13.12),
    ],
)
def test_pan_fills(diameter: float, depth: float, density: float, grams: float) -> None:
    filled = pan_fill(Composition.of([("talc", 1)]), diameter, depth, density_g_cm3=density)
    assert filled == pytest.approx(grams, rel=1e-3)
    assert filled == pytest.approx(math.pi / 4 * diameter**2 * depth * density / 1000)
