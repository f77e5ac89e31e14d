"""What scents: which ingredients of a powder, what old perfume bases are made of, and what of them flies off first.

A scented oil is told by its constituents (`glossary/constituents.csv`) and each of these by its vapour pressure at 25 °C
(`vapour_pressures.csv`, most of them worked out from published coefficients; what is from memory says so). Where the line between
top, heart and base lies is a matter of taste: `scent_notes.csv` says where it is drawn here.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from histkit import glossary
from histkit.base import tables
from histkit.base.bibliography import cited, sourced
from histkit.base.errors import BadValue
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.nouns import Ingredient
from histkit.safety.constituents import taken_apart
from histkit.safety.law import cas_numbers

UNTOLD = "not known"
"""The note of what no table tells of."""
NO_SCENT = "none"
"""The note of spirit, water and fat, which only carry a scent."""
_DEEPEST = 10
"""Bases within bases; more can only be a circle."""


@dataclass(frozen=True, slots=True)
class Pressure:
    """The vapour pressure of a substance at 25 °C in pascals, how it was come by ("within the range" of published coefficients,
    "below the range", "reported" by somebody, "recalled") and where from."""

    cas: str
    name: str
    pascal: float
    way: str
    source: str


@cache
def pressures() -> dict[str, Pressure]:
    """Vapour pressures by CAS number."""
    return {
        row["cas"]: Pressure(row["cas"], row["name"], float(row["pascal"]), row["way"], cited(row, mark=True))
        for row in sourced("composing/vapour_pressures")
    }


@dataclass(frozen=True, slots=True)
class Note:
    """A third of a scent: its name and words, the vapour pressure (Pa) from which on a substance belongs to it, when to smell."""

    name: str
    words: str
    least_pascal: float
    smell_after: str


@cache
def notes() -> tuple[Note, ...]:
    """Top, heart and base, the most volatile first."""
    rows = (Note(r["note"], r["words"], float(r["least_pascal"]), r["smell_after"]) for r in sourced("composing/scent_notes"))
    return tuple(sorted(rows, key=lambda note: -note.least_pascal))


def note_of(pascal: float) -> str:
    """The note that a substance of this vapour pressure (Pa at 25 °C) belongs to.

    Raises:
        BadValue: the pressure is none.
    """
    if not (math.isfinite(pascal) and pascal >= 0):
        raise BadValue(f"a vapour pressure is a number of pascals, 0 or more, not {pascal!r}")
    return next(note.name for note in notes() if pascal >= note.least_pascal)


def volatility(entry: Ingredient) -> dict[str, float]:
    """Note → the share of an ingredient (0–1, adding to 1) that belongs to it, by the middle of what its constituents are.

    What is not told by any table is `UNTOLD`, what only carries a scent `NO_SCENT`. Old bases and tinctures are taken apart.
    """
    out: dict[str, float] = {}
    for part, share in apart([(entry, 1.0)]):
        for note, of_it in _of_one(part).items():
            out[note] = out.get(note, 0.0) + share * of_it
    return out


@cache
def _told() -> dict[str, tuple[str, float]]:
    """Ingredients that are told as a whole: their note, and what share of their mass it is that scents."""
    rows = (row for row in sourced("composing/scent_materials") if row["of"] == "whole")
    return {row["ingredient"]: (row["note"], float(row["share"])) for row in rows}


@cache
def _rests() -> dict[str, str]:
    """Oils of which the note of what their known constituents leave is known all the same."""
    return {row["ingredient"]: row["note"] for row in sourced("composing/scent_materials") if row["of"] == "rest"}


@follows_the_tables
@cache
def _constituents() -> dict[str, list[tables.Row]]:
    """The rows of the glossary's constituents whose share is known, by ingredient."""
    rows: dict[str, list[tables.Row]] = {}
    for row in glossary.rows("constituents"):
        if row["high"]:
            rows.setdefault(row["ingredient"], []).append(row)
    return rows


def _of_one(entry: Ingredient) -> dict[str, float]:
    if entry.id in _told():
        note, share = _told()[entry.id]
        return {note: share, NO_SCENT: 1 - share} if share < 1 else {note: 1.0}
    for cas in cas_numbers(entry.cas):
        if cas in pressures():
            return {note_of(pressures()[cas].pascal): 1.0}
    out: dict[str, float] = {}
    for row in _constituents().get(entry.id, ()):
        middle = (float(row["low"] or row["high"]) + float(row["high"])) / 200
        known = next((pressures()[cas] for cas in tables.words(row, "cas") if cas in pressures()), None)
        note = UNTOLD if known is None else note_of(known.pascal)
        out[note] = out.get(note, 0.0) + middle
    total = math.fsum(out.values())
    if total < 1:
        rest = _rests().get(entry.id, UNTOLD)
        out[rest] = out.get(rest, 0.0) + 1 - total
        return out
    return {note: share / total for note, share in out.items()}


# -- which ingredients scent ------------------------------------------------------------------------------------------------


def is_scent(entry: Ingredient) -> bool:
    """Whether an ingredient is put in for its scent and weighed by drops or grams: oils, tinctures, extracts, musk.

    Ground roots, flowers and resins are part of the powder itself and do not count.
    """
    if entry.kind in ("essential-oil", "aroma-chemical"):
        return True
    scenting = any(role.main and role.role in ("fragrance", "fixative") for role in entry.roles)
    return scenting and any(
        entry.kind == row["kind"] and (not row["states"] or entry.state in tables.words(row, "states"))
        for row in sourced("composing/scent_kinds")
    )


# -- old bases --------------------------------------------------------------------------------------------------------------


@cache
def _bases() -> dict[str, tuple[tuple[str, float], ...]]:
    parts: dict[str, list[tuple[str, float]]] = {}
    for row in sourced("composing/old_bases"):
        parts.setdefault(row["base"], []).append((row["part"], float(row["share"])))
    totals = {base: math.fsum(share for _, share in of_it) for base, of_it in parts.items()}
    return {base: tuple((part, share / totals[base]) for part, share in of_it) for base, of_it in parts.items()}


def made_of(entry: Ingredient) -> tuple[tuple[str, float], ...]:
    """(ingredient id, share) of an old base by a perfumer's book, or of a preparation by the glossary; () where it is neither."""
    return _bases().get(entry.id, entry.made_of)


def source_of(entry: Ingredient) -> str:
    """Who says what an old base is made of; '' where nobody does."""
    row = next((r for r in sourced("composing/old_bases") if r["base"] == entry.id), None)
    if row is not None:
        return f"{cited(row)}{f': {about}' if (about := row['about']) else ''}"
    return "the glossary's composition" if entry.made_of else ""


def apart(parts: Iterable[tuple[Ingredient, float]]) -> tuple[tuple[Ingredient, float], ...]:
    """Old bases, tinctures and scented fats taken apart, however deep, into what can be bought; (ingredient, amount), added up.

    Amounts add up to what they were.

    Raises:
        BadValue: a base is made of itself.
    """
    return tuple(taken_apart(parts, _bought_apart, _DEEPEST).items())


def _bought_apart(entry: Ingredient, depth: int) -> tuple[tuple[str, float], ...]:
    """What is bought in the place of an ingredient that scents, or of a part of one."""
    return made_of(entry) if (is_scent(entry) or depth) and entry.id not in _told() else ()
