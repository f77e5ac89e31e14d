"""The table of old beside new as frames: columns on a wide screen, cards on a square or an upright one."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from histkit.base.descriptions import Figure, Ledger, LedgerEntry, LedgerLine
from histkit.display.frames import Frame, Screen
from histkit.display.layout import BESIDE_FROM, COLUMNS_FROM, Block, Sheet, Stack, Text, set_sheet, stacked
from histkit.display.lettering import HELD, Face, drawable, longest_word, width, wrap
from histkit.display.palette import Theme

_UPRIGHT: Face = "regular"
_TRIALS = 7
"""How many widths are tried for a column of words."""
_STEPS = (1.0, 1.06, 1.12, 1.19, 1.27, 1.36)


def ledger_frames(ledger: Ledger, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """Old beside new, in as few frames as hold it."""
    columns = screen.ems >= COLUMNS_FROM
    steps = _STEPS if columns else _STEPS[:4] if screen.ems >= BESIDE_FROM else _STEPS[:2]
    text = Text(ledger.title, ledger.source, ledger.foot, {n.sign: n.text for n in ledger.footnotes}, ledger.spoken)
    # The widths are found for the smallest type and kept for the others as long as no word is broken: they hardly change.
    shares = _Columns(ledger, screen.least, screen, colours).shares if columns else None

    def make(type_size: float) -> Sheet:
        if columns:
            return _Columns(ledger, type_size, screen, colours, shares).sheet()
        return _Cards(ledger, type_size, screen, colours).sheet()

    return set_sheet(make, [screen.least * k for k in steps], text, screen, colours, transparent)


def _shown(ledger: Ledger) -> tuple[int, ...]:
    """The columns of figures that are drawn: the first, and of the others those that hold a figure."""
    held = [any(line.figures[n].value is not None for line in ledger.lines) for n in range(len(ledger.figure_heads))]
    return tuple(n for n, holds in enumerate(held) if holds or n == 0)


@dataclass(frozen=True, slots=True)
class _Figures:
    """The columns of figures: heads, the place of the decimal point of each, its right edge, and which figures they show."""

    heads: tuple[str, ...]
    points: tuple[float, ...]
    rights: tuple[float, ...]
    shown: tuple[int, ...]
    left: float
    """Where the first column begins."""

    @classmethod
    def ending_at(cls, right: float, ledger: Ledger, size: float, small: float, between: float) -> _Figures:
        """Columns whose last ends at `right`, as wide as their figures and heads need."""
        shown = _shown(ledger)
        every = [*(line.figures for line in ledger.lines), ledger.totals]
        heads = tuple(ledger.figure_heads[n].short for n in shown)
        rights: list[float] = []
        points: list[float] = []
        left = x = right
        for which, head in zip(reversed(shown), reversed(heads), strict=True):
            cells = [figures[which].text for figures in every]
            after = max(width(_after_point(cell), size, "bold") for cell in cells)
            before = max(width(_before_point(cell), size, "bold") for cell in cells)
            head_room = width(head, small)
            rights.insert(0, x)
            points.insert(0, x - after)
            left = min(x - after - before, x - head_room)
            x -= max(head_room, before + after) + between
        return cls(heads, tuple(points), tuple(rights), shown, left)

    def stacks(self, figures: Sequence[Figure], size: float, colour: str, line: int, bold: bool = False) -> list[Stack]:
        """One row of figures with the decimal points below each other."""
        out = []
        for which, point in zip(self.shown, self.points, strict=True):
            figure = figures[which]
            face: Face = "bold" if bold else "regular"
            right = point if figure.value is None else point + width(_after_point(figure.text), size, face)
            out.append(Stack((figure.text,), right, colour, face, "right", line))
        return out


def _after_point(text: str) -> str:
    _, point, rest = text.partition(".")
    return point + rest


def _before_point(text: str) -> str:
    return text.partition(".")[0]


def _today(line: LedgerLine) -> str:
    return {"printed": "", "instead": "→ ", "added": "+ "}[line.place] + line.today


def _printed(entry: LedgerEntry) -> str:
    """The words of the first column; a sign stays beside its word."""
    return HELD.join((entry.printed, *entry.signs))


def _face(entry: LedgerEntry) -> Face:
    """Printed words stand in oblique type, ours upright."""
    return "oblique" if entry.in_book else "regular"


def _between(least: float, most: float, step: int) -> float:
    return least + (most - least) * step / _TRIALS


class _Columns:
    """The wide table: printed words, today, figures, what changed."""

    def __init__(
        self, ledger: Ledger, size: float, screen: Screen, theme: Theme, shares: tuple[float, float, float] | None = None
    ) -> None:
        self.ledger, self.size, self.screen, self.theme = ledger, size, screen, theme
        self.small = max(screen.least, 0.84 * size)
        self.between = 1.15 * size
        figures_room = -_Figures.ending_at(0.0, ledger, size, self.small, 0.9 * size).left
        self.with_change = any(entry.lines[0].change for entry in ledger.entries)
        self.room = screen.room - figures_room - (3 if self.with_change else 2) * self.between
        self.printed = [(_printed(entry), _face(entry)) for entry in ledger.entries]
        self.today = [[_today(line) for line in entry.lines] for entry in ledger.entries]
        self.change = [entry.lines[0].change for entry in ledger.entries]
        if shares is not None and self._breaks_words(shares):
            shares = None
        self.shares = shares or self._best_shares()
        self.printed_room, self.today_room, self.change_room = (share * self.room for share in self.shares)
        self.printed_x = screen.left
        self.today_x = self.printed_x + self.printed_room + self.between
        figures_right = self.today_x + self.today_room + self.between + figures_room
        self.figures = _Figures.ending_at(figures_right, ledger, size, self.small, 0.9 * size)
        self.change_x = figures_right + self.between

    def _texts(self) -> tuple[list[tuple[str, Face]], list[tuple[str, Face]], list[tuple[str, Face]]]:
        """All texts of the three columns of words, each with its face."""
        return (
            self.printed,
            [(text, _UPRIGHT) for names in self.today for text in names],
            [(text, _UPRIGHT) for text in self.change],
        )

    def _breaks_words(self, shares: tuple[float, float, float]) -> bool:
        """Whether some word would be too wide for its column."""
        return any(
            longest_word(text, self.size, face) > share * self.room
            for column, share in zip(self._texts(), shares, strict=True)
            for text, face in column
        )

    def _limits(self, texts: Sequence[tuple[str, Face]], limit: float) -> tuple[float, float]:
        """The least and the greatest share of the room that a column has a use for: its longest word, its longest text."""
        full = max((width(drawable(t), self.size, f) for t, f in texts), default=0.0) / self.room
        word = max((longest_word(t, self.size, f) for t, f in texts), default=0.0) / self.room
        return min(word, limit), min(max(full, word), limit)

    def _best_shares(self) -> tuple[float, float, float]:
        """Widths of the three columns of words, as shares, that make the table lowest; among those the most even ones."""
        printed, today, change = self._texts()
        printed_limits, today_limits = self._limits(printed, 0.55), self._limits(today, 0.55)
        change_least, change_most = self._limits(change, 0.5) if self.with_change else (0.0, 0.0)
        if self.with_change:
            change_least = max(change_least, width(self.ledger.change_head.short, self.small) / self.room)
        full = printed_limits[1] + today_limits[1]
        if full + max(change_least, change_most) <= 0.995:
            return printed_limits[1] * 1.002, today_limits[1] * 1.002, 1 - 1.002 * full if self.with_change else 0.0
        return self._lowest(printed_limits, today_limits, change_least)

    def _lowest(
        self, printed_limits: tuple[float, float], today_limits: tuple[float, float], change_least: float
    ) -> tuple[float, float, float]:
        """Of all widths that are tried, those with the fewest lines."""
        size, room = self.size, self.room
        steps = range(_TRIALS + 1)
        lines_printed = {k: [len(wrap(t, size, _between(*printed_limits, k) * room, f)) for t, f in self.printed] for k in steps}
        lines_today = {
            k: [sum(len(wrap(t, size, _between(*today_limits, k) * room)) for t in names) for names in self.today] for k in steps
        }
        best: tuple[tuple[float, float], tuple[float, float, float]] | None = None
        for i in steps:
            for j in steps:
                first, second = _between(*printed_limits, i), _between(*today_limits, j)
                third = 1 - first - second
                if third < change_least:
                    continue
                lines_change = [len(wrap(t, size, third * room)) for t in self.change]
                high = sum(map(max, zip(lines_printed[i], lines_today[j], lines_change, strict=True)))
                loose = sum(lines_printed[i]) + sum(lines_today[j]) + sum(lines_change)
                if best is None or (high, loose) < best[0]:
                    best = (high, loose), (first * 1.002, second * 1.002, third - 0.002 * (first + second))
        return best[1] if best else (0.34, 0.33, 0.33)

    def sheet(self) -> Sheet:
        muted, figures = self.theme.muted, self.figures
        head = [
            Stack((self.ledger.printed_head.short,), self.printed_x, muted),
            Stack((self.ledger.today_head.short,), self.today_x, muted),
            *(Stack((h,), x, muted, align="right") for h, x in zip(figures.heads, figures.rights, strict=True)),
        ]
        if self.with_change:
            head.append(Stack((self.ledger.change_head.short,), self.change_x, muted))
        total = [
            Stack((self.ledger.total_words,), self.printed_x, self.theme.ink, "bold"),
            *figures.stacks(self.ledger.totals, self.size, self.theme.ink, 0, bold=True),
        ]
        blocks = tuple(map(self._block, self.ledger.entries))
        return Sheet(self.size, blocks, Block(stacked(self.small, head)), Block(stacked(self.size, total)), gap=0.3, stretch=0.9)

    def _block(self, entry: LedgerEntry) -> Block:
        size, theme, face, first = self.size, self.theme, _face(entry), entry.lines[0]
        printed = wrap(_printed(entry), size, self.printed_room, face)
        stacks = [Stack(tuple(printed), self.printed_x, theme.ink if entry.in_book else theme.muted, face)]
        row = 0
        for line in entry.lines:
            names = wrap(_today(line), size, self.today_room)
            stacks.append(Stack(tuple(names), self.today_x, theme.tone(line.tone), first=row))
            stacks += self.figures.stacks(line.figures, size, theme.tone(line.figures_tone), row)
            row += len(names)
        if first.change:
            words = wrap(first.change, size, self.change_room)
            stacks.append(Stack(tuple(words), self.change_x, theme.tone(first.change_tone)))
        return Block(stacked(size, stacks), entry.signs)


class _Cards:
    """The upright or square table: one card for each entry, its words above its figures."""

    def __init__(self, ledger: Ledger, size: float, screen: Screen, theme: Theme) -> None:
        self.ledger, self.size, self.screen, self.theme = ledger, size, screen, theme
        self.small = max(screen.least, 0.84 * size)
        self.beside = screen.ems >= BESIDE_FROM
        self.figures = _Figures.ending_at(screen.right, ledger, size, self.small, (0.9 if self.beside else 1.0) * size)
        self.beside_room = self.figures.left - screen.left - 0.7 * size

    def sheet(self) -> Sheet:
        left, figures, words = self.screen.left, self.figures, self.ledger.total_words
        heads = [Stack((h,), x, self.theme.muted, align="right") for h, x in zip(figures.heads, figures.rights, strict=True)]
        if self.beside:
            heads.insert(0, Stack((self.ledger.both_head,), left, self.theme.muted))
        below = int(width(words, self.size, "bold") > figures.left - left)  # no room for the word beside the figures
        total = [
            Stack((words,), left, self.theme.ink, "bold"),
            *figures.stacks(self.ledger.totals, self.size, self.theme.ink, below, bold=True),
        ]
        blocks = tuple(map(self._block, self.ledger.entries))
        return Sheet(self.size, blocks, Block(stacked(self.small, heads)), Block(stacked(self.size, total)), gap=0.6, stretch=1.2)

    def _block(self, entry: LedgerEntry) -> Block:
        size, theme, face, first, left = self.size, self.theme, _face(entry), entry.lines[0], self.screen.left
        # What the book never had says in one line that it is not there and why it came.
        together = not entry.in_book and bool(first.change)
        words = f"{entry.printed.removesuffix(')')}: {first.change})" if together else _printed(entry)
        printed = wrap(words, size, self.screen.room, face)
        stacks = [Stack(tuple(printed), left, theme.ink if entry.in_book else theme.muted, face)]
        row = len(printed)
        for line in entry.lines:
            names = wrap(_today(line), size, self.beside_room if self.beside else self.screen.room, "bold")
            stacks.append(Stack(tuple(names), left, theme.tone(line.tone), "bold", first=row))
            # On a narrow card a short name still has its figures beside it; a long one has them on a line below.
            beside = self.beside or (len(names) == 1 and width(names[0], size, "bold") <= self.beside_room)
            shown = any(figure.value is not None for figure in line.figures)
            if shown:
                place = row + (0 if beside else len(names))
                stacks += self.figures.stacks(line.figures, size, theme.tone(line.figures_tone), place)
            row += len(names) + int(shown and not beside)
        if first.change and not first.as_before and entry.in_book:
            change = tuple(wrap(first.change, size, self.screen.room))
            stacks.append(Stack(change, left, theme.old if first.change_tone == "old" else theme.muted, first=row))
        return Block(stacked(size, stacks), entry.signs, hair=True)
