"""The notebooks as plain pages in a real browser: the whole way in few actions, kept on the way, by keyboard, at every width."""

from dataclasses import replace

import pytest
from notebooks_in_browser import pages_served, shoot, wait_for

from histkit import records
from histkit.base.nouns import Source
from histkit.keeping.records import Record

pytestmark = pytest.mark.browser

FORMULA = "Venetian talc,          4 oz.\nWhite lead,            1 oz.\nCarmine,            1 drachm.\nOtto of rose,       10 drops.\n"
MOST_ACTIONS = 15
SIZES = ((1366, 768), (1920, 1080), (390, 844))
READY = {
    "0-start": "Old name", "1-modernise-a-formula": "Formula", "2-explore-substitutes": "Region of law",
    "3-loose-to-pressed": "Binder, % of the cake", "4-batch-and-bench-sheet": "Make, grams", "5-table-and-pictures": "Picture of",
}  # fmt: skip


class Pages:
    """A server of plain pages in a folder of its own, and a page of it in a browser."""

    def __init__(self, folder, root, seen):
        self.folder, self.root, self.seen, self.page = folder, root, seen, seen.page
        self.record = folder / "my-formula.json"
        self.actions = 0

    def act(self, action):
        """One thing that a maker does: a click, a paste, a figure typed, a key."""
        self.actions += 1
        action()

    def go(self, words, name):
        self.act(self.page.get_by_role("navigation", name="Pages").get_by_role("link", name=words).click)
        self.page.get_by_label(READY[name], exact=True).wait_for()

    def open(self, name):
        self.page.goto(f"{self.root}/voila/render/{name}.ipynb")
        self.page.get_by_label(READY[name], exact=True).wait_for()

    def kept(self, condition, what):
        wait_for(lambda: self.record.exists() and condition(records.load(self.record)), what)


@pytest.fixture(scope="module")
def served(browser, tmp_path_factory):
    folder = tmp_path_factory.mktemp("pages")
    with pages_served(browser, folder) as (seen, root):
        yield Pages(folder, root, seen)


def test_the_whole_way_in_fifteen_actions(served):
    """Paste, correct one line, replace white lead, press at 5 %, batch, sheet, picture; each step is kept on moving."""
    page = served.page
    page.goto(served.root)
    page.get_by_label("Old name", exact=True).wait_for()
    assert "histkit" in page.title() and page.get_by_text("Run All Cells").count() == 0
    page.get_by_text("Must be replaced before a batch can be made: lead carbonate.").wait_for()
    shoot(page, "pages-0-start")
    served.go("1 Read", "1-modernise-a-formula")
    served.act(lambda: page.get_by_label("Formula", exact=True).fill(FORMULA))  # pasted, and left by the next click
    page.get_by_label("Formula", exact=True).blur()
    served.act(page.get_by_role("button", name="1 drachm., amount of line 3").click)
    served.act(lambda: page.get_by_label("Amount in line 3", exact=True).fill("2"))
    shoot(page, "pages-1-form")
    served.act(lambda: page.keyboard.press("Enter"))
    page.get_by_text("put right: 2 drachms").first.wait_for()
    served.act(page.get_by_role("button", name="Replace it").click)
    page.get_by_text("replaced by zinc oxide and titanium dioxide").first.wait_for()
    shoot(page, "pages-1-read")
    served.go("3 Press", "3-loose-to-pressed")
    served.act(lambda: page.get_by_label("Binder, % of the cake", exact=True).fill("5"))  # left by the click on the bar
    shoot(page, "pages-3-press")
    served.go("4 Weigh", "4-batch-and-bench-sheet")
    served.act(page.get_by_role("button", name="Save the bench sheet").click)
    page.get_by_role("link", name="Download the sheet to print").wait_for()
    shoot(page, "pages-4-weigh")
    served.go("5 Show", "5-table-and-pictures")
    served.act(page.get_by_role("button", name="Make the pictures").click)
    wait_for(lambda: list(served.folder.glob("*/pictures/*.png")), "the picture in the folder of the formula")
    shoot(page, "pages-5-show")
    assert served.actions <= MOST_ACTIONS, served.actions
    kept = records.load(served.record)
    assert kept.corrections[0].amount == 2.0 and kept.replacements[0].removed == "lead-carbonate"
    assert kept.pressing.binder_share == pytest.approx(0.05) and list(served.folder.glob("*/bench-sheet.pdf"))


def test_what_is_typed_last_is_kept_on_moving_and_undone_on_another_page(served):
    page = served.page
    served.open("3-loose-to-pressed")
    page.get_by_label("Binder, % of the cake", exact=True).fill("7")
    served.go("2 Replace", "2-explore-substitutes")
    assert records.load(served.record).pressing.binder_share == pytest.approx(0.07)
    page.get_by_role("button", name="Undo", exact=True).click()
    page.get_by_role("status").filter(has_text="Taken back: share of the binder").wait_for()
    served.kept(lambda record: record.pressing.binder_share == pytest.approx(0.05), "the step taken back")
    page.get_by_role("button", name="Redo", exact=True).click()
    served.kept(lambda record: record.pressing.binder_share == pytest.approx(0.07), "the step done again")


def test_what_is_being_typed_stays_while_another_text_empties_its_book(served):
    """The text that was pasted just before begins another formula, whose book is empty, while the maker types it already."""
    page = served.page
    started = Record(text=FORMULA, source=Source(title="A pasted book", author="Somebody"))
    records.save(started, served.record)
    served.open("1-modernise-a-formula")
    book = page.get_by_label("Book", exact=True)
    book.press("Control+a")
    book.press_sequentially("Old rec")
    records.save(replace(started, text="Rice starch, 2 oz.\n", source=Source()), served.record)
    wait_for(lambda: page.get_by_label("Author", exact=True).input_value() == "", "the emptied fields")
    assert book.input_value() == "Old rec"
    book.press_sequentially("eipts")
    book.press("Tab")
    served.kept(lambda record: record.source.title == "Old receipts", "what was typed")
    assert records.load(served.record).text.startswith("Rice starch") and book.input_value() == "Old receipts"


def test_the_page_by_keyboard_alone(served):
    page = served.page
    served.open("1-modernise-a-formula")
    page.get_by_role("button", name="ingredient of line 1").first.focus()
    page.keyboard.press("Tab")
    words = page.evaluate("document.activeElement.getAttribute('aria-label')")
    assert "amount of line 1" in words
    page.keyboard.press("Space")
    assert page.evaluate("document.activeElement.labels[0].textContent") == "Amount in line 1"
    page.keyboard.type("some")
    page.keyboard.press("Enter")
    page.get_by_role("alert").filter(has_text="is no amount").wait_for()
    page.keyboard.press("Escape")
    assert page.evaluate("document.activeElement.getAttribute('aria-label')") == words


def test_no_serious_fault_for_those_who_cannot_see_or_point_and_nothing_cut_off(served):
    axe = pytest.importorskip("axe_playwright_python.sync_playwright").Axe()
    page, faults = served.page, {}
    for name in READY:
        served.open(name)
        if name == "1-modernise-a-formula":
            page.get_by_role("button", name="ingredient of line 1").first.click()
        found = axe.run(page).response["violations"]
        grave = [(f["id"], [n["html"][:120] for n in f["nodes"][:3]]) for f in found if f["impact"] in ("serious", "critical")]
        faults |= {name: grave} if grave else {}
        for width, height in SIZES:
            page.set_viewport_size({"width": width, "height": height})
            page.wait_for_timeout(200)
            wide = page.evaluate("document.documentElement.scrollWidth")
            assert wide <= width, (name, width, wide)
            shoot(page, f"pages-{name[:1]}-{width}")
        page.set_viewport_size({"width": 1366, "height": 768})
    assert faults == {}
