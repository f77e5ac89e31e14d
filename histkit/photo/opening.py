"""Pictures opened, whatever they come as, and turned upright."""

from __future__ import annotations

from pathlib import Path

from histkit.photo.nouns import Picture


def open_picture(path_or_bytes: Path | str | bytes, name: str = "", page: int = 1) -> Picture:
    """The picture of a JPEG, PNG, TIFF, WebP or HEIC file, or one page (from 1) of a PDF or TIFF, upright and in RGB.

    Raises BadValue, with what would be right, where it is empty, no picture, far too small or far too large, a PDF with a
    password, or has no such page; HistkitError where the extra `photo` is not installed.
    """
    raise NotImplementedError
