"""From powder to cake: shares of the finished cake, published levels beside the choice, pans, trials."""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Iterator

import pytest
from bench_ingredients import CUPBOARD, as_glossary, made
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden, UnknownName
from histkit.base.grid import Grid
from histkit.base.nouns import Spread
from histkit.bench import compaction, pressures
from histkit.bench.binders import oil_from_absorption
from histkit.bench.compaction import cake_density, relative_density
from histkit.bench.drops import drops_of, share_of_drops
from histkit.bench.faults import faults_in
from histkit.bench.ladders import ladder
from histkit.bench.levels import levels
from histkit.bench.pans import pan_fill, pan_fill_spread, pans
from histkit.bench.pressing import PressedFormula, press
from histkit.bench.pressures import press_pressure, window_note
from histkit.bench.proposals import likelihoods, propose
from histkit.bench.steps import ProcessStep, process_steps
from histkit.bench.trials import Trial, TrialLog
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


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


class TestLevels:
    def test_outside_is_a_warning_and_no_refusal(self) -> None:
        high = press(powder(), binder_share=0.3, oil=None)
        assert len(high.warnings) == 1 and "30 %" in high.warnings[0] and "Schlossman" not in high.warnings[0]
        assert "sticky" in high.warnings[0]
        low = press(powder(), binder_share=0.005, oil=None)
        assert "crumble" in low.warnings[0]
        assert press(powder(), "kaolin", 0.15, None).composition.share("kaolin") == pytest.approx(max(0.2, 0.15))

    def test_one_without_a_level_of_its_own(self) -> None:
        fine = press(powder(), oil="almond-oil", oil_share=0.04)
        assert fine.warnings == ()
        assert any(level.kind == "liquid" for level in fine.levels)
        assert "no level is published" in press(powder(), oil="almond-oil", oil_share=0.4).warnings[0]

    def test_a_sort_of_cake_without_a_level(self) -> None:
        """Magnesium stearate has none for eye shadow: then those of other cakes are shown, before those of other binders."""
        told = press(powder(), "magnesium-stearate", 0.2, None, cake="matte eye shadow")
        assert told.levels == levels("magnesium-stearate", "dry") and "no level is published" not in told.warnings[0]
        # None of its own: those of the cake, and of any cake.
        almond = press(powder(), None, oil="almond-oil", oil_share=0.4, cake="face powder")
        assert almond.levels and {(v.kind, v.cake) for v in almond.levels} == {("liquid", "face powder"), ("liquid", "any cake")}
        unheard = press(powder(), None, oil="almond-oil", oil_share=0.4, cake="moon cake")
        assert unheard.levels and {(v.kind, v.cake) for v in unheard.levels} == {("liquid", "any cake")}
        strange = press(powder(), None, oil="magnesium-stearate", oil_share=0.25)
        assert {v.kind for v in strange.levels} == {"liquid"} and "no level is published" in strange.warnings[0]

    def test_too_little_may_crumble_and_too_much_turn_sticky(self) -> None:
        (low,), (high,) = (press(powder(), "zinc-stearate", share, None).warnings for share in (0.005, 0.3))
        assert "The cake may crumble" in low and "sticky" not in low
        assert "The cake may turn sticky" in high and "crumble" not in high

    def test_one_level_for_two_binders_is_shown_once(self) -> None:
        two = press(powder(), {"rice-starch": 0.1, "zinc-stearate": 0.05}, oil=None)
        one = press(powder(), None, oil={"almond-oil": 0.02, "rose-oil": 0.02})
        for pressed in (two, one):
            assert len(pressed.levels) == len(set(pressed.levels)) > 1

    def test_by_sort_of_cake(self) -> None:
        shadow = press(powder(), "zinc-stearate", 0.05, None, cake="matte eye shadow")
        assert "matte eye shadow: 8 to 12 %" in shadow.warnings[0]
        assert press(powder(), "zinc-stearate", 0.05, None).warnings == ()

    def test_every_level_has_a_source_and_makes_sense(self) -> None:
        for level in levels():
            assert level.source and level.mark in ("seen", "common practice")
            assert 0 < level.low <= level.high < 1
            assert level.kind in ("dry", "liquid", "wetting")
            assert level.holds((level.low + level.high) / 2) and not level.holds(level.high + 0.01)

    def test_a_level_holds_its_ends_and_nothing_beyond(self) -> None:
        shadow = next(v for v in levels("zinc-stearate") if v.cake == "matte eye shadow")
        assert (shadow.low, shadow.high) == (0.08, 0.12), "Schlossman and Feldman 1971, Table VIII"
        assert [shadow.holds(s) for s in (0.0799, 0.08, 0.1, 0.12, 0.1201)] == [False, True, True, True, False]

    @pytest.mark.parametrize(("share", "warned"), [(0.0149, "crumble"), (0.015, ""), (0.12, ""), (0.1201, "sticky")])
    def test_the_ends_of_what_is_known_are_inside(self, share: float, warned: str) -> None:
        """Zinc stearate: 1.5 to 12 % over all sorts of cake (Schlossman and Feldman 1971, Tables III and VIII)."""
        warnings = press(powder(), "zinc-stearate", share, None).warnings
        assert len(warnings) == bool(warned) and all(warned in w for w in warnings)

    def test_what_is_shown_beside_the_choice(self) -> None:
        pressed = press(powder(), "magnesium-stearate", 0.15, "almond-oil", 0.4)
        dry = [v for v in pressed.levels if v.kind == "dry"]
        assert dry == list(levels("magnesium-stearate", "dry"))
        assert [v for v in pressed.levels if v.kind == "liquid"] == list(levels(kind="liquid")), "none of its own: all liquids"
        assert pressed.warnings == (
            "magnesium stearate at 15 % of the cake lies outside what is known: magnesium stearate (printed for zinc or magnesium"
            " stearate alike), translucent face powder: 1.5 to 3 %; magnesium stearate (printed for zinc or magnesium stearate"
            " alike), oil-blotting face powder: 5 %; magnesium stearate, eyeliner cake: 3 to 10 %; magnesium stearate,"
            " home pressing: 5 to 10 %; magnesium stearate, hand-pressed face powder: 10 % (common practice). The cake may turn"
            " sticky, hard or glazed; a small trial will tell.",
            "almond oil at 40 % of the cake: no level is published for it; liquid binders run 2 to 20 %. A small trial will tell.",
        )
        narrowed = press(powder(), None, oil="almond-oil", oil_share=0.045, cake="face powder")
        assert {v.cake for v in narrowed.levels} == {"face powder", "any cake"}
        frame = dry[0].to_frame().iloc[0]
        assert frame.tolist()[1:4] == ["translucent face powder", 1.5, 3.0] and frame["source"].startswith("seen: Schlossman")
        assert "Sort of cake" in dry[0].to_text() and "From %" in dry[0].to_text()

    def test_the_tables_of_a_cake_to_the_letter(self) -> None:
        start = Composition.of([("talc", 96), ("magnesium-stearate", 4)], "invented powder")
        pressed = press(start, "magnesium-stearate", 0.1, "jojoba-oil", 0.04)
        cake = 0.96 / 0.86
        assert [list(row) for row in pressed._grid().rows] == [
            ["talc", pytest.approx(96), None, pytest.approx(96 / cake)],
            ["magnesium stearate", pytest.approx(4), pytest.approx(10 * cake - 4), pytest.approx(10)],
            ["jojoba oil", 0.0, pytest.approx(4 * cake), pytest.approx(4)],
        ]
        text = pressed.to_text()
        assert (
            text.startswith("invented powder, pressed\n")
            and "the powder already holds 4 % of magnesium stearate: this is counted" in text
        )
        for head in ("Ingredient", "In the powder, %", "Add to 100 g of powder, g", "In the cake, %"):
            assert head in text
        assert press(Composition.of([("talc", 1)])).to_text().startswith("Pressed formula\n")
        binder = pressed.binders[0].to_frame().iloc[0]
        assert binder.tolist() == [
            "magnesium stearate", "dry", pytest.approx(10), pytest.approx(4), pytest.approx(10 * cake - 4), pytest.approx(10),
        ]  # fmt: skip
        notes = {p.ingredient.id: p.note for p in pressed.composition.parts}
        assert (
            notes == {"talc": "", "magnesium-stearate": "dry binder", "jojoba-oil": "liquid binder"}
            or notes["jojoba-oil"] == "liquid binder"
        )

    def test_the_headings_of_the_tables(self) -> None:
        pressed = press(powder(), wetting="alcohol")

        def headings(grid: Grid) -> list[tuple[str, str, int | None]]:
            return [(c.key, c.heading, c.decimals) for c in grid.columns]

        assert headings(pressed.levels_grid()) == headings(pressed.levels[0]._grid()) == [
            ("binder", "Binder", None), ("cake", "Sort of cake", None), ("low", "From %", 2), ("high", "To %", 2),
            ("note", "Note", None), ("source", "Source", None),
        ]  # fmt: skip
        assert headings(pressed.binders[0]._grid()) == [
            ("ingredient", "Binder", None), ("kind", "Sort", None), ("target", "Asked for, %", 2), ("held", "Powder held, %", 2),
            ("added", "Add to 100 g of powder, g", 3), ("share", "In the cake, %", 2),
        ]  # fmt: skip
        assert headings(pressed._grid()) == [
            ("ingredient", "Ingredient", None), ("powder", "In the powder, %", 2), ("added", "Add to 100 g of powder, g", 3),
            ("percent", "In the cake, %", 2),
        ]  # fmt: skip
        assert headings(process_steps()[0]._grid()) == [
            ("stage", "Stage", None), ("step", "Step", None), ("time", "Time", None), ("detail", "How", None), ("source", "Source", None),
        ]  # fmt: skip
        for noun, caption in (
            (pressed.levels[0], "Published level"),
            (pressed.binders[0], "Binder"),
            (process_steps()[0], "Step"),
        ):
            assert noun.to_text().startswith(f"{caption}\n")
        assert pressed.levels_grid().caption.startswith("Published levels") and len(pressed.levels_grid().rows) == len(
            pressed.levels
        )

    def test_own_ingredients_come_back_from_json(self) -> None:
        own = made("own-earth", "mineral", "powder", "bulk", true_density=2.0)
        glue = made("own-glue", "chemical", "powder", "binder")
        pressed = press(Composition.of([(own, 1)], "℥"), glue, 0.1, None)
        assert PressedFormula.from_json(pressed.to_json(), {i.id: i for i in (own, glue)}) == pressed
        assert "℥" in pressed.to_json()


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
        spread = pan_fill_spread(powder(), 44, 4, density_g_cm3=Spread(1.0, 1.2, 1.4))
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


class TestTrials:
    def test_a_ladder_can_be_weighed(self) -> None:
        steps = ladder(press(powder()), count=5, grams_each=5, balance=Balance(0.01, 0.2), step=0.01).steps
        assert [s.trial.binder_share for s in steps] == pytest.approx([0.03, 0.04, 0.05, 0.06, 0.07])
        for s in steps:
            assert round(math.fsum(w.grams for w in s.batch.weighings), 9) == 5
            assert s.batch.weighing("magnesium-stearate").content == pytest.approx(5 * s.trial.binder_share, abs=0.0051)
            assert all(w.aliquot is not None or w.direct >= 0.2 for w in s.batch.weighings)

    def test_a_ladder_of_oil_around_a_share(self) -> None:
        steps = ladder(powder(), around=0.02, count=3, vary="oil", step=0.02).steps
        assert [s.trial.oil_share for s in steps] == pytest.approx([0, 0.02, 0.04])
        assert {round(s.trial.binder_share, 9) for s in steps} == {0.05}

    def test_powder_for_the_whole_ladder(self) -> None:
        rungs = ladder(press(powder()), count=3, grams_each=5)
        used = sum(s.batch.to_weigh["blended-powder"] for s in rungs.steps)
        assert used < rungs.powder_grams < 1.2 * used
        assert len(rungs.log.trials) == 3
        assert "magnesium stearate" in rungs.to_html()

    def test_a_ladder_with_lead_in_it_is_refused(self) -> None:
        with pytest.raises(Forbidden):
            ladder(Composition.of([("talc", 1), ("lead-carbonate", 1)]))

    @pytest.mark.parametrize(
        "wrong", [{"count": 0}, {"count": 2.5}, {"step": 0}, {"vary": "luck"}, {"around": -1}, {"around": math.nan}]
    )
    def test_a_ladder_that_cannot_be(self, wrong: dict[str, float]) -> None:
        with pytest.raises(BadValue):
            ladder(powder(), **wrong)  # type: ignore[arg-type]
        with pytest.raises(BadValue, match="no liquid binder"):
            ladder(press(powder(), oil=None), vary="oil")

    def log(self) -> TrialLog:
        """Invented results: below 4 % it crumbles, above 8 % it glazes."""
        results = (
            (0.02, 0, 5, False),
            (0.03, 1, 5, False),
            (0.05, 4, 5, False),
            (0.06, 6, 4, False),
            (0.09, 9, 1, True),
            (0.11, 9, 0, True),
        )
        return TrialLog(
            tuple(Trial(n, share, 0.03, drops_survived=d, payoff=p, glazes=g) for n, (share, d, p, g) in enumerate(results, 1)),
            "invented",
        )

    def test_the_proposal_lies_between_crumbling_and_glazing(self) -> None:
        proposal = propose(self.log())
        assert 0.045 <= proposal.share.best <= 0.075
        assert proposal.share.low <= proposal.share.best <= proposal.share.high
        assert proposal.holds > 0.6 and proposal.gives > 0.6
        assert "suggestion" in proposal.reason.lower()

    def test_more_evidence_makes_it_surer(self) -> None:
        few = self.log()
        many = TrialLog(tuple(Trial(10 * t.number + k, t.binder_share, payoff=t.payoff, glazes=t.glazes, drops_survived=t.drops_survived)
                              for t in few.trials for k in range(6)))  # fmt: skip
        assert propose(many).holds > propose(few).holds

    def test_one_press_that_held_is_never_followed_by_more(self) -> None:
        """Held at 6.25 %: the next is no stronger, whether or not it gave off."""
        for more in ({}, {"payoff": 4}, {"glazes": False}):
            proposal = propose(TrialLog((Trial(1, 0.0625, drops_survived=5, **more),)))
            assert 0.04 < proposal.share.best <= 0.0625 and proposal.share.high <= 0.0625
            assert "held at 6.25 %" in proposal.reason
        glazed = propose(TrialLog((Trial(1, 0.0625, drops_survived=5, glazes=True),)))
        assert 0.04 < glazed.share.best < 0.0625 and "glazed or gave off badly at 6.25 %" in glazed.reason

    def test_results_of_one_kind_only(self) -> None:
        crumbling = propose(TrialLog((Trial(1, 0.03, crumbles=True), Trial(2, 0.05, crumbles=True))))
        assert 0.05 < crumbling.share.best <= 0.07 and "press harder" in crumbling.reason
        glazing = propose(TrialLog((Trial(1, 0.10, glazes=True), Trial(2, 0.08, glazes=True))))
        assert 0.06 <= glazing.share.best < 0.08
        assert crumbling.gives is None and glazing.holds is None
        assert crumbling.holds is not None and 0 < crumbling.holds < 0.5 and "payoff" in crumbling.reason
        assert "–" in crumbling.to_text()
        gave = propose(TrialLog((Trial(1, 0.05, payoff=5),)))
        assert 0.05 <= gave.share.best <= 0.07
        with pytest.raises(BadValue, match="no trial"):
            propose(TrialLog((Trial(1, 0.05),)))
        with pytest.raises(BadValue, match="'binder' or 'oil'"):
            propose(self.log(), vary="luck")  # type: ignore[arg-type]

    def test_all_held_asks_for_no_more_than_the_least(self) -> None:
        proposal = propose(TrialLog(tuple(Trial(n, n / 100, drops_survived=4) for n in range(3, 9))))
        assert 0.01 <= proposal.share.best <= 0.03 and proposal.share.high <= 0.03

    def test_between_one_that_failed_and_one_that_held(self) -> None:
        proposal = propose(TrialLog((Trial(1, 0.03, drops_survived=0), Trial(2, 0.06, drops_survived=5))))
        assert 0.03 < proposal.share.best <= 0.06
        assert "did not hold at 3 % and held at 6 %" in proposal.reason
        close = propose(TrialLog((Trial(1, 0.03, drops_survived=0), Trial(2, 0.0301, drops_survived=5))))
        assert 0.03 < close.share.best <= 0.0301

    def test_contradictions_are_said_and_stayed_within(self) -> None:
        slip = propose(TrialLog((Trial(1, 0.05, drops_survived=4), Trial(2, 0.06, drops_survived=0))))
        assert 0.05 <= slip.share.best <= 0.06 and "contradict" in slip.reason and "5 % and not at 6 %" in slip.reason
        neither = propose(TrialLog((Trial(1, 0.08, drops_survived=0, payoff=5), Trial(2, 0.06, glazes=True, drops_survived=0))))
        assert 0.06 <= neither.share.best <= 0.08 and "no share of this alone does both" in neither.reason
        one = propose(TrialLog((Trial(1, 0.06, drops_survived=0, glazes=True),)))
        assert one.share == Spread.exact(0.06) and "change the oil" in one.reason

    def test_one_slip_among_many_does_not_decide(self) -> None:
        steady = [Trial(n, n / 200, drops_survived=5 if n >= 8 else 0) for n in range(2, 20)]
        slip = Trial(50, 0.08, drops_survived=0)
        assert propose(TrialLog((*steady, slip))).share.best == pytest.approx(
            propose(TrialLog(tuple(steady))).share.best, abs=0.012
        )
        twice = [Trial(60, 0.05, drops_survived=0), Trial(61, 0.05, drops_survived=5), Trial(62, 0.05, drops_survived=6)]
        assert propose(TrialLog(tuple(twice))).share.best <= 0.05, "two of three held"
        assert propose(TrialLog(tuple(twice[:2]))).share.best > 0.05, "one of two is not held"

    def test_words_count_where_nothing_was_ticked(self) -> None:
        assert propose(TrialLog((Trial(1, 0.05, notes="it crumbled"),))).share.best > 0.05
        assert propose(TrialLog((Trial(1, 0.05, notes="shiny and hard"),))).share.best < 0.05
        soft = propose(TrialLog((Trial(1, 0.05, drops_survived=4, notes="but a bit soft, crumbs at the rim"),)))
        assert 0.055 < soft.share.best <= 0.07, "it held, but its words ask for more"
        much = propose(TrialLog((Trial(1, 0.05, payoff=4, notes="shines a little"),)))
        assert much.share.best <= 0.05 and "began to glaze" in much.reason
        assert propose(TrialLog((Trial(1, 0.05, 0.04, payoff=4, notes="spots of oil"),)), vary="oil").share.best <= 0.04

    @pytest.mark.parametrize("sign", [1, -1])
    def test_likelihoods_and_spread_against_the_same_reckoning_by_arrays(self, sign: int) -> None:
        """All curves turning at 0.25 to 40 %, of five widths, weighed by exp(-m / 6 %) and by how well they explain the results."""
        import numpy as np

        results = ((0.03, False), (0.04, False), (0.08, True), (0.12, True), (0.13, True))
        if sign > 0:
            log = TrialLog(tuple(Trial(n, share, crumbles=not good) for n, (share, good) in enumerate(results)))
        else:
            results = tuple((share, not good) for share, good in results)
            log = TrialLog(tuple(Trial(n, share, glazes=not good) for n, (share, good) in enumerate(results)))
        turns = np.arange(1, 161)[:, None] * 0.0025
        widths = np.array([0.0025, 0.005, 0.01, 0.02, 0.04])[None, :]
        weight = np.exp(-turns / 0.06) * np.ones_like(widths)
        for share, good in results:
            chance = 0.02 + 0.96 / (1 + np.exp(np.clip(-sign * (share - turns) / widths, -60, 60)))
            weight = weight * (chance if good else 1 - chance)
        weight = weight / weight.sum()
        for share in (0.02, 0.05, 0.055, 0.2):
            wanted = float((weight / (1 + np.exp(np.clip(-sign * (share - turns) / widths, -60, 60)))).sum())
            ((hold, give),) = likelihoods(log, [share])
            assert (hold if sign > 0 else give) == pytest.approx(wanted, abs=1e-6)
        proposal = propose(log)
        likely = proposal.holds if sign > 0 else proposal.gives
        assert likely is not None and likely >= 2 / 3
        step = 0.001
        ((hold, give),) = likelihoods(log, [proposal.share.best - sign * step])
        beyond = hold if sign > 0 else give
        assert beyond is not None and beyond < 2 / 3, "the first share that is likely enough"
        summed = np.cumsum(weight.sum(axis=1))
        quarter, three = (float(turns[np.argmax(summed >= q), 0]) for q in (0.25, 0.75))
        half = (three - quarter) / 2
        low, high = (0.04, 0.08)  # what failed and what held (or gave, and glazed) bound it
        assert proposal.share.low == pytest.approx(max(low, proposal.share.best - half))
        assert proposal.share.high == pytest.approx(min(high, proposal.share.best + half))

    def test_the_spread_where_no_bound_cuts_it(self) -> None:
        """Failed at 2 %, held at 30 %: far apart, so that the spread is the middle half of where the curve may turn."""
        wide = propose(TrialLog((Trial(1, 0.02, crumbles=True), Trial(2, 0.30, crumbles=False))))
        assert 0.02 < wide.share.low < wide.share.best < wide.share.high < 0.30
        assert wide.share.high - wide.share.best == pytest.approx(wide.share.best - wide.share.low)
        many = [Trial(n, 0.02, crumbles=True) for n in range(5)] + [Trial(n, 0.30, crumbles=False) for n in range(5, 10)]
        near = [Trial(20, 0.07, crumbles=True), Trial(21, 0.09, crumbles=False)]
        narrow = propose(TrialLog((*many, *near)))
        assert narrow.share.high - narrow.share.low < wide.share.high - wide.share.low

    def test_what_else_differs_is_said(self) -> None:
        assert "differ" not in propose(self.log()).reason
        mixed = TrialLog((Trial(1, 0.03, 0.02, 3.0, drops_survived=1), Trial(2, 0.05, 0.03, 5.0, drops_survived=4)))
        assert "also differ in oil and pressure" in propose(mixed).reason
        assert "also differ in binder and pressure" in propose(mixed, vary="oil").reason

    @given(
        st.lists(
            st.tuples(
                st.integers(0, 400), st.sampled_from([None, 0, 2, 3, 9]), st.sampled_from([None, True, False]),
                st.sampled_from([None, 0, 3, 5]), st.sampled_from(["", "soft", "glazed", "spots"]),
            ),
            min_size=1, max_size=12,
        ),
        st.sampled_from(["binder", "oil"]),
        st.randoms(),
    )  # fmt: skip
    @settings(deadline=None)
    def test_a_proposal_keeps_its_bounds(
        self, entries: list[tuple[int, int | None, bool | None, int | None, str]], vary: str, order: random.Random
    ) -> None:
        """Above all that failed and not above what held, wherever the results allow both; never far from what was tried."""
        trials = [
            Trial(n, *((s / 1000, 0.03) if vary == "binder" else (0.05, s / 1000)), None, drops, crumbles, payoff, None, notes)
            for n, (s, drops, crumbles, payoff, notes) in enumerate(entries)
        ]
        if all(t.held() is None and t.gave() is None and not t.notes for t in trials):
            return
        try:
            proposal = propose(TrialLog(tuple(trials)), vary)  # type: ignore[arg-type]
        except BadValue as error:
            assert "no trial" in str(error)
            return
        share = {t.number: t.binder_share if vary == "binder" else t.oil_share for t in trials}
        assert 0 <= proposal.share.low <= proposal.share.best <= proposal.share.high < 0.43
        assert min(share.values()) - 0.0200001 <= proposal.share.best <= max(share.values()) + 0.0200001
        shuffled = list(trials)
        order.shuffle(shuffled)
        assert propose(TrialLog(tuple(shuffled)), vary).share.best == pytest.approx(proposal.share.best)  # type: ignore[arg-type]
        votes: dict[float, int] = {}
        for t in trials:
            if t.held() is not None:
                votes[share[t.number]] = votes.get(share[t.number], 0) + (1 if t.held() else -1)
        wordless = all(not t.notes for t in trials)
        stood, failed = [s for s, v in votes.items() if v > 0], [s for s, v in votes.items() if v <= 0]
        if wordless and all(t.gave() is not False for t in trials) and not (stood and failed and min(stood) <= max(failed)):
            assert all(proposal.share.best > s for s in failed)
            assert all(proposal.share.best <= s for s in stood)

    def test_log_in_a_file(self) -> None:
        log = self.log()
        assert TrialLog.from_json(log.to_json()) == log
        changed = log.add(Trial(2, 0.03, payoff=3))
        assert len(changed.trials) == len(log.trials) and changed.trials[1].payoff == 3
        for broken in ("", "{}", '{"name": "", "trials": [{"number": 1, "binder_share": 0.1, "colour": "red"}]}'):
            with pytest.raises(BadValue):
                TrialLog.from_json(broken)
        for wrong in ({"binder_share": 1}, {"binder_share": 0.1, "payoff": 6}, {"binder_share": 0.1, "pressure": -2}):
            with pytest.raises(BadValue, match="trial 1"):
                Trial(1, **wrong)  # type: ignore[arg-type]

    def test_the_table_of_trials(self) -> None:
        log = TrialLog((Trial(3, 0.045, 0.03, 5.5, 2, True, 4, False, "crumbs at the rim"), Trial(4, 0.05)), "invented")
        soft = next(f for f in faults_in("soft") if f.id == "soft")
        columns = ["number", "binder", "oil", "pressure", "drops", "crumbles", "payoff", "glazes", "notes", "remedies"]
        frame = log.to_frame()
        assert list(frame.columns) == columns
        assert frame.iloc[0].tolist() == [3, 4.5, 3.0, 5.5, 2, True, 4, False, "crumbs at the rim", soft.remedy]
        assert frame.iloc[1].tolist()[:3] == [4, 5.0, 0.0] and frame.iloc[1]["notes"] == frame.iloc[1]["remedies"] == ""
        text = log.to_text()
        assert text.startswith("Trials: invented\n") and TrialLog().to_text().startswith("Trials\n")
        for head in (
            "Trial",
            "Binder, %",
            "Oil, %",
            "MPa",
            "Drops stood",
            "Crumbles",
            "Payoff, 0 to 5",
            "Glazes",
            "Notes",
            "What to try",
        ):
            assert head in text
        assert log.trials[0].to_frame().iloc[0].tolist() == frame.iloc[0].tolist() and log.trials[0].to_text().startswith(
            "Trial 3\n"
        )

    def test_the_table_of_a_ladder(self) -> None:
        rungs = ladder(Composition.of([("talc", 1)], "plain"), 0.05, 2, 10, Balance(0.01, 0.2), step=0.02, oil=None)
        frame = rungs.to_frame()
        assert list(frame.columns) == ["number", "binder", "oil", "weighings"]
        assert frame.values.tolist() == [
            [1, pytest.approx(4.0), 0.0, "plain: 9.6 g; magnesium stearate: 0.4 g"],
            [2, pytest.approx(6.0), 0.0, "plain: 9.4 g; magnesium stearate: 0.6 g"],
        ]
        text = rungs.to_text()
        assert (
            text.startswith("Trial ladder: binder varied\n")
            and "Binder, % of the cake" in text
            and "Oil, % of the cake" in text
            and "Weigh" in text
        )
        assert rungs.steps[1].to_frame().values.tolist() == frame.values.tolist()[1:] and rungs.steps[1].to_text().startswith(
            "Trial 2\n"
        )
        assert rungs.powder_grams == pytest.approx(1.1 * 19.0) and rungs.log.name == "plain"
        small = ladder(press(powder()), 0.05, 1, 3, Balance(0.01, 0.2))
        assert "as " in small.to_frame()["weighings"][0] and "of its mixture with" in small.to_frame()["weighings"][0]
        warned = ladder(press(powder()), 0.2, 1, 10).to_text()
        assert "lies outside what is known" in warned

    def test_a_proposal_as_a_table(self) -> None:
        proposal = propose(self.log())
        frame = proposal.to_frame()
        assert frame.iloc[0].tolist() == [
            str(proposal.share * 100),
            pytest.approx(100 * proposal.holds),
            pytest.approx(100 * proposal.gives),
        ]  # type: ignore[operator]
        text = proposal.to_text()
        for head in (
            "Suggestion for the next trial",
            "Try, % of the cake",
            "Likely to hold, %",
            "Likely to give off, %",
            "common practice, no source",
        ):
            assert head in text

    def test_a_log_that_is_none_is_told(self) -> None:
        with pytest.raises(
            BadValue, match="a trial has no colour; it has binder_share, crumbles, drops_survived, glazes, notes, number"
        ):
            TrialLog.from_json('{"name": "", "trials": [{"number": 1, "binder_share": 0.1, "colour": "red"}]}')
        with pytest.raises(BadValue, match="not a trial log that histkit wrote"):
            TrialLog.from_json('{"trials": []}')
        assert TrialLog.from_json('{"name": "x ℥", "trials": []}') == TrialLog((), "x ℥")
        assert "℥" in TrialLog((), "x ℥").to_json()

    def test_held_and_gave(self) -> None:
        assert Trial(1, 0.05).held() is None and Trial(1, 0.05).gave() is None
        assert Trial(1, 0.05, drops_survived=3).held() and not Trial(1, 0.05, drops_survived=2).held()
        assert not Trial(1, 0.05, drops_survived=9, crumbles=True).held()
        assert Trial(1, 0.05, payoff=3).gave() and not Trial(1, 0.05, payoff=5, glazes=True).gave()

    @pytest.mark.parametrize(
        ("words", "faults"),
        [
            ("it crumbles at the edge", {"soft"}),
            ("Shiny; the cap lifts off", {"glaze", "laminate"}),
            ("fine cake, no cracks", set()),
            ("dark spots of oil", {"spots"}),
            ("came out well", set()),
            ("no payoff at all", {"glaze"}),
            ("cracked while drying", {"drying"}),
        ],
    )
    def test_faults_from_words(self, words: str, faults: set[str]) -> None:
        assert {f.id for f in faults_in(words)} == faults

    def test_a_trial_gets_its_remedies(self) -> None:
        assert {f.id for f in Trial(1, 0.05, crumbles=True, glazes=True, notes="oily patches").faults()} == {
            "soft",
            "glaze",
            "spots",
        }
        assert "kaolin" in TrialLog((Trial(1, 0.05, crumbles=True),)).to_text()


def test_times_in_words() -> None:
    def timing(seconds: tuple[int, int] | None, rounds: int = 1) -> str:
        return ProcessStep("x", "blend", "x", seconds, rounds, "", "common practice", "no source").timing()

    assert [timing(s) for s in ((2, 5), (20, 59), (59, 120), (60, 180), (90, 150), (86399, 90000))] == [
        "2 to 5 s", "20 to 59 s", "59 to 120 s", "1 to 3 min", "1.5 to 2.5 min", "1,440 to 1,500 min",
    ]  # fmt: skip
    assert timing((100, 200)) == "1.7 to 3.3 min" and timing((100000, 200000)) == "1.2 to 2.3 days"
    assert timing((86400, 172800)) == "1 to 2 days" and timing((30, 30)) == "30 s" and timing((120, 120)) == "2 min"
    assert timing((20, 40), 2) == "20 to 40 s × 2" and timing((20, 40), 3).endswith("× 3") and timing(None, 3) == ""


def test_every_step_says_what_and_where_from() -> None:
    for step in process_steps():
        assert step.step and step.source == "no source" and step.rounds in (1, 3)
        row = step.to_frame().iloc[0]
        assert row.tolist() == [step.stage, step.step, step.timing(), step.detail, "common practice, no source"]
    assert {s.id: s.rounds for s in process_steps()}["oil"] == 3 and any(s.detail for s in process_steps())


def test_steps_at_the_bench() -> None:
    steps = process_steps()
    assert steps[0].id == "tools" and steps[-1].id == "patch"
    by_id = {s.id: s for s in steps}
    assert by_id["blend"].seconds == (20, 40) and by_id["rest"].timing() == "1.5 to 2.5 min"
    assert all(s.mark == "common practice" for s in steps)
    assert {s.stage for s in process_steps("press")} == {"press"}
