"""The panels without a browser: set a field, look at the result."""

import asyncio
import html
import re
import sys
import zipfile
from dataclasses import replace

import pytest
from panels_without_browser import FORMULA, fields, page_in, put_right, shown, widgets_in

import histkit as hk
from histkit import records
from histkit.composing import blending
from histkit.keeping import example as demo
from histkit.keeping.records import Record
from histkit.panels import batch, beside, changes, find, parts, pictures, pressing, reading, scent, substitutes
from histkit.panels.state import Desk


@pytest.fixture(autouse=True)
def no_swallowed_errors(caplog):
    """ipywidgets logs what a button's action raises and goes on; here it fails the test."""
    yield
    assert not [r.getMessage() for r in caplog.get_records("call") if "Exception in callback" in r.getMessage()]


# -- reading --------------------------------------------------------------------------------------------------------------------


def test_paste_and_name_the_book(desk):
    panel = reading.build(desk)
    f = fields(panel)
    f["Formula"].value = FORMULA
    assert f["Book"].value == "", "the invented book is not the source of a formula of the maker's own"
    f["Book"].value, f["Year"].value, f["Country"].value = " A book ", "1868", "GB"
    f["Sort of book"].value = "trade receipt book"
    assert desk.record.source == hk.Source(title="A book", year=1868, country="GB", kind="trade receipt book")
    assert "lead carbonate" in shown(panel)
    f["Measures"].value = "apothecaries-us"
    f["Name of the formula"].value = "Rose powder"
    assert (desk.record.convention, desk.record.formula().title) == ("apothecaries-us", "Rose powder")


def test_a_line_is_put_right_and_read_as_printed_again(own):
    panel = reading.build(own)
    page = page_in(panel)
    assert (page.lines[2]["amount"], page.lines[2]["unit"], page.lines[2]["name"]) == ("1", "drachm", "Carmine")
    assert "cochineal" in page.handle({"does": "explain", "line": 2})["closer"], "the glossary's card"
    answer = put_right(panel, 3, amount="1½", unit="scruple", name="kaolin")
    line = own.record.formula().lines[2]
    assert (line.amount, line.unit, line.ingredient) == (1.5, "scruple", "kaolin")
    assert "put right: 1.5 scruples kaolin" in shown(panel) and answer["done"] == "Line 3: kaolin, 1.94 g. Kept."
    assert records.load(own.path).corrections == own.record.corrections
    page.handle({"does": "as_printed", "line": 2})
    assert own.record.corrections == () and page.lines[2]["name"] == "Carmine"
    page.handle({"does": "leave_out", "line": 2})
    assert own.record.formula().lines[2].amount is None and "not an ingredient" in shown(panel)
    put_right(panel, 3, amount="3")
    assert own.record.formula().lines[2].amount == 3.0, "an amount takes the line in again"


def test_what_equals_the_print_is_no_correction(own):
    panel = reading.build(own)
    put_right(panel, 3, amount="2")
    put_right(panel, 3, amount="1", unit="drachm", name="Carmine")
    assert own.record.corrections == ()


def test_an_impossible_amount_gets_a_sentence_and_is_not_kept(own):
    panel = reading.build(own)
    assert "is no amount" in put_right(panel, 1, amount="some")["trouble"] and own.record.corrections == ()
    assert "trouble" not in put_right(panel, 1, amount="5 to 8") and own.record.corrections[0].amount == (5.0, 8.0)


def test_lines_come_and_go_with_the_text(own):
    panel = reading.build(own)
    fields(panel)["Formula"].value = FORMULA + "\nKaolin,   2 oz."
    assert [form["name"] for form in page_in(panel).lines][-1] == "Kaolin"
    fields(panel)["Formula"].value = "Venetian talc,   4 oz."
    assert len(page_in(panel).lines) == 1
    own.change(text="")
    assert page_in(panel).lines == [] and page_in(panel).html == ""


def test_a_lost_correction_is_told(own):
    panel = reading.build(own)
    put_right(panel, 3, amount="2")
    fields(panel)["Formula"].value = FORMULA.replace("1 drachm", "4 drachms")
    assert "no longer fit" in shown(panel) and own.record.corrections == ()


@pytest.mark.parametrize(
    ("field", "words", "told"),
    [
        ("Year", "about 1870", "no year"),
        ("Year", "99999", "between 1000 and 2100"),
        ("Year", "²", "no year"),
        ("Formula", "Good morning", "no ingredient line"),
        ("Formula", "", "Paste a formula"),
        ("Formula", "\x00\u202e", "Paste a formula"),
    ],
)
def test_odd_input_gets_a_sentence(desk, field, words, told):
    panel = reading.build(desk)
    fields(panel)[field].value = words
    assert told in shown(panel) or (field == "Formula" and "no ingredient line" in shown(panel))


def test_two_impossible_fields_each_keep_their_sentence(desk):
    panel = reading.build(desk)
    fields(panel)["Year"].value = "eighteen"
    fields(panel)["Author"].value = "Somebody"
    assert "no year" in shown(panel), "another field that is right does not make this one right"
    fields(panel)["Year"].value = "1870"
    assert "no year" not in shown(panel)


def test_what_another_notebook_changed_stands_in_the_fields(own):
    panel = reading.build(own)
    Desk(own.path).change(source=hk.Source(title="Elsewhere", year=1900))
    own.fetch()
    assert (fields(panel)["Book"].value, fields(panel)["Year"].value) == ("Elsewhere", "1900")
    assert "another notebook" in shown(panel)


@pytest.mark.parametrize(
    ("words", "amount"),
    [
        ("2", 2),
        ("0.5", 0.5),
        ("1/2", 0.5),
        ("1 1/2", 1.5),
        ("½", 0.5),
        ("5 to 8", (5, 8)),
        ("8-5", (5, 8)),
        ("", None),
        (" 0,5 ", 0.5),
        ("two", 2),
    ],
)
def test_amounts_that_a_maker_types(words, amount):
    assert changes.amount_of(words) == amount


@pytest.mark.parametrize("words", ["some", "1/0", "1 to 2 to 3", "-", "12 oz", "1e9", "2 3", "<b>"])
def test_amounts_that_are_none(words):
    with pytest.raises(hk.BadValue, match="no amount"):
        changes.amount_of(words)


def test_everything_typed_is_escaped(own):
    panel = reading.build(own)
    bad = "rose <script>alert(1)</script> powder"
    f = fields(panel)
    f["Formula"].value = f"{bad},   2 oz.\nTalc,   1 oz."
    f["Book"].value = f["Name of the formula"].value = '<img src=x onerror="alert(1)">'
    put_right(panel, 2, name="<script>x</script>")
    put_right(panel, 2, amount="<b>1</b>")
    page_in(panel).handle({"does": "explain", "line": 1})
    everything = shown(panel) + "".join(shown(page.build(own)) for page in (substitutes, pressing, batch, pictures))
    assert "<script" not in everything and "<img src=x" not in everything and "<b>1</b>" not in everything
    assert "&lt;script&gt;" in everything


# -- substitutes ----------------------------------------------------------------------------------------------------------------


def test_what_the_book_says_of_its_measures(own):
    panel = reading.build(own)
    own.change(text="Rose water  1 pint\nTalc  1 oz.")
    before = own.record.translation().lines[0].grams.best
    fields(panel)["The book says of its measures"].value = " imperial pint "
    imperial = own.record.translation().lines[0].grams.best
    fields(panel)["The book says of its measures"].value = "wine measure"
    assert own.record.source.measures == "wine measure"
    assert own.record.translation().lines[0].grams.best == pytest.approx(imperial * 473.176473 / 568.26125)
    assert before == pytest.approx(imperial)


def test_replace_white_lead_and_take_it_back(own):
    panel = substitutes.build(own)
    f = fields(panel)
    assert "Must not be used: lead carbonate" in shown(panel)
    assert "Lead carbonate: must not be used" in shown(panel) and "Talc: limited by law" in shown(panel)
    f["My reason for replacing lead carbonate"].value = "poison"
    f["Use this instead of lead carbonate"].click()
    chosen = own.record.replacements[0]
    assert (chosen.parts, chosen.reason) == ((("zinc-oxide", 0.7), ("titanium-dioxide", 0.3)), "poison")
    assert "Nothing that must not be used" in shown(panel) and "Chosen and kept" in shown(panel)
    assert "Lead carbonate: replaced by zinc oxide and titanium dioxide" in shown(panel) and "Lead carbonate: must not" not in shown(panel)
    f["My reason for replacing lead carbonate"].value = "lead poisons"
    assert own.record.replacements[0].reason == "lead poisons", "a reason may be written afterwards"
    f["Take the choice for lead carbonate back"].click()
    assert own.record.replacements == () and "Must not be used: lead carbonate" in shown(panel)


def test_effects_are_redrawn_at_once_when_another_option_is_looked_at(own):
    panel = substitutes.build(own)
    option = fields(panel)["In place of lead carbonate"]
    seen = set()
    for _, value in option.options[:4]:
        option.value = value
        seen.add(shown(panel))
        assert "Before and after" in shown(panel)
    assert len(seen) == 4 and own.record.replacements == ()


@pytest.mark.parametrize(("label", "barred"), [("avoid talc", "talc"), ("avoid starch", "starch")])
def test_constraints(own, label, barred):
    panel = substitutes.build(own)
    fields(panel)[label].value = True
    options = fields(panel)["In place of lead carbonate"].options
    assert len(options) > 1 and not any(barred in words for words, _ in options)
    fields(panel)[label].value = False
    assert len(fields(panel)["In place of lead carbonate"].options) >= len(options)


def test_constraints_are_kept_and_what_is_unwanted_gets_a_place_of_its_own(own):
    panel = substitutes.build(own)
    assert "Use this instead of carmine" not in fields(panel)
    fields(panel)["avoid animal products"].value = True
    assert records.load(own.path).constraints == records.Constraints(("animal",), "EU")
    assert "Carmine: you ticked to avoid it" in shown(panel).replace("carmine", "Carmine")
    again = substitutes.build(Desk(own.path))
    assert fields(again)["avoid animal products"].value and not fields(again)["avoid talc"].value
    fields(again)["avoid animal products"].value = False
    assert "you ticked" not in shown(again) and records.load(own.path).constraints.avoid == ()


def test_the_region_of_law_decides_the_cautions(own):
    panel = substitutes.build(own)
    assert "21 CFR" not in _of_block(panel, "lead carbonate")
    fields(panel)["Region of law"].value = "US"
    assert "Annex IV/144" not in _of_block(panel, "lead carbonate")


def _of_block(panel, name):
    """What stands under the choice for one ingredient."""
    widgets = list(widgets_in(panel))
    at = next(i for i, w in enumerate(widgets) if getattr(w, "description", "") == f"In place of {name}")
    return widgets[at + 1].value


def test_a_blend_worked_out_from_several(own):
    panel = substitutes.build(own)
    f = fields(panel)
    more = next(w for w in widgets_in(panel) if f["Work out the blend"] in getattr(w, "children", ()))
    assert more.layout.display == "none", "nothing to choose before it is said what is replaced"
    f["Blend in place of"].value = "lead-carbonate"
    assert more.layout.display == "flex"
    offered = dict(f["Stand-ins, several with Ctrl or Shift"].options)
    f["Work out the blend"].click()
    assert "choose the stand-ins for the blend" in shown(panel)
    f["Stand-ins, several with Ctrl or Shift"].value = (offered["zinc oxide"], offered["titanium dioxide"], offered["talc"])
    f["Use this blend"].click()
    assert "work out a blend first" in shown(panel) and own.record.replacements == ()
    f["Work out the blend"].click()
    solved = blending.solve_blend(
        own.record.composition(), "lead-carbonate", ("zinc-oxide", "titanium-dioxide", "talc"),
        ("opacity", "oil-absorption", "bulk-density"), region="EU", form="loose",
    )  # fmt: skip
    for key, grams in solved.parts:
        assert f"{grams:.3g} g {hk.glossary.ingredients[key].name}" in shown(panel)
    f["My reason for this blend"].value = "covers alike"
    f["Use this blend"].click()
    (chosen,) = own.record.replacements
    assert dict(chosen.parts) == {key: pytest.approx(grams) for key, grams in solved.parts} and chosen.reason == "covers alike"
    assert "Nothing that must not be used" in shown(panel) and "stands in for lead carbonate" in shown(panel)
    for label in ("keep how it covers", "keep how much oil it takes up", "keep its bulk"):
        f[label].value = False
    f["Work out the blend"].click()
    assert "tick what the blend is to keep" in shown(panel)


def test_what_is_avoided_is_not_offered_for_a_blend(own):
    panel = substitutes.build(own)
    f = fields(panel)
    f["Blend in place of"].value = "lead-carbonate"
    assert "talc" in dict(f["Stand-ins, several with Ctrl or Shift"].options)
    f["avoid talc"].value = True
    assert "talc" not in dict(f["Stand-ins, several with Ctrl or Shift"].options)


def test_leave_it_out(own):
    f = fields(substitutes.build(own))
    f["In place of lead carbonate"].value = f["In place of lead carbonate"].options[-1][1]
    f["Use this instead of lead carbonate"].click()
    assert own.record.replacements[0].parts == ()
    assert "lead-carbonate" not in own.record.composition()


def test_the_only_ingredient_cannot_be_left_out(desk):
    desk.begin(Record(text="White lead,   1 oz."))
    panel = substitutes.build(desk)
    f = fields(panel)
    f["In place of lead carbonate"].value = f["In place of lead carbonate"].options[-1][1]
    f["Use this instead of lead carbonate"].click()
    assert "cannot be left out" in shown(panel) and desk.record.replacements == ()


def test_an_ingredient_that_is_not_barred_can_be_replaced_too(own):
    panel = substitutes.build(own)
    other = fields(panel)["Another ingredient"]
    key = next(v for _, v in other.options if v)
    other.value = key
    name = hk.glossary.ingredients[key].name
    fields(panel)[f"Use this instead of {name}"].click()
    assert own.record.replacements[0].removed == key


def test_an_unknown_ingredient_does_no_harm(desk):
    desk.begin(Record(text="Unheard-of substance,   1 oz.\nWhite lead,   1 oz."))
    panel = substitutes.build(desk)
    other = fields(panel)["Another ingredient"]
    other.value = next(v for _, v in other.options if v.startswith("unknown"))
    assert "Unheard" in shown(panel)


def test_stand_ins_for_what_is_no_longer_in_the_text_are_told(own):
    panel = substitutes.build(own)
    fields(panel)["Use this instead of lead carbonate"].click()
    own.change(text="Talc,   1 oz.\nKaolin,   1 oz.")
    assert "for when it comes back" in shown(panel)


# -- pressing ---------------------------------------------------------------------------------------------------------------------


def test_binder_oil_and_pans(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    f = fields(panel)
    f["Binder, % of the cake"].value = 8
    f["Oil"].value = ""
    assert desk.record.pressing.binder_share == pytest.approx(0.08) and desk.record.pressing.oil is None
    assert "8.00" in shown(panel) and "Published levels" in shown(panel)
    f["Pans"].value = 3
    assert "3 pans, 44 mm across" in shown(panel)
    f["Usual pans"].value = "round-59"
    assert desk.record.weighing.pan_diameter_mm == f["Across, mm"].value == 59.0
    f["Across, mm"].value = 41
    assert f["Usual pans"].value == "", "another size"
    f["Pressed with"].value = "clamp"
    assert "MPa" in shown(panel) and desk.record.pressing.press == "clamp"
    before = desk.record.weighing.grams
    f["Make as much as the pans take"].click()
    assert desk.record.weighing.grams != before and "The batch is now" in shown(panel)
    f["Binder, % of the cake"].value = 20
    assert 'role="alert"' in shown(panel) and "outside what is known" in shown(panel)
    f["press it into a cake"].value = False
    assert desk.record.pressing is None and "loose powder" in shown(panel)
    f["press it into a cake"].value = True
    assert desk.record.pressing is not None


def test_rectangular_pans(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    f = fields(panel)
    f["Pans"].value = 2
    f["Usual pans"].value = "rectangle-30x20"
    assert "2 pans, 20 × 30 mm" in shown(panel)
    assert (f["Long, mm"].value, f["Wide, mm"].value, f["Shape"].value) == (30, 20, "rectangular")
    assert f["Across, mm"].layout.display == "none" and f["Long, mm"].layout.display is None
    f["Wide, mm"].value = 40
    assert f["Usual pans"].value == "" and "40 × 30 mm" in shown(panel)
    # 30 mm x 40 mm x 4 mm are 4.8 cm3 a pan; a cake of 1.0 to 1.5 g/cm3 (common practice), two pans and a tenth for the tools.
    f["Make as much as the pans take"].click()
    assert 2 * 4.8 * 1.0 * 1.1 <= desk.record.weighing.grams <= 2 * 4.8 * 1.5 * 1.1 + 0.01
    f["Shape"].value = "round"
    assert "2 pans, 44 mm across" in shown(panel) and f["Long, mm"].layout.display == "none"
    f["Shape"].value = "rectangular"
    assert "2 pans, 12 × 18 mm" in shown(panel), "it begins at a usual size"


def test_a_slider_on_its_way_is_worked_out_now_and_then_and_at_its_end(desk, monkeypatch):
    monkeypatch.setattr(parts, "SLIDER_EVERY", 0.05)
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    track = next(w for w in widgets_in(panel) if type(w).__name__ == "FloatSlider")
    kept = []
    desk.watch(lambda record: kept.append(round(100 * record.pressing.binder_share, 2)), "count", now=False)

    async def drag():
        for step in range(40):
            track.value = 5.25 + 0.25 * step
            await asyncio.sleep(0.005)
        await asyncio.sleep(0.2)

    asyncio.run(drag())
    assert kept[-1] == fields(panel)["Binder, % of the cake"].value == 15.0, "where it came to rest"
    assert 1 <= len(kept) <= 12, "not each of the forty steps"


def test_a_slider_follows_its_box_and_the_box_its_slider(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    box = fields(panel)["Binder, % of the cake"]
    track = next(w for w in widgets_in(panel) if type(w).__name__ == "FloatSlider")
    track.value = 7.25
    assert box.value == 7.25 and desk.record.pressing.binder_share == pytest.approx(0.0725)
    box.value = 3
    assert track.value == 3
    assert not track.readout and not track.description, "the box beside it bears the name and the figure"


def test_a_share_beyond_the_slider_is_shown_as_it_is(desk):
    desk.keep(records.Record(text=FORMULA, pressing=records.Pressing(binder_share=0.4)))
    f = fields(pressing.build(desk))
    assert f["Binder, % of the cake"].value == 40 and desk.record.pressing.binder_share == 0.4


def test_too_much_binder_and_oil_is_told_and_not_kept(desk):
    desk.keep(records.Record(text=FORMULA, pressing=records.Pressing(binder_share=0.9)))
    panel = pressing.build(desk)
    fields(panel)["Oil, % of the cake"].value = 15
    assert "stay below 1 together" in shown(panel) and desk.record.pressing.oil_share == 0.03


def test_pans_and_test_presses_are_refused_kindly_while_lead_is_in_it(own):
    own.change(pressing=records.Pressing())
    panel = pressing.build(own)
    f = fields(panel)
    f["Make as much as the pans take"].click()
    assert "how many pans" in shown(panel)
    f["Pans"].value = 1
    f["Make as much as the pans take"].click()
    f["Work out test presses"].click()
    assert shown(panel).count("lead carbonate must not be used") == 2 and "Composition.replace" not in shown(panel)


def test_presses_and_what_came_of_them(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    f = fields(panel)
    f["Test presses"].value = 3
    f["Work out test presses"].click()
    assert "Blend" in shown(panel) and "As soon as one result is noted" in shown(panel)
    f = fields(panel)
    for n, (drops, payoff) in enumerate([(0, 5), (4, 4), (6, 1)], start=1):
        f["Test press"].value = n
        f["Drops it stood"].value = drops
        f["Payoff, 0 to 5"].value = payoff
    assert "<svg" in shown(panel) and "What to try against each fault" in shown(panel)
    f["Test press"].value = 1
    assert f["Drops it stood"].value == 0, "the form shows what was noted of the press that is chosen"
    f["Notes"].value = "crumbles <b>"
    assert "Suggestion for the next trial" in shown(panel) and "<b>" not in shown(panel).split("Trials:")[1].split("Suggestion")[0]
    again = pressing.build(desk)
    fields(again)["Test press"].value = 3
    assert fields(again)["Drops it stood"].value == 6, "the log is found again"
    fields(again)["Use the suggestion"].click()
    assert desk.record.pressing.binder_share != pytest.approx(0.05) or "is now" in shown(again)
    fields(again)["Work out test presses"].click()
    assert [t.number for t in desk.record.trials] == [1, 2, 3, 4, 5, 6, 7, 8], "results are not thrown away, five more are planned"
    fields(again)["Test press"].value = 4
    assert fields(again)["Drops it stood"].value == ""
    fields(again)["Test presses"].value = 2
    fields(again)["Work out test presses"].click()
    assert [t.number for t in desk.record.trials] == [1, 2, 3, 4, 5], "what was planned and not tried makes room"
    assert ">5<" in shown(again).split("Trial ladder")[1].split("Trials:")[0], "the plan has the numbers of the rows"


def test_what_another_notebook_noted_stands_in_the_form(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    fields(panel)["Work out test presses"].click()
    other = Desk(desk.path)
    theirs = fields(pressing.build(other))
    theirs["Test press"].value = 2
    theirs["Payoff, 0 to 5"].value = 3
    desk.fetch()
    fields(panel)["Test press"].value = 2
    assert fields(panel)["Payoff, 0 to 5"].value == 3
    other.change(trials=())
    fields(panel)["Drops it stood"].value = 2
    assert "no longer in the log" in shown(panel) and desk.record.trials == ()


def test_everything_of_a_trial_is_kept_and_what_is_no_figure_is_refused_kindly(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    fields(panel)["Work out test presses"].click()
    f = fields(panel)
    f["What went wrong"].value = ("soft", "streaks")
    for name, words in (
        ("Pressed at, MPa", "0,3"), ("Date", "3 May"), ("Dropped from, mm", "250"), ("Dropped onto", "wood"),
        ("Weight it lost, %", "2"), ("Ten strokes took, mg", "4.5"), ("Photograph (file)", "trial-1.jpg"),
    ):  # fmt: skip
        f[name].value = words
    trial = desk.record.trials[0]
    assert (trial.crumbles, trial.named, trial.pressure, trial.date) == (True, ("streaks",), 0.3, "3 May")
    assert (trial.drop_height_mm, trial.drop_surface, trial.lost_share) == (250, "wood", 0.02)
    assert (trial.payoff_mg, trial.photograph) == (4.5, "trial-1.jpg")
    assert "Press harder first" in shown(panel)
    f["Use the suggestion"].click()
    assert 2.07 < desk.record.pressing.pressure_mpa < 13.8 and "is now pressed at" in shown(panel)
    f["Weight it lost, %"].value = "much"
    assert "Weight it lost, % is a number such as 4.5" in shown(panel) and desk.record.trials[0].lost_share == 0.02
    f["Weight it lost, %"].value = "300"
    assert "share from 0 to 1" in shown(panel) and desk.record.trials[0].lost_share == 0.02
    f["What went wrong"].value = ()
    assert desk.record.trials[0].crumbles is None and desk.record.trials[0].named == ()


def test_one_powder_ground_up_again_takes_less_of_it(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    fields(panel)["How"].value = "one powder, ground up again each time"
    fields(panel)["Work out test presses"].click()
    assert "grind it up again" in shown(panel) and len(desk.record.trials) == 5


def test_test_presses_are_weighed_on_the_makers_own_balance(desk):
    desk.keep(demo.record("complexion"))
    desk.change(weighing=records.Weighing(readability=0.1, minimum=1.0))
    panel = pressing.build(desk)
    fields(panel)["Work out test presses"].click()
    whole = re.search(r"Blend ([0-9.]+) g", shown(panel))[1]
    assert float(whole) * 10 == pytest.approx(round(float(whole) * 10)), "a balance of 0.1 g shows no hundredths"


# -- batch ------------------------------------------------------------------------------------------------------------------------


def test_a_batch_is_refused_kindly_and_then_made(desk):
    panel = batch.build(desk)
    assert "No bench sheet yet: lead carbonate" in shown(panel) and "zinc and titanium whites" in shown(panel)
    fields(panel)["Save the bench sheet"].click()
    assert "lead carbonate must not be used" in shown(panel) and not (desk.folder / "bench-sheet.html").exists()
    desk.keep(demo.record("complexion"))
    fields(panel)["Make, grams"].value = 25
    assert "25.00" in shown(panel) and "No bench sheet" not in shown(panel)
    fields(panel)["Save the bench sheet"].click()
    assert "25.00" in (desk.folder / "bench-sheet.html").read_text(encoding="utf-8")
    assert 'download="bench-sheet.html" href="data:text/html;base64,' in shown(panel)
    fields(panel)["Make, grams"].value = 30
    assert "download=" not in shown(panel), "a link to an old sheet is taken away"


def test_a_batch_by_pans_or_by_what_is_at_hand_with_prices_and_numbers(desk):
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    fields(panel)["How much"].value = "pans"
    fields(panel)["Pans"].value = 3
    assert desk.record.batch().pans == 3 and "No bench sheet" not in shown(panel)
    fields(panel)["How much"].value = "cupboard"
    assert "at hand" in shown(panel) or "composition" in shown(panel), "nothing is said to be at hand yet"
    fields(panel)["talc: have, g"].value = 10
    share = desk.record.final().share("talc")
    assert desk.record.batch().grams == pytest.approx(10 / share, rel=0.01)
    fields(panel)["How much"].value = "grams"
    fields(panel)["talc: price of 1 g"].value = 0.5
    fields(panel)["Currency"].value = "EUR"
    assert desk.record.prices == (("talc", 0.5),) and "EUR" in shown(panel)
    fields(panel)["talc: price of 1 g"].value = 0
    assert desk.record.prices == ()
    fields(panel)["This batch was made"].click()
    assert "give the batch a number" in shown(panel) and desk.record.batches == ()
    fields(panel)["Batch number"].value = "7"
    fields(panel)["Notes on this batch"].value = "a little soft"
    fields(panel)["This batch was made"].click()
    assert [(b.number, b.notes) for b in desk.record.batches] == [("7", "a little soft")]
    assert desk.record.weighing.number == "" and fields(panel)["Batch number"].value == "" and "7: a little soft" in shown(panel)
    fields(panel)["Batch number"].value = "7"
    fields(panel)["This batch was made"].click()
    assert "was made before" in shown(panel) and len(desk.record.batches) == 1


def test_the_sheet_is_saved_to_print_and_the_label_is_a_draft(desk):
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    fields(panel)["Save the bench sheet"].click()
    assert (desk.folder / "bench-sheet.pdf").read_bytes().startswith(b"%PDF")
    assert 'download="bench-sheet.pdf"' in shown(panel) and "Draft of a label" in shown(panel)


def test_a_balance_that_is_too_coarse(desk):
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    fields(panel)["Smallest step of the balance, g"].value = 5
    fields(panel)["Make, grams"].value = 2
    assert "less than the balance shows" in shown(panel)


# -- pictures ---------------------------------------------------------------------------------------------------------------------


def test_pictures_and_texts(desk):
    desk.keep(demo.record("complexion"))
    panel = pictures.build(desk)
    f = fields(panel)
    f["Make the pictures"].click()
    assert "data:image/png;base64," in shown(panel)
    assert _png_size(desk.folder / "pictures" / "old-and-new-1920x1080.png") == (1920, 1080)
    f["Size"].value = (1080, 1920)
    f["Make the pictures"].click()
    assert _png_size(desk.folder / "pictures" / "old-and-new-1080x1920.png") == (1080, 1920)
    desk.change(notes="x")
    assert "has changed since" in shown(panel)
    assert f["Text under the video"].layout.display == "none"
    f["Save table and text"].click()
    assert "## Steps" in (desk.folder / "pictures" / "under-the-video.md").read_text(encoding="utf-8")
    assert f["Text under the video"].layout.display is None and "## Steps" in f["Text under the video"].value
    assert (desk.folder / "pictures" / "source.bib").read_text(encoding="utf-8").startswith("@book{")
    assert 'download="old-and-new.html"' in shown(panel)
    desk.change(notes="y")
    assert f["Text under the video"].layout.display == "none", "a text of an earlier state is taken away"


def test_a_film_of_the_table_tells_its_progress(desk, monkeypatch):
    pytest.importorskip("av")
    desk.keep(demo.record("complexion"))
    told = []
    wish = pictures.FilmWish(size=(480, 270), seconds=5, rate=25, ending="mp4", calm=True)
    (film, words) = pictures.save_film(desk, wish, lambda *step: told.append(step))
    assert film.name == "old-and-new-480x270.mp4" and film.stat().st_size > 1000 and words.suffix == ".txt"
    assert told[-1] == (125, 125)
    panel = pictures.build(desk)
    f = fields(panel)
    asked = []

    def stub(table, wish, progress):
        asked.append(wish)
        progress(1, 2)
        assert "Frame 1 of 2." in shown(panel) and '<progress max="2" value="1"' in shown(panel)
        return [film, words]

    monkeypatch.setattr(pictures, "save_film", stub)
    f["Film size"].value, f["Seconds"].value, f["Film file"].value = (1080, 1080), 40, "webm"
    f["Make the film"].click()
    assert asked == [] and "Seconds lies from 5 to 30, so 40 is not taken" in shown(panel)
    f["Seconds"].value = 30
    f["Make the film"].click()
    assert asked == [pictures.FilmWish((1080, 1080), 30, 30, "webm")] and film.name in shown(panel)
    desk.change(notes="z")
    assert "has changed since the film" in shown(panel)


def test_a_look_of_one_s_own_begins_as_a_table_to_be_changed(desk):
    desk.keep(demo.record("complexion"))
    wish = replace(SMALL, theme=pictures.OWN)
    (first,) = (f.read_bytes() for f in pictures.save_pictures(desk, wish).files)
    own = desk.folder / "look.csv"
    text = own.read_text(encoding="utf-8")
    assert (
        "margin" in text
        and "printed face" in text
        and first == pictures.save_pictures(desk, replace(SMALL, theme="paper")).files[0].read_bytes()
    )
    own.write_text(text.replace("#f5efe2", "#fff0f5"), encoding="utf-8")
    assert pictures.save_pictures(desk, wish).files[0].read_bytes() != first
    own.write_text(text.replace("#241f1a", "#e0e0e0"), encoding="utf-8")
    with pytest.raises(hk.HistkitError, match=r"look\.csv, line 3: ink #e0e0e0 on paper .* take a darker one"):
        pictures.save_pictures(desk, wish)


def _png_size(path):
    head = path.read_bytes()[:24]
    return int.from_bytes(head[16:20], "big"), int.from_bytes(head[20:24], "big")


SMALL = pictures.Wish(size=(640, 360), theme="dark")


@pytest.mark.parametrize("kind", [k for k in pictures.KINDS if k != "cards"])
def test_every_kind_of_picture(desk, kind):
    record = demo.record("complexion")
    desk.keep(replace(record, weighing=replace(record.weighing, pans=3)))
    saved = pictures.save_pictures(desk, replace(SMALL, kind=kind))
    assert saved.files and not saved.left_out and all(_png_size(f) == (640, 360) for f in saved.files)
    assert all(f.with_suffix(".txt").exists() for f in saved.files), "each with its description"


@pytest.mark.parametrize("way", [way for _, way in pictures.WAYS])
def test_all_pictures_tell_their_progress_and_what_is_left_out(own, way):
    told = []
    saved = pictures.save_pictures(own, replace(SMALL, kind=pictures.ALL, ending="svg", way=way), lambda *step: told.append(step))
    assert [n for n, _, _ in told] == list(range(len(told))) and told[-1][0] + 1 == told[-1][1]
    assert saved.left_out == ("needs", "steps", "step-cards") and "must not be used: what you need; steps" in saved.sentence(), (
        "lead is not weighed"
    )
    if way != pictures.ARCHIVE:
        assert len({f.name for f in saved.files}) == len(saved.files) >= len(told)


def test_a_set_goes_into_a_numbered_folder_or_an_archive_to_download(desk):
    desk.keep(demo.record("complexion"))
    panel = pictures.build(desk)
    f = fields(panel)
    f["Picture of"].value, f["Size"].value, f["Save as"].value = "bars", (1080, 1080), pictures.NUMBERED
    f["Make the pictures"].click()
    numbered = desk.folder / "pictures" / "frames-1080x1080"
    assert (numbered / "01-shares.png").exists()
    f["Picture of"].value = "needs"
    f["Make the pictures"].click()
    assert re.search(r"still in that folder: [^<]*01-shares\.png", shown(panel)), (
        "frames of an earlier set are told, for they would be shown too"
    )
    f["Save as"].value = pictures.ARCHIVE
    f["Make the pictures"].click()
    assert 'download="frames-1080x1080.zip" href="data:application/zip;base64,' in shown(panel)
    with zipfile.ZipFile(desk.folder / "pictures" / "frames-1080x1080.zip") as archive:
        names = set(archive.namelist())
        assert {"01-what-you-need.png", "01-what-you-need.txt"} <= names and not any("shares" in name for name in names)


def test_a_file_too_large_for_a_link_is_told(tmp_path, monkeypatch):
    monkeypatch.setattr(parts, "MOST_TO_DOWNLOAD", 3)
    (tmp_path / "x.zip").write_bytes(b"1234")
    assert "too large" in parts.download(tmp_path / "x.zip", "Download") and "href" not in parts.download(tmp_path / "x.zip", "")


def test_a_picture_that_is_refused_says_why(own):
    panel = pictures.build(own)
    fields(panel)["Picture of"].value = "needs"
    fields(panel)["Make the pictures"].click()
    assert "lead carbonate must not be used" in shown(panel)


def test_a_folder_that_cannot_be_made_is_told(desk):
    (desk.folder / "pictures").write_text("a file", encoding="utf-8")
    panel = pictures.build(desk)
    for label in ("Make the pictures", "Save table and text"):
        fields(panel)[label].click()
        assert "cannot be made" in shown(panel)


# -- all of them ------------------------------------------------------------------------------------------------------------------


def test_look_up():
    panel = find.build("flake white")
    assert "lead" in shown(panel) and "bismuth" in shown(panel)
    fields(panel)["Old name"].value = "umbrella"
    assert "knows no" in shown(panel)
    fields(panel)["Old name"].value = "a" * 10_000
    assert "knows no" in shown(panel) and len(shown(panel)) < 10_000
    fields(panel)["Old name"].value = ""
    assert "Type a name" in shown(panel)


BUILDERS = [reading.build, substitutes.build, pressing.build, batch.build, pictures.build, beside.build, scent.build]


@pytest.mark.parametrize("build", BUILDERS, ids=lambda b: b.__module__.rsplit(".", 1)[-1])
@pytest.mark.parametrize("text", ["", "Good morning", "Talc", "x" * 5000, "Talc,  1 oz.\n" * 60])
def test_every_panel_stands_on_any_text(desk, build, text):
    desk.begin(Record(text=text, pressing=records.Pressing()))
    panel = build(desk)
    assert shown(panel) and "Traceback" not in shown(panel)
    assert repr(panel) == f"<{panel.name}>"


@pytest.mark.parametrize("build", BUILDERS, ids=lambda b: b.__module__.rsplit(".", 1)[-1])
def test_every_field_has_a_name_of_its_own(desk, build):
    panel = build(desk)
    for widget in [w for w in widgets_in(panel) if type(w).__name__ == "ToggleButton"]:
        widget.value = True
    drawn = ("PageWidget", "PhotoPage", "CompareList", "Signs")  # their fields are drawn in the page: a browser looks at their names
    named = [w for w in widgets_in(panel) if type(w).__name__ not in ("HTML", "HBox", "VBox", "FloatSlider", "GridBox", *drawn)]
    names = [w.words if type(w).__name__ == "Chooser" else w.description for w in named]
    assert all(names) and len(set(names)) == len(names)


@pytest.mark.parametrize("build", BUILDERS, ids=lambda b: b.__module__.rsplit(".", 1)[-1])
def test_nothing_is_shown_by_its_id_or_mark(desk, build):
    """A maker reads names and sentences: no 'zinc-oxide', no name of a function, no '[seen]', no score."""
    desk.keep(demo.record("complexion", replaced=False))
    panel = build(desk)
    for widget in [w for w in widgets_in(panel) if type(w).__name__ == "ToggleButton"]:
        widget.value = True
    if build is pressing.build:
        fields(panel)["Binder, % of the cake"].value = 20
    copies = [sys.modules[build.__module__].noun(demo.record("complexion")).to_html()]
    words = html.unescape(re.sub(r"<[^>]*>", " ", shown(panel) + "".join(copies)))
    printed = {word for i in hk.glossary.ingredients.values() for name in i.names for word in name.name.split()}
    keys = {*hk.glossary.ingredients, *hk.glossary.sources(), *hk.measures.conventions} - printed
    seen = {word for word in re.findall(r"[\w.]+(?:-[\w.]+)+", words) if word in keys and word not in desk.record.text}
    assert seen == set()
    assert not re.search(r"\[(?:seen|memory|exact)\]|\bscore\b|Composition\.|\w+\(\)|\bNone\b", words)


@pytest.mark.parametrize("build", BUILDERS, ids=lambda b: b.__module__.rsplit(".", 1)[-1])
def test_tables_have_captions_and_colours_follow_the_theme(desk, build):
    desk.keep(demo.record("complexion"))
    shown_html = shown(build(desk))
    assert '<th scope="' in shown_html or "th scope" in shown_html
    assert shown_html.count("<table") <= shown_html.count("<caption") + shown_html.count("<h4>Weigh</h4>")
    for colour in re.findall(r"(?:color|background|border[a-z-]*):[^;\"]*#[0-9a-f]{3,6}", shown_html):
        assert "var(--jp-" in colour, colour


def test_a_desk_that_cannot_save_tells_it_in_every_panel(tmp_path):
    table = Desk(tmp_path / "gone" / "my-formula.json")
    panels = [build(table) for build in BUILDERS]
    table.change(notes="held")
    assert all("not saved" in shown(panel) for panel in panels)


def test_an_unexpected_error_is_a_sentence_too(monkeypatch):
    def broken():
        raise RuntimeError("boom")

    troubles = parts.Troubles()
    pressed = parts.button("Do it", broken, troubles)
    with pytest.raises(RuntimeError):
        parts.kindly(broken)
    with pytest.raises(RuntimeError):
        troubles.attempt("it", broken)
    monkeypatch.setenv("HISTKIT_RAISE", "0")
    assert "boom" in parts.kindly(broken) and "Traceback" not in parts.kindly(broken)
    pressed.click()
    assert "boom" in troubles.place.value and 'role="alert"' in troubles.place.value
    assert "boom" in parts.PlainCopy(broken, "").text


def test_a_broken_panel_action_is_told_beside_the_button(desk, monkeypatch):
    monkeypatch.setenv("HISTKIT_RAISE", "0")
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    monkeypatch.setattr(Record, "batch", lambda self: 1 / 0)
    fields(panel)["Make, grams"].value = 31
    fields(panel)["Save the bench sheet"].click()
    assert shown(panel).count("division by zero") >= 2


def test_plain_copies_hold_text_and_html():
    copy = parts.PlainCopy(lambda: demo.record("complexion").table(), "nothing")._repr_mimebundle_()
    assert "titanium dioxide" in copy["text/plain"] and "<caption" in copy["text/html"]
    empty = parts.PlainCopy(lambda: None, "nothing yet")._repr_mimebundle_()
    assert empty["text/plain"] == "nothing yet"
    refused = parts.PlainCopy(lambda: demo.record("complexion", replaced=False).batch(), "")._repr_mimebundle_()
    assert "must not be used" in refused["text/plain"]


def test_lots_dates_and_packs_are_kept_and_go_with_the_batch(desk):
    desk.keep(demo.record("tinted"))
    panel = batch.build(desk)
    f = fields(panel)
    f["Pack of"].value = "jojoba-oil"
    for name, words in (("Lot", "J9"), ("Opened on", "2026-01-01"), ("Keeps open, months", "6"), ("Packs sold, g", "50, 250")):
        f[name].value = words
    assert desk.record.packs == (records.Pack("jojoba-oil", "J9", "2026-01-01", "", 6.0, (50.0, 250.0)),)
    assert "Shopping list" in shown(panel) and "Best before 2026-07-02" in shown(panel) and "Lots and dates" in shown(panel)
    f["Best before"].value = "31 May"
    assert "is a date such as 2026-05-31" in shown(panel) and desk.record.packs[0].best_before == ""
    f["Batch number"].value, f["Made on"].value = "12", "2026-03-01"
    f["This batch was made"].click()
    assert desk.record.batches[0].made_on == "2026-03-01" and desk.record.batches[0].packs == desk.record.packs
    assert "made on 2026-03-01" in shown(panel) and desk.record.weighing.made_on == ""
    f["Lot"].value = "J10"
    kept = {row.ingredient.id: row.lot for row in desk.record.batch_record("12").rows}
    assert kept["jojoba-oil"].lot == "J9", "a batch that was made keeps its own lots"


def test_the_makers_own_dropper_is_kept_and_counts_on_the_sheet(desk):
    desk.keep(demo.record("tinted"))
    panel = batch.build(desk)
    f = fields(panel)
    f["Liquid"].value = "jojoba-oil"
    f["20 drops weigh, g"].value = "0,41"
    assert desk.record.weighing.own_drops == (("jojoba-oil", 0.41),) and "your dropper" in shown(panel)
    f["20 drops weigh, g"].value = "50"
    assert "less than 10 g" in shown(panel) or "below 10" in shown(panel)
    assert desk.record.weighing.own_drops == (("jojoba-oil", 0.41),)
    f["20 drops weigh, g"].value = ""
    assert desk.record.weighing.own_drops == ()


def test_several_dry_binders_and_oils(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    f = fields(panel)
    f["Further binder or oil"].value = "zinc-stearate"
    f["Its share, % of the cake"].value = 2
    f["Further binder or oil"].value = "squalane"
    assert f["Its share, % of the cake"].value == 0
    f["Its share, % of the cake"].value = 1
    now = desk.record.pressing
    assert now.more_binders == (("zinc-stearate", 0.02),) and now.more_oils == (("squalane", 0.01),)
    assert "Beside the first: zinc stearate 2 %, squalane 1 %" in shown(panel)
    f["Its share, % of the cake"].value = 0
    assert desk.record.pressing.more_oils == ()


def test_begin_with_what_such_a_powder_takes(desk):
    desk.keep(demo.record("complexion"))
    panel = pressing.build(desk)
    fields(panel)["Begin with what such a powder takes"].click()
    base = desk.record.base()
    assert base.id == "starch" and desk.record.pressing.binder_share == base.binder.best and base.remark in shown(panel)


def test_figures_out_of_bounds_are_refused_in_words_and_not_changed_silently(desk):
    desk.keep(demo.record("complexion"))
    panel = batch.build(desk)
    before = desk.record.weighing.grams
    field = fields(panel)["Make, grams"]
    field.value = 5_000_000
    assert "Make, grams lies from 0.01 to 100,000, so 5,000,000 is not taken" in shown(panel)
    assert desk.record.weighing.grams == before and field.value == 5_000_000, "what was typed is left to be put right"
    field.value = 80
    assert "is not taken" not in shown(panel) and desk.record.weighing.grams == 80
    cake = pressing.build(desk)
    fields(cake)["Binder, % of the cake"].value = 60
    assert "Binder, % of the cake lies from 0 to 25, so 60 is not taken" in shown(cake)
    assert desk.record.pressing.binder_share == 0.05
    fields(cake)["Test presses"].value = 50
    fields(cake)["Work out test presses"].click()
    assert "Test presses lies from 2 to 9" in shown(cake) and not desk.record.trials


def test_one_dilution_for_several_is_a_tick(desk):
    """Taken, it stands among the steps of the sheet and in the record; taken back, each has its own again."""
    small = "Invented powder\nTalc 10 oz.\nOtto of rose 6 drops\nOil of lavender 12 drops"
    desk.edit(lambda record: replace(record, text=small, title="", corrections=(), replacements=(), pressing=None))
    panel = batch.build(desk)
    assert "Choose 'one dilution for several'" in html.unescape(shown(panel)) and "Dilution B" in shown(panel)
    fields(panel)["one dilution for several small amounts"].value = True
    assert desk.record.weighing.together and "Dilution A, rose oil and lavender oil" in shown(panel)
    assert "Dilution B" not in shown(panel)
    fields(panel)["one dilution for several small amounts"].value = False
    assert not desk.record.weighing.together and "Dilution B" in shown(panel)
