"""Small trial presses: one press and what came of it, and the log of all presses of a powder."""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass, fields, replace
from pathlib import Path
from typing import Literal

from histkit.base.checking import is_number, is_whole
from histkit.base.descriptions import Bars
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench import describing
from histkit.bench.faults import Fault, all_faults, faults_of
from histkit.bench.proposals import Proposal, likelihoods, propose
from histkit.display.tabular import Tabular

Varied = Literal["binder", "oil"]
HIGHEST_DROP = 3000.0
"""Millimetres; nobody drops a cake from higher."""


@dataclass(frozen=True, slots=True)
class Trial(Tabular):
    """One small press and what came of it. Shares are of the finished cake (0–1); pressure in MPa.

    `drops_survived`: how many drops of the drop test (about 20–25 cm, flat, onto wood) it stood; `payoff` from 0 (nothing comes
    off) to 5 (comes off freely); None: not tried. `notes` are your own words; the fault table is looked up in them. `date` is
    written as you like; `drop_height_mm` and `drop_surface` say from where and onto what it was dropped.
    """

    number: int
    binder_share: float
    oil_share: float = 0.0
    pressure: float | None = None
    drops_survived: int | None = None
    crumbles: bool | None = None
    payoff: int | None = None
    glazes: bool | None = None
    notes: str = ""
    named: tuple[str, ...] = ()
    """Ids of the faults (`faults.csv`) that were seen."""
    date: str = ""
    drop_height_mm: float | None = None
    drop_surface: str = ""
    lost_share: float | None = None
    """What it lost of its weight in the drop test, as share of the cake (0–1)."""
    payoff_mg: float | None = None
    """Milligrams that ten strokes took off, weighed."""
    photograph: str = ""
    """Name of the file."""

    def __post_init__(self) -> None:
        if not is_whole(self.number):
            raise BadValue(f"the number of a trial is a whole number, not {quoted(self.number)}")
        for what, share in (("binder_share", self.binder_share), ("oil_share", self.oil_share)):
            if not (is_number(share) and 0 <= share < 1):
                raise BadValue(f"{what} of trial {self.number} is 0 or more and below 1 (0.05 is 5 %), not {quoted(share)}")
        if self.pressure is not None and not (is_number(self.pressure) and self.pressure > 0):
            raise BadValue(f"the pressure of trial {self.number} is a number of MPa above 0, not {quoted(self.pressure)}")
        if self.payoff is not None and self.payoff not in range(6):
            raise BadValue(f"the payoff of trial {self.number} runs from 0 to 5, not {quoted(self.payoff)}")
        if self.drops_survived is not None and not (is_whole(self.drops_survived) and self.drops_survived >= 0):
            raise BadValue(f"the drops survived in trial {self.number} are whole, 0 or more, not {quoted(self.drops_survived)}")
        self._check_measured()

    def _check_measured(self) -> None:
        """What was measured with a rule or a balance lies where it can, and each named fault is one."""
        height, lost, payoff = self.drop_height_mm, self.lost_share, self.payoff_mg
        if height is not None and not (is_number(height) and 0 < height <= HIGHEST_DROP):
            raise BadValue(f"the height of the drop in trial {self.number} is above 0, at most {HIGHEST_DROP:g} mm, not {height}")
        if lost is not None and not (is_number(lost) and 0 <= lost <= 1):
            raise BadValue(f"lost_share of trial {self.number} is a share from 0 to 1 (0.02 is 2 %), not {quoted(lost)}")
        if payoff is not None and not (is_number(payoff) and payoff >= 0):
            raise BadValue(f"payoff_mg of trial {self.number} is a number of mg, 0 or more, not {quoted(payoff)}")
        known = {fault.id for fault in all_faults()}
        if strange := [key for key in self.named if key not in known]:
            raise BadValue(f"trial {self.number} names the fault {quoted(strange[0])}; known are {', '.join(sorted(known))}")

    @property
    def has_result(self) -> bool:
        """Whether anything was noted of it."""
        return bool(self.notes or self.named) or self.held() is not None or self.gave() is not None

    def held(self, drops: int = 3) -> bool | None:
        """Whether the cake held together: stood so many drops and did not crumble. None where neither was tried."""
        if self.crumbles is None and self.drops_survived is None:
            return None
        return not self.crumbles and (self.drops_survived is None or self.drops_survived >= drops)

    def gave(self, payoff: int = 3) -> bool | None:
        """Whether it gave off well: payoff of so much and no glaze. None where neither was tried."""
        if self.glazes is None and self.payoff is None:
            return None
        return not self.glazes and (self.payoff is None or self.payoff >= payoff)

    def faults(self) -> tuple[Fault, ...]:
        """What the fault table says to this trial."""
        ticked = ["soft"] if self.crumbles or self.drops_survived == 0 else []
        ticked += (["glaze"] if self.glazes else []) + (["payoff"] if self.payoff == 0 else [])
        return faults_of((*ticked, *self.named), self.notes)

    def _grid(self) -> Grid:
        return _trials_grid((self,), f"Trial {self.number}")


def _trials_grid(trials: Iterable[Trial], caption: str) -> Grid:
    """One row for each trial; what none of them has noted has no column."""
    listed = tuple(trials)
    columns = (
        Column("number", "Trial", 0),
        Column("date", "Date"),
        Column("binder", "Binder, %", 2),
        Column("oil", "Oil, %", 2),
        Column("pressure", "MPa"),
        Column("drops", "Drops stood"),
        Column("drop", "Dropped"),
        Column("lost", "Lost, %"),
        Column("crumbles", "Crumbles"),
        Column("payoff", "Payoff, 0 to 5"),
        Column("weighed", "Payoff, mg for 10 strokes"),
        Column("glazes", "Glazes"),
        Column("notes", "Notes"),
        Column("photograph", "Photograph"),
        Column("remedies", "What to try"),
    )
    rows = [_trial_row(t) for t in listed]
    shown = [n for n, c in enumerate(columns) if c.key not in _ONLY_IF_NOTED or any(row[n] not in (None, "") for row in rows)]
    cells: list[tuple[Cell, ...]] = [tuple(row[n] for n in shown) for row in rows]
    return Grid(tuple(columns[n] for n in shown), tuple(cells), caption)


_ONLY_IF_NOTED = frozenset({"date", "drop", "lost", "weighed", "photograph"})


def _trial_row(t: Trial) -> tuple[Cell, ...]:
    height = "" if t.drop_height_mm is None else f"{t.drop_height_mm:g} mm"
    drop = " onto ".join(filter(None, (height, t.drop_surface)))
    lost = None if t.lost_share is None else round(100 * t.lost_share, 6)
    named = "; ".join(fault.fault for fault in faults_of(t.named))
    remedies = "; ".join(f.remedy for f in t.faults())
    result: tuple[Cell, ...] = (t.pressure, t.drops_survived, drop, lost, t.crumbles, t.payoff, t.payoff_mg, t.glazes)
    words = "; ".join(filter(None, (named, t.notes)))
    return (t.number, t.date, 100 * t.binder_share, 100 * t.oil_share, *result, words, t.photograph, remedies)


@dataclass(frozen=True, slots=True)
class TrialLog(Tabular):
    """The trials of one powder, in the order in which they were pressed."""

    trials: tuple[Trial, ...] = ()
    name: str = ""
    pressure: float | None = None
    """MPa where a trial notes none of its own."""
    binders: tuple[str, ...] = ()
    """Ids of the dry binders, whose published levels fence the suggestions in."""
    oils: tuple[str, ...] = ()
    cake: str = ""
    """The sort of cake whose levels count, '' for all."""

    def add(self, trial: Trial) -> TrialLog:
        """The log with one more trial; a trial of the same number is replaced (its results came in)."""
        kept = tuple(t for t in self.trials if t.number != trial.number)
        return replace(self, trials=tuple(sorted((*kept, trial), key=lambda t: t.number)))

    def _grid(self) -> Grid:
        return _trials_grid(self.trials, f"Trials: {self.name}" if self.name else "Trials")

    def describe(self, vary: Varied = "binder") -> Bars:
        """The trials and the suggestion for the next one as they are to be shown. Raises BadValue where none has a result."""
        return describing.trial_bars(self, vary, propose(self, vary), lambda shares: likelihoods(self, shares, vary))

    def to_picture(self, path: str | Path, size: Sequence[int] = (1920, 1080), vary: Varied = "binder") -> list[Path]:
        """The trials and the suggestion for the next one as a picture (.png, .svg, .pdf); the paths written."""
        from histkit.display import pictures

        return pictures.save(self.describe(vary), path, size)

    def to_svg(self, vary: Varied = "binder", proposal: Proposal | None = None) -> str:
        """The trials as a small drawing for the notebook, with the share that `proposal` suggests; '' where none has a result."""
        from histkit.display import points

        described = describing.trial_points(self, vary, proposal)
        return "" if described is None else points.to_svg(described)

    def to_json(self) -> str:
        """The log as JSON text; `from_json` gives an equal one."""
        about = {"pressure": self.pressure, "binders": self.binders, "oils": self.oils, "cake": self.cake}
        data = {"name": self.name, "trials": [asdict(t) for t in self.trials], **about}
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> TrialLog:
        try:
            data = json.loads(text)
            names = {f.name for f in fields(Trial)}
            strange = sorted({key for entry in data["trials"] for key in entry} - names)
            if strange:
                raise BadValue(f"a trial has no {', '.join(strange)}; it has {', '.join(sorted(names))}")
            entries = ({**entry, "named": tuple(entry.get("named", ()))} for entry in data["trials"])
            binders, oils = (tuple(data.get(key, ())) for key in ("binders", "oils"))
            trials = tuple(Trial(**entry) for entry in entries)
            return cls(trials, str(data["name"]), data.get("pressure"), binders, oils, str(data.get("cake", "")))
        except (json.JSONDecodeError, KeyError, TypeError, AttributeError) as error:
            raise BadValue(f"this is not a trial log that histkit wrote: {error}") from error
