"""Swatches out of a photograph: boxes drawn by the maker, the light corrected by a grey card or a colour card, or refused.

A picture is an array (height, width, 3) of linear red, green and blue; boxes are shares of its width and height.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from histkit.base.checking import is_number
from histkit.base.errors import BadValue, quoted
from histkit.shade.colour import Colour
from histkit.shade.study import Swatch

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray
    from PIL import Image

    Picture = NDArray[np.float64]

LEAST_PATCHES = 6
"""Patches from which a matrix of nine numbers can be fitted and judged."""
WORST_CARD = 3.0
"""Mean CIEDE2000 of the card's patches after correction, above which the light is refused (own judgement)."""
FLATTEST = 0.02
"""Least of the three strengths of a card's colours beside the greatest: below it all are of one hue (own judgement)."""
WORST_GREY = 0.02
"""How far the grey may differ between channels or across the picture, as a share, after correction (own judgement)."""
UNEVEN = 0.10
"""Spread of the brightness within a box, as a share of it, above which it is not one colour in one light (own judgement)."""
LARGEST = 4000
"""Pixels of the longer side that are looked at: larger pictures are made smaller."""
MOST_PIXELS = 120_000_000


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle on the picture: `left`, `top`, `width`, `height` as shares of its width and height (0 to 1)."""

    left: float
    top: float
    width: float
    height: float

    def __post_init__(self) -> None:
        figures = (self.left, self.top, self.width, self.height)
        inside = all(is_number(f) and 0 <= f <= 1 for f in figures) and min(self.width, self.height) > 0
        if not inside or self.left + self.width > 1 + 1e-9 or self.top + self.height > 1 + 1e-9:
            raise BadValue(f"a box lies within the picture, its figures shares from 0 to 1, not {quoted(figures)}")


@dataclass(frozen=True, slots=True)
class ColourCard:
    """A card of known colours: for each patch its box on the picture and the colour that its maker gives; and their names."""

    patches: tuple[tuple[Box, Colour], ...]
    names: tuple[str, ...] = ()

    def __post_init__(self) -> None:
        if len(self.patches) < LEAST_PATCHES:
            raise BadValue(f"a colour card has {LEAST_PATCHES} patches or more; {len(self.patches)} are marked")
        if self.names and len(self.names) != len(self.patches):
            raise BadValue(f"{len(self.patches)} patches have {len(self.names)} names: give one for each, or none")

    def called(self, place: int) -> str:
        """What a patch is called, counted from 0."""
        return f"patch {quoted(self.names[place])} of the card" if self.names else f"patch {place + 1} of the card"


@dataclass(frozen=True, slots=True)
class Photographed:
    """The swatches of a corrected picture, and how well the correction did: `residual` of the card (CIEDE2000) or the grey."""

    swatches: tuple[Swatch, ...]
    residual: float
    notes: tuple[str, ...]


def picture_of(file: Path | str | bytes) -> Picture:
    """The picture of a JPEG, PNG or TIFF file (or its bytes), turned upright, in linear light.

    Raises BadValue where it is none or too large.
    """
    return light_of(upright(file))


def light_of(image: Image.Image) -> Picture:
    """The linear light of an image in sRGB."""
    import numpy as np

    return linear(np.asarray(image, dtype=np.float64) / 255)


def upright(file: Path | str | bytes) -> Image.Image:
    """The picture as it is looked at: turned upright, three channels, no larger than `LARGEST`. Raises as `picture_of` does."""
    from PIL import Image, ImageOps, UnidentifiedImageError

    try:
        with Image.open(BytesIO(file) if isinstance(file, bytes) else file) as opened:
            if opened.width * opened.height > MOST_PIXELS:
                raise BadValue(f"the picture has {opened.width} × {opened.height} pixels: make it smaller first")
            turned = ImageOps.exif_transpose(opened).convert("RGB")
            turned.thumbnail((LARGEST, LARGEST))
            return turned
    except (UnidentifiedImageError, OSError, Image.DecompressionBombError) as trouble:
        raise BadValue(f"this is no picture that can be read (JPEG, PNG or TIFF): {trouble}") from None


def linear(values: Picture) -> Picture:
    """Linear light of sRGB values (0 to 1), by the curve of IEC 61966-2-1."""
    import numpy as np

    return np.where(values <= 0.04045, values / 12.92, ((values + 0.055) / 1.055) ** 2.4)


def swatches_from(
    picture: Picture,
    boxes: Sequence[tuple[str, Box]],
    greys: Sequence[Box] = (),
    grey_reflectance: float = 0.18,
    card: ColourCard | None = None,
) -> Photographed:
    """The swatches in these boxes, (name, box), the light corrected by `greys` (boxes on a grey card) or a `card`.

    Two boxes of grey on either side of the swatches show whether the light is even, beside a card too. Raises BadValue with the
    reason where the picture is too bright, too dark, uneven, or the card does not come out as it should.
    """
    import numpy as np

    if not boxes:
        raise BadValue("draw a box on each swatch first")
    if card is None and not greys:
        raise BadValue("draw a box on the grey card too (better two, left and right of the swatches), or mark a colour card")
    means = [_mean(picture, box, quoted(name)) for name, box in boxes]
    notes: list[str] = []
    if card is not None:
        if greys:
            _grey_gain(picture, greys, grey_reflectance)
        matrix, differences = _fitted(picture, card)
        residual, worst = sum(differences) / len(differences), max(range(len(differences)), key=differences.__getitem__)
        corrected = [mean @ matrix for mean, _ in means]
        error = max(0.01, residual / 100)
        notes.append(
            f"Corrected by {len(differences)} patches of the colour card. They come out {residual:.1f} off on the average"
            f" (CIEDE2000; refused above {WORST_CARD:g}), the worst, {card.called(worst)}, {differences[worst]:.1f}."
        )
    else:
        gain, residual = _grey_gain(picture, greys, grey_reflectance)
        corrected = [mean * gain for mean, _ in means]
        error = max(0.015, residual)
        notes.append("Corrected by grey alone: shades of one sort compare well, strange colours less so than with a colour card.")
        if len(greys) == 1:
            notes.append("One box of grey cannot show whether the light is even: a second on the other side can.")
    swatches = []
    for (name, _), values, (_, spread) in zip(boxes, corrected, means, strict=True):
        if float(np.max(values)) > 1.02:
            raise BadValue(f"swatch {quoted(name)} comes out brighter than white: the card lies in less light than the swatch")
        channels = tuple(float(min(1.0, max(0.0, value))) for value in values)
        swatches.append(Swatch(name, channels, (), min(0.5, float(np.hypot(error, spread)))))
    return Photographed(tuple(swatches), residual, tuple(notes))


def _mean(picture: Picture, box: Box, name: str) -> tuple[Picture, float]:
    """The mean of a box, and the standard error of it as a share; refused where it is burnt out, black or uneven."""
    import numpy as np

    height, width = picture.shape[:2]
    top, left = round(box.top * height), round(box.left * width)
    bottom, right = round((box.top + box.height) * height), round((box.left + box.width) * width)
    part = picture[top : max(top + 1, bottom), left : max(left + 1, right)]
    pixels = part.reshape(-1, 3)
    if len(pixels) < 25:
        raise BadValue(f"the box on {name} has {len(pixels)} pixels: draw it larger, or come nearer with the camera")
    if float((pixels >= 0.99).any(axis=1).mean()) > 0.02:
        raise BadValue(f"{name} is burnt out: take the picture again, darker")
    mean = np.median(pixels, axis=0)
    if float(mean.max()) < 0.004:
        raise BadValue(f"{name} is black: take the picture again, in more light")
    columns = [strip.mean() for strip in np.array_split(part.mean(axis=2), 4, axis=1) if strip.size]
    rows = [strip.mean() for strip in np.array_split(part.mean(axis=2), 4, axis=0) if strip.size]
    uneven = max(max(side) / max(min(side), 1e-9) - 1 for side in (columns, rows))
    if uneven > UNEVEN:
        raise BadValue(f"{name} is uneven by {uneven:.0%}: draw the box within the swatch, or turn the light")
    return mean, float(np.mean(pixels.std(axis=0) / np.maximum(mean, 1e-6))) / len(pixels) ** 0.5 + uneven / 8


def _grey_gain(picture: Picture, greys: Sequence[Box], reflectance: float) -> tuple[Picture, float]:
    """What each channel is multiplied by, and how far the boxes of grey differ from each other."""
    import numpy as np

    if not (is_number(reflectance) and 0.02 <= reflectance <= 0.98):
        raise BadValue(f"the grey card reflects a share from 0.02 to 0.98 (0.18 the usual one), not {quoted(reflectance)}")
    means = np.array([_mean(picture, box, "the grey card")[0] for box in greys])
    centre = means.mean(axis=0)
    residual = float(np.abs(means / centre - 1).max())
    if residual > WORST_GREY:
        raise BadValue(f"the grey differs by {residual:.1%} across the picture (at most {WORST_GREY:.0%}): turn the light")
    return reflectance / centre, residual


def _fitted(picture: Picture, card: ColourCard) -> tuple[Picture, list[float]]:
    """The 3 × 3 matrix that brings the card's patches to their colours (least squares), and how far each is off after it."""
    import numpy as np

    colours = [colour for _, colour in card.patches]
    strengths = np.linalg.svd(_meant(colours)[1], compute_uv=False)
    if strengths[-1] < FLATTEST * strengths[0]:
        raise BadValue("the patches of the card are too alike in colour: beside greys it must hold red, green and blue ones")
    seen = np.array([_mean(picture, box, card.called(n))[0] for n, (box, _) in enumerate(card.patches)])
    matrix, differences = _matrix(seen, colours)
    residual = float(np.mean(differences))
    if residual > WORST_CARD:
        why = _why(seen, card, differences)
        raise BadValue(f"the card comes out {residual:.1f} off (CIEDE2000; at most {WORST_CARD:g}): {why}")
    return matrix, differences


def _why(seen: Picture, card: ColourCard, differences: Sequence[float]) -> str:
    """What may be wrong where a card does not come out: it lies upside down, one patch is wrong, or all of it is."""
    import numpy as np

    colours = [colour for _, colour in card.patches]
    other = float(np.mean(_matrix(seen, colours[::-1])[1]))
    if other <= WORST_CARD:
        return f"taken to lie upside down it comes out {other:.1f} off: turn the picture, or give its patches in that order"
    places = range(len(colours) if len(colours) > LEAST_PATCHES else 0)
    without = {n: float(np.mean(_matrix(np.delete(seen, n, 0), [*colours[:n], *colours[n + 1 :]])[1])) for n in places}
    if without and min(without.values()) <= WORST_CARD:
        n = min(without, key=without.__getitem__)
        return f"without {card.called(n)} it comes out {without[n]:.1f} off: look whether it shines, is dirty or is typed wrong"
    worst = max(range(len(differences)), key=differences.__getitem__)
    return (
        f"the worst is {card.called(worst)}, {differences[worst]:.1f}; see that the patches are in its order, that nothing shines"
        " and that one light alone falls on it"
    )


def _meant(colours: Sequence[Colour]) -> tuple[Picture, Picture]:
    """(what each patch counts, the channels that the patches are to have, so weighted)."""
    import numpy as np

    meant = np.array([colour.channels for colour in colours])
    # by share of each patch's own brightness, or the pale ones alone would decide
    weights = 1 / np.sqrt(np.maximum(meant.mean(axis=1, keepdims=True), 0.02))
    return weights, meant * weights


def _matrix(seen: Picture, colours: Sequence[Colour]) -> tuple[Picture, list[float]]:
    """The matrix from what was seen of patches to their colours, and how far each is off after it (CIEDE2000)."""
    import numpy as np

    weights, meant = _meant(colours)
    matrix, *_ = np.linalg.lstsq(seen * weights, meant, rcond=None)
    corrected = np.clip(seen @ matrix, 0, 1.2)
    pairs = zip(corrected, colours, strict=True)
    return np.asarray(matrix, dtype=np.float64), [Colour.from_channels(tuple(c)).difference(colour) for c, colour in pairs]
