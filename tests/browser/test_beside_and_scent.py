"""Side by side and scent in a real browser: another formula and a tin's list set beside one's own, the scent made half as strong."""

import pytest
from notebooks_in_browser import put, shoot, wait_for

from histkit import records

pytestmark = pytest.mark.browser


def test_side_by_side_and_scent(lab, watched):
    seen = watched(size=(1600, 1000))
    page = seen.open(lab, "6-side-by-side.ipynb")
    page.get_by_role("cell", name="corn starch").first.wait_for()
    shoot(page, "6-before")
    put(page, "Words to set beside it", "Pearl Powder\nFrench chalk 4 oz.\nWhite lead 2 oz.\n")
    put(page, "Year of that book", "1850")
    page.get_by_role("button", name="Set these words beside it").click()
    wait_for(lambda: lab.record.exists() and len(records.load(lab.record).beside) == 3, "the third formula in the record")
    page.get_by_text("lead carbonate must not be used").first.wait_for()
    shoot(page, "6-after")
    page.get_by_label("What you paste", exact=True).select_option("the list of an old tin, whose order says nothing")
    put(page, "Words to set beside it", "Talc, orris, carmine")
    page.get_by_role("button", name="Set these words beside it").click()
    wait_for(lambda: len(records.load(lab.record).beside) == 4, "the tin's list in the record")
    page.get_by_text("its order says nothing of how much").first.wait_for()
    page.get_by_role("button", name="Take number 1 away").click()
    wait_for(lambda: len(records.load(lab.record).beside) == 3, "one taken away")
    page.get_by_role("button", name="Save tables and picture").click()
    page.get_by_role("status").filter(has_text="side-by-side.png").wait_for()
    (picture,) = lab.folder.rglob("side-by-side.png")
    assert picture.stat().st_size > 10_000
    page.get_by_role("heading", name="Set another beside it").scroll_into_view_if_needed()
    shoot(page, "6-fields")
    seen.close()

    seen = watched(size=(1600, 1000))
    page = seen.open(lab, "7-scent.ipynb")
    page.get_by_role("img", name="What flies off first").first.wait_for()
    shoot(page, "7-before")
    page.get_by_role("button", name="Half as strong").click()
    wait_for(lambda: records.load(lab.record).scenting.strength == 0.5, "the strength in the record")
    wait_for(lambda: page.get_by_label("The whole scent, times as strong as printed", exact=True).input_value() == "0.5", "the field")
    put(page, "rose oil, times", "2")
    wait_for(lambda: dict(records.load(lab.record).scenting.changed) == {"rose-oil": 2.0}, "the rose in the record")
    put(page, "Scent to add", "essence bouquet")
    page.get_by_role("button", name="Add it to the scent").click()
    page.get_by_text("Old bases taken apart into what can be bought").first.wait_for()
    page.get_by_role("img", name="What flies off first").first.scroll_into_view_if_needed()
    shoot(page, "7-after")
    page.get_by_role("button", name="Take added scent 1 out").scroll_into_view_if_needed()
    shoot(page, "7-fields")
    page.get_by_role("button", name="Take added scent 1 out").click()
    wait_for(lambda: records.load(lab.record).scenting.added == (), "it is taken out again")
    seen.close()
