"""The draft of a label."""

from __future__ import annotations

import pytest
from bench_ingredients import CUPBOARD, made, tinted

from histkit.base.errors import BadValue
from histkit.bench.label import label_draft
from histkit.composing.composition import Composition
from histkit.glossary.nouns import Ingredient

pytestmark = pytest.mark.usefixtures("cupboard")


class TestLabel:
    def test_descending_with_label_names_and_marked_as_a_draft(self) -> None:
        label = label_draft(tinted(), may_contain=["iron-oxide-red"])
        shares = [e.share for e in label.entries if e.share is not None]
        assert shares == sorted(shares, reverse=True)
        assert label.entries[0].name == "Talc"
        assert label.text().startswith("DRAFT") and "assessor" in label.text()
        assert label.text().endswith("May contain: Iron Oxide Red.")

    def test_preparations_are_taken_apart(self) -> None:
        label = label_draft(Composition.of([("rouge-base", 50), ("talc", 50)]))
        assert [(e.name, e.share) for e in label.entries] == [("Talc", pytest.approx(0.9)), ("Carmine", pytest.approx(0.1))]

    def test_allergens_above_their_threshold(self) -> None:
        """0.1 % rose oil with up to 25 % geraniol: 0.025 %, above 0.001 % and 0.01 %; a tenth of it only above the first."""
        label = label_draft(tinted())
        assert [(e.name, e.share) for e in label.allergens] == [("Geraniol", pytest.approx(0.00025))]
        weak = Composition.of([("talc", 99.99), ("rose-oil", 0.01)])
        assert [e.name for e in label_draft(weak).allergens] == ["Geraniol"]
        assert label_draft(weak, rinse_off=True).allergens == ()

    def test_an_allergen_that_is_an_ingredient_too_is_named_once(self) -> None:
        pure = Ingredient("linalool", "linalool", inci="LINALOOL", kind="aroma-chemical", state="liquid")
        label = label_draft(Composition.of([("talc", 90), ("lavender-oil", 6), (pure, 4)]))
        assert [e.name for e in label.allergens] == ["Linalool"]
        assert label.text().endswith("Ingredients: Talc, Lavender Oil, LINALOOL.")

    def test_without_a_label_name(self) -> None:
        nameless = Ingredient("mystery-earth", "mystery earth")
        label = label_draft(Composition.of([(nameless, 1)]))
        assert label.entries[0].name == "mystery earth" and "no label name" in label.entries[0].note

    def test_a_preparation_made_of_itself_is_refused(self, monkeypatch: pytest.MonkeyPatch) -> None:
        loop = made("loop", "preparation", "powder", "bulk", made_of=(("talc", 0.5), ("loop", 0.5)))
        monkeypatch.setitem(CUPBOARD, "loop", loop)
        with pytest.raises(BadValue, match="made of itself"):
            label_draft(Composition.of([("loop", 1)]))
