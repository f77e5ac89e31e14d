"""Force, area and pressure: how hard a hand, a clamp or a press pushes on a pan, and how that lies to the published window.

Lengths are millimetres, forces newtons, pressures megapascals (MPa).
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from histkit.base.bibliography import cited, marked, sourced
from histkit.base.checking import positive
from histkit.base.errors import BadValue, UnknownName
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.display.tabular import Tabular

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


def way_of_pressing(table: str, key: str) -> dict[str, str]:
    """The row of this id in a table of the bench. Raises UnknownName, since the ids that a maker chooses are ways of pressing."""
    rows = {row["id"]: row for row in sourced(f"bench/{table}")}
    if key not in rows:
        raise UnknownName("way of pressing", key, tuple(rows))
    return rows[key]


def press_pressure(
    press: str, diameter_mm: float | None = None, width_mm: float | None = None, length_mm: float | None = None
) -> PressPressure:
    """The pressure of a "thumb", "dowel", "clamp" or "arbor" press on a pan (forces: `pressing_forces.csv`, common practice)."""
    row = way_of_pressing("pressing_forces", press)
    low, high = (pressure_mpa(float(row[side]), diameter_mm, width_mm, length_mm) for side in ("low_newton", "high_newton"))
    spread = Spread(low, (low + high) / 2, high)
    return PressPressure(row["press"], spread, window_note(spread), row["mark"], cited(row))


def window_of_pressures() -> Spread:
    """The published window of pressures for pressed powders, MPa (`pressure_window.csv`)."""
    row = way_of_pressing("pressure_window", "cosmetic")
    low, high = float(row["low_mpa"]), float(row["high_mpa"])
    return Spread(low, (low + high) / 2, high)


def alike_words(mpa: Spread | None) -> str:
    """At what pressure a row of trial presses is pressed, in words; None: none was chosen."""
    window = window_of_pressures()
    if mpa is None:
        return f"Press all of them alike, and note the pressure: {window.low:g} to {window.high:g} MPa is usual."
    return f"Press all of them at about {mpa.best:.2g} MPa."


def window_note(mpa: Spread | float) -> str:
    """How a pressure lies to the published window of pressed powders (2.07–13.8 MPa), with its source."""
    spread = mpa if isinstance(mpa, Spread) else Spread.exact(mpa)
    row = way_of_pressing("pressure_window", "cosmetic")
    low, high = float(row["low_mpa"]), float(row["high_mpa"])
    window = f"{low:g} to {high:g} MPa ({row['words']}; {cited(row)})"
    if spread.high < low:
        return f"below {window}: expect a soft cake that breaks or rubs off"
    if spread.low > high:
        return f"above {window}: expect a hard cake with little payoff"
    if low <= spread.low and spread.high <= high:
        return f"within {window}"
    return f"partly within {window}"
