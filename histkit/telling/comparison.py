"""Old beside new: each printed line with what it is today, its share then and now, what to weigh and what changed and why.

The rows follow the book: a printed line, beneath it what stands in its place, and after the last line what the book never
had (binder, oil). Every ingredient of the new composition stands in exactly one row with a figure, so that the columns add
up; a line whose ingredient was already weighed says so. Whatever is doubtful carries a sign with its text below the table.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from histkit.base.descriptions import Footnote, Ledger
from histkit.base.files import write_atomically
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Source, Spread
from histkit.base.text import Cell, csv_text
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.telling.printing import MOST_GRAM_DECIMALS, NOT_IN_THE_BOOK, grams_text, percent_text
from histkit.telling.viewers import Viewers, for_viewers

if TYPE_CHECKING:
    import pandas

    from histkit.display.clips import Motion
    from histkit.display.frames import Frame

Fate = Literal["kept", "again", "replaced", "left out", "no weight", "unknown", "forbidden", "gone", "stand-in", "added"]
"""What became of a row's ingredient; "again": the same ingredient as an earlier line, "gone": missing without a record of why."""


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
    why: str = ""
    """Why it was replaced or left out, in the maker's own words."""

    @property
    def is_line(self) -> bool:
        """Whether this row is a printed line of the book."""
        return self.fate not in ("stand-in", "added")

    @property
    def book_words(self) -> str:
        """The printed words; '' for what stands under a printed line in its place, else that the book has none."""
        return self.printed or ("" if self.fate == "stand-in" and self.line is not None else NOT_IN_THE_BOOK)

    def marked(self) -> str:
        """The printed words with the signs of their notes."""
        return " ".join((self.book_words, *self.signs))

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


def _cells(row: Row, figures: Sequence[Cell], viewers: str = "") -> tuple[Cell, ...]:
    today = f"→ {row.today}" if row.fate == "stand-in" else row.today
    today += f" ({viewers})" if viewers else ""
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
    caption: str = ""
    """The measures in words for people: 'Ounces of 28.35 g, as British shops weighed.'"""
    viewers: Viewers = ""
    """What stands beside the grams for viewers: nothing, ounces or level spoonfuls."""

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
        return _sum((row.grams for row in self.rows), MOST_GRAM_DECIMALS)

    def citation(self) -> str:
        """The source in one line."""
        source = self.source
        if source is None or not any((source.title, source.author, source.year)):
            return "source not given"
        return source.citation()

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

    def viewers_of(self, row: Row) -> str:
        """What a row weighs in the measures for viewers, roughly; '' where none were asked for or the density is not known."""
        return for_viewers(row.grams, row.ingredient, self.viewers)

    def doubts_of(self, row: Row) -> str:
        """The notes behind a row's signs."""
        return " ".join(note.text for note in self.footnotes if note.sign in row.signs)

    def columns(self) -> tuple[Column, ...]:
        """The columns with their digits."""
        digits = {"share_then": self.then_decimals, "share_now": self.now_decimals, "grams": self.gram_decimals}
        return tuple(Column(c.key, c.heading, digits.get(c.key, c.decimals)) for c in _COLUMNS)

    def _grid(self) -> Grid:
        rows = [_cells(row, self.figures(row), self.viewers_of(row)) for row in self.rows]
        rows.append(("Total", "", *self.total_figures(), ""))
        return Grid(self.columns(), tuple(rows), self.title, self.all_notes())

    def describe(self) -> Ledger:
        """The table as it is to be shown: old beside new."""
        from histkit.telling import describing

        return describing.ledger(self)

    def all_notes(self) -> tuple[str, ...]:
        """Everything that stands below the table: signs, source, notes."""
        return self.describe().remarks()

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
                row.change, " ".join(row.signs), self.doubts_of(row), self.viewers_of(row),
            )  # fmt: skip

    def to_html(self) -> str:
        """The table as HTML: caption, scoped headings, totals in the foot, notes below; everything escaped."""
        from histkit.display import html

        return html.ledger_table(self.describe())

    def to_csv(self, path: str | Path) -> Path:
        """The rows of `to_frame` as a CSV file (UTF-8), replaced in one step; text that a spreadsheet would run is defused.

        Raises:
            RecordError: the file cannot be written.
        """
        rows = (_FRAME_COLUMNS, *self._entries())
        return _put(path, csv_text(rows).encode("utf-8"))

    def to_xlsx(self, path: str | Path) -> Path:
        """A workbook with the sheets 'old and new' and 'notes', replaced in one step; no cell can be taken for a formula.

        Raises:
            RecordError: the file cannot be written.
        """
        from histkit.display import workbook

        return _put(path, workbook.to_bytes(self.describe()))

    def frames(
        self, size: tuple[int, int] = (3840, 2160), theme: str | Path = "paper", transparent: bool = False
    ) -> tuple[Frame, ...]:
        """The table laid out for a screen of `size` pixels: one frame where it fits, else several. See `to_picture`."""
        from histkit.display import pictures

        return pictures.draw(self.describe(), size, theme, transparent)

    def to_picture(
        self,
        path: str | Path,
        size: tuple[int, int] = (3840, 2160),
        theme: str | Path = "paper",
        transparent: bool = False,
        alt_text: bool = False,
    ) -> list[Path]:
        """Draw the table into a picture of exactly `size` pixels (width, height); the paths written, always as a list.

        The ending says which kind: .png, .svg or .pdf (the latter two have the same proportions). All text lies in the middle
        90 % of the frame and none is smaller than 1/45 of its height (1/60 of a tall one); where the table does not fit, it
        runs over several frames: the first is `path` itself, the others `name-2.png`, `name-3.png` and so on. `theme` is
        "paper", "light" or "dark", or a file of a maker's own (see `display.palette.look`); `transparent` leaves the
        background out but for a plate behind the text;
        `alt_text` also writes a description into a text file beside each picture (it is in the picture's metadata anyway).

        Raises:
            BadValue: the ending, the size or the look is none of those.
            RecordError: the file cannot be written.
        """
        from histkit.display import pictures

        return pictures.save(self.describe(), path, size, theme, transparent, alt_text)

    def to_clip(
        self,
        path: str | Path,
        size: tuple[int, int] = (1920, 1080),
        motion: Motion | None = None,
        theme: str | Path = "paper",
        transparent: bool = False,
        stills: bool = False,
        progress: Callable[[int, int], None] = lambda done, of: None,
    ) -> list[Path]:
        """A film of the table building up, old to new, the figures counting to the grams; the paths, the film first.

        The ending says which kind: .mp4, .mov (ProRes 4444) or .webm (VP9), or none for a folder of PNG pictures; the last
        three can be `transparent`. `motion` is a `display.clips.Motion` (seconds, frames a second, calm). Needs the extra `film`.

        Raises:
            BadValue: the ending, the size or the look is none of those.
            HistkitError: the encoder is not installed.
            RecordError: a file cannot be written.
        """
        from histkit.display import clips

        return clips.save(self.describe(), path, size, theme, motion, transparent, stills, progress)


_FRAME_COLUMNS = (
    "line", "fate", "printed", "today", "ingredient", "share_then", "share_then_low", "share_then_high", "share_now", "grams",
    "change", "marks", "doubts", "for_viewers",
)  # fmt: skip


def _put(path: str | Path, data: bytes) -> Path:
    target = Path(path)
    write_atomically(target, data)
    return target


def _sum(values: Iterable[float | None], decimals: int) -> float | None:
    held = [v for v in values if v is not None]
    return round(math.fsum(held), decimals) if held else None
