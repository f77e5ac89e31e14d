"""A formula with all choices made about it, kept as one JSON file.

The file holds what was chosen (the text, the convention, corrections, stand-ins, binder, batch), never what was worked
out from it, so that it opens again to the same table with whatever the tables have learnt since. It is replaced
atomically, and the last good one is kept beside it.
"""

from __future__ import annotations

import contextlib
import json
import os
import tempfile
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field, fields, replace
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.errors import BadValue, HistkitError
from histkit.model import UNITS, Amount, Formula, Source
from histkit.reading import read
from histkit.translation import Translation, translate
from histkit.trials import Trial, TrialLog

if TYPE_CHECKING:
    from histkit.batching import Batch
    from histkit.comparison import ComparisonTable
    from histkit.composition import Composition
    from histkit.pressing import PressedFormula

VERSION = 1


class RecordError(HistkitError):
    """A record file cannot be read or written; the text says which file, why, and what to do."""


@dataclass(frozen=True, slots=True)
class Correction:
    """What the maker put right in one line (counted from 0): a field left None stays as it was read."""

    line: int
    amount: Amount = None
    unit: str | None = None
    ingredient: str | None = None
    leave_out: bool = False

    def __post_init__(self) -> None:
        if self.unit is not None and self.unit not in UNITS:
            raise BadValue(f"line {self.line + 1}: the unit is one of {', '.join(sorted(UNITS))}; not {self.unit!r}")
        figures = self.amount if isinstance(self.amount, tuple) else (self.amount,)
        for figure in figures:
            if figure is not None and not 0 <= figure < 1e9:
                raise BadValue(f"line {self.line + 1}: an amount is 0 or more and below a thousand million, not {figure}")


@dataclass(frozen=True, slots=True)
class Replacement:
    """One stand-in: `parts` are (ingredient id, grams for one gram of the removed)."""

    removed: str
    parts: tuple[tuple[str, float], ...]
    reason: str = ""
    option: str = ""


@dataclass(frozen=True, slots=True)
class Constraints:
    """What the maker will not have among the stand-ins (words that `substitutes` knows), and the region whose law counts."""

    avoid: tuple[str, ...] = ()
    market: str = "EU"


@dataclass(frozen=True, slots=True)
class Pressing:
    """How the powder is pressed; shares are of the finished cake (0–1). `press`: a way of pressing, '' where none is chosen."""

    binder: str | None = "magnesium-stearate"
    binder_share: float = 0.05
    oil: str | None = "jojoba-oil"
    oil_share: float = 0.03
    press: str = ""


@dataclass(frozen=True, slots=True)
class Weighing:
    """How much is made, and the balance it is weighed on (grams); how many pans of which size are filled (mm)."""

    grams: float = 60.0
    readability: float = 0.01
    minimum: float = 0.2
    pans: int = 0
    pan_diameter_mm: float = 44.0
    pan_depth_mm: float = 4.0
    pan_width_mm: float | None = None
    """With the length, of a rectangular pan; the two then go before the diameter."""
    pan_length_mm: float | None = None

    def __post_init__(self) -> None:
        if (self.pan_width_mm is None) != (self.pan_length_mm is None):
            raise BadValue("a rectangular pan has both pan_width_mm and pan_length_mm")

    def pan(self) -> dict[str, Any]:
        """The size of a pan as `pan_fill` and `batch_for_pans` take it."""
        if self.pan_width_mm is not None and self.pan_length_mm is not None:
            size = {"width_mm": self.pan_width_mm, "length_mm": self.pan_length_mm}
        else:
            size = {"diameter_mm": self.pan_diameter_mm}
        return {**size, "depth_mm": self.pan_depth_mm}


@dataclass(frozen=True)
class Record:
    """Everything that was chosen, and the way from it to every noun. Each noun is worked out once, when first asked for."""

    text: str = ""
    source: Source = field(default_factory=Source)
    convention: str | None = None
    corrections: tuple[Correction, ...] = ()
    replacements: tuple[Replacement, ...] = ()
    constraints: Constraints = field(default_factory=Constraints)
    pressing: Pressing | None = None
    weighing: Weighing = field(default_factory=Weighing)
    title: str = ""
    notes: str = ""
    trials: tuple[Trial, ...] = ()

    def formula(self) -> Formula:
        """The formula as read, with the maker's corrections in it."""
        return self._formula

    def translation(self) -> Translation:
        return self._translation

    def composition(self) -> Composition:
        """The composition with all replacements made; one whose ingredient is no longer there is passed over."""
        return self._composition

    def pressed(self) -> PressedFormula | None:
        """The pressed formula, or None where it stays a loose powder."""
        return self._pressed

    @cached_property
    def _formula(self) -> Formula:
        formula = read(self.text, source=self.source)
        if self.title:
            formula = replace(formula, title=self.title)
        if not self.corrections:
            return formula
        by_line = {c.line: c for c in self.corrections}
        lines = []
        for index, line in enumerate(formula.lines):
            change = by_line.get(index)
            if change is None:
                lines.append(line)
                continue
            if change.leave_out:
                lines.append(
                    replace(line, amount=None, unit="none", plus=(), to_make=None, steps=(*line.steps, "Left out by the maker."))
                )
                continue
            new: dict[str, Any] = {"steps": (*line.steps, "Corrected by the maker.")}
            if change.amount is not None:
                new |= {"amount": change.amount, "plus": (), "to_make": None}
            if change.unit is not None:
                new |= {"unit": change.unit, "system": ""}
            if change.ingredient:
                new |= {"ingredient": change.ingredient, "carried": ""}
            fixed = {
                "amount" if change.amount is not None else "",
                "unit" if change.unit else "",
                "ingredient" if change.ingredient else "",
            }
            new["doubts"] = tuple(d for d in line.doubts if d.about not in fixed)
            lines.append(replace(line, **new))
        return replace(formula, lines=tuple(lines))

    @cached_property
    def _translation(self) -> Translation:
        return translate(self.formula(), self.convention)

    @cached_property
    def _composition(self) -> Composition:
        composition = self.translation().composition()
        for r in self.replacements:
            if r.removed in composition:
                composition = composition.replace(r.removed, dict(r.parts), reason=r.reason, option=r.option)
        return composition

    @cached_property
    def _pressed(self) -> PressedFormula | None:
        if self.pressing is None:
            return None
        from histkit.pressing import press

        p = self.pressing
        return press(self.composition(), binder=p.binder, binder_share=p.binder_share, oil=p.oil, oil_share=p.oil_share)

    def log(self) -> TrialLog:
        """The trial presses as a log, for `histkit.trials.propose`."""
        return TrialLog(self.trials, self.title or self.formula().title)

    def final(self) -> Composition:
        """What is weighed: the cake where it is pressed, else the powder."""
        pressed = self.pressed()
        return pressed.composition if pressed is not None else self.composition()

    def batch(self) -> Batch:
        """What to weigh.

        Raises:
            Forbidden: an ingredient that must not be used is still in it.
        """
        from histkit.batching import Balance, batch

        w = self.weighing
        return batch(self.final(), grams=w.grams, balance=Balance(readability=w.readability, minimum=w.minimum))

    def table(self) -> ComparisonTable:
        """Old beside new. Without a batch as long as something forbidden is in it."""
        from histkit.comparison import compare
        from histkit.errors import Forbidden

        try:
            return compare(self.translation(), self.batch())
        except Forbidden:
            return compare(self.translation(), composition=self.final())

    # -- the file -------------------------------------------------------------------------------------------------------

    def to_json(self) -> str:
        return json.dumps({"histkit-record": VERSION, **asdict(self)}, ensure_ascii=False, indent=1) + "\n"

    @classmethod
    def from_json(cls, text: str, name: str = "this record") -> Record:
        """The record that `to_json` wrote.

        Raises:
            RecordError: the text is no record, is cut off, or was written by a newer histkit.
        """
        try:
            data = json.loads(text)
        except json.JSONDecodeError as error:
            raise RecordError(f"{name} is damaged at line {error.lineno}: {error.msg}. Its backup may still be good.") from error
        if not isinstance(data, dict) or "histkit-record" not in data:
            raise RecordError(f"{name} is no histkit record: it lacks the entry 'histkit-record'")
        version = data.pop("histkit-record")
        if not isinstance(version, int) or version > VERSION:
            raise RecordError(
                f"{name} was written by a newer histkit (record version {version}; this one knows {VERSION}): update histkit"
            )
        try:
            return _from(data)
        except BadValue as error:
            raise RecordError(f"{name}: {error}") from error
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            raise RecordError(f"{name} holds an entry that does not fit: {error}") from error


def _from(data: Mapping[str, Any]) -> Record:
    def amount(value: Any) -> Amount:
        return (float(value[0]), float(value[1])) if isinstance(value, list) else None if value is None else float(value)

    corrections = tuple(Correction(**{**c, "amount": amount(c.get("amount"))}) for c in data.get("corrections", ()))
    replacements = tuple(
        Replacement(r["removed"], tuple((str(k), float(v)) for k, v in r["parts"]), r.get("reason", ""), r.get("option", ""))
        for r in data.get("replacements", ())
    )
    pressing, constraints = data.get("pressing"), data.get("constraints", {})
    known = {f.name for f in fields(Record)}
    if unknown := set(data) - known:
        raise BadValue(f"unknown entries {', '.join(sorted(unknown))}; a record has {', '.join(sorted(known))}")
    return Record(
        text=str(data.get("text", "")),
        source=Source(**data.get("source", {})),
        convention=data.get("convention"),
        corrections=corrections,
        replacements=replacements,
        constraints=Constraints(tuple(map(str, constraints.get("avoid", ()))), str(constraints.get("market", "EU"))),
        pressing=Pressing(**pressing) if pressing else None,
        weighing=Weighing(**data.get("weighing", {})),
        title=str(data.get("title", "")),
        notes=str(data.get("notes", "")),
        trials=tuple(Trial(**t) for t in data.get("trials", ())),
    )


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def write_atomically(path: Path, text: str | bytes) -> None:
    """Put `text` in `path` in one step: a reader sees the old file or the new one, never half of either."""
    data = text.encode("utf-8") if isinstance(text, str) else text
    try:
        handle, temporary = tempfile.mkstemp(prefix=f".{path.name}.", dir=path.parent)
    except OSError as error:
        raise RecordError(f"cannot write in the folder {path.parent}: {error.strerror or error}") from error
    try:
        with os.fdopen(handle, "wb") as file:
            os.fchmod(handle, 0o666 & ~_umask())  # a temporary file is private; the finished one is like any other
            file.write(data)
            file.flush()
            os.fsync(file.fileno())
        Path(temporary).replace(path)
    except OSError as error:
        with contextlib.suppress(OSError):
            Path(temporary).unlink()
        raise RecordError(f"{path} was not saved: {error.strerror or error}. What was there before is untouched.") from error


def save(record: Record, path: str | Path) -> Path:
    """Save a record; the last good one is kept beside it as `<name>.backup`."""
    path = Path(path)
    if path.exists():
        with contextlib.suppress(OSError, RecordError):
            previous = path.read_text(encoding="utf-8")
            Record.from_json(previous, str(path))  # a damaged file is not worth keeping as the last good one
            write_atomically(path.with_name(path.name + ".backup"), previous)
    write_atomically(path, record.to_json())
    return path


def load(path: str | Path) -> Record:
    """The record in a file.

    Raises:
        RecordError: there is no such file, or it is damaged (then the text says whether a backup is there).
    """
    path = Path(path)
    backup = path.with_name(path.name + ".backup")
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        raise RecordError(f"there is no record at {path}") from None
    except (OSError, UnicodeDecodeError) as error:
        raise RecordError(f"{path} cannot be read: {error}") from error
    try:
        return Record.from_json(text, str(path))
    except RecordError as error:
        if backup.exists():
            raise RecordError(f"{error} The last good one is {backup}.") from error
        raise
