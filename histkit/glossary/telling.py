"""The words by which names of what must not be used are told: a quick look before such names are searched for in a text."""

from __future__ import annotations

from collections import Counter
from functools import cache

from histkit.base.stored import stored
from histkit.base.tables import uncollected
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.index import shipped
from histkit.glossary.tables import own_folder, shipped_rows
from histkit.glossary.words import kinds, set_of_kind


@follows_the_tables
@cache
def telling_words() -> frozenset[str] | None:
    """Of each folded name of something forbidden the word that tells most, 'lead' of 'sugar of lead': a text without all of these
    has none of the names. None where a maker's own tables are in use, which may forbid more."""
    return None if own_folder() else stored("telling-words", _words_that_tell_most)


def _words_that_tell_most() -> frozenset[str]:
    forbidden = {row["ingredient"] for row in shipped_rows("cautions") if row["level"] == "forbidden"}
    names = shipped().exact
    with uncollected():
        many = Counter(word for name in names for word in name.split())
        common = kinds().free | kinds().small | set_of_kind("joiner")

        def says_little(word: str) -> tuple[bool, int]:
            """Sorts behind others what any text has, figures and 'best', and what many names have."""
            return word in common or word.isdigit(), many[word]

        of_forbidden = (name for name, hits in names.items() if name and not forbidden.isdisjoint(key for key, _ in hits))
        return frozenset(min(name.split(), key=says_little) for name in of_forbidden)
