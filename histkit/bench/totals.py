"""What all binders of a cake come to together: those that were added, those that the powder held, two of a sort, none at all."""

from __future__ import annotations

import math
from collections.abc import Collection

from histkit.base import tables
from histkit.base.bibliography import sourced
from histkit.base.text import listed
from histkit.bench.levels import Level, judged, levels, range_words
from histkit.bench.soaps import soaps_formed
from histkit.composing.composition import Composition, Part, resolve

LEAST_BINDING = 0.005
"""Share of everything that binds below which a cake has no binder to speak of (own judgement)."""
USUAL_START = 0.04
"""Dry binder and oil each to begin with, as share of the cake: common practice for a face powder."""


def binder_totals(
    cake: Composition, sort: str | None = None, told: Collection[str] = (), wetted: bool = False
) -> tuple[str, ...]:
    """Warnings where the metal soaps or the oils of a cake are too much together, where alkali stays free beside a soap that
    forms in it, or where nothing in it binds.

    `sort` is the sort of cake whose published levels count; `told` are the ids of which it is said already that they lie outside
    their levels; a `wetted` cake may do without a binder.
    """
    soaps = soaps_formed(cake)
    out = [soap.warning() for soap in soaps]
    out += [_too_much(cake, row, sort, told) for row in sourced("bench/binder_groups")]
    out += [judged(resolve(s.judged_as), "liquid", s.share, sort)[1] for s in soaps if s.judged_as]
    out.append("" if wetted or any(soap.share >= LEAST_BINDING for soap in soaps) else _nothing_binds(cake))
    return tuple(filter(None, out))


def _too_much(cake: Composition, row: dict[str, str], sort: str | None, told: Collection[str]) -> str:
    members = [part for part in cake.parts if _belongs(part, row)]
    total = math.fsum(part.share for part in members)
    published = _levels(row, sort)
    most = max(level.high for level in published)
    if total <= most + 1e-9 or (len(members) == 1 and members[0].ingredient.id in told):
        return ""
    names = " and ".join(f"{part.ingredient.name} {100 * part.share:.3g} %" for part in members)
    highest = tuple(level for level in published if level.high == most)
    which = f" of a {sort}" if sort else ""
    return (
        f"All {row['words']} come to {100 * total:.3g} %{which} ({names}), more than the highest level known"
        f" ({range_words(highest[:1])}): {row['effect']}."
    )


def _belongs(part: Part, row: dict[str, str]) -> bool:
    entry = part.ingredient
    if entry.id in tables.words(row, "ingredients"):
        return True
    return entry.kind in tables.words(row, "kinds") and entry.state in tables.words(row, "states")


def _levels(row: dict[str, str], sort: str | None) -> tuple[Level, ...]:
    """The published levels of a group for this sort of cake; those of every cake where it has none."""
    wanted = set(tables.words(row, "levels"))

    def of(cake: str | None) -> tuple[Level, ...]:
        return tuple(level for level in levels(kind=row["kind"], cake=cake) if wanted & set(level.ingredients))

    narrow = tuple(level for level in of(sort) if sort is not None and sort in level.cake)
    return narrow or of(None)


def binds_already(cake: Composition, added: Collection[str]) -> tuple[str, ...]:
    """Notes of what the powder holds or makes that binds, beside the binders that are added (ids)."""
    held = [
        f"{part.ingredient.name} {100 * part.share:.3g} %"
        for part in cake.parts
        if part.ingredient.id not in added
        and part.share >= LEAST_BINDING
        and any(role.main and role.role == "binder" for role in part.ingredient.roles)
    ]
    words = f"The powder binds by itself with {listed(held)} of the cake: count it in when you choose the binder"
    return (*((words,) if held else ()), *(soap.note() for soap in soaps_formed(cake)))


def _nothing_binds(cake: Composition) -> str:
    named = {key for kind in ("dry", "liquid") for level in levels(kind=kind) for key in level.ingredients}
    groups = sourced("bench/binder_groups")
    binding = math.fsum(
        part.share
        for part in cake.parts
        if part.ingredient.id in named or part.ingredient.has_role("binder") or any(_belongs(part, row) for row in groups)
    )
    if binding >= LEAST_BINDING:
        return ""
    start = f"{100 * USUAL_START:.3g} %"
    return (
        f"Nothing in it binds: the cake will crumble. Begin with {start} of dry binder and {start} of oil (common practice), or"
        " press it wet with alcohol or water."
    )
