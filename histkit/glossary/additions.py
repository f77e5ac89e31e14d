"""A maker's own additions to the glossary: a folder with some of the same tables, checked against the glossary's own rules.

The rules (which columns there are, what may stand in them, which ids they speak of) are those of `glossary/datapackage.json`.
Every complaint names the file, the row as a spreadsheet counts it, the column, what stands there and what would be right.
"""

from __future__ import annotations

import csv
import json
import math
import re
from collections.abc import Iterator, Mapping, Sequence
from pathlib import Path
from typing import Any, NamedTuple

from histkit.base.errors import TableError

Row = dict[str, str]

OF_THE_PROJECT = frozenset({"changes", "attestations", "attesting"})
"""Tables of the glossary that a maker does not add to."""


class Numbered(NamedTuple):
    """A row of a maker's own table, and its number as a spreadsheet counts it (the heading is row 1)."""

    number: int
    row: Row


def additions(folder: Path, shipped: Path, ids: Mapping[str, frozenset[str]]) -> dict[str, list[Row]]:
    """The rows of each table in `folder`; tables that are not there have none.

    `shipped` is the glossary's own folder, `ids` the ids that it knows of its tables "ingredients" and "sources". A source may
    also be called 'mine'.

    Raises:
        TableError: there is no such folder, nothing in it is a table of the glossary, or a row breaks a rule.
    """
    return plain(numbered_additions(folder, shipped, ids))


def plain(numbered: Mapping[str, Sequence[Numbered]]) -> dict[str, list[Row]]:
    """The rows by table, without their numbers."""
    return {name: [entry.row for entry in entries] for name, entries in numbered.items()}


def numbered_additions(folder: Path, shipped: Path, ids: Mapping[str, frozenset[str]]) -> dict[str, list[Numbered]]:
    """As `additions`, each row with its number."""
    if not folder.is_dir():
        raise TableError(f"{folder}: there is no such folder of additions to the glossary")
    package = json.loads((shipped / "datapackage.json").read_text(encoding="utf-8"))
    rules = {resource["name"]: resource["schema"] for resource in package["resources"] if resource["name"] not in OF_THE_PROJECT}
    unknown = sorted(path.name for path in folder.glob("*.csv") if path.stem not in rules)
    if unknown:
        raise TableError(f"{folder / unknown[0]}: the glossary has no such table; its tables are {', '.join(rules)}")
    there = {name: folder / f"{name}.csv" for name in rules if (folder / f"{name}.csv").is_file()}
    if not there:
        raise TableError(f"{folder}: no table of the glossary is in it; its tables are {', '.join(f'{n}.csv' for n in rules)}")
    added = {name: _rows(path, rules[name]) for name, path in there.items()}
    references = {table: known | {entry.row["id"] for entry in added.get(table, ())} for table, known in ids.items()}
    references["sources"] |= {"mine"}
    for name, entries in added.items():
        _check(there[name], entries, rules[name], references)
        if name in ids:
            _new(there[name], entries, ids[name])
    return added


def _rows(path: Path, schema: Mapping[str, Any]) -> list[Numbered]:
    wanted = {field["name"]: (field.get("constraints") or {}).get("required", False) for field in schema["fields"]}
    try:
        with path.open(encoding="utf-8-sig", newline="") as file:
            lines = csv.reader(file)
            heading = [cell.strip() for cell in next(lines, [])]
            needed = {name for name, required in wanted.items() if required}
            if len(set(heading)) < len(heading) or not needed <= set(heading) <= set(wanted):
                raise TableError(f"{path}, row 1: the columns are {', '.join(heading) or 'none'}; wanted are {', '.join(wanted)}")
            entries = []
            for number, cells in enumerate(lines, start=2):
                if not any(cell.strip() for cell in cells):
                    continue
                if len(cells) != len(heading):
                    raise TableError(f"{path}, row {number}: it has {len(cells)} cells, the heading has {len(heading)}")
                row = dict(zip(heading, (c.strip() for c in cells), strict=True))
                entries.append(
                    Numbered(number, dict.fromkeys(wanted, "") | row)
                )  # a column that need not be filled may be left out
            return entries
    except UnicodeDecodeError:
        raise TableError(f"{path}: it is not in UTF-8; save it from the spreadsheet as 'CSV UTF-8'") from None
    except (OSError, csv.Error) as error:
        raise TableError(f"{path}: it cannot be read: {error}") from None


def _check(path: Path, entries: Sequence[Numbered], schema: Mapping[str, Any], references: Mapping[str, frozenset[str]]) -> None:
    owners = {key["fields"]: key["reference"]["resource"] for key in schema.get("foreignKeys", ())}
    for number, row in entries:
        for field in schema["fields"]:
            name, value = field["name"], row[field["name"]]
            wrong = next(_complaints(field, value, references.get(owners.get(name, ""), None), owners.get(name, "")), "")
            if wrong:
                raise TableError(f"{path}, row {number}, column {name!r}: {wrong}")
        if "low" in row and float(row["low"]) < 0 and row.get("unit") != "C":
            raise TableError(f"{path}, row {number}, column 'low': {row['low']} is below nought; only a temperature may be")
        if {"low", "high"} <= row.keys() and float(row["low"]) > float(row["high"]):
            raise TableError(f"{path}, row {number}, column 'low': {row['low']} is more than 'high', {row['high']}")


def _complaints(field: Mapping[str, Any], value: str, ids: frozenset[str] | None, table: str) -> Iterator[str]:
    """What is wrong with a cell, and what would be right."""
    rule = field.get("constraints") or {}
    if not value:
        if rule.get("required"):
            yield f"it is empty; {_wanted(rule, field)}"
        return
    if field.get("type") == "number":
        try:
            figure = float(value)
        except ValueError:
            figure = math.nan
        if not math.isfinite(figure):
            yield f"{value!r} is no number"
            return
        if not rule.get("minimum", figure) <= figure <= rule.get("maximum", figure):
            yield f"{value} lies outside {rule.get('minimum', '…')} to {rule.get('maximum', '…')}"
    if "enum" in rule and value not in rule["enum"]:
        yield f"{value!r} is none of {', '.join(rule['enum'])}"
    if "pattern" in rule and not re.fullmatch(rule["pattern"], value):
        yield f"{value!r} has not the right form; {_wanted(rule, field)}"
    if field["name"] == "cas" and not _check_digit(value):
        yield f"{value!r} is no CAS number: its last figure does not fit the others"
    if ids is not None and value not in ids:
        more = ", or 'mine'" if table == "sources" else ""
        yield f"{value!r} is no id of the table {table}{more}; add it there, or take one that is there"


def _wanted(rule: Mapping[str, Any], field: Mapping[str, Any]) -> str:
    if "enum" in rule:
        return f"wanted is one of {', '.join(rule['enum'])}"
    if field["name"] == "id":
        return "an id is of small letters, figures and hyphens, such as 'rose-petal-powder'"
    return "a number is wanted" if field.get("type") == "number" else "a text is wanted"


def _check_digit(cas: str) -> bool:
    figures = cas.replace("-", "")
    return figures.isdigit() and sum(n * int(f) for n, f in enumerate(reversed(figures[:-1]), 1)) % 10 == int(figures[-1])


def _new(path: Path, entries: Sequence[Numbered], shipped: frozenset[str]) -> None:
    seen: set[str] = set()
    for number, row in entries:
        key = row["id"]
        if key in shipped:
            raise TableError(f"{path}, row {number}, column 'id': the glossary has {key!r} already; add to other tables for it")
        if key in seen:
            raise TableError(f"{path}, row {number}, column 'id': {key!r} stands here twice")
        seen.add(key)
