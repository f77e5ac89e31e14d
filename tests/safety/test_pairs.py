"""What explodes, burns, poisons or spoils together, and the constituents that the oils bring."""

from collections import Counter

import pytest

import histkit as hk
from histkit.base import tables
from histkit.glossary import ingredients
from histkit.safety.pairs import groups_of


def levels(*keys: str) -> set[str]:
    mixture = hk.Composition.of([(key, 1.0) for key in keys])
    return {f.level for f in mixture.findings("sachet") if f.about == "pair"}


@pytest.mark.parametrize(
    "keys",
    [
        ("potassium-chlorate", "charcoal"), ("potassium-chlorate", "sulfur"), ("potassium-chlorate", "sugar"),
        ("potassium-chlorate", "wheat-starch"), ("potassium-chlorate", "magnesium-stearate"), ("potassium-permanganate", "glycerin"),
        ("potassium-permanganate", "orris-root"), ("potassium-nitrate", "sulfur"), ("sodium-hypochlorite-solution", "ammonia-solution"),
        ("sodium-hypochlorite-solution", "citric-acid"), ("potassium-cyanide", "tartaric-acid"), ("iodine", "ammonia-solution"),
        ("picric-acid", "calcium-carbonate"), ("sodium-sulfide", "citric-acid"),
    ],
)  # fmt: skip
def test_these_are_refused_together(keys: tuple[str, ...]) -> None:
    assert "refuse" in levels(*keys)


@pytest.mark.parametrize(
    "keys",
    [
        ("citric-acid", "calcium-carbonate"), ("carmine", "citric-acid"), ("carmine", "potassium-carbonate"), ("ultramarine", "tartaric-acid"),
        ("tannic-acid", "ferrous-sulfate"), ("manganese-violet", "sodium-carbonate"), ("iodine", "wheat-starch"), ("camphor", "menthol"),
    ],
)  # fmt: skip
def test_these_spoil_each_other(keys: tuple[str, ...]) -> None:
    assert "warn" in levels(*keys)


def test_these_are_well_together() -> None:
    assert levels("talc", "wheat-starch", "zinc-oxide", "magnesium-stearate", "iron-oxide-red", "rose-oil") == set()


def test_a_pressed_powder_of_chlorate_gets_no_sheet() -> None:
    mixture = hk.Composition.of({"potassium-chlorate": 0.2, "charcoal": 0.3, "sugar": 0.5})
    for product in ("tooth-powder", "sachet", "face-powder"):
        with pytest.raises(hk.Forbidden, match="explodes"):
            hk.batch(hk.press(mixture), 60, product=product)


def test_it_is_told_where_it_is_pressed_and_blended() -> None:
    chlorate = hk.Composition.of({"potassium-chlorate": 0.2, "talc": 0.8})
    assert any("explodes" in w for w in hk.press(chlorate).warnings)
    mixture = hk.Composition.of({"salicylic-acid": 0.04, "sugar": 0.96})
    with pytest.raises(hk.Forbidden, match="cannot stand in together"):
        hk.solve_blend(mixture, "salicylic-acid", ["potassium-chlorate"], keep=())


def test_every_group_of_a_pair_has_members() -> None:
    named = {row[side] for row in tables.read("safety/pairs") for side in ("first", "second")}
    groups = {row["group"] for row in tables.read("safety/pair_groups")}
    assert named <= groups
    ids = [row["value"] for row in tables.read("safety/pair_groups") if row["match"] == "id"]
    kinds = {entry.kind for entry in ingredients.values()}
    assert [key for key in ids if key not in ingredients] == []
    assert {row["value"] for row in tables.read("safety/pair_groups") if row["match"] == "kind"} <= kinds


def test_no_pair_is_taken_away_unseen() -> None:
    """A guard: how many pairs there are of each level. Change the figures when the table changes on purpose."""
    counted = Counter(row["level"] for row in tables.read("safety/pairs"))
    assert counted == {"refuse": 26, "warn": 22, "note": 4}


def test_what_hides_in_a_preparation_counts() -> None:
    assert "sulphur" in groups_of(ingredients["sulfur-ointment"])


class TestConstituents:
    def test_methyl_eugenol_of_rose_oil(self) -> None:
        """0.12 % of rose oil with 0.5 to 3.5 % methyl eugenol pass the 0.0002 % of Annex III/102 in a powder."""
        mixture = hk.Composition.of({"talc": 0.9988, "rose-oil": 0.0012})
        (found,) = [f for f in mixture.findings("face-powder") if "methyl eugenol" in f.text]
        assert (found.level, found.about, found.ingredients) == ("warn", "constituent", ("rose-oil",))
        assert found.text in hk.batch(mixture, 60).warnings

    @pytest.mark.parametrize(("share", "how"), [(5e-5, ""), (2e-4, "may make up to"), (8e-4, "makes at least")])
    def test_what_is_surely_above_and_what_may_be(self, share: float, how: str) -> None:
        """The limit is 2 in a million: with 3.5 % of it in the oil it is passed at 0.006 % of oil, with 0.5 % at 0.04 %."""
        mixture = hk.Composition.of({"talc": 1 - share, "rose-oil": share})
        told = [f.text for f in mixture.findings("face-powder") if "methyl eugenol" in f.text]
        assert len(told) == bool(how) and all(how in text for text in told)
        if how == "makes at least":
            assert "Lower rose oil to 7.14 % of what is in it" in told[0]

    def test_they_are_summed_over_the_oils(self) -> None:
        """Each alone keeps the limit that the two together pass."""
        most = {
            row["ingredient"]: float(row["high"]) / 100
            for row in hk.glossary.rows("constituents")
            if row["constituent"] == "methyl eugenol"
        }
        one, other = list(most)[:2]
        shares = {one: 0.6 * 2e-6 / most[one], other: 0.6 * 2e-6 / most[other]}

        def told(keys: list[str]) -> bool:
            oils = {key: shares[key] for key in keys}
            mixture = hk.Composition.of({"talc": 1 - sum(oils.values()), **oils})
            return any("methyl eugenol" in f.text for f in mixture.findings("face-powder"))

        assert not told([one]) and not told([other]) and told([one, other])

    def test_what_is_in_it_by_itself_is_counted_with_what_the_oils_bring(self) -> None:
        """Menthol: its own crystals and that of the mint."""
        alone = hk.Composition.of({"talc": 0.98, "menthol": 0.02}).findings("face-powder")
        assert any("menthol" in f.text and f.about == "constituent" for f in alone)

    def test_nothing_is_counted_off_the_skin(self) -> None:
        assert hk.Composition.of({"talc": 0.99, "rose-oil": 0.01}).findings("sachet") == ()
