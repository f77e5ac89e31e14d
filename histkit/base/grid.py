"""A grid of words and numbers: the plain description of a table, which `display.grids` draws."""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.text import Cell, show


@dataclass(frozen=True, slots=True)
class Column:
    """One column: the key that frames use, the heading that people read, and how to print its numbers."""

    key: str
    heading: str
    decimals: int | None = None
    """Digits after the point for numbers; None prints up to four significant digits."""

    @property
    def numeric(self) -> bool:
        return self.decimals is not None


@dataclass(frozen=True, slots=True)
class Grid:
    """`columns` × `rows` with a caption above and notes below. Every row has one cell for each column."""

    columns: tuple[Column, ...]
    rows: tuple[tuple[Cell, ...], ...]
    caption: str = ""
    notes: tuple[str, ...] = ()

    def texts(self) -> list[list[str]]:
        """The cells as people read them."""
        return [[show(cell, column.decimals) for cell, column in zip(row, self.columns, strict=True)] for row in self.rows]
