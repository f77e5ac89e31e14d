"""What can go wrong, each kind with the fields that a caller may want.

A message says three things: where it is, what is wrong, what would be right.
"""

from __future__ import annotations


def quoted(value: object) -> str:
    """A value as a message quotes it, in a line at most; a whole number of thousands of figures cannot even be written out."""
    try:
        text = repr(value)
    except ValueError:
        return "a number of thousands of figures"
    return text if len(text) <= 60 else f"{text[:57]}..."


class HistkitError(ValueError):
    """Base of every error that histkit raises on purpose; its text is fit to be shown to a maker."""


class ReadingError(HistkitError):
    """Nothing in the text could be taken for an ingredient line."""


class UnknownName(HistkitError, KeyError):
    """A name, unit or convention that no table knows.

    `near` holds the closest known names, so that a face can offer them.
    """

    def __init__(self, kind: str, name: str, near: tuple[str, ...] = ()) -> None:
        self.kind, self.name, self.near = kind, name, near
        hint = f" Did you mean {' or '.join(repr(n) for n in near)}?" if near else ""
        self.message = f"no {kind} is called {name!r}.{hint}"
        super().__init__(self.message)

    def __str__(self) -> str:  # KeyError would print the repr of its argument
        return self.message

    def __reduce__(self) -> tuple[type, tuple[str, str, tuple[str, ...]]]:
        return type(self), (self.kind, self.name, self.near)


class BadValue(HistkitError):
    """A number or choice outside what makes sense; names the field and the range that would do."""


class Forbidden(HistkitError):
    """A batch was asked for with an ingredient in it that must not be used.

    `ingredients` holds the ids of the offenders.
    """

    def __init__(self, message: str, ingredients: tuple[str, ...] = ()) -> None:
        self.message, self.ingredients = message, ingredients
        super().__init__(message)

    def __reduce__(self) -> tuple[type, tuple[str, tuple[str, ...]]]:
        return type(self), (self.message, self.ingredients)


class TableError(HistkitError):
    """A data table (the glossary, a record, a maker's own additions) breaks its own rules.

    The text names the file, the row and the column.
    """


class RecordError(HistkitError):
    """A file cannot be read or written; the text says which file, why, and what to do."""
