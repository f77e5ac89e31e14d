"""A translated formula: its explanation, its tables, its doubts and its composition."""

from __future__ import annotations

import pytest

import histkit as hk

TRADE = hk.Source(title="An invented receipt book", year=1871, country="GB", kind="trade receipt book")


def translate(text, source=None, convention=None):
    return hk.translate(hk.read(text, source=source), convention)


def test_explain_walks_from_the_gram_back_to_the_page():
    text = translate("White lead, finely levigated,   2 oz.\nTalc   4 oz.", TRADE).lines[0].explain()
    for piece in ("Printed: White lead", "2 ounce", "437.5", "Caution (forbidden)", "Share of the formula"):
        assert piece in text


def test_frames_have_a_row_for_each_line():
    frame = translate("Talc   8 oz.\nCarmine   10 gr.", TRADE).to_frame()
    assert list(frame["today"]) == ["talc", "carmine"] and frame["share"].sum() == pytest.approx(100)




def test_nothing_with_a_weight_makes_no_composition():
    with pytest.raises(hk.BadValue, match="give at least one amount"):
        translate("Talc, q.s.\nStarch, a few drops").composition()


def test_all_doubts_and_each_caution_once():
    translation = translate("White lead 1 oz.\nTalc about 2 oz.\nWhite lead 2 oz.\nStarch 1 to 2 oz.", TRADE)
    assert translation.doubts == tuple(d for line in translation.lines for d in line.doubts) and translation.doubts
    assert len(set(translation.cautions)) == len(translation.cautions) < sum(len(line.cautions) for line in translation.lines)
    assert translation.cautions[0].level == "forbidden" and not translation.in_parts
    assert translate("Talc 3 parts\nStarch 1 part").in_parts
    assert "The book prints parts; one part is shown as one gram." in translate("Talc 3 parts\nStarch 1 part").to_text()


def test_what_matters_tells_what_has_no_weight():
    matters = translate("Talc 1 oz.\nSome starch\nWater, q.s.", TRADE).what_matters()
    assert [m.text for m in matters if m.line is not None and m.effect == 0] == ["wheat starch: no weight, so it is in no share."]
