"""Passage + Source → rows: what each formula of a book says, line by line, read and translated.

A formula that cannot be read is a row that says why; nothing that was found is lost, and nothing stops the run.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from histkit.base.errors import HistkitError
from histkit.base.nouns import Source, Spread, amount_text
from histkit.books.kinds import holds, kind_of, metal_names
from histkit.books.pages import Pages
from histkit.books.passages import Body, Passage
from histkit.books.rows import FormulaRow, LineRow
from histkit.glossary.nouns import worst_level
from histkit.reading import read
from histkit.translating.translation import TranslatedLine, Translation
from histkit.translating.translator import translate

BETWEEN = " | "
"""Between several texts in one cell."""


def harvest(passages: Iterable[Passage], source: Source, book: str, layout: Pages) -> tuple[list[FormulaRow], list[LineRow]]:
    """The rows of all passages of a book that read as formulas, numbered in order. `layout` tells the page of each line."""
    formulas: list[FormulaRow] = []
    lines: list[LineRow] = []
    for passage in passages:
        row, of_it = harvest_one(replace(passage, number=len(formulas) + 1), source, book, layout)
        if reads_as_formula(row, of_it):
            formulas.append(row)
            lines += of_it
    return formulas, lines


def reads_as_formula(row: FormulaRow, lines: list[LineRow]) -> bool:
    """Whether it has two lines or more, and a title or an ingredient that the reader knows; one line alone must be known and
    titled: weights of things, rations and doses hold words of the glossary's names, but no substance. What could not be read
    stays, and says why.
    """
    known = any(line.ingredient for line in lines)
    return bool(row.error) or ((known or bool(row.title)) if len(lines) > 1 else (known and bool(row.title)))


def harvest_one(passage: Passage, source: Source, book: str, layout: Pages) -> tuple[FormulaRow, list[LineRow]]:
    """The rows of one passage."""
    body = passage.body()
    try:
        translation = translate(read(body.text, source))
        lines = _lines(passage, body, translation, book, layout)
    except HistkitError as error:
        return _unreadable(passage, source, book, str(error)), []
    except Exception as error:  # one formula must not end a run of a hundred thousand: its row says what went wrong
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
    rows = []
    text, start, at, line = passage.text, passage.start, 0, passage.first_line
    for position, t in enumerate(translation.lines, start=1):
        offset = body.offset(t.line.span[0])
        until = offset - start
        if until > at:
            line += _line_ends(text, at, until)
            at = until
        rows.append(_line(t, book, passage.number, position, layout.page_at(offset), line))
    return rows


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
