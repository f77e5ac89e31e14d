"""The old-and-new table as frames: columns on a wide screen, cards on a square or an upright one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.display.frames import Frame, Screen
from histkit.display.layout import Block, Sheet, Stack, Text, set_sheet, stacked
from histkit.display.lettering import HELD, Face, drawable, longest_word, width, wrap
from histkit.display.palette import Theme, theme
from histkit.telling.comparison import NOT_IN_THE_BOOK

if TYPE_CHECKING:
    from histkit.telling.comparison import ComparisonTable, Row

COLUMNS_FROM = 46
"""Ems of the smallest text across the safe area from which on the table stands in columns; below it stands in cards."""
BESIDE_FROM = 27
"""Ems from which on a card has its figures beside the name; below it they have a line of their own."""
_CHANGE_HEAD = "Change and why"
_UPRIGHT: Face = "regular"
_TRIALS = 7
"""How many widths are tried for a column of words."""
_STEPS = (1.0, 1.06, 1.12, 1.19, 1.27, 1.36)


def comparison_frames(
    table: ComparisonTable, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """The table of old and new for a screen of `size` pixels, in as few frames as hold it.

    Raises:
        BadValue: the size or the theme makes no sense.
    """
    screen, colours = Screen.of(size), theme(theme_name)
    columns = screen.ems >= COLUMNS_FROM
    steps = _STEPS if columns else _STEPS[:4] if screen.ems >= BESIDE_FROM else _STEPS[:2]
    text = Text(
        table.title,
        table.citation(),
        table.basis,
        {n.sign: n.text for n in table.footnotes},
        lambda words, which: alt_text(table, which),
    )
    # The widths are found for the smallest type and kept for the others as long as no word is broken: they hardly change.
    shares = _Columns(table, screen.least, screen, colours).shares if columns else None

    def make(type_size: float) -> Sheet:
        return (
            _Columns(table, type_size, screen, colours, shares) if columns else _Cards(table, type_size, screen, colours)
        ).sheet()

    return set_sheet(make, [screen.least * k for k in steps], text, screen, colours, transparent)


def alt_text(table: ComparisonTable, which: str = "") -> str:
    """The table in sentences, for who does not see the picture."""
    out = [f"Table of old and new: {table.title}{which}. Source: {table.citation()}."]
    for row in table.rows:
        then, now, grams = table.figures(row)
        words = (
            f"{row.printed} is {row.today}"
            if row.is_line
            else f"{'In its place' if row.fate == 'stand-in' else 'Added'}: {row.today}"
        )
        figures = [f"{then} % then"] if then != "–" else []
        figures += [f"{now} % now"] if now != "–" else []
        figures += [f"weigh {grams} g"] if grams != "–" else []
        doubt = table.doubts_of(row)
        tail = (f" {row.change}." if row.change else "") + (f" Doubt: {doubt}" if doubt else "")
        out.append(f"{words}: {', '.join(figures) or 'no share'}.{tail}")
    then, now, grams = table.total_figures()
    out.append(f"Total: {then} % then, {now} % now, {grams} g." if table.has_now else f"Total: {then} %.")
    return "\n".join(out)


@dataclass(frozen=True, slots=True)
class Figures:
    """The columns of figures that a table has: heads, the place of the decimal point of each, and how to print a row."""

    heads: tuple[str, ...]
    points: tuple[float, ...]
    rights: tuple[float, ...]
    wanted: tuple[int, ...]

    @classmethod
    def ending_at(cls, right: float, table: ComparisonTable, size: float, small: float, between: float, wrapped: bool) -> Figures:
        """Columns whose last ends at `right`, as wide as their figures and heads need."""
        wanted = (0, *((1,) if table.has_now else ()), *((2,) if table.has_grams else ()))
        names = ("then, %", "now, %", "weigh, g")
        every = [*(table.figures(row) for row in table.rows), table.total_figures()]
        rights: list[float] = []
        points: list[float] = []
        x = right
        for which in reversed(wanted):
            head = max((width(w, small) for w in (names[which].split() if wrapped else [names[which]])), default=0.0)
            cells = [figures[which] for figures in every]
            after = max(width(_after_point(cell), size, "bold") for cell in cells)
            room = max(head, max(width(_before_point(c), size, "bold") for c in cells) + after)
            rights.insert(0, x)
            points.insert(0, x - after)
            x -= room + between
        return cls(tuple(names[w] for w in wanted), tuple(points), tuple(rights), wanted)

    def left(self, table: ComparisonTable, size: float, small: float) -> float:
        """Where the first column begins."""
        every = [*(table.figures(row) for row in table.rows), table.total_figures()]
        before = max(width(_before_point(figures[0]), size, "bold") for figures in every)
        return min(self.points[0] - before, self.rights[0] - width(self.heads[0], small))

    def stacks(self, figures: Sequence[str], size: float, colour: str, line: int, bold: bool = False) -> list[Stack]:
        """One row of figures with the decimal points below each other."""
        out = []
        for which, point in zip(self.wanted, self.points, strict=True):
            text = figures[which]
            face: Face = "bold" if bold else "regular"
            right = point if text == "–" else point + width(_after_point(text), size, face)
            out.append(Stack((text,), right, colour, face, "right", line))
        return out


def _after_point(text: str) -> str:
    _, point, rest = text.partition(".")
    return point + rest


def _before_point(text: str) -> str:
    return text.partition(".")[0]


def _today_colour(row: Row, theme: Theme) -> str:
    if row.fate in ("replaced", "left out", "forbidden", "gone"):
        return theme.old
    return theme.new if row.fate in ("stand-in", "added") else theme.ink


def _today(row: Row) -> str:
    return {"stand-in": "→ ", "added": "+ "}.get(row.fate, "") + row.today


def printed_in_picture(row: Row) -> str:
    """The words of the first column in a picture: printed words with their signs, or that the book has none.

    A sign stays beside its word.
    """
    words = row.printed or ("" if row.fate == "stand-in" and row.line else NOT_IN_THE_BOOK)
    return HELD.join((words, *row.signs))


def face_of(row: Row) -> Face:
    """Printed words stand in oblique type, ours upright."""
    return "oblique" if row.is_line else "regular"


def _between(least: float, most: float, step: int) -> float:
    return least + (most - least) * step / _TRIALS


class _Columns:
    """The wide table: printed words, today, figures, what changed."""

    def __init__(
        self, table: ComparisonTable, size: float, screen: Screen, theme: Theme, shares: tuple[float, float, float] | None = None
    ) -> None:
        self.table, self.size, self.screen, self.theme = table, size, screen, theme
        self.small = max(screen.least, 0.84 * size)
        self.between = 1.15 * size
        blocks = table.blocks()
        trial = Figures.ending_at(0.0, table, size, self.small, 0.9 * size, wrapped=False)
        figures_room = -trial.left(table, size, self.small)
        self.with_change = any(b[0].change for b in blocks)
        self.room = screen.room - figures_room - (3 if self.with_change else 2) * self.between
        if shares is not None and self._breaks_words(blocks, shares):
            shares = None
        self.shares = shares or self._best_shares(blocks)
        self.printed_room, self.today_room, self.change_room = (share * self.room for share in self.shares)
        self.printed_x = screen.left
        self.today_x = self.printed_x + self.printed_room + self.between
        figures_right = self.today_x + self.today_room + self.between + figures_room
        self.figures = Figures.ending_at(figures_right, table, size, self.small, 0.9 * size, wrapped=False)
        self.change_x = figures_right + self.between

    def _breaks_words(self, blocks: Sequence[tuple[Row, ...]], shares: tuple[float, float, float]) -> bool:
        """Whether some word would be too wide for its column."""
        columns = (
            [(printed_in_picture(b[0]), face_of(b[0])) for b in blocks],
            [(_today(row), _UPRIGHT) for b in blocks for row in b],
            [(b[0].change, _UPRIGHT) for b in blocks],
        )
        return any(
            longest_word(text, self.size, face) > share * self.room
            for column, share in zip(columns, shares, strict=True)
            for text, face in column
        )

    def _best_shares(self, blocks: Sequence[tuple[Row, ...]]) -> tuple[float, float, float]:
        """Widths of the three columns of words, as shares, that make the table lowest; among those the most even ones."""
        size, room = self.size, self.room
        printed = [(printed_in_picture(b[0]), face_of(b[0])) for b in blocks]
        today = [[_today(row) for row in b] for b in blocks]
        change = [b[0].change for b in blocks]

        def widest(texts: Sequence[tuple[str, Face]], limit: float) -> tuple[float, float]:
            full = max((width(drawable(t), size, f) for t, f in texts), default=0.0) / room
            word = max((longest_word(t, size, f) for t, f in texts), default=0.0) / room
            return min(word, limit), min(max(full, word), limit)

        printed_least, printed_most = widest(printed, 0.55)
        today_least, today_most = widest([(t, "regular") for b in today for t in b], 0.55)
        change_least, change_most = widest([(t, "regular") for t in change], 0.5) if self.with_change else (0.0, 0.0)
        if self.with_change:
            change_least = max(change_least, width(_CHANGE_HEAD, self.small) / room)
        if printed_most + today_most + max(change_least, change_most) <= 0.995:
            return printed_most * 1.002, today_most * 1.002, 1 - 1.002 * (printed_most + today_most) if self.with_change else 0.0
        steps = range(_TRIALS + 1)
        lines_printed = {
            k: [len(wrap(t, size, _between(printed_least, printed_most, k) * room, f)) for t, f in printed] for k in steps
        }
        lines_today = {
            k: [sum(len(wrap(t, size, _between(today_least, today_most, k) * room)) for t in b) for b in today] for k in steps
        }
        best: tuple[tuple[float, float], tuple[float, float, float]] | None = None
        for i in steps:
            for j in steps:
                first, second = _between(printed_least, printed_most, i), _between(today_least, today_most, j)
                third = 1 - first - second
                if third < change_least:
                    continue
                lines_change = [len(wrap(t, size, third * room)) for t in change]
                high = sum(map(max, zip(lines_printed[i], lines_today[j], lines_change, strict=True)))
                loose = sum(lines_printed[i]) + sum(lines_today[j]) + sum(lines_change)
                if best is None or (high, loose) < best[0]:
                    best = (high, loose), (first * 1.002, second * 1.002, third - 0.002 * (first + second))
        return best[1] if best else (0.34, 0.33, 0.33)

    def sheet(self) -> Sheet:
        head = [
            Stack(("As printed",), self.printed_x, self.theme.muted),
            Stack(("Today",), self.today_x, self.theme.muted),
            *(
                Stack((h,), x, self.theme.muted, align="right")
                for h, x in zip(self.figures.heads, self.figures.rights, strict=True)
            ),
        ]
        if self.with_change:
            head.append(Stack((_CHANGE_HEAD,), self.change_x, self.theme.muted))
        total = [
            Stack(("Total",), self.printed_x, self.theme.ink, "bold"),
            *self.figures.stacks(self.table.total_figures(), self.size, self.theme.ink, 0, bold=True),
        ]
        blocks = tuple(map(self._block, self.table.blocks()))
        return Sheet(self.size, blocks, Block(stacked(self.small, head)), Block(stacked(self.size, total)), gap=0.3, stretch=0.9)

    def _block(self, rows: tuple[Row, ...]) -> Block:
        size, theme, first = self.size, self.theme, rows[0]
        new = not first.is_line
        printed = wrap(printed_in_picture(first), size, self.printed_room, "regular" if new else "oblique")
        stacks = [Stack(tuple(printed), self.printed_x, theme.muted if new else theme.ink, "regular" if new else "oblique")]
        line = 0
        for row in rows:
            names = wrap(_today(row), size, self.today_room)
            colour = _today_colour(row, theme)
            stacks.append(Stack(tuple(names), self.today_x, colour, first=line))
            stacks += self.figures.stacks(
                self.table.figures(row), size, theme.muted if row.fate == "replaced" else theme.ink, line
            )
            line += len(names)
        if first.change:
            colour = (
                theme.old
                if first.fate == "forbidden"
                else theme.muted
                if first.fate in ("kept", "added", "stand-in")
                else theme.ink
            )
            stacks.append(Stack(tuple(wrap(first.change, size, self.change_room)), self.change_x, colour))
        return Block(stacked(size, stacks), first.signs)


class _Cards:
    """The upright or square table: one card for each printed line, its words above its figures."""

    def __init__(self, table: ComparisonTable, size: float, screen: Screen, theme: Theme) -> None:
        self.table, self.size, self.screen, self.theme = table, size, screen, theme
        self.small = max(screen.least, 0.84 * size)
        self.beside = screen.ems >= BESIDE_FROM
        self.figures = Figures.ending_at(
            screen.right, table, size, self.small, (0.9 if self.beside else 1.0) * size, wrapped=False
        )
        self.beside_room = self.figures.left(table, size, self.small) - screen.left - 0.7 * size

    def sheet(self) -> Sheet:
        heads = [
            Stack((h,), x, self.theme.muted, align="right") for h, x in zip(self.figures.heads, self.figures.rights, strict=True)
        ]
        if self.beside:
            heads.insert(0, Stack(("As printed, and today",), self.screen.left, self.theme.muted))
        total = [
            Stack(("Total",), self.screen.left, self.theme.ink, "bold"),
            *self.figures.stacks(self.table.total_figures(), self.size, self.theme.ink, 0, bold=True),
        ]
        room = self.figures.left(self.table, self.size, self.small) - self.screen.left
        if width("Total", self.size, "bold") > room:  # no room for the word beside the figures
            total = [
                Stack(("Total",), self.screen.left, self.theme.ink, "bold"),
                *self.figures.stacks(self.table.total_figures(), self.size, self.theme.ink, 1, bold=True),
            ]
        blocks = tuple(map(self._block, self.table.blocks()))
        return Sheet(self.size, blocks, Block(stacked(self.small, heads)), Block(stacked(self.size, total)), gap=0.6, stretch=1.2)

    def _block(self, rows: tuple[Row, ...]) -> Block:
        size, theme, first, left = self.size, self.theme, rows[0], self.screen.left
        new = not first.is_line
        above = NOT_IN_THE_BOOK if new and not first.printed else ""
        words = f"{above[:-1]}: {first.change})" if above and first.change else printed_in_picture(first)
        printed = wrap(words, size, self.screen.room, face_of(first))
        stacks = [Stack(tuple(printed), left, theme.muted if new else theme.ink, "regular" if new else "oblique")]
        line = len(printed)
        for row in rows:
            names = wrap(_today(row), size, self.beside_room if self.beside else self.screen.room, "bold")
            stacks.append(Stack(tuple(names), left, _today_colour(row, theme), "bold", first=line))
            figures = self.table.figures(row)
            # On a narrow card a short name still has its figures beside it; a long one has them on a line below.
            beside = self.beside or (len(names) == 1 and width(names[0], size, "bold") <= self.beside_room)
            shown = any(f != "–" for f in figures)
            if shown:
                stacks += self.figures.stacks(
                    figures, size, theme.muted if row.fate == "replaced" else theme.ink, line + (0 if beside else len(names))
                )
            line += len(names) + int(shown and not beside)
        if first.change and first.change != "kept" and not above:
            told = tuple(wrap(first.change, size, self.screen.room))
            stacks.append(Stack(told, left, theme.old if first.fate == "forbidden" else theme.muted, first=line))
        return Block(stacked(size, stacks), first.signs, hair=True)
