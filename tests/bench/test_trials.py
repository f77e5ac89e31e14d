"""Trial presses by hand: what was noted, ladders to weigh, and where the next trial lies."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from bench_ingredients import as_glossary

from histkit.base.errors import BadValue
from histkit.bench.faults import faults_in
from histkit.bench.ladders import ladder
from histkit.bench.pressing import press
from histkit.bench.proposals import likelihoods, propose
from histkit.bench.trials import Trial, TrialLog
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


def plain() -> Composition:
    """Talc alone, so that every trial is weighed straight."""
    return Composition.of([("talc", 1)], "plain")


class TestNotes:
    @pytest.mark.parametrize(
        ("wrong", "told"),
        [
            *(({"binder_share": v}, f"binder_share of trial 7 .* not {v!r}") for v in (-0.01, 1, math.nan, "0.05", None, True)),
            *(({"oil_share": v}, f"oil_share of trial 7 .* not {v!r}") for v in (-0.01, 1, math.nan, "0.05", None)),
            *(({"pressure": v}, f"pressure of trial 7 .* not {v!r}") for v in (0, -2, math.inf, "5")),
            *(({"payoff": v}, f"payoff of trial 7 runs from 0 to 5, not {v!r}") for v in (-1, 6, 2.5, math.nan, "3")),
            *(({"drops_survived": v}, f"drops survived in trial 7 .* not {v!r}") for v in (-1, 2.5, math.nan, "3")),
        ],
    )
    def test_what_cannot_have_been_noted(self, wrong: dict[str, object], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            Trial(7, **{"binder_share": 0.05, **wrong})  # type: ignore[arg-type]

    @pytest.mark.parametrize("number", ["1", 1.5, None, True])
    def test_a_number_that_is_none(self, number: int) -> None:
        with pytest.raises(BadValue, match=f"number of a trial .* not {number!r}"):
            Trial(number, 0.05)

    def test_what_can(self) -> None:
        Trial(1, 0, 0.99, 0.1, 0, payoff=0)
        Trial(1, 0.99, 0, 30, 50, payoff=5)

    def test_whether_it_held(self) -> None:
        """Three drops count as holding where nothing else is said; a cake that crumbles did not hold, whatever it stood."""
        assert Trial(1, 0.05, drops_survived=3).held() is True and Trial(1, 0.05, drops_survived=2).held() is False
        assert Trial(1, 0.05, drops_survived=3).held(4) is False and Trial(1, 0.05, drops_survived=2).held(2) is True
        assert Trial(1, 0.05, crumbles=False).held() is True and Trial(1, 0.05, crumbles=True).held() is False
        assert Trial(1, 0.05, crumbles=False, drops_survived=1).held() is False
        assert Trial(1, 0.05, crumbles=True, drops_survived=9).held() is False
        assert Trial(1, 0.05, payoff=5, glazes=True).held() is None

    def test_whether_it_gave_off(self) -> None:
        assert Trial(1, 0.05, payoff=3).gave() is True and Trial(1, 0.05, payoff=2).gave() is False
        assert Trial(1, 0.05, payoff=3).gave(4) is False and Trial(1, 0.05, payoff=2).gave(2) is True
        assert Trial(1, 0.05, glazes=False).gave() is True and Trial(1, 0.05, glazes=True).gave() is False
        assert Trial(1, 0.05, glazes=False, payoff=1).gave() is False and Trial(1, 0.05, glazes=True, payoff=5).gave() is False
        assert Trial(1, 0.05, drops_survived=9, crumbles=False).gave() is None

    @pytest.mark.parametrize(
        ("noted", "faults"),
        [
            ({"crumbles": True}, {"soft"}), ({"drops_survived": 0}, {"soft"}), ({"drops_survived": 1}, set()), ({"glazes": True}, {"glaze"}),
            ({"payoff": 0}, {"glaze"}), ({"payoff": 1}, set()), ({"crumbles": False, "glazes": False}, set()),
            ({"crumbles": True, "notes": "not glazed"}, {"soft"}),
        ],
    )  # fmt: skip
    def test_what_was_ticked_speaks_like_words(self, noted: dict[str, object], faults: set[str]) -> None:
        assert {f.id for f in Trial(1, 0.05, **noted).faults()} == faults  # type: ignore[arg-type]

    def test_words_that_say_no(self) -> None:
        for words in ("no cracks", "not soft", "without crumbs", "never glazed", "neither hard nor shiny", "uncracked"):
            assert not {f.id for f in faults_in(words)} & {"drying", "soft", "glaze", "laminate"}, words
        assert not faults_in("It doesn't crumble, isn’t soft, and hardly cracks")
        assert {f.id for f in faults_in("no crumbs at first, then crumbs; Shiny.")} == {"soft", "glaze"}
        assert {f.id for f in faults_in("good,soft;shiny")} == {"soft", "glaze"}
        assert {f.id for f in faults_in("Crumbs")} == {"soft"}, "at the very beginning"

    def test_trials_of_one_number_are_one(self) -> None:
        log = TrialLog((Trial(1, 0.03), Trial(3, 0.05)), "invented").add(Trial(2, 0.04)).add(Trial(3, 0.05, payoff=4))
        assert [(t.number, t.payoff) for t in log.trials] == [(1, None), (2, None), (3, 4)] and log.name == "invented"

    def test_a_file_that_is_none(self) -> None:
        for broken, told in (
            ("", "Expecting value"),
            ("{}", "trials"),
            ('{"trials": [], "nam": 1}', "name"),
            ('{"trials": [{}], "name": ""}', "number"),
        ):
            with pytest.raises(BadValue, match=f"not a trial log that histkit wrote: .*{told}"):
                TrialLog.from_json(broken)
        with pytest.raises(BadValue, match="payoff of trial 1"):
            TrialLog.from_json('{"name": "", "trials": [{"number": 1, "binder_share": 0.1, "payoff": 9}]}')


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
        assert aliquot is not None and f"0.15 g, as {aliquot.take:g} g of its mixture with the blended powder" in small
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


def results(*entries: tuple[float, bool | None, bool | None]) -> TrialLog:
    """Invented trials: (share of binder, whether it held, whether it gave off)."""
    return TrialLog(
        tuple(
            Trial(n, share, crumbles=None if held is None else not held, glazes=None if gave is None else not gave)
            for n, (share, held, gave) in enumerate(entries, 1)
        )
    )


class TestWhereTheNextTrialLies:
    @pytest.mark.parametrize(
        ("entries", "low", "high", "words"),
        [
            # Nothing held: two per cent further at most, and the remedy of the fault table.
            (((0.03, False, None), (0.05, False, None)), 0.05, 0.07, ("up to 5 %", "add 1 % of dry binder")),
            # All held: no more than the least of them, down to two per cent below it, and not below nothing.
            (((0.06, True, None), (0.05, True, None)), 0.03, 0.05, ("It held at 5 %, so not more",)),
            (((0.01, True, None),), 0, 0.01, ("held at 1 %",)),
            # Glazed: less; where only giving off was noted, what gave off is the lower bound.
            (((0.08, None, False), (0.1, None, False)), 0.06, 0.08, ("glazed or gave off badly at 8 %, so less",)),
            (((0.03, None, True), (0.05, None, True), (0.1, None, False)), 0.05, 0.1, ("at 10 %",)),
            (((0.05, True, True), (0.1, None, False)), 0.03, 0.05, ("held at 5 %",)),
            # All gave off: a little more.
            (((0.02, None, True), (0.04, None, True)), 0.04, 0.06, ("gave off well up to 4 %",)),
            # Failed and held, failed and glazed: between them.
            (((0.03, False, None), (0.06, True, None)), 0.03, 0.06, ("did not hold at 3 % and held at 6 %",)),
            (((0.03, False, True), (0.06, None, False)), 0.03, 0.06, ("did not hold at 3 % and glazed or gave off badly at 6 %",)),
            (((0.03, False, True), (0.05, True, True), (0.06, True, False)), 0.03, 0.05, ("did not hold at 3 % and held at 5 %",)),
            (((0.03, False, True), (0.05, True, False), (0.06, True, False)), 0.03, 0.05, ("glazed or gave off badly at 5 %",)),
            # Held below and failed above, glazed below and failed above: between them, and it is said which.
            (((0.03, True, None), (0.05, False, None)), 0.03, 0.05, ("contradict", "at 3 % and not at 5 %")),
            (((0.03, True, False), (0.05, False, None)), 0.03, 0.05, ("badly from 3 %", "up to 5 %", "no share of this alone")),
            (((0.03, True, None), (0.05, False, None), (0.08, None, False)), 0.03, 0.05, ("contradict", "at 3 % and not at 5 %")),
        ],
    )  # fmt: skip
    def test_bounds(
        self, entries: tuple[tuple[float, bool | None, bool | None], ...], low: float, high: float, words: tuple[str, ...]
    ) -> None:
        proposal = propose(results(*entries))
        assert low <= proposal.share.low <= proposal.share.best <= proposal.share.high <= high
        assert all(word in proposal.reason for word in words), proposal.reason
        for share, held, gave in entries:  # what failed or glazed is not suggested again, but in a contradiction
            if (held is False or gave is False) and "contradict" not in words and "no share of this alone" not in words:
                assert proposal.share.best != share

    def test_what_failed_is_never_suggested_again(self) -> None:
        """However much speaks for less, a share that crumbled is not tried again; however much for more, none that glazed."""
        less = propose(results((0.05, False, None), *[(0.052, None, False)] * 10))
        assert 0.05 < less.share.best < 0.052 and "10 trials of giving off" in less.reason and "1 trial of holding" in less.reason
        more = propose(results(*[(0.05, False, None)] * 10, (0.052, None, False)))
        assert 0.05 < more.share.best < 0.052

    def test_words_ask_for_more_or_less(self) -> None:
        """Held, but soft: a bound from below while nothing firm lies below it. Gave off, but shines: a bound from above."""
        soft = propose(TrialLog((Trial(1, 0.05, drops_survived=4, notes="soft"), Trial(2, 0.08, drops_survived=5))))
        assert 0.05 < soft.share.best <= 0.08 and "did not hold at 5 % and held at 8 %" in soft.reason
        firm = propose(TrialLog((Trial(1, 0.04, drops_survived=4), Trial(2, 0.06, drops_survived=5, notes="soft"))))
        assert 0.02 <= firm.share.best <= 0.04 and "It held at 4 %" in firm.reason, "softer than one with less: no matter"
        shines = propose(
            TrialLog(
                (
                    Trial(1, 0.03, drops_survived=0),
                    Trial(2, 0.06, payoff=4, notes="shines"),
                    Trial(3, 0.07, payoff=4, notes="shines"),
                )
            )
        )
        assert 0.03 < shines.share.best <= 0.06 and "began to glaze, by its notes, at 6 %" in shines.reason
        assert (
            shines.gives is not None
            and shines.gives
            < propose(TrialLog((Trial(1, 0.03, drops_survived=0), Trial(2, 0.06, payoff=4), Trial(3, 0.07, payoff=4)))).gives
        ), "it does not count as given off well"  # type: ignore[operator]
        # Words alone: they count as a failure. What was ticked goes before them.
        assert likelihoods(TrialLog((Trial(1, 0.05, notes="crumbled"),)), [0.05]) == likelihoods(
            results((0.05, False, None)), [0.05]
        )
        assert likelihoods(TrialLog((Trial(1, 0.05, notes="shiny"),)), [0.05]) == likelihoods(
            results((0.05, None, False)), [0.05]
        )
        assert likelihoods(TrialLog((Trial(1, 0.05, drops_survived=0, notes="soft"),)), [0.05]) == likelihoods(
            results((0.05, False, None)), [0.05]
        )

    def test_what_counts_as_holding_and_giving_off(self) -> None:
        log = TrialLog((Trial(1, 0.05, 0.03, drops_survived=3, payoff=3),))
        assert "held at 5 %" in propose(log).reason
        assert "Nothing held well yet" in propose(log, drops=4).reason and "gave off badly" in propose(log, payoff=4).reason
        (usual,), (strict,) = likelihoods(log, [0.05]), likelihoods(log, [0.05], drops=4, payoff=4)
        assert usual[0] > strict[0] and usual[1] > strict[1]  # type: ignore[operator]
        assert "held at 3 %" in propose(log, "oil").reason

    def test_what_was_not_noted(self) -> None:
        ((holds, gives),) = likelihoods(results((0.05, True, None)), [0.05])
        assert holds is not None and gives is None
        ((holds, gives),) = likelihoods(results((0.05, None, True)), [0.05])
        assert holds is None and gives is not None
        only_held, only_gave, both = (
            propose(results(e)).reason for e in ((0.05, True, None), (0.05, None, True), (0.05, True, True))
        )
        assert (
            "1 trial of holding and 0 trials of giving off" in only_held
            and "payoff, glaze" in only_held
            and "drops, crumbling" not in only_held
        )
        assert (
            "0 trials of holding and 1 trial of giving off" in only_gave
            and "drops, crumbling" in only_gave
            and "payoff, glaze" not in only_gave
        )
        assert "Nothing was noted" not in both
        for reason, curves in (
            (only_held, "for holding over"),
            (only_gave, "for giving off over"),
            (both, "for holding and giving off over"),
        ):
            assert curves in reason
        assert "rising" in only_held and "falling" not in only_held and "falling" in only_gave and "rising" not in only_gave
        assert "one rising and one falling" in both and "share of binder" in both
        with pytest.raises(BadValue, match="'binder' or 'oil', not 'luck'"):
            likelihoods(results((0.05, True, None)), [0.05], vary="luck")  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="'binder' or 'oil', not 'luck'"):
            propose(results((0.05, True, None)), vary="luck")  # type: ignore[arg-type]

    def test_the_floats_of_one_share_are_one_share(self) -> None:
        """One of two is not held, though a computer calls the two shares different; nor do they differ in the oil."""
        log = TrialLog((Trial(1, 0.05, 0.03, drops_survived=5), Trial(2, 0.05 + 1e-12, 0.03 + 1e-12, drops_survived=0)))
        proposal = propose(log)
        assert 0.05 < proposal.share.best <= 0.07 and "up to 5 %" in proposal.reason and "differ" not in proposal.reason
        assert "differ in oil," in propose(TrialLog((*log.trials, Trial(3, 0.05, 0.0301, payoff=3)))).reason
        for share in (1 / 30, 0.05 / 1.05, 0.0300000004):
            for log in (
                results((share, False, None)),
                results((share, True, None)),
                results((share, None, True)),
                results((share, None, False)),
            ):
                assert propose(log).share.best == pytest.approx(share, abs=0.021)

    def test_a_hundred_trials_weigh_more_than_one(self) -> None:
        """Weights of a thousand results would be less than any float; they still tell where the cake begins to hold."""
        log = results(*[(0.04, False, None)] * 500, *[(0.06, True, None)] * 500)
        (below,), (above,) = likelihoods(log, [0.04]), likelihoods(log, [0.06])
        assert below[0] < 0.03 and above[0] > 0.97  # type: ignore[operator]
        assert 0.04 < propose(log).share.best <= 0.06

    def test_holding_and_giving_off_against_the_same_reckoning_by_arrays(self) -> None:
        """Where both are known, the share of the steps of a tenth per cent at which both together are likeliest, and those within a
        tenth of that likelihood: curves turning at 0.25 to 40 %, of five widths, weighed by exp(-m / 6 %) and by the results."""
        import numpy as np

        entries = ((0.03, False, True), (0.04, False, True), (0.06, True, True), (0.09, True, False), (0.11, True, False))
        turns, widths = np.arange(1, 161)[:, None] * 0.0025, np.array([0.0025, 0.005, 0.01, 0.02, 0.04])[None, :]

        def curve(share: float, sign: int) -> np.ndarray:
            return 1 / (1 + np.exp(np.clip(-sign * (share - turns) / widths, -60, 60)))  # type: ignore[no-any-return]

        def likely(share: float, sign: int) -> float:
            weight = np.exp(-turns / 0.06) * np.ones_like(widths)
            for tried, held, gave in entries:
                chance = 0.02 + 0.96 * curve(tried, sign)
                weight = weight * (chance if (held if sign > 0 else gave) else 1 - chance)
            return float((weight * curve(share, sign)).sum() / weight.sum())

        steps = [round(0.04 + n / 1000, 6) for n in range(1, 21)]  # above what failed, and not above what held: 4.1 to 6 %
        together = [likely(share, 1) * likely(share, -1) for share in steps]
        best = max(together)
        proposal = propose(results(*entries))
        assert proposal.share.best == steps[together.index(best)]
        near = [share for share, value in zip(steps, together, strict=True) if value >= 0.9 * best]
        assert (proposal.share.low, proposal.share.high) == (min(near), max(near))
        assert proposal.holds == pytest.approx(likely(proposal.share.best, 1), abs=1e-6)
        assert proposal.gives == pytest.approx(likely(proposal.share.best, -1), abs=1e-6)


class TestTables:
    def test_headings(self) -> None:
        log = TrialLog((Trial(3, 0.045, crumbles=True, glazes=True),))
        soft, glaze = faults_in("soft, glazed")
        assert [(c.key, c.heading, c.decimals) for c in log._grid().columns] == [
            ("number", "Trial", 0), ("binder", "Binder, %", 2), ("oil", "Oil, %", 2), ("pressure", "MPa", None),
            ("drops", "Drops stood", None), ("crumbles", "Crumbles", None), ("payoff", "Payoff, 0 to 5", None),
            ("glazes", "Glazes", None), ("notes", "Notes", None), ("remedies", "What to try", None),
        ]  # fmt: skip
        assert log.to_frame()["remedies"][0] == f"{soft.remedy}; {glaze.remedy}"
        rungs = ladder(plain(), count=1)
        assert [(c.key, c.heading, c.decimals) for c in rungs._grid().columns] == [
            ("number", "Trial", 0), ("binder", "Binder, % of the cake", 2), ("oil", "Oil, % of the cake", 2), ("weighings", "Weigh", None),
        ]  # fmt: skip
        assert [(c.key, c.heading, c.decimals) for c in propose(log)._grid().columns] == [
            ("share", "Try, % of the cake", None), ("holds", "Likely to hold, %", 0), ("gives", "Likely to give off, %", 0),
        ]  # fmt: skip
        assert [(c.key, c.heading) for c in soft._grid().columns] == [
            ("fault", "Fault"), ("cause", "Cause"), ("remedy", "What to try"), ("source", "Source"),
        ]  # fmt: skip
        assert soft._grid().rows == ((soft.fault, soft.cause, soft.remedy, f"{soft.mark}: {soft.source}"),)
        assert soft.to_text().startswith("Fault\n") and propose(log).to_text().startswith("Suggestion")
