"""Published levels beside the choice: what is outside is a warning."""

from __future__ import annotations

import pytest
from bench_ingredients import made

from histkit.base.grid import Grid
from histkit.bench.levels import levels
from histkit.bench.pressing import PressedFormula, press
from histkit.bench.steps import process_steps
from histkit.composing.composition import Composition

pytestmark = pytest.mark.usefixtures("cupboard")


def powder() -> Composition:
    """An invented powder without any binder."""
    return Composition.of([("talc", 70), ("kaolin", 20), ("zinc-oxide", 10)], "invented powder")


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
        assert "Sort of cake" in dry[0].to_markdown() and "From %" in dry[0].to_markdown()

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
            and "the powder already holds 4 % of magnesium stearate: this is counted" in " ".join(text.split())
        )
        for head in ("Ingredient", "In the powder, %", "Add to 100 g of powder, g", "In the cake, %"):
            assert head in pressed.to_markdown()
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
