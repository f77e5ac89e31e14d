"""Time grows with the length of a text and no faster; what is too long to be a formula is refused in one sentence.

Work is counted in calls of functions, which are the same on any machine and at any load.
"""

import time
from contextlib import suppress

import pytest
from counted_calls import calls_of

import histkit as hk
from histkit.reading import MOST_TOKENS, read
from histkit.reading.reader import read_closely
from histkit.reading.tokens import tokenise
from histkit.telling.printing import printed_words

AMOUNTS = [
    "4 oz. ", "℥j ", "ʒss - ", "gr. x ", "lb. ij ", "1/2 ", "½ ", "1-2 ", "1 to ", "4 oz. to ", "4 oz. or ", "hundred ", "five and twenty ",
    "half a ", "4 pt. ", "4 oz. by weight ", "by weight 4 oz. ", "4 oz. each ", "of each 4 oz. ", "(4 oz.) ", "(av.) 4 oz. ", "l0 ", "0/0 ",
    "to every 4 oz. ", "4 oz. or talc ", "Dose. 4 oz.\n",
]  # fmt: skip
WORDS = [
    "of each ", "aa ", "and ", "ditto, ", "do. ", "the same ", "as much ", "q.s. ", "enough to ", "to make ", "to make 4 oz. with ",
    "colour with ", "equal parts ", "a little of the talc, ", "dried, and ", "talc, ", ", and ", "a mixture of ", "take ", "for 4 hours ",
    "M. ", "A. ( ", "A.", "talc or ", "Another: ", "No. 2. ", "to 12 drachms of this add talc 1 oz. ",
]  # fmt: skip
SIGNS = [
    "( ",
    "(",
    "[ ",
    ") ",
    '" ',
    "| ",
    "} ",
    "{ ",
    "& ",
    "— ",
    ". ",
    ".",
    ", ",
    "; ",
    ": ",
    "_ ",
    "… ",
    "\n",
    "\n\n",
    ".\n\n",
    "7",
    "a",
    "a-",
    "1,000,",
]
MIXED = [
    "talc 4 oz. ",
    "4 oz. talc, ",
    "talc, 4 oz.\n",
    "talc 4 oz.\n\n",
    "rose }\n",
    "talc\n",
    '" 4 oz.\n',
    "4 oz. of talc and ",
    "water, to 8 oz. ",
]
PIECES = [*AMOUNTS, *WORDS, *SIGNS, *MIXED]


def calls(text):
    """How many functions are called while a text is read."""

    def work():
        with suppress(hk.ReadingError):
            read_closely(text)

    return calls_of(work)


@pytest.mark.parametrize("piece", PIECES, ids=repr)
def test_four_times_the_text_is_four_times_the_work(piece):
    once, four = (calls(f"Talc {piece * count} rose 4 oz.") for count in (150, 600))
    assert four < 4.6 * once


@pytest.mark.parametrize("piece", ["4 oz. ", "ditto, ", "| ", "talc, 4 oz.\n"], ids=repr)
def test_no_work_is_hidden_within_one_call(piece):
    def seconds(count):
        best = []
        for _ in range(3):
            start = time.process_time()  # of this process alone: others may be at work
            with suppress(hk.ReadingError):
                read_closely(piece * count)
            best.append(time.process_time() - start)
        return min(best)

    assert seconds(2000) < 10 * max(seconds(500), 0.002)


@pytest.mark.parametrize("piece", ["4 oz. ", "½ ", "1/2 ", "of each ", "ditto, ", "talc 4 oz. ", *SIGNS], ids=repr)
def test_more_in_a_row_than_are_read_at_once_are_read_or_refused_in_one_sentence(piece):
    try:
        read(f"Talc {piece * (MOST_TOKENS + 1)}")
    except (hk.ReadingError, hk.BadValue) as refused:
        assert "\n" not in str(refused)


def test_what_is_longer_than_any_formula_is_refused_by_its_length():
    with pytest.raises(
        hk.ReadingError, match=r"30,001 words, figures and signs; at most 20,000 are read at once: give one formula at a time"
    ):
        read("Talc " + "4 oz. " * 15_000)
    assert len(tokenise("Talc " + "4 oz. " * (MOST_TOKENS // 2 - 1))) < MOST_TOKENS


def test_a_long_row_of_amounts_is_read():
    formula = read("Talc " + "4 oz. " * 500)
    assert (formula.lines[0].ingredient, formula.lines[0].amount, formula.lines[0].unit) == ("Talc", 4, "ounce")


def test_leaders_of_any_length_are_left_out_of_the_table():
    def seconds(count):
        line = read("Talc" + "." * count + "x 4 oz.").lines[0]
        start = time.process_time()
        printed_words(line)
        return time.process_time() - start

    assert seconds(16_000) < 12 * max(min(seconds(4000) for _ in range(3)), 0.002)
