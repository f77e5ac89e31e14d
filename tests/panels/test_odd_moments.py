"""The panels where something is odd: no event loop, Voilà, a file that fails, choices that no field offers."""

import asyncio
import json
from dataclasses import replace

import pytest
from panels_without_browser import FORMULA, fields, page_in, put_right, shown

import histkit as hk
from histkit.keeping import example as demo
from histkit.keeping.records import Record
from histkit.panels import batch, parts, pressing, reading, state, substitutes, summary, trials
from histkit.panels.state import Desk

# -- what lies on the desk, in sentences ------------------------------------------------------------------------------------------


def test_the_sentences_follow_every_change(own):
    panel = summary.build(own)
    assert "Must be replaced before a batch can be made: lead carbonate." in shown(panel)
    own.change(text="Talc,   1 oz.\nStarch,   1 oz.")
    assert "lead" not in shown(panel) and "Batch: 60.00 g." in shown(panel) and shown(panel).count("<li") == 4


def test_the_sentences_stay_in_the_notebook_as_plain_text_and_as_a_list(own):
    own.change(title="Powder *of* pearls | <b>")
    made = summary.Summary(own)
    bundle = made._repr_mimebundle_()
    assert repr(made) == bundle["text/plain"] == own.summary() and set(bundle) == {"text/plain", "text/markdown"}
    listed = bundle["text/markdown"].split("\n")
    assert len(listed) == len(own.summary().split("\n")) and all(line.startswith("* ") for line in listed)
    assert "<b>" not in bundle["text/markdown"] and "*of*" not in bundle["text/markdown"].replace("\\*", "")


@pytest.mark.parametrize("server", ["", "voila/0.5.7"])
def test_the_sentences_are_shown_in_a_script_and_under_voila(own, monkeypatch, capsys, server):
    monkeypatch.setenv("SERVER_SOFTWARE", server)
    assert parts.in_voila() is bool(server)
    summary.summary_panel(own)
    told = capsys.readouterr().out
    assert ("<summary panel>" in told) if server else ("Must be replaced" in told)


@pytest.mark.parametrize("server", ["", "voila/0.5.7"])
@pytest.mark.parametrize("with_desk", [True, False])
def test_a_panel_and_its_plain_copy_are_shown(own, monkeypatch, capsys, server, with_desk):
    """Voilà shows the widgets alone; elsewhere the plain copy stands under them, also where there is no desk."""
    monkeypatch.setenv("SERVER_SOFTWARE", server)
    panel = summary.build(own)
    parts.show(
        panel, own if with_desk else None, lambda record: record.translation() if record.text else None, "Nothing is here."
    )
    told = capsys.readouterr().out
    assert "<summary panel>" in told
    assert ("lead carbonate" in told) is (with_desk and not server)
    assert ("Nothing is here." in told) is (not with_desk and not server)


class Handle:
    """What IPython gives back for an output that can be renewed."""

    def __init__(self):
        self.shown = []

    def update(self, thing):
        self.shown.append(thing)


def test_in_a_notebook_the_plain_copies_are_renewed(own, monkeypatch):
    handle = Handle()
    for module in (parts, summary):
        monkeypatch.setattr(module, "display", lambda *things, display_id=False: handle if display_id else None)
    parts.show(summary.build(own), own, lambda record: record.translation() if record.text else None, "Nothing is here.")
    summary.summary_panel(own)
    assert handle.shown == [], "renewed when something changes, not before"
    own.change(text="Kaolin,   1 oz.")
    assert sorted(type(thing).__name__ for thing in handle.shown) == ["PlainCopy", "Summary"]
    assert all("kaolin" in repr(thing).lower() or "without a title, 1 lines" in repr(thing) for thing in handle.shown)


def test_calls_that_come_close_together_are_answered_once():
    async def session(put_off):
        done = []
        later = parts.Later(lambda: done.append(1), seconds=0.02, put_off=put_off)
        for _ in range(5):
            later()
        assert done == []
        for _ in range(100):
            await asyncio.sleep(0.01)
            if done:
                break
        later()
        for _ in range(100):
            await asyncio.sleep(0.01)
            if len(done) == 2:
                return done
        return done

    assert asyncio.run(session(True)) == [1, 1] and asyncio.run(session(False)) == [1, 1]


# -- a desk whose file fails ------------------------------------------------------------------------------------------------------


def test_a_choice_that_makes_no_sense_is_told_and_the_old_one_stays(own, monkeypatch):
    before = own.record

    def refuse(*_, **__):
        raise hk.BadValue("no such thing")

    monkeypatch.setattr(state, "replace", refuse)
    own.change(notes="x")
    assert own.trouble == "no such thing" and own.record == before


def test_a_look_at_the_file_that_fails_is_told_and_tried_again(own, monkeypatch):
    monkeypatch.setattr(state, "LOOK_EVERY", 0.01)
    looks = []

    def look():
        looks.append(1)
        if len(looks) == 1:
            raise OSError("the stick was pulled out")

    monkeypatch.setattr(own, "fetch", look)

    async def session():
        own.follow()
        for _ in range(200):
            await asyncio.sleep(0.01)
            if len(looks) > 1:
                return

    asyncio.run(session())
    assert "could not be looked at again (OSError: the stick was pulled out)" in own.trouble and len(looks) > 1


def test_a_formula_that_cannot_be_set_aside_stays_on_the_desk(own, monkeypatch):
    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    own.begin(Record(text="Kaolin,   1 oz."))
    assert own.record.text == FORMULA and "So the formula stays on the desk." in own.trouble


def test_what_is_too_large_to_be_a_record_is_not_read(own):
    own.keep_copy("small")
    large = own.home / "large.json"
    large.write_text(json.dumps({"histkit-record": 1, "notes": "x" * 1_000_001}), encoding="utf-8")
    assert [p.name for p in own.kept()] == ["small.json"]
    before = large.read_bytes()
    assert own.keep_copy("large") == "large-2.json" and large.read_bytes() == before


def test_the_records_of_a_folder_that_is_gone(tmp_path):
    assert Desk(tmp_path / "gone" / "my-formula.json").kept() == ()


# -- fields ---------------------------------------------------------------------------------------------------------------------


def test_a_line_that_is_gone_is_not_corrected(own):
    panel = reading.build(own)
    Desk(own.path).change(text="Talc,   1 oz.")  # another notebook; this one has not looked yet
    assert "no longer there" in put_right(panel, 4, amount="7")["trouble"]
    assert own.record.corrections == () and own.record.text == "Talc,   1 oz."
    assert "changed in another notebook" in shown(panel) and len(page_in(panel).lines) == 1


def test_an_emptied_field_is_as_it_was_read(own):
    panel = reading.build(own)
    put_right(panel, 3, amount="5")
    assert own.record.corrections[0].amount == 5.0
    put_right(panel, 3, amount="")
    assert own.record.corrections == () and page_in(panel).lines[2]["amount"] == "1"


def test_what_the_page_cannot_do_is_told_and_changes_nothing(own):
    page, before = page_in(reading.build(own)), own.record
    assert "no line above" in page.handle({"does": "join", "line": 0})["trouble"]
    gone = {"does": "replace", "key": "lead-carbonate", "option": "moon dust"}
    assert "not offered any more" in page.handle(gone)["trouble"]
    assert own.record == before


def test_what_is_no_ingredient_is_marked_on_the_page(desk):
    desk.begin(Record(text="Talc,   1 oz.\nStarch,   2 oz.,\nOrris,"))
    assert ">Orris,<" in shown(reading.build(desk)) and "(not read)" in shown(reading.build(desk))


def test_choices_of_a_record_that_no_field_offers_are_shown_and_kept(desk):
    """A record made by hand may hold 35 drops; the field offers 20."""
    desk.keep(demo.record("complexion"))
    fields(pressing.build(desk))["Work out test presses"].click()
    many = replace(desk.record.trials[0], drops_survived=35)
    desk.change(trials=(many, *desk.record.trials[1:]))
    panel = pressing.build(desk)
    assert fields(panel)["Drops it stood"].value == 35
    assert desk.record.trials[0].drops_survived == 35


def test_a_loose_powder_has_no_trials(desk):
    desk.keep(replace(demo.record("complexion"), pressing=None))
    with pytest.raises(hk.BadValue, match="loose powder: tick"):
        trials.with_suggested(desk.record, "binder")


def test_the_same_shape_of_pan_again_changes_nothing(desk):
    record = demo.record("complexion")
    assert pressing.with_shape(record, pressing.shape_of(record.weighing)) is record


def test_an_ingredient_without_cautions_says_so():
    harmless = replace(hk.glossary.ingredient("rice-starch"), cautions=())
    assert "has no caution for it" in substitutes.caution_view(harmless)


def test_a_sort_of_book_that_was_chosen_can_be_taken_back(own):
    field = fields(reading.build(own))["Sort of book"]
    field.value = "trade receipt book"
    field.value = ""
    assert own.record.source.kind is None and own.record.source == hk.Source()


def test_a_batch_that_cannot_be_made_was_not_made(own):
    own.change(weighing=replace(own.record.weighing, number="1"))
    with pytest.raises(hk.Forbidden):
        batch.with_made(own.record)
    fields(batch.build(own))["This batch was made"].click()
    assert own.record.batches == ()


def test_no_least_batch_is_told_where_none_can_be_worked_out(own):
    assert batch.least_view(replace(own.record, text="")) == ""
    good = demo.record("complexion")
    assert "g" in batch.least_view(replace(good, weighing=replace(good.weighing, grams=5.0)))
    assert batch.least_view(replace(good, weighing=replace(good.weighing, make="pans"))) == ""
