"""The words by which names of what must not be used are told: a quick look before such names are searched for in a text."""

from __future__ import annotations

from collections import Counter
from functools import cache

from histkit.base.stored import stored
from histkit.base.tables import uncollected
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.index import shipped
from histkit.glossary.tables import own_folder, shipped_rows


@follows_the_tables
@cache
def telling_words() -> frozenset[str] | None:
    """Of each folded name of something forbidden the word that fewest names have, 'lead' of 'sugar of lead': a text without all
    of these has none of the names. None where a maker's own tables are in use, which may forbid more."""
    return None if own_folder() else stored("telling-words", _rarest_words)


def _rarest_words() -> frozenset[str]:
    forbidden = {row["ingredient"] for row in shipped_rows("cautions") if row["level"] == "forbidden"}
    names = shipped().exact
    with uncollected():
        many = Counter(word for name in names for word in name.split())
        of_forbidden = (name for name, hits in names.items() if name and not forbidden.isdisjoint(key for key, _ in hits))
        return frozenset(min(name.split(), key=many.__getitem__) for name in of_forbidden)
