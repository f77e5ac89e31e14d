"""The demonstration: three invented formulas, one of them all the way from printed words to a bench sheet and pictures."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

from histkit.errors import BadValue
from histkit.model import Source
from histkit.records import Pressing, Record, Replacement, Weighing, save, write_atomically

SIZES = {"wide-1080": (1920, 1080), "wide-4k": (3840, 2160), "tall": (1080, 1920)}
"""Pictures of the demonstration, in pixels."""


@cache
def _data() -> dict[str, Any]:
    data: dict[str, Any] = json.loads((Path(__file__).parent / "data" / "demo.json").read_text(encoding="utf-8"))
    return data


def note() -> str:
    """That everything in the demonstration is invented."""
    return str(_data()["note"])


def names() -> tuple[str, ...]:
    """The ids of the invented formulas, in the order of the invented book."""
    return tuple(entry["id"] for entry in _data()["formulas"])


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
        text=entry["text"], source=source, replacements=replacements, pressing=pressing, weighing=Weighing(grams=entry["grams"])
    )


def run(folder: str | Path, tell: Callable[[str], None] = print) -> list[Path]:
    """Take the invented complexion powder from print to bench sheet, tables and pictures in `folder`; the paths written.

    All three formulas are translated; the complexion powder is pressed, weighed and drawn.

    Raises BadValue where `folder` is a file.
    """
    folder = Path(folder)
    if folder.exists() and not folder.is_dir():
        raise BadValue(f"{folder} is a file; give a folder for the tables and pictures")
    folder.mkdir(parents=True, exist_ok=True)
    written: list[Path] = []

    tell(note() + "\n")
    records = {name: record(name) for name in names()}
    for name, chosen in records.items():
        written.append(folder / f"{name}-translated.md")
        write_atomically(written[-1], chosen.translation().to_markdown())
        written.append(save(chosen, folder / f"{name}.json"))
    main = records["complexion"]
    translation = main.translation()
    tell(translation.to_text() + "\n")
    pressed, batch, table = main.pressed(), main.batch(), main.table()
    if pressed is not None:
        tell(pressed.to_text() + "\n")
    tell(table.to_text() + "\n")
    from histkit.display import files

    written += [*files.save_table(folder, table, translation, batch), *files.save_bench_sheet(folder, batch)]
    for name, size in SIZES.items():
        written += table.to_picture(folder / f"old-and-new-{name}.png", size=size)
    for ending in ("svg", "pdf"):
        written += table.to_picture(folder / f"old-and-new.{ending}", size=(1920, 1080))
    return written
