"""What an ingredient is at the bench: a powder, a fat (waxes among them, however hard they are), or a liquid."""

from __future__ import annotations

from typing import Literal

from histkit.glossary.nouns import Ingredient

Consistency = Literal["powder", "fat", "liquid"]
_FAT = "fat-wax"
"""The kind of the glossary that is worked in warm, solid or not."""


def consistency(ingredient: Ingredient) -> Consistency:
    """How it is handled. A wax or suet is solid and no powder; what is rubbed to powder (roots, gums, salts) is one."""
    if ingredient.liquid:
        return "liquid"
    fat = ingredient.state == "semisolid" or (ingredient.kind == _FAT and ingredient.state != "powder")
    return "fat" if fat else "powder"
