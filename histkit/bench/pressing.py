"""From loose powder to pressed cake: a powder with its binders, and the published levels beside the choice.

Shares are of the **finished cake** unless `of="powder"` is asked for (`binders`). Liquid that dries off (wet pressing) is
written down and not counted.
"""

from __future__ import annotations

import json
import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from histkit.base.checking import positive
from histkit.base.errors import BadValue
from histkit.base.grid import Column, Grid
from histkit.base.text import Cell
from histkit.bench.binders import BINDER_NOTES, Basis, Binder, Chosen, asked_for, chosen, held_note, worked_out
from histkit.bench.drying import DryBasis, dry_basis
from histkit.bench.levels import Level, judged, judged_wetting, levels_grid
from histkit.bench.totals import binder_totals, binds_already
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.gate import sorted_findings
from histkit.safety.pairs import pair_findings


@dataclass(frozen=True, slots=True)
class PressedFormula(Tabular):
    """A powder with its binders: `composition` is the finished cake (adds to 1), `powder` what went in.

    `levels` are the published levels for these binders, `warnings` say where a share lies outside them, `notes` what
    was taken into account. `wetting` are (ingredient, grams for one gram of powder) that dry off again. `basis` is there where
    the formula itself holds liquid that dries off: `powder` is then what stays of it.
    """

    composition: Composition
    powder: Composition
    binders: tuple[Binder, ...] = ()
    of: Basis = "cake"
    levels: tuple[Level, ...] = ()
    warnings: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    wetting: tuple[tuple[Ingredient, float], ...] = ()
    drops: tuple[float, float] | None = None
    """(drops of the oil, grams of powder that they go into), where the oil was given by drops."""
    basis: DryBasis | None = None
    """What of the composition as it was given dries off; None where nothing does."""

    def additions(self, powder_grams: float) -> dict[str, float]:
        """Grams of each binder (by id) to add to so many grams of the powder; 0 where the powder holds enough already."""
        grams = positive(powder_grams, "powder_grams")
        return {b.ingredient.id: b.added * grams for b in self.binders}

    def cake_grams(self, powder_grams: float) -> float:
        """Grams of finished cake that so many grams of powder make."""
        return positive(powder_grams, "powder_grams") * (1 + math.fsum(b.added for b in self.binders))

    def powder_grams(self, cake_grams: float) -> float:
        """Grams of powder that so many grams of finished cake take."""
        return positive(cake_grams, "cake_grams") / (1 + math.fsum(b.added for b in self.binders))

    def wetting_grams(self, powder_grams: float) -> dict[str, float]:
        """Grams of liquid that wet so many grams of powder and dry off again."""
        grams = positive(powder_grams, "powder_grams")
        return {i.id: ratio * grams for i, ratio in self.wetting}

    def levels_grid(self) -> Grid:
        """The published levels beside the choice, as a table."""
        return levels_grid(self.levels, "Published levels for these binders")

    def _grid(self) -> Grid:
        added = {b.ingredient.id: 100 * b.added for b in self.binders}
        columns = (
            Column("ingredient", "Ingredient"),
            Column("powder", "In the powder, %", 2),
            Column("added", "Add to 100 g of powder, g", 3),
            Column("percent", "In the cake, %", 2),
        )
        rows: list[tuple[Cell, ...]] = [
            (p.ingredient.name, 100 * self.powder.share(p.ingredient), added.get(p.ingredient.id), 100 * p.share)
            for p in self.composition.parts
        ]
        caption = f"{self.powder.name}, pressed" if self.powder.name else "Pressed formula"
        return Grid(columns, tuple(rows), caption, (*self.warnings, *self.notes))

    def to_json(self) -> str:
        """The choices as JSON text: powder, binders with the shares asked for, wetting. `from_json` presses anew."""
        data = {
            "powder": json.loads((self.basis.given if self.basis else self.powder).to_json()),
            "binder": {b.ingredient.id: b.target for b in self.binders if b.kind == "dry"},
            "oil": {b.ingredient.id: b.target for b in self.binders if b.kind == "liquid"},
            "of": self.of,
            "wetting": {i.id: ratio for i, ratio in self.wetting},
            "drops": list(self.drops) if self.drops else None,
        }
        return json.dumps(data, ensure_ascii=False, indent=1)

    @classmethod
    def from_json(cls, text: str, ingredients: Mapping[str, Ingredient] | None = None) -> PressedFormula:
        """The pressed formula that `to_json` wrote; ids are looked up in `ingredients` first, then in the glossary."""
        own = ingredients or {}

        def looked_up(entries: Mapping[str, float]) -> dict[Ingredient | str, float]:
            return {own.get(key, key): share for key, share in entries.items()}

        try:
            data = json.loads(text)
            powder = json.dumps(data["powder"])
            binder, oil, wetting = (looked_up(data[key]) for key in ("binder", "oil", "wetting"))
            of, drops = data["of"], data.get("drops") or (None, None)
            count, grams = drops
            if count is not None:
                (oil_id,) = oil
        except (json.JSONDecodeError, KeyError, TypeError, ValueError, AttributeError) as error:
            raise BadValue(f"this is not a pressed formula that histkit wrote: {error}") from error
        start = Composition.from_json(powder, ingredients)
        liquid: Chosen = oil if count is None else oil_id
        return press(start, binder, oil=liquid, of=of, wetting=wetting, oil_drops=count, powder_grams=grams)


def press(
    composition: Composition,
    binder: Chosen = "magnesium-stearate",
    binder_share: float = 0.05,
    oil: Chosen = "jojoba-oil",
    oil_share: float | None = 0.03,
    of: Basis = "cake",
    *,
    wetting: Chosen = None,
    wetting_share: float = 0.20,
    cake: str | None = None,
    oil_drops: float | None = None,
    powder_grams: float | None = None,
) -> PressedFormula:
    """A powder with dry binder and oil at these shares (0–1) of the finished cake.

    `binder` and `oil` are an id, None, or a mapping {id: share} for several. `oil_share=None` proposes the oil from the powder's
    oil absorption; `oil_drops` for `powder_grams` of powder gives it by drops, of the mass that a drop of it has on average.
    `of="powder"` takes the shares as grams for one gram of the powder as it is. What the powder holds of a binder counts: only
    the difference is added, nothing where it holds enough for the finished cake. `wetting` (grams for one gram of powder in
    `wetting_share`) dries off and is only written down. `cake` narrows the published levels to a sort ("face powder", "eye
    shadow", "home pressing").

    What of the composition itself dries off (`drying.dry_basis`) is no part of the cake: where no `wetting` is asked for, it wets
    the powder, as much of it as a powder takes.

    Shares outside the published levels are told in `.warnings`, not refused. Raises BadValue for shares or drops that are
    negative, no numbers, or make 1 and more together; UnknownName for an id that the glossary lacks; Forbidden for a binder
    that must not be used.
    """
    if of not in ("cake", "powder"):
        raise BadValue(f"of is 'cake' or 'powder', not {of!r}")
    basis = dry_basis(composition)
    powder, poured = basis.dry, basis.wetting()
    asked = asked_for(powder, of, (binder, binder_share), (oil, oil_share), (oil_drops, powder_grams))
    binders = worked_out(powder, asked, of)
    own = chosen(wetting, wetting_share, "wetting_share", 10.0)
    wet = tuple((own or poured).items())
    notes = [*basis.notes, *asked.notes, *(held_note(b) for b in binders if b.held > 0 and b.ingredient not in asked.poured)]
    notes += _wetting_notes(wet, [i.name for i in poured if own and i not in own])
    finished = _cake(powder, binders)
    notes += binds_already(finished, {b.ingredient.id for b in binders})
    verdicts = [judged(b.ingredient, b.kind, b.share, cake, _of_kind(binders, b.kind)) for b in binders]
    # what the book itself pours needs no level: `basis` says where it is too much
    verdicts += [judged_wetting(liquid, ratio) for liquid, ratio in wet if poured.get(liquid) != ratio]
    told = {b.ingredient.id for b, (_, warning) in zip(binders, verdicts, strict=False) if warning}
    totals = binder_totals(finished, cake, told, bool(wet or basis.warnings))
    pairs = sorted_findings(pair_findings((*composition.ingredients, *finished.ingredients)))
    return PressedFormula(
        finished,
        powder,
        binders,
        of,
        tuple(dict.fromkeys(level for fitting, _ in verdicts for level in fitting)),
        (*(f.text for f in pairs if f.holds), *basis.warnings, *(warning for _, warning in verdicts if warning), *totals),
        tuple(notes),
        wet,
        asked.drops,
        basis if basis.dried else None,
    )


def _of_kind(binders: Iterable[Binder], kind: str) -> float:
    """The share of the cake that all binders of a kind have together."""
    return math.fsum(b.share for b in binders if b.kind == kind)


def _wetting_notes(wet: Iterable[tuple[Ingredient, float]], left_out: list[str]) -> list[str]:
    """How much liquid wets the powder, and which of the formula's own do not, since the maker takes another."""
    notes = [f"{i.name}: {100 * r:.3g} g to wet 100 g of powder; it dries off and is not counted in the cake" for i, r in wet]
    if left_out:
        notes.append(f"{', '.join(left_out)} of the formula is left out, since the powder is wetted with something else")
    return notes


def _cake(powder: Composition, binders: Iterable[Binder]) -> Composition:
    """The finished cake: the powder with what is added to it."""
    notes = {p.ingredient.id: p.note for p in powder.parts}
    masses: list[tuple[Ingredient | str, float]] = [(p.ingredient, p.share) for p in powder.parts]
    for b in binders:
        notes.setdefault(b.ingredient.id, BINDER_NOTES[b.kind])
        if b.added > 0:
            masses.append((b.ingredient, b.added))
    return Composition.of(
        masses, powder.name, powder.changes, powder.omitted, powder.source, notes, powder.printed, powder.declared
    )
