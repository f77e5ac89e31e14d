"""The table of old and new and the bench sheet, each in every form of text, as files in a folder."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING

from histkit.base.files import write_atomically
from histkit.display import html
from histkit.telling import captions as text

if TYPE_CHECKING:
    from histkit.bench.batching import Batch
    from histkit.telling.comparison import ComparisonTable
    from histkit.translating.translation import Translation


def save_table(folder: Path, made: ComparisonTable, translation: Translation, batch: Batch | None = None) -> list[Path]:
    """`old-and-new` as HTML, Markdown, CSV and XLSX, the text for under the video, the source as BibTeX and CSL-JSON; the paths.

    Raises RecordError where a file cannot be written.
    """
    texts = {
        "old-and-new.html": html.page(made, batch=batch, translation=translation),
        "old-and-new.md": made.to_markdown(),
        "under-the-video.md": text.under_the_video(made, batch=batch, translation=translation),
    }
    if made.source is not None:
        texts["source.bib"] = text.bibtex(made.source)
        texts["source.csl.json"] = json.dumps([text.csl_json(made.source)], ensure_ascii=False, indent=1) + "\n"
    written = _put(folder, texts)
    return [*written, made.to_csv(folder / "old-and-new.csv"), made.to_xlsx(folder / "old-and-new.xlsx")]


def save_bench_sheet(folder: Path, batch: Batch) -> list[Path]:
    """`bench-sheet` as PDF, HTML and Markdown; the paths. Raises RecordError where a file cannot be written."""
    from histkit.display.sheets import save_sheet

    return [save_sheet(folder / f"bench-sheet.{ending}", batch) for ending in ("pdf", "html", "md")]


def _put(folder: Path, texts: dict[str, str]) -> list[Path]:
    for name, words in texts.items():
        write_atomically(folder / name, words)
    return [folder / name for name in texts]
