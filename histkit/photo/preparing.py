"""A picture made ready for the engines: even light, level lines, letters of one height, no leaders.

All lengths are pixels. A picture is prepared by one matrix, so that every place on it can be found again on the upright picture.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

from histkit.photo.bending import Bend
from histkit.photo.extras import needed

if TYPE_CHECKING:
    from numpy.typing import NDArray

    Pixels = NDArray[np.uint8]
    Matrix = NDArray[np.float64]

SMALL_LETTER = 20.0
"""The height to which a small letter (x) is brought; capitals are then about 30 high, as the second engine likes them."""
MOST_PIXELS = 9_000_000
"""Pixels of a prepared picture at most, so that time and memory stay bounded."""
MOST_SKEW = 8.0
"""Degrees to either side that lines are levelled by."""
LEADER = 5
"""Dots of a leader at least."""
MOST_SPECKS = 20_000
"""With more specks than these it is dirt, or a picture, and no leaders are looked for."""
_SMALL = 700
"""Pixels of the longer side on which the skew is looked for."""


@dataclass(frozen=True, slots=True, eq=False)
class Prepared:
    """`colour` (RGB) for the first engine, `grey` with even light for the second, and where there is `ink`; all without leaders.

    `matrix` (2 × 3) leads from the upright picture to these, then `bend` makes the lines level; `letter` is the height of a small
    letter on them, 0 where nothing was found.
    """

    colour: Pixels
    grey: Pixels
    ink: NDArray[np.bool_]
    matrix: Matrix
    letter: float
    bend: Bend

    def back(self, points: NDArray[np.float64]) -> NDArray[np.float64]:
        """Points (n × 2) of the prepared picture on the upright one."""
        whole = np.vstack([self.matrix, [0.0, 0.0, 1.0]])
        ones = np.hstack([self.bend.back(points), np.ones((len(points), 1))])
        placed: NDArray[np.float64] = (ones @ np.linalg.inv(whole).T)[:, :2]
        return placed


def prepared(pixels: Pixels, origin: tuple[int, int] = (0, 0), quarter_turns: int = 0) -> Prepared:
    """`pixels` (RGB, a part of the upright picture with its left upper corner at `origin`) made ready.

    `quarter_turns` turns it clockwise first, for pages that were photographed from the side or upside down.
    """
    matrix = np.array([[1.0, 0.0, -origin[0]], [0.0, 1.0, -origin[1]]])
    height, width = pixels.shape[:2]
    for _ in range(quarter_turns % 4):
        matrix = _joined(np.array([[0.0, -1.0, height - 1.0], [1.0, 0.0, 0.0]]), matrix)
        pixels = np.ascontiguousarray(np.rot90(pixels, -1))
        height, width = width, height
    rough = min(1.0, (MOST_PIXELS / (height * width)) ** 0.5)
    looked = _scaled(pixels, rough)
    even = even_light(_grey(looked))
    black = inked(even)
    angle, letter = skew_of(black), letter_height(black)
    scale = _scale_for(letter, rough, height * width)
    turn = _levelling(angle, scale, width, height)
    size = _size_of(turn, width, height)
    colour = _warped(pixels, turn, size)
    level = even_light(_grey(colour))
    final = letter * scale / rough
    ink = inked(level)
    dots = leaders(ink, final)
    cleared = level.copy()
    cleared[dots] = 255
    return Prepared(_painted(colour, dots), cleared, ink & ~dots, _joined(turn, matrix), final, Bend())


def _scale_for(letter: float, rough: float, pixels: int) -> float:
    """By what the given picture is enlarged so that a small letter has its height, within bounds."""
    wanted = SMALL_LETTER / (letter / rough) if letter else 1.0
    wanted = min(max(wanted, 0.25), 4.0)
    if 0.8 <= wanted <= 1.25:  # not worth another blur
        wanted = 1.0
    return min(wanted, float((MOST_PIXELS / pixels) ** 0.5))


def _joined(after: Matrix, before: Matrix) -> Matrix:
    whole = np.vstack([after, [0.0, 0.0, 1.0]]) @ np.vstack([before, [0.0, 0.0, 1.0]])
    first: Matrix = whole[:2]
    return first


def _scaled(pixels: Pixels, scale: float) -> Pixels:
    cv2 = needed("cv2")
    if scale >= 1:
        return pixels
    made: Pixels = cv2.resize(pixels, None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    return made


def _levelling(angle: float, scale: float, width: int, height: int) -> Matrix:
    """The turn about the middle by `angle` degrees and the enlargement, moved so that nothing is cut off."""
    cv2 = needed("cv2")
    turn: Matrix = cv2.getRotationMatrix2D(((width - 1) / 2, (height - 1) / 2), angle, scale)
    corners = np.array([[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]], dtype=np.float64)
    turned = corners @ turn[:, :2].T + turn[:, 2]
    turn[:, 2] -= turned.min(axis=0)
    return turn


def _size_of(turn: Matrix, width: int, height: int) -> tuple[int, int]:
    corners = np.array([[0, 0], [width - 1, 0], [width - 1, height - 1], [0, height - 1]], dtype=np.float64)
    turned = corners @ turn[:, :2].T + turn[:, 2]
    across, down = np.ceil(turned.max(axis=0)).astype(int) + 1
    return max(1, int(across)), max(1, int(down))


def _warped(pixels: Pixels, turn: Matrix, size: tuple[int, int]) -> Pixels:
    cv2 = needed("cv2")
    scale = float(np.hypot(turn[0, 0], turn[1, 0]))
    if scale < 0.7:  # made smaller: every pixel counts, or thin strokes are lost
        small = _scaled(pixels, scale)
        rest = turn.copy()
        rest[:, :2] /= scale
        made: Pixels = cv2.warpAffine(small, rest, size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
        return made
    if np.allclose(turn, [[1, 0, 0], [0, 1, 0]]):
        return pixels
    made = cv2.warpAffine(pixels, turn, size, flags=cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)
    return made


def _grey(pixels: Pixels) -> Pixels:
    cv2 = needed("cv2")
    grey: Pixels = cv2.cvtColor(pixels, cv2.COLOR_RGB2GRAY)
    return grey


def even_light(grey: Pixels) -> Pixels:
    """The picture divided by its paper: what the brightest around each place shows, smoothed."""
    cv2 = needed("cv2")
    small = cv2.resize(grey, None, fx=0.25, fy=0.25, interpolation=cv2.INTER_AREA) if min(grey.shape) > 64 else grey
    reach = max(3, min(15, min(small.shape) // 4 * 2 - 1))
    paper = cv2.medianBlur(cv2.dilate(small, np.ones((reach, reach), np.uint8)), _odd(min(31, min(small.shape) - 1)))
    paper = cv2.resize(paper, (grey.shape[1], grey.shape[0]), interpolation=cv2.INTER_LINEAR)
    even = np.clip(grey.astype(np.float32) * 255 / np.maximum(paper, 24), 0, 255)
    made: Pixels = even.astype(np.uint8)
    return made


def _odd(number: int) -> int:
    return max(3, number if number % 2 else number - 1)


def inked(even: Pixels) -> NDArray[np.bool_]:
    """Where ink stands: darker than halfway between ink and paper (Otsu), never paler than a quarter below the paper."""
    cv2 = needed("cv2")
    threshold, _ = cv2.threshold(even, 0, 255, cv2.THRESH_BINARY + cv2.THRESH_OTSU)
    black: NDArray[np.bool_] = even <= min(float(threshold), 191.0)
    return black


def skew_of(ink: NDArray[np.bool_]) -> float:
    """Degrees by which lines fall to the right (0 where none can be found): where the rows of ink stand out most."""
    cv2 = needed("cv2")
    scale = min(1.0, _SMALL / max(ink.shape))
    small = cv2.resize(ink.astype(np.float32), None, fx=scale, fy=scale, interpolation=cv2.INTER_AREA)
    if small.sum() < 30 or min(small.shape) < 16:
        return 0.0
    height, width = small.shape

    def contrast(angle: float) -> float:
        turn = cv2.getRotationMatrix2D((width / 2, height / 2), angle, 1.0)
        rows = cv2.warpAffine(small, turn, (width, height)).sum(axis=1)
        return float(np.square(np.diff(rows)).sum())

    best = 0.0
    for step, reach in ((1.0, MOST_SKEW), (0.25, 1.0), (0.1, 0.25)):
        angles = [best + step * n for n in range(-round(reach / step), round(reach / step) + 1)]
        best = max(angles, key=lambda angle: (contrast(angle), -abs(angle)))
    return best if contrast(best) > 1.05 * contrast(0.0) else 0.0


def letter_height(ink: NDArray[np.bool_]) -> float:
    """The height of a small letter: the commonest height of pieces of ink that may be letters; 0 where there are too few."""
    heights = _letters(ink)
    if len(heights) < 8:
        return 0.0
    counts = np.bincount(heights, minlength=4).astype(np.float64)
    smooth = np.convolve(counts, [0.5, 1.0, 0.5], mode="same")
    return float(np.argmax(smooth))


def _letters(ink: NDArray[np.bool_]) -> NDArray[np.int64]:
    """Heights of the pieces of ink that may be letters."""
    cv2 = needed("cv2")
    _, _, stats, _ = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    width, height, area = (stats[1:, n].astype(np.int64) for n in (cv2.CC_STAT_WIDTH, cv2.CC_STAT_HEIGHT, cv2.CC_STAT_AREA))
    likely = (height >= 6) & (height <= ink.shape[0] // 4) & (width >= 0.25 * height) & (width <= 3 * height)
    likely &= area >= 0.12 * width * height
    likely &= (area < 0.68 * width * height) | (width < 0.6 * height) | (width > 1.6 * height)  # no dots of leaders, no specks
    found: NDArray[np.int64] = height[likely]
    return found


def leaders(ink: NDArray[np.bool_], letter: float) -> NDArray[np.bool_]:
    """Where rows of dots stand: specks on one line, a letter or so apart, none larger than a full stop, at least `LEADER` of
    them; with a little of their surroundings."""
    cv2 = needed("cv2")
    none = np.zeros_like(ink)
    if letter <= 0:
        return none
    _, labels, stats, middles = cv2.connectedComponentsWithStats(ink.astype(np.uint8), connectivity=8)
    across, down = stats[:, cv2.CC_STAT_WIDTH], stats[:, cv2.CC_STAT_HEIGHT]
    speck = (across <= 0.45 * letter) & (down <= 0.45 * letter) & (stats[:, cv2.CC_STAT_AREA] >= 2)
    speck[0] = False
    numbers = np.flatnonzero(speck)
    if len(numbers) > MOST_SPECKS:
        return none
    gone = [number for row in _rows_of_dots(middles[numbers], letter) for number in numbers[row]]
    if not gone:
        return none
    chosen = np.zeros(len(stats), dtype=bool)
    chosen[gone] = True
    wide: NDArray[np.bool_] = cv2.dilate(chosen[labels].astype(np.uint8), np.ones((5, 5), np.uint8)).astype(bool)
    return wide


def _painted(colour: Pixels, where: NDArray[np.bool_]) -> Pixels:
    """These places painted over with the paper around them."""
    if not where.any():
        return colour
    cv2 = needed("cv2")
    paper = cv2.dilate(cv2.medianBlur(colour, 3), np.ones((15, 15), np.uint8))
    made = colour.copy()
    made[where] = paper[where]
    return made


def _rows_of_dots(middles: NDArray[np.float64], letter: float) -> list[list[int]]:
    """The numbers of the dots of each leader: neighbours to the right, at most 1.6 letters on, on the same height."""
    rows: list[list[int]] = []
    ends: dict[int, list[int]] = {}
    for number in np.lexsort((middles[:, 1], middles[:, 0])):
        x, y = middles[number]
        band = int(y / letter)
        fitting = None
        for near in (band, band - 1, band + 1):
            for row in ends.get(near, ())[-8:]:
                last = middles[rows[row][-1]]
                if 0 < x - last[0] <= 1.6 * letter and abs(y - last[1]) <= 0.16 * letter:
                    fitting = row
        if fitting is None:
            fitting = len(rows)
            rows.append([])
            ends.setdefault(band, []).append(fitting)
        rows[fitting].append(int(number))
    return [row for row in rows if len(row) >= LEADER]
