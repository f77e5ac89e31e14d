"""What a page says of its own measures ('imperial pint', 'wine measure'): it decides before any table of who used what.

`said_phrases.csv` has the printed phrases, `said_systems.csv` the systems of convention_units.csv that each of them names.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import cache, lru_cache
from typing import Literal

from histkit.base.tables import entries
from histkit.measures.convention import Convention
from histkit.measures.rows import rows

_NEGATED = re.compile(r"\b(?:not|instead of|rather than|no longer)\b(?:\s+\w+){0,3}\s*$")
"""Words before a phrase that take it back: 'wine measure, and not Imperial'."""


def said_in(text: str, *, anywhere: bool = False) -> tuple[str, ...]:
    """The measures that `text` names, as words of said_systems.csv, in its own order, each once.

    With `anywhere` the text is no statement about measures (a title, a direction): then only the phrases count that cannot
    mean anything else ('wine measure', but not 'Imperial' alone).
    """
    plain = " ".join(re.findall(r"\w+", text.casefold().replace("'", "").replace("’", "")))
    pattern, says = _phrases(anywhere)
    found = (says[m[0]] for m in pattern.finditer(plain) if not _NEGATED.search(plain[: m.start()]))
    return tuple(dict.fromkeys(found))


@cache
def _phrases(anywhere: bool) -> tuple[re.Pattern[str], dict[str, str]]:
    says = {row["phrase"]: row["says"] for row in rows("said_phrases") if row["anywhere"] or not anywhere}
    longest_first = sorted(says, key=len, reverse=True)
    return re.compile(rf"\b(?:{'|'.join(map(re.escape, longest_first))})\b"), says


@cache
def _systems() -> dict[tuple[str, str], tuple[str, ...]]:
    return {(row["says"], row["of"]): entries(row["systems"]) for row in rows("said_systems")}


@cache
def words_of(says: str) -> str:
    """The name of the measures for people: 'wine measure'."""
    return next(row["words"] for row in rows("said_systems") if row["says"] == says)


@lru_cache(maxsize=1024)
def may_name_measures(name: str) -> bool:
    """Whether `name` has a word with which a measure named anywhere ends ('measure', 'weight', 'Gewicht'): a quick look."""
    words = name.casefold()
    return any(last in words for last in _last_words())


@cache
def _last_words() -> frozenset[str]:
    return frozenset(row["phrase"].rpartition(" ")[2] for row in rows("said_phrases") if row["anywhere"])


@cache
def weighs(says: str) -> bool:
    """Whether what a line says names the size of its ounce: then the amount was weighed."""
    return says in {row["says"] for row in rows("said_systems") if row["of"] == "line"} and any(
        row["unit"] == "ounce" for row in rows("convention_units") if row["system"] in _systems()[says, "line"]
    )


def is_said(says: str) -> bool:
    """Whether a line's system ('wine', 'avoirdupois') is one that names sizes."""
    return (says, "line") in _systems()


@lru_cache(maxsize=256)
def following(convention: Convention, said: tuple[str, ...], of: Literal["line", "book"]) -> Convention:
    """`convention` with the sizes that the page names put before its own; the same convention where it names none."""
    named = tuple(system for says in said for system in _systems().get((says, of), ()))
    return replace(convention, systems=(*named, *convention.systems)) if named else convention


@lru_cache(maxsize=256)
def with_vessels_of(book: Convention, rival: Convention) -> Convention:
    """`rival` with the spoons and cups of `book` where both are of one country: weights were copied from book to book, but the
    spoons and cups are those of the kitchen that the book was printed for."""
    if not set(book.country) & set(rival.country):
        return rival
    vessels = tuple(system for system in book.systems if system.startswith(("domestic-", "cup-")))
    return replace(rival, systems=(*vessels, *rival.systems))
