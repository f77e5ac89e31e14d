"""Blends: shares solved to keep cover, oil take-up and bulk."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from bench_ingredients import as_glossary
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden
from histkit.composing.blending import Blend, solve_blend
from histkit.composing.composition import Composition
from histkit.composing.effects import AIR, OIL, oil_absorption, opacity


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


def complexion() -> Composition:
    """An invented powder with white lead in it."""
    return Composition.of([("talc", 50), ("lead-carbonate", 25), ("rice-starch", 20), ("orris-root", 5)], "invented powder")


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

    def test_what_the_composition_holds_already_counts_towards_a_bound(self) -> None:
        """15 % of zinc oxide stand in it: of a bound of 18 % only 3 % are left, however much cover more of it would give."""
        start = Composition.of([("talc", 60), ("zinc-oxide", 15), ("lead-carbonate", 25)])
        free = solve_blend(start, "lead-carbonate", ["zinc-oxide", "talc"], keep=["opacity"])
        assert free.composition.share("zinc-oxide") > 0.2
        bound = solve_blend(start, "lead-carbonate", ["zinc-oxide", "talc"], keep=["opacity"], bounds={"zinc-oxide": (0, 0.18)})
        assert bound.composition.share("zinc-oxide") == pytest.approx(0.18, abs=1e-9)
        assert any("no more than 0.18" in words for words in bound.at_bounds)
        least = solve_blend(start, "lead-carbonate", ["zinc-oxide", "talc"], keep=["opacity"], bounds={"talc": (0.8, 1)})
        assert least.composition.share("talc") == pytest.approx(0.8, abs=1e-9)
