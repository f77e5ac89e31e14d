"""What is worked out from a maker's choices: the way from the printed text to the grams in a pan.

Pure functions of the parts of a record; `Record` calls them, and the panels and the shell call `Record`, so that everybody
gives the same figures.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from histkit.base.errors import BadValue
from histkit.base.nouns import Source, Spread
from histkit.bench.batch_record import BatchRecord, batch_record, day
from histkit.bench.batching import Batch, batch
from histkit.bench.pans import Filling, PansNeed, pans_need
from histkit.bench.press_card import PressCard, press_card
from histkit.bench.pressing import PressedFormula, press
from histkit.bench.pressures import PressPressure, press_pressure, window_note
from histkit.bench.scent import Scent, scent
from histkit.bench.scenting import rescented
from histkit.bench.sizing import batch_for_pans, batch_from_scarcest
from histkit.bench.trials import Trial, TrialLog
from histkit.composing.composition import Composition
from histkit.keeping.choices import (
    Constraints,
    Correction,
    Known,
    Pack,
    Pressing,
    Replacement,
    Scenting,
    TakenExtension,
    Weighing,
)
from histkit.reading import read
from histkit.reading.formula import Formula, Line
from histkit.safety.evidence import Finding
from histkit.shade.tinting import tinted as with_extensions
from histkit.translating.translation import Translation

NOT_AN_INGREDIENT, JOINED = "not an ingredient", "belongs to the line above"
"""Why a maker sets a line aside."""


def formula_of(text: str, source: Source, title: str, corrections: Iterable[Correction]) -> Formula:
    """The formula as read, with the maker's title and corrections in it. A correction of a line that is not there is ignored.

    Raises ReadingError where nothing can be read in the text.
    """
    formula = read(text, source=source)
    if title:
        formula = replace(formula, title=title)
    by_line = {correction.line: correction for correction in corrections}
    if not by_line:
        return formula
    lines = [_corrected(line, by_line.get(index)) for index, line in enumerate(formula.lines)]
    for index, line in enumerate(formula.lines):
        above = next((n for n in range(index - 1, -1, -1) if not lines[n].set_aside), None)
        if lines[index].set_aside == JOINED and above is not None:
            named = above in by_line and by_line[above].ingredient is not None
            lines[above] = _joined(lines[above], line, named)
    return replace(formula, lines=tuple(lines))


def _joined(above: Line, below: Line, named: bool) -> Line:
    """A line with the words, unless the maker has `named` it, and the amount of the one below that only goes on with it."""
    new: dict[str, Any] = {} if named else {"ingredient": f"{above.ingredient} {below.ingredient}".strip()}
    if above.amount is None and above.to_make is None:
        new |= {name: getattr(below, name) for name in ("amount", "unit", "plus", "to_make", "of_each", "system", "strength")}
    elif below.amount is not None:
        new["plus"] = (*above.plus, (below.amount, below.unit), *below.plus)
    doubts = (*(d for d in above.doubts if d.about != "amount"), *(d for d in below.doubts if d.about != "ingredient"))
    return replace(above, **new, doubts=doubts, steps=(*above.steps, "The line below belongs to it, says the maker."))


def _corrected(line: Line, correction: Correction | None) -> Line:
    if correction is None:
        return line
    if correction.leave_out or correction.joins_above:
        words = NOT_AN_INGREDIENT if correction.leave_out else JOINED
        steps = (*line.steps, f"The maker says: {words}.")
        return replace(line, amount=None, unit="none", plus=(), to_make=None, doubts=(), steps=steps, set_aside=words)
    new: dict[str, Any] = {"steps": (*line.steps, "Corrected by the maker.")}
    settled = set()
    if correction.amount is not None:
        new |= {"amount": correction.amount, "plus": (), "to_make": None}
        settled.add("amount")
    if correction.unit:
        new |= {"unit": correction.unit, "system": ""}
        settled.add("unit")
    if correction.ingredient:
        new |= {"ingredient": correction.ingredient, "carried": ""}
        settled.add("ingredient")
    new["doubts"] = tuple(doubt for doubt in line.doubts if doubt.about not in settled)
    return replace(line, **new)


def composition_of(
    translation: Translation,
    replacements: Iterable[Replacement],
    corrections: Iterable[Correction] = (),
    known: Iterable[Known] = (),
) -> Composition:
    """The composition with all stand-ins put in, in their order; one whose ingredient is no longer there is passed over.

    Where the maker put a name right or left a line out, what was printed there counts no more; what they vouch for goes along.
    """
    settled = [c.line for c in corrections if c.ingredient or c.leave_out]
    composition = translation.composition(settled)
    for said in known:
        composition = composition.declare(said.words, said.reason)
    for chosen in replacements:
        if chosen.removed in composition:
            composition = composition.replace(chosen.removed, dict(chosen.parts), reason=chosen.reason, option=chosen.option)
    return composition


def scented(composition: Composition, scenting: Scenting, own_drops: tuple[tuple[str, float], ...]) -> Composition:
    """The composition with the scent that the maker chose; as it is where nothing was chosen."""
    if scenting == Scenting():
        return composition
    added = [(a.ingredient, a.amount, a.unit) for a in scenting.added]
    fill: Any = scenting.fill
    return rescented(composition, scenting.strength, dict(scenting.changed), fill, added, scenting.per_grams, own_drops)


def tinted(composition: Composition, extensions: Iterable[TakenExtension]) -> Composition:
    """The composition with the colour extensions in it; one that is to hold a pigment which is no longer there is passed over.

    Raises BadValue as `histkit.shade.tinted` does.
    """
    held = [e for e in extensions if e.per_cent is not None or e.pigment in composition]
    return with_extensions(composition, [(e.extension(), e.per_cent) for e in held])


def scent_of(
    made: Composition | PressedFormula, weighing: Weighing, law: Constraints, prices: Mapping[str, float], currency: str
) -> Scent:
    """The scent in the next batch. Raises BadValue where nothing in it scents."""
    chosen: dict[str, Any] = {"own_drops": weighing.own_drops, "product": law.product, "region": law.market}
    return scent(made, weighing.grams, prices=prices, currency=currency, **chosen)


def pressed_from(composition: Composition, pressing: Pressing) -> PressedFormula:
    """The cake. Raises BadValue where the binders leave no room for the powder, or an id is no binder."""
    dry = _several(pressing.binder, pressing.binder_share, pressing.more_binders)
    how: dict[str, Any] = {"of": pressing.of, "wetting": pressing.wetting, "wetting_share": pressing.wetting_share}
    how["cake"] = pressing.cake or None
    if pressing.oil_from == "absorption":
        return press(composition, dry, oil=pressing.oil, oil_share=None, **how)
    if pressing.oil_from == "drops":
        drops: dict[str, Any] = {"oil_drops": pressing.oil_drops, "powder_grams": pressing.drops_powder_grams}
        return press(composition, dry, oil=pressing.oil, **drops, **how)
    return press(composition, dry, oil=_several(pressing.oil, pressing.oil_share, pressing.more_oils), **how)


def _several(first: str | None, share: float, more: tuple[tuple[str, float], ...]) -> dict[str, float]:
    """One binder and further ones as `press` takes them; the same one twice is added up."""
    out: dict[str, float] = {} if first is None else {first: share}
    for key, value in more:
        out[key] = out.get(key, 0.0) + value
    return out


def filling_of(pressing: Pressing, weighing: Weighing) -> Filling:
    """The pans and how they are pressed, for what they take and for the batch alike."""
    return Filling(
        **weighing.pan(),
        count=weighing.pans,
        allowance=weighing.allowance,
        density_g_cm3=weighing.density_g_cm3,
        press=pressing.press or None,
        pressure=pressing.pressure_mpa,
    )


def need_of_pans(pressed: PressedFormula, pressing: Pressing, weighing: Weighing) -> PansNeed:
    """What the pans take and what to make for them (grams)."""
    return pans_need(pressed, filling_of(pressing, weighing))


def press_card_of(pressed: PressedFormula, pressing: Pressing, weighing: Weighing) -> PressCard:
    """How these pans are filled and pressed."""
    return press_card(pressed, filling_of(pressing, weighing))


def pressure_of(pressing: Pressing, weighing: Weighing) -> PressPressure | None:
    """The pressure on a pan, and how it lies to the published window; None where nothing is said of how it is pressed."""
    if pressing.pressure_mpa is not None:
        given = Spread.exact(pressing.pressure_mpa)
        return PressPressure("as given", given, window_note(pressing.pressure_mpa), "your own figure", "not worked out")
    if not pressing.press:
        return None
    sides = {side: value for side, value in weighing.pan().items() if side not in ("depth_mm", "below_rim_mm")}
    return press_pressure(pressing.press, **sides)


def log_of(trials: tuple[Trial, ...], name: str, pressing: Pressing | None, weighing: Weighing) -> TrialLog:
    """The trial presses with what is chosen beside them: the pressure where a trial notes none, the binders, the sort of cake."""
    if pressing is None:
        return TrialLog(trials, name)
    pressure = pressure_of(pressing, weighing)
    dry = tuple(key for key in (pressing.binder, *(key for key, _ in pressing.more_binders)) if key)
    oils = tuple(key for key in (pressing.oil, *(key for key, _ in pressing.more_oils)) if key)
    return TrialLog(trials, name, None if pressure is None else pressure.mpa.best, dry, oils, pressing.cake)


def batch_of(
    pressed: PressedFormula | None,
    composition: Composition,
    pressing: Pressing | None,
    weighing: Weighing,
    law: Constraints,
    more: Mapping[str, Any],
) -> Batch:
    """What to weigh: for so many grams, for the pans, or as much as what is at hand allows; `more` is handed on (prices …).

    Raises:
        Forbidden: an ingredient that must not be used is still in it.
        BadValue: pans are to be filled and there are none, or it stays loose.
    """
    shown: dict[str, Any] = {"error_limit": weighing.error_limit, "number": weighing.number}
    shown["together"] = weighing.together
    shown |= {"product": law.product, "region": law.market, **more}
    if weighing.make == "cupboard":
        at_hand = dict(weighing.cupboard)
        return batch_from_scarcest(pressed or composition, at_hand, weighing.scales(), pans=weighing.pans, **shown)
    if weighing.make == "pans":
        if pressed is None or pressing is None or not weighing.pans:
            raise BadValue("a batch that fills pans needs the number of pans, and a powder that is pressed")
        return batch_for_pans(pressed, filling_of(pressing, weighing), weighing.scales(), **shown)
    made = batch(pressed or composition, weighing.grams, weighing.scales(), pans=weighing.pans, **shown)
    if pressed is None or pressing is None or not weighing.pans:
        return made
    return replace(made, press_card=press_card_of(pressed, pressing, weighing).lines())


def record_of_batch(made: Batch, weighing: Weighing, packs: Iterable[Pack]) -> BatchRecord:
    """The record of a batch, from the packs that it was made from, or from those at hand where it is not made yet."""
    used = {pack.ingredient: pack.as_lot() for pack in weighing.packs or packs}
    return batch_record(made, used, day(weighing.made_on, "the date on which the batch was made"))


def line_of(translation: Translation, finding: Finding, corrections: Iterable[Correction] = ()) -> int | None:
    """The line (from 0) whose printed words a finding speaks of; None where it is no line's."""
    settled = frozenset(c.line for c in corrections if c.ingredient or c.leave_out)
    for index, t in enumerate(translation.lines):
        words = t.line.full_name if index in settled else f"{t.line.carried} {t.line.raw}"
        if " ".join(words.split()) == finding.words:
            return index
    return None


def chosen_weighing(number: str | None, present: Weighing, before: Iterable[Weighing]) -> Weighing:
    """The batch of that number among those that were made and the present one; None: the present one.

    Raises BadValue where there is none of that number.
    """
    if number is None:
        return present
    batches = (*before, present)
    for weighing in batches:
        if weighing.number == number:
            return weighing
    numbers = ", ".join(repr(weighing.number) for weighing in batches if weighing.number) or "none with a number"
    raise BadValue(f"this record has no batch {number!r}; it has {numbers}")
