"""What each kind of description hands to its template: plain data of strings and numbers, nothing of colours or places."""

from __future__ import annotations

from collections.abc import Mapping
from itertools import pairwise
from typing import Any

from histkit.base.descriptions import Bars, Card, Figure, Ledger, LedgerEntry, LedgerLine, Length, Listing, Periods, Ranges
from histkit.base.errors import BadValue
from histkit.base.filmed import PanPlan, Picture, Plaque, StandIn, StepCard, Strip, Swapped, Warned
from histkit.display.typography import parted, printed, words

Fields = dict[str, Any]
_HOLDS = ("share then", "share now", "weight")
"""What the columns of figures of a ledger hold, in their usual order."""


def template_and_fields(described: Picture) -> tuple[str, Fields]:
    """The name of the template and the data for it.

    Raises:
        BadValue: there is nothing to draw.
    """
    name, made = _MADE[type(described)]
    fields: Fields = {"subtitle": [], "foot": []}
    return name, fields | made(described)


def _heading(title: str, subtitle: str = "", foot: str = "") -> Fields:
    return {
        "words": printed(title, 140),
        "subtitle": printed(subtitle, 220) if subtitle else [],
        "foot": [words(foot, 300)] if foot else [],
    }


def _some(figure: str) -> tuple[str, str]:
    """A figure around its point; nothing for a dash, which a picture has no need of."""
    return ("", "") if figure in ("", "–") else parted(words(figure))


# -- old beside new ---------------------------------------------------------------------------------------------------------


def _ledger(ledger: Ledger) -> Fields:
    places: dict[str, int] = {head.holds: n for n, head in enumerate(ledger.figure_heads) if head.holds}
    if not places:  # a table made by hand: its figures in the usual order
        places = dict(zip(_HOLDS, range(len(ledger.figure_heads)), strict=False))
    held = {
        name: name == "share then" or any(line.figures[n].value is not None for line in ledger.lines)
        for name, n in places.items()
    }
    most = {n: max((line.figures[n].value or 0.0 for line in ledger.lines), default=0.0) for n in places.values()}

    def take(figures: tuple[Figure, ...], name: str) -> Fields:
        n = places.get(name)
        if n is None or not held[name]:
            return {"text": ("", ""), "value": 0.0}
        return {"text": _some(figures[n].text), "value": min(figures[n].value or 0.0, most[n] or 0.0)}

    def line_fields(line: LedgerLine) -> Fields:
        return {
            "today": words(line.today, 120),
            "then": take(line.figures, "share then"),
            "now": take(line.figures, "share now"),
            "weigh": take(line.figures, "weight")["text"],
            "place": line.place,
            "gone": line.tone == "old" and take(line.figures, "share now")["value"] == 0,
            "mark": words(line.mark),
            "why": words(line.why, 160) if line.why else None,
            "swatch": line.swatch,
            "viewers": words(line.viewers, 40) if line.viewers else None,
        }

    def entry_fields(entry: LedgerEntry) -> Fields:
        first = entry.lines[0]
        said = printed(entry.brief or entry.printed) if entry.in_book else words(first.change or entry.printed, 120)
        return {"printed": said, "in_book": entry.in_book, "signs": entry.signs, "lines": [line_fields(n) for n in entry.lines]}

    def head(name: str) -> str:
        n = places.get(name)
        return words(ledger.figure_heads[n].short or ledger.figure_heads[n].words) if n is not None else ""

    full = [words(f"{note.sign} {note.text}", 400) for note in ledger.footnotes]
    brief = [words(note, 300) for note in ledger.brief_notes]
    foot = [words(ledger.foot, 300)] if ledger.foot and not brief else []
    return {
        **_heading(ledger.title, ledger.source),
        "has_now": held.get("share now", False),
        "has_weight": held.get("weight", False),
        "entries": [entry_fields(entry) for entry in ledger.entries],
        "totals": [_some(ledger.totals[places[name]].text) if name in places else ("", "") for name in _HOLDS],
        "heads": {
            "printed": words(ledger.printed_head.short or ledger.printed_head.words),
            "today": words(ledger.today_head.short or ledger.today_head.words),
            "both": words(ledger.both_head),
            "then": head("share then"),
            "now": head("share now"),
            "weigh": head("weight"),
            "instead": words(ledger.instead_words),
            "total": words(ledger.total_words),
        },
        "feet": [[*full, *brief, *foot], [*brief, *foot], (brief or foot)[:1]],
    }


# -- drawings of figures ------------------------------------------------------------------------------------------------------


def _length(length: Length) -> Fields:
    value = length.value
    return {
        "words": words(length.words),
        "value": None if value is None else (value.low, value.best, value.high),
    }


def _bars(bars: Bars) -> Fields:
    if not bars.rows:
        raise BadValue(f"{bars.title}: there is nothing to draw")
    rows = [
        {"name": words(row.name), "bold": row.bold, "full": row.full, "lengths": [_length(n) for n in row.lengths]}
        for row in bars.rows
    ]
    return {**_heading(bars.title, bars.subtitle, bars.foot), "legend": [words(entry) for entry in bars.legend], "rows": rows}


def _periods(periods: Periods) -> Fields:
    made = [
        {
            "name": words(p.name),
            "count": words(p.count),
            "words": words(p.words),
            "little": p.little,
            "lengths": [{"words": words(n.words), "value": n.value.best if n.value else None} for n in p.lengths],
        }
        for p in periods.periods
    ]
    names = [words(name) for name in periods.names]
    return {**_heading(periods.title, periods.subtitle, periods.foot), "names": names, "periods": made}


def _ranges(ranges: Ranges) -> Fields:
    rows = []
    for row in ranges.rows:
        low, high = row.value.low / row.value.best - 1, row.value.high / row.value.best - 1
        offs = tuple(_percent(off) if abs(off) > 5e-4 else "" for off in (low, high))
        rows.append({"name": words(row.name), "words": words(row.words), "low": low, "high": high, "offs": offs})
    return {
        **_heading(ranges.title, ranges.subtitle, ranges.foot),
        "rows": rows,
        "best": words(ranges.best_head),
        "nothing": words(ranges.nothing),
    }


def _percent(off: float) -> str:
    return f"{'−' if off < 0 else '+'}{100 * abs(off):.{0 if abs(off) > 0.0095 else 1}f} %"


def _strip(strip: Strip) -> Fields:
    if not strip.rows or not strip.columns:
        raise BadValue(f"{strip.title}: there is nothing to draw")
    groups = ["", *(row.group for row in strip.rows)]
    heads = [group if group != before else "" for before, group in pairwise(groups)]
    rows = [
        {"name": words(row.name), "head": words(head), "cells": [{"text": _some(c.text), "value": c.value} for c in row.cells]}
        for head, row in zip(heads, strip.rows, strict=True)
    ]
    columns = [words(column, 60) for column in strip.columns]
    return {**_heading(strip.title, strip.subtitle, strip.foot), "columns": columns, "rows": rows, "swatches": strip.swatches}


# -- lists and cards ------------------------------------------------------------------------------------------------------------


def _listing(listing: Listing) -> Fields:
    if not listing.entries:
        raise BadValue(f"{listing.title}: there is nothing on this list to draw")
    rows = [{"words": words(e.words), "figure": parted(words(e.figure)), "more": words(e.more)} for e in listing.entries]
    return {**_heading(listing.title, listing.subtitle, listing.foot), "rows": rows, "numbered": listing.numbered}


def _card(card: Card) -> Fields:
    rows = [
        {"label": words(e.label), "text": printed(e.text, 900), "tone": e.tone, "bold": e.bold, "signs": e.signs}
        for e in card.entries
    ]
    used = {sign for entry in card.entries for sign in entry.signs}
    notes = [words(f"{note.sign} {note.text}") for note in card.footnotes if note.sign in used]
    return {**_heading(card.title, card.subtitle), "rows": rows, "foot": notes}


def _warned(card: Warned) -> Fields:
    return {
        **_heading(card.title, card.source),
        "printed": printed(card.printed),
        "today": words(card.today),
        "mark": words(card.mark),
        "share": {"text": words(card.share.text), "value": card.share.value or 0.0} if card.share else None,
        "harm": [words(sentence, 360) for sentence in card.harm],
        "law": [words(sentence, 200) for sentence in card.law],
    }


def _swapped(card: Swapped) -> Fields:
    def stand_in(entry: StandIn) -> Fields:
        share = {"text": _some(entry.share.text), "value": entry.share.value or 0.0}
        return {"name": words(entry.name), "ratio": words(entry.ratio), "weigh": words(entry.weigh), "share": share}

    return {
        **_heading(card.title, card.source),
        "printed": printed(card.printed),
        "went": words(card.went),
        "mark": words(card.mark),
        "share": {"text": _some(card.share.text), "value": card.share.value or 0.0},
        "stand_ins": [stand_in(entry) for entry in card.stand_ins],
        "why": words(card.why, 300),
    }


def _step(card: StepCard) -> Fields:
    return {
        **_heading(card.title),
        "number": str(card.number),
        "of": str(card.of),
        "step": words(card.words, 200),
        "figure": words(card.figure),
        "more": words(card.more, 300),
    }


def _pan(plan: PanPlan) -> Fields:
    return {
        **_heading(plan.title, plan.source, plan.foot),
        "wide": plan.width_mm,
        "long": plan.length_mm,
        "deep": plan.depth_mm,
        "count": plan.count,
        "fill": plan.fill,
        "swatch": plan.swatch,
        "facts": [(words(label), words(value)) for label, value in plan.facts],
    }


def _plaque(plaque: Plaque) -> Fields:
    return {
        **_heading(plaque.words),
        "more": printed(plaque.more, 200) if plaque.more else [],
        "source": printed(plaque.source, 240) if plaque.source else [],
        "kind": plaque.kind,
        "lines": [words(entry, 200) for entry in plaque.lines],
    }


_MADE: Mapping[type, Any] = {
    Ledger: ("ledger", _ledger),
    Bars: ("bars", _bars),
    Periods: ("periods", _periods),
    Ranges: ("ranges", _ranges),
    Strip: ("strip", _strip),
    Listing: ("listing", _listing),
    Card: ("card", _card),
    Warned: ("warned", _warned),
    Swapped: ("swapped", _swapped),
    StepCard: ("step", _step),
    PanPlan: ("pan", _pan),
    Plaque: ("plaque", _plaque),
}
