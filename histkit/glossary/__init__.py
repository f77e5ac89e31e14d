"""The ingredient glossary: what an archaic name is today.

    glossary.find("pulv. rad. irid. flor.")     a Match, or None where no table knows the name
    glossary.spots(sentence.split())            the known names in running text, and where they stand
    glossary.ingredients["zinc-oxide"]          every ingredient by its id
    glossary.use("my-glossary")                 a maker's own tables beside those of the package

The tables themselves lie in the folder glossary/ of the project (in a wheel: histkit/_glossary).
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from histkit.base.lazy import names_of

if TYPE_CHECKING:
    from histkit.glossary.attested import Attestation as Attestation
    from histkit.glossary.attested import seen_in_words as seen_in_words
    from histkit.glossary.caches import follows_the_tables as follows_the_tables
    from histkit.glossary.citing import cited as cited
    from histkit.glossary.entries import ingredients as ingredients
    from histkit.glossary.entries import load as load
    from histkit.glossary.entries import name_of as name_of
    from histkit.glossary.lookup import find as find
    from histkit.glossary.lookup import ingredient as ingredient
    from histkit.glossary.lookup import knows as knows
    from histkit.glossary.lookup import near as near
    from histkit.glossary.meanings import found_how as found_how
    from histkit.glossary.own import own_summary as own_summary
    from histkit.glossary.own import use as use
    from histkit.glossary.spelling import CLOSEST as CLOSEST
    from histkit.glossary.spotting import spots as spots
    from histkit.glossary.tables import OWN as OWN
    from histkit.glossary.tables import TABLES as TABLES
    from histkit.glossary.tables import folder as folder
    from histkit.glossary.tables import own_rows as own_rows
    from histkit.glossary.tables import rows as rows
    from histkit.glossary.tables import sources as sources
    from histkit.glossary.words import fold as fold

_HOMES = {
    **dict.fromkeys(("find", "ingredient", "knows", "near"), ".lookup"),
    **dict.fromkeys(("Attestation", "seen_in_words"), ".attested"),
    **dict.fromkeys(("ingredients", "load", "name_of"), ".entries"),
    **dict.fromkeys(("OWN", "TABLES", "folder", "own_rows", "rows", "sources"), ".tables"),
    **dict.fromkeys(("own_summary", "use"), ".own"),
    "CLOSEST": ".spelling",
    "cited": ".citing",
    "fold": ".words",
    "follows_the_tables": ".caches",
    "found_how": ".meanings",
    "spots": ".spotting",
}

__all__ = [  # noqa: PLE0604  (names are loaded lazily through __getattr__)
    *_HOMES,
]


__getattr__ = names_of(__name__, _HOMES)


def __dir__() -> list[str]:
    return sorted({*globals(), *__all__})
