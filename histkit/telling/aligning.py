"""Formulas side by side, line by line: what stands beside what, what makes up for what, and the tables of it."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations
from typing import TYPE_CHECKING

from histkit.base.descriptions import Figure, Spoken
from histkit.base.filmed import Strip, StripRow
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell, listed
from histkit.composing.likeness import DELTA, LIMIT
from histkit.glossary.nouns import Ingredient
from histkit.safety.within import forbidden_within
from histkit.telling.listed import ListedName, ordinal

if TYPE_CHECKING:
    from histkit.telling.versions import Version, Versions

NOTICED = 0.01
"""By how much of the mass an ingredient that both have must differ to make up for another. Own judgement."""
NOTHING_KNOWN = "not identified"
_BY_PLACE = 1e-9


@dataclass(frozen=True, slots=True)
class VersionRow:
    """One ingredient in all formulas. `shares` are None where a list names it without an amount; `listed` says where there."""

    ingredient: Ingredient
    role: str
    """What it chiefly does."""
    shares: tuple[float | None, ...]
    listed: tuple[ListedName | None, ...]

    def held(self, place: int) -> bool:
        """Whether the formula at that place has it, be it by a share or by name alone."""
        share = self.shares[place]
        return share is None or share > 0


@dataclass(frozen=True, slots=True)
class Exchange:
    """What one formula has for a work and the other has for it instead: (ingredient, by how much its share of the mass differs).

    `come` may be empty: then nothing makes up for it.
    """

    role: str
    gone: tuple[tuple[Ingredient, float], ...]
    come: tuple[tuple[Ingredient, float], ...]


# -- what stands beside what ----------------------------------------------------------------------------------------------------


def chief_role(entry: Ingredient) -> str:
    """What an ingredient chiefly does; that it is not identified where the glossary says nothing of it."""
    return next((r.role for r in entry.roles if r.main), entry.roles[0].role if entry.roles else NOTHING_KNOWN)


def aligned(versions: Sequence[Version]) -> tuple[VersionRow, ...]:
    """The ingredients of all, what does the same together; works and ingredients by their greatest share.

    A name on a label that may mean several things is taken for the one that another formula holds.
    """
    weighed = {p.ingredient.id: p.ingredient for v in versions if v.composition is not None for p in v.composition.parts}
    listed: list[dict[str, ListedName]] = []
    entries = dict(weighed)
    for v in versions:
        names: dict[str, ListedName] = {}
        for entry in v.listed.entries if v.listed is not None else ():
            meant = next((c for c in entry.candidates if c.id in weighed), entry.ingredient)
            entries.setdefault(meant.id, meant)
            names.setdefault(meant.id, entry)
        listed.append(names)
    rows = [_row(entry, versions, listed) for entry in entries.values()]
    order = {role: _most(row for row in rows if row.role == role) for role in dict.fromkeys(row.role for row in rows)}
    return tuple(sorted(rows, key=lambda row: (-order[row.role], row.role, -_most([row]), row.ingredient.name)))


def _row(entry: Ingredient, versions: Sequence[Version], listed: Sequence[dict[str, ListedName]]) -> VersionRow:
    places = tuple(names.get(entry.id) for names in listed)
    shares = tuple(None if place is not None else v.shares.get(entry.id, 0.0) for v, place in zip(versions, places, strict=True))
    return VersionRow(entry, chief_role(entry), shares, places)


def _most(rows: Sequence[VersionRow] | Iterator[VersionRow]) -> float:
    """The greatest share; where there are lists alone, less than any share, by the place in them."""
    found = list(rows)
    shares = [share or 0.0 for row in found for share in row.shares]
    places = [_BY_PLACE / entry.place for row in found for entry in row.listed if entry is not None and entry.place is not None]
    return max((*shares, *places), default=0.0)


# -- what makes up for what -----------------------------------------------------------------------------------------------------


def exchanges(rows: Sequence[VersionRow], one: int, other: int) -> tuple[Exchange, ...]:
    """Work by work: what `one` has and `other` lacks, with what `other` has more of for that work. What comes for no such
    loss is told last, each work with nothing gone."""
    out = []
    told: set[str] = set()
    roles = tuple(dict.fromkeys(row.role for row in rows))
    for role in roles:
        gone = tuple(_moved(row, other, one) for row in rows if row.role == role and row.held(one) and not row.held(other))
        if gone:
            come = tuple(_moved(row, one, other) for row in rows if _does(row, role) and _grown(row, one, other))
            told.update(entry.id for entry, _ in come)
            out.append(Exchange(role, gone, _most_first(come)))
    for role in roles:
        new = [row for row in rows if row.role == role and row.held(other) and not row.held(one)]
        come = tuple(_moved(row, one, other) for row in new if row.ingredient.id not in told)
        if come:
            out.append(Exchange(role, (), _most_first(come)))
    return tuple(out)


def _most_first(come: tuple[tuple[Ingredient, float], ...]) -> tuple[tuple[Ingredient, float], ...]:
    return tuple(sorted(come, key=lambda pair: -pair[1]))


def _does(row: VersionRow, role: str) -> bool:
    return row.role == role or any(r.main and r.role == role for r in row.ingredient.roles)


def _grown(row: VersionRow, one: int, other: int) -> bool:
    if row.held(other) and not row.held(one):
        return True
    return _moved(row, one, other)[1] >= NOTICED


def _moved(row: VersionRow, one: int, other: int) -> tuple[Ingredient, float]:
    """An ingredient, and how much more of it the other has; a list says nothing of how much, which counts as nought."""
    first, second = row.shares[one], row.shares[other]
    return row.ingredient, 0.0 if first is None or second is None else second - first


# -- as tables ------------------------------------------------------------------------------------------------------------------


def grid(side: Versions) -> Grid:
    """The shares, with all that is to be said of them below."""
    columns = [Column("ingredient", "Ingredient"), Column("does", "What it does")]
    columns += [Column(f"formula_{n}", v.name, 1) for n, v in enumerate(side.versions, start=1)]
    mean = side.mean if side.alike else None
    if mean is not None:
        columns.append(Column("mean", "Their mean", 1))
    rows: list[tuple[Cell, ...]] = []
    for row in side.rows:
        beside = zip(row.shares, row.listed, side.versions, strict=True)
        figures: list[Cell] = [_figure(share, entry, v) for share, entry, v in beside]
        if mean is not None:
            figures.append(_percent(mean.share(row.ingredient)))
        rows.append((row.ingredient.name, row.role, *figures))
    return Grid(tuple(columns), tuple(rows), "Side by side, per cent of the mass", tuple(notes(side)))


def _figure(share: float | None, entry: ListedName | None, version: Version) -> Cell:
    if share is not None:
        return _percent(share)
    return version.listed.place_words(entry) if version.listed is not None and entry is not None else "in it"


def _percent(share: float) -> Cell:
    """A share in per cent; None for nought, and words for what is too little to print."""
    if share <= 0:
        return None
    return 100 * share if share >= 0.0005 else "under 0.1"


def notes(side: Versions) -> Iterator[str]:
    """What must not be used, what all share, what only one has, how the figures came about."""
    yield from barred(side)
    core = side.core
    if core:
        held = [f"{_words(sum(v.shares.get(i.id, 0.0) for i in core))} of {v.name}" for v in side.measured]
        yield f"All of them hold {listed(i.name for i in core)}{f': {listed(held)}' if held else ''}."
    else:
        yield "No ingredient is in all of them."
    for place, v in enumerate(side.versions):
        if only := side.only(place):
            yield f"Only {v.name} has {listed(i.name for i in only)}."
    pressed = [v.name for v in side.versions if v.form == "pressed"]
    if pressed:
        yield f"Pressed, with its binders counted: {listed(pressed)}."
    for v in side.versions:
        if v.composition is not None and v.composition.omitted:
            yield f"{v.name}: without an amount, so not counted: {', '.join(v.composition.omitted)}."
        if v.listed is not None:
            yield from (f"{v.name}: {note}" for note in v.listed.notes())
    if side.alike:
        yield "The mean is the geometric one of their shares, closed to 100 %."


def barred(side: Versions) -> Iterator[str]:
    """What of it must not be used, and where it is; old receipts and shop tins alike show what was done, not what may be done."""
    for row in side.rows:
        if forbidden_within(row.ingredient):
            holding = listed(v.name for n, v in enumerate(side.versions) if row.held(n))
            yield f"{row.ingredient.name} must not be used: it is in {holding}. Replace it before you make anything of this."


def exchange_grid(side: Versions) -> Grid:
    """What makes up for what: the first formula beside each of the others."""
    columns = (
        Column("beside", "Beside"),
        Column("does", "What it does"),
        Column("gone", f"{side.names[0]} has"),
        Column("come", "The other has instead, or more of"),
    )
    rows: list[tuple[Cell, ...]] = []
    for place, v in enumerate(side.versions[1:], start=1):
        for each in side.makes_up(0, place):
            gone = ", ".join(_with_share(side, entry, 0) for entry, _ in each.gone) or "–"
            come = ", ".join(_with_share(side, entry, place) for entry, _ in each.come) or _no_more(side, each.role, place)
            rows.append((v.name, each.role, gone, come))
    return Grid(columns, tuple(rows), "What makes up for what")


def _no_more(side: Versions, role: str, place: int) -> str:
    """'nothing', or what the other has for that work as well, where it has nothing else for it."""
    same = [row.ingredient for row in side.rows if _does(row, role) and row.held(place) and row.held(0)]
    return f"nothing more than {listed(_with_share(side, entry, place) for entry in same)}" if same else "nothing"


def _with_share(side: Versions, entry: Ingredient, place: int) -> str:
    share = side.at(place).shares.get(entry.id)
    words = entry.name if share is None else f"{entry.name} {_words(share)}"
    return f"{words} (must not be used)" if forbidden_within(entry) else words


def distance_grid(side: Versions) -> Grid:
    """Each from each, the nearest pair first."""
    places = [n for n, v in enumerate(side.versions) if v.composition is not None]
    pairs = [(side.distance(a, b), side.names[a], side.names[b]) for a, b in combinations(places, 2)]
    columns = (Column("one", "Of"), Column("other", "And"), Column("distance", "Distance", 2))
    note = (
        "Aitchison distance: 0 for the same powder whatever its size; it counts by how many times shares differ, so a little of "
        f"something that the other lacks counts much. Shares under {100 * LIMIT:g} % count as nought and nought as "
        f"{100 * DELTA:g} % (Martín-Fernández, Barceló-Vidal and Pawlowsky-Glahn, Mathematical Geology 35, 2003)."
    )
    return Grid(columns, tuple((a, b, d) for d, a, b in sorted(pairs)), "How far apart they are", (note,))


def grid_of_one(version: Version) -> Grid:
    """One formula by itself."""
    if version.listed is not None:
        return version.listed._grid()
    assert version.composition is not None  # it is the one or the other
    own = version.composition._grid()
    return Grid(own.columns, own.rows, version.name, own.notes)


def cells(side: Versions) -> Iterator[tuple[Cell, ...]]:
    """The rows of a CSV file: ids and names, what each does, per cent with all digits; lists as their places."""
    yield ("ingredient", "name", "does", *side.names)
    for row in side.rows:
        figures = [
            100 * share if share is not None else _figure(share, entry, v)
            for share, entry, v in zip(row.shares, row.listed, side.versions, strict=True)
        ]
        yield (row.ingredient.id, row.ingredient.name, row.role, *figures)


# -- as a drawing ---------------------------------------------------------------------------------------------------------------


def strips(side: Versions) -> Strip:
    """A strip for each ingredient, a field in it for each formula."""
    rows = []
    for row in side.rows:
        fields = tuple(_field(share, entry, v) for share, entry, v in zip(row.shares, row.listed, side.versions, strict=True))
        rows.append(StripRow(row.ingredient.name, fields, row.role))
    core = f" All hold {listed(i.name for i in side.core)}." if side.core else ""
    lines = tuple(
        f"{strip.name} ({strip.group}): "
        + "; ".join(f"{name} {_spoken(field)}" for name, field in zip(side.names, strip.cells, strict=True))
        + "."
        for strip in rows
    )
    bars = [row.ingredient.name for row in side.rows if forbidden_within(row.ingredient)]
    core += f" Must not be used: {listed(bars)}." if bars else ""
    spoken = Spoken(f"Side by side: {', '.join(side.names)}", lines=lines)
    return Strip("Side by side", side.names, tuple(rows), foot=f"Per cent of the mass.{core}", spoken=spoken)


def _field(share: float | None, entry: ListedName | None, version: Version) -> Figure:
    if share is None:
        if entry is not None and entry.perhaps:
            return Figure("perhaps")
        place = entry.place if entry is not None else None
        return Figure(ordinal(place) if place else "in it")
    printed = _percent(share)
    words = "–" if printed is None else printed if isinstance(printed, str) else f"{printed:.1f}"
    return Figure(words, 100 * share)


def _spoken(field: Figure) -> str:
    if field.value is None:
        return field.text
    return f"{field.text} %" if field.value > 0 else "none"


def _words(share: float) -> str:
    return f"{100 * share:.1f} %" if share >= 0.0005 else "under 0.1 %"
