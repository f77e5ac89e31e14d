"""The words by which formulas are told from prose: the reader's own tables, the names of the glossary and words.csv.

Each word has one class, the first that claims it: a line of print is then one look-up for each word.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from histkit import glossary
from histkit.base.tables import rows_of
from histkit.glossary.stretches import plain_spelling
from histkit.glossary.words import strangers
from histkit.reading import vocabulary as reading

_HERE = Path(__file__).parent

UNIT, NUMBER, SMALL, NAME, PRICE, OTHER, EACH, ENOUGH, TAKE, VERB, STATE, AGAINST, FILL, TOLD = range(1, 15)
"""Classes of words. OTHER is a unit that measures no ingredient (hours, inches, degrees), FILL a word of prose,
TOLD one after which amounts are doses, solubilities or pages."""


@cache
def table(name: str) -> tuple[dict[str, str], ...]:
    """The rows of `<name>.csv` beside this module."""
    return rows_of(_HERE / f"{name}.csv")


@cache
def word_list(kind: str) -> frozenset[str]:
    """The words of one kind in words.csv."""
    return frozenset(row["word"] for row in table("words") if row["kind"] == kind)


@cache
def classes() -> Mapping[str, int]:
    """Word in small letters → its class."""
    class_of: dict[str, int] = {}

    def claim(words: frozenset[str] | set[str] | Mapping[str, object], kind: int) -> None:
        for word in words:
            class_of.setdefault(word, kind)

    claim(word_list("small"), SMALL)
    claim(word_list("price"), PRICE)
    claim(word_list("against"), AGAINST)
    claim(word_list("told"), TOLD)
    claim(word_list("take"), TAKE)
    claim(word_list("each"), EACH)
    claim(word_list("enough"), ENOUGH)
    claim(word_list("fills"), FILL)
    claim(word_list("unit"), UNIT)
    claim(reading.units(), UNIT)
    claim({word for word, entry in reading.numbers().items() if entry.kind != "article"}, NUMBER)
    claim({word for word, kind in reading.other_units().items() if kind == "money"}, PRICE)
    claim({word for word, kind in reading.other_units().items() if kind not in ("money", "strength")}, OTHER)
    claim({word.casefold() for word, kind in reading.direction_words().items() if kind == "take"}, TAKE)
    claim({word.casefold() for word, kind in reading.direction_words().items() if kind in ("verb", "participle")}, VERB)
    claim(reading.modifiers(), STATE)
    claim(_forms({w.casefold() for w, kind in reading.direction_words().items() if kind == "verb" and len(w) > 2}), VERB)
    claim(_name_words(), NAME)
    return MappingProxyType(class_of)


@cache
def _cases() -> tuple[str, ...]:
    """Latin endings, the longest first."""
    return tuple(sorted(word_list("latin-ending"), key=len, reverse=True))


@cache
def latin_stems() -> frozenset[str]:
    """The Latin words of the glossary's names without their endings."""
    words = {word for row in glossary.rows("names") if row["language"] == "la" for word in glossary.fold(row["name"]).split()}
    return frozenset(stem for word in words if len(stem := latin_stem(word)) > 3)


def latin_stem(word: str) -> str:
    """A Latin word in small letters without its ending: 'camphoræ' and 'camphora' have the same."""
    for ending in _cases():
        if word.endswith(ending) and len(word) - len(ending) > 3:
            return word[: -len(ending)]
    return word


@cache
def plain_names() -> frozenset[str]:
    """The words of the glossary's names as all periods spell them: what an early print may mean by 'cloues' or 'lauender'."""
    return frozenset(plain_spelling(word) for word in _name_words() if len(word) > 3) - {plain_spelling(w) for w in strangers()}


def _forms(verbs: set[str]) -> set[str]:
    """'sifted', 'sifting' of 'sift'; a form that is none does no harm."""
    return {form for verb in verbs for form in (verb.removesuffix("e") + "ed", verb.removesuffix("e") + "ing")}


def _name_words() -> set[str]:
    """All words of all names of the glossary, as printed in small letters and without accents."""
    words: set[str] = set()
    for row in glossary.rows("names"):
        words.update(word for word in row["name"].lower().replace("'", " ").replace("’", " ").split() if len(word) > 2)
        words.update(word for word in glossary.fold(row["name"]).split() if len(word) > 2)
    return {word.strip(".,;()") for word in words}
