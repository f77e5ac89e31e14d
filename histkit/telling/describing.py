"""The table of old and new as it is to be shown: as a ledger, as bars of the shares, as a card for each ingredient."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Literal

from histkit.base.descriptions import (
    BarRow,
    Bars,
    Card,
    CardEntry,
    Figure,
    Head,
    Ledger,
    LedgerEntry,
    LedgerLine,
    Length,
    Place,
    Spoken,
    Tone,
)
from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.telling import plainly
from histkit.telling.printing import percent_text
from histkit.telling.viewers import NOTES

if TYPE_CHECKING:
    from histkit.telling.comparison import ComparisonTable, Row

_FIGURES: tuple[tuple[str, Literal["share then", "share now", "weight"]], ...] = (
    ("then, %", "share then"),
    ("now, %", "share now"),
    ("weigh, g", "weight"),
)
"""For each column of figures its short head and what it holds."""


_SHORT_REASON = 90
"""Characters up to which a reason stands in a picture of the table."""


# -- the ledger -------------------------------------------------------------------------------------------------------------


def ledger(table: ComparisonTable) -> Ledger:
    """Old beside new, row by row."""
    printed, today, *figures, change = (Head(c.heading, c.heading, c.decimals) for c in table.columns())
    year = table.source.year if table.source is not None else None
    printed = replace(printed, short=f"{printed.words}, {year}") if year else printed
    totals = (table.then_total, table.now_total, table.grams_total)
    return Ledger(
        title=table.title,
        source=table.citation(),
        printed_head=printed,
        today_head=today,
        both_head="As printed, and today",
        figure_heads=tuple(Head(h.words, short, h.decimals, holds) for h, (short, holds) in zip(figures, _FIGURES, strict=True)),
        change_head=Head(change.words, "Change and why"),
        entries=tuple(_entry(table, rows) for rows in table.blocks()),
        totals=tuple(Figure(text, value) for text, value in zip(table.total_figures(), totals, strict=True)),
        footnotes=table.footnotes,
        notes=(*table.notes, *filter(None, (NOTES[table.viewers],))),
        foot=table.basis,
        spoken=_spoken(table),
        brief_notes=tuple(filter(None, (table.caption, NOTES[table.viewers]))),
    )


def _entry(table: ComparisonTable, rows: tuple[Row, ...]) -> LedgerEntry:
    first = rows[0]
    lines = tuple(_line(table, row) for row in rows)
    return LedgerEntry(first.book_words, lines, first.signs, first.is_line, plainly.without_joints(first.book_words))


def _line(table: ComparisonTable, row: Row) -> LedgerLine:
    values = (row.then_percent, row.now_percent, row.grams)
    return LedgerLine(
        row.today,
        tuple(Figure(text, value) for text, value in zip(table.figures(row), values, strict=True)),
        _place(row),
        _tone(row),
        "muted" if row.fate == "replaced" else "ink",
        row.change,
        _change_tone(row),
        row.change == "kept",
        mark := plainly.warning_word(row.ingredient),
        _why(row, mark),
        plainly.swatch(row.ingredient) if row.fate in ("kept", "stand-in", "added") else "",
        table.viewers_of(row),
    )


def _why(row: Row, mark: str) -> str:
    """Why it went, as short as it can be told: what the maker said, where it is short; else what the poison does."""
    if row.fate not in ("replaced", "left out", "forbidden"):
        return ""
    said = row.why if len(row.why) <= _SHORT_REASON else row.why.partition(";")[0].partition(". ")[0]
    if said and len(said) <= _SHORT_REASON:
        return said
    harm = plainly.what_it_does(row.ingredient)[0] if mark and row.ingredient is not None else ()
    return harm[0].rstrip(".") if harm else ""


def _place(row: Row) -> Place:
    return "instead" if row.fate == "stand-in" else "added" if row.fate == "added" else "printed"


def _tone(row: Row) -> Tone:
    if row.fate in ("replaced", "left out", "forbidden", "gone"):
        return "old"
    return "ink" if row.is_line else "new"


def _change_tone(row: Row) -> Tone:
    if row.fate == "forbidden":
        return "old"
    return "muted" if row.fate in ("kept", "added", "stand-in") else "ink"


def _spoken(table: ComparisonTable) -> Spoken:
    """The table in sentences."""
    then, now, grams = table.total_figures()
    total = f"Total: {then} % then, {now} % now, {grams} g." if table.has_now else f"Total: {then} %."
    lines = (*(_sentence(table, row) for row in table.rows), total)
    return Spoken(f"Table of old and new: {table.title}", table.citation(), lines)


def _sentence(table: ComparisonTable, row: Row) -> str:
    then, now, grams = table.figures(row)
    if row.is_line:
        words = f"{row.printed} is {row.today}"
    else:
        words = f"{'In its place' if row.fate == 'stand-in' else 'Added'}: {row.today}"
    figures = [f"{then} % then"] if then != "–" else []
    figures += [f"{now} % now"] if now != "–" else []
    figures += [f"weigh {grams} g"] if grams != "–" else []
    figures += filter(None, [table.viewers_of(row)])
    doubt = table.doubts_of(row)
    tail = (f" {row.change}." if row.change else "") + (f" Doubt: {doubt}" if doubt else "")
    return f"{words}: {', '.join(figures) or 'no share'}.{tail}"


# -- shares then and now ------------------------------------------------------------------------------------------------------


def shares(table: ComparisonTable) -> Bars:
    """The shares of every ingredient then and now, in the order of the table, each ingredient once.

    Raises:
        BadValue: no line has a share.
    """
    order: dict[str, list[Row]] = {}
    for row in table.rows:
        order.setdefault(row.ingredient.id if row.ingredient else f"?{row.today}", []).append(row)
    pairs = [(rows[0].today, _then(table, rows), _now(table, rows)) for rows in order.values()]
    pairs = [(name, then, now) for name, then, now in pairs if then.value is not None or now.value is not None]
    if not pairs:
        raise BadValue("no line of this table has a share, so there is nothing to draw: give at least one amount with a weight")
    full = max(length.value.best for _, *both in pairs for length in both if length.value is not None) or 1.0
    count = 2 if table.has_now else 1
    rows = tuple(BarRow(name, (then, now)[:count], full) for name, then, now in pairs)
    spoken = tuple(f"{name}: {then.words} then{f', {now.words} now' if table.has_now else ''}." for name, then, now in pairs)
    return Bars(
        table.title,
        ("then, %", "now, %")[:count],
        rows,
        table.citation(),
        "Shares by mass.",
        Spoken(f"Bars of the shares of {table.title}", table.citation(), spoken),
    )


def _then(table: ComparisonTable, rows: list[Row]) -> Length:
    """What the lines of an ingredient had together. The sum of the printed figures, so that picture and table say the same."""
    held = [(row.then.best, row.then_percent) for row in rows if row.then is not None and row.then_percent is not None]
    return _length(held, table.then_decimals)


def _now(table: ComparisonTable, rows: list[Row]) -> Length:
    held = [(row.now, row.now_percent) for row in rows if row.now is not None and row.now_percent is not None]
    return _length(held, table.now_decimals)


def _length(held: list[tuple[float, float]], decimals: int) -> Length:
    if not held:
        return Length(None, "–")
    share = sum(exact for exact, _ in held)
    return Length(Spread.exact(share), percent_text(sum(printed for _, printed in held), share, decimals))


# -- one ingredient -----------------------------------------------------------------------------------------------------------


def cards(table: ComparisonTable) -> dict[str, Card]:
    """A card for each printed line and each addition: what it was called, what it is, how much, what changed and why.

    The keys name the ingredient, in the order of the table.
    """
    out: dict[str, Card] = {}
    for rows in table.blocks():
        name = rows[0].today
        key = name if name not in out else f"{name} {len(out) + 1}"
        title = name[:1].upper() + name[1:]
        out[key] = Card(title, tuple(_card_entries(table, rows)), table.citation(), table.footnotes)
    return out


def _card_entries(table: ComparisonTable, rows: tuple[Row, ...]) -> list[CardEntry]:
    first, ingredient = rows[0], rows[0].ingredient
    entries = [CardEntry("In the book", first.printed or first.book_words.strip("()"), signs=first.signs)]
    if ingredient and ingredient.inci:
        entries.append(CardEntry("On a label", ingredient.inci))
    if ingredient and ingredient.description:
        entries.append(CardEntry("What it is", ingredient.description))
    entries += [CardEntry(label, value, bold=label == "Weigh") for label, value in _amounts(table, first)]
    if first.change and first.change != "kept":
        went = first.fate in ("replaced", "left out", "forbidden")
        entries.append(CardEntry("What changed", first.change, "old" if went else "ink"))
    for number, row in enumerate(rows[1:]):
        amounts = ", ".join(f"{label.casefold()} {value}" for label, value in _amounts(table, row))
        label = "" if number else "In its place"
        entries.append(CardEntry(label, f"{row.today}{f': {amounts}' if amounts else ''}", "new", bold=True))
    return entries


def _amounts(table: ComparisonTable, row: Row) -> list[tuple[str, str]]:
    then, now, grams = table.figures(row)
    pairs = [("Share then", f"{then} %"), ("Share now", f"{now} %"), ("Weigh", f"{grams} g")]
    return [(label, value) for label, value in pairs if not value.startswith("–")]
