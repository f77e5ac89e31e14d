"""The table of old and new, and the bench sheet, as web pages that stand by themselves, and what they tell search engines."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base.descriptions import Bullets, Folded, Heading, Page, PageBlock, Paragraph, Photo, Quote
from histkit.base.errors import BadValue
from histkit.base.text import clean
from histkit.display import html
from histkit.telling import captions
from histkit.telling.printing import SAFETY

if TYPE_CHECKING:
    from histkit.base.nouns import Source
    from histkit.bench.batching import Batch
    from histkit.telling.comparison import ComparisonTable
    from histkit.translating.translation import Translation

_PNG = b"\x89PNG\r\n\x1a\n"


def page(
    table: ComparisonTable,
    batch: Batch | None = None,
    translation: Translation | None = None,
    pictures: Sequence[str | Path] = (),
) -> str:
    """A whole page as HTML (see `describe`); nothing in it is loaded from elsewhere.

    Raises:
        BadValue: a picture is no PNG file or cannot be read.
    """
    return html.page(describe(table, batch, translation, pictures))


def describe(
    table: ComparisonTable,
    batch: Batch | None = None,
    translation: Translation | None = None,
    pictures: Sequence[str | Path] = (),
) -> Page:
    """The table, what to weigh and do (with a `batch`), cautions, how each line was read (with a `translation`), the source.

    `pictures` are PNG files to put into the page itself.

    Raises:
        BadValue: a picture is no PNG file or cannot be read.
    """
    blocks: list[PageBlock] = [Paragraph(table.citation(), "aside")]
    blocks += [_photo(Path(path), table) for path in pictures]
    blocks.append(replace(table.describe(), title="Old and new"))
    book_says = " ".join(clean(translation.formula.directions).split()) if translation is not None else ""
    if book_says:
        blocks += [Heading("What the book says to do"), Quote(book_says)]
    if batch is not None:
        blocks.append(batch.bench_sheet().describe())
    if cautions := captions.cautions(batch, translation):
        blocks += [Heading("Cautions"), Bullets(tuple(cautions))]
    if translation is not None:
        blocks.append(Heading("How each line was read"))
        blocks += [Folded(r.marked(), t.explain()) for r, t in zip(table.lines, translation.lines, strict=True)]
    blocks.append(Paragraph(SAFETY, "aside"))
    if table.source is not None:
        blocks += _source(table.source)
    return Page(table.title, tuple(blocks), how_to(table, batch, translation))


def _source(source: Source) -> list[PageBlock]:
    """The book as it is cited, and in the two forms that reference managers read."""
    item = json.dumps([captions.csl_json(source)], ensure_ascii=False, indent=1)
    forms = [Folded("BibTeX", captions.bibtex(source)), Folded("CSL-JSON", item)]
    return [Heading("Source"), Paragraph(f"{source.citation()}."), *forms]


def _photo(path: Path, table: ComparisonTable) -> Photo:
    try:
        data = path.read_bytes()
    except OSError as error:
        raise BadValue(f"the picture {path} cannot be read: {error.strerror or error}") from error
    if not data.startswith(_PNG):
        raise BadValue(f"{path} is no PNG picture: only .png files go into a page")
    spoken = table.describe().spoken
    return Photo(data, " ".join(spoken.text().split()) if spoken is not None else "")


def bench_page(batch: Batch) -> str:
    """The bench sheet of a batch as a page of its own, to print."""
    return html.paper_page(batch.bench_sheet().describe())


def how_to(table: ComparisonTable, batch: Batch | None = None, translation: Translation | None = None) -> dict[str, Any]:
    """The formula as schema.org HowTo: supplies with their amounts, steps, the book it is based on."""
    supplies = [
        {"@type": "HowToSupply", "name": clean(row.today), "requiredQuantity": f"{table.figures(row)[2]} g"}
        for row in table.rows
        if row.grams is not None
    ]
    data: dict[str, Any] = {"@context": "https://schema.org", "@type": "HowTo", "name": clean(table.title), "supply": supplies}
    if table.source is not None:
        data["isBasedOn"] = {"@type": "Book", "name": clean(table.source.title) or "untitled source"}
        if table.source.author:
            data["isBasedOn"]["author"] = clean(table.source.author)
        if table.source.year:
            data["isBasedOn"]["datePublished"] = str(table.source.year)
    if steps := captions.steps(batch, translation):
        data["step"] = [{"@type": "HowToStep", "position": n, "text": words} for n, words in enumerate(steps, start=1)]
    return data
