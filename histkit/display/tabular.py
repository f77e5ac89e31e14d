"""Mixed into each noun: what it says of itself as a grid can be shown everywhere.

pandas is imported only when a frame is asked for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from histkit.base.grid import Grid
from histkit.display.grids import to_html, to_markdown, to_text

if TYPE_CHECKING:
    import pandas


class Tabular:
    """Mixed into each noun: it says what its table holds (`_grid`) and can then be shown everywhere."""

    __slots__ = ()

    def _grid(self) -> Grid:
        raise NotImplementedError

    def grids(self) -> tuple[Grid, ...]:
        """All that is to be shown, the noun's own table first; most nouns have that one alone."""
        return (self._grid(),)

    def to_frame(self) -> pandas.DataFrame:
        """The table as a DataFrame: one row for each line, columns named by their keys, plain numbers."""
        import pandas

        grid = self._grid()
        return pandas.DataFrame([list(row) for row in grid.rows], columns=[c.key for c in grid.columns])

    def to_html(self) -> str:
        """The tables as HTML, everything escaped."""
        return "".join(map(to_html, self.grids()))

    def to_markdown(self) -> str:
        """The tables as Markdown."""
        return "\n".join(map(to_markdown, self.grids()))

    def to_text(self) -> str:
        """The tables as aligned plain text."""
        return "\n\n".join(map(to_text, self.grids()))

    def _repr_html_(self) -> str:
        return self.to_html()

    def _repr_pretty_(self, printer: Any, cycle: bool) -> None:
        printer.text(f"{type(self).__name__}(…)" if cycle else self.to_text())
