"""From the rows of the tables to ingredients: each is put together when somebody asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from histkit.base.errors import TableError
from histkit.glossary.additions import Row
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.nouns import Caution, Ingredient, Name, Property, Role, Stand
from histkit.glossary.tables import NameRow, names, names_in, rows


def load(where: Path | None = None) -> dict[str, Ingredient]:
    """All ingredients of a folder of tables, by id.

    Raises:
        TableError: a table is missing or a number is none; names the file, the row and the column.
    """
    groups = _Groups.of(where)
    return {row["id"]: groups.ingredient(row) for row in rows("ingredients", where)}


@dataclass(frozen=True, slots=True)
class _Groups:
    """The rows of each table that speak of one ingredient, by its id."""

    names: dict[str, list[NameRow]]
    roles: dict[str, list[Row]]
    properties: dict[str, list[Row]]
    cautions: dict[str, list[Row]]
    stands: dict[str, list[Row]]
    parts: dict[str, list[Row]]

    @classmethod
    def of(cls, where: Path | None) -> _Groups:
        names_of: dict[str, list[NameRow]] = {}
        for row in names() if where is None else names_in(where):
            names_of.setdefault(row.ingredient, []).append(row)
        return cls(
            names_of,
            _grouped("roles", "ingredient", where),
            _grouped("properties", "ingredient", where),
            _grouped("cautions", "ingredient", where),
            _grouped("substitutes", "ingredient", where),
            _grouped("compositions", "preparation", where),
        )

    def ingredient(self, row: Row) -> Ingredient:
        key = row["id"]
        return Ingredient(
            id=key,
            name=row["name"],
            inci=row["inci"],
            cas=row["cas"],
            formula=row["formula"],
            kind=row["kind"],
            state=row["state"],
            description=row["description"],
            source=row["source"],
            roles=tuple(Role(r["role"], r["strength"] == "main", r["source"]) for r in self.roles.get(key, ())),
            cautions=tuple(_caution(r) for r in self.cautions.get(key, ())),
            names=tuple(_name(r) for r in self.names.get(key, ())),
            properties=tuple(_property(r) for r in self.properties.get(key, ())),
            stands=_stands(self.stands.get(key, ())),
            made_of=tuple((r["ingredient"], _number("compositions", r, "share")) for r in self.parts.get(key, ())),
        )


def _grouped(name: str, key: str, where: Path | None) -> dict[str, list[Row]]:
    groups: dict[str, list[Row]] = {}
    for row in rows(name, where):
        groups.setdefault(row[key], []).append(row)
    return groups


def _number(table: str, row: Row, column: str) -> float:
    try:
        return float(row[column])
    except (TypeError, ValueError):
        owner = row.get("ingredient") or row.get("preparation") or "?"
        raise TableError(f"{table}.csv, {owner}: column {column!r} holds {row[column]!r}; a number is wanted") from None


def _name(row: NameRow) -> Name:
    return Name(row.name, row.language, row.form, row.period, row.region, row.contested, row.source)


def _property(row: Row) -> Property:
    low, high = _number("properties", row, "low"), _number("properties", row, "high")
    return Property(row["property"], low, high, row["unit"], row["condition"], row["source"], row.get("section") or "")


def _caution(row: Row) -> Caution:
    level: Any = row["level"]
    limit = _number("cautions", row, "limit") if row["limit"] else None
    return Caution(level, row["text"], row["source"], row["law"], row["region"], row["form"] or "any", limit, row["date"])


def _stands(group: Iterable[Row]) -> tuple[Stand, ...]:
    options: dict[str, list[Row]] = {}
    for row in group:
        options.setdefault(row["option"], []).append(row)
    return tuple(
        Stand(
            option,
            tuple((r["substitute"], _number("substitutes", r, "share")) for r in members if r["substitute"]),
            members[0]["kept"],
            members[0]["changes"],
            members[0]["source"],
        )
        for option, members in options.items()
    )


@follows_the_tables
@cache
def _by_id() -> dict[str, Row]:
    return {row["id"]: row for row in rows("ingredients")}


@follows_the_tables
@cache
def _groups() -> _Groups:
    return _Groups.of(None)


@follows_the_tables
@cache
def _ingredient(key: str) -> Ingredient:
    return _groups().ingredient(_by_id()[key])


class _Ingredients(Mapping[str, Ingredient]):
    """The ingredients by id. The tables are read at the first touch, an ingredient is put together when it is asked for."""

    def __getitem__(self, key: str) -> Ingredient:
        return _ingredient(key)

    def __contains__(self, key: object) -> bool:
        return key in _by_id()

    def __iter__(self) -> Iterator[str]:
        return iter(_by_id())

    def __len__(self) -> int:
        return len(_by_id())


ingredients: Mapping[str, Ingredient] = _Ingredients()


def name_of(key: str) -> str:
    """The name of an ingredient by its id; the id itself where the glossary does not hold it."""
    return ingredients[key].name if key in ingredients else key
