"""Models of compaction and the density of a cake by hand; what cannot be is refused with the figure and its name."""

from __future__ import annotations

import itertools
import math
from collections.abc import Callable

import pytest
from bench_ingredients import made

from histkit.base.errors import BadValue
from histkit.base.nouns import Spread
from histkit.bench import compaction, pressures
from histkit.bench.compaction import cake_density, relative_density
from histkit.bench.pressing import press
from histkit.composing.composition import Composition
from histkit.display.tabular import Tabular
from histkit.glossary.nouns import Ingredient

pytestmark = pytest.mark.usefixtures("cupboard")


def talc() -> Composition:
    """Talc alone: 2.77 g/cm3 in the cupboard of the tests."""
    return Composition.of([("talc", 1)])


def headings(noun: Tabular) -> list[tuple[str, str]]:
    return [(column.key, column.heading) for column in noun._grid().columns]


def of_true_density(value: float | tuple[float, float]) -> Ingredient:
    return made("earth", "mineral", "powder", "bulk", true_density=value)


class TestModels:
    @pytest.mark.parametrize(
        ("call", "told"),
        [
            (lambda: compaction.heckel(-1, 100, 0.5), "not -1 and 0.5"),
            (lambda: compaction.heckel(math.inf, 100, 0.5), "not inf and 0.5"),
            (lambda: compaction.heckel(5, 100, math.inf), "not 5 and inf"),
            (lambda: compaction.heckel("5", 100, 0), "not '5' and 0"),  # type: ignore[arg-type]
            (lambda: compaction.heckel(5, -100, 0.5), "^yield_mpa .* not -100"),
            (lambda: compaction.kawakita(math.inf, 0.5, 0.1), "not inf and 0.5"),
            (lambda: compaction.kawakita(-1, 0.5, 0.1), "not -1 and 0.5"),
            (lambda: compaction.kawakita(5, 1.2, 0.1), "not 5 and 1.2"),
            (lambda: compaction.kawakita(5, "0.5", 0.1), "not 5 and '0.5'"),  # type: ignore[arg-type]
            (lambda: compaction.kawakita(5, 0.5, -2), "^b is a number above 0, not -2"),
            (lambda: compaction.kawakita_density(1.5, 5, 0.5, 0.1), "not 1.5"),
            (lambda: compaction.kawakita_density("0.3", 5, 0.5, 0.1), "not '0.3'"),  # type: ignore[arg-type]
            (lambda: compaction.ryshkewitch(1, 1, 1.5), "porosity .* not 1.5"),
            (lambda: compaction.ryshkewitch(1, 1, None), "porosity .* not None"),  # type: ignore[arg-type]
            (lambda: compaction.ryshkewitch(-1, 8, 0.3), "^sigma0 is a number above 0, not -1"),
            (lambda: compaction.ryshkewitch(1, -8, 0.3), "^b is a number above 0, not -8"),
            (lambda: compaction.porosity(-1.2, 2.5), "^density is a number above 0, not -1.2"),
            (lambda: compaction.porosity(1.2, -2.5), "^true is a number above 0, not -2.5"),
            (lambda: compaction.fill_ratio(-0.4, 1.2), "^loose_density is a number above 0, not -0.4"),
            (lambda: compaction.fill_ratio(0.4, -1.2), "^pressed_density is a number above 0, not -1.2"),
            (lambda: pressures.gauge_to_mpa(-10, 30, 20), "^oil_bar is a number above 0, not -10"),
            (lambda: pressures.gauge_to_mpa(10, -30, 20), "^ram_mm is a number above 0, not -30"),
            (lambda: pressures.gauge_to_mpa(10, 30, -20), "^punch_mm is a number above 0, not -20"),
            (lambda: pressures.pressure_mpa(-100, 26), "^force_n is a number above 0, not -100"),
        ],
    )
    def test_figures_that_cannot_be(self, call: Callable[[], float], told: str) -> None:
        with pytest.raises(BadValue, match=told):
            call()

    def test_nothing_pressed_and_nothing_hollow(self) -> None:
        """Without pressure only the intercept is left, and without pores the cake is as strong as its stuff."""
        assert compaction.heckel(0, 60, 0) == 0
        assert compaction.heckel(0, 60, math.log(2)) == pytest.approx(0.5)
        assert compaction.kawakita(0, 0.65, 0.4) == 0 and compaction.kawakita(5, 0.999, 0.4) == pytest.approx(0.666)
        assert compaction.ryshkewitch(3, 8, 0) == 3

    def test_relative_density_under_pressure(self) -> None:
        """1 - exp(-(P / Py + A)) at 15 MPa over Py 60 to 500, 150 at best, and A 0.51 to 0.80, 0.65 at best (memory, unsure)."""
        spread, words = relative_density(pressure=15)
        assert (spread.low, spread.best, spread.high) == pytest.approx(
            (1 - math.exp(-0.54), 1 - math.exp(-0.75), 1 - math.exp(-1.05))
        )
        assert str(spread) in words and "15 MPa" in words and "Heckel" in words and "(from memory; unsure" in words

    def test_relative_density_by_the_way_of_pressing(self) -> None:
        """0.40 to 0.65 for any cake: pores of 0.35 to 0.60 (common practice)."""
        spread, words = relative_density()
        assert spread == Spread(0.40, 0.50, 0.65)
        assert "0.5 (0.4–0.65)" in words and "porosity 0.35 to 0.60" in words and "common practice, no source" in words


class TestCakeDensity:
    @pytest.mark.parametrize(
        ("true", "density"),
        [
            (2.77, (2.77 * 0.40, 2.77 * 0.50, 2.77 * 0.65)),  # 1.385 lies within the range of practice
            (6.0, (1.5, 1.5, 3.9)),  # 3 g/cm3 is drawn down to 1.5
            (1.0, (0.4, 1.0, 1.0)),  # 0.5 g/cm3 is drawn up to 1
        ],
    )
    def test_half_the_true_density_drawn_to_practice(self, true: float, density: tuple[float, float, float]) -> None:
        """Any cake has 0.40 to 0.65, 0.50 at best, of the true density, and in practice 1.0 to 1.5 g/cm3 (common practice)."""
        found = cake_density(Composition.of([(of_true_density(true), 1)]))
        assert (found.density.low, found.density.best, found.density.high) == pytest.approx(density)
        assert any("1.2 (1–1.5) g/cm3" in r and "common practice, no source" in r and "within it" in r for r in found.reasons)

    def test_where_the_pressing_is_known_it_is_not_drawn_anywhere(self) -> None:
        """3 g/cm3 under 60 MPa: × (1 - exp(-1.05)); in an arbor press × 0.55. Both lie above 1.5 g/cm3."""
        start = Composition.of([(of_true_density(3.0), 1)])
        for found, best in ((cake_density(start, pressure=60), 3 * (1 - math.exp(-1.05))), (cake_density(start, "arbor"), 1.65)):
            assert found.density.best == pytest.approx(best) and not any("within it" in r for r in found.reasons)

    def test_a_pressed_formula_has_the_density_of_its_cake(self) -> None:
        pressed = press(talc(), "magnesium-stearate", 0.2, None)
        assert cake_density(pressed) == cake_density(pressed.composition) != cake_density(talc())

    def test_what_it_rests_on_is_said(self) -> None:
        partly = cake_density(Composition.of([("bismuth-oxychloride", 1), ("talc", 3)]))
        assert any("2.77 g/cm3" in r and "75 % of the mass" in r for r in partly.reasons)
        assert any("no true density known for bismuth oxychloride" in r for r in partly.reasons)
        unknown = cake_density(Composition.of([("bismuth-oxychloride", 1)]))
        assert "1.2 (1–1.5) g/cm3" in unknown.reasons[0] and "common practice, no source" in unknown.reasons[0]
        assert "talc and mica cakes" in unknown.reasons[0] and unknown.reasons[1].startswith("no true density")

    def test_as_a_table(self) -> None:
        frame = cake_density(talc(), "thumb").to_frame()
        assert frame["value"].tolist() == ["1.219 (0.9972–1.44)", "2.77", "0.44 (0.36–0.52)"]
        assert headings(cake_density(talc())) == [("what", "What"), ("value", "Value")]
        unknown = cake_density(Composition.of([("bismuth-oxychloride", 1)]))
        assert unknown.to_frame()["what"].tolist() == ["pressed density, g/cm3"], "what is not known has no row"
        text = unknown.to_text()
        assert text.startswith("Density of the cake\n") and "no true density" in text


def test_the_harder_the_press_the_denser_the_cake() -> None:
    """From the thumb to the arbor press each figure of the table rises, and the best lies in the middle third of its range."""
    spreads = [relative_density(press)[0] for press in ("thumb", "dowel", "clamp", "arbor")]
    for softer, harder in itertools.pairwise(spreads):
        assert softer.low < harder.low and softer.best < harder.best and softer.high <= harder.high
    for spread in spreads:
        assert 1 / 3 <= (spread.best - spread.low) / (spread.high - spread.low) <= 2 / 3


class TestLightPowders:
    """A powder that is so light when loose packs by its own volume: Kawakita's a is 0.50, 0.62, 0.75 for fine powders."""

    def test_light_magnesia_is_no_chalk(self) -> None:
        """0.14 to 0.17 g/cm3 loose: 0.155 / 0.38 at the utmost, and half of that in a clamp's 5 MPa."""
        utmost = cake_density(Composition.of([("magnesium-carbonate", 1)]))
        assert utmost.density.low == pytest.approx(0.14 / 0.5) and utmost.density.high == pytest.approx(0.17 / 0.25)
        assert utmost.density.best == pytest.approx(0.155 / 0.38)
        assert any("magnesium carbonate packs to" in reason and "Kawakita" in reason for reason in utmost.reasons)
        at_five = cake_density(Composition.of([("magnesium-carbonate", 1)]), pressure=5).density
        loss = (0.50 * 5 / (5 + 15), 0.62 * 5 / (5 + 4), 0.75 * 5 / (5 + 1))
        expected = [loose / (1 - c) for loose, c in zip((0.14, 0.155, 0.17), loss, strict=True)]
        assert [at_five.low, at_five.best, at_five.high] == pytest.approx(expected)

    def test_half_of_it_makes_a_light_cake(self) -> None:
        """50 g of talc in its own volume and 50 g of magnesia in its own."""
        density = cake_density(Composition.of([("talc", 1), ("magnesium-carbonate", 1)])).density.best
        assert density == pytest.approx(1 / (0.5 / (2.77 * 0.50) + 0.5 / (0.155 / 0.38)))

    def test_usual_powders_keep_to_practice(self) -> None:
        for key in ("talc", "kaolin", "sericite", "rice-starch", "titanium-dioxide"):
            assert 1.0 <= cake_density(Composition.of([(key, 1)])).density.best <= 1.5
