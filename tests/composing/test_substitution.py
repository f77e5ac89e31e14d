"""What stands in for an ingredient: curated answers first, never a forbidden one, limits and wishes respected, blends solved."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from bench_ingredients import CUPBOARD, DUST, LIMITED, as_glossary, made
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base import tables
from histkit.base.errors import BadValue, Forbidden, UnknownName
from histkit.composing.blending import Blend, solve_blend
from histkit.composing.composition import Composition
from histkit.composing.effects import AIR, OIL, oil_absorption, opacity
from histkit.composing.substitution import Suggestion, substitutes
from histkit.glossary.nouns import Caution


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


def ids(suggestions: tuple[Suggestion, ...]) -> set[str]:
    return {key for s in suggestions for key, _ in s.parts}


def complexion() -> Composition:
    """An invented powder with white lead in it."""
    return Composition.of([("talc", 50), ("lead-carbonate", 25), ("rice-starch", 20), ("orris-root", 5)], "invented powder")


class TestRanking:
    def test_curated_first_then_computed(self) -> None:
        found = substitutes("lead-carbonate")
        assert [s.curated for s in found] == sorted((s.curated for s in found), reverse=True)
        assert found[0].mapping == {"zinc-oxide": 0.7, "titanium-dioxide": 0.3}
        assert found[0].option == "zinc and titanium whites"
        assert [s.score for s in found if not s.curated] == sorted((s.score for s in found if not s.curated), reverse=True)
        nearest = next(s for s in found if not s.curated)
        assert nearest.parts == (("zinc-oxide", 1.0),)  # same roles, nearly the same index and oil absorption
        assert "opacity" in nearest.reason and "refractive index" in nearest.reason
        assert all(s.reason and s.source and s.replaced == "lead-carbonate" for s in found)

    @pytest.mark.parametrize("key", sorted(CUPBOARD))
    def test_never_a_forbidden_one_nor_itself(self, key: str) -> None:
        offered = ids(substitutes(key, limit=100))
        assert not offered & {"lead-carbonate", "bloom-of-youth", key}

    def test_a_liquid_never_stands_in_for_a_powder(self) -> None:
        for key in ("talc", "orris-root", "carmine"):
            assert all(not CUPBOARD[i].liquid for i in ids(substitutes(key, limit=100)))
        assert "lavender-oil" in ids(substitutes("rose-oil"))

    def test_what_is_not_known_is_said(self) -> None:
        bismuth = next(s for s in substitutes("lead-carbonate") if s.parts == (("bismuth-oxychloride", 1.0),))
        assert "no value to compare for refractive index" in bismuth.reason

    def test_role_asks_for_what_does_this_work(self) -> None:
        for s in substitutes("talc", role="absorbency", limit=100):
            assert any(CUPBOARD[key].has_role("absorbency") for key, _ in s.parts)
        assert all(s.parts for s in substitutes("lead-carbonate", role="opacity"))  # 'leave out' covers nothing
        assert substitutes("lead-carbonate", role="solvent") == ()

    def test_limit(self) -> None:
        assert len([s for s in substitutes("talc", limit=2) if not s.curated]) == 2


class TestWishes:
    @pytest.mark.parametrize(
        ("ingredient", "avoid", "gone", "stays"),
        [
            ("kaolin", "starch", {"rice-starch"}, {"talc"}),
            ("kaolin", ("talc",), {"talc"}, {"rice-starch"}),
            ("iron-oxide-red", ("talc",), {"rouge-base"}, {"carmine"}),
            ("almond-oil", "nut", set(), {"jojoba-oil"}),
            ("jojoba-oil", ["nut"], {"almond-oil"}, set()),
            ("iron-oxide-red", "animal", {"carmine", "rouge-base"}, {"titanium-dioxide"}),
            ("rose-oil", "fragrance", {"lavender-oil"}, set()),
            ("rice-starch", "mineral", {"talc", "kaolin", "sericite"}, {"magnesium-carbonate"}),
            ("lead-carbonate", "zinc-oxide", {"zinc-oxide"}, {"titanium-dioxide"}),
        ],
    )
    def test_avoiding(self, ingredient: str, avoid: str | tuple[str, ...], gone: set[str], stays: set[str]) -> None:
        without, offered = ids(substitutes(ingredient, limit=100)), ids(substitutes(ingredient, avoid=avoid, limit=100))
        assert gone <= without and not gone & offered
        assert stays <= offered

    @pytest.mark.parametrize(
        ("word", "tag"),
        [("animal-derived", "animal"), ("nut oils", "nut"), ("Starches", "starch"), ("perfume", "fragrance"), ("dyes", "colour")],
    )
    def test_other_words_for_the_same_wish(self, word: str, tag: str) -> None:
        for ingredient in ("kaolin", "jojoba-oil", "iron-oxide-red", "rose-oil"):
            assert substitutes(ingredient, avoid=word, limit=100) == substitutes(ingredient, avoid=tag, limit=100)

    def test_every_other_word_leads_to_a_tag(self) -> None:
        tags = {row["tag"] for row in tables.read("composing/avoid_tags")}
        assert {row["tag"] for row in tables.read("composing/avoid_words")} <= tags
        assert not tags & {row["word"] for row in tables.read("composing/avoid_words")}

    @pytest.mark.parametrize(
        ("wish", "near"),
        [
            ({"market": "Atlantis"}, "EU"),
            ({"form": "presed"}, "pressed"),
            ({"role": "opacty"}, "opacity"),
            ({"have": ["talk"]}, ""),
        ],
    )
    def test_a_wish_that_nothing_could_fit_is_told(self, wish: dict[str, object], near: str) -> None:
        with pytest.raises(UnknownName) as unknown:
            substitutes("kaolin", **wish)  # type: ignore[arg-type]
        assert not near or near in unknown.value.near
        assert len(set(unknown.value.near)) == len(unknown.value.near)

    def test_what_stays_on_the_skin_holds_for_powders(self) -> None:
        """A caution on leave-on products concerns loose and pressed powder, not what is rinsed off."""
        stays = Caution("restricted", "Limited where it stays on the skin.", "test", form="leave-on", limit=0.1)
        lips = Caution("care", "Not for lips.", "test", form="oral")
        white = made("new-white", "chemical", "powder", "opacity", cautions=(stays, lips))
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(CUPBOARD, "new-white", white)
            for form, told in (
                ("pressed", {stays}),
                ("loose", {stays}),
                ("leave-on", {stays}),
                ("rinse-off", set()),
                ("oral", {lips}),
                (None, {stays, lips}),
            ):
                found = next(s for s in substitutes("lead-carbonate", form=form, limit=100) if s.parts == (("new-white", 1.0),))
                assert set(found.cautions) == told, form
            half = Composition.of([(white, 1), ("talc", 1)])
            assert [len(half.over_limits(form=form)) for form in ("pressed", "loose", "leave-on", "rinse-off", "")] == [
                1,
                1,
                1,
                0,
                1,
            ]
            with pytest.raises(BadValue, match="new white is limited to 0.1"):
                solve_blend(complexion(), "lead-carbonate", [white], form="pressed")

    def test_a_word_inside_another_is_not_avoided(self) -> None:
        """'nut' is a tag of whole words: nutmeg, or anything else with those letters in it, is not touched."""
        made_of_letters = made("coconutty-earth", "mineral", "powder", "bulk")
        with pytest.MonkeyPatch.context() as patch:
            patch.setitem(CUPBOARD, made_of_letters.id, made_of_letters)
            assert made_of_letters.id in ids(substitutes("talc", avoid="nut", limit=100))

    def test_an_unknown_word_to_avoid_is_no_silent_wish(self) -> None:
        with pytest.raises(UnknownName) as unknown:
            substitutes("talc", avoid=("starsh",))
        assert "starch" in unknown.value.near
        with pytest.raises(UnknownName):
            substitutes("moon-dust")

    def test_only_what_is_in_the_cupboard(self) -> None:
        found = substitutes("lead-carbonate", have=["zinc-oxide", "talc"])
        assert ids(found) == {"zinc-oxide"}
        assert any(s.parts == () for s in found)  # leaving it out needs nothing

    def test_cautions_of_the_market_and_form(self) -> None:
        whites = substitutes("lead-carbonate", market="EU")[0]
        assert set(whites.cautions) == {DUST, LIMITED}
        assert set(substitutes("lead-carbonate", market="us")[0].cautions) == {DUST}


class TestTaking:
    def test_apply_records_the_choice(self) -> None:
        best = substitutes("lead-carbonate")[0]
        after = best.apply(complexion())
        assert after.forbidden == ()
        assert after.share("zinc-oxide") == pytest.approx(0.175)
        assert after.changes[0].option == best.option and after.changes[0].reason == best.reason

    def test_effects(self) -> None:
        best = substitutes("lead-carbonate")[0]
        alone, inside = best.effects(), best.effects(complexion())
        assert alone["opacity"].after.value is not None and inside["opacity"].after.value is not None
        assert alone["opacity"].after.value.best > inside["opacity"].after.value.best
        out = next(s for s in substitutes("lead-carbonate") if s.option == "leave out")
        assert out.effects(complexion())["opacity"].change is not None
        with pytest.raises(BadValue):
            out.effects()

    def test_as_a_table(self) -> None:
        frame = substitutes("lead-carbonate")[0].to_frame()
        assert frame.loc[0, "parts"] == "0.7 g zinc-oxide, 0.3 g titanium-dioxide"


def solved(**kwargs: object) -> Blend:
    return solve_blend(complexion(), "lead-carbonate", ["zinc-oxide", "titanium-dioxide", "talc"], **kwargs)  # type: ignore[arg-type]


class TestBlend:
    def test_cover_in_oil_and_slip_are_kept_too(self) -> None:
        """Without other wishes: cover dry and oiled, oil take-up, bulk density and slip."""
        blend = solve_blend(complexion(), "lead-carbonate", ["zinc-oxide", "titanium-dioxide"])
        assert {name for name, _ in blend.missed} == {"opacity", "opacity-in-oil", "oil-absorption", "bulk-density", "slip"}
        slippery = solve_blend(complexion(), "talc", ["kaolin", "magnesium-stearate"], keep=["slip"])
        assert dict(slippery.missed)["slip"] < 0, "neither has slip enough"
        oiled = solve_blend(complexion(), "lead-carbonate", ["titanium-dioxide", "rice-starch"], keep=["opacity-in-oil"])
        assert opacity(oiled.composition, OIL).value.best == pytest.approx(opacity(complexion(), OIL).value.best, rel=1e-4)  # type: ignore[union-attr]
        dry = solve_blend(complexion(), "lead-carbonate", ["titanium-dioxide", "rice-starch"], keep=["opacity"])
        assert opacity(dry.composition, AIR).value.best == pytest.approx(opacity(complexion(), AIR).value.best, rel=1e-4)  # type: ignore[union-attr]
        assert dict(dry.parts)["titanium-dioxide"] != pytest.approx(dict(oiled.parts)["titanium-dioxide"], rel=0.02)
        plain = Composition.of([("carmine", 1), ("lead-carbonate", 1)])
        assert any(
            "slip was not kept" in n for n in solve_blend(plain, "lead-carbonate", ["zinc-oxide", "titanium-dioxide"]).notes
        )

    def test_shares_add_up_to_what_was_removed(self) -> None:
        blend = solved()
        assert math.fsum(ratio for _, ratio in blend.parts) == pytest.approx(1)
        assert blend.composition.share("lead-carbonate") == 0
        assert blend.composition.share("rice-starch") == pytest.approx(0.2)
        assert blend.composition.changes[-1].option == "solved blend"

    def test_a_single_quantity_is_met_exactly(self) -> None:
        """With opacity alone to keep and a strong and a weak white, there is a share that keeps it to the last digit."""
        start = complexion()
        blend = solve_blend(start, "lead-carbonate", ["titanium-dioxide", "talc"], keep=("opacity",))
        before, after = opacity(start).value, opacity(blend.composition).value
        assert before is not None and after is not None
        assert after.best == pytest.approx(before.best, rel=1e-4)
        assert abs(dict(blend.missed)["opacity"]) < 1e-4

    def test_it_is_the_best_of_all_shares(self) -> None:
        """Against a fine grid of all shares of three stand-ins: none misses less."""
        blend = solved(keep=("opacity", "oil-absorption"))

        def loss(shares: dict[str, float]) -> float:
            start, after = complexion(), complexion().replace("lead-carbonate", shares)
            miss = 0.0
            for measure in (opacity, oil_absorption):
                old, new = measure(start).value, measure(after).value
                assert old is not None and new is not None
                miss += (new.best / old.best - 1) ** 2
            return miss

        steps = range(21)
        grid = [
            loss({"zinc-oxide": a / 20, "titanium-dioxide": b / 20, "talc": (20 - a - b) / 20})
            for a in steps for b in steps if 0 < 20 - a - b < 20
        ]  # fmt: skip
        assert loss(dict(blend.parts)) <= min(grid) * 1.05 + 1e-6

    def test_bounds_hold_and_are_named(self) -> None:
        blend = solved(bounds={"zinc-oxide": (0.0, 0.05)}, keep=("oil-absorption",))
        assert blend.composition.share("zinc-oxide") <= 0.05 + 1e-9
        assert any("zinc oxide" in words and "0.05" in words for words in blend.at_bounds)

    def test_limits_of_the_law_are_bounds(self) -> None:
        """Zinc oxide is limited to 25 % here; half of the powder is replaced."""
        start = Composition.of([("lead-carbonate", 1), ("talc", 1)])
        blend = solve_blend(start, "lead-carbonate", ["zinc-oxide", "rice-starch"], keep=("opacity",))
        assert blend.composition.share("zinc-oxide") <= 0.25 + 1e-9
        with pytest.raises(BadValue, match=r"Annex III"):
            solve_blend(start, "lead-carbonate", ["zinc-oxide"], keep=("opacity",))

    def test_no_room_says_which_bound_is_in_the_way(self) -> None:
        with pytest.raises(BadValue, match=r"leave room for 0\.15.*zinc oxide.*0\.1 .*titanium dioxide.*0\.05 "):
            solve_blend(
                complexion(), "lead-carbonate", ["zinc-oxide", "titanium-dioxide"],
                bounds={"zinc-oxide": (0, 0.1), "titanium-dioxide": (0, 0.05)},
            )  # fmt: skip
        with pytest.raises(BadValue, match=r"lower bounds ask for 0\.4.*talc"):
            solved(bounds={"talc": (0.7, 1.0), "zinc-oxide": (0.2, 0.25)})

    def test_tolerances_that_cannot_be_met_say_what_is_in_the_way(self) -> None:
        close = {"opacity": 0.01}
        blend = solved(keep=("opacity",), tolerance=close)
        assert abs(dict(blend.missed)["opacity"]) <= 0.01 + 1e-9
        with pytest.raises(BadValue, match=r"opacity within 1 %.*In the way.*talc is held at no less than 0\.74"):
            solved(keep=("opacity",), tolerance=close, bounds={"talc": (0.74, 1.0)})
        with pytest.raises(BadValue, match="not kept"):
            solved(keep=("opacity",), tolerance={"starch": 0.1})

    def test_a_role_or_starch_can_be_kept(self) -> None:
        start = Composition.of([("talc", 60), ("rice-starch", 40)])
        blend = solve_blend(start, "rice-starch", ["sericite", "magnesium-carbonate"], keep=("absorbency",))
        assert dict(blend.parts).get("magnesium-carbonate", 0) == pytest.approx(1, abs=1e-3)
        with pytest.raises(BadValue, match="cannot keep"):
            solve_blend(start, "rice-starch", ["sericite", "kaolin"], keep=("loudness",))

    def test_a_missing_value_is_told(self) -> None:
        blend = solve_blend(complexion(), "lead-carbonate", ["zinc-oxide", "sericite"], keep=("opacity", "bulk-density"))
        assert any("opacity was not kept" in note and "sericite" in note for note in blend.notes)
        with pytest.raises(BadValue, match="nothing is left to keep"):
            solve_blend(complexion(), "lead-carbonate", ["zinc-oxide", "sericite"], keep=("opacity",))

    def test_refusals(self) -> None:
        with pytest.raises(Forbidden):
            solve_blend(complexion(), "talc", ["bloom-of-youth", "kaolin"])
        with pytest.raises(BadValue, match="both removed and"):
            solve_blend(complexion(), "talc", ["talc", "kaolin"])
        with pytest.raises(BadValue, match="at least one stand-in"):
            solve_blend(complexion(), "talc", [])
        with pytest.raises(BadValue, match="none of"):
            solved(bounds={"kaolin": (0, 1)})

    def test_what_is_asked_for_must_make_sense(self) -> None:
        with pytest.raises(BadValue, match="at least one ingredient to remove"):
            solve_blend(complexion(), [], ["zinc-oxide"])
        with pytest.raises(BadValue, match=r"bounds of zinc oxide run 0 ≤ low ≤ high ≤ 1, not 0\.3, 0\.2"):
            solved(bounds={"zinc-oxide": (0.3, 0.2)})
        for wrong in (-0.1, math.inf, math.nan):
            with pytest.raises(BadValue, match="tolerance of opacity is a share, 0 or more"):
                solved(keep=("opacity",), tolerance={"opacity": wrong})

    def test_a_bound_below_what_is_there_already_and_one_above_what_is_replaced(self) -> None:
        """The powder holds 50 % of talc and 25 % of white lead."""
        with pytest.raises(
            BadValue, match=r"talc is held at no more than 0\.4 of the whole, and the composition holds 0\.5 of it already"
        ):
            solved(bounds={"talc": (0.0, 0.4)})
        with pytest.raises(
            BadValue, match=r"no blend fits: zinc oxide is held at no less than 0\.3 of the whole.*only 0\.25 of the whole"
        ):
            solve_blend(
                complexion(),
                "lead-carbonate",
                ["zinc-oxide", "talc"],
                bounds={"zinc-oxide": (0.3, 1.0)},
                form="loose",
                region="US",
            )

    def test_several_bounds_too_narrow_together(self) -> None:
        """Neither figure can be met by lifting the other's tolerance alone: white cover of nothing but starch and chalk."""
        with pytest.raises(BadValue, match=r"opacity within 1 %, oil-absorption within 1 %.*No single bound is to blame"):
            solve_blend(
                complexion(), "lead-carbonate", ["rice-starch", "magnesium-carbonate"],
                keep=("opacity", "oil-absorption"), tolerance={"opacity": 0.01, "oil-absorption": 0.01},
            )  # fmt: skip

    def test_what_is_removed_without_a_value_is_told(self) -> None:
        start = Composition.of([("bismuth-oxychloride", 1), ("talc", 3)])
        blend = solve_blend(start, "bismuth-oxychloride", ["zinc-oxide", "titanium-dioxide"], keep=("bulk-density", "astringent"))
        assert blend.notes == ("bulk-density was not kept: the glossary has no value for bismuth oxychloride.",)
        assert [name for name, _ in blend.missed] == ["astringent"]
        nothing = Composition.of([("bismuth-oxychloride", 1), ("sericite", 3)])
        with pytest.raises(BadValue, match="opacity was not kept: nothing that it rests on is known"):
            solve_blend(nothing, "bismuth-oxychloride", ["zinc-oxide", "titanium-dioxide"], keep=("opacity",))

    def test_several_ingredients_can_go_at_once(self) -> None:
        blend = solve_blend(complexion(), ["lead-carbonate", "rice-starch"], ["zinc-oxide", "kaolin", "talc"])
        assert blend.composition.share("rice-starch") == blend.composition.share("lead-carbonate") == 0
        assert blend.composition.share("talc") >= 0.5

    @settings(max_examples=25, deadline=None)
    @given(
        st.floats(0.01, 0.9),
        st.lists(
            st.sampled_from(["zinc-oxide", "titanium-dioxide", "talc", "kaolin", "rice-starch", "magnesium-carbonate"]),
            min_size=2, max_size=5, unique=True,
        ),
    )  # fmt: skip
    def test_mass_and_limits_hold_for_any_blend(self, lead: float, stand_ins: list[str]) -> None:
        start = Composition.of([("lead-carbonate", lead), ("talc", 1 - lead)])
        blend = solve_blend(start, "lead-carbonate", stand_ins)
        assert math.fsum(p.share for p in blend.composition.parts) == pytest.approx(1, abs=1e-12)
        assert math.fsum(ratio for _, ratio in blend.parts) == pytest.approx(1, abs=1e-9)
        assert blend.composition.share("zinc-oxide") <= 0.25 + 1e-9
