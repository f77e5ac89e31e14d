"""Where the next trial lies, by hand and against the same reckoning by arrays."""

from __future__ import annotations

import random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench.proposals import likelihoods, propose
from histkit.bench.trials import Trial, TrialLog

pytestmark = pytest.mark.usefixtures("cupboard")


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


class TestPressureFirst:
    def test_what_crumbles_below_the_window_says_nothing_of_the_binder(self) -> None:
        """5 % crumbles at 0.3 MPa and holds at 6 MPa: it holds at 5 %."""
        log = TrialLog((Trial(1, 0.05, 0.03, 0.3, crumbles=True), Trial(2, 0.05, 0.03, 6.0, drops_survived=5, payoff=4)))
        proposal = propose(log)
        assert proposal.share.best <= 0.05 and "held at 5 %" in proposal.reason and "below the window" in proposal.reason
        assert proposal.change == "share" and proposal.pressure is not None

    def test_harder_before_more(self) -> None:
        proposal = propose(TrialLog((Trial(1, 0.05, 0.03, 0.3, crumbles=True),)))
        assert proposal.change == "pressure" and proposal.share == Spread.exact(0.05)
        assert proposal.pressure is not None and 2.07 <= proposal.pressure.best <= 13.8
        assert proposal.reason.startswith("Press harder first: 0.3 MPa lies below") and "more of it" not in proposal.reason
        usual = propose(TrialLog((Trial(1, 0.05, 0.03, crumbles=True),), pressure=0.3))
        assert usual.change == "pressure", "the maker's usual pressure counts where a trial notes none"

    def test_what_caps_is_pressed_less(self) -> None:
        proposal = propose(TrialLog((Trial(1, 0.05, 0.03, 10.0, crumbles=True, notes="the top caps"),)))
        assert proposal.change == "pressure" and proposal.share == Spread.exact(0.05)
        assert proposal.pressure is not None and proposal.pressure.high <= 10 and proposal.pressure.best < 10
        assert "two passes" in proposal.reason and [f.id for f in proposal.remedies] == ["laminate"]
        assert propose(TrialLog((Trial(1, 0.05, named=("laminate",)),))).change == "pressure"

    def test_too_hard_at_too_much_pressure(self) -> None:
        proposal = propose(TrialLog((Trial(1, 0.05, 0.03, 18.0, glazes=True, payoff=1),)))
        assert proposal.change == "pressure" and proposal.pressure is not None and proposal.pressure.high <= 13.8
        assert "above the window" in proposal.reason

    def test_the_published_levels_are_a_fence(self) -> None:
        """Crumbles at 12 %: as much as was ever published, so no more of it but pressure, kaolin, a finer powder."""
        blind = propose(TrialLog((Trial(1, 0.12, crumbles=True),)))
        assert blind.share.best == 0.12 and blind.change == "neither" and "more of it is no answer" in blind.reason
        assert "Note the pressure" in blind.reason and "kaolin" in blind.reason
        pressed = propose(TrialLog((Trial(1, 0.12, 0.03, 4.0, crumbles=True),)))
        assert pressed.change == "pressure" and pressed.pressure is not None and 4 < pressed.pressure.best < 13.8
        face = propose(TrialLog((Trial(1, 0.05, crumbles=True),), binders=("zinc-stearate",), cake="face powder"))
        assert face.change == "neither" and face.share.best == 0.05, "5 % is the most for a face powder"
        near = propose(TrialLog((Trial(1, 0.11, crumbles=True),)))
        assert near.share.high <= 0.12 and "Not above 12 %" in near.reason

    @pytest.mark.parametrize("words", ["mould", "grey spots of mould", "musty", "smells rancid", "streaks"])
    def test_what_no_share_mends_gets_its_own_remedy(self, words: str) -> None:
        proposal = propose(TrialLog((Trial(1, 0.05, notes=words),)))
        assert proposal.change == "neither" and proposal.share == Spread.exact(0.05) and len(proposal.remedies) == 1
        assert proposal.remedies[0].remedy in proposal.reason and "drop by drop" not in proposal.reason


class TestProposals:
    def log(self) -> TrialLog:
        """Invented results: below 4 % it crumbles, above 8 % it glazes."""
        results = (
            (0.02, 0, 5, False),
            (0.03, 1, 5, False),
            (0.05, 4, 5, False),
            (0.06, 6, 4, False),
            (0.09, 9, 1, True),
            (0.11, 9, 0, True),
        )
        return TrialLog(
            tuple(Trial(n, share, 0.03, drops_survived=d, payoff=p, glazes=g) for n, (share, d, p, g) in enumerate(results, 1)),
            "invented",
        )

    def test_the_proposal_lies_between_crumbling_and_glazing(self) -> None:
        proposal = propose(self.log())
        assert 0.045 <= proposal.share.best <= 0.075
        assert proposal.share.low <= proposal.share.best <= proposal.share.high
        assert proposal.holds > 0.6 and proposal.gives > 0.6
        assert "suggestion" in proposal.reason.lower()

    def test_more_evidence_makes_it_surer(self) -> None:
        few = self.log()
        many = TrialLog(tuple(Trial(10 * t.number + k, t.binder_share, payoff=t.payoff, glazes=t.glazes, drops_survived=t.drops_survived)
                              for t in few.trials for k in range(6)))  # fmt: skip
        assert propose(many).holds > propose(few).holds

    def test_one_press_that_held_is_never_followed_by_more(self) -> None:
        """Held at 6.25 %: the next is no stronger, whether or not it gave off."""
        for more in ({}, {"payoff": 4}, {"glazes": False}):
            proposal = propose(TrialLog((Trial(1, 0.0625, drops_survived=5, **more),)))
            assert 0.04 < proposal.share.best <= 0.0625 and proposal.share.high <= 0.0625
            assert "held at 6.25 %" in proposal.reason
        glazed = propose(TrialLog((Trial(1, 0.0625, drops_survived=5, glazes=True),)))
        assert 0.04 < glazed.share.best < 0.0625 and "glazed or gave off badly at 6.25 %" in glazed.reason

    def test_results_of_one_kind_only(self) -> None:
        crumbling = propose(TrialLog((Trial(1, 0.03, crumbles=True), Trial(2, 0.05, crumbles=True))))
        assert 0.05 < crumbling.share.best <= 0.07 and "press harder" in crumbling.reason
        glazing = propose(TrialLog((Trial(1, 0.10, glazes=True), Trial(2, 0.08, glazes=True))))
        assert 0.06 <= glazing.share.best < 0.08
        assert crumbling.gives is None and glazing.holds is None
        assert crumbling.holds is not None and 0 < crumbling.holds < 0.5 and "payoff" in crumbling.reason
        assert "–" in crumbling.to_text()
        gave = propose(TrialLog((Trial(1, 0.05, payoff=5),)))
        assert 0.05 <= gave.share.best <= 0.07
        with pytest.raises(BadValue, match="no trial"):
            propose(TrialLog((Trial(1, 0.05),)))
        with pytest.raises(BadValue, match="'binder' or 'oil'"):
            propose(self.log(), vary="luck")  # type: ignore[arg-type]

    def test_all_held_asks_for_no_more_than_the_least(self) -> None:
        proposal = propose(TrialLog(tuple(Trial(n, n / 100, drops_survived=4) for n in range(3, 9))))
        assert 0.01 <= proposal.share.best <= 0.03 and proposal.share.high <= 0.03

    def test_between_one_that_failed_and_one_that_held(self) -> None:
        proposal = propose(TrialLog((Trial(1, 0.03, drops_survived=0), Trial(2, 0.06, drops_survived=5))))
        assert 0.03 < proposal.share.best <= 0.06
        assert "did not hold at 3 % and held at 6 %" in proposal.reason
        close = propose(TrialLog((Trial(1, 0.03, drops_survived=0), Trial(2, 0.0301, drops_survived=5))))
        assert 0.03 < close.share.best <= 0.0301

    def test_contradictions_are_said_and_stayed_within(self) -> None:
        slip = propose(TrialLog((Trial(1, 0.05, drops_survived=4), Trial(2, 0.06, drops_survived=0))))
        assert 0.05 <= slip.share.best <= 0.06 and "contradict" in slip.reason and "5 % and not at 6 %" in slip.reason
        neither = propose(TrialLog((Trial(1, 0.08, drops_survived=0, payoff=5), Trial(2, 0.06, glazes=True, drops_survived=0))))
        assert 0.06 <= neither.share.best <= 0.08 and "no share of this alone does both" in neither.reason
        one = propose(TrialLog((Trial(1, 0.06, drops_survived=0, glazes=True),)))
        assert one.share == Spread.exact(0.06) and "change the oil" in one.reason

    def test_one_slip_among_many_does_not_decide(self) -> None:
        steady = [Trial(n, n / 200, drops_survived=5 if n >= 8 else 0) for n in range(2, 20)]
        slip = Trial(50, 0.08, drops_survived=0)
        assert propose(TrialLog((*steady, slip))).share.best == pytest.approx(
            propose(TrialLog(tuple(steady))).share.best, abs=0.012
        )
        twice = [Trial(60, 0.05, drops_survived=0), Trial(61, 0.05, drops_survived=5), Trial(62, 0.05, drops_survived=6)]
        assert propose(TrialLog(tuple(twice))).share.best <= 0.05, "two of three held"
        assert propose(TrialLog(tuple(twice[:2]))).share.best > 0.05, "one of two is not held"

    def test_words_count_where_nothing_was_ticked(self) -> None:
        assert propose(TrialLog((Trial(1, 0.05, notes="it crumbled"),))).share.best > 0.05
        assert propose(TrialLog((Trial(1, 0.05, notes="shiny and hard"),))).share.best < 0.05
        soft = propose(TrialLog((Trial(1, 0.05, drops_survived=4, notes="but a bit soft, crumbs at the rim"),)))
        assert 0.055 < soft.share.best <= 0.07, "it held, but its words ask for more"
        much = propose(TrialLog((Trial(1, 0.05, payoff=4, notes="shines a little"),)))
        assert much.share.best <= 0.05 and "began to glaze" in much.reason
        assert propose(TrialLog((Trial(1, 0.05, 0.04, payoff=4, notes="spots of oil"),)), vary="oil").share.best <= 0.04

    @pytest.mark.parametrize("sign", [1, -1])
    def test_likelihoods_and_spread_against_the_same_reckoning_by_arrays(self, sign: int) -> None:
        """All curves turning at 0.25 to 40 %, of five widths, weighed by exp(-m / 6 %) and by how well they explain the results."""
        import numpy as np

        results = ((0.03, False), (0.04, False), (0.08, True), (0.12, True), (0.13, True))
        if sign > 0:
            log = TrialLog(tuple(Trial(n, share, crumbles=not good) for n, (share, good) in enumerate(results)))
        else:
            results = tuple((share, not good) for share, good in results)
            log = TrialLog(tuple(Trial(n, share, glazes=not good) for n, (share, good) in enumerate(results)))
        turns = np.arange(1, 161)[:, None] * 0.0025
        widths = np.array([0.0025, 0.005, 0.01, 0.02, 0.04])[None, :]
        weight = np.exp(-turns / 0.06) * np.ones_like(widths)
        for share, good in results:
            chance = 0.02 + 0.96 / (1 + np.exp(np.clip(-sign * (share - turns) / widths, -60, 60)))
            weight = weight * (chance if good else 1 - chance)
        weight = weight / weight.sum()
        for share in (0.02, 0.05, 0.055, 0.2):
            wanted = float((weight / (1 + np.exp(np.clip(-sign * (share - turns) / widths, -60, 60)))).sum())
            ((hold, give),) = likelihoods(log, [share])
            assert (hold if sign > 0 else give) == pytest.approx(wanted, abs=1e-6)
        proposal = propose(log)
        likely = proposal.holds if sign > 0 else proposal.gives
        assert likely is not None and likely >= 2 / 3
        step = 0.001
        ((hold, give),) = likelihoods(log, [proposal.share.best - sign * step])
        beyond = hold if sign > 0 else give
        assert beyond is not None and beyond < 2 / 3, "the first share that is likely enough"
        summed = np.cumsum(weight.sum(axis=1))
        quarter, three = (float(turns[np.argmax(summed >= q), 0]) for q in (0.25, 0.75))
        half = (three - quarter) / 2
        low, high = (0.04, 0.08)  # what failed and what held (or gave, and glazed) bound it
        assert proposal.share.low == pytest.approx(max(low, proposal.share.best - half))
        assert proposal.share.high == pytest.approx(min(high, proposal.share.best + half))

    def test_the_spread_where_no_bound_cuts_it(self) -> None:
        """Failed at 0.5 %, held at 12 %: far apart, so that the spread is the middle half of where the curve may turn."""
        wide = propose(TrialLog((Trial(1, 0.005, crumbles=True), Trial(2, 0.12, crumbles=False))))
        assert 0.005 < wide.share.low < wide.share.best < wide.share.high < 0.12
        assert wide.share.high - wide.share.best == pytest.approx(wide.share.best - wide.share.low)
        many = [Trial(n, 0.005, crumbles=True) for n in range(5)] + [Trial(n, 0.12, crumbles=False) for n in range(5, 10)]
        near = [Trial(20, 0.04, crumbles=True), Trial(21, 0.055, crumbles=False)]
        narrow = propose(TrialLog((*many, *near)))
        assert narrow.share.high - narrow.share.low < wide.share.high - wide.share.low

    def test_what_else_differs_is_said(self) -> None:
        assert "differ" not in propose(self.log()).reason
        mixed = TrialLog((Trial(1, 0.03, 0.02, 3.0, drops_survived=1), Trial(2, 0.05, 0.03, 5.0, drops_survived=4)))
        assert "also differ in oil and pressure" in propose(mixed).reason
        assert "also differ in binder and pressure" in propose(mixed, vary="oil").reason

    @given(
        st.lists(
            st.tuples(
                st.integers(0, 400), st.sampled_from([None, 0, 2, 3, 9]), st.sampled_from([None, True, False]),
                st.sampled_from([None, 0, 3, 5]), st.sampled_from(["", "soft", "glazed", "spots"]),
            ),
            min_size=1, max_size=12,
        ),
        st.sampled_from(["binder", "oil"]),
        st.randoms(),
    )  # fmt: skip
    @settings(deadline=None)
    def test_a_proposal_keeps_its_bounds(
        self, entries: list[tuple[int, int | None, bool | None, int | None, str]], vary: str, order: random.Random
    ) -> None:
        """Above all that failed and not above what held, wherever the results allow both; never far from what was tried."""
        trials = [
            Trial(n, *((s / 1000, 0.03) if vary == "binder" else (0.05, s / 1000)), None, drops, crumbles, payoff, None, notes)
            for n, (s, drops, crumbles, payoff, notes) in enumerate(entries)
        ]
        if all(t.held() is None and t.gave() is None and not t.notes for t in trials):
            return
        try:
            proposal = propose(TrialLog(tuple(trials)), vary)  # type: ignore[arg-type]
        except BadValue as error:
            assert "no trial" in str(error)
            return
        share = {t.number: t.binder_share if vary == "binder" else t.oil_share for t in trials}
        fence = 0.12 if vary == "binder" else 0.08
        assert 0 <= proposal.share.low <= proposal.share.best <= proposal.share.high < 0.43
        assert proposal.change != "share" or min(share.values()) - 0.0200001 <= proposal.share.best
        assert proposal.share.best <= max(share.values()) + 0.0200001
        assert proposal.share.best <= max(fence, *share.values()), "nothing beyond what was published or tried"
        shuffled = list(trials)
        order.shuffle(shuffled)
        assert propose(TrialLog(tuple(shuffled)), vary).share.best == pytest.approx(proposal.share.best)  # type: ignore[arg-type]
        votes: dict[float, int] = {}
        for t in trials:
            if t.held() is not None:
                votes[share[t.number]] = votes.get(share[t.number], 0) + (1 if t.held() else -1)
        wordless = all(not t.notes for t in trials)
        stood, failed = [s for s, v in votes.items() if v > 0], [s for s, v in votes.items() if v <= 0]
        if (
            proposal.change == "share"
            and wordless
            and all(t.gave() is not False for t in trials)
            and not (stood and failed and min(stood) <= max(failed))
        ):
            assert all(proposal.share.best > s for s in failed)
            assert all(proposal.share.best <= s for s in stood)
        if proposal.change != "share" and failed:
            soft = [share[t.number] for t in trials if t.notes == "soft"]  # a word counts as a trial that did not hold
            assert max(failed + soft) >= fence, "only where as much as was ever published did not do"

    def test_a_proposal_as_a_table(self) -> None:
        proposal = propose(self.log())
        frame = proposal.to_frame()
        assert frame.iloc[0].tolist() == [
            str(proposal.share * 100),
            pytest.approx(100 * proposal.holds),
            pytest.approx(100 * proposal.gives),
        ]  # type: ignore[operator]
        text = proposal.to_text()
        markdown = proposal.to_markdown()  # in a terminal the heads are wrapped
        assert all(head in markdown for head in ("Try, % of the cake", "Likely to hold, %", "Likely to give off, %"))
        for head in (
            "Suggestion for the next trial",
            "common practice, no source",
        ):
            assert head in text
