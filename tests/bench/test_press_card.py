"""The press card: force is pressure times the pan's own area, in three units, worked by hand."""

from __future__ import annotations

import math

import pytest

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench.pans import Filling, pans_need
from histkit.bench.press_card import force_newton, force_text, press_card
from histkit.bench.pressing import PressedFormula, press
from histkit.bench.sizing import batch_for_pans
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def cake() -> PressedFormula:
    return press(Composition.of([("talc", 90), ("kaolin", 10)], "invented powder"))


def test_the_window_on_a_pan_of_26_mm() -> None:
    """5.309 cm2: 2.07 MPa are 1099 N, 13.8 MPa 7327 N."""
    card = press_card(cake(), Filling(26, 4, 2, below_rim_mm=0.5))
    assert card.area == pytest.approx(math.pi * 13**2)
    assert card.force.low == pytest.approx(1099, abs=0.5) and card.force.high == pytest.approx(7327, abs=0.5)
    lines = dict(card.lines())
    assert "1100 to 7330 N (112 to 747 kgf, 247 to 1650 lbf) on this pan" in lines["Pressure"]
    assert lines["Pan"].startswith("2 of 26 mm across") and "5.31 cm2" in lines["Pan"]
    assert lines["Fill line"] == "3.5 mm of cake, 0.5 mm under the rim"


def test_each_pan_is_a_share_of_all() -> None:
    filling = Filling(width_mm=20, length_mm=30, depth_mm=4, count=3, density_g_cm3=1.2)
    card = press_card(cake(), filling)
    assert card.each.best == pytest.approx(20 * 30 * 4 / 1000 * 1.2)
    assert card.each.best * 3 == pytest.approx(pans_need(cake(), filling).fill.best)
    assert "level with the rim" in dict(card.lines())["Fill line"]


def test_a_force_in_three_units() -> None:
    """9.80665 N are one kgf and 2.2046 lbf."""
    assert force_text(Spread.exact(9.80665)) == "9.81 N (1 kgf, 2.2 lbf)"
    assert force_text(Spread(9806.65, 10000, 19613.3)) == "9810 to 19600 N (1000 to 2000 kgf, 2200 to 4410 lbf)"
    assert force_newton(2, 300).best == 600


@pytest.mark.parametrize(
    ("diameter", "verdicts"),
    [
        (26, {"thumb": "too soft", "clamp": "enough", "arbor": "enough, and at full effort too hard"}),
        (59, {"thumb": "too soft", "clamp": "too soft", "arbor": "enough only at full effort"}),
        (10, {"thumb": "enough only at full effort", "clamp": "too hard at any effort", "arbor": "too hard at any effort"}),
    ],
)
def test_what_a_hand_a_clamp_and_a_press_reach(diameter: float, verdicts: dict[str, str]) -> None:
    """A thumb gives 0.19 to 0.38 MPa on 26 mm, a clamp 2.8 to 5.6, an arbor press up to 18.5; on 59 mm no more than 3.6."""
    reaches = {reach.press: reach for reach in press_card(cake(), Filling(diameter, 4)).reaches}
    for word, verdict in verdicts.items():
        (reach,) = [reach for press, reach in reaches.items() if word in press]
        assert reach.verdict == verdict, (word, reach.mpa)
        assert reach.mpa.high == pytest.approx(reach.force.high / (math.pi / 4 * diameter**2))


def test_the_makers_own_pressure() -> None:
    assert "Yours" not in dict(press_card(cake(), Filling(26, 4)).lines())
    own = dict(press_card(cake(), Filling(26, 4, pressure=5)).lines())["Yours"]
    assert own == "5 MPa, 2650 N (271 kgf, 597 lbf) on this pan"
    assert dict(press_card(cake(), Filling(26, 4, press="clamp")).lines())["Yours"].startswith("2.8 to 5.7 MPa, 1500 to 3000 N")


def test_passes_come_from_the_steps() -> None:
    passes = press_card(cake(), Filling(26, 4)).passes
    assert [words[:2] for words in passes] == ["1.", "2."]
    assert "cloth" in passes[0] and "2 to 5 s" in passes[1]


def test_a_pan_without_size() -> None:
    with pytest.raises(BadValue, match="diameter_mm"):
        press_card(cake(), Filling())


def test_the_card_stands_on_the_sheet_of_a_batch_for_pans() -> None:
    made = batch_for_pans(cake(), Filling(26, 4, 6))
    sheet = made.to_markdown().replace("\u00a0", " ")
    assert "Press card" in sheet and "1100 to 7330 N (112 to 747 kgf, 247 to 1650 lbf)" in sheet
    assert made.from_json(made.to_json()).press_card == made.press_card
    assert "Press card" in made.to_html() and made.to_pdf().startswith(b"%PDF")
