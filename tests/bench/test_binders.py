"""Oil by share, by drops and by what the powder takes up; targets are met exactly."""

from __future__ import annotations

import math

import pytest
from bench_ingredients import CUPBOARD, made
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue, UnknownName
from histkit.bench.binders import oil_from_absorption
from histkit.bench.drops import drops_of, share_of_drops
from histkit.bench.pressing import PressedFormula, press
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def powder() -> Composition:
    """An invented powder without any binder."""
    return Composition.of([("talc", 70), ("kaolin", 20), ("zinc-oxide", 10)], "invented powder")


class TestOil:
    def test_the_words_of_a_proposal(self) -> None:
        """A powder that takes up 30 to 50 g for 100 g, 40 at best, is offered 1.8 to 7.5 g, 4 at best."""
        earth = made("earth", "mineral", "powder", "bulk", oil_absorption=(30, 50))
        proposal = oil_from_absorption(Composition.of([(earth, 1)]))
        assert proposal is not None
        assert (proposal.low, proposal.best, proposal.high) == pytest.approx((0.018, 0.04, 0.075))
        notes = press(Composition.of([(earth, 1)]), None, oil_share=None).notes
        assert notes[0].startswith("oil proposed from the oil absorption: 4 g (1.8 to 7.5) for 100 g of powder")

    def test_drops_are_those_of_the_liquid_asked_for(self) -> None:
        """A heavy spirit drop is no oil drop: the table of the measures answers for each liquid."""
        from histkit.measures import drop_mass

        for key in ("alcohol", "jojoba-oil", "rose-oil"):
            mass = drop_mass(CUPBOARD[key])
            count, share = drops_of(key, 2.0), share_of_drops(key, 10, 50)
            assert (count.low, count.best, count.high) == pytest.approx((2 / mass.high, 2 / mass.best, 2 / mass.low))
            assert share.best == pytest.approx(10 * mass.best / (50 + 10 * mass.best))
        assert drops_of("alcohol", 1).best != pytest.approx(drops_of("jojoba-oil", 1).best)

    def test_proposed_from_the_oil_absorption(self) -> None:
        """A powder that takes up 40 g for 100 g is given a tenth: 4 g for 100 g (common practice)."""
        earth = made("earth", "mineral", "powder", "bulk", oil_absorption=40)
        start = Composition.of([(earth, 1)])
        proposal = oil_from_absorption(start)
        assert proposal is not None and proposal.best == pytest.approx(0.04) and proposal.low < 0.04 < proposal.high
        assert press(start, None, oil_share=None).additions(100)["jojoba-oil"] == pytest.approx(4)
        assert press(start, None, oil_share=None, of="powder").additions(100)["jojoba-oil"] == pytest.approx(4)
        both = press(start, binder_share=0.05, oil_share=None)
        assert both.additions(100)["jojoba-oil"] == pytest.approx(4)
        assert any("common practice" in note for note in both.notes)
        with pytest.raises(BadValue, match="no oil absorption"):
            press(Composition.of([("carmine", 1)]), oil_share=None)

    def test_drops(self) -> None:
        count = drops_of("jojoba-oil", 1.0)
        assert 15 < count.best < 80 and count.low <= count.best <= count.high
        share = share_of_drops("jojoba-oil", count.best, 99.0)
        assert share.best == pytest.approx(0.01)
        with pytest.raises(BadValue):
            drops_of("jojoba-oil", 0)

    def test_oil_by_drops(self) -> None:
        """20 drops into 50 g of powder are weighed as 20 drops, whatever binder comes beside them."""
        drop = 1 / drops_of("jojoba-oil", 1.0).best
        for of in ("cake", "powder"):
            pressed = press(powder(), binder_share=0.05, oil_drops=20, powder_grams=50, of=of)  # type: ignore[arg-type]
            assert pressed.additions(50)["jojoba-oil"] == pytest.approx(20 * drop)
            assert any("20 drops of jojoba oil weigh" in note for note in pressed.notes)
            assert PressedFormula.from_json(pressed.to_json()) == pressed
        cake = press(powder(), binder_share=0.05, oil_drops=20, powder_grams=50)
        assert cake.composition.share("magnesium-stearate") == pytest.approx(0.05, abs=1e-15)
        assert cake.composition.share("jojoba-oil") == pytest.approx(share_of_drops("jojoba-oil", 20, 50 / 0.95).best, rel=0.01)
        oily = press(Composition.of([("talc", 95), ("jojoba-oil", 5)]), None, oil_drops=10, powder_grams=50)
        assert oily.additions(50)["jojoba-oil"] == pytest.approx(10 * drop), "drops are added to what is there"
        assert press(powder(), oil_drops=0, powder_grams=50).composition.share("jojoba-oil") == 0

    def test_what_was_asked_for_where_oil_is_given_by_drops(self) -> None:
        """Drops of 2 g in all into 95 g of talc and 5 g of oil: 7 g of oil in 102 g of cake, or 7 g for 100 g of the powder."""
        oily = Composition.of([("talc", 95), ("jojoba-oil", 5)])
        count = 2 / (1 / drops_of("jojoba-oil", 1.0).best)
        for of, target in (("cake", 7 / 102), ("powder", 0.07)):
            pressed = press(oily, None, oil_drops=count, powder_grams=100, of=of)  # type: ignore[arg-type]
            (oil,) = pressed.binders
            assert (oil.target, oil.held, oil.added, oil.share) == pytest.approx((target, 0.05, 0.02, 7 / 102))
            assert pressed.drops == (count, 100)
            assert len(pressed.notes) == 1, "on the drops; what the powder holds is not counted towards them"
        assert press(powder()).drops is None
        # 30 drops of alcohol to the gram, 25 to 60: 60 drops weigh 2 g, 1 to 2.4.
        assert str(drops_of("alcohol", 1.0)) == "30 (25–60)"
        (note,) = press(powder(), None, oil="alcohol", oil_drops=60, powder_grams=50).notes
        assert "60 drops of alcohol weigh 2 (1–2.4) g" in note

    def test_no_drops_are_no_oil_and_no_word(self) -> None:
        none = press(powder(), oil_drops=0, powder_grams=50)
        assert none == press(powder(), oil=None) and none.notes == ()
        assert PressedFormula.from_json(none.to_json()) == none
        with pytest.raises(UnknownName):
            press(powder(), oil="moon-oil", oil_drops=0, powder_grams=50)

    def test_no_proposal_where_none_is_asked_for(self) -> None:
        """carmine has no oil absorption: only a proposal needs it."""
        for oil in (None, {"jojoba-oil": 0.03}):
            pressed = press(Composition.of([("carmine", 1)]), oil=oil, oil_share=None)
            assert pressed.notes == () and pressed.composition.share("jojoba-oil") == (0 if oil is None else pytest.approx(0.03))

    def test_a_share_of_drops_has_the_spread_of_the_drop(self) -> None:
        drop, share = drops_of("alcohol", 1.0), share_of_drops("alcohol", 10, 50)
        wanted = tuple(10 / n / (50 + 10 / n) for n in (drop.high, drop.best, drop.low))
        assert (share.low, share.best, share.high) == pytest.approx(wanted) and share.low < share.best < share.high

    @pytest.mark.parametrize(
        ("wrong", "told"),
        [
            ({"oil_drops": 5}, "takes both"), ({"powder_grams": 5}, "takes both"), ({"oil_drops": -1, "powder_grams": 5}, "oil_drops .* not -1"),
            ({"oil_drops": math.nan, "powder_grams": 5}, "oil_drops"), ({"oil_drops": 5, "powder_grams": 0}, "^powder_grams .* not 0"),
            ({"oil_drops": 5, "powder_grams": 5, "oil": {"jojoba-oil": 0.1}}, "one oil"), ({"oil_drops": 5, "powder_grams": 5, "oil": None}, "one oil"),
            ({"oil_drops": 5, "powder_grams": 5, "oil": "jojoba-oil", "binder": "jojoba-oil"}, "name it once"),
        ],
    )  # fmt: skip
    def test_drops_that_cannot_be(self, wrong: dict[str, object], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            press(powder(), **wrong)  # type: ignore[arg-type]

    @given(
        st.dictionaries(st.sampled_from(["talc", "kaolin", "magnesium-stearate", "zinc-stearate", "jojoba-oil"]), st.floats(0.001, 1), min_size=1),
        st.dictionaries(st.sampled_from(["magnesium-stearate", "zinc-stearate", "rice-starch"]), st.floats(0, 0.2), max_size=3),
        st.floats(0, 40), st.floats(5, 500), st.sampled_from(["cake", "powder"]),
    )  # fmt: skip
    @settings(deadline=None)
    def test_mass_is_kept_and_targets_are_met_exactly(
        self, masses: dict[str, float], dry: dict[str, float], drops: float, grams: float, of: str
    ) -> None:
        """Powder and additions are the cake; every binder has its share of it, or was there in plenty; nothing else changed."""
        start = Composition.of(masses)
        pressed = press(start, dry, oil_drops=drops, powder_grams=grams, of=of)  # type: ignore[arg-type]
        added = pressed.additions(grams)
        cake = pressed.cake_grams(grams)
        assert cake == pytest.approx(grams + math.fsum(added.values()), rel=1e-12)
        assert pressed.powder_grams(cake) == pytest.approx(grams, rel=1e-12)
        for part in pressed.composition.parts:
            got = start.share(part.ingredient) * grams + added.get(part.ingredient.id, 0.0)
            assert part.share * cake == pytest.approx(got, rel=1e-9)
        assert math.fsum(p.share for p in pressed.composition.parts) == pytest.approx(1, abs=1e-12)
        for b in pressed.binders:
            if b.kind == "dry" and b.added > 0:
                reached = b.share if of == "cake" else b.held + b.added
                assert reached == pytest.approx(b.target, rel=1e-9)
            assert b.added >= 0
