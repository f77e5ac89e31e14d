"""What a base usually takes, and what is proposed where too little is known."""

from __future__ import annotations

import pytest

import histkit as hk
from histkit import glossary
from histkit.base.bibliography import sourced
from histkit.base.tables import words
from histkit.bench.binders import oil_from_absorption, usual_oil
from histkit.bench.levels import fence
from histkit.bench.profiles import base_profile
from histkit.composing.composition import Composition


def powder(**parts: float) -> Composition:
    return Composition.of([(key.replace("_", "-"), grams) for key, grams in parts.items()], "invented powder")


@pytest.mark.parametrize(
    ("parts", "profile"),
    [
        ({"talc": 80, "kaolin": 20}, "talc"),
        ({"mica": 40, "talc": 60}, "mica"),
        ({"rice_starch": 60, "talc": 40}, "starch"),
        ({"magnesium_carbonate": 20, "talc": 80}, "magnesia"),
        ({"calcium_carbonate_precipitated": 50, "kaolin": 20, "zinc_oxide": 30}, "chalk"),
        ({"kaolin": 35, "talc": 65}, "kaolin"),
        ({"zinc_oxide": 50, "kaolin": 25, "orris_root": 25}, "talc-free"),
        ({"talc": 30, "zinc_oxide": 50, "orris_root": 20}, None),
    ],
)
def test_the_sort_of_a_powder(parts: dict[str, float], profile: str | None) -> None:
    found = base_profile(powder(**parts))
    assert (found and found.id) == profile
    if found is not None:
        assert found.source and found.binder.high <= fence("dry").high and found.oil.high <= fence("liquid").high
        assert f"powder {found.words}" in found.text() and "%" in found.text()


def test_the_published_levels_by_hand() -> None:
    """Schlossman and Feldman 1971: Table III 1.5 to 3 % stearate, 2.5 to 3 % oil; Table IX 5 to 10, 5 to 6 %; Table I 5, 5 %."""
    talc, mica, kaolin = (base_profile(powder(**p)) for p in ({"talc": 1}, {"mica": 1}, {"kaolin": 1}))
    assert talc is not None and (talc.binder.low, talc.binder.best, talc.oil.low, talc.oil.best) == (0.015, 0.03, 0.025, 0.03)
    assert mica is not None and (mica.binder.low, mica.binder.high, mica.oil.low, mica.oil.high) == (0.05, 0.10, 0.05, 0.06)
    assert kaolin is not None and (kaolin.binder.best, kaolin.oil.best) == (0.05, 0.05)


def test_no_oil_is_proposed_from_five_per_cent_of_the_facts() -> None:
    """95 % of what nothing is known of and 5 % of magnesia: not 13.5 g of oil, but what such a powder usually takes."""
    mixed = powder(potato_starch=95, magnesium_carbonate=5)
    assert oil_from_absorption(mixed) is None
    spread, words = usual_oil(mixed)
    assert spread.high <= 0.06 and "no oil absorption is known of potato starch (95 % of the powder)" in words
    pressed = hk.press(mixed, oil_share=None)
    share = next(b.share for b in pressed.binders if b.kind == "liquid")
    assert share == pytest.approx(0.04) and any("95 % of the powder" in note for note in pressed.notes)
    known = powder(talc=95, magnesium_carbonate=5)
    proposal = oil_from_absorption(known)
    assert proposal is not None and proposal.best == pytest.approx(0.1 * (0.95 * 38 + 0.05 * 135) / 100)


def test_what_dries_off_says_nothing_of_the_base() -> None:
    record = hk.Record(text="Talc, 4 oz.\nSpirit of wine, 8 oz.", pressing=None)
    base = record.base()
    assert base is not None and base.id == "talc" and base.share == pytest.approx(1)


@pytest.mark.parametrize("table", ["binder_levels", "binder_groups", "base_profiles"])
def test_every_binder_and_filler_of_the_tables_is_an_ingredient(table: str) -> None:
    columns = ("ingredients", "levels")
    named = {key for row in sourced(f"bench/{table}") for column in columns if column in row for key in words(row, column)}
    assert named and named <= set(glossary.ingredients)


def test_coated_mica_is_a_filler_of_its_own() -> None:
    profile = base_profile(Composition.of([("titanium-coated-mica", 50), ("kaolin", 50)]))
    assert profile is not None and profile.id == "mica"
