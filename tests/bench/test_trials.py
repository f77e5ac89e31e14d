"""What was noted of trial presses, and their log."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from histkit.base.errors import BadValue
from histkit.bench.faults import faults_in
from histkit.bench.ladders import ladder
from histkit.bench.proposals import propose
from histkit.bench.trials import Trial, TrialLog
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


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
            ({"payoff": 0}, {"payoff"}), ({"payoff": 1}, set()), ({"crumbles": False, "glazes": False}, set()),
            ({"crumbles": True, "notes": "not glazed"}, {"soft"}),
        ],
    )  # fmt: skip
    def test_what_was_ticked_speaks_like_words(self, noted: dict[str, object], faults: set[str]) -> None:
        assert {f.id for f in Trial(1, 0.05, **noted).faults()} == faults  # type: ignore[arg-type]

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


class TestLog:
    def test_log_in_a_file(self) -> None:
        crumbled, held, glazed = (
            Trial(1, 0.02, 0.03, drops_survived=0, crumbles=True),
            Trial(2, 0.05, payoff=5),
            Trial(3, 0.1, glazes=True),
        )
        log = TrialLog((crumbled, held, replace(glazed, pressure=2.5, notes="shiny ℥")), "invented")
        assert TrialLog.from_json(log.to_json()) == log
        changed = log.add(Trial(2, 0.03, payoff=3))
        assert len(changed.trials) == len(log.trials) and changed.trials[1].payoff == 3
        for broken in ("", "{}", '{"name": "", "trials": [{"number": 1, "binder_share": 0.1, "colour": "red"}]}'):
            with pytest.raises(BadValue):
                TrialLog.from_json(broken)
        for wrong in ({"binder_share": 1}, {"binder_share": 0.1, "payoff": 6}, {"binder_share": 0.1, "pressure": -2}):
            with pytest.raises(BadValue, match="trial 1"):
                Trial(1, **wrong)  # type: ignore[arg-type]

    def test_the_table_of_trials(self) -> None:
        log = TrialLog((Trial(3, 0.045, 0.03, 5.5, 2, True, 4, False, "crumbs at the rim"), Trial(4, 0.05)), "invented")
        soft = next(f for f in faults_in("soft") if f.id == "soft")
        columns = ["number", "binder", "oil", "pressure", "drops", "crumbles", "payoff", "glazes", "notes", "remedies"]
        frame = log.to_frame()
        assert list(frame.columns) == columns
        assert frame.iloc[0].tolist() == [3, 4.5, 3.0, 5.5, 2, True, 4, False, "crumbs at the rim", soft.remedy]
        assert frame.iloc[1].tolist()[:3] == [4, 5.0, 0.0] and frame.iloc[1]["notes"] == frame.iloc[1]["remedies"] == ""
        text = log.to_text()
        assert text.startswith("Trials: invented\n") and TrialLog().to_text().startswith("Trials\n")
        for head in (
            "Trial",
            "Binder, %",
            "Oil, %",
            "MPa",
            "Drops stood",
            "Crumbles",
            "Payoff, 0 to 5",
            "Glazes",
            "Notes",
            "What to try",
        ):
            assert head in text
        assert log.trials[0].to_frame().iloc[0].tolist() == frame.iloc[0].tolist() and log.trials[0].to_text().startswith(
            "Trial 3\n"
        )

    def test_a_log_that_is_none_is_told(self) -> None:
        with pytest.raises(
            BadValue,
            match="a trial has no colour; it has binder_share, crumbles, date, drop_height_mm, drop_surface, drops_survived, glazes",
        ):
            TrialLog.from_json('{"name": "", "trials": [{"number": 1, "binder_share": 0.1, "colour": "red"}]}')
        with pytest.raises(BadValue, match="not a trial log that histkit wrote"):
            TrialLog.from_json('{"trials": []}')
        assert TrialLog.from_json('{"name": "x ℥", "trials": []}') == TrialLog((), "x ℥")
        assert "℥" in TrialLog((), "x ℥").to_json()

    def test_held_and_gave(self) -> None:
        assert Trial(1, 0.05).held() is None and Trial(1, 0.05).gave() is None
        assert Trial(1, 0.05, drops_survived=3).held() and not Trial(1, 0.05, drops_survived=2).held()
        assert not Trial(1, 0.05, drops_survived=9, crumbles=True).held()
        assert Trial(1, 0.05, payoff=3).gave() and not Trial(1, 0.05, payoff=5, glazes=True).gave()


class TestMeasured:
    def test_what_was_measured_stands_in_the_table_where_it_was_noted(self) -> None:
        trial = Trial(
            1, 0.05, 0.03, 5.0, 3, notes="firm", named=("streaks",), date="3 May", drop_height_mm=250, drop_surface="wood",
            lost_share=0.02, payoff_mg=4.5, photograph="trial-1.jpg",
        )  # fmt: skip
        row = TrialLog((trial, Trial(2, 0.06))).to_frame().iloc[0]
        assert row["date"] == "3 May" and row["drop"] == "250 mm onto wood" and row["lost"] == 2 and row["weighed"] == 4.5
        assert (
            row["photograph"] == "trial-1.jpg" and row["notes"] == "streaks of colour; firm" and "white paper" in row["remedies"]
        )
        assert TrialLog.from_json(TrialLog((trial,), "x", 3.0, ("talc",), (), "face powder").to_json()).trials == (trial,)

    @pytest.mark.parametrize(
        ("noted", "told"),
        [
            ({"drop_height_mm": 0}, "height of the drop"), ({"drop_height_mm": 5000}, "at most 3000 mm"),
            ({"lost_share": 2}, "share from 0 to 1"), ({"payoff_mg": -1}, "payoff_mg"), ({"named": ("dragons",)}, "known are"),
        ],
    )  # fmt: skip
    def test_what_cannot_be_is_refused(self, noted: dict[str, object], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            Trial(1, 0.05, **noted)  # type: ignore[arg-type]

    def test_old_logs_still_open(self) -> None:
        old = '{"name": "old", "trials": [{"number": 1, "binder_share": 0.05, "oil_share": 0.0, "pressure": null, "payoff": 4}]}'
        assert TrialLog.from_json(old) == TrialLog((Trial(1, 0.05, payoff=4),), "old")


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
