"""The tables of a run, read row by row: however large they are, only the rows of one formula are in memory."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from difflib import get_close_matches
from itertools import groupby
from operator import attrgetter
from pathlib import Path
from typing import NamedTuple, TypeVar

from histkit.base.errors import TableError, UnknownName
from histkit.books.kinds import kinds
from histkit.books.rows import columns
from histkit.books.sheets import RowError, cells_of, values


class FormulaCells(NamedTuple):
    """What the questions ask of a row of formulas.csv; the fields are those of `rows.FormulaRow`."""

    book: str
    number: int
    title: str
    kind: str
    page: int | None
    year: int | None
    lines: int
    unknown: int
    error: str


class LineCells(NamedTuple):
    """What the questions ask of a row of lines.csv; the fields are those of `rows.LineRow`."""

    book: str
    number: int
    name: str
    unit: str
    grams: float | None
    share: float | None
    ingredient: str
    today: str
    perhaps: str
    holds: str


Cells = TypeVar("Cells", FormulaCells, LineCells)
_OF_FORMULA = attrgetter("book", "number")


@dataclass(frozen=True)
class Tables:
    """The tables in the folder of a run. Every call reads them anew, from the first row on.

    Raises:
        TableError: there is no such table, or it is damaged, or of another version; says which and what to do.
    """

    folder: Path

    def formulas(self) -> Iterator[FormulaCells]:
        """All formulas, in order."""
        return _rows(self.folder / "formulas.csv", FormulaCells)

    def lines(self) -> Iterator[LineCells]:
        """All lines, in the order of the formulas."""
        return _rows(self.folder / "lines.csv", LineCells)

    def of_kind(self, kind: str | None) -> Iterator[tuple[FormulaCells, list[LineCells]]]:
        """The formulas of a kind with their lines, in order; those of all kinds where none is given.

        Raises:
            UnknownName: there is no such kind.
        """
        if kind is not None and kind not in kinds():
            raise UnknownName("kind of formula", kind, tuple(get_close_matches(kind, kinds(), n=3, cutoff=0.4)) or kinds())
        groups = groupby(self.lines(), _OF_FORMULA)
        for formula in self.formulas():
            own: list[LineCells] = []
            if formula.lines:
                key, group = next(groups, (None, ()))
                own = list(group)
                if key != _OF_FORMULA(formula) or len(own) != formula.lines:
                    raise self._of_several_runs()
            if kind is None or formula.kind == kind:
                yield formula, own
        if next(groups, None) is not None:
            raise self._of_several_runs()

    def _of_several_runs(self) -> TableError:
        return TableError(
            f"lines.csv and formulas.csv in {self.folder} do not belong together, or their rows were put in another order: "
            "read the books again"
        )


def _rows(path: Path, cells: type[Cells]) -> Iterator[Cells]:
    try:
        with path.open("rb") as file:
            heading = cells_of(file.readline())
            names = columns(path.stem)
            if missing := [column for column in names if column not in heading]:
                raise TableError(
                    f"{path} is no table of a run of this histkit: it lacks {', '.join(missing)}; read the books again"
                )
            if tuple(heading) != names:
                raise TableError(f"{path}: its columns are not those that the run wrote, in their order; read the books again")
            for row in values(path.stem, file, [names.index(field) for field in cells._fields]):
                yield cells._make(row)
    except FileNotFoundError:
        raise TableError(f"there is no {path}: give the folder that 'histkit corpus read' wrote its tables into") from None
    except (RowError, OSError) as error:
        raise TableError(f"{path} is damaged or no table of a run ({error}): read the books again") from None
