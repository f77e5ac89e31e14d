"""How dense a pressed cake becomes: models of compaction, and the density of a cake with its spread.

Pressures are megapascals (MPa), densities g/cm3. The models (Heckel, Kawakita, Ryshkewitch) are marked estimates: their forms
are published, their values for cosmetic powders are not, so what they give is a spread to plan a trial with, no promise.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from histkit.base.bibliography import cited, marked, sourced
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.bench.pressures import way_of_pressing
from histkit.composing.composition import Composition
from histkit.composing.effects import solid_density, true_density
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

if TYPE_CHECKING:
    from histkit.bench.pressing import PressedFormula


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
        row = way_of_pressing("relative_density", press)
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
    origin = f"estimated after Heckel with wide values ({cited(stiff, mark=True)})"
    return spread, f"relative density {spread} at {pressure:.3g} MPa: {origin}"


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


def kawakita_limit(bulk: Spread, pressure: float | None = None) -> Spread:
    """How dense (g/cm3) a powder of this loose density packs by Kawakita's volume loss, with the wide values for fine cosmetic
    powders of `compaction_values.csv` (memory); without a pressure (MPa), under however much.
    """
    values = {r["parameter"]: r for r in sourced("bench/compaction_values") if r["model"] == "kawakita"}
    a, inverse = values["a"], values["inverse-b"]

    def packed(loose: float, side: str, other: str) -> float:
        loss = float(a[side])
        return loose / (1 - (loss if pressure is None else kawakita(pressure, loss, 1 / float(inverse[other]))))

    return Spread(packed(bulk.low, "low", "high"), packed(bulk.best, "best", "best"), packed(bulk.high, "high", "low"))


def _light(composition: Composition, relative: Spread, pressure: float | None) -> dict[Ingredient, Spread]:
    """The powders so light that they cannot pack as densely as the others, however hard they are pressed, and what they reach."""
    out = {}
    for ingredient in composition.ingredients:
        solid, bulk = solid_density(ingredient), ingredient.value("bulk-density")
        if solid is None or bulk is None or kawakita_limit(bulk).high >= solid.low * relative.low:
            continue
        out[ingredient] = kawakita_limit(bulk, pressure)
    return out


def _with_light(composition: Composition, light: dict[Ingredient, Spread], relative: Spread) -> tuple[Spread, str]:
    """The density of a cake that holds light powders: each powder with its own volume, over those whose density is known."""
    known: list[tuple[float, Spread]] = []
    for part in composition.parts:
        if part.ingredient in light:
            known.append((part.share, light[part.ingredient]))
        elif (solid := solid_density(part.ingredient)) is not None:
            known.append((part.share, solid * relative))
    total = math.fsum(share for share, _ in known)
    low, best, high = (
        total / math.fsum(share / density for share, density in side)
        for side in zip(*(((s, d.low), (s, d.best), (s, d.high)) for s, d in known), strict=True)
    )
    packed = "; ".join(f"{i.name} packs to {density} g/cm3" for i, density in light.items())
    row = next(r for r in sourced("bench/compaction_values") if (r["model"], r["parameter"]) == ("kawakita", "a"))
    return Spread(low, best, high), f"{packed}, from its loose density after Kawakita ({cited(row, mark=True)})"


def cake_density(pressed: PressedFormula | Composition, press: str | None = None, pressure: float | None = None) -> CakeDensity:
    """Density of the cake: true density of the blend (by volume) × relative density.

    `press` ("thumb", "dowel", "clamp", "arbor") or `pressure` in MPa choose the relative density. Without either, about half
    the true density is taken, drawn to the range of practice, 1.0 to 1.5 g/cm3: fine heavy oxides pack less
    closely than talc and soft starches more. A powder so light when loose that it cannot become as dense as that (light
    magnesia) is taken by its own volume after Kawakita, and the cake is not drawn to that range.
    """
    row = way_of_pressing("pressed_density", "cake")
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
    if light := _light(_composition(pressed), relative, pressure):
        density, told = _with_light(_composition(pressed), light, relative)
        return CakeDensity(density, true, relative, (*reasons, told))
    if press is None and pressure is None:
        best = min(max(density.best, practice.low), practice.high)
        density = Spread.over((density.low, density.high), best)
        reasons.append(f"{practice_words}; the best value is kept within it")
    return CakeDensity(density, true, relative, tuple(reasons))
