"""Who stands behind a row of the glossary, in words."""

from __future__ import annotations

from histkit.base.bibliography import cite
from histkit.glossary.tables import sources


def cited(source: str, section: str = "") -> str:
    """The work behind the source of an ingredient, property or caution; words that are no id of a work stand as they are."""
    if source == "mine":
        return "your own tables"
    if source in sources():
        return cite(source, section, known=sources())
    return source.replace("-", " ") or "no source"
