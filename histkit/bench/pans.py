"""How much a row of pans takes, and what to make for it: the one answer that the record, the panels and the shell give."""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.base.nouns import Spread
from histkit.bench.compaction import cake_density, pan_fill_spread
from histkit.bench.pressing import PressedFormula
from histkit.composing.composition import Composition


@dataclass(frozen=True, slots=True)
class PansNeed:
    """What pans take and what to make for them (grams)."""

    count: int
    size: str
    """In words: '44 mm across and 4 mm deep'."""
    fill: Spread
    """Grams of cake that all the pans take."""
    allowance: float
    """Share more for what sticks to the tools."""
    density: Spread
    """g/cm3 that was taken."""
    reasons: tuple[str, ...]

    @property
    def make(self) -> float:
        """Grams to make."""
        return round(self.fill.best * (1 + self.allowance), 6)

    def text(self) -> str:
        """One sentence: what the pans take, from what to what, and what to make."""
        pans = "One pan" if self.count == 1 else f"{self.count} pans"
        take = "takes" if self.count == 1 else "take"
        run = "" if self.fill.is_exact else f" ({self.fill.low:.1f} to {self.fill.high:.1f} g)"
        return (
            f"{pans}, {self.size}, {take} about {self.fill.best:.1f} g{run}; with {100 * self.allowance:g} % more for what "
            f"sticks to the tools, make {self.make:.1f} g."
        )


def pans_need(
    pressed: PressedFormula | Composition,
    diameter_mm: float | None = None,
    depth_mm: float = 4.0,
    count: int = 1,
    *,
    allowance: float = 0.1,
    width_mm: float | None = None,
    length_mm: float | None = None,
    below_rim_mm: float = 0.0,
    density_g_cm3: float | Spread | None = None,
    press: str | None = None,
    pressure: float | None = None,
) -> PansNeed:
    """What `count` pans take and what to make for them; the arguments are those of `pan_fill_spread`.

    Raises BadValue for an allowance that is no share from 0 to 1, and for what `pan_fill_spread` refuses.
    """
    if not (is_number(allowance) and 0 <= allowance <= 1):
        raise BadValue(f"allowance is a share from 0 to 1 (0.1 is a tenth more), not {quoted(allowance)}")
    fill = pan_fill_spread(
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
    )
    across = f"{diameter_mm:g} mm across" if width_mm is None else f"{width_mm:g} × {length_mm:g} mm"
    if density_g_cm3 is not None:
        density = density_g_cm3 if isinstance(density_g_cm3, Spread) else Spread.exact(density_g_cm3)
        reasons: tuple[str, ...] = ("the density is measured",)
    else:
        cake = cake_density(pressed, press, pressure)
        density, reasons = cake.density, cake.reasons
    return PansNeed(count, f"{across} and {depth_mm:g} mm deep", fill, allowance, density, reasons)
