"""Lots, dates, cost and waste of a batch, and what to buy for it, by hand."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.bench.batch_record import Lot, batch_record, day, fewest_packs, shopping_list
from histkit.bench.batching import Batch, batch
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def tinted() -> Batch:
    """6 mg of carmine in 100 g: it takes a dilution, which leaves some over."""
    parts = [("talc", 90), ("jojoba-oil", 9.94), ("carmine", 0.06)]
    return batch(Composition.of(parts, "invented"), 100, number="7", prices={"talc": 0.02, "carmine": 3.0}, currency="EUR")


class TestDates:
    def test_the_shortest_lived_part_decides(self) -> None:
        """The oil was opened on 1 January and keeps 6 months, its pack says later; talc keeps longer."""
        lots = {
            "talc": Lot("T1", best_before=date(2029, 1, 1)),
            "jojoba-oil": Lot("J9", date(2026, 1, 1), date(2027, 1, 1), 6),
        }
        record = batch_record(tinted(), lots, date(2026, 3, 1))
        assert record.best_before == date(2026, 7, 2), "182 days: 6 months of 30.4375 days, the last one not begun"
        assert record.shortest is not None and record.shortest.ingredient.id == "jojoba-oil"
        assert "as long as jojoba oil keeps (no date is known of carmine)" in record.notes()[0]
        text = record.to_text()
        assert "J9" in text and "2026-07-02" in text and "batch 7" in text and "made on 2026-03-01" in text
        assert ("The batch", record.notes()[0]) in record.lines() and ("talc", "lot T1, best before 2029-01-01") in record.lines()

    def test_what_was_past_its_date_is_told(self) -> None:
        record = batch_record(tinted(), {"jojoba-oil": Lot(best_before=date(2026, 1, 1))}, date(2026, 3, 1))
        assert "past its date" in record.notes()[1]

    def test_nothing_known_nothing_said(self) -> None:
        record = batch_record(tinted())
        assert record.best_before is None and record.lines() == () and not any("Best before" in note for note in record.notes())

    def test_dates_that_are_none(self) -> None:
        assert day("", "it") is None and day("2026-05-31", "it") == date(2026, 5, 31)
        for words in ("20260531", "2026-02-31", "2026-5-1"):
            with pytest.raises(BadValue, match="a date such as"):
                day(words, "it")
        with pytest.raises(BadValue, match="opened is a date such as 2026-05-31, not '31 May'"):
            day("31 May", "opened")


class TestCost:
    def test_what_goes_in_and_what_is_left_over_is_all_that_is_weighed(self) -> None:
        made, record = tinted(), batch_record(tinted())
        for row in record.rows:
            assert row.used + row.wasted == pytest.approx(made.to_weigh[row.ingredient.id])
        carmine = next(row for row in record.rows if row.ingredient.id == "carmine")
        assert carmine.used == pytest.approx(0.06) and carmine.wasted == pytest.approx(made.to_weigh["carmine"] - 0.06)
        assert sum(row.used for row in record.rows) == pytest.approx(100)
        total, _ = made.cost()
        assert record.cost + record.lost == pytest.approx(total), "used and wasted together are the price of the batch"
        assert "without jojoba oil, whose price is not known" in record.notes()[-1] and "EUR" in record.notes()[-1]


class TestPacks:
    def test_by_hand(self) -> None:
        assert dict(fewest_packs(120, (50, 10))) == {50: 3}, "20 g more are a third of 50 g, and not two of 10 g"
        assert dict(fewest_packs(105, (50, 10))) == {50: 2, 10: 1} and dict(fewest_packs(100, (50,))) == {50: 2}
        assert dict(fewest_packs(3, (50, 10))) == {10: 1} and fewest_packs(0, (50,)) == () and fewest_packs(5, ()) == ()

    @given(st.floats(0.01, 2000), st.lists(st.sampled_from([5.0, 10, 25, 50, 100, 250]), min_size=1, max_size=4))
    def test_they_hold_what_is_missing_and_none_is_too_many(self, missing: float, sizes: list[float]) -> None:
        packs = fewest_packs(missing, sizes)
        held = sum(grams * count for grams, count in packs)
        assert held >= missing - 1e-6 and all(grams in sizes and count > 0 for grams, count in packs)
        assert held - min(grams for grams, _ in packs) < missing

    def test_a_shopping_list(self) -> None:
        made = tinted()
        listed = {
            line.ingredient.id: line for line in shopping_list(made, {"talc": 1000, "jojoba-oil": 4}, {"jojoba-oil": (10, 30)}).lines
        }
        assert listed["talc"].missing == 0 and listed["talc"].words() == "enough at hand"
        oil = listed["jojoba-oil"]
        assert oil.missing == pytest.approx(made.to_weigh["jojoba-oil"] - 4) and oil.words() == "1 of 10 g" and oil.cost is None
        assert listed["carmine"].cost == pytest.approx(3 * made.to_weigh["carmine"]), "no size of pack: what is missing is priced"
        assert "1 of 10 g" in shopping_list(made, {"jojoba-oil": 4}, {"jojoba-oil": (10, 30)}).to_text()
