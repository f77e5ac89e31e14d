"""Period units, what they meant where and when, drops and spirit strengths.

    conventions["apothecaries-gb-imperial"].grams("drachm")     3.8879346, a plain float
    conventions["household-us"].millilitres("teaspoonful")       a Spread
    choose(source)                                               ranked conventions with reasons
    drop_mass(ingredient), drop_reason(ingredient)               grams of a drop, and who says so
    alcohol.density(90), alcohol.strength("60 over proof")       spirits

Every name is loaded when it is first used, and every table when it is first asked for; Pint is imported only for a
Quantity (`Convention.size`, `registry`).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from histkit.measures import alcohol as alcohol
    from histkit.measures import gravity as gravity
    from histkit.measures.choosing import Choice, choices_grid, choose, guess_kind
    from histkit.measures.convention import Convention, Conventions, conventions
    from histkit.measures.definitions import Unit, exact, registry, unit, units
    from histkit.measures.drops import (
        Calibration,
        drop_mass,
        drop_mass_from_tip,
        drop_reason,
        dry_mass,
        harkins_brown_factor,
        ideal_drop_mass,
        period_drops,
    )
    from histkit.measures.gravity import grams_to_millilitres, millilitres_to_grams

# Where each public name lives. No module has the name of a function or table: importing the module would put it in
# the place of the other.
_HOMES = {
    "Calibration": "drops",
    "Choice": "choosing",
    "Convention": "convention",
    "Conventions": "convention",
    "Unit": "definitions",
    "choices_grid": "choosing",
    "choose": "choosing",
    "conventions": "convention",
    "drop_mass": "drops",
    "drop_mass_from_tip": "drops",
    "drop_reason": "drops",
    "dry_mass": "drops",
    "exact": "definitions",
    "grams_to_millilitres": "gravity",
    "guess_kind": "choosing",
    "harkins_brown_factor": "drops",
    "ideal_drop_mass": "drops",
    "millilitres_to_grams": "gravity",
    "period_drops": "drops",
    "registry": "definitions",
    "unit": "definitions",
    "units": "definitions",
}
_MODULES = ("alcohol", "gravity")

__all__ = [
    "Calibration",
    "Choice",
    "Convention",
    "Conventions",
    "Unit",
    "alcohol",
    "choices_grid",
    "choose",
    "conventions",
    "drop_mass",
    "drop_mass_from_tip",
    "drop_reason",
    "dry_mass",
    "exact",
    "grams_to_millilitres",
    "gravity",
    "guess_kind",
    "harkins_brown_factor",
    "ideal_drop_mass",
    "millilitres_to_grams",
    "period_drops",
    "registry",
    "unit",
    "units",
]


def __getattr__(name: str) -> Any:
    if name in _MODULES:
        return import_module(f"{__name__}.{name}")
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
