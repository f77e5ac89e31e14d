"""The printed page, marked: every word in its order, each in one mark, figures no finer than the doubt."""

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import HistkitError
from histkit.base.nouns import Spread
from histkit.display.marked import alive, at_rest
from histkit.keeping import example
from histkit.keeping.records import Record
from histkit.telling.marking import balance_text, marked

PLAIN = "A Powder.\n\nTake of rice starch, four ounces; and of French chalk ..... ʒij.\n  Otto of rose, 10 drops.\nSift the whole."


def page(text):
    record = Record(text=text)
    return marked(record.formula(), record.translation())


def words(text):
    return re.findall(r"[^\W_]+", text)


def kinds(text):
    return [[(mark.kind, mark.text.strip()) for mark in row.marks] for row in page(text).rows]


def test_each_stretch_is_what_it_was_taken_for():
    assert kinds(PLAIN) == [
        [("title", "A Powder.")],
        [("words", "Take of"), ("name", "rice starch"), ("words", ","), ("amount", "four ounces"), ("words", ";")],
        [("words", "and of"), ("name", "French chalk"), ("words", "…"), ("amount", "ʒij.")],
        [("name", "Otto of rose"), ("words", ","), ("amount", "10 drops.")],
        [("direction", "Sift the whole.")],
    ]


def test_an_amount_before_its_name_and_one_between():
    assert kinds("Two drachms of orris root\n4 oz. talc")[0] == [("amount", "Two drachms"), ("words", "of"), ("name", "orris root")]


def test_what_was_not_read_is_marked_as_that():
    rows = kinds("Talc,   1 oz.\nStarch,   2 oz.,\nOrris,")
    assert rows[-1] == [("unread", "Orris,")]


@pytest.mark.parametrize("name", example.names())
def test_every_word_stands_once_and_in_its_order(name):
    record = example.record(name, replaced=False)
    out = marked(record.formula(), record.translation())
    assert words(" ".join(mark.text for row in out.rows for mark in row.marks)) == words(record.text)


@given(st.lists(st.sampled_from([
    "Talc, 4 oz.", "White lead  2 drachms", "Mix well.", "Take of rice starch half a pound;", "and otto of rose, ten drops.", "Orris,",
    "", "Pulv. myrrhæ, āā ℥ij", "<b>Kaolin</b> 1 oz.", "see page 12", "To be kept dry", "Best white lead and chalk, of each 1 oz.",
]), min_size=1, max_size=7))  # fmt: skip
def test_no_word_is_lost_whatever_is_printed(parts):
    text = "\n".join(parts)
    try:
        out = page(text)
    except HistkitError:
        return
    assert words(" ".join(mark.text for row in out.rows for mark in row.marks)) == words(text)
    assert sorted(row.line for row in out.lines) == list(range(len(out.lines)))
    for html in (alive(out), at_rest(out)):
        assert "<b>" not in html


@pytest.mark.parametrize(("spread", "text"), [
    (Spread(226.796, 226.796, 226.796), "226.8"), (Spread(14.1747, 14.1747, 14.1747), "14.17"), (Spread(0.2, 0.4, 0.5), "0.4"),
    (Spread(100.0, 113.4, 126.0), "113"), (Spread(1.9438, 1.9438, 1.9438), "1.94"), (Spread(0.004, 0.004, 0.004), "0.004"),
    (Spread(12345.6, 12345.6, 12345.6), "12,346"), (Spread(0.0, 0.0, 0.0), "0"), (Spread(30.0, 31.1, 32.5), "31"),
])  # fmt: skip
def test_figures_go_no_further_than_the_balance_and_the_doubt(spread, text):
    assert balance_text(spread, 0.01) == text


def test_a_doubt_of_several_lines_is_said_once_and_that_of_the_whole_book_in_the_sentence_on_measures():
    record = example.record("tinted", replaced=False)
    out = marked(record.formula(), record.translation())
    doubts = [doubt for row in out.rows for mark in row.marks for doubt in mark.doubts]
    assert not any("other measures" in doubt for doubt in doubts) and out.measures.startswith("One ounce is 31.1 g: ")
    record = example.record("complexion", replaced=False)
    out = marked(record.formula(), record.translation())
    assert out.remarks == ("Lines 6 and 7: A drop has no fixed size: it varies with the liquid and the dropper.",)
    assert at_rest(out).count("A drop has no fixed size: it varies with the liquid and the dropper.</li>") == 1


def test_poison_is_told_in_words_until_it_is_replaced():
    record = example.record("complexion", replaced=False)
    out = marked(record.formula(), record.translation())
    assert [row.line for row in out.lines if row.poison] == [2] and out.cautions[0].startswith("Lead carbonate must not be used")
    out = marked(record.formula(), record.translation(), {"lead-carbonate": "replaced by zinc oxide"})
    assert not any(row.poison for row in out.lines) and out.lines[2].fate == "replaced by zinc oxide" and out.cautions == ()


def test_the_page_alive_has_buttons_in_reading_order_with_names_and_reasons():
    html = alive(page(PLAIN))
    labels = re.findall(r'aria-label="([^"]*)"', html)
    assert labels[:2] == ["rice starch, ingredient of line 1", "four ounces, amount of line 1"]
    assert labels[-1] == "10 drops., amount of line 3, doubtful"
    for key in re.findall(r'aria-describedby="([^"]*)"', html):
        assert f'id="{key}"' in html
