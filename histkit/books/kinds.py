"""The kinds of formulas, by the words of their titles, and the metals in ingredients: `kinds.csv` and `metals.csv`."""

from __future__ import annotations

import re
from functools import cache

from histkit import glossary
from histkit.base.tables import read, words


@cache
def _patterns() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Longest words first, so that 'tooth powder' is found before 'powder'."""
    rows = sorted(read("books/kinds"), key=lambda row: -len(row["words"]))
    return tuple((re.compile(rf"(?<![^\W_]){re.escape(row['words'])}", re.IGNORECASE), row["kind"]) for row in rows)


def kind_of(title: str) -> str:
    """The kind of formula that the words of a title name ('tooth powder', 'cream' …), or '' where they name none."""
    plain = " ".join(title.replace("-", " ").split())
    for pattern, kind in _patterns():
        if pattern.search(title) or pattern.search(plain):
            return kind
    return ""


def kinds() -> tuple[str, ...]:
    """All kinds of formula, as kinds.csv names them."""
    return tuple(dict.fromkeys(row["kind"] for row in read("books/kinds")))


def metal_names() -> tuple[str, ...]:
    """The metals that are looked out for, as metals.csv names them."""
    return tuple(row["metal"] for row in read("books/metals"))


@cache
def _holders() -> dict[str, tuple[str, ...]]:
    """Ingredient id → the metals in it: by its chemical formula, by what it is made of, or by metals.csv."""
    holders: dict[str, list[str]] = {}
    for row in read("books/metals"):
        symbol = re.compile(row["element"] + r"(?![a-z])")
        holding = {key for key, entry in glossary.ingredients.items() if symbol.search(entry.formula)} | set(words(row, "more"))
        grown = True
        while grown:
            more = {
                key
                for key, entry in glossary.ingredients.items()
                if key not in holding and any(part in holding for part, _ in entry.made_of)
            }
            holding |= more
            grown = bool(more)
        for key in holding:
            holders.setdefault(key, []).append(row["metal"])
    return {key: tuple(metals) for key, metals in holders.items()}


def holds(ingredient: str) -> tuple[str, ...]:
    """The metals in an ingredient."""
    return _holders().get(ingredient, ())
