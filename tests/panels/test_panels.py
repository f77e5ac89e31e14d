"""The panels without a browser: set a field, look at the result."""

import json

import pytest

import histkit as hk
from histkit import demo, records
from histkit.panels import batch, find, pictures, pressing, reading, substitutes
from histkit.panels.desk import Desk

FORMULA = "Venetian talc,   4 oz.\nWhite lead,   1 oz.\nCarmine,   1 drachm.\nOtto of rose,   10 drops."


def fields(panel):
    """Every widget in a panel with a description or a value, by its description."""
    found, waiting = {}, list(panel.children)
    while waiting:
        widget = waiting.pop(0)
        waiting = [*getattr(widget, "children", ()), *waiting]
        name = getattr(widget, "description", "")
        if name:
            found[name] = widget
    return found


def shown(panel):
    """All HTML of a panel."""
    texts, waiting = [], list(panel.children)
    while waiting:
        widget = waiting.pop(0)
        waiting = [*getattr(widget, "children", ()), *waiting]
        if type(widget).__name__ == "HTML":
            texts.append(widget.value)
    return "".join(texts)


@pytest.fixture
def desk(tmp_path):
    return Desk(tmp_path / "my-formula.json")


def test_a_desk_starts_from_the_invented_formula_and_writes_nothing_until_something_changes(desk):
    assert desk.record == demo.record("complexion", replaced=False)
    assert not desk.path.exists()
    desk.change(notes="changed")
    assert records.load(desk.path).notes == "changed"
    assert Desk(desk.path).record == desk.record


def test_a_damaged_record_is_told_and_not_written_over(tmp_path):
    path = tmp_path / "my-formula.json"
    path.write_text("{ broken", encoding="utf-8")
    table = Desk(path)
    assert "damaged" in table.trouble and path.read_text(encoding="utf-8") == "{ broken"


def test_a_desk_that_cannot_save_says_so_and_keeps_the_choice(tmp_path):
    table = Desk(tmp_path / "gone" / "my-formula.json")
    table.change(notes="held")
    assert "not saved" in table.trouble and table.record.notes == "held"


def test_read_and_correct(desk):
    panel = reading.build(desk)
    f = fields(panel)
    f["Formula"].value = FORMULA
    assert f["Book"].value == "", "the invented book is not the source of a formula of the maker's own"
    f["Book"].value, f["Year"].value, f["Country"].value = "A book", "1868", "GB"
    assert desk.record.source == hk.Source(title="A book", year=1868, country="GB")
    assert "lead carbonate" in shown(panel)
    f["Line"].value = 2
    assert (f["Amount"].value, f["Unit"].value) == ("1", "drachm")
    f["Amount"].value, f["Unit"].value, f["Ingredient"].value = "1 1/2", "scruple", "kaolin"
    f["Put this line right"].click()
    line = desk.record.formula().lines[2]
    assert (line.amount, line.unit, line.ingredient) == (1.5, "scruple", "kaolin")
    f["Back to how it was read"].click()
    assert desk.record.corrections == ()
    f["Leave this line out"].click()
    assert desk.record.formula().lines[2].amount is None


@pytest.mark.parametrize(("field", "words", "told"), [("Year", "about 1870", "no year"), ("Year", "99999", "between 1000 and 2100"), ("Formula", "Good morning", "no ingredient line"), ("Formula", "", "Paste a formula")])
def test_odd_input_gets_a_sentence(desk, field, words, told):
    panel = reading.build(desk)
    fields(panel)[field].value = words
    assert told in shown(panel)


@pytest.mark.parametrize(("words", "amount"), [("2", 2), ("0.5", 0.5), ("1/2", 0.5), ("1 1/2", 1.5), ("5 to 8", (5, 8)), ("8-5", (5, 8)), ("", None), (" 0,5 ", 0.5)])
def test_amounts_that_a_maker_types(words, amount):
    assert reading.amount_of(words) == amount


@pytest.mark.parametrize("words", ["two", "1/0", "1 to 2 to 3", "-"])
def test_amounts_that_are_none(words):
    if words == "-":
        with pytest.raises(hk.BadValue):
            reading.amount_of(words)
        return
    with pytest.raises(hk.BadValue, match="no amount"):
        reading.amount_of(words)


def test_everything_typed_is_escaped(desk):
    panel = reading.build(desk)
    fields(panel)["Formula"].value = "rose <script>alert(1)</script> powder,   2 oz.\nTalc,   1 oz."
    assert "<script>" not in shown(panel) and "&lt;script&gt;" in shown(panel)


def test_replace_white_lead_and_take_it_back(desk):
    panel = substitutes.build(desk)
    f = fields(panel)
    assert "Must not be used: lead carbonate" in shown(panel)
    assert f["Ingredient"].value == "lead-carbonate"
    f["without talc"].value = True
    names = [label for label, _ in f["In its place"].options]
    assert names and not any("talc" in name for name in names)
    f["without talc"].value = False
    f["My reason"].value = "poison"
    f["Use this instead"].click()
    assert desk.record.replacements[0].parts == (("zinc-oxide", 0.7), ("titanium-dioxide", 0.3))
    assert "Nothing that must not be used" in shown(panel)
    f["Take it back"].click()
    assert desk.record.replacements == ()


def test_leave_it_out(desk):
    f = fields(substitutes.build(desk))
    f["In its place"].value = f["In its place"].options[-1][1]
    f["Use this instead"].click()
    assert desk.record.replacements[0].parts == ()
    assert "lead-carbonate" not in desk.record.composition()


def test_binder_oil_pans_and_test_presses(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    f = fields(panel)
    f["Binder, % of the cake"].value = 8
    f["Oil"].value = ""
    assert desk.record.pressing.binder_share == pytest.approx(0.08) and desk.record.pressing.oil is None
    assert "8.00" in shown(panel)
    f["Pans"].value = 3
    assert "3 round pans" in shown(panel)
    f["Work out test presses"].click()
    assert shown(panel).count("<table") >= 2
    f["press it into a cake"].value = False
    assert "loose powder" in shown(panel)
    f["press it into a cake"].value = True
    f["Binder, % of the cake"].value = 20
    assert 'role="alert"' in shown(panel)


def test_a_batch_is_refused_kindly_and_then_made(desk):
    panel = batch.build(desk)
    assert "lead" in shown(panel) and "substitutes" in shown(panel)
    desk.keep(demo.record("complexion"))
    fields(panel)["Make, grams"].value = 25
    assert "25.00" in shown(panel)
    fields(panel)["Save the bench sheet"].click()
    assert "25.00" in (desk.folder / "bench-sheet.html").read_text(encoding="utf-8")
    fields(panel)["Smallest step of the balance, g"].value = 5
    assert shown(panel)


def test_pictures_and_texts(desk):
    desk.keep(demo.record("complexion"))
    panel = pictures.build(desk)
    f = fields(panel)
    f["Make the pictures"].click()
    assert "data:image/png;base64," in shown(panel)
    assert (desk.folder / "pictures" / "old-and-new-1920x1080.png").exists()
    f["Save table and text"].click()
    assert (desk.folder / "pictures" / "under-the-video.md").read_text(encoding="utf-8")


def test_look_up():
    panel = find.build("flake white")
    assert "lead" in shown(panel) and "bismuth" in shown(panel)
    fields(panel)["Old name"].value = "umbrella"
    assert "knows no" in shown(panel)
    fields(panel)["Old name"].value = ""
    assert "Type a name" in shown(panel)


def test_an_unexpected_error_is_a_sentence_too(monkeypatch):
    from histkit.panels.parts import kindly

    def broken():
        raise RuntimeError("boom")

    with pytest.raises(RuntimeError):
        kindly(broken)
    monkeypatch.setenv("HISTKIT_RAISE", "0")
    assert "boom" in kindly(broken) and "Traceback" not in kindly(broken)


def test_the_record_is_plain_json(desk):
    desk.change(notes="x")
    assert json.loads(desk.path.read_text(encoding="utf-8"))["notes"] == "x"
