"""The `histkit` command: what all its commands share, and their order. Thin: every command is one call into the package.

The commands stand in `formulas`, `photo`, `bench`, `scent`, `beside`, `tables`, `record`, `lab` and `corpus`; the options
that several of them share in `options`; what an answer or an error looks like in `answering`.
"""

from __future__ import annotations

import gc
import io
import sys
from pathlib import Path
from typing import Annotated

import typer

from histkit.shell.answering import Shell, kindly, say
from histkit.shell.bench import batch, effects, label, press, trials
from histkit.shell.beside import beside
from histkit.shell.corpus import app as corpus
from histkit.shell.formulas import blend, find, substitutes, translate
from histkit.shell.lab import lab
from histkit.shell.photo import photo
from histkit.shell.record import record
from histkit.shell.scent import scent
from histkit.shell.shade import app as shade
from histkit.shell.tables import demo, table

app = typer.Typer(
    cls=Shell,
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    help="From a printed antique toilet or pharmacy formula to a powder that can be weighed, pressed and shown. "
    "Nothing here replaces a safety assessor, a physician or your local rules.",
)

app.add_typer(corpus, name="corpus")
app.add_typer(shade, name="shade")
for command in (
    demo,
    translate,
    photo,
    find,
    press,
    batch,
    label,
    effects,
    substitutes,
    blend,
    trials,
    scent,
    beside,
    record,
    table,
    lab,
):
    app.command()(command)


def _tell_version(asked: bool) -> None:
    if asked:
        from importlib.metadata import version

        say(f"histkit {version('histkit')}")
        raise typer.Exit


@app.callback()
def main_options(
    glossary_folder: Annotated[
        Path | None,
        typer.Option("--glossary", help="A folder with tables of your own (names.csv …) that add to the glossary."),
    ] = None,
    version: Annotated[
        bool, typer.Option("--version", help="Say which version this is.", callback=_tell_version, is_eager=True)
    ] = False,
) -> None:
    if glossary_folder is not None:
        from histkit import glossary

        with kindly():
            glossary.use(glossary_folder)
            say(glossary.own_summary(), err=True)


NEW_OBJECTS = 100_000
"""New objects after which garbage is looked for, in place of a few hundred: the search goes over the large tables, which stay."""


def main() -> None:
    """Entry point of the `histkit` command."""
    gc.set_threshold(NEW_OBJECTS, *gc.get_threshold()[1:])
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal that has no ʒ shows its number, and nothing breaks off
    app()


if __name__ == "__main__":
    main()
