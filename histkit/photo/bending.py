"""Lines that are not level made level: pages of a book bend towards its back, and a telephone sees them from one side.

The small letters of each line are followed from letter to letter; how far their feet rise and fall across the picture is one
smooth surface. Only heights are changed. All lengths are pixels of the prepared picture.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import pairwise
from typing import TYPE_CHECKING

import numpy as np

from histkit.photo.extras import needed
from histkit.photo.pieces import pieces_of

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.preparing import Prepared

ACROSS, DOWN = 3, 2
"""Powers of the surface across and down the picture: a page bends one way, and falls otherwise at its foot than at its head."""
STIFF = 3e-4
"""How much a bend must explain before it is believed (own judgement; tried on rendered pages and two photographs)."""
LEAST_LETTERS = 6
"""Letters of a line that is followed, at least."""
MOST_LETTERS = 6000
STEEPEST = 0.3
"""How much lines may be drawn apart or together at most; a fit that asks for more is none."""
UNSEEN = 0.05
"""Heights of a small letter by which lines may fall on their whole way before it matters."""


@dataclass(frozen=True, slots=True, eq=False)
class Bend:
    """How far each place lies below the level of its line: a polynomial of the place across (powers from 1) and of the level
    (powers from 0), both as shares of `reach` around `middle`, held at ±1 beyond. `offset` is the level of the upper edge of the
    levelled picture.
    """

    terms: NDArray[np.float64] = field(default_factory=lambda: np.zeros((ACROSS, DOWN + 1)))
    middle: tuple[float, float] = (0.0, 0.0)
    reach: tuple[float, float] = (1.0, 1.0)
    offset: float = 0.0

    def below(self, x: NDArray[np.float64], level: NDArray[np.float64]) -> NDArray[np.float64]:
        """How far below its level a place is: at `x`, on the line of that level of the picture before (without the offset)."""
        u = np.clip((x - self.middle[0]) / self.reach[0], -1.0, 1.0)
        w = np.clip((level - self.middle[1]) / self.reach[1], -1.0, 1.0)
        found = np.zeros(np.broadcast(u, w).shape)
        for k in range(ACROSS):
            for m in range(DOWN + 1):
                if self.terms[k, m]:
                    found = found + self.terms[k, m] * u ** (k + 1) * w**m
        return found

    def level(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Places (… × 2) of the picture on the levelled one."""
        x, y = points[..., 0], points[..., 1]
        level = y
        for _ in range(12):  # each step leaves at most `STEEPEST` of what was wrong
            level = y - self.below(x, level)
        return np.stack([x, level - self.offset], axis=-1)

    def back(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Places (… × 2) of the levelled picture on the one before."""
        x, level = points[..., 0], points[..., 1] + self.offset
        return np.stack([x, level + self.below(x, level)], axis=-1)

    def most(self, shape: tuple[int, int]) -> float:
        """By how much a place of a picture of this height and width lies off its level at most."""
        x, level = np.meshgrid(np.linspace(0, shape[1], 25), np.linspace(0, shape[0], 25))
        return float(np.abs(self.below(x, level)).max())


def bend_of(prepared: Prepared) -> Bend:
    """How the lines of a picture bend, from the feet of their small letters; none where too few can be followed."""
    letter = prepared.letter
    rows = _followed(prepared, letter) if letter > 0 else []
    if len(rows) < 2:
        return Bend()
    x, y = np.concatenate([row[:, 0] for row in rows]), np.concatenate([row[:, 1] for row in rows])
    middle = (float((x.min() + x.max()) / 2), float((y.min() + y.max()) / 2))
    reach = (max(1.0, float(np.ptp(x)) / 2), max(4 * letter, float(np.ptp(y)) / 2))
    bend = Bend(middle=middle, reach=reach)
    for powers_down in (DOWN, 0):
        fitted = _fitted(bend, rows, letter, powers_down)
        if _believable(fitted):
            return fitted
    return Bend()


def _followed(prepared: Prepared, letter: float) -> list[NDArray[np.float64]]:
    """The feet (n × 2) of the small letters of each line, from left to right."""
    pieces = pieces_of(prepared)
    small = (pieces.height >= 0.75 * letter) & (pieces.height <= 1.3 * letter) & (pieces.width <= 2.5 * letter)
    edges = pieces.edges[small]
    if len(edges) > MOST_LETTERS:
        return []
    edges = edges[np.argsort(edges[:, 0], kind="stable")]
    behind = _next_letters(edges, letter)
    started = set(range(len(edges))) - set(behind.values())
    rows = []
    for number in sorted(started):
        row = [number]
        while row[-1] in behind:
            row.append(behind[row[-1]])
        if len(row) >= LEAST_LETTERS:
            chosen = edges[row]
            rows.append(np.stack([(chosen[:, 0] + chosen[:, 2]) / 2, chosen[:, 3]], axis=-1))
    return rows


def _next_letters(edges: NDArray[np.float64], letter: float) -> dict[int, int]:
    """The next letter of each, where there is one: the nearest to the right on about the same foot, each taken once."""
    wishes = []
    for number, (_, _, right, foot) in enumerate(edges):
        first, last = np.searchsorted(edges[:, 0], [right - 0.3 * letter, right + 3 * letter])
        first = max(int(first), number + 1)
        near = edges[first:last]
        gap, step = np.maximum(near[:, 0] - right, 0.0), np.abs(near[:, 3] - foot)
        fits = step <= 0.25 * letter + 0.12 * gap
        wishes += [(float(gap[n] + 4 * step[n]), number, first + int(n)) for n in np.flatnonzero(fits)]
    behind: dict[int, int] = {}
    taken: set[int] = set()
    for _, number, other in sorted(wishes):
        if number not in behind and other not in taken:
            behind[number] = other
            taken.add(other)
    return behind


def _fitted(bend: Bend, rows: list[NDArray[np.float64]], letter: float, powers_down: int) -> Bend:
    """The surface that makes the feet of each row level: least squares, what does not fit counting less and less."""
    levels = [float(np.median(row[:, 1])) for row in rows]
    weights = [np.ones(len(row)) for row in rows]
    terms = [(k, m) for k in range(ACROSS) for m in range(powers_down + 1)]
    stiffness = np.array([STIFF * (1 + k + m) ** 3 for k, m in terms])
    for _ in range(5):
        matrix, wanted = [], []
        for row, level, weight in zip(rows, levels, weights, strict=True):
            u = np.clip((row[:, 0] - bend.middle[0]) / bend.reach[0], -1.0, 1.0)
            w = min(1.0, max(-1.0, (level - bend.middle[1]) / bend.reach[1]))
            columns = np.stack([u ** (k + 1) * w**m for k, m in terms], axis=-1)
            share = weight / weight.sum()
            root = np.sqrt(weight)[:, None]
            matrix.append((columns - share @ columns) * root)
            wanted.append((row[:, 1] - share @ row[:, 1]) * root[:, 0])
        a, b = np.vstack(matrix), np.concatenate(wanted)
        found = np.linalg.solve(a.T @ a + np.diag(stiffness * len(b)), a.T @ b)
        surface = np.zeros((ACROSS, DOWN + 1))
        for (k, m), value in zip(terms, found, strict=True):
            surface[k, m] = value
        bend = replace(bend, terms=surface)
        off = [row[:, 1] - bend.below(row[:, 0], np.full(len(row), level)) for row, level in zip(rows, levels, strict=True)]
        levels = [float(np.median(feet)) for feet in off]
        weights = [1 / (1 + ((feet - level) / (0.15 * letter)) ** 2) for feet, level in zip(off, levels, strict=True)]
    return bend


def _believable(bend: Bend) -> bool:
    """Whether it draws no two lines together or apart by more than any page is seen."""
    (x, y), (wide, high) = bend.middle, bend.reach
    across, levels = np.linspace(x - wide, x + wide, 21), np.linspace(y - high, y + high, 21)
    placed = np.stack([level + bend.below(across, np.full(21, level)) for level in levels])
    return all(float(np.abs((lower - upper) * 10 / high - 1).max()) < STEEPEST for upper, lower in pairwise(placed))


def levelled(prepared: Prepared, bend: Bend) -> Prepared:
    """The picture with its lines made level; as it is where they fall by next to nothing on their whole way."""
    cv2 = needed("cv2")
    height, width = prepared.grey.shape
    if bend.most((height, width)) < UNSEEN * max(prepared.letter, 1.0):
        return prepared
    across = np.linspace(0.0, float(width), 60)
    top, bottom = (bend.level(np.stack([across, np.full(60, float(edge))], axis=-1))[:, 1] for edge in (0, height))
    bend = replace(bend, offset=float(top.min()))
    tall = int(np.ceil(bottom.max() - top.min())) + 1
    x, level = np.meshgrid(np.arange(width, dtype=np.float64), np.arange(tall, dtype=np.float64))
    source = bend.back(np.stack([x, level], axis=-1)).astype(np.float32)
    maps = source[..., 0], source[..., 1]
    kept = {"interpolation": cv2.INTER_CUBIC, "borderMode": cv2.BORDER_REPLICATE}
    colour, grey = cv2.remap(prepared.colour, *maps, **kept), cv2.remap(prepared.grey, *maps, **kept)
    ink = cv2.remap(prepared.ink.astype(np.uint8), *maps, interpolation=cv2.INTER_NEAREST).astype(bool)
    return replace(prepared, colour=colour, grey=grey, ink=ink, bend=bend)
