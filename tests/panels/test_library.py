"""The library in its panel."""


import pytest
from panels_without_browser import FORMULA, fields, shown, widgets_in

from histkit.keeping import example as demo
from histkit.keeping.records import Record, load
from histkit.panels import library, reading


def press(panel, words):
    next(w for w in widgets_in(panel) if getattr(w, "description", "") == words and hasattr(w, "click")).click()


def choose(panel, words):
    field = fields(panel)["Kept formulas"]
    field.value = next(key for line, key in field.options if words in line)


@pytest.fixture
def panel(own):
    return library.build(own)


def test_a_formula_is_kept_found_and_opened_again(own, panel):
    own.change(title="Rose powder")
    press(panel, "Use the example")
    assert "What lay on the desk before is kept in rose-powder.json" in shown(panel)
    fields(panel)["Search"].value = "carmine 99"
    assert [key for _, key in fields(panel)["Kept formulas"].options] == [""]
    fields(panel)["Search"].value = "cochineal"
    fields(panel)["Search"].value = "carmine"
    choose(panel, "Rose powder")
    assert "venetian" not in shown(panel) and "With talc, lead carbonate" in shown(panel)
    press(panel, "Open it")
    assert own.record.text == FORMULA and own.record.kept_as == "rose-powder"
    own.change(notes="x")
    press(panel, "Begin with an empty page")
    assert load(own.home / "rose-powder.json").notes == "x" and len(own.kept()) == 1, "no second file of the same formula"


def test_copy_name_bin_and_back(own, panel):
    press(panel, "Move it to the bin")
    assert "choose a formula" in shown(panel)
    fields(panel)["Name"].value = "rose"
    press(panel, "Keep a copy of the desk under this name")
    choose(panel, "rose")
    press(panel, "Make a copy of it")
    choose(panel, "rose, copy")
    fields(panel)["Name"].value = "rose"
    press(panel, "Give it this name")
    assert "already" in shown(panel)
    fields(panel)["Name"].value = "evening rose"
    press(panel, "Give it this name")
    assert sorted(path.stem for path in own.kept()) == ["evening-rose", "rose"]
    choose(panel, "evening rose")
    press(panel, "Move it to the bin")
    assert [path.stem for path in own.kept()] == ["rose"]
    fields(panel)["In the bin"].value = "evening-rose.json"
    press(panel, "Take it out of the bin")
    assert sorted(path.stem for path in own.kept()) == ["evening-rose", "rose"]


def test_what_lies_on_the_desk_is_not_moved_away(own, panel):
    fields(panel)["Name"].value = "rose"
    press(panel, "Keep a copy of the desk under this name")
    choose(panel, "rose")
    press(panel, "Open it")
    choose(panel, "rose")
    press(panel, "Move it to the bin")
    assert "lies on the desk now" in shown(panel) and (own.home / "rose.json").exists()


def test_a_page_and_a_file_to_hand_on(own, panel):
    press(panel, "Hand on as a page")
    page = own.folder / "page-to-share.html"
    assert "POISON" in page.read_text(encoding="utf-8") and 'download="page-to-share.html"' in shown(panel)
    press(panel, "Hand on as a file")
    assert load(own.folder / "formula.json") == own.record and 'download="formula.json"' in shown(panel)


def test_a_file_is_brought_in_and_a_wrong_one_is_told(own, panel):
    upload = next(w for w in widgets_in(panel) if type(w).__name__ == "Chooser")

    def chosen(name, data):
        upload.handle({"begins": name, "size": len(data)})
        upload.handle({"at": 0}, [data])
        upload.handle({"ends": name})

    chosen("<b>tooth</b>.json", demo.record("tooth-powder").to_json().encode())
    assert [path.stem for path in own.kept()] == ["b"] and "<b>" not in shown(panel)
    chosen("<b>tooth</b>.json", b"\xff")
    assert "cannot be read" in shown(panel)


def test_the_library_of_another_page_is_read_when_it_is_opened(own):
    panel = reading.build(own)
    assert "Search" not in fields(panel)
    fields(panel)["Your formulas"].value = True
    assert "Search" in fields(panel)


def test_an_empty_page_says_what_to_do(own, panel):
    other = reading.build(own)
    press(panel, "Begin with an empty page")
    assert "Paste a formula above" in shown(other) and own.record == Record(pressing=own.record.pressing)
