"""The kinds of doubt of a photographed page, out of a table."""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from histkit.base import tables

if TYPE_CHECKING:
    from histkit.photo.nouns import PhotoDoubt


@cache
def doubt_kinds() -> tuple[str, ...]:
    """The kinds that a `PhotoDoubt` can have."""
    return tuple(_sentences())


@cache
def _sentences() -> dict[str, str]:
    return {row["kind"]: row["sentence"] for row in tables.read("photo/doubt_kinds")}


def in_words(doubt: PhotoDoubt) -> str:
    """A doubt as a sentence."""
    return _sentences()[doubt.kind].format(reading=repr(doubt.reading), other=repr(doubt.other))
