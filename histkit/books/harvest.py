"""Passage + Source → rows: what each formula of a book says, line by line, read and translated.

A formula that cannot be read is a row that says why; nothing that was found is lost, and nothing stops the run.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache

from histkit import glossary
from histkit.base.errors import HistkitError
from histkit.base.nouns import Source, Spread, amount_text
from histkit.base.tables import entries
from histkit.books.finding import Body, Passage
from histkit.books.pages import Pages
from histkit.books.vocabulary import table
from histkit.glossary.nouns import worst_level
from histkit.reading import read
from histkit.translating.translation import TranslatedLine, Translation
from histkit.translating.translator import translate

BETWEEN = " | "
"""Between several texts in one cell."""


@dataclass(frozen=True, slots=True)
class LineRow:
    """One ingredient of one formula of one book. Grams are those of the formula as printed; shares are 0 to 1."""

    book: str
    number: int
    line: int
    page: int | None
    printed_line: int
    printed: str
    name: str
    modifier: str
    amount: str
    unit: str
    measure: str
    grams_low: float | None
    grams: float | None
    grams_high: float | None
    share_low: float | None
    share: float | None
    share_high: float | None
    ingredient: str
    today: str
    via: str
    certainty: float | None
    perhaps: str
    caution: str
    holds: str
    doubts: str


@dataclass(frozen=True, slots=True)
class FormulaRow:
    """One formula of one book. `error` says why it could not be read; then it has no lines, and its words are in `unread`.

    `grams` is the sum over the lines of known weight, `unknown` counts the others; where `in_parts` is true, one part stands
    as one gram and only the proportions mean something.
    """

    book: str
    number: int
    title: str
    kind: str
    page: int | None
    first_line: int
    last_line: int
    year: int | None
    country: str
    convention: str
    lines: int
    unidentified: int
    unknown: int
    grams: float | None
    in_parts: bool
    doubts: int
    caution: str
    holds: str
    directions: str
    unread: str
    set_aside: str
    error: str


def harvest(passages: Iterable[Passage], source: Source, book: str, layout: Pages) -> tuple[list[FormulaRow], list[LineRow]]:
    """The rows of all passages of a book, in order. `layout` tells the page of each line."""
    formulas: list[FormulaRow] = []
    lines: list[LineRow] = []
    for passage in passages:
        row, of_it = harvest_one(passage, source, book, layout)
        formulas.append(row)
        lines += of_it
    return formulas, lines


def harvest_one(passage: Passage, source: Source, book: str, layout: Pages) -> tuple[FormulaRow, list[LineRow]]:
    """The rows of one passage."""
    body = passage.body()
    try:
        translation = translate(read(body.text, source))
        lines = _lines(passage, body, translation, book, layout)
    except HistkitError as error:
        return _unreadable(passage, source, book, str(error)), []
    except Exception as error:  # one formula must not end a run of a hundred thousand: the fault is told in its row
        return _unreadable(passage, source, book, f"a fault of histkit: {type(error).__name__}: {error}"), []
    formula = translation.formula
    weights = [t.grams.best for t in translation.lines if t.grams is not None]
    metals = {metal for t in translation.lines if t.ingredient for metal in holds(t.ingredient.id)}
    unread = [formula.title, *formula.unread] if formula.title else list(formula.unread)
    return (
        FormulaRow(
            book,
            passage.number,
            _flat(passage.title),
            kind_of(passage.title),
            passage.page,
            passage.first_line,
            passage.last_line,
            source.year,
            source.country,
            translation.convention.id,
            len(lines),
            sum(t.ingredient is None for t in translation.lines),
            len(lines) - len(weights),
            _rounded(sum(weights)) if weights else None,
            translation.in_parts,
            sum(len(t.doubts) for t in translation.lines),
            worst_level(c for t in translation.lines for c in t.cautions) or "",
            ";".join(m for m in metal_names() if m in metals),
            _flat(formula.directions),
            BETWEEN.join(filter(None, map(_flat, unread))),
            _set_aside(passage),
            "",
        ),
        lines,
    )


def _lines(passage: Passage, body: Body, translation: Translation, book: str, layout: Pages) -> list[LineRow]:
    found = []
    text, start, at, line = passage.text, passage.start, 0, passage.first_line
    for position, t in enumerate(translation.lines, start=1):
        offset = body.offset(t.line.span[0])
        until = offset - start
        if until > at:
            line += _line_ends(text, at, until)
            at = until
        found.append(_line(t, book, passage.number, position, layout.page_at(offset), line))
    return found


def _line_ends(text: str, start: int, end: int) -> int:
    """Line ends in `text[start:end]`, of whichever sort."""
    lone = text.count("\r", start, end) - text.count("\r\n", start, end)
    return text.count("\n", start, end) + lone


def _line(t: TranslatedLine, book: str, number: int, position: int, page: int | None, printed_line: int) -> LineRow:
    line, match = t.line, t.match
    return LineRow(
        book,
        number,
        position,
        page,
        printed_line,
        _flat(line.raw),
        _flat(line.full_name),
        line.modifier,
        amount_text(line.amount),
        line.unit,
        line.measure_text(),
        *_three(t.grams),
        *_three(t.share),
        t.ingredient.id if t.ingredient else "",
        t.ingredient.name if t.ingredient else "",
        match.via if match else "",
        match.score if match else None,
        ";".join(other.id for other in match.alternatives) if match else "",
        worst_level(t.cautions) or "",
        ";".join(holds(t.ingredient.id)) if t.ingredient else "",
        BETWEEN.join(_flat(d.text) for d in t.doubts),
    )


def _unreadable(passage: Passage, source: Source, book: str, error: str) -> FormulaRow:
    return FormulaRow(
        book=book,
        number=passage.number,
        title=_flat(passage.title),
        kind=kind_of(passage.title),
        page=passage.page,
        first_line=passage.first_line,
        last_line=passage.last_line,
        year=source.year,
        country=source.country,
        convention="",
        lines=0,
        unidentified=0,
        unknown=0,
        grams=None,
        in_parts=False,
        doubts=0,
        caution="",
        holds="",
        directions="",
        unread=_flat(passage.text),
        set_aside=_set_aside(passage),
        error=_flat(error),
    )


def _set_aside(passage: Passage) -> str:
    return BETWEEN.join(filter(None, (_flat(passage.text[a - passage.start : b - passage.start]) for a, b in passage.set_aside)))


def _flat(text: str) -> str:
    """On one line, so that a row of a table is one line of the file."""
    return " ".join(text.split())


def _three(spread: Spread | None) -> tuple[float | None, float | None, float | None]:
    return (None, None, None) if spread is None else (_rounded(spread.low), _rounded(spread.best), _rounded(spread.high))


def _rounded(value: float) -> float:
    """Nine significant figures: far more than any measure has, and the same on every machine."""
    return float(f"{value:.9g}")


# -- kinds and metals --------------------------------------------------------------------------------------------------------


@cache
def _kinds() -> tuple[tuple[re.Pattern[str], str], ...]:
    """Longest words first, so that 'tooth powder' is found before 'powder'."""
    rows = sorted(table("kinds"), key=lambda r: -len(r["words"]))
    return tuple((re.compile(rf"(?<![^\W_]){re.escape(r['words'])}", re.IGNORECASE), r["kind"]) for r in rows)


def kind_of(title: str) -> str:
    """The kind of formula that the words of a title tell ('tooth powder', 'cream' …), or '' where they tell none."""
    words = " ".join(title.replace("-", " ").split())
    for pattern, kind in _kinds():
        if pattern.search(title) or pattern.search(words):
            return kind
    return ""


def kinds() -> tuple[str, ...]:
    """All kinds of formula, as kinds.csv names them."""
    return tuple(dict.fromkeys(row["kind"] for row in table("kinds")))


def metal_names() -> tuple[str, ...]:
    """The metals that are looked out for, as metals.csv names them."""
    return tuple(row["metal"] for row in table("metals"))


@cache
def _holders() -> dict[str, tuple[str, ...]]:
    """Ingredient id → the metals in it: by its chemical formula, by what it is made of, or by metals.csv."""
    found: dict[str, list[str]] = {}
    for row in table("metals"):
        symbol = re.compile(row["element"] + r"(?![a-z])")
        have = {key for key, entry in glossary.ingredients.items() if symbol.search(entry.formula)} | set(entries(row["more"]))
        grown = True
        while grown:
            more = {k for k, e in glossary.ingredients.items() if k not in have and any(part in have for part, _ in e.made_of)}
            have |= more
            grown = bool(more)
        for key in have:
            found.setdefault(key, []).append(row["metal"])
    return {key: tuple(metals) for key, metals in found.items()}


def holds(ingredient: str) -> tuple[str, ...]:
    """The metals in an ingredient."""
    return _holders().get(ingredient, ())
