"""The command about record files."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from histkit.base.errors import BadValue
from histkit.shell.answering import Json, kindly, print_json, say


def record(
    file: Annotated[Path | None, typer.Argument(help="A record (.json).", show_default=False)] = None,
    schema: Annotated[bool, typer.Option("--schema", help="Print the JSON Schema of record files.")] = False,
    restore: Annotated[bool, typer.Option("--restore", help="Put the last good state from its history back.")] = False,
    json_answer: Json = False,
) -> None:
    """Look whether a record file is whole, put an earlier state back, or print the form of such files."""
    from histkit.keeping import records

    with kindly():
        if schema:
            print_json(records.schema())
            return
        if file is None:
            raise BadValue("name a record file, or ask for --schema")
        aside = records.restore(file) if restore else None
        whole = records.load(file)
        answer = {
            "file": str(file),
            "title": whole.formula().title if whole.text.strip() else "",
            "replacements": len(whole.replacements),
            "pressed": whole.pressing is not None,
            "trials": len(whole.trials),
            "batches": len(whole.batches),
            "set_aside": str(aside) if aside else None,
        }
        if json_answer:
            print_json(answer)
            return
        if aside:
            say(f"The last good state was put back; what stood there is now {aside}.")
        say(
            f"{file} is whole: {answer['title'] or 'without a title'}, {answer['replacements']} stand-ins,"
            f" {'pressed' if whole.pressing else 'loose'}, {answer['trials']} trials, {answer['batches']} batches made."
        )
