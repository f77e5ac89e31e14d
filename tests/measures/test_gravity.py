"""Specific gravity and density."""

import chemicals
import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.measures import grams_to_millilitres, gravity, millilitres_to_grams

positive = st.floats(0.01, 1000)


@pytest.mark.parametrize("celsius", [4, 10, 15, 15.56, 20, 25, 35])
def test_water_against_the_international_equation_of_state(celsius):
    # IAPWS-95 as the package `chemicals` computes it, at one atmosphere
    assert gravity.water_density(celsius) == pytest.approx(chemicals.iapws95_rho(celsius + 273.15, 101325) / 1000, abs=1e-5)


@given(positive, positive)
def test_there_and_back(value, density):
    assert grams_to_millilitres(millilitres_to_grams(value, density), density) == pytest.approx(value)
    assert gravity.specific_gravity_of(gravity.density_of(density)) == pytest.approx(density)


def test_spreads_pass_through():
    assert millilitres_to_grams(Spread(1, 2, 3), 2.0) == Spread(2, 4, 6)
    assert millilitres_to_grams(2.0, Spread(0.8, 0.9, 1.0)) == Spread(1.6, 1.8, 2.0)
    assert millilitres_to_grams(Spread(1, 2, 3), Spread(1, 1, 2)) == Spread(1, 2, 6)


@pytest.mark.parametrize(
    "call",
    [
        lambda: millilitres_to_grams(1, 0),
        lambda: grams_to_millilitres(1, -1),
        lambda: gravity.specific_gravity(0, 1),
        lambda: gravity.pycnometer(100, 90, 120),
        lambda: gravity.pycnometer(100, 150, 100),
        lambda: gravity.density_of(float("nan")),
    ],
)
def test_nonsense_is_refused(call):
    with pytest.raises(BadValue):
        call()


@pytest.mark.parametrize(
    ("call", "told"),
    [
        (lambda: gravity.density_of(0), "a specific gravity is above zero, not 0"),
        (lambda: gravity.specific_gravity_of(-1), "a density is above zero, not -1"),
        (lambda: millilitres_to_grams(1, 0), "a density is above zero, not 0"),
        (lambda: grams_to_millilitres(1, 0), "a density is above zero, not 0"),
        (lambda: gravity.specific_gravity(0, 1), "a mass is above zero, not 0"),
        (lambda: gravity.specific_gravity(1, 0), "a volume is above zero, not 0"),
        (lambda: gravity.pycnometer(100, 100, 120), "the bottle must weigh more full than empty: check which weighing is which"),
    ],
)
def test_a_refusal_names_what_is_wrong(call, told):
    with pytest.raises(BadValue) as caught:
        call()
    assert str(caught.value) == told


def test_water_at_the_usual_temperature_of_the_books():
    """Water weighs 0.999016 g/mL at 60 F, which is taken where nothing is said (API MPMS chapter 11, memory)."""
    assert gravity.water_density() == pytest.approx(0.999016, abs=2e-5)
    assert gravity.density_of(1.26) == pytest.approx(1.26 * 0.999016, abs=3e-5) and gravity.specific_gravity_of(0.999016) == pytest.approx(1, abs=2e-5)
