"""Side by side and scent without a browser: set a field, look at the record and at what is shown."""

from dataclasses import replace

import pytest
from panels_without_browser import fields, shown

from histkit import records
from histkit.keeping import beside as keeping_beside
from histkit.keeping import example
from histkit.keeping.records import AddedScent, Companion, Record, Scenting
from histkit.panels import beside, scent
from histkit.panels.state import Desk


def test_words_and_lists_are_set_beside_it_and_kept(own):
    panel = beside.build(own)
    assert "Nothing stands beside your formula yet" in shown(panel)
    f = fields(panel)
    f["Words to set beside it"].value, f["Year of that book"].value, f["Country of that book"].value = "Talc 1 oz.\nZinc oxide 1 oz.", "1890", "us"
    f["Set these words beside it"].click()
    (companion,) = records.load(own.path).beside
    assert (companion.form, companion.source.year, companion.source.country) == ("formula", 1890, "US")
    assert f["Words to set beside it"].value == "" and "zinc oxide" in shown(panel)
    f["What you paste"].value = "list"
    f["Words to set beside it"].value, f["What it is called"].value, f["Below 1 % from"].value = "Talc, Kaolin, Parfum", "a tin", "Parfum"
    f["Set these words beside it"].click()
    assert own.record.beside[-1] == Companion("Talc, Kaolin, Parfum", "list", "a tin", one_percent_from="Parfum")
    assert "3rd of 3, at most 1 %" in shown(panel)
    fields(panel)["Take number 1 away"].click()
    assert [c.name for c in own.record.beside] == ["a tin"]


def test_a_kept_record_is_set_beside_it(own):
    own.keep_copy("first try")
    own.edit(lambda record: replace(record, text="Kaolin 1 oz.\nTalc 3 oz."))
    panel = beside.build(own)
    f = fields(panel)
    f["Set the kept one beside it"].click()
    assert "choose a formula that is kept" in shown(panel)
    f["A formula kept in this folder"].value = "first-try.json"
    f["Set the kept one beside it"].click()
    assert own.record.beside == (Companion("first-try.json", "record"),) and "lead carbonate" in shown(panel)
    (own.home / "first-try.json").unlink()
    f["compare the powders alone, without what presses them"].value = True
    assert "Number 1 beside it (first-try.json)" in shown(panel), "a record that is gone is told, and nothing else is lost"


@pytest.mark.parametrize(("text", "told"), [("", "paste a formula"), ("Good morning", "ingredient line")])
def test_words_that_are_nothing_are_told_and_not_kept(own, text, told):
    panel = beside.build(own)
    fields(panel)["Words to set beside it"].value = text
    fields(panel)["Set these words beside it"].click()
    assert told in shown(panel) and own.record.beside == ()


def test_a_year_that_is_none_no_books_and_too_many(own):
    panel = beside.build(own)
    f = fields(panel)
    f["Words to set beside it"].value, f["Year of that book"].value = "Talc 1 oz.", "about 1890"
    f["Set these words beside it"].click()
    assert "is no year" in shown(panel)
    f["Find the nearest"].click()
    assert "name the folder" in shown(panel)
    f["Folder with the tables of whole books"].value = str(own.folder)
    f["Find the nearest"].click()
    assert "histkit corpus read" in shown(panel)
    own.change(beside=tuple(Companion(f"Talc {n} oz.\nKaolin 1 oz.") for n in range(1, 8)))
    f["Year of that book"].value = ""
    f["Set these words beside it"].click()
    assert "the most" in shown(panel) and len(own.record.beside) == 7


def test_saved_as_files(tmp_path):
    table = Desk(tmp_path / "my-formula.json", replaced=True)
    panel = beside.build(table)
    fields(panel)["Save tables and picture"].click()
    assert {"side-by-side.csv", "side-by-side.xlsx", "side-by-side.png"} <= {p.name for p in table.folder.iterdir()}


def test_no_path_leads_out_of_the_folder(tmp_path):
    for name in ("../secret.json", "/etc/passwd", "a/b.json"):
        side, troubles = keeping_beside.side_by_side(
            replace(example.record("complexion"), beside=(Companion(name, "record"),)), tmp_path
        )
        assert side is None and len(troubles) == 1


# -- scent ----------------------------------------------------------------------------------------------------------------------


def test_strength_parts_and_back(desk):
    panel = scent.build(desk)
    f = fields(panel)
    assert {"rose oil, times", "bergamot oil, times"} <= set(f)
    f["Half as strong"].click()
    f["rose oil, times"].value = 0.5
    f["Where one part is less"].value = "scent"
    assert records.load(desk.path).scenting == Scenting(0.5, (("rose-oil", 0.5),), "scent")
    assert f["The whole scent, times as strong as printed"].value == 0.5 and "as it is now" in shown(panel)
    f["As printed again"].click()
    assert desk.record.scenting == Scenting() and f["rose oil, times"].value == 1


def test_a_scent_is_added_and_taken_out(desk):
    panel = scent.build(desk)
    f = fields(panel)
    f["Add it to the scent"].click()
    assert "knows no" in shown(panel)
    f["Scent to add"].value, f["How much of it"].value, f["Measured in"].value = "oil of sandalwood", 0.5, "gram"
    f["for grams of powder"].value = 50
    f["Add it to the scent"].click()
    assert desk.record.scenting.added == (AddedScent("sandalwood-oil", 0.5, "gram"),) and desk.record.scenting.per_grams == 50
    assert desk.record.composition().share("sandalwood-oil") == pytest.approx(0.5 / 50.5, rel=0.01)
    fields(panel)["Take added scent 1 out"].click()
    assert desk.record.scenting.added == ()


def test_what_leaves_nothing_but_scent_is_told_and_not_kept(desk):
    desk.begin(Record(text="Talc 1 drachm.\nOtto of rose 30 drops."))
    panel = scent.build(desk)
    fields(panel)["rose oil, times"].value = 19
    assert "would be" in shown(panel) and desk.record.scenting.changed == ()


def test_a_powder_without_scent_says_so(desk):
    desk.begin(Record(text="Talc 1 oz.\nKaolin 1 oz."))
    panel = scent.build(desk)
    assert scent.NOTHING in shown(panel) and scent.noun(desk.record) is None
    fields(panel)["Save the tables and the bars"].click()
    assert shown(panel).count(scent.NOTHING) == 2


def test_tables_and_bars_are_saved(desk):
    panel = scent.build(desk)
    fields(panel)["Save the tables and the bars"].click()
    assert {"scent.md", "scent.png"} <= {p.name for p in desk.folder.iterdir()}
