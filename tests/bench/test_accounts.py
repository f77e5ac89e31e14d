"""What an aliquot may be off in all, and what it wastes, by hand."""

from __future__ import annotations

import pytest

from histkit.bench.batching import batch
from histkit.bench.describing import unbroken
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def carmine(grams: float) -> Composition:
    return Composition.of([("talc", 100 - grams), ("carmine", grams)], "invented powder")


@pytest.mark.parametrize("grams", [0.005, 0.037, 0.06, 0.15])
def test_the_whole_error_is_rounding_and_weighing_together(grams: float) -> None:
    made = batch(carmine(grams), 100)
    weighed = made.weighing("carmine")
    assert weighed.aliquot is not None
    assert weighed.whole_error >= weighed.aliquot.error - 1e-12
    assert weighed.whole_error == pytest.approx((1 + abs(weighed.error_share)) * (1 + weighed.aliquot.error) - 1)
    ((_, account),) = made.bench_sheet().accounts
    assert account.startswith(f"May be off by {100 * weighed.whole_error:.2g} % in all")
    assert ("above your limit" in account) == (weighed.whole_error > 0.05)
    assert "rounding" not in account and unbroken(account) in made.to_markdown()


def test_what_is_wasted() -> None:
    """All carmine that is weighed but what the portion holds."""
    made = batch(carmine(0.06), 100, prices={"carmine": 3.0}, currency="EUR")
    weighed = made.weighing("carmine")
    assert weighed.aliquot is not None
    assert weighed.wasted == pytest.approx(made.to_weigh["carmine"] - 0.06)
    ((_, account),) = made.bench_sheet().accounts
    assert f"{weighed.wasted:.3g} g of carmine, worth {3 * weighed.wasted:.2f} EUR" in account


def test_absurd_waste_is_spoken_against() -> None:
    """5 mg of a balance that weighs 0.2 g: grams of carmine for nothing; 4000 g of powder would weigh it straight."""
    made = batch(carmine(0.005), 100, Balance(0.01, 0.2))
    weighed = made.weighing("carmine")
    assert weighed.wasted > 5 * weighed.content
    ((_, account),) = made.bench_sheet().accounts
    assert f"make {100 * 0.2 / weighed.content:.0f} g, where it is weighed straight" in account and "leave it out" in account


def test_what_is_weighed_straight_has_no_account() -> None:
    made = batch(carmine(10), 100)
    assert made.bench_sheet().accounts == () and made.weighing("carmine").wasted == 0
