"""How much of each binder comes to a powder, so that its share of the finished cake is what was asked for.

Shares are of the **finished cake** unless those of the powder are asked for. A powder of mass P with binders of total share p
makes a cake of P / (1 - p), so that 100 g of powder at 5 % take 5.263 g of binder, not 5 g. What the powder holds of a binder
already counts towards its share.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Literal

from histkit.base.checking import is_number, positive
from histkit.base.errors import BadValue, Forbidden, quoted
from histkit.base.grid import Column, Grid
from histkit.base.nouns import Spread
from histkit.bench.drops import grams_of_drops
from histkit.bench.profiles import base_profile
from histkit.composing.composition import Composition, resolve
from histkit.composing.effects import oil_absorption
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient
from histkit.safety.within import forbidden_within, refusal_reason

Basis = Literal["cake", "powder"]
Chosen = Ingredient | str | Mapping[Ingredient | str, float] | Mapping[str, float] | None
"""One ingredient, several with their shares, or none."""
BINDER_NOTES = {"dry": "dry binder", "liquid": "liquid binder"}
"""What the note of a part says of a binder that was added; a batch of it is pressed."""
OIL_PART_OF_ABSORPTION = Spread(0.06, 0.10, 0.15)
"""Share of the powder's oil absorption that is proposed as liquid binder: common practice, no source. A blend that takes up
40 g for 100 g then gets 4 g, which is the usual 4 % of a face powder."""


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
class Asked:
    """The binders that were asked for: `dry` and `liquid` by share, `poured` in grams for one gram of powder (oil by drops)."""

    dry: dict[Ingredient, float]
    liquid: dict[Ingredient, float] = field(default_factory=dict)
    poured: dict[Ingredient, float] = field(default_factory=dict)
    drops: tuple[float, float] | None = None
    """(drops of the oil, grams of powder that they go into), where the oil was given by drops."""
    notes: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        both = [i.id for i in self.dry if i in self.liquid or i in self.poured]
        if both:
            raise BadValue(f"{', '.join(both)} is asked for as dry binder and as oil; name it once")
        total = math.fsum(self.shares.values())
        if total >= 1:
            raise BadValue(f"the shares of binder and oil stay below 1 together, not {total:.4g}")
        for ingredient in self.ingredients:
            if forbidden_within(ingredient):
                raise Forbidden(f"{ingredient.name} cannot be a binder. {refusal_reason(ingredient)}", (ingredient.id,))

    @property
    def shares(self) -> dict[Ingredient, float]:
        """All binders that were asked for by share."""
        return {**self.dry, **self.liquid}

    @property
    def ingredients(self) -> tuple[Ingredient, ...]:
        """All binders."""
        return (*self.dry, *self.liquid, *self.poured)


def asked_for(
    composition: Composition,
    of: Basis,
    binder: tuple[Chosen, float],
    oil: tuple[Chosen, float | None],
    by_drops: tuple[float | None, float | None] = (None, None),
) -> Asked:
    """What a choice of binder and oil (each with its share) asks of a powder.

    An oil share of None is proposed from the powder's oil absorption; `by_drops` (drops, grams of powder) gives the oil by drops.
    Raises BadValue for shares or drops that are negative, no numbers, or make 1 and more together; UnknownName for an id that
    the glossary lacks; Forbidden for a binder that must not be used.
    """
    dry = chosen(*binder, "binder_share")
    which, share = oil
    if by_drops != (None, None):
        return _dropped(dry, which, *by_drops)
    if which is not None and share is None and not isinstance(which, Mapping):
        proposal, words = _proposed(composition, of, math.fsum(dry.values()))
        return Asked(dry, chosen(which, proposal, "oil_share"), notes=(words,))
    return Asked(dry, chosen(which, 0.0 if share is None else share, "oil_share"))


def chosen(choice: Chosen, share: float, what: str, most: float = 1.0) -> dict[Ingredient, float]:
    """Ingredients with their shares: one, several, or none; a share of 0 drops out.

    Raises BadValue, which names `what`, for a share that is no number from 0 to below `most`.
    """
    if choice is None:
        return {}
    pairs = choice.items() if isinstance(choice, Mapping) else ((choice, share),)
    shares: dict[Ingredient, float] = {}
    for given, value in pairs:
        name = what if not isinstance(choice, Mapping) else f"the share of {given.id if isinstance(given, Ingredient) else given}"
        if not is_number(value) or not 0 <= value < most:
            raise BadValue(f"{name} is 0 or more and below {most:g} (0.05 is five per cent), not {quoted(value)}")
        if value > 0:
            ingredient = resolve(given)
            shares[ingredient] = shares.get(ingredient, 0.0) + value
    return shares


def _dropped(dry: dict[Ingredient, float], oil: Chosen, drops: float | None, powder_grams: float | None) -> Asked:
    """An oil by drops, with words for what they weigh; nothing for 0 drops."""
    if oil is None or isinstance(oil, Mapping):
        raise BadValue("oil_drops is for one oil: give its id")
    if drops is None or powder_grams is None:
        raise BadValue("oil by drops takes both: oil_drops, and powder_grams for the powder that they go into")
    if not is_number(drops) or drops < 0:
        raise BadValue(f"oil_drops is a number, 0 or more, not {quoted(drops)}")
    positive(powder_grams, "powder_grams")
    ingredient = resolve(oil)
    if drops == 0:
        return Asked(dry)
    weight = grams_of_drops(ingredient, drops)
    words = f"{drops:g} drops of {ingredient.name} weigh {weight} g; with a scale, weigh them instead of counting"
    return Asked(dry, poured={ingredient: weight.best / powder_grams}, drops=(drops, powder_grams), notes=(words,))


def worked_out(composition: Composition, asked: Asked, of: Basis) -> tuple[Binder, ...]:
    """Each binder with what is to be added of it and its share of the finished cake.

    What the powder holds of a binder counts: only the difference is added, nothing where it holds enough.
    """
    held = {i: composition.share(i) for i in asked.ingredients}
    if of == "cake":
        added = _added_of_cake(asked.shares, held, math.fsum(asked.poured.values()))
    else:
        added = {i: max(share - held[i], 0.0) for i, share in asked.shares.items()}
    added |= asked.poured
    total = 1 + math.fsum(added.values())
    targets = asked.shares | {i: (held[i] + grams) / (total if of == "cake" else 1.0) for i, grams in asked.poured.items()}
    return tuple(
        Binder(i, "dry" if i in asked.dry else "liquid", target, (held[i] + added[i]) / total, held[i], added[i])
        for i, target in targets.items()
    )


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


def held_note(binder: Binder) -> str:
    """How the powder's own content of a binder was counted, in words."""
    name, held = binder.ingredient.name, f"{100 * binder.held:.3g} %"
    if binder.added == 0:
        return f"the powder already holds {held} of {name}: nothing is added"
    return f"the powder already holds {held} of {name}: this is counted, and only the difference is added"


KNOWN_ENOUGH = 2 / 3
"""Share of the powder whose oil absorption has to be known for an oil to be proposed from it (own judgement)."""
USUAL_OIL = Spread(0.03, 0.04, 0.05)
"""Share of the cake where nothing else is known: common practice for a face powder."""


def oil_from_absorption(composition: Composition) -> Spread | None:
    """Grams of oil proposed for one gram of powder: about a tenth of what the powder takes up (common practice, no source).

    None where the oil absorption of less than two thirds of it is known. Oil that the powder holds already is part of the
    proposal.
    """
    measured = oil_absorption(composition)
    if measured.value is None or measured.known_share < KNOWN_ENOUGH:
        return None
    taken = Spread(measured.value.low / 100, measured.value.best / 100, measured.value.high / 100)
    return taken * OIL_PART_OF_ABSORPTION


def usual_oil(composition: Composition) -> tuple[Spread, str]:
    """(share of oil in the cake, why) for a powder of whose oil absorption too little is known: that of its base."""
    profile = base_profile(composition)
    measured = oil_absorption(composition)
    unknown = (
        f"no oil absorption is known of {', '.join(measured.without)} ({100 * (1 - measured.known_share):.0f} % of the powder)"
    )
    if profile is None:
        return USUAL_OIL, f"{unknown}, so the usual {_range(USUAL_OIL)} of the cake is taken (common practice, no source)"
    return (
        profile.oil,
        f"{unknown}, so what a powder {profile.words} usually takes is proposed, {_range(profile.oil)} of the cake",
    )


def _range(share: Spread) -> str:
    low, high = (f"{100 * side:.3g}" for side in (share.low, share.high))
    return f"{low} %" if low == high else f"{low} to {high} %"


def _proposed(composition: Composition, of: Basis, dry: float) -> tuple[float, str]:
    proposal = oil_from_absorption(composition)
    if proposal is None:
        usual, words = usual_oil(composition)
        if oil_absorption(composition).value is None:
            raise BadValue(
                f"oil_share=None asks for a proposal, but no oil absorption is known in this powder; give a share: {words}"
            )
        return (usual.best if of == "cake" else usual.best / (1 - usual.best)), f"oil: {words}"
    # From grams for one gram of powder to a share of the cake that also holds the dry binder.
    share = proposal.best if of == "powder" else proposal.best * (1 - dry) / (1 + proposal.best)
    low, high = 100 * proposal.low, 100 * proposal.high
    return share, (
        f"oil proposed from the oil absorption: {100 * proposal.best:.3g} g ({low:.3g} to {high:.3g}) for 100 g of powder,"
        " about a tenth of what it takes up (common practice, no source)"
    )
