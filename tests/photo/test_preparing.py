"""Even light, level lines, letters of one height, no leaders: each on a picture that is known."""

import numpy as np
import printed_pages as pages
import pytest
from PIL import Image

from histkit.photo.preparing import Fall, even_light, fall_of, inked, leaders, letter_height, levelled, prepared, skew_of

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


def test_lines_that_fall_more_at_the_top_are_made_level():
    fall = Fall(0.04, -0.00005, 7.0)
    points = np.array([[10.0, 20.0], [900.0, 30.0], [500.0, 600.0]])
    assert fall.back(fall.level(points)) == pytest.approx(points)
    corners = np.array([
        [[50, y + 50 * s], [850, y + 850 * s], [850, y + 40 + 850 * s], [50, y + 40 + 50 * s]]
        for y in range(40, 700, 60)
        for s in [0.04 - 0.00005 * y]
    ])  # fmt: skip
    level = fall_of(corners).level(corners)
    assert np.abs(level[:, 0, 1] - level[:, 1, 1]).max() < 4 < np.abs(corners[:, 0, 1] - corners[:, 1, 1]).max()


@pytest.mark.parametrize("shape", [(24, 24), (24, 3000), (3000, 24), (40, 40)])
def test_odd_shapes_and_empty_paper(shape):
    for value in (0, 255, 128):
        ready = prepared(np.full((*shape, 3), value, dtype=np.uint8))
        assert ready.letter == 0 and levelled(ready, Fall(0.01)).grey.size


def test_bounded_however_large_the_print():
    noise = np.random.default_rng(1).integers(0, 255, (2000, 3000, 3), dtype=np.uint8)
    ready = prepared(noise)
    assert ready.grey.size <= 9_500_000
