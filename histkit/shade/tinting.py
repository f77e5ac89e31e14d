"""A powder with colour extensions in it: pigment and base count as themselves, so that shares, law and label stay right."""

from __future__ import annotations

import math
from collections.abc import Iterable

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.base.text import listed
from histkit.bench.extension import Extension
from histkit.composing.composition import Composition, resolve
from histkit.glossary.nouns import Ingredient

MOST_OF_POWDER = 90.0
"""Per cent of a powder that an extension may be: above it hardly anything of the powder is left (own judgement)."""


def tinted(composition: Composition, taken: Iterable[tuple[Extension, float | None]]) -> Composition:
    """The composition with colour extensions, each with the per cent of the powder that it is; None: the powder's own pigment
    goes in as the extension.

    Pigment takes its room from everything in proportion. The base that comes along is left out of what the powder has of it;
    where it has less than that, the rest makes room for it too. The shares add to 1 as before.

    Raises BadValue for a share that is none, two extensions of one pigment, a pigment that the powder does not have (None), or a
    powder without room for so much base.
    """
    entries = list(taken)
    if not entries:
        return composition
    pigments = {e.pigment: e for e, _ in entries}
    if len(pigments) < len(entries):
        raise BadValue("each pigment goes into one colour extension, not two")
    shares = _with_pigments(composition, entries)
    wanted: dict[Ingredient, float] = {}
    for key, extension in pigments.items():
        if extension.base in pigments:
            raise BadValue(f"{extension.name}: its base is itself ground into an extension")
        base = resolve(extension.base)
        wanted[base] = wanted.get(base, 0.0) + shares[resolve(key)] * (1 - extension.share) / extension.share
    shares = _with_bases(shares, wanted, frozenset(map(resolve, pigments)))
    notes = {p.ingredient.id: p.note for p in composition.parts}
    for key, e in pigments.items():
        told = f"as a colour extension, {100 * e.share:g} % in {resolve(e.base).name}"
        notes[key] = "; ".join(filter(None, (notes.get(key, ""), told)))
    c = composition
    return Composition.of(shares, c.name, c.changes, c.omitted, c.source, notes, c.printed, c.declared)


def _with_pigments(composition: Composition, entries: list[tuple[Extension, float | None]]) -> dict[Ingredient, float]:
    """The shares with the pigments in, everything else less in proportion."""
    added: dict[Ingredient, float] = {}
    for extension, per_cent in entries:
        pigment = resolve(extension.pigment)
        if per_cent is None:
            if pigment not in composition:
                raise BadValue(f"there is no {pigment.name} in the powder: say how many per cent of it the extension is to be")
        elif not (is_number(per_cent) and 0 < per_cent <= MOST_OF_POWDER):
            raise BadValue(f"an extension is above 0 and at most {MOST_OF_POWDER:g} % of the powder, not {quoted(per_cent)}")
        added[pigment] = 0.0 if per_cent is None else per_cent / 100 * extension.share
    left = 1 - math.fsum(added.values())
    if left <= 0:
        raise BadValue("so much extension leaves no room for the powder: take less of it")
    shares = {p.ingredient: p.share * left for p in composition.parts}
    for pigment, share in added.items():
        shares[pigment] = shares.get(pigment, 0.0) + share
    return shares


def _with_bases(
    shares: dict[Ingredient, float], wanted: dict[Ingredient, float], pigments: frozenset[Ingredient]
) -> dict[Ingredient, float]:
    """The shares with so much of each base at least, all but the pigments making room for it."""
    short: dict[Ingredient, float] = {}
    while more := {base: share for base, share in wanted.items() if base not in short and share > shares.get(base, 0.0) + 1e-12}:
        short |= more
        fixed = math.fsum((*short.values(), *(shares[p] for p in pigments)))
        others = math.fsum(share for i, share in shares.items() if i not in short and i not in pigments)
        if fixed > 1 + 1e-12 or (others > 0 and fixed > 1 - 1e-9):
            names = listed([base.name for base in short])
            raise BadValue(f"the extensions need more {names} than there is room for: take less of them, or grind them stronger")
        factor = (1 - fixed) / others if others else 0.0
        shares = {i: share if i in pigments else short[i] if i in short else share * factor for i, share in shares.items()}
        shares |= short
    return shares


def of_powder(composition: Composition, extension: Extension) -> float:
    """Per cent of the powder that the extension is, once all of its pigment is weighed by it; 0 where there is none of that."""
    return 100 * composition.share(extension.pigment) / extension.share
