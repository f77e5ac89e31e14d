"""Text that goes into files for other programs: no spreadsheet finds a formula in it, no Markdown reader a link."""

import csv
import io

import mistune
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.text import clean, csv_text, markdown_cell

STARTERS = "=+-@＝＋－＠"


def taken_apart(text, separator):
    """The cells as a spreadsheet sees them that parts them at `separator`, whatever the file was made with."""
    return list(csv.reader(io.StringIO(text, newline=""), delimiter=separator))


def formulas(text, separator):
    return [cell for row in taken_apart(text, separator) for cell in row if cell.strip()[:1] in tuple(STARTERS)]


HOSTILE = [
    "Talc;=1+1", "Talc; =1+1", "Talc,=1+1", "Talc\t=1+1", "Talc\n=1+1", "Talc\r\n@SUM(A1)", 'Talc;"=1+1', 'x";=1+1', ';"";"" =1', "=1;=1",
    '";=1+1;"', "Talc;＝1+1", ";;-2", "x;\n;+1", '=HYPERLINK("http://x","y")', '";"\n"=1', "\u202eTalc;\u200b=1",
]  # fmt: skip


@pytest.mark.parametrize("separator", [",", ";", "\t"])
@pytest.mark.parametrize("words", HOSTILE)
def test_a_formula_hides_neither_at_the_start_of_a_cell_nor_within_it(words, separator):
    for row in ([words], ["talc", words, 4.5], [1, words, None, words], [words, ";", words]):
        text = csv_text([["name", "note"], row, row])
        assert formulas(text, separator) == [], text


@settings(max_examples=500, deadline=None)
@given(
    st.lists(
        st.lists(st.text("=+-@＝,;\t\n\r\"' a1", max_size=8) | st.none() | st.integers(0, 9), min_size=1, max_size=4), max_size=4
    ),
    st.sampled_from(",;\t"),
)
def test_no_cell_of_any_words_begins_like_a_formula(rows, separator):
    assert formulas(csv_text(rows), separator) == []


@settings(max_examples=300, deadline=None)
@given(st.lists(st.lists(st.text(max_size=12) | st.none() | st.floats(0, 1e6), min_size=2, max_size=4), max_size=4))
def test_read_again_with_commas_the_words_are_the_same_but_for_the_guard(rows):
    again = taken_apart(csv_text(rows), ",")
    wanted = [["" if cell is None else str(cell) for cell in row] for row in rows]
    assert [[cell.replace("'", "") for cell in row] for row in again] == [
        [clean(c).replace("'", "") for c in row] for row in wanted
    ]


def test_plain_words_are_left_as_they_are():
    row = ["Talc; rice powder, 4 oz.", "in place of lead - see the note", "1 = one", "d'or", 4.5, None, True]
    assert taken_apart(csv_text([row]), ",") == [[*row[:4], "4.5", "", "True"]]
    assert csv_text([["talc", 4.5, None]]) == '"talc",4.5,\n'


@pytest.mark.parametrize(
    "words",
    ["http://example.org/x", "see https://example.org", "HTTP://EXAMPLE.ORG", "ftp://example.org", "www.example.org", "_www.example.org", "a@example.org"],
)  # fmt: skip
def test_no_address_becomes_a_link_in_markdown(words):
    render = mistune.create_markdown(plugins=["url", "table", "strikethrough"])
    assert "<a" in render("see https://example.org"), "the renderer does make links"
    page = render(markdown_cell(words))
    assert "<a" not in page and "example" in page.lower()
    assert page.replace("<p>", "").replace("</p>", "").strip() == words, "what is read is the same"


def test_what_begins_an_address_is_escaped():
    """As the readers of Markdown do that make links of bare addresses: they look for these signs side by side."""
    assert markdown_cell("http://x www.x.org a@b.org") == r"http:\//x www\.x.org a\@b.org"
    assert markdown_cell("4 oz.: talc") == "4 oz.: talc"
