"""Other pictures for the screen: shares before and after as bars, the spread of doubtful amounts, a card for each ingredient,
what to have at hand, steps at the bench. All are set by `layout`, so they keep the promises of `frames`.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.display.frames import Bar, Frame, Screen, Words
from histkit.display.layout import Block, Item, Sheet, Stack, Text, line_of, set_sheet, stacked
from histkit.display.lettering import width, wrap
from histkit.display.palette import Theme, theme
from histkit.display.pictures import BESIDE_FROM, printed_in_picture
from histkit.telling.comparison import percent_text

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.bench.steps import ProcessStep
    from histkit.telling.comparison import ComparisonTable, Row
    from histkit.translating.translation import Translation

_STEPS = (1.0, 1.1, 1.22, 1.36, 1.52)
_NUMBER = re.compile(r"[\d.,]+ g")
_NARROW_STEPS = (1.0, 1.08)
NEGLIGIBLE = 0.01
"""Spread over best, up to which an amount is not drawn as doubtful: no kitchen balance and no printed ounce is surer."""


def chart(make: Callable[[float], Sheet], text: Text, screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    """The frames of a chart that `make` sets at a given size of type, at the largest size that needs no more frames."""
    steps = _STEPS if screen.ems >= BESIDE_FROM else _NARROW_STEPS
    return set_sheet(make, [screen.least * k for k in steps], text, screen, colours, transparent)


def bar_legend(labels: Sequence[str], type_size: float, left: float, screen: Screen, colours: Theme) -> Block:
    """What the first and the second bar of each pair stand for."""
    small = max(screen.least, 0.84 * type_size)
    head: list[Item] = []
    x = left
    for words, colour in zip(labels, (colours.shade, colours.new), strict=False):  # the first alone where there is no second
        head.append(Bar(x, 0.2 * small, 0.9 * small, 0.85 * small, colour))
        head += line_of(small, Words(words, x + 1.25 * small, 0, small, colours.muted))
        x += 1.25 * small + width(words, small) + 1.4 * small
    return Block((tuple(head),))


# -- shares before and after ----------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class _Share:
    name: str
    then: float | None
    now: float | None
    words: tuple[str, str]


def composition_frames(
    table: ComparisonTable, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """The shares of every ingredient then and now as pairs of bars, in the order of the table."""
    screen, colours = Screen.of(size), theme(theme_name)
    shares = _shares(table)
    most = max((v for s in shares for v in (s.then, s.now) if v is not None), default=1.0) or 1.0
    wide = screen.ems >= BESIDE_FROM
    labels = ("then, %", "now, %") if table.has_now else ("then, %",)

    def make(type_size: float) -> Sheet:
        names = max((width(s.name, type_size) for s in shares), default=0.0)
        left = screen.left + (min(names * 1.01, 0.4 * screen.room) + type_size if wide else 0.0)
        figure = max(width(w, type_size) for s in shares for w in s.words) + 0.5 * type_size
        room = screen.right - left - figure
        blocks = []
        for share in shares:
            label = wrap(share.name, type_size, left - screen.left - type_size if wide else screen.room)
            stacks = [Stack(tuple(label), screen.left, colours.ink)]
            lines = [list(line) for line in stacked(type_size, stacks)]
            first = 0 if wide else len(label)
            pair = ((share.then, share.words[0], colours.shade), (share.now, share.words[1], colours.new))[: len(labels)]
            while len(lines) < first + len(pair):
                lines.append([])
            for offset, (value, words, colour) in enumerate(pair):
                long = 0.0 if value is None else value / most * room
                if long:
                    lines[first + offset].append(Bar(left, 0.17 * type_size, max(long, screen.rule()), 0.92 * type_size, colour))
                number = Words(words, left + long + 0.4 * type_size, 0, type_size, colours.ink if value else colours.muted)
                lines[first + offset] += line_of(type_size, number)
            blocks.append(Block(tuple(map(tuple, lines))))
        return Sheet(type_size, tuple(blocks), bar_legend(labels, type_size, left, screen, colours), gap=0.35, stretch=1.0)

    def alt(_words: str, which: str) -> str:
        rows = [f"{s.name}: {s.words[0]} then" + (f", {s.words[1]} now." if table.has_now else ".") for s in shares]
        return "\n".join([f"Bars of the shares of {table.title}{which}. Source: {table.citation()}.", *rows])

    foot = "Shares by mass."
    return chart(make, Text(table.title, table.citation(), foot, {}, alt), screen, colours, transparent)


def _shares(table: ComparisonTable) -> list[_Share]:
    """Each ingredient once, with the sum of what its lines had and what it has now."""
    order: dict[str, list[Row]] = {}
    for row in table.rows:
        order.setdefault(row.ingredient.id if row.ingredient else f"?{row.today}", []).append(row)
    out = []
    for rows in order.values():
        thens = [r for r in rows if r.then is not None and r.then_percent is not None]
        nows = [r for r in rows if r.now is not None and r.now_percent is not None]
        if not thens and not nows:
            continue
        then = sum(r.then.best for r in thens if r.then) if thens else None
        now = sum(r.now or 0.0 for r in nows) if nows else None
        # The sums of the printed figures, so that picture and table say the same.
        printed = (sum(r.then_percent or 0.0 for r in thens), sum(r.now_percent or 0.0 for r in nows))
        words = (percent_text(printed[0], then, table.then_decimals), percent_text(printed[1], now, table.now_decimals))
        out.append(_Share(rows[0].today, then, now, (words[0] if thens else "–", words[1] if nows else "–")))
    if not out:
        raise BadValue("no line of this table has a share, so there is nothing to draw: give at least one amount with a weight")
    return out


# -- how doubtful the amounts are -------------------------------------------------------------------------------------------


def spread_frames(
    translation: Translation, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """How far each doubtful amount may lie from its best reading: a bar from the least to the most, a tick at the best.

    All bars share one scale, per cent of the best reading. Lines whose spread is negligible are counted in the foot.
    """
    screen, colours = Screen.of(size), theme(theme_name)
    doubtful = [(t.name, t.grams) for t in translation.lines if t.grams and t.grams.best > 0 and t.grams.relative > NEGLIGIBLE]
    sure = sum(1 for t in translation.lines if t.grams is not None) - len(doubtful)
    lowest = min((g.low / g.best - 1 for _, g in doubtful), default=0.0)
    highest = max((g.high / g.best - 1 for _, g in doubtful), default=0.0)
    span = (highest - lowest) or 1.0
    wide = screen.ems >= BESIDE_FROM
    unit = "parts" if translation.in_parts else "g"

    def make(type_size: float) -> Sheet:
        small = max(screen.least, 0.84 * type_size)
        names = max((width(name, type_size) for name, _ in doubtful), default=0.0)
        left = screen.left + (min(names * 1.01, 0.34 * screen.room) + type_size if wide else 0.0)
        before = width(f"−{-100 * lowest:.0f} %", type_size) + 0.4 * type_size
        after = width(f"+{100 * highest:.0f} %", type_size) + 0.4 * type_size
        amounts = {name: f"{g.low:.3g} to {g.high:.3g} {unit}, best {g.best:.3g}" for name, g in doubtful}
        told = max((width(a, type_size) for a in amounts.values()), default=0.0) if screen.ems >= 46 else 0.0
        start, end = left + before, screen.right - after - (told + type_size if told else 0.0)
        zero = start + (0 - lowest) / span * (end - start)
        thin = screen.rule(0.5)
        blocks = []
        for name, grams in doubtful:
            label = wrap(name, type_size, left - screen.left - type_size if wide else screen.room)
            lines = [list(line) for line in stacked(type_size, [Stack(tuple(label), screen.left, colours.ink)])]
            first = 0 if wide else len(label)
            while len(lines) < first + 1:
                lines.append([])
            low, high = grams.low / grams.best - 1, grams.high / grams.best - 1
            x0, x1 = start + (low - lowest) / span * (end - start), start + (high - lowest) / span * (end - start)
            line = lines[first]
            line.append(Bar(zero - thin / 2, -0.1 * type_size, thin, 1.48 * type_size, colours.hair))
            line.append(Bar(x0, 0.52 * type_size, max(x1 - x0, thin), 0.24 * type_size, colours.shade))
            line.append(Bar(zero - 0.07 * type_size, 0.24 * type_size, 0.14 * type_size, 0.8 * type_size, colours.new))
            ends = [(low, x0 - 0.4 * type_size, "right"), (high, x1 + 0.4 * type_size, "left")]
            for value, x, align in ends:
                if abs(value) > 5e-4:
                    words = f"{'−' if value < 0 else '+'}{100 * abs(value):.{0 if abs(value) > 0.0095 else 1}f} %"
                    line += line_of(type_size, Words(words, x, 0, type_size, colours.muted, "regular", align))  # type: ignore[arg-type]
            if told:
                line += line_of(type_size, Words(amounts[name], screen.right, 0, type_size, colours.ink, "regular", "right"))
            else:
                for text in wrap(amounts[name], type_size, screen.right - left):
                    lines.append(list(line_of(type_size, Words(text, left, 0, type_size, colours.muted))))
            blocks.append(Block(tuple(map(tuple, lines))))
        if not doubtful:
            blocks.append(Block(stacked(type_size, [Stack(("No amount is in doubt.",), screen.left, colours.ink)])))
        head = line_of(small, *_spread_head(screen, colours, small, zero, told > 0))
        return Sheet(type_size, tuple(blocks), Block((tuple(head),)), gap=0.5, stretch=1.2)

    known = f"{sure} of {len(doubtful) + sure} weighed lines {'is' if sure == 1 else 'are'}"
    foot = f"{known} sure to within {100 * NEGLIGIBLE:g} %." if sure else ""
    source = translation.formula.source.citation() if translation.formula.source else "source not given"

    def alt(_words: str, which: str) -> str:
        rows = [f"{name}: {g.low:.3g} to {g.high:.3g} {unit}, best {g.best:.3g}." for name, g in doubtful]
        return "\n".join([f"How far the amounts of {name or 'this formula'} are in doubt{which}. Source: {source}.", *rows, foot])

    name = translation.formula.title
    title = f"{name}: how sure are the amounts?" if name else "How sure are the amounts?"
    return chart(make, Text(title, source, foot, {}, alt), screen, colours, transparent)


def _spread_head(screen: Screen, colours: Theme, small: float, zero: float, told: bool) -> list[Words]:
    words = "best reading"
    half = width(words, small) / 2
    x = min(max(zero, screen.left + half), screen.right - half)
    head = [Words(words, x, 0, small, colours.new, "regular", "center")]
    label = "range"
    if told and x + half + width(label, small) + small < screen.right:
        head.append(Words(label, screen.right, 0, small, colours.muted, "regular", "right"))
    return head


# -- one ingredient ---------------------------------------------------------------------------------------------------------


def card_frames(
    table: ComparisonTable, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> dict[str, tuple[Frame, ...]]:
    """A card for each printed line and each addition: what it was called, what it is, how much, what changed and why.

    The keys name the ingredient, in the order of the table; a card is one frame, more where its texts are long.
    """
    screen, colours = Screen.of(size), theme(theme_name)
    out: dict[str, tuple[Frame, ...]] = {}
    for rows in table.blocks():
        name = rows[0].today
        key = name if name not in out else f"{name} {len(out) + 1}"
        out[key] = _card(table, rows, screen, colours, transparent)
    return out


def _card(table: ComparisonTable, rows: tuple[Row, ...], screen: Screen, colours: Theme, transparent: bool) -> tuple[Frame, ...]:
    entries = _card_entries(table, rows, colours)
    wide = screen.ems >= BESIDE_FROM

    def make(type_size: float) -> Sheet:
        labels = max(width(label, type_size) for label, *_ in entries)
        left = screen.left + (labels + 1.2 * type_size if wide else 0.0)
        blocks = []
        for label, text, colour, bold in entries:
            face = "bold" if bold else "regular"
            lines = wrap(text, type_size, screen.right - left, face)  # type: ignore[arg-type]
            stacks = [
                Stack((label,), screen.left, colours.muted),
                Stack(tuple(lines), left, colour, face, first=0 if wide else 1),  # type: ignore[arg-type]
            ]
            blocks.append(Block(stacked(type_size, stacks), rows[0].signs if label == "In the book" else ()))
        return Sheet(type_size, tuple(blocks), gap=0.4, stretch=1.0)

    text = Text(rows[0].today[:1].upper() + rows[0].today[1:], table.citation(), "", {n.sign: n.text for n in table.footnotes})
    return chart(make, text, screen, colours, transparent)


def _card_entries(table: ComparisonTable, rows: tuple[Row, ...], colours: Theme) -> list[tuple[str, str, str, bool]]:
    """(label, text, colour, bold) of everything on a card."""
    first = rows[0]
    book = printed_in_picture(first)
    entries = [("In the book", book.strip("()") if not first.printed else book, colours.ink, False)]
    if first.ingredient and first.ingredient.inci:
        entries.append(("On a label", first.ingredient.inci, colours.ink, False))
    if first.ingredient and first.ingredient.description:
        entries.append(("What it is", first.ingredient.description, colours.ink, False))
    entries += [(label, value, colours.ink, label == "Weigh") for label, value in _amounts(table, first)]
    if first.change and first.change != "kept":
        entries.append(
            (
                "What changed",
                first.change,
                colours.old if first.fate in ("replaced", "left out", "forbidden") else colours.ink,
                False,
            )
        )
    for number, row in enumerate(rows[1:]):
        told = ", ".join(f"{label.casefold()} {value}" for label, value in _amounts(table, row))
        entries.append(("" if number else "In its place", f"{row.today}{f': {told}' if told else ''}", colours.new, True))
    return entries


def _amounts(table: ComparisonTable, row: Row) -> list[tuple[str, str]]:
    then, now, grams = table.figures(row)
    pairs = [("Share then", f"{then} %"), ("Share now", f"{now} %"), ("Weigh", f"{grams} g")]
    return [(label, value) for label, value in pairs if not value.startswith("–")]


# -- lists ------------------------------------------------------------------------------------------------------------------


def need_frames(
    batch: Batch, size: Sequence[int] = (3840, 2160), theme_name: str = "light", transparent: bool = False
) -> tuple[Frame, ...]:
    """What to have at hand for a batch: every ingredient with its label name and its grams, aliquots included."""
    needed = batch.to_weigh
    entries = [
        (
            w.ingredient.name,
            batch.balance.text(needed[w.ingredient.id]),
            w.ingredient.inci if w.ingredient.inci.casefold() != w.ingredient.name.casefold() else "",
        )
        for w in batch.weighings
    ]
    source = batch.composition.source
    name = batch.composition.name
    title = f"What you need{f': {name}' if name else ''}"
    more = any(w.aliquot is not None for w in batch.weighings)
    foot = f"For a batch of {batch.balance.text(batch.grams)}." + (" Some of it is left over from the aliquots." if more else "")
    return list_frames(title, source.citation() if source else "", entries, foot, size, theme_name, transparent)


def steps_frames(
    title: str,
    steps: Sequence[ProcessStep],
    size: Sequence[int] = (3840, 2160),
    theme_name: str = "light",
    transparent: bool = False,
    source: str = "",
) -> tuple[Frame, ...]:
    """Steps at the bench with their times, numbered. `source` is the line of the book, under the title."""
    entries = [(step.step, step.timing(), step.detail) for step in steps]
    return list_frames(title, source, entries, "Times: common practice, no source.", size, theme_name, transparent, numbered=True)


def list_frames(
    title: str,
    subtitle: str,
    entries: Sequence[tuple[str, str, str]],
    foot: str = "",
    size: Sequence[int] = (3840, 2160),
    theme_name: str = "light",
    transparent: bool = False,
    numbered: bool = False,
) -> tuple[Frame, ...]:
    """A list of (words, figure at the right, quieter words beneath), over as many frames as it takes.

    Raises:
        BadValue: the list is empty.
    """
    if not entries:
        raise BadValue(f"{title}: there is nothing on this list to draw")
    screen, colours = Screen.of(size), theme(theme_name)

    def make(type_size: float) -> Sheet:
        figures = max(width(figure, type_size, "bold") for _, figure, _ in entries)
        decimal = all(_NUMBER.fullmatch(figure) for _, figure, _ in entries)
        after = max(width(_after_point(figure), type_size, "bold") for _, figure, _ in entries)
        beside = figures <= 0.4 * screen.room
        number_room = width(f"{len(entries)}.", type_size) + 0.1 * type_size if numbered else 0.0
        left = screen.left + number_room + (0.45 * type_size if numbered else 0.0)
        room = screen.right - left - (figures + type_size if beside else 0.0)
        blocks = []
        for number, (words, figure, more) in enumerate(entries, start=1):
            named = wrap(words, type_size, room)
            stacks = [Stack(tuple(named), left, colours.ink)]
            if numbered:
                stacks.append(Stack((f"{number}.",), screen.left + number_room, colours.muted, align="right"))
            aligned = beside and decimal  # the decimal points below each other
            x = screen.right - after + width(_after_point(figure), type_size, "bold") if aligned else screen.right
            if figure:
                stacks.append(Stack((figure,), x, colours.new, "bold", "right", 0 if beside else len(named)))
            below = len(named) + (0 if beside or not figure else 1)
            if more:
                stacks.append(Stack(tuple(wrap(more, type_size, room)), left, colours.muted, first=below))
            blocks.append(Block(stacked(type_size, stacks), hair=True))
        return Sheet(type_size, tuple(blocks), gap=0.5, stretch=1.1)

    return chart(make, Text(title, subtitle, foot), screen, colours, transparent)


def _after_point(figure: str) -> str:
    """What stands after the decimal point, with the point: '3.16 g' gives '.16 g'; without a point the unit alone."""
    whole, point, rest = figure.partition(".")
    if point:
        return point + rest
    _, blank, unit = whole.partition(" ")
    return blank + unit
