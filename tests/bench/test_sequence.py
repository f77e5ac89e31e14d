"""The one sequence at the bench: everything that is weighed goes in once, and the mortar holds the whole batch in the end."""

from __future__ import annotations

from fractions import Fraction

import pytest
from bench_ingredients import CUPBOARD, as_glossary, tinted
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.bench.batching import Batch, batch
from histkit.bench.pressing import press
from histkit.bench.sequence import BenchStep, letter_of
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

USABLE = sorted(key for key in CUPBOARD if key not in ("lead-carbonate", "bloom-of-youth"))


def steps_of(made: Batch, press: bool | None = None) -> tuple[BenchStep, ...]:
    return made.bench_sheet(press).steps


def whole(grams: float, balance: Balance) -> Fraction:
    return Fraction(str(round(grams, 9))) / Fraction(str(balance.readability))


@st.composite
def batches(draw: st.DrawFn) -> Batch:
    """Random batches: some to many ingredients, from traces to the bulk, on four balances."""
    keys = draw(st.lists(st.sampled_from(USABLE), min_size=1, max_size=10, unique=True))
    parts = [(key, draw(st.sampled_from([0.003, 0.02, 0.1, 0.7, 3, 11, 40]))) for key in keys]
    balance = Balance(*draw(st.sampled_from([(0.01, 0.2), (0.1, 1.0), (0.001, 0.02), (0.01, 0.0)])))
    with as_glossary():
        return batch(Composition.of(parts, "invented"), draw(st.sampled_from([7.0, 30, 60, 250])), balance)


@settings(max_examples=120, deadline=None)
@given(batches())
def test_the_last_step_holds_the_whole_batch(made: Batch) -> None:
    """Step by step what comes in is what is there more, in whole divisions; each weighing comes in once, with all of it."""
    for pressed in (True, False):
        held, brought = Fraction(0), dict[str, Fraction]()
        for step in steps_of(made, pressed):
            for name, grams in step.puts:
                amount = whole(grams, made.balance)
                assert amount.denominator == 1 and amount > 0, (name, grams)
                held += amount
                brought[name] = brought.get(name, Fraction(0)) + amount
            if step.puts:
                assert whole(step.holds or 0, made.balance) == held and made.balance.text(step.holds or 0) in step.text()
                assert all(name in step.step for name, _ in step.puts)
        assert held == whole(made.grams, made.balance)
        assert steps_of(made, pressed)[-1].holds == pytest.approx(made.grams)
        for weighing in made.weighings:
            letter = letter_of(weighing, made)
            name, grams = weighing.ingredient.name, weighing.direct
            if weighing.aliquot is not None:
                name, grams = f"mixture {letter} ({name} in {weighing.aliquot.diluent.name})", weighing.aliquot.take
            assert brought.pop(name, Fraction(0)) == whole(grams, made.balance)
        assert not brought


@settings(max_examples=60, deadline=None)
@given(batches())
def test_no_powder_goes_into_less_than_a_portion_of_it(made: Batch) -> None:
    """Geometric dilution: after the colours, no portion is larger than what is there, but for a last pinch (a tenth)."""
    held = 0.0
    for step in steps_of(made):
        if step.step.startswith("Add ") and " in portions of " in step.step:
            words = step.step.partition(" in portions of ")[2].partition(", and blend")[0].replace(" and ", ", ")
            there = held
            for portion in [float(p.removesuffix(" g")) for p in words.split(", ")]:
                assert portion <= there * 1.1 + 1e-9
                there += portion
            assert there == pytest.approx(step.holds)
        elif step.step.startswith("Add ") and step.stage == "mix" and step.puts:
            assert step.puts[0][1] <= held * 1.1 + 1e-9
        held = step.holds or held


@pytest.mark.usefixtures("cupboard")
class TestByHand:
    def test_one_into_twenty(self) -> None:
        """1.34 g into 20.1 g: as much again each time."""
        steps = steps_of(batch(Composition.of([("talc", 20.1), ("zinc-oxide", 1.34)]), 21.44))
        put, add = (step for step in steps if step.puts)
        assert put.step == "Put into the mortar: zinc oxide 1.34 g" and put.vessel == "In the mortar: 1.34 g"
        assert add.step == (
            "Add talc 20.10 g in portions of 1.34 g, 2.68 g, 5.36 g and 10.72 g, and blend well after each"
        ) and add.vessel == "In the mortar: 21.44 g"  # fmt: skip

    def test_a_last_pinch_goes_with_the_portion_before_it(self) -> None:
        add = [s for s in steps_of(batch(Composition.of([("talc", 20.2), ("zinc-oxide", 1.34)]), 21.54)) if s.puts][-1]
        assert "5.36 g and 10.82 g" in add.step

    def test_colours_are_extended_first_and_scents_come_last(self) -> None:
        parts = [("talc", 70), ("zinc-oxide", 20), ("carmine", 2), ("iron-oxide-red", 1), ("jojoba-oil", 5), ("rose-oil", 2)]
        put = [step for step in steps_of(batch(Composition.of(parts), 100)) if step.puts]
        assert [step.step for step in put] == [
            "Rub down the colours: iron oxide red 1.00 g and carmine 2.00 g; then with 3.00 g of talc, as much again, until no"
            " streak shows",
            "Add zinc oxide 20.00 g in portions of 6.00 g, 12.00 g and 2.00 g, and blend well after each",
            "Add the rest of the talc 67.00 g in portions of 26.00 g and 41.00 g, and blend well after each",
            "Add drop by drop and blend again in two or three rounds: jojoba oil 5.00 g",
            "Add drop by drop and blend again in two or three rounds: rose oil 2.00 g",
        ]
        assert [step.holds for step in put] == [6, 26, 93, 98, 100]

    def test_what_is_small_beside_the_colours_is_rubbed_down_with_them(self) -> None:
        parts = [("talc", 60), ("carmine", 20), ("iron-oxide-red", 19.5), ("magnesium-stearate", 0.5)]
        first = next(step for step in steps_of(batch(Composition.of(parts), 100)) if step.puts)
        assert first.step.startswith(
            "Rub down the colours: magnesium stearate 0.50 g, iron oxide red 19.50 g in portions of 0.50 g, 1.00 g, 2.00 g, 4.00 g"
        )

    def test_dilutions_stand_before_the_mortar_and_have_letters(self) -> None:
        made = batch(press(tinted()), 60)
        steps = steps_of(made)
        diluted = [n for n, step in enumerate(steps) if step.stage == "dilute"]
        assert diluted and max(diluted) < min(n for n, step in enumerate(steps) if step.puts)
        assert [steps[n].step.partition(":")[0] for n in diluted] == ["Dilution A, carmine", "Dilution B, rose oil"]
        assert any("mixture A (carmine in talc)" in name for step in steps for name, _ in step.puts)

    def test_a_lotion_is_stirred_and_nothing_is_sieved(self) -> None:
        steps = steps_of(batch(Composition.of([("alcohol", 95), ("rose-oil", 5)]), 100))
        assert [step.vessel for step in steps if step.puts] == ["In the vessel: 95.00 g", "In the vessel: 100.00 g"]
        assert not any(step.stage in ("sieve", "press") for step in steps)

    def test_a_loose_powder_goes_into_a_jar_and_has_no_rim_to_clean(self) -> None:
        words = [step.step for step in steps_of(batch(tinted(), 60))]
        assert any("jar" in line for line in words) and not any("rim" in line or "pan" in line.split() for line in words)

    def test_the_wetting_is_named_with_its_grams(self) -> None:
        steps = steps_of(batch(press(tinted(), wetting="alcohol", wetting_share=0.2), 60))
        wet = next(step for step in steps if "clings" in step.step)
        assert wet.step.endswith(": 11.04 g of alcohol") and wet.holds == 60 and not wet.puts
