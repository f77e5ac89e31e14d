"""What the measures of a book meant: a convention answers for every unit word with a size and its source.

Sizes are plain floats in grams and spreads in millilitres, made once from exact fractions; `Convention.size` gives
the same as a Pint Quantity.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from histkit.base.bibliography import cite
from histkit.base.errors import BadValue, UnknownName
from histkit.base.grid import Column, Grid
from histkit.base.nouns import UNITS, Spread
from histkit.base.tables import entries
from histkit.base.text import Cell
from histkit.display.tabular import Tabular
from histkit.measures.definitions import registry, unit
from histkit.measures.rows import near, rows

if TYPE_CHECKING:
    from fractions import Fraction

    import pandas
    import pint

_NO_MEASURE = {
    "drop": "a drop has no size of its own: see drop_mass",
    "part": "a part is a share of the formula, not a measure",
    "per cent": "per cent is a share of the formula, not a measure",
    "piece": "a piece weighs what the ingredient weighs: see the glossary",
    "q.s.": "'q.s.' asks for as much as is needed",
    "none": "no unit was printed",
}
_ITS_OUNCE = "its ounce"
"""In convention_units.csv: the convention's own ounce, whatever system its weights come from."""


@dataclass(frozen=True, slots=True)
class Size:
    """One unit of one convention. `exact` is in grams or millilitres; `unit` times `count` of units.txt makes it.

    `nearest` is true where the convention had no such unit and the nearest sensible one stands for it.
    """

    exact: Fraction
    grams: float | None
    millilitres: Spread | None
    unit: str
    count: Fraction
    definition: str
    source: str
    section: str
    mark: str
    nearest: bool

    def citation(self) -> str:
        """The work that gives this size, with the mark where it was not seen there."""
        return cite(self.source, self.section, self.mark)


@cache
def _systems() -> dict[str, tuple[dict[str, str], ...]]:
    out: dict[str, list[dict[str, str]]] = {}
    for row in rows("convention_units"):
        out.setdefault(row["system"], []).append(row)
    return {system: tuple(listed) for system, listed in out.items()}


@cache
def _units(systems: tuple[str, ...]) -> dict[str, dict[str, str]]:
    """The row of every unit word of these systems; the system named first wins."""
    first: dict[str, dict[str, str]] = {}
    for system in (*systems, "everywhere"):
        for row in _systems()[system]:
            first.setdefault(row["unit"], row)
    return first


@cache
def _size(systems: tuple[str, ...], word: str) -> Size:
    """The size of a unit word of these systems: a formula asks for few of them."""
    from fractions import Fraction

    row = _units(systems)[word]
    name = _units(systems)["ounce"]["registered"] if row["registered"] == _ITS_OUNCE else row["registered"]
    measure, count = unit(name), Fraction(row["amount"])
    value, dimension = measure.size * count, measure.dimension
    if row["registered"] == _ITS_OUNCE:
        # liquids were weighed: the room that this weight of water takes, so many gram_of_water
        value, dimension = value * unit("gram_of_water").size, "volume"
        name, count = "millilitre", value
    definition = row["definition"] or measure.definition
    who = (row["source"], row["section"], row["mark"]) if row["source"] else (measure.source, measure.section, measure.mark)
    best = float(value)
    if dimension == "mass":
        return Size(value, best, None, name, count, definition, *who, bool(row["nearest"]))
    low, high = (float(row[column]) if row[column] else best for column in ("low", "high"))
    spread = Spread(min(low, best), best, max(high, best))
    return Size(value, None, spread, name, count, definition, *who, bool(row["nearest"]))


@dataclass(frozen=True, slots=True)
class Convention(Tabular):
    """What the measures meant in a country, a time and a sort of book.

    `country` are two-letter codes, `from_year` to `to_year` the span over all of them, `kinds` words of model.KINDS
    (empty: every sort). `liquid_ounce` says whether a bare 'ounce' of a liquid was weighed or measured first.
    `signs` and `trade` are the conventions that the printed signs and the word 'avoirdupois' call up in such a book.
    """

    id: str
    name: str
    country: tuple[str, ...]
    from_year: int
    to_year: int
    kinds: tuple[str, ...]
    liquid_ounce: Literal["weight", "fluid"]
    certainty: str
    source: str
    note: str
    section: str = ""
    signs: str = ""
    trade: str = ""
    systems: tuple[str, ...] = ()

    def _find(self, word: str) -> Size:
        table = _units(self.systems)
        known = word if word in table else " ".join(word.replace("_", " ").split()).casefold()
        if known not in table:
            raise UnknownName("unit of measure", word, near(word, table))
        return _size(self.systems, known)

    def units(self) -> tuple[str, ...]:
        """Every unit word that this convention answers for."""
        return tuple(_units(self.systems))

    def has_unit(self, unit: str) -> bool:
        """Whether this convention answers for this very unit word."""
        return unit in _units(self.systems)

    def grams(self, unit: str) -> float | None:
        """Grams of one `unit`; None for a measure of volume or a word that is no measure ('part', 'drop' …).

        Raises UnknownName for a word that no table knows.
        """
        return None if unit in _NO_MEASURE else self._find(unit).grams

    def millilitres(self, unit: str) -> Spread | None:
        """Millilitres of one `unit` with the range that spoons, cups and doubtful measures leave; None for a weight or
        a word that is no measure. Raises UnknownName for a word that no table knows.
        """
        return None if unit in _NO_MEASURE else self._find(unit).millilitres

    def exact(self, unit: str) -> Fraction:
        """The best size of one `unit` as an exact fraction of grams or millilitres. Raises as `size` does."""
        return self._measure(unit).exact

    def size(self, unit: str) -> pint.Quantity[Any]:
        """One `unit` as a Pint Quantity of our own registry.

        Raises UnknownName for a word that no table knows, BadValue for one that is no measure ('part', 'drop' …).
        """
        size = self._measure(unit)
        return registry().Quantity(float(size.count), size.unit)

    def _measure(self, word: str) -> Size:
        if word in _NO_MEASURE:
            raise BadValue(f"{word!r} has no size: {_NO_MEASURE[word]}")
        return self._find(word)

    def is_nearest(self, unit: str) -> bool:
        """True where this convention had no such unit and the nearest sensible one stands for it."""
        return self._measure(unit).nearest

    def exact_words(self, unit: str) -> str:
        """The size of one `unit` alone: '31.25 g' or '473.2 mL'. Raises as `size` does."""
        size = self._measure(unit)
        return f"{float(size.exact):.4g} {'mL' if size.grams is None else 'g'}"

    def definition(self, unit: str) -> str:
        """What one `unit` is in words, its size and who says so. Raises as `size` does."""
        size = self._measure(unit)
        return f"{unit}: {size.definition}; {_shown(size)}. Source: {size.citation()}."

    def explain(self, unit: str) -> str:
        """The definition of one `unit` with the convention it belongs to."""
        return f"{self.name} ({self.reach_text()}; {cite(self.source, self.section)}). {self.definition(unit)}"

    def reach_text(self) -> str:
        """Where and when this convention held, in short."""
        years = f"{self.from_year} to {self.to_year}" if self.to_year < 2100 else f"from {self.from_year}"
        return f"{', '.join(self.country)} {years}"

    def express(self, value: float, into: Sequence[str]) -> tuple[tuple[float, str], ...]:
        """`value` grams (for weights) or millilitres (for measures) in several units, largest first: whole numbers,
        the remainder in the last. 1000 mL in ('fluid ounce', 'minim') of the United States is ((33.0, 'fluid ounce'),
        (390.73…, 'minim')).

        Raises BadValue where weights and measures are mixed or the units do not fall in size.
        """
        sizes = [float(self._measure(word).exact) for word in into]
        weights = {self._measure(word).grams is not None for word in into}
        if len(weights) != 1 or sizes != sorted(sizes, reverse=True) or not value >= 0:
            raise BadValue(
                f"express takes a value of zero or more in units of one sort, largest first, not {value} in {tuple(into)}"
            )
        out: list[tuple[float, str]] = []
        rest = value
        for word, size in zip(into[:-1], sizes[:-1], strict=True):
            whole = int(rest / size + 1e-9)
            out.append((float(whole), word))
            rest = max(0.0, rest - whole * size)
        return (*out, (rest / sizes[-1], into[-1]))

    def _grid(self) -> Grid:
        columns = (
            Column("unit", "Unit"),
            Column("grams", "Grams", 4),
            Column("millilitres", "Millilitres", 3),
            Column("definition", "What it is"),
            Column("source", "Source"),
        )
        listed = [word for word in _units(self.systems) if word in UNITS]
        body: list[tuple[Cell, ...]] = []
        for word in listed:
            size = self._find(word)
            volume = size.millilitres.best if size.millilitres else None
            body.append((word, size.grams, volume, size.definition, size.citation()))
        return Grid(columns, tuple(body), f"{self.name} ({self.reach_text()})", (self.note,))


def _shown(size: Size) -> str:
    if size.grams is not None:
        return f"{size.grams:.7g} g"
    assert size.millilitres is not None  # a size is a weight or a volume
    if size.millilitres.is_exact:
        return f"{size.millilitres.best:.7g} mL"
    return f"{size.millilitres.best:.4g} mL, in use {size.millilitres.low:.4g} to {size.millilitres.high:.4g} mL"


@dataclass(frozen=True, slots=True)
class Reach:
    """One row of reaches.csv: a convention held in a country from one year to another in some sorts of books."""

    convention: str
    country: str
    from_year: int
    to_year: int
    kinds: tuple[str, ...]
    certainty: str
    era: str
    places: tuple[str, ...]
    only_with: tuple[str, ...]
    """What the formula must show, one of these, for this convention to come into question; () for nothing. 'medicine' is
    shown by the heading (medicine_words.csv), the others are units."""
    idle_without: str
    """The unit without which this convention says nothing of its own: left out where the formula prints others; '' for none."""
    never_with: tuple[str, ...]
    """The units whose company tells against this convention."""
    titles: tuple[str, ...]
    """Beginnings of words in the book's title that favour this convention."""
    translated_from: str
    """The country from whose language a book must be translated for this convention to be favoured; '' for none."""
    source: str
    section: str
    mark: str


@cache
def reaches() -> tuple[Reach, ...]:
    """Who used which convention, where and when."""
    return tuple(
        Reach(
            r["convention"], r["country"], int(r["from_year"]), int(r["to_year"]), entries(r["kinds"]),
            r["certainty"], r["era"], entries(r["places"]), entries(r["only_with"]),
            r["idle_without"], entries(r["never_with"]), entries(r["titles"]), r["translated_from"],
            r["source"], r["section"], r["mark"],
        )
        for r in rows("reaches")
    )  # fmt: skip


_CERTAINTIES = ("low", "medium", "high")


@cache
def _load() -> dict[str, Convention]:
    out: dict[str, Convention] = {}
    for row in rows("conventions"):
        held = [reach for reach in reaches() if reach.convention == row["id"]]
        every = any(not reach.kinds for reach in held)
        kinds = () if every else tuple(dict.fromkeys(kind for reach in held for kind in reach.kinds))
        out[row["id"]] = Convention(
            id=row["id"],
            name=row["name"],
            country=tuple(dict.fromkeys(reach.country for reach in held)),
            from_year=min(reach.from_year for reach in held),
            to_year=max(reach.to_year for reach in held),
            kinds=kinds,
            liquid_ounce="weight" if row["liquid_ounce"] == "weight" else "fluid",
            certainty=max((reach.certainty for reach in held), key=_CERTAINTIES.index),
            source=row["source"],
            note=row["note"],
            section=row["section"],
            signs=row["signs"],
            trade=row["trade"],
            systems=entries(row["systems"]),
        )
    return out


class Conventions(Mapping[str, Convention], Tabular):
    """All conventions by id, read from the tables when first asked for. An unknown id raises UnknownName."""

    def __getitem__(self, key: str) -> Convention:
        table = _load()
        if key not in table:
            raise UnknownName("convention", str(key), near(str(key), table))
        return table[key]

    def __contains__(self, key: object) -> bool:
        return key in _load()

    def __iter__(self) -> Iterator[str]:
        return iter(_load())

    def __len__(self) -> int:
        return len(_load())

    def __repr__(self) -> str:
        return f"<{len(self)} conventions: {', '.join(self)}>"

    def _grid(self) -> Grid:
        columns = (
            Column("id", "Convention"),
            Column("name", "Name"),
            Column("reach", "Where and when"),
            Column("note", "What it means"),
        )
        body: list[tuple[Cell, ...]] = [(c.id, c.name, c.reach_text(), c.note) for c in self.values()]
        return Grid(columns, tuple(body), "Conventions of measure")

    def to_frame(self) -> pandas.DataFrame:
        """One row for each convention."""
        return Tabular.to_frame(self)


conventions = Conventions()
