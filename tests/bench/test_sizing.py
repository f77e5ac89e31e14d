"""How large a batch is: for pans, from what is at hand, and so that all is weighed straight."""

from __future__ import annotations

import math
from decimal import Decimal

import pytest
from bench_ingredients import CUPBOARD, tinted
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench.batching import batch
from histkit.bench.pans import Filling
from histkit.bench.pressing import press
from histkit.bench.sizing import batch_for_pans, batch_from_scarcest, smallest_batch
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


SAFE = sorted(set(CUPBOARD) - {"lead-carbonate", "bloom-of-youth"})


compositions = st.dictionaries(st.sampled_from(SAFE), st.floats(1e-4, 1), min_size=1, max_size=9).map(Composition.of)


class TestSmallest:
    @settings(deadline=None)
    @given(compositions, st.floats(0.01, 0.2), st.floats(1, 3))
    def test_from_the_smallest_batch_on_every_error_is_within_the_limit(
        self, composition: Composition, error: float, more: float
    ) -> None:
        balance = Balance(0.01, 0.2)
        grams = smallest_batch(composition, balance, error) * more
        made_batch = batch(composition, grams, balance)
        assert all(w.aliquot is None and w.direct >= 0.2 - 1e-9 for w in made_batch.weighings)
        assert made_batch.worst_rounding <= error

    def test_smallest_batch_by_hand(self) -> None:
        """1 % carmine at 0.2 g least: 20 divisions (and one to spare) are 1 % of 21 g."""
        assert smallest_batch(Composition.of([("talc", 99), ("carmine", 1)]), Balance(0.01, 0.2)) == 21
        assert smallest_batch(Composition.of([("talc", 1), ("carmine", 1)]), Balance(0.01, 0.2)) == 0.42
        assert smallest_batch(Composition.of([("talc", 1.5), ("carmine", 1)]), Balance(0.01, 0.2)) == 0.53, "52.5, and so 53"
        with pytest.raises(BadValue):
            smallest_batch(tinted(), error=0)

    def test_smallest_batch_where_rounding_decides(self) -> None:
        """Within 1 %, the scarcest needs 100 divisions (and one to spare): 1.01 g are 1 % of 101 g."""
        start = Composition.of([("talc", 99), ("carmine", 1)])
        assert smallest_batch(start, Balance(0.01, 0.2), 0.01) == pytest.approx(101, abs=0.02)
        assert smallest_batch(start) == smallest_batch(start, Balance()) != smallest_batch(start, Balance(0.1, 0.2))
        pressed = press(start, oil=None)
        assert smallest_batch(pressed) == smallest_batch(pressed.composition)
        for error in (0, 1, 1.5, -0.1, math.nan, "0.05", None):
            with pytest.raises(BadValue, match=f"0.05 is 5 %.* not {error!r}"):
                smallest_batch(start, error=error)  # type: ignore[arg-type]


class TestScaling:
    def test_what_is_not_said_of_pans(self) -> None:
        """One pan, 4 mm deep, a tenth more, rounded up to what the balance shows; everything else is passed on."""
        pressed = press(tinted())
        area = math.pi / 4 * 2.6**2
        plain = batch_for_pans(pressed, Filling(26, density_g_cm3=1.0))
        assert plain.grams == math.ceil(area * 0.4 * 1.1 * 100) / 100 and plain.pans == 1
        coarse = batch_for_pans(
            pressed, Filling(26, density_g_cm3=1.0), balance=Balance(0.5, 0.5), error_limit=0.2, currency="EUR"
        )
        assert coarse.grams == 2.5 and coarse.balance == Balance(0.5, 0.5)
        assert (coarse.error_limit, coarse.currency) == (0.2, "EUR")
        assert batch_for_pans(pressed, Filling(26, density_g_cm3=1.0, allowance=1)).grams == pytest.approx(
            2 * area * 0.4, abs=0.01
        )
        for allowance in (-0.01, 1.01, math.nan, "0.1"):
            with pytest.raises(BadValue, match=f"allowance .* not {allowance!r}"):
                batch_for_pans(pressed, Filling(26, allowance=allowance))  # type: ignore[arg-type]
        # 1 cm2 × 0.4 cm × 1.0025 g/cm3 × 1.1 = 0.4411 g: rounded up, so that the pan is full.
        sizes: dict[str, float] = {"width_mm": 10, "length_mm": 10}
        assert batch_for_pans(pressed, Filling(**sizes, density_g_cm3=1.0025)).grams == 0.45
        assert batch_for_pans(pressed, Filling(**sizes, density_g_cm3=1.0)).grams == 0.44, (
            "and not where it is 0.44 but for a float"
        )
        spread = batch_for_pans(pressed, Filling(**sizes, density_g_cm3=Spread(0.5, 1.0, 1.5)))
        assert spread.grams == 0.44 and "0.4 (0.2–0.6) g" in spread.warnings[0], "the best fill, with its spread told"

    def test_the_scarcest_is_found_whatever_its_name(self) -> None:
        """30 g of kaolin at 25 % allow 120 g, 6 g of talc at 60 % only 10 g."""
        start = Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 15)], "plain")
        scales = Balance(0.1, 0.5)
        made_batch = batch_from_scarcest(
            start, {"kaolin": 30, "talc": 6}, scales, error_limit=0.1, number="9", prices={"talc": 0.1}, currency="EUR", pans=2
        )
        assert made_batch.grams == 10 and made_batch.warnings[0] == "talc is the scarcest: 6 g at hand"
        assert (made_batch.balance, made_batch.error_limit, made_batch.number) == (scales, 0.1, "9")
        assert (made_batch.prices, made_batch.currency, made_batch.pans) == ((("talc", 0.1),), "EUR", 2)
        assert (
            batch_from_scarcest(start, {"talc": 0.6}, Balance(0.01, 0.0)).grams == pytest.approx(1.0)
            and batch_from_scarcest(start, {"talc": 6}).pans == 0
        )
        assert batch_from_scarcest(start, {"talc": 6.04}, Balance(0.1, 0.1)).grams == 10, "rounded down to what is there"
        pressed = press(start, oil=None)
        assert (
            batch_from_scarcest(pressed, {"talc": 5.7}).grams == pytest.approx(10)
            and batch_from_scarcest(pressed, {"talc": 5.7}).pressed
        )
        with pytest.raises(BadValue, match="talc is too little for a batch on a balance of 1 g"):
            batch_from_scarcest(start, {"talc": 0.7}, Balance(1.0, 1.0))

    def test_stepping_down_to_what_aliquots_leave_over(self) -> None:
        """0.05 % of colour needs 0.2 g on the balance, straight or for a dilution: less at hand is too little for any batch."""
        start = Composition.of([("talc", 99.95), ("carmine", 0.05)])
        enough = batch_from_scarcest(start, {"carmine": 0.2})
        assert enough.grams == 400 and enough.to_weigh["carmine"] == pytest.approx(0.2)
        with pytest.raises(BadValue, match=r"0\.19 g of carmine is too little for a batch on a balance of 0\.01 g"):
            batch_from_scarcest(start, {"carmine": 0.19})
        # 30 g of talc at 97 % would be 30.92 g, but the dilution of the colour leaves some of it over.
        some = batch_from_scarcest(Composition.of([("talc", 97), ("zinc-oxide", 2.9), ("carmine", 0.1)]), {"talc": 30})
        assert 20 < some.grams < 30 / 0.97 and 29.5 < some.to_weigh["talc"] <= 30
        larger = batch(some.composition, some.grams + 0.01)
        assert larger.to_weigh["talc"] > 30, "the largest batch that fits"

    def test_for_rectangular_pans_with_their_spread(self) -> None:
        pressed = press(tinted())
        made_batch = batch_for_pans(
            pressed, Filling(width_mm=20, length_mm=30, depth_mm=4, count=3, below_rim_mm=0.5, density_g_cm3=1.2, allowance=0)
        )
        assert made_batch.grams == pytest.approx(3 * 2 * 3 * 0.35 * 1.2) and made_batch.pans == 3
        assert not any("looser or denser" in w for w in made_batch.warnings)
        by_hand = batch_for_pans(pressed, Filling(44, 4, 2, press="thumb"))
        by_press = batch_for_pans(pressed, Filling(44, 4, 2, press="arbor"), number="9", prices={"talc": 0.1})
        assert by_hand.grams < by_press.grams and any("The 2 pans take about" in w for w in by_hand.warnings)
        assert by_press.number == "9" and "a pan (2 pans)" in by_press.price_text()
        assert (
            batch_for_pans(pressed, Filling(44, 4, 2, pressure=10)).grams
            > batch_for_pans(pressed, Filling(44, 4, 2, pressure=2)).grams
        )

    def test_for_pans(self) -> None:
        pressed = press(tinted())
        made_batch = batch_for_pans(pressed, Filling(44, 4, 3, allowance=0.1, density_g_cm3=1.2))
        volume = math.pi / 4 * 4.4**2 * 0.4 * 3
        assert volume * 1.2 * 1.1 <= made_batch.grams < volume * 1.2 * 1.1 + 0.01
        with pytest.raises(BadValue):
            batch_for_pans(pressed, Filling(44, 4, 3, allowance=-1))

    @settings(deadline=None, max_examples=50)
    @given(compositions, st.data())
    def test_the_scarcest_is_not_exceeded(self, composition: Composition, data: st.DataObject) -> None:
        keys = [i.id for i in composition.ingredients]
        have = data.draw(st.dictionaries(st.sampled_from(keys), st.floats(1, 50), min_size=1))
        try:
            made_batch = batch_from_scarcest(composition, have)
        except BadValue:
            return  # too little for any batch
        for key, grams in have.items():
            assert made_batch.to_weigh[key] <= grams + 1e-9
        more = float(Decimal(repr(made_batch.grams)) + Decimal("0.01"))
        if more < min(grams / composition.share(key) for key, grams in have.items()):
            larger = batch(composition, more)
            lost = any(w.content == 0 for w in larger.weighings)
            assert lost or any(larger.to_weigh[key] > grams for key, grams in have.items()), "one division more does not fit"

    def test_a_long_way_down_to_what_fits(self) -> None:
        """0.1 % of colour: what its dilution leaves over comes out of the 20 g of talc as well, all but what the portion brings."""
        start = Composition.of([("talc", 99.9), ("carmine", 0.1)])
        made_batch = batch_from_scarcest(start, {"talc": 20})
        weighed = made_batch.weighing("carmine")
        (stage,) = weighed.aliquot.stages  # type: ignore[union-attr]
        assert (
            made_batch.to_weigh["talc"] == pytest.approx(made_batch.grams - stage.take + stage.diluent)
            and weighed.whole_error <= 0.05
        )
        assert 19 < made_batch.to_weigh["talc"] <= 20 and made_batch.grams > 15

    def test_no_batch_without_one_of_its_ingredients(self) -> None:
        """8 g of talc do not fill any dilution of 0.1 % of colour; 0.3 g in which it rounds to nothing are no batch of it."""
        start = Composition.of([("talc", 99.9), ("carmine", 0.1)])
        with pytest.raises(BadValue, match="8 g of talc is too little"):
            batch_from_scarcest(start, {"talc": 8})
        # Where it is lost at the full size already, the maker is told so.
        tiny = batch_from_scarcest(start, {"talc": 0.3})
        assert tiny.grams == 0.3 and any("carmine rounds to nothing" in w for w in tiny.warnings)

    def test_the_scarcest_by_hand(self) -> None:
        """30 g of talc at 60 % allow 50 g; 10 g of kaolin at 25 % only 40 g."""
        start = Composition.of([("talc", 60), ("kaolin", 25), ("zinc-oxide", 15)])
        made_batch = batch_from_scarcest(start, {"talc": 30, "kaolin": 10})
        assert made_batch.grams == 40 and "kaolin is the scarcest" in made_batch.warnings[0]
        with pytest.raises(BadValue, match="none of carmine, orris-root is in .* holds talc, kaolin, zinc-oxide"):
            batch_from_scarcest(start, {"carmine": 3, "orris-root": 5})
        with pytest.raises(BadValue, match="none of nothing"):
            batch_from_scarcest(start, {})
        for amount in (0, -1, math.nan):
            with pytest.raises(BadValue, match=f"grams of talc .* not {amount!r}"):
                batch_from_scarcest(start, {"talc": amount})
        # 9 g of zinc oxide at 15 % would allow 60 g: more of it would not help, though there is less of it than of talc.
        talc = batch_from_scarcest(start, {"zinc-oxide": 9, "talc": 30})
        assert talc.grams == 50 and talc.warnings[0] == "talc is the scarcest: 30 g at hand"
        # 2.3 g at 1 % are 230 g, and 229.99999999999997 g to a computer.
        assert batch_from_scarcest(Composition.of([("talc", 1), ("kaolin", 99)]), {"talc": 2.3}).grams == 230
        one = batch_from_scarcest(Composition.of([("talc", 1)]), {"talc": 0.01}, Balance(0.01, 0.0))
        assert one.grams == 0.01, "one division is a batch"
