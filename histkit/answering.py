"""How the shell answers: as JSON, and with one sentence where something is wrong.

Exit codes: 0 done; 1 the answer is no (nothing found, nothing read, a forbidden ingredient); 2 the call's words are off.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import typer

from histkit.errors import BadValue, HistkitError
from histkit.tabular import clean


@contextmanager
def kindly() -> Iterator[None]:
    """Own errors become one sentence on standard error and an exit code."""
    try:
        yield
    except BadValue as error:
        typer.echo(clean(f"histkit: {error}"), err=True)
        raise typer.Exit(2) from None
    except (HistkitError, KeyError) as error:
        text = error.args[0] if isinstance(error, KeyError) and not isinstance(error, HistkitError) else error
        typer.echo(clean(f"histkit: {text}"), err=True)
        raise typer.Exit(1) from None
    except OSError as error:
        typer.echo(clean(f"histkit: {error.filename or ''}: {error.strerror or error}"), err=True)
        raise typer.Exit(2) from None


def print_json(value: Any) -> None:
    typer.echo(json.dumps(value, ensure_ascii=False, indent=1, default=str))
