"""The table of old and new and the bench sheet, each in every form of text, as files in a folder."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from histkit.base.errors import BadValue
from histkit.base.files import write_atomically
from histkit.telling import captions, pages

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.telling.comparison import ComparisonTable
    from histkit.translating.translation import Translation


def save_table(folder: Path, table: ComparisonTable, translation: Translation, batch: Batch | None = None) -> list[Path]:
    """`old-and-new` as HTML, Markdown, CSV and XLSX, the text for under the video in short and in full, the source as BibTeX and
    CSL-JSON; the paths.

    Raises RecordError where a file cannot be written.
    """
    texts = {
        "old-and-new.html": pages.page(table, batch=batch, translation=translation),
        "old-and-new.md": table.to_markdown(),
        "under-the-video.txt": captions.in_short(table, batch=batch),
        "under-the-video.md": captions.under_the_video(table, batch=batch, translation=translation),
    }
    if table.source is not None:
        texts["source.bib"] = captions.bibtex(table.source)
        texts["source.csl.json"] = json.dumps([captions.csl_json(table.source)], ensure_ascii=False, indent=1) + "\n"
    for name, words in texts.items():
        write_atomically(folder / name, words)
    written = [folder / name for name in texts]
    return [*written, table.to_csv(folder / "old-and-new.csv"), table.to_xlsx(folder / "old-and-new.xlsx")]


def save_bench_sheet(folder: Path, batch: Batch) -> list[Path]:
    """`bench-sheet` as PDF, HTML and Markdown; the paths. Raises RecordError where a file cannot be written."""
    return [save_sheet(folder / f"bench-sheet.{ending}", batch) for ending in ("pdf", "html", "md")]


def save_sheet(path: str | Path, batch: Batch, paper: str = "a4") -> Path:
    """Write the bench sheet of a batch by the ending of its name: .pdf, .html or .md.

    Raises:
        BadValue: the ending is another, or the size of paper is not known.
        RecordError: the file cannot be written.
    """
    path = Path(path)
    ending = path.suffix.lower()
    if ending == ".pdf":
        write_atomically(path, batch.to_pdf(paper))
    elif ending == ".html":
        write_atomically(path, pages.bench_page(batch))
    elif ending == ".md":
        write_atomically(path, batch.to_markdown())
    else:
        raise BadValue(f"{path}: a bench sheet is written as .pdf, .html or .md")
    return path
