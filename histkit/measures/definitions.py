"""The units of units.txt: exact fractions of our own reading, and the same file as a Pint registry.

Pint is imported only where a Quantity is asked for; everything else works on the fractions.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base.bibliography import TABLE, cite, works
from histkit.base.errors import TableError, UnknownName
from histkit.measures.rows import near

if TYPE_CHECKING:
    from fractions import Fraction

    import pint

_FILE = Path(__file__).with_name("units.txt")
_BASES = {"[mass]": (1, 0), "[length]": (0, 1)}
_TOKEN = r"\*\*|[*/]|[0-9]+(?:\.[0-9]+)?|\w+"
_MASS, _LENGTH, _VOLUME = (1, 0), (0, 1), (0, 3)
_CUBIC_METRE = 1_000_000
"""Millilitres in a cubic metre."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit of units.txt. `size` is exact: grams for a mass, millilitres for a volume, metres for a length.

    `definition` says in words what it is, `source` is the id of a work, `section` the place in it, `mark` how well
    the value is known.
    """

    name: str
    size: Fraction
    dimension: str
    definition: str
    source: str
    mark: str
    group: str
    names: tuple[str, ...]
    section: str = ""

    def explain(self) -> str:
        """The definition in words with its source."""
        return f"{self.name.replace('_', ' ')}: {self.definition}. Source: {cite(self.source, self.section, self.mark)}."


@cache
def units() -> dict[str, Unit]:
    """Every unit of units.txt by each of its names. Raises TableError where a line breaks the file's own grammar."""
    from fractions import Fraction

    values: dict[str, tuple[Fraction, tuple[int, int]]] = {}
    out: dict[str, Unit] = {}
    group = ""
    for number, line in enumerate(_FILE.read_text(encoding="utf-8").splitlines(), start=1):
        if line.startswith("##"):
            group = line.lstrip("# ").strip()
            continue
        body, _, comment = line.partition("#")
        if not body.strip():
            continue
        where = f"histkit/measures/units.txt, line {number}"
        parts = [part.strip() for part in body.split("=")]
        notes = [note.strip() for note in comment.split("|")]
        if len(parts) < 2 or len(notes) not in (3, 4) or not all(parts) or not all(notes):
            raise TableError(f"{where}: a unit reads 'name = expression  # definition | source | mark', then '| section' if any")
        definition, source, mark, *section = notes
        if source not in works():
            raise TableError(f"{where}: {TABLE} has no work {source!r}; add it there, or cite one that is there")
        base = _BASES.get(parts[1])
        value, powers = (Fraction(1), base) if base else _evaluate(parts[1], values, where)
        if powers not in (_MASS, _LENGTH, _VOLUME):
            raise TableError(f"{where}: {parts[0]} is neither a mass, a length nor a volume")
        names = tuple(name for name in (parts[0], *parts[2:]) if name != "_")
        dimension = {_MASS: "mass", _LENGTH: "length", _VOLUME: "volume"}[powers]
        size = value * _CUBIC_METRE if powers == _VOLUME else value
        unit = Unit(parts[0], size, dimension, definition, source, mark, group, names, *section)
        for name in names:
            if name in values:
                raise TableError(f"{where}: the name {name!r} is given twice")
            values[name], out[name] = (value, powers), unit
    return out


def _evaluate(
    expression: str, values: dict[str, tuple[Fraction, tuple[int, int]]], where: str
) -> tuple[Fraction, tuple[int, int]]:
    """An expression of units.txt, read from left to right as Pint reads it."""
    from fractions import Fraction

    tokens = re.findall(_TOKEN, expression)
    if "".join(tokens) != "".join(expression.split()):
        raise TableError(f"{where}: {expression!r} holds something other than numbers, names, *, / and **")
    value, mass, length, sign = Fraction(1), 0, 0, 1
    index = 0
    while index < len(tokens):
        token = tokens[index]
        if token in "*/":
            sign = 1 if token == "*" else -1
            index += 1
            continue
        power = sign
        if tokens[index + 1 : index + 2] == ["**"]:
            power, index = sign * int(tokens[index + 2]), index + 2
        if token[0].isdigit():
            value *= Fraction(token) ** power
        elif token in values:
            size, powers = values[token]
            value, mass, length = value * size**power, mass + powers[0] * power, length + powers[1] * power
        else:
            raise TableError(f"{where}: {token!r} is used before it is defined")
        index += 1
    return value, (mass, length)


def unit(name: str) -> Unit:
    """The unit of units.txt with this name (as written there: 'imperial_fluid_ounce'). Raises UnknownName."""
    table = units()
    if name not in table:
        raise UnknownName("unit", name, near(name, table))
    return table[name]


def exact(name: str) -> Fraction:
    """The exact size of a unit of units.txt: grams for a mass, millilitres for a volume, metres for a length."""
    return unit(name).size


@cache
def registry() -> pint.UnitRegistry[Any]:
    """The Pint registry of units.txt alone, made once. It holds sizes; printed words are never handed to it."""
    import pint

    return pint.UnitRegistry(_FILE, cache_folder=None)
