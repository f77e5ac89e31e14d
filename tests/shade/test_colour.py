"""Colours against published pairs, a measured set of skins, and another library."""

import csv
from collections import Counter
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit import shade
from histkit.base.errors import BadValue
from histkit.shade import Colour

# G. Sharma, W. Wu & E. N. Dalal, Color Res. Appl. 30 (2005) 21, table 1: pairs made to find faults of the formula.
SHARMA = [
    ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
    ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
    ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
    ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
    ((50, -1.1848, -84.8006), (50, 0, -82.7485), 1.0000),
    ((50, 0, 0), (50, -1, 2), 2.3669),
    ((50, 2.4900, -0.0010), (50, -2.4900, 0.0009), 7.1792),
    ((50, 2.5, 0), (73, 25, -18), 27.1492),
    ((50, 2.5, 0), (61, -5, 29), 22.8977),
    ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
    ((63.0109, -31.0961, -5.8663), (62.8187, -29.7946, -4.0864), 1.2630),
    ((6.7747, -0.2908, -2.4247), (5.8714, -0.0985, -2.2286), 0.6377),
    ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
]
lightness, axis = st.floats(0, 100), st.floats(-60, 60)
colours = st.builds(Colour, lightness, axis, axis)


@pytest.mark.parametrize(("one", "other", "difference"), SHARMA)
def test_differences_as_published(one, other, difference):
    assert Colour(*one).difference(Colour(*other)) == pytest.approx(difference, abs=1e-4)


@given(colours, colours)
def test_differences_as_another_library_works_them_out(one, other):
    colour = pytest.importorskip("colour")
    theirs = colour.delta_E((one.lightness, one.a, one.b), (other.lightness, other.a, other.b), method="CIE 2000")
    assert one.difference(other) == pytest.approx(float(theirs), abs=1e-6)


@given(colours)
def test_channels_lead_back_to_the_colour(colour):
    again = Colour.from_channels(colour.channels)
    assert (again.lightness, again.a, again.b) == pytest.approx((colour.lightness, colour.a, colour.b), abs=1e-6)


def test_a_screen_colour_leads_back_to_itself():
    assert Colour.from_hex("#bc9a86").hex == "#bc9a86"
    assert not Colour(50, 100, -100).on_screen


def test_skins_of_the_reference_set_fall_into_their_classes():
    """C. C. Cooksey, D. W. Allen & B. K. Tsai, J. Res. NIST 122 (2017) 26: 100 people; bounds of the classes of Chardon 1991."""
    with (Path(__file__).parent / "skin_colours.csv").open(encoding="utf-8", newline="") as file:
        skins = [Colour(float(r["lightness"]), float(r["a"]), float(r["b"])) for r in csv.DictReader(file)]
    counts = Counter(skin.depth for skin in skins)
    assert counts == {"very light": 18, "light": 63, "intermediate": 10, "tan": 4, "brown": 5}


def test_each_class_holds_the_colour_in_its_midst():
    assert [depth.middle.depth for depth in shade.depths()] == [depth.name for depth in shade.depths()]
    assert all(depth.source for depth in shade.depths())


def test_what_is_no_skin_has_no_angle():
    assert Colour(50, 0, -5).ita is None
    assert Colour(50, 0, -5).depth == ""


@pytest.mark.parametrize("bad", [(-1, 0, 0), (float("nan"), 0, 0), (50, 300, 0), ("50", 0, 0)])
def test_what_is_no_colour_is_refused(bad):
    with pytest.raises(BadValue):
        Colour(*bad)


@pytest.mark.parametrize("text", ["", "#12", "#gggggg", "red"])
def test_what_is_no_screen_colour_is_refused(text):
    with pytest.raises(BadValue, match="six figures"):
        Colour.from_hex(text)
