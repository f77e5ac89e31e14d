"""Pans: what they take, by hand."""

from __future__ import annotations

import math
from collections.abc import Callable

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue, UnknownName
from histkit.base.nouns import Spread
from histkit.bench import compaction, pressures
from histkit.bench.compaction import cake_density, relative_density
from histkit.bench.pans import Filling, pan_fill, pans, pans_need
from histkit.bench.pressing import press
from histkit.bench.pressures import press_pressure, window_note
from histkit.bench.sizing import batch_for_pans
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular

pytestmark = pytest.mark.usefixtures("cupboard")


def talc() -> Composition:
    """Talc alone: 2.77 g/cm3 in the cupboard of the tests."""
    return Composition.of([("talc", 1)])


def headings(noun: Tabular) -> list[tuple[str, str]]:
    return [(column.key, column.heading) for column in noun._grid().columns]


def powder() -> Composition:
    """An invented powder without any binder."""
    return Composition.of([("talc", 70), ("kaolin", 20), ("zinc-oxide", 10)], "invented powder")


class TestSizes:
    @pytest.mark.parametrize(
        ("sizes", "told"),
        [
            ({}, "diameter_mm, or width_mm and length_mm"),
            ({"width_mm": 20}, "both width_mm and length_mm"),
            ({"length_mm": 20}, "both width_mm and length_mm"),
            ({"diameter_mm": 44, "width_mm": 20}, "not both"),
            ({"diameter_mm": 44, "length_mm": 20}, "not both"),
            ({"diameter_mm": -3}, "^diameter_mm is a number above 0, not -3"),
            ({"width_mm": -20, "length_mm": 30}, "^width_mm is a number above 0, not -20"),
            ({"width_mm": 20, "length_mm": -30}, "^length_mm is a number above 0, not -30"),
            ({"diameter_mm": 44, "depth_mm": -4}, "^depth_mm is a number above 0, not -4"),
            ({"diameter_mm": 44, "count": 0}, "count .* not 0"),
            ({"diameter_mm": 44, "below_rim_mm": 4.5}, "depth of 4.0 mm, not 4.5"),
            ({"diameter_mm": 44, "below_rim_mm": "0.5"}, "below_rim_mm .* not '0.5'"),
            ({"diameter_mm": 44, "density_g_cm3": -1}, "^density_g_cm3 is a number above 0, not -1"),
            ({"diameter_mm": 44, "pressure": -2}, "^pressure is a number above 0, not -2"),
        ],
    )
    def test_what_is_wrong_and_what_would_be_right(self, sizes: dict[str, float], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            pan_fill(talc(), **sizes)  # type: ignore[arg-type]

    def test_what_is_not_said_is_one_pan_of_four_millimetres(self) -> None:
        """A pan 10 mm across: pi/4 cm2 × 0.4 cm × 1 g/cm3."""
        assert pan_fill(talc(), 10, density_g_cm3=1) == pytest.approx(math.pi / 10)

    def test_the_fill_is_the_best_of_its_spread_however_it_is_pressed(self) -> None:
        """2 cm2 × 0.4 cm = 0.8 cm3 of talc of 2.77 g/cm3, by hand to 0.36, 0.44, 0.52 of that (common practice)."""
        spread = pans_need(talc(), Filling(width_mm=10, length_mm=20, press="thumb")).fill
        assert (spread.low, spread.best, spread.high) == pytest.approx((0.8 * 2.77 * 0.36, 0.8 * 2.77 * 0.44, 0.8 * 2.77 * 0.52))
        assert pan_fill(talc(), width_mm=10, length_mm=20, press="thumb") == spread.best
        assert pan_fill(talc(), width_mm=10, length_mm=20, pressure=60) == pytest.approx(0.8 * 2.77 * (1 - math.exp(-1.05)))

    def test_pans_say_their_size_and_who_says_so(self) -> None:
        by_id = {p.id: p for p in pans()}
        text = by_id["round-26"].to_text()
        assert "26 mm across" in text and "4 (3–5)" in text and "single eye shadow" in text and "seen: a maker's page" in text
        frame = by_id["rectangle-18x12"].to_frame()
        assert frame.iloc[0].tolist() == ["12 × 18 mm", "4 (3–5)", "palette", "common practice, no source"]
        assert headings(by_id["round-26"]) == [("size", "Pan"), ("depth", "Depth, mm"), ("use", "Use"), ("source", "Source")]
        assert text.startswith("Pan\n")


class TestPans:
    def test_geometry(self) -> None:
        """A 44 mm pan of 4 mm at 1.2 g/cm3: pi/4 × 4.4² × 0.4 × 1.2 g."""
        one = pan_fill(press(powder()), diameter_mm=44, depth_mm=4, density_g_cm3=1.2)
        assert type(one) is float
        assert one == pytest.approx(math.pi / 4 * 4.4**2 * 0.4 * 1.2)
        assert pan_fill(press(powder()), 44, 4, 3, density_g_cm3=1.2) == pytest.approx(3 * one)
        square = pan_fill(powder(), width_mm=20, length_mm=30, depth_mm=5, density_g_cm3=1.1)
        assert square == pytest.approx(2 * 3 * 0.5 * 1.1)
        assert pan_fill(powder(), 44, 4, below_rim_mm=0.4, density_g_cm3=1) == pytest.approx(0.9 * math.pi / 4 * 4.4**2 * 0.4)
        spread = pans_need(powder(), Filling(44, 4, density_g_cm3=Spread(1.0, 1.2, 1.4))).fill
        assert spread.best == pytest.approx(one) and spread.high / spread.low == pytest.approx(1.4)

    @given(
        st.dictionaries(
            st.sampled_from(["talc", "kaolin", "zinc-oxide", "titanium-dioxide", "rice-starch", "carmine", "magnesium-stearate"]),
            st.floats(0.01, 1), min_size=1,
        )
    )  # fmt: skip
    def test_the_density_lies_in_the_range_of_practice(self, grams: dict[str, float]) -> None:
        """1.0 to 1.5 g/cm3 (common practice)."""
        density = cake_density(Composition.of(grams)).density
        assert 1.0 <= density.best <= 1.5
        assert density.low <= density.best <= density.high

    def test_density_from_true_density_and_pressure(self) -> None:
        """Talc alone has 2.77 g/cm3; the harder the press, the denser the cake."""
        talc = Composition.of([("talc", 1)])
        by_hand, by_press = cake_density(talc, "thumb"), cake_density(talc, "arbor")
        assert by_hand.true == Spread.exact(2.77)
        assert by_hand.density.best < by_press.density.best
        assert by_press.density.best == pytest.approx(2.77 * relative_density("arbor")[0].best)
        soft, hard = cake_density(talc, pressure=2), cake_density(talc, pressure=13)
        assert soft.density.best < hard.density.best < 2.77
        assert any("memory" in reason for reason in hard.reasons)

    def test_nothing_known_gives_practice(self) -> None:
        density = cake_density(Composition.of([("bismuth-oxychloride", 1)]))
        assert density.density == Spread(1.0, 1.2, 1.5) and density.true is None
        partly = cake_density(Composition.of([("bismuth-oxychloride", 1), ("talc", 1)]))
        assert any("bismuth oxychloride" in reason for reason in partly.reasons)

    @pytest.mark.parametrize(
        "sizes",
        [
            {}, {"diameter_mm": 0}, {"diameter_mm": -3}, {"diameter_mm": math.nan}, {"diameter_mm": 44, "width_mm": 3, "length_mm": 3},
            {"width_mm": 20}, {"diameter_mm": 44, "depth_mm": 0}, {"diameter_mm": 44, "count": 0}, {"diameter_mm": 44, "count": 1.5},
            {"diameter_mm": 44, "below_rim_mm": 4}, {"diameter_mm": 44, "density_g_cm3": -1}, {"diameter_mm": 44, "pressure": 0},
        ],
    )  # fmt: skip
    def test_sizes_that_are_none(self, sizes: dict[str, float]) -> None:
        with pytest.raises(BadValue):
            pan_fill(powder(), **sizes)  # type: ignore[arg-type]

    @pytest.mark.parametrize(
        "call",
        [
            lambda: compaction.heckel(-1, 100, 0.5), lambda: compaction.heckel(5, 0, 0.5), lambda: compaction.heckel(5, 100, -0.1), lambda: compaction.heckel(math.nan, 100, 0),
            lambda: compaction.kawakita(-1, 0.5, 0.1), lambda: compaction.kawakita(5, 0, 0.1), lambda: compaction.kawakita(5, 1, 0.1), lambda: compaction.kawakita(5, 0.5, 0),
            lambda: compaction.kawakita_density(0, 5, 0.5, 0.1), lambda: compaction.kawakita_density(1, 5, 0.5, 0.1), lambda: compaction.ryshkewitch(1, 1, 1),
            lambda: compaction.ryshkewitch(1, 1, -0.1), lambda: compaction.porosity(0, 1), lambda: compaction.fill_ratio(0.3, 0), lambda: pressures.gauge_to_mpa(10, 0, 20),
        ],
    )  # fmt: skip
    def test_figures_of_compaction_that_cannot_be(self, call: Callable[[], float]) -> None:
        with pytest.raises(BadValue):
            call()

    def test_tables_of_pressure_and_density(self) -> None:
        row = press_pressure("clamp", 26).to_frame().iloc[0]
        assert (
            row["press"] == "C-clamp or quick clamp"
            and row["words"].startswith("within")
            and row["source"].startswith("common practice")
        )
        density = cake_density(Composition.of([("talc", 1)]), "thumb")
        assert density.to_frame()["what"].tolist() == ["pressed density, g/cm3", "true density, g/cm3", "relative density"]
        assert compaction.kawakita_density(0.2, 1e9, 0.9, 1.0) == 1.0, "no denser than the substance itself"

    def test_usual_pans(self) -> None:
        assert {p.diameter_mm for p in pans()} >= {26, 36.5, 44, 59}
        for pan in pans():
            size = (
                {"width_mm": pan.width_mm, "length_mm": pan.length_mm}
                if pan.diameter_mm is None
                else {"diameter_mm": pan.diameter_mm}
            )
            assert 0.3 < pan_fill(powder(), depth_mm=pan.depth_mm.best, **size) < 20  # type: ignore[arg-type]
            assert pan.source and pan.to_text()

    def test_presses(self) -> None:
        pressures = [press_pressure(p, 26).mpa.best for p in ("thumb", "dowel", "clamp", "arbor")]
        assert pressures == sorted(pressures)
        assert press_pressure("thumb", 26).words.startswith("below")
        assert window_note(5).startswith("within") and window_note(50).startswith("above")
        assert window_note(Spread(1, 5, 9)).startswith("partly")
        with pytest.raises(UnknownName):
            press_pressure("elephant", 26)


class TestNeed:
    """Two round pans of 44 mm, 4 mm deep, with a measured 1.2 g/cm3: 2 × π/4 × 4.4² × 0.4 × 1.2 = 14.5971 g."""

    def test_by_hand(self) -> None:
        need = pans_need(talc(), Filling(44, 4, 2, density_g_cm3=1.2))
        assert need.fill.best == pytest.approx(14.5971, abs=1e-4) and need.fill.is_exact
        assert need.make == pytest.approx(14.5971 * 1.1, abs=1e-4) and need.density == Spread.exact(1.2)
        assert (need.count, need.size, need.allowance) == (2, "44 mm across and 4 mm deep", 0.1)
        assert pans_need(talc(), Filling(44, 4, 2, density_g_cm3=1.2, allowance=0)).make == pytest.approx(14.5971, abs=1e-4)
        assert need.text() == (
            "2 pans, 44 mm across and 4 mm deep, take about 14.6 g; with 10 % more for what sticks to the tools, make 16.1 g."
        )

    def test_below_the_rim_and_rectangular(self) -> None:
        """20 × 30 mm, filled 3.5 of 4 mm: 6 cm2 × 0.35 cm × (1.0, 1.2, 1.6) g/cm3."""
        need = pans_need(
            talc(), Filling(width_mm=20, length_mm=30, below_rim_mm=0.5, density_g_cm3=Spread(1.0, 1.2, 1.6), allowance=0)
        )
        assert (need.fill.low, need.fill.best, need.fill.high) == pytest.approx((2.1, 2.52, 3.36))
        assert need.text() == (
            "One pan, 20 × 30 mm and 4 mm deep, takes about 2.5 g (2.1 to 3.4 g, looser or denser with the pressure)."
        )

    def test_with_its_own_density(self) -> None:
        """The cake's own density, not the powder's and not that of any cake: a formula with a third of oil is lighter than talc."""
        plain, oily = press(talc(), None, oil=None), press(talc(), None, oil="jojoba-oil", oil_share=0.34)
        for how in ({}, {"press": "clamp"}, {"pressure": 5.0}):
            dense, light = pans_need(plain, Filling(44, **how)), pans_need(oily, Filling(44, **how))
            assert dense.density == cake_density(plain.composition, **how).density
            assert light.density == cake_density(oily.composition, **how).density
            assert light.reasons == cake_density(oily, **how).reasons
            assert dense.fill.high > light.fill.high
            area = math.pi / 4 * 4.4**2
            assert light.fill.best == pytest.approx(area * 0.4 * light.density.best)

    def test_the_batch_and_the_fill_are_the_same_answer(self) -> None:
        """What is shown is what is made: the fill, and the batch rounded up to the balance."""
        pressed = press(Composition.of([("talc", 80), ("zinc-oxide", 20)]))
        for how in ({}, {"press": "thumb"}, {"pressure": 5.0}, {"density_g_cm3": 1.3}, {"below_rim_mm": 0.4}):
            need = pans_need(pressed, Filling(44, 4, 3, allowance=0.2, **how))
            assert (
                pans_need(pressed, Filling(44, 4, 3, **how)).fill == need.fill
                and pan_fill(pressed, 44, 4, 3, **how) == need.fill.best
            )
            filling = batch_for_pans(pressed, Filling(44, 4, 3, allowance=0.2, **how))
            assert need.make <= filling.grams < need.make + 0.01 + 1e-9
            assert need.make == pytest.approx(1.2 * need.fill.best, abs=1e-6)

    def test_as_a_table(self) -> None:
        need = pans_need(talc(), Filling(44, 4, 2, press="clamp"))
        assert need.to_frame().columns.tolist() == ["pans", "size", "fill", "make", "density"]
        assert need.to_text().startswith("What the pans take\n") and "pressed in a clamp" in need.to_text()

    @pytest.mark.parametrize("allowance", [-0.01, 1.01, math.nan, "0.1"])
    def test_an_allowance_that_is_none(self, allowance: float) -> None:
        with pytest.raises(BadValue, match=f"allowance .* not {allowance!r}"):
            pans_need(talc(), Filling(44, allowance=allowance))
