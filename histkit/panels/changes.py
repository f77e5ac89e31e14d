"""What a maker does to a line or an ingredient, each as a change from one record to the next. No widgets here."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from histkit import glossary
from histkit.base.errors import BadValue, HistkitError
from histkit.base.nouns import Amount, amount_text
from histkit.composing.substitution import Suggestion
from histkit.glossary.nouns import CAUTION_LEVELS, Ingredient
from histkit.keeping.records import Correction, Record, Replacement
from histkit.reading.cleaning import clean
from histkit.reading.figures import amount_at, scanned
from histkit.reading.formula import Line
from histkit.reading.tokens import tokenise

LEAVE_OUT = "leave out"
"""The name of the option that puts nothing in an ingredient's place."""
_SENTENCE = re.compile(r"(?<=[.;])\s")


# -- lines --------------------------------------------------------------------------------------------------------------


def lines_of(record: Record) -> tuple[Line, ...]:
    """The lines of the formula; none where nothing can be read in its text."""
    try:
        return record.formula().lines
    except HistkitError:
        return ()


def amount_of(words: str) -> Amount:
    """The amount a maker typed, read as the reader reads it: '2', '0.5', '½', '1 1/2', 'two', '5 to 8'; None for nothing.

    Raises:
        BadValue: the words are no amount, or hold more than one.
    """
    view = scanned(tokenise(clean(words).text))
    start = view.solid[0]
    if start >= len(view.tokens):
        return None
    amount = amount_at(view, start)
    if amount is None or view.solid[amount.after] < len(view.tokens):
        raise BadValue(f"{words!r} is no amount: write 2, 0.5, ½, 1 1/2 or 5 to 8, without the unit")
    return amount.amount


def correction_of(record: Record, index: int) -> Correction:
    """What the maker put right in one line; an empty correction where nothing was."""
    return next((c for c in record.corrections if c.line == index), Correction(index))


def corrected(record: Record, index: int, **parts: Any) -> Record:
    """The record with more of one line put right; a part of None goes back to what was read.

    Raises:
        BadValue: an amount or unit that makes no sense.
    """
    changed = replace(correction_of(record, index), **parts)
    others = [c for c in record.corrections if c.line != index]
    kept = others if changed == Correction(index) else [*others, changed]
    return replace(record, corrections=tuple(sorted(kept, key=lambda c: c.line)))


def put_right(record: Record, index: int, values: Mapping[str, str]) -> Record:
    """The record with the amount, unit, name or meaning (an id of the glossary) of a line put right, as typed.

    What equals the print, and what was emptied, is no correction. A line that was set aside is taken in again.

    Raises:
        BadValue: an amount or unit that makes no sense; the text has changed and the line is gone.
    """
    printed = lines_of(replace(record, corrections=()))
    if not 0 <= index < len(printed):
        raise BadValue("the text has changed and this line is no longer there")
    line = printed[index]
    parts: dict[str, Any] = {"leave_out": False, "joins_above": False}
    if "amount" in values:
        amount = amount_of(values["amount"])
        parts["amount"] = None if amount_text(amount) == amount_text(line.amount) and not line.plus else amount
    if "unit" in values:
        parts["unit"] = None if values["unit"] == line.unit else values["unit"] or None
    name = glossary.name_of(values["meaning"]) if values.get("meaning") else values.get("name")
    if name is not None:
        parts["ingredient"] = None if name.strip() == line.full_name else name.strip() or None
    return corrected(record, index, **parts)


def set_aside(record: Record, index: int, *, joins_above: bool = False) -> Record:
    """The record in which a line is no ingredient, or only goes on with the line above it.

    Raises BadValue where there is no line above.
    """
    if joins_above and index == 0:
        raise BadValue("there is no line above the first")
    empty: dict[str, Any] = {"amount": None, "unit": None, "ingredient": None}
    return corrected(record, index, **empty, leave_out=not joins_above, joins_above=joins_above)


def as_printed(record: Record, index: int) -> Record:
    """The record in which a line is read as it is printed."""
    return corrected(record, index, amount=None, unit=None, ingredient=None, leave_out=False, joins_above=False)


# -- ingredients --------------------------------------------------------------------------------------------------------


def without(record: Record, key: str) -> Record:
    """The record with every replacement but that of `key`."""
    return replace(record, replacements=tuple(r for r in record.replacements if r.removed != key))


def kept_choice(record: Record, key: str) -> Replacement | None:
    """What was chosen for this ingredient."""
    return next((r for r in record.replacements if r.removed == key), None)


def with_choice(record: Record, replacement: Replacement) -> Record:
    """The record with a stand-in. Raises a HistkitError where nothing can be made with it."""
    base = without(record, replacement.removed)
    new = replace(base, replacements=(*base.replacements, replacement))
    new.composition()  # what cannot be made is told here, and not kept
    return new


def choice_for(entry: Ingredient, suggestion: Suggestion | None, reason: str) -> Replacement:
    """A suggestion (None: it is left out) as a choice; without a reason of the maker's own the gravest caution is the reason."""
    parts = suggestion.parts if suggestion else ()
    return Replacement(entry.id, parts, reason.strip() or why_of(entry), suggestion.option if suggestion else LEAVE_OUT)


def why_of(entry: Ingredient) -> str:
    """Why an ingredient is replaced where nobody said so: the first sentence of its gravest caution; '' where it has none."""
    grave = sorted(entry.cautions, key=lambda c: CAUTION_LEVELS.index(c.level))
    return _SENTENCE.split(grave[0].text)[0].rstrip(".;") if grave else ""


def chosen_grams(replacement: Replacement) -> str:
    """The same with its grams, as a sentence."""
    parts = ", ".join(f"{grams:.3g} g {glossary.name_of(part)}" for part, grams in replacement.parts)
    return f"For each gram: {parts}." if parts else "It is left out; the rest keeps its proportions."
