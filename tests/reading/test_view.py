"""The tokens with quick looks ahead."""

from reading_stages import viewed


def test_looks_ahead_pass_over_gaps_and_line_ends():
    view = viewed("talc   \nof each")
    assert view.next_word(1) == "of" and view.tokens[view.ungapped[1]].kind == "line"
    assert view.next_word(50) == ""


def test_the_longest_phrase_is_found():
    view = viewed("equal parts of each")
    assert view.phrase(0, "equal")[0].words == ("equal", "parts", "of", "each")
    assert view.phrase(0, "each") is None


def test_an_unclosed_bracket_counts_for_nothing():
    assert viewed("(talc) rose").depth == [1, 1, 1, 0]
    assert viewed("(talc rose").depth == [0, 0, 0]
