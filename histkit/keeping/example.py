"""Three invented formulas of an invented book, as records: what the demonstration, the empty page and the tests work on."""

from __future__ import annotations

import json
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from histkit.base.nouns import Source
from histkit.keeping.choices import Companion, Pressing, Replacement, Weighing
from histkit.keeping.record import Record


@cache
def _data() -> dict[str, Any]:
    data: dict[str, Any] = json.loads((Path(__file__).parent / "example.json").read_text(encoding="utf-8"))
    return data


def note() -> str:
    """That everything in the demonstration is invented."""
    return str(_data()["note"])


def names() -> tuple[str, ...]:
    """The ids of the invented formulas, in the order of the invented book."""
    return tuple(entry["id"] for entry in _data()["formulas"])


def companions() -> tuple[Companion, ...]:
    """What stands beside the first invented formula: another invented book's version of it, and an invented tin's list."""
    return tuple(Companion(**{**entry, "source": Source(**entry.get("source", {}))}) for entry in _data()["beside"])


def record(name: str = "complexion", replaced: bool = True) -> Record:
    """One invented formula as a record; with `replaced` False its hazardous ingredients are still in it.

    Raises:
        KeyError: there is no invented formula of that name.
    """
    entry = next((e for e in _data()["formulas"] if e["id"] == name), None)
    if entry is None:
        raise KeyError(f"there is no demo formula {name!r}; there are {', '.join(names())}")
    source = replace(
        Source(**_data()["source"]),
        page=entry.get("page", _data()["source"]["page"]),
        kind=entry.get("kind", _data()["source"]["kind"]),
    )
    replacements = tuple(
        Replacement(removed, tuple(r["parts"].items()), r["reason"], r["option"])
        for removed, r in entry["replace"].items()
        if replaced
    )
    pressing = Pressing(**entry["press"]) if entry["press"] else None
    return Record(
        text=entry["text"],
        source=source,
        replacements=replacements,
        pressing=pressing,
        weighing=Weighing(grams=entry["grams"]),
        beside=companions() if name == names()[0] else (),
    )
