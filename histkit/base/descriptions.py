"""What is to be shown, and nothing of how it looks: plain descriptions that the nouns hand down and `display` draws.

Words, figures as texts with their values, tones by meaning, what belongs together, and the same in sentences for who does not
see it. No colour, no size, no place. A table of cells is a `Grid` (base/grid.py); everything else is here. For the screen:

- `Ledger`: old beside new, entry by entry, with totals and notes;
- `Bars`: names with one or two lengths each; `Periods`: shares in groups, period by period;
- `Ranges`: how far values may lie from their best;
- `Card`: labels with their texts; `Listing`: a list with a figure to each entry;
- `Points`: results over a figure that was varied;
- what a film shows one at a time stands in base/filmed.py.

For paper and for the web: `Paper` (a sheet to work with and to write on) and `Page`, both made of blocks.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread

Tone = Literal["ink", "muted", "old", "new"]
"""What words are to the reader: plain, standing back, what was or went, what is new. Never a colour."""

BOX = "☐"
"""A box to tick, where there is only text."""


@dataclass(frozen=True, slots=True)
class Footnote:
    """A sign that stands beside words, and what it means."""

    sign: str
    text: str


@dataclass(frozen=True, slots=True)
class Spoken:
    """A description in sentences, for who does not see the drawing: what it is, its source, then line by line what it shows."""

    what: str
    source: str = ""
    lines: tuple[str, ...] = ()

    def text(self, which: str = "") -> str:
        """The sentences; `which` is '' or says which of several frames it is (', frame 1 of 2')."""
        first = f"{self.what}{which}.{f' Source: {self.source}.' if self.source else ''}"
        return "\n".join([first, *self.lines])


# -- old beside new -------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Head:
    """The head of a column: its words, shorter ones for where room is scarce, and the digits of a column of figures."""

    words: str
    short: str = ""
    decimals: int | None = None
    holds: Literal["", "share then", "share now", "weight"] = ""
    """What a column of figures holds, where a picture has a place of its own for it: shares are drawn as bars."""


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure as it is printed, and its value for a workbook (None where there is none)."""

    text: str
    value: float | None = None


Place = Literal["printed", "instead", "added"]
"""Why a line is there: the book prints it, it stands in the place of what the book prints, or it was added."""


@dataclass(frozen=True, slots=True)
class LedgerLine:
    """One line of an entry: the name of today, its figures in the order of the heads, and what changed."""

    today: str
    figures: tuple[Figure, ...]
    place: Place = "printed"
    tone: Tone = "ink"
    figures_tone: Tone = "ink"
    change: str = ""
    change_tone: Tone = "ink"
    as_before: bool = False
    """Whether `change` says no more than that all stayed as it was."""
    mark: str = ""
    """One word for what must not be used, such as "poison": shown beside the name, and the bar is hatched."""
    why: str = ""
    """Why it went, in a few words of its own."""
    swatch: str = ""
    """The colour of the thing itself where it is known, as red, green and blue in six hexadecimal digits after a #."""
    viewers: str = ""
    """Its weight in measures of a viewer's kitchen, roughly, where they were asked for: "about 2½ tbsp"."""

    @property
    def named(self) -> str:
        """Today's name, with the measure for viewers behind it."""
        return f"{self.today} ({self.viewers})" if self.viewers else self.today


@dataclass(frozen=True, slots=True)
class LedgerEntry:
    """Lines that belong together: what the book prints, today's name for it, and what stands in its place.

    `printed` is the book's where `in_book`; else it says that the book has none. `signs` lead to the footnotes.
    """

    printed: str
    lines: tuple[LedgerLine, ...]
    signs: tuple[str, ...] = ()
    in_book: bool = True
    brief: str = ""
    """The printed words without those that only join ("Take of the"), for a picture; '': the same."""


@dataclass(frozen=True, slots=True)
class Ledger:
    """Old beside new. Every line has a figure for each of `figure_heads`, and so have the `totals`.

    A column of figures in which nothing but dashes stands may be left out where room is scarce.
    """

    title: str
    source: str
    printed_head: Head
    today_head: Head
    both_head: str
    """The head where printed words and today's name stand above each other."""
    figure_heads: tuple[Head, ...]
    change_head: Head
    entries: tuple[LedgerEntry, ...]
    totals: tuple[Figure, ...]
    footnotes: tuple[Footnote, ...] = ()
    notes: tuple[str, ...] = ()
    foot: str = ""
    """One short sentence to stand below a picture."""
    spoken: Spoken | None = None
    total_words: str = "Total"
    instead_words: str = "in its place"
    brief_notes: tuple[str, ...] = ()
    """What stands at the foot of a picture where the footnotes in full would crowd it."""

    @property
    def lines(self) -> tuple[LedgerLine, ...]:
        return tuple(line for entry in self.entries for line in entry.lines)

    def remarks(self) -> tuple[str, ...]:
        """All that stands below the table: signs with their texts, the source, the notes."""
        return (*(f"{note.sign} {note.text}" for note in self.footnotes), f"Source: {self.source}.", *self.notes)


# -- drawings of figures ----------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Length:
    """A value to be drawn as long as it is large, and the words beside it; None: nothing is known, or too little to draw."""

    value: Spread | None
    words: str


@dataclass(frozen=True, slots=True)
class BarRow:
    """A name with its lengths, one for each entry of the legend. `full` is the value that takes the whole width."""

    name: str
    lengths: tuple[Length, ...]
    full: float
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Bars:
    """Names with one or two lengths each; the first is the older or earlier one, the second the newer. `legend` says which."""

    title: str
    legend: tuple[str, ...]
    rows: tuple[BarRow, ...]
    subtitle: str = ""
    foot: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class Period:
    """One period: its name, how much stands behind it in few words and in full, whether that is little, and its lengths."""

    name: str
    count: str
    words: str
    little: bool
    lengths: tuple[Length, ...]


@dataclass(frozen=True, slots=True)
class Periods:
    """How the shares of groups changed from period to period: each period has a length for each of `names`."""

    title: str
    names: tuple[str, ...]
    periods: tuple[Period, ...]
    subtitle: str = ""
    foot: str = ""
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class Range:
    """A name with the limits of its value and its best, and the same in words."""

    name: str
    value: Spread
    words: str


@dataclass(frozen=True, slots=True)
class Ranges:
    """How far values may lie from their best, all on one scale: per cent of the best.

    `best_head` and `words_head` name the best and the words; `nothing` is said where there are no rows.
    """

    title: str
    rows: tuple[Range, ...]
    best_head: str
    words_head: str
    nothing: str
    subtitle: str = ""
    foot: str = ""
    spoken: Spoken | None = None


Mark = Literal["full", "open", "cross"]


@dataclass(frozen=True, slots=True)
class Point:
    """A result: where on the scale, how high (None: not tried), and its mark."""

    x: float
    y: int | None
    mark: Mark


@dataclass(frozen=True, slots=True)
class Points:
    """Results over a figure that was varied. `marks` says what each mark means, `not_tried` what a result without height is.

    Heights run from 0 to `most`; the scale also reaches to the values in `reaching`. `band` is a suggestion, with its words.
    """

    title: str
    x_head: str
    y_head: str
    most: int
    points: tuple[Point, ...]
    marks: tuple[tuple[Mark, str], ...]
    not_tried: str
    spoken: str
    reaching: tuple[float, ...] = ()
    band: tuple[Spread, str] | None = None


# -- cards and lists ----------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class CardEntry:
    """A label and its text; `signs` lead to the footnotes of the card."""

    label: str
    text: str
    tone: Tone = "ink"
    bold: bool = False
    signs: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Card:
    """Everything about one thing, label by label."""

    title: str
    entries: tuple[CardEntry, ...]
    subtitle: str = ""
    footnotes: tuple[Footnote, ...] = ()
    spoken: Spoken | None = None


@dataclass(frozen=True, slots=True)
class ListEntry:
    """Words, a figure to them, and quieter words beneath."""

    words: str
    figure: str = ""
    more: str = ""


@dataclass(frozen=True, slots=True)
class Listing:
    """A list, numbered or not."""

    title: str
    entries: tuple[ListEntry, ...]
    subtitle: str = ""
    foot: str = ""
    numbered: bool = False
    spoken: Spoken | None = None


# -- paper and pages ------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Heading:
    words: str


@dataclass(frozen=True, slots=True)
class Paragraph:
    """A paragraph. A "warning" is about this very work, a "caution" holds always, "aside" stands back."""

    words: str
    kind: Literal["plain", "warning", "caution", "aside"] = "plain"


@dataclass(frozen=True, slots=True)
class Quote:
    """What somebody else says, word for word."""

    words: str


@dataclass(frozen=True, slots=True)
class Bullets:
    """(who or what, the text to it), each a line of its own."""

    entries: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Folded:
    """A text of several lines behind a summary of one."""

    summary: str
    text: str


@dataclass(frozen=True, slots=True)
class Photo:
    """A PNG picture, and what it shows in words."""

    data: bytes
    spoken: str


@dataclass(frozen=True, slots=True)
class Blank:
    """Something to fill in by hand, or its value where it is there already; `room` is how many characters are to be written."""

    name: str
    value: str = ""
    unit: str = ""
    room: int = 8


@dataclass(frozen=True, slots=True)
class Form:
    """Blanks beside each other."""

    blanks: tuple[Blank, ...]

    def text(self) -> str:
        """The same in plain text: 'Batch number: ________ · Total: 60 g'."""
        return " · ".join(f"{b.name}: {b.value or '_' * b.room}{f' {b.unit}' if b.unit else ''}" for b in self.blanks)


@dataclass(frozen=True, slots=True)
class Ticked:
    """Steps in their order, each with a box to tick."""

    steps: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ToWeigh:
    """One weighing: at which stage, what, how much the balance is to show, and what is to be known about it."""

    stage: str
    name: str
    amount: str
    note: str = ""


@dataclass(frozen=True, slots=True)
class WeighingList:
    """Weighings, each with a box to tick and room for what the balance showed."""

    rows: tuple[ToWeigh, ...]

    def grid(self, caption: str = "", notes: tuple[str, ...] = ()) -> Grid:
        """The same as a table."""
        columns = (
            Column("done", "Done"),
            Column("stage", "Stage"),
            Column("ingredient", "Ingredient"),
            Column("amount", "Weigh"),
            Column("note", "Note"),
            Column("shown", "Balance showed"),
        )
        return Grid(columns, tuple((BOX, r.stage, r.name, r.amount, r.note, "") for r in self.rows), caption, notes)


@dataclass(frozen=True, slots=True)
class Notes:
    """Room for notes by hand."""

    words: str = "Notes"


PaperBlock = Heading | Paragraph | Bullets | Form | Ticked | WeighingList | Notes


@dataclass(frozen=True, slots=True)
class Paper:
    """A sheet to print, to work with and to write on. `running` is the line at the foot of each page."""

    title: str
    running: str
    blocks: tuple[PaperBlock, ...]


PageBlock = Heading | Paragraph | Quote | Bullets | Folded | Photo | Ledger | Paper


@dataclass(frozen=True, slots=True)
class Page:
    """A web page that stands by itself. `linked_data` is told to search engines (JSON-LD)."""

    title: str
    blocks: tuple[PageBlock, ...]
    linked_data: Mapping[str, Any] | None = None
