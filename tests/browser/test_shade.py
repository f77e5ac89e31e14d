"""The shade page in a real browser: a row of tests, and a swatch out of a photograph on which boxes are drawn with the mouse."""

import io

import numpy as np
import pytest
from notebooks_in_browser import shoot, wait_for
from PIL import Image

from histkit import records
from histkit.shade import Colour

pytestmark = pytest.mark.browser
SKIN = Colour(66.1, 9.5, 15.4)


def photograph():
    """A PNG: a skin-coloured swatch between two strips of grey, in a warm light."""
    pixels = np.full((200, 600, 3), 0.18)
    pixels[:, 200:400] = SKIN.channels
    pixels = np.clip(pixels * np.array((1.0, 0.9, 0.7)), 0, 1)
    encoded = np.where(pixels <= 0.0031308, 12.92 * pixels, 1.055 * pixels ** (1 / 2.4) - 0.055)
    buffer = io.BytesIO()
    Image.fromarray(np.round(255 * encoded).astype(np.uint8)).save(buffer, "PNG")
    return buffer.getvalue()


def test_a_row_of_tests_and_a_swatch_from_a_photograph(lab, watched):
    seen = watched(size=(1366, 900))
    page = seen.open(lab, "8-shade.ipynb")
    page.get_by_text("about light").first.wait_for()
    page.get_by_role("button", name="Work out the row of tests").click()
    page.get_by_role("img", name="From very light to tan").first.wait_for()
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose a photograph").click()
    chooser.value.set_files({"name": "invented.png", "mimeType": "image/png", "buffer": photograph()})
    picture = page.get_by_role("img", name="The photograph")
    picture.wait_for()
    wait_for(lambda: (picture.bounding_box() or {"height": 0})["height"] > 50, "the picture in the page")

    def draw(left, top, right, bottom):
        picture.scroll_into_view_if_needed()
        box = picture.bounding_box()
        page.mouse.move(box["x"] + left * box["width"], box["y"] + top * box["height"])
        page.mouse.down()
        page.mouse.move(box["x"] + right * box["width"], box["y"] + bottom * box["height"], steps=4)
        page.mouse.up()

    draw(0.05, 0.2, 0.25, 0.8)
    page.get_by_label("Name of box 1", exact=True).wait_for()
    draw(0.4, 0.2, 0.6, 0.8)
    page.get_by_label("Name of box 2", exact=True).wait_for()
    page.get_by_label("The swatches are", exact=True).select_option("what it is to look like")
    page.get_by_role("button", name="Keep these swatches").click()
    wait_for(lambda: lab.record.exists() and records.load(lab.record).swatches, "the swatch in the record")
    (kept,) = records.load(lab.record).swatches
    assert kept.role == "target" and kept.swatch().colour.difference(SKIN) < 1.5
    shoot(page, "8-shade")
    seen.close()
