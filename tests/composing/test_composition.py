"""Compositions: shares add to 1, replacing conserves mass, and the effects of a change are worked out from property ranges."""

from __future__ import annotations

import json
import math
from collections.abc import Iterator
from fractions import Fraction

import pytest
from bench_ingredients import CUPBOARD, DUST, LIMITED, NEVER, as_glossary, made
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import BadValue, Forbidden, UnknownName
from histkit.base.nouns import Source, Spread
from histkit.composing.composition import Change, Composition, Part
from histkit.composing.effects import (
    AIR,
    bulk_density,
    fresnel,
    fresnel_spread,
    oil_absorption,
    opacity,
    true_density,
    weighted_mean,
)
from histkit.glossary.nouns import Caution, Stand
from histkit.safety.law import speaks_of
from histkit.safety.within import forbidden_within, refusal_reason


@pytest.fixture(autouse=True, scope="module")
def _glossary() -> Iterator[None]:
    with as_glossary():
        yield


SAFE = sorted(set(CUPBOARD) - {"lead-carbonate", "bloom-of-youth"})
masses = st.dictionaries(st.sampled_from(SAFE), st.floats(1e-6, 1e6), min_size=1)


def complexion() -> Composition:
    """An invented powder with white lead in it."""
    return Composition.of([("talc", 50), ("lead-carbonate", 25), ("rice-starch", 20), ("orris-root", 5)], "invented powder")


@given(masses)
def test_shares_of_any_masses_add_to_one(grams: dict[str, float]) -> None:
    composition = Composition.of(grams.items())
    assert math.isclose(math.fsum(p.share for p in composition.parts), 1, abs_tol=1e-12)
    total = math.fsum(grams.values())
    for key, mass in grams.items():
        assert composition.share(key) == pytest.approx(mass / total)


@given(masses, st.dictionaries(st.sampled_from(SAFE), st.floats(0.01, 10), max_size=4), st.floats(0.01, 0.99))
def test_replacing_conserves_mass(grams: dict[str, float], stand_ins: dict[str, float], lead: float) -> None:
    """The stand-ins weigh as much as the removed times their ratios, and the rest keeps its proportions."""
    rest = Composition.of(grams.items())
    start = Composition.of([*((p.ingredient, p.share * (1 - lead)) for p in rest.parts), ("lead-carbonate", lead)])
    after = start.replace("lead-carbonate", stand_ins)
    assert math.fsum(p.share for p in after.parts) == pytest.approx(1, abs=1e-12)
    assert after.share("lead-carbonate") == 0
    total = 1 - lead + lead * math.fsum(stand_ins.values())
    for key in {*grams, *stand_ins}:
        wanted = (rest.share(key) * (1 - lead) + lead * stand_ins.get(key, 0)) / total
        assert after.share(key) == pytest.approx(wanted, rel=1e-9)


def test_the_same_ingredient_twice_is_added_up() -> None:
    composition = Composition.of([("talc", 1), ("kaolin", 2), (CUPBOARD["talc"], 1)])
    assert [(p.ingredient.id, p.share) for p in composition.parts] == [("talc", 0.5), ("kaolin", 0.5)]


def test_a_mass_of_nothing_is_told_not_counted() -> None:
    composition = Composition.of([("talc", 1), ("rose-oil", 0)], omitted=("a little musk",))
    assert composition.omitted == ("a little musk", "rose oil")
    assert composition.ingredients == (CUPBOARD["talc"],)


@pytest.mark.parametrize("mass", [-1, math.nan, math.inf, True, "2", None])
def test_masses_that_are_none_are_refused(mass: float) -> None:
    with pytest.raises(BadValue, match=f"mass of talc is a number, 0 or more, not {mass!r}"):
        Composition.of([("talc", mass), ("kaolin", 1)])


def test_masses_that_make_nothing_or_more_than_a_number_can_hold() -> None:
    for masses, total in (
        ([], "0"),
        ([("talc", 0)], "0"),
        ([("talc", 1e308), ("kaolin", 1e308)], "inf"),
        ([("talc", 1e308)] * 2, "inf"),
    ):
        with pytest.raises(BadValue, match=f"total here is {total} g"):
            Composition.of(masses)
    huge = Composition.of([("talc", 1e308), ("kaolin", 1e307)])
    assert huge.share("talc") == pytest.approx(10 / 11)


def test_fractions_are_numbers() -> None:
    third = Composition.of([("talc", Fraction(1, 3)), ("kaolin", Fraction(2, 3))])  # type: ignore[list-item]
    assert type(third.share("talc")) is float and third.share("talc") == pytest.approx(1 / 3)


def test_what_is_in_a_composition() -> None:
    start = complexion()
    assert "talc" in start and CUPBOARD["talc"] in start and "kaolin" not in start and CUPBOARD["kaolin"] not in start
    assert 3 not in start


def test_what_has_no_amount_is_told_once_and_shown() -> None:
    start = Composition.of([("talc", 1), ("rose-oil", 0)], omitted=("rose oil", "musk"))
    assert start.omitted == ("rose oil", "musk")
    assert "Without an amount" in start.to_text() and "rose oil, musk" in start.to_text()
    assert "Without an amount" not in Composition.of([("talc", 1)]).to_text()


def test_notes_stay_with_their_parts() -> None:
    start = Composition.of([("talc", 2), ("kaolin", 1), ("lead-carbonate", 1)], notes={"talc": "Venetian", "kaolin": "washed"})
    after = start.replace("lead-carbonate", {"kaolin": 0.5, "zinc-oxide": 0.5})
    assert {p.ingredient.id: p.note for p in after.parts} == {
        "talc": "Venetian", "kaolin": "washed; in place of lead carbonate", "zinc-oxide": "in place of lead carbonate",
    }  # fmt: skip
    assert {p.ingredient.id: p.note for p in complexion().parts} == dict.fromkeys(
        ("talc", "lead-carbonate", "rice-starch", "orris-root"), ""
    )


def test_a_change_in_words_and_as_a_table() -> None:
    change = Change("lead-carbonate", (("zinc-oxide", 0.71234), ("titanium-dioxide", 0.3)), "lead is a poison", "two whites")
    text = change.text()
    for fact in (
        "each gram of lead carbonate",
        "0.7123 g of zinc oxide, 0.3 g of titanium dioxide",
        "two whites",
        "lead is a poison",
    ):
        assert fact in text
    out = Change("lead-carbonate", ())
    assert out.text() == "lead carbonate: left out" and "because" in text and "(" not in out.text()
    grid = change._grid()
    assert [(c.key, c.heading, c.decimals) for c in grid.columns] == [
        ("removed", "Instead of 1 g of", None), ("ingredient", "Ingredient", None), ("grams", "Grams", 4),
    ]  # fmt: skip
    assert grid.rows == (("lead-carbonate", "zinc-oxide", 0.71234), ("lead-carbonate", "titanium-dioxide", 0.3))
    assert change.to_text().startswith("two whites\n") and "lead is a poison" in change.to_text()
    assert out._grid().rows == (("lead-carbonate", "left out", None),) and out.to_text().startswith("Replacement\n")
    assert not out._grid().notes


def test_a_reason_names_what_is_forbidden_and_why_and_what_instead() -> None:
    """Only why it may not be used is told, not every caution; what stands in for a preparation goes before what it is made of."""
    lead = CUPBOARD["lead-carbonate"]
    assert refusal_reason(lead).startswith("lead carbonate (lead-carbonate): Lead is a poison.")
    plain = refusal_reason(lead, ids=False)
    assert plain.startswith("lead carbonate: Lead is a poison.") and plain.endswith(
        "In its place: zinc and titanium whites; leave out."
    )
    bloom = CUPBOARD["bloom-of-youth"]
    assert refusal_reason(bloom).startswith(
        "bloom of youth (bloom-of-youth) holds lead carbonate (lead-carbonate): Lead is a poison."
    )
    assert refusal_reason(bloom).endswith("In its place: zinc and titanium whites; leave out.")
    assert refusal_reason(bloom, ids=False).startswith("bloom of youth holds lead carbonate: ")
    own = made(
        "own-bloom",
        "preparation",
        "powder",
        "bulk",
        made_of=(("lead-carbonate", 1),),
        stands=(Stand("a chalk", (), "", "", "test"),),
    )
    assert refusal_reason(own).endswith("In its place: a chalk.")
    never = Caution("forbidden", "It burns.", "test")
    dusty = made("caustic", "chemical", "powder", "bulk", cautions=(DUST, never))
    assert refusal_reason(dusty) == "caustic (caustic): It burns."


def test_what_hides_in_a_preparation_brings_only_what_forbids_it(monkeypatch: pytest.MonkeyPatch) -> None:
    never = Caution("forbidden", "It burns.", "test")
    monkeypatch.setitem(CUPBOARD, "caustic", made("caustic", "chemical", "powder", "bulk", cautions=(DUST, never)))
    wash = made("wash", "preparation", "liquid", "bulk", made_of=(("caustic", 0.1),))
    start = Composition.of([("zinc-oxide", 1), (wash, 1)])
    zinc = CUPBOARD["zinc-oxide"]
    assert start.cautions_by_ingredient == ((wash, never), (zinc, LIMITED), (zinc, DUST))
    itself = Composition.of([("caustic", 1)])
    assert [c for _, c in itself.cautions_by_ingredient] == [never, DUST], "each once"


def test_limits_by_region_and_form() -> None:
    """At the limit is within it; what is said of no region or form holds in all, and a powder stays on the skin."""
    anywhere, mouth, rinsed, us = (
        Caution("restricted", text, "test", limit=0.1, form=form, region=region)
        for text, form, region in (("any", "", ""), ("mouth", "oral", ""), ("all forms", "any", ""), ("US", "", "US"))
    )
    earth = made("new-earth", "mineral", "powder", "bulk", cautions=(anywhere, mouth, rinsed, us))

    def told(share: float, product: str, region: str = "EU") -> list[str]:
        start = Composition.of([(earth, share), ("talc", 1 - share)])
        return [f.text.rpartition(": ")[2] for f in start.findings(product, region) if f.about == "limit"]

    assert told(0.1, "tooth-powder") == [] and told(0.1001, "tooth-powder") == ["any", "mouth", "all forms"]
    assert told(0.11, "face-powder") == told(0.11, "pomade") == ["any", "all forms"]
    assert told(0.11, "face-powder", "US") == ["any", "all forms", "US"]
    assert told(0.11, "sachet") == [], "what does not touch the body is no cosmetic"
    assert speaks_of(mouth, "") and not speaks_of(mouth, "no such form")
    stays = Caution("restricted", "what stays", "test", limit=0.1, form="leave-on")
    assert [speaks_of(stays, form) for form in ("leave-on", "loose", "pressed", "rinse-off", "oral", "bench")] == [True] * 3 + [
        False
    ] * 3
    assert not speaks_of(mouth, "pressed")


def test_makers_own_ingredients_stand_in_by_their_ids() -> None:
    """The glossary does not know them; the composition that holds them does."""
    own = made("own-earth", "mineral", "powder", "bulk")
    after = Composition.of([("talc", 1), (own, 1)]).replace("talc", {"own-earth": 1})
    assert after.ingredients == (own,) and after.share("own-earth") == 1
    with pytest.raises(UnknownName):
        complexion().replace("talc", {"own-earth": 1})


def test_a_composition_checks_its_shares() -> None:
    talc, kaolin = CUPBOARD["talc"], CUPBOARD["kaolin"]
    with pytest.raises(BadValue, match=r"add to 1, not 0\.9;"):
        Composition((Part(talc, 0.5), Part(kaolin, 0.4)))
    with pytest.raises(BadValue, match=r"^kaolin, talc stands? twice"):
        Composition((Part(talc, 0.25), Part(kaolin, 0.25), Part(kaolin, 0.25), Part(talc, 0.25)))
    with pytest.raises(BadValue, match="at least one"):
        Composition(())
    for share in (0.0, -0.1, 1.1, math.nan, "0.5", None):
        with pytest.raises(BadValue, match=f"share of talc lies above 0 and is at most 1, not {share!r}"):
            Part(talc, share)  # type: ignore[arg-type]
    with pytest.raises(BadValue):
        Composition.of([])
    Composition((Part(talc, 0.5 + 4e-10), Part(kaolin, 0.5)))  # within the tolerance
    with pytest.raises(BadValue, match=r"add to 1, not 1\.00000001;"):
        Composition((Part(talc, 0.5 + 1e-8), Part(kaolin, 0.5)))


def test_replace_puts_the_stand_ins_where_the_removed_stood_and_records_it() -> None:
    after = complexion().replace(
        "lead-carbonate", {"zinc-oxide": 0.7, "titanium-dioxide": 0.3}, reason="lead is a poison", option="two whites"
    )
    assert [p.ingredient.id for p in after.parts] == ["talc", "zinc-oxide", "titanium-dioxide", "rice-starch", "orris-root"]
    assert after.share("zinc-oxide") == pytest.approx(0.175)
    assert after.share("titanium-dioxide") == pytest.approx(0.075)
    assert after.changes == (
        Change("lead-carbonate", (("zinc-oxide", 0.7), ("titanium-dioxide", 0.3)), "lead is a poison", "two whites"),
    )
    assert "in place of lead carbonate" in after.part("zinc-oxide").note
    assert after.name == "invented powder"


def test_replace_adds_to_what_is_there_and_renormalises() -> None:
    after = complexion().replace("lead-carbonate", {"talc": 2})
    assert after.share("talc") == pytest.approx(1.0 / 1.25)
    assert after.share("rice-starch") == pytest.approx(0.2 / 1.25)
    assert len(after.parts) == 3


def test_leaving_out() -> None:
    after = complexion().replace("lead-carbonate", {}, reason="not wanted")
    assert after.share("talc") == pytest.approx(50 / 75)
    assert after.changes[0].parts == ()
    assert "left out" in after.changes[0].text()
    with pytest.raises(BadValue, match="talc is all that"):
        Composition.of([("talc", 1)]).replace("talc", {})


def test_half_of_an_ingredient_can_be_replaced() -> None:
    after = complexion().replace("talc", {"talc": 0.5, "kaolin": 0.5})
    assert after.share("talc") == pytest.approx(0.25)
    assert after.share("kaolin") == pytest.approx(0.25)


def test_replace_refuses_what_makes_no_sense() -> None:
    start = complexion()
    with pytest.raises(UnknownName) as unknown:
        start.replace("lead-carbonat", {"zinc-oxide": 1})
    assert "lead-carbonate" in unknown.value.near
    with pytest.raises(BadValue, match=r"kaolin \(kaolin\) is not in this composition, which holds talc, lead-carbonate"):
        start.replace("kaolin", {"zinc-oxide": 1})
    with pytest.raises(UnknownName):
        start.replace("talc", {"moon-dust": 1})
    for ratio in (-0.1, math.nan, math.inf):
        with pytest.raises(BadValue, match=f"grams of zinc oxide for one gram of talc .* not {ratio!r}"):
            start.replace("talc", {"zinc-oxide": ratio})
    with pytest.raises(BadValue, match="stand-ins for talc are 0 g; .* leave it out"):
        start.replace("talc", {"zinc-oxide": 0})


def test_a_forbidden_stand_in_is_refused_also_inside_a_preparation() -> None:
    start = Composition.of([("talc", 1), ("kaolin", 1)])
    for key in ("lead-carbonate", "bloom-of-youth"):
        with pytest.raises(Forbidden, match=rf"^{CUPBOARD[key].name} cannot stand in for talc\..*poison") as refused:
            start.replace("talc", {key: 1})
        assert "lead-carbonate" in refused.value.ingredients


def test_forbidden_and_cautions() -> None:
    assert [i.id for i in complexion().forbidden] == ["lead-carbonate"]
    hidden = Composition.of([("talc", 1), ("bloom-of-youth", 1), ("zinc-oxide", 1)])
    assert [i.id for i in hidden.forbidden] == ["bloom-of-youth"]
    assert hidden.cautions[0] == NEVER
    assert [c.level for c in hidden.cautions] == ["forbidden", "restricted", "care"]
    assert forbidden_within(CUPBOARD["bloom-of-youth"]) == (CUPBOARD["lead-carbonate"],)
    assert Composition.of([("rouge-base", 1)]).forbidden == ()


def test_a_preparation_made_of_itself_does_not_hang(monkeypatch: pytest.MonkeyPatch) -> None:
    loop = made("loop", "preparation", "powder", "bulk", made_of=(("talc", 0.5), ("loop", 0.5)))
    monkeypatch.setitem(CUPBOARD, "loop", loop)
    assert forbidden_within(loop) == ()


def test_over_limits() -> None:
    """Zinc oxide is limited to 25 % here."""
    assert Composition.of([("talc", 3), ("zinc-oxide", 1)]).findings() == ()
    (over,) = Composition.of([("talc", 1), ("zinc-oxide", 1)]).findings()
    assert (over.level, over.about, over.ingredients) == ("warn", "limit", ("zinc-oxide",))
    assert over.text.startswith("zinc oxide (zinc-oxide) makes 50 % and is limited to 25 %")
    assert Composition.of([("talc", 1), ("zinc-oxide", 1)]).findings(region="US") == ()


def test_json_gives_an_equal_composition() -> None:
    source = Source("An Invented Receipt Book", year=1872, country="GB", kind="trade receipt book")
    start = Composition.of([("talc", 1), ("lead-carbonate", 2)], "powder", omitted=("musk",), source=source)
    after = start.replace("lead-carbonate", {"zinc-oxide": 1 / 3}, "why", "option")
    assert Composition.from_json(after.to_json()) == after
    own = made("my-own-earth", "mineral", "powder", "bulk")
    mine = Composition.of([(own, 1), ("talc", 1)])
    assert Composition.from_json(mine.to_json(), {"my-own-earth": own}) == mine
    with pytest.raises(UnknownName):
        Composition.from_json(mine.to_json())
    for broken, told in (
        ("", "Expecting value"),
        ("[]", "indices"),
        ("{}", "changes"),
        (json.dumps({"changes": [], "parts": 3}), "int"),
    ):
        with pytest.raises(BadValue, match=f"not a composition that histkit wrote: .*{told}"):
            Composition.from_json(broken)
    assert "℥" in Composition.of([("talc", 1)], "℥").to_json(), "no escapes in a file that people may read"


def test_tables_of_a_composition() -> None:
    after = complexion().replace("lead-carbonate", {"zinc-oxide": 1}, reason="<b>poison</b>")
    frame = after.to_frame()
    assert list(frame["ingredient"]) == ["talc", "zinc oxide", "rice starch", "orris root"]
    assert frame["percent"].sum() == pytest.approx(100)
    assert "<b>" not in after.to_html() and "&lt;b&gt;" in after.to_html()
    assert after.parts[0].to_frame().shape[0] == after.changes[0].to_frame().shape[0] == 1
    assert [(c.key, c.heading, c.decimals) for c in after._grid().columns] == [
        ("ingredient", "Ingredient", None), ("inci", "Label name", None), ("percent", "Per cent of the mass", 2), ("note", "Note", None),
    ]  # fmt: skip
    assert after.to_text().startswith("invented powder\n") and Composition.of([("talc", 1)]).to_text().startswith("Composition\n")
    assert after.parts[0]._grid().rows == (("talc", "Talc", pytest.approx(50), ""),)


class TestEffects:
    def test_fresnel_by_hand(self) -> None:
        """Glass of n = 1.5 throws back ((0.5)/(2.5))^2 = 4 % in air; nothing in a medium of its own index."""
        assert fresnel(1.5, 1.0) == pytest.approx(0.04)
        assert fresnel(1.5, 1.5) == 0
        assert fresnel_spread(Spread(1.4, 1.5, 1.6), 1.47).low == 0
        with pytest.raises(BadValue):
            fresnel(0, 1)

    def test_opacity_is_weighted_by_volume(self) -> None:
        a = made("a", "mineral", "powder", "bulk", true_density=2.0, refractive_index=1.5)
        b = made("b", "mineral", "powder", "bulk", true_density=4.0, refractive_index=3.0)
        # 1 g of a is 0.5 cm3, 1 g of b 0.25 cm3: (2 × 0.04 + 1 × 0.25) / 3
        value = opacity(Composition.of([(a, 1), (b, 1)]), AIR).value
        assert value is not None and value.best == pytest.approx((2 * 0.04 + 0.25) / 3)
        oil = CUPBOARD["jojoba-oil"]
        wet = opacity(Composition.of([(a, 1), (oil, 0.865 / 2)]), AIR).value  # as much volume of oil as of a
        assert wet is not None and wet.best == pytest.approx(0.02)

    def test_oil_absorption_of_a_made_up_blend(self) -> None:
        """60 of 30, 25 of 45, 5 of 20, 10 of 90 take up 39.25 g for 100 g: arithmetic."""
        blend = [(made(k, "mineral", "powder", "bulk", oil_absorption=v), m) for k, v, m in
                 (("a", 30, 60), ("b", 45, 25), ("d", 20, 5), ("c", 90, 10))]  # fmt: skip
        value = oil_absorption(Composition.of(blend)).value
        assert value == Spread.exact(value.best) and value.best == pytest.approx(39.25)

    def test_densities_go_by_volume(self) -> None:
        """The made-up blend 60 of 2.70, 25 of 2.50, 5 of 1.10, 5 of 0.85 (oil), 5 of 4.0 has 2.2779 g/cm3: arithmetic."""
        blend = [
            (made("a", "mineral", "powder", "bulk", true_density=2.70), 60),
            (made("b", "mineral", "powder", "bulk", true_density=2.50), 25),
            (made("c", "chemical", "powder", "binder", true_density=1.10), 5),
            (made("d", "chemical", "powder", "opacity", true_density=4.0), 5),
            (made("o", "fixed-oil", "liquid", "emollient", density=0.85), 5),
        ]
        value = true_density(Composition.of(blend)).value
        assert value is not None and value.best == pytest.approx(2.2779, abs=5e-5)
        loose = bulk_density(Composition.of([("talc", 1), ("magnesium-carbonate", 1), ("jojoba-oil", 1)])).value
        assert loose is not None
        assert loose.best == pytest.approx(2 / (1 / 0.60 + 1 / 0.155))  # the oil fills gaps and takes no room
        assert loose.low == pytest.approx(2 / (1 / 0.56 + 1 / 0.14))

    def test_what_has_no_value_is_named(self) -> None:
        measured = opacity(Composition.of([("talc", 3), ("carmine", 1)]))
        assert measured.without == ("carmine",)
        assert measured.known_share == pytest.approx(0.75)
        nothing = opacity(Composition.of([("carmine", 1)]))
        assert nothing.value is None and nothing.known_share == 0

    def test_before_and_after(self) -> None:
        before = complexion()
        after = before.replace("lead-carbonate", {"zinc-oxide": 0.7, "titanium-dioxide": 0.3})
        effects = before.effects(after, prices={"talc": 0.01, "zinc-oxide": 0.05, "titanium-dioxide": 0.04})
        assert effects["opacity"].change is not None and effects["opacity"].change > 0
        starch = effects["starch"].after.value
        assert starch is not None and starch.best == pytest.approx(20) and effects["starch"].before.value == starch
        assert effects["price"].after.without == ("rice starch", "orris root")
        assert effects["price"].after.value is not None
        assert effects["price"].after.value.best == pytest.approx(50 * 0.01 + 17.5 * 0.05 + 7.5 * 0.04)
        assert ("lead-carbonate", NEVER) in effects.cautions_gone
        assert ("zinc-oxide", DUST) in effects.cautions_new
        assert "poison" in effects.to_text()
        assert "not known" not in effects["opacity"].text()
        with pytest.raises(BadValue, match="opacity"):
            effects["loudness"]

    def test_a_caution_that_stays_is_neither_gone_nor_new(self) -> None:
        before = Composition.of([("talc", 1), ("zinc-oxide", 1)])
        effects = before.effects(before.replace("zinc-oxide", {"titanium-dioxide": 1}))
        assert DUST not in {c for _, c in (*effects.cautions_gone, *effects.cautions_new)}

    def test_no_change_no_effect(self) -> None:
        effects = complexion().effects(complexion())
        assert all(row.change in (0, None) for row in effects.rows)
        assert not any(row.certain for row in effects.rows)
        assert effects.cautions_gone == effects.cautions_new == ()

    @given(
        st.lists(st.tuples(st.floats(0, 5), st.floats(0, 5), st.floats(0.1, 9), st.floats(0.1, 9)), min_size=1, max_size=5),
        st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=5, max_size=5),
    )
    def test_a_mean_of_ranges_holds_every_mean_within_them(
        self, ranges: list[tuple[float, float, float, float]], at: list[tuple[float, float]]
    ) -> None:
        def spread(a: float, b: float) -> Spread:
            return Spread(min(a, b), (a + b) / 2, max(a, b))

        values, weights = [spread(a, b) for a, b, _, _ in ranges], [spread(c, d) for _, _, c, d in ranges]
        mean = weighted_mean(values, weights)
        v = [s.low + x * (s.high - s.low) for s, (x, _) in zip(values, at, strict=False)]
        w = [s.low + y * (s.high - s.low) for s, (_, y) in zip(weights, at, strict=False)]
        some = math.fsum(a * b for a, b in zip(v, w, strict=True)) / math.fsum(w)
        assert mean.low - 1e-9 <= some <= mean.high + 1e-9
