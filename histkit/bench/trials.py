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
from histkit.bench.faults import Fault, faults_of
from histkit.bench.proposals import Proposal, likelihoods, propose
from histkit.display.tabular import Tabular

Varied = Literal["binder", "oil"]


@dataclass(frozen=True, slots=True)
class Trial(Tabular):
    """One small press and what came of it. Shares are of the finished cake (0–1); pressure in MPa.

    `drops_survived`: how many drops of the drop test (about 20–25 cm, flat, onto wood) it stood; `payoff` from 0 (nothing comes
    off) to 5 (comes off freely); None: not tried. `notes` are your own words; the fault table is looked up in them.
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
        ticked += ["glaze"] if self.glazes or self.payoff == 0 else []
        return faults_of(ticked, self.notes)

    def _grid(self) -> Grid:
        return _trials_grid((self,), f"Trial {self.number}")


def _trials_grid(trials: Iterable[Trial], caption: str) -> Grid:
    columns = (
        Column("number", "Trial", 0),
        Column("binder", "Binder, %", 2),
        Column("oil", "Oil, %", 2),
        Column("pressure", "MPa"),
        Column("drops", "Drops stood"),
        Column("crumbles", "Crumbles"),
        Column("payoff", "Payoff, 0 to 5"),
        Column("glazes", "Glazes"),
        Column("notes", "Notes"),
        Column("remedies", "What to try"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            t.number,
            100 * t.binder_share,
            100 * t.oil_share,
            t.pressure,
            t.drops_survived,
            t.crumbles,
            t.payoff,
            t.glazes,
            t.notes,
            "; ".join(f.remedy for f in t.faults()),
        )
        for t in trials
    ]
    return Grid(columns, tuple(rows), caption)


@dataclass(frozen=True, slots=True)
class TrialLog(Tabular):
    """The trials of one powder, in the order in which they were pressed."""

    trials: tuple[Trial, ...] = ()
    name: str = ""

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
        return json.dumps({"name": self.name, "trials": [asdict(t) for t in self.trials]}, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> TrialLog:
        try:
            data = json.loads(text)
            names = {f.name for f in fields(Trial)}
            strange = sorted({key for entry in data["trials"] for key in entry} - names)
            if strange:
                raise BadValue(f"a trial has no {', '.join(strange)}; it has {', '.join(sorted(names))}")
            return cls(tuple(Trial(**entry) for entry in data["trials"]), str(data["name"]))
        except (json.JSONDecodeError, KeyError, TypeError, AttributeError) as error:
            raise BadValue(f"this is not a trial log that histkit wrote: {error}") from error
