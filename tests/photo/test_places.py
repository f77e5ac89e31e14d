"""From the text to the picture and back: pure functions on a page made by hand."""

from dataclasses import replace

import pytest

import histkit
from histkit.base.errors import BadValue
from histkit.photo import Box, PhotoDoubt, PhotoText, Word, boxes_of, doubt_kinds, doubts_of, retyped, unused

TEXT = "ROUGE.\nVenetian talc    4 oz.\nCarmine    2 drachms.\nOtto of rose    10 drops.\nFolio the seventh"


def page(text=TEXT, doubts=(), unread=()):
    """Each letter is 10 wide, each line 20 high."""
    words, place = [], 0
    for number, line in enumerate(text.split("\n")):
        for piece in line.split():
            at = text.index(piece, place)
            across = at - text.rfind("\n", 0, at) - 1
            words.append(Word(piece, Box(10 * across, 20 * number, 10 * (across + len(piece)), 20 * number + 18), 0.9, at, at + len(piece)))
            place = at + len(piece)
    return PhotoText(text, tuple(words), tuple(doubts), tuple(unread), (400, 200), ("one", "two"))


def doubt(words, kind="amount", other="?", text=TEXT):
    return PhotoDoubt(text.index(words), text.index(words) + len(words), kind, words, other)


def test_one_box_for_each_printed_line():
    seen = page()
    start, end = TEXT.index("talc"), TEXT.index("2 drachms") + 1
    assert boxes_of(seen, start, end) == (Box(90, 20, 220, 38), Box(0, 40, 120, 58))
    assert boxes_of(seen, 0, 0) == () and boxes_of(seen, len(TEXT), len(TEXT) + 5) == ()


def test_the_doubts_of_each_line():
    seen = page(doubts=(doubt("4"), doubt("2 drachms."), doubt("ROUGE.", "word")))
    formula = histkit.read(TEXT)
    assert [[d.reading for d in line] for line in doubts_of(seen, formula)] == [["4"], ["2 drachms."], []]


def test_what_no_line_uses_is_shown():
    stray = Word("xij", Box(300, 10, 330, 30), 0.4, -1, -1)
    seen = page(unread=(stray,))
    left = unused(seen, histkit.read(TEXT))
    assert [word.text for word in left] == ["Folio", "the", "seventh", "xij"]


def test_a_formula_of_another_text_has_no_places_here():
    with pytest.raises(BadValue, match="another text"):
        doubts_of(page(), histkit.read("Starch, 2 oz.\nBorax, 1 oz."))
    with pytest.raises(BadValue, match="another text"):
        unused(page(), histkit.read("Starch, 2 oz.\nBorax, 1 oz."))


def test_the_maker_puts_a_word_right_and_the_rest_keeps_its_place():
    seen = page(doubts=(doubt("4"), doubt("2 drachms.")))
    put_right = TEXT.replace("4 oz.", "¼ oz.")
    now = retyped(seen, put_right)
    assert [d.reading for d in now.doubts] == ["2 drachms."]
    assert all(now.text[d.start : d.end] == d.reading for d in now.doubts)
    assert all(now.text[w.start : w.end] == w.text for w in now.words)
    typed = next(word for word in now.words if word.text == "¼")
    assert typed.box == next(word for word in seen.words if word.text == "4").box
    assert len(now.words) == len(seen.words)


def test_more_or_fewer_words_than_there_stood():
    seen = page(doubts=(doubt("10", "sign"),))
    longer = retyped(seen, TEXT.replace("Carmine    2", "Best carmine of all    2"))
    assert {w.text for w in longer.words} >= {"Best", "carmine", "of", "all"}
    assert [d.start for d in longer.doubts] == [longer.text.index("10")]
    shorter = retyped(seen, TEXT.replace("Otto of rose    10 drops.\n", ""))
    assert shorter.doubts == () and not any(word.text == "Otto" for word in shorter.words)
    assert retyped(seen, "").words == () and retyped(seen, TEXT) is seen


def test_every_kind_of_doubt_is_a_sentence():
    for kind in doubt_kinds():
        words = replace(doubt("4"), kind=kind).words
        assert words.endswith(".") and "{" not in words and "'4'" in words


@pytest.mark.parametrize("edges", [(0, 0, 0, 5), (5, 0, 4, 5), (0, 5, 5, 5), (0, 0, float("nan"), 5), ("0", 0, 5, 5)])
def test_a_box_has_sides(edges):
    with pytest.raises(BadValue, match="left, top, right, bottom"):
        Box(*edges)
