"""The dry basis of a cake, by hand: what dries off is no part of it, and what is no powder is told so."""

from __future__ import annotations

import pytest

from histkit import glossary
from histkit.base.errors import Forbidden
from histkit.bench.batching import Batch, batch
from histkit.bench.drying import dry_basis, stays
from histkit.bench.pressing import PressedFormula, press
from histkit.composing.composition import Composition


def of(**parts: float) -> Composition:
    """A composition of these grams; underscores stand for hyphens."""
    return Composition.of([(key.replace("_", "-"), grams) for key, grams in parts.items()], "invented powder")


def test_a_powder_stays_as_it_is() -> None:
    powder = of(talc=70, kaolin=20, zinc_oxide=10)
    assert dry_basis(powder).dry is powder and dry_basis(powder).warnings == ()
    assert press(powder).basis is None and press(powder).powder is powder


def test_spirit_and_rose_water_are_no_part_of_the_cake() -> None:
    """39 % spirit and 24 % rose water leave 20 parts of zinc oxide and 17 of starch: 20/37 and 17/37 of the dry mass."""
    pressed = press(of(rectified_spirit=39, rose_water=24, zinc_oxide=20, rice_starch=17), None, oil=None)
    shares = {p.ingredient.id: p.share for p in pressed.composition.parts}
    assert shares == {"zinc-oxide": pytest.approx(20 / 37, abs=1e-4), "rice-starch": pytest.approx(17 / 37, abs=1e-4)}
    told = " ".join(pressed.warnings)
    assert "no powder but a wash: 63 % of it dries off" in told and "leave the liquid out" in told
    assert "10 to 30 g of that liquid for 100 g of powder" in told and "more than a powder takes" not in told, "said once"
    # as much as a powder takes, in the book's proportion
    poured = pressed.wetting_grams(100)
    assert sum(poured.values()) == pytest.approx(30)
    assert poured["rectified-spirit"] / poured["rose-water"] == pytest.approx(39 / 24)


def test_the_binder_is_a_share_of_the_dry_cake() -> None:
    pressed = press(of(talc=90, rose_water=10), binder_share=0.05, oil=None)
    assert pressed.composition.share("magnesium-stearate") == pytest.approx(0.05)
    assert pressed.additions(95) == {"magnesium-stearate": pytest.approx(5)}
    assert not any("no powder" in warning for warning in pressed.warnings)
    assert pressed.wetting_grams(90) == {"rose-water": pytest.approx(10, rel=1e-3)}
    assert any("grows mould" in warning and "safety assessor" in warning for warning in pressed.warnings)


def test_gum_in_solution_counts_by_its_solids() -> None:
    """10 g of mucilage with 35 % of gum in 90 g of talc leave 3.5 g of gum in 93.5 g; 6.5 g of water dry off."""
    pressed = press(of(talc=90, acacia_mucilage=10), None, oil=None)
    assert pressed.composition.share("gum-arabic") == pytest.approx(3.5 / 93.5)
    assert pressed.wetting_grams(93.5) == {"water": pytest.approx(6.5)}
    (note,) = [n for n in pressed.notes if "acacia mucilage" in n]
    assert "35 % gum arabic" in note and "pour acacia mucilage in their place" in note


def test_a_tincture_leaves_its_resin_and_its_spirit_is_no_water() -> None:
    pressed = press(of(talc=95, myrrh_tincture=5), None, oil=None)
    assert pressed.composition.share("myrrh") == pytest.approx(1 / 96)
    assert pressed.wetting_grams(96) == {"alcohol": pytest.approx(4)}
    assert pressed.warnings == ()


def test_what_a_perfume_leaves_is_told_with_its_range() -> None:
    pressed = press(of(talc=95, violet_extract=5), None, oil=None)
    assert [p.ingredient.id for p in pressed.composition.parts] == ["talc"]
    (note,) = [n for n in pressed.notes if "no part of the cake" in n]
    assert "not counted" in note and " to " in note


@pytest.mark.parametrize(
    ("parts", "sort"),
    [
        ({"alcohol": 85, "water": 12, "lavender-oil": 3}, "a perfume or tincture"),
        ({"rose-water": 80, "zinc-oxide": 20}, "a wash"),
        ({"lanolin": 70, "zinc-oxide": 30}, "a cream or salve"),
        ({"sweet-almond-oil": 90, "zinc-oxide": 10}, "an oil or liniment"),
    ],
)
def test_what_is_no_powder_is_told_what_it_is_and_what_to_do(parts: dict[str, float], sort: str) -> None:
    (told,) = [w for w in press(Composition.of(parts), None, oil=None).warnings if "no powder" in w]
    assert f"no powder but {sort}:" in told and ("press" in told.casefold() or "leave" in told.casefold())


def test_a_wax_is_no_powder_and_a_salve_without_powder_has_nothing_to_press() -> None:
    (told,) = [w for w in press(of(beeswax_white=13, sweet_almond_oil=48, rose_water=39)).warnings if "no powder" in w]
    assert "no powder but a cream or salve: 39 % of it dries off, and 0 % of what stays is powder" in told
    assert "There is no powder in it to press" in told and "press its powders" not in told


def test_nothing_but_spirit_is_told() -> None:
    (told,) = press(of(alcohol=90, water=10), None, oil=None).warnings
    assert told.startswith("There is no powder in this, only alcohol, water") and "choose a powder" in told


def test_what_must_not_be_used_is_never_dried_away() -> None:
    """It stays in the cake, so that the bench refuses it."""
    pressed = press(of(talc=50, opium_tincture=50))
    assert "opium-tincture" in pressed.composition
    with pytest.raises(Forbidden, match="opium"):
        batch(pressed, 60)


def test_no_forbidden_ingredient_dries() -> None:
    for ingredient in glossary.ingredients.values():
        if ingredient.forbidden:
            assert stays(ingredient)[0].low == 1, ingredient.id


def test_water_that_stays_asks_for_a_preservative() -> None:
    moist = press(of(talc=80, honey=20), None, oil=None)
    assert any("water stays" in warning and "preservative" in warning for warning in moist.warnings)
    kept = press(of(talc=79, honey=20, sodium_benzoate=1), None, oil=None)
    assert not any("water stays" in warning for warning in kept.warnings)


def test_the_maker_wets_with_something_else() -> None:
    pressed = press(of(talc=90, rose_water=10), wetting="alcohol")
    assert [i.id for i, _ in pressed.wetting] == ["alcohol"]
    assert any("rose water of the formula is left out" in note for note in pressed.notes)


def test_it_comes_back_from_json_and_goes_onto_the_sheet() -> None:
    pressed = press(of(talc=85, rose_water=10, acacia_mucilage=5))
    assert PressedFormula.from_json(pressed.to_json()) == pressed
    made = batch(pressed, 60)
    assert Batch.from_json(made.to_json()).warnings == made.warnings
    sheet = made.to_markdown()
    assert "Wet it" in sheet and "of rose water" in sheet.replace("\u00a0", " ") and "grows mould" in sheet
    assert sum(w.grams for w in made.weighings) == pytest.approx(60)


def test_a_salve_is_melted_and_takes_up_its_water_before_the_scent() -> None:
    made = batch(Composition.of([("beeswax-white", 13), ("sweet-almond-oil", 47), ("rose-water", 39), ("rose-oil", 1)]), 100)
    steps = [step for step in made.bench_sheet().steps if step.puts]
    assert [step.puts[0][0] for step in steps] == ["white beeswax", "sweet almond oil", "rose water", "rose oil"]
    assert (
        steps[0].step.startswith("Melt gently over hot water: white beeswax 13.00 g")
        and steps[0].vessel == "In the vessel: 13.00 g"
    )
    assert not any("dust mask" in step.step for step in made.bench_sheet().steps)


def test_a_spirit_dissolves_the_scent_before_water_weakens_it() -> None:
    made = batch(Composition.of([("alcohol", 85), ("orange-flower-water", 12), ("bergamot-oil", 3)]), 100)
    assert [step.puts[0][0] for step in made.bench_sheet().steps if step.puts] == [
        "alcohol",
        "bergamot oil",
        "orange flower water",
    ]
