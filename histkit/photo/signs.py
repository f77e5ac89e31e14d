"""℥ ʒ ℈, which no engine has: told by the shape of their ink, where a number stands behind them.

`sign_shapes.csv` holds how they look in faces that have them, and what may be taken for them (`tests/sign_shapes.py` makes it).
What is read so is always doubted. All lengths are pixels of the levelled picture.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING

import numpy as np

from histkit.base import tables
from histkit.photo.engines import cells_of
from histkit.photo.extras import needed
from histkit.photo.lines import PrintedLine
from histkit.photo.shapes import Edges, around, on_line, ruling_of
from histkit.photo.witnesses import is_amount

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.pieces import Pieces

ACROSS, DOWN = 8, 12
"""The fields into which the box of a shape is divided."""
OUTLINE = 2.0
"""How much width, rise and fall count beside one field (own judgement)."""
SURE = 0.92
"""How near the nearest sign must be, as a share of the distance of the nearest letter (own judgement)."""
TOLD = "sign told"
"""The kind of doubt of such a word."""
_NUMBER = re.compile(r"(?:[ivxlj]{1,6}|[0-9OIl]{1,3})?(?:ss|[½¼¾⅓⅔⅛⅜]|[0-9]/[0-9])?[.,;:]*", re.IGNORECASE)
_STEPS = 15


@dataclass(frozen=True, slots=True, eq=False)
class Shapes:
    """The middles of all shapes (n × fields), and the sign of each, '' for a letter or figure."""

    features: NDArray[np.float64]
    signs: tuple[str, ...]


@cache
def _shapes() -> Shapes:
    rows = list(tables.read("photo/sign_shapes"))
    features = [
        [*(int(step, 16) / _STEPS for step in row["shape"]), *(OUTLINE * float(row[side]) for side in ("width", "rise", "fall"))]
        for row in rows
    ]
    return Shapes(np.array(features), tuple(row["sign"] for row in rows))


@cache
def _perhaps() -> dict[str, str]:
    return {row["seen"]: row["perhaps"] for row in tables.read("photo/signs")}


def seen_as(ink: NDArray[np.bool_], box: Edges, foot: float, letter: float) -> NDArray[np.float64]:
    """The features of the ink within a box: how dark each field is, then its width, its rise over the foot, its fall below it."""
    cv2 = needed("cv2")
    left, top, right, bottom = (round(edge) for edge in box)
    cut = ink[max(0, top) : max(bottom, top + 1), max(0, left) : max(right, left + 1)].astype(np.float32)
    fields = cv2.resize(cut, (ACROSS, DOWN), interpolation=cv2.INTER_AREA)
    outline = np.array([right - left, foot - top, bottom - foot], dtype=np.float64) / letter
    return np.concatenate([fields.astype(np.float64).ravel(), OUTLINE * outline])


def coded(features: NDArray[np.float64]) -> list[str]:
    """Features as they stand in the table: width, rise, fall, and a hexadecimal figure for each field."""
    fields = "".join(f"{round(float(value) * _STEPS):x}" for value in features[: ACROSS * DOWN])
    return [*(f"{value / OUTLINE:.2f}" for value in features[ACROSS * DOWN :]), fields]


def sign_of(features: NDArray[np.float64]) -> str:
    """The sign that ink of these features is; '' where it is none, or a letter as likely."""
    shapes = _shapes()
    apart = np.sqrt(np.square(shapes.features - features).sum(axis=1))
    is_sign = np.array([bool(sign) for sign in shapes.signs])
    best = int(np.argmin(np.where(is_sign, apart, np.inf)))
    return shapes.signs[best] if apart[best] < SURE * apart[~is_sign].min() else ""


def with_signs(lines: Sequence[PrintedLine], pieces: Pieces, ink: NDArray[np.bool_], letter: float) -> list[PrintedLine]:
    """The lines with a sign wherever a number stands behind a shape that is one; such a word keeps in `was` how it was read."""
    if letter <= 0:
        return list(lines)
    made = []
    for line in lines:
        own = on_line(pieces, line.level, line.left - letter, line.right + letter, letter)
        ruling = ruling_of(own, letter)
        words = list(line.words)
        for number, word in enumerate(words):
            behind = words[number + 1].text if number + 1 < len(words) else ""
            place = None if word.was else _before_number(word.text, behind)
            if place is None:
                continue
            left, right = cells_of(word)[place]
            sign = _perhaps().get(word.text[place], "")
            if ruling is not None and (box := _ink_at(own, left, right, letter)) is not None:
                sign = sign_of(seen_as(ink, box, ruling.foot, letter)) or sign
            if sign:
                text = word.text[:place] + sign + word.text[place + 1 :]
                words[number] = replace(word, text=text, was=word.text, kind=TOLD)
        made.append(replace(line, words=tuple(words)))
    return made


def _before_number(text: str, behind: str) -> int | None:
    """Where in a word a sign may stand: the letter that begins a word, or what follows a stop or comma in it, with nothing but a
    number behind it, in the word or as the next one; figures before a unit are one number."""
    start = max((n + 1 for n, letter in enumerate(text[:-1]) if not letter.isalnum() and letter not in _perhaps()), default=0)
    rest = text[start + 1 :]
    if start >= len(text) or not (text[start].isalnum() or text[start] in _perhaps()):
        return None
    if rest.strip(".,;:"):
        one_number = text[start].isdigit() and rest.strip(".,;:").isdigit() and is_amount(behind)  # '30' before 'grains'
        return start if _NUMBER.fullmatch(rest) and not one_number else None
    return start if behind.strip(".,;:") and _NUMBER.fullmatch(behind) else None


def _ink_at(own: Pieces, left: float, right: float, letter: float) -> Edges | None:
    """The box of the large ink at a letter's place, with what stands over and under it; None where there is none."""
    edges = own.edges
    middle = (edges[:, 0] + edges[:, 2]) / 2
    large = (own.height >= 0.8 * letter) & (own.width <= 2 * letter)
    off = np.where(large, np.abs(middle - (left + right) / 2), np.inf)
    if not len(off) or off.min() > 0.6 * letter:
        return None
    main = edges[int(np.argmin(off))]
    shared = np.minimum(edges[:, 2], main[2]) - np.maximum(edges[:, 0], main[0])
    return around(edges[shared > 0.6 * np.minimum(own.width, main[2] - main[0])])
