"""Pressures, pans and densities of a pressed cake: what a pan takes and how hard a hand, a clamp or a press pushes.

Lengths are millimetres, forces newtons, pressures megapascals (MPa), densities g/cm3, masses grams. The models of compaction
(Heckel, Kawakita, Ryshkewitch) are marked estimates: their forms are published, their values for cosmetic powders are not,
so what they give is a spread to plan a trial with, no promise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.checking import is_number, is_whole, positive
from histkit.base.errors import BadValue, UnknownName, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.composing.composition import Composition
from histkit.composing.effects import true_density
from histkit.display.tabular import Tabular

if TYPE_CHECKING:
    from histkit.bench.pressing import PressedFormula

MPA_PER_PSI = 0.006894757293168
"""Exact to the digits given: pound-force and inch as defined in 1959 (lb 0.45359237 kg, inch 25.4 mm, g 9.80665 m/s2)."""
MPA_PER_KGF_CM2 = 0.0980665
"""Exact: 9.80665 N on 1 cm2."""


def psi_to_mpa(psi: float) -> float:
    """Pounds-force on the square inch to MPa."""
    return psi * MPA_PER_PSI


def mpa_to_psi(mpa: float) -> float:
    """MPa to pounds-force on the square inch."""
    return mpa / MPA_PER_PSI


def kgf_cm2_to_mpa(kgf: float) -> float:
    """Kilograms-force on the square centimetre to MPa."""
    return kgf * MPA_PER_KGF_CM2


def area_mm2(diameter_mm: float | None = None, width_mm: float | None = None, length_mm: float | None = None) -> float:
    """Area of a round pan (`diameter_mm`) or a rectangular one (`width_mm` × `length_mm`), mm2."""
    if width_mm is None and length_mm is None:
        if diameter_mm is None:
            raise BadValue("a pan needs diameter_mm, or width_mm and length_mm")
        return math.pi / 4 * positive(diameter_mm, "diameter_mm") ** 2
    if diameter_mm is not None:
        raise BadValue("a pan is round (diameter_mm) or rectangular (width_mm and length_mm), not both")
    if width_mm is None or length_mm is None:
        raise BadValue("a rectangular pan needs both width_mm and length_mm")
    return positive(width_mm, "width_mm") * positive(length_mm, "length_mm")


def pressure_mpa(
    force_n: float, diameter_mm: float | None = None, width_mm: float | None = None, length_mm: float | None = None
) -> float:
    """Force over area: MPa on a pan or punch of that size."""
    return positive(force_n, "force_n") / area_mm2(diameter_mm, width_mm, length_mm)


def gauge_to_mpa(oil_bar: float, ram_mm: float, punch_mm: float) -> float:
    """MPa on the powder of a hydraulic press: oil pressure (bar) × (ram diameter / punch diameter)^2.

    The same gauge means another pressure on each machine and punch, so notes should give MPa.
    """
    return positive(oil_bar, "oil_bar") * 0.1 * (positive(ram_mm, "ram_mm") / positive(punch_mm, "punch_mm")) ** 2


@dataclass(frozen=True, slots=True)
class PressPressure(Tabular):
    """What a way of pressing brings about on a pan: MPa with its spread, and how it lies to the published window."""

    press: str
    mpa: Spread
    words: str
    mark: str
    source: str

    def _grid(self) -> Grid:
        columns = (Column("press", "Press"), Column("mpa", "MPa"), Column("words", "Note"), Column("source", "Source"))
        return Grid(columns, ((self.press, str(self.mpa), self.words, marked(self.mark, self.source)),), "Pressure")


def _row(table: str, key: str) -> dict[str, str]:
    """The row of this id; the ids that a maker chooses from are ways of pressing."""
    rows = {row["id"]: row for row in sourced(f"bench/{table}")}
    if key not in rows:
        raise UnknownName("way of pressing", key, tuple(rows))
    return rows[key]


def press_pressure(
    press: str, diameter_mm: float | None = None, width_mm: float | None = None, length_mm: float | None = None
) -> PressPressure:
    """The pressure of a "thumb", "dowel", "clamp" or "arbor" press on a pan (forces: `pressing_forces.csv`, common practice)."""
    row = _row("pressing_forces", press)
    low, high = (pressure_mpa(float(row[side]), diameter_mm, width_mm, length_mm) for side in ("low_newton", "high_newton"))
    spread = Spread(low, (low + high) / 2, high)
    return PressPressure(row["press"], spread, window_note(spread), row["mark"], cited(row))


def window_note(mpa: Spread | float) -> str:
    """How a pressure lies to the published window of pressed powders (2.07–13.8 MPa), with its source."""
    spread = mpa if isinstance(mpa, Spread) else Spread.exact(mpa)
    row = _row("pressure_window", "cosmetic")
    low, high = float(row["low_mpa"]), float(row["high_mpa"])
    window = f"{low:g} to {high:g} MPa ({row['words']}; {cited(row)})"
    if spread.high < low:
        return f"below {window}: expect a soft cake that breaks or rubs off"
    if spread.low > high:
        return f"above {window}: expect a hard cake with little payoff"
    if low <= spread.low and spread.high <= high:
        return f"within {window}"
    return f"partly within {window}"


def heckel(pressure: float, yield_mpa: float, intercept: float) -> float:
    """Relative density by Heckel: D = 1 - exp(-(P / Py + A)), with P and Py in MPa and A ≥ 0.

    Form: ln(1 / (1 - D)) = P / Py + A, as teaching texts on tablet compression give it.
    """
    if not (is_number(pressure) and pressure >= 0 and is_number(intercept) and intercept >= 0):
        raise BadValue(f"pressure and intercept are numbers, 0 or more, not {pressure!r} and {intercept!r}")
    return 1 - math.exp(-(pressure / positive(yield_mpa, "yield_mpa") + intercept))


def kawakita(pressure: float, a: float, b: float) -> float:
    """Volume loss by Kawakita: C = a b P / (1 + b P), with P in MPa, b in 1/MPa, 0 < a < 1. The height left is 1 - C."""
    if not (is_number(pressure) and pressure >= 0 and is_number(a) and 0 < a < 1):
        raise BadValue(f"pressure is 0 or more and a lies between 0 and 1, not {pressure!r} and {a!r}")
    product = positive(b, "b") * pressure
    return a * product / (1 + product)


def kawakita_density(loose_relative_density: float, pressure: float, a: float, b: float) -> float:
    """Relative density after Kawakita's volume loss, from the relative density of the loose powder."""
    if not (is_number(loose_relative_density) and 0 < loose_relative_density < 1):
        raise BadValue(f"the relative density of a loose powder lies between 0 and 1, not {loose_relative_density!r}")
    return min(1.0, loose_relative_density / (1 - kawakita(pressure, a, b)))


def ryshkewitch(sigma0: float, b: float, porosity: float) -> float:
    """Strength of a porous cake: sigma = sigma0 exp(-b e), in the unit of sigma0 (Ryshkewitch 1953, J. Am. Ceram. Soc. 36:65)."""
    if not (is_number(porosity) and 0 <= porosity < 1):
        raise BadValue(f"porosity is 0 or more and below 1, not {porosity!r}")
    return positive(sigma0, "sigma0") * math.exp(-positive(b, "b") * porosity)


def porosity(density: float, true: float) -> float:
    """Share of the cake's volume that is air: 1 - density / true density."""
    return 1 - positive(density, "density") / positive(true, "true")


def fill_ratio(loose_density: float, pressed_density: float) -> float:
    """How many times deeper the loose powder stands than the pressed cake."""
    return positive(pressed_density, "pressed_density") / positive(loose_density, "loose_density")


def relative_density(press: str = "any", pressure: float | None = None) -> tuple[Spread, str]:
    """Relative density of a cake with the words that say where it is from.

    With a `pressure` in MPa it is Heckel's estimate over the wide values of `compaction_values.csv` (memory, unsure);
    otherwise the row of `relative_density.csv` for the way of pressing (common practice).
    """
    if pressure is None:
        row = _row("relative_density", press)
        spread = Spread(float(row["low"]), float(row["best"]), float(row["high"]))
        return spread, f"relative density {spread}: {row['words']} ({marked(row['mark'], cited(row))})"
    positive(pressure, "pressure")
    wanted = ("heckel", "face powder blend")
    values = {r["parameter"]: r for r in sourced("bench/compaction_values") if (r["model"], r["material"]) == wanted}
    stiff, start = values["yield"], values["intercept"]
    spread = Spread(
        heckel(pressure, float(stiff["high"]), float(start["low"])),
        heckel(pressure, float(stiff["best"]), float(start["best"])),
        heckel(pressure, float(stiff["low"]), float(start["high"])),
    )
    told = f"estimated after Heckel with wide values ({cited(stiff, mark=True)})"
    return spread, f"relative density {spread} at {pressure:.3g} MPa: {told}"


@dataclass(frozen=True, slots=True)
class CakeDensity(Tabular):
    """Density of a pressed cake, g/cm3, with its spread and the reasons for it in words."""

    density: Spread
    true: Spread | None
    relative: Spread | None
    reasons: tuple[str, ...] = ()

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [("pressed density, g/cm3", str(self.density))]
        more = (("true density, g/cm3", self.true), ("relative density", self.relative))
        rows += [(what, str(value)) for what, value in more if value is not None]
        return Grid((Column("what", "What"), Column("value", "Value")), tuple(rows), "Density of the cake", self.reasons)


def _composition(pressed: PressedFormula | Composition) -> Composition:
    return pressed if isinstance(pressed, Composition) else pressed.composition


def cake_density(pressed: PressedFormula | Composition, press: str | None = None, pressure: float | None = None) -> CakeDensity:
    """Density of the cake: true density of the blend (by volume) × relative density.

    `press` ("thumb", "dowel", "clamp", "arbor") or `pressure` in MPa choose the relative density. Without either, about half
    the true density is taken, drawn to the range of practice, 1.0 to 1.5 g/cm3: fine heavy oxides pack less
    closely than talc and soft starches more.
    """
    row = _row("pressed_density", "cake")
    practice = Spread(float(row["low"]), float(row["best"]), float(row["high"]))
    practice_words = f"pressed density {practice} g/cm3: {row['words']} ({marked(row['mark'], cited(row))})"
    measured = true_density(_composition(pressed))
    true = measured.value
    if true is None:
        return CakeDensity(practice, None, None, (practice_words, "no true density is known of anything in it"))
    reasons = [f"true density of the blend {true} g/cm3, by volume over {100 * measured.known_share:.0f} % of the mass"]
    if measured.without:
        reasons.append(f"no true density known for {', '.join(measured.without)}")
    relative, words = relative_density(press or "any", pressure)
    reasons.append(words)
    density = true * relative
    if press is None and pressure is None:
        best = min(max(density.best, practice.low), practice.high)
        density = Spread.over((density.low, density.high), best)
        reasons.append(f"{practice_words}; the best value is kept within it")
    return CakeDensity(density, true, relative, tuple(reasons))


def pan_fill_spread(
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
) -> Spread:
    """Grams of cake that `count` pans take, with the spread of the pressed density: area × depth × density.

    `depth_mm` is the depth of the pan, `below_rim_mm` how far under the rim the cake is to end (practice: 0.3 to 0.5).
    A measured `density_g_cm3` goes before any estimate; see `cake_density` for `press` and `pressure` (MPa).
    Raises BadValue for sizes that are no numbers above 0, and for a count that is no whole number above 0.
    """
    if not is_whole(count) or count < 1:
        raise BadValue(f"count is a whole number of pans, 1 or more, not {quoted(count)}")
    if not (is_number(below_rim_mm) and 0 <= below_rim_mm < positive(depth_mm, "depth_mm")):
        raise BadValue(f"below_rim_mm is 0 or more and less than the depth of {depth_mm} mm, not {quoted(below_rim_mm)}")
    volume_cm3 = area_mm2(diameter_mm, width_mm, length_mm) * (depth_mm - below_rim_mm) / 1000 * count
    if density_g_cm3 is None:
        density = cake_density(pressed, press, pressure).density
    elif isinstance(density_g_cm3, Spread):
        density = density_g_cm3
    else:
        density = Spread.exact(positive(density_g_cm3, "density_g_cm3"))
    return density * volume_cm3


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
    """Grams of cake that `count` pans take: the best value of `pan_fill_spread`, which see."""
    return pan_fill_spread(
        pressed,
        diameter_mm,
        depth_mm,
        count,
        width_mm=width_mm,
        length_mm=length_mm,
        below_rim_mm=below_rim_mm,
        density_g_cm3=density_g_cm3,
        press=press,
        pressure=pressure,
    ).best


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
        size = f"{self.diameter_mm:g} mm across" if self.diameter_mm else f"{self.width_mm:g} × {self.length_mm:g} mm"
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
