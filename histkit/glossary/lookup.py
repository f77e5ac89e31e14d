"""The look-up of a printed name.

It goes through stages, told apart in `Match.via`: the exact name; the same words in another order or number; a Latin name in
any case, abbreviated or not; modifiers peeled; spelling and scanning damage. It never guesses silently: a contested name comes
with its alternatives and a Doubt, and an unknown name gives None.
"""

from __future__ import annotations

from dataclasses import replace
from functools import lru_cache

from rapidfuzz import fuzz, process

from histkit.base.errors import UnknownName
from histkit.base.letters import written_out
from histkit.base.nouns import Source
from histkit.glossary.caches import follows_the_tables
from histkit.glossary.company import as_its_oil
from histkit.glossary.entries import ingredients
from histkit.glossary.index import NameIndex, shipped
from histkit.glossary.meanings import (
    as_its_part,
    at_odds_with,
    counts_oils,
    in_context,
    parts_measured_by,
    with_the_graver,
)
from histkit.glossary.nouns import Ingredient, Match
from histkit.glossary.own import index_in_use
from histkit.glossary.stages import all_its_words, by_words, identified
from histkit.glossary.strengths import as_strong_as_printed
from histkit.glossary.words import LONGEST_NAME, fold
from histkit.measures.alcohol import without_strength

NEAR = 65
"""Of 100: how much of two names must be alike for one to be shown as near the other."""


def find(name: str, source: Source | None = None, unit: str = "") -> Match | None:
    """What a printed name means today, or None where the glossary does not know it.

    `source` and `unit` help with contested names (an 'oil of almonds' by drops is the bitter one). The match says
    by which way it was found (`via`), how sure it is (`score`, 0–1), and what else the name has meant.

    What has more than 400 characters is no name but a page: it gives None.

    Raises:
        TableError: a maker's own tables break a rule, as `use` says.
    """
    if len(name) > LONGEST_NAME:
        name = " ".join(name.split())
        if len(name) > LONGEST_NAME:
            return None
    match = _find(name)
    if match is None:
        return None
    if match.alternatives:
        match = in_context(match, source, unit)
    elif (parts := parts_measured_by(unit)) and (leaves := as_its_part(match, parts, _find)) is not None:
        match = leaves
    if counts_oils(unit):
        match = as_its_oil(match, "is counted by drops")
    return at_odds_with(as_strong_as_printed(match, name, source), unit)


@follows_the_tables
@lru_cache(maxsize=16384)
def _find(name: str) -> Match | None:
    index = index_in_use()
    if (bare := without_strength(name)) != name and not by_words(fold(name), index):
        match = _find(bare)
        return match and replace(match, name=" ".join(name.split()))
    match = _identified(name, index)
    return match if index is shipped() else with_the_graver(match, _identified(name, shipped()))


def _identified(name: str, index: NameIndex) -> Match | None:
    """What the name means as it is printed; where that is a guess, with the m or n that an overline stands for: 'marierō'."""
    match = identified(name, index)
    if match is None or match.via in ("spelling", "inside"):
        for fuller in written_out(name):
            other = identified(fuller, index)
            if other and other.via not in ("spelling", "inside"):
                return replace(other, name=" ".join(name.split()))
    return match


def knows(name: str) -> bool:
    """Whether the glossary has this very name, or its words in another order: a quick answer, and no guess."""
    return len(name) <= LONGEST_NAME and bool(by_words(fold(name), index_in_use()))


@follows_the_tables
@lru_cache(maxsize=16384)
def knows_in_any_spelling(name: str) -> bool:
    """Whether the glossary has a name of all these words, as any age spelled them, or a preparation of what they name: 'water of
    Scabius'. Nothing is guessed and nothing left out."""
    return len(name) <= LONGEST_NAME and bool(all_its_words(name, index_in_use()))


def in_its_letters(name: str) -> bool:
    """Whether the glossary has a name so printed, a Latin one in any case or cut short too: no respelling, and no part of it."""
    match = find(name)
    return match is not None and match.via in ("exact", "latin")


def near(name: str, most: int = 5) -> tuple[str, ...]:
    """Names of the glossary whose letters are nearest to an unknown one, the nearest first, one for each ingredient.

    They are to be looked at, never taken: nothing says that one of them is meant.
    """
    wanted, names = fold(name[:LONGEST_NAME]), index_in_use().exact
    found: dict[str, str] = {}
    for other, _, _ in process.extract(wanted, names.keys(), scorer=fuzz.ratio, limit=4 * most, score_cutoff=NEAR):
        found.setdefault(names[other][0][0], other)
    return tuple(found.values())[:most]


def ingredient(key: str | Ingredient) -> Ingredient:
    """The ingredient with this id.

    Raises:
        UnknownName: no ingredient has this id; `near` names the closest ones.
    """
    if isinstance(key, Ingredient):
        return key
    try:
        return ingredients[key]
    except KeyError:
        import difflib

        match = find(key.replace("-", " "))
        near = [match.ingredient.id] if match else []
        near += [n for n in difflib.get_close_matches(key, list(ingredients), n=3) if n not in near]
        raise UnknownName("ingredient", key, tuple(near)) from None
