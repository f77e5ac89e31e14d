"""Words that mean harm: whatever a maker pastes is shown as text, and nowhere acted upon."""

import openpyxl
import pytest

import histkit as hk

EVIL = "=HYPERLINK(\"http://x\") \x1b[31mred\x07 \u202etxt.exe\u2066 <script>alert(1)</script> ]]> & | `x` $a$ [l](javascript:1)"
HIDDEN = ("\x1b", "\x07", "\u202e", "\u2066")


@pytest.fixture(scope="module")
def translation():
    source = hk.Source(title=EVIL, author=EVIL, place=EVIL, page=EVIL, url="javascript:alert(1)")
    return hk.translate(hk.read(f"{EVIL}\nPowdered talc, 4 oz.\n@{EVIL} starch, 2 oz.\n+1cmd|'/C calc'!A0 chalk, 3 oz.", source=source))


def test_text_for_a_terminal_holds_no_control_characters(translation):
    table = hk.compare(translation)
    shown = [translation.to_text(), table.to_text(), *(line.explain() for line in translation.lines), table.to_markdown()]
    assert not any(character in text for text in shown for character in HIDDEN)


def test_pages_and_pictures_hold_no_markup_of_the_maker(translation, tmp_path):
    table = hk.compare(translation)
    table.to_picture(tmp_path / "table.svg")
    pages = [table.to_html(), translation.to_html(), translation._repr_html_(), (tmp_path / "table.svg").read_text()]
    for page in pages:
        assert "<script" not in page
        assert 'href="javascript' not in page
        assert not any(character in page for character in HIDDEN)
    assert "<script" not in table.to_markdown()


def test_no_cell_of_a_spreadsheet_is_a_formula(translation, tmp_path):
    table = hk.compare(translation)
    table.to_xlsx(tmp_path / "table.xlsx")
    book = openpyxl.load_workbook(tmp_path / "table.xlsx")  # a title with control characters once made it unreadable
    cells = [cell for sheet in book for row in sheet.iter_rows() for cell in row]
    assert not any(cell.data_type == "f" for cell in cells)
    assert not any(str(cell.value or "")[:1] in "=+-@" for cell in cells if cell.data_type == "s" and cell.value)
    table.to_csv(tmp_path / "table.csv")
    fields = (tmp_path / "table.csv").read_text(encoding="utf-8")
    assert not any(character in fields for character in HIDDEN)
    assert ",=HYPERLINK" not in fields
    assert ',"=HYPERLINK' not in fields
    assert ",@" not in fields


@pytest.mark.parametrize("number", [float("nan"), float("inf"), -3.0, 0.0])
def test_amounts_that_are_no_amounts_are_named_in_the_error(number):
    composition = hk.translate(hk.read("Talc 4 oz.\nStarch 2 oz.")).composition()
    balance = hk.Balance(readability=0.01, minimum=0.2)
    with pytest.raises(hk.BadValue, match="grams"):
        hk.batch(composition, grams=number, balance=balance)
    with pytest.raises(hk.BadValue, match="readability"):
        hk.Balance(readability=number, minimum=1)
    with pytest.raises(hk.BadValue, match="diameter_mm"):
        hk.pan_fill(hk.press(composition), diameter_mm=number, depth_mm=4)


def test_huge_figures_in_print_are_no_crash():
    formula = hk.read("Talc 99999999999999999999999999 oz.; chalk 1e400 oz; orris 5 oz.")
    assert [line.ingredient for line in formula.lines][-1] == "orris"
    hk.translate(formula)
