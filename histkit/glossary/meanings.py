"""What a name that was found means: the match with its other meanings, and which of them a book and a unit speak for."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import replace
from functools import cache, lru_cache
from typing import NamedTuple

from histkit.base import tables
from histkit.base.nouns import Doubt, Source
from histkit.glossary.agreement import senses, senses_of
from histkit.glossary.entries import ingredients
from histkit.glossary.index import Hits
from histkit.glossary.nouns import Ingredient, Match, Name, gravity, worst_level
from histkit.glossary.words import fold, key_of


def match_of(name: str, hits: Hits, via: str, score: float, modifier: str, doubts: tuple[Doubt, ...]) -> Match:
    """The answer of a look-up, the likeliest meaning first, with a doubt where the name has several."""
    first = ingredients[hits[0][0]]
    others = tuple(ingredients[key] for key, _ in hits[1:])
    printed = " ".join(name.split())
    if others:
        doubts = (*doubts, _several_meanings(printed, first, others))
    return Match(first, round(max(0.0, score), 4), via, printed, others, modifier, doubts)


def _several_meanings(printed: str, taken: Ingredient, others: tuple[Ingredient, ...], reasons: tuple[str, ...] = ()) -> Doubt:
    """The doubt that goes with a contested name: what it is taken for here, why, and what else it has meant."""
    poison = [o.name for o in (taken, *others) if o.forbidden]
    elsewhere = " or ".join(o.name for o in others)
    text = f"{printed!r} has meant {taken.name}; in other books {elsewhere}."
    if reasons:
        said = " and ".join(reasons)
        text += f" {said[0].upper()}{said[1:]} speak{'s' if len(reasons) == 1 else ''} for it here."
    effect = f"One meaning must not be used: {', '.join(poison)}." if poison else "It changes what is weighed."
    return Doubt("ingredient", text, tuple(o.name for o in others), effect)


def found_how(match: Match) -> str:
    """By which way a name was found, in words for a maker: 'by its Latin name', "without 'powdered'"."""
    ways = {
        "exact": "by its name",
        "latin": "by its Latin name",
        "modifier": f"without {match.modifier!r}",
        "respelled": "by its name in an old spelling",
        "compound": "by the names of what it is made of",
        "inside": "by a known name inside it",
        "spelling": "by the nearest spelling",
        "damage": "by the nearest spelling",
    }
    return ways[match.via]


# -- beside a maker's own tables ------------------------------------------------------------------------------------------


def _gravities(match: Match) -> tuple[int, int]:
    """How grave the caution is of the meaning taken, and that of the gravest meaning shown."""
    taken, *others = (gravity(worst_level(entry.cautions)) for entry in (match.ingredient, *match.alternatives))
    return taken, max(taken, *others, 0)


def with_the_graver(match: Match | None, shipped: Match | None) -> Match | None:
    """Of the answers with and without a maker's own tables: the one with them, unless it would hide a graver meaning.

    Then the shipped meaning counts, and the maker's own stands beside it with a doubt.
    """
    if match is None or shipped is None:
        return match or shipped
    if all(own >= other for own, other in zip(_gravities(match), _gravities(shipped), strict=True)):
        return match
    ids = {shipped.ingredient.id, *(i.id for i in shipped.alternatives)}
    added = tuple(i for i in (match.ingredient, *match.alternatives) if i.id not in ids)
    doubt = Doubt(
        "ingredient",
        f"Your own tables take {shipped.name!r} for {match.ingredient.name}; the glossary takes it for "
        f"{shipped.ingredient.name}, which has the graver caution and counts.",
        tuple(i.name for i in added),
        "If you are sure, put the name right in this formula.",
    )
    return replace(shipped, alternatives=(*shipped.alternatives, *added), doubts=(*shipped.doubts, doubt))


# -- in its book ----------------------------------------------------------------------------------------------------------


def in_context(match: Match, source: Source | None, unit: str) -> Match:
    """Of several meanings, the one that the unit, and the year, place and kind of the book speak for.

    A name known by its nearest spelling, or by a part of it, keeps its first meaning: its alternatives are neighbours, too.
    """
    if match.via in ("spelling", "inside"):
        return match
    meanings = [match.ingredient, *match.alternatives]
    pleas = {entry.id: _pleas(entry, match.name, source, unit) for entry in meanings}
    best = max(meanings, key=lambda entry: (sum(worth for _, worth in pleas[entry.id]), -meanings.index(entry)))
    if best is match.ingredient:
        return match
    others = tuple(entry for entry in meanings if entry is not best)
    reasons = tuple(dict.fromkeys(why for why, worth in pleas[best.id] if worth > 0))
    reasons = reasons or tuple(dict.fromkeys(why for why, worth in pleas[match.ingredient.id] if worth < 0))
    first = _several_meanings(match.name, match.ingredient, match.alternatives)
    doubts = tuple(_several_meanings(match.name, best, others, reasons) if d == first else d for d in match.doubts)
    return replace(match, ingredient=best, alternatives=others, doubts=doubts)


class _Says(NamedTuple):
    """What measuring by a unit says of the thing measured, by lookup_units: what speaks how much for or against it."""

    aspect: str
    says: frozenset[str]
    worth: float
    why: str
    doubt: str

    def speaks_of(self, entry: Ingredient) -> bool:
        """Whether the ingredient is of the kind, of the state or the part of the plant that is spoken of."""
        own = {"kind": frozenset({entry.kind}), "state": frozenset({entry.state})}
        return bool(self.says & (own.get(self.aspect) or senses_of(entry).get(self.aspect, frozenset())))


@cache
def _said_by_units() -> dict[str, tuple[_Says, ...]]:
    said: dict[str, tuple[_Says, ...]] = {}
    for row in tables.read("glossary/lookup_units"):
        says = _Says(row["aspect"], frozenset(tables.words(row, "says")), float(row["worth"]), row["why"], row["doubt"])
        said[row["unit"]] = (*said.get(row["unit"], ()), says)
    return said


def counts_oils(unit: str) -> bool:
    """Whether a unit, such as the drop, is one by which a volatile oil is measured."""
    return any("essential-oil" in said.says and said.worth > 0 for said in _said_by_units().get(unit, ()))


def parts_measured_by(unit: str) -> tuple[_Says, ...]:
    """What a unit, such as the handful, says of the part of a plant that is measured by it."""
    return tuple(said for said in _said_by_units().get(unit, ()) if said.aspect == "part" and said.worth > 0)


_NO_LEAVES = frozenset({"root", "bark"})
"""The parts of a plant that nobody measures by what leaves are measured by."""


def as_its_part(match: Match, parts: tuple[_Says, ...], find: Callable[[str], Match | None]) -> Match | None:
    """A bare name that means a root or a bark alone, by a unit that measures leaves: the leaves, where the glossary has them."""
    own = senses_of(match.ingredient).get("part", frozenset())
    if own.isdisjoint(_NO_LEAVES) or "part" in senses(fold(match.name)) or match.via in ("spelling", "inside"):
        return None
    for said in parts:
        for part in sorted(said.says, reverse=True):
            other = find(f"{match.name} {part}")
            if other is not None and not other.doubts and said.speaks_of(other.ingredient):
                doubt = _several_meanings(match.name, other.ingredient, (match.ingredient,), (said.why,))
                return replace(other, name=match.name, alternatives=(match.ingredient,), doubts=(doubt,))
    return None


def at_odds_with(match: Match, unit: str) -> Match:
    """The match with a doubt where its ingredient cannot well be measured by this unit: a water by handfuls."""
    if match.via in ("spelling", "inside"):  # their doubts tell already that the print may mean another thing
        return match
    against = [said for said in _said_by_units().get(unit, ()) if said.doubt and said.speaks_of(match.ingredient)]
    return replace(match, doubts=(*match.doubts, *_odds(match, against))) if against else match


def _odds(match: Match, against: list[_Says]) -> Iterator[Doubt]:
    for said in against:
        text = said.doubt.format(printed=match.name, name=match.ingredient.name)
        yield Doubt("ingredient", text, (), "Look at the page before you trust it.")


def _pleas(entry: Ingredient, printed: str, source: Source | None, unit: str) -> list[tuple[str, float]]:
    """What speaks for (more than 0) or against (less) the name meaning this ingredient here: (what, how much)."""
    key = key_of(fold(printed))  # names that are the same have the same
    same = [name for name in entry.names if key_of(fold(name.name)) == key]
    by_name = [_pleas_of_name(name, source) for name in same] if source else []
    pleas = max(by_name, key=lambda said: sum(worth for _, worth in said), default=[])
    return [*pleas, *((said.why, said.worth) for said in _said_by_units().get(unit, ()) if said.speaks_of(entry))]


def _pleas_of_name(name: Name, source: Source) -> list[tuple[str, float]]:
    """What speaks for or against one name of an ingredient in this book; of several that are spelt so the likeliest counts."""
    pleas = []
    if source.country and name.region:
        pleas.append(("the country of the book", 1.0 if source.country in name.region else -0.5))
    if source.year and name.period and (worth := _in_period(source.year, name.period)):
        pleas.append(("the year of the book", worth))
    if source.kind and (kinds := _kinds_of_book(name.period)):
        pleas.append(("the kind of book", 1.0 if source.kind in kinds else -0.5))
    return pleas


@lru_cache(maxsize=4096)
def _kinds_of_book(period: str) -> frozenset[str]:
    """The kinds of book (`Source.kind`) that words such as 'prescriptions' or 'kitchen books' speak of."""
    said = f" {fold(period)} "
    return frozenset(row["kind"] for row in tables.read("glossary/lookup_books") if f" {row['word']} " in said)


_YEAR = re.compile(r"\b1[5-9]\d\d\b")


def _in_period(year: int, period: str) -> float:
    """1 where the year lies in a period such as 'before 1850', '1780-1860', 'after 1900'; -1 where it does not."""
    years = [int(y) for y in _YEAR.findall(period)]
    if not years:
        return 0.0
    sides = _sides_of(period.lower())
    if "until" in sides:
        inside = year <= years[0]
    elif "from" in sides:
        inside = year >= years[0]
    elif len(years) >= 2:
        inside = years[0] <= year <= years[1]
    else:
        return 0.0
    return 1.0 if inside else -1.0


@lru_cache(maxsize=4096)
def _sides_of(period: str) -> frozenset[str]:
    """On which side of its year a period lies, "until" or "from"; neither where it says nothing of it."""
    return frozenset(row["side"] for row in tables.read("glossary/lookup_periods") if _stands(row["word"], row["place"], period))


def _stands(word: str, place: str, period: str) -> bool:
    if place == "first":
        return period.startswith(f"{word} ")
    return period.endswith(word) if place == "last" else word in period
