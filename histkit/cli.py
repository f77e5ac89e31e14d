"""The shell: `histkit demo | translate | find | press | table | lab | corpus`. Thin: every command is one call into the package.

Exit codes: 0 done; 1 the answer is no (nothing found, nothing read, a forbidden ingredient); 2 the call's words are off.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Annotated, Any

import typer

from histkit.books.commands import app as corpus
from histkit.errors import BadValue, HistkitError
from histkit.model import Ingredient, Source, Spread

app = typer.Typer(
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="From a printed antique toilet or pharmacy formula to a powder that can be weighed, pressed and shown. "
    "Nothing here replaces a safety assessor, a physician or your local rules.",
)

app.add_typer(corpus, name="corpus")

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]
TextFile = Annotated[str, typer.Argument(help="A file with the formula as printed, or - for standard input.", show_default=False)]
Title = Annotated[str, typer.Option("--book", help="Title of the book.")]
Author = Annotated[str, typer.Option(help="Author of the book.")]
Year = Annotated[int | None, typer.Option(help="Year of printing.")]
Country = Annotated[str, typer.Option(help="Country of printing: GB, US, FR, DE …")]
Kind = Annotated[
    str | None, typer.Option(help="pharmacopoeia, prescription, trade receipt book, household receipt book or perfumery manual.")
]
Measures = Annotated[
    str | None,
    typer.Option("--measures", help="Id of the convention of measures, if you know better than the choice from the source."),
]
Instead = Annotated[
    list[str] | None,
    typer.Option(
        "--instead",
        help="A stand-in, as removed=stand-in:grams[,stand-in:grams]; "
        "e.g. lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3. May be given again.",
    ),
]
Binder = Annotated[str, typer.Option(help="Id of the dry binder, or 'none'.")]
BinderShare = Annotated[float, typer.Option("--binder-share", help="Its share of the finished cake, 0.05 for 5 per cent.")]
Oil = Annotated[str, typer.Option(help="Id of the oil, or 'none'.")]
OilShare = Annotated[float, typer.Option("--oil-share", help="Its share of the finished cake.")]
Grams = Annotated[float, typer.Option(help="How much to make, in grams.")]
Readability = Annotated[float, typer.Option(help="The balance's smallest step, in grams.")]
Minimum = Annotated[float, typer.Option(help="The least that the balance weighs well, in grams.")]


@contextmanager
def _kindly() -> Iterator[None]:
    """Own errors become one sentence on standard error and an exit code."""
    try:
        yield
    except BadValue as error:
        typer.echo(f"histkit: {error}", err=True)
        raise typer.Exit(2) from None
    except (HistkitError, KeyError) as error:
        text = error.args[0] if isinstance(error, KeyError) and not isinstance(error, HistkitError) else error
        typer.echo(f"histkit: {text}", err=True)
        raise typer.Exit(1) from None
    except OSError as error:
        typer.echo(f"histkit: {error.filename or ''}: {error.strerror or error}", err=True)
        raise typer.Exit(2) from None


def _print_json(value: Any) -> None:
    typer.echo(json.dumps(value, ensure_ascii=False, indent=1, default=str))


def _spread(spread: Spread | None) -> dict[str, float] | None:
    return None if spread is None else {"low": spread.low, "best": spread.best, "high": spread.high}


def _text(file: str) -> str:
    if file == "-":
        return sys.stdin.read()
    path = Path(file)
    if not path.is_file():
        raise BadValue(f"there is no file {file}: give a file with the formula as printed, or - to type or pipe it in")
    try:
        return path.read_text(encoding="utf-8")
    except UnicodeDecodeError as error:
        raise BadValue(
            f"{file} is no UTF-8 text ({error.reason} at byte {error.start}): save it as UTF-8 and try again"
        ) from None


def _record(
    file: str,
    book: str,
    author: str,
    year: int | None,
    country: str,
    kind: str | None,
    measures: str | None,
    instead: list[str] | None = None,
) -> Any:
    from histkit import records

    if file.endswith(".json") and Path(file).is_file():
        return records.load(file)
    source = Source(title=book, author=author, year=year, country=country.upper(), kind=kind)
    return records.Record(
        text=_text(file), source=source, convention=measures, replacements=tuple(map(_replacement, instead or ()))
    )


def _replacement(words: str) -> Any:
    from histkit.records import Replacement

    removed, equals, rest = words.partition("=")
    parts = []
    for piece in rest.split(","):
        name, colon, grams = piece.partition(":")
        try:
            parts.append((name.strip(), float(grams) if colon else 1.0))
        except ValueError:
            raise BadValue(
                f"--instead {words!r}: {grams!r} is no number; "
                "write for instance lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3"
            ) from None
    if not equals or not removed:
        raise BadValue(f"--instead {words!r} lacks an '='; write for instance lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3")
    return Replacement(removed.strip(), tuple(p for p in parts if p[0]))


@app.command()
def demo(
    out: Annotated[Path, typer.Option(help="Folder for the tables and pictures.")] = Path("out"),
    json_answer: Json = False,
) -> None:
    """Take an invented powder from printed words to bench sheet, tables and pictures."""
    from histkit import demo as demonstration

    with _kindly():
        silent: Callable[[str], None] = lambda _text: None  # noqa: E731
        written = demonstration.run(out, tell=silent if json_answer else typer.echo)
        if json_answer:
            _print_json({"folder": str(out.resolve()), "files": [str(p.resolve()) for p in written]})
        else:
            typer.echo(f"Written to {out.resolve()}:")
            for path in written:
                typer.echo(f"  {path.name}")


@app.command()
def translate(
    file: TextFile = "-",
    book: Title = "",
    author: Author = "",
    year: Year = None,
    country: Country = "",
    kind: Kind = None,
    measures: Measures = None,
    explain: Annotated[bool, typer.Option(help="Say for each line how it was read and weighed.")] = False,
    json_answer: Json = False,
) -> None:
    """What a printed formula means: each line in grams, with its doubts and cautions."""
    with _kindly():
        translation = _record(file, book, author, year, country, kind, measures).translation()
        if json_answer:
            lines = [
                {
                    "raw": t.line.raw,
                    "name": t.name,
                    "ingredient": t.ingredient.id if t.ingredient else None,
                    "measure": t.line.measure_text(),
                    "grams": _spread(t.grams),
                    "share": _spread(t.share),
                    "cautions": [{"level": c.level, "text": c.text, "law": c.law} for c in t.cautions],
                    "doubts": [d.text for d in t.doubts],
                }
                for t in translation.lines
            ]
            _print_json(
                {
                    "title": translation.formula.title,
                    "convention": translation.convention.id,
                    "why": translation.why_convention(),
                    "lines": lines,
                    "directions": translation.formula.directions,
                    "unread": translation.formula.unread,
                }
            )
            return
        typer.echo(translation.to_text())
        if matters := [m for m in translation.what_matters() if m.effect > 0.001]:
            typer.echo("\nWhat matters most:")
            for matter in matters[:5]:
                typer.echo(f"  {100 * matter.effect:5.1f} % of the mass: {matter.text}")
        if explain:
            for t in translation.lines:
                typer.echo("\n" + t.explain())


@app.command()
def find(
    name: Annotated[
        list[str], typer.Argument(help="A printed name, such as 'pulv. rad. irid. flor.' or zinc.", show_default=False)
    ],
    json_answer: Json = False,
) -> None:
    """What an archaic name is today, and what must be known of it."""
    from histkit import glossary

    with _kindly():
        words = " ".join(name)
        match = glossary.find(words)
        if match is None:
            if json_answer:
                _print_json(None)
            else:
                typer.echo(f"The glossary knows no {words!r}.", err=True)
            raise typer.Exit(1)
        if json_answer:
            entry = match.ingredient
            _print_json(
                {
                    "id": entry.id,
                    "name": entry.name,
                    "label_name": entry.inci,
                    "cas": entry.cas,
                    "kind": entry.kind,
                    "via": match.via,
                    "score": match.score,
                    "description": entry.description,
                    "roles": [r.role for r in entry.roles],
                    "cautions": [{"level": c.level, "text": c.text, "law": c.law, "source": c.source} for c in entry.cautions],
                    "alternatives": [i.id for i in match.alternatives],
                    "doubts": [d.text for d in match.doubts],
                    "instead": [
                        {"option": s.option, "parts": dict(s.parts), "kept": s.kept, "changes": s.changes} for s in entry.stands
                    ],
                }
            )
            return
        typer.echo(_card(match.ingredient))
        for doubt in match.doubts:
            typer.echo(f"\nDoubt: {doubt.text} {doubt.effect}".rstrip())


def _card(entry: Ingredient) -> str:
    import textwrap

    grid = entry._grid()
    width = max(len(row[0]) for row in grid.texts())
    out = [entry.name, "=" * len(entry.name)]
    for label, text in grid.texts():
        wrapped = textwrap.wrap(text, 96 - width) or ["–"]
        out += [f"{label.ljust(width)}  {wrapped[0]}", *(" " * (width + 2) + more for more in wrapped[1:])]
    return "\n".join(out)


@app.command()
def press(
    file: TextFile = "-",
    book: Title = "",
    author: Author = "",
    year: Year = None,
    country: Country = "",
    kind: Kind = None,
    measures: Measures = None,
    instead: Instead = None,
    binder: Binder = "magnesium-stearate",
    binder_share: BinderShare = 0.05,
    oil: Oil = "jojoba-oil",
    oil_share: OilShare = 0.03,
    grams: Grams = 60.0,
    readability: Readability = 0.01,
    minimum: Minimum = 0.2,
    json_answer: Json = False,
) -> None:
    """Turn a loose powder into a pressed one and say what to weigh."""
    from histkit.records import Weighing

    with _kindly():
        record = _made(
            _record(file, book, author, year, country, kind, measures, instead),
            _pressing(binder, binder_share, oil, oil_share),
            Weighing(grams, readability, minimum),
            keep=file.endswith(".json"),
        )
        pressed, batch = record.pressed(), record.batch()
        if json_answer:
            weighings = [
                {"ingredient": w.ingredient.id, "name": w.ingredient.name, "grams": w.grams, "aliquot": w.aliquot is not None}
                for w in batch.weighings
            ]
            parts = [{"ingredient": p.ingredient.id, "share": p.share} for p in record.final().parts]
            _print_json({"composition": parts, "weighings": weighings, "warnings": list(pressed.warnings) if pressed else []})
            return
        if pressed is not None:
            typer.echo(pressed.to_text() + "\n")
        typer.echo(batch.to_text())


def _pressing(binder: str, binder_share: float, oil: str, oil_share: float) -> Any:
    """The choice of pressing; 'none' leaves the binder or the oil out, and its share with it."""
    from histkit.records import Pressing

    dry, liquid = binder != "none", oil != "none"
    return Pressing(binder if dry else None, binder_share if dry else 0.0, oil if liquid else None, oil_share if liquid else 0.0)


def _made(record: Any, pressing: Any, weighing: Any, keep: bool) -> Any:
    """A record from a text takes the shell's choices; one from a record file keeps its own."""
    from dataclasses import replace

    return record if keep else replace(record, pressing=pressing, weighing=weighing)


@app.command()
def table(
    file: TextFile = "-",
    to: Annotated[
        list[Path] | None,
        typer.Option("--to", help="Where to write it: .html .md .csv .xlsx .png .svg .pdf. May be given again."),
    ] = None,
    size: Annotated[str, typer.Option(help="Size of a picture in pixels.")] = "3840x2160",
    book: Title = "",
    author: Author = "",
    year: Year = None,
    country: Country = "",
    kind: Kind = None,
    measures: Measures = None,
    instead: Instead = None,
    loose: Annotated[bool, typer.Option("--loose", help="Leave it a loose powder.")] = False,
    binder: Binder = "magnesium-stearate",
    binder_share: BinderShare = 0.05,
    oil: Oil = "jojoba-oil",
    oil_share: OilShare = 0.03,
    grams: Grams = 60.0,
    readability: Readability = 0.01,
    minimum: Minimum = 0.2,
    json_answer: Json = False,
) -> None:
    """The table that sets old beside new, on the screen or as files."""
    from histkit.records import Weighing, write_atomically

    with _kindly():
        width, _, height = size.lower().partition("x")
        if not (width.isdigit() and height.isdigit()):
            raise BadValue(f"--size {size!r}: write width x height in pixels, such as 1920x1080")
        record = _made(
            _record(file, book, author, year, country, kind, measures, instead),
            None if loose else _pressing(binder, binder_share, oil, oil_share),
            Weighing(grams, readability, minimum),
            keep=file.endswith(".json"),
        )
        made = record.table()
        written: list[str] = []
        for path in to or ():
            ending = path.suffix.lower()
            if ending == ".csv":
                made.to_csv(path)
            elif ending == ".xlsx":
                made.to_xlsx(path)
            elif ending == ".html":
                from histkit.display import html

                write_atomically(path, html.page(made))
            elif ending == ".md":
                write_atomically(path, made.to_markdown())
            elif ending in (".png", ".svg", ".pdf"):
                made.to_picture(path, size=(int(width), int(height)))
            else:
                raise BadValue(f"--to {path}: the name ends in .html, .md, .csv, .xlsx, .png, .svg or .pdf")
            written.append(str(path))
        if json_answer:
            _print_json({"rows": made.to_frame().to_dict(orient="records"), "written": written})
        elif not to:
            typer.echo(made.to_text())
        else:
            for path_text in written:
                typer.echo(f"written: {path_text}")


@app.command()
def lab(
    folder: Annotated[
        Path, typer.Argument(help="Where the notebooks go; notebooks that you changed are never overwritten.")
    ] = Path("histkit-notebooks"),
    browser: Annotated[bool, typer.Option(help="Open a browser window.")] = True,
    start: Annotated[bool, typer.Option(help="Start JupyterLab; with --no-start only put the notebooks there.")] = True,
) -> None:
    """Put the notebooks into a folder and open JupyterLab there."""
    from histkit import notebooks

    with _kindly():
        told = notebooks.put(folder)
        for line in told:
            typer.echo(line)
        if start:
            raise typer.Exit(notebooks.open_lab(folder, browser))


def main() -> None:
    """Entry point of the `histkit` command."""
    app()


if __name__ == "__main__":
    main()
