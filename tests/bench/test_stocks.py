"""Stocks of small liquids in a solvent."""

from __future__ import annotations

import math

import pytest
from bench_ingredients import CUPBOARD, made

from histkit.base.errors import BadValue, Forbidden
from histkit.bench.batching import batch
from histkit.bench.stocks import scent_stock
from histkit.bench.weighing import (
    Balance,
)
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


class TestScentStock:
    def made(self) -> object:
        return batch(Composition.of([("talc", 99.9), ("rose-oil", 0.1)]), 50)

    def test_a_stock_in_spirit(self) -> None:
        """50 g with 0.1 % of scent: 0.05 g, on a balance that weighs 0.2 g and more."""
        stock = scent_stock(self.made(), "rose-oil", "alcohol")  # type: ignore[arg-type]
        assert stock.kind == "stock" and stock.diluent.id == "alcohol" and stock.content == pytest.approx(0.05, rel=0.05)
        assert all(min(s.weigh, s.diluent, s.take) >= 0.2 - 1e-12 for s in stock.stages)
        strength = math.prod(s.weigh / s.mixture for s in stock.stages)
        assert stock.take * strength == pytest.approx(stock.content)
        assert stock.error <= 0.05
        assert "Stir" in stock.steps("rose oil", Balance())[0]

    @pytest.mark.parametrize("minimum", [0.5, 1.0, 2.0])
    def test_nothing_is_weighed_below_the_minimum_however_coarse_it_may_be(self, minimum: float) -> None:
        """Where the limit of error asks for little, the balance's minimum still holds for every weighing."""
        coarse = batch(Composition.of([("talc", 99.9), ("rose-oil", 0.1)]), 50, Balance(0.01, minimum), error_limit=0.5)
        stock = scent_stock(coarse, "rose-oil", "alcohol")
        assert all(min(s.weigh, s.diluent, s.take) >= minimum - 1e-12 for s in stock.stages)

    def test_what_cannot_be(self) -> None:
        with pytest.raises(BadValue, match="liquids; talc"):
            scent_stock(self.made(), "talc", "alcohol")  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="liquids; kaolin"):
            scent_stock(self.made(), "rose-oil", "kaolin")  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="lavender"):
            scent_stock(self.made(), "lavender-oil", "alcohol")  # type: ignore[arg-type]
        with pytest.raises(Forbidden):
            scent_stock(self.made(), "rose-oil", "lead-carbonate")  # type: ignore[arg-type]


class TestStock:
    def test_the_error_of_a_stock_is_that_of_its_weighings_the_unlucky_way(self) -> None:
        """Half a division of 0.01 g in the scent, in the spirit and in the portion, together within a twentieth."""
        stock = scent_stock(batch(Composition.of([("talc", 99.9), ("rose-oil", 0.1)]), 60), "rose-oil", "alcohol")
        (stage,) = stock.stages
        assert stage.take * stage.weigh / stage.mixture == pytest.approx(0.06) == stock.content
        worst = 0.005 / stage.take + 0.005 / stage.weigh * (1 + stage.weigh / stage.mixture)
        assert stock.error == pytest.approx(worst) and 0.01 < stock.error <= 0.05

    def test_what_cannot_be_a_stock(self) -> None:
        made_batch = batch(Composition.of([("talc", 1), ("rose-oil", 1e-12)]), 60)
        with pytest.raises(BadValue, match="no stock of rose oil fits"):
            scent_stock(made_batch, "rose-oil", "alcohol")
        poison = made("poison-spirit", "spirit", "liquid", "solvent", cautions=CUPBOARD["lead-carbonate"].cautions)
        with pytest.raises(Forbidden, match=r"^poison spirit cannot be a solvent\. .*poison") as refused:
            scent_stock(made_batch, "rose-oil", poison)
        assert refused.value.ingredients == ("poison-spirit",)
