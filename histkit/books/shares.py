"""The shares by mass of the ingredients of a formula in the tables, and the groups that ingredients are told in."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from histkit import glossary
from histkit.books.tables import LineCells

WAYS = ("role", "family", "ingredient")
"""The ways to group ingredients."""
_TO_TASTE = "q.s."
"""The unit of 'as much as suffices'."""


@dataclass(frozen=True, slots=True)
class Shares:
    """`parts` are the shares by ingredient id, adding to 1; None where they cannot be known.

    A line that the glossary does not know keeps its printed name, with a question mark before it. `incomplete` tells that a line
    is of unknown weight, `to_taste` that one is 'as much as suffices' and in no share; both are never told of one formula.
    """

    parts: dict[str, float] | None
    incomplete: bool
    to_taste: bool


def shares(lines: Iterable[LineCells]) -> Shares:
    """The shares of the ingredients on the lines of one formula."""
    grams: dict[str, float] = {}
    incomplete = to_taste = False
    for line in lines:
        if line.grams is None:
            incomplete = incomplete or line.unit != _TO_TASTE
            to_taste = to_taste or line.unit == _TO_TASTE
            continue
        part = line.ingredient or f"?{line.name}"
        grams[part] = grams.get(part, 0.0) + line.grams
    total = math.fsum(grams.values())
    if incomplete or not total > 0:
        return Shares(None, incomplete, to_taste and not incomplete)
    return Shares({part: weight / total for part, weight in grams.items() if weight > 0}, incomplete, to_taste)


def group_of(ingredient: str, by: str) -> str:
    """The group of an ingredient id: its chief role, its family (mineral, fixed oil …) or its name."""
    if ingredient not in glossary.ingredients:
        return "not identified"
    entry = glossary.ingredients[ingredient]
    if by == "ingredient":
        return entry.name
    if by == "family":
        return entry.kind.replace("-", " ")
    return next((r.role for r in entry.roles if r.main), entry.roles[0].role if entry.roles else "no role known")


def grouped(parts: dict[str, float], by: str) -> dict[str, float]:
    """Shares by group."""
    groups: dict[str, float] = {}
    for key, share in parts.items():
        group = group_of(key, by)
        groups[group] = groups.get(group, 0.0) + share
    return groups
