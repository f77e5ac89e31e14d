"""The form of a record file: JSON text from a record and back, its versions, and the JSON Schema of it.

The file holds what was chosen, never what was worked out from it, so that it opens again to the same table with whatever the
tables have learnt since.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, TypeVar

from histkit.base import fields as shapes
from histkit.base.errors import BadValue, RecordError
from histkit.base.nouns import KINDS
from histkit.bench.batch_record import DAY

T = TypeVar("T")

VERSION = 2
"""Version of the file's form; it rises when an older histkit could not read a file any more. This one reads 1 and 2 (2 added
several binders, drops, rectangular pans, what was made before, prices and trials)."""
MARK = "histkit-record"
"""The entry that tells a record from other JSON files; it holds the version."""


def to_text(record: Any) -> str:
    """A record as JSON text."""
    return json.dumps({MARK: VERSION, **shapes.plain(record)}, ensure_ascii=False, indent=1) + "\n"


def entries(text: str, name: str) -> dict[str, Any]:
    """What a record file holds, as JSON knows it, without its version.

    Raises:
        RecordError: the text is no record, is cut off, or was written by a newer histkit; the text of the error says which.
    """
    try:
        data = json.loads(text, parse_constant=_no_constant, object_pairs_hook=_once)
    except json.JSONDecodeError as error:
        raise RecordError(f"{name} is damaged at line {error.lineno}: {error.msg}.") from error
    except RecursionError:
        raise RecordError(f"{name} is damaged: its brackets are nested deeper than in any record.") from None
    except ValueError as error:  # a number of thousands of digits, NaN, an entry that stands twice
        raise RecordError(f"{name} is damaged: {error}.") from error
    if not isinstance(data, dict) or MARK not in data:
        raise RecordError(f"{name} is no histkit record: it lacks the entry '{MARK}'.")
    version = data.pop(MARK)
    if isinstance(version, bool) or not isinstance(version, int) or version < 1:
        raise RecordError(f"{name} is no histkit record: its '{MARK}' should be a version from 1 to {VERSION}.")
    if version > VERSION:
        raise RecordError(
            f"{name} was written by a newer histkit (record version {version}; this one knows {VERSION}): update histkit."
        )
    return data


def from_text(kind: type[T], text: str, name: str) -> T:
    """The record of that class that `to_text` wrote; `name` is what errors call it.

    Raises:
        RecordError: as `entries`, or an entry does not fit; the text of the error says which.
    """
    data = entries(text, name)
    try:
        record: T = shapes.decode(kind, data, "the record")
    except BadValue as error:
        raise RecordError(f"{name} holds something that does not fit: {error}.") from error
    return record


def _no_constant(word: str) -> float:
    raise ValueError(f"{word} stands where a number should")


def _once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    out: dict[str, Any] = {}
    for key, value in pairs:
        if key in out:
            raise ValueError(f"the entry {key!r} stands twice")
        out[key] = value
    return out


def schema_of(kind: type) -> dict[str, Any]:
    """The JSON Schema (draft 2020-12) of the file of such a record, made from the same fields that read it."""
    share = {"minimum": 0, "exclusiveMaximum": 1}
    when = {"pattern": f"^({DAY})?$"}
    own_checks: dict[tuple[str, str], Mapping[str, Any]] = {
        ("Source", "year"): {"minimum": 1000, "maximum": 2100},
        ("Source", "kind"): {"enum": KINDS},
        ("Trial", "binder_share"): share,
        ("Trial", "oil_share"): share,
        ("Trial", "pressure"): {"exclusiveMinimum": 0},
        ("Trial", "drops_survived"): {"minimum": 0},
        ("Trial", "payoff"): {"minimum": 0, "maximum": 5},
        ("Trial", "drop_height_mm"): {"exclusiveMinimum": 0, "maximum": 3000},
        ("Trial", "lost_share"): {"minimum": 0, "maximum": 1},
        ("Trial", "payoff_mg"): {"minimum": 0},
        ("Weighing", "made_on"): when,
        ("Pack", "opened"): when,
        ("Pack", "best_before"): when,
        ("Companion", "text"): {"pattern": "\\S"},
    }
    described = shapes.schema(kind, own_checks)
    version = {"description": "version of the form of this file", "type": "integer", "minimum": 1, "maximum": VERSION}
    return {
        "$schema": shapes.DRAFT,
        "$id": f"urn:histkit:record:{VERSION}",
        "title": "histkit record: a formula with all choices made about it",
        **described,
        "properties": {MARK: version, **described["properties"]},
        "required": [MARK],
    }
