"""The drawing of test presses: where each mark stands, what it looks like, and the same in words."""

import re
import xml.etree.ElementTree as Tree

import pytest

from histkit.bench.proposals import propose
from histkit.bench.trials import Trial, TrialLog

LOG = TrialLog(
    (
        Trial(1, 0.03, drops_survived=0, payoff=5),
        Trial(2, 0.05, drops_survived=5, payoff=4),
        Trial(3, 0.07, drops_survived=6, glazes=True),
        Trial(4, 0.05, payoff=4),
        Trial(5, 0.09),
    )
)


def drawn(log, **how):
    return Tree.fromstring(log.to_svg(**how))


def discs(svg):
    return [c for c in svg.iter("circle") if float(c.get("cy")) < 250]  # those below are the legend's


def test_every_trial_with_a_result_stands_at_its_share_and_payoff():
    first, second, third = discs(drawn(LOG))
    places = [float(c.get("cx")) for c in (first, second, third)]
    assert places[1] - places[0] == pytest.approx(places[2] - places[1]), "3, 5 and 7 % lie equally far apart"
    assert float(first.get("cy")) < float(second.get("cy")) < float(third.get("cy")), "the less it gives off the lower it stands"
    assert first.get("fill") != second.get("fill") == third.get("fill"), "a ring for what fell apart, a disc for what held"


def test_trials_of_one_share_and_payoff_stand_beside_each_other():
    same = TrialLog((Trial(1, 0.05, drops_survived=5, payoff=4), Trial(2, 0.05, drops_survived=5, payoff=4)))
    one, other = discs(drawn(same))
    assert float(other.get("cx")) - float(one.get("cx")) >= 12


def test_the_suggestion_is_a_band_and_a_line():
    proposal = propose(LOG)
    svg = drawn(LOG, proposal=proposal)
    (band,) = svg.iter("rect")
    best = float(
        next(line for line in svg.iter("line") if line.get("stroke-width") == "2" and "brand" in line.get("stroke")).get("x1")
    )
    assert float(band.get("x")) <= best <= float(band.get("x")) + float(band.get("width"))
    assert f"try {100 * proposal.share.best:.3g} %" in "".join(svg.itertext())


def test_it_is_told_in_words_for_who_does_not_see_it():
    svg = drawn(LOG, proposal=propose(LOG))
    words = svg.find("desc").text
    assert svg.get("role") == "img" and svg.find("title").text == "Payoff over the share of binder"
    assert "Trial 1, 3 % of binder: it did not hold, payoff 5." in words and "payoff not tried" in words and "Suggested:" in words
    assert "Trial 5" not in words, "it has no result yet"


def test_nothing_is_drawn_without_a_result():
    assert TrialLog((Trial(1, 0.05),)).to_svg() == ""


@pytest.mark.parametrize("shares", [(0.0, 0.0), (0.05, 0.05), (0.0, 0.3), (0.049, 0.051)])
def test_marks_and_ticks_lie_within_the_drawing(shares):
    svg = drawn(TrialLog(tuple(Trial(n, s, drops_survived=4, payoff=3) for n, s in enumerate(shares, start=1))))
    assert all(52 <= float(c.get("cx")) <= 600 for c in discs(svg))
    ticks = [t for t in svg.iter("text") if re.fullmatch(r"[\d.]+", t.text or "") and t.get("text-anchor") == "middle"]
    assert 2 <= len(ticks) <= 10
