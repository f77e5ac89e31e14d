"""What a change does, in a maker's words; and nothing where nothing is known."""

from __future__ import annotations

import pytest
from bench_ingredients import CUPBOARD, made

from histkit.composing.composition import Composition
from histkit.composing.effects import compare


def powder(**parts: float) -> Composition:
    return Composition.of([(CUPBOARD[key.replace("_", "-")], grams) for key, grams in parts.items()])


def test_words_for_each_figure_with_how_much() -> None:
    """10 % of titanium dioxide comes in for talc: it covers more; kaolin for talc: takes (45 - 38) / 38 more oil."""
    covers = compare(powder(talc=100), powder(talc=90, titanium_dioxide=10))["opacity"]
    assert covers.verdict().startswith("covers more (+")
    much = compare(powder(talc=100), powder(titanium_dioxide=100))["opacity"]
    assert much.verdict().startswith("covers more, about ") and much.verdict().endswith(" times")
    oil = compare(powder(talc=100), powder(kaolin=100))["oil-absorption"]
    assert oil.verdict() == "takes more oil (+18 %)" and oil.change == pytest.approx(7 / 38)
    assert compare(powder(kaolin=100), powder(talc=100))["oil-absorption"].verdict() == "takes less oil (−16 %)"


def test_a_lighter_powder_bulks_more() -> None:
    bulk = compare(powder(talc=100), powder(magnesium_carbonate=100))["bulk-density"]
    assert bulk.verdict().startswith("bulks more (−")


def test_the_same_is_said_only_of_what_is_known() -> None:
    """Nothing is known of what came in: not 'about the same', though the rest is the same as before."""
    nameless = made("strange-earth", "mineral", "powder", "bulk")
    before = powder(talc=90, kaolin=10)
    after = before.replace(CUPBOARD["kaolin"], {nameless: 1}, reason="a try")
    for key in ("opacity", "oil-absorption", "bulk-density"):
        effect = compare(before, after)[key]
        assert effect.verdict() == "not known: no value for strange earth" and effect.change is None
    assert compare(before, before)["oil-absorption"].verdict() == "takes as much oil as before"


def test_what_only_makes_room_has_not_changed() -> None:
    """Carmine has no oil absorption here; where 5 % of binder is added beside it, the rest can still be compared."""
    before = powder(talc=90, kaolin=9, carmine=1)
    after = powder(talc=90, kaolin=9, carmine=1, magnesium_stearate=5)
    effect = compare(before, after)["oil-absorption"]
    assert effect.unknown == () and effect.verdict().startswith("takes more oil (+")


def test_too_little_known_is_not_compared() -> None:
    before, after = powder(talc=10, carmine=90), powder(kaolin=10, carmine=90)
    assert compare(before, after)["oil-absorption"].verdict() == "not known: no value for carmine"


def test_an_unsure_direction_is_told() -> None:
    unsure = compare(powder(zinc_oxide=100), powder(titanium_dioxide=100))["oil-absorption"]
    assert unsure.verdict().endswith(", not sure") and not unsure.certain, "12 to 20 and 16 to 22 overlap"
