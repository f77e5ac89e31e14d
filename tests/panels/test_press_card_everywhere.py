"""The press card of a record: the same on the sheet, in the panel and in the shell."""

from dataclasses import replace

from histkit.keeping.records import Pressing, Record, Weighing
from histkit.panels.pressing import pans_view

RECORD = Record(
    text="Talc 10 oz.\nZinc oxide 1 oz.",
    pressing=Pressing(press="clamp"),
    weighing=Weighing(pans=4, pan_diameter_mm=26),
)


def test_the_card_is_the_same_everywhere():
    card = RECORD.press_card()
    assert card is not None
    assert RECORD.batch().press_card == card.lines()
    pressure = dict(card.lines())["Pressure"]
    assert "1100 to 7330 N" in pressure and "1100 to 7330 N" in pans_view(RECORD)
    assert replace(RECORD, weighing=replace(RECORD.weighing, make="pans")).batch().press_card == card.lines()


def test_no_card_without_pans_or_for_a_loose_powder():
    assert replace(RECORD, weighing=Weighing()).press_card() is None
    loose = replace(RECORD, pressing=None)
    assert loose.press_card() is None and loose.batch().press_card == ()
