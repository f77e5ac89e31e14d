"""A formula with all choices made about it, kept as one JSON file.

The file holds what was chosen (the text, the convention, corrections, stand-ins, binders, pans, batches, trials), never what
was worked out from it, so that it opens again to the same table with whatever the tables have learnt since. Its form is
published as a JSON Schema (`schema()`, `histkit record --schema`, `histkit/keeping/record.schema.json`).

A file is replaced atomically and the last good one is kept beside it. `RecordFile` holds a file open and will not write over
what another window has saved in the meantime; nothing writes over a file that cannot be read, or that a newer histkit made.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import cached_property
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base import fields as shapes
from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, RecordError
from histkit.base.fields import kept
from histkit.base.files import alone, write_atomically
from histkit.base.nouns import KINDS, UNITS, Amount, Source, Spread
from histkit.bench.trials import Trial, TrialLog
from histkit.reading import read
from histkit.reading.formula import Formula
from histkit.translating.translation import Translation
from histkit.translating.translator import translate

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.label import LabelDraft
    from histkit.bench.pressing import PressedFormula
    from histkit.bench.pressures import PressPressure
    from histkit.bench.weighing import Balance
    from histkit.composing.composition import Composition
    from histkit.composing.effects import Effects
    from histkit.telling.comparison import ComparisonTable

__all__ = [
    "VERSION", "ChangedElsewhere", "Constraints", "Correction", "Pressing", "Record", "RecordError", "RecordFile", "Replacement",
    "Weighing", "load", "restore", "save", "schema", "write_atomically",
]  # fmt: skip

VERSION = 2
"""Version of the file's form; it rises when an older histkit could not read a file any more. This one reads 1 and 2 (2 added
several binders, drops, rectangular pans, what was made before, prices and trials)."""
LARGEST = 16_000_000
"""Bytes above which a file is taken to be no record."""


@dataclass(frozen=True, slots=True)
class Correction:
    """What the maker put right in one line (counted from 0): a field left None stays as it was read."""

    line: int = kept(shapes.MISSING, "the line of a correction, counted from 0,", least=0)
    amount: Amount = kept(None, "a corrected amount, or the two ends of one,", least=0, below=1e9)
    unit: str | None = kept(None, "a corrected unit", choices=tuple(sorted(UNITS)))
    ingredient: str | None = kept(None, "the corrected name")
    leave_out: bool = kept(False, "whether the line is left out")

    def __post_init__(self) -> None:
        try:
            shapes.check(self)
        except BadValue as error:
            raise BadValue(f"line {self.line + 1 if is_whole(self.line) else self.line!r}: {error}") from error


@dataclass(frozen=True, slots=True)
class Replacement:
    """One stand-in: `parts` are (ingredient id, grams for one gram of the removed)."""

    removed: str = kept(shapes.MISSING, "id of the ingredient that goes")
    parts: tuple[tuple[str, float], ...] = kept(
        shapes.MISSING,
        "what comes in its place: pairs of an id and grams for one gram of what goes; the grams of a stand-in",
        least=0,
    )
    reason: str = kept("", "why, in the maker's words")
    option: str = kept("", "the name of the option in the glossary")

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Constraints:
    """What the maker will not have among the stand-ins, and the region whose law counts."""

    avoid: tuple[str, ...] = kept((), "what is not wanted, in the words that `substitutes` knows")
    market: str = kept("EU", "the region whose law counts")

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Pressing:
    """How the powder is pressed; shares (0–1) are of the finished cake, or of the powder where `of` says so."""

    binder: str | None = kept("magnesium-stearate", "id of the dry binder")
    binder_share: float = kept(0.05, "binder_share, the share of the dry binder,", least=0, below=1)
    oil: str | None = kept("jojoba-oil", "id of the liquid binder")
    oil_share: float = kept(0.03, "oil_share, the share of the liquid binder,", least=0, below=1)
    more_binders: tuple[tuple[str, float], ...] = kept(
        (), "further dry binders with their shares; such a share", least=0, below=1
    )
    more_oils: tuple[tuple[str, float], ...] = kept(
        (), "further liquid binders with their shares; such a share", least=0, below=1
    )
    of: str = kept("cake", "what the shares are of", choices=("cake", "powder"))
    oil_from: str = kept("share", "where the amount of oil comes from", choices=("share", "absorption", "drops"))
    oil_drops: float = kept(0.0, "the drops of oil (where oil_from is 'drops')", least=0)
    drops_powder_grams: float = kept(0.0, "the grams of powder that these drops go into", least=0)
    wetting: str | None = kept(None, "id of the liquid for wet pressing, which dries off")
    wetting_share: float = kept(0.2, "the grams of it for one gram of powder", least=0, below=10)
    cake: str = kept("", "the sort of cake whose published levels are shown, 'face powder'")
    press: str = kept("", "the way of pressing", choices=("", "thumb", "dowel", "clamp", "arbor"))
    pressure_mpa: float | None = kept(None, "the pressure in MPa, where it is known,", above=0)

    def __post_init__(self) -> None:
        shapes.check(self)


@dataclass(frozen=True, slots=True)
class Weighing:
    """How much is made, in which pans, and the balance it is weighed on (grams, millimetres)."""

    grams: float = kept(60.0, "the grams to make", above=0)
    readability: float = kept(0.01, "the readability of the balance, grams,", above=0)
    minimum: float = kept(0.2, "the least that the balance weighs well, grams,", least=0)
    pans: int = kept(0, "the number of pans", least=0, most=10_000)
    pan_diameter_mm: float = kept(44.0, "the diameter of a round pan", above=0)
    pan_depth_mm: float = kept(4.0, "the depth of a pan", above=0)
    pan_width_mm: float | None = kept(None, "the width of a rectangular pan (which then goes before the diameter)", above=0)
    pan_length_mm: float | None = kept(None, "the length of a rectangular pan", above=0)
    below_rim_mm: float = kept(0.0, "how far below the rim the cake ends", least=0)
    density_g_cm3: float | None = kept(None, "a measured density of the cake", above=0)
    make: str = kept("grams", "what decides the size of the batch", choices=("grams", "pans", "cupboard"))
    allowance: float = kept(0.1, "the share by which a batch for pans is larger, for what sticks to the tools,", least=0, most=1)
    cupboard: tuple[tuple[str, float], ...] = kept((), "what is at hand: pairs of an id and grams; such grams", above=0)
    repeatability: float | None = kept(None, "the standard deviation of repeated weighings, grams,", least=0)
    balance: str = kept("", "the name of the balance")
    error_limit: float = kept(0.05, "the share that a weighing may be off", above=0, below=1)
    number: str = kept("", "the batch number")
    notes: str = kept("", "notes on this batch")

    def __post_init__(self) -> None:
        shapes.check(self)
        if (self.pan_width_mm is None) != (self.pan_length_mm is None):
            raise BadValue("a rectangular pan has both pan_width_mm and pan_length_mm")

    def scales(self) -> Balance:
        """The balance."""
        from histkit.bench.weighing import Balance

        return Balance(self.readability, self.minimum, self.repeatability, self.balance)

    def pan(self) -> dict[str, Any]:
        """The size of a pan as `pan_fill` and `batch_for_pans` take it."""
        if self.pan_width_mm is not None and self.pan_length_mm is not None:
            size = {"width_mm": self.pan_width_mm, "length_mm": self.pan_length_mm}
        else:
            size = {"diameter_mm": self.pan_diameter_mm}
        return {**size, "depth_mm": self.pan_depth_mm, "below_rim_mm": self.below_rim_mm}


@dataclass(frozen=True)
class Record:
    """Everything that was chosen, and the way from it to every noun. Each noun is worked out once, when first asked for.

    `save`, `load` and `RecordFile` keep it as a JSON file; `schema()` (in the shell: `histkit record --schema`) describes that
    file as a JSON Schema.
    """

    text: str = kept("", "the formula as printed")
    source: Source = kept(Source, "the book it is from")
    convention: str | None = kept(None, "id of the convention of measures; null: chosen from the source")
    corrections: tuple[Correction, ...] = kept((), "what the maker put right in the reading")
    replacements: tuple[Replacement, ...] = kept((), "stand-ins, in the order in which they were put in")
    constraints: Constraints = kept(Constraints, "what the maker will not have, and whose law counts")
    pressing: Pressing | None = kept(None, "how it is pressed; null: it stays a loose powder")
    weighing: Weighing = kept(Weighing, "the batch that is made next")
    title: str = kept("", "a title that goes before the printed one")
    notes: str = kept("", "notes on the formula")
    trials: tuple[Trial, ...] = kept((), "the trial presses and what came of them")
    batches: tuple[Weighing, ...] = kept((), "the batches that were made, each with its number")
    prices: tuple[tuple[str, float], ...] = kept((), "pairs of an id and the price of one gram; such a price", least=0)
    currency: str = kept("", "the currency of the prices")

    def __post_init__(self) -> None:
        shapes.check(self)

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
        from histkit.bench.pressing import press

        p = self.pressing
        dry = _several(p.binder, p.binder_share, p.more_binders)
        wet: dict[str, Any] = {"wetting": p.wetting, "wetting_share": p.wetting_share, "cake": p.cake or None}
        of: Any = p.of
        if p.oil_from == "absorption":
            return press(self.composition(), dry, oil=p.oil, oil_share=None, of=of, **wet)
        if p.oil_from == "drops":
            drops: dict[str, Any] = {"oil_drops": p.oil_drops, "powder_grams": p.drops_powder_grams}
            return press(self.composition(), dry, oil=p.oil, of=of, **drops, **wet)
        return press(self.composition(), dry, oil=_several(p.oil, p.oil_share, p.more_oils), of=of, **wet)

    def pan_fill(self) -> Spread | None:
        """Grams of cake that the pans take, with their spread; None where there are no pans or it stays loose."""
        from histkit.bench.pans import pan_fill_spread

        pressed, p, w = self.pressed(), self.pressing, self.weighing
        if pressed is None or p is None or not w.pans:
            return None
        how: dict[str, Any] = {"press": p.press or None, "pressure": p.pressure_mpa, "density_g_cm3": w.density_g_cm3}
        return pan_fill_spread(pressed, count=w.pans, **w.pan(), **how)

    def pressure(self) -> PressPressure | None:
        """The pressure on a pan, and how it lies to the published window; None where nothing is said of how it is pressed."""
        from histkit.bench.pressures import PressPressure, press_pressure, window_note

        p = self.pressing
        if p is None or (not p.press and p.pressure_mpa is None):
            return None
        if p.pressure_mpa is not None:
            note = window_note(p.pressure_mpa)
            return PressPressure("as given", Spread.exact(p.pressure_mpa), note, "your own figure", "not worked out")
        size = {key: value for key, value in self.weighing.pan().items() if key not in ("depth_mm", "below_rim_mm")}
        return press_pressure(p.press, **size)

    def log(self) -> TrialLog:
        """The trial presses as a log, for `histkit.trials.propose`."""
        return TrialLog(self.trials, self.title or self.formula().title)

    def final(self) -> Composition:
        """What is weighed: the cake where it is pressed, else the powder."""
        pressed = self.pressed()
        return pressed.composition if pressed is not None else self.composition()

    def batch(self, number: str | None = None) -> Batch:
        """What to weigh: the next batch, or the one of that number among those that were made.

        Raises:
            Forbidden: an ingredient that must not be used is still in it.
            BadValue: there is no batch of that number; pans are to be filled and there are none, or it stays loose.
        """
        from histkit.bench.batching import batch
        from histkit.bench.sizing import batch_for_pans, batch_from_scarcest

        w = self._weighing(number)
        shown: dict[str, Any] = {"error_limit": w.error_limit, "number": w.number}
        shown |= {"prices": dict(self.prices), "currency": self.currency}
        if w.make == "cupboard":
            return batch_from_scarcest(self.pressed() or self.composition(), dict(w.cupboard), w.scales(), pans=w.pans, **shown)
        if w.make == "pans":
            pressed, p = self.pressed(), self.pressing
            if pressed is None or p is None or not w.pans:
                raise BadValue("a batch that fills pans needs the number of pans, and a powder that is pressed")
            how: dict[str, Any] = {"press": p.press or None, "pressure": p.pressure_mpa, "density_g_cm3": w.density_g_cm3}
            return batch_for_pans(pressed, count=w.pans, balance=w.scales(), allowance=w.allowance, **w.pan(), **how, **shown)
        return batch(self.pressed() or self.composition(), w.grams, w.scales(), pans=w.pans, **shown)

    def _weighing(self, number: str | None) -> Weighing:
        if number is None:
            return self.weighing
        for made in (*self.batches, self.weighing):
            if made.number == number:
                return made
        known = ", ".join(repr(made.number) for made in (*self.batches, self.weighing) if made.number) or "none with a number"
        raise BadValue(f"this record has no batch {number!r}; it has {known}")

    def label(self, rinse_off: bool = False, may_contain: tuple[str, ...] = ()) -> LabelDraft:
        """The draft of a label for what is weighed."""
        from histkit.bench.label import label_draft

        return label_draft(self.final(), rinse_off, may_contain)

    def effects(self) -> Effects:
        """What all changes together do, from the formula as printed to what is weighed."""
        return self.translation().composition().effects(self.final(), dict(self.prices) or None)

    def table(self) -> ComparisonTable:
        """Old beside new. Without a batch as long as something forbidden is in it."""
        from histkit.base.errors import Forbidden
        from histkit.telling.comparing import compare

        try:
            return compare(self.translation(), self.batch())
        except Forbidden:
            return compare(self.translation(), composition=self.final())

    # -- the file -------------------------------------------------------------------------------------------------------

    def to_json(self) -> str:
        """The record as JSON text; `from_json` gives an equal one. Its form is `schema()`."""
        return json.dumps({"histkit-record": VERSION, **shapes.plain(self)}, ensure_ascii=False, indent=1) + "\n"

    @classmethod
    def from_json(cls, text: str, name: str = "this record") -> Record:
        """The record that `to_json` wrote.

        Raises:
            RecordError: the text is no record, is cut off, was written by a newer histkit, or an entry does not fit; the text
                says which.
        """
        try:
            data = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_once)
        except json.JSONDecodeError as error:
            raise RecordError(f"{name} is damaged at line {error.lineno}: {error.msg}. Its backup may still be good.") from error
        except RecursionError:
            raise RecordError(f"{name} is damaged: its brackets are nested deeper than in any record") from None
        except ValueError as error:  # a number of thousands of digits, NaN, an entry that stands twice
            raise RecordError(f"{name} is damaged: {error}. Its backup may still be good.") from error
        if not isinstance(data, dict) or "histkit-record" not in data:
            raise RecordError(f"{name} is no histkit record: it lacks the entry 'histkit-record'")
        version = data.pop("histkit-record")
        if isinstance(version, bool) or not isinstance(version, int) or version < 1:
            raise RecordError(f"{name} is no histkit record: its 'histkit-record' should be a version from 1 to {VERSION}")
        if version > VERSION:
            raise RecordError(
                f"{name} was written by a newer histkit (record version {version}; this one knows {VERSION}): update histkit"
            )
        try:
            made: Record = shapes.decode(cls, data, "the record")
        except BadValue as error:
            raise RecordError(f"{name} holds something that does not fit: {error}") from error
        return made


def _several(first: str | None, share: float, more: tuple[tuple[str, float], ...]) -> dict[str, float]:
    """One binder and further ones as `press` takes them; the same one twice is added up."""
    out: dict[str, float] = {} if first is None else {first: share}
    for key, value in more:
        out[key] = out.get(key, 0.0) + value
    return out


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} stands where a number should")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, value in pairs:
        if key in out:
            raise ValueError(f"the entry {key!r} stands twice")
        out[key] = value
    return out


def schema() -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of a record file, made from the same fields that read it.

    It is published as `histkit/keeping/record.schema.json`; `histkit record --schema` prints it.
    """
    share = {"minimum": 0, "exclusiveMaximum": 1}
    own_checks: dict[tuple[str, str], Mapping[str, Any]] = {
        ("Source", "year"): {"minimum": 1000, "maximum": 2100},
        ("Source", "kind"): {"enum": KINDS},
        ("Trial", "binder_share"): share,
        ("Trial", "oil_share"): share,
        ("Trial", "pressure"): {"exclusiveMinimum": 0},
        ("Trial", "drops_survived"): {"minimum": 0},
        ("Trial", "payoff"): {"minimum": 0, "maximum": 5},
    }
    made = shapes.schema(Record, own_checks)
    version = {"description": "version of the form of this file", "type": "integer", "minimum": 1, "maximum": VERSION}
    return {
        "$schema": shapes.DRAFT,
        "$id": f"urn:histkit:record:{VERSION}",
        "title": "histkit record: a formula with all choices made about it",
        **made,
        "properties": {"histkit-record": version, **made["properties"]},
        "required": ["histkit-record"],
    }


def _backup(path: Path) -> Path:
    return path.with_name(path.name + ".backup")


def _read(path: Path) -> str:
    """The text of a record file. Raises RecordError where it cannot be read."""
    if not path.exists():
        raise RecordError(f"there is no record at {path}")
    if not path.is_file():
        raise RecordError(f"{path} is no file")
    try:
        if (size := path.stat().st_size) > LARGEST:
            raise RecordError(f"{path} is no histkit record: it has {size / 1e6:.0f} MB, and a record a few thousand bytes")
        return path.read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError) as error:
        raise RecordError(f"{path} cannot be read: {error}") from error


def save(record: Record, path: str | Path) -> Path:
    """Save a record; the last good one is kept beside it as `<name>.backup`.

    Raises:
        RecordError: it cannot be written, or the file there cannot be read or is from a newer histkit: then it is left as it is.
    """
    path = Path(path)
    with alone(path):
        _save(record, path)
    return path


def _save(record: Record, path: Path) -> str:
    text = record.to_json()
    if len(text) > LARGEST / 4:  # a character takes four bytes at most
        raise RecordError(
            f"{path} was not saved: this record has {len(text):,} characters, more than any formula: shorten its text"
        )
    if path.exists():
        previous = _read(path)
        try:
            Record.from_json(previous, str(path))
        except RecordError as error:
            raise RecordError(
                f"{error} It was not written over: save under another name, or put its backup back (histkit record --restore)."
            ) from error
        if previous != text:
            write_atomically(_backup(path), previous)
    write_atomically(path, text)
    return text


def load(path: str | Path) -> Record:
    """The record in a file.

    Raises:
        RecordError: there is no such file, or it is damaged (then the text says whether a backup is there).
    """
    path = Path(path)
    return _parsed(path, _read(path))


def _parsed(path: Path, text: str) -> Record:
    try:
        return Record.from_json(text, str(path))
    except RecordError as error:
        if _backup(path).exists():
            raise RecordError(f"{error} The last good one is {_backup(path)}.") from error
        raise


def restore(path: str | Path) -> Path | None:
    """Put the backup of a record in its place; what stood there is kept beside it, and its new name given (None: nothing stood).

    Raises:
        RecordError: there is no backup, or the backup is damaged too.
    """
    path = Path(path)
    backup = _backup(path)
    if not backup.exists():
        raise RecordError(f"there is no backup of {path}")
    text = _read(backup)
    Record.from_json(text, str(backup))
    with alone(path):
        aside = None
        if path.exists():
            number = next(n for n in range(1, 1_000_000) if not path.with_name(f"{path.name}.set-aside-{n}").exists())
            aside = path.with_name(f"{path.name}.set-aside-{number}")
            try:
                path.rename(aside)
            except OSError as error:
                raise RecordError(f"{path} cannot be set aside: {error.strerror or error}") from error
        write_atomically(path, text)
    return aside


class ChangedElsewhere(RecordError):
    """The file is no longer what this window read or wrote: another one has saved in the meantime."""


class RecordFile:
    """A record file that a window holds open. It remembers what it last read or wrote, and does not write over anything else.

    Two notebooks with the same file: the second to save is told, and nothing is lost.
    """

    def __init__(self, path: str | Path) -> None:
        self.path = Path(path)
        self._known: str | None = None

    def load(self) -> Record:
        """The record in the file, as `load` gives it."""
        text = _read(self.path)
        record = _parsed(self.path, text)
        self._known = _digest(text)
        return record

    def changed_elsewhere(self) -> bool:
        """Whether the file is no longer what this window last read or wrote (also where it is gone, or newly there)."""
        try:
            now = _digest(_read(self.path)) if self.path.exists() else None
        except RecordError:
            return True
        return now != self._known

    def save(self, record: Record, over: bool = False) -> Path:
        """Save a record as `save` does; `over` writes also over what another window has saved (its record becomes the backup).

        Raises:
            RecordError: as `save`.
            ChangedElsewhere: the file was changed since it was read or written here.
        """
        with alone(self.path):
            # A file that is gone is no other window's work: it is written anew.
            if not over and self.path.exists() and self.changed_elsewhere():
                raise ChangedElsewhere(
                    f"{self.path} was changed by another notebook or program since it was opened here, so it was not written"
                    " over. Close one of the two. To go on here, open the file anew, or save under another name."
                )
            self._known = _digest(_save(record, self.path))
        return self.path


def _digest(text: str) -> str:
    return sha256(text.encode("utf-8")).hexdigest()
