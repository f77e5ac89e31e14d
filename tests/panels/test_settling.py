"""What has to be settled before there is a bench sheet, with the choices that settle it."""

import ipywidgets as widgets
import pytest
from panels_without_browser import fields, shown

from histkit.keeping.records import Known, Record
from histkit.panels import batch
from histkit.panels.settling import to_settle, with_known, with_law, with_name

UNKNOWN = "Talc, 4 ounces.\nQuibbleroot, 2 ounces."
CONTESTED = "Talc, 4 ounces.\nPearl white, 2 ounces."


def buttons(panel: object) -> dict[str, widgets.Button]:
    found: dict[str, widgets.Button] = {}
    waiting = [panel]
    while waiting:
        one = waiting.pop()
        if isinstance(one, widgets.Button):
            found[one.description] = one
        waiting += list(getattr(one, "children", ()))
    return found


def test_an_unknown_ingredient_is_named(own):
    own.change(text=UNKNOWN)
    panel = batch.build(own)
    assert "Nobody has said what" in shown(panel) and "No bench sheet yet" in shown(panel)
    fields(panel)["Quibbleroot, 2 ounces. is"].value = "china clay"
    buttons(panel)["Name it so"].click()
    assert own.record.corrections[0].ingredient == "kaolin" and not to_settle(own.record)
    assert "Nothing is left to settle" in shown(panel) and "Weigh" in shown(panel)


def test_an_unknown_ingredient_is_vouched_for_and_that_is_taken_back(own):
    own.change(text=UNKNOWN)
    panel = batch.build(own)
    buttons(panel)["Keep the reason"].click()
    assert own.record.known == () and "reason" in shown(panel)
    fields(panel)["Known to me, because"].value = "the miller's word for barley meal"
    buttons(panel)["Keep the reason"].click()
    assert own.record.known[0].reason.startswith("the miller's word") and "barley meal" in own.record.batch().to_markdown()
    buttons(panel)["No longer"].click()
    assert own.record.known == () and to_settle(own.record)


def test_one_click_settles_a_contested_name(own):
    own.change(text=CONTESTED)
    panel = batch.build(own)
    harmless = next(name for name in buttons(panel) if name.startswith("It is bismuth"))
    buttons(panel)[harmless].click()
    assert not to_settle(own.record) and own.record.batch().grams == 60
    own.change(corrections=())
    poison = next(name for name in buttons(panel) if name == "It is lead carbonate")
    buttons(panel)[poison].click()
    assert [i.id for i in own.record.final().forbidden] == ["lead-carbonate"]


def test_a_poison_inside_a_name_has_no_reason_to_give(own):
    own.change(text="Talc, 4 ounces.\nMercurial flour of Quib, 2 ounces.")
    panel = batch.build(own)
    assert "Keep the reason" not in buttons(panel) and "mercury" in shown(panel)


def test_product_and_region_are_kept(own):
    own.change(text="Talc, 4 ounces.\nStarch, 2 ounces.")
    panel = batch.build(own)
    assert "Judged as face powder (guessed from the title)" in shown(panel)
    fields(panel)["Sort of product"].value = "hair-powder"
    fields(panel)["Law of"].value = "US"
    assert (own.record.constraints.product, own.record.constraints.market) == ("hair-powder", "US")
    assert "Judged as hair powder." in shown(panel)
    assert with_law(own.record, product=None).product().guessed


def test_small_changes_to_the_record():
    record = with_known(with_known(Record(text=UNKNOWN), "Quibbleroot", "one"), "Quibbleroot", "two")
    assert record.known == (Known("Quibbleroot", "two"),)
    (finding,) = to_settle(Record(text=UNKNOWN))
    assert with_name(Record(text=UNKNOWN), finding, "kaolin").batch().weighing("kaolin")
    with pytest.raises(ValueError, match="reason"):
        with_known(record, "Quibbleroot", " ")
    assert to_settle(Record()) == ()
