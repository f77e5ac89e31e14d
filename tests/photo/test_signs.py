"""℥ ʒ ℈ told by the shape of their ink: in faces that the table of shapes was not made from, and only before a number."""

import matplotlib
import numpy as np
import pytest
from PIL import Image, ImageDraw, ImageFont

from histkit.base import tables
from histkit.photo.signs import _before_number, seen_as, sign_of

FACES = ("DejaVuSerif.ttf", "DejaVuSerif-Bold.ttf", "DejaVuSerif-Italic.ttf", "DejaVuSans.ttf")
HIGH = 20


def ink_of(letter, face):
    """A letter of a face of Matplotlib's as ink, a small letter 20 high; its box, and the foot of the line."""
    path = f"{matplotlib.get_data_path()}/fonts/ttf/{face}"
    font = ImageFont.truetype(path, 200)
    font = ImageFont.truetype(path, round(200 * HIGH / -font.getbbox("x", anchor="ls")[1]))
    image = Image.new("L", (120, 140), 0)
    ImageDraw.Draw(image).text((40, 80), letter, fill=255, font=font, anchor="ls")
    ink = np.asarray(image) > 120
    rows, columns = np.flatnonzero(ink.any(axis=1)), np.flatnonzero(ink.any(axis=0))
    return ink, (columns[0], rows[0], columns[-1] + 1, rows[-1] + 1), 80.0


@pytest.mark.parametrize(
    ("letter", "face"), [("℥", "DejaVuSans.ttf"), ("℈", "DejaVuSans.ttf"), ("ʒ", "DejaVuSerif.ttf"), ("ʒ", "DejaVuSans.ttf")]
)
def test_a_sign_is_told_in_a_face_that_the_table_does_not_know(letter, face):
    ink, box, foot = ink_of(letter, face)
    assert sign_of(seen_as(ink, box, foot, HIGH)) == letter


@pytest.mark.parametrize("face", FACES)
@pytest.mark.parametrize("letter", "1234567890ivxjlLSo")
def test_a_figure_or_letter_is_none(letter, face):
    ink, box, foot = ink_of(letter, face)
    assert sign_of(seen_as(ink, box, foot, HIGH)) == ""


@pytest.mark.parametrize(
    ("text", "behind", "place"),
    [
        ("3iv.", "", 0), ("3", "ij.", 0), ("310.", "", 0), ("Cochineal,3iv.", "", 10), ("∃", "xij.", 0), ("3ss.", "", 0), ("3½", "oz.", 0),
        ("3", "oz.", None), ("30", "grains", None), ("35.", "oz.", None), ("30.", "Borax", 0), ("3", "", None), ("drachms", "2", None), ("gr.vj", "", 3), ("Borax,", "3", None), ("", "", None), ("...", "4", None),
    ],
)  # fmt: skip
def test_a_sign_stands_before_a_number(text, behind, place):
    assert _before_number(text, behind) == place


def test_every_shape_of_the_table_is_nearest_to_its_own_kind():
    for row in tables.read("photo/sign_shapes"):
        features = [*(int(step, 16) / 15 for step in row["shape"]), *(2 * float(row[side]) for side in ("width", "rise", "fall"))]
        assert sign_of(np.array(features)) == row["sign"], row["letter"]
