"""The shade panel: a photograph made here, its boxes, and the way to the next addition."""

from datetime import UTC, datetime
from io import BytesIO

import numpy as np
import pytest
from panels_without_browser import fields, shown, widgets_in
from PIL import Image

from histkit.keeping.records import Record
from histkit.keeping.shades import KeptSwatch
from histkit.panels import shade as panel
from histkit.panels.boxes import Boxes
from histkit.shade import Colour


def photograph(colour, light=(1.0, 0.9, 0.7)):
    """A PNG: grey on the left and right, the colour in the middle, in a warm light."""
    pixels = np.full((100, 300, 3), 0.18)
    pixels[:, 100:200] = colour.channels
    pixels = np.clip(pixels * np.array(light), 0, 1)
    encoded = np.where(pixels <= 0.0031308, 12.92 * pixels, 1.055 * pixels ** (1 / 2.4) - 0.055)
    buffer = BytesIO()
    Image.fromarray(np.round(255 * encoded).astype(np.uint8)).save(buffer, "PNG")
    return buffer.getvalue()


BOXES = [
    {"name": "grey", "left": 0.05, "top": 0.2, "width": 0.2, "height": 0.6},
    {"name": "Grey 2", "left": 0.75, "top": 0.2, "width": 0.2, "height": 0.6},
    {"name": "my powder", "left": 0.4, "top": 0.2, "width": 0.2, "height": 0.6},
]


@pytest.fixture
def built(desk):
    return panel.build(desk)


def choose(built, content):
    upload = next(w for w in widgets_in(built) if type(w).__name__ == "FileUpload")
    upload.value = (
        {
            "name": "invented.png",
            "type": "image/png",
            "size": len(content),
            "content": content,
            "last_modified": datetime(2026, 1, 1, tzinfo=UTC),
        },
    )
    return next(w for w in widgets_in(built) if isinstance(w, Boxes))


def press(built, words):
    fields(built)[words].click()


def test_a_start_is_shown_at_once_and_follows_the_choice(built):
    assert "about light" in shown(built)
    fields(built)["The skin is"].value = "tan"
    assert "about tan" in shown(built)
    assert "common practice, no source" in shown(built)


def test_five_milligrams_of_carmine_are_a_twentieth_of_a_gram_of_extension(built):
    assert "take 0.05 g of the extension" in shown(built)
    fields(built)["Per cent of pigment in it"].value = 1
    assert "take 0.5 g of the extension, and leave 0.495 g of talc" in shown(built)


def test_a_row_of_tests_is_worked_out_or_refused_kindly(built):
    press(built, "Work out the row of tests")
    assert "Test 5: " in shown(built) and "<img" in shown(built)
    fields(built)["to"].value = "very light"
    press(built, "Work out the row of tests")
    assert "both are very light" in shown(built)


def test_a_photograph_becomes_a_kept_swatch(built, desk):
    boxes = choose(built, photograph(Colour(66.1, 9.5, 15.4)))
    assert boxes.picture.startswith("data:image/jpeg")
    boxes.boxes = BOXES
    fields(built)["The swatches are"].value = "target"
    press(built, "Keep these swatches")
    (kept,) = desk.record.swatches
    assert (kept.name, kept.role, kept.pigments) == ("my powder", "target", ())
    assert kept.swatch().colour.difference(Colour(66.1, 9.5, 15.4)) < 1
    press(built, "Take the last kept swatch away")
    assert desk.record.swatches == ()


@pytest.mark.parametrize(
    ("boxes", "words"), [([], "each swatch"), (BOXES[2:], "grey card"), ([{**BOXES[0], "width": 2.0}], "within the picture")]
)
def test_boxes_that_tell_nothing_are_refused_kindly(built, desk, boxes, words):
    choose(built, photograph(Colour(66, 9, 15))).boxes = boxes
    press(built, "Keep these swatches")
    assert words in shown(built)
    assert desk.record.swatches == ()


def test_what_is_no_picture_is_refused_kindly(built):
    boxes = choose(built, b"<script>alert(1)</script>")
    assert "no picture" in shown(built)
    assert boxes.picture == ""


def swatches():
    """Made up: a white base, two tints, the powder as it is, and a target between."""
    yellow, red = "iron-oxide-yellow", "iron-oxide-red"
    return (
        KeptSwatch("base", "base", (0.85, 0.84, 0.82)),
        KeptSwatch("yellow", "tint", (0.78, 0.68, 0.45), ((yellow, 0.02),)),
        KeptSwatch("red", "tint", (0.60, 0.35, 0.27), ((red, 0.02),)),
        KeptSwatch("now", "powder", (0.79, 0.72, 0.58), ((yellow, 0.008),)),
        KeptSwatch("<b>skin</b>", "target", (0.62, 0.47, 0.36)),
    )


def test_the_next_addition_is_shown_with_patches(desk):
    desk.begin(Record(swatches=swatches()))
    built = panel.build(desk)
    press(built, "Work out the next addition")
    assert "red iron oxide, 20 % in talc" in shown(built)
    assert "expected then" in shown(built)
    assert "<b>skin</b>" not in shown(built)


def test_without_swatches_it_says_which_are_missing(built, desk):
    press(built, "Work out the next addition")
    assert "pressed swatch of the powder" in shown(built)
    desk.begin(Record(swatches=swatches()[1:]))
    press(built, "Work out the next addition")
    assert "one swatch of the bare base" in shown(built)


def test_a_record_keeps_the_swatches():
    record = Record(swatches=swatches())
    assert Record.from_json(record.to_json()) == record
    assert Record.from_json(Record(text="Talc, 1 oz.").to_json()).swatches == ()
