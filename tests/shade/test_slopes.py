"""Measured slopes beyond the paper's own figures (those stand in test_mixing): several additions at once, and the way home."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from measured_paints import painted

from histkit.base.errors import BadValue
from histkit.keeping.shades import GroundIn, KeptSwatch, after_grinding, measured_slopes, next_by_batches
from histkit.shade import Colour, Slopes

BLUE, BLACK = "ultramarine", "iron-oxide-black"  # the paints stand in for powders of the glossary
NAMES = {BLUE: "ultramarine, 20 % in talc", BLACK: "black iron oxide, 20 % in talc"}


def seen(**of):
    return tuple(max(0.0, min(1.0, c)) for c in painted(**of).channels)


def powder(name, blue, black, added=(), into=100.0):
    pigments = tuple((key, share) for key, share in ((BLUE, blue), (BLACK, black)) if share)
    return KeptSwatch(name, "powder", seen(blue=blue, black=black), pigments, 0.01, added, into)


def study():
    tints = [KeptSwatch(f"blue {s}", "tint", seen(blue=s), ((BLUE, s),)) for s in (0.02, 0.1)]
    tints += [KeptSwatch(f"black {s}", "tint", seen(black=s), ((BLACK, s),)) for s in (0.02, 0.07)]
    return (KeptSwatch("base", "base", seen()), *tints)


TARGET = KeptSwatch("target", "target", seen(blue=0.035, black=0.012))


@given(st.floats(-2, 2), st.floats(-2, 2), st.floats(0.1, 3), st.floats(0.1, 3))
def test_what_two_did_together_is_accounted_for(up, over, one, two):
    """Whatever came of it: the slopes that are learned foresee that step exactly."""
    slopes = Slopes((("a", (-1.0, 0.5, 0.2)), ("b", (0.1, -0.2, 1.0))))
    was, became = Colour(60, 5, 10), Colour(60 + up, 5 + over, 10 - up)
    learned = slopes.learned({"a": one, "b": two}, was, became)
    assert learned.after(was, {"a": one, "b": two}).axes == pytest.approx(became.axes, abs=1e-9)


def test_what_two_did_is_shared_by_what_each_was_expected_to_do():
    slopes = Slopes((("strong", (-10.0, 0.0, 0.0)), ("weak", (-1.0, 0.0, 0.0)))).learned(
        {"strong": 1.0, "weak": 1.0}, Colour(60, 0, 0), Colour(48, 0, 0)
    )
    after = dict(slopes.steps)
    assert after["strong"][0] + after["weak"][0] == pytest.approx(-12)
    assert after["strong"][0] == pytest.approx(-10 - 100 / 101) and after["weak"][0] == pytest.approx(-1 - 1 / 101)


def test_two_unknown_things_at_once_are_refused_and_named():
    with pytest.raises(BadValue, match="here: black"):
        Slopes((("red", (-1.0, 1.0, 0.0)),)).learned({"red": 1, "black": 1}, Colour(60, 0, 0), Colour(50, 0, 0))
    with pytest.raises(BadValue, match="here: nothing"):
        Slopes(()).learned({}, Colour(60, 0, 0), Colour(50, 0, 0))


def batches(with_study, rounds):
    """A maker's rounds: half the way, then all of it, each time as proposed, with the truth worked out by the paints' spectra."""
    kept = [*(study() if with_study else ()), powder("first", 0.01, 0.0), TARGET]
    grams = 20.0
    if not with_study:  # each alone once, a little
        for n, key in enumerate((BLUE, BLACK)):
            kept, grams = ground(kept, grams, [GroundIn(key, 0.2, 0.2)], f"alone {n}")
    else:
        kept, grams = ground(kept, grams, [GroundIn(BLUE, 0.6, 0.2), GroundIn(BLACK, 0.3, 0.2)], "both")
    for part in rounds:
        addition = next_by_batches(kept, grams, part)
        names = {name: key for key, name in NAMES.items()}
        kept, grams = ground(kept, grams, [GroundIn(names[n], g, 0.2) for n, g in addition.grams if g > 1e-9], f"part {part}")
    return kept, grams


def ground(kept, grams, added, name):
    last = next(s for s in reversed(kept) if s.role == "powder")
    now = dict(after_grinding(last, added, grams))
    swatch = powder(name, now.get(BLUE, 0.0), now.get(BLACK, 0.0), tuple(added), grams)
    return [*kept, swatch], grams + sum(a.grams for a in added)


@pytest.mark.parametrize("with_study", [True, False])
def test_a_powder_comes_to_its_target_by_its_own_batches(with_study):
    kept, _ = batches(with_study, (0.5, 1.0, 1.0))
    assert kept[-1].swatch().colour.difference(TARGET.swatch().colour) < 1.0


def test_pigment_is_counted_through_the_additions_by_hand():
    """20 g with 1 % of blue and 5 g of an extension of 20 % black: 0.2 g and 1 g in 25 g."""
    before = KeptSwatch("now", "powder", (0.5, 0.5, 0.5), ((BLUE, 0.01),))
    assert after_grinding(before, [GroundIn(BLACK, 5, 0.2)], 20) == ((BLUE, pytest.approx(0.008)), (BLACK, pytest.approx(0.04)))
    assert after_grinding(before, [GroundIn("talc", 20)], 20) == ((BLUE, pytest.approx(0.005)),)


def test_more_base_is_measured_and_makes_it_paler():
    first = powder("first", 0.03, 0.02)
    second = powder("second", 0.03 * 20 / 22, 0.02 * 20 / 22, (GroundIn("talc", 2.0),), 20.0)
    target = KeptSwatch("target", "target", seen(blue=0.02, black=0.0133))
    addition = next_by_batches((first, second, target), 22, 1.0)
    assert dict(addition.grams)["talc"] > 2
    assert addition.reached < addition.gap / 2


def test_what_was_never_added_comes_from_the_swatches_and_is_told():
    kept = (*study(), powder("first", 0.01, 0.0), powder("second", 0.02, 0.0, (GroundIn(BLUE, 1.0, 0.2),), 20.0), TARGET)
    slopes = measured_slopes(kept)
    assert slopes.expected == (NAMES[BLACK],)
    addition = next_by_batches(kept, 20)
    assert any("Not yet measured on a batch" in note and "black iron oxide" in note for note in addition.notes)
    assert "your batches" in slopes.to_text() and "swatches" in slopes.to_text()


@pytest.mark.parametrize(
    ("kept", "words"),
    [
        ((), "keep it again with what was ground in"),
        ((powder("one", 0.01, 0), powder("two", 0.02, 0)), "keep it again"),
        ((powder("one", 0.01, 0), powder("two", 0.02, 0.01, (GroundIn(BLUE, 1, 0.2), GroundIn(BLACK, 1, 0.2)), 20.0)), "one thing is added"),
    ],
)
def test_what_tells_nothing_is_refused(kept, words):
    with pytest.raises(BadValue, match=words):
        measured_slopes(kept)
