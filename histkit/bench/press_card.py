"""The press card: what these pans take, how high they are filled, how hard to press them and with what that is reached.

Pressure is force over the pan's own area (F = p A), so the published window of pressures asks another force of each pan. Forces
are newtons (N), kilograms-force (kgf: 9.80665 N, exact) and pounds-force (lbf: 4.4482216152605 N, exact); pressures MPa.
"""

from __future__ import annotations

from dataclasses import dataclass

from histkit.base.bibliography import cited, marked, sourced
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.bench.pans import Filling, PansNeed, pans_need
from histkit.bench.pressing import PressedFormula
from histkit.bench.pressures import area_mm2, press_pressure, way_of_pressing
from histkit.bench.steps import process_steps
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular

NEWTON_PER_KGF = 9.80665
NEWTON_PER_LBF = 4.4482216152605
"""Exact: 0.45359237 kg under 9.80665 m/s2."""


def force_newton(mpa: float | Spread, area: float) -> Spread:
    """The force (N) that brings a pressure (MPa) on an area (mm2): F = p A."""
    return (mpa if isinstance(mpa, Spread) else Spread.exact(mpa)) * area


def force_text(newton: Spread) -> str:
    """A force in N, kgf and lbf: '1100 to 7330 N (112 to 747 kgf, 247 to 1650 lbf)'."""
    low, high = (Spread.exact(side) for side in (newton.low, newton.high))

    def run(unit: float) -> str:
        first, last = (f"{float(f'{side.best / unit:.3g}'):g}" for side in (low, high))
        return first if first == last else f"{first} to {last}"

    return f"{run(1)} N ({run(NEWTON_PER_KGF)} kgf, {run(NEWTON_PER_LBF)} lbf)"


@dataclass(frozen=True, slots=True)
class Reach(Tabular):
    """What a way of pressing reaches on a pan: its force (N), the pressure (MPa), and the verdict in a word or two."""

    press: str
    force: Spread
    mpa: Spread
    verdict: str
    source: str

    def text(self) -> str:
        """In one line."""
        low, high = (f"{side:.2g}" for side in (self.mpa.low, self.mpa.high))
        return f"{force_text(self.force)}: {low if low == high else f'{low} to {high}'} MPa, {self.verdict} ({self.source})"

    def _grid(self) -> Grid:
        columns = (Column("press", "Press"), Column("force", "Force"), Column("mpa", "MPa"), Column("verdict", "So it is"))
        row: tuple[Cell, ...] = (self.press, force_text(self.force), str(self.mpa), self.verdict)
        return Grid(columns, (row,), "What a press reaches", (self.source,))


@dataclass(frozen=True, slots=True)
class PressCard(Tabular):
    """How to fill and press one size of pan. `area` is that of one pan (mm2), `window` the published pressures (MPa), `own` the
    maker's own pressure with its force (N), where one is known; `reaches` what each way of pressing brings about.
    """

    need: PansNeed
    area: float
    fill_mm: float
    below_rim_mm: float
    window: Spread
    window_source: str
    own: tuple[Spread, Spread] | None
    reaches: tuple[Reach, ...]
    passes: tuple[str, ...]

    @property
    def each(self) -> Spread:
        """Grams of cake in each pan."""
        return self.need.fill * (1 / self.need.count)

    @property
    def force(self) -> Spread:
        """N that the published window takes on this pan."""
        return force_newton(self.window, self.area)

    def lines(self) -> tuple[tuple[str, str], ...]:
        """(what, its text) for a sheet."""
        each, window = self.each, self.window
        fill = f"{self.fill_mm:g} mm of cake"
        fill += f", {self.below_rim_mm:g} mm under the rim" if self.below_rim_mm else ", level with the rim"
        spread = "" if each.is_exact else f" ({each.low:.2f} to {each.high:.2f} g, by how dense the cake becomes)"
        out = [
            ("Pan", f"{self.need.count} of {self.need.size}, {self.area / 100:.2f} cm2 each"),
            ("In each pan", f"about {each.best:.2f} g{spread}; weigh the first pressed pan and keep to that"),
            ("Fill line", fill),
            (
                "Pressure",
                f"{window.low:g} to {window.high:g} MPa, which takes {force_text(self.force)} on this pan ({self.window_source})",
            ),
        ]
        if self.own is not None:
            mpa, newton = self.own
            shown = f"{mpa.best:.3g}" if mpa.is_exact else f"{mpa.low:.2g} to {mpa.high:.2g}"
            out.append(("Yours", f"{shown} MPa, {force_text(newton)} on this pan"))
        out += [(reach.press[0].upper() + reach.press[1:], reach.text()) for reach in self.reaches]
        return (*out, *(("Passes", words) for words in self.passes))

    def _grid(self) -> Grid:
        columns = (Column("what", "What"), Column("text", "How"))
        return Grid(columns, self.lines(), "Press card", self.need.reasons)


def press_card(pressed: PressedFormula | Composition, filling: Filling) -> PressCard:
    """The press card for these pans of this cake.

    Raises BadValue for sizes that are no numbers above 0; UnknownName for a way of pressing that nobody knows.
    """
    need = pans_need(pressed, filling)
    area = area_mm2(filling.diameter_mm, filling.width_mm, filling.length_mm)
    row = way_of_pressing("pressure_window", "cosmetic")
    low, high = float(row["low_mpa"]), float(row["high_mpa"])
    return PressCard(
        need,
        area,
        filling.depth_mm - filling.below_rim_mm,
        filling.below_rim_mm,
        Spread(low, (low + high) / 2, high),
        f"{row['words']}; {cited(row)}",
        _own(filling, area),
        tuple(_reach(key["id"], filling, low, high) for key in sourced("bench/pressing_forces")),
        _passes(),
    )


def _own(filling: Filling, area: float) -> tuple[Spread, Spread] | None:
    """The pressure that the maker gave or whose way of pressing is chosen, and its force."""
    if filling.pressure is not None:
        return Spread.exact(filling.pressure), force_newton(filling.pressure, area)
    if filling.press is None:
        return None
    mpa = press_pressure(filling.press, filling.diameter_mm, filling.width_mm, filling.length_mm).mpa
    return mpa, force_newton(mpa, area)


def _reach(key: str, filling: Filling, low: float, high: float) -> Reach:
    row = way_of_pressing("pressing_forces", key)
    force = (float(row["low_newton"]), float(row["high_newton"]))
    mpa = press_pressure(key, filling.diameter_mm, filling.width_mm, filling.length_mm).mpa
    if mpa.high < low:
        verdict = "too soft"
    elif mpa.low > high:
        verdict = "too hard at any effort"
    elif mpa.low >= low and mpa.high <= high:
        verdict = "enough"
    elif mpa.high > high:
        verdict = "enough, and at full effort too hard"
    else:
        verdict = "enough only at full effort"
    return Reach(row["press"], Spread(force[0], sum(force) / 2, force[1]), mpa, verdict, marked(row["mark"], cited(row)))


def _passes() -> tuple[str, ...]:
    """The passes of pressing with how long each is held (`process_steps.csv`, common practice)."""
    steps = [step for step in process_steps("press") if step.id in ("prepress", "press")]
    return tuple(
        f"{number}. {step.step}, {step.timing()}{f': {step.detail}' if step.detail else ''} ({step.mark})"
        for number, step in enumerate(steps, 1)
    )
