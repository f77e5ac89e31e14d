"""Lines, columns and witnesses: pure functions on words made by hand (a small letter is 20 high)."""

import numpy as np
import pytest

from histkit.base import tables
from histkit.photo.engines import Seen
from histkit.photo.fractions import with_fractions
from histkit.photo.kinds import doubt_kinds
from histkit.photo.lines import Item, PrintedLine, in_order
from histkit.photo.pieces import Pieces
from histkit.photo.setting import set_in_lines
from histkit.photo.witnesses import Told, laid_beside

LETTER = 20.0
NO_INK = Pieces(np.zeros((0, 4)), np.zeros(0))


def seen(text, left, level=100.0, confidence=0.95, width=None, **more):
    return Seen(text, left, level - 20, left + (width or 18 * len(text)), level + 20, confidence, **more)


def item(text, left, level):
    words, x = [], left
    for piece in text.split():
        words.append(seen(piece, x, level))
        x += 18 * (len(piece) + 1)
    return Item(tuple(words), left, x - 18, level, 40.0)


def texts(lines):
    return [" ".join(word.text for word in line.words) for line in lines]


def test_names_and_their_amounts_stay_on_one_line_across_a_wide_gap():
    items = [piece for n, name in enumerate(("Borax", "Myrrh", "Alum", "Starch")) for piece in (item(name, 100, 50 + 60 * n), item(f"{n} oz.", 900, 52 + 60 * n))]
    assert texts(in_order(items, LETTER)) == ["Borax 0 oz.", "Myrrh 1 oz.", "Alum 2 oz.", "Starch 3 oz."]


def test_two_columns_are_read_one_after_the_other_with_the_title_first():
    left = [item(f"left hand column line number {n}", 100, 150 + 50 * n) for n in range(6)]
    right = [item(f"right hand column line number {n}", 760, 152 + 50 * n) for n in range(6)]
    title = item("A title that runs across both of the columns of this page", 250, 60)
    assert texts(in_order([*right, title, *left], LETTER)) == texts([title, *left, *right])


def test_lists_in_two_columns():
    items = []
    for n in range(5):
        items += [item("Powdered orris root", 100, 50 + 50 * n), item(f"{n} oz.", 560, 50 + 50 * n)]
        items += [item("Precipitated chalk", 900, 50 + 50 * n), item(f"1{n} oz.", 1360, 50 + 50 * n)]
    lines = texts(in_order(items, LETTER))
    assert lines == [f"Powdered orris root {n} oz." for n in range(5)] + [f"Precipitated chalk 1{n} oz." for n in range(5)]


def test_a_small_raised_figure_stays_in_its_line():
    items = [item("Borax", 100, 100), Item((seen("1", 400, 88),), 400, 418, 88, 22), item("oz.", 440, 100), item("Alum 2 oz.", 100, 160)]
    assert texts(in_order(items, LETTER)) == ["Borax 1 oz.", "Alum 2 oz."]


def test_nothing_gives_nothing():
    assert in_order([], LETTER) == []
    empty = set_in_lines([], LETTER)
    assert (empty.text, empty.words, empty.doubts) == ("", (), ())


def told(first, second):
    line = PrintedLine(tuple(first), 0, 2000, 100, 40)
    return laid_beside(line, second)


def summary(groups):
    return [(" ".join(word.text for word in g.words), g.doubt, g.other) for g in groups]


def test_what_both_see_has_no_doubt():
    words = [seen("Borax", 100), seen("2", 300), seen("oz.", 340)]
    assert summary(told(words, words)) == [("Borax", "", ""), ("2", "", ""), ("oz.", "", "")]


@pytest.mark.parametrize(
    ("first", "second", "expected"),
    [
        ("1½", "1%", ("1½", "amount", "1%")),
        ("4", "%", ("4", "amount", "%")),
        ("drachms", "drachms", ("drachms", "", "")),
        ("drachms", "drachns", ("drachms", "", "")),  # a unit against a misspelling of it
        ("borax", "horax", ("borax", "", "")),
        ("horax", "borax", ("borax", "", "")),
        ("two", "ten", ("two", "amount", "ten")),
        ("rose", "rosin", ("rose", "word", "rosin")),
        ("lb.", "1b.", ("lb.", "", "")),  # the same shapes, one of them a unit
        ("1b.", "lb.", ("lb.", "", "")),
        ("Glauber's", "Glauber’s", ("Glauber's", "", "")),
        ("Brown.—Dye", "Brown.—Dve", ("Brown.—Dye", "", "")),
        ("lb.", "gr.", ("lb.", "amount", "gr.")),
    ],
)
def test_which_is_taken_where_they_differ(first, second, expected):
    assert summary(told([seen(first, 100, width=100)], [seen(second, 102, width=96)])) == [expected]


def test_what_one_alone_saw_is_doubted():
    groups = told([seen("Borax", 100), seen("3", 300)], [seen("Borax", 100), seen("oz.", 400)])
    assert summary(groups) == [("Borax", "", ""), ("3", "one only", ""), ("oz.", "one only", "")]
    assert [group.first for group in groups] == [True, True, False]


def test_an_unsure_letter_is_doubted_though_both_agree():
    assert summary(told([seen("3", 100, confidence=0.3)], [seen("3", 100)])) == [("3", "uncertain", "")]


def test_a_fraction_read_figure_by_figure_is_doubted_whatever_the_second_says():
    assert summary(told([seen("2 1/3", 100, was="2#")], [seen("2", 100)])) == [("2 1/3", "fraction", "2#")]


def test_words_that_drift_on_a_long_line_find_each_other():
    names = ["Take", "of", "charcoal", "3", "pints", "and", "of", "alum", "6", "grains"]
    first, second, x = [], [], 100
    for number, name in enumerate(names):
        first.append(seen(name, x + 4 * number))
        second.append(seen(name, x))
        x += 18 * (len(name) + 1)
    assert all(not doubt for _, doubt, _ in summary(told(first, second)))


def test_text_has_gaps_and_paragraphs_and_no_leaders():
    def line(words, level):
        row = PrintedLine(tuple(words), 0, 900, level, 40)
        return Told(row, tuple(laid_beside(row, words)))

    made = set_in_lines(
        [
            line([seen("Borax", 100, 100), seen("....", 220, 100), seen("2", 600, 100), seen("oz.", 630, 100)], 100),
            line([seen("Alum…", 100, 160), seen("3", 600, 160)], 160),
            line([seen("Mix.", 100, 300)], 300),
        ],
        LETTER,
    )
    assert made.text == "Borax    2 oz.\nAlum…    3\n\nMix."
    assert all(made.text[word.start : word.end] == word.seen.text for word in made.words)


def test_the_tables_say_what_the_code_can_use():
    for row in tables.read("photo/trust"):
        assert row["taken"] in ("first", "second", "known") and {row["first"], row["second"]} <= {"figure", "letters", "sign"} and row["why"]
    assert len({row["first"] + row["second"] for row in tables.read("photo/trust")}) == 9
    for row in tables.read("photo/fractions"):
        assert 0 < int(row["over"]) < int(row["under"]) and np.gcd(int(row["over"]), int(row["under"])) == 1
    assert all(len(row["seen"]) == 1 and row["figure"] in "01" for row in tables.read("photo/figures"))
    assert all(row["perhaps"] in "℈ʒ℥" for row in tables.read("photo/signs"))
    assert {"amount", "word", "one only", "uncertain", "stacked", "fraction", "sign", "sign told", "missed"} == set(doubt_kinds())


@pytest.mark.parametrize(
    ("read", "parted"),
    [("1½4", "1¼"), ("1½/4", "1¼"), ("2½2", "2½"), ("2³/4", "2¾"), ("53/4", "5¾"), ("11/4grains", "1¼grains"), ("51/2", "5½"), ("13/", "1¾")],
)
def test_a_whole_number_run_into_its_fraction_is_parted_and_doubted(read, parted):
    (line,) = with_fractions([PrintedLine((seen(read, 100),), 0, 900, 100, 40)], NO_INK, np.zeros((200, 900, 3), dtype=np.uint8), LETTER)
    assert summary(told(line.words, [])) == [(parted, "fraction", read)]


@pytest.mark.parametrize("read", ["1/4", "3/4", "13", "134", "1½", "3/8", "10/6"])
def test_other_figures_stay_as_they_were_read(read):
    (line,) = with_fractions([PrintedLine((seen(read, 100),), 0, 900, 100, 40)], NO_INK, np.zeros((200, 900, 3), dtype=np.uint8), LETTER)
    assert [word.text for word in line.words] == [read]
