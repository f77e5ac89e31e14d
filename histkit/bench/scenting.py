"""A composition with another scent: weaker or stronger, one part less, something added by drops."""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping

from histkit.base.checking import positive
from histkit.base.errors import BadValue
from histkit.bench.scent import Fill, scent
from histkit.composing.composition import Composition
from histkit.composing.scents import is_scent
from histkit.glossary.nouns import Ingredient


def rescented(
    composition: Composition,
    strength: float = 1.0,
    changed: Mapping[str, float] | None = None,
    fill: Fill = "powder",
    added: Iterable[tuple[Ingredient | str, float, str]] = (),
    per_grams: float = 100.0,
    own_drops: Iterable[tuple[str, float]] = (),
) -> Composition:
    """The composition with its scent so many times as strong (0: unscented), parts of it (by id) so many times as much, and with
    further parts, as `scent` takes them, for `per_grams` of powder.

    Where less scent goes in the rest fills up in proportion, or the other parts of the scent do (`fill`); what is added comes on
    top. A part that is not in it is passed over.

    Raises:
        BadValue: a figure or unit makes no sense, or nothing but scent would be left. UnknownName: nobody knows what is added.
    """
    shares = {p.ingredient: p.share for p in composition.parts}
    scented = [i for i in shares if is_scent(i)]
    factors = {i.id: (changed or {})[i.id] for i in scented if i.id in (changed or {})}
    notes = {p.ingredient.id: p.note for p in composition.parts}
    if scented and strength == 0:
        left = math.fsum(share for i, share in shares.items() if i not in scented)
        if left <= 0:
            raise BadValue("all of it is scent: nothing would be left without it")
        shares = {i: 0.0 if i in scented else share / left for i, share in shares.items()}
    elif scented and (strength != 1 or factors):
        made = scent(composition, 1.0).scaled(strength)
        made = made.changed(factors, fill) if factors else made
        new = dict(made.rest) | {p.ingredient: p.grams.best for p in made.parts}
        notes |= {i.id: _told(notes.get(i.id, ""), new.get(i, 0.0) / shares[i]) for i in scented}
        shares = {i: new.get(i, 0.0) for i in shares}
    for part in scent(entries, per_grams, own_drops=own_drops).parts if (entries := list(added)) else ():
        shares[part.ingredient] = shares.get(part.ingredient, 0.0) + part.grams.best / positive(per_grams, "per_grams")
        notes[part.ingredient.id] = f"{part.said} added for {per_grams:g} g of powder"
    c = composition
    return Composition.of(shares, c.name, c.changes, c.omitted, c.source, notes, c.printed, c.declared)


def _told(note: str, times: float) -> str:
    if abs(times - 1) < 1e-9:
        return note
    words = f"{times:.3g} times as much as printed"
    return f"{note}; {words}" if note else words
