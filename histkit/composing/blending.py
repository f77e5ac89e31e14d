"""Shares of several stand-ins, solved so that a mixture keeps its cover, its oil take-up and its bulk.

The stand-ins together have the mass of what they replace. Every quantity kept is linear in their shares (`quantities`), so
this is a least-squares problem over a bounded simplex (`solving`), convex, with one answer.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import TypeVar

from histkit import glossary
from histkit.base.errors import BadValue, Forbidden
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.composing.composition import Composition
from histkit.composing.effects import Effects
from histkit.composing.quantities import KEPT, Kept, kept_quantity
from histkit.composing.solving import least_squares
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.law import region_of, speaks_of
from histkit.safety.pairs import pair_findings
from histkit.safety.within import forbidden_within, refusal_reason

_Value = TypeVar("_Value")


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
    lines = [kept_quantity(name, composition, gone, chosen, mass, notes) for name in dict.fromkeys(keep)]
    rows = [line for line in lines if line is not None]
    if not rows and len(chosen) > 1:
        raise BadValue(f"nothing is left to keep: {' '.join(notes) or 'keep is empty'}")
    limits = _limits(rows, tolerance or {})
    shares = _solved(rows, limits, lows, highs, mass)
    if shares is None:
        names = ", ".join(i.name for i in chosen)
        raise BadValue(f"no blend of {names} {_why_nothing_fits(rows, limits, lows, highs, mass, words)}")

    ratios = {i: share / mass for i, share in zip(chosen, shares, strict=True) if share > 1e-9 * mass}
    after = composition
    kept = ", ".join(row.name for row in rows)
    for ingredient in removed:
        after = after.replace(ingredient, ratios, reason or f"a blend solved to keep {kept}", "solved blend")
    _refuse_burning(after, chosen)
    missed = tuple((row.name, row.missed(shares)) for row in rows)
    at_bounds = tuple(
        words[i][side]
        for i, share in enumerate(shares)
        for side, edge in ((0, lows[i]), (1, highs[i]))
        if words[i][side] and abs(share - edge) < 1e-6
    )
    parts = tuple((i.id, ratio) for i, ratio in ratios.items())
    return Blend(after, parts, tuple(i.id for i in removed), missed, at_bounds, tuple(notes), composition.effects(after))


def _refuse_burning(after: Composition, chosen: tuple[Ingredient, ...]) -> None:
    burning = [finding.text for finding in pair_findings(after.ingredients) if finding.holds]
    if burning:
        raise Forbidden(f"These cannot stand in together. {' '.join(burning)}", tuple(i.id for i in chosen))


def _removed(composition: Composition, remove: Ingredient | str | Iterable[Ingredient | str]) -> tuple[Ingredient, ...]:
    wanted = [remove] if isinstance(remove, (Ingredient, str)) else list(remove)
    removed = tuple(dict.fromkeys(composition.part(given).ingredient for given in wanted))
    if not removed:
        raise BadValue("solve_blend needs at least one ingredient to remove")
    return removed


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
            speaks = (not region or region_of(region).holds(caution.region)) and speaks_of(caution, form)
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


def _limits(rows: list[Kept], tolerance: Mapping[str, float]) -> list[float | None]:
    names = [row.name for row in rows]
    for name, share in tolerance.items():
        if name not in names:
            raise BadValue(f"a tolerance is given for {name!r}, which is not kept; kept are {', '.join(names) or 'none'}")
        if not (math.isfinite(share) and share >= 0):
            raise BadValue(f"the tolerance of {name} is a share, 0 or more, not {share}")
    return [tolerance.get(name) for name in names]


def _why_nothing_fits(
    rows: list[Kept],
    limits: list[float | None],
    lows: list[float],
    highs: list[float],
    mass: float,
    words: list[tuple[str, str]],
) -> str:
    """Which tolerance or bound is in the way: each is lifted in turn, to see whether the rest can then be met."""

    def fits(limits: list[float | None], lows: list[float], highs: list[float]) -> bool:
        return _solved(rows, limits, lows, highs, mass) is not None

    culprits = []
    for place, (row, limit) in enumerate(zip(rows, limits, strict=True)):
        if limit is not None and fits(_with(limits, place, None), lows, highs):
            culprits.append(f"{row.name} within {100 * limit:.3g} %")
    for place, (low_words, high_words) in enumerate(words):
        if low_words and fits(limits, _with(lows, place, 0.0), highs):
            culprits.append(low_words)
        if high_words and fits(limits, lows, _with(highs, place, mass)):
            culprits.append(high_words)
    pairs = zip(rows, limits, strict=True)
    asked = ", ".join(f"{row.name} within {100 * limit:.3g} %" for row, limit in pairs if limit is not None)
    blame = f"In the way: {'; '.join(culprits)}." if culprits else "No single bound is to blame: several are too narrow together."
    return f"keeps {asked}. {blame}"


def _with(values: list[_Value], place: int, value: _Value) -> list[_Value]:
    return [*values[:place], value, *values[place + 1 :]]


def _solved(
    rows: list[Kept], limits: list[float | None], lows: list[float], highs: list[float], mass: float
) -> tuple[float, ...] | None:
    goals = [row.goal(limit) for row, limit in zip(rows, limits, strict=True)]
    return least_squares(goals, lows, highs, mass)
