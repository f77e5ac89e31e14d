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


def pharmacists_numeral(value):
    """3.5 as 'iijss': Roman, the last i as j, ss for a half."""
    out, rest = "", int(value)
    for worth, letters in ((100, "c"), (90, "xc"), (50, "l"), (40, "xl"), (10, "x"), (9, "ix"), (5, "v"), (4, "iv"), (1, "i")):
        out += letters * (rest // worth)
        rest %= worth
    out = out[:-1] + "j" if out.endswith("i") else out
    return out + ("ss" if value % 1 else "")


SIGNS = st.sampled_from(
    [("ounce", "℥"), ("drachm", "ʒ"), ("scruple", "℈"), ("minim", "♏"), ("fluid ounce", "f℥"), ("grain", "gr. ")]
)
HALVES = st.integers(1, 120).map(lambda n: n / 2)


@given(st.lists(st.tuples(NAMES, HALVES, SIGNS), min_size=2, max_size=10, unique_by=lambda entry: entry[0]), st.booleans())
@settings(max_examples=200, deadline=None)
def test_a_prescription_in_signs_and_numerals_reads_back_as_itself(entries, dotted):
    gap = " ........ " if dotted else ", "
    text = "℞ " + ".\n".join(f"{name}{gap}{sign[1]}{pharmacists_numeral(value)}" for name, value, sign in entries) + ".\nM."
    lines = read(text).lines
    assert [(line.ingredient, line.amount, line.unit) for line in lines] == [(n, v, sign[0]) for n, v, sign in entries]


@given(
    st.lists(st.tuples(NAMES, AMOUNTS, UNIT_WORDS), min_size=2, max_size=9, unique_by=lambda entry: entry[0]),
    st.sampled_from(["amount first", "range", "each", "compound"]),
)
@settings(max_examples=300, deadline=None)
def test_other_standard_notations_read_back_as_themselves(entries, notation):
    (one, amount, unit), *rest = entries
    expected = [(name, value, word[0], ()) for name, value, word in rest]
    plain = [f"{name}, {value:g} {word[1]}" for name, value, word in rest]
    if notation == "amount first":
        text = "; ".join(f"{value:g} {word[1]} {name}" for name, value, word in entries)
        expected = [(name, value, word[0], ()) for name, value, word in entries]
    elif notation == "range":
        text = "; ".join([f"{one}, {amount:g} to {amount + 2:g} {unit[1]}", *plain])
        expected.insert(0, (one, (amount, amount + 2), unit[0], ()))
    elif notation == "each":
        text = "; ".join([f"{one} and burnt alum, of each {amount:g} {unit[1]}", *plain])
        expected[:0] = [(one, amount, unit[0], ()), ("burnt alum", amount, unit[0], ())]
    else:
        text = "; ".join([f"{one}, {amount:g} lbs. 3 oz.", *plain])
        expected.insert(0, (one, amount, "pound", ((3.0, "ounce"),)))
    assert [(line.ingredient, line.amount, line.unit, line.plus) for line in read(text).lines] == expected


def test_time_grows_with_the_length_and_no_faster():
    """A ratio within one run, so that a slow machine does not matter: ten times the text, well under forty times the time."""

    def seconds(text):
        best = []
        for _ in range(3):
            start = time.process_time()  # of this process alone: others may be at work
            with suppress(hk.ReadingError):
                read(text)
            best.append(time.process_time() - start)
        return min(best)

    for unit in (
        "rose, and oil of each ",
        '( { " ',
        "1/2 oz of talc, ",
        "a quarter of a quarter of ",
        "...... ",
        "ʒ ss and a half ",
        "________",
        "and and ",
    ):
        assert seconds(unit * 1000) < 40 * max(seconds(unit * 100), 0.002), unit
