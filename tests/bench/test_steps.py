"""Steps at the bench and their times."""

from __future__ import annotations

from histkit.bench.steps import ProcessStep, process_steps


def test_times_in_words() -> None:
    def timing(seconds: tuple[int, int] | None, rounds: int = 1) -> str:
        return ProcessStep("x", "blend", "x", seconds, rounds, "", "common practice", "no source").timing()

    assert [timing(s) for s in ((2, 5), (20, 59), (59, 120), (60, 180), (90, 150), (86399, 90000))] == [
        "2 to 5 s", "20 to 59 s", "59 to 120 s", "1 to 3 min", "1.5 to 2.5 min", "1,440 to 1,500 min",
    ]  # fmt: skip
    assert timing((100, 200)) == "1.7 to 3.3 min" and timing((100000, 200000)) == "1.2 to 2.3 days"
    assert timing((86400, 172800)) == "1 to 2 days" and timing((30, 30)) == "30 s" and timing((120, 120)) == "2 min"
    assert timing((20, 40), 2) == "20 to 40 s × 2" and timing((20, 40), 3).endswith("× 3") and timing(None, 3) == ""


def test_every_step_says_what_and_where_from() -> None:
    for step in process_steps():
        assert step.step and step.source == "common practice, no source" and step.rounds in (1, 3)
        row = step.to_frame().iloc[0]
        assert row.tolist() == [step.stage, step.step, step.timing(), step.detail, "common practice, no source"]
    assert {s.id: s.rounds for s in process_steps()}["oil"] == 3 and any(s.detail for s in process_steps())


def test_steps_at_the_bench() -> None:
    steps = process_steps()
    assert steps[0].id == "tools" and steps[-1].id == "patch"
    by_id = {s.id: s for s in steps}
    assert by_id["blend"].seconds == (20, 40) and by_id["rest"].timing() == "1.5 to 2.5 min"
    assert [s.id for s in steps].index("clumps") < [s.id for s in steps].index("oil") < [s.id for s in steps].index("again")
    assert all(s.mark == "common practice" for s in steps)
    assert {s.stage for s in process_steps("press")} == {"press"}
