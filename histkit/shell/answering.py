"""How the shell answers: as JSON, and with one sentence where something is wrong.

Exit codes: 0 done; 1 the answer is no (nothing found, nothing read, a forbidden ingredient); 2 the call's words are off.
"""

from __future__ import annotations

import json
import sys
import textwrap
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING, Annotated, Any

import typer
from typer.core import TyperGroup

from histkit.base.errors import BadValue, Forbidden, HistkitError
from histkit.base.text import clean
from histkit.display.grids import ACROSS

if TYPE_CHECKING:
    from histkit.base.nouns import Spread
    from histkit.glossary.nouns import Caution

_LONGEST = 1500
"""Characters of a message that are shown: an error that quotes a whole book is no help."""

Json = Annotated[bool, typer.Option("--json", help="Answer as JSON.")]


_WAYS_OUT = "In this call: --instead {}=zinc-oxide (or another stand-in), --known 'the printed name=why you know it'."
"""What a call can say about what keeps a batch from the bench."""


def say(text: str, err: bool = False) -> None:
    """Print a text, without the characters that a terminal would act upon: names of files and words of a record may hold them."""
    typer.echo(clean(text), err=err)


def say_prose(text: str, err: bool = False) -> None:
    """Print sentences, no line longer than a terminal that has no other width shows."""
    say("\n".join(textwrap.fill(line, ACROSS, break_long_words=False) for line in text.split("\n")), err)


def say_written(paths: Iterable[object]) -> None:
    """Name the files that were written, one a line."""
    for path in paths:
        say(f"written: {path}")


def sentence(error: Exception) -> str:
    """An error in words."""
    if isinstance(error, OSError):
        text = f"{error.filename or ''}: {error.strerror or error}"
    elif isinstance(error, KeyError) and not isinstance(error, HistkitError):
        text = " ".join(map(str, error.args))  # its own text would be the repr
    else:
        text = str(error)
    if isinstance(error, Forbidden) and error.ingredients:
        text += f" {_WAYS_OUT.format(error.ingredients[0])}"
    text = clean(f"histkit: {text}")
    return text if len(text) <= _LONGEST else f"{text[: _LONGEST - 300]} … {text[-297:]}"


@contextmanager
def kindly() -> Iterator[None]:
    """Own errors become one sentence on standard error and an exit code."""
    try:
        yield
    except BrokenPipeError:  # the reader of a pipe has enough, as `head` has: Typer ends quietly
        raise
    except (HistkitError, KeyError, OSError) as error:
        typer.echo(sentence(error), err=True)
        raise typer.Exit(2 if isinstance(error, (BadValue, OSError)) else 1) from None


def print_json(value: Any) -> None:
    """Print a value as JSON: in UTF-8 letters as they are, but hidden characters as escapes, which a JSON reader gives back."""
    utf_8 = (sys.stdout.encoding or "").lower().replace("-", "") == "utf8"
    text = json.dumps(value, ensure_ascii=not utf_8, indent=1, default=str)
    if clean(text) != text:
        text = "".join(c if clean(c) == c else json.dumps(c)[1:-1] for c in text)
    typer.echo(text)


def spread_json(spread: Spread | None) -> dict[str, float] | None:
    """A spread as JSON holds it."""
    return None if spread is None else {"low": spread.low, "best": spread.best, "high": spread.high}


def cautions_json(cautions: Iterable[Caution]) -> list[dict[str, Any]]:
    """Cautions as JSON holds them: level, text, law."""
    return [{"level": c.level, "text": c.text, "law": c.law} for c in cautions]


class Shell(TyperGroup):
    """The commands. What Typer says of a call that it does not understand quotes the call's words: they too are shown plainly."""

    def make_context(self, *words: Any, **more: Any) -> Any:
        with _plainly():
            return super().make_context(*words, **more)

    def invoke(self, ctx: Any) -> Any:
        with _plainly():
            return super().invoke(ctx)


@contextmanager
def _plainly() -> Iterator[None]:
    try:
        yield
    except typer.TyperException as error:
        error.message = clean(error.message)
        raise
