"""Receipts drawn by chance from 65 books that the reader was mended on afterwards: a guard that what was mended stays so.

`drawn_books.jsonl` has the form of the judge's files and is no judge. The places were drawn at seeded offsets (`print` says the sort
of print); what is no list of ingredients was left out, the rest is cut to the words that name ingredients and amounts and what joins
them. The labels were made from what the reader answered, each line looked at beside its page and put right where it was wrong, so
that a fault which the eye passed over stands in them too. Ids beginning with 'a' are of the books that were mended on first.
"""

from pathlib import Path

import pytest
from reading import judge

DRAWN = judge.labelled_formulas(Path(__file__).with_name("drawn_books.jsonl"))


def test_the_labels_stand_in_the_text_in_printed_order():
    assert len(DRAWN) >= 165
    assert len({formula["book"] for formula in DRAWN}) >= 60
    assert len({formula["id"] for formula in DRAWN}) == len(DRAWN)
    for formula in DRAWN:
        assert len(judge.spans_of(formula)) == len(formula["lines"]) > 0
        assert all(label["name"].strip() and label["ingredient"].strip() for label in formula["lines"])


def test_no_book_of_a_judge_is_among_them():
    judged = {formula["book"] for path in (judge.LABELS, judge.MORE) for formula in judge.labelled_formulas(path)}
    assert not judged & {formula["book"] for formula in DRAWN}


@pytest.fixture(scope="module")
def shares():
    return judge.scores(DRAWN)[0]


@pytest.mark.parametrize(("column", "least"), [("found", 95.0), ("measure", 94.0), ("name", 88.0)], ids=str)
def test_guard_the_share_that_is_read_right(shares, column, least):
    """A guard, not evidence: a point or so under what was reached when the reader had been mended on these books."""
    assert shares["all"][column] >= least


@pytest.mark.parametrize(("column", "most"), [("extra", 3.0), ("silent", 3.0), ("lost", 0.0)], ids=str)
def test_guard_the_share_that_is_made_up_or_silently_wrong(shares, column, most):
    assert shares["all"][column] <= most
