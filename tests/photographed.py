"""What became of each line of a set page after it was photographed and read: compared with what was set."""

from __future__ import annotations

from dataclasses import dataclass

import printed_pages as pages
from rapidfuzz import fuzz

import histkit
from histkit import photo
from histkit.base.errors import ReadingError

NEAR = 60
"""Likeness of names, 0 to 100, from which a line read is taken for the line set."""


@dataclass(frozen=True)
class Judged:
    """What became of one line: `fate` is "right", "wrong" or "lost"; `by_photo`, `by_reader` whether a doubt marks it; `shown`
    whether its words are shown as unread or unused."""

    key: pages.Key
    fate: str
    read: str
    by_photo: bool
    by_reader: bool
    shown: bool


def judged(seen: photo.PhotoText, keys: tuple[pages.Key, ...]) -> list[Judged]:
    """Each set line with its fate."""
    try:
        formula = histkit.read(seen.text)
    except ReadingError:
        left = " ".join(word.text for word in (*seen.words, *seen.unread))
        return [Judged(key, "lost", "", False, False, fuzz.partial_ratio(key.name.lower(), left.lower()) > NEAR) for key in keys]
    lines, doubts = list(formula.lines), photo.doubts_of(seen, formula)
    pairs = _paired(keys, [line.ingredient for line in lines])
    unused = " ".join(word.text for word in photo.unused(seen, formula)).lower()
    out = []
    for number, key in enumerate(keys):
        if (at := pairs.get(number)) is None:
            within = any(fuzz.partial_ratio(key.name.lower(), line.raw.lower()) > 80 for line in lines)
            shown = fuzz.partial_ratio(key.name.lower(), unused) > NEAR
            marked = within and any(
                doubts[n] or line.doubts for n, line in enumerate(lines) if fuzz.partial_ratio(key.name.lower(), line.raw.lower()) > 80
            )
            out.append(Judged(key, "lost", "", bool(marked), False, shown))
            continue
        line = lines[at]
        right = line.amount is not None and isinstance(line.amount, float | int) and abs(line.amount - key.amount) < 1e-6 and line.unit == key.unit
        reader = bool(line.doubts)
        out.append(Judged(key, "right" if right else "wrong", f"{line.measure_text()} | {line.raw!r}", bool(doubts[at]), reader, False))
    return out


def _paired(keys: tuple[pages.Key, ...], names: list[str]) -> dict[int, int]:
    """Set line → read line, the likeliest names first, each once."""
    scores = sorted(
        ((fuzz.ratio(key.name.lower(), name.lower()), k, n) for k, key in enumerate(keys) for n, name in enumerate(names)),
        key=lambda row: (-row[0], row[1], row[2]),
    )
    pairs: dict[int, int] = {}
    for score, k, n in scores:
        if score >= NEAR and k not in pairs and n not in pairs.values():
            pairs[k] = n
    return pairs
