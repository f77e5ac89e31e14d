"""Even light, level lines, letters of one height, no leaders: each on a picture that is known."""

import numpy as np
import printed_pages as pages
import pytest
from PIL import Image

from histkit.photo.bending import Bend, bend_of, levelled
from histkit.photo.preparing import even_light, inked, leaders, letter_height, prepared, skew_of

WORDS = "Take of powdered talc and fine rice starch what is wanted, mix them well and pass all through a sieve. " * 3


@pytest.fixture(scope="module")
def print_of_words():
    return pages.set_image(pages.markup_of(WORDS, "New Computer Modern", 11), 200)


@pytest.mark.parametrize("degrees", [-6.0, -2.3, -0.5, 0.0, 1.1, 4.0])
def test_the_skew_is_found(print_of_words, degrees):
    turned = print_of_words.rotate(-degrees, resample=Image.Resampling.BICUBIC, expand=True, fillcolor=255)
    assert skew_of(inked(np.asarray(turned))) == pytest.approx(degrees, abs=0.16)


@pytest.mark.parametrize(("dpi", "expected"), [(150, 10), (300, 20), (450, 30)])
def test_the_height_of_a_small_letter(dpi, expected):
    image = pages.set_image(pages.markup_of(WORDS, "New Computer Modern", 11), dpi)
    assert letter_height(inked(np.asarray(image))) == pytest.approx(expected, abs=2)


def test_dots_of_leaders_are_no_letters():
    lines = " \\\n".join(f"Borax #leaders {n} oz." for n in range(1, 9))
    image = pages.set_image(pages.markup_of(lines, "New Computer Modern", 11, 150), 300)
    ready = prepared(np.asarray(image.convert("RGB")))
    assert ready.letter == pytest.approx(20, abs=3)
    middle = ready.ink[:, ready.ink.shape[1] // 3 : 2 * ready.ink.shape[1] // 3]
    assert middle.mean() < 0.0005 < inked(np.asarray(image)).mean()


def test_stops_and_dots_of_letters_stay(print_of_words):
    ink = inked(np.asarray(print_of_words))
    assert leaders(ink, letter_height(ink)).sum() == 0


def test_light_that_falls_from_one_side_is_made_even():
    shade = np.tile(np.linspace(90, 250, 600), (300, 1)).astype(np.uint8)
    shade[140:150, 50:550:20] = 20
    even = even_light(shade)
    paper = even[:100]
    assert paper.min() > 228
    assert inked(even)[:120].sum() == 0 and inked(even)[142:148, 50:550:20].all()


@pytest.mark.parametrize("turns", [0, 1, 2, 3])
def test_every_place_is_found_again(turns):
    pixels = np.full((300, 500, 3), 255, dtype=np.uint8)
    pixels[200:206, 100:108] = 0
    ready = prepared(pixels, origin=(30, 40), quarter_turns=turns)
    rows, columns = np.nonzero(ready.ink)
    placed = ready.back(np.array([[columns.mean(), rows.mean()]]))[0]
    assert placed == pytest.approx([100 + 3.5 + 30, 200 + 2.5 + 40], abs=1.5)


def bent(image, how):
    """A picture of print whose lines lie `how(u, w)` pixels lower at these shares (-1 to 1) across and down."""
    import cv2

    pixels = np.pad(np.asarray(image.convert("L")), 60, constant_values=255)
    high, wide = pixels.shape
    x, y = np.meshgrid(np.arange(wide, dtype=np.float32), np.arange(high, dtype=np.float32))
    shifted = y - how(2 * x / wide - 1, 2 * y / high - 1).astype(np.float32)
    return np.dstack([cv2.remap(pixels, x, shifted, cv2.INTER_CUBIC, borderMode=cv2.BORDER_REPLICATE)] * 3)


BENDS = {
    "the top falls, the foot rises": lambda u, w: 14 * u * w,
    "a page beside the back of its book": lambda u, w: 16 * u**2 * (0.4 + 0.6 * w),
    "level": lambda u, w: 0 * u * w,
}


@pytest.mark.parametrize("how", BENDS.values(), ids=BENDS)
def test_bent_lines_are_made_level_and_every_place_is_found_again(print_of_words, how):
    ready = prepared(bent(print_of_words, how))
    level = levelled(ready, bend_of(ready))
    points = np.array([[10.0, 20.0], [900.0, 130.0], [500.0, 300.0]])
    assert level.bend.back(level.bend.level(points)) == pytest.approx(points, abs=0.01)
    assert np.abs(level.bend.terms).max() < 0.1 * level.letter or how is not BENDS["level"]
    assert max(bend_of(level).most(level.grey.shape), 0) < 0.25 * level.letter
    rows = [np.diff(made.ink.sum(axis=1).astype(float)) for made in (prepared(bent(print_of_words, BENDS["level"])), ready, level)]
    straight, before, after = (float(np.square(row).mean()) for row in rows)
    assert after > 0.65 * straight
    assert how is BENDS["level"] or after > 1.5 * before


@pytest.mark.parametrize("shape", [(24, 24), (24, 3000), (3000, 24), (40, 40)])
def test_odd_shapes_and_empty_paper(shape):
    for value in (0, 255, 128):
        ready = prepared(np.full((*shape, 3), value, dtype=np.uint8))
        assert ready.letter == 0 and levelled(ready, Bend(np.full((3, 3), 2.0))).grey.size and bend_of(ready).terms.sum() == 0


def test_bounded_however_large_the_print():
    noise = np.random.default_rng(1).integers(0, 255, (2000, 3000, 3), dtype=np.uint8)
    ready = prepared(noise)
    assert ready.grey.size <= 9_500_000
