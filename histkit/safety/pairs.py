"""What explodes, catches fire, poisons or spoils together, by `pairs.csv`."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from functools import cache
from typing import NamedTuple

from histkit.base.bibliography import cited, sourced
from histkit.glossary.nouns import Ingredient
from histkit.safety.evidence import Finding, Level
from histkit.safety.within import within

_LEVELS: dict[str, Level] = {"refuse": "refuse", "warn": "warn", "note": "note"}


class _Pair(NamedTuple):
    first: str
    second: str
    level: Level
    dry: bool
    """Whether it holds of dry mixtures alone: in water nothing burns."""
    what: str
    source: str


@cache
def _members() -> dict[tuple[str, str], frozenset[str]]:
    """(id or kind, its value) → groups."""
    groups: dict[tuple[str, str], set[str]] = {}
    for row in sourced("safety/pair_groups"):
        groups.setdefault((row["match"], row["value"]), set()).add(row["group"])
    return {key: frozenset(names) for key, names in groups.items()}


@cache
def _pairs() -> tuple[_Pair, ...]:
    return tuple(
        _Pair(row["first"], row["second"], _LEVELS[row["level"]], row["where"] == "dry", row["what"], cited(row, mark=True))
        for row in sourced("safety/pairs")
    )


def groups_of(ingredient: Ingredient) -> frozenset[str]:
    """The groups that an ingredient belongs to, itself or by what it is made of."""
    members = _members()
    return frozenset[str]().union(
        *(members.get(("id", i.id), frozenset()) | members.get(("kind", i.kind), frozenset()) for i in within(ingredient))
    )


def is_watery(parts: Iterable[tuple[Ingredient, float]]) -> bool:
    """Whether at least half of it is water."""
    return sum(share for ingredient, share in parts if ingredient.kind == "water") >= 0.5


def pair_findings(ingredients: Iterable[Ingredient], watery: bool = False) -> Iterator[Finding]:
    """Every pair of different ingredients that must not, or had better not, come together; in water what burns dry does not."""
    groups = {ingredient: groups_of(ingredient) for ingredient in ingredients}
    for pair in _pairs():
        if pair.dry and watery:
            continue
        first = [i for i, names in groups.items() if pair.first in names]
        second = [i for i, names in groups.items() if pair.second in names]
        both = {*first, *second}
        if not first or not second or len(both) < 2:
            continue
        others = [i for i in second if i not in first] or second
        one, other = _listed(first), _listed(others)
        text = f"{one} with {other}: {pair.what}" if pair.first != pair.second else f"{_listed(first)} together: {pair.what}"
        yield Finding(pair.level, "pair", f"{text} ({pair.source}).", tuple(dict.fromkeys(i.id for i in (*first, *others))))


def _listed(ingredients: Iterable[Ingredient]) -> str:
    return " or ".join(i.name for i in ingredients)
