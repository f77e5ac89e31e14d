"""Distance and centre of compositions: against published figures, against independent ways, and by what must hold.

(Distance and zeros have further evidence in tests/books/test_questions.py, where they are asked of whole books.)
"""

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.composing.likeness import DELTA, LIMIT, aitchison, centre, closed, without_zeros

# Aitchison, J., The Statistical Analysis of Compositional Data (1986), Data 1: the first three specimens of hongite, in per cent of
# A albite, B blandite, C cornite, D daubite, E endite (as typed from memory; each row adds to 100).
HONGITE = ((48.8, 31.7, 3.8, 6.4, 9.3), (48.2, 23.8, 9.0, 9.2, 9.8), (37.0, 9.1, 34.2, 9.5, 10.2))
NAMES = "ABCDE"


def named(row):
    return dict(zip(NAMES, row, strict=True))


def by_all_pairs(one, two):
    """The definition by the ratios of every pair of parts (Aitchison 1992, Math. Geology 24, 365-379)."""
    n = len(one)
    total = sum((math.log(one[i] / one[j]) - math.log(two[i] / two[j])) ** 2 for i in range(n) for j in range(i + 1, n))
    return math.sqrt(total / n)


@pytest.mark.parametrize("one", range(3))
@pytest.mark.parametrize("two", range(3))
def test_distance_of_the_published_specimens_by_the_other_definition(one, two):
    assert aitchison(named(HONGITE[one]), named(HONGITE[two])) == pytest.approx(by_all_pairs(HONGITE[one], HONGITE[two]))


def test_the_distance_of_small_shares_counts_as_that_of_large_ones():
    """The example by which distances of compositions are taught: (0.1, 0.2, 0.7) to (0.2, 0.1, 0.7) is farther than (0.3, 0.4, 0.3)
    to (0.4, 0.3, 0.3), though Euclid's distance is the same. By hand: √2 ln 2 and √2 ln 4/3."""
    assert aitchison({"a": 0.1, "b": 0.2, "c": 0.7}, {"a": 0.2, "b": 0.1, "c": 0.7}) == pytest.approx(math.sqrt(2) * math.log(2))
    assert aitchison({"a": 0.3, "b": 0.4, "c": 0.3}, {"a": 0.4, "b": 0.3, "c": 0.3}) == pytest.approx(
        math.sqrt(2) * math.log(4 / 3)
    )


# Output that another program has printed for five specimens of its simulated amounts of Cu, Zn, Pb, Cd, Co (R package compositions
# 2.0, K. G. van den Boogaart and R. Tolosana-Delgado, tests/TestSimp.Rout.save of the package as published on CRAN): the amounts,
# and the centred logarithms. Those of its 60 specimens are taken of which every amount is printed to 0.5 %.
PRINTED = (
    ((2.326, 3.296, 80.886, 0.944, 3.012), (-0.651, -0.302, 2.898, -1.553, -0.392)),
    ((2.901, 7.008, 75.708, 0.096, 0.233), (0.358, 1.240, 3.620, -3.054, -2.164)),
    ((3.062, 26.478, 172.852, 0.361, 0.699), (-0.515, 1.642, 3.518, -2.653, -1.992)),
    ((2.077, 8.193, 33.409, 0.217, 0.892), (-0.210, 1.163, 2.568, -2.466, -1.054)),
)


@pytest.mark.parametrize("one", range(4))
@pytest.mark.parametrize("two", range(4))
def test_distance_by_the_logarithms_that_another_program_printed(one, two):
    (amounts, logs), (others, other_logs) = PRINTED[one], PRINTED[two]
    assert aitchison(named(amounts), named(others), limit=0) == pytest.approx(math.dist(logs, other_logs), abs=0.01)


def test_the_centre_by_the_logarithms_that_another_program_printed():
    """It prints that the centred logarithms of the centre are the means of those of the specimens."""
    middle = [centre([named(amounts) for amounts, _ in PRINTED], limit=0)[name] for name in NAMES]
    means = [sum(column) / len(PRINTED) for column in zip(*(logs for _, logs in PRINTED), strict=True)]
    centred = [math.log(share) - sum(map(math.log, middle)) / 5 for share in middle]
    assert centred == pytest.approx(means, abs=0.005)


def test_a_distance_that_another_package_prints():
    """R package QFASA (C. Stewart and others, CRAN), its own test of Aitchison's distance: 3.49003."""
    assert aitchison(named((1, 1, 1, 1, 1)), named((2, 99, 99, 99, 99)), limit=0) == pytest.approx(3.49003, abs=1e-5)


def test_the_centre_by_scipy():
    from scipy.stats import gmean

    means = gmean(HONGITE, axis=0)
    middle = centre([named(row) for row in HONGITE])
    assert [middle[name] for name in NAMES] == pytest.approx(list(means / means.sum()))


def test_what_one_lacks_becomes_small_and_does_not_vanish():
    middle = centre([{"a": 0.5, "b": 0.5}, {"a": 1.0}])
    # by hand: the second is (1 - δ, δ); geometric means √(0.5 (1-δ)) and √(0.5 δ), closed
    one, other = math.sqrt(0.5 * (1 - DELTA)), math.sqrt(0.5 * DELTA)
    assert middle == {"a": pytest.approx(one / (one + other)), "b": pytest.approx(other / (one + other))}


SHARES = st.dictionaries(st.sampled_from("abcdef"), st.floats(0.001, 1), min_size=1)


@given(st.lists(SHARES, min_size=1, max_size=8), st.floats(0.1, 10))
def test_the_centre_adds_to_1_whatever_the_batches(several, factor):
    middle = centre(several)
    assert math.fsum(middle.values()) == pytest.approx(1)
    larger = centre([{k: factor * v for k, v in shares.items()} for shares in several])
    assert larger == pytest.approx(middle)


@given(st.lists(SHARES, min_size=2, max_size=5), SHARES)
def test_nothing_lies_nearer_to_all_than_their_centre(several, other):
    """It is the least of the sums of squared distances (Pawlowsky-Glahn and Egozcue 2001), where all have all parts."""
    parts = set().union(*several, other)
    full = [{p: s.get(p, 0.05) for p in parts} for s in (*several, other)]
    assume(all(min(closed(s, 0).values()) >= 2 * LIMIT for s in full))
    *whole, rival = full
    middle = centre(whole)
    assume(min(middle.values()) >= LIMIT)
    assert sum(aitchison(middle, s) ** 2 for s in whole) <= sum(aitchison(rival, s) ** 2 for s in whole) + 1e-9


@given(SHARES, SHARES, SHARES)
def test_no_way_round_is_shorter_where_all_have_all(one, two, three):
    parts = {*one, *two, *three}
    full = [{p: s.get(p, 0.05) for p in parts} for s in (one, two, three)]
    assume(all(min(closed(s, 0).values()) >= LIMIT for s in full))
    a, b, c = full
    assert aitchison(a, c) <= aitchison(a, b) + aitchison(b, c) + 1e-9


def test_a_mean_of_nothing():
    with pytest.raises(BadValue, match="at least one"):
        centre([])
    with pytest.raises(BadValue, match="above 0"):
        centre([{"a": 0.0}])


def test_shares_that_are_too_small_count_as_none():
    assert closed({"a": 1.0, "b": 0.0005}, LIMIT) == {"a": pytest.approx(1 / 1.0005)}
    assert without_zeros([1.0, 0.0]) == pytest.approx([1 - DELTA, DELTA])
