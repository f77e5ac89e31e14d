"""Small test presses: what to weigh for each, what came of them, and a suggestion for the next one; kept in the record."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue
from histkit.bench.faults import Fault
from histkit.bench.ladders import Ladder
from histkit.bench.trials import Trial, TrialLog, Varied
from histkit.keeping.records import Record
from histkit.panels.parts import (
    ROW,
    Troubles,
    button,
    choice,
    folded,
    good,
    kindly,
    live,
    number,
    paragraph,
    result,
    text_field,
    whole_number,
)
from histkit.panels.state import Desk

NOT_TRIED = ("not tried", "")
YES_NO: tuple[tuple[str, Any], ...] = (NOT_TRIED, ("yes", "yes"), ("no", "no"))
_MEANING: dict[str, bool | None] = {"": None, "yes": True, "no": False}
_WORDS = {meaning: words for words, meaning in _MEANING.items()}


def plan(record: Record, vary: Varied, count: int, grams_each: float, step: float) -> Ladder:
    """Small presses around the chosen share, weighed on the maker's own balance, numbered after those that have a result.

    Raises:
        HistkitError: it is not pressed, or something in it must not be used.
    """
    if record.pressing is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    rungs = record.ladder(vary, count, grams_each, step)
    before = max((trial.number for trial in record.trials if has_result(trial)), default=0)
    steps = (replace(s, trial=replace(s.trial, number=before + place)) for place, s in enumerate(rungs.steps, start=1))
    return replace(rungs, steps=tuple(steps))


def plan_view(rungs: Ladder) -> str:
    """What to weigh for each test press."""
    first = paragraph(f"Blend {rungs.powder_grams:g} g of the powder first; each test press is weighed from it.")
    return live(first + rungs.to_html())


def log_view(record: Record, vary: Varied) -> str:
    """What came of the test presses, with what to try against a fault, and the suggestion for the next one."""

    def view() -> str:
        if not record.trials:
            return ""
        log = record.log()
        remedies = folded("What to try against each fault, with the sources", faults_view(log)) if faults_of(log) else ""
        try:
            proposal = record.proposal(vary)
        except BadValue:
            return log.to_html() + paragraph("As soon as one result is noted, a share for the next press is suggested here.")
        return log.to_html() + remedies + log.to_svg(vary, proposal) + proposal.to_html()

    return live(kindly(view))


def faults_of(log: TrialLog) -> tuple[Fault, ...]:
    """The faults that the results and notes of a log speak of, each once."""
    return tuple(dict.fromkeys(fault for trial in log.trials for fault in trial.faults()))


def faults_view(log: TrialLog) -> str:
    """Cause, remedy and source of each fault of a log."""
    return "".join(
        paragraph(f"{f.fault[:1].upper()}{f.fault[1:]}: {f.cause}. Try: {f.remedy}. Source: {f.source}.") for f in faults_of(log)
    )


# -- what is changed --------------------------------------------------------------------------------------------------


def has_result(trial: Trial) -> bool:
    """Whether anything was noted of it."""
    return bool(trial.notes) or trial.held() is not None or trial.gave() is not None


def with_planned(record: Record, rungs: Ladder) -> Record:
    """The record with the presses of a plan after those that have a result; planned ones without any make room."""
    return replace(record, trials=(*filter(has_result, record.trials), *rungs.log.trials))


def with_noted(record: Record, number: int, **noted: Any) -> Record:
    """The record with more noted of one trial.

    Raises:
        BadValue: the trial is no longer there, or what is noted makes no sense.
    """
    trial = next((t for t in record.trials if t.number == number), None)
    if trial is None:
        raise BadValue(f"trial {number} is no longer in the log: it was planned anew in another notebook")
    return replace(record, trials=record.log().add(replace(trial, **noted)).trials)


def with_suggested(record: Record, vary: Varied) -> Record:
    """The record with the share that the trials suggest.

    Raises:
        BadValue: it stays a loose powder, or no trial has a result yet.
    """
    if record.pressing is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    share, now = record.proposal(vary).share.best, record.pressing
    return replace(record, pressing=replace(now, binder_share=share) if vary == "binder" else replace(now, oil_share=share))


# -- the fields -------------------------------------------------------------------------------------------------------


class TrialRow:
    """What came of one test press."""

    def __init__(self, table: Desk, trial: Trial, troubles: Troubles) -> None:
        self.table, self.number, self.troubles, self.busy = table, trial.number, troubles, False
        n, share = self.number, f"binder {100 * trial.binder_share:.4g} %, oil {100 * trial.oil_share:.4g} %"
        self.fields: dict[str, Any] = {
            "drops_survived": choice(f"Trial {n}: drops stood", _figures(20), "", "19em"),
            "crumbles": choice(f"Trial {n}: crumbles", YES_NO, "", "17em"),
            "payoff": choice(f"Trial {n}: payoff, 0 to 5", _figures(5), "", "20em"),
            "glazes": choice(f"Trial {n}: glazes", YES_NO, "", "16em"),
            "notes": text_field(f"Trial {n}: notes", "", "26em", "sticks to the press, cracks …"),
        }
        self.show(trial)
        for name, field in self.fields.items():
            field.observe(lambda change, name=name: self._note(name, change["new"]), names="value")
        self.box = widgets.VBox(
            [widgets.HTML(paragraph(f"Trial {n}: {share}")), widgets.HBox(list(self.fields.values()), layout=ROW)]
        )

    def show(self, trial: Trial) -> None:
        """Put what is noted into the fields."""
        self.busy = True
        try:
            for name, field in self.fields.items():
                value = getattr(trial, name)
                shown = _WORDS[value] if name in ("crumbles", "glazes") else "" if value is None else value
                if isinstance(field, widgets.Dropdown) and shown not in [v for _, v in field.options]:
                    field.options = [*field.options, (str(shown), shown)]
                if field.value != shown:
                    field.value = shown
        finally:
            self.busy = False

    def _note(self, name: str, value: Any) -> None:
        if self.busy:
            return
        if name in ("crumbles", "glazes"):
            noted: Any = _MEANING[value]
        else:
            noted = None if value == "" and name != "notes" else value
        self.troubles.attempt(
            f"trial {self.number} {name}",
            lambda: self.table.edit(lambda record: with_noted(record, self.number, **{name: noted})),
        )


def _figures(most: int) -> list[tuple[str, Any]]:
    return [NOT_TRIED, *((str(figure), figure) for figure in range(most + 1))]


class TrialsBox:
    """How many test presses, what to weigh, a row of results for each, and the suggestion."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.results, self.done = Troubles(), result(), result(), result()
        self.vary = choice("Vary", [("the dry binder", "binder"), ("the oil", "oil")], "binder", "16em")
        self.count = whole_number("Test presses", 5, 2, 9, "13em")
        self.each = number("Grams each", 5, 0.5, 100, 0.5, "13em")
        self.step = number("Apart, % of the cake", 1, 0.1, 10, 0.25, "17em")
        self.rows: dict[tuple[int, float, float], TrialRow] = {}
        self.place = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.seen: tuple[Any, ...] = ()
        self.children = [
            widgets.HBox([self.vary, self.count, self.each, self.step], layout=ROW),
            button("Work out test presses", self.work_out, self.troubles),
            self.troubles.place,
            self.shown,
            self.place,
            self.results,
            self.done,
        ]
        self.vary.observe(lambda _: self.refresh(self.table.record), names="value")

    def work_out(self) -> None:
        """Plan the test presses, and lay an empty row for the result of each."""
        planned: list[Ladder] = []

        def put(record: Record) -> Record:
            rungs = plan(record, self.vary.value, self.count.value, self.each.value, self.step.value / 100)
            planned.append(rungs)
            return with_planned(record, rungs)

        self.table.edit(put)
        self.shown.value = plan_view(planned[-1])

    def refresh(self, record: Record) -> None:
        """Show the trials of the record, what they suggest, and a row for each."""
        seen = (record.trials, self.vary.value, record.title)
        if seen == self.seen:  # the suggestion takes longer to work out than a step of a slider may
            return
        self.seen = seen
        self.results.value = log_view(record, self.vary.value)
        trials = {(t.number, t.binder_share, t.oil_share): t for t in record.trials}
        if list(trials) != list(self.rows):
            self.rows = {key: self.rows.get(key) or TrialRow(self.table, trial, self.troubles) for key, trial in trials.items()}
            use = button("Use the suggested share", self.use, self.troubles)
            words = widgets.HTML(paragraph("Write down what came of each; it is kept as you go."))
            self.place.children = [words, *(row.box for row in self.rows.values()), use] if trials else []
        for key, row in self.rows.items():
            row.show(trials[key])

    def use(self) -> None:
        """Take the suggested share over into the formula."""
        vary = self.vary.value
        self.table.edit(lambda record: with_suggested(record, vary))
        pressing = self.table.record.pressing
        assert pressing is not None  # else the suggestion was refused
        share = pressing.binder_share if vary == "binder" else pressing.oil_share
        self.done.value = good(f"The {vary} is now {100 * share:.3g} % of the cake.")
