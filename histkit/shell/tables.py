"""The commands that show and export: table and demo."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say, say_written
from histkit.shell.options import BatchOptions, FormulaOptions, Loose, PressOptions, pixels, record_of, with_options

if TYPE_CHECKING:
    from histkit.telling.comparison import ComparisonTable


@with_options
def table(
    formula: FormulaOptions,
    pressing: PressOptions,
    weighing: BatchOptions,
    to: Annotated[
        list[Path] | None,
        typer.Option("--to", help="Where to write it: .html .md .csv .xlsx .png .svg .pdf. May be given again."),
    ] = None,
    size: Annotated[str, typer.Option(help="Size of a picture in pixels.")] = "3840x2160",
    loose: Loose = False,
    json_answer: Json = False,
) -> None:
    """The table that sets old beside new, on the screen or as files."""
    with kindly():
        across = pixels(size)
        shown = record_of(formula, pressing, weighing, loose=True if loose else None).table()
        for path in to or ():
            _write(shown, path, across)
        if json_answer:
            frame = shown.to_frame().astype(object)
            rows = frame.where(frame.notna(), None).to_dict(orient="records")
            print_json({"rows": rows, "written": [str(path) for path in to or ()]})
        elif not to:
            say(shown.to_text())
        else:
            say_written(to)


def _write(shown: ComparisonTable, path: Path, across: tuple[int, int]) -> None:
    """Write the table in the form that the name of the file asks for; `across` is the size of a picture in pixels."""
    from histkit.base.files import write_atomically
    from histkit.telling import pages

    writers: dict[str, Callable[[], object]] = {
        ".csv": lambda: shown.to_csv(path),
        ".xlsx": lambda: shown.to_xlsx(path),
        ".html": lambda: write_atomically(path, pages.page(shown)),
        ".md": lambda: write_atomically(path, shown.to_markdown()),
        **dict.fromkeys((".png", ".svg", ".pdf"), lambda: shown.to_picture(path, size=across)),
    }
    write = writers.get(path.suffix.lower())
    if write is None:
        raise BadValue(f"--to {path}: the name ends in .html, .md, .csv, .xlsx, .png, .svg or .pdf")
    write()


def demo(
    out: Annotated[Path, typer.Option(help="Folder for the tables and pictures.")] = Path("out"),
    json_answer: Json = False,
) -> None:
    """Take an invented powder from printed words to bench sheet, tables and pictures."""
    from histkit.shell import demo as demonstration

    with kindly():
        written = demonstration.run(out, say=(lambda _text: None) if json_answer else say)
        if json_answer:
            print_json({"folder": str(out.resolve()), "files": [str(path.resolve()) for path in written]})
            return
        say(f"Written to {out.resolve()}:")
        for path in written:
            say(f"  {path.name}")
