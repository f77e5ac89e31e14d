"""Composition: what a mixture is made of, as shares of its mass that add to 1, and how it came to be so.

A composition is what a translated formula becomes, what substitution changes and what pressing and batching start
from. Ingredients may be given as `Ingredient` or by id; ids are looked up in the glossary.
"""

from __future__ import annotations

import difflib
import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass, replace
from typing import Any

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, Forbidden, UnknownName, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Source
from histkit.base.text import Cell
from histkit.composing.effects import Effects, compare
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import CAUTION_LEVELS, Caution, Ingredient
from histkit.safety.evidence import Declared, Finding, Printed, unidentified
from histkit.safety.gate import Mixture, findings
from histkit.safety.law import region_of
from histkit.safety.products import product_of
from histkit.safety.within import forbidden_within, refusal_reason

TOLERANCE = 1e-9
"""How far the shares may be from 1 before a composition is refused; wide enough for float sums, no wider."""


def resolve(ingredient: Ingredient | str) -> Ingredient:
    """The ingredient itself, or the one that the glossary has under this id (raises UnknownName)."""
    if isinstance(ingredient, Ingredient):
        return ingredient
    from histkit import glossary

    return glossary.ingredient(ingredient)


@dataclass(frozen=True, slots=True)
class Part(Tabular):
    """One ingredient of a composition: `share` is its share of the whole mass, above 0 and at most 1."""

    ingredient: Ingredient
    share: float
    note: str = ""

    def __post_init__(self) -> None:
        if not (is_number(self.share) and 0 < self.share <= 1 + TOLERANCE):
            raise BadValue(f"the share of {self.ingredient.name} lies above 0 and is at most 1, not {self.share!r}")

    def _grid(self) -> Grid:
        return _parts_grid((self,), "One part of a composition")


@dataclass(frozen=True, slots=True)
class Change(Tabular):
    """A replacement that was made: `parts` are (ingredient id, grams for one gram of the removed); none: left out."""

    removed: str
    parts: tuple[tuple[str, float], ...]
    reason: str = ""
    option: str = ""

    def text(self) -> str:
        """The change as a sentence."""
        from histkit import glossary

        stand_ins = ", ".join(f"{ratio:.4g} g of {glossary.name_of(key)}" for key, ratio in self.parts)
        removed = glossary.name_of(self.removed)
        what = f"for each gram of {removed}: {stand_ins}" if self.parts else f"{removed}: left out"
        option = f" ({self.option})" if self.option else ""
        return f"{what}{option}{f', because {self.reason}' if self.reason else ''}"

    def _grid(self) -> Grid:
        rows: list[tuple[Cell, ...]] = [(self.removed, name, ratio) for name, ratio in self.parts]
        rows = rows or [(self.removed, "left out", None)]
        columns = (Column("removed", "Instead of 1 g of"), Column("ingredient", "Ingredient"), Column("grams", "Grams", 4))
        return Grid(columns, tuple(rows), self.option or "Replacement", (self.reason,) if self.reason else ())


@dataclass(frozen=True, slots=True)
class Composition(Tabular):
    """Parts whose shares of the mass add to 1, one for each ingredient, with the changes that led here.

    `omitted` names what a formula had but no share could be worked out for (no amount, "q.s."); it is told, not counted.
    Raises BadValue where the shares do not add to 1 within 1e-9 or an ingredient stands twice (`Composition.of` merges).
    """

    parts: tuple[Part, ...]
    name: str = ""
    changes: tuple[Change, ...] = ()
    omitted: tuple[str, ...] = ()
    source: Source | None = None
    printed: tuple[Printed, ...] = ()
    """What the book printed of it: searched for poisons, whatever the reader made of it."""
    declared: tuple[Declared, ...] = ()
    """What the maker says of unknown and contested names."""

    def __post_init__(self) -> None:
        ids = [part.ingredient.id for part in self.parts]
        if not ids:
            raise BadValue("a composition has at least one part with a mass; this one has none")
        twice = sorted({name for name in ids if ids.count(name) > 1})
        if twice:
            raise BadValue(f"{', '.join(twice)} stands twice in the composition; Composition.of adds such parts up")
        total = math.fsum(part.share for part in self.parts)
        if abs(total - 1) > TOLERANCE:
            raise BadValue(f"the shares of a composition add to 1, not {total:.12g}; Composition.of works them out from grams")

    @classmethod
    def of(
        cls,
        masses: Iterable[tuple[Ingredient | str, float]] | Mapping[Any, float],
        name: str = "",
        changes: tuple[Change, ...] = (),
        omitted: tuple[str, ...] = (),
        source: Source | None = None,
        notes: Mapping[str, str] | None = None,
        printed: tuple[Printed, ...] = (),
        declared: tuple[Declared, ...] = (),
    ) -> Composition:
        """The composition of these masses (grams, or parts by mass, any total); the same ingredient twice is added up.

        `notes` maps ids to a note for the part. A mass of exactly 0 goes to `omitted`; a negative one, or one that is
        no finite number, raises BadValue.
        """
        pairs = masses.items() if isinstance(masses, Mapping) else masses
        grams: dict[str, float] = {}
        ingredients: dict[str, Ingredient] = {}
        for given, mass in pairs:
            ingredient = resolve(given)
            _check_mass(mass, f"the mass of {ingredient.name}")
            ingredients.setdefault(ingredient.id, ingredient)
            grams[ingredient.id] = grams.get(ingredient.id, 0.0) + float(mass)
        if not 0 < (rough := sum(grams.values())) < math.inf:
            raise BadValue(f"a composition needs at least one ingredient with a mass above 0 g; the total here is {rough:g} g")
        total = math.fsum(grams.values())
        shares = {key: mass / total for key, mass in grams.items()}
        weightless = tuple(ingredients[key].name for key, share in shares.items() if share <= 0)
        parts = tuple(Part(ingredients[key], share, (notes or {}).get(key, "")) for key, share in shares.items() if share > 0)
        left = (*omitted, *(n for n in weightless if n not in omitted))
        return cls(parts, name, changes, left, source, printed, declared)

    @property
    def ingredients(self) -> tuple[Ingredient, ...]:
        """The ingredients in the order of the parts."""
        return tuple(part.ingredient for part in self.parts)

    def share(self, ingredient: Ingredient | str) -> float:
        """The share of the mass (0–1) that this ingredient has; 0 where it is not in the composition."""
        wanted = _id(ingredient)
        return next((part.share for part in self.parts if part.ingredient.id == wanted), 0.0)

    def __contains__(self, ingredient: object) -> bool:
        wanted = ingredient.id if isinstance(ingredient, Ingredient) else ingredient
        return any(part.ingredient.id == wanted for part in self.parts)

    @property
    def forbidden(self) -> tuple[Ingredient, ...]:
        """The ingredients that must not be used, also preparations with a forbidden one inside them."""
        return tuple(i for i in self.ingredients if forbidden_within(i))

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """All cautions of all ingredients, each once, the gravest level first."""
        return tuple(dict.fromkeys(caution for _, caution in self.cautions_by_ingredient))

    @property
    def cautions_by_ingredient(self) -> tuple[tuple[Ingredient, Caution], ...]:
        """(ingredient, caution) for every caution, the gravest level first, otherwise in the order of the parts.

        What a preparation is made of brings its own forbidden cautions along.
        """
        pairs = [(i, c) for i in self.ingredients for c in i.cautions]
        for i in self.ingredients:
            pairs += [(i, c) for inner in forbidden_within(i) for c in inner.cautions if c.level == "forbidden"]
        return tuple(sorted(dict.fromkeys(pairs), key=lambda pair: CAUTION_LEVELS.index(pair[1].level)))

    def replace(
        self,
        ingredient: Ingredient | str,
        stand_ins: Mapping[Any, float],
        reason: str = "",
        option: str = "",
    ) -> Composition:
        """The composition with one ingredient replaced: `stand_ins` maps ids to grams for each gram of the removed.

        The rest keeps its proportions and the shares are worked out anew, so that they add to 1; `{}` leaves the
        ingredient out. A stand-in that the composition already holds is added to that part. The change is recorded
        with `reason` and `option`.

        Raises UnknownName for an id that nobody knows, BadValue where the ingredient is not in this composition or a
        ratio is negative or no number, Forbidden where a stand-in must not be used itself.
        """
        removed = self.part(ingredient)
        mixture: dict[str, tuple[Ingredient, float]] = {}
        for given, ratio in stand_ins.items():
            substitute = self.known(given)
            _check_mass(ratio, f"the grams of {substitute.name} for one gram of {removed.ingredient.name}")
            if forbidden_within(substitute):
                raise Forbidden(
                    f"{substitute.name} cannot stand in for {removed.ingredient.name}. {refusal_reason(substitute)}",
                    tuple(dict.fromkeys((substitute.id, *(i.id for i in forbidden_within(substitute))))),
                )
            if ratio > 0:
                mixture[substitute.id] = (substitute, mixture.get(substitute.id, (substitute, 0.0))[1] + ratio)
        if stand_ins and not mixture:
            raise BadValue(f"all stand-ins for {removed.ingredient.name} are 0 g; give {{}} to leave it out")

        masses: list[tuple[Ingredient, float]] = []
        notes = {part.ingredient.id: part.note for part in self.parts if part is not removed}
        for part in self.parts:
            if part is removed:  # the stand-ins take the place of the removed, so that old and new stand side by side
                masses += [(substitute, ratio * part.share) for substitute, ratio in mixture.values()]
            else:
                masses.append((part.ingredient, part.share))
        if not masses:
            raise BadValue(f"{removed.ingredient.name} is all that this composition holds; it cannot be left out")
        for substitute, _ in mixture.values():
            note = f"in place of {removed.ingredient.name}"
            notes[substitute.id] = f"{notes[substitute.id]}; {note}" if notes.get(substitute.id) else note
        parts = tuple((key, ratio) for key, (_, ratio) in mixture.items())
        change = Change(removed.ingredient.id, parts, reason, option)
        changes = (*self.changes, change)
        return Composition.of(masses, self.name, changes, self.omitted, self.source, notes, self.printed, self.declared)

    def declare(self, words: str, reason: str) -> Composition:
        """The composition with what its maker says of an unknown or contested name, or of words in title or directions.

        `words` are the printed words, the name, or the id of the part; `reason` is printed on the sheet. It never lets through
        what must not be used. Raises BadValue where words or reason are empty.
        """
        if not words.strip() or not reason.strip():
            raise BadValue("declare wants the printed words (or the id of the part), and a reason that is printed on the sheet")
        return replace(self, declared=(*self.declared, Declared(words.strip(), reason.strip())))

    def findings(self, product: str | None = None, region: str = "EU", pressed: bool = False) -> tuple[Finding, ...]:
        """What keeps it from the bench, and what its maker should know, the gravest first (see `histkit.safety.gate`).

        `product` is an id of `histkit/safety/products.csv`, guessed from the name where None; `region` "EU", "GB", "US", "CA".
        Raises UnknownName for a product or region that nobody knows.
        """
        return findings(self.mixture, product_of(product, self.name, pressed), region_of(region))

    @property
    def mixture(self) -> Mixture:
        """What the gate is asked about."""
        shares = tuple((part.ingredient, float(part.share)) for part in self.parts)
        return Mixture(shares, self.printed, self.declared, frozenset(change.removed for change in self.changes))

    def effects(self, other: Composition, prices: Mapping[str, float] | None = None) -> Effects:
        """What changes from this composition to `other`: opacity, oil absorption, bulk density, cautions and more.

        `prices` maps ids to the price of one gram. See `histkit.composing.effects`.
        """
        return compare(self, other, prices)

    def part(self, ingredient: Ingredient | str) -> Part:
        """The part of this ingredient. Raises BadValue where the composition lacks it, UnknownName where there is none such."""
        wanted = _id(ingredient)
        for part in self.parts:
            if part.ingredient.id == wanted:
                return part
        held = [i.id for i in self.ingredients]
        try:
            absent = resolve(ingredient)
        except UnknownName as error:
            near = dict.fromkeys((*difflib.get_close_matches(wanted, held, 3, 0.5), *error.near))
            raise UnknownName("ingredient", wanted, tuple(near)) from None
        raise BadValue(f"{absent.name} ({absent.id}) is not in this composition, which holds {', '.join(held)}")

    def known(self, given: Ingredient | str) -> Ingredient:
        """The ingredient of an id: from this composition first, so that makers' own ones keep working; then the glossary."""
        return next((i for i in self.ingredients if i.id == given), None) or resolve(given)

    def _grid(self) -> Grid:
        notes = [change.text() for change in self.changes]
        if self.omitted:
            notes.append(f"Without an amount, so not counted: {', '.join(self.omitted)}.")
        return _parts_grid(self.parts, self.name or "Composition", tuple(notes))

    def to_json(self) -> str:
        """The composition as JSON text: ids and shares, changes, source. `from_json` gives an equal one."""
        data = {
            "name": self.name,
            "parts": [{"ingredient": p.ingredient.id, "share": p.share, "note": p.note} for p in self.parts],
            "changes": [asdict(change) for change in self.changes],
            "omitted": list(self.omitted),
            "source": asdict(self.source) if self.source else None,
            "printed": [asdict(words) for words in self.printed],
            "declared": [asdict(said) for said in self.declared],
        }
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str, ingredients: Mapping[str, Ingredient] | None = None) -> Composition:
        """The composition that `to_json` wrote; ids are looked up in `ingredients` first, then in the glossary."""
        try:
            data = json.loads(text)
            changes = tuple(
                Change(c["removed"], tuple((str(key), float(ratio)) for key, ratio in c["parts"]), c["reason"], c["option"])
                for c in data["changes"]
            )
            shares = [(str(p["ingredient"]), float(p["share"]), str(p["note"])) for p in data["parts"]]
            source = Source(**data["source"]) if data["source"] else None
            name, omitted = str(data["name"]), tuple(str(entry) for entry in data["omitted"])
            printed = tuple(Printed(**{**p, "others": tuple(p["others"])}) for p in data.get("printed", ()))
            declared = tuple(Declared(**said) for said in data.get("declared", ()))
        except (json.JSONDecodeError, KeyError, TypeError, ValueError) as error:
            raise BadValue(f"this is not a composition that histkit wrote: {error}") from error
        own = {p.part: unidentified(p.name) for p in printed if p.part and not p.known} | dict(ingredients or {})
        parts = tuple(Part(own[key] if key in own else resolve(key), share, note) for key, share, note in shares)
        return cls(parts, name, changes, omitted, source, printed, declared)


def _id(ingredient: Ingredient | str) -> str:
    return ingredient.id if isinstance(ingredient, Ingredient) else ingredient


def _check_mass(value: float, what: str) -> None:
    if not is_number(value) or value < 0:
        raise BadValue(f"{what} is a number, 0 or more, not {quoted(value)}")


def _parts_grid(parts: Iterable[Part], caption: str, notes: tuple[str, ...] = ()) -> Grid:
    columns = (
        Column("ingredient", "Ingredient"),
        Column("inci", "Label name"),
        Column("percent", "Per cent of the mass", 2),
        Column("note", "Note"),
    )
    rows: list[tuple[Cell, ...]] = [(p.ingredient.name, p.ingredient.inci, p.share * 100, p.note) for p in parts]
    return Grid(columns, tuple(rows), caption, notes)
