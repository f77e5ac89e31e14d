"""Mixing against published worked examples, and against mixtures of measured paints worked out elsewhere."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_paints import painted, paints

from histkit.base.errors import BadValue
from histkit.shade import Colour, Slopes
from histkit.shade.mixing import Surface, mixed, ratio, reflectance

# Absorption and scattering of three acrylic paints, 380 to 750 nm (public repository joeedh/pigment-painter, its table with
# k1 0.03 and k2 0.65); the colours were worked out with colour-science alone, outside of this project, D65, 2 degrees.
MIXTURES = [
    ({"white": 1.0}, (99.39, -0.66, 0.35)),
    ({"blue": 1.0}, (23.07, 20.41, -32.35)),
    ({"black": 1.0}, (24.71, 0.01, -0.63)),
    ({"white": 0.9, "blue": 0.1}, (79.94, 1.77, -25.57)),
    ({"white": 0.99, "black": 0.01}, (93.09, -0.50, -0.59)),
    ({"white": 0.95, "black": 0.05}, (85.86, -0.57, -1.58)),
]


@pytest.mark.parametrize(("shares", "colour"), MIXTURES)
def test_paints_mix_as_worked_out_elsewhere(shares, colour):
    made = painted(**{name: share for name, share in shares.items() if name != "white"})
    assert (made.lightness, made.a, made.b) == pytest.approx(colour, abs=0.02)


def test_the_worked_example_of_cosmetic_pigments_in_white():
    """J. Soc. Cosmet. Chem. 17 (1966) 334: 0.5 % red oxide, 0.5 % yellow, 0.2 % ultramarine in titanium dioxide at 500 nm."""
    of_one_per_cent = {"red": 1.128, "yellow": 0.389, "blue": 0.062}
    white = 0.012
    ks = 0.5 * of_one_per_cent["red"] + 0.5 * of_one_per_cent["yellow"] + 0.2 * of_one_per_cent["blue"] + white
    assert ks == pytest.approx(0.782, abs=0.002)
    assert float(reflectance(0.782)) == pytest.approx(0.307, abs=0.0005)
    assert float(ratio(0.307)) == pytest.approx(0.782, abs=0.002)


def test_the_worked_correction_of_a_face_powder():
    """J. Soc. Cosmet. Chem. 27 (1976) 41, example 3: from the measured slopes of yellow and brown to +5 % yellow, +85 % brown."""
    slopes = Slopes((("yellow", (-0.2 / 5, 0, 0.3 / 5)), ("brown", (-1.0 / 85, 0, 0))), "per cent of what is in it")
    now, standard = Colour(74.8, 9.2, 12.8), Colour(73.6, 9.3, 13.1)
    correction = slopes.correction(now, standard)
    assert correction == pytest.approx({"yellow": 5.0, "brown": 85.0}, rel=0.02)
    printed = Colour(73.2, 9.3, 13.2)  # what was measured after it; the paper calls it a good match
    assert slopes.after(now, correction).difference(printed) < 0.5


def test_slopes_of_the_measured_batches_of_the_same_paper():
    """The same page, example 4: base, then red, then brown, one after the other."""
    batches = [
        ({}, Colour(72.9, 9.4, 14.2)),
        ({"base": 40}, Colour(75.6, 8.1, 12.8)),
        ({"base": 40, "red": 25}, Colour(74.7, 9.5, 12.9)),
        ({"base": 40, "red": 25, "brown": 150}, Colour(73.2, 9.3, 12.9)),
    ]
    slopes = dict(Slopes.measured(batches).steps)
    assert slopes["base"] == pytest.approx((2.7 / 40, -1.3 / 40, -1.4 / 40))
    assert slopes["red"] == pytest.approx((-0.9 / 25, 1.4 / 25, 0.1 / 25))
    assert slopes["brown"] == pytest.approx((-1.5 / 150, -0.2 / 150, 0.0), abs=1e-12)


def test_two_additions_at_once_have_no_slope():
    with pytest.raises(BadValue, match="one thing"):
        Slopes.measured([({}, Colour(70, 5, 10)), ({"red": 1, "black": 1}, Colour(69, 6, 10))])
    with pytest.raises(BadValue, match="measured yet"):
        Slopes(()).correction(Colour(70, 5, 10), Colour(69, 5, 10))


@given(st.floats(0.01, 0.99), st.floats(0, 0.1), st.floats(0, 0.8))
def test_there_and_back(value, outside, inside):
    surface = Surface(outside, inside)
    assert float(reflectance(ratio(value))) == pytest.approx(value, abs=1e-6)
    assert float(surface.within(surface.seen(value))) == pytest.approx(value, abs=1e-6)


@given(st.floats(0.001, 0.5), st.floats(0.001, 0.5))
def test_more_colour_is_darker(less, more):
    _, absorbs, scatters = paints()
    low, high = sorted((less, more))
    pale = mixed({"white": 1 - low, "black": low}, absorbs, scatters)
    deep = mixed({"white": 1 - high, "black": high}, absorbs, scatters)
    assert (deep <= pale + 1e-12).all()


def test_what_cannot_be_mixed_is_refused():
    _, absorbs, scatters = paints()
    with pytest.raises(BadValue, match="green"):
        mixed({"green": 1.0}, absorbs, scatters)
    with pytest.raises(BadValue, match="shares"):
        mixed({"white": 0.0}, absorbs, scatters)
