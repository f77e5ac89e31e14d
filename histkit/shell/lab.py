"""The command that opens the notebooks."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from histkit.shell.answering import kindly, say


def lab(
    folder: Annotated[
        Path, typer.Argument(help="Where the notebooks go; notebooks that you changed are never overwritten.")
    ] = Path("histkit-notebooks"),
    browser: Annotated[bool, typer.Option(help="Open a browser window.")] = True,
    start: Annotated[bool, typer.Option(help="Start JupyterLab; with --no-start only put the notebooks there.")] = True,
    as_app: Annotated[
        bool, typer.Option("--app", help="Serve them with Voilà as plain pages, for who wants no notebook.")
    ] = False,
) -> None:
    """Put the notebooks into a folder and open JupyterLab there."""
    from histkit.shell import notebooks, servers

    with kindly():
        for line in notebooks.put(folder):
            say(line)
        if start:
            ended = servers.open_app(folder, browser, say) if as_app else servers.open_lab(folder, browser)
            raise typer.Exit(ended)
