"""One's own formula beside the nearest of whole books."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from histkit import glossary
from histkit.base.errors import BadValue
from histkit.base.nouns import Source
from histkit.books.nearness import Neighbour, nearest
from histkit.books.shares import shares
from histkit.books.tables import Tables
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Ingredient
from histkit.safety.evidence import unidentified
from histkit.telling.versions import MOST, Version, Versions, version_of, versions


def nearest_versions(
    tables: Tables | str | Path, mine: Any, count: int = 3, kind: str | None = None, without_binders: bool = True
) -> Versions:
    """One's own formula (anything that `versions` takes, but for a list) with the `count` nearest of the books' tables.

    `without_binders` compares the powder of what is pressed, since no old book has today's binders.

    Raises:
        BadValue: `count` is not 1 to 7, no formula there has known weights, or one's own is a list without amounts.
        UnknownName: there is no such kind.
        TableError: the tables are missing or damaged.
    """
    if not 1 <= count < MOST:
        raise BadValue(f"1 to {MOST - 1} formulas of the books stand beside one's own, not {count}")
    own = version_of(mine, without_binders)
    if own.composition is None:
        raise BadValue("a list without amounts is near to nothing: give a formula whose weights are known")
    held = tables if isinstance(tables, Tables) else Tables(Path(tables))
    found = nearest(held, own.composition, count, kind).found
    if not found:
        raise BadValue("no formula of these books has known weights throughout, so none can be set beside yours")
    mixtures = _mixtures(held, found)
    beside = [Version("", mixtures[n.book, n.number]) for n in found]
    return versions([own, *beside], _each_once([own.name or "Mine", *map(_heading, found)]))


def _mixtures(tables: Tables, found: tuple[Neighbour, ...]) -> dict[tuple[str, int], Composition]:
    """The compositions of these formulas, by book and number."""
    wanted = {(n.book, n.number): n for n in found}
    out = {}
    for formula, lines in tables.of_kind(None):
        key = (formula.book, formula.number)
        parts = shares(lines).parts if key in wanted else None
        if parts is not None:
            source = Source(title=formula.book, year=formula.year, page="" if formula.page is None else f"p. {formula.page}")
            masses = [(_ingredient(part), share) for part, share in parts.items()]
            out[key] = Composition.of(masses, formula.title, source=source)
    return out


def _ingredient(part: str) -> Ingredient:
    return glossary.ingredients[part] if part in glossary.ingredients else unidentified(part.removeprefix("?"))


def _heading(n: Neighbour) -> str:
    where = ", ".join(filter(None, (n.book, str(n.year or ""), f"p. {n.page}" if n.page is not None else "")))
    return f"{n.title or 'Untitled'} ({where})"


def _each_once(headings: list[str]) -> list[str]:
    return [f"{h}, {headings[: n + 1].count(h)}" if headings[:n].count(h) else h for n, h in enumerate(headings)]
