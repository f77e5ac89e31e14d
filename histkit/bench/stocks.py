"""A small liquid of a batch as a stock in a solvent that is no part of the formula."""

from __future__ import annotations

from fractions import Fraction
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue, Forbidden
from histkit.bench.ledger import content_within
from histkit.bench.weighing import Aliquot, plan_aliquot
from histkit.composing.composition import resolve
from histkit.glossary.nouns import Ingredient
from histkit.safety.within import forbidden_within, refusal_reason

if TYPE_CHECKING:
    from histkit.bench.batching import Batch


def scent_stock(batch: Batch, ingredient: Ingredient | str, solvent: Ingredient | str = "rectified-spirit") -> Aliquot:
    """A small liquid of a batch as a stock in a spirit or an oil that is no part of the formula, for dropping or spraying it in.

    Every weighing is at least the balance's minimum and the error within the limit of the batch. A spirit dries off again; an oil
    stays, and comes on top of the batch. Raises BadValue where either is no liquid, the batch has none of it, or no stock fits;
    Forbidden for a solvent that must not be used.
    """
    weighing, carrier = batch.weighing(ingredient), resolve(solvent)
    if forbidden_within(carrier):
        raise Forbidden(f"{carrier.name} cannot be a solvent. {refusal_reason(carrier)}", (carrier.id,))
    for liquid in (weighing.ingredient, carrier):
        if not liquid.liquid:
            raise BadValue(f"a stock is made of liquids; {liquid.name} is none")
    scales, division = batch.balance, Fraction(batch.balance.division)
    exact = Fraction(weighing.exact) / division
    content = content_within(exact, batch.error_limit)
    plan = plan_aliquot(content, scales.least_divisions, scales.uncertainty / scales.readability, batch.error_limit, 10**9)
    if plan is None:
        raise BadValue(f"no stock of {weighing.ingredient.name} fits this balance: weigh it straight, or make more")
    return Aliquot(carrier, plan.stages(scales.division), float(content * division), plan.error, "stock")
