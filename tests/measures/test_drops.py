"""Drops: tables by sort of liquid, the tip formula, a maker's own count."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue, UnknownName
from histkit.base.nouns import Spread
from histkit.glossary.nouns import Ingredient, Property
from histkit.measures import (
    Calibration,
    drop_mass,
    drop_mass_from_tip,
    drop_reason,
    dry_mass,
    harkins_brown_factor,
    ideal_drop_mass,
    period_drops,
)
from histkit.measures.rows import rows


def liquid(name: str, kind: str, density: float | None = None, tension: float | None = None) -> Ingredient:
    found = []
    if density is not None:
        found.append(Property("density", density, density, "g/mL"))
    if tension is not None:
        found.append(Property("surface-tension", tension, tension, "mN/m"))
    return Ingredient(name, name, kind=kind, state="liquid", properties=tuple(found))


@pytest.mark.parametrize(
    ("ingredient", "drops_per_gram"),
    [
        (None, 20),
        (liquid("rose-water", "water"), 16),
        (liquid("rose-oil", "essential-oil", 0.86), 25),
        (liquid("clove-oil", "essential-oil", 1.05), 20),
        (liquid("clove-oil", "essential-oil"), 25),
        (liquid("castor-oil", "fixed-oil", 0.96), 20),
        (liquid("jasmine-extract", "extract"), 25),
        (liquid("honeysuckle-oil", "essential-oil"), 25),
        (liquid("benzyl-alcohol", "aroma-chemical", 1.045), 20),  # an alcohol by name, no spirit (30)
        (liquid("benzyl-alcohol", "aroma-chemical"), 25),
        (liquid("cetyl-alcohol", "fat-wax"), 20),
        (liquid("ether-of-almonds", "fixed-oil"), 20),  # not 50, as ether
        (liquid("tincture-oil", "essential-oil", 1.05), 20),  # not 25, as a tincture
        (liquid("cologne-spirit", "spirit"), 30),
        (liquid("petroleum-ether", "chemical"), 30),
        (liquid("something", "no such kind"), 20),
    ],
)
def test_the_sort_of_liquid(ingredient, drops_per_gram):
    assert 1 / drop_mass(ingredient).best == pytest.approx(drops_per_gram, rel=1e-9)


def test_a_density_given_tells_heavy_oils():
    oil = liquid("clove-oil", "essential-oil")
    assert drop_mass(oil, density=1.05).best == drop_mass(liquid("clove-oil", "essential-oil", 1.05)).best


def test_own_count_overrides_everything():
    assert drop_mass(liquid("rose-oil", "essential-oil"), dropper=3, calibration=(50, 1.25)) == Spread.exact(0.025)
    weighed = drop_mass(calibration=Calibration(50, 1.25, readability=0.01))
    assert (weighed.low, weighed.best, weighed.high) == pytest.approx((0.0249, 0.025, 0.0251))
    assert "your own count, 50 drops weighed 1.25 g" in drop_reason(calibration=(50, 1.25))


@pytest.mark.parametrize("wrong", [(0, 1.0), (5, 0.0), (5, -1.0), (5, float("nan"))])
def test_a_count_of_nothing_is_refused(wrong):
    with pytest.raises(BadValue):
        drop_mass(calibration=wrong)
    with pytest.raises(BadValue):
        Calibration(10, 0.1, readability=0.2)


def test_reasons_name_their_sources():
    assert "Buchheister" in drop_reason(liquid("rose-oil", "essential-oil"))
    assert "Gorgas" in drop_reason(liquid("ether", "chemical"))
    assert "Harkins" in drop_reason(liquid("rose-oil", "essential-oil"), dropper=3)
    own = drop_reason(liquid("rose-oil", "essential-oil", 0.86, 30.0), dropper="standard dropper")
    assert "its own surface tension" in own
    assert "the standard dropper" in own
    assert "the usual surface tension of essential oils (memory)" in drop_reason(liquid("x-oil", "essential-oil"), dropper=2.5)


def test_a_spread_of_density_is_taken_at_its_best():
    """Heavy from 1.0 on: an oil of 0.9 to 1.2 (1.05 at best) is, one of 0.7 to 1.1 (0.9) is not; so too for a density given."""
    for low, high, drops in ((0.9, 1.2, 20), (0.7, 1.1, 25)):
        own = Ingredient("x-oil", "x oil", kind="essential-oil", state="liquid", properties=(Property("density", low, high, "g/mL"),))
        assert 1 / drop_mass(own).best == pytest.approx(drops)
        best = (low + high) / 2
        assert 1 / drop_mass(liquid("x-oil", "essential-oil"), density=Spread(low, best, high)).best == pytest.approx(drops)


def test_spreads_of_tension_and_density_spread_the_drop():
    """Best from the best of both; the ends from the corners, and ten per cent for the formula itself."""
    both = (Property("surface-tension", 26, 34, "mN/m"), Property("density", 0.8, 1.0, "g/mL"))
    drop = drop_mass(Ingredient("x", "x", kind="essential-oil", state="liquid", properties=both), dropper=3)
    assert drop.best == pytest.approx(drop_mass_from_tip(3, 30, 0.9))
    corners = [drop_mass_from_tip(3, tension, density) for tension in (26, 34) for density in (0.8, 1.0)]
    assert drop.low == pytest.approx(0.9 * min(corners)) and drop.high == pytest.approx(1.1 * max(corners))
    assert min(corners) < drop.best < max(corners)


def test_the_reason_to_the_letter():
    book = "G. A. Buchheister, Handbuch der Drogisten-Praxis, 3rd ed. (1893), p. 43, drop table"
    close = "A drop is no measure: count and weigh your own to be sure."
    assert drop_reason(liquid("x", "fixed-oil")) == (
        f"one drop weighs 0.05 g, 0.0324 to 0.05 g: 20 drops to the gram for fixed oils ({book}); the range: about half a grain for a light"
        f" fixed oil (W. Martindale and W. W. Westcott, The Extra Pharmacopoeia (1901), pp. 11 and 14). {close}"
    )
    watery = drop_reason(liquid("x", "water"))
    assert watery.count("; the range: ") == 1 and "(USP 32-NF 27) (2009), <1101> Medicine Dropper); 55 mg, the most" in watery and watery.endswith(f"461-462). {close}")
    own = drop_reason(liquid("rose-oil", "essential-oil", 0.86, 30.0), dropper=3)
    assert own.endswith(", with its own surface tension.") and ": from your dropper, tip 3 mm, by Tate's law" in own


def test_own_surface_tension_is_used():
    light, heavy = (drop_mass(liquid("x", "essential-oil", 0.9, t), dropper=3) for t in (25.0, 35.0))
    assert heavy.best > light.best
    assert light.best == pytest.approx(drop_mass_from_tip(3, 25.0, 0.9))
    assert light.low == pytest.approx(0.9 * light.best)


def test_unknown_dropper():
    with pytest.raises(UnknownName) as caught:
        drop_mass(dropper="standard droper")
    assert "standard dropper" in caught.value.near


@given(st.floats(0.5, 4), st.floats(18, 75), st.floats(0.7, 1.5))
def test_the_drop_solves_its_own_equation(tip, tension, density):
    mass = drop_mass_from_tip(tip, tension, density)
    factor = harkins_brown_factor(tip / 20 / (mass / density) ** (1 / 3))
    assert mass == pytest.approx(ideal_drop_mass(tip, tension) * factor, rel=1e-9)


@given(st.floats(0.5, 3), st.floats(20, 70))
def test_a_wider_tip_and_a_stronger_skin_make_a_heavier_drop(tip, tension):
    assert drop_mass_from_tip(tip * 1.1, tension, 1.0) > drop_mass_from_tip(tip, tension, 1.0)
    assert drop_mass_from_tip(tip, tension * 1.1, 1.0) > drop_mass_from_tip(tip, tension, 1.0)


@pytest.mark.parametrize("figures", [(0, 72, 1), (3, 0, 1), (3, 72, 0), (3, 72, -1), (float("nan"), 72, 1), (25, 20, 1.5)])
def test_a_tip_that_makes_no_drop(figures):
    with pytest.raises(BadValue):
        drop_mass_from_tip(*figures)


@pytest.mark.parametrize(("place", "what"), [(0, "tip diameter"), (1, "surface tension"), (2, "density")])
def test_the_figure_that_makes_no_drop_is_named(place, what):
    figures = [3.0, 72.0, 1.0]
    figures[place] = 0.0
    with pytest.raises(BadValue, match=f"^the {what} of a drop is above zero, not 0.0$"):
        drop_mass_from_tip(*figures)


def test_a_calibration_of_nothing_says_what_is_wrong():
    with pytest.raises(BadValue, match=r"weigh more than nothing, not 0\.0 g"):
        Calibration(5, 0.0)
    with pytest.raises(BadValue, match="at least one drop, not 0"):
        Calibration(0, 1.0)
    with pytest.raises(BadValue, match=r"readability lies between nothing and the 0\.1 g weighed, not 0\.1 g"):
        Calibration(10, 0.1, readability=0.1)


def test_factor_outside_the_table():
    assert harkins_brown_factor(0) == 1
    for ratio in (-0.1, 1.3):
        with pytest.raises(BadValue, match="0 to 1.2"):
            harkins_brown_factor(ratio)


def test_every_sort_of_liquid_has_one_best_row():
    sorts = [row["liquid"] for row in rows("drop_liquids")]
    assert len(sorts) == len(set(sorts))
    best = [row["liquid"] for row in rows("drops") if row["use"] == "best"]
    assert sorted(best) == sorted(sorts)
    assert {row["liquid"] for row in rows("drops")} <= set(sorts)
    assert {row["use"] for row in rows("drops")} == {"best", "range", "check"}


def test_handfuls_and_pinches_by_weight():
    assert dry_mass("pinch").best < dry_mass("handful").best
    with pytest.raises(UnknownName) as caught:
        dry_mass("handfull")
    assert caught.value.near == ("handful",)


# The ends of ranges: found by changing the code a little and seeing no test fail.


def test_a_count_at_its_least():
    assert Calibration(1, 0.05).drop == Spread.exact(0.05)
    assert Calibration(20, 0.9).drop.best == pytest.approx(0.045)
    for wrong in ((0, 1.0), (True, 1.0), (5, float("inf"))):
        with pytest.raises(BadValue):
            Calibration(*wrong)
    assert Calibration(10, 0.5, readability=0.1).drop.low == pytest.approx(0.045)
    with pytest.raises(BadValue):
        Calibration(10, 0.1, readability=0.1)


def test_the_last_row_of_the_factors_is_reached():
    table = [(float(row["ratio"]), float(row["factor"])) for row in rows("harkins_brown")]
    for ratio, factor in table:
        assert harkins_brown_factor(ratio) == pytest.approx(factor, abs=1e-12)
    (x0, f0), (x1, f1) = table[-2:]
    assert harkins_brown_factor((x0 + x1) / 2) == pytest.approx((f0 + f1) / 2)


def test_the_widest_tip_makes_a_drop_and_a_wider_one_does_not():
    """The tip whose smallest possible drop just reaches the end of the table (ratio 1.2), and one a thousandth wider."""
    tension, density = 30.0, 0.9

    def ratio(tip):
        return tip / 20 / (0.55 * ideal_drop_mass(tip, tension) / density) ** (1 / 3)

    low, high = 1.0, 60.0
    for _ in range(80):
        middle = (low + high) / 2
        low, high = (middle, high) if ratio(middle) < 1.2 else (low, middle)
    assert drop_mass_from_tip(low * 0.999, tension, density) > 0
    with pytest.raises(BadValue, match="too wide"):
        drop_mass_from_tip(high * 1.001, tension, density)


def test_a_density_given_is_used_for_the_tip_formula():
    """A liquid without a density of its own: the one that is given decides, a spread with both its ends."""
    bare = liquid("x-oil", "essential-oil", None, 30.0)
    given_density = drop_mass(bare, dropper=3, density=1.2)
    assert given_density.best == pytest.approx(drop_mass_from_tip(3, 30.0, 1.2))
    assert given_density.best != pytest.approx(drop_mass(bare, dropper=3).best, rel=1e-4)
    ends = drop_mass(bare, dropper=3, density=Spread(0.8, 0.9, 1.3))
    corners = [drop_mass_from_tip(3, 30.0, d) for d in (0.8, 1.3)]
    best = drop_mass_from_tip(3, 30.0, 0.9)
    assert ends.low == pytest.approx(0.9 * min(*corners, best)) and ends.high == pytest.approx(1.1 * max(*corners, best))
    heavy = liquid("clove-oil", "essential-oil", None)
    assert drop_mass(heavy, dropper=3, density=1.05).best != pytest.approx(drop_mass(heavy, dropper=3, density=0.86).best)


def test_reasons_tell_the_same_figures_as_the_mass():
    oil = liquid("clove-oil", "essential-oil")
    for arguments in ({}, {"density": 1.05}, {"dropper": 3.0}, {"dropper": "standard dropper", "density": 1.05}):
        mass = drop_mass(oil, **arguments)
        assert f"{mass.best:.3g} g, {mass.low:.3g} to {mass.high:.3g} g" in drop_reason(oil, **arguments)
    assert "your dropper, tip 3 mm" in drop_reason(oil, dropper=3.0)
    own = drop_reason(oil, calibration=Calibration(20, 1.0, 0.01))
    assert own == "one drop weighs 0.05 g: your own count, 20 drops weighed 1 g."


def test_the_ring_of_a_tip_by_hand():
    """Tate: 2 pi r sigma / g. Water of 72.75 mN/m at 20 C (handbooks; recalled) from a tip of 3 mm:
    3.14159 x 0.003 m x 0.07275 N/m / 9.80665 m/s2 = 6.9917e-5 kg. Of it falls the share f where f = f(r / V^(1/3)):
    with 0.0485 g, V = 0.0485 cm3, ratio 0.15 / 0.3647 = 0.411, f = 0.679 (straight between 0.6828 and 0.6669), 0.0475 g; nearer
    with 0.0476 g: ratio 0.4139, f = 0.6784, 0.04743 g, 21 drops to the gram.
    """
    assert ideal_drop_mass(3, 72.75) == pytest.approx(0.069917, rel=1e-4)
    assert harkins_brown_factor(0.4139) == pytest.approx(0.6828 - 0.0139 / 0.05 * (0.6828 - 0.6669), rel=1e-9)
    assert drop_mass_from_tip(3, 72.75, 1.0) == pytest.approx(0.0474, abs=1e-4)


def test_refusals_to_the_letter():
    for refused, words in [
        (lambda: Calibration(0, 1.0), "a calibration counts at least one drop, not 0"),
        (lambda: Calibration(5, 0.0), "the drops of a calibration weigh more than nothing, not 0.0 g"),
        (lambda: Calibration(5, 0.1, -0.5), "the readability lies between nothing and the 0.1 g weighed, not -0.5 g"),
        (lambda: drop_mass_from_tip(float("inf"), 72, 1), "the tip diameter of a drop is above zero, not inf"),
        (lambda: drop_mass_from_tip(25, 20, 1.5), "a tip of 25 mm is too wide: this liquid runs off it before the tables of drops apply"),
        (lambda: harkins_brown_factor(1.3), "the drop factors are known for ratios from 0 to 1.2, not 1.3"),
        (lambda: dry_mass("handfull"), "no dry measure is called 'handfull'. Did you mean 'handful'?"),
        (lambda: drop_mass(dropper="standrd"), "no dropper is called 'standrd'. Did you mean 'standard dropper'?"),
    ]:
        with pytest.raises((BadValue, UnknownName)) as caught:
            refused()
        assert str(caught.value) == words


def test_the_reason_of_a_dropper_to_the_letter():
    assert drop_reason(liquid("rose-oil", "essential-oil"), dropper="standard dropper") == (
        "one drop weighs 0.0177 g, 0.0136 to 0.0232 g: from the standard dropper, tip 3 mm, by Tate's law with the factors of"
        " W. D. Harkins and F. E. Brown, drop weight corrections (1919), table of factors, with the usual surface tension of"
        " essential oils (memory)."
    )


def test_every_row_of_the_drops_can_be_shown():
    told = period_drops()
    assert len(told) == len(rows("drops"))
    assert told[0] == (
        "water", 1 / 16, "16 drops to the gram for watery liquids (G. A. Buchheister, Handbuch der Drogisten-Praxis, 3rd ed. (1893), p. 43, drop table)"
    )  # fmt: skip
    cloves = next(row for row in told if row[2].startswith("130 drops of oil of cloves"))
    assert cloves[1] == pytest.approx(3.6966911953125 * 1.05 / 130)  # 60 minims are a fluid drachm of the United States


def test_a_handful_and_a_pinch_in_grams():
    """A handful of herbs about half an ounce (15 g); a pinch a third of a gram: recalled, and rules of thumb."""
    assert (dry_mass("handful"), dry_mass("pinch")) == (Spread(7.5, 15, 30), Spread(0.1, 0.3, 1))
