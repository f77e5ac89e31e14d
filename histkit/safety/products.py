"""What sort of product it is, as the law asks: guessed from a title, or chosen by the maker."""

from __future__ import annotations

import difflib
from dataclasses import dataclass
from functools import cache, lru_cache

from histkit.base import tables
from histkit.base.bibliography import sourced
from histkit.base.errors import UnknownName
from histkit.glossary.words import fold

USUAL = "face-powder"
"""What is taken where a title says nothing: it stays on the face, so that no other sort is judged more lightly by mistake."""


@dataclass(frozen=True, slots=True)
class Product:
    """A sort of product. `tags` say where it goes and whether it stays there; `forms` are the forms that cautions speak of."""

    id: str
    words: str
    tags: frozenset[str]
    forms: tuple[str, ...]
    guessed: bool = False
    """Whether nobody chose it."""

    @property
    def on_skin(self) -> bool:
        return "off-skin" not in self.tags

    @property
    def rinsed_off(self) -> bool:
        return "rinse-off" in self.tags

    def fits(self, expression: str) -> bool:
        """Whether it is one of these: alternatives between semicolons, each of tags that it has and '-tags' that it has not.

        "any" is any product for the body.
        """
        if not self.on_skin:
            return False
        return any(all(map(self._has, way.split())) for way in tables.entries(expression))

    def _has(self, word: str) -> bool:
        return word == "any" or (word[1:] not in self.tags if word.startswith("-") else word in self.tags)


@cache
def products() -> dict[str, Product]:
    """Every sort of product by its id."""
    return {
        row["id"]: Product(row["id"], row["words"], frozenset(row["tags"].split()), tables.words(row, "forms"))
        for row in sourced("safety/products")
    }


def product_of(chosen: str | None, title: str, pressed: bool = False) -> Product:
    """The product of that id, or the one that the title speaks of; a powder that is not pressed is loose.

    Raises UnknownName for an id that nobody knows.
    """
    if chosen is not None and chosen not in products():
        near = difflib.get_close_matches(chosen, list(products()), 3, 0.4) or list(products())[:7]
        raise UnknownName("product", chosen, tuple(near))
    found = products()[chosen or _guessed(title)]
    tags = found.tags | ({"loose"} if "powder" in found.tags and not pressed else set())
    forms = tuple(dict.fromkeys("pressed" if pressed and form == "loose" else form for form in found.forms))
    return Product(found.id, found.words, tags, forms, chosen is None)


@lru_cache(maxsize=1024)
def _guessed(title: str) -> str:
    """The product whose words all stand in the title: those of the highest rank, then with the most letters, then the first.

    A sort ("rouge") ranks above a form ("powder"), two words that belong together above one.
    """
    best, most = USUAL, (0, 0)
    words = fold(title).split()
    for row in sourced("safety/product_words"):
        wanted = row["words"].split()
        standing = (int(row["rank"]), sum(len(word.rstrip("*")) for word in wanted))
        if standing > most and all(any(_fits(one, word) for word in words) for one in wanted):
            best, most = row["product"], standing
    return best


def _fits(wanted: str, word: str) -> bool:
    return word.startswith(wanted[:-1]) if wanted.endswith("*") else word == wanted
