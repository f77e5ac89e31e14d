"""Names that have meant two things: the sources and years of each, and which meaning an amount rules out."""

from __future__ import annotations

from histkit.base import tables
from histkit.base.bibliography import sourced, works
from histkit.glossary.entries import ingredients
from histkit.glossary.words import fold, key_of


def meaning_words(key: str, printed: str) -> str:
    """One meaning with the period, region and source in which the name had it: 'lead carbonate (before 1850; Ure 1821)'."""
    entry = ingredients.get(key)
    if entry is None:
        return key
    folded = fold(printed)
    known = [n for n in entry.names if fold(n.name) == folded]
    known = known or [n for n in entry.names if key_of(fold(n.name)) == key_of(folded)]
    told: dict[str, None] = {}
    for name in known:
        work = works().get(name.source)
        title = f"{work.title}{f' ({work.year})' if work.year and work.year not in work.title else ''}" if work else ""
        told |= dict.fromkeys(filter(None, (name.period, name.region, title)))
    level = " (must not be used)" if entry.forbidden else ""
    where = f": {', '.join(told)}" if told else ""
    return f"{entry.name}{level}{where}"


def implausible(taken: str, other: str, share: float) -> bool:
    """Whether so large a share (0–1) speaks against the other meaning: nobody takes a volatile oil by the pound."""
    return any(
        row["taken"] == taken and row["other"] == other and share >= (tables.number(row, "from_share") or 0.0)
        for row in sourced("safety/implausible_meanings")
    )
