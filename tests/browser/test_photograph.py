"""From a photographed page to the bench sheet in a real browser: chosen, framed, read, each amount compared, by mouse and by keyboard.

The page is invented and set by the test. HISTKIT_SCREENSHOTS=FOLDER keeps pictures of what was seen.
"""

import re

import page_by_hand
import pytest
from notebooks_in_browser import pages_served, shoot, wait_for

from histkit import records
from histkit.keeping.records import Record
from histkit.photo.extras import is_ready

pytestmark = [pytest.mark.browser, pytest.mark.skipif(not is_ready(), reason="the extra 'photo' is not installed")]

UPLOAD = "or from a photograph of the page"


@pytest.fixture(scope="module")
def served(browser, tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    with pages_served(browser, folder) as (seen, root):
        yield seen, folder, root


def open_read(served):
    seen, folder, root = served
    records.save(Record(), folder / "my-formula.json")
    seen.page.goto(f"{root}/voila/render/1-modernise-a-formula.ipynb")
    seen.page.get_by_label("Formula", exact=True).wait_for()
    return seen.page, folder / "my-formula.json"


def choose(page, data, by_keyboard=False):
    with page.expect_file_chooser() as chooser:
        button = page.get_by_role("button", name=UPLOAD)
        if by_keyboard:
            button.focus()
            page.keyboard.press("Enter")
        else:
            button.click()
    chooser.value.set_files({"name": "page 12.png", "mimeType": "image/png", "buffer": data})
    picture = page.get_by_role("img", name="The picture, waiting for its frame")
    picture.wait_for()
    wait_for(lambda: (picture.bounding_box() or {"height": 0})["height"] > 50, "the picture in the page")
    return picture


def read_by_mouse(page):
    """Three actions: the file, the frame, read."""
    picture = choose(page, page_by_hand.page())
    picture.scroll_into_view_if_needed()
    box = picture.bounding_box()
    page.mouse.move(box["x"] + 0.05 * box["width"], box["y"] + 0.05 * box["height"])
    page.mouse.down()
    page.mouse.move(box["x"] + 0.9 * box["width"], box["y"] + 0.93 * box["height"], steps=4)
    page.mouse.up()
    edge = page.get_by_role("slider", name="The frame's left edge")
    wait_for(lambda: edge.get_attribute("aria-valuenow") == "5", "the frame")
    shoot(page, "photo-1-framed")
    page.get_by_role("button", name="Read what is in the frame").click()
    page.get_by_text("0 of 4 compared").wait_for()


def test_from_the_photograph_to_the_sheet(served):
    page, record = open_read(served)
    read_by_mouse(page)
    wait_for(lambda: records.load(record).photograph, "the photograph in the record")
    kept = records.load(record)
    assert kept.text.splitlines()[1] == page_by_hand.LINES[1] and kept.photograph.frame is not None
    assert (record.parent / kept.photograph.picture).is_file()
    shoot(page, "photo-2-read")
    # a doubt on the picture, and a line pointed at on the marked page
    mark = page.locator(".hk-photo-mark.hk-photo-doubt").first
    mark.hover()
    page.locator(".hk-photo-said").filter(has_text=re.compile("1½|1 1/2")).wait_for()
    page.get_by_role("button", name="amount of line 3").hover()
    page.locator(".hk-row > .hk-strip img").wait_for()
    page.locator(".hk-photo-pointed").wait_for()
    shoot(page, "photo-3-pointed")
    # until each was compared there is no sheet
    page.goto(page.url.replace("1-modernise-a-formula", "4-batch-and-bench-sheet"))
    page.get_by_text("No bench sheet yet").wait_for()
    page.get_by_text("0 of 4 compared").scroll_into_view_if_needed()
    shoot(page, "photo-4-held")
    every = page.get_by_role("button", name="Yes, all of these are right")
    assert every.get_attribute("aria-disabled") == "true"
    every.scroll_into_view_if_needed()
    for strip in page.locator(".hk-compare .hk-strip").all():
        strip.scroll_into_view_if_needed()
        page.wait_for_timeout(700)
    wait_for(lambda: every.get_attribute("aria-disabled") == "false", "every strip looked at")
    every.click()
    page.locator(".hk-compare-state").filter(has_text="Each amount was compared").wait_for()
    page.get_by_role("button", name="Save the bench sheet").click()
    page.get_by_role("link", name="Download the sheet to print").wait_for()
    assert records.load(record).to_compare() == () and list(record.parent.glob("white-powder/bench-sheet.pdf"))
    shoot(page, "photo-5-sheet")


def test_by_keyboard_alone(served):
    page, record = open_read(served)
    choose(page, page_by_hand.page(), by_keyboard=True)
    page.get_by_role("slider", name="The frame's left edge").focus()
    for _ in range(4):
        page.keyboard.press("ArrowRight")
    page.keyboard.press("Tab")
    page.keyboard.press("ArrowDown")
    assert page.get_by_role("slider", name="The frame's top edge").get_attribute("aria-valuenow") == "1"
    page.get_by_role("button", name="Read what is in the frame").focus()
    page.keyboard.press("Enter")
    page.get_by_text("0 of 4 compared").wait_for()
    page.get_by_role("button", name="Yes, line 1 is right").focus()
    page.keyboard.press("Enter")
    page.get_by_text("1 of 4 compared").wait_for()
    wait_for(lambda: "Yes, line 2" in (page.evaluate("document.activeElement.getAttribute('aria-label')") or ""), "the next line")
    page.keyboard.press("Tab")  # change it instead
    page.keyboard.press("Enter")
    page.keyboard.press("End")
    for _ in range(len("2 oz.")):
        page.keyboard.press("Backspace")
    page.keyboard.type("3 ")
    wait_for(lambda: page.evaluate("document.activeElement.value") == "Rice starch, 3 ", "the words in the field")
    field = page.evaluate_handle("document.activeElement")
    page.get_by_role("button", name="one half").focus()
    page.keyboard.press("Enter")
    assert field.evaluate("e => e.value") == "Rice starch, 3 ½" and field.evaluate("e => e === document.activeElement")
    page.keyboard.type(" oz.")
    page.keyboard.press("Enter")
    page.get_by_text("2 of 4 compared").wait_for()
    for line, done in ((3, "3 of 4 compared"), (4, "Each amount was compared")):
        here = f"Yes, line {line}"
        wait_for(lambda here=here: here in (page.evaluate("document.activeElement.getAttribute('aria-label')") or ""), "the next line")
        page.keyboard.press("Enter")
        page.get_by_text(done).wait_for()
    wait_for(lambda: records.load(record).to_compare() == (), "all compared in the record")
    assert records.load(record).formula().lines[1].amount == 3.5
    page.get_by_role("button", name="Undo", exact=True).focus()
    page.keyboard.press("Enter")
    wait_for(lambda: records.load(record).to_compare(), "the last yes taken back")


def test_signs_go_where_the_cursor_stood(served):
    page, record = open_read(served)
    field = page.get_by_label("Formula", exact=True)
    field.fill("Talc,  oz.\nRice starch, 2 oz.")
    field.evaluate("e => e.setSelectionRange(6, 6)")
    page.get_by_role("button", name="ounce", exact=True).click()
    page.get_by_role("button", name="one half").click()
    assert field.input_value() == "Talc, ℥½ oz.\nRice starch, 2 oz."
    page.keyboard.press("Tab")
    wait_for(lambda: records.load(record).text.startswith("Talc, ℥½"), "the signs in the record")


@pytest.mark.parametrize(("width", "height"), [(1366, 900), (390, 844)])
def test_at_both_widths_nothing_is_cut_off_and_nobody_is_left_out(served, width, height):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page, _ = open_read(served)
    page.set_viewport_size({"width": width, "height": height})
    picture = choose(page, page_by_hand.page())
    picture.scroll_into_view_if_needed()
    shoot(page, f"photo-6-frame-{width}")
    page.get_by_role("button", name="Read what is in the frame").click()
    page.get_by_text("0 of 4 compared").wait_for()
    page.get_by_role("button", name="Change line 2").click()
    page.locator(".hk-compare").scroll_into_view_if_needed()
    shoot(page, f"photo-7-compare-{width}")
    assert page.evaluate("document.documentElement.scrollWidth") <= width
    found = axe.run(page).response["violations"]
    assert [(f["id"], [n["html"][:120] for n in f["nodes"][:3]]) for f in found if f["impact"] in ("serious", "critical")] == []
    page.keyboard.press("Escape")
    for compared in ("1 of 4 compared", "2 of 4 compared", "3 of 4 compared", "Each amount was compared"):
        page.get_by_role("button", name="is right:").first.click()
        page.get_by_text(compared).wait_for()  # the list is drawn anew: a click upon the old one would be lost
    page.get_by_text("Each amount was compared").scroll_into_view_if_needed()
    shoot(page, f"photo-8-compared-{width}")
    page.set_viewport_size({"width": 1366, "height": 768})


def test_in_the_dark_dress_of_a_notebook(lab, watched):
    lab.setting("apputils-extension/themes", theme="JupyterLab Dark")
    lab.setting("notebook-extension/tracker", windowingMode="none")
    records.save(Record(), lab.record)
    page = watched(size=(1366, 900)).open(lab, "1-modernise-a-formula.ipynb")
    page.wait_for_function("document.body.dataset.jpThemeName === 'JupyterLab Dark'")
    choose(page, page_by_hand.page(turned=1))
    page.get_by_role("button", name="Turn it right").click()
    shoot(page, "photo-9-dark-frame")
    page.get_by_role("button", name="Read what is in the frame").click()
    page.get_by_text("0 of 4 compared").wait_for()
    page.get_by_role("button", name="Yes, line 1 is right").click()
    page.get_by_text("1 of 4 compared").wait_for()
    page.locator(".hk-compare").scroll_into_view_if_needed()
    shoot(page, "photo-10-dark-compare")
    page.get_by_role("button", name="Rice starch, ingredient of line 2").hover()
    page.locator(".hk-row > .hk-strip img").wait_for()
    shoot(page, "photo-11-dark-pointed")
