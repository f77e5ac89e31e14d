"""Every choice can be taken back and done again, and quite another text is asked about before anything is lost."""

from dataclasses import replace

import pytest
from panels_without_browser import FORMULA, fields, page_in, put_right, shown, widgets_in

import histkit as hk
from histkit.keeping import example as demo
from histkit.keeping.records import Correction, Record, load
from histkit.panels import batch, pressing, reading
from histkit.panels.state import Desk, is_another
from histkit.panels.steps import Steps

OTHER = "Kaolin, 3 ounces.\nBoric acid, two drachms."


def press(panel, words):
    next(w for w in widgets_in(panel) if getattr(w, "description", "") == words and hasattr(w, "click")).click()


def test_each_step_is_taken_back_and_done_again(own):
    panel = reading.build(own)
    states = [own.record]
    put_right(panel, 3, amount="2")
    states.append(own.record)
    page_in(panel).handle({"does": "replace", "key": "lead-carbonate", "option": "leave out"})
    states.append(own.record)
    fields(panel)["Year"].value = "1868"
    states.append(own.record)
    for state in reversed(states[:-1]):
        press(panel, "Undo")
        assert own.record == state and load(own.path) == state
    assert "Taken back: line 3 was put right." in shown(panel)
    for state in states[1:]:
        press(panel, "Redo")
        assert own.record == state
    assert fields(panel)["Year"].value == "1868"
    press(panel, "Redo")
    assert "nothing to do again" in shown(panel)


def test_a_new_choice_ends_what_could_be_done_again(own):
    own.change(notes="one")
    own.undo()
    own.change(notes="two")
    own.redo()
    assert own.record.notes == "two" and "nothing to do again" in own.news


def test_a_kernel_that_began_anew_takes_back_from_the_history_of_the_file(own):
    own.change(notes="one")
    own.change(title="two")
    again = Desk(own.path)
    again.undo()
    assert (again.record.notes, again.record.title) == ("one", "")
    again.undo()
    assert again.record.notes == "" and "Taken back" in again.news
    again.redo()
    again.redo()
    assert again.record.title == "two"


def test_what_another_notebook_did_is_taken_back_too(own):
    Desk(own.path).change(notes="theirs")
    own.undo()
    assert own.record.notes == "" and load(own.path).notes == "" and own.record.text == FORMULA


def test_where_nothing_was_done_nothing_is_taken_back(desk):
    desk.undo()
    assert "nothing to take back" in desk.news and not desk.path.exists()


def test_a_slider_on_its_way_is_one_step_and_two_things_are_two():
    now = [0.0]
    steps = Steps(lambda: now[0])
    base = demo.record("complexion")
    moved = [replace(base, pressing=replace(base.pressing, binder_share=s)) for s in (0.06, 0.07, 0.08)]
    for before, after in zip([base, *moved], moved, strict=False):
        steps.made(before, after)
        now[0] += 0.1
    noted = replace(moved[-1], notes="x")
    steps.made(moved[-1], noted)
    assert steps.earlier(noted, list) == moved[-1] and steps.earlier(moved[-1], list) == base
    assert steps.later(base) == moved[-1]
    now[0] += 10
    later = replace(moved[-1], pressing=replace(base.pressing, binder_share=0.2))
    steps.made(moved[-1], later)
    assert steps.earlier(later, list) == moved[-1], "after a pause it is a step of its own"


@pytest.mark.parametrize(("text", "another"), [
    (OTHER, True), ("", True), (FORMULA + "\nKaolin, 1 oz.", False), (FORMULA.replace("1 drachm", "2 drachms"), False),
    ("  " + FORMULA.replace("  ", " "), False),
])  # fmt: skip
def test_what_counts_as_another_formula(text, another):
    assert is_another(Record(text=FORMULA), text) is another
    assert not is_another(demo.record("complexion"), text), "the invented formula gives way unasked"


def test_one_sentence_with_a_word_changed_is_the_same_formula():
    printed = "Take of rice starch, half a pound; of Venetian talc, three ounces; and otto of neroli, five drops."
    assert not is_another(Record(text=printed), printed.replace("half a pound", "one pound"))


def corrected_with_a_book(own):
    own.change(source=hk.Source(title="An old book", year=1868), corrections=(Correction(2, amount=2.0),))
    return own.record


def test_quite_another_text_is_asked_about_and_begins_a_new_formula(own):
    """Fault: another formula kept the old book and year, and emptying the field dropped every correction without a word."""
    before = corrected_with_a_book(own)
    panel = reading.build(own)
    fields(panel)["Formula"].value = OTHER
    assert own.record == before and "Is it a new formula?" in shown(panel)
    press(panel, "A new formula")
    assert own.record.text == OTHER and own.record.source == hk.Source() and own.record.corrections == ()
    aside = load(own.kept()[0])
    assert (aside.source, aside.corrections, aside.text) == (before.source, before.corrections, before.text)
    own.undo()
    assert own.record.corrections == before.corrections


def test_the_same_formula_with_its_text_changed_keeps_its_book(own):
    before = corrected_with_a_book(own)
    panel = reading.build(own)
    fields(panel)["Formula"].value = OTHER
    press(panel, "The same formula, its text changed")
    assert own.record.text == OTHER and own.record.source == before.source


def test_an_emptied_field_loses_nothing_and_the_text_comes_back(own):
    before = corrected_with_a_book(own)
    panel = reading.build(own)
    fields(panel)["Formula"].value = ""
    assert own.record == before and "The text is empty" in shown(panel)
    press(panel, "Put the old text back")
    assert fields(panel)["Formula"].value == FORMULA and own.record == before


def test_the_history_is_listed_and_any_state_comes_back(own):
    panel = reading.build(own)
    put_right(panel, 3, amount="2")
    fields(panel)["Year"].value = "1868"
    fields(panel)["History of every choice"].value = True
    assert "line 3 was put right" in shown(panel)
    states = fields(panel)["Go back to"]
    states.value = next(number for words, number in states.options if "line 3" in words)
    press(panel, "Go back to it")
    assert own.record.source.year is None and own.record.corrections and "Undo takes that back" in shown(panel)
    own.undo()
    assert own.record.source.year == 1868


def test_no_state_of_a_number_that_is_not_there(own):
    with pytest.raises(hk.BadValue, match="no state 99"):
        own.go_back(99)


def test_a_figure_beyond_its_bounds_is_told_and_not_changed_silently(desk):
    """Fault: 5,000,000 g became 100,000 and 60 % became 25 % without a word."""
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    grams = fields(panel)["Make, grams"]
    grams.value = 5_000_000
    assert "lies from 0.01 to 100,000, so 5,000,000 is not taken" in shown(panel)
    assert grams.value == 5_000_000 and desk.record.weighing.grams == 60
    grams.value = 80
    assert "is not kept" not in shown(panel) and desk.record.weighing.grams == 80
    panel = pressing.build(desk)
    share = fields(panel)["Binder, % of the cake"]
    share.value = 60
    assert "lies from 0 to 25, so 60 is not taken" in shown(panel)
    assert share.value == 60 and desk.record.pressing.binder_share == pytest.approx(0.05)
    stock = next(field for name, field in fields(batch.build(desk)).items() if name.startswith("talc: have"))
    stock.value = -1
    assert desk.record.weighing.cupboard == ()
