"""The steps at the bench, from tools to patch test, with their times."""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.bibliography import cited, marked, sourced
from histkit.base.grid import Column, Grid
from histkit.base.nouns import figure_text
from histkit.display.tabular import Tabular


@dataclass(frozen=True, slots=True)
class ProcessStep(Tabular):
    """A step at the bench, with how long it takes (seconds) where practice has a figure."""

    id: str
    stage: str
    step: str
    seconds: tuple[int, int] | None
    rounds: int
    detail: str
    mark: str
    source: str

    def timing(self) -> str:
        """The time in words: '20 to 40 s', '2 to 5 min'."""
        if self.seconds is None:
            return ""
        low, high = self.seconds
        size, unit = (86400, "days") if low >= 86400 else (60, "min") if low >= 60 else (1, "s")
        first, last = (figure_text(round(seconds / size, 1)) for seconds in (low, high))
        run = f"{first} {unit}" if first == last else f"{first} to {last} {unit}"
        return f"{run} × {self.rounds}" if self.rounds > 1 else run

    def _grid(self) -> Grid:
        heads = (("stage", "Stage"), ("step", "Step"), ("time", "Time"), ("detail", "How"), ("source", "Source"))
        row = (self.stage, self.step, self.timing(), self.detail, marked(self.mark, self.source))
        return Grid(tuple(Column(key, head) for key, head in heads), (row,), "Step")


def process_steps(stage: str | None = None) -> tuple[ProcessStep, ...]:
    """The steps from tools to patch test in order (`process_steps.csv`: common practice), all or of one stage."""
    return tuple(
        ProcessStep(
            row["id"],
            row["stage"],
            row["step"],
            (int(row["seconds_low"]), int(row["seconds_high"])) if row["seconds_low"] else None,
            int(row["rounds"] or 1),
            row["detail"],
            row["mark"],
            cited(row),
        )
        for row in sourced("bench/process_steps")
        if stage is None or row["stage"] == stage
    )
