"""Ink as the shapes that it is made of, and stretches of print widened to the ink that belongs to them.

The first engine's search for print often stops short of a small figure beside a unit, or of a fraction set one figure over the
other: the ink says where the print really ends. All lengths are pixels of the prepared picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from histkit.photo.extras import needed

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.preparing import Prepared

MOST_PIECES = 60_000
BLANK = 1.3
"""A blank between two words at most, in heights of a small letter."""
MOST_OVERLOOKED = 80
"""Stretches that are looked at once more; where there are more of them it is dirt."""


@dataclass(frozen=True, slots=True, eq=False)
class Pieces:
    """The connected pieces of ink: left, top, right, bottom of each (n × 4), and their area."""

    edges: NDArray[np.float64]
    area: NDArray[np.float64]

    def __len__(self) -> int:
        return len(self.area)

    @property
    def height(self) -> NDArray[np.float64]:
        """The height of each."""
        high: NDArray[np.float64] = self.edges[:, 3] - self.edges[:, 1]
        return high

    @property
    def width(self) -> NDArray[np.float64]:
        """The width of each."""
        wide: NDArray[np.float64] = self.edges[:, 2] - self.edges[:, 0]
        return wide

    def chosen(self, which: NDArray[np.bool_]) -> Pieces:
        """Some of them."""
        return Pieces(self.edges[which], self.area[which])


def pieces_of(prepared: Prepared) -> Pieces:
    """The pieces of ink of a prepared picture, without specks and what is far too large for print."""
    cv2 = needed("cv2")
    _, _, stats, _ = cv2.connectedComponentsWithStats(prepared.ink.astype(np.uint8), connectivity=8)
    left, top, width, height, area = (stats[1:, n].astype(np.float64) for n in range(5))
    letter = prepared.letter or 20.0
    kept = (area >= max(6.0, 0.015 * letter * letter)) & (height <= 4 * letter) & (width <= 8 * letter)
    edges = np.stack([left, top, left + width, top + height], axis=1)[kept][:MOST_PIECES]
    return Pieces(edges, area[kept][:MOST_PIECES])


def widened(corners: NDArray[np.float64], pieces: Pieces, letter: float) -> NDArray[np.float64]:
    """The stretches (n × 4 × 2), each grown sideways over the ink beside it, and those of one line that then meet made one.

    Ink counts that is at most a blank away and about as high as print. Where the letter's height is not known nothing changes.
    """
    if letter <= 0 or not len(corners):
        return corners
    grown = [_grown(quad, pieces, letter) for quad in corners]
    return np.array(_met(grown, letter))


def overlooked(corners: NDArray[np.float64], pieces: Pieces, letter: float) -> NDArray[np.float64]:
    """Stretches (n × 4 × 2) of ink as large as print that lie in none of the given ones: what the search for print has missed."""
    if letter <= 0:
        return np.zeros((0, 4, 2))
    edges = pieces.edges
    x, y = (edges[:, 0] + edges[:, 2]) / 2, (edges[:, 1] + edges[:, 3]) / 2
    free = (pieces.height >= 0.45 * letter) & (pieces.height <= 2.6 * letter) & (pieces.width <= 4 * letter)
    for quad in corners:
        (left, top), (right, bottom) = quad.min(axis=0), quad.max(axis=0)
        free &= ~((x >= left - 2) & (x <= right + 2) & (y >= top) & (y <= bottom))
    clusters: list[list[float]] = []
    for left, top, right, bottom in edges[free][np.argsort(edges[free][:, 0], kind="stable")]:
        for box in clusters:
            apart = max(left - box[2], box[0] - right)
            if apart <= BLANK * letter and min(bottom, box[3]) - max(top, box[1]) > -0.3 * letter:
                box[:] = [min(box[0], left), min(box[1], top), max(box[2], right), max(box[3], bottom)]
                break
        else:
            clusters.append([left, top, right, bottom])
    margin = 0.3 * letter
    found = []
    for left, top, right, bottom in clusters:
        if right - left >= 0.8 * letter and 0.8 * letter <= bottom - top <= 3.2 * letter:
            a, b, c, d = left - margin, top - margin, right + margin, bottom + margin
            found.append([[a, b], [c, b], [c, d], [a, d]])
    return np.array(found[:MOST_OVERLOOKED], dtype=np.float64).reshape(-1, 4, 2)


def _grown(quad: NDArray[np.float64], pieces: Pieces, letter: float) -> NDArray[np.float64]:
    height = float(np.linalg.norm(quad[0] - quad[3]) + np.linalg.norm(quad[1] - quad[2])) / 2
    across = quad[1] - quad[0]
    if height < 0.8 * letter or abs(across[1]) > 0.2 * abs(across[0]):
        return quad
    slope = float(across[1] / across[0])
    left, right = float((quad[0, 0] + quad[3, 0]) / 2), float((quad[1, 0] + quad[2, 0]) / 2)
    centre = float(quad[:, 1].mean())
    middle_x = (left + right) / 2
    edges = pieces.edges
    x, y = (edges[:, 0] + edges[:, 2]) / 2, (edges[:, 1] + edges[:, 3]) / 2
    beside = np.abs(y - (centre + slope * (x - middle_x))) <= 0.5 * height
    beside &= (pieces.height >= 0.2 * letter) | (pieces.width >= 0.3 * letter)
    beside &= (pieces.height <= 2.6 * letter) & (pieces.width <= 4 * letter)
    near = edges[beside]
    reach = 0.95 * letter
    for edge in near[np.argsort(-near[:, 2])]:
        if edge[0] < left <= edge[2] + reach:
            left = float(edge[0])
    for edge in near[np.argsort(near[:, 0])]:
        if edge[2] > right >= edge[0] - reach:
            right = float(edge[2])
    ends = ((quad[0, 0] + quad[3, 0]) / 2, (quad[1, 0] + quad[2, 0]) / 2)
    made = quad.copy()
    before, behind = left - ends[0] - 2 * (left < ends[0]), right - ends[1] + 2 * (right > ends[1])
    for corners, moved in (((0, 3), before), ((1, 2), behind)):
        for corner in corners:
            made[corner] = quad[corner] + np.array([moved, slope * moved])
    return made


def _met(quads: list[NDArray[np.float64]], letter: float) -> list[NDArray[np.float64]]:
    """Stretches of one line that overlap or stand less than a blank apart, made one."""
    waiting = sorted(quads, key=lambda quad: (float(quad[:, 0].min()), float(quad[:, 1].min())))
    made: list[NDArray[np.float64]] = []
    for quad in waiting:
        for number, other in enumerate(made):
            if _one_stretch(other, quad, letter):
                made[number] = _around(other, quad)
                break
        else:
            made.append(quad)
    return made


def _one_stretch(one: NDArray[np.float64], other: NDArray[np.float64], letter: float) -> bool:
    gap = float(other[:, 0].min() - one[:, 0].max())
    if gap > 0.6 * letter:
        return False
    high, low = _side(one, 1, 2), _side(other, 0, 3)
    shared = min(high[1], low[1]) - max(high[0], low[0])
    smaller = min(high[1] - high[0], low[1] - low[0])
    larger = max(high[1] - high[0], low[1] - low[0])
    if gap < -2.5 * letter and smaller > 0.8 * larger:
        return shared > 0.8 * smaller
    return shared > 0.6 * smaller


def _side(quad: NDArray[np.float64], upper: int, lower: int) -> tuple[float, float]:
    return float(quad[upper, 1]), float(quad[lower, 1])


def _around(one: NDArray[np.float64], other: NDArray[np.float64]) -> NDArray[np.float64]:
    """A stretch that holds both: as sloped as the wider of them."""
    wide = max((one, other), key=lambda quad: float(np.ptp(quad[:, 0])))
    slope = float((wide[1, 1] - wide[0, 1]) / max(1.0, wide[1, 0] - wide[0, 0]))
    points = np.vstack([one, other])
    level = points[:, 1] - slope * points[:, 0]
    left, right = float(points[:, 0].min()), float(points[:, 0].max())
    top, bottom = float(level.min()), float(level.max())
    return np.array([
        [left, top + slope * left], [right, top + slope * right], [right, bottom + slope * right], [left, bottom + slope * left],
    ])  # fmt: skip
