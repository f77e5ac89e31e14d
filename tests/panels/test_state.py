"""The desk: what is kept, when it is written, and two notebooks that keep the same file."""

import asyncio
import json
from dataclasses import replace

import pytest
from panels_without_browser import FORMULA

import histkit as hk
from histkit import records
from histkit.keeping import example as demo
from histkit.keeping.records import Correction, Record, load, save
from histkit.panels import state
from histkit.panels.changes import corrected, correction_of
from histkit.panels.state import Desk, with_text


def test_it_starts_from_the_invented_formula_and_writes_nothing_until_something_changes(desk):
    assert desk.record == demo.record("complexion", replaced=False)
    assert not desk.path.exists()
    desk.change(notes="changed")
    assert records.load(desk.path).notes == "changed"
    assert Desk(desk.path).record == desk.record


def test_a_damaged_record_is_told_and_kept_before_it_is_written_over(tmp_path):
    path = tmp_path / "my-formula.json"
    path.write_text("{ broken", encoding="utf-8")
    table = Desk(path)
    assert "damaged" in table.trouble and path.read_text(encoding="utf-8") == "{ broken"
    table.change(notes="anew")
    assert records.load(path).notes == "anew"
    assert (tmp_path / "my-formula.json.damaged").read_text(encoding="utf-8") == "{ broken"


def test_a_damaged_record_and_the_formula_before_are_both_told_where_they_are(desk):
    desk.begin(Record(text=FORMULA))
    desk.path.write_text("{ broken", encoding="utf-8")
    desk.begin(Record())
    assert "my-formula-set-aside.json" in desk.news and "my-formula.json.damaged" in desk.news
    desk.path.write_text("{ broken again", encoding="utf-8")
    desk.change(notes="x")
    assert "my-formula.json.damaged-2" in desk.news
    assert (desk.home / "my-formula.json.damaged").read_text(encoding="utf-8") == "{ broken"


def test_a_desk_that_cannot_save_says_so_and_keeps_the_choice(tmp_path):
    table = Desk(tmp_path / "gone" / "my-formula.json")
    table.change(notes="held")
    assert "not saved" in table.trouble and table.record.notes == "held"


def test_without_a_file_nothing_is_written(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    table = Desk(None)
    table.change(notes="x")
    table.begin(Record(text=FORMULA))
    assert list(tmp_path.iterdir()) == []


def test_two_notebooks_do_not_undo_each_other(desk):
    other = Desk(desk.path)
    desk.edit(lambda record: replace(record, text=FORMULA))
    other.change(notes="from the other")
    assert (other.record.text, other.record.notes) == (FORMULA, "from the other")
    assert desk.fetch() and desk.record == other.record
    assert "another notebook" in desk.news
    assert not desk.fetch()


def test_a_save_in_the_very_moment_is_not_undone(desk):
    """Another notebook saves between our look at the file and our own saving: the change is made again to what it saved."""
    desk.change(title="mine")
    tries = []

    def change(record):
        tries.append(record.notes)
        if len(tries) == 1:
            save(replace(record, notes="theirs"), desk.path)
        return replace(record, title="mine, later")

    desk.edit(change)
    assert tries == ["", "theirs"]
    kept = load(desk.path)
    assert (kept.title, kept.notes) == ("mine, later", "theirs") and desk.record == kept and not desk.trouble


def test_a_file_that_never_rests_is_told(desk):
    desk.change(title="mine")
    count = iter(range(1000))

    def change(record):
        save(replace(record, notes=f"theirs {next(count)}"), desk.path)
        return replace(record, title="never")

    desk.edit(change)
    assert "not saved" in desk.trouble and load(desk.path).title != "never"


def test_what_another_notebook_broke_is_told_and_nothing_is_lost(desk):
    desk.change(notes="mine")
    desk.path.write_text("{", encoding="utf-8")
    desk.fetch()
    assert "damaged" in desk.trouble and desk.record.notes == "mine"
    desk.change(title="on")
    assert records.load(desk.path).notes == "mine"


def test_a_desk_follows_the_file_while_a_kernel_runs(desk, monkeypatch):
    monkeypatch.setattr(state, "LOOK_EVERY", 0.01)

    async def session():
        desk.follow()
        desk.follow()
        Desk(desk.path).change(notes="from elsewhere")
        for _ in range(200):
            await asyncio.sleep(0.01)
            if desk.record.notes:
                return

    asyncio.run(session())
    assert desk.record.notes == "from elsewhere"


def test_following_without_an_event_loop_is_no_error(desk):
    desk.follow()


def test_an_impossible_choice_is_told_and_the_old_one_stays(desk):
    with pytest.raises(hk.BadValue):
        desk.edit(lambda record: replace(record, source=replace(record.source, year=99999)))
    assert desk.record.source.year == 1871 and not desk.path.exists()


def test_a_cell_that_is_run_again_takes_the_place_of_its_panel_from_before(desk):
    heard = []
    desk.watch(lambda _: heard.append("first"), "panel", now=False)
    desk.watch(lambda _: heard.append("second"), "panel", now=False)
    desk.change(notes="x")
    assert heard == ["second"]


def test_another_formula_sets_the_present_one_aside(desk):
    desk.begin(Record(text=FORMULA))
    assert not (desk.home / "my-formula-set-aside.json").exists(), "the invented formula need not be kept"
    desk.begin(Record())
    assert records.load(desk.home / "my-formula-set-aside.json").text == FORMULA
    assert "my-formula-set-aside.json" in desk.news and desk.record == Record()
    assert desk.summary() == "There is no formula yet."


def test_copies(desk):
    desk.begin(Record(text=FORMULA))
    assert desk.keep_copy(" rice powder  1871 ") == "rice-powder-1871.json"
    assert [p.name for p in desk.kept()] == ["rice-powder-1871.json"]
    (desk.home / "plain.json").write_text("{}", encoding="utf-8")
    (desk.home / "broken.json").write_text("{", encoding="utf-8")
    assert [p.name for p in desk.kept()] == ["rice-powder-1871.json"]
    for name in ("", "../elsewhere", "a/b", "my formula", "My Formula", "x.json", "nul"):
        with pytest.raises(hk.BadValue):
            desk.keep_copy(name)
    assert desk.keep_copy("plain") == "plain-2.json"
    assert (desk.home / "plain.json").read_text(encoding="utf-8") == "{}"


def test_a_formula_of_the_makers_own_keeps_nothing_of_the_invented_one():
    record, told = with_text(demo.record("complexion"), FORMULA)
    assert (record.source, record.replacements, told) == (hk.Source(), (), "")


def test_corrections_stay_with_their_words():
    record = Record(text=FORMULA, corrections=(Correction(1, amount=2.0), Correction(2, unit="scruple")))
    moved, told = with_text(record, "Rice starch,   1 oz.\n" + FORMULA)
    assert moved.corrections == (Correction(2, amount=2.0), Correction(3, unit="scruple")) and told == ""
    lost, told = with_text(record, FORMULA.replace("1 drachm", "2 drachms"))
    assert lost.corrections == (Correction(1, amount=2.0),)
    assert "Carmine, 1 drachm." in told


def test_a_twice_printed_line_keeps_the_right_correction():
    text = "Talc,   1 oz.\nKaolin,   1 oz.\nTalc,   1 oz."
    moved, _ = with_text(Record(text=text, corrections=(Correction(2, amount=5.0),)), "Carmine,   1 drachm.\n" + text)
    assert moved.corrections == (Correction(3, amount=5.0),)


def test_putting_right_and_going_back():
    record = corrected(Record(text=FORMULA), 2, amount=1.5)
    record = corrected(record, 2, unit="scruple")
    assert correction_of(record, 2) == Correction(2, 1.5, "scruple")
    assert corrected(record, 2, amount=None, unit=None).corrections == ()
    with pytest.raises(hk.BadValue):
        corrected(record, 2, amount=-1.0)


def test_the_summary(desk):
    assert "Must be replaced before a batch can be made: lead carbonate." in desk.summary()
    desk.keep(demo.record("complexion"))
    assert desk.summary().endswith("Batch: 60.00 g.")
    desk.change(text="Unheard-of substance,   1 oz.\nTalc,   1 oz.")
    assert "Not in the glossary" in desk.summary()
    desk.change(text="Good morning")
    assert "no ingredient line" in desk.summary()


def test_the_record_is_plain_json(desk):
    desk.change(notes="x")
    assert json.loads(desk.path.read_text(encoding="utf-8"))["notes"] == "x"


def test_the_desk_of_a_notebook(tmp_path, monkeypatch):
    monkeypatch.setenv("HISTKIT_RECORD", str(tmp_path / "one.json"))
    first = state.desk()
    assert state.desk() is first and first.path == tmp_path / "one.json"
    Desk(first.path).change(notes="elsewhere")
    assert state.desk().record.notes == "elsewhere", "a cell that is run again takes the newest record"
