"""Colour extensions and rows of tests: the masses add up, and the balance can weigh all of it."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

import histkit as hk
from histkit.base.errors import BadValue, UnknownName
from histkit.shade import Colour, Extension, depths, row_of_tests, starting_point

DEPTHS = [depth.name for depth in depths()]


def test_five_milligrams_of_carmine():
    """The sum by hand: 0.005 g in an extension of 1 % is 0.5 g, of which 0.495 g is talc."""
    extension = Extension("carmine", "talc", 0.01)
    assert extension.grams_for(0.005) == pytest.approx(0.5)
    assert extension.base_in(0.5) == pytest.approx(0.495)


@given(st.floats(0.01, 0.5), st.floats(25, 500))
def test_what_is_ground_adds_up(share, grams):
    extension = Extension("iron-oxide-red", "talc", share)
    pigment, base = extension.to_make(grams)
    assert pigment + base == pytest.approx(grams, abs=0.02 / share)
    assert pigment / (pigment + base) == pytest.approx(share, abs=0.01 / grams + 1e-9)
    last = [words for words in extension.steps(grams) if "mortar holds" in words][-1]
    assert float(re.search(r"holds ([\d.]+) g", last)[1]) == pytest.approx(pigment + base, abs=1e-6)


def test_too_little_for_the_balance_says_how_much_to_make():
    with pytest.raises(BadValue, match="make 20 g or more"):
        Extension("carmine", "talc", 0.01).to_make(5, hk.Balance(readability=0.01, minimum=0.2))


@pytest.mark.parametrize("share", [0, 0.6, float("nan"), "a fifth"])
def test_a_share_that_is_no_extension_is_refused(share):
    with pytest.raises(BadValue, match="holds 1% to 50%"):
        Extension("carmine", "talc", share)


def test_extensions_are_of_two_known_powders():
    with pytest.raises(UnknownName):
        Extension("moonshine")
    with pytest.raises(BadValue, match="dry powders"):
        Extension("carmine", "glycerin")
    with pytest.raises(BadValue, match="two different"):
        Extension("talc", "talc")


def test_starting_points_grow_deeper_and_keep_their_proportion():
    starts = [starting_point(name) for name in DEPTHS]
    colour = [sum(load.best for _, load in start.colours) for start in starts]
    assert colour == sorted(colour)
    for start in starts[1:]:
        yellow, red, black = (load.best / sum(x.best for _, x in start.colours) for _, load in start.colours)
        # the usual proportion of the oxides: 55 to 70, 20 to 30, 3 to 15 parts (common practice, no source), with a little room
        assert 0.5 <= yellow <= 0.72
        assert 0.18 <= red <= 0.32
        assert 0.02 <= black <= 0.19
    assert all(sum(load.high for _, load in start.colours) < 20 for start in starts)


def test_a_measured_skin_finds_its_starting_point():
    assert starting_point(Colour(57.1, 11, 20.6)).name == "tan"
    with pytest.raises(BadValue, match="no colour of skin"):
        starting_point(Colour(57, 0, -3))
    with pytest.raises(BadValue, match="very light, light"):
        starting_point("beige")


@given(
    st.tuples(st.sampled_from(DEPTHS), st.sampled_from(DEPTHS)).filter(lambda pair: pair[0] != pair[1]),
    st.integers(2, 6),
    st.sampled_from([0.001, 0.01, 0.1]),
    st.floats(2, 20),
)
def test_a_row_can_be_weighed_and_holds_what_it_says(ends, count, readability, grams):
    balance = hk.Balance(readability=readability, minimum=20 * readability)
    try:
        row = row_of_tests(*ends, count=count, grams=round(grams, 1), balance=balance)
    except BadValue as refusal:
        assert "trusted with" in str(refusal)
        return
    for master, side in ((row.pale, 0), (row.deep, 1)):
        assert all(weighed >= balance.minimum - 1e-9 for _, weighed in master.weighings)
        assert master.base_grams >= 0
        assert master.grams >= sum(mixture[side] for mixture in row.mixtures)
        for extension, weighed in master.weighings:
            load = 100 * extension.share * weighed / master.grams
            printed = dict(master.start.parts)[extension.pigment].best
            assert load == pytest.approx(printed, abs=100 * extension.share * readability / master.grams + 1e-9)
    for mixture, start in zip(row.mixtures, row.starts, strict=True):
        assert sum(mixture) == pytest.approx(round(grams, 1))
        share = mixture[1] / sum(mixture)
        for key, load in start.parts:
            pale, deep = (dict(m.start.parts)[key].best for m in (row.pale, row.deep))
            assert load.best == pytest.approx(pale * (1 - share) + deep * share)


def test_a_row_is_drawn_with_its_patches(tmp_path):
    row = row_of_tests("light", "tan", 4)
    (path,) = [p for p in row.to_picture(tmp_path / "row.png", size=(960, 540)) if p.suffix == ".png"]
    with Image.open(path) as drawn:
        assert drawn.size == (960, 540)
        colours = {f"#{r:02x}{g:02x}{b:02x}" for _, (r, g, b) in drawn.convert("RGB").getcolors(10**6)}
    assert {start.looks.hex for start in row.starts} <= colours
    assert "Test 4: titanium dioxide 3 %" in " ".join(row.describe().spoken.lines)


def test_a_row_of_impossible_tests_is_refused():
    with pytest.raises(BadValue, match="2 to 12"):
        row_of_tests("light", "dark", 1)
    with pytest.raises(BadValue, match="both are tan"):
        row_of_tests("tan", "tan")
    with pytest.raises(BadValue, match="make tests of 0.8 g or more"):
        row_of_tests("light", "dark", 5, grams=0.5)
