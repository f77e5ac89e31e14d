"""Formulas side by side: what each holds, what it does there, what only one has and what makes up for what.

Two to eight of them, from books, records or the bench; a list without amounts, as a tin prints it, stands beside them with its
order alone. Distance and mean are those of shares by their ratios (`composing.likeness`).
"""

from __future__ import annotations

import json
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, quoted
from histkit.base.files import write_atomically
from histkit.base.filmed import Strip
from histkit.base.grid import Grid
from histkit.base.nouns import Source
from histkit.base.text import csv_text
from histkit.bench.batching import Batch
from histkit.bench.pressing import PressedFormula
from histkit.composing.composition import Composition
from histkit.composing.likeness import aitchison, centre
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.reading.formula import Formula
from histkit.telling import aligning
from histkit.telling.aligning import Exchange, VersionRow
from histkit.telling.listed import IngredientList, ingredient_list
from histkit.telling.usual import Usual, usual, usual_grid
from histkit.translating.translation import Translation
from histkit.translating.translator import translate

if TYPE_CHECKING:
    import pandas

FEWEST, MOST = 2, 8
"""How many formulas stand side by side: more would be no comparison but a collection."""
LOOSE, PRESSED, LISTED = "loose", "pressed", "list"


@dataclass(frozen=True, slots=True)
class Version(Tabular):
    """One of the formulas: a composition, or (`form` "list") a list without amounts. `name` is its heading."""

    name: str
    composition: Composition | None = None
    listed: IngredientList | None = None
    form: str = LOOSE

    @property
    def shares(self) -> dict[str, float]:
        """Ingredient id → share of the mass (0–1); nothing for a list."""
        return {} if self.composition is None else {p.ingredient.id: p.share for p in self.composition.parts}

    @property
    def source(self) -> Source | None:
        """The book, where it is known."""
        return None if self.composition is None else self.composition.source

    def _grid(self) -> Grid:
        return aligning.grid_of_one(self)


@dataclass(frozen=True)
class Versions(Tabular):
    """Formulas side by side; they are counted from 0. `to_frame` has a row for each ingredient and a column for each formula."""

    versions: tuple[Version, ...]

    def __post_init__(self) -> None:
        if not FEWEST <= len(self.versions) <= MOST:
            raise BadValue(f"{FEWEST} to {MOST} formulas are set side by side, not {len(self.versions)}")
        names = [v.name for v in self.versions]
        if len(set(names)) < len(names):
            raise BadValue(f"each formula has a name of its own, not {', '.join(names)}")

    # -- what they hold ---------------------------------------------------------------------------------------------------

    @cached_property
    def rows(self) -> tuple[VersionRow, ...]:
        """Every ingredient of any of them: what does the same stands together, the greatest share first."""
        return aligning.aligned(self.versions)

    @property
    def names(self) -> tuple[str, ...]:
        """The headings, in order."""
        return tuple(v.name for v in self.versions)

    @property
    def core(self) -> tuple[Ingredient, ...]:
        """What all of them hold, lists included."""
        return tuple(row.ingredient for row in self.rows if all(map(row.held, range(len(self.versions)))))

    @cached_property
    def usual(self) -> tuple[Usual, ...]:
        """Every ingredient with how many have it and how much then: what all hold first."""
        return usual(self.rows)

    def only(self, place: int) -> tuple[Ingredient, ...]:
        """What no other has but the formula at this place."""
        self.at(place)
        others = [n for n in range(len(self.versions)) if n != self._place(place)]
        here = self._place(place)
        return tuple(row.ingredient for row in self.rows if row.held(here) and not any(map(row.held, others)))

    def by_role(self) -> dict[str, tuple[float | None, ...]]:
        """What is done → the share of the mass (0–1) that chiefly does it in each formula; None for a list."""
        totals: dict[str, list[float]] = {}
        for row in self.rows:
            sums = totals.setdefault(row.role, [0.0] * len(self.versions))
            for place, share in enumerate(row.shares):
                sums[place] += share or 0.0
        return {
            role: tuple(None if v.composition is None else s for v, s in zip(self.versions, sums, strict=True))
            for role, sums in totals.items()
        }

    def makes_up(self, one: int, other: int) -> tuple[Exchange, ...]:
        """What `one` has and `other` lacks, work by work, with what `other` has more of for the same work.

        Raises:
            BadValue: there is no formula at that place.
        """
        for place in (one, other):
            self.at(place)
        return aligning.exchanges(self.rows, self._place(one), self._place(other))

    @property
    def alike(self) -> bool:
        """Whether all of those with amounts, two at least, hold the same: then a mean of them says something."""
        held = [frozenset(v.shares) for v in self.measured]
        return len(held) > 1 and len(set(held)) == 1

    # -- how like they are -------------------------------------------------------------------------------------------------

    @property
    def measured(self) -> tuple[Version, ...]:
        """Those with amounts."""
        return tuple(v for v in self.versions if v.composition is not None)

    def distance(self, one: int, other: int) -> float:
        """The Aitchison distance of two of them, 0 for the same: over the ingredients that either has, by the ratios of shares.

        Shares under 0.1 % count as nought, and nought as 0.065 % (multiplicative replacement, Martín-Fernández et al. 2003). A
        third formula beside them changes nothing.

        Raises:
            BadValue: there is no formula at that place, or it is a list without amounts.
        """
        first, second = self.at(one), self.at(other)
        for v in (first, second):
            if v.composition is None:
                raise BadValue(f"{quoted(v.name)} is a list without amounts: its order says too little for a distance")
        return aitchison(first.shares, second.shares)

    @cached_property
    def mean(self) -> Composition | None:
        """The centre of those with amounts: the geometric mean of their shares, closed to 1; None where none has amounts.

        What one of them lacks counts there as 0.065 % (see `distance`), so it becomes small and does not vanish. Of formulas that
        lack what others have it says little: `usual` says more.
        """
        if not self.measured:
            return None
        ingredients = {row.ingredient.id: row.ingredient for row in self.rows}
        middle = centre([v.shares for v in self.measured])
        ranked = sorted(middle.items(), key=lambda pair: -pair[1])
        return Composition.of([(ingredients[key], share) for key, share in ranked], name=f"Mean of {len(self.measured)} formulas")

    def at(self, place: int) -> Version:
        """The formula at a place, counted from 0.

        Raises:
            BadValue: there is none.
        """
        if not is_whole(place) or not -len(self.versions) <= place < len(self.versions):
            raise BadValue(f"the formulas are counted from 0 to {len(self.versions) - 1}; there is none at {quoted(place)}")
        return self.versions[place]

    def _place(self, place: int) -> int:
        return place % len(self.versions)

    # -- to be shown -------------------------------------------------------------------------------------------------------

    def _grid(self) -> Grid:
        return aligning.grid(self)

    def distances(self) -> Grid:
        """How far apart those with amounts are, each from each."""
        return aligning.distance_grid(self)

    def exchanges_grid(self) -> Grid:
        """What makes up for what: the first formula beside each of the others."""
        return aligning.exchange_grid(self)

    def usual_grid(self) -> Grid:
        """What they have in common, and of the rest how many have it and how much then."""
        return usual_grid(self.usual)

    def grids(self) -> tuple[Grid, ...]:
        """All that is to be told: the shares, what is usual, what makes up for what, how far apart they are."""
        more = [self.usual_grid(), self.exchanges_grid(), *([self.distances()] if len(self.measured) > 1 else [])]
        return (self._grid(), *(grid for grid in more if grid.rows))

    def to_frame(self) -> pandas.DataFrame:
        """One row for each ingredient (the index is its id), one column for each formula by its name: per cent of the mass.

        0 is 'not in it', NaN 'in it, without an amount' (a list). `frame.attrs` has today's names and what each does by id.
        """
        import pandas

        cells = [[None if s is None else 100 * s for s in row.shares] for row in self.rows]
        index = pandas.Index([row.ingredient.id for row in self.rows], name="ingredient")
        frame = pandas.DataFrame(cells, index=index, columns=list(self.names), dtype=float)
        frame.attrs = {
            "names": {row.ingredient.id: row.ingredient.name for row in self.rows},
            "roles": {row.ingredient.id: row.role for row in self.rows},
        }
        return frame

    def to_csv(self, path: str | Path) -> Path:
        """The shares as a CSV file (UTF-8), replaced in one step; text that a spreadsheet would run is defused.

        Raises:
            RecordError: the file cannot be written.
        """
        return _put(path, csv_text(aligning.cells(self)).encode("utf-8"))

    def to_xlsx(self, path: str | Path) -> Path:
        """A workbook with a sheet for each table, replaced in one step; no cell can be taken for a formula.

        Raises:
            RecordError: the file cannot be written.
        """
        from histkit.display import workbook

        return _put(path, workbook.of_grids(self.grids()))

    def describe(self) -> Strip:
        """The shares as they are to be drawn."""
        return aligning.strips(self)

    def to_picture(
        self,
        path: str | Path,
        size: tuple[int, int] = (3840, 2160),
        theme: str = "paper",
        transparent: bool = False,
        alt_text: bool = False,
    ) -> list[Path]:
        """Draw the shares as bars beside each other, with their figures; the paths, as `ComparisonTable` does.

        Raises:
            BadValue: the ending, the size or the theme is none of those. RecordError: the file cannot be written.
        """
        from histkit.display import pictures

        return pictures.save(self.describe(), path, size, theme, transparent, alt_text)

    # -- as text -----------------------------------------------------------------------------------------------------------

    def to_json(self) -> str:
        """The formulas as JSON text; `from_json` gives equal ones."""
        entries = [
            {
                "name": v.name,
                "form": v.form,
                "composition": None if v.composition is None else json.loads(v.composition.to_json()),
                "list": None if v.listed is None else json.loads(v.listed.to_json()),
            }
            for v in self.versions
        ]
        return json.dumps({"versions": entries}, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str) -> Versions:
        """What `to_json` wrote.

        Raises:
            BadValue: the text is nothing of the kind.
        """
        try:
            entries = json.loads(text)["versions"]
            read = [(str(e["name"]), str(e["form"]), e["composition"], e["list"]) for e in entries]
        except (json.JSONDecodeError, KeyError, TypeError) as error:
            raise BadValue(f"these are no formulas side by side that histkit wrote: {error}") from error
        return cls(
            tuple(
                Version(
                    name,
                    None if mixture is None else Composition.from_json(json.dumps(mixture)),
                    None if listed is None else IngredientList.from_json(json.dumps(listed)),
                    form,
                )
                for name, form, mixture, listed in read
            )
        )


def versions(formulas: Iterable[Any], names: Sequence[str] | None = None, without_binders: bool = False) -> Versions:
    """Two to eight formulas side by side.

    Each is a Translation (or a Formula, which is then translated), a Composition, a PressedFormula, a Batch, a Record, an
    `ingredient_list`, or a text, which is taken for such a list. `names` are their headings, in order; else each is called by
    its title, with its year or a number where two have the same. `without_binders` takes the powder of what is pressed, so that
    loose and pressed can be compared by what the powder is.

    Raises:
        BadValue: there are too few or too many, one is nothing of the kind, or the names do not fit.
    """
    given = list(formulas)
    if not FEWEST <= len(given) <= MOST:
        raise BadValue(f"{FEWEST} to {MOST} formulas are set side by side, not {len(given)}")
    made = [version_of(one, without_binders, number) for number, one in enumerate(given, start=1)]
    if names is None:
        headings = _headings(made)
    else:
        headings = [" ".join(str(name).split()) for name in names]
        if len(headings) != len(made) or not all(headings) or len(set(headings)) < len(headings):
            raise BadValue(f"{len(made)} formulas want {len(made)} different names, not {', '.join(map(quoted, headings))}")
    return Versions(tuple(Version(h, v.composition, v.listed, v.form) for h, v in zip(headings, made, strict=True)))


def version_of(given: Any, without_binders: bool = False, number: int = 1) -> Version:
    """One formula of any of the kinds that `versions` takes, under its own title; `number` is what an error calls it.

    Raises:
        BadValue: it is nothing of the kind.
    """
    match given:
        case Version():
            return given
        case str():
            return Version("", None, ingredient_list(given), LISTED)
        case IngredientList():
            return Version(given.name, None, given, LISTED)
        case Formula():
            return version_of(translate(given), without_binders, number)
        case Translation():
            mixture = given.composition()
            return Version(mixture.name, mixture)
        case Composition():
            return Version(given.name, given)
        case PressedFormula():
            mixture = given.powder if without_binders else given.composition
            return Version(mixture.name, mixture, None, LOOSE if without_binders else PRESSED)
        case Batch():
            return Version(given.composition.name, given.composition, None, PRESSED if given.pressed else LOOSE)
    if callable(getattr(given, "final", None)) and callable(getattr(given, "pressed", None)):  # a record, which stands above us
        pressed = given.pressed()
        return version_of(given.composition() if pressed is None else pressed, without_binders, number)
    raise BadValue(
        f"formula {number} is a {type(given).__name__}: give a translation, a composition, a pressed formula, a batch, a record, "
        "or an ingredient list"
    )


def _headings(made: Sequence[Version]) -> list[str]:
    """The titles, with year or number where two have the same."""
    plain = [" ".join(v.name.split()) or ("List without amounts" if v.form == LISTED else "Without a title") for v in made]
    years = [v.source.year if v.source else None for v in made]
    dated = [f"{p} ({y})" if plain.count(p) > 1 and y else p for p, y in zip(plain, years, strict=True)]
    pressed = [f"{d}, pressed" if dated.count(d) > 1 and v.form == PRESSED else d for d, v in zip(dated, made, strict=True)]
    out: list[str] = []
    for heading in pressed:
        number = 2
        unique = heading
        while unique in out:
            unique, number = f"{heading} {number}", number + 1
        out.append(unique)
    return out


def _put(path: str | Path, data: bytes) -> Path:
    target = Path(path)
    write_atomically(target, data)
    return target
