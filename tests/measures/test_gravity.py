"""Specific gravity and density."""

import chemicals
import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.errors import BadValue
from histkit.measures import grams_to_millilitres, gravity, millilitres_to_grams
from histkit.model import Spread

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
