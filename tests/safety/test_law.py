"""The law of a product and a region: joined with the annexes by CAS number, a limit held to the hundredth part of itself."""

import re
from dataclasses import replace
from typing import ClassVar

import pytest
from settled_safety import rows, written

import histkit as hk
from histkit import glossary
from histkit.base import tables
from histkit.glossary.nouns import Caution
from histkit.safety.law import cas_numbers, region_of, regions, rules_of
from histkit.safety.products import Product, product_of, products
from histkit.safety.within import forbidden_within

EU = region_of("EU")


def about(mixture: hk.Composition, product: str, region: str = "EU") -> list[tuple[str, str]]:
    return [(f.level, f.about) for f in mixture.findings(product, region)]


def in_talc(key: str, share: float) -> hk.Composition:
    return hk.Composition.of([(key, share), ("talc", 1 - share)])


class TestJoin:
    """Every substance of the annexes that the glossary has: when the annexes are replaced, what changed is found here."""

    BY_CAS: ClassVar = {
        cas: [entry for entry in glossary.ingredients.values() if cas in cas_numbers(entry.cas)]
        for cas in {cas for entry in glossary.ingredients.values() for cas in cas_numbers(entry.cas)}
    }

    def test_what_annex_ii_prohibits_is_forbidden(self) -> None:
        exceptions = {(row["ingredient"], row["entry"]) for row in tables.read("safety/annex_exceptions")}
        joined, faults = 0, []
        for row in tables.read("safety/annex_ii"):
            for entry in self.BY_CAS.get(row["cas"], ()):
                joined += 1
                if not forbidden_within(entry) and (entry.id, row["entry"]) not in exceptions:
                    faults.append((entry.id, row["entry"]))
        assert joined > 60 and faults == []

    def test_no_exception_is_idle(self) -> None:
        for row in tables.read("safety/annex_exceptions"):
            entry = glossary.ingredients[row["ingredient"]]
            assert any(r["entry"] == row["entry"] and r["cas"] in cas_numbers(entry.cas) for r in tables.read("safety/annex_ii"))

    def test_what_annex_iii_restricts_has_rules(self) -> None:
        joined = {e.id for row in tables.read("safety/annex_iii") for e in self.BY_CAS.get(row["cas"], ())}
        assert len(joined) > 70
        assert [key for key in joined if not rules_of(glossary.ingredients[key], EU)] == []

    def test_every_caution_of_a_law_has_its_date(self) -> None:
        cautions = [(e.id, c) for e in glossary.ingredients.values() for c in e.cautions if "1223/2009" in c.law]
        assert len(cautions) > 300
        assert [key for key, c in cautions if not c.date and c.source in ("echa-annexes-2024", "eu-2026-78")] == []


@pytest.mark.parametrize(
    ("key", "percent"),
    [
        ("phenylenediamine", 1), ("methyl-salicylate", 2), ("oxalic-acid", 4), ("silver-nitrate", 3), ("potassium-hydroxide", 4),
        ("calcium-hydroxide", 6), ("resorcinol", 0.4), ("metol", 0.6), ("alpha-naphthol", 1.5), ("potassium-chlorate", 4.5),
        ("musk-ketone", 1),
    ],
)  # fmt: skip
def test_none_of_these_passes_a_face_powder_without_a_word(key: str, percent: float) -> None:
    told = [f for f in in_talc(key, percent / 100).findings("face-powder") if key in f.ingredients]
    assert told and told[0].level in ("refuse", "warn")


@pytest.mark.parametrize(
    ("key", "product", "limit"),
    [
        ("titanium-dioxide", "face-powder", 0.25),
        ("storax", "pomade", 0.006),
        ("resorcinol", "hair-wash", 0.005),
        ("musk-ketone", "face-powder", 0.00042),
        ("musk-ketone", "perfume", 0.0056),
        ("methyl-salicylate", "tooth-powder", 0.0252),
        ("ammonia-solution", "wash", 0.06),
        ("isoeugenol", "cream", 0.0002),
    ],
)
def test_a_limit_is_held_to_a_hundredth_part(key: str, product: str, limit: float) -> None:
    at, above = in_talc(key, limit), in_talc(key, 1.01 * limit)
    assert not [f for f in at.findings(product) if f.about == "limit" and f.ingredients == (key,)]
    (found,) = [f for f in above.findings(product) if f.about == "limit" and f.ingredients == (key,)]
    assert found.level == "refuse" and "2024-05-16" in found.text and "or less" in found.text
    with pytest.raises(hk.Forbidden, match="is limited to"):
        hk.batch(above, 60, product=product)


def test_a_substance_of_another_product_is_refused() -> None:
    assert ("refuse", "product") in about(in_talc("phenylenediamine", 0.001), "face-powder")
    assert ("refuse", "product") not in about(in_talc("phenylenediamine", 0.001), "hair-dye")
    with pytest.raises(hk.Forbidden, match=r"not allowed in face powder \(EU\)"):
        hk.batch(in_talc("resorcinol", 0.004), 60)
    assert hk.batch(in_talc("resorcinol", 0.004), 60, product="hair-wash")


def test_what_does_not_touch_the_body_is_no_cosmetic() -> None:
    assert about(in_talc("oxalic-acid", 0.04), "sachet") == []
    assert about(hk.Composition.of([("lead-carbonate", 1), ("talc", 1)]), "sachet") == [("refuse", "forbidden")]


def test_pressed_powder_is_not_the_loose_form() -> None:
    """Annex III/321 speaks of face powder in loose form."""
    mixture = hk.Composition.of([("titanium-dioxide", 0.4), ("talc", 0.6)])
    assert [f.about for f in mixture.findings("face-powder")] == ["limit"]
    assert mixture.findings("face-powder", pressed=True) == ()


class TestRegions:
    def test_each_says_what_was_looked_up_and_what_not(self) -> None:
        assert set(regions()) == {"EU", "GB", "US", "CA"}
        assert all(region.looked_up and region.not_looked_up for region in regions().values())

    def test_great_britain_follows_and_the_others_do_not(self) -> None:
        mixture = in_talc("resorcinol", 0.004)
        assert about(mixture, "face-powder", "GB") == about(mixture, "face-powder") != about(mixture, "face-powder", "US")

    def test_a_poison_is_refused_everywhere(self) -> None:
        for region in regions():
            with pytest.raises(hk.Forbidden):
                hk.batch(hk.Composition.of([("lead-carbonate", 1), ("talc", 1)]), 60, region=region)

    def test_colours_of_the_united_states(self) -> None:
        """21 CFR part 73: chromium oxide greens are listed, but not for the lips; graphite is not listed at all."""
        green = in_talc("chromium-oxide-green", 0.1)
        assert about(green, "rouge", "US") == [] and about(green, "lip-salve", "US") == [("refuse", "product")]
        assert about(in_talc("graphite", 0.1), "eye-paint", "US") == [("warn", "product")]
        assert about(in_talc("graphite", 0.1), "eye-paint", "EU") == []

    def test_an_unknown_one(self) -> None:
        with pytest.raises(hk.UnknownName, match="region of law"):
            hk.batch(in_talc("kaolin", 0.5), 60, region="Atlantis")

    def test_the_sheet_says_by_whose_law(self) -> None:
        text = hk.batch(in_talc("kaolin", 0.5), 60, product="hair-powder", region="US").to_markdown()
        assert "Judged as hair powder by the law of the United States" in text and "Not looked up" in text


class TestProducts:
    @pytest.mark.parametrize(
        ("title", "product"),
        [
            ("White Face Powder", "face-powder"), ("Rouge en poudre", "rouge"), ("A Dentifrice to whiten the Teeth", "tooth-powder"),
            ("Poudre pour les cheveux", "hair-powder"), ("Soft Pomatum", "pomade"), ("Sachet powder for linen", "sachet"),
            ("Shaving soap", "soap"), ("Eau de Cologne", "perfume"), ("Nail powder", "nail"), ("Cold cream", "cream"),
            ("Lip salve", "lip-salve"), ("A Bath for tired limbs", "bath"), ("Haarfärbemittel", "hair-dye"), ("Zahnpulver", "tooth-powder"),
            ("Fumigating pastilles", "fumigation"), ("Freckle lotion", "wash"), ("", "face-powder"), ("Number nine", "face-powder"),
        ],
    )  # fmt: skip
    def test_it_is_guessed_from_the_title(self, title: str, product: str) -> None:
        found = product_of(None, title)
        assert (found.id, found.guessed) == (product, True)

    def test_chosen_before_guessed(self) -> None:
        found = product_of("bath", "Face powder")
        assert (found.id, found.guessed) == ("bath", False)
        with pytest.raises(hk.UnknownName, match="no product is called 'bathe'"):
            product_of("bathe", "")

    def test_an_expression_of_tags(self) -> None:
        some = Product("x", "x", frozenset({"leave-on", "skin"}), ())
        assert some.fits("any") and some.fits("leave-on skin") and some.fits("oral;skin") and some.fits("any -oral")
        assert not some.fits("") and not some.fits("leave-on -skin") and not some.fits("oral")
        assert not Product("y", "y", frozenset({"off-skin"}), ()).fits("any")

    def test_every_sort_of_product_that_the_law_names_is_known(self) -> None:
        tags = {"any", "fragrance-cream", "loose"}.union(*(p.tags for p in products().values()))
        for name in ("product_types", "annex_iii", "annex_ii", "law_rows", "unfit", "constituent_limits"):
            for row in tables.read(f"safety/{name}"):
                words = {w.lstrip("-") if w.startswith("-") else w for way in tables.words(row, "products") for w in way.split()}
                assert words <= tags, (name, row)


def test_what_is_barred_by_a_later_law_is_no_poison() -> None:
    """Massive silver: prohibited in the Union since 1 May 2026, but a silver dish in the directions is no hazard."""
    leaf = hk.Composition.of({"silver-leaf": 0.01, "talc": 0.99})
    assert about(leaf, "face-powder") == [("refuse", "product")]
    assert about(leaf, "face-powder", "GB") == [("ask", "limit")], (
        "the Union's law, not Britain's: the maker says what holds there"
    )
    text = "Talc, 4 ounces.\nStarch, 2 ounces.\nMix them in a silver dish."
    assert not [f for f in hk.translate(hk.read(text)).composition().findings() if f.holds]


@pytest.mark.parametrize(
    ("key", "product", "region", "limit"),
    [
        ("methyl-salicylate", "tooth-powder", "GB", 0.025), ("methyl-salicylate", "mouth-wash", "GB", 0.004),
        ("methyl-salicylate", "child-powder", "GB", 0.0002), ("methyl-salicylate", "pomade", "GB", 0.0006),
        ("methyl-salicylate", "mouth-wash", "EU", 0.006),
    ],
)  # fmt: skip
def test_where_great_britain_differs(key: str, product: str, region: str, limit: float) -> None:
    """SI 2025/413, Schedule: toothpaste 2.5 %, mouthwash 0.4 %, children 0.02 %, left on the skin 0.06 %."""
    above = [f for f in in_talc(key, 1.01 * limit).findings(product, region) if f.about == "limit"]
    assert [f.level for f in above] == ["refuse"] and ("2025-09-30" in above[0].text) == (region == "GB")
    assert not [f for f in in_talc(key, limit).findings(product, region) if f.about == "limit"]


def test_the_limit_for_loose_powder_is_the_unions() -> None:
    white = in_talc("titanium-dioxide", 0.4)
    assert about(white, "face-powder") == [("refuse", "limit")] and about(white, "face-powder", "GB") == []


def test_canada_what_was_looked_up_and_what_was_not() -> None:
    """Sulfides: 2 and 6 % sulfur, in depilatories only (Hotlist of March 2011); a limit from memory waits for its maker's look."""
    assert about(in_talc("sodium-sulfide", 0.01), "face-powder", "CA") == [("refuse", "product")]
    assert about(in_talc("sodium-sulfide", 0.02 / 0.29), "depilatory", "CA") == [("refuse", "limit")]
    mixture = in_talc("salicylic-acid", 0.03)
    (found,) = [f for f in mixture.findings("wash", "CA") if f.about == "limit"]
    assert found.level == "ask" and "not looked up" in found.text
    assert hk.batch(mixture.declare(found.words, "looked up on the list"), 60, product="wash", region="CA")
    oil = in_talc("eucalyptus-oil", 0.001)
    (label,) = [f for f in oil.findings("wash", "CA") if f.about == "limit"]
    assert label.level == "warn" and "label" in label.text


class TestWhatWouldBeRight:
    @pytest.mark.parametrize(
        ("key", "product", "most"),
        [("zinc-sulfate", "wash", 0.01 / 0.23), ("zinc-acetate", "wash", 0.01 / 0.3), ("methyl-salicylate", "lip-salve", 0.0003)],
    )
    def test_who_lowers_it_as_told_keeps_the_limit(self, key: str, product: str, most: float) -> None:
        (found,) = [f for f in in_talc(key, 0.5).findings(product) if f.about == "limit"]
        told = float(found.text.partition("Lower it to ")[2].partition(" %")[0]) / 100
        assert told == pytest.approx(most, rel=0.01) and told <= most * (1 + 1e-9)
        assert not [f for f in in_talc(key, told).findings(product) if f.about == "limit"]
        assert [f for f in in_talc(key, 1.01 * told).findings(product) if f.about == "limit"]

    def test_product_region_and_limit_are_named(self) -> None:
        (found,) = [f for f in in_talc("storax", 0.02).findings("pomade") if f.about == "limit"]
        assert all(words in found.text for words in ("makes 2 %", "0.6 % in pomade or hair oil (EU)", "III/180", "2024-05-16"))

    def test_a_limit_for_one_purpose_only_warns(self) -> None:
        """Benzoic acid: 0.5 % as a preservative in what stays on the skin."""
        (found,) = [f for f in in_talc("benzoic-acid", 0.02).findings("cream") if f.about == "limit"]
        assert found.level == "warn" and "purpose" in found.text


def test_a_caution_cites_the_entry_that_has_its_cas_number() -> None:
    """Boric acid is II/1395; II/1396 are the borates."""
    entries: dict[str, set[str]] = {}
    for row in tables.read("safety/annex_ii"):
        entries.setdefault(row["cas"], set()).add(row["entry"])
    wrong = []
    for entry in glossary.ingredients.values():
        joined = set().union(*(entries.get(cas, set()) for cas in cas_numbers(entry.cas)))
        laws = [c.law for c in entry.cautions if c.level == "forbidden" and "Annex II/" in c.law]
        cited = {number for law in laws for number in re.findall(r"\d+", law.partition("Annex II/")[2])}
        if joined and laws and not joined & cited:
            wrong.append((entry.id, laws, joined))
    assert wrong == []


def test_no_limit_pair_or_second_meaning_changes_unseen() -> None:
    """A guard: if a change is meant, run python tests/settled_safety.py and look at the difference."""
    assert rows() == written()


def test_the_limit_of_a_caution_counts_where_no_rule_is_known() -> None:
    """A maker's own ingredient: what a law limits is refused, what is only advised is told."""
    lawful = Caution("restricted", "Not much.", "test", "Annex X", limit=0.1)
    for caution, level in ((lawful, "refuse"), (replace(lawful, law=""), "warn"), (replace(lawful, source="memory"), "ask")):
        earth = hk.Ingredient(id="new-earth", name="new earth", kind="mineral", state="powder", cautions=(caution,))
        mixture = hk.Composition.of([(earth, 0.101), ("talc", 0.899)])
        assert [f.level for f in mixture.findings("face-powder") if f.about == "limit"] == [level]
