"""Batches add up exactly whatever the composition and the balance; what is forbidden is refused."""

from __future__ import annotations

import json
import math
from dataclasses import fields
from decimal import Decimal
from fractions import Fraction

import pytest
from bench_ingredients import CUPBOARD, made, tinted
from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden
from histkit.bench.batching import Batch, batch
from histkit.bench.pans import Filling
from histkit.bench.pressing import press
from histkit.bench.sizing import batch_for_pans, batch_from_scarcest
from histkit.bench.weighing import Balance, largest_remainder
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Caution, Ingredient

pytestmark = pytest.mark.usefixtures("cupboard")


SAFE = sorted(set(CUPBOARD) - {"lead-carbonate", "bloom-of-youth"})


def decimal_sum(made_batch: Batch) -> Decimal:
    return sum((Decimal(repr(w.grams)) for w in made_batch.weighings), Decimal(0))


SEVERAL_TOO_SMALL = Composition.of(
    (CUPBOARD[key], parts)
    for key, parts in {
        "alcohol": 0.37, "almond-oil": 0.28, "bismuth-oxychloride": 23.97, "carmine": 20.97, "iron-oxide-red": 0.28,
        "kaolin": 20.97, "lavender-oil": 21.35, "magnesium-carbonate": 11.80,
    }.items()
)  # fmt: skip


compositions = st.dictionaries(st.sampled_from(SAFE), st.floats(1e-4, 1), min_size=1, max_size=9).map(Composition.of)


balances = st.builds(
    Balance,
    readability=st.sampled_from([0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.5, 1.0]),
    minimum=st.sampled_from([0.0, 0.02, 0.2, 0.25, 1.0, 2.0]),
    repeatability=st.sampled_from([None, 0.001, 0.01]),
)


class TestAddingUp:
    @settings(deadline=None, max_examples=300)
    @given(compositions, balances, st.floats(2, 1000))
    def test_any_batch_adds_up_exactly(self, composition: Composition, balance: Balance, grams: float) -> None:
        made_batch = batch(composition, grams, balance)
        size = Decimal(repr(made_batch.grams))
        assert abs(size - Decimal(repr(grams))) <= balance.division / 2
        assert size % balance.division == 0
        assert abs(decimal_sum(made_batch) - size) < Decimal("1e-9")
        floats = math.fsum(w.grams for w in made_batch.weighings)
        assert round(floats / balance.readability) * balance.readability == pytest.approx(made_batch.grams, abs=1e-9)
        # What the weighings bring into it adds up as well: straight weighings, and the portions of aliquots.
        assert math.fsum(w.content for w in made_batch.weighings) == pytest.approx(made_batch.grams, abs=1e-9)
        on_balance = [w.direct if w.aliquot is None else w.aliquot.take for w in made_batch.weighings]
        assert math.fsum(on_balance) == pytest.approx(made_batch.grams, abs=1e-9)

    @settings(deadline=None, max_examples=300)
    @given(compositions, balances, st.floats(2, 1000))
    def test_every_weighing_is_above_the_minimum_or_the_maker_is_told(
        self, composition: Composition, balance: Balance, grams: float
    ) -> None:
        made_batch = batch(composition, grams, balance)
        least = max(balance.minimum, balance.readability) - 1e-9
        for w in made_batch.weighings:
            amounts = [w.direct] if w.aliquot is None else []
            if w.aliquot is not None:
                for stage in w.aliquot.stages:
                    amounts += [stage.weigh, stage.diluent, stage.take]
                    assert stage.weigh + stage.diluent == pytest.approx(stage.mixture)
                assert w.direct == 0
                strength = math.prod(stage.weigh / stage.mixture for stage in w.aliquot.stages)
                assert w.aliquot.take * strength == pytest.approx(w.content, rel=1e-9)
            for amount in amounts:
                divisions = amount / balance.readability
                assert divisions == pytest.approx(round(divisions), abs=1e-6)
            told = any(w.ingredient.name in warning for warning in made_batch.warnings) and w.note
            assert all(amount >= least for amount in amounts) or told
            assert w.grams > 0 or told

    @given(compositions, st.floats(2, 1000))
    @example(SEVERAL_TOO_SMALL, 2.0)  # several ingredients round to nothing and are booked on one diluent
    def test_grams_are_the_shares_rounded_by_less_than_a_division(self, composition: Composition, grams: float) -> None:
        made_batch = batch(composition, grams, Balance(0.01, 0.0))
        for w in made_batch.weighings:
            assert abs(w.grams - composition.share(w.ingredient) * made_batch.grams) < 0.01 + 1e-9
            assert w.exact == pytest.approx(composition.share(w.ingredient) * made_batch.grams)
            assert w.error_share == pytest.approx(w.content / w.exact - 1)

    @settings(deadline=None)
    @given(compositions, balances, st.floats(2, 1000))
    def test_what_is_fetched_is_the_batch_and_what_is_left_over(
        self, composition: Composition, balance: Balance, grams: float
    ) -> None:
        """Nothing is lost on the way: of every ingredient there is enough, and in all no more than the aliquots leave over."""
        made_batch = batch(composition, grams, balance)
        left = math.fsum(w.aliquot.left_over for w in made_batch.weighings if w.aliquot is not None)
        assert math.fsum(made_batch.to_weigh.values()) == pytest.approx(made_batch.grams + left, abs=1e-9)
        for w in made_batch.weighings:
            assert made_batch.to_weigh[w.ingredient.id] >= w.content - 1e-9

    @settings(deadline=None)
    @given(compositions, balances, st.floats(2, 1000), st.sampled_from([0.02, 0.05, 0.2]))
    def test_what_is_shown_is_what_is_brought_but_for_what_an_aliquot_brings_finer(
        self, composition: Composition, balance: Balance, grams: float, limit: float
    ) -> None:
        made_batch = batch(composition, grams, balance, error_limit=limit)
        carriers = {w.aliquot.diluent.id for w in made_batch.weighings if w.aliquot is not None}
        for w in made_batch.weighings:
            if w.aliquot is not None:
                assert abs(w.error_share) <= limit + 1e-9 and abs(w.content - w.grams) < balance.readability + 1e-12
            elif w.ingredient.id not in carriers:
                assert w.content == pytest.approx(w.grams, abs=1e-12)
        assert made_batch.worst_rounding == max(abs(w.error_share) for w in made_batch.weighings)

    def test_what_is_fetched_by_hand(self) -> None:
        """0.05 g of carmine in 100 g: 0.25 g of it with 0.75 g of talc, and 0.2 g of that; 99.8 g of talc straight."""
        made_batch = batch(Composition.of([("talc", 99.95), ("carmine", 0.05)]), 100)
        assert made_batch.to_weigh == {"talc": pytest.approx(99.8 + 0.75), "carmine": pytest.approx(0.25)}
        prices = {"talc": 0.02, "carmine": 3.0}
        assert made_batch.cost(prices) == (pytest.approx(100.55 * 0.02 + 0.25 * 3), ()), "what is left over is paid for as well"
        # Twice diluted: the second stage takes of the first mixture, not of the carmine again.
        twice = batch(Composition.of([("talc", 1), ("carmine", 2e-6)]), 500)
        first, second = twice.weighing("carmine").aliquot.stages  # type: ignore[union-attr]
        assert twice.to_weigh["carmine"] == first.weigh
        assert twice.to_weigh["talc"] == pytest.approx(twice.weighing("talc").direct + first.diluent + second.diluent)

    def test_the_order_in_a_formula_decides_nothing(self) -> None:
        """Little of everything, and little room for dilutions: the largest of the small are fitted in first, wherever they stand."""
        masses = {"lavender-oil": 39.92, "zinc-stearate": 9.9, "rice-starch": 7.63, "almond-oil": 8.88, "alcohol": 5.05}
        forward, backward = (batch(Composition.of(pairs), 0.806) for pairs in (masses.items(), reversed(masses.items())))
        assert {w.ingredient.id: w for w in forward.weighings} == {w.ingredient.id: w for w in backward.weighings}

    def test_half_a_division_goes_to_the_even_one(self) -> None:
        one = Composition.of([("talc", 1)])
        assert [batch(one, grams).grams for grams in (60.005, 60.015, Fraction(60))] == [60, 60.02, 60]  # type: ignore[arg-type]

    def test_thirds(self) -> None:
        """Three thirds of 100 g on a balance of 0.01 g: 33.34 + 33.33 + 33.33, the earlier first among equals."""
        thirds = batch(Composition.of([("talc", 1), ("kaolin", 1), ("zinc-oxide", 1)]), 100, Balance(0.01, 0.2))
        assert [w.grams for w in thirds.weighings] == [33.34, 33.33, 33.33]
        assert largest_remainder([Fraction(10, 3)] * 3) == [4, 3, 3]
        assert largest_remainder([Fraction(5, 2), Fraction(7, 2), Fraction(1)]) == [3, 3, 1]

    def test_a_balance_of_fives(self) -> None:
        made_batch = batch(tinted(), 60, Balance(0.05, 0.2))
        assert decimal_sum(made_batch) == 60
        assert all(Decimal(repr(w.grams)) % Decimal("0.05") == 0 for w in made_batch.weighings)

    def test_a_batch_between_two_divisions_is_rounded_and_said(self) -> None:
        made_batch = batch(tinted(), 60.004, Balance(0.01, 0.2))
        assert made_batch.grams == 60 and "rounded" in made_batch.warnings[0]
        assert "60.004 g" in made_batch.warnings[0] and "60.00 g" in made_batch.warnings[0]
        assert not any("rounded" in w for w in batch(tinted(), 60, Balance(0.01, 0.2)).warnings)
        limited = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60.004)
        assert "rounded" in limited.warnings[0] and "limited" in limited.warnings[1]

    @pytest.mark.parametrize("grams", [0, -1, math.nan, math.inf, True, "60", None, 0.001])
    def test_grams_that_are_none(self, grams: float) -> None:
        told = r"0\.001 g is less than the balance shows \(0\.01 g\)" if grams == 0.001 else f"finite .* above 0, not {grams!r}"
        with pytest.raises(BadValue, match=told):
            batch(tinted(), grams)

    @pytest.mark.parametrize("limit", [0, 1, -0.05, 5, math.nan, "0.05", None, True])
    def test_an_error_limit_that_is_none(self, limit: float) -> None:
        with pytest.raises(BadValue, match=f"error_limit is a share .* not {limit!r}"):
            batch(tinted(), 60, error_limit=limit)

    def test_a_pressed_formula_can_be_given_itself(self) -> None:
        pressed = press(tinted())
        assert batch(pressed, 60) == batch(pressed.composition, 60)


class TestRefusal:
    def test_lead_is_refused_with_the_reason_and_what_stands_in(self) -> None:
        with pytest.raises(Forbidden, match=r"lead carbonate.*poison.*zinc and titanium whites") as refused:
            batch(Composition.of([("talc", 3), ("lead-carbonate", 1)]), 60, Balance(readability=0.01, minimum=0.2))
        assert refused.value.ingredients == ("lead-carbonate",)

    def test_also_inside_a_preparation_and_in_traces(self) -> None:
        with pytest.raises(Forbidden, match=r"bloom of youth.*holds lead carbonate") as refused:
            batch(Composition.of([("talc", 1e6), ("bloom-of-youth", 1)]), 60)
        assert refused.value.ingredients == ("bloom-of-youth", "lead-carbonate")

    def test_every_offender_is_named(self) -> None:
        other = Ingredient("calomel", "calomel", cautions=CUPBOARD["lead-carbonate"].cautions)
        with pytest.raises(Forbidden) as refused:
            batch(Composition.of([("lead-carbonate", 1), (other, 1)]), 60)
        assert set(refused.value.ingredients) == {"lead-carbonate", "calomel"}

    def test_pressing_does_not_launder(self) -> None:
        with pytest.raises(Forbidden):
            batch(press(Composition.of([("talc", 3), ("lead-carbonate", 1)])), 60)

    def test_above_a_limit_of_law_is_refused_and_above_an_advised_one_told(self) -> None:
        lawful = Caution("restricted", "Not much.", "test", "Annex X", limit=0.1)
        advised = Caution("restricted", "Not for lips.", "test", form="oral", limit=0.2)

        def half(caution: Caution) -> Composition:
            return Composition.of([(made("new-earth", "mineral", "powder", "bulk", cautions=(caution,)), 1), ("kaolin", 1)])

        with pytest.raises(Forbidden, match=r"makes 50 % and is limited to 10 % in tooth powder .*Lower it to 10 % or less: Not much"):
            batch(half(lawful), 60, product="tooth-powder")
        (warning,) = batch(half(advised), 60, product="tooth-powder").warnings
        assert "limited to 20 % in tooth powder or paste (EU). Lower it to 20 % or less: Not for lips." in warning

    def test_above_a_limit_for_one_purpose_is_a_warning(self) -> None:
        """Zinc oxide: 25 % as a sun filter, which a face powder is not."""
        made_batch = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60)
        assert any("50 %" in w and "25 %" in w for w in made_batch.warnings)


class TestPrices:
    def test_cost(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("kaolin", 1)]), 100)
        assert made_batch.cost({"talc": 0.02}) == (pytest.approx(1.0), ("kaolin",))
        for wrong in (-1, math.nan, "2", True):
            with pytest.raises(BadValue, match=f"price of talc .* not {wrong!r}"):
                made_batch.cost({"talc": wrong})  # type: ignore[dict-item]
            with pytest.raises(BadValue, match="price of talc"):
                batch(tinted(), 60, prices={"talc": wrong})  # type: ignore[dict-item]

    def test_price_of_a_batch_and_of_a_pan(self) -> None:
        assert batch(tinted(), 60, prices={"talc": 0}).price_text().startswith("Price: 0.00; without")
        half = Composition.of([("talc", 1), ("kaolin", 1)])
        assert batch(half, 100).price_text() == ""
        assert batch(half, 100, prices={"chalk": 1}).price_text() == ""
        assert batch(half, 100, prices={"talc": 0.02}).price_text() == "Price: 1.00; without kaolin, for which no price is given"
        three = Composition.of([("talc", 2), ("kaolin", 1), ("carmine", 1)])
        assert "without kaolin, carmine, for which" in batch(three, 100, prices={"talc": 1}).price_text()
        whole = batch(half, 100, prices={"talc": 0.02, "kaolin": 0.03}, currency="EUR", pans=5)
        assert whole.price_text() == "Price: 2.50 EUR, 0.50 EUR a pan (5 pans)"
        for pans in (-1, 1.5, True):
            with pytest.raises(BadValue, match=f"whole number of pans.* not {pans!r}"):
                batch(half, 100, pans=pans)  # type: ignore[arg-type]


class TestTables:
    def test_the_table_of_a_batch(self) -> None:
        plain = batch(Composition.of([("talc", 3), ("kaolin", 1)]), 6)
        assert plain.to_text().startswith("6.00 g\n") and "4.50" in plain.to_text() and "1.50" in plain.to_text()
        named = batch(tinted(), 60, number="7b").to_text()
        assert named.startswith("invented tinted powder: 60.00 g, batch 7b\n")
        assert batch(tinted(), 60).to_text().startswith("invented tinted powder: 60.00 g\n")
        # Where one amount is shown finer than the balance, none is cut to its digits.
        fine = batch(Composition.of([("talc", 99.997), ("carmine", 0.003)]), 100)
        assert "0.003" in fine.to_text() and fine.to_frame()["grams"].tolist() == pytest.approx([99.997, 0.003])
        warned = batch(Composition.of([("talc", 1), ("zinc-oxide", 1)]), 60).to_text()
        assert "limited to 25 %" in warned
        with pytest.raises(BadValue, match="moon-dust .* holds talc, kaolin"):
            plain.weighing("moon-dust")

    def test_a_composition_with_binders_in_it_is_pressed(self) -> None:
        for pressed in (press(tinted(), oil=None), press(tinted(), None)):
            assert batch(pressed.composition, 60).pressed
        assert not batch(tinted(), 60).pressed

    @pytest.mark.parametrize("mass", ["x", None, -1, 0, [1]])
    def test_a_file_with_a_wetting_that_is_none(self, mass: object) -> None:
        data = json.loads(batch(press(tinted(), wetting="alcohol"), 60).to_json())
        data["wetting"]["alcohol"] = mass
        with pytest.raises(BadValue, match="grams of alcohol"):
            Batch.from_json(json.dumps(data))

    def test_tables_and_json(self) -> None:
        made_batch = batch(press(tinted()), 60, Balance(0.01, 0.2, 0.005, "kitchen"), error_limit=0.04, number="7")
        assert made_batch.to_frame()["grams"].sum() == pytest.approx(60)
        assert Batch.from_json(made_batch.to_json()) == made_batch
        for broken, told in (("", "Expecting value"), ("{}", "composition"), ("[1]", "indices")):
            with pytest.raises(BadValue, match=f"not a batch that histkit wrote: .*{told}"):
                Batch.from_json(broken)
        assert made_batch.weighing(CUPBOARD["carmine"]) == made_batch.weighing("carmine")
        own = Ingredient("own-earth", "own earth ℥", state="powder")
        spirit = Ingredient("own-spirit", "own spirit", state="liquid")
        strange = batch(press(Composition.of([(own, 1)], "℥"), None, oil=None, wetting=spirit), 20)
        cupboard = {i.id: i for i in (own, spirit)}
        again = Batch.from_json(strange.to_json(), cupboard)
        assert again == strange and again.wetting[0][0].name == "own spirit" and again.pressed and "℥" in strange.to_json()
        older = json.loads(made_batch.to_json())
        for key in ("prices", "currency", "pans", "pressed", "wetting"):
            del older[key]
        opened = Batch.from_json(json.dumps(older))
        assert (opened.prices, opened.currency, opened.pans, opened.pressed, opened.wetting) == ((), "", 0, False, ())
        full = batch(press(tinted()), 60, prices={"talc": 0.1}, currency="EUR", pans=3)
        assert Batch.from_json(full.to_json()) == full
        carmine = made_batch.weighing("carmine")
        assert carmine.aliquot is not None
        assert carmine.to_text() and carmine.aliquot.to_text() and carmine.aliquot.stages[0].to_text()
        with pytest.raises(BadValue, match="moon-dust"):
            made_batch.weighing("moon-dust")

    @settings(max_examples=150, deadline=None)
    @given(compositions, balances, st.data())
    def test_a_file_brings_back_every_field(self, composition: Composition, balance: Balance, data: st.DataObject) -> None:
        """However the size came about, and whatever was pressed, priced and warned of."""
        inside = [i.id for i in composition.ingredients]
        prices = data.draw(st.dictionaries(st.sampled_from(inside), st.floats(0, 1e3), max_size=3))
        more = {
            "error_limit": data.draw(st.floats(0.001, 0.9)),
            "number": data.draw(st.text(max_size=5)),
            "prices": prices,
            "currency": data.draw(st.sampled_from(["", "EUR", "℥"])),
        }
        wetting = data.draw(st.sampled_from([None, "alcohol"]))
        what = press(composition, wetting=wetting) if data.draw(st.booleans()) else composition
        grams = data.draw(st.floats(20 * balance.readability, 1e4))
        way = data.draw(st.sampled_from(["grams", "pans", "cupboard"]))
        if way == "pans":
            made_batch = batch_for_pans(
                press(composition, wetting=wetting), Filling(44, count=data.draw(st.integers(1, 5))), balance=balance, **more
            )
        elif way == "cupboard":
            try:
                made_batch = batch_from_scarcest(what, {data.draw(st.sampled_from(inside)): grams}, balance, pans=2, **more)
            except BadValue:
                assume(False)
        else:
            made_batch = batch(what, grams, balance, pans=data.draw(st.integers(0, 9)), **more)
        again = Batch.from_json(made_batch.to_json())
        for field in fields(Batch):
            assert getattr(again, field.name) == getattr(made_batch, field.name), field.name
        assert again.bench_sheet() == made_batch.bench_sheet()

    def test_how_the_size_came_about_is_kept_in_a_file(self) -> None:
        rounded = batch(tinted(), 60.004)
        pans = batch_for_pans(press(tinted()), Filling(44, count=3))
        scarce = batch_from_scarcest(tinted(), {"carmine": 2.004})
        for made_batch, words in (
            (rounded, "60.004 g is rounded"),
            (pans, "The 3 pans take about"),
            (scarce, "carmine is the scarcest"),
        ):
            again = Batch.from_json(made_batch.to_json())
            assert again.warnings == made_batch.warnings and any(words in warning for warning in again.warnings)
            assert again.size_notes == made_batch.size_notes and again.warnings[: len(again.size_notes)] == again.size_notes
            assert Batch.from_json(again.to_json()) == again, "and is not said twice"
