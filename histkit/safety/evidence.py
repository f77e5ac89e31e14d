"""What was printed of a mixture, what its maker says of it, and what the search of both found."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Literal

from histkit.glossary.nouns import Caution, Ingredient
from histkit.glossary.words import fold

Where = Literal["line", "title", "directions", "unread", "text"]
Level = Literal["refuse", "ask", "warn", "note"]
LEVELS: tuple[Level, ...] = ("refuse", "ask", "warn", "note")
"""The gravest first. What is to be refused or asked keeps a batch from the bench."""


@dataclass(frozen=True, slots=True)
class Printed:
    """Words of a printed formula. `part` is the ingredient that a line became; '' for other words."""

    words: str
    where: Where = "line"
    part: str = ""
    known: bool = True
    """Whether the glossary knows the name, or the words are no line's."""
    name: str = ""
    """The name in a line; '' for other words."""
    others: tuple[str, ...] = ()
    """What else the name has meant, by id, where the other meaning must not be used."""
    weighed: bool = True
    """Whether the line has a weight and so a share of the mixture."""
    strange: str = ""
    """The words of the name that were left out when it was found, and that no table knows."""
    strength: str = ""
    """The strength of a spirit that is printed in them, as it was understood: no name and no poison ('60 op')."""

    @property
    def searched(self) -> tuple[str, str]:
        """The words and the name without that strength."""
        return without(self.words, self.strength), without(self.name, self.strength)


_AFTER = ",;)"
"""What ends a strength: before anything else 'op.' may be opium with an amount of its own."""


def without(words: str, strength: str) -> str:
    """Words without a printed strength, where it stands by itself: before a comma, a bracket or the end."""
    plain = " ".join(words.split())
    at = plain.casefold().find(strength) if strength and len(plain) == len(plain.casefold()) else -1
    behind = plain[at + len(strength) :].lstrip(" .")
    if at < 0 or (behind and behind[0] not in _AFTER):
        return words
    return f"{plain[:at]}{plain[at + len(strength) :]}"


@dataclass(frozen=True, slots=True)
class Declared:
    """What the maker says of an unknown or contested name, or of words in the title or directions, and why.

    `words` are the printed words, a name or the id of a part.
    """

    words: str
    reason: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One thing that keeps a mixture from the bench, or that its maker should know.

    `about`: "forbidden", "poison", "unknown", "contested", "product", "pair", "limit", "constituent", "declared".
    """

    level: Level
    about: str
    text: str
    ingredients: tuple[str, ...] = ()
    words: str = ""
    """The printed words that it speaks of: what `declare` takes."""
    choices: tuple[str, ...] = field(default=())
    """Ids among which the maker may choose."""

    @property
    def holds(self) -> bool:
        """Whether it keeps a batch from the bench."""
        return self.level in ("refuse", "ask")


UNKNOWN = "unknown-"
"""With this begin the ids of what nobody has identified."""


def unidentified(name: str) -> Ingredient:
    """The stand-in entry for a name that the glossary does not know."""
    caution = Caution(
        "care", f"{name!r} is not in the glossary: find out what it is before you use it. Ask a safety assessor.", "histkit"
    )
    key = UNKNOWN + "-".join(fold(name).split())
    return Ingredient(id=key, name=name, kind="other", description="not identified", cautions=(caution,))
