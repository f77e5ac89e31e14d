"""Stand-ins of the glossary: hue, form, law and hazards of what replaces, and the first that is offered."""

from dataclasses import replace
from functools import cache
from itertools import chain

import pytest

import histkit as hk
from histkit import glossary
from histkit.base import tables
from histkit.composing.fitting import NEVER_UNASKED, hues, same_hue
from histkit.composing.substitution import Suggestion
from histkit.glossary.nouns import gravity, worst_level
from histkit.safety.pairs import groups_of
from histkit.safety.within import forbidden_within

GRAVE = [e for e in glossary.ingredients.values() if worst_level(e.cautions) in ("forbidden", "restricted")]


def options(key: str, product: str = "face-powder", **more: object) -> list[str]:
    return [s.option for s in hk.substitutes(key, product=product, **more)]


@pytest.mark.parametrize(
    ("key", "product", "first"),
    [
        ("mercuric-chloride", "wash", "leave out"), ("cantharides", "pomade", "leave out"), ("potassium-permanganate", "wash", "leave out"),
        ("boric-acid", "face-powder", "zinc oxide with talc, in dusting powder"), ("resorcinol", "hair-wash", "leave out"),
        ("boric-acid", "cream", "sodium benzoate, in waters and creams"), ("arsenic-trisulfide", "depilatory", "calcium thioglycolate, as a depilatory"),
        ("arsenic-trisulfide", "face-powder", "yellow iron oxide, as a colour"), ("chlorinated-lime", "wash", "leave out"),
        ("potassium-hydroxide", "face-powder", "sodium bicarbonate to adjust pH"), ("lead-carbonate", "face-powder", "zinc and titanium whites"),
    ],
)  # fmt: skip
def test_the_first_one_is_what_a_cautious_maker_takes(key: str, product: str, first: str) -> None:
    assert options(key, product)[0] == first


@cache
def in_powder(key: str) -> tuple[Suggestion, ...]:
    """The best twelve that are offered for an ingredient in a face powder: worked out once for all tests that look at them."""
    return hk.substitutes(key, product="face-powder", limit=12)


@pytest.mark.parametrize("entry", GRAVE, ids=lambda entry: entry.id)
def test_none_is_worse_than_what_it_replaces(entry: hk.Ingredient) -> None:
    """For every forbidden or limited ingredient: nothing graver, no oxidiser, no scent of an animal, no other hue."""
    for suggestion in in_powder(entry.id):
        for key, _ in suggestion.parts:
            part = glossary.ingredients[key]
            assert gravity(worst_level(part.cautions)) <= gravity(worst_level(entry.cautions)), suggestion.option
            assert not forbidden_within(part) and not NEVER_UNASKED & groups_of(part), suggestion.option
            assert suggestion.curated or same_hue(entry, part), suggestion.option


def test_every_grave_ingredient_has_an_answer_for_some_product() -> None:
    for entry in GRAVE:
        elsewhere = (s for p in ("wash", "depilatory", "soap") for s in hk.substitutes(entry, product=p))
        assert any(s.curated for s in chain(in_powder(entry.id), elsewhere)), entry.id


def test_what_explodes_beside_the_rest_is_not_offered() -> None:
    sugar = [glossary.ingredients["sugar"], glossary.ingredients["charcoal"]]
    for suggestion in hk.substitutes("salicylic-acid", role="antiseptic", beside=sugar, limit=40):
        assert not any("chlorate" in groups_of(glossary.ingredients[key]) for key, _ in suggestion.parts)


def test_what_the_law_bars_from_the_product_is_not_offered() -> None:
    keys = {key for s in hk.substitutes("boric-acid", product="face-powder", limit=40) for key, _ in s.parts}
    assert not keys & {"salicylic-acid", "resorcinol", "alpha-naphthol", "potassium-chlorate"}


def test_every_colour_has_a_hue() -> None:
    """Each ingredient whose chief work is colour stands in the table, and no other hue than those it knows."""
    chief = {e.id for e in glossary.ingredients.values() if any(r.main and r.role == "colour" for r in e.roles)}
    assert sorted(chief - set(hues())) == []
    assert [row["ingredient"] for row in tables.read("composing/hues") if row["ingredient"] not in glossary.ingredients] == []


def test_every_option_of_a_product_is_one_of_the_glossary() -> None:
    for row in tables.read("composing/option_products"):
        assert row["option"] in [s.option for s in glossary.ingredients[row["ingredient"]].stands], row


@pytest.mark.parametrize("entry", GRAVE, ids=lambda entry: entry.id)
def test_the_first_stand_in_is_one_that_somebody_chose(entry: hk.Ingredient) -> None:
    """Nothing computed stands in for what must not be used: it is in the table, and brings nothing worse, or there is none."""
    first = in_powder(entry.id)[:1]
    if not first:
        return
    parts = [glossary.ingredients[key] for key, _ in first[0].parts]
    assert first[0].curated or not entry.forbidden
    assert not any(NEVER_UNASKED & groups_of(part) for part in parts)
    assert not any(part.forbidden for part in parts)


def test_other_work_is_no_work_in_common() -> None:
    """Depilatories once got calcium nitrate, a copper solution and sodium tungstate: all did 'other' work."""
    strange = replace(glossary.ingredients["calcium-nitrate"], id="strange-salt", name="strange salt", stands=())
    assert {r.role for r in strange.roles} == {"other"} and hk.substitutes(strange) == ()
