"""Where to start without any swatch: usual loads of white and oxides by the depth of the skin, and a row of pressed tests.

Rules of thumb: the loads follow the usual proportion of the oxides (yellow 55 to 70, red 20 to 30, black 3 to 15 parts; common
practice, no source), within the 0 to 10 % of a face powder. They are wide, and the first pressed test is worth more.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache
from pathlib import Path

from histkit import glossary
from histkit.base.checking import is_whole, positive
from histkit.base.descriptions import Figure, Spoken
from histkit.base.errors import BadValue, quoted
from histkit.base.filmed import Strip, StripRow
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.tables import Row, read
from histkit.base.text import Cell
from histkit.bench.extension import Extension
from histkit.bench.weighing import Balance
from histkit.display.tabular import Tabular
from histkit.shade.colour import Colour, Depth, depth_called

SOURCE = "common practice, no source"
MOST_TESTS = 12


@dataclass(frozen=True, slots=True)
class Start(Tabular):
    """A blend to begin with: `parts` are (id of a pigment, per cent of the powder: low, best, high); the rest is base.

    `looks` is about the colour that it is for, not one that was measured on it.
    """

    name: str
    parts: tuple[tuple[str, Spread], ...]
    looks: Colour

    @property
    def colours(self) -> tuple[tuple[str, Spread], ...]:
        """The parts without the white."""
        return tuple((key, load) for key, load in self.parts if key != WHITE)

    def grams(self, powder: float) -> dict[str, float]:
        """Grams of each in so many grams of powder, the best of the range."""
        return {key: positive(powder, "grams of powder") * load.best / 100 for key, load in self.parts}

    def _grid(self) -> Grid:
        rows = tuple((glossary.name_of(key), load.low, load.best, load.high) for key, load in self.parts)
        columns = (
            Column("pigment", "Pigment"),
            Column("low", "From, % of the powder"),
            Column("start", "Start, %"),
            Column("high", "To, %"),
        )
        return Grid(columns, rows, f"Starting point for {self.name} skin ({SOURCE})")


WHITE = "titanium-dioxide"
"""The part of a start that makes it paler and covers."""


@cache
def _rows() -> dict[str, tuple[Row, ...]]:
    found: dict[str, tuple[Row, ...]] = {}
    for row in read("shade/starts"):
        found[row["depth"]] = (*found.get(row["depth"], ()), row)
    return found


def starting_point(depth: str | Colour) -> Start:
    """Where to start for a class of skin ('tan') or for a measured colour of skin.

    Raises BadValue for a class that is none, or a colour that is no skin.
    """
    kind = depth_called(depth.depth or "") if isinstance(depth, Colour) and depth.depth else None
    if isinstance(depth, Colour) and kind is None:
        raise BadValue(f"{depth} is no colour of skin: its b* is not above 0")
    kind = kind or depth_called(str(depth))
    return _start(kind, depth if isinstance(depth, Colour) else kind.middle)


def _start(kind: Depth, looks: Colour) -> Start:
    parts = tuple((r["part"], Spread(float(r["low"]), float(r["best"]), float(r["high"]))) for r in _rows()[kind.name])
    return Start(kind.name, parts, looks)


@dataclass(frozen=True, slots=True)
class Master(Tabular):
    """One end of a row of tests, made once: grams of each colour extension, then of base."""

    start: Start
    weighings: tuple[tuple[Extension, float], ...]
    base: str
    base_grams: float
    balance: Balance

    @property
    def grams(self) -> float:
        """What it weighs in all."""
        return sum(grams for _, grams in self.weighings) + self.base_grams

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [(e.name, self.balance.text(grams)) for e, grams in self.weighings]
        rows += [(glossary.name_of(self.base), self.balance.text(self.base_grams)), ("in all", self.balance.text(self.grams))]
        return Grid((Column("what", "Weigh"), Column("grams", "Grams")), tuple(rows), f"Powder for {self.start.name} skin")


@dataclass(frozen=True, slots=True)
class RowOfTests(Tabular):
    """Small pressed tests from pale to deep, mixed of two powders that are made once.

    `mixtures` are grams of the pale and of the deep powder in each test, `starts` what each then holds.
    """

    pale: Master
    deep: Master
    mixtures: tuple[tuple[float, float], ...]
    starts: tuple[Start, ...]

    def _grid(self) -> Grid:
        text = self.pale.balance.text
        columns = (
            Column("test", "Test"),
            Column("pale", f"Powder for {self.pale.start.name}"),
            Column("deep", f"Powder for {self.deep.start.name}"),
            *(Column(key, f"{glossary.name_of(key)}, %") for key, _ in self.pale.start.parts),
        )
        rows: list[tuple[Cell, ...]] = []
        for number, (start, (light, dark)) in enumerate(zip(self.starts, self.mixtures, strict=True), start=1):
            rows.append((number, text(light), text(dark), *(round(load.best, 2) for _, load in start.parts)))
        return Grid(columns, tuple(rows), f"Pressed tests from pale to deep ({SOURCE})")


    def describe(self) -> Strip:
        """The row as it is drawn: about the skin that each test is for, and what each holds, per cent."""
        keys = [key for key, _ in self.pale.start.parts]
        rows = []
        for place, key in enumerate(keys):
            loads = [start.parts[place][1].best for start in self.starts]
            rows.append(StripRow(glossary.name_of(key), tuple(Figure(f"{load:.2g}" if load else "–", load) for load in loads)))
        text = self.pale.balance.text
        weighed = [(f"powder for {m.start.name}", side) for side, m in enumerate((self.pale, self.deep))]
        rows += [StripRow(name, tuple(Figure(text(mixture[side])) for mixture in self.mixtures)) for name, side in weighed]
        columns = tuple(f"test {n}" for n in range(1, len(self.starts) + 1))
        lines = tuple(
            f"Test {n}: " + ", ".join(f"{glossary.name_of(key)} {load.best:.2g} %" for key, load in start.parts) + "."
            for n, start in enumerate(self.starts, start=1)
        )
        title = f"From {self.pale.start.name} to {self.deep.start.name}"
        foot = f"Per cent of the powder; the patches are about the skins that the tests are for ({SOURCE})."
        return Strip(title, columns, tuple(rows), tuple(s.looks.hex for s in self.starts), "", foot, Spoken(title, lines=lines))

    def to_picture(
        self, path: str | Path, size: tuple[int, int] = (3840, 2160), theme: str = "paper", transparent: bool = False
    ) -> list[Path]:
        """Draw the row; the paths written, by the ending .png, .svg or .pdf.

        Raises:
            BadValue: the ending, the size or the theme is none of those. RecordError: the file cannot be written.
        """
        from histkit.display import pictures

        return pictures.save(self.describe(), path, size, theme, transparent)


STRENGTHS = (0.5, 0.2, 0.1, 0.05, 0.02, 0.01)
"""Shares of the extensions that are tried, the strongest first."""
SPARE = 1.1
"""What is made over what the tests take (common practice: a tenth sticks to the tools)."""


def row_of_tests(
    pale: str, deep: str, count: int = 5, grams: float = 3.0, base: str = "talc", balance: Balance | None = None
) -> RowOfTests:
    """Tests of so many grams in `count` even steps from one class of skin to another, and all that is weighed for them.

    Two powders are made, each of the strongest extensions that the balance can still weigh, and mixed in steps: every weighing is
    at least what the balance is trusted with. Raises BadValue for classes that are none or the same, for fewer than 2 or more
    than 12 tests, and for tests so small that the balance cannot weigh the steps.
    """
    if not is_whole(count) or not 2 <= count <= MOST_TESTS:
        raise BadValue(f"a row has 2 to {MOST_TESTS} tests, not {quoted(count)}")
    scales = balance or Balance()
    ends = [_start(kind, kind.middle) for kind in map(depth_called, (pale, deep))]
    if ends[0].name == ends[1].name:
        raise BadValue(f"a row runs between two depths, and both are {ends[0].name}")
    least = scales.least_divisions * scales.readability
    if positive(grams, "grams of a test") / (count - 1) < least - 1e-12:
        raise BadValue(
            f"a step of {grams / (count - 1):.3g} g is less than the {least:g} g that the balance is trusted with:"
            f" make tests of {least * (count - 1):.3g} g or more, or fewer of them"
        )
    deeps = [round(grams * i / (count - 1) / scales.readability) * scales.readability for i in range(count)]
    mixtures = tuple((grams - dark, dark) for dark in deeps)
    masters = [
        _master(end, SPARE * sum(mixture[side] for mixture in mixtures), base, scales, least) for side, end in enumerate(ends)
    ]
    starts = tuple(_between(ends[0], ends[1], min(1.0, dark / grams)) for dark in deeps)
    return RowOfTests(masters[0], masters[1], mixtures, starts)


def _master(start: Start, need: float, base: str, scales: Balance, least: float) -> Master:
    """The powder of one end: as much as is needed, or more where the balance could not weigh its colours otherwise."""
    loads = [(key, load.best / 100) for key, load in start.parts if load.best > 0]
    grams = math.ceil(max(need, *(least * STRENGTHS[-1] / load for _, load in loads)) - 1e-9)
    while (made := _weighed(start, loads, grams, base, scales, least)).base_grams < 0:
        grams = math.ceil(1.2 * grams)  # more powder lets stronger extensions be weighed, which take less room
    return made


def _weighed(start: Start, loads: list[tuple[str, float]], grams: float, base: str, scales: Balance, least: float) -> Master:
    """So many grams of the powder of one end, each colour as the strongest extension of which enough can be weighed."""
    weighings = []
    for key, load in loads:
        share = next(s for s in STRENGTHS if grams * load / s >= least - 1e-12)
        weighed = round(grams * load / share / scales.readability) * scales.readability
        weighings.append((Extension(key, base, share), weighed))
    return Master(start, tuple(weighings), base, grams - sum(weighed for _, weighed in weighings), scales)


def _between(pale: Start, deep: Start, share: float) -> Start:
    """What a mixture with such a share of the deep powder holds."""
    parts = tuple(
        (key, Spread(*(a * (1 - share) + b * share for a, b in ((x.low, y.low), (x.best, y.best), (x.high, y.high)))))
        for (key, x), (_, y) in zip(pale.parts, deep.parts, strict=True)
    )
    name = f"{100 * share:.0f} % of the way to {deep.name}" if 0 < share < 1 else (deep if share else pale).name
    return Start(name, parts, pale.looks.towards(deep.looks, share))
