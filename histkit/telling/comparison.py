"""Old beside new: each printed line with what it is today, its share then and now, what to weigh and what changed and why.

The rows follow the book: a printed line, beneath it what stands in its place, and after the last line what the book never
had (binder, oil). Every ingredient of the new composition stands in exactly one row with a figure, so that the columns add
up; a line whose ingredient was already weighed says so. Whatever is doubtful carries a sign with its text below the table.
"""

from __future__ import annotations

import csv
import io
import math
import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Source, Spread
from histkit.base.text import Cell, clean, spreadsheet_cell
from histkit.bench.weighing import largest_remainder
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.reading.formula import Line

if TYPE_CHECKING:
    import pandas

    from histkit.bench.batching import Batch
    from histkit.composing.composition import Change, Composition
    from histkit.display.frames import Frame
    from histkit.translating.translation import TranslatedLine, Translation

Fate = Literal["kept", "again", "replaced", "left out", "no weight", "unknown", "forbidden", "gone", "stand-in", "added"]
"""What became of a row's ingredient; "again": the same ingredient as an earlier line, "gone": missing without a record of why."""

NOT_IN_THE_BOOK = "(not in the book)"
"""What renderings print in the column of printed words for what the formula never had."""


SIGNS = ("†", "‡", "§", "‖", "¶")
"""Signs of the notes in the order in which printers use them; after the last they are doubled, then trebled."""

_MOST_GRAM_DECIMALS = 6  # a microgram: what no aliquot for the kitchen goes below

SAFETY = "Rules differ and change: ask a safety assessor before anybody else uses what you make."

# Each begins where no blank or dot stands before it: else a long row would be tried from every place in it.
_LEADERS = re.compile(r"(?<![\s.·…_])(?:\s*[.·…_]){3,}(?=\s)|(?:(?<!\s)\s++)?(?<!…)…+(?=\s)")
_DITTO = re.compile(r"^\s*(?:[\"”“″„〃]+|''|,,|(?:do\.|ditto)(?=\s|$))\s*", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Footnote:
    """A sign in the table and what it means."""

    sign: str
    text: str


@dataclass(frozen=True, slots=True)
class Row(Tabular):
    """One row. `then` (a spread) and `now` are exact shares of mass (0–1), `then_percent` and `now_percent` the figures as
    printed, which add to 100; `grams` are weighed now. `line` counts printed lines from 1; None for what no line brought.
    """

    fate: Fate
    printed: str
    today: str
    ingredient: Ingredient | None
    line: int | None = None
    then: Spread | None = None
    now: float | None = None
    grams: float | None = None
    then_percent: float | None = None
    now_percent: float | None = None
    change: str = ""
    signs: tuple[str, ...] = ()
    by_aliquot: bool = False

    @property
    def is_line(self) -> bool:
        """Whether this row is a printed line of the book."""
        return self.fate not in ("stand-in", "added")

    def marked(self) -> str:
        """The printed words with the signs of their notes."""
        words = self.printed or ("" if self.fate == "stand-in" else NOT_IN_THE_BOOK)
        return f"{words} {' '.join(self.signs)}" if self.signs else words

    def _grid(self) -> Grid:
        figures = (self.then_percent, self.now_percent, self.grams)
        return Grid(_COLUMNS, (_cells(self, figures),), "One row of old and new")


_COLUMNS = (
    Column("printed", "As printed"),
    Column("today", "Today"),
    Column("share_then", "Share then, %", 1),
    Column("share_now", "Share now, %", 1),
    Column("grams", "Weigh now, g", 2),
    Column("change", "What changed and why"),
)


def _cells(row: Row, figures: Sequence[Cell]) -> tuple[Cell, ...]:
    today = f"→ {row.today}" if row.fate == "stand-in" else row.today
    return (row.marked(), today, *figures, row.change)


@dataclass(frozen=True, slots=True)
class ComparisonTable(Tabular):
    """The table of old and new. `source` and `title` say where it comes from; `footnotes` explain the signs; `notes` hold
    for the whole table. `then_decimals`, `now_decimals` and `gram_decimals` are the digits that are printed; grams get more
    where an aliquot brings in less than the balance shows.
    """

    rows: tuple[Row, ...]
    title: str
    source: Source | None = None
    footnotes: tuple[Footnote, ...] = ()
    notes: tuple[str, ...] = ()
    basis: str = ""
    """One short sentence: which measures the figures rest on."""
    then_decimals: int = 1
    now_decimals: int = 1
    gram_decimals: int = 2

    @property
    def lines(self) -> tuple[Row, ...]:
        """The rows of the printed lines, in the order of the book."""
        return tuple(row for row in self.rows if row.is_line)

    @property
    def has_now(self) -> bool:
        """Whether there is a new composition to compare with."""
        return any(row.now is not None for row in self.rows)

    @property
    def has_grams(self) -> bool:
        """Whether there is a batch to weigh."""
        return any(row.grams is not None for row in self.rows)

    @property
    def then_total(self) -> float | None:
        """Sum of the printed shares then, in per cent: 100, or None where no line has a weight."""
        return _sum((row.then_percent for row in self.rows), self.then_decimals)

    @property
    def now_total(self) -> float | None:
        """Sum of the printed shares now, in per cent: 100, or None where there is no new composition."""
        return _sum((row.now_percent for row in self.rows), self.now_decimals)

    @property
    def grams_total(self) -> float | None:
        """Grams of the whole batch."""
        return _sum((row.grams for row in self.rows), _MOST_GRAM_DECIMALS)

    def citation(self) -> str:
        """The source in one line."""
        known = self.source is not None and any((self.source.title, self.source.author, self.source.year))
        return self.source.citation() if self.source is not None and known else "source not given"

    def blocks(self) -> tuple[tuple[Row, ...], ...]:
        """The rows in groups that belong together: a line with what stands in its place, or one addition."""
        groups: list[list[Row]] = []
        for row in self.rows:
            if row.fate == "stand-in" and row.line is not None and groups:
                groups[-1].append(row)
            else:
                groups.append([row])
        return tuple(map(tuple, groups))

    def figures(self, row: Row) -> tuple[str, str, str]:
        """Share then, share now and grams as printed; '–' where there is none."""
        return (
            percent_text(row.then_percent, row.then.best if row.then else None, self.then_decimals),
            percent_text(row.now_percent, row.now, self.now_decimals),
            grams_text(row.grams, self.gram_decimals),
        )

    def total_figures(self) -> tuple[str, str, str]:
        """The row of totals as printed."""
        then, now, grams = self.then_total, self.now_total, self.grams_total
        return (
            "–" if then is None else f"{then:.{self.then_decimals}f}",
            "–" if now is None else f"{now:.{self.now_decimals}f}",
            grams_text(grams, self.gram_decimals),
        )

    def doubts_of(self, row: Row) -> str:
        """The notes behind a row's signs."""
        return " ".join(note.text for note in self.footnotes if note.sign in row.signs)

    def columns(self) -> tuple[Column, ...]:
        """The columns with their digits."""
        digits = {"share_then": self.then_decimals, "share_now": self.now_decimals, "grams": self.gram_decimals}
        return tuple(Column(c.key, c.heading, digits.get(c.key, c.decimals)) for c in _COLUMNS)

    def _grid(self) -> Grid:
        rows = [_cells(row, self.figures(row)) for row in self.rows]
        rows.append(("Total", "", *self.total_figures(), ""))
        return Grid(self.columns(), tuple(rows), self.title, self.all_notes())

    def all_notes(self) -> tuple[str, ...]:
        """Everything that stands below the table: signs, source, notes."""
        return (*(f"{n.sign} {n.text}" for n in self.footnotes), f"Source: {self.citation()}.", *self.notes)

    def to_frame(self) -> pandas.DataFrame:
        """One row for each row of the table, without the totals (`frame.attrs` has them, with title and source).

        Shares are in per cent as printed and add to 100, `share_then_low` and `share_then_high` their limits; `line` counts
        the printed lines from 1. The exact shares are in `rows`.
        """
        import pandas

        frame = pandas.DataFrame([list(entry) for entry in self._entries()], columns=list(_FRAME_COLUMNS))
        figures = ["share_then", "share_then_low", "share_then_high", "share_now", "grams"]
        frame[figures] = frame[figures].astype(float)
        frame["line"] = frame["line"].astype("Int64")
        totals = {"share_then": self.then_total, "share_now": self.now_total, "grams": self.grams_total}
        frame.attrs = {"title": self.title, "source": self.citation(), "totals": totals}
        return frame

    def _entries(self) -> Iterable[tuple[Cell, ...]]:
        for row in self.rows:
            low, high = (100 * row.then.low, 100 * row.then.high) if row.then else (None, None)
            limits = tuple(None if v is None else round(v, self.then_decimals + 1) for v in (low, high))
            key = row.ingredient.id if row.ingredient else ""
            yield (
                row.line, row.fate, row.printed, row.today, key, row.then_percent, *limits, row.now_percent, row.grams,
                row.change, " ".join(row.signs), self.doubts_of(row),
            )  # fmt: skip

    def to_html(self) -> str:
        """The table as HTML: caption, scoped headings, totals in the foot, notes below; everything escaped."""
        from histkit.display import html

        return html.table(self)

    def to_csv(self, path: str | Path) -> Path:
        """The rows of `to_frame` as a CSV file (UTF-8), replaced in one step; text that a spreadsheet would run is defused.

        Raises:
            RecordError: the file cannot be written.
        """
        text = io.StringIO()
        writer = csv.writer(text, lineterminator="\n")
        writer.writerow(_FRAME_COLUMNS)
        for entry in self._entries():
            writer.writerow(["" if cell is None else spreadsheet_cell(cell) for cell in entry])
        return _put(path, text.getvalue().encode("utf-8"))

    def to_xlsx(self, path: str | Path) -> Path:
        """A workbook with the sheets 'old and new' and 'notes', replaced in one step; no cell can be taken for a formula.

        Raises:
            RecordError: the file cannot be written.
        """
        from histkit.display import workbook

        return _put(path, workbook.to_bytes(self))

    def frames(self, size: tuple[int, int] = (3840, 2160), theme: str = "light", transparent: bool = False) -> tuple[Frame, ...]:
        """The table laid out for a screen of `size` pixels: one frame where it fits, else several. See `to_picture`."""
        from histkit.display import pictures

        return pictures.comparison_frames(self, size, theme, transparent)

    def to_picture(
        self,
        path: str | Path,
        size: tuple[int, int] = (3840, 2160),
        theme: str = "light",
        transparent: bool = False,
        alt_text: bool = False,
    ) -> list[Path]:
        """Draw the table into a picture of exactly `size` pixels (width, height); the paths written, always as a list.

        The ending says which kind: .png, .svg or .pdf (the latter two have the same proportions). All text lies in the middle
        90 % of the frame and none is smaller than 1/36 of its height; where the table does not fit, it runs over several
        frames: the first is `path` itself, the others `name-2.png`, `name-3.png` and so on. `theme` is "light" or "dark";
        `transparent` leaves the background out;
        `alt_text` also writes a description into a text file beside each picture (it is in the picture's metadata anyway).

        Raises:
            BadValue: the ending, the size or the theme is none of those.
            RecordError: the file cannot be written.
        """
        from histkit.display import frames as drawing

        target = Path(path)
        drawing.kind_of(target)  # before the work of laying out
        return drawing.save(self.frames(size, theme, transparent), target, alt_text=alt_text)


_FRAME_COLUMNS = (
    "line", "fate", "printed", "today", "ingredient", "share_then", "share_then_low", "share_then_high", "share_now", "grams",
    "change", "marks", "doubts",
)  # fmt: skip


def _put(path: str | Path, data: bytes) -> Path:
    from histkit.base.files import write_atomically

    target = Path(path)
    write_atomically(target, data)
    return target


def _sum(values: Iterable[float | None], decimals: int) -> float | None:
    known = [v for v in values if v is not None]
    return round(math.fsum(known), decimals) if known else None


def grams_text(grams: float | None, decimals: int) -> str:
    """Grams with the digits of the balance, and more where the amount is finer than that."""
    if grams is None:
        return "–"
    needed = next((d for d in range(decimals, _MOST_GRAM_DECIMALS) if abs(round(grams, d) - grams) < 1e-9), _MOST_GRAM_DECIMALS)
    return f"{grams:,.{needed}f}"


def percent_text(printed: float | None, exact: float | None, decimals: int) -> str:
    """A share in per cent as printed. One that is there but too small to show says that it is less than the last digit."""
    if printed is None:
        return "–"
    if printed == 0 and exact:
        return f"<{10**-decimals:.{decimals}f}"
    return f"{printed:.{decimals}f}"


# -- comparing ----------------------------------------------------------------------------------------------------------


def compare(translation: Translation, batch: Batch | None = None, composition: Composition | None = None) -> ComparisonTable:
    """The table of old and new: a translation beside what is made of it.

    With a `batch` the composition is the batch's and the grams are those to weigh; with a `composition` alone there are shares
    but no grams; with neither the table shows the old formula by itself.

    Raises:
        BadValue: the composition given is not the one that the batch was made of.
    """
    made = batch.composition if batch is not None else composition
    if batch is not None and composition is not None and composition.parts != batch.composition.parts:
        raise BadValue("compare() takes a batch or a composition: the composition given is not the one of the batch")
    return _Comparing(translation, batch, made).table()


class _Comparing:
    """The state of one comparison while its rows are being made; nothing of it outlives `table()`."""

    def __init__(self, translation: Translation, batch: Batch | None, composition: Composition | None) -> None:
        self.translation, self.batch, self.made = translation, batch, composition
        self.entries = [self._entry(t) for t in translation.lines]
        self.changes: tuple[Change, ...] = composition.changes if composition else ()
        parts = composition.parts if composition else ()
        self.left = {p.ingredient.id: p for p in parts}  # what has no row yet
        self.parts = dict(self.left)
        self.weighed = {w.ingredient.id: w for w in batch.weighings} if batch else {}
        counted = [e.id for e, t in zip(self.entries, translation.lines, strict=True) if e is not None and t.grams is not None]
        self.times = Counter(counted)
        self.first_line: dict[str, int] = {}
        self.signs: dict[str, str] = {}
        self.forbidden = {i.id for i in composition.forbidden} if composition else set()
        self.usual = self._usual_ratio()

    def _entry(self, t: TranslatedLine) -> Ingredient | None:
        """The ingredient under which the composition knows a line; one that the glossary lacks goes there by its name."""
        if t.ingredient is not None or self.made is None:
            return t.ingredient
        return next((i for i in self.made.ingredients if i.name == t.line.full_name and i.id.startswith("unknown-")), None)

    def table(self) -> ComparisonTable:
        rows: list[Row] = []
        for number, (t, entry) in enumerate(zip(self.translation.lines, self.entries, strict=True), start=1):
            rows += self._line(number, t, entry)
        rows += [self._new(part.ingredient, part.note) for part in self.parts.values() if part.ingredient.id in self.left]
        then, then_decimals = _printed([row.then.best if row.then else None for row in rows])
        now, now_decimals = _printed([row.now for row in rows])
        finished = [_with_percent(row, a, b) for row, a, b in zip(rows, then, now, strict=True)]
        formula = self.translation.formula
        footnotes = tuple(Footnote(sign, self._note_text(text)) for text, sign in self.signs.items())
        return ComparisonTable(
            tuple(finished), formula.title or "Old and new", formula.source, footnotes, self._notes(), self._basis(),
            then_decimals, now_decimals, self.batch.balance.decimals if self.batch else 2,
        )  # fmt: skip

    # -- rows

    def _line(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> list[Row]:
        fate, change, stand_ins = self._fate(number, t, entry)
        texts = [d.text for d in t.doubts]
        if t.ingredient is None and not texts:
            texts.append("Not in the glossary: find out what it is before you use it.")
        if fate == "gone":
            texts.append("The new formula lacks this line, and no reason was recorded.")
        if fate == "no weight" and not texts:
            texts.append("No weight is known for this line, so it is in no share.")
        today = t.ingredient.name if t.ingredient else (t.line.full_name or "unnamed")
        now, grams, aliquot = self._take(entry) if fate in ("kept", "unknown", "forbidden") else (None, None, False)
        first = Row(
            fate, printed_words(t.line), today, entry, number, t.share, now, grams,
            change=change, signs=self._signs(texts), by_aliquot=aliquot,
        )  # fmt: skip
        return [first, *(self._stand_in(number, i, words) for i, words in stand_ins)]

    def _fate(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> tuple[Fate, str, list[tuple[Ingredient, str]]]:
        """What became of a line, in words, and what is weighed in its place under this line."""
        printed = t.line.full_name
        if self.made is None:
            return ("kept", "", []) if t.ingredient else ("unknown", "not identified", [])
        if t.grams is None:
            what = "no amount is printed" if t.line.amount is None else "no weight is known for this amount"
            return "no weight", f"{what}: not in the shares, add it by hand", []
        if entry is None:
            change = next((c for c in self.changes if c.removed.startswith("unknown-") and _same_words(c.removed, printed)), None)
            if change is None:
                return "gone", "not identified; not in the new formula", []
            key, name = change.removed, printed
        else:
            key, name = entry.id, entry.name
        if key in self.first_line:
            return "again", f"the same ingredient as line {self.first_line[key]}: weighed there, once", []
        self.first_line[key] = number
        steps = self._history(key)
        if not steps or key in self.parts:
            return self._kept(key, t, bool(steps), name)
        words, finals = self._replaced(steps, name)
        once = self.times[key] <= 1 or entry is None
        mine = [(part, told) for part, told in finals if part.id in self.left and not self._on_a_line(part.id)] if once else []
        elsewhere = [part.name for part, _ in finals if part.id not in {p.id for p, _ in mine}]
        if elsewhere:
            words += f" ({_listed(elsewhere)}: weighed in another row)"
        return ("replaced" if finals else "left out"), words, mine

    def _kept(self, key: str, t: TranslatedLine, changed: bool, name: str) -> tuple[Fate, str, list[tuple[Ingredient, str]]]:
        if key not in self.parts:
            return "gone", "not in the new formula", []
        if key in self.forbidden:
            return "forbidden", "must not be used: replace it before anything is weighed", []
        also = list(
            dict.fromkeys(self._name(c.removed) for c in self.changes if any(k == key for k, _ in c.parts) and c.removed != key)
        )
        if t.ingredient is None:
            text: str = "not identified; kept under its printed name"
        elif also:
            text = f"kept, and stands in for {_listed(also)}"
        else:
            text = "kept" + ("" if changed else self._more(key))
        return ("unknown" if t.ingredient is None else "kept"), text, []

    def _history(self, key: str) -> list[Change]:
        return [c for c in self.changes if c.removed == key]

    def _replaced(self, steps: list[Change], name: str) -> tuple[str, list[tuple[Ingredient, str]]]:
        """The replacement in words, and what of it is in the composition in the end (a stand-in may itself be replaced)."""
        change = steps[-1]
        because = f": {change.reason}" if change.reason else ""
        if not change.parts:
            return f"left out{because}", []
        words = f"replaced by {_listed([self._name(key) for key, _ in change.parts])}{because}"
        finals: dict[str, tuple[Ingredient, str]] = {}
        waiting = [(key, ratio, self.changes.index(change) + 1) for key, ratio in change.parts]
        while waiting:
            key, ratio, since = waiting.pop(0)
            later = next(((n, c) for n, c in enumerate(self.changes) if n >= since and c.removed == key), None)
            if later is None:
                if key in self.parts:
                    finals.setdefault(key, (self.parts[key].ingredient, f"in place of {name}, {ratio:.3g} g for each gram"))
                continue
            then = later[1]
            what = f"replaced by {_listed([self._name(k) for k, _ in then.parts])}" if then.parts else "left out"
            words += f"; {self._name(key)} {what} in turn{f': {then.reason}' if then.reason else ''}"
            waiting += [(k, ratio * r, later[0] + 1) for k, r in then.parts]
        return words, list(finals.values())

    def _stand_in(self, number: int, ingredient: Ingredient, words: str) -> Row:
        now, grams, aliquot = self._take(ingredient)
        return Row("stand-in", "", ingredient.name, ingredient, number, None, now, grams, change=words, by_aliquot=aliquot)

    def _new(self, ingredient: Ingredient, note: str) -> Row:
        removed = list(dict.fromkeys(self._name(c.removed) for c in self.changes if any(k == ingredient.id for k, _ in c.parts)))
        if removed:
            words, fate = f"in place of {_listed(removed)}", "stand-in"
        else:
            words, fate = (f"added as {note}" if note else "added"), "added"
        if ingredient.id in self.forbidden:
            words += "; must not be used: replace it before anything is weighed"
        now, grams, aliquot = self._take(ingredient)
        kind: Fate = "stand-in" if fate == "stand-in" else "added"
        return Row(kind, "", ingredient.name, ingredient, None, None, now, grams, change=words, by_aliquot=aliquot)

    def _take(self, ingredient: Ingredient | None) -> tuple[float | None, float | None, bool]:
        """Share, grams and whether it is weighed by aliquot: given once for each ingredient."""
        part = self.left.pop(ingredient.id, None) if ingredient else None
        if part is None:
            return None, None, False
        weighing = self.weighed.get(part.ingredient.id)
        return part.share, (weighing.grams if weighing else None), bool(weighing and weighing.aliquot is not None)

    # -- words

    def _on_a_line(self, key: str) -> bool:
        return self.times[key] > 0

    def _name(self, key: str) -> str:
        """The modern name behind an id, from whatever is at hand, without a look into any table."""
        if key in self.parts:
            return self.parts[key].ingredient.name
        for entry, t in zip(self.entries, self.translation.lines, strict=True):
            if entry is not None and entry.id == key:
                return entry.name
            if entry is None and key.startswith("unknown-") and _same_words(key, t.line.full_name):
                return t.line.full_name
        return key.removeprefix("unknown-").replace("-", " ")

    def _usual_ratio(self) -> float | None:
        """By how much the shares of untouched lines changed alike (a binder thins them all); None where they did not."""
        ratios = [float(f"{r:.6g}") for key in self.times if (r := self._ratio(key)) is not None]
        if not ratios:
            return None
        ratio, count = Counter(ratios).most_common(1)[0]
        return ratio if count > 1 or len(ratios) == 1 else None

    def _ratio(self, key: str) -> float | None:
        then = math.fsum(
            t.share.best
            for e, t in zip(self.entries, self.translation.lines, strict=True)
            if e is not None and e.id == key and t.share
        )
        return self.parts[key].share / then if key in self.parts and then > 0 else None

    def _more(self, key: str) -> str:
        ratio = self._ratio(key)
        if ratio is None or self.usual is None or abs(ratio / self.usual - 1) < 1e-4:
            return ""
        note = self.parts[key].note
        return f", with {'more' if ratio > self.usual else 'less'} of it{f' ({note})' if note else ''}"

    def _signs(self, texts: Sequence[str]) -> tuple[str, ...]:
        out = []
        for text in dict.fromkeys(texts):
            if text not in self.signs:
                count = len(self.signs)
                self.signs[text] = SIGNS[count % len(SIGNS)] * (count // len(SIGNS) + 1)
            out.append(self.signs[text])
        return tuple(out)

    def _note_text(self, text: str) -> str:
        """A doubt with its other readings, where they are the same for all lines that have it."""
        tails = {
            (f" Or: {'; '.join(d.others)}." if d.others else "") + (f" {d.effect}" if d.effect else "")
            for t in self.translation.lines
            for d in t.doubts
            if d.text == text
        }
        return text + (tails.pop() if len(tails) == 1 else "")

    def _basis(self) -> str:
        choices = self.translation.choices
        told = f"{self.translation.convention.name}{f', {choices[0].certainty}' if choices else ''}"
        if getattr(self.translation, "in_parts", False):
            return "Shares by mass; the book prints parts."
        return f"Shares by mass. Measures: {told}."

    def _notes(self) -> tuple[str, ...]:
        notes = [f"Measures: {self.translation.why_convention()}"] if self.translation.choices else []
        again = [
            str(n)
            for n, (t, e) in enumerate(zip(self.translation.lines, self.entries, strict=True), 1)
            if self._counted_before(n, t, e)
        ]
        if self.made is not None and again:
            lines = f"Line {again[0]} is" if len(again) == 1 else f"Lines {_listed(again)} are"
            notes.append(f"{lines} weighed together with an earlier line of the same ingredient; the grams stand there, once.")
        if self.made is not None and self.made.omitted:
            notes.append(f"Without a weight, so in no share: {', '.join(self.made.omitted)}.")
        aliquots = [w.ingredient.name for w in self.weighed.values() if w.aliquot is not None]
        if aliquots:
            notes.append(f"Too little for the balance, so weighed by aliquot (see the bench sheet): {', '.join(aliquots)}.")
        notes.append("Shares are rounded so that the printed figures add to 100.")
        notes.append(SAFETY)
        return tuple(notes)

    def _counted_before(self, number: int, t: TranslatedLine, entry: Ingredient | None) -> bool:
        return entry is not None and t.grams is not None and self.first_line.get(entry.id, number) != number


def _same_words(key: str, name: str) -> bool:
    return re.sub(r"[\W_]+", "-", key.removeprefix("unknown-").casefold()) == re.sub(r"[\W_]+", "-", name.casefold())


def _listed(names: Sequence[str]) -> str:
    return names[0] if len(names) == 1 else f"{', '.join(names[:-1])} and {names[-1]}" if names else ""


def printed_words(line: Line) -> str:
    """A line as the book prints it, without leaders and line breaks; words that were supplied stand in square brackets."""
    words = clean(_LEADERS.sub(" ", line.raw))
    if line.carried:
        words = f"[{line.carried}] {_DITTO.sub('', words)}"
    words = " ".join(words.split()).strip(" ,;:")
    beside = re.sub(r"[\W_]+", "", " ".join(line.raw.split()).replace(" ".join(line.ingredient.split()), "", 1))
    if line.of_each and not beside and line.amount is not None:
        words = f"{words} [{measured(line)} of each]"
    return words


def measured(line: Line) -> str:
    """The amount as read, its unit in the plural where there are several."""
    words = line.measure_text()
    most = line.amount[1] if isinstance(line.amount, tuple) else line.amount or 0
    if most <= 1 or line.plus or line.unit in ("per cent", "q.s.", "none"):
        return words
    return words + ("es" if line.unit.endswith("ch") else "s")


def _printed(shares: Sequence[float | None]) -> tuple[list[float | None], int]:
    """Shares (0–1) as per cent figures that add to 100, and their digits: one, two where something would vanish.

    No book weighs to a thousandth of a per cent: what is less still is printed as less than 0.01 (`percent_text`).
    """
    known = [Fraction(s) for s in shares if s is not None]
    total = sum(known, Fraction(0))
    if not known or total <= 0:
        return [None if s is None else 0.0 for s in shares], 1
    decimals = 1
    while decimals < 2 and any(0 < s / total * 100 * 10**decimals < Fraction(1, 2) for s in known):
        decimals += 1
    units = largest_remainder([s / total * 100 * 10**decimals for s in known])
    figures = iter(units)
    return [None if s is None else next(figures) / 10**decimals for s in shares], decimals


def _with_percent(row: Row, then: float | None, now: float | None) -> Row:
    from dataclasses import replace

    return replace(row, then_percent=then, now_percent=now)
