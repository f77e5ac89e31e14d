"""The demonstration: an invented formula all the way from printed words to bench sheet, tables and pictures."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from histkit.base.errors import BadValue
from histkit.base.files import write_atomically
from histkit.keeping import beside, example
from histkit.keeping.records import Record
from histkit.shade import row_of_tests
from histkit.telling import files

SIZES = {"wide-1080": (1920, 1080), "wide-4k": (3840, 2160), "tall": (1080, 1920)}
"""Pictures of the demonstration, in pixels."""


def run(folder: str | Path, say: Callable[[str], None] = print) -> list[Path]:
    """Take the invented complexion powder from print to bench sheet, tables and pictures in `folder`; the paths written.

    All three formulas are translated; the complexion powder is pressed, weighed and drawn, set beside another invented book's
    version of it, and scented at half strength.

    Raises BadValue where `folder` is a file.
    """
    folder = Path(folder)
    if folder.exists() and not folder.is_dir():
        raise BadValue(f"{folder} is a file; give a folder for the tables and pictures")
    folder.mkdir(parents=True, exist_ok=True)
    written: list[Path] = []

    say(example.note() + "\n")
    records = {name: example.record(name) for name in example.names()}
    for name, chosen in records.items():
        written.append(folder / f"{name}-translated.md")
        write_atomically(written[-1], chosen.translation().to_markdown())
        written.append(folder / f"{name}.json")
        write_atomically(written[-1], chosen.to_json())
    main = records["complexion"]
    translation = main.translation()
    say(translation.to_text() + "\n")
    pressed, batch, table = main.pressed(), main.batch(), main.table()
    if pressed is not None:
        say(pressed.to_text() + "\n")
    say(table.to_text() + "\n")
    written += [*files.save_table(folder, table, translation, batch), *files.save_bench_sheet(folder, batch)]
    tints = row_of_tests("light", "tan", 3)
    written.append(folder / "three-tints.md")
    write_atomically(written[-1], "\n".join(shown.to_markdown() for shown in (tints.pale, tints.deep, tints)))
    written += tints.to_picture(folder / "three-tints.png", size=(1920, 1080))
    for name, size in SIZES.items():
        written += table.to_picture(folder / f"old-and-new-{name}.png", size=size)
    for ending in ("svg", "pdf"):
        written += table.to_picture(folder / f"old-and-new.{ending}", size=(1920, 1080))
    return written + _side_by_side(folder, main, say) + _scent(folder, main, say)


def _side_by_side(folder: Path, main: Record, say: Callable[[str], None]) -> list[Path]:
    """The powder beside the version of another invented book and the list of an invented tin: table, workbook, picture."""
    side, _ = beside.side_by_side(main, folder, without_binders=True)
    if side is None:
        return []
    say(side.to_text() + "\n")
    write_atomically(folder / "side-by-side.md", side.to_markdown())
    tables = [folder / "side-by-side.md", side.to_xlsx(folder / "side-by-side.xlsx")]
    return tables + side.to_picture(folder / "side-by-side.png", SIZES["wide-1080"])


def _scent(folder: Path, main: Record, say: Callable[[str], None]) -> list[Path]:
    """The powder's scent at half strength, beside the scent as printed."""
    half = replace(main, scenting=replace(main.scenting, strength=0.5)).scent()
    say(half.to_text() + "\n")
    write_atomically(folder / "scent-at-half-strength.md", half.to_markdown())
    drawn = half.to_picture(folder / "scent-at-half-strength.png", SIZES["wide-1080"], before=main.scent(as_printed=True))
    return [folder / "scent-at-half-strength.md", *drawn]
