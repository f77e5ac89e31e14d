"""The notebooks in a real JupyterLab in a real browser: a maker's whole way, and nothing asked of any other machine.

HISTKIT_SCREENSHOTS=FOLDER keeps pictures of what was seen.
"""

import re
from pathlib import Path

import pytest
from notebooks_in_browser import NOT_OURS, put, shoot, wait_for

from histkit import records

pytestmark = pytest.mark.browser

FORMULA = "Venetian talc,          4 oz.\nWhite lead,            1 oz.\nCarmine,            1 drachm.\nOtto of rose,       10 drops.\n"


def test_a_makers_whole_way(lab, watched):
    # paste a formula, say which book, put one line right
    first = watched()
    page = first.open(lab, "1-modernise-a-formula.ipynb")
    put(page, "Formula", FORMULA)
    wait_for(lambda: page.get_by_label("Year", exact=True).input_value() == "", "the fields, which another formula empties of the invented book")
    put(page, "Book", "An invented receipt book")
    put(page, "Year", "1868")
    page.get_by_role("heading", name="Lead carbonate must not be used").wait_for()
    shoot(page, "1-read")
    page.get_by_role("button", name="1 drachm., amount of line 3").click()
    page.get_by_label("Amount in line 3", exact=True).fill("2")
    page.keyboard.press("Enter")
    wait_for(lambda: lab.record.exists() and records.load(lab.record).corrections, "the corrected line in the record")
    kept = records.load(lab.record)
    assert (kept.corrections[0].amount, kept.source.year, kept.source.title) == (2.0, 1868, "An invented receipt book")
    page.get_by_text("put right: 2 drachms").first.wait_for()
    page.get_by_text("POISON", exact=True).first.scroll_into_view_if_needed()
    shoot(page, "1-corrected")
    put(page, "Year", "eighteen")
    page.get_by_role("alert").filter(has_text="is no year").wait_for()
    shoot(page, "1-told")

    # white lead replaced, in a second notebook while the first is open
    second = watched()
    page = second.open(lab, "2-explore-substitutes.ipynb")
    page.get_by_role("alert").filter(has_text="Must not be used: lead carbonate").wait_for()
    shoot(page, "2-before")
    page.get_by_label("In place of lead carbonate", exact=True).scroll_into_view_if_needed()
    shoot(page, "2-options")
    page.get_by_label("avoid starch", exact=True).check()
    wait_for(lambda: records.load(lab.record).constraints.avoid == ("starch",), "the constraint in the record")
    page.get_by_role("button", name="Use this instead of lead carbonate").click()
    page.get_by_role("status").filter(has_text="Nothing that must not be used").wait_for()
    page.get_by_text("No forbidden ingredient is in it.").wait_for()  # 'In short' at the foot follows
    shoot(page, "2-after")
    assert records.load(lab.record).replacements[0].removed == "lead-carbonate"

    # the first notebook has heard of it, and a choice made there does not undo it
    first.page.get_by_role("status").filter(has_text="another notebook").wait_for()
    put(first.page, "Page", "p. 12")
    wait_for(lambda: records.load(lab.record).source.page == "p. 12", "the page in the record")
    assert records.load(lab.record).replacements and records.load(lab.record).corrections
    first.close()
    second.close()

    # the binder moved by keyboard, in its box and on its slider; pans and test presses
    third = watched(size=(1920, 1080))
    page = third.open(lab, "3-loose-to-pressed.ipynb")
    box = page.get_by_label("Binder, % of the cake", exact=True)
    box.fill("8")
    box.press("Enter")
    wait_for(lambda: abs(records.load(lab.record).pressing.binder_share - 0.08) < 1e-9, "the binder in the record")
    handle = page.get_by_role("slider").first
    handle.focus()
    handle.press("ArrowRight")
    wait_for(lambda: abs(records.load(lab.record).pressing.binder_share - 0.0825) < 1e-9, "the slider's step in the record")
    wait_for(lambda: box.input_value() == "8.25", "the slider's step in the box")
    page.get_by_role("cell", name="8.25", exact=True).first.wait_for()
    put(page, "Pans", "3")
    page.get_by_text("3 pans, ").wait_for()
    page.get_by_label("Shape", exact=True).select_option("rectangular")
    page.get_by_text("3 pans, 12 × 18 mm").wait_for()
    shoot(page, "3-pressed")
    page.get_by_role("button", name="Work out test presses").click()
    page.get_by_label("Drops it stood", exact=True).select_option("4")
    page.get_by_role("button", name="Use the suggestion").scroll_into_view_if_needed()
    page.get_by_role("img", name="Payoff over the share of binder").scroll_into_view_if_needed()
    shoot(page, "3-trials")
    saved_book = lab.folder / "3-loose-to-pressed.ipynb"

    def saved_with_the_result():  # the plain copy follows a little later, so one save may come too soon
        page.keyboard.press("Control+s")
        return "8.25" in saved_book.read_text(encoding="utf-8")

    wait_for(saved_with_the_result, "the result in the saved notebook")

    # the bench sheet, then the pictures and texts
    fourth = watched()
    page = fourth.open(lab, "4-batch-and-bench-sheet.ipynb")
    page.get_by_role("button", name="Save the bench sheet").click()
    page.get_by_role("link", name="Download the sheet to print").wait_for()
    shoot(page, "4-bench")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Download the sheet to print").click()
    assert saved.value.suggested_filename == "bench-sheet.pdf"
    assert (next(lab.folder.glob("*/bench-sheet.pdf"))).read_bytes() == Path(saved.value.path()).read_bytes()
    fourth.close()
    fifth = watched(size=(1920, 1080))
    page = fifth.open(lab, "5-table-and-pictures.ipynb")
    page.get_by_role("button", name="Make the pictures").click()
    page.get_by_role("status").filter(has_text="saved in").wait_for()
    page.get_by_role("img", name=re.compile("Table of old and new")).scroll_into_view_if_needed()
    shoot(page, "5-picture")
    assert (next(lab.folder.glob("*/pictures/old-and-new-1920x1080.png"))).stat().st_size > 10_000
    page.get_by_role("button", name="Save table and text").click()
    page.get_by_role("status").filter(has_text="under-the-video.md").wait_for()
    fifth.close()

    # after a reload all of it is found again: the static result before anything is run, the choices after
    page = third.page
    page.goto(f"{lab.address}/lab/tree/3-loose-to-pressed.ipynb?reset")
    page.get_by_text("No forbidden ingredient is in it.").first.wait_for()
    page = third.open(lab, "3-loose-to-pressed.ipynb")
    wait_for(lambda: page.get_by_label("Binder, % of the cake", exact=True).count() and page.get_by_label("Binder, % of the cake", exact=True).input_value() == "8.25", "the binder")
    wait_for(lambda: page.get_by_label("Pans", exact=True).input_value() == "3", "the pans")
    assert page.get_by_label("Drops it stood", exact=True).input_value() == "4"
    third.close()
    last = watched()
    page = last.open(lab, "1-modernise-a-formula.ipynb")
    wait_for(lambda: page.get_by_label("Formula", exact=True).count() and page.get_by_label("Formula", exact=True).input_value() == FORMULA, "the formula")
    assert page.get_by_label("Year", exact=True).input_value() == "1868"
    page.get_by_text("put right: 2 drachms").first.wait_for()


def test_the_keyboard_alone(lab, watched):
    """From the formula on, Tab reaches the fields in their order, Enter opens the form of a word, Escape closes it."""
    page = watched().open(lab, "1-modernise-a-formula.ipynb")
    page.get_by_role("button", name="or from a photograph of the page").wait_for()  # the fields are there before all else is
    page.get_by_role("button", name="ingredient of line 1").wait_for()
    page.get_by_label("Formula", exact=True).focus()
    reached = []
    for _ in range(14):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.labels?.[0]?.textContent?.trim() || document.activeElement.textContent.trim()"))
    books_own = "The book says of its measures"
    assert reached[:2] == ["½", "or from a photograph of the page"], "the bar of signs is one stop"
    assert reached[2:11] == ["Book", "Author", "Year", "Page", "Country", "Sort of book", books_own, "Measures", "Name of the formula"]
    first = page.get_by_role("button", name="ingredient of line 1")
    words = first.text_content()
    assert words in reached, "the words of the page follow in their order"
    first.focus()
    page.keyboard.press("Enter")
    page.get_by_label("Ingredient in line 1", exact=True).wait_for()
    page.keyboard.press("Escape")
    assert page.get_by_label("Ingredient in line 1", exact=True).count() == 0
    assert page.evaluate("document.activeElement.textContent") == words


def test_the_look_up_on_the_start_page(lab, watched):
    page = watched().open(lab, "0-start.ipynb")
    put(page, "Old name", "pulv. rad. irid. flor.")
    page.get_by_role("cell", name="orris root", exact=True).first.wait_for()
    shoot(page, "0-start")


def test_notebook_7_shows_the_same(lab, watched):
    pytest.importorskip("notebook")
    its_own = re.compile(NOT_OURS.pattern + "|reading 'schema'")  # Notebook 7.6 says so of an empty notebook too
    page = watched(known=its_own).open(lab, "3-loose-to-pressed.ipynb", app="notebooks")
    page.get_by_label("Binder, % of the cake", exact=True).wait_for()
    page.get_by_role("button", name="Work out test presses").wait_for()
    shoot(page, "notebook-7")
