"""The scent of a powder: amounts, changes, what keeps it from the bench, what is bought, and what is shown."""

import math
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit import glossary, records
from histkit.base.errors import BadValue, UnknownName
from histkit.bench.scent import Scent
from histkit.bench.scenting import rescented
from histkit.composing.composition import Composition
from histkit.keeping import example
from histkit.keeping.records import AddedScent, Record, Scenting

PARTS = [("rose-oil", 12, "drop"), ("bergamot-oil", 0.2, "gram"), ("sandalwood-oil", 0.1, "per cent")]


@pytest.fixture(scope="module")
def powder():
    return Composition.of({"talc": 60, "kaolin": 39, "jasmine-oil": 0.4, "bergamot-oil": 0.6}, name="Face powder")


def test_amounts_by_hand():
    """12 drops of 0.02 g and 0.2 g in 100 g of powder; the sandal is a thousandth of the whole, which is (100.44) / 0.999."""
    made = hk.scent(PARTS, 100, own_drops=[("rose-oil", 0.4)])
    grams = {p.ingredient.id: p.grams.best for p in made.parts}
    assert made.total == pytest.approx(100.44 / 0.999)
    assert grams == {"rose-oil": pytest.approx(0.24), "bergamot-oil": 0.2, "sandalwood-oil": pytest.approx(0.001 * made.total)}
    assert made.grams.best == pytest.approx(made.total - 100), "masses add up"
    assert "your dropper" in made.parts[0].why and made.parts[0].said == "12 drops"


def test_millilitres_by_density_and_twice_the_same():
    made = hk.scent([("lavender-oil", 2, "millilitre"), ("lavender-oil", 100, "milligram")], 50)
    density = glossary.ingredient("lavender-oil").value("density")
    assert made.parts[0].grams.best == pytest.approx(2 * density.best + 0.1) and len(made.parts) == 1


@pytest.mark.parametrize(("given", "told"), [
    ([("rose-oil", 0, "drop")], "above 0"), ([("rose-oil", 1, "pint")], "the unit is one of"), ([("rose-oil", 1)], "such as"),
    ([], "a scent is"), (7, "a scent is"), ([("rose-oil", 60, "per cent")], "a few at most"), ([("rose-oil", 200, "gram")], "a few per cent"),
    ([("rose-oil", math.nan, "drop")], "above 0"),
])  # fmt: skip
def test_what_makes_no_sense(given, told):
    with pytest.raises(BadValue, match=told):
        hk.scent(given, 100)


def test_names_that_nobody_knows():
    with pytest.raises(UnknownName):
        hk.scent([("moon-oil", 1, "drop")])
    with pytest.raises(BadValue, match="nothing in"):
        hk.scent(Composition.of({"talc": 1}))


def test_of_a_composition(powder):
    made = hk.scent(powder, 50)
    assert {p.ingredient.id: p.grams.best for p in made.parts} == pytest.approx({"jasmine-oil": 0.2, "bergamot-oil": 0.3})
    assert made.oil_share == pytest.approx(0.01) and made.name == "Face powder"


# -- changes ------------------------------------------------------------------------------------------------------------------


def test_half_as_strong_by_hand(powder):
    half = hk.scent(powder, 100).scaled(0.5)
    c = half.composition()
    assert c.share("jasmine-oil") == pytest.approx(0.002) and c.share("bergamot-oil") == pytest.approx(0.003)
    assert c.share("talc") == pytest.approx(0.995 * 60 / 99), "the powder fills up in proportion"


def test_half_as_much_jasmine_both_ways(powder):
    made = hk.scent(powder, 100)
    weaker, filled = made.changed({"jasmine-oil": 0.5}), made.changed({"jasmine-oil": 0.5}, fill="scent")
    assert {p.ingredient.id: round(p.grams.best, 9) for p in weaker.parts} == {"jasmine-oil": 0.2, "bergamot-oil": 0.6}
    assert {p.ingredient.id: round(p.grams.best, 9) for p in filled.parts} == {"jasmine-oil": 0.2, "bergamot-oil": 0.8}
    assert filled.grams.best == pytest.approx(made.grams.best), "as strong as before"
    gone = made.changed({"jasmine-oil": 0})
    assert [p.ingredient.id for p in gone.parts] == ["bergamot-oil"]


def test_changes_that_make_no_sense(powder):
    made = hk.scent(powder, 100)
    for factors, fill, told in (
        ({"rose-oil": 1}, "powder", "not in this scent"), ({"jasmine-oil": -1}, "powder", "0 or more"), ({"jasmine-oil": 1}, "air", "what fills up"),
        ({"jasmine-oil": 0.5, "bergamot-oil": 0.5}, "scent", "no other part"), ({"jasmine-oil": 9}, "scent", "no other part"),
        ({"jasmine-oil": 0, "bergamot-oil": 0}, "powder", "at least one part"), ({"bergamot-oil": 99}, "powder", "a few per cent"),
    ):  # fmt: skip
        with pytest.raises(BadValue, match=told):
            made.changed(factors, fill)


@settings(deadline=None, max_examples=40)
@given(
    st.dictionaries(st.sampled_from(["rose-oil", "bergamot-oil", "clove-oil", "essence-bouquet"]), st.floats(0.001, 2), min_size=1),
    st.floats(0, 3),
    st.floats(0.1, 3),
)
def test_masses_always_add_up(oils, strength, times):
    before = Composition.of({"talc": 70, "kaolin": 30, **oils}, name="Face powder")
    one = next(iter(oils))
    after = rescented(before, strength, {one: times}, added=[("neroli-oil", 2, "drop")])
    assert math.fsum(p.share for p in after.parts) == pytest.approx(1)
    assert after.share("talc") / after.share("kaolin") == pytest.approx(70 / 30), "the powder itself stays as it is"
    made = hk.scent(before, 20)
    assert math.fsum(b.grams for b in made.bought()) == pytest.approx(made.grams.best), "taken apart, nothing is lost"
    assert math.fsum(made.by_note.values()) == pytest.approx(1)
    assert made.scaled(1).grams.best == pytest.approx(made.grams.best)


def test_unscented_and_all_scent(powder):
    assert [p.ingredient.id for p in rescented(powder, 0).parts] == ["talc", "kaolin"]
    with pytest.raises(BadValue, match="all of it is scent"):
        rescented(Composition.of({"rose-oil": 1}), 0)
    assert rescented(powder, 1, {"rose-oil": 0.5}) == powder, "a part that is not in it is passed over"


# -- what is to be known --------------------------------------------------------------------------------------------------------


def test_limits_of_constituents_and_allergens_as_the_gate_has_them():
    """The same figures as for the whole composition: there is one law, asked in one place."""
    record = example.record("complexion")
    texts = {f.text for f in record.findings()}
    assert {f.text for f in record.scent().findings} <= texts and any("methyl eugenol" in t for t in texts)
    label = {entry.name: entry.share for entry in record.label().allergens}
    assert dict(record.scent().allergens) == pytest.approx(label)


def test_a_forbidden_oil_is_told_inside_an_old_base_too():
    """Heliotrope extract holds oil of bitter almond; a musk of nitro compounds must not be used at all."""
    told = " ".join(f.text for f in hk.scent([("savin-oil", 5, "drop")], 100).findings)
    assert "savin" in told.lower()


def test_how_strong_it_is():
    assert "less than usual" in hk.scent([("rose-oil", 0.01, "per cent")]).verdict()
    assert "within what is usual" in hk.scent([("rose-oil", 0.5, "per cent")]).verdict()
    assert "more than usual" in hk.scent([("rose-oil", 3, "per cent")]).verdict()
    assert "no source" in hk.scent([("rose-oil", 3, "per cent")]).verdict()
    extract = hk.scent([("jasmine-extract", 5, "per cent")])
    assert extract.oil_share < 0.001, "spirit is no scent"
    assert "tooth" in hk.scent([("peppermint-oil", 1, "per cent")], product="tooth-powder").verdict()


def test_what_a_cake_bears():
    record = example.record("complexion")
    oils = record.scent().share.best + record.final().share("jojoba-oil")
    assert f"comes to {100 * oils:.2g} %" in record.scent().bears()
    assert replace(record, pressing=None).scent().bears() == ""


def test_cost(powder):
    made = hk.scent(powder, 100, prices={"jasmine-oil": 10.0}, currency="EUR")
    cost, missing = made.cost()
    assert cost == pytest.approx(4.0) and [i.id for i in missing] == ["bergamot-oil"]
    assert "It costs 4.00 EUR for 100 g, not counting bergamot oil." in made._grid().notes


def test_stocks_for_what_is_under_a_drop():
    made = hk.scent([("rose-oil", 4, "milligram"), ("bergamot-oil", 1, "gram")], 50, own_drops=[("rectified-spirit", 0.3)])
    (stock,) = made.stocks()
    assert stock.ingredient.id == "rose-oil" and stock.grams == pytest.approx(0.04)
    assert stock.drops == pytest.approx(0.04 / 0.015)
    in_oil = made.stocks("jojoba-oil", 0.05)[0]
    assert in_oil.grams == pytest.approx(0.08) and in_oil.solvent.id == "jojoba-oil"
    for solvent, strength in (("talc", 0.1), ("rectified-spirit", 1), ("rectified-spirit", 0)):
        with pytest.raises(BadValue):
            made.stocks(solvent, strength)


def test_the_ladder_of_strips(powder):
    steps = hk.scent(powder, 100).strips((0.5, 1), powder_grams=10)
    assert [s.stock for s in steps] == pytest.approx([0.5, 1.0]) and [s.grams for s in steps] == pytest.approx([0.05, 0.1])
    assert steps[1].drops == pytest.approx(2 * steps[0].drops)
    for factors in ((0,), (10,), (math.nan,)):
        with pytest.raises(BadValue):
            hk.scent(powder, 100).strips(factors)


# -- in the record --------------------------------------------------------------------------------------------------------------


def test_the_record_keeps_it_and_the_batch_follows():
    record = example.record("complexion")
    half = replace(record, scenting=Scenting(strength=0.5))
    now, before = half.composition(), record.composition()
    assert now.share("rose-oil") == pytest.approx(0.5 * before.share("rose-oil"))
    assert half.scent().oil_share == pytest.approx(0.5 * record.scent().oil_share, rel=0.01)
    assert half.scent(as_printed=True) == record.scent()
    assert half.batch().weighing("rose-oil").exact < record.batch().weighing("rose-oil").exact
    assert Record.from_json(half.to_json()) == half
    assert now.part("rose-oil").note == "0.5 times as much as printed" == half.scent().parts[0].said


def test_a_record_from_before_there_was_scent_opens_the_same():
    text = example.record("complexion").to_json()
    import json

    old = json.loads(text)
    del old["scenting"], old["beside"]
    opened = Record.from_json(json.dumps(old))
    assert opened.scenting == Scenting() and opened.composition() == example.record("complexion").composition()


def test_an_extract_counts_by_what_goes_in_though_its_spirit_dries():
    record = replace(example.record("complexion"), scenting=Scenting(added=(AddedScent("jasmine-extract", 20, "drop"),)))
    parts = {p.ingredient.id: p.grams.best for p in record.scent().parts}
    assert parts["jasmine-extract"] > 0 and "jasmine-extract" in record.composition()


def test_choices_that_make_no_sense_in_a_record():
    for wrong in ({"strength": -1}, {"strength": 20}, {"fill": "air"}, {"changed": (("rose-oil", -1),)}, {"per_grams": 0}):
        with pytest.raises(BadValue):
            Scenting(**wrong)
    with pytest.raises(BadValue):
        AddedScent("rose-oil", 1, "pint")
    assert records.Scenting is Scenting


# -- as it is shown ---------------------------------------------------------------------------------------------------------------


def test_as_json():
    made = hk.scent(PARTS, 100, own_drops=[("rose-oil", 0.4)], prices={"rose-oil": 8.0}, currency="EUR", pressed=True)
    assert Scent.from_json(made.to_json()) == made
    for wrong in ("", "{}", "[]", '{"parts": [{}]}'):
        with pytest.raises(BadValue, match="not a scent"):
            Scent.from_json(wrong)


def test_tables_and_bars(tmp_path):
    made = hk.scent([("essence-bouquet", 20, "drop"), ("rose-oil", 3, "milligram")], 100)
    assert made.to_html().count("<table") == made.to_html().count("<caption") == 5
    assert "Askinson" in made.to_text() and "Stocks for what is under a drop" in made.to_markdown()
    bars = made.describe(before=made.scaled(2))
    assert bars.legend == ("as it was", "as it is now") and [r.name for r in bars.rows][:3] == ["top", "heart", "base"]
    for row in bars.rows:
        assert row.lengths[0].value.best == pytest.approx(2 * row.lengths[1].value.best)
    (path,) = made.to_picture(tmp_path / "a.png", (960, 540))
    assert path.stat().st_size > 5000
    assert list(made.to_frame().columns) == ["ingredient", "said", "grams", "percent", "goes"]
