"""Ladders of trial presses: shares around a middle, and what to weigh for each."""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from histkit.base.errors import BadValue, Forbidden
from histkit.bench.ladders import incremental_ladder, ladder
from histkit.bench.pressing import press
from histkit.bench.trials import Varied
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def plain() -> Composition:
    """Talc alone, so that every trial is weighed straight."""
    return Composition.of([("talc", 1)], "plain")


def powder() -> Composition:
    """An invented powder without any binder."""
    return Composition.of([("talc", 70), ("kaolin", 20), ("zinc-oxide", 10)], "invented powder")


class TestLadder:
    def test_shares_around_the_middle(self) -> None:
        """3 steps of 2 per cent around 5: 3, 5 and 7; around 1 they start at 0. Where nothing is said: five, one per cent apart."""

        def shares(**asked: object) -> list[float]:
            return [s.trial.binder_share for s in ladder(plain(), oil=None, **asked).steps]  # type: ignore[arg-type]

        assert shares(count=3, step=0.02) == pytest.approx([0.03, 0.05, 0.07])
        assert shares(count=3, step=0.02, around=0.01) == pytest.approx([0, 0.02, 0.04])
        assert shares() == pytest.approx([0.03, 0.04, 0.05, 0.06, 0.07])
        assert shares(around=0.1, count=1) == pytest.approx([0.1]) and shares(binder_share=0.2, count=1) == pytest.approx([0.2])
        assert len(shares(count=20, step=0.001)) == 20 and shares(around=0, count=2, step=0.4) == pytest.approx([0, 0.4])
        assert [s.trial.number for s in ladder(plain(), count=2).steps] == [1, 2]
        assert [s.batch.number for s in ladder(plain(), count=2).steps] == ["trial 1", "trial 2"]

    def test_binder_and_oil_are_those_asked_for(self) -> None:
        rung = ladder(plain(), count=1, binder="zinc-stearate", binder_share=0.06, oil="almond-oil", oil_share=0.02).steps[0]
        assert (rung.trial.binder_share, rung.trial.oil_share) == pytest.approx((0.06, 0.02))
        assert {b.ingredient.id for b in rung.pressed.binders} == {"zinc-stearate", "almond-oil"}
        usual = ladder(plain(), count=1).steps[0]
        assert (usual.trial.binder_share, usual.trial.oil_share) == pytest.approx((0.05, 0.03)) and usual.batch.grams == 5
        assert {b.ingredient.id for b in usual.pressed.binders} == {"magnesium-stearate", "jojoba-oil"}

    def test_a_pressed_formula_keeps_all_but_the_share_that_is_varied(self) -> None:
        start = press(plain(), {"zinc-stearate": 0.04, "magnesium-stearate": 0.02}, oil={"almond-oil": 0.03}, of="powder")
        steps = ladder(start, count=3, step=0.01).steps
        assert [[b.target for b in s.pressed.binders] for s in steps] == [
            pytest.approx([t, 0.02, 0.03]) for t in (0.03, 0.04, 0.05)
        ]
        assert all(s.pressed.of == "powder" and s.pressed.powder == plain() for s in steps)
        assert [s.trial.binder_share for s in steps] == pytest.approx([0.05 / 1.08, 0.06 / 1.09, 0.07 / 1.10])
        oils = ladder(start, count=3, step=0.01, vary="oil").steps
        assert [[b.target for b in s.pressed.binders] for s in oils] == [
            pytest.approx([0.04, 0.02, t]) for t in (0.02, 0.03, 0.04)
        ]
        assert [s.trial.oil_share for s in oils] == pytest.approx([t / (1.06 + t) for t in (0.02, 0.03, 0.04)])

    def test_enough_powder_for_all_of_them(self) -> None:
        """9.5 g in a cake of 10 g at 5 %, and a tenth more: 10.45 g, on a balance of 0.1 g 10.5 g."""
        assert ladder(plain(), 0.05, 1, 10, Balance(0.1, 0.1), oil=None).powder_grams == 10.5
        assert ladder(plain(), 0.05, 1, 10, Balance(0.01, 0.1), oil=None).powder_grams == 10.45
        assert ladder(plain(), 0.05, 1, 10, oil=None).powder_grams == 10.45, "a balance of 0.01 g where none is named"
        assert ladder(plain(), 0.04, 1, 10, oil=None).powder_grams == 10.56, "a float above 10.56 takes no division more"

    def test_what_to_weigh_for_each(self) -> None:
        """4 % of 5 g are 0.2 g, straight, and 3 % 0.15 g, too little; a powder without a name is called one."""
        steps = ladder(Composition.of([("talc", 1)]), 0.035, 2, oil=None).steps
        small, straight = (step.to_frame()["weighings"][0] for step in steps)
        assert straight == "the blended powder: 4.8 g; magnesium stearate: 0.2 g"
        aliquot = steps[0].batch.weighing("magnesium-stearate").aliquot
        assert aliquot is not None and f"0.15 g, as {aliquot.take:g} g of its mixture (below)" in small
        tiny = ladder(plain(), 0.01, 1, 0.3, oil=None).steps[0]
        (note,) = [w.note for w in tiny.batch.weighings if w.note]
        assert f"({note})" in tiny.to_frame()["weighings"][0]
        oily = ladder(plain(), 0.05, 1, 20, oil_share=0.04).to_frame()
        assert oily["oil"][0] == pytest.approx(4) and oily["binder"][0] == pytest.approx(5)

    @pytest.mark.parametrize(
        ("wrong", "told"),
        [
            *(({"count": v}, f"count .* from 1 to 20, not {v!r}") for v in (0, 21, 2.5, True)),
            *(({"step": v}, f"step .* not {v!r}") for v in (0, -0.01, 0.5, math.nan, "0.01")),
            *(({"around": v}, f"around .* not {v!r}") for v in (-0.01, 1, math.nan, "0.05")),
            ({"vary": "luck"}, "'binder' or 'oil', not 'luck'"),
            ({"vary": "oil", "oil": None}, "no liquid binder"),
            ({"binder_share": 0}, "no dry binder"),
        ],
    )  # fmt: skip
    def test_what_cannot_be_laddered(self, wrong: dict[str, object], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            ladder(plain(), **wrong)  # type: ignore[arg-type]


class TestWeighing:
    def test_a_ladder_can_be_weighed(self) -> None:
        steps = ladder(press(powder()), count=5, grams_each=5, balance=Balance(0.01, 0.2), step=0.01).steps
        assert [s.trial.binder_share for s in steps] == pytest.approx([0.03, 0.04, 0.05, 0.06, 0.07])
        for s in steps:
            assert round(math.fsum(w.grams for w in s.batch.weighings), 9) == 5
            assert s.batch.weighing("magnesium-stearate").content == pytest.approx(5 * s.trial.binder_share, abs=0.0051)
            assert all(w.aliquot is not None or w.direct >= 0.2 for w in s.batch.weighings)

    def test_a_ladder_of_oil_around_a_share(self) -> None:
        steps = ladder(powder(), around=0.02, count=3, vary="oil", step=0.02).steps
        assert [s.trial.oil_share for s in steps] == pytest.approx([0, 0.02, 0.04])
        assert {round(s.trial.binder_share, 9) for s in steps} == {0.05}

    def test_powder_for_the_whole_ladder(self) -> None:
        rungs = ladder(press(powder()), count=3, grams_each=5)
        used = sum(s.batch.to_weigh["blended-powder"] for s in rungs.steps)
        assert used < rungs.powder_grams < 1.2 * used
        assert len(rungs.log.trials) == 3
        assert "magnesium stearate" in rungs.to_html()

    def test_a_ladder_with_lead_in_it_is_refused(self) -> None:
        with pytest.raises(Forbidden):
            ladder(Composition.of([("talc", 1), ("lead-carbonate", 1)]))

    @pytest.mark.parametrize(
        "wrong", [{"count": 0}, {"count": 2.5}, {"step": 0}, {"vary": "luck"}, {"around": -1}, {"around": math.nan}]
    )
    def test_a_ladder_that_cannot_be(self, wrong: dict[str, float]) -> None:
        with pytest.raises(BadValue):
            ladder(powder(), **wrong)  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="no liquid binder"):
            ladder(press(powder(), oil=None), vary="oil")

    def test_the_table_of_a_ladder(self) -> None:
        rungs = ladder(Composition.of([("talc", 1)], "plain"), 0.05, 2, 10, Balance(0.01, 0.2), step=0.02, oil=None)
        frame = rungs.to_frame()
        assert list(frame.columns) == ["number", "binder", "oil", "weighings"]
        assert frame.values.tolist() == [
            [1, pytest.approx(4.0), 0.0, "plain: 9.6 g; magnesium stearate: 0.4 g"],
            [2, pytest.approx(6.0), 0.0, "plain: 9.4 g; magnesium stearate: 0.6 g"],
        ]
        text = rungs.to_text()
        assert (
            text.startswith("Trial ladder: binder varied\n")
            and "Binder, % of the cake" in rungs.to_markdown()
            and "Oil, % of the cake" in rungs.to_markdown()
            and "Weigh" in text
        )
        assert rungs.steps[1].to_frame().values.tolist() == frame.values.tolist()[1:] and rungs.steps[1].to_text().startswith(
            "Trial 2\n"
        )
        assert rungs.powder_grams == pytest.approx(1.1 * 19.0) and rungs.log.name == "plain"
        small = ladder(press(powder()), 0.05, 1, 3, Balance(0.01, 0.2))
        assert "as " in small.to_frame()["weighings"][0] and "of its mixture (below)" in small.to_frame()["weighings"][0]
        warned = ladder(press(powder()), 0.2, 1, 10).to_text()
        assert "lies outside what is known" in warned


class TestOnePowder:
    @pytest.mark.parametrize("vary", ["binder", "oil"])
    def test_each_addition_raises_the_share_by_the_step(self, vary: Varied) -> None:
        """By fractions: what is there of it over all that is there, after every addition as the balance shows it."""
        pressed = press(plain(), "magnesium-stearate", 0.05, "jojoba-oil", 0.03)
        rungs = incremental_ladder(pressed, count=5, grams_each=20, vary=vary)
        parts = {name: Fraction(str(round(grams, 6))) for name, grams in rungs.first}
        mass = Fraction(str(rungs.powder_grams)) + sum(parts.values())
        chosen, other = ("magnesium stearate", "jojoba oil") if vary == "binder" else ("jojoba oil", "magnesium stearate")
        for place, rung in enumerate(rungs.rungs):
            add = Fraction(str(rung.add))
            assert (add * 100).denominator == 1 and (add == 0) == (place == 0)
            parts[chosen], mass = parts.get(chosen, Fraction(0)) + add, mass + add
            shares = {name: float(grams / mass) for name, grams in parts.items()}
            binder, oil = (shares[chosen], shares[other]) if vary == "binder" else (shares[other], shares[chosen])
            assert rung.trial.binder_share == pytest.approx(binder, abs=2e-6) and rung.trial.oil_share == pytest.approx(oil, abs=2e-6)
            assert rung.holds == pytest.approx(float(mass))
            middle = 0.05 if vary == "binder" else 0.03
            assert shares[chosen] == pytest.approx(middle + 0.01 * (place - 2), abs=0.0008)

    def test_it_takes_far_less_powder(self) -> None:
        rungs = incremental_ladder(press(plain()), count=5, grams_each=5)
        assert rungs.powder_grams < rungs.separate_grams / 4
        text = " ".join(rungs.to_text().split())
        assert f"{rungs.separate_grams:.2f} g of powder" in text and "grind it up again" in text

    def test_what_the_balance_cannot_weigh_is_told(self) -> None:
        assert "times as large" in incremental_ladder(press(plain()), count=3, grams_each=5).notes[0]
        assert "times as large" not in incremental_ladder(press(plain()), count=3, grams_each=40).to_text()
