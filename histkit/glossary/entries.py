"""From the rows of the tables to ingredients: each is put together when somebody asks for it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from functools import cache, partial
from pathlib import Path
from typing import Any, NamedTuple

from histkit.base.errors import TableError
from histkit.base.stored import stored_by_key
from histkit.glossary.additions import Row
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.nouns import Caution, Ingredient, Name, Property, Role, Stand
from histkit.glossary.tables import names, names_in, own_folder, rows


def load(where: Path | None = None) -> dict[str, Ingredient]:
    """All ingredients of a folder of tables, by id.

    Raises:
        TableError: a table is missing or a number is none; names the file, the row and the column.
    """
    return {key: _put_together(told) for key, told in _told_of_each(where).items()}


_SPEAK_OF = {
    "roles": "ingredient",
    "properties": "ingredient",
    "cautions": "ingredient",
    "substitutes": "ingredient",
    "compositions": "preparation",
}
"""The tables whose rows speak of ingredients, and the column that says of which."""


class _Told(NamedTuple):
    """What the tables say of one ingredient: its own row, its names as `Name` has them, and the rows of each other table."""

    row: Row
    names: list[tuple[Any, ...]]
    tables: dict[str, list[Row]]


def _told_of_each(where: Path | None) -> dict[str, _Told]:
    told = {row["id"]: _Told(row, [], {table: [] for table in _SPEAK_OF}) for row in rows("ingredients", where)}
    for name in names() if where is None else names_in(where):
        if name.ingredient in told:
            told[name.ingredient].names.append((*name[1:6], name.contested, name.source))
    for table, column in _SPEAK_OF.items():
        for row in rows(table, where):
            if row[column] in told:
                told[row[column]].tables[table].append(row)
    return told


def _put_together(told: _Told) -> Ingredient:
    row, of = told.row, told.tables
    return Ingredient(
        id=row["id"],
        name=row["name"],
        inci=row["inci"],
        cas=row["cas"],
        formula=row["formula"],
        kind=row["kind"],
        state=row["state"],
        description=row["description"],
        source=row["source"],
        roles=tuple(Role(r["role"], r["strength"] == "main", r["source"]) for r in of["roles"]),
        cautions=tuple(map(_caution, of["cautions"])),
        names=tuple([Name(*said) for said in told.names]),
        properties=tuple(map(_property, of["properties"])),
        stands=_stands(of["substitutes"]),
        made_of=tuple((r["ingredient"], _number("compositions", r, "share")) for r in of["compositions"]),
    )


def _number(table: str, row: Row, column: str) -> float:
    try:
        return float(row[column])
    except (TypeError, ValueError):
        owner = row.get("ingredient") or row.get("preparation") or "?"
        raise TableError(f"{table}.csv, {owner}: column {column!r} holds {row[column]!r}; a number is wanted") from None


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
def _told() -> Mapping[str, Sequence[Any]]:
    """What the tables in use say of each ingredient, as `_Told` holds it; a maker's own are not kept for the next process."""
    make = partial(_told_of_each, None)
    return make() if own_folder() else stored_by_key("ingredients", lambda: {key: tuple(told) for key, told in make().items()})


@follows_the_tables
@cache
def _ingredient(key: str) -> Ingredient:
    return _put_together(_Told(*_told()[key]))


class _Ingredients(Mapping[str, Ingredient]):
    """The ingredients by id. The tables are read at the first touch, an ingredient is put together when it is asked for."""

    def __getitem__(self, key: str) -> Ingredient:
        return _ingredient(key)

    def __contains__(self, key: object) -> bool:
        return key in _told()

    def __iter__(self) -> Iterator[str]:
        return iter(_told())

    def __len__(self) -> int:
        return len(_told())


ingredients: Mapping[str, Ingredient] = _Ingredients()


def name_of(key: str) -> str:
    """The name of an ingredient by its id; the id itself where the glossary does not hold it."""
    return ingredients[key].name if key in ingredients else key
