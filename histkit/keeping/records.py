"""A formula with all choices made about it, kept as one JSON file: the public face of this room.

The choices are in `choices`, the noun and the way from it to every other in `record`, the file in `files` (its form in `form`,
its earlier states in `history`).
"""

from __future__ import annotations

from histkit.base.errors import RecordError
from histkit.keeping.choices import (
    AddedScent,
    Companion,
    Constraints,
    Correction,
    Known,
    Pack,
    Pressing,
    Replacement,
    Scenting,
    TakenExtension,
    Weighing,
)
from histkit.keeping.files import ChangedElsewhere, Kept, RecordFile, go_back, history, is_record, load, restore, save
from histkit.keeping.form import VERSION
from histkit.keeping.photograph import Compared, Photograph
from histkit.keeping.record import Record, schema

__all__ = [
    "VERSION", "AddedScent", "ChangedElsewhere", "Companion", "Compared", "Constraints", "Correction", "Kept", "Known", "Pack",
    "Photograph", "Pressing", "Record", "RecordError", "RecordFile", "Replacement", "Scenting", "TakenExtension", "Weighing",
    "go_back", "history", "is_record", "load", "restore", "save", "schema",
]  # fmt: skip
