"""The ingredient glossary: what an archaic name is today.

    glossary.find("pulv. rad. irid. flor.")     a Match, or None where no table knows the name
    glossary.ingredients["zinc-oxide"]          every ingredient by its id
    glossary.use("my-glossary")                 a maker's own tables beside those of the package

The tables themselves lie in the folder glossary/ of the project (in a wheel: histkit/_glossary).
"""

from __future__ import annotations

from importlib import import_module
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from histkit.glossary.citing import cited as cited
    from histkit.glossary.lookup import CLOSEST as CLOSEST
    from histkit.glossary.lookup import OWN as OWN
    from histkit.glossary.lookup import TABLES as TABLES
    from histkit.glossary.lookup import find as find
    from histkit.glossary.lookup import fold as fold
    from histkit.glossary.lookup import folder as folder
    from histkit.glossary.lookup import follows_the_tables as follows_the_tables
    from histkit.glossary.lookup import found_how as found_how
    from histkit.glossary.lookup import ingredient as ingredient
    from histkit.glossary.lookup import ingredients as ingredients
    from histkit.glossary.lookup import knows as knows
    from histkit.glossary.lookup import load as load
    from histkit.glossary.lookup import name_of as name_of
    from histkit.glossary.lookup import own_rows as own_rows
    from histkit.glossary.lookup import rows as rows
    from histkit.glossary.lookup import sources as sources
    from histkit.glossary.lookup import use as use

_HOMES = {
    "cited": "citing",
    "CLOSEST": "lookup", "OWN": "lookup", "TABLES": "lookup", "find": "lookup", "fold": "lookup", "folder": "lookup",
    "follows_the_tables": "lookup", "found_how": "lookup", "ingredient": "lookup", "ingredients": "lookup", "knows": "lookup",
    "load": "lookup", "name_of": "lookup", "own_rows": "lookup", "rows": "lookup", "sources": "lookup", "use": "lookup",
}  # fmt: skip

__all__ = [  # noqa: PLE0604  (names are loaded lazily through __getattr__)
    *_HOMES,
]


def __getattr__(name: str) -> Any:
    if name not in _HOMES:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    value = getattr(import_module(f"{__name__}.{_HOMES[name]}"), name)
    globals()[name] = value
    return value


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
