"""Several small ingredients in one dilution, by fractions."""

from __future__ import annotations

import random
from fractions import Fraction
from itertools import product

import pytest
from bench_ingredients import CUPBOARD, as_glossary
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.bench.batching import Batch, batch
from histkit.bench.joint import JointDilution
from histkit.bench.ledger import joint_dilutions
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")

Parts = list[tuple[str, float]]

OILS: Parts = [("talc", 90), ("jojoba-oil", 9.8), ("rose-oil", 0.08), ("lavender-oil", 0.12)]
COLOURS: Parts = [("talc", 99.7), ("carmine", 0.1), ("iron-oxide-red", 0.2)]
THREE: Parts = [("talc", 95), ("jojoba-oil", 4.9), ("rose-oil", 0.03), ("lavender-oil", 0.03), ("almond-oil", 0.04)]


def could(made: Batch) -> tuple[JointDilution, ...]:
    return joint_dilutions(made.composition, made.grams, made.balance, made.error_limit)


def whole(grams: float, balance: Balance) -> Fraction:
    """In divisions of the balance, which they must be."""
    amount = Fraction(str(round(grams, 9))) / Fraction(str(balance.readability))
    assert amount.denominator == 1, grams
    return amount


@pytest.mark.parametrize("parts", [OILS, COLOURS, THREE])
def test_what_is_proposed_is_what_is_planned_in_when_it_is_taken(parts: Parts) -> None:
    apart = batch(Composition.of(parts), 60)
    (joint,) = could(apart)
    assert any(words.startswith(joint.text()) for _, words in apart.bench_sheet().accounts)
    together = batch(Composition.of(parts), 60, together=True)
    members = [w for w in together.weighings if w.joint is not None]
    assert {w.joint for w in members} == {joint} and [w.ingredient for w in members] == [i for i, _, _ in joint.parts]
    assert all(w.aliquot is None and w.direct == 0 for w in members)
    assert together.weighing(joint.diluent).direct == pytest.approx(joint.straight)


def test_by_hand() -> None:
    """0.048 g of rose and 0.072 g of lavender for 60 g: of five batches at once 0.24 g, 0.36 g and 0.50 g of jojoba, 1.10 g; a
    fifth of it, 0.22 g. Of the 5.88 g of jojoba 0.10 g come with it.
    """
    made = batch(Composition.of(OILS), 60, together=True, prices={"rose-oil": 12.0, "lavender-oil": 0.5}, currency="EUR")
    joint = made.weighing("rose-oil").joint
    assert joint is not None and joint == made.weighing("lavender-oil").joint
    assert (joint.diluent_grams, joint.times, joint.take, joint.mixture) == (0.5, 5, 0.22, pytest.approx(1.1))
    assert made.weighing("jojoba-oil").direct == pytest.approx(5.88 - 0.1)
    assert made.to_weigh == pytest.approx({"talc": 54.0, "jojoba-oil": 5.78 + 0.5, "rose-oil": 0.24, "lavender-oil": 0.36})
    assert made.weighing("rose-oil").wasted == pytest.approx(0.192) and joint.left_over == pytest.approx(0.88)
    sheet = made.bench_sheet()
    (dilution,) = (step.step for step in sheet.steps if step.step.startswith("Dilution"))
    assert dilution == (
        "Dilution A, rose oil and lavender oil: Weigh 0.24 g of rose oil, 0.36 g of lavender oil and 0.50 g of jojoba oil. Stir:"
        " 1.10 g. Then take 0.22 g of mixture A, which holds 0.048 g of rose oil and 0.072 g of lavender oil."
    )
    (row,) = (row for row in sheet.rows if "mixture" in row.note)
    assert (row.name, row.amount) == ("rose oil and lavender oil", "0.22 g")
    ((who, account),) = sheet.accounts
    assert who == "A, rose oil and lavender oil" and account.startswith(f"May be off by {100 * joint.error:.2g} % in all")
    # 0.192 g at 12 EUR and 0.288 g at 0.50 EUR.
    assert "0.88 g of mixture with 0.192 g of rose oil and 0.288 g of lavender oil, worth 2.45 EUR" in account


@pytest.mark.parametrize("parts", [OILS, COLOURS, THREE])
@pytest.mark.parametrize("grams", [30.0, 60.0, 150.0])
def test_no_corner_is_worse_than_the_error_told(parts: Parts, grams: float) -> None:
    """Every weighing half a division too much or too little, in every combination, by fractions."""
    made = batch(Composition.of(parts), grams, together=True)
    half, limit = Fraction(1, 200), Fraction("0.05")
    for joint in {w.joint for w in made.weighings if w.joint is not None}:
        weighed = [Fraction(str(round(g, 9))) for g in (*(weigh for _, weigh, _ in joint.parts), joint.diluent_grams)]
        take = Fraction(str(joint.take))
        assert sum(weighed) == joint.times * take, "the portions make up the mixture"
        worst = Fraction(0)
        for corner in product((-half, half), repeat=len(weighed) + 1):
            real = [grams + off for grams, off in zip(weighed, corner, strict=False)]
            for place, (ingredient, _, _) in enumerate(joint.parts):
                share = Fraction(made.composition.share(ingredient)) / sum(Fraction(p.share) for p in made.composition.parts)
                wanted = share * Fraction(str(made.grams))
                worst = max(worst, abs(real[place] / sum(real) * (take + corner[-1]) / wanted - 1))
        assert worst <= Fraction(joint.error) + Fraction(1, 10**9) and joint.error <= limit


SMALL = ("carmine", "iron-oxide-red", "rose-oil", "lavender-oil", "almond-oil", "zinc-oxide")


@st.composite
def batches(draw: st.DrawFn) -> Batch:
    """Batches with several small ones, on cheap and fine balances, whose dilutions are shared where one fits."""
    parts = [("talc", 60.0), ("kaolin", 15.0), *([("jojoba-oil", 6.0)] if draw(st.booleans()) else [])]
    small = draw(st.lists(st.sampled_from(SMALL), min_size=2, max_size=5, unique=True))
    parts += [(key, draw(st.sampled_from([0.004, 0.03, 0.11, 0.4, 2.0]))) for key in small]
    balance = Balance(*draw(st.sampled_from([(0.01, 0.2), (0.1, 1.0), (0.001, 0.02)])))
    with as_glossary():
        return batch(Composition.of(parts), draw(st.sampled_from([12.0, 60.0, 400.0])), balance, together=True)


@settings(max_examples=80, deadline=None)
@given(batches())
def test_mass_adds_up_and_every_portion_goes_in_once(made: Batch) -> None:
    """What the weighings bring is the batch; what is fetched is the batch and what is left over; the mortar ends with all."""
    unit = Fraction(str(made.balance.readability))
    assert abs(sum(Fraction(w.content) for w in made.weighings) / unit - whole(made.grams, made.balance)) < Fraction(1, 10**6)
    joints = list(dict.fromkeys(w.joint for w in made.weighings if w.joint is not None))
    left = sum(joint.left_over for joint in joints) + sum(w.aliquot.left_over for w in made.weighings if w.aliquot is not None)
    assert sum(made.to_weigh.values()) == pytest.approx(made.grams + left, abs=1e-6)
    put = [name for step in made.bench_sheet().steps for name, _ in step.puts]
    for joint in joints:
        assert whole(joint.mixture, made.balance) == joint.times * whole(joint.take, made.balance)
        assert len(joint.parts) > 1 and joint.error <= made.error_limit
        assert sum(name.startswith("mixture") and f"({joint.names} in " in name for name in put) == 1
        for ingredient, weigh, content in joint.parts:
            assert whole(weigh, made.balance) >= made.balance.least_divisions and 100 * weigh >= joint.mixture - 1e-9
            weighing = made.weighing(ingredient)
            assert weighing.content == pytest.approx(content) and weighing.whole_error <= joint.error + 1e-9
            assert weighing.wasted == pytest.approx(weigh - content, abs=1e-9)
    held = [step.holds for step in made.bench_sheet().steps if step.holds is not None]
    assert whole(held[-1], made.balance) == whole(made.grams, made.balance)
    assert Batch.from_json(made.to_json(), CUPBOARD) == made


def test_one_small_thing_alone_has_no_joint_dilution() -> None:
    for parts in ([("talc", 99.9), ("carmine", 0.1)], [("talc", 50), ("kaolin", 50)]):
        made = batch(Composition.of(parts), 60, together=True)
        assert could(made) == () and all(w.joint is None for w in made.weighings)


def test_colours_and_scents_are_not_mixed() -> None:
    made = batch(Composition.of([("talc", 99.7), ("carmine", 0.15), ("rose-oil", 0.15)]), 60, Balance(0.01, 0.2), together=True)
    assert all(w.joint is None and (w.aliquot is not None or w.direct > 0) for w in made.weighings)


def test_where_none_fits_it_is_said_and_each_has_its_own() -> None:
    """0.0001 % of each cannot be brought by one dilution of at most one in a hundred."""
    made = batch(Composition.of([("talc", 99.9998), ("carmine", 0.0001), ("iron-oxide-red", 0.0001)]), 60, together=True)
    assert all(w.joint is None for w in made.weighings)
    assert any(w.startswith("No one dilution of carmine and") for w in made.warnings)


def test_the_whole_error_of_an_aliquot_stays_within_the_limit() -> None:
    """Rounding and weighing together, not each for itself: of 120 invented batches none is off by more than was asked for."""
    draw, seen = random.Random(5), 0
    for _ in range(120):
        parts: Parts = [("talc", 60), ("kaolin", 20)]
        parts += [
            (key, draw.choice([0.01, 0.03, 0.07, 0.1, 0.2])) for key in draw.sample(["carmine", "iron-oxide-red", "rose-oil"], 2)
        ]
        made = batch(
            Composition.of(parts), draw.choice([20, 33, 60, 150]), Balance(*draw.choice([(0.01, 0.2), (0.1, 1.0), (0.001, 0.02)]))
        )
        diluted = [w for w in made.weighings if w.aliquot is not None]
        assert all(w.whole_error <= 0.05 + 1e-9 for w in diluted)
        seen += len(diluted)
    assert seen > 100
