"""A preparation named in words that no row has, from the names of what it is made of: 'sirop de coing', 'Myrrhentinktur'.

The glossary knows quinces in many languages, but their syrup perhaps by its English name only. Where the first word, the last
word or the end of a German compound says which preparation is meant (lookup_heads.csv), what is left of the name is looked up,
and the preparation by the English names of that thing.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import cache
from typing import NamedTuple

from histkit.base import tables
from histkit.glossary.agreement import heads, senses, senses_of
from histkit.glossary.entries import ingredients
from histkit.glossary.index import Hits
from histkit.glossary.nouns import Ingredient, gravity, worst_level
from histkit.glossary.stretches import plain_spelling
from histkit.glossary.words import fold, kinds, peeled, set_of_kind

SHORTEST_FRONT = 3
"""Letters of what stands before a German ending, at least."""
LATIN_ENDINGS = ("i", "ae", "um", "us", "orum", "arum")
"""How Latin heads end, in print that does not cut them: 'succi', 'aquae', 'oleum'."""
_BETWEEN = ("", "n", "en", "s", "es")
"""What German puts between the halves of a compound."""


class Compound(NamedTuple):
    """What a name says that it is made of, and as which preparation, in English."""

    of: str
    head: str


def compounds(name: str) -> Iterator[Compound]:
    """Each way in which a printed name may be a preparation of something."""
    words = name.split()
    apart = {at for at, word in enumerate(words) if fold(word) in set_of_kind("between")}  # 'marjoram and salt' is two things
    if len(words) > 1 and not apart & {1, len(words) - 2}:
        if instead := _said_by(words[0], "first") or _said_by(words[0], "part-first"):
            of = " ".join(_without_links(words[1:]))
            latin = words[0].endswith((".", *LATIN_ENDINGS))  # 'succ. beton.', 'Succi beton.', its stop taken for the line's
            cut_short = latin and of[-1:].isalpha()
            yield Compound(f"{of}." if cut_short else of, instead)
        apart_from_it = fold(words[-2]) in set_of_kind("joiner")  # 'galbanum dissolved in vinegar' is no vinegar of galbanum
        if not apart_from_it and (instead := _said_by(words[-1], "last") or _said_by(words[-1], "part-last")):
            yield Compound(" ".join(words[:-1]), instead)
    elif len(words) == 1:
        for front, ending in halves(words[0]):
            yield from (Compound(thing, _heads("end")[ending]) for thing in fronts(front))


def in_general(name: str, known: Callable[[str], Hits], taken: Ingredient | None = None) -> tuple[str, Ingredient] | None:
    """The entry for those preparations of a sort that have none of their own ('oil of cress'), and what this one is made of.

    None for what is made of something that must not be used, or of no plant: what that makes has to be known by name. None as
    well where what the name is `taken` for is a preparation of that sort.
    """
    for compound in compounds(name):
        if not (general := _in_general().get(compound.head)) or len(mother := known(compound.of)) != 1:
            continue
        if taken and not senses(compound.head).get("form", frozenset()).isdisjoint(senses_of(taken).get("form", ())):
            continue
        of = ingredients[mother[0][0]]
        if of.kind in general.kinds and not gravity(worst_level(of.cautions)) > gravity("care"):
            return general.ingredient, of
    return None


def _said_by(word: str, place: str) -> str:
    """What a head says in English, in the spelling of any age: 'iuice' is juice; "" where it says nothing."""
    return _heads(place).get(fold(word)) or _heads_in_any_spelling(place).get(plain_spelling(fold(word)), "")


class _General(NamedTuple):
    ingredient: str
    kinds: frozenset[str]


@cache
def _in_general() -> dict[str, _General]:
    """By the English head, the entry for its preparations that have none of their own, and of which kinds of things they are."""
    rows = tables.read("glossary/lookup_general")
    return {row["head"]: _General(row["ingredient"], frozenset(tables.words(row, "kinds"))) for row in rows}


def halves(word: str) -> Iterator[tuple[str, str]]:
    """What stands before a German ending that says a preparation or part, and that ending."""
    printed = word.lower().strip(".,;:")
    for ending in _heads("end") if printed.endswith(tuple(_heads("end"))) else ():
        if printed.endswith(ending) and len(front := printed.removesuffix(ending).rstrip("-")) >= SHORTEST_FRONT:
            yield front, ending


def head_of(word: str) -> str:
    """What the end of a German compound says in English that it is: 'oil' for 'Lavendelöl'; "" where it says nothing."""
    ending = max((ending for _, ending in halves(word)), key=len, default="")
    return _heads("end")[ending] if ending else ""


def of_its_mother(name: str, known: Callable[[str], Hits], named: Callable[[str], Hits]) -> tuple[Hits, str] | None:
    """The preparation that `name` is, and the English words by which the glossary has it.

    `known` finds what is surely meant, `named` the ingredients of an English name. Of a mother with two meanings ('Rosen', roses
    and rosin) each may have the preparation, unless one must not be used; and such a one has none that may be.
    """
    for compound in compounds(name):
        mothers = [ingredients[key] for key, _ in known(compound.of)]
        if len(mothers) > 1 and any(mother.forbidden for mother in mothers):
            continue
        found: dict[str, str] = {}
        for of, words in [(mother, words) for mother in mothers for words in _in_english(compound.head, mother)]:
            for key, _ in named(words):
                if key != of.id and _agrees(key, compound.head) and (ingredients[key].forbidden or not of.forbidden):
                    found.setdefault(key, words)
        if found:
            return tuple((key, len(found) > 1) for key in found), next(iter(found.values()))
    return None


def of_another_make(name: str, entry: Ingredient) -> bool:
    """Whether a print that says 'water of mints' cannot mean such an entry as water mints, which only begins with that word."""
    first, link, *of = (*name.split(), "", "")
    head = _said_by(first, "first") if of[:1] != [""] and fold(link) in set_of_kind("link") else ""
    if not head:
        return False
    named = [fold(known.name) for known in entry.names]
    so_made = any(known.endswith(f" {head}") or known.startswith(f"{head} of ") for known in named)
    return not so_made and any(known.startswith(head) for known in named)


def _in_english(head: str, of: Ingredient) -> Iterator[str]:
    for name in of.names:
        if name.language == "en" and not name.contested:
            yield from (fold(f"{head} of {name.name}"), fold(f"{name.name} {head}"))
            plant = peeled(fold(name.name), _parts())[0] if head in _parts() else ""
            if peeled(plant, kinds().free_or_doubtful)[0]:  # the flowers of 'pomegranate peel' are 'pomegranate flowers'
                yield from (f"{head} of {plant}", f"{plant} {head}")


@cache
def _parts() -> frozenset[str]:
    return frozenset(word for word, aspect in heads().items() if aspect == "part")


def _agrees(key: str, head: str) -> bool:
    """Whether an ingredient is this preparation, or does not say which: 'spirit of salt' may, 'raspberry vinegar' is no wine."""
    said, is_ = senses(head), senses_of(ingredients[key])
    if forms := is_.get("form"):
        return not said.get("form", forms).isdisjoint(forms)
    return "form" not in said or "part" not in is_


def fronts(front: str) -> Iterator[str]:
    """What the first half of a German compound may be by itself: 'myrrhen' gives myrrhe and myrrh, 'himbeer' himbeere."""
    for between in _BETWEEN:
        if front.endswith(between) and len(front) - len(between) >= SHORTEST_FRONT:
            yield front.removesuffix(between) if between else front
    yield f"{front}e"


def _without_links(words: list[str]) -> list[str]:
    """'de la lavande' is 'lavande', 'd'amande' 'amande'."""
    links, articles, elided = map(set_of_kind, ("link", "article", "elided"))
    while len(words) > 1 and ((first := fold(words[0])) in links or first in articles):
        words = words[1:]
    before, mark, thing = words[0].replace("’", "'").partition("'")
    return [thing, *words[1:]] if mark and thing and fold(before) in elided else words


def names_a_preparation(word: str) -> bool:
    """Whether a word may say of a name beside it which preparation of the thing is meant: 'syrup', 'Gummi', 'mucilaginis'."""
    return any(fold(word) in _heads(place) for place in ("first", "last", "end"))


@cache
def _heads_in_any_spelling(place: str) -> dict[str, str]:
    return {plain_spelling(word): instead for word, instead in _heads(place).items() if len(word) > SHORTEST_FRONT}


@cache
def _heads(place: str) -> dict[str, str]:
    """The heads of one place with what they say in English; an ending as it is printed, since 'öl' is no 'ol'."""
    rows = (row for row in tables.read("glossary/lookup_heads") if row["place"] == place)
    return {row["word"] if place == "end" else fold(row["word"]): row["instead"] for row in rows}
