"""Printed lines as statements, and what a figure without a unit means in them."""

from reading_stages import worded

from histkit.reading.layout import statements
from histkit.reading.measuring import measures_of
from histkit.reading.settling import settle_bare


def laid_out(text):
    wording = worded(text)
    return wording, statements(wording, measures_of(wording.view), text)


def test_columns_sentences_and_headings():
    assert [s.kind for s in laid_out("FACE POWDER\n\nTalc   4 oz.\nChalk   2 oz.\n\nMix 2 oz. of talc and 1 oz. of rose.")[1]] == [
        "heading", "column", "column", "running",
    ]  # fmt: skip


def test_a_brace_holds_its_lines_together():
    _, (group,) = laid_out("Talc }\nChalk } 2 oz.\nOrris }")
    assert (group.braced, len(group.members), len(group.followers)) == (True, 1, 1)


def test_a_figure_without_a_unit():
    wording, (statement,) = laid_out("talc, 4 drachms; chalk, 2; three cloves")
    settled, unit = settle_bare(wording, statement.measures, statement.first, statement.last)
    assert [(m.amount, m.unit) for m in settled] == [(4.0, "drachm"), (2.0, "drachm"), (3.0, "piece")]
    assert unit.unit == "drachm" and "carried on" in settled[1].doubts[0].text
