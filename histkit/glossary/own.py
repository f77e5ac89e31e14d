"""A maker's own tables in use: they add to the glossary, and never make light of what it warns of.

A row is refused where it would take a name for something with a lesser caution than the glossary takes it for; give a harmless
thing a name that holds a poison's name ('Larkspur's white lead'); describe a substance of the glossary anew, without its
cautions; or change a stand-in or the parts of a preparation that the glossary describes.
"""

from __future__ import annotations

import os
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from histkit.base.errors import TableError
from histkit.base.text import listed
from histkit.glossary.additions import Numbered, Row, plain
from histkit.glossary.caches import follows_the_tables, forget_the_tables
from histkit.glossary.index import NameIndex, shipped, with_own
from histkit.glossary.nouns import CAUTION_LEVELS, gravity
from histkit.glossary.stages import by_words, otherwise_joined, without_guessing
from histkit.glossary.tables import OWN, TABLES, own_folder, own_numbered, own_numbered_in, own_rows, shipped_rows
from histkit.glossary.words import LONGEST_NAME, fold


def use(additions: str | Path | None) -> None:
    """From now on look names up in a maker's own tables as well: a folder with some of the tables of the glossary, in which rows
    are added. None goes back to the glossary alone.

    Call it before anything is looked up: nouns made before keep what they found. `own_summary` says what is added.

    Raises:
        TableError: a table breaks a rule, or would hide a caution of the glossary; the message names file, row and column.
            Nothing is changed then.
    """
    if additions is None:
        os.environ.pop(OWN, None)
    else:
        where = Path(additions).resolve()
        _refuse_what_hides_a_caution(where, own_numbered_in(where))
        os.environ[OWN] = str(where)
    forget_the_tables()


@follows_the_tables
@cache
def index_in_use() -> NameIndex:
    """The names of the glossary and those of the maker's own tables in use. Raises TableError as `use` does."""
    where = own_folder()
    if where is None:
        return shipped()
    _refuse_what_hides_a_caution(where, own_numbered())
    return with_own(own_rows())


def own_summary() -> str:
    """What the maker's own tables in use add, as a sentence; empty without any.

    Raises:
        TableError: they break a rule, as `use` says.
    """
    where = own_folder()
    counts = [(len(own_rows().get(name, ())), name) for name in ("names", "ingredients", *TABLES)]
    parts = [_counted(count, name) for count, name in dict.fromkeys(counts) if count]
    if where is None or not parts:
        return ""
    return f"Your own tables in {where} add {listed(parts)}."


_ONE = {"properties": "property", "compositions": "part of a preparation", "substitutes": "part of a stand-in"}
_SEVERAL = {"compositions": "parts of preparations", "substitutes": "parts of stand-ins"}


def _counted(count: int, table: str) -> str:
    return f"1 {_ONE.get(table, table[:-1])}" if count == 1 else f"{count} {_SEVERAL.get(table, table)}"


# -- what own rows may not do ---------------------------------------------------------------------------------------------


def _refuse_what_hides_a_caution(where: Path, own: Mapping[str, Sequence[Numbered]]) -> None:
    """Raises TableError for the first row that would make light of something, with file, row and column."""
    warned = _Warnings.of(plain(own))
    for number, row in own.get("names", ()):
        if wrong := warned.by_name(row["name"], row["ingredient"]):
            raise TableError(f"{where / 'names.csv'}, row {number}, column 'name': {wrong}")
    for number, row in own.get("ingredients", ()):
        for column, wrong in (
            ("name", warned.by_name(row["name"], row["id"])),
            ("inci", warned.by_what_it_is("inci", row["inci"], row["id"])),
            ("cas", warned.by_what_it_is("cas", row["cas"], row["id"])),
        ):
            if wrong:
                raise TableError(f"{where / 'ingredients.csv'}, row {number}, column {column!r}: {wrong}")
    for table, columns in (("substitutes", ("ingredient", "option")), ("compositions", ("preparation",))):
        there = {tuple(row[column] for column in columns) for row in shipped_rows(table)}
        for number, row in own.get(table, ()):
            if (key := tuple(row[column] for column in columns)) in there:
                raise TableError(
                    f"{where / f'{table}.csv'}, row {number}, column {columns[-1]!r}: the glossary has {' · '.join(key)!r} "
                    "already, and own rows do not change what it says; choose another name for yours"
                )


@dataclass(frozen=True, slots=True)
class _Warnings:
    """How grave the gravest caution of each ingredient is: in the glossary alone, and with a maker's own rows."""

    shipped: dict[str, int]
    with_own: dict[str, int]
    names: dict[str, str]
    """The name of each shipped ingredient, by its id."""

    @classmethod
    def of(cls, own: Mapping[str, list[Row]]) -> _Warnings:
        alone = _gravest(shipped_rows("cautions"))
        together = _gravest([*shipped_rows("cautions"), *own.get("cautions", ())])
        return cls(alone, together, {row["id"]: row["name"] for row in shipped_rows("ingredients")})

    def _graver(self, keys: Iterable[str], than: str) -> str:
        """The gravest of these ingredients, if its caution is graver than that of `than`; else an empty text."""
        gravest = max(keys, key=lambda key: self.shipped.get(key, 0), default="")
        return gravest if self.shipped.get(gravest, 0) > self.with_own.get(than, 0) else ""

    def by_name(self, name: str, key: str) -> str:
        """What is wrong with calling the ingredient `key` so, and what would be right; empty where nothing is."""
        if len(name) > LONGEST_NAME:
            return f"it has {len(name)} characters; a name has {LONGEST_NAME} at most"
        hit = without_guessing(name, shipped()) or otherwise_joined(name, None, shipped())
        if hit and (graver := self._graver((meaning for meaning, _ in hit.meanings), key)):
            return self._complaint(name, "knows this name as", graver)
        folded = fold(name)
        if by_words(folded, shipped()):
            return ""
        for part in _parts(folded):
            hits = by_words(part, shipped())
            certain = [
                meaning for meaning, contested in hits if not contested and self.shipped.get(meaning) == gravity("forbidden")
            ]
            if graver := self._graver(certain, key):
                return self._complaint(name, f"knows {part!r} in it as", graver)
        return ""

    def by_what_it_is(self, column: str, value: str, key: str) -> str:
        """What is wrong with an ingredient of this label name or CAS number; empty where nothing is."""
        if not value:
            return ""
        same = [row["id"] for row in shipped_rows("ingredients") if fold(row[column]) == fold(value)]
        graver = self._graver(same, key)
        return self._complaint(value, "has this substance as", graver) if graver else ""

    def _complaint(self, value: str, how: str, graver: str) -> str:
        level = CAUTION_LEVELS[-self.shipped[graver]]
        return (
            f"{value!r} would hide a caution: the glossary {how} {self.names[graver]} ({level}); choose a name that holds none "
            f"of its names, give yours a caution {level!r} in cautions.csv, or put the name right in the formula in question"
        )


def _gravest(cautions: Iterable[Row]) -> dict[str, int]:
    gravest: dict[str, int] = {}
    for row in cautions:
        gravest[row["ingredient"]] = max(gravity(row["level"]), gravest.get(row["ingredient"], 0))
    return gravest


MOST_WORDS = 16
"""Words of the longest name of the glossary."""


def _parts(folded: str) -> list[str]:
    """All runs of words of a name."""
    words = folded.split()
    ends = ((start, end) for start in range(len(words)) for end in range(start + 1, min(len(words), start + MOST_WORDS) + 1))
    return [" ".join(words[start:end]) for start, end in ends]
