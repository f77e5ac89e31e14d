"""Pans: their usual sizes, what they take of a pressed cake, and how much is made for them.

Lengths are millimetres, densities g/cm3, masses grams. `pans_need` is the one answer to "how much for these pans": all that
shows or makes it asks here.
"""

from __future__ import annotations

from dataclasses import KW_ONLY, dataclass
from typing import TYPE_CHECKING

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.checking import is_number, is_whole, positive
from histkit.base.errors import BadValue, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.bench.compaction import cake_density
from histkit.bench.pressures import area_mm2
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular

if TYPE_CHECKING:
    from histkit.bench.pressing import PressedFormula


@dataclass(frozen=True, slots=True)
class Filling:
    """Some pans of one size, and how they are filled and pressed.

    A pan is round (`diameter_mm`) or rectangular (`width_mm`, `length_mm`); `depth_mm` is its depth, `below_rim_mm` how far under
    the rim the cake is to end (practice: 0.3 to 0.5). `allowance` (a share; a tenth: common practice) is made more, for what
    sticks to the tools. A measured `density_g_cm3` goes before any estimate; see `cake_density` for `press` and `pressure` (MPa).
    """

    diameter_mm: float | None = None
    depth_mm: float = 4.0
    count: int = 1
    _: KW_ONLY
    allowance: float = 0.1
    width_mm: float | None = None
    length_mm: float | None = None
    below_rim_mm: float = 0.0
    density_g_cm3: float | Spread | None = None
    press: str | None = None
    pressure: float | None = None

    def volume_cm3(self) -> float:
        """What all of them hold, cm3. Raises BadValue for figures that cannot be meant, those of `allowance` included."""
        if not is_whole(self.count) or self.count < 1:
            raise BadValue(f"count is a whole number of pans, 1 or more, not {quoted(self.count)}")
        if not (is_number(self.allowance) and 0 <= self.allowance <= 1):
            raise BadValue(f"allowance is a share from 0 to 1 (0.1 is a tenth more), not {quoted(self.allowance)}")
        if not (is_number(self.below_rim_mm) and 0 <= self.below_rim_mm < positive(self.depth_mm, "depth_mm")):
            raise BadValue(
                f"below_rim_mm is 0 or more and less than the depth of {self.depth_mm} mm, not {quoted(self.below_rim_mm)}"
            )
        area = area_mm2(self.diameter_mm, self.width_mm, self.length_mm)
        return area * (self.depth_mm - self.below_rim_mm) / 1000 * self.count

    def size(self) -> str:
        """The words for one pan."""
        return f"{_size(self.diameter_mm, self.width_mm, self.length_mm)} and {self.depth_mm:g} mm deep"

    def density(self, pressed: PressedFormula | Composition) -> tuple[Spread, tuple[str, ...]]:
        """The density of the cake (g/cm3) and where it is from."""
        if self.density_g_cm3 is None:
            estimate = cake_density(pressed, self.press, self.pressure)
            return estimate.density, estimate.reasons
        measured = ("the density that was measured",)
        if isinstance(self.density_g_cm3, Spread):
            return self.density_g_cm3, measured
        return Spread.exact(positive(self.density_g_cm3, "density_g_cm3")), measured


@dataclass(frozen=True, slots=True)
class PansNeed(Tabular):
    """What some pans take of a cake, and how much is to be made for them, grams.

    `size` are the words for one pan, `fill` what all of them take, with the spread of the cake's density; `allowance` the share
    that is made more, for what sticks to the tools; `density` (g/cm3) what was taken, and `reasons` where it is from.
    """

    count: int
    size: str
    fill: Spread
    allowance: float
    density: Spread
    reasons: tuple[str, ...] = ()

    @property
    def make(self) -> float:
        """Grams to make for them: the best value of the fill with the allowance, before the balance rounds it."""
        # To a thousandth of a milligram, so that the last digits of a float do not add a division of the balance.
        return round(self.fill.best * (1 + self.allowance), 6)

    def text(self) -> str:
        """What they take and what is to be made for them, in one sentence."""
        fill, share = self.fill, 100 * self.allowance
        text = "One pan" if self.count == 1 else f"{self.count} pans"
        text += f", {self.size}, take{'s' if self.count == 1 else ''} about {fill.best:.1f} g"
        if not fill.is_exact:
            text += f" ({fill.low:.1f} to {fill.high:.1f} g, looser or denser with the pressure)"
        if share:
            text += f"; with {share:.3g} % more for what sticks to the tools, make {self.make:.1f} g"
        return f"{text}."

    def _grid(self) -> Grid:
        columns = (
            Column("pans", "Pans", 0),
            Column("size", "Size of one"),
            Column("fill", "They take, g"),
            Column("make", "Make, g", 2),
            Column("density", "Density, g/cm3"),
        )
        row: tuple[Cell, ...] = (self.count, self.size, str(self.fill), self.make, str(self.density))
        return Grid(columns, (row,), "What the pans take", self.reasons)


def pans_need(pressed: PressedFormula | Composition, filling: Filling) -> PansNeed:
    """What these pans take of this cake (area × depth × its own density) and how much is made for them.

    Raises BadValue for sizes that are no numbers above 0, a count that is no whole number above 0, an allowance outside 0 to 1.
    """
    volume = filling.volume_cm3()
    density, reasons = filling.density(pressed)
    return PansNeed(filling.count, filling.size(), density * volume, filling.allowance, density, reasons)


def _size(diameter_mm: float | None, width_mm: float | None, length_mm: float | None) -> str:
    return f"{width_mm:g} × {length_mm:g} mm" if diameter_mm is None else f"{diameter_mm:g} mm across"


def pan_fill(
    pressed: PressedFormula | Composition,
    diameter_mm: float | None = None,
    depth_mm: float = 4.0,
    count: int = 1,
    *,
    width_mm: float | None = None,
    length_mm: float | None = None,
    below_rim_mm: float = 0.0,
    density_g_cm3: float | Spread | None = None,
    press: str | None = None,
    pressure: float | None = None,
) -> float:
    """Grams of cake that `count` pans take: the best value of the `fill` of `pans_need`; the sizes are those of `Filling`."""
    pans = Filling(
        diameter_mm,
        depth_mm,
        count,
        width_mm=width_mm,
        length_mm=length_mm,
        below_rim_mm=below_rim_mm,
        density_g_cm3=density_g_cm3,
        press=press,
        pressure=pressure,
    )
    return pans_need(pressed, pans).fill.best


@dataclass(frozen=True, slots=True)
class Pan(Tabular):
    """A pan size: round (`diameter_mm`) or rectangular (`width_mm`, `length_mm`), with the usual depths, mm."""

    id: str
    diameter_mm: float | None
    width_mm: float | None
    length_mm: float | None
    depth_mm: Spread
    use: str
    mark: str
    source: str

    def _grid(self) -> Grid:
        size = _size(self.diameter_mm, self.width_mm, self.length_mm)
        columns = (Column("size", "Pan"), Column("depth", "Depth, mm"), Column("use", "Use"), Column("source", "Source"))
        return Grid(columns, ((size, str(self.depth_mm), self.use, marked(self.mark, self.source)),), "Pan")


def pans() -> tuple[Pan, ...]:
    """Usual pans (`pan_sizes.csv`)."""
    return tuple(
        Pan(
            row["id"],
            tables.number(row, "diameter_mm"),
            tables.number(row, "width_mm"),
            tables.number(row, "length_mm"),
            Spread(
                float(row["depth_mm_low"]),
                (float(row["depth_mm_low"]) + float(row["depth_mm_high"])) / 2,
                float(row["depth_mm_high"]),
            ),
            row["use"],
            row["mark"],
            cited(row),
        )
        for row in sourced("bench/pan_sizes")
    )
