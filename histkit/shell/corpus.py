"""The shell: `histkit corpus read`, `verify`, `poison`, `trend`, `nearest`. Thin; exit codes as in `answering`."""

from __future__ import annotations

import sys
import time
from pathlib import Path
from typing import Annotated, Any

import typer

from histkit.shell.answering import Shell, kindly, print_json, say

app = typer.Typer(
    cls=Shell,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="Whole books: find the formulas in the plain text of digitised books, read and translate each, put questions to all.",
)

Folder = Annotated[Path, typer.Argument(help="The folder that 'histkit corpus read' wrote its tables into.", show_default=False)]
KindOf = Annotated[str | None, typer.Option("--kind", help="Only formulas of this kind, such as 'face powder' or 'cream'.")]
Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


@app.command("read")
def read_(
    where: Annotated[
        Path,
        typer.Argument(
            help="A text file, or a folder of them (*.txt), with books.csv beside them if there is one.", show_default=False
        ),
    ],
    out: Annotated[Path, typer.Option(help="Folder for the tables, and for what is taken up again after a stop.")],
    jobs: Annotated[int, typer.Option(help="Processes on this machine.")] = 1,
    scheduler: Annotated[str, typer.Option(help="Address of a Dask scheduler, tcp://…; its workers then do the work.")] = "",
    parquet: Annotated[
        bool, typer.Option("--parquet", help="Write the tables as Parquet too, for other programs (needs histkit[corpus]).")
    ] = False,
    wait: Annotated[
        bool, typer.Option("--wait", help="Where another run is writing into the folder, wait until it has ended.")
    ] = False,
    quiet: Annotated[bool, typer.Option("--quiet", help="No progress bar.")] = False,
    json_answer: Json = False,
) -> None:
    """Find, read and translate every formula of these books; stop it at any time and give the same command again."""
    from histkit.books.running import run

    bar = _Bar() if not quiet and sys.stderr.isatty() else None
    with kindly():
        try:
            waiting = (lambda words: say(f"histkit: {words}", err=True)) if wait else None
            summary = run(where, out, jobs, scheduler, progress=bar, parquet=parquet, waiting=waiting)
        except KeyboardInterrupt:
            if bar is not None:
                bar.end()
            say("histkit: stopped. What is done is kept: the same command goes on from there.", err=True)
            raise typer.Exit(130) from None
        if bar is not None:
            bar.end()
        if json_answer:
            print_json(
                {
                    "out": str(summary.out.resolve()),
                    "books": summary.books,
                    "formulas": summary.formulas,
                    "lines": summary.lines,
                    "unreadable": summary.unreadable,
                    "parts": {"done": summary.parts_done, "kept": summary.parts_kept},
                    "tables": list(summary.tables),
                    "notes": list(summary.notes),
                }
            )
        else:
            say(summary.text())


class _Bar:
    """One line on standard error: how much of the text is done, how many formulas, how long it may take."""

    def __init__(self) -> None:
        self.began = time.monotonic()
        self.shown = 0.0

    def __call__(self, done: int, total: int, formulas: int) -> None:
        now = time.monotonic()
        if now - self.shown < 0.2 and done < total:
            return
        self.shown = now
        share = done / total if total else 1.0
        left = f"{_spoken((now - self.began) * (1 - share) / share)} left" if share else ""
        full = round(24 * share)
        words = f"{'#' * full}{'.' * (24 - full)} {100 * share:3.0f} %  {formulas:,} formulas  {left}"
        sys.stderr.write("\r" + words.ljust(72))
        sys.stderr.flush()

    def end(self) -> None:
        sys.stderr.write("\r" + " " * 72 + "\r")
        sys.stderr.flush()


def _spoken(seconds: float) -> str:
    return f"{seconds:.0f} s" if seconds < 90 else f"{seconds / 60:.0f} min"


@app.command()
def attest(
    texts: Annotated[
        list[Path],
        typer.Argument(help="Texts, each named after its work in glossary/sources.csv: flora-1779.txt.", show_default=False),
    ],
    out: Annotated[Path | None, typer.Option(help="Folder of the tables; that of the glossary by default.")] = None,
    anew: Annotated[bool, typer.Option("--anew", help="Begin with empty tables, and count all texts again.")] = False,
    json_answer: Json = False,
) -> None:
    """Note where the names of the glossary stand in print: book, year and how often."""
    from histkit import glossary
    from histkit.books.attesting import NAMES, attest

    with kindly():
        folder = out or glossary.folder()
        count = attest(texts, folder, anew)
        if json_answer:
            print_json({"names": count, "books": len(texts), "table": str((folder / NAMES).resolve())})
        else:
            say(f"{count:,} names stand in print; written to {folder / NAMES}.")


@app.command("verify")
def verify_(folder: Folder, json_answer: Json = False) -> None:
    """Whether the tables are still what the run wrote, by the sizes and hashes in its manifest; names what does not fit."""
    from histkit.books.verifying import verify

    with kindly():
        verdict = verify(folder)
        if json_answer:
            print_json({"fits": verdict.fits, **_plain(verdict)})
        else:
            say(verdict.text())
        if not verdict.fits:
            raise typer.Exit(1)


@app.command()
def poison(
    folder: Folder,
    metal: Annotated[str, typer.Option(help="lead, mercury, arsenic, antimony, bismuth …")] = "lead",
    kind: KindOf = None,
    each: Annotated[bool, typer.Option("--each", help="Name each formula.")] = False,
    json_answer: Json = False,
) -> None:
    """Which formulas hold lead (or another metal), decade by decade, and when it was last seen."""
    from histkit.books.questions import metals
    from histkit.books.tables import Tables

    with kindly():
        history = metals(Tables(folder), metal, kind)
        if json_answer:
            print_json(_plain(history))
            return
        say(history.to_text())
        if each:
            for seen in sorted(history.seen, key=lambda s: (s.year or 0, s.book, s.number)):
                share = f", {100 * seen.share:.3g} % of the mass" if seen.share is not None else ""
                say(f"  {seen.where()}: {', '.join(seen.ingredients)}{share}")


@app.command("trend")
def trend_(
    folder: Folder,
    kind: KindOf = None,
    by: Annotated[str, typer.Option(help="role, family or ingredient.")] = "role",
    most: Annotated[int, typer.Option(help="How many groups stand by themselves.", min=2, max=20)] = 8,
    plot: Annotated[Path | None, typer.Option(help="Also draw it: a name ending in .png, .svg or .pdf.")] = None,
    size: Annotated[str, typer.Option(help="Size of the picture in pixels.")] = "3840x2160",
    theme: Annotated[str, typer.Option(help="paper, light or dark, or a .csv file of your own.")] = "paper",
    json_answer: Json = False,
) -> None:
    """How a kind of formula changed: its mean composition in each decade, with the number of formulas behind it."""
    from histkit.books.questions import trend
    from histkit.books.tables import Tables
    from histkit.shell.options import pixels

    with kindly():
        across = pixels(size)
        answer = trend(Tables(folder), kind, by, most)
        written = []
        if plot is not None:
            from histkit.books.plots import save_trend

            written = save_trend(answer, plot, across, theme)
        if json_answer:
            print_json({**_plain(answer), "written": [str(p) for p in written]})
            return
        say(answer.to_text())
        for path in written:
            say(f"written: {path}")


@app.command("nearest")
def nearest_(
    folder: Folder,
    file: Annotated[
        str, typer.Argument(help="Your formula: a text as printed, a record (.json), or - for standard input.")
    ] = "-",
    count: Annotated[int, typer.Option(help="How many to show.")] = 10,
    kind: KindOf = None,
    json_answer: Json = False,
) -> None:
    """Which formulas of the books are most like yours."""
    from histkit.books.nearness import nearest
    from histkit.books.tables import Tables
    from histkit.shell.options import FormulaOptions

    with kindly():
        record = FormulaOptions(file=file).record()
        answer = nearest(Tables(folder), record.composition(), count, kind)
        if json_answer:
            print_json(_plain(answer))
        else:
            say(answer.to_text())


def _plain(noun: Any) -> dict[str, Any]:
    from dataclasses import asdict

    return asdict(noun)
