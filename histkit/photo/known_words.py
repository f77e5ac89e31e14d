"""The words that the tables know, whatever they are: a reading that is one of them is likelier than one that is none."""

from __future__ import annotations

from functools import cache

from histkit.glossary import fold, follows_the_tables, rows
from histkit.glossary.words import strangers
from histkit.reading.vocabulary import connectives, direction_words, modifiers, numbers, units


@follows_the_tables
@cache
def known_words() -> frozenset[str]:
    """Words of names in the glossary, units, numbers, directions and everyday English, in small letters."""
    names = {word for row in rows("names") for word in fold(row["name"]).split()}
    return frozenset(names.union(units(), numbers(), direction_words(), connectives(), modifiers(), strangers()))
