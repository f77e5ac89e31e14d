"""Shares of several stand-ins, solved so that a mixture keeps its cover, its oil take-up and its bulk.

The stand-ins together have the mass of what they replace. Every quantity kept is linear in their shares (the opacity
index is a ratio of sums; to hold it at a target T, the sum of volume x (contrast - T) is brought to nothing), so this is a
least-squares problem over a bounded simplex, convex, with one answer.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from functools import partial

from histkit import glossary
from histkit.base.errors import BadValue, Forbidden
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.composing.composition import Composition, forbidden_within, refusal_reason, speaks_of
from histkit.composing.effects import (
    AIR,
    OIL,
    Effects,
    bulk_density,
    fresnel,
    is_starch,
    is_stearate,
    oil_absorption,
    opacity,
    solid_density,
)
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

KEPT = ("opacity", "opacity-in-oil", "oil-absorption", "bulk-density", "slip")
"""What a blend keeps where nothing else is asked for: cover dry and oiled, oil take-up, bulk, slip."""

_MEDIUM = {"opacity": AIR, "opacity-in-oil": OIL}


@dataclass(frozen=True, slots=True)
class Blend(Tabular):
    """Stand-ins with their shares, solved: `parts` are (ingredient id, grams for one gram of the removed).

    `at_bounds` says which bounds hold the answer back; `missed` how far each kept quantity stays from where it was, as
    a share of it (0.02: two per cent off); `notes` what could not be taken into account.
    """

    composition: Composition
    parts: tuple[tuple[str, float], ...]
    removed: tuple[str, ...]
    missed: tuple[tuple[str, float], ...]
    at_bounds: tuple[str, ...]
    notes: tuple[str, ...]
    effects: Effects

    def _grid(self) -> Grid:
        columns = (
            Column("ingredient", "Stand-in"),
            Column("grams", "Grams for 1 g", 3),
            Column("percent", "Per cent of the whole", 2),
        )
        rows: list[tuple[Cell, ...]] = [(key, ratio, 100 * self.composition.share(key)) for key, ratio in self.parts]
        missed = tuple(f"{name}: {100 * off:+.1f} % from where it was" for name, off in self.missed)
        return Grid(columns, tuple(rows), f"Blend in place of {', '.join(self.removed)}", (*missed, *self.at_bounds, *self.notes))


@dataclass(frozen=True, slots=True)
class _Row:
    """One kept quantity as a line: sum of coefficient x share should reach `target`; divide by `scale` for a share of it."""

    name: str
    coefficients: tuple[float, ...]
    target: float
    scale: float


def solve_blend(
    composition: Composition,
    remove: Ingredient | str | Iterable[Ingredient | str],
    stand_ins: Iterable[Ingredient | str],
    keep: Iterable[str] = KEPT,
    bounds: Mapping[str, tuple[float, float]] | None = None,
    tolerance: Mapping[str, float] | None = None,
    region: str = "",
    form: str = "",
    reason: str = "",
) -> Blend:
    """Shares of `stand_ins` in place of what is removed that keep `keep` as near as they can to what it was.

    `keep`: "opacity" (against air), "opacity-in-oil", "oil-absorption", "bulk-density", "starch", "stearate", or any role
    ("slip"): the share of what does it. `bounds` maps ids to (lowest, highest) share of the whole composition; limits that the
    ingredients' cautions give for `region` and `form` are taken as upper bounds too. `tolerance` maps a kept quantity to the
    greatest share it may be off ({"opacity": 0.1}).

    Raises BadValue where no blend fits, naming the bounds in the way; Forbidden where a stand-in must not be used.
    """
    removed = _removed(composition, remove)
    gone = {i.id for i in removed}
    chosen = tuple(dict.fromkeys(composition.known(given) for given in stand_ins))
    if not chosen:
        raise BadValue("solve_blend needs at least one stand-in")
    for candidate in chosen:
        if candidate.id in gone:
            raise BadValue(f"{candidate.name} is both removed and a stand-in")
        if forbidden_within(candidate):
            raise Forbidden(f"{candidate.name} cannot be a stand-in. {refusal_reason(candidate)}", (candidate.id,))
    mass = math.fsum(composition.share(i) for i in removed)
    lows, highs, words = _bounds(composition, chosen, mass, bounds or {}, region, form)
    _check_bounds(chosen, lows, highs, words, mass)
    notes: list[str] = []
    rows = [row for name in dict.fromkeys(keep) if (row := _row(name, composition, gone, chosen, mass, notes)) is not None]
    if not rows and len(chosen) > 1:
        raise BadValue(f"nothing is left to keep: {' '.join(notes) or 'keep is empty'}")
    limits = _limits(rows, tolerance or {})
    _check_limits(rows, limits, lows, highs, mass, chosen, words)
    shares = _solve(rows, limits, lows, highs, mass)

    ratios = {i: share / mass for i, share in zip(chosen, shares, strict=True) if share > 1e-9 * mass}
    after = composition
    kept = ", ".join(row.name for row in rows)
    for ingredient in removed:
        after = after.replace(ingredient, ratios, reason or f"a blend solved to keep {kept}", "solved blend")
    missed = tuple((row.name, _off(row, shares)) for row in rows)
    at_bounds = tuple(
        words[i][side]
        for i, share in enumerate(shares)
        for side, edge in ((0, lows[i]), (1, highs[i]))
        if words[i][side] and abs(share - edge) < 1e-6
    )
    parts = tuple((i.id, ratio) for i, ratio in ratios.items())
    return Blend(after, parts, tuple(i.id for i in removed), missed, at_bounds, tuple(notes), composition.effects(after))


def _removed(composition: Composition, remove: Ingredient | str | Iterable[Ingredient | str]) -> tuple[Ingredient, ...]:
    wanted = [remove] if isinstance(remove, (Ingredient, str)) else list(remove)
    found = tuple(dict.fromkeys(composition.part(given).ingredient for given in wanted))
    if not found:
        raise BadValue("solve_blend needs at least one ingredient to remove")
    return found


def _off(row: _Row, shares: list[float]) -> float:
    return (math.fsum(c * x for c, x in zip(row.coefficients, shares, strict=True)) - row.target) / row.scale


def _bounds(
    composition: Composition,
    chosen: tuple[Ingredient, ...],
    mass: float,
    bounds: Mapping[str, tuple[float, float]],
    region: str,
    form: str,
) -> tuple[list[float], list[float], list[tuple[str, str]]]:
    """Lowest and highest share that each stand-in may take up, less what the composition holds of it already, with words."""
    strangers = [key for key in bounds if all(i.id != key for i in chosen)]
    if strangers:
        raise BadValue(f"bounds are for stand-ins only; {', '.join(strangers)} is none of {', '.join(i.id for i in chosen)}")
    lows, highs, words = [], [], []
    for ingredient in chosen:
        already = composition.share(ingredient)
        low, high = bounds.get(ingredient.id, (0.0, 1.0))
        if not 0 <= low <= high <= 1:
            raise BadValue(f"the bounds of {ingredient.name} run 0 ≤ low ≤ high ≤ 1, not {low}, {high}")
        low_words = f"{ingredient.name} is held at no less than {low:.4g} of the whole" if low > 0 else ""
        high_words = f"{ingredient.name} is held at no more than {high:.4g} of the whole" if high < 1 else ""
        for caution in ingredient.cautions:
            speaks = (not region or caution.region in ("", region)) and speaks_of(caution, form)
            if caution.limit is not None and speaks and caution.limit < high:
                high = caution.limit
                rule = caution.law or glossary.cited(caution.source)
                high_words = f"{ingredient.name} is limited to {high:.4g} of the whole ({rule})"
        if high < already:
            raise BadValue(f"{high_words or ingredient.name}, and the composition holds {already:.4g} of it already")
        lows.append(max(low - already, 0.0))
        highs.append(min(high - already, mass))
        words.append((low_words if low > already else "", high_words if high - already < mass else ""))
    return lows, highs, words


def _check_bounds(
    chosen: tuple[Ingredient, ...], lows: list[float], highs: list[float], words: list[tuple[str, str]], mass: float
) -> None:
    for ingredient, low, high, (low_words, high_words) in zip(chosen, lows, highs, words, strict=True):
        if low > high + 1e-12:
            both = " and ".join(filter(None, (low_words, high_words)))
            raise BadValue(f"no blend fits: {both or ingredient.name}, but only {mass:.4g} of the whole is to be replaced")
    if math.fsum(highs) < mass - 1e-12:
        caps = "; ".join(high for _, high in words if high)
        raise BadValue(
            f"no blend fits: {mass:.4g} of the whole is to be replaced, the upper bounds leave room for {math.fsum(highs):.4g}."
            f" In the way: {caps}. Raise one of them or name another stand-in."
        )
    if math.fsum(lows) > mass + 1e-12:
        floors = "; ".join(low for low, _ in words if low)
        raise BadValue(
            f"no blend fits: the lower bounds ask for {math.fsum(lows):.4g} and only {mass:.4g} of the whole is to be replaced."
            f" In the way: {floors}."
        )


def _row(
    name: str, composition: Composition, gone: set[str], chosen: tuple[Ingredient, ...], mass: float, notes: list[str]
) -> _Row | None:
    """The line of one kept quantity, or None with a note where a value is missing that it cannot do without."""
    quantities: dict[str, Callable[[Ingredient], float | None]] = {
        "oil-absorption": lambda i: 0.0 if i.liquid else _best(i, "oil-absorption"),
        "bulk-density": lambda i: 0.0 if i.liquid else _inverse(_best(i, "bulk-density")),
        "starch": lambda i: float(is_starch(i)),
        "stearate": lambda i: float(is_stearate(i)),
    }
    if name in _MEDIUM:
        measured = opacity(composition, _MEDIUM[name])
        if measured.value is None:
            notes.append(f"{name} was not kept: nothing that it rests on is known.")
            return None
        work: Callable[[Ingredient], float | None] = partial(
            _opacity_coefficient, target=measured.value.best, medium=_MEDIUM[name]
        )
    elif name in quantities:
        work = quantities[name]
    else:
        if not any(i.has_role(name) for i in (*composition.ingredients, *chosen)):
            if name in KEPT:
                notes.append(f"{name} was not kept: nothing here is known for it.")
                return None
            known = ", ".join(map(repr, (*_MEDIUM, *quantities)))
            raise BadValue(f"cannot keep {name!r}: keep takes {known}, or a role that an ingredient here has")
        work = partial(_does, role=name)
    coefficients: list[float] = []
    for ingredient in chosen:
        value = work(ingredient)
        if value is None:
            notes.append(f"{name} was not kept: the glossary has no value for {ingredient.name}.")
            return None
        coefficients.append(value)
    taken = [(composition.share(i), work(i), i) for i in composition.ingredients if i.id in gone]
    unknown = [i.name for _, value, i in taken if value is None]
    if unknown:
        notes.append(f"{name} was not kept: the glossary has no value for {', '.join(unknown)}.")
        return None
    # The stand-ins have the mass of the removed, so holding the sum over the removed holds it over the whole mixture.
    wanted = math.fsum(share * (value or 0.0) for share, value, _ in taken)
    scale = _scale(name, composition, coefficients, mass)
    return _Row(name, tuple(coefficients), wanted, scale)


def _scale(name: str, composition: Composition, coefficients: list[float], mass: float) -> float:
    """What one whole of the quantity is, so that misses are shares of it and can be weighed against each other."""
    if name in _MEDIUM:
        value = opacity(composition, _MEDIUM[name]).value
        volume = math.fsum(p.share / d.best for p in composition.parts if (d := solid_density(p.ingredient)) is not None)
        whole = value.best * volume if value else 0.0
    elif name == "oil-absorption":
        value = oil_absorption(composition).value
        whole = value.best if value else 0.0
    elif name == "bulk-density":
        value = bulk_density(composition).value
        whole = 1 / value.best if value else 0.0
    else:
        whole = 1.0
    return whole or max((abs(c) for c in coefficients), default=0.0) * mass or 1.0


def _best(ingredient: Ingredient, name: str) -> float | None:
    value = ingredient.value(name)
    return value.best if value else None


def _inverse(value: float | None) -> float | None:
    return 1 / value if value else None


def _does(ingredient: Ingredient, role: str) -> float:
    return float(ingredient.has_role(role))


def _opacity_coefficient(ingredient: Ingredient, target: float, medium: float = AIR) -> float | None:
    density = solid_density(ingredient)
    index = 1.0 if ingredient.liquid else _best(ingredient, "refractive-index")
    if density is None or index is None:
        return None
    contrast = 0.0 if ingredient.liquid else fresnel(index, medium)
    return (contrast - target) / density.best


def _limits(rows: list[_Row], tolerance: Mapping[str, float]) -> list[float | None]:
    names = [row.name for row in rows]
    for name, share in tolerance.items():
        if name not in names:
            raise BadValue(f"a tolerance is given for {name!r}, which is not kept; kept are {', '.join(names) or 'none'}")
        if not (math.isfinite(share) and share >= 0):
            raise BadValue(f"the tolerance of {name} is a share, 0 or more, not {share}")
    return [tolerance.get(name) for name in names]


def _feasible(rows: list[_Row], limits: list[float | None], lows: list[float], highs: list[float], mass: float) -> bool:
    from scipy.optimize import linprog

    matrix, right = [], []
    for row, limit in zip(rows, limits, strict=True):
        if limit is not None:
            matrix += [[c / row.scale for c in row.coefficients], [-c / row.scale for c in row.coefficients]]
            right += [row.target / row.scale + limit, limit - row.target / row.scale]
    answer = linprog(
        [0.0] * len(lows),
        A_ub=matrix or None,
        b_ub=right or None,
        A_eq=[[1.0] * len(lows)],
        b_eq=[mass],
        bounds=list(zip(lows, highs, strict=True)),
    )
    return bool(answer.success)


def _check_limits(
    rows: list[_Row],
    limits: list[float | None],
    lows: list[float],
    highs: list[float],
    mass: float,
    chosen: tuple[Ingredient, ...],
    words: list[tuple[str, str]],
) -> None:
    """Says which tolerance or bound is in the way: lift each in turn and see whether the rest can then be met."""
    if all(limit is None for limit in limits) or _feasible(rows, limits, lows, highs, mass):
        return
    culprits = []
    for place, (row, limit) in enumerate(zip(rows, limits, strict=True)):
        lifted = [*limits[:place], None, *limits[place + 1 :]]
        if limit is not None and _feasible(rows, lifted, lows, highs, mass):
            culprits.append(f"{row.name} within {100 * limit:.3g} %")
    for place in range(len(chosen)):
        low_words, high_words = words[place]
        if low_words and _feasible(rows, limits, [*lows[:place], 0.0, *lows[place + 1 :]], highs, mass):
            culprits.append(low_words)
        if high_words and _feasible(rows, limits, lows, [*highs[:place], mass, *highs[place + 1 :]], mass):
            culprits.append(high_words)
    pairs = zip(rows, limits, strict=True)
    asked = ", ".join(f"{row.name} within {100 * limit:.3g} %" for row, limit in pairs if limit is not None)
    blame = f"In the way: {'; '.join(culprits)}." if culprits else "No single bound is to blame: several are too narrow together."
    raise BadValue(f"no blend of {', '.join(i.name for i in chosen)} keeps {asked}. {blame}")


def _solve(rows: list[_Row], limits: list[float | None], lows: list[float], highs: list[float], mass: float) -> list[float]:
    """Least squares of the misses over the bounded simplex. A trace of pull towards equal shares settles ties."""
    import numpy as np
    from scipy.optimize import LinearConstraint, minimize

    matrix = np.array([[c / row.scale for c in row.coefficients] for row in rows]).reshape(len(rows), len(lows))
    target = np.array([row.target / row.scale for row in rows])
    low, high = np.array(lows), np.array(highs)
    room = float(np.sum(high - low))
    start = low + (high - low) * ((mass - float(np.sum(low))) / room if room > 0 else 0.0)  # feasible, and on the simplex
    even = np.full(len(lows), mass / len(lows))
    pull = 1e-6

    # In units of the removed mass, so that a small replacement is solved as sharply as a large one.
    def loss(y: np.ndarray) -> float:
        miss, lean = matrix @ (y * mass) - target, y - even / mass
        return float(miss @ miss + pull * (lean @ lean))

    def slope(y: np.ndarray) -> np.ndarray:
        miss, lean = matrix @ (y * mass) - target, y - even / mass
        return np.asarray(2 * mass * (matrix.T @ miss) + 2 * pull * lean)

    constraints = [LinearConstraint(np.ones((1, len(lows))), 1.0, 1.0)]
    for place, limit in enumerate(limits):
        if limit is not None:
            constraints.append(LinearConstraint(matrix[[place]] * mass, target[place] - limit, target[place] + limit))
    answer = minimize(
        loss,
        start / mass,
        jac=slope,
        method="SLSQP",
        bounds=list(zip(low / mass, high / mass, strict=True)),
        constraints=constraints,
        options={"maxiter": 500, "ftol": 1e-15},
    )
    if not answer.success and loss(answer.x) > loss(start / mass):
        raise BadValue(f"the blend could not be solved: {answer.message}")
    shares = np.clip(answer.x * mass, low, high)
    return [float(share) for share in shares * (mass / float(np.sum(shares)))]
