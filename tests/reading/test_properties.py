"""What holds for any text at all."""

import time
from collections import Counter
from contextlib import suppress
from itertools import pairwise

from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit.reading import read

PIECES = st.sampled_from(
    """Take|of|and|each|of each|talc|rose|oil|Otto|"|,|;|.|:|—|(|)|}|{|\n|\n\n|   |....|½|1-1/2|2|7,000|0.5|ʒij|℥ss|gr. x|āā|q.s.|ad|to make|half|an ounce|"""
    """two ounces|drachms|drops|a few drops|the same quantity|as much|No. 40|per cent|Mix|sift|them|in fine powder|powdered|℞|=F.=|\ufeff|\u2060|M.|or|3ij|"""
    """perfumed with|equal parts|a little|by measure|♏|Oj|one|of it|hours|pt.|\ufffd""".split("|")
)
TEXTS = st.lists(PIECES, max_size=40).map(" ".join) | st.text(max_size=300)


def words(text):
    """Runs of letters; scans glue figures to words, and a line may end between them."""
    return Counter("".join(c if c.isalpha() else " " for c in text).split())


def placed(formula):
    return words(" ".join([formula.title, formula.directions, *formula.unread, *(line.raw for line in formula.lines)]))


@given(TEXTS)
@example("Chalk, 3ij. and Οij of ♏︎x")
@settings(max_examples=400, deadline=None, suppress_health_check=[HealthCheck.too_slow])
def test_any_text_is_read_or_kindly_refused_and_every_word_stands_in_one_place(text):
    try:
        formula = read(text)
    except hk.ReadingError:
        return
    assert placed(formula) == words(text)
    spans = [line.span for line in formula.lines]
    assert all(a[1] <= b[0] for a, b in pairwise(spans)), "raws overlap"
    assert all(text[s:e] == line.raw for line, (s, e) in zip(formula.lines, spans, strict=True))


NAMES = st.sampled_from(
    ["rice starch", "powdered talc", "orris root", "zinc oxide", "precipitated chalk", "otto of rose", "carmine", "boric acid"]
)
AMOUNTS = st.sampled_from([0.25, 0.5, 1, 1.5, 2, 3, 4, 10, 12, 100])
UNIT_WORDS = st.sampled_from(
    [
        ("ounce", "oz."),
        ("drachm", "drachms"),
        ("grain", "grains"),
        ("pound", "lbs."),
        ("drop", "drops"),
        ("part", "parts"),
        ("gram", "grams"),
        ("minim", "minims"),
    ]
)


@given(st.lists(st.tuples(NAMES, AMOUNTS, UNIT_WORDS), min_size=2, max_size=12, unique_by=lambda entry: entry[0]), st.booleans())
@settings(max_examples=200, deadline=None)
def test_a_formula_printed_in_a_standard_notation_reads_back_as_itself(entries, column):
    if column:
        text = "\n".join(f"{name:<30}{amount:g} {unit[1]}" for name, amount, unit in entries)
    else:
        text = "; ".join(f"{name}, {amount:g} {unit[1]}" for name, amount, unit in entries)
    lines = read(text).lines
    assert [(line.ingredient, line.amount, line.unit) for line in lines] == [
        (name, amount, unit[0]) for name, amount, unit in entries
    ]


def test_time_grows_with_the_length_and_no_faster():
    """A ratio within one run, so that a slow machine does not matter: ten times the text, well under forty times the time."""

    def seconds(text):
        best = []
        for _ in range(3):
            start = time.perf_counter()
            with suppress(hk.ReadingError):
                read(text)
            best.append(time.perf_counter() - start)
        return min(best)

    for unit in (
        "rose, and oil of each ",
        '( { " ',
        "1/2 oz of talc, ",
        "a quarter of a quarter of ",
        "...... ",
        "ʒ ss and a half ",
    ):
        assert seconds(unit * 1000) < 40 * max(seconds(unit * 100), 0.002), unit
