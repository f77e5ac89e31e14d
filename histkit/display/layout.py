"""Setting a table into frames: the largest type that fits one frame, else several frames with even contents.

A `Sheet` says what stands where for one size of type; `set_sheet` tries sizes and breaks the blocks over frames. A block is
never parted unless it is taller than a frame; nothing is ever cut off.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

from histkit.base.descriptions import Spoken
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.lettering import ASCENT, Face, plain, width, wrap
from histkit.display.palette import Theme

COLUMNS_FROM = 46
"""Ems of the smallest text across the safe area from which on a table stands in columns; below it stands in cards."""
BESIDE_FROM = 27
"""Ems from which on a name has its figures beside it; below they have a line of their own."""
LEAD = 1.28
"""Distance of baselines over the size of type."""
_TITLE_LINES, _SUBTITLE_LINES = 4, 5
"""Most lines of a title and of a source, on each frame."""
Item = Words | Bar


@dataclass(frozen=True, slots=True)
class Block:
    """Lines that stay together. The items of each line have their `y` from the top of that line, their `x` on the frame."""

    lines: tuple[tuple[Item, ...], ...]
    signs: tuple[str, ...] = ()
    hair: bool = False
    """Whether a thin line parts it from the block above."""
    before: float = 1.0
    """Space above, as a multiple of the sheet's gap."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """One table set at `size` pixels per em. `notes` maps signs to their texts; `foot` stands at the bottom of each frame."""

    size: float
    blocks: tuple[Block, ...]
    head: Block | None = None
    total: Block | None = None
    gap: float = 0.5
    """Least space between blocks, in ems."""
    stretch: float = 1.1
    """Most space between blocks, in ems."""


@dataclass(frozen=True, slots=True)
class Text:
    """What stands around the table."""

    title: str
    subtitle: str = ""
    foot: str = ""
    notes: Mapping[str, str] = field(default_factory=dict)
    spoken: Spoken | None = None
    """The description of the frames; None where their own words will do."""


def line_of(size: float, *items: Item) -> tuple[Item, ...]:
    """Words set on the baseline of a line whose top is 0 (their own `y` is added); bars as they are."""
    baseline = (LEAD * size - size) / 2 + ASCENT * size * 0.98
    return tuple(replace(item, y=item.y + baseline) if isinstance(item, Words) else item for item in items)


@dataclass(frozen=True, slots=True)
class Stack:
    """Lines of words in a column, to be laid beside others: `x` is the left edge, or the right edge where aligned so."""

    texts: tuple[str, ...]
    x: float
    colour: str
    face: Face = "regular"
    align: str = "left"
    first: int = 0
    """The line of the block on which it begins."""


def stacked(size: float, stacks: Sequence[Stack]) -> tuple[tuple[Item, ...], ...]:
    """The lines of a block in which stacks stand beside each other."""
    count = max((s.first + len(s.texts) for s in stacks), default=0)
    lines: list[list[Item]] = [[] for _ in range(count)]
    for stack in stacks:
        for offset, text in enumerate(stack.texts):
            if text:
                align = "right" if stack.align == "right" else "left"
                lines[stack.first + offset].append(Words(text, stack.x, 0.0, size, stack.colour, stack.face, align))  # type: ignore[arg-type]
    return tuple(line_of(size, *line) for line in lines)


_CHART_STEPS = (1.0, 1.1, 1.22, 1.36, 1.52)
_NARROW_CHART_STEPS = (1.0, 1.08)


def chart(make: Callable[[float], Sheet], text: Text, screen: Screen, theme: Theme, transparent: bool) -> tuple[Frame, ...]:
    """The frames of a chart that `make` sets at a given size of type, at the largest size that needs no more frames."""
    steps = _CHART_STEPS if screen.ems >= BESIDE_FROM else _NARROW_CHART_STEPS
    return set_sheet(make, [screen.least * k for k in steps], text, screen, theme, transparent)


# -- setting ------------------------------------------------------------------------------------------------------------


def set_sheet(
    make: Callable[[float], Sheet], sizes: Sequence[float], text: Text, screen: Screen, theme: Theme, transparent: bool
) -> tuple[Frame, ...]:
    """The frames of a table: `make` sets it at a size of type, `sizes` are tried from the largest to the smallest.

    One frame at the largest size at which it fits; else the fewest frames, at the largest size that gives as few.
    """
    best: _Setting | None = None
    for size in sorted(sizes, reverse=True):
        setting = _Setting(make(size), text, screen, theme)
        setting.paginate()
        if best is None or len(setting.pages) < len(best.pages):
            best = setting
        if len(best.pages) == 1:
            break
    assert best is not None
    return best.frames(transparent)


class _Setting:
    """One attempt at one size of type."""

    def __init__(self, sheet: Sheet, text: Text, screen: Screen, theme: Theme) -> None:
        self.sheet, self.text, self.screen, self.theme = sheet, text, screen, theme
        size = sheet.size
        self.small = max(screen.least, 0.84 * size)
        self.title_size = max(1.3 * screen.least, 1.42 * size) if screen.ems >= 26 else 1.12 * size
        self.rule = screen.rule(1.6)
        self.thin = screen.rule(0.8)
        self.title = _at_most(wrap(text.title, self.title_size, screen.room, "bold"), _TITLE_LINES)
        self.subtitle = _at_most(wrap(text.subtitle, self.small, screen.room), _SUBTITLE_LINES)
        self.foot = wrap(text.foot, self.small, screen.room) if text.foot else []
        self.pages: list[list[Block]] = []
        self.note_pages: list[list[Block]] = []
        self.apart = False

    # -- heights

    def _line(self, size: float | None = None) -> float:
        return LEAD * (size or self.sheet.size)

    @property
    def _top(self) -> float:
        """Height of title, source and column heads, with the rules."""
        high = (
            1.2 * self.title_size * len(self.title)
            + (0.15 * self.small if self.subtitle else 0)
            + self._line(self.small) * len(self.subtitle)
        )
        return high + 0.55 * self.sheet.size + self._head

    @property
    def _head(self) -> float:
        head = self.sheet.head
        return self.rule + (len(head.lines) * self._line(self.small) + 0.5 * self.sheet.size + self.thin if head else 0.0)

    @property
    def _number(self) -> float:
        """Height of the line with the number of the frame."""
        return 1.1 * self._line(self.small)

    @property
    def _total(self) -> float:
        total = self.sheet.total
        return self.thin + len(total.lines) * self._line() + 0.6 * self.sheet.size if total else 0.0

    def _room(self, numbered: bool) -> float:
        return self.screen.rise - self._top - self.rule - (self._number if numbered else 0.0)

    def _height(self, blocks: Sequence[Block], gap: float | None = None) -> float:
        space = (self.sheet.gap if gap is None else gap) * self.sheet.size
        lines = sum(len(b.lines) for b in blocks)
        gaps = sum(b.before for b in blocks[1:]) * space
        return lines * self._line() + gaps + self.sheet.size * 0.6

    def _notes(self, blocks: Sequence[Block], last: bool) -> list[Block]:
        """What stands below these rows: the notes behind their signs, and on the last frame the foot."""
        signs = {s for b in blocks for s in b.signs}
        used = [(sign, text) for sign, text in self.text.notes.items() if sign in signs]
        indent = max((width(sign, self.small) for sign, _ in used), default=0.0) + 0.45 * self.small
        out = []
        for sign, text in used:
            lines = wrap(text, self.small, self.screen.room - indent)
            left = self.screen.left
            stacks = [Stack((sign,), left, self.theme.muted), Stack(tuple(lines), left + indent, self.theme.muted)]
            out.append(Block(stacked(self.small, stacks), before=0.0))
        if last and self.foot:
            stack = Stack(tuple(self.foot), self.screen.left, self.theme.muted)
            out.append(Block(stacked(self.small, [stack]), before=0.35 if used else 0.0))
        return out

    def _notes_height(self, notes: Sequence[Block]) -> float:
        high = sum(len(n.lines) * self._line(self.small) + n.before * self.small for n in notes)
        return high + (0.45 * self.small if notes else 0.0)

    # -- breaking

    def paginate(self) -> None:
        together = self._packed(with_notes=True)
        apart = self._packed(with_notes=False)
        everything = self._notes(self.sheet.blocks, True)
        note_pages = self._broken(everything, self._line(self.small)) if everything else []
        assert apart is not None
        if together is not None and len(together) <= len(apart) + len(note_pages):
            self.pages = together
        else:
            self.note_pages, self.apart = note_pages, True
            self.pages = [*apart, *([] for _ in note_pages)]

    def _filled(self, blocks: Sequence[Block], last: bool, with_notes: bool) -> float:
        """Height that blocks take with what stands below them."""
        notes = self._notes_height(self._notes(blocks, last)) if with_notes else 0.0
        return self._height(blocks) + notes + (self._total if last else 0.0)

    def _packed(self, with_notes: bool) -> list[list[Block]] | None:
        """The blocks over frames; None where a block does not fit together with its notes."""
        if with_notes and self._filled(self.sheet.blocks, True, True) <= self._room(numbered=False):
            return [list(self.sheet.blocks)]
        room = self._room(numbered=True)
        blocks: list[Block] = []
        for number, block in enumerate(self.sheet.blocks, start=1):
            if self._filled([block], number == len(self.sheet.blocks), with_notes) <= room:
                blocks.append(block)
            elif with_notes:
                return None
            else:
                most = max(1, int((room - self._total - 0.6 * self.sheet.size) / self._line()))
                blocks += _parted(block, most)
        if not blocks:
            return [[]]

        return self._shared_out(blocks, room, with_notes)

    def _shared_out(self, blocks: list[Block], room: float, with_notes: bool) -> list[list[Block]]:
        """Blocks over the fewest frames, and among those as evenly as can be: the sum of squares of what stays empty is least.

        `best[end]` is (frames, sum of squares, start of the last frame) for the blocks before `end`.
        """
        best: list[tuple[int, float, int]] = [(0, 0.0, 0)]
        for end in range(1, len(blocks) + 1):
            last = end == len(blocks)
            least: tuple[int, float, int] | None = None
            for start in reversed(range(end)):
                spare = room - self._filled(blocks[start:end], last, with_notes)
                if spare < 0 and start < end - 1:  # more blocks fill it still further
                    break
                trial = (best[start][0] + 1, best[start][1] + max(spare, 0.0) ** 2, start)
                if least is None or trial < least:
                    least = trial
            assert least is not None
            best.append(least)
        pages: list[list[Block]] = []
        end = len(blocks)
        while end:
            start = best[end][2]
            pages.insert(0, blocks[start:end])
            end = start
        return pages

    def _broken(self, blocks: Sequence[Block], line: float) -> list[list[Block]]:
        """Notes over frames of their own."""
        most = max(1, int((self._room(numbered=True) - 0.8 * self.sheet.size + self._head) / line))
        pages: list[list[Block]] = [[]]
        for block in (part for b in blocks for part in _parted(b, most)):
            if pages[-1] and sum(len(b.lines) for b in pages[-1]) + len(block.lines) > most:
                pages.append([])
            pages[-1].append(block)
        return pages

    # -- placing

    def frames(self, transparent: bool) -> tuple[Frame, ...]:
        count = len(self.pages)
        rows = count - len(self.note_pages)
        out = []
        for number in range(count):
            if number < rows:
                items = self._page(self.pages[number], number == rows - 1, count)
            else:
                items = self._note_page(self.note_pages[number - rows])
            foot = self._page_number(number + 1, count)
            background = None if transparent else self.theme.paper
            which = "" if count == 1 else f", frame {number + 1} of {count}"
            title, source = plain(self.text.title), plain(self.text.subtitle)
            bare = Frame(self.screen.width, self.screen.height, (*items, *foot), background, title, "", source)
            spoken = self.text.spoken or Spoken(self.text.title, lines=(bare.text(),))
            alt = spoken.text(which)
            out.append(replace(bare, alt=alt))
        return tuple(out)

    def _opening(self) -> tuple[list[Item], float]:
        """Title and source; the height where they end."""
        items: list[Item] = []
        y = self.screen.top
        for line in self.title:
            items.append(Words(line, self.screen.left, y + ASCENT * self.title_size, self.title_size, self.theme.ink, "bold"))
            y += 1.2 * self.title_size
        if self.subtitle:
            y += 0.15 * self.small
        for line in self.subtitle:
            items += _placed(line_of(self.small, Words(line, self.screen.left, 0, self.small, self.theme.muted)), y)
            y += self._line(self.small)
        return items, y + 0.55 * self.sheet.size

    def _bar(self, y: float, thickness: float, colour: str | None = None) -> Bar:
        return Bar(self.screen.left, round(y), self.screen.room, thickness, colour or self.theme.rule)

    def _spare(self, blocks: Sequence[Block], last: bool) -> float:
        """Height that is left over on a frame with the least gaps."""
        notes = [] if self.apart else self._notes(blocks, last)
        used = self._height(blocks) + self._notes_height(notes) + (self._total if last else 0.0)
        return self._room(numbered=len(self.pages) > 1) - used

    def _common_gap(self) -> float:
        """The widest gap, in ems, that all frames of rows have room for: they look alike when one follows the other."""
        rows = self.pages[: len(self.pages) - len(self.note_pages)]
        most = self.sheet.stretch if len(rows) == 1 else (self.sheet.gap + self.sheet.stretch) / 2
        for number, blocks in enumerate(rows, start=1):
            gaps = sum(b.before for b in blocks[1:])
            if gaps:
                most = min(most, self.sheet.gap + max(0.0, self._spare(blocks, number == len(rows))) / gaps / self.sheet.size)
        return most

    def _page(self, blocks: Sequence[Block], last: bool, count: int) -> list[Item]:
        size = self.sheet.size
        notes = [] if self.apart else self._notes(blocks, last)
        gap = self._common_gap()
        spare = self._spare(blocks, last) - sum(b.before for b in blocks[1:]) * (gap - self.sheet.gap) * size
        items, y = self._opening()
        items.append(self._bar(y, self.rule))
        y += self.rule
        if self.sheet.head:
            y += 0.2 * size
            for line in self.sheet.head.lines:
                items += _placed(line, y)
                y += self._line(self.small)
            y += 0.3 * size
            items.append(self._bar(y, self.thin))
            y += self.thin
        y += 0.25 * size
        for number, block in enumerate(blocks):
            space = block.before * gap * size if number else 0.0
            if block.hair and number:
                items.append(self._bar(y + space / 2, self.screen.rule(0.5), self.theme.hair))
            y += space
            for line in block.lines:
                items += _placed(line, y)
                y += self._line()
        y += 0.35 * size
        if last and self.sheet.total:
            items.append(self._bar(y, self.thin))
            y += self.thin + 0.3 * size
            for line in self.sheet.total.lines:
                items += _placed(line, y)
                y += self._line()
            y += 0.3 * size
        items.append(self._bar(y, self.rule))
        y += self.rule + (0.45 * self.small if notes else 0.0)
        for note in notes:
            y += note.before * self.small
            for line in note.lines:
                items += _placed(line, y)
                y += self._line(self.small)
        if count == 1 and spare > 0:  # a short table hangs a little above the middle
            items = [replace(item, y=item.y + round(0.42 * spare)) for item in items]
        return items

    def _note_page(self, notes: Sequence[Block]) -> list[Item]:
        items, y = self._opening()
        items.append(self._bar(y, self.rule))
        y += self.rule + 0.4 * self.sheet.size
        for note in notes:
            y += note.before * self.small
            for line in note.lines:
                items += _placed(line, y)
                y += self._line(self.small)
        return items

    def _page_number(self, number: int, count: int) -> list[Item]:
        if count == 1:
            return []
        place = Words(f"{number} of {count}", self.screen.right, 0, self.small, self.theme.muted, "regular", "right")
        return _placed(line_of(self.small, place), self.screen.bottom - self._line(self.small))


def _placed(line: Sequence[Item], y: float) -> list[Item]:
    return [replace(item, y=item.y + y) for item in line]


def _at_most(lines: list[str], most: int) -> list[str]:
    """Lines of a heading; one that would crowd out the table ends in … (its whole text is in the description)."""
    return lines if len(lines) <= most else [*lines[: most - 1], lines[most - 1][:-2].rstrip() + "…"]


def _parted(block: Block, most: int) -> list[Block]:
    """A block in pieces of at most `most` lines."""
    if len(block.lines) <= most:
        return [block]
    return [replace(block, lines=block.lines[i : i + most]) for i in range(0, len(block.lines), most)]
