"""Whether a stand-in fits what it replaces: its hue, its form, the law of the product, its hazards, and what stands beside it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from histkit.base.bibliography import sourced
from histkit.glossary.nouns import Ingredient, gravity, worst_level
from histkit.safety.law import Region, law_findings
from histkit.safety.pairs import groups_of, pair_findings
from histkit.safety.products import Product
from histkit.safety.within import within

OXIDISERS = frozenset({"chlorate", "permanganate", "peroxide", "nitrate", "bleach", "picrate", "oxidising acid"})
"""Groups of `safety/pair_groups.csv` that burn or explode beside organic powder."""
NEVER_UNASKED = OXIDISERS | {"animal scent", "formaldehyde releaser"}
"""Groups of which none is offered unasked."""


@cache
def hues() -> dict[str, str]:
    """The hue of each colour, by id."""
    return {row["ingredient"]: row["hue"] for row in sourced("composing/hues")}


@cache
def _forms() -> dict[str, str]:
    return {row["kind"]: row["form"] for row in sourced("composing/forms")}


@cache
def _options() -> dict[tuple[str, str], str]:
    return {(row["ingredient"], row["option"]): row["products"] for row in sourced("composing/option_products")}


@dataclass(frozen=True)
class Fitting:
    """What a stand-in has to fit: the product and region, and what else is in the formula."""

    product: Product | None
    region: Region
    beside: tuple[Ingredient, ...] = ()

    def lawful(self, ingredients: Iterable[Ingredient]) -> bool:
        """Whether the law has none of these barred from the product."""
        if self.product is None:
            return True
        parts = [(ingredient, 0.0) for ingredient in ingredients]
        return not any(finding.holds for finding in law_findings(parts, self.product, self.region))

    def peaceful(self, ingredients: Iterable[Ingredient], removed: Ingredient) -> bool:
        """Whether none of these explodes, burns or poisons with the rest of the formula."""
        rest = [i for i in self.beside if i != removed]
        before = {f.text for f in pair_findings(rest) if f.holds}
        return all(f.text in before for f in pair_findings(dict.fromkeys([*rest, *ingredients])) if f.holds)

    def suits(self, original: Ingredient, option: str) -> bool:
        """Whether an option of the glossary is meant for this product."""
        products = _options().get((original.id, option))
        return self.product is None or products is None or not self.product.on_skin or self.product.fits(products)


def as_safe(original: Ingredient, candidate: Ingredient) -> bool:
    """Whether a computed stand-in brings no worse hazard, no oxidiser and no scent of a protected animal."""
    graver = gravity(worst_level(candidate.cautions)) > gravity(worst_level(original.cautions))
    return not graver and not NEVER_UNASKED & groups_of(candidate)


def same_hue(original: Ingredient, candidate: Ingredient) -> bool:
    """Whether a colour is replaced by one of its own hue; anything may replace what is no colour, but for a colour."""
    chief = any(r.main and r.role == "colour" for r in original.roles)
    old, new = _hue(original), _hue(candidate)
    if not chief:
        return not any(r.main and r.role == "colour" for r in candidate.roles) or old == new
    return old is not None and old == new


def _hue(ingredient: Ingredient) -> str | None:
    """The hue of a colour, or of the colour in a preparation."""
    return next((hues()[i.id] for i in within(ingredient) if i.id in hues()), None)


def same_form(original: Ingredient, candidate: Ingredient) -> bool:
    """Whether both are powders, oils, waters or spirits."""
    return _form(original) == _form(candidate)


def _form(ingredient: Ingredient) -> str:
    state = {"powder": "solid", "": "solid"}.get(ingredient.state, ingredient.state)
    return _forms().get(ingredient.kind, "watery") if state == "liquid" else state
