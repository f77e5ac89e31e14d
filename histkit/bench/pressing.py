"""From loose powder to pressed cake: how much dry binder and oil, by which published level, and what a pan takes.

Shares are of the **finished cake** unless `of="powder"` is asked for. A powder of mass P with binders of total share p makes a
cake of P / (1 - p), so that 100 g of powder at 5 % take 5.263 g of binder, not 5 g. What the powder holds of a binder
already counts towards its share. Liquid that dries off (wet pressing) is written down and not counted.

Pans, pressures and models of compaction live in `histkit.compaction`, trials in `histkit.trials`; both are reached from here.
"""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from histkit.base import tables
from histkit.base.bibliography import cited, marked, sourced
from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, Forbidden, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread, figure_text
from histkit.base.text import Cell
from histkit.bench.compaction import (
    CakeDensity,
    Pan,
    PressPressure,
    cake_density,
    fill_ratio,
    gauge_to_mpa,
    heckel,
    kawakita,
    kawakita_density,
    kgf_cm2_to_mpa,
    mpa_to_psi,
    pan_fill,
    pan_fill_spread,
    pans,
    porosity,
    press_pressure,
    pressure_mpa,
    psi_to_mpa,
    relative_density,
    ryshkewitch,
    window_note,
)
from histkit.bench.trials import Fault, Ladder, Proposal, Trial, TrialLog, faults_in, ladder, propose
from histkit.composing.composition import Composition, forbidden_within, refusal_reason, resolve
from histkit.composing.effects import oil_absorption
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

__all__ = [
    "Binder", "CakeDensity", "Fault", "Ladder", "Level", "Pan", "PressPressure", "PressedFormula", "ProcessStep", "Proposal",
    "Trial", "TrialLog", "cake_density", "drops_of", "faults_in", "fill_ratio", "gauge_to_mpa", "heckel", "kawakita",
    "kawakita_density", "kgf_cm2_to_mpa", "ladder", "levels", "mpa_to_psi", "oil_from_absorption", "pan_fill",
    "pan_fill_spread", "pans", "porosity", "press", "press_pressure", "pressure_mpa", "process_steps", "propose",
    "psi_to_mpa", "relative_density", "ryshkewitch", "share_of_drops", "window_note",
]  # fmt: skip

Basis = Literal["cake", "powder"]

OIL_PART_OF_ABSORPTION = Spread(0.06, 0.10, 0.15)
"""Share of the powder's oil absorption that is proposed as liquid binder: common practice, no source. A blend that takes up
40 g for 100 g then gets 4 g, which is the usual 4 % of a face powder."""


@dataclass(frozen=True, slots=True)
class Level(Tabular):
    """A level of binder that was published or is common practice, as shares (0–1) of the finished cake."""

    kind: str
    ingredients: tuple[str, ...]
    words: str
    cake: str
    low: float
    high: float
    note: str
    mark: str
    source: str

    def holds(self, share: float) -> bool:
        """Whether a share lies within the level (to the last digit of a per cent figure)."""
        return self.low - 1e-9 <= share <= self.high + 1e-9

    def _grid(self) -> Grid:
        return levels_grid((self,), "Published level")


def levels_grid(levels: tuple[Level, ...], caption: str) -> Grid:
    columns = (
        Column("binder", "Binder"),
        Column("cake", "Sort of cake"),
        Column("low", "From %", 2),
        Column("high", "To %", 2),
        Column("note", "Note"),
        Column("source", "Source"),
    )
    rows: list[tuple[Cell, ...]] = []
    for level in levels:
        source = marked(level.mark, level.source)
        rows.append((level.words, level.cake, 100 * level.low, 100 * level.high, level.note, source))
    return Grid(columns, tuple(rows), caption)


def levels(ingredient: Ingredient | str | None = None, kind: str | None = None, cake: str | None = None) -> tuple[Level, ...]:
    """Levels from `binder_levels.csv`, all or those of an ingredient, a kind ("dry", "liquid", "wetting"), a sort of cake.

    `cake` is matched as words within the sort: "face powder" finds the translucent and the oil-blotting one.
    """
    wanted = ingredient.id if isinstance(ingredient, Ingredient) else ingredient
    found = (
        Level(
            row["kind"],
            tables.words(row, "ingredients"),
            row["words"],
            row["cake"],
            float(row["low"]),
            float(row["high"]),
            row["note"],
            row["mark"],
            cited(row),
        )
        for row in sourced("bench/binder_levels")
    )
    return tuple(
        level
        for level in found
        if (wanted is None or wanted in level.ingredients)
        and (kind is None or level.kind == kind)
        and (cake is None or cake in level.cake or level.cake == "any cake")
    )


@dataclass(frozen=True, slots=True)
class Binder(Tabular):
    """One binder of a pressed formula. `target` is the share asked for; `share` its share of the finished cake in the end;
    `held` what the powder held of it already (share of the powder); `added` grams to add for one gram of powder.
    """

    ingredient: Ingredient
    kind: Literal["dry", "liquid"]
    target: float
    share: float
    held: float
    added: float

    def _grid(self) -> Grid:
        columns = (
            Column("ingredient", "Binder"),
            Column("kind", "Sort"),
            Column("target", "Asked for, %", 2),
            Column("held", "Powder held, %", 2),
            Column("added", "Add to 100 g of powder, g", 3),
            Column("share", "In the cake, %", 2),
        )
        numbers = (100 * self.target, 100 * self.held, 100 * self.added, 100 * self.share)
        return Grid(columns, ((self.ingredient.name, self.kind, *numbers),), "Binder")


@dataclass(frozen=True, slots=True)
class PressedFormula(Tabular):
    """A powder with its binders: `composition` is the finished cake (adds to 1), `powder` what went in.

    `levels` are the published levels for these binders, `warnings` say where a share lies outside them, `notes` what
    was taken into account. `wetting` are (ingredient, grams for one gram of powder) that dry off again.
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
            "powder": json.loads(self.powder.to_json()),
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


Chosen = Ingredient | str | Mapping[Ingredient | str, float] | Mapping[str, float] | None


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

    Shares outside the published levels are told in `.warnings`, not refused. Raises BadValue for shares or drops that are
    negative, no numbers, or make 1 and more together; UnknownName for an id that the glossary lacks; Forbidden for a binder
    that must not be used.
    """
    if of not in ("cake", "powder"):
        raise BadValue(f"of is 'cake' or 'powder', not {of!r}")
    notes: list[str] = []
    dry = _chosen(binder, binder_share, "binder_share")
    fixed: dict[Ingredient, float] = {}
    drops: tuple[float, float] | None = None
    if oil_drops is not None or powder_grams is not None:
        fixed, drops, notes = _dropped(oil, oil_drops, powder_grams)
        liquid_share = 0.0
    elif oil is not None and oil_share is None and not isinstance(oil, Mapping):
        liquid_share, words = _proposed(composition, of, math.fsum(dry.values()))
        notes.append(words)
    else:
        liquid_share = 0.0 if oil_share is None else oil_share
    liquid = _chosen(oil, liquid_share, "oil_share")
    both = [i.id for i in dry if i in liquid or i in fixed]
    if both:
        raise BadValue(f"{', '.join(both)} is asked for as dry binder and as oil; name it once")
    targets = {**dry, **liquid}
    if math.fsum(targets.values()) >= 1:
        raise BadValue(f"the shares of binder and oil stay below 1 together, not {math.fsum(targets.values()):.4g}")
    for ingredient in (*targets, *fixed):
        if forbidden_within(ingredient):
            raise Forbidden(f"{ingredient.name} cannot be a binder. {refusal_reason(ingredient)}", (ingredient.id,))

    held = {i: composition.share(i) for i in (*targets, *fixed)}
    poured = math.fsum(fixed.values())
    added = _added_of_cake(targets, held, poured) if of == "cake" else {i: max(t - held[i], 0.0) for i, t in targets.items()}
    added |= fixed
    total = 1 + math.fsum(added.values())
    targets |= {i: (held[i] + grams) / (total if of == "cake" else 1.0) for i, grams in fixed.items()}
    part_notes = {p.ingredient.id: p.note for p in composition.parts}
    for ingredient in targets:
        part_notes.setdefault(ingredient.id, "dry binder" if ingredient in dry else "liquid binder")
    masses: list[tuple[Ingredient | str, float]] = [(p.ingredient, p.share) for p in composition.parts]
    masses += [(i, grams) for i, grams in added.items() if grams > 0]
    finished = Composition.of(masses, composition.name, composition.changes, composition.omitted, composition.source, part_notes)
    binders = tuple(
        Binder(i, "dry" if i in dry else "liquid", target, (held[i] + added[i]) / total, held[i], added[i])
        for i, target in targets.items()
    )
    notes += [_held_note(b) for b in binders if b.held > 0 and b.ingredient not in fixed]
    wet = tuple((i, ratio) for i, ratio in _chosen(wetting, wetting_share, "wetting_share", 10.0).items())
    notes += [f"{i.name}: {100 * r:.3g} g to wet 100 g of powder; it dries off and is not counted in the cake" for i, r in wet]
    shown: list[Level] = []
    warnings: list[str] = []
    for b in binders:
        fitting, warning = _judged(b, cake)
        shown += [level for level in fitting if level not in shown]
        warnings += [warning] if warning else []
    for i, ratio in wet:
        fitting = levels(i, "wetting") or levels(kind="wetting")
        shown += [level for level in fitting if level not in shown]
        if not any(level.holds(ratio) for level in fitting):
            told = f"{100 * ratio:.3g} g for 100 g of powder lies outside common practice"
            warnings.append(f"{i.name}: {told}, {_range_words(fitting)}")
    return PressedFormula(finished, composition, binders, of, tuple(shown), tuple(warnings), tuple(notes), wet, drops)


def _chosen(choice: Chosen, share: float, what: str, most: float = 1.0) -> dict[Ingredient, float]:
    """Ingredients with their shares: one, several, or none; a share of 0 drops out."""
    if choice is None:
        return {}
    pairs = choice.items() if isinstance(choice, Mapping) else ((choice, share),)
    found: dict[Ingredient, float] = {}
    for given, value in pairs:
        name = what if not isinstance(choice, Mapping) else f"the share of {given.id if isinstance(given, Ingredient) else given}"
        if not is_number(value) or not 0 <= value < most:
            raise BadValue(f"{name} is 0 or more and below {most:g} (0.05 is five per cent), not {quoted(value)}")
        if value > 0:
            ingredient = resolve(given)
            found[ingredient] = found.get(ingredient, 0.0) + value
    return found


def _dropped(
    oil: Chosen, drops: float | None, powder_grams: float | None
) -> tuple[dict[Ingredient, float], tuple[float, float] | None, list[str]]:
    """Grams of oil for one gram of powder that so many drops are, the figures themselves, and words for them; nothing for 0."""
    if oil is None or isinstance(oil, Mapping):
        raise BadValue("oil_drops is for one oil: give its id")
    if drops is None or powder_grams is None:
        raise BadValue("oil by drops takes both: oil_drops, and powder_grams for the powder that they go into")
    if not is_number(drops) or drops < 0:
        raise BadValue(f"oil_drops is a number, 0 or more, not {quoted(drops)}")
    positive(powder_grams, "powder_grams")
    ingredient = resolve(oil)
    if drops == 0:
        return {}, None, []
    weight = _drop(ingredient) * drops
    words = f"{drops:g} drops of {ingredient.name} weigh {weight} g; with a scale, weigh them instead of counting"
    return {ingredient: weight.best / powder_grams}, (drops, powder_grams), [words]


def _added_of_cake(
    targets: Mapping[Ingredient, float], held: Mapping[Ingredient, float], poured: float
) -> dict[Ingredient, float]:
    """Grams to add to one gram of powder so that each target is met in the finished cake. `poured`: what else comes in, whatever
    the cake weighs (oil by drops).

    With M grams of cake from one gram of powder, target × M = held + added for each binder, and M = 1 + poured + all that is
    added; so M = (1 + poured - sum of held) / (1 - sum of targets). Where one comes out negative there is too much of some binder
    already: the one in greatest excess is left as it is and the others are worked anew. (One at a time: with the excess set aside
    the cake is larger, and another that looked enough may not be.)
    """
    active = dict(targets)
    while active:
        cake = (1 + poured - math.fsum(held[i] for i in active)) / (1 - math.fsum(active.values()))
        added = {i: target * cake - held[i] for i, target in active.items()}
        if all(grams >= 0 for grams in added.values()):
            return {i: grams if (grams := added.get(i, 0.0)) > 1e-12 else 0.0 for i in targets}
        del active[max(active, key=lambda i: held[i] / active[i])]
    return dict.fromkeys(targets, 0.0)


def _held_note(binder: Binder) -> str:
    name, held = binder.ingredient.name, f"{100 * binder.held:.3g} %"
    if binder.added == 0:
        return f"the powder already holds {held} of {name}: nothing is added"
    return f"the powder already holds {held} of {name}: this is counted, and only the difference is added"


def _range_words(fitting: tuple[Level, ...]) -> str:
    parts = []
    for level in fitting:
        low, high = 100 * level.low, 100 * level.high
        run = f"{low:.3g} %" if low == high else f"{low:.3g} to {high:.3g} %"
        # what was seen in print needs no mark
        mark = "" if level.mark == "seen" else f" ({level.mark.replace('memory', 'from memory')})"
        parts.append(f"{level.words}, {level.cake}: {run}{mark}")
    return "; ".join(parts)


def _judged(binder: Binder, cake: str | None) -> tuple[tuple[Level, ...], str]:
    """The levels that bear on a binder, and a warning where its share lies outside all of them ('' where it does not)."""
    own = levels(binder.ingredient, binder.kind, cake) or levels(binder.ingredient, binder.kind)
    fitting = own or levels(kind=binder.kind, cake=cake)  # never empty: some levels of either kind hold for any cake
    low, high = min(level.low for level in fitting), max(level.high for level in fitting)
    share = f"{binder.ingredient.name} at {100 * binder.share:.3g} % of the cake"
    inside = low - 1e-9 <= binder.share <= high + 1e-9
    if not own:
        told = f"no level is published for it; {binder.kind} binders run {100 * low:.3g} to {100 * high:.3g} %"
        return fitting, "" if inside else f"{share}: {told}. A small trial will tell."
    if inside:
        return fitting, ""
    effect = "the cake may crumble" if binder.share < low else "the cake may turn sticky, hard or glazed"
    return fitting, f"{share} lies outside what is known: {_range_words(own)}. {effect.capitalize()}; a small trial will tell."


def oil_from_absorption(composition: Composition) -> Spread | None:
    """Grams of oil proposed for one gram of powder: about a tenth of what the powder takes up (common practice, no source).

    None where no oil absorption is known of anything in it. Oil that the powder holds already is part of the proposal.
    """
    measured = oil_absorption(composition).value
    if measured is None:
        return None
    taken = Spread(measured.low / 100, measured.best / 100, measured.high / 100)
    return taken * OIL_PART_OF_ABSORPTION


def _proposed(composition: Composition, of: Basis, dry: float) -> tuple[float, str]:
    proposal = oil_from_absorption(composition)
    if proposal is None:
        raise BadValue("oil_share=None asks for a proposal, but no oil absorption is known in this powder; give a share")
    # From grams for one gram of powder to a share of the cake that also holds the dry binder.
    share = proposal.best if of == "powder" else proposal.best * (1 - dry) / (1 + proposal.best)
    low, high = 100 * proposal.low, 100 * proposal.high
    return share, (
        f"oil proposed from the oil absorption: {100 * proposal.best:.3g} g ({low:.3g} to {high:.3g}) for 100 g of powder,"
        " about a tenth of what it takes up (common practice, no source)"
    )


def _drop(ingredient: Ingredient) -> Spread:
    from histkit import measures

    return measures.drop_mass(ingredient)


def drops_of(ingredient: Ingredient | str, grams: float) -> Spread:
    """How many drops of a liquid make so many grams, with the spread of the drop's mass."""
    drop = _drop(resolve(ingredient))
    positive(grams, "grams")
    return Spread(grams / drop.high, grams / drop.best, grams / drop.low)


def share_of_drops(ingredient: Ingredient | str, drops: float, powder_grams: float) -> Spread:
    """Share of the finished mass that `drops` of a liquid have in so many grams of powder (the drops come on top)."""
    positive(drops, "drops")
    positive(powder_grams, "powder_grams")
    drop = _drop(resolve(ingredient))
    low, best, high = (mass * drops / (powder_grams + mass * drops) for mass in (drop.low, drop.best, drop.high))
    return Spread(low, best, high)


@dataclass(frozen=True, slots=True)
class ProcessStep(Tabular):
    """A step at the bench, with how long it takes (seconds) where practice has a figure."""

    id: str
    stage: str
    step: str
    seconds: tuple[int, int] | None
    rounds: int
    detail: str
    mark: str
    source: str

    def timing(self) -> str:
        """The time in words: '20 to 40 s', '2 to 5 min'."""
        if self.seconds is None:
            return ""
        low, high = self.seconds
        size, unit = (86400, "days") if low >= 86400 else (60, "min") if low >= 60 else (1, "s")
        first, last = (figure_text(round(seconds / size, 1)) for seconds in (low, high))
        run = f"{first} {unit}" if first == last else f"{first} to {last} {unit}"
        return f"{run} × {self.rounds}" if self.rounds > 1 else run

    def _grid(self) -> Grid:
        heads = (("stage", "Stage"), ("step", "Step"), ("time", "Time"), ("detail", "How"), ("source", "Source"))
        row = (self.stage, self.step, self.timing(), self.detail, marked(self.mark, self.source))
        return Grid(tuple(Column(key, head) for key, head in heads), (row,), "Step")


def process_steps(stage: str | None = None) -> tuple[ProcessStep, ...]:
    """The steps from tools to patch test in order (`process_steps.csv`: common practice), all or of one stage."""
    return tuple(
        ProcessStep(
            row["id"],
            row["stage"],
            row["step"],
            (int(row["seconds_low"]), int(row["seconds_high"])) if row["seconds_low"] else None,
            int(row["rounds"] or 1),
            row["detail"],
            row["mark"],
            cited(row),
        )
        for row in sourced("bench/process_steps")
        if stage is None or row["stage"] == stage
    )
