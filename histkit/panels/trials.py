"""Small test presses: what to weigh for each, what came of them, and a suggestion for the next one."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from histkit.batching import Balance
from histkit.display.plots import trial_plot
from histkit.errors import BadValue, HistkitError
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
    result,
    text_field,
    told,
    whole_number,
)
from histkit.panels.state import Desk
from histkit.records import Record, RecordError, write_atomically
from histkit.trials import Fault, Ladder, Trial, TrialLog, Varied, ladder, propose

NOT_TRIED = ("not tried", "")
YES_NO: tuple[tuple[str, Any], ...] = (NOT_TRIED, ("yes", "yes"), ("no", "no"))
_MEANING: dict[str, bool | None] = {"": None, "yes": True, "no": False}


def plan(record: Record, vary: Varied, count: int, grams_each: float, step: float) -> Ladder:
    """Small presses around the chosen share, weighed on the maker's own balance.

    Raises:
        HistkitError: it is not pressed, or something in it must not be used.
    """
    pressed, w = record.pressed(), record.weighing
    if pressed is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    return ladder(pressed, count=count, grams_each=grams_each, step=step, vary=vary, balance=Balance(w.readability, w.minimum))


def plan_view(made: Ladder) -> str:
    """What to weigh for each test press."""
    return live(told(f"Blend {made.powder_grams:g} g of the powder first; each test press is weighed from it.") + made.to_html())


def log_view(log: TrialLog, vary: Varied) -> str:
    """What came of the test presses, with what to try against a fault, and the suggestion for the next one."""

    def view() -> str:
        if not log.trials:
            return ""
        remedies = folded("What to try against each fault, with the sources", faults_view(log)) if faults_of(log) else ""
        try:
            made = propose(log, vary)
        except BadValue:
            return log.to_html() + told("As soon as one result is noted, a share for the next press is suggested here.")
        return log.to_html() + remedies + trial_plot(log, vary, made) + made.to_html()

    return live(kindly(view))


def faults_of(log: TrialLog) -> tuple[Fault, ...]:
    """The faults that the results and notes of a log speak of, each once."""
    return tuple(dict.fromkeys(fault for trial in log.trials for fault in trial.faults()))


def faults_view(log: TrialLog) -> str:
    """Cause, remedy and source of each fault of a log."""
    return "".join(
        told(f"{f.fault[:1].upper()}{f.fault[1:]}: {f.cause}. Try: {f.remedy}. Source of the {f.source}.") for f in faults_of(log)
    )


class TrialLogFile:
    """The log of a desk, kept in a file of its own beside the record."""

    def __init__(self, table: Desk) -> None:
        self.table = table

    @property
    def path(self) -> Path | None:
        place = self.table.path
        return place.with_name(f"{place.stem}-test-presses.json") if place is not None else None

    def load(self) -> TrialLog:
        """The log; an empty one where there is none yet.

        Raises:
            HistkitError: the file is no log.
        """
        path = self.path
        if path is None or not path.exists():
            return TrialLog()
        try:
            return TrialLog.from_json(path.read_text(encoding="utf-8"))
        except (OSError, UnicodeDecodeError) as error:
            raise RecordError(f"{path.name} cannot be read: {error}") from error
        except HistkitError as error:
            raise RecordError(f"{path.name}: {error}. Move the file away to begin a new log.") from error

    def save(self, log: TrialLog) -> None:
        """Keep the log.

        Raises:
            RecordError: it cannot be saved.
        """
        if self.path is not None:
            write_atomically(self.path, log.to_json())

    def set_aside(self) -> str:
        """Keep a log with results under another name before a new one begins; a sentence about it, or nothing."""
        path = self.path
        if path is None or not path.exists():
            return ""
        aside = path.with_name(f"{path.stem}-set-aside{path.suffix}")
        write_atomically(aside, path.read_bytes())
        return f" The log from before is kept in {aside.name}."


class TrialsBox:
    """The fields: how many test presses, what to weigh, a row of results for each, and the suggestion."""

    def __init__(self, table: Desk) -> None:
        self.table, self.file = table, TrialLogFile(table)
        self.log = TrialLog()
        self.troubles, self.shown, self.results, self.done = Troubles(), result(), result(), result()
        self.vary = choice("Vary", [("the dry binder", "binder"), ("the oil", "oil")], "binder", "16em")
        self.count = whole_number("Test presses", 5, 2, 9, "13em")
        self.each = number("Grams each", 5, 0.5, 100, 0.5, "13em")
        self.step = number("Apart, % of the cake", 1, 0.1, 10, 0.25, "17em")
        self.rows = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.children = [
            widgets.HBox([self.vary, self.count, self.each, self.step], layout=ROW),
            button("Work out test presses", self.work_out, self.troubles),
            self.troubles.place,
            self.shown,
            self.rows,
            self.results,
            self.done,
        ]
        self.vary.observe(lambda _: self.refresh(), names="value")
        self.troubles.attempt("log", self._open)

    def _open(self) -> None:
        self.log = self.file.load()
        self._make_rows()
        self.refresh()

    def work_out(self) -> None:
        """Plan the test presses, and lay an empty row for the result of each."""
        made = plan(self.table.record, self.vary.value, self.count.value, self.each.value, self.step.value / 100)
        aside = self.file.set_aside() if any(_has_result(t) for t in self.log.trials) else ""
        self.file.save(made.log)
        self.log = made.log
        self.shown.value = plan_view(made)
        self.done.value = good(f"Planned.{aside}")
        self._make_rows()
        self.refresh()

    def refresh(self) -> None:
        """Show the log and the suggestion as they are now."""
        self.results.value = log_view(self.log, self.vary.value)

    def _make_rows(self) -> None:
        self.rows.children = [self._row(trial) for trial in self.log.trials]
        if self.log.trials:
            use = button("Use the suggested share", self.use, self.troubles)
            self.rows.children = [
                widgets.HTML(told("Write down what came of each; it is kept as you go.")),
                *self.rows.children,
                use,
            ]

    def _row(self, trial: Trial) -> widgets.HBox:
        n = trial.number
        said = {True: "yes", False: "no", None: ""}

        def figures(most: int) -> list[tuple[str, Any]]:
            return [NOT_TRIED, *((str(d), d) for d in range(most + 1))]

        def figure(value: int | None) -> int | str:
            return "" if value is None else value

        drops = max(20, trial.drops_survived or 0)
        fields: dict[str, Any] = {
            "drops_survived": choice(f"Trial {n}: drops stood", figures(drops), figure(trial.drops_survived), "19em"),
            "crumbles": choice(f"Trial {n}: crumbles", YES_NO, said[trial.crumbles], "17em"),
            "payoff": choice(f"Trial {n}: payoff, 0 to 5", figures(5), figure(trial.payoff), "20em"),
            "glazes": choice(f"Trial {n}: glazes", YES_NO, said[trial.glazes], "16em"),
            "notes": text_field(f"Trial {n}: notes", trial.notes, "26em", "sticks to the press, cracks …"),
        }
        for name, field in fields.items():
            field.observe(lambda change, name=name: self._note(n, name, change["new"]), names="value")
        share = f"binder {100 * trial.binder_share:.4g} %, oil {100 * trial.oil_share:.4g} %"
        return widgets.VBox([widgets.HTML(told(f"Trial {n}: {share}")), widgets.HBox(list(fields.values()), layout=ROW)])

    def _note(self, n: int, name: str, value: Any) -> None:
        def keep() -> None:
            trial = next(t for t in self.log.trials if t.number == n)
            if name in ("crumbles", "glazes"):
                noted: Any = _MEANING[value]
            else:
                noted = None if value == "" and name != "notes" else value
            log = self.log.add(replace(trial, **{name: noted}))
            self.file.save(log)
            self.log = log
            self.refresh()

        self.troubles.attempt(f"trial {n} {name}", keep)

    def use(self) -> None:
        """Take the suggested share over into the formula."""
        share = propose(self.log, self.vary.value).share.best
        binder = self.vary.value == "binder"

        def put(record: Record) -> Record:
            if record.pressing is None:
                raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
            now = record.pressing
            return replace(record, pressing=replace(now, binder_share=share) if binder else replace(now, oil_share=share))

        self.table.edit(put)
        self.done.value = good(f"The {self.vary.value} is now {100 * share:.3g} % of the cake.")


def _has_result(trial: Trial) -> bool:
    return bool(trial.notes) or trial.held() is not None or trial.gave() is not None
