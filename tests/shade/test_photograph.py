"""Swatches out of pictures that are made here: the light is known, so the answer is."""

from io import BytesIO

import numpy as np
import pytest
from PIL import Image

from histkit.base.errors import BadValue
from histkit.shade import Box, Colour, ColourCard, swatches_from
from histkit.shade.photograph import linear, picture_of

SKIN = Colour(66.1, 9.5, 15.4)
GREY = 0.18
WARM = np.array([1.1, 0.9, 0.6])
"""What a warm lamp makes of white."""
MIXES = np.array([[0.9, 0.08, 0.02], [0.05, 0.9, 0.05], [0.02, 0.1, 0.88]])
"""What a camera mixes into its channels."""
CARD = [Colour(*lab) for lab in [(38, 14, 14), (66, 18, 18), (50, -5, -22), (43, -13, 22), (55, 9, -25), (71, -33, 0), (62, 36, 57),
                                 (40, 10, -45), (51, 48, 16), (30, 23, -21), (72, -23, 57), (71, 19, 68), (96, -1, 2), (50, 0, 0)]]  # fmt: skip


def picture(light=WARM, mixes=None, tilt=0.0, noise=0.0, scale=0.6):
    """Fourteen patches of the card in a row, below them a skin-coloured swatch between two boxes of grey."""
    made = np.full((200, 1400, 3), GREY)
    for n, colour in enumerate(CARD):
        made[:100, 100 * n : 100 * (n + 1)] = colour.channels
    made[100:, 600:800] = SKIN.channels
    made = made @ (np.eye(3) if mixes is None else mixes) * light * scale
    made *= 1 + tilt * (np.linspace(0, 1, 1400)[None, :, None] - 0.5)
    return np.clip(made + np.random.default_rng(1).normal(0, noise, made.shape) * made, 0, 1)


SWATCH = [("my swatch", Box(0.45, 0.6, 0.1, 0.3))]
LEFT, RIGHT = Box(0.05, 0.6, 0.1, 0.3), Box(0.8, 0.6, 0.1, 0.3)
ON_CARD = ColourCard(tuple((Box((n + 0.2) / 14, 0.1, 0.6 / 14, 0.3), colour) for n, colour in enumerate(CARD)))


def test_grey_brings_a_warm_light_back():
    found = swatches_from(picture(), SWATCH, [LEFT, RIGHT])
    assert found.swatches[0].colour.difference(SKIN) < 0.1


def test_a_card_brings_light_and_camera_back():
    pixels = picture(mixes=MIXES, noise=0.02)
    by_card = swatches_from(pixels, SWATCH, card=ON_CARD)
    by_grey = swatches_from(pixels, SWATCH, [LEFT, RIGHT])
    assert by_card.swatches[0].colour.difference(SKIN) < 1.0
    assert by_card.swatches[0].colour.difference(SKIN) < by_grey.swatches[0].colour.difference(SKIN)


def test_the_error_of_a_swatch_covers_what_is_wrong_with_it():
    found = swatches_from(picture(noise=0.05), SWATCH, [LEFT]).swatches[0]
    truth = np.array(SKIN.channels)
    assert (np.abs(np.array(found.channels) / truth - 1) <= 2 * found.error).all()


@pytest.mark.parametrize(
    ("pixels", "boxes", "greys", "words"),
    [
        (picture(scale=3.0), SWATCH, [LEFT], "burnt out"),
        (picture(scale=0.001), SWATCH, [LEFT], "black"),
        (picture(tilt=0.4), SWATCH, [LEFT, RIGHT], "differs by"),
        (picture(), [("half", Box(0.5, 0.6, 0.2, 0.3))], [LEFT], "uneven"),
        (picture(), [("speck", Box(0.5, 0.7, 0.001, 0.001))], [LEFT], "larger"),
        (picture(), [], [LEFT], "each swatch"),
        (picture(), SWATCH, [], "grey card too"),
    ],
)
def test_what_a_picture_cannot_tell_is_refused_with_the_reason(pixels, boxes, greys, words):
    with pytest.raises(BadValue, match=words):
        swatches_from(pixels, boxes, greys)


def test_a_card_in_another_order_is_refused():
    wrong = ColourCard(tuple(zip((box for box, _ in ON_CARD.patches), reversed(CARD), strict=True)))
    with pytest.raises(BadValue, match="order"):
        swatches_from(picture(), SWATCH, card=wrong)


def test_a_file_is_turned_upright_and_read_in_linear_light(tmp_path):
    small = np.zeros((20, 40, 3), dtype=np.uint8)
    small[:, :20] = 128
    stored = Image.fromarray(small)
    exif = Image.Exif()
    exif[0x0112] = 6  # turned by a quarter
    stored.save(tmp_path / "invented.png", exif=exif)
    values = picture_of(tmp_path / "invented.png")
    assert values.shape == (40, 20, 3)
    assert values[0, 0, 0] == pytest.approx(float(linear(np.array(128 / 255))))


def test_what_is_no_picture_is_refused():
    with pytest.raises(BadValue, match="no picture"):
        picture_of(b"no picture at all")
    buffer = BytesIO()
    Image.new("RGB", (8, 8)).save(buffer, "PNG")
    assert picture_of(buffer.getvalue()).shape == (8, 8, 3)


@pytest.mark.parametrize("figures", [(0, 0, 0, 1), (0.9, 0, 0.2, 0.1), (-0.1, 0, 0.5, 0.5), (0, 0, float("nan"), 1)])
def test_a_box_beyond_the_picture_is_refused(figures):
    with pytest.raises(BadValue, match="within the picture"):
        Box(*figures)
