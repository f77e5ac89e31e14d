"""The doubts of a line: each said where it holds, by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

import histkit as hk
from histkit.base.nouns import Spread
from histkit.measures import Choice
from histkit.translating.amounts import Reading
from histkit.translating.doubts import line_doubts

TALC = hk.glossary.ingredient("talc")
RIVAL = Choice(hk.measures.conventions["avoirdupois-gb"], "possible", "For the test.", 0.3)
WEIGHED = (Reading("weight", Spread.exact(30.0), "by weight"),)


def doubts(
    text: str, readings: tuple[Reading, ...] = WEIGHED, shares: tuple[float, float] = (0.5, 0.5), rival: Choice | None = None
):
    formula = hk.read(text)
    return line_doubts(formula.lines[0], TALC, readings, rival, shares, formula)


@pytest.mark.parametrize(
    ("share", "other", "effect"),
    [
        (0.5, 0.511, "2 % more in this line."),  # a fiftieth of the line, and a little
        (0.5, 0.509, ""),
        (0.5, 0.489, "2 % less in this line."),
        (0.001, 0.0011, "10 % more in this line."),  # however small its share of the whole is
        (0.0, 0.2, ""),
    ],
)
def test_another_convention_is_told_where_it_moves_the_line(share: float, other: float, effect: str) -> None:
    given = doubts("Talc 1 oz.", shares=(share, other), rival=RIVAL)
    assert [d.effect for d in given] == ([effect] if effect else [])
    if effect:
        assert given[0].about == "measure" and RIVAL.convention.name in given[0].text
        assert given[0].others == (f"{100 * other:.3g} % instead of {100 * share:.3g} %",)
    assert doubts("Talc 1 oz.", shares=(share, other)) == [], "and nowhere without a rival"


def test_a_liquid_weighed_or_measured() -> None:
    two = (Reading("measure", Spread.exact(25.0), ""), Reading("weight", Spread.exact(30.0), ""))
    (doubt,) = doubts("Talc 1 oz.", two)
    assert "it is taken by measure" in doubt.text and doubt.others == ("by weight: 30 g",) and doubt.effect == "20 % more in this line."
    nothing = tuple(replace(r, grams=Spread.exact(0.0)) for r in two)
    assert doubts("Talc 1 oz.", nothing) == []


def test_parts_beside_weights_drops_and_amounts_without_a_weight() -> None:
    assert [d.about for d in doubts("Talc 2 parts\nChalk 1 oz.")] == ["unit"]
    assert doubts("Talc 2 parts\nChalk 1 part\nScent q.s.") == []
    assert ["no fixed size" in d.text for d in doubts("Talc 3 drops")] == [True]
    formula = hk.read("Talc 1 oz.")
    for unit, words in (("ounce", "ounce"), ("piece", "pieces")):
        (doubt,) = line_doubts(replace(formula.lines[0], unit=unit), TALC, (), None, (0.0, 0.0), formula)
        assert doubt.text == f"No weight is known for an amount in {words}."
