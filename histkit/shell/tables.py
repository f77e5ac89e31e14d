"""The commands that show and export: table and demo."""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, replace
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
        typer.Option("--to", help="Where to write it: .html .md .csv .xlsx .png .svg .pdf .mp4 .mov .webm. Again for more."),
    ] = None,
    size: Annotated[str, typer.Option(help="Size of a picture or film in pixels.")] = "3840x2160",
    look: Annotated[str, typer.Option(help="paper, light or dark, or a .csv file of your own.")] = "paper",
    transparent: Annotated[bool, typer.Option("--transparent", help="Pictures and films to lay over other film.")] = False,
    seconds: Annotated[float, typer.Option(help="How long a film is, 5 to 30.")] = 10.0,
    rate: Annotated[int, typer.Option(help="Frames a second: 25, 30 or 60.")] = 30,
    calm: Annotated[bool, typer.Option("--calm", help="A film in which nothing grows or counts.")] = False,
    stills: Annotated[bool, typer.Option("--stills", help="A picture after each step of a film as well.")] = False,
    beside: Annotated[str, typer.Option("--beside", help="Beside the grams, for viewers: ounces or spoons.")] = "",
    loose: Loose = False,
    json_answer: Json = False,
) -> None:
    """The table that sets old beside new, on the screen or as files."""
    from histkit.telling.viewers import checked

    with kindly():
        across = pixels(size)
        record = record_of(formula, pressing, weighing, loose=True if loose else None)
        shown = (replace(record, viewers=checked(beside)) if beside else record).table()
        for path in to or ():
            _write(shown, path, _Wish(across, look, transparent, seconds, rate, calm, stills))
        if json_answer:
            frame = shown.to_frame().astype(object)
            rows = frame.where(frame.notna(), None).to_dict(orient="records")
            print_json({"rows": rows, "written": [str(path) for path in to or ()]})
        elif not to:
            say(shown.to_text())
        else:
            say_written(to)


@dataclass(frozen=True, slots=True)
class _Wish:
    """How a picture or a film is to be: size in pixels, look, transparent or not; seconds, frames a second, calm, with stills."""

    size: tuple[int, int]
    look: str
    transparent: bool
    seconds: float
    rate: int
    calm: bool
    stills: bool


def _write(shown: ComparisonTable, path: Path, wish: _Wish) -> None:
    """Write the table in the form that the name of the file asks for."""
    from histkit.base.files import write_atomically
    from histkit.telling import pages

    writers: dict[str, Callable[[], object]] = {
        ".csv": lambda: shown.to_csv(path),
        ".xlsx": lambda: shown.to_xlsx(path),
        ".html": lambda: write_atomically(path, pages.page(shown)),
        ".md": lambda: write_atomically(path, shown.to_markdown()),
        **dict.fromkeys((".png", ".svg", ".pdf"), lambda: shown.to_picture(path, wish.size, wish.look, wish.transparent)),
        **dict.fromkeys((".mp4", ".mov", ".webm"), lambda: _film(shown, path, wish)),
    }
    write = writers.get(path.suffix.lower())
    if write is None:
        raise BadValue(f"--to {path}: the name ends in .html, .md, .csv, .xlsx, .png, .svg, .pdf, .mp4, .mov or .webm")
    write()


def _film(shown: ComparisonTable, path: Path, wish: _Wish) -> None:
    """Write a film, with a bar of its progress."""
    from histkit.display.clips import Motion

    motion = Motion(wish.seconds, wish.rate, wish.calm)
    with typer.progressbar(length=motion.frames, label=path.name, file=sys.stderr) as bar:
        done = 0

        def tell(now: int, _of: int) -> None:
            nonlocal done
            bar.update(now - done)
            done = now

        shown.to_clip(path, wish.size, motion, wish.look, wish.transparent, wish.stills, tell)


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
