"""The text for under a video, and the source in the forms that reference managers read."""

import json

import invented_powder as ip
import pytest

from histkit.base.nouns import Source
from histkit.keeping import example as demo
from histkit.telling import captions as text
from histkit.telling.comparing import compare


def test_steps_come_in_the_order_in_which_they_are_done():
    steps = text.steps(ip.made_batch(), None)
    places = [
        next(n for n, s in enumerate(steps) if words in s)
        for words in ("dust mask", "Weigh, each into its own cup", "rose otto: Weigh", "In the mortar", "Press firmly")
    ]
    assert places == sorted(places)


def test_the_text_has_formula_changes_steps_doubts_cautions_and_source():
    words = text.under_the_video(ip.table(), ip.made_batch(), ip.translation())
    for heading in ("The formula", "What changed and why", "Steps", "What is doubtful", "Cautions", "Source"):
        assert f"## {heading}" in words
    assert "- wheat starch: 28.43 g (47.4 %)" in words
    assert "- zinc oxide: 4.98 g (8.3 %)" in words
    assert "Makes 60.00 g." in words
    formula = words.split("## ")[1]
    assert "lead carbonate" not in formula  # it is not made any more
    assert ip.REASON in words
    assert "A cumulative poison" in words
    assert words.count(ip.SOURCE.title) >= 2
    assert "safety assessor" in words


def test_without_a_batch_there_are_shares_and_the_book_s_directions():
    words = text.under_the_video(compare(ip.translation()), translation=ip.translation())
    assert "- talc: 25.8 %" in words
    assert "1. The book says: Mix and sift." in words


def test_the_text_is_harmless_markdown():
    translation = ip.translation(extra=("<script>alert(1)</script>", "</table><img src=x onerror=alert(1)>"))
    words = text.under_the_video(compare(translation, composition=translation.composition()), translation=translation)
    assert "<script" not in words
    assert "<img" not in words


@pytest.mark.parametrize("name", demo.names())
def test_the_short_text_fits_its_field_and_keeps_source_and_safety(name):
    record = demo.record(name)
    table = record.table()
    words = text.in_short(table, record.batch())
    assert len(words) <= text.MOST == 1500
    assert table.citation() in words and "safety assessor" in words and "dust mask" in words
    assert not set("#*`<>|") & set(words), "plain characters, and no hashtags"
    for row in table.rows:
        if row.grams is not None:
            assert f"{table.figures(row)[2]} g {row.today}" in words.splitlines()
        if row.fate == "replaced":
            assert row.why in words


@pytest.mark.parametrize("most", [1500, 700, 300, 150])
def test_a_short_text_that_does_not_fit_names_the_long_one(most):
    words = text.in_short(ip.table(repeat=6), ip.made_batch(), most)
    assert len(words) <= most and "safety assessor" in words
    assert ("long text" in words) == (most < 1500 or len(text.in_short(ip.table(repeat=6), ip.made_batch(), 9999)) > most)


def test_the_source_for_reference_managers():
    source = Source("Salt & Smoke {1}", "A. Larkspur", 1871, "GB", place="London", page="p. 43")
    entry = text.bibtex(source)
    assert entry.startswith("@book{larkspur1871,")
    assert r"title = {Salt \& Smoke \{1\}}" in entry
    assert "pages = {43}" in entry
    assert entry.count("{") == entry.count("}")
    item = text.csl_json(source)
    assert item["issued"] == {"date-parts": [[1871]]}
    assert item["author"] == [{"literal": "A. Larkspur"}]
    assert json.loads(json.dumps(item)) == item
