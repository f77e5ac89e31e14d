"""The command that sets formulas side by side."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say, say_written
from histkit.shell.options import FormulaOptions, pixels

if TYPE_CHECKING:
    from histkit.telling.versions import Version, Versions


def beside(
    formulas: Annotated[
        list[str],
        typer.Argument(help="Files: formulas as printed, or records (.json). The first is yours.", show_default=False),
    ],
    lists: Annotated[
        list[str] | None,
        typer.Option("--list", help="A file with the ingredient list of a label, without amounts. May be given again."),
    ] = None,
    old_lists: Annotated[
        list[str] | None,
        typer.Option("--old-list", help="The same where the order says nothing, as on an old tin. May be given again."),
    ] = None,
    books: Annotated[
        Path | None, typer.Option("--books", help="Put the nearest of whole books beside the first: the folder of their tables.")
    ] = None,
    nearest: Annotated[int, typer.Option(help="How many of the books, 1 to 7.")] = 3,
    kind: Annotated[str | None, typer.Option(help="Only formulas of this kind, such as 'face powder'.")] = None,
    name: Annotated[list[str] | None, typer.Option("--name", help="What each is called, in their order.")] = None,
    powder: Annotated[bool, typer.Option("--powder", help="Leave out what presses them: compare the powders.")] = False,
    to: Annotated[
        list[Path] | None,
        typer.Option("--to", help="Where to write it: .html .md .csv .xlsx .png .svg .pdf. May be given again."),
    ] = None,
    size: Annotated[str, typer.Option(help="Size of a picture in pixels.")] = "3840x2160",
    json_answer: Json = False,
) -> None:
    """Two to eight formulas side by side: shares, what is usual, what only one has, what makes up for what, how far apart."""
    from histkit.telling.versions import version_of, versions

    with kindly():
        across = pixels(size)
        made = [version_of(FormulaOptions(file=file).record(), powder) for file in formulas]
        made += [_listed(file, True) for file in lists or ()] + [_listed(file, False) for file in old_lists or ()]
        if books is not None:
            from histkit.books.besides import nearest_versions

            own, *others = made
            made = [*nearest_versions(books, own, nearest, kind).versions, *others]
        shown = versions(made, name)
        for path in to or ():
            _write(shown, path, across)
        if json_answer:
            print_json(_answer(shown, to or ()))
        elif to:
            say_written(to)
        else:
            say(shown.to_text())


def _listed(file: str, ordered: bool) -> Version:
    from histkit.shell.options import read_text
    from histkit.telling.listed import ingredient_list
    from histkit.telling.versions import version_of

    return version_of(ingredient_list(read_text(file), Path(file).stem, ordered))


def _answer(shown: Versions, written: list[Path] | tuple[Path, ...]) -> dict[str, object]:
    rows = [
        {
            "ingredient": row.ingredient.id,
            "name": row.ingredient.name,
            "does": row.role,
            "shares": dict(zip(shown.names, row.shares, strict=True)),
        }
        for row in shown.rows
    ]
    places = [n for n, v in enumerate(shown.versions) if v.composition is not None]
    distances = [[shown.names[a], shown.names[b], shown.distance(a, b)] for a in places for b in places if a < b]
    mean = {} if shown.mean is None else {p.ingredient.id: p.share for p in shown.mean.parts}
    return {
        "formulas": list(shown.names),
        "rows": rows,
        "core": [i.id for i in shown.core],
        "only": {name: [i.id for i in shown.only(n)] for n, name in enumerate(shown.names)},
        "distances": distances,
        "mean": mean,
        "usual": [
            {
                "ingredient": u.ingredient.id,
                "held": u.held,
                "of": u.among,
                "shares": None if u.shares is None else [u.shares.low, u.shares.best, u.shares.high],
            }
            for u in shown.usual
        ],
        "written": [str(path) for path in written],
    }


def _write(shown: Versions, path: Path, across: tuple[int, int]) -> None:
    """Write it in the form that the name of the file asks for; `across` is the size of a picture in pixels."""
    from histkit.base.files import write_atomically

    writers: dict[str, Callable[[], object]] = {
        ".csv": lambda: shown.to_csv(path),
        ".xlsx": lambda: shown.to_xlsx(path),
        ".html": lambda: write_atomically(path, shown.to_html()),
        ".md": lambda: write_atomically(path, shown.to_markdown()),
        **dict.fromkeys((".png", ".svg", ".pdf"), lambda: shown.to_picture(path, size=across)),
    }
    write = writers.get(path.suffix.lower())
    if write is None:
        raise BadValue(f"--to {path}: the name ends in .html, .md, .csv, .xlsx, .png, .svg or .pdf")
    write()
