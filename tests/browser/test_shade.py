"""The shade page in a real browser: a row of tests, and a swatch out of a photograph on which boxes are drawn with the mouse."""

import pytest
from notebooks_in_browser import put, shoot, wait_for
from warm_pictures import beside_a_card, between_greys

from histkit import records
from histkit.shade import Colour

pytestmark = pytest.mark.browser
SKIN = Colour(66.1, 9.5, 15.4)


def test_a_row_of_tests_and_a_swatch_from_a_photograph(lab, watched):
    seen = watched(size=(1366, 900))
    page = seen.open(lab, "8-shade.ipynb")
    page.get_by_text("about light").first.wait_for()
    page.get_by_role("button", name="Work out the row of tests").click()
    page.get_by_role("img", name="From very light to tan").first.wait_for()
    with page.expect_file_chooser() as chooser:
        page.get_by_role("button", name="Choose a photograph").click()
    chooser.value.set_files({"name": "invented.png", "mimeType": "image/png", "buffer": between_greys(SKIN, size=200)})
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


CARD = {"red": (51, 48, 16), "lime": (72, -23, 57), "blue": (40, 10, -45), "white": (96, -1, 2), "rose": (66, 18, 18), "ash": (50, 0, 0)}


def test_a_colour_card_an_extension_and_a_batch_that_is_measured(lab, watched):
    """The card's colours typed, one box over the whole of it; two swatches of the powder with what was ground in between them."""
    seen = watched(size=(1366, 900))
    page = seen.open(lab, "8-shade.ipynb")
    page.get_by_label("Beside the swatches lies", exact=True).select_option("a colour card")
    words = "Colours of the card, a line for each patch: its name, L*, a*, b* (or its name, #bc9a86)"
    put(page, words, "\n".join(f"{name}, {', '.join(map(str, lab_))}" for name, lab_ in CARD.items()))
    put(page, "Patches in a row", "3")
    page.get_by_role("img", name="The card as it is understood").wait_for()
    picture = page.get_by_role("img", name="The photograph")

    def photograph_and_keep(colour, role, note):
        before = len(records.load(lab.record).swatches)
        with page.expect_file_chooser() as chooser:
            page.get_by_role("button", name="Choose a photograph").click()
        chooser.value.set_files({"name": f"{before}.png", "mimeType": "image/png", "buffer": beside_a_card(CARD, colour, wide=200)})
        picture.wait_for()
        wait_for(lambda: (picture.bounding_box() or {"height": 0})["height"] > 50, "the picture in the page")
        wait_for(lambda: page.get_by_label("Name of box 1", exact=True).count() == 0, "a picture without boxes")
        for number, (left, top, right, bottom) in enumerate([(0.0, 0.0, 0.999, 0.666), (0.3, 0.75, 0.7, 0.95)], start=1):
            picture.scroll_into_view_if_needed()
            box = picture.bounding_box()
            page.mouse.move(box["x"] + left * box["width"], box["y"] + top * box["height"])
            page.mouse.down()
            page.mouse.move(box["x"] + right * box["width"], box["y"] + bottom * box["height"], steps=4)
            page.mouse.up()
            page.get_by_label(f"Name of box {number}", exact=True).wait_for()
        page.get_by_label("The swatches are", exact=True).select_option(role)
        page.get_by_role("button", name=note).click()
        page.get_by_role("button", name="Keep these swatches").click()
        wait_for(lambda: len(records.load(lab.record).swatches) == before + 1, f"swatch {before + 1} in the record")

    page.get_by_role("button", name="Put it into my powder").click()
    wait_for(lambda: lab.record.exists() and records.load(lab.record).extensions, "the extension in the record")
    photograph_and_keep(Colour(72, 10, 16), "my powder as it is now", "Note what colour is in it")
    photograph_and_keep(Colour(69, 12, 17), "my powder, after I ground something in", "Note what I ground in")
    first, second = records.load(lab.record).swatches[-2:]
    assert first.swatch().colour.difference(Colour(72, 10, 16)) < 1.5
    assert second.added and dict(second.pigments)["iron-oxide-yellow"] > 0.009
    shoot(page, "8-card")
    page.get_by_label("Worked out", exact=True).select_option("by what my batches showed")
    page.get_by_role("button", name="Work out the next addition").click()
    page.get_by_text("What each addition did").wait_for()
    page.get_by_text("What each addition did").scroll_into_view_if_needed()
    shoot(page, "8-next")
    seen.close()
