"""What a maker will not have: words looked up in tags, ids, kinds and roles, and the ingredients that they bar."""

from __future__ import annotations

import difflib
import re
from collections.abc import Iterable, Mapping

from histkit.base.bibliography import sourced
from histkit.base.errors import UnknownName
from histkit.glossary.nouns import Ingredient


class Avoided:
    """What the maker will not have, looked up in the tags of `avoid_tags.csv`, and among ids, kinds and roles."""

    def __init__(self, words: Iterable[str], every: Mapping[str, Ingredient]) -> None:
        self.ids: set[str] = set()
        self.kinds: set[str] = set()
        self.roles: set[str] = set()
        self.words: set[str] = set()
        self.every = every
        rows = sourced("composing/avoid_tags")
        tags = {row["tag"] for row in rows}
        other_words = {row["word"]: row["tag"] for row in sourced("composing/avoid_words")}
        kinds = {i.kind for i in every.values() if i.kind}
        roles = {r.role for i in every.values() for r in i.roles}
        for word in words:
            key = "-".join(word.strip().lower().split())
            if key not in every and key not in kinds and key not in roles:
                key = other_words.get(key, key)
            for row in rows:
                if row["tag"] == key:
                    {"id": self.ids, "kind": self.kinds, "role": self.roles, "word": self.words}[row["match"]].add(row["value"])
            if key in every:
                self.ids.add(key)
            if key in kinds:
                self.kinds.add(key)
            if key in roles and key not in tags:
                self.roles.add(key)
            if key not in tags and key not in every and key not in kinds and key not in roles:
                every_word = dict.fromkeys([*sorted(tags), *other_words, *every, *sorted(kinds), *sorted(roles)])
                near = difflib.get_close_matches(key, every_word, 3, 0.6)
                raise UnknownName("ingredient, kind, role or tag to avoid", word, tuple(near))

    def hits(self, ingredient: Ingredient) -> bool:
        """Whether this ingredient, or anything it is made of, is unwanted."""
        if ingredient.id in self.ids or ingredient.kind in self.kinds or any(ingredient.has_role(r) for r in self.roles):
            return True
        pieces = set(re.split(r"[^a-z]+", ingredient.id.lower()))
        if any(pieces.issuperset(word.split("-")) for word in self.words):
            return True
        return any(key in self.every and self.hits(self.every[key]) for key, _ in ingredient.made_of)


def unwanted(ingredients: Iterable[Ingredient], avoid: Iterable[str]) -> tuple[Ingredient, ...]:
    """Those of these ingredients that the words of `avoid` bar, by the same rules as `substitutes`.

    Raises UnknownName for a word that nobody knows.
    """
    from histkit import glossary

    barred = Avoided(avoid, glossary.ingredients)
    return tuple(ingredient for ingredient in ingredients if barred.hits(ingredient))
