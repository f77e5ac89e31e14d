"""Small test presses: what to weigh for each, what came of them, and a suggestion for the next one; kept in the record."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import BadValue, quoted
from histkit.bench.faults import all_faults, faults_grid
from histkit.bench.ladders import IncrementalLadder, Ladder
from histkit.bench.trials import Trial, Varied
from histkit.display.grids import to_html
from histkit.keeping.records import Record
from histkit.panels.parts import (
    ROW,
    Troubles,
    button,
    choice,
    good,
    kindly,
    live,
    number,
    offer,
    paragraph,
    result,
    text_field,
    tick,
    whole_number,
    within_bounds,
)
from histkit.panels.state import Desk

NOT_TRIED = ("not tried", "")
SEPARATE, ONE_POWDER = "each from its own powder", "one powder, ground up again each time"
MOST_MPA = 1000.0
"""No hand press comes near it; it keeps slips of the keyboard out."""
_BY_TICK = {"soft": "crumbles", "glaze": "glazes"}
"""Faults that a trial keeps as a tick of their own."""
HOW_TO = (
    "Drops it stood: let the cake fall flat from about 25 cm onto wood, and count until it breaks. Payoff: stroke it once with a"
    " dry finger; 0: nothing comes off, 3: an even film, 5: it comes off as dust. What went wrong: hold Ctrl (⌘ on a Mac) to"
    " choose several. Leave empty what you did not try."
)


def plan(record: Record, vary: Varied, count: int, grams_each: float, step: float) -> Ladder:
    """Small presses around the chosen share, weighed on the maker's own balance, numbered after those that have a result.

    Raises:
        HistkitError: it is not pressed, or something in it must not be used.
    """
    if record.pressing is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    rungs = record.ladder(vary, count, grams_each, step)
    before = _tried(record)
    steps = (replace(s, trial=replace(s.trial, number=before + place)) for place, s in enumerate(rungs.steps, start=1))
    return replace(rungs, steps=tuple(steps))


def plan_one_powder(record: Record, vary: Varied, count: int, grams_each: float, step: float) -> IncrementalLadder:
    """The same presses from one powder, ground up again with a little more each time. Raises as `plan`."""
    if record.pressing is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    rungs = record.incremental_ladder(vary, count, grams_each, step)
    before = _tried(record)
    numbered = (replace(r, trial=replace(r.trial, number=before + place)) for place, r in enumerate(rungs.rungs, start=1))
    return replace(rungs, rungs=tuple(numbered))


def _tried(record: Record) -> int:
    """The highest number among the trials that have a result."""
    return max((trial.number for trial in record.trials if trial.has_result), default=0)


def plan_view(rungs: Ladder | IncrementalLadder, how_hard: str) -> str:
    """What to weigh for each test press, and how hard to press."""
    alike = paragraph(how_hard)
    if isinstance(rungs, IncrementalLadder):
        return live(rungs.to_html() + alike)
    first = paragraph(f"Blend {rungs.powder_grams:g} g of the powder first; each test press is weighed from it.")
    return live(first + rungs.to_html() + alike)


def log_view(record: Record, vary: Varied) -> str:
    """One table with a row for each test press, what to try against each fault, and the suggestion for the next one."""

    def view() -> str:
        if not record.trials:
            return ""
        log = record.log()
        try:
            proposal = record.proposal(vary)
        except BadValue:
            return log.to_html() + paragraph("As soon as one result is noted, the next press is suggested here.")
        table = to_html(faults_grid(proposal.remedies, "What to try against each fault")) if proposal.remedies else ""
        return log.to_html() + table + log.to_svg(vary, proposal) + proposal.to_html()

    return live(kindly(view))


# -- what is changed --------------------------------------------------------------------------------------------------


def with_planned(record: Record, rungs: Ladder | IncrementalLadder) -> Record:
    """The record with the presses of a plan after those that have a result; planned ones without any make room."""
    return replace(record, trials=(*(t for t in record.trials if t.has_result), *rungs.log.trials))


def with_noted(record: Record, number: int, faults: tuple[str, ...] | None = None, **noted: Any) -> Record:
    """The record with more noted of one trial.

    Raises:
        BadValue: the trial is no longer there, or what is noted makes no sense.
    """
    trial = next((t for t in record.trials if t.number == number), None)
    if trial is None:
        raise BadValue(f"trial {number} is no longer in the log: it was planned anew in another notebook")
    changed = replace(trial, **noted)
    changed = changed if faults is None else with_faults(changed, faults)
    return replace(record, trials=record.log().add(changed).trials)


def with_suggested(record: Record, vary: Varied) -> Record:
    """The record with the share, or the pressure, that the trials suggest.

    Raises:
        BadValue: it stays a loose powder, no trial has a result yet, or neither of the two is to be changed.
    """
    if record.pressing is None:
        raise BadValue("it stays a loose powder: tick 'press it into a cake' first")
    proposal, now = record.proposal(vary), record.pressing
    if proposal.change == "neither":
        raise BadValue(f"there is no other share to take over. {proposal.reason}")
    if proposal.change == "pressure":
        if proposal.pressure is None:
            raise BadValue(f"there is no pressure to take over. {proposal.reason}")
        return replace(record, pressing=replace(now, pressure_mpa=round(proposal.pressure.best, 2)))
    share = proposal.share.best
    return replace(record, pressing=replace(now, binder_share=share) if vary == "binder" else replace(now, oil_share=share))


def faults_of(trial: Trial) -> tuple[str, ...]:
    """Ids of the faults that were chosen for a trial, its ticks among them."""
    ticked = [key for key, tick in _BY_TICK.items() if getattr(trial, tick)]
    return tuple(dict.fromkeys((*ticked, *trial.named)))


def with_faults(trial: Trial, keys: tuple[str, ...]) -> Trial:
    """The trial with these faults; one that has a tick of its own is ticked, and unticked where it is not among them."""
    ticks: dict[str, Any] = {
        tick: True if key in keys else None if getattr(trial, tick) else getattr(trial, tick) for key, tick in _BY_TICK.items()
    }
    return replace(trial, named=tuple(key for key in keys if key not in _BY_TICK), **ticks)


# -- the fields -------------------------------------------------------------------------------------------------------


def figure_of(words: str, what: str) -> float | None:
    """A figure that was typed; None where nothing was. Raises BadValue, which names `what`, for anything else."""
    if not words.strip():
        return None
    try:
        return float(words.strip().replace(",", "."))
    except ValueError:
        raise BadValue(f"{what} is a number such as 4.5, not {quoted(words)}") from None


_SHARES = {"lost_share": 100}
"""Entries that a maker writes in per cent."""


class ResultForm:
    """What came of one test press, of which the maker chooses the number; a few fields, and more where they are asked for."""

    def __init__(self, table: Desk, troubles: Troubles) -> None:
        self.table, self.troubles, self.busy = table, troubles, False
        self.which = choice("Test press", [("none yet", 0)], 0, "24em")
        self.choices = {
            "drops_survived": choice("Drops it stood", _figures(20), "", "16em"),
            "payoff": choice("Payoff, 0 to 5", _figures(5), "", "16em"),
        }
        self.faults = widgets.SelectMultiple(
            description="What went wrong",
            options=[(fault.fault, fault.id) for fault in all_faults()],
            rows=6,
            style={"description_width": "initial"},
            layout=widgets.Layout(width="24em", max_width="98%", margin="2px"),
        )
        self.words = {
            "pressure": text_field("Pressed at, MPa", "", "15em"),
            "notes": text_field("Notes", "", "30em", "in your own words"),
            "date": text_field("Date", "", "14em"),
            "drop_height_mm": text_field("Dropped from, mm", "", "16em", "250"),
            "drop_surface": text_field("Dropped onto", "", "16em", "wood"),
            "lost_share": text_field("Weight it lost, %", "", "16em"),
            "payoff_mg": text_field("Ten strokes took, mg", "", "18em"),
            "photograph": text_field("Photograph (file)", "", "22em", "trial-1.jpg"),
        }
        more = tick("write down more: date, drop, weights, photograph")
        rest = [field for name, field in self.words.items() if name not in ("pressure", "notes")]
        self.measured = widgets.HBox(rest, layout=widgets.Layout(display="none", flex_flow="row wrap", width="100%"))
        row = [self.choices["drops_survived"], self.choices["payoff"], self.words["pressure"]]
        self.box = widgets.VBox(
            [
                widgets.HTML(paragraph(HOW_TO)),
                widgets.HBox([self.which, *row], layout=ROW),
                widgets.HBox([self.faults, self.words["notes"]], layout=ROW),
                more,
                self.measured,
            ]
        )
        more.observe(lambda change: setattr(self.measured.layout, "display", "flex" if change["new"] else "none"), names="value")
        self.which.observe(lambda _: self.show(self.table.record), names="value")
        self.faults.observe(lambda change: self._note("faults", tuple(change["new"])), names="value")
        for name, field in self.choices.items():
            field.observe(
                lambda change, name=name: self._note(name, None if change["new"] == "" else change["new"]), names="value"
            )
        for name, words in self.words.items():
            words.observe(lambda change, name=name: self._write(name, change["new"]), names="value")

    def refresh(self, record: Record) -> None:
        """Offer the trials of the record, and show what is noted of the chosen one."""
        options = [
            (f"{t.number}: binder {100 * t.binder_share:.4g} %, oil {100 * t.oil_share:.4g} %", t.number) for t in record.trials
        ]
        self.busy = True
        try:
            offer(self.which, options or [("none yet", 0)], self.which.value)
        finally:
            self.busy = False
        self.show(record)

    def show(self, record: Record) -> None:
        """Put what is noted of the chosen trial into the fields."""
        trial = next((t for t in record.trials if t.number == self.which.value), None)
        if trial is None or self.busy:
            return
        self.busy = True
        try:
            for name, field in self.choices.items():
                value = getattr(trial, name)
                shown = "" if value is None else value
                if shown not in [v for _, v in field.options]:
                    field.options = [*field.options, (str(shown), shown)]
                field.value = shown
            self.faults.value = faults_of(trial)
            for name, words in self.words.items():
                words.value = _shown(name, getattr(trial, name))
        finally:
            self.busy = False

    def _write(self, name: str, words: str) -> None:
        """Keep what was typed, as a figure where the trial keeps one."""
        if self.busy:
            return
        if name in ("notes", "date", "drop_surface", "photograph"):
            self._note(name, words)
            return

        def keep() -> None:
            figure = figure_of(words, self.words[name].description)
            if name == "pressure" and figure is not None and not 0 < figure <= MOST_MPA:
                raise BadValue(f"a pressure is above 0 and at most {MOST_MPA:g} MPa, not {figure:g}")
            value: Any = None if figure is None else figure / _SHARES.get(name, 1)
            self.table.edit(lambda record: with_noted(record, self.which.value, **{name: value}))

        self.troubles.attempt(f"trial {name}", keep)

    def _note(self, name: str, value: Any) -> None:
        if not self.busy:
            self.troubles.attempt(
                f"trial {name}", lambda: self.table.edit(lambda record: with_noted(record, self.which.value, **{name: value}))
            )


def _shown(name: str, value: Any) -> str:
    """What stands in a field of words for an entry of a trial."""
    if value is None:
        return ""
    return value if isinstance(value, str) else f"{round(value * _SHARES.get(name, 1), 6):g}"


def _figures(most: int) -> list[tuple[str, Any]]:
    return [NOT_TRIED, *((str(figure), figure) for figure in range(most + 1))]


class TrialsBox:
    """How many test presses, what to weigh, one table of what came of them with a form to fill in, and the suggestion."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.shown, self.results, self.done = Troubles(), result(), result(), result()
        self.vary = choice("Vary", [("the dry binder", "binder"), ("the oil", "oil")], "binder", "16em")
        self.way = choice("How", [(words, words) for words in (SEPARATE, ONE_POWDER)], SEPARATE, "26em")
        self.count = whole_number("Test presses", 5, 2, 9, "13em")
        self.each = number("Grams each", 5, 0.5, 100, 0.5, "13em")
        self.step = number("Apart, % of the cake", 1, 0.1, 10, 0.25, "17em")
        self.form = ResultForm(table, self.troubles)
        self.place = widgets.VBox(layout=widgets.Layout(width="100%"))
        self.seen: tuple[Any, ...] = ()
        self.children = [
            widgets.HBox([self.vary, self.way, self.count, self.each, self.step], layout=ROW),
            button("Work out test presses", self.work_out, self.troubles),
            self.shown,
            self.place,
            self.troubles.place,
            self.results,
            self.done,
        ]
        self.use_button = button("Use the suggestion", self.use, self.troubles)
        self.vary.observe(lambda _: self.refresh(self.table.record), names="value")

    def work_out(self) -> None:
        """Plan the test presses, and lay an empty row for the result of each."""
        planned: list[Ladder | IncrementalLadder] = []
        within_bounds(self.count, self.each, self.step)
        work = plan if self.way.value == SEPARATE else plan_one_powder

        def put(record: Record) -> Record:
            rungs = work(record, self.vary.value, self.count.value, self.each.value, self.step.value / 100)
            planned.append(rungs)
            return with_planned(record, rungs)

        self.table.edit(put)
        self.shown.value = plan_view(planned[-1], self.table.record.press_words(self.vary.value))

    def refresh(self, record: Record) -> None:
        """Show the trials of the record, what they suggest, and the form for their results."""
        seen = (record.trials, self.vary.value, record.title, record.pressing, record.weighing.pan())
        if seen == self.seen:  # the suggestion takes longer to work out than a step of a slider may
            return
        self.seen = seen
        self.results.value = log_view(record, self.vary.value)
        self.form.refresh(record)
        self.place.children = [self.form.box, self.use_button] if record.trials else []

    def use(self) -> None:
        """Take what is suggested over into the formula."""
        vary, before = self.vary.value, self.table.record.pressing
        self.table.edit(lambda record: with_suggested(record, vary))
        pressing = self.table.record.pressing
        assert pressing is not None  # else the suggestion was refused
        if before is not None and pressing.pressure_mpa != before.pressure_mpa:
            self.done.value = good(f"It is now pressed at {pressing.pressure_mpa:.3g} MPa.")
            return
        share = pressing.binder_share if vary == "binder" else pressing.oil_share
        self.done.value = good(f"The {vary} is now {100 * share:.3g} % of the cake.")
