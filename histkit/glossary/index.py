"""All names, indexed for the look-up: as printed, by their words, by the beginnings of Latin words, by their letters."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Hashable, Iterable, Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from typing import TypeVar

from histkit.base.stored import stored, stored_by_key
from histkit.base.tables import uncollected
from histkit.glossary.additions import Row
from histkit.glossary.nearness import NearWords
from histkit.glossary.tables import CONTESTED, NameRow, own_names, shipped_names, shipped_rows
from histkit.glossary.words import Key, all_folded, all_keys, german_key, listed_words, singular

Hits = tuple[tuple[str, bool], ...]
"""(ingredient id, whether the name is contested), the likeliest first."""

LATIN = frozenset({"la", "sci"})
"""The languages whose names are cut short and declined."""

SHORTEST_WITHOUT_BLANKS = 5
"""Characters of a name that is known wherever its blanks are, at least."""
_FIRST_LETTERS = 3

_At = TypeVar("_At", bound=Hashable)
_Made = TypeVar("_Made")


@dataclass(frozen=True, eq=False)
class NameIndex:
    """The names that the package carries; or a maker's own, behind those of a `base`. Each index is built when it is first needed
    (most names are found in the first), and of the package's names kept for the next process.

    All keep the order of names.csv, which lists the likeliest meaning of a contested name first.
    """

    own: tuple[NameRow, ...] = ()
    base: NameIndex | None = None

    def stored(self, name: str, make: Callable[[], _Made]) -> _Made:
        """What `make` makes of these names: of the package's from an earlier process, if one has made it."""
        return make() if self.base else stored(name, make)

    @cached_property
    def rows(self) -> tuple[NameRow, ...]:
        """The names of this index without those of its base."""
        return self.own if self.base else (*shipped_names(), *_todays_names(shipped_rows("ingredients")))

    @cached_property
    def _folded(self) -> list[str]:
        """The name of each row, folded."""
        return all_folded([row[1] for row in self.rows])

    @cached_property
    def exact(self) -> dict[str, Hits]:
        """Ingredients by the folded name."""
        return self.stored("names", self._exact)

    def _exact(self) -> dict[str, Hits]:
        with uncollected():
            index = dict(self.base.exact) if self.base else {}
            _note(index, zip(self._folded, self.rows, strict=True))
            return index

    @cached_property
    def keys(self) -> dict[Key, Hits]:
        """Ingredients by the words of a name that is not Latin, in no order."""
        return self.stored("words-of-names", self._keys)

    def _keys(self) -> dict[Key, Hits]:
        with uncollected():
            index = dict(self.base.keys) if self.base else {}
            named = [(name, row) for name, row in zip(self._folded, self.rows, strict=True) if row[2] != "la"]
            keyed = zip(all_keys(name for name, _ in named), named, strict=True)
            _note(index, [(key, row) for key, (name, row) in keyed if len(key) > 1 or key == (singular(name),)])
            return index

    @cached_property
    def latin(self) -> dict[tuple[int, str], list[tuple[Key, str]]]:
        """How many words a Latin name has and the first two, or three, letters of one of them → (words of it, ingredient id)."""
        return self.stored("latin-names", self._latin)

    def _latin(self) -> dict[tuple[int, str], list[tuple[Key, str]]]:
        with uncollected():
            index = {start: list(entries) for start, entries in self.base.latin.items()} if self.base else {}
            for name, row in zip(self._folded, self.rows, strict=True):
                if row[2] in LATIN:
                    words = tuple(name.split())
                    entry, many = (words, row[0]), len(words)
                    for start in {word[:letters] for word in words for letters in (2, 3)}:
                        index.setdefault((many, start), []).append(entry)
            return index

    @cached_property
    def german(self) -> dict[Key, Hits]:
        """Ingredients by the words of a German name in any case and number."""
        return self.stored("german-names", self._german)

    def _german(self) -> dict[Key, Hits]:
        with uncollected():
            index = dict(self.base.german) if self.base else {}
            named = zip(self._folded, self.rows, strict=True)
            _note(index, [(german_key(name), row) for name, row in named if row[2] == "de"])
            return index

    @cached_property
    def vocabulary(self) -> dict[str, None]:
        """Every word of every name, in the order of the names."""
        with uncollected():
            return {word: None for name in self.exact for word in name.split()}

    @cached_property
    def own_words(self) -> frozenset[str]:
        """The words that are a name or stand in several: they are what they are, whatever else has letters like theirs."""
        return self.stored("words-of-several-names", self._own_words)

    def _own_words(self) -> frozenset[str]:
        with uncollected():
            many = Counter(word for name in self.exact for word in set(name.split()))
            return frozenset(word for word, names in many.items() if names > 1 or word in self.exact)

    @cached_property
    def near_words(self) -> NearWords:
        """The words of `vocabulary` and those of lookup_words, to be found in another spelling."""
        return NearWords((*self.vocabulary, *listed_words()), packaged=self.base is None)

    @cached_property
    def _without_blanks(self) -> Mapping[str, dict[str, list[str]]]:
        """Names by their letters alone, and these by the first of them: few are ever asked for."""

        def make() -> dict[str, dict[str, list[str]]]:
            index: dict[str, dict[str, list[str]]] = {}
            for name in self.exact:
                if len(name) >= SHORTEST_WITHOUT_BLANKS:
                    letters = name.replace(" ", "")
                    index.setdefault(letters[:_FIRST_LETTERS], {}).setdefault(letters, []).append(name)
            return index

        with uncollected():
            return make() if self.base else stored_by_key("names-without-blanks", make)

    def run_together(self, letters: str) -> list[str]:
        """The names of these letters, wherever their blanks are: a scan runs words together ('rosewater') or moves the blank
        ('orang esyrup')."""
        return self._without_blanks.get(letters[:_FIRST_LETTERS], {}).get(letters, [])


def _note(index: dict[_At, Hits], entries: Iterable[tuple[_At, NameRow]]) -> None:
    """Add rows to an index. Most names are the first of their kind: they share one tuple for each ingredient."""
    sure: dict[str, Hits] = {}
    for at, row in entries:
        key = row[0]
        if at not in index and row[6] != CONTESTED:
            index[at] = sure.get(key) or sure.setdefault(key, ((key, False),))
            continue
        hits = index.get(at, ())
        if all(other != key for other, _ in hits):
            index[at] = (*hits, (key, row.contested))


def _todays_names(ingredients: Iterable[Row]) -> list[NameRow]:
    """The names by which the glossary itself calls its ingredients."""
    return [NameRow(row["id"], row["name"], "en", "name", "", "", "certain", row["source"]) for row in ingredients]


@cache
def shipped() -> NameIndex:
    """The names that the package carries."""
    return NameIndex()


def with_own(own: Mapping[str, list[Row]]) -> NameIndex:
    """The shipped names, and behind them those of a maker's own rows."""
    added = (*own_names(own), *_todays_names(own.get("ingredients", ())))
    return NameIndex(added, shipped()) if added else shipped()
