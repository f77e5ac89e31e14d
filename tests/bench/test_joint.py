"""Several small ingredients in one dilution, by fractions."""

from __future__ import annotations

from fractions import Fraction

import pytest

from histkit.bench.batching import batch
from histkit.bench.joint import joint_dilutions
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


@pytest.mark.parametrize(
    "parts",
    [
        [("talc", 90), ("jojoba-oil", 9.8), ("rose-oil", 0.08), ("lavender-oil", 0.12)],
        [("talc", 99.7), ("carmine", 0.1), ("iron-oxide-red", 0.2)],
        [("talc", 95), ("jojoba-oil", 4.9), ("rose-oil", 0.03), ("lavender-oil", 0.03), ("almond-oil", 0.04)],
    ],
)
def test_the_portion_holds_what_the_batch_wants(parts: list[tuple[str, float]]) -> None:
    made = batch(Composition.of(parts), 60)
    joints = joint_dilutions(made)
    assert joints
    for joint in joints:
        weighed = [Fraction(str(weigh)) for _, weigh, _ in joint.parts]
        mixture = sum(weighed) + Fraction(str(joint.diluent_grams))
        take = Fraction(str(joint.take))
        assert mixture == joint.times * take, "the portions make up the mixture"
        assert all((grams * 100).denominator == 1 for grams in (*weighed, take, Fraction(str(round(joint.straight, 9)))))
        for (ingredient, weigh, content), grams in zip(joint.parts, weighed, strict=True):
            assert weigh >= 0.2 - 1e-12 and content == pytest.approx(float(grams * take / mixture))
            exact = made.weighing(ingredient).exact
            assert abs(content / exact - 1) <= joint.error <= 0.05
        before = made.weighing(joint.diluent).direct + sum(w.aliquot.take for w in made.weighings if w.aliquot is not None)
        assert joint.straight + joint.take == pytest.approx(before), "the batch weighs the same"
        assert joint.text() in dict(made.bench_sheet().accounts).values()


def test_one_small_thing_alone_has_no_joint_dilution() -> None:
    assert joint_dilutions(batch(Composition.of([("talc", 99.9), ("carmine", 0.1)]), 60)) == ()
    assert joint_dilutions(batch(Composition.of([("talc", 50), ("kaolin", 50)]), 60)) == ()


def test_colours_and_scents_are_not_mixed() -> None:
    made = batch(Composition.of([("talc", 99.7), ("carmine", 0.15), ("rose-oil", 0.15)]), 60, Balance(0.01, 0.2))
    assert joint_dilutions(made) == ()
