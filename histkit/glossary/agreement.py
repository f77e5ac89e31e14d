"""Whether an answer agrees with the print: which part of a plant, which preparation, what colour, whether it is dilute.

A name of the glossary may still be another thing than the print says: under 'parsley seed' the tables may have the herb only,
under 'dilute nitric acid' the strong one. Such an answer stands, and a doubt says what differs.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from functools import cache, lru_cache

from histkit.base import tables
from histkit.base.nouns import Doubt
from histkit.glossary.nouns import Ingredient
from histkit.glossary.words import fold

_Senses = Mapping[str, frozenset[str]]


def disagreements(printed: str, found: str, entry: Ingredient, said_already: bool = False) -> Iterator[Doubt]:
    """A doubt for each thing that the folded words of a print say and the ingredient says otherwise.

    `found` are the words that were found. Where they no longer say which preparation was printed ('aconite' of 'juice of
    aconite'), the ingredient must say it; where they do, they are its name, whatever today's name says ('oil of vitriol').
    `said_already` tells that another doubt speaks of the words that were dropped.
    """
    said = senses(printed)
    if not said:
        return
    kept, is_ = senses(found), senses_of(entry)
    if not said_already and "form" not in said and (text := _another_part(printed, found, is_.get("part", frozenset()))):
        yield Doubt("ingredient", text.format(printed=printed, name=entry.name), (), "Look at the page before you trust it.")
        return
    for aspect, (contrary, unsaid, text) in _ASPECTS.items():
        if not said.get(aspect) or said[aspect] & is_.get(aspect, frozenset()):
            continue
        # of a preparation ('oil of cedar wood') the part says only from what it is made
        lost = aspect not in kept and not said_already and (aspect == "form" or "form" not in said)
        if (contrary and aspect in is_) or unsaid == "always" or (unsaid == "when lost" and lost):
            yield Doubt("ingredient", text.format(printed=printed, name=entry.name), (), "Look at the page before you trust it.")


def _another_part(printed: str, found: str, is_: frozenset[str]) -> str:
    """What to say where a word of the print that was dropped names another part than the ingredient is: 'bark of the root'."""
    words, table = printed.split(), _table()[0]
    parts = [table.get(word, {}).get("part", frozenset()) for word in words if word not in found.split()]
    return _ASPECTS["part"][2] if is_ and any(part and part.isdisjoint(is_) for part in parts) else ""


_ASPECTS = {
    "part": (True, "when lost", "{printed!r} names another part of the plant; the glossary has only {name}."),
    "form": (False, "when lost", "{printed!r} is another preparation; the glossary has only {name}."),
    "strength": (True, "always", "{printed!r} is dilute; the glossary has only {name}, which is the strong one."),
    "colour": (True, "never", "{printed!r} has another colour than {name}, which is all that the glossary has."),
}
"""What is compared: whether an ingredient disagrees that says the contrary, and when one that says nothing of it; the doubt."""


@lru_cache(maxsize=4096)
def senses(folded: str) -> _Senses:
    """What folded words say of each aspect, as lookup_parts has it. Of several words for one aspect each is right."""
    table, phrases = _table()
    found: dict[str, frozenset[str]] = {}
    for word in folded.split():
        for phrase in phrases.get(word, ()):
            if f" {phrase} " in f" {folded} ":
                return table[phrase]
        for aspect, says in table.get(word, {}).items():
            found[aspect] = found.get(aspect, frozenset()) | says
    return found


@lru_cache(maxsize=4096)
def senses_of(entry: Ingredient) -> _Senses:
    """What the id and the name of an ingredient say of each aspect."""
    words = f"{fold(entry.id)} {fold(entry.name)}".split()
    whole = senses(" ".join(words))
    ends = (ending for word in words if word.endswith(_endings()) for ending in _endings() if word.endswith(ending))
    within = senses(" ".join(ends))  # 'sandalwood', 'bloodroot'
    return {**within, **whole}


@cache
def _endings() -> tuple[str, ...]:
    """Parts of plants that a word may end in."""
    return tuple(word for word, aspect in heads().items() if aspect == "part" and len(word) > 3)


@cache
def _table() -> tuple[dict[str, dict[str, frozenset[str]]], dict[str, list[str]]]:
    """Words and phrases with what they say; the phrases, which go before words, by each word that they begin with."""
    table: dict[str, dict[str, frozenset[str]]] = {}
    for row in tables.read("glossary/lookup_parts"):
        table.setdefault(row["word"], {})[row["aspect"]] = frozenset(tables.words(row, "says"))
    phrases: dict[str, list[str]] = {}
    for word in table:
        if " " in word:
            phrases.setdefault(word.partition(" ")[0], []).append(word)
    return table, phrases


@cache
def heads() -> Mapping[str, str]:
    """The words that say which part or which preparation of a thing is meant, and which of the two: "part" or "form"."""
    rows = tables.read("glossary/lookup_parts")
    return {row["word"]: row["aspect"] for row in rows if row["aspect"] in ("part", "form") and " " not in row["word"]}
