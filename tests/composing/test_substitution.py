"""Ranked stand-ins, wishes and what taking one does."""

from __future__ import annotations

import math
from collections.abc import Iterator

import pytest
from bench_ingredients import CUPBOARD, DUST, LIMITED, as_glossary, made

from histkit.base import tables
from histkit.base.errors import BadValue, UnknownName
from histkit.base.nouns import Spread
from histkit.composing.blending import solve_blend
from histkit.composing.composition import Composition
from histkit.composing.substitution import Suggestion, _distance, substitutes
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
            assert [len(half.findings(product)) for product in ("face-powder", "pomade", "soap")] == [1, 1, 0]
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


def test_how_far_apart_two_values_are() -> None:
    """By contrast with air for the refractive index, by steps of three for pH, else by ratio: as the docstring says."""
    assert _distance("refractive-index", Spread.exact(1.5), Spread.exact(1.75)) == pytest.approx(0.5)
    assert _distance("refractive-index", Spread.exact(2.0), Spread.exact(1.5)) == pytest.approx(0.5)
    assert _distance("ph", Spread.exact(7.0), Spread.exact(10.0)) == pytest.approx(1)
    assert _distance("density", Spread.exact(1.0), Spread.exact(math.e)) == pytest.approx(1)
    assert _distance("density", Spread.exact(2.0), Spread.exact(1.0)) == pytest.approx(math.log(2))
