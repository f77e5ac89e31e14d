"""The maker's own dropper: 20 drops weighed once; the sheet speaks in grams first, then in its drops."""

from __future__ import annotations

import pytest

from histkit import glossary, measures
from histkit.base.errors import BadValue
from histkit.bench.batching import Batch, batch
from histkit.bench.drops import bench_drop
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition


def oil(key: str = "jojoba-oil") -> glossary.Ingredient:
    return glossary.ingredient(key)


def test_without_a_dropper_of_their_own_it_is_the_pharmacopoeias() -> None:
    """0.020 g of jojoba from a tip of 3 mm, 49 drops to the gram; the books' drop of fixed oil is 0.050 g."""
    drop, whose = bench_drop(oil())
    assert drop.best == pytest.approx(0.0204, abs=0.0002) and whose == "a standard dropper"
    assert measures.drop_mass(oil()).best == pytest.approx(0.05)
    weighed = batch(Composition.of([("talc", 99.39), ("jojoba-oil", 0.61)]), 100).weighing("jojoba-oil")
    assert weighed.note.startswith("0.61 g is about 30 (")


def test_twenty_drops_weighed_once() -> None:
    """20 drops of 0.50 g: 0.61 g are 24.4 drops."""
    scales = Balance(own_drops=(("jojoba-oil", 0.50),))
    assert bench_drop(oil(), scales.own_drops)[0].best == pytest.approx(0.025)
    weighed = batch(Composition.of([("talc", 99.39), ("jojoba-oil", 0.61)]), 100, scales).weighing("jojoba-oil")
    assert weighed.note == "0.61 g is about 24 drops of your dropper"
    assert weighed.drops is not None and weighed.drops.best == pytest.approx(24.4)


def test_another_liquid_is_reckoned_from_it() -> None:
    """A dropper that gives drops of jojoba a quarter larger than the standard one gives those of lavender a quarter larger."""
    standard = bench_drop(oil())[0].best
    own = (("jojoba-oil", 20 * standard * 1.25),)
    drop, whose = bench_drop(oil("lavender-oil"), own)
    assert drop.best == pytest.approx(1.25 * bench_drop(oil("lavender-oil"))[0].best)
    assert whose == "your dropper, reckoned from its drops of jojoba oil"


def test_it_comes_back_with_the_batch() -> None:
    made = batch(Composition.of([("talc", 99), ("jojoba-oil", 1)]), 50, Balance(own_drops=(("jojoba-oil", 0.50),)))
    assert Batch.from_json(made.to_json()) == made
    assert "drops of your dropper" in made.to_markdown()


@pytest.mark.parametrize("grams", [0, -1, 10, float("nan"), "0.5"])
def test_drops_that_cannot_be(grams: float) -> None:
    with pytest.raises(BadValue, match="20 drops of jojoba-oil"):
        Balance(own_drops=(("jojoba-oil", grams),))
