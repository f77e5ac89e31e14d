"""How large a batch is: what weighs everything straight, what pans take, what the cupboard allows."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace
from decimal import ROUND_CEILING, ROUND_FLOOR
from fractions import Fraction
from functools import partial
from typing import Any

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.bench.batching import ERROR_LIMIT, Batch, batch, divisions
from histkit.bench.extension import Extension
from histkit.bench.pans import Filling, pans_need
from histkit.bench.press_card import press_card
from histkit.bench.pressing import PressedFormula
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition


def smallest_batch(
    composition: Composition | PressedFormula, balance: Balance | None = None, error: float = ERROR_LIMIT
) -> float:
    """Grams from which on every ingredient is weighed straight and rounding changes none by more than `error` (a share).

    Rounding by largest remainder moves an amount by less than one division; so the scarcest ingredient must have
    1 / error divisions, and the balance's minimum. Raises BadValue for an error that is not between 0 and 1.
    """
    scales = balance or Balance()
    if not (is_number(error) and 0 < error < 1):
        raise BadValue(f"error is a share between 0 and 1 (0.05 is 5 %), not {quoted(error)}")
    mixture = composition if isinstance(composition, Composition) else composition.composition
    least = max(Fraction(scales.least_divisions), 1 / Fraction(str(error)))
    scarcest = min(Fraction(p.share) for p in mixture.parts)
    # One division more than the rule asks for: rounding down must not bring the scarcest below the minimum again.
    return float(math.ceil((least + 1) / scarcest) * scales.division)


def batch_for_pans(
    pressed: PressedFormula,
    filling: Filling,
    balance: Balance | None = None,
    *,
    error_limit: float = ERROR_LIMIT,
    number: str = "",
    prices: Mapping[str, float] | None = None,
    currency: str = "",
    product: str | None = None,
    region: str = "EU",
    together: bool = False,
    extensions: Iterable[Extension] = (),
) -> Batch:
    """The batch that fills these pans, with their allowance; a warning says from what to what the fill may run."""
    need = pans_need(pressed, filling)
    scales = balance or Balance()
    grams = float(divisions(need.make, scales, ROUND_CEILING) * scales.division)
    shown: dict[str, Any] = {"error_limit": error_limit, "number": number, "prices": prices, "currency": currency}
    shown["together"] = together
    shown["extensions"] = extensions
    weighed = batch(pressed, grams, scales, pans=need.count, product=product, region=region, **shown)
    weighed = replace(weighed, press_card=press_card(pressed, filling).lines())
    if need.fill.is_exact:
        return weighed
    return weighed.with_size_note(f"The {need.count} pans take about {need.fill} g, looser or denser with the pressure")


def batch_from_scarcest(
    composition: Composition | PressedFormula,
    have: Mapping[str, float],
    balance: Balance | None = None,
    *,
    error_limit: float = ERROR_LIMIT,
    number: str = "",
    prices: Mapping[str, float] | None = None,
    currency: str = "",
    pans: int = 0,
    product: str | None = None,
    region: str = "EU",
    together: bool = False,
    extensions: Iterable[Extension] = (),
) -> Batch:
    """The batch that the cupboard allows: `have` maps ids to grams; what it does not name is taken to be plenty.

    It is as large as the shares allow, or so much smaller that what aliquots leave over comes out of the cupboard as well.
    Raises BadValue where `have` names nothing of the composition, an amount is no number above 0, or there is too little for any
    batch that has everything in it.
    """
    mixture = composition if isinstance(composition, Composition) else composition.composition
    scales, ground = balance or Balance(), tuple(extensions)
    shares, scarcest = _scarcest(mixture, have)

    def of_size(total: int) -> Batch:
        grams = float(total * scales.division)
        weighing = partial(batch, error_limit=error_limit, number=number, prices=prices, currency=currency, pans=pans)
        return weighing(composition, grams, scales, product=product, region=region, together=together, extensions=ground)

    most = divisions(round(have[scarcest] / shares[scarcest], 6), scales, ROUND_FLOOR)
    lost = {w.ingredient for w in of_size(most).weighings if w.content == 0}

    def fits(candidate: Batch) -> bool:
        within = all(candidate.to_weigh[key] <= have[key] * (1 + 1e-12) for key in shares)
        return within and all(w.content > 0 or w.ingredient in lost for w in candidate.weighings)

    largest = _largest_that_fits(of_size, fits, most)
    if largest is None:
        raise BadValue(f"{have[scarcest]:g} g of {scarcest} is too little for a batch on a balance of {scales.readability:g} g")
    return largest.with_size_note(f"{scarcest} is the scarcest: {have[scarcest]:g} g at hand")


def _scarcest(mixture: Composition, have: Mapping[str, float]) -> tuple[dict[str, float], str]:
    """The shares of what is at hand and in the mixture, and the id of the one that runs out first."""
    for key, grams in have.items():
        if not is_number(grams) or grams <= 0:
            raise BadValue(f"the grams of {key} at hand are a finite number above 0, not {quoted(grams)}")
    shares = {key: mixture.share(key) for key in have if mixture.share(key) > 0}
    if not shares:
        held = ", ".join(i.id for i in mixture.ingredients)
        raise BadValue(f"none of {', '.join(have) or 'nothing'} is in this composition, which holds {held}")
    return shares, min(shares, key=lambda key: have[key] / shares[key])


def _largest_that_fits(of_size: Callable[[int], Batch], fits: Callable[[Batch], bool], most: int) -> Batch | None:
    """The largest batch of at most so many divisions that fits; None where there is none.

    Rounding and aliquots can ask for a little more than the share. So it steps down until a batch fits, after a while by a
    twentieth each time (a smaller batch need not waste less), and from there halfway back up as long as that fits.
    """
    total, too_much, tries = most, most + 1, 0
    best = of_size(total)
    while not fits(best) and total > 1:
        step = 1 if tries < 64 else max(1, total // 20)
        too_much, total, tries = total, max(1, total - step), tries + 1
        best = of_size(total)
    if not fits(best):
        return None
    while too_much - total > 1:
        between = (total + too_much) // 2
        larger = of_size(between)
        if fits(larger):
            total, best = between, larger
        else:
            too_much = between
    return best
