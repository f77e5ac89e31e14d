"""What the shape of the ink says of a figure: a fraction set one figure over the other, or a sign that reaches below the line.

Such a place is marked; what the figures of a fraction are is read elsewhere, by an engine (`fractions`). All lengths are
pixels of the levelled picture.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from histkit.photo.pieces import Pieces

Edges = tuple[float, float, float, float]
"""Left, top, right, bottom."""
LEAST_FALL = 0.28
"""How far a sign reaches below the line, in heights of a small letter: a 3 that stands on it does not."""


@dataclass(frozen=True, slots=True)
class Ruling:
    """Where letters of a line stand: the foot of them and the top of its small ones."""

    foot: float
    small: float


def ruling_of(pieces: Pieces, letter: float) -> Ruling | None:
    """The ruling of a line from its pieces of ink; None where too few of them are letters."""
    level = pieces.edges[:, 3]
    likely = (pieces.height >= 0.75 * letter) & (pieces.height <= 2.2 * letter)
    if int(likely.sum()) < 3:
        return None
    foot = _commonest(level[likely], 0.12 * letter)
    return Ruling(foot, foot - letter)


def _commonest(values: NDArray[np.float64], reach: float) -> float:
    """The value that most others lie near."""
    best = max(values, key=lambda value: (int((np.abs(values - value) <= reach).sum()), -float(value)))
    near = values[np.abs(values - best) <= reach]
    return float(np.mean(near))


def on_line(pieces: Pieces, level: float, left: float, right: float, letter: float) -> Pieces:
    """The pieces that stand on a line with its middle at this level, between two places across."""
    edges = pieces.edges
    near = np.abs((edges[:, 1] + edges[:, 3]) / 2 - level) <= 1.2 * letter
    return pieces.chosen(near & (edges[:, 2] > left) & (edges[:, 0] < right))


def piled(pieces: Pieces, letter: float, ruling: Ruling) -> list[tuple[Edges, Edges, Edges]]:
    """Each short bar at half height that has a small figure over it and another under it: bar, upper figure, lower figure."""
    edges = pieces.edges
    bars = (pieces.height <= 0.28 * letter) & (pieces.width >= 0.35 * letter) & (pieces.width <= 1.9 * letter)
    bars &= pieces.width >= 2.2 * pieces.height
    found = []
    for bar in edges[bars]:
        height = (bar[1] + bar[3]) / 2 - ruling.foot
        if not -1.5 * letter < height < 0.1 * letter:
            continue
        shared = np.minimum(edges[:, 2], bar[2] + 0.15 * letter) - np.maximum(edges[:, 0], bar[0] - 0.15 * letter)
        near = (shared > 0.5 * pieces.width) & (pieces.height >= 0.35 * letter) & (pieces.height <= 1.35 * letter)
        above = near & (edges[:, 3] <= bar[1] + 0.2 * letter) & (edges[:, 3] >= bar[1] - 0.6 * letter)
        below = near & (edges[:, 1] >= bar[3] - 0.2 * letter) & (edges[:, 1] <= bar[3] + 0.6 * letter)
        if above.any() and below.any():
            found.append((around(bar[None, :]), around(edges[above]), around(edges[below])))
    return found


def around(edges: NDArray[np.float64]) -> Edges:
    """The box around several."""
    left, top = edges[:, :2].min(axis=0)
    right, bottom = edges[:, 2:].max(axis=0)
    return float(left), float(top), float(right), float(bottom)


def stacked(pieces: Pieces, left: float, right: float, letter: float, ruling: Ruling) -> bool:
    """Whether between these two places a fraction is set one figure over the other, or a pile of ink as high as one."""
    middle = (pieces.edges[:, 0] + pieces.edges[:, 2]) / 2
    inside = pieces.chosen((middle >= left - 0.4 * letter) & (middle <= right + 0.4 * letter))
    return bool(piled(inside, letter, ruling)) or _tall_pile(inside, letter, ruling)


def _tall_pile(pieces: Pieces, letter: float, ruling: Ruling) -> bool:
    """Whether a narrow pile of pieces, or one piece, reaches from the top of the capitals to below the foot of the line."""
    edges = pieces.edges
    for piece in edges:
        shared = np.minimum(edges[:, 2], piece[2]) - np.maximum(edges[:, 0], piece[0])
        pile = edges[(shared > 0.5 * np.minimum(pieces.width, piece[2] - piece[0])) & (pieces.width <= 1.4 * letter)]
        if not len(pile):
            continue
        top, bottom = float(pile[:, 1].min()), float(pile[:, 3].max())
        foot = ruling.foot
        if bottom >= foot + 0.25 * letter and top <= foot - 1.35 * letter and bottom - top >= 1.9 * letter:
            return True
    return False


def falls_below(pieces: Pieces, left: float, right: float, letter: float, ruling: Ruling) -> bool:
    """Whether the one large piece between these two places reaches below the foot of the line, as ʒ and ℥ do."""
    edges = pieces.edges
    middle = (edges[:, 0] + edges[:, 2]) / 2
    inside = (middle >= left) & (middle <= right) & (pieces.height >= 0.7 * letter)
    return any(edge[3] - ruling.foot >= LEAST_FALL * letter for edge in edges[inside])


def old_figures(falls: Sequence[tuple[str, bool]]) -> bool:
    """Whether the figures of this page are such as hang below the line (3 4 5 7 9), so that hanging says nothing.

    `falls` holds each figure with whether it hangs: 4, 5, 7 and 9 tell, since no sign looks like them.
    """
    telling = [hangs for figure, hangs in falls if figure in _HANGING]
    return len(telling) >= 2 and sum(telling) > 0.5 * len(telling)


_HANGING = "4579"
