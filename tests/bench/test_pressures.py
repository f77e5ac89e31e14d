"""Force over area, and the published window of pressures."""

from __future__ import annotations

import pytest

from histkit.base.errors import UnknownName
from histkit.base.nouns import Spread
from histkit.bench import pressures
from histkit.bench.compaction import relative_density
from histkit.bench.pressures import press_pressure, window_note
from histkit.display.tabular import Tabular

pytestmark = pytest.mark.usefixtures("cupboard")


def headings(noun: Tabular) -> list[tuple[str, str]]:
    return [(column.key, column.heading) for column in noun._grid().columns]


class TestPressure:
    def test_force_over_area(self) -> None:
        """100 to 200 N of a thumb, 1500 to 3000 N of a clamp (common practice) on 20 mm × 30 mm: 1/6 to 1/3 and 2.5 to 5 MPa."""
        thumb, clamp = (press_pressure(p, width_mm=20, length_mm=30).mpa for p in ("thumb", "clamp"))
        assert (thumb.low, thumb.best, thumb.high) == pytest.approx((1 / 6, 1 / 4, 1 / 3))
        assert (clamp.low, clamp.best, clamp.high) == pytest.approx((2.5, 3.75, 5))
        assert pressures.pressure_mpa(600, width_mm=20, length_mm=30) == pytest.approx(1)

    @pytest.mark.parametrize(
        ("mpa", "where"),
        [
            (2.0699, "below"), (2.07, "within"), (13.8, "within"), (13.8001, "above"),
            (Spread(2.07, 5, 13.8), "within"), (Spread(1, 1.5, 2.06), "below"), (Spread(1, 1.5, 2.07), "partly within"),
            (Spread(1, 1.5, 5), "partly within"), (Spread(5, 10, 20), "partly within"), (Spread(10, 15, 20), "partly within"),
            (Spread(1, 5, 20), "partly within"), (Spread(14, 15, 20), "above"),
        ],
    )  # fmt: skip
    def test_how_a_pressure_lies_to_the_published_window(self, mpa: Spread | float, where: str) -> None:
        """2.07 to 13.8 MPa, 300 to 2000 psi: Cosmetics & Toiletries, March 2022, paper on binders (IFSCC 2020)."""
        note = window_note(mpa)
        assert note.startswith(f"{where} 2.07 to 13.8 MPa") and "300 to 2000 psi" in note and "March 2022" in note

    def test_a_way_of_pressing_that_nobody_knows(self) -> None:
        ways = {"thumb", "dowel", "clamp", "arbor"}
        for call in (lambda: press_pressure("elephant", 26), lambda: relative_density("elephant")):
            with pytest.raises(UnknownName, match="no way of pressing is called 'elephant'") as unknown:
                call()
            assert ways <= set(unknown.value.near) <= {*ways, "any"}

    def test_as_a_table(self) -> None:
        pressure = press_pressure("clamp", width_mm=20, length_mm=30)
        assert headings(pressure) == [("press", "Press"), ("mpa", "MPa"), ("words", "Note"), ("source", "Source")]
        assert pressure.to_frame().iloc[0][["mpa", "source"]].tolist() == ["3.75 (2.5–5)", "common practice, no source"]
        assert pressure.to_text().startswith("Pressure\n")
