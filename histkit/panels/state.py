"""The state that all panels of a notebook share: one record, and the file it is kept in.

Every notebook has a kernel of its own, so two open notebooks are two programs that keep the same file. A choice is
therefore never written as a whole record that was read some time ago: it is a small change (`Desk.edit`), made to the
newest record in the file. So nothing that was chosen in one notebook is lost by moving a slider in another.
"""

from __future__ import annotations

import asyncio
import contextlib
import os
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path
from typing import Any

import traitlets

from histkit import glossary
from histkit.base.errors import BadValue, HistkitError, RecordError, TableError
from histkit.keeping import example as demo
from histkit.keeping import folder as formulas
from histkit.keeping import library
from histkit.keeping.differences import differences
from histkit.keeping.records import ChangedElsewhere, Kept, Record, RecordFile, history
from histkit.panels.changes import lines_of
from histkit.panels.steps import Steps
from histkit.reading.formula import Line

DEFAULT_FILE = "my-formula.json"
OWN_GLOSSARY = "my-glossary"
"""The folder beside the record in which a maker's own tables add to the glossary."""
LOOK_EVERY = 1.0
"""Seconds between two looks at whether another notebook has changed the file."""

STAYS = "Your file stays as it is; once you change something, it is kept beside the new one under another name."
"""What is said of a file that cannot be read."""

MOST_TRIES = 5
"""How often a change is made anew because another notebook saved at the same moment."""

Listener = Callable[[Record], None]
Mark = tuple[int, int, int]


class Desk(traitlets.HasTraits):
    """A record on the desk. Changing it saves it; `trouble` holds a sentence where something went wrong, `news` what was done
    that nobody asked for in so many words.

    With `path` None nothing is written. A desk whose file is not there yet starts from an invented demo formula and
    writes nothing until something is changed.
    """

    record = traitlets.Instance(Record)
    trouble = traitlets.Unicode()
    news = traitlets.Unicode()

    def __init__(self, path: Path | None = None, replaced: bool = False) -> None:
        record, trouble = demo.record("complexion", replaced=replaced), ""
        self.path = path
        self._file = RecordFile(path) if path is not None else None
        self._damaged = False
        self._watchers: dict[str, Callable[[Any], None]] = {}
        self._following: asyncio.Task[None] | None = None
        self._steps = Steps()
        self._seen = _mark(path)
        if self._seen is not None and path is not None and self._file is not None:
            try:
                record = self._file.load()
            except RecordError as error:
                self._damaged = True
                trouble = f"{error} The invented demo formula is shown instead. {STAYS}"
        super().__init__(record=record, trouble=trouble)

    # -- changing -------------------------------------------------------------------------------------------------------------

    def edit(self, change: Callable[[Record], Record]) -> None:
        """Make one change to the newest record, and save it.

        Raises:
            HistkitError: the change makes no sense; the record stays as it was.
        """
        for _ in range(MOST_TRIES):
            self.fetch()
            if self._kept(change(self.record)):
                return
        self.trouble = "Another notebook keeps changing the file. Your choices hold in this window, but they are not saved."

    def change(self, **choices: Any) -> None:
        """Set whole entries of the record (`notes=…`). What makes no sense is told in `trouble` and the old choices stay."""
        try:
            self.edit(lambda record: replace(record, **choices))
        except HistkitError as error:
            self.trouble = str(error)

    def keep(self, record: Record) -> None:
        """Put another record on the desk and save it, over whatever is in the file."""
        self._kept(record, over=True)

    def _kept(self, record: Record, over: bool = False) -> bool:
        """Whether the record now lies on the desk, and in the file unless that could not be written: False where another notebook
        saved a moment ago, so that the change must be made again to what it saved."""
        if record == self.record:
            return True
        self._steps.made(self.record, record)
        if self._laid(record, over):
            return True
        self._steps.unmade()
        return False

    def _laid(self, record: Record, over: bool) -> bool:
        """Whether the record now lies on the desk, and in the file unless that could not be written."""
        self.trouble = self.news = ""
        self.record = record
        try:
            self._save(over)
        except ChangedElsewhere:
            return False
        return True

    def _save(self, over: bool) -> None:
        if self.path is None or self._file is None:
            return
        try:
            aside = self._file.save(self.record, over, aside=self._damaged)
        except ChangedElsewhere:
            raise
        except (RecordError, OSError) as error:
            self.trouble = f"{error} Your choices hold in this window, but they are not saved."
            return
        if aside is not None:
            self.news = f"What could not be read is kept in {aside.name}."
        self._damaged = False
        self._seen = _mark(self.path)

    def fetch(self) -> bool:
        """Take over what another notebook has saved in the meantime; whether there was anything."""
        mark = _mark(self.path)
        if self.path is None or self._file is None or mark is None or mark == self._seen:
            return False
        self._seen = mark
        try:
            record = self._file.load()
        except RecordError as error:
            self._damaged = True
            self.trouble = f"{error} What this window shows is from before. {STAYS}"
            return False
        self._damaged = False
        if record == self.record:
            return False
        self._steps.made(self.record, record)
        self.trouble, self.news = "", "Something was changed in another notebook; it is shown here now."
        self.record = record
        return True

    def follow(self) -> None:
        """Look again and again whether another notebook has saved something, as long as this kernel runs."""
        if self._following is not None or self.path is None:
            return
        with contextlib.suppress(RuntimeError):  # no event loop: nothing to follow in, as in a plain script
            self._following = asyncio.get_running_loop().create_task(self._follow())

    async def _follow(self) -> None:
        while True:
            await asyncio.sleep(LOOK_EVERY)
            try:
                self.fetch()
            except Exception as error:
                self.trouble = f"The file could not be looked at again ({type(error).__name__}: {error})."

    # -- taking back ----------------------------------------------------------------------------------------------------------

    def undo(self) -> None:
        """Take the last choice back, whichever notebook it was made in; `news` says what it was."""
        self.fetch()
        self._step(self._steps.earlier(self.record, self._kept_states), "Taken back", "There is nothing to take back.")

    def redo(self) -> None:
        """Do again what was taken back last."""
        self.fetch()
        self._step(self._steps.later(self.record), "Done again", "There is nothing to do again.")

    def go_back(self, number: int) -> None:
        """Lay the state of that number in the file's history on the desk; this can be taken back too.

        Raises a HistkitError where there is none of that number, or it cannot be read.
        """
        state = next((kept for kept in self.history() if kept.number == number), None)
        if state is None or state.record is None:
            raise BadValue(f"the history has no state {number} that can be read")
        self._steps.pause()
        self._kept(state.record, over=True)
        self._steps.pause()
        self.news = f"This is the formula as it was kept as number {number}. Undo takes that back."

    def history(self) -> tuple[Kept, ...]:
        """Every state of the file that is kept, the oldest first; none where nothing was saved yet."""
        try:
            return history(self.path) if self.path is not None else ()
        except RecordError:
            return ()

    def _kept_states(self) -> list[Record]:
        return [kept.record for kept in self.history() if kept.record is not None]

    def _step(self, to: Record | None, what: str, nothing: str) -> None:
        if to is None:
            self.trouble, self.news = "", nothing
            return
        taken_back = what == "Taken back"
        words = differences(to, self.record) if taken_back else differences(self.record, to)
        self._laid(to, over=True)
        self.news = f"{what}: {'; '.join(words)}."

    # -- several formulas -----------------------------------------------------------------------------------------------------

    def begin(self, record: Record) -> None:
        """Lay another formula on the desk. The one that lay there is kept in a file of its own, unless it was invented."""
        self.fetch()
        before, sentence = self.record, ""
        if self.path is not None and before.text.strip() and not is_demo(before):
            try:
                aside = library.put_away(before, self.path)
            except (RecordError, OSError) as error:
                self.trouble = f"{error} So the formula stays on the desk."
                return
            sentence = f"What lay on the desk before is kept in {aside.name}."
        self._steps.pause()
        self.keep(record)
        self.news = " ".join(filter(None, (sentence, self.news)))

    def keep_copy(self, name: str) -> str:
        """Save the record under another name beside the first, in a file that was not there; the file's name.

        Raises:
            BadValue: the name holds something else than letters, figures, blanks and hyphens, or is the desk's own.
            RecordError: it cannot be saved.
        """
        self.fetch()
        return formulas.keep_copy(self.record, self.home, name, self.path).name

    def kept(self) -> tuple[Path, ...]:
        """The other records in the folder, by name."""
        return formulas.kept_in(self.home, self.path)

    @property
    def home(self) -> Path:
        """Where the formulas lie: the folder of the record."""
        return self.path.parent if self.path is not None else Path()

    @property
    def folder(self) -> Path:
        """Where pictures and bench sheets of this formula go: a folder of its name, made here where it is missing.

        Raises RecordError where it cannot be made.
        """
        return library.own_folder(self.record, self.home) if self.path is not None else Path()

    # -- listening ------------------------------------------------------------------------------------------------------------

    def watch(self, listener: Listener, name: str = "", now: bool = True) -> None:
        """Call `listener` with the record whenever it has changed, and `now`.

        A name belongs to one listener: a cell that is run again takes the place of its own panel from before.
        """
        if name in self._watchers:
            self.unobserve(self._watchers.pop(name), names="record")

        def heard(change: Any) -> None:
            listener(change["new"])

        if name:
            self._watchers[name] = heard
        self.observe(heard, names="record")
        if now:
            listener(self.record)

    def summary(self) -> str:
        """In a few plain sentences: what lies on the desk and how far it is."""
        record = self.record
        if not record.text.strip():
            return "There is no formula yet."
        try:
            formula = record.formula()
            out = [f"Formula: {formula.title or 'without a title'}, {len(formula.lines)} lines."]
            composition = record.final()
            forbidden = ", ".join(i.name for i in composition.forbidden)
            out.append(
                f"Must be replaced before a batch can be made: {forbidden}." if forbidden else "No forbidden ingredient is in it."
            )
            holding = [finding for finding in record.findings() if finding.holds and finding.about != "forbidden"]
            out += [f"Before a batch can be made: {finding.text}" for finding in holding]
            unknown = ", ".join(t.name for t in record.translation().lines if t.ingredient is None and not t.line.set_aside)
            if unknown:
                out.append(f"Not in the glossary, find out what it is: {unknown}.")
            out.append(f"{'Pressed' if record.pressing else 'Loose'}: {len(composition.parts)} ingredients.")
            if not forbidden and not holding:
                out.append(f"Batch: {record.batch().grams:.2f} g.")
        except HistkitError as error:
            return str(error)
        return "\n".join(out)


def _mark(path: Path | None) -> Mark | None:
    """What tells one state of a file from another: a replaced file is another file, whatever its time says."""
    if path is None:
        return None
    try:
        about = path.stat()
    except OSError:
        return None
    return about.st_mtime_ns, about.st_size, about.st_ino


def is_demo(record: Record) -> bool:
    """Whether a record is one of the invented formulas, with its invented source unchanged."""
    invented = (demo.record(name) for name in demo.names())
    return any(record.text == d.text and record.source == d.source for d in invented)


# -- changes to a record ----------------------------------------------------------------------------------------------


def with_text(record: Record, text: str) -> tuple[Record, str]:
    """The record with another text, and a sentence about what no longer fits it.

    A formula of the maker's own does not come from the invented book, and stand-ins chosen for the invented formula were not
    chosen for it. Corrections stay with the lines whose words are still there.
    """
    if text == record.text:
        return record, ""
    if is_demo(record):
        chosen = {name: getattr(record, name) for name in ("constraints", "pressing", "weighing", "notes")}
        return Record(text=text, **chosen), ""
    new = replace(record, text=text, corrections=(), photograph=record.photograph if text.strip() else None)
    if not record.corrections:
        return new, ""
    before = [_words(line) for line in lines_of(replace(record, corrections=()))]
    after = [_words(line) for line in lines_of(new)]
    kept, lost = [], []
    for correction in record.corrections:
        words = before[correction.line] if correction.line < len(before) else ""
        nth = before[: correction.line].count(words)
        places = [n for n, other in enumerate(after) if other == words]
        if words and nth < len(places):
            kept.append(replace(correction, line=places[nth]))
        else:
            lost.append(words or f"line {correction.line + 1}")
    loss = f"Your corrections no longer fit and were taken out, for the words changed: {'; '.join(lost)}." if lost else ""
    return replace(new, corrections=tuple(kept)), loss


def is_another(record: Record, text: str) -> bool:
    """Whether a text in the place of the record's own may be another formula: it is empty, or has nothing much of the old one."""
    return bool(record.text.strip()) and not is_demo(record) and not library.alike(record.text, text)


def begun(record: Record, text: str = "") -> Record:
    """A new formula of the same maker: it has no book, year or choices yet, but their balance, cupboard, prices and wishes."""
    weighing = replace(record.weighing, number="", notes="")
    kept = {name: getattr(record, name) for name in ("constraints", "pressing", "prices", "currency")}
    return Record(text=text, weighing=weighing, **kept)


def _words(line: Line) -> str:
    return " ".join(line.raw.split())


_desks: dict[Path, Desk] = {}


def _with_own_glossary(folder: Path) -> tuple[str, str]:
    """Use the maker's own tables too, where the folder is there; what is wrong with them, and what they add, in words."""
    try:
        if folder.is_dir():
            glossary.use(folder)
        return "", glossary.own_summary()
    except TableError as error:
        return f"{error}. Until this is mended, your own tables are not used.", ""


def desk(replaced: bool = False) -> Desk:
    """The desk of this notebook: the record file is `my-formula.json` beside it, or what HISTKIT_RECORD names.

    With `replaced`, the invented formula that lies there at first has its stand-ins already.
    """
    path = Path(os.environ.get("HISTKIT_RECORD") or DEFAULT_FILE).resolve()
    if path not in _desks:
        trouble, news = _with_own_glossary(path.parent / OWN_GLOSSARY)
        _desks[path] = Desk(path, replaced)
        _desks[path].trouble = " ".join(filter(None, (_desks[path].trouble, trouble)))
        _desks[path].news = news
    else:
        _desks[path].fetch()
    return _desks[path]
