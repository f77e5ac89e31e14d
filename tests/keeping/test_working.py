"""What is worked out from the choices of a record, each checked by hand or against the function that does it."""

from dataclasses import replace

import pytest

from histkit.base.nouns import Doubt
from histkit.bench.pans import Filling, pans_need
from histkit.keeping import example
from histkit.keeping.records import Correction, Pressing, Record, Replacement
from histkit.keeping.working import _corrected

MEASURED = {"pans": 2, "pan_width_mm": 20.0, "pan_length_mm": 30.0, "pan_depth_mm": 4.0, "density_g_cm3": 1.25}


def with_pans(**more):
    record = example.record()
    return replace(record, weighing=replace(record.weighing, **MEASURED, **more))


@pytest.mark.parametrize(("allowance", "grams"), [(0.0, 6.0), (0.1, 6.6), (0.25, 7.5)])
def test_the_makers_own_allowance_for_the_tools(allowance, grams):
    """2 × 2 cm × 3 cm × 0.4 cm × 1.25 g/cm3 = 6 g, and so much more."""
    record = with_pans(allowance=allowance)
    assert record.pans_need().make == pytest.approx(grams)
    assert replace(record, weighing=replace(record.weighing, make="pans")).batch().grams == pytest.approx(grams)


@pytest.mark.parametrize(
    ("pressing", "asked"), [({"pressure_mpa": 3.0}, {"pressure": 3.0}), ({"press": "thumb"}, {"press": "thumb"})]
)
def test_how_it_is_pressed_decides_what_the_pans_take(pressing, asked):
    record = with_pans()
    record = replace(record, weighing=replace(record.weighing, density_g_cm3=None), pressing=replace(record.pressing, **pressing))
    by_itself = pans_need(record.pressed(), Filling(count=2, width_mm=20.0, length_mm=30.0, depth_mm=4.0, **asked))
    assert (
        record.pan_fill()
        == by_itself.fill
        != pans_need(record.pressed(), Filling(count=2, width_mm=20.0, length_mm=30.0, depth_mm=4.0)).fill
    )


def test_a_correction_settles_the_doubts_about_what_it_corrects_and_no_others():
    record = Record(text="Talc, 2 oz.\nStarch, 1 oz.")
    line = record.formula().lines[0]
    doubtful = replace(line, doubts=(Doubt("unit", "a doubt"), Doubt("ingredient", "another doubt")))
    assert [doubt.about for doubt in _corrected(doubtful, Correction(0, unit="drachm")).doubts] == ["ingredient"]
    assert [doubt.about for doubt in _corrected(doubtful, Correction(0, ingredient="kaolin")).doubts] == ["unit"]


def test_a_stand_in_for_what_is_no_longer_there_is_passed_over():
    record = Record(text="Talc, 2 oz.", replacements=(Replacement("lead-carbonate", (("zinc-oxide", 1.0),)),))
    assert [part.ingredient.id for part in record.composition().parts] == ["talc"]


def test_the_same_binder_named_twice_is_added_up():
    record = Record(text="Talc, 2 oz.", pressing=Pressing("zinc-stearate", 0.03, None, 0.0, (("zinc-stearate", 0.02),)))
    assert record.final().share("zinc-stearate") == pytest.approx(0.05)
