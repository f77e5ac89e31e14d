"""By which a file of a run is known again."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import BinaryIO

_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class Sum:
    """By which a file is known again: its length in bytes and its SHA-256."""

    size: int
    sha256: str


def summed(file: BinaryIO, size: int | None = None) -> Sum:
    """The sum of the next `size` bytes of a file, or of all that follows; fewer where it ends before."""
    digest, count = hashlib.sha256(), 0
    while chunk := file.read(_CHUNK if size is None else min(_CHUNK, size - count)):
        digest.update(chunk)
        count += len(chunk)
    return Sum(count, digest.hexdigest())
