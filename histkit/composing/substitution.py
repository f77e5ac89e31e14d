"""What can stand in for an ingredient: curated answers of the glossary first, then those that come nearest by their work.

`substitutes` ranks; `blending.solve_blend` works out the shares of several stand-ins. Neither ever offers a
forbidden ingredient, nor a preparation that holds one. The maker chooses; `Composition.replace` records the choice.
"""

from __future__ import annotations

import difflib
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from histkit.base.bibliography import sourced
from histkit.base.errors import UnknownName
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.base.text import Cell
from histkit.composing.avoiding import Avoided
from histkit.composing.composition import Composition, resolve
from histkit.composing.effects import Effects, solid_density
from histkit.composing.fitting import Fitting, as_safe, same_form, same_hue
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Caution, Ingredient, Stand
from histkit.safety.law import Region, region_of, speaks_of
from histkit.safety.products import product_of
from histkit.safety.within import forbidden_within

_WEIGHT_ROLES, _WEIGHT_PROPERTIES, _WEIGHT_KIND = 0.6, 0.3, 0.1
"""How much roles, properties and kind count when nearness is computed: common practice, own judgement, no source."""

_NO_WORK = "other"
"""The role that says nothing of the work: two that have it are not alike for that."""

_COMPARED: tuple[tuple[str, str, str], ...] = (
    ("refractive-index", "a higher refractive index, so more cover", "a lower refractive index, so less cover"),
    ("oil-absorption", "takes up more oil", "takes up less oil"),
    ("bulk-density", "denser: less volume for the same mass", "bulkier: more volume for the same mass"),
    ("particle-size", "coarser", "finer"),
    ("ph", "more alkaline", "more acid"),
)
"""Properties that are compared, with the words for 'the stand-in has more' and 'has less' of it."""


@dataclass(frozen=True, slots=True)
class Suggestion(Tabular):
    """One way to stand in for an ingredient: `parts` are (ingredient id, grams for one gram of the replaced).

    `curated`: from the glossary's own table; otherwise computed from roles and properties. `score` runs 0–1 and only
    orders the list. `cautions` are those of the stand-ins in the market and form that were asked for.
    """

    option: str
    parts: tuple[tuple[str, float], ...]
    kept: str
    changes: str
    reason: str
    source: str
    curated: bool
    score: float
    cautions: tuple[Caution, ...] = ()
    replaced: str = ""

    @property
    def mapping(self) -> dict[str, float]:
        """The parts as `Composition.replace` takes them."""
        return dict(self.parts)

    def apply(self, composition: Composition) -> Composition:
        """The composition with this suggestion taken, the reason recorded."""
        return composition.replace(self.replaced, self.mapping, self.reason, self.option)

    def effects(self, composition: Composition | None = None) -> Effects:
        """What it does to a composition; without one, what changes from the pure ingredient to the pure stand-in.

        Raises BadValue for 'leave out' without a composition: there is nothing to compare.
        """
        before = composition or Composition.of([(resolve(self.replaced), 1.0)], self.replaced)
        return before.effects(self.apply(before))

    def _grid(self) -> Grid:
        return suggestions_grid((self,), f"In place of {self.replaced}")


def suggestions_grid(suggestions: Iterable[Suggestion], caption: str) -> Grid:
    """Suggestions as one table, best first."""
    columns = (
        Column("option", "Option"),
        Column("parts", "For 1 g"),
        Column("kept", "Keeps"),
        Column("changes", "Changes"),
        Column("reason", "Why"),
        Column("cautions", "Cautions"),
    )
    rows: list[tuple[Cell, ...]] = [
        (
            s.option,
            ", ".join(f"{ratio:.3g} g {name}" for name, ratio in s.parts) or "nothing",
            s.kept,
            s.changes,
            s.reason,
            " ".join(f"({c.level}) {c.text}" for c in s.cautions),
        )
        for s in suggestions
    ]
    return Grid(columns, tuple(rows), caption)


def substitutes(
    ingredient: Ingredient | str,
    role: str | None = None,
    avoid: Iterable[str] | str = (),
    market: str = "EU",
    form: str | None = None,
    have: Iterable[str] | None = None,
    limit: int = 8,
    product: str | None = None,
    beside: Iterable[Ingredient] = (),
) -> tuple[Suggestion, ...]:
    """Ranked stand-ins for an ingredient: the glossary's own first, then up to `limit` computed from roles and properties.

    `role` asks for stand-ins that do this work; `avoid` takes ids, kinds, roles or tags ("talc", "starch", "animal", "nut",
    "gluten", "fragrance", "alcohol", "mineral-oil", "colour"); `market` is the region whose cautions are shown ("EU",
    "US" …); `form` the product ("loose", "pressed", "leave-on", "rinse-off", "oral"); `have` the ids in the cupboard,
    nothing else is then offered; `product` the sort of product ("face-powder"), whose law and use rule options out; `beside` the
    other ingredients, with which no stand-in may explode or poison. What the glossary would rather have left out gets nothing
    computed, and what is computed has the hue and the form of the original and brings no worse hazard. Raises UnknownName for an
    ingredient, role, region, form, product, or a word to avoid, that nobody knows.
    """
    from histkit import glossary

    original = resolve(ingredient)
    every: Mapping[str, Ingredient] = glossary.ingredients
    unwanted = Avoided([avoid] if isinstance(avoid, str) else avoid, every)
    cupboard = None if have is None else frozenset(glossary.ingredient(key).id for key in have)
    region = region_of(market)
    fitting = Fitting(None if product is None else product_of(product, "", form == "pressed"), region, tuple(beside))
    if form is not None:
        _check("product form", form, [row["id"] for row in sourced("safety/product_forms")])
    if role is not None:
        _check("role", role, sorted({r.role for i in every.values() for r in i.roles}))
    wish = _Wish(original, every, unwanted, cupboard, form, fitting)
    curated: list[Suggestion] = []
    for place, stand in enumerate(original.stands):
        keys = [key for key, _ in stand.parts]
        does_it = role is None or any(key in every and every[key].has_role(role) for key in keys)
        if does_it and all(map(wish.usable, keys)) and wish.fits(stand.option, keys):
            curated.append(_curated(original, stand, place, wish.cautions(keys)))
    computed: list[Suggestion] = []
    rather_left_out = role is None and bool(original.stands) and not original.stands[0].parts
    if not rather_left_out:
        singles = {s.parts[0][0] for s in curated if len(s.parts) == 1}
        others = [i for key, i in every.items() if key != original.id and key not in singles and _comparable(original, i, role)]
        fitting_ones = [i for i in others if wish.usable(i.id) and wish.fits("", [i.id])]
        computed = [_computed(original, i, role, wish.cautions([i.id])) for i in fitting_ones]
        computed.sort(key=lambda s: (-s.score, s.option))
    return (*sorted(curated, key=lambda s: -s.score), *computed[:limit])


@dataclass(frozen=True)
class _Wish:
    """What a maker wants of a stand-in, as questions about one."""

    original: Ingredient
    every: Mapping[str, Ingredient]
    unwanted: Avoided
    cupboard: frozenset[str] | None
    form: str | None
    fitting: Fitting

    def usable(self, key: str) -> bool:
        candidate = self.every.get(key)
        return (
            candidate is not None
            and not forbidden_within(candidate)
            and not self.unwanted.hits(candidate)
            and (self.cupboard is None or key in self.cupboard)
        )

    def cautions(self, keys: Iterable[str]) -> tuple[Caution, ...]:
        told = (c for key in keys for c in self.every[key].cautions if _concerns(c, self.fitting.region, self.form))
        return tuple(dict.fromkeys(told))

    def fits(self, option: str, keys: Iterable[str]) -> bool:
        chosen = [self.every[key] for key in keys]
        fitting = self.fitting
        return fitting.suits(self.original, option) and fitting.lawful(chosen) and fitting.peaceful(chosen, self.original)


def _check(kind: str, word: str, words: list[str]) -> None:
    """Raises UnknownName for a wish that nothing could ever fit: it would pass in silence."""
    if word not in words:
        raise UnknownName(kind, word, tuple(difflib.get_close_matches(word, words, 3, 0.5) or words[:7]))


def _concerns(caution: Caution, region: Region, form: str | None) -> bool:
    return region.holds(caution.region) and (form is None or caution.form == "bench" or speaks_of(caution, form))


def _curated(original: Ingredient, stand: Stand, place: int, cautions: tuple[Caution, ...]) -> Suggestion:
    reason = f"the glossary lists it as a stand-in for {original.name}"
    # Leaving it out comes last, unless the glossary puts it first.
    score = 1.0 - 0.01 * place - _penalty(cautions) - (0.1 if place and not stand.parts else 0.0)
    return Suggestion(
        stand.option, stand.parts, stand.kept, stand.changes, reason, stand.source, True, max(score, 0.0), cautions, original.id
    )


def _penalty(cautions: Iterable[Caution]) -> float:
    """What the law limits comes a little later: 0.02 for each restricted caution, 0.1 at most."""
    return min(0.1, 0.02 * sum(c.level == "restricted" for c in cautions))


def _comparable(original: Ingredient, candidate: Ingredient, role: str | None) -> bool:
    """Same form and hue, no worse hazard, shares a chief purpose (or does what `role` asks for): water is no chalk."""
    if not (same_form(original, candidate) and as_safe(original, candidate)):
        return False
    if role is None and not same_hue(original, candidate):
        return False
    if role is not None:
        return candidate.has_role(role)
    chief = ({r.role for r in original.roles if r.main} or {r.role for r in original.roles}) - {_NO_WORK}
    return any(candidate.has_role(name) for name in chief)


def _computed(original: Ingredient, candidate: Ingredient, role: str | None, cautions: tuple[Caution, ...]) -> Suggestion:
    shared = [r.role for r in original.roles if candidate.has_role(r.role)]
    lost = [r.role for r in original.roles if not candidate.has_role(r.role)]
    gained = [r.role for r in candidate.roles if not original.has_role(r.role)]
    nearness, same, words, unknown = _properties(original, candidate)
    score = _WEIGHT_ROLES * _role_likeness(original, candidate, role) + _WEIGHT_PROPERTIES * nearness
    score += _WEIGHT_KIND * (original.kind == candidate.kind and bool(original.kind))
    work = f"does the same work ({', '.join(shared)})" if shared else f"does the work asked for ({role})"
    near = f"; near in {_listed(same)}" if same else ""
    reason = f"{work}{near}{f'; no value to compare for {_listed(unknown)}' if unknown else ''}"
    changes = [*words, *(f"no {name}" for name in lost), *(f"adds {name}" for name in gained)]
    return Suggestion(
        candidate.name,
        ((candidate.id, 1.0),),
        ", ".join(shared),
        "; ".join(changes) or "little",
        reason,
        "computed from the roles and properties in the glossary, gram for gram",
        False,
        0.8 * max(score - _penalty(cautions), 0.0),  # below every curated one
        cautions,
        original.id,
    )


def _listed(names: Iterable[str]) -> str:
    return ", ".join(name.replace("-", " ") for name in names)


def _role_likeness(original: Ingredient, candidate: Ingredient, role: str | None) -> float:
    """Cosine of the two role vectors (chief purpose 1, others 0.4); with `role`, half is how chiefly the candidate does it."""

    def vector(ingredient: Ingredient) -> dict[str, float]:
        out: dict[str, float] = {}
        for r in ingredient.roles:
            out[r.role] = max(out.get(r.role, 0.0), 1.0 if r.main else 0.4)
        return out

    first, second = vector(original), vector(candidate)
    product = math.fsum(first[name] * second[name] for name in first.keys() & second.keys())
    length = math.sqrt(math.fsum(v * v for v in first.values()) * math.fsum(v * v for v in second.values()))
    likeness = product / length if length else 0.0
    return likeness if role is None else (likeness + second.get(role, 0.0)) / 2


def _properties(original: Ingredient, candidate: Ingredient) -> tuple[float, list[str], list[str], list[str]]:
    """(nearness 0–1, properties that are alike, differences in words, properties with no value for one of the two)."""
    nearness: list[float] = []
    same: list[str] = []
    words: list[str] = []
    unknown: list[str] = []
    pairs = [(name, original.value(name), candidate.value(name), more, less) for name, more, less in _COMPARED]
    pairs.append(("density", solid_density(original), solid_density(candidate), "heavier in itself", "lighter in itself"))
    for name, old, new, more, less in pairs:
        if old is None and new is None:
            continue
        if old is None or new is None or old.best <= 0 or new.best <= 0:
            unknown.append(name)
            nearness.append(0.5)  # neither near nor far
            continue
        distance = _distance(name, old, new)
        nearness.append(math.exp(-distance))
        if distance < 0.15 or (old.low <= new.high and new.low <= old.high):
            same.append(name)
        else:
            words.append(f"{more if new.best > old.best else less} ({new.best:.3g} against {old.best:.3g})")
    return (math.fsum(nearness) / len(nearness) if nearness else 0.5), same, words, unknown


def _distance(name: str, old: Spread, new: Spread) -> float:
    """How far apart two values are: by ratio, but by contrast with air for the refractive index and by steps for pH."""
    if name == "ph":
        return abs(new.best - old.best) / 3
    if name == "refractive-index":
        return abs(new.best - old.best) / max(old.best - 1, 0.05)
    return abs(math.log(new.best / old.best))
