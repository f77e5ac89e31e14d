"""Predictions from three channels of swatches, against mixtures whose true colour is known by their whole spectrum."""

import random

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_paints import PAINT_SURFACE, painted

from histkit.base.errors import BadValue
from histkit.shade import Colour, Extension, Study, Swatch

BLUE, BLACK = "ultramarine", "iron-oxide-black"  # the paints stand in for powders of the glossary
PAINT_OF = {BLUE: "blue", BLACK: "black"}


def swatch(name, noise=None, error=0.01, **of):
    """A swatch of the paints as a camera sees it: each channel off by a random share where `noise` is given."""
    shares = {key: of[paint] for key, paint in PAINT_OF.items() if of.get(paint)}
    seen = [max(0.0, min(1.0, c)) for c in painted(**of).channels]
    if noise is not None:
        seen = [min(1.0, c * (1 + noise.gauss(0, error))) for c in seen]
    return Swatch(name, tuple(seen), tuple(shares.items()), error)


def study(noise=None, error=0.01):
    tints = [swatch(f"blue {s}", noise, error, blue=s) for s in (0.02, 0.1)]
    tints += [swatch(f"black {s}", noise, error, black=s) for s in (0.02, 0.07)]
    return Study(swatch("base", noise, error), tuple(tints), PAINT_SURFACE)


@pytest.mark.parametrize(("blue", "black"), [(0.03, 0.0), (0.0, 0.01), (0.03, 0.01), (0.06, 0.03), (0.01, 0.05)])
def test_a_blend_below_a_tenth_of_pigment_is_foreseen(blue, black):
    found = study().predict({BLUE: blue, BLACK: black})
    assert found.colour.difference(painted(blue=blue, black=black)) < 1.2
    assert not found.warnings


def test_the_spread_holds_the_truth_in_nine_of_ten_simulated_cameras():
    noise = random.Random(1931)
    held = 0
    for _ in range(100):
        shares = {BLUE: noise.uniform(0.005, 0.06), BLACK: noise.uniform(0.002, 0.03)}
        found = study(noise, 0.015).predict(shares)
        held += found.colour.difference(painted(blue=shares[BLUE], black=shares[BLACK])) <= found.within
    assert held >= 90


def test_a_blend_comes_to_its_target_in_two_additions():
    """As a maker does it: half the way, a new swatch, and the rest."""
    target, powder = painted(blue=0.035, black=0.012), 20.0
    in_it = {BLUE: 0.01, BLACK: 0.0}
    foreseen = study()
    extensions = [Extension(BLUE, share=0.2), Extension(BLACK, share=0.2)]
    for part in (0.5, 1.0):
        now = swatch("now", blue=in_it[BLUE], black=in_it[BLACK])
        addition = foreseen.next_addition(now, target, powder, extensions, part)
        grown = powder + sum(grams for _, grams in addition.grams)
        for extension, (_, grams) in zip(extensions, addition.grams, strict=True):
            in_it[extension.pigment] = (in_it[extension.pigment] * powder + extension.share * grams) / grown
        powder = grown
    assert painted(blue=in_it[BLUE], black=in_it[BLACK]).difference(target) < 1.0


def test_what_is_darker_than_the_target_is_told_to_take_more_base():
    now = swatch("now", black=0.05)
    addition = study().next_addition(now, painted(black=0.01), 20.0, [Extension(BLACK)])
    assert dict(addition.grams)[Extension(BLACK).name] == pytest.approx(0.0, abs=1e-6)
    assert any("never paler" in note for note in addition.notes)


def test_a_target_that_is_no_shade_of_these_is_said():
    addition = study().next_addition(swatch("now", black=0.005), Colour(70, 40, 40), 20.0, [Extension(BLUE), Extension(BLACK)])
    assert addition.reached > 5
    assert any("another pigment" in note for note in addition.notes)


def test_too_much_pigment_and_beyond_the_swatches_is_warned_of():
    assert any("more than the 10%" in words for words in study().predict({BLUE: 0.09, BLACK: 0.03}).warnings)
    only_pale = Study(swatch("base"), (swatch("2 %", blue=0.02),), PAINT_SURFACE)
    assert any("no swatch has more" in words for words in only_pale.predict({BLUE: 0.06}).warnings)


@given(st.floats(0.001, 0.05), st.floats(0.001, 0.05))
def test_more_of_a_pigment_is_darker(one, other):
    less, more = sorted((one, other))
    known = study()
    assert known.predict({BLACK: more}).colour.lightness <= known.predict({BLACK: less}).colour.lightness + 1e-9


def test_one_tint_alone_gives_a_wider_spread_than_two():
    two = study().predict({BLUE: 0.03}).within
    one = Study(swatch("base"), (swatch("2 %", blue=0.02),), PAINT_SURFACE).predict({BLUE: 0.03}).within
    assert one > two


@pytest.mark.parametrize(
    ("wrong", "words"),
    [
        (lambda: Study(swatch("base"), ()), "tint for each pigment"),
        (lambda: Study(swatch("base"), (swatch("both", blue=0.02, black=0.02),)), "one pigment"),
        (lambda: Study(swatch("base"), (swatch("strong", blue=0.2),)), "too much"),
        (lambda: study().predict({"carmine": 0.01}), "no tint of carmine"),
        (lambda: study().predict({BLUE: -0.01}), "from 0 to 0.5"),
        (lambda: study().next_addition(swatch("now"), Colour(80, 0, 0), 20, []), "one at least"),
        (lambda: study().next_addition(swatch("now"), Colour(80, 0, 0), 20, [Extension(BLUE)], 0), "part of the way"),
        (lambda: Swatch("none", (0.5, 0.5)), "three or more"),
        (lambda: Swatch("odd", (0.5, 0.5, float("nan"))), "numbers from 0 to 1"),
    ],
)
def test_what_cannot_be_meant_is_refused(wrong, words):
    with pytest.raises(BadValue, match=words):
        wrong()
