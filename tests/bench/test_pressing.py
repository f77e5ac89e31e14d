"""From powder to cake: shares of the finished cake, and what the powder holds already."""

from __future__ import annotations

import math

import pytest
from bench_ingredients import CUPBOARD
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden, UnknownName
from histkit.bench.drops import drops_of, share_of_drops
from histkit.bench.levels import levels
from histkit.bench.pressing import PressedFormula, press
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def powder() -> Composition:
    """An invented powder without any binder."""
    return Composition.of([("talc", 70), ("kaolin", 20), ("zinc-oxide", 10)], "invented powder")


class TestShares:
    def test_five_per_cent_of_the_cake_is_not_five_grams(self) -> None:
        """100 g of powder make 100 / 0.95 g of cake, of which 5 % are 5.263 g."""
        pressed = press(powder(), binder="magnesium-stearate", binder_share=0.05, oil=None)
        assert pressed.additions(100) == {"magnesium-stearate": pytest.approx(5.263158, abs=1e-6)}
        assert pressed.composition.share("magnesium-stearate") == pytest.approx(0.05, abs=1e-15)
        assert pressed.cake_grams(100) == pytest.approx(105.263158)
        assert pressed.powder_grams(pressed.cake_grams(100)) == pytest.approx(100)

    def test_of_the_powder(self) -> None:
        pressed = press(powder(), binder_share=0.05, oil=None, of="powder")
        assert pressed.additions(100) == {"magnesium-stearate": pytest.approx(5)}
        assert pressed.composition.share("magnesium-stearate") == pytest.approx(5 / 105)

    def test_the_defaults(self) -> None:
        pressed = press(powder())
        assert pressed.composition.share("magnesium-stearate") == pytest.approx(0.05)
        assert pressed.composition.share("jojoba-oil") == pytest.approx(0.03)
        assert pressed.powder == powder()
        assert pressed.warnings == ()

    @given(st.floats(0, 0.45), st.floats(0, 0.45), st.floats(0, 0.5), st.floats(0, 0.5), st.floats(0.01, 1))
    def test_the_cake_has_the_shares_asked_for_or_nothing_was_added(
        self, binder: float, oil: float, held_binder: float, held_oil: float, talc: float
    ) -> None:
        start = Composition.of([("talc", talc), ("zinc-stearate", held_binder), ("almond-oil", held_oil)])
        pressed = press(start, "zinc-stearate", binder, "almond-oil", oil)
        assert math.fsum(p.share for p in pressed.composition.parts) == pytest.approx(1, abs=1e-12)
        for b in pressed.binders:
            share = pressed.composition.share(b.ingredient)
            assert share == pytest.approx(b.share, abs=1e-12)
            assert b.added >= 0
            if b.added > 0:
                assert share == pytest.approx(b.target, abs=1e-9)
            else:
                assert share >= b.target - 1e-9
        grams = pressed.additions(200)
        assert pressed.cake_grams(200) == pytest.approx(200 + sum(grams.values()))

    def test_several_binders_and_oils(self) -> None:
        pressed = press(
            powder(), {"magnesium-stearate": 0.04, "zinc-stearate": 0.02}, oil={"jojoba-oil": 0.02, "almond-oil": 0.01}
        )
        for key, share in {"magnesium-stearate": 0.04, "zinc-stearate": 0.02, "jojoba-oil": 0.02, "almond-oil": 0.01}.items():
            assert pressed.composition.share(key) == pytest.approx(share)
        assert sum(pressed.additions(91).values()) == pytest.approx(9)

    def test_what_the_powder_holds_is_counted(self) -> None:
        start = Composition.of([("talc", 97), ("magnesium-stearate", 3)])
        pressed = press(start, binder_share=0.05, oil=None)
        assert pressed.composition.share("magnesium-stearate") == pytest.approx(0.05)
        assert pressed.additions(100)["magnesium-stearate"] == pytest.approx(100 * 0.97 / 0.95 - 100)
        assert any("3 %" in note and "counted" in note for note in pressed.notes)
        rich = press(Composition.of([("talc", 9), ("magnesium-stearate", 1)]), binder_share=0.05, oil=None)
        assert rich.additions(100) == {"magnesium-stearate": 0}
        assert rich.composition.share("magnesium-stearate") == pytest.approx(0.1)
        assert any("nothing is added" in note for note in rich.notes)
        assert press(start, binder_share=0.05, oil=None, of="powder").additions(100)["magnesium-stearate"] == pytest.approx(2)

    def test_no_binder_at_all(self) -> None:
        assert press(powder(), binder=None, oil=None).composition.parts == powder().parts
        assert press(powder(), binder_share=0, oil_share=0).additions(100) == {}

    @pytest.mark.parametrize("share", [-0.01, 1, 1.5, math.nan, math.inf, "0.05", True])
    def test_shares_that_are_none(self, share: float) -> None:
        with pytest.raises(BadValue, match="binder_share"):
            press(powder(), binder_share=share)
        with pytest.raises(BadValue, match="oil_share"):
            press(powder(), oil_share=share)
        with pytest.raises(BadValue, match="zinc-stearate"):
            press(powder(), {"zinc-stearate": share})

    def test_what_cannot_be(self) -> None:
        with pytest.raises(BadValue, match="below 1 together"):
            press(powder(), binder_share=0.6, oil_share=0.4)
        with pytest.raises(BadValue, match="name it once"):
            press(powder(), "jojoba-oil", oil="jojoba-oil")
        with pytest.raises(BadValue, match="'cake' or 'powder'"):
            press(powder(), of="loaf")  # type: ignore[arg-type]
        with pytest.raises(UnknownName):
            press(powder(), binder="moon-dust")
        with pytest.raises(Forbidden):
            press(powder(), binder="lead-carbonate")

    def test_wetting_is_written_down_and_not_counted(self) -> None:
        dry, wet = press(powder()), press(powder(), wetting="alcohol", wetting_share=0.2)
        assert wet.composition == dry.composition
        assert wet.wetting_grams(50) == {"alcohol": pytest.approx(10)}
        assert any("dries off" in note for note in wet.notes)
        assert any("common practice" in warning for warning in press(powder(), wetting="alcohol", wetting_share=0.6).warnings)

    def test_wetting_beside_its_level(self) -> None:
        """Alcohol or water for wet pressing: 10 to 30 g for 100 g of powder (common practice). 20 g where nothing is said."""
        wet = press(powder(), wetting="alcohol")
        (level,) = levels(kind="wetting")
        assert (level.low, level.high) == (0.10, 0.30) and wet.levels == (*press(powder()).levels, level)
        assert wet.wetting_grams(50) == {"alcohol": pytest.approx(10)} and wet.warnings == ()
        (note,) = wet.notes
        assert note.startswith("alcohol: 20 g to wet 100 g of powder")
        (warning,) = press(powder(), wetting="alcohol", wetting_share=0.6).warnings
        assert warning.startswith("alcohol: 60 g for 100 g of powder") and "10 to 30 % (common practice)" in warning
        # One without a level of its own: that of the other liquids for wetting, and of nothing else.
        oily = press(powder(), None, oil=None, wetting={"lavender-oil": 0.4, "alcohol": 0.1})
        assert oily.levels == (level,) and len(oily.warnings) == 1
        assert oily.warnings[0].startswith("lavender oil: 40 g") and "10 to 30 %" in oily.warnings[0]
        assert press(powder(), wetting="lavender-oil", wetting_share=0.3).warnings == ()

    def test_more_liquid_than_powder_can_wet_it_but_not_ten_times(self) -> None:
        assert press(powder(), wetting="alcohol", wetting_share=9.9).wetting_grams(10) == {"alcohol": pytest.approx(99)}
        with pytest.raises(BadValue, match=r"^wetting_share .* below 10 .* not 10"):
            press(powder(), wetting="alcohol", wetting_share=10)

    def test_the_notes_are_on_what_was_taken_into_account_and_on_nothing_else(self) -> None:
        assert press(powder()).notes == ()
        rich = press(Composition.of([("talc", 9), ("magnesium-stearate", 1)]), binder_share=0.05, oil=None)
        (note,) = rich.notes
        assert "10 % of magnesium stearate" in note
        assert {p.ingredient.id: p.note for p in rich.composition.parts} == {"talc": "", "magnesium-stearate": ""}
        book = Composition.of([("talc", 9), ("magnesium-stearate", 1)], notes={"magnesium-stearate": "in the book"})
        both = press(book, "magnesium-stearate", 0.2, "almond-oil")
        assert {p.ingredient.id: p.note for p in both.composition.parts} == {
            "talc": "", "magnesium-stearate": "in the book", "almond-oil": "liquid binder",
        }  # fmt: skip
        assert {p.ingredient.id: p.note for p in press(powder()).composition.parts[-2:]} == {
            "magnesium-stearate": "dry binder", "jojoba-oil": "liquid binder",
        }  # fmt: skip

    def test_what_is_wrong_is_in_the_words(self) -> None:
        with pytest.raises(BadValue, match="'cake' or 'powder', not 'loaf'"):
            press(powder(), of="loaf")  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="stay below 1 together, not 1.1"):
            press(powder(), binder_share=0.6, oil_share=0.5)
        with pytest.raises(BadValue, match="jojoba-oil is asked for as dry binder and as oil"):
            press(powder(), "jojoba-oil", oil="jojoba-oil")
        with pytest.raises(BadValue, match=r"^binder_share is 0 or more and below 1 .* not 1.5"):
            press(powder(), binder_share=1.5)
        with pytest.raises(BadValue, match=r"^oil_share is 0 or more and below 1 .* not 'much'"):
            press(powder(), oil_share="much")  # type: ignore[arg-type]
        with pytest.raises(BadValue, match=r"^the share of zinc-stearate is 0 or more and below 1 .* not 2"):
            press(powder(), {CUPBOARD["zinc-stearate"]: 2})
        with pytest.raises(Forbidden, match=r"lead carbonate cannot be a binder\. .*poison.*zinc and titanium whites") as refused:
            press(powder(), binder="lead-carbonate")
        assert refused.value.ingredients == ("lead-carbonate",)

    @pytest.mark.parametrize("grams", [0, -5, math.nan, "5"])
    def test_grams_that_are_none(self, grams: float) -> None:
        wet = press(powder(), wetting="alcohol")
        for call, name in (
            (wet.additions, "powder_grams"), (wet.cake_grams, "powder_grams"), (wet.wetting_grams, "powder_grams"),
            (press(powder()).wetting_grams, "powder_grams"), (wet.powder_grams, "cake_grams"),
            (lambda g: drops_of("jojoba-oil", g), "grams"), (lambda g: share_of_drops("jojoba-oil", g, 50), "drops"),
            (lambda g: share_of_drops("jojoba-oil", 5, g), "powder_grams"),
        ):  # fmt: skip
            with pytest.raises(BadValue, match=f"^{name} is a number above 0, not {grams!r}"):
                call(grams)

    def test_a_file_with_a_share_that_is_none(self) -> None:
        text = press(powder(), wetting="alcohol").to_json()
        for old, new in (('"magnesium-stearate": 0.05', '"magnesium-stearate": "some"'), ('"alcohol": 0.2', '"alcohol": null')):
            assert old in text
            with pytest.raises(BadValue, match="some|None"):
                PressedFormula.from_json(text.replace(old, new))
        with pytest.raises(BadValue, match="Expecting"):
            PressedFormula.from_json(text[:-1])

    def test_json_presses_anew_to_an_equal_formula(self) -> None:
        pressed = press(powder(), {"magnesium-stearate": 0.04, "zinc-stearate": 0.02}, wetting="alcohol", wetting_share=0.15)
        assert PressedFormula.from_json(pressed.to_json()) == pressed
        bare = press(powder(), None, oil=None)
        assert PressedFormula.from_json(bare.to_json()) == bare
        for broken in ("", "{}", "[]", '{"powder": 3, "binder": 3, "oil": {}, "wetting": {}, "of": "cake"}'):
            with pytest.raises(BadValue):
                PressedFormula.from_json(broken)

    def test_tables(self) -> None:
        pressed = press(powder())
        frame = pressed.to_frame()
        assert frame["percent"].sum() == pytest.approx(100)
        assert frame["added"].sum() == pytest.approx(sum(pressed.additions(100).values()))
        assert pressed.binders[0].to_frame().shape[0] == pressed.levels[0].to_frame().shape[0] == 1
