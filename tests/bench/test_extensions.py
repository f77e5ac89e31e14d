"""Colour extensions in a batch: ground on the sheet, pigment and base counted as themselves, and all of it adds up."""

import math
import re
from dataclasses import replace

import pytest
from hypothesis import assume, given, settings
from hypothesis import example as this_too
from hypothesis import strategies as st

import histkit as hk
from histkit.base.errors import BadValue, Forbidden
from histkit.keeping import example
from histkit.keeping.records import Record, TakenExtension
from histkit.shade import Extension, tinted

YELLOW, RED = "iron-oxide-yellow", "iron-oxide-red"
POWDER = {"rice-starch": 60.0, "talc": 25.0, "zinc-oxide": 15.0}


def powder(grams=None):
    return hk.Composition.of(grams or POWDER, name="face powder")


def test_five_milligrams_of_carmine_in_a_hundred_grams_by_hand():
    """5 mg of carmine as an extension of 1 %: 0.5 g of it, which holds 0.005 g; 0.495 g of the 25 g of talc come with it."""
    extension = Extension("carmine", "talc", 0.01)
    mixture = tinted(powder(), [(extension, 0.5)])
    assert mixture.share("carmine") == pytest.approx(0.00005)
    assert mixture.share("talc") == pytest.approx(0.25 * 0.99995)
    batch = hk.batch(mixture, 100, hk.Balance(0.01, 0.2), extensions=[extension])
    taken = batch.weighing("carmine").aliquot
    assert (taken.kind, taken.diluent.id, taken.take) == ("extension", "talc", pytest.approx(0.5))
    assert (taken.stages[0].weigh, taken.stages[0].diluent) == (pytest.approx(0.2), pytest.approx(19.8))
    assert batch.weighing("talc").direct == pytest.approx(24.51, abs=0.011)
    assert batch.to_weigh["carmine"] == pytest.approx(0.2) and batch.to_weigh["talc"] == pytest.approx(24.51 + 19.8, abs=0.011)


shares = st.sampled_from([0.05, 0.1, 0.2, 0.35, 0.5])
amounts = st.floats(0.2, 20)
taken = st.lists(
    st.tuples(st.sampled_from([YELLOW, RED, "iron-oxide-black"]), st.sampled_from(["talc", "kaolin"]), shares, amounts),
    min_size=1, max_size=3, unique_by=lambda entry: entry[0],
)  # fmt: skip


@this_too([(YELLOW, "talc", 0.05, 0.25)], 20.0, 0.1)  # half a division of the extension: twice as much is taken, and told
@this_too([(YELLOW, "kaolin", 0.05, 15.0), (RED, "kaolin", 0.05, 11.0), ("iron-oxide-black", "talc", 0.1, 19.0)], 32.0, 0.1)
@settings(max_examples=60, deadline=None)
@given(taken, st.floats(20, 500), st.sampled_from([0.001, 0.01, 0.1]))
def test_whatever_is_taken_the_shares_and_the_grams_add_up(entries, grams, readability):
    extensions = [(Extension(pigment, base, share), per_cent) for pigment, base, share, per_cent in entries]
    mixture = tinted(powder(), extensions)
    assert math.fsum(p.share for p in mixture.parts) == pytest.approx(1, abs=1e-12)
    for extension, per_cent in extensions:
        assert mixture.share(extension.pigment) == pytest.approx(per_cent / 100 * extension.share)
    for base in {e.base for e, _ in extensions}:
        brought = sum(per_cent / 100 * (1 - e.share) for e, per_cent in extensions if e.base == base)
        assert mixture.share(base) >= brought - 1e-12
    assert mixture.share("rice-starch") / mixture.share("zinc-oxide") == pytest.approx(4), "the rest keeps its proportions"
    balance = hk.Balance(readability, 20 * readability)
    try:
        batch = hk.batch(mixture, round(grams), balance, extensions=[e for e, _ in extensions])
    except BadValue as refusal:
        assert "too little of its base" in str(refusal)
        assume(False)
    unit = balance.readability
    assert round(sum(w.grams for w in batch.weighings) / unit, 6) == pytest.approx(round(grams) / unit, abs=1e-6)
    weighed = sum(w.direct + (w.aliquot.take if w.aliquot else 0.0) for w in batch.weighings)
    assert weighed == pytest.approx(round(grams), abs=1e-6), "what goes on the balance is the batch"
    assert sum(w.content for w in batch.weighings) == pytest.approx(round(grams), abs=1e-6)
    assert all(w.direct >= -1e-9 for w in batch.weighings)
    for extension, _ in extensions:
        weighing = batch.weighing(extension.pigment)
        (stage,) = weighing.aliquot.stages
        assert weighing.aliquot.kind == "extension" and weighing.direct == 0
        assert stage.weigh >= balance.minimum - 1e-9 and stage.diluent >= balance.minimum - 1e-9 and stage.mixture >= stage.take
        assert weighing.content == pytest.approx(stage.take * stage.weigh / stage.mixture)
        wanted = weighing.exact * stage.mixture / stage.weigh
        assert abs(stage.take - wanted) <= max(unit / 2 if wanted >= unit / 2 else unit, batch.error_limit * wanted) + 1e-9
        assert "may be off by" in weighing.note or weighing.whole_error <= batch.error_limit + 1e-9, "what is far off is told"
    assert batch.bench_sheet().steps[-1].holds == pytest.approx(round(grams)), "the mortar holds the whole batch in the end"


def test_the_sheet_grinds_it_before_it_is_rubbed_in():
    extension = Extension(YELLOW, "talc", 0.2)
    sheet = hk.batch(tinted(powder(), [(extension, 5)]), 60, extensions=[extension]).bench_sheet()
    steps = [step.step for step in sheet.steps]
    ground = [n for n, words in enumerate(steps) if words.startswith("Extension A, yellow iron oxide: ")]
    assert "grind it alone until no speck is left" in steps[ground[0]]
    assert re.search(r"Take 3\.00 g of it, extension A, which holds 0\.\d+ g", steps[ground[-1]])
    rubbed = next(n for n, words in enumerate(steps) if words.startswith("Rub down the colours"))
    assert ground[-1] < rubbed and "extension A (yellow iron oxide in talc) 3.00 g" in steps[rubbed]
    assert "with the rest of the extension the shade is corrected" in sheet.to_markdown()
    (row,) = [row for row in sheet.rows if row.name == "yellow iron oxide"]
    assert row.amount == "3.00 g" and "of extension A, in talc" in row.note


def test_a_base_that_comes_with_the_extension_alone_is_not_weighed_apart():
    extension = Extension(RED, "kaolin", 0.2)
    batch = hk.batch(tinted(powder(), [(extension, 5)]), 60, extensions=[extension])
    assert batch.weighing("kaolin").direct == 0
    (row,) = [row for row in batch.bench_sheet().rows if row.name == "kaolin"]
    assert (row.amount, row.note) == ("–", "2.40 g in all, which comes with the extension")
    assert not any("kaolin" in warning for warning in batch.warnings)


def test_a_batch_with_extensions_comes_back_from_its_file():
    extension = Extension(RED, "talc", 0.1)
    batch = hk.batch(tinted(powder(), [(extension, 5)]), 60, extensions=[extension])
    assert hk.Batch.from_json(batch.to_json()) == batch
    assert batch.extensions == (extension,)


def test_the_law_sees_the_pigment_and_not_a_preparation():
    extension = Extension("red-lead", "talc", 0.1)
    with pytest.raises(Forbidden, match="lead"):
        hk.batch(tinted(powder(), [(extension, 5)]), 60, extensions=[extension])


@pytest.mark.parametrize(
    ("entries", "words"),
    [
        ([(Extension(RED), None)], "no red iron oxide in the powder"),
        ([(Extension(RED), 0)], "at most 90 %"),
        ([(Extension(RED), 2), (Extension(RED, "kaolin"), 2)], "not two"),
        ([(Extension(RED, "kaolin", 0.1), 80), (Extension(YELLOW, "kaolin", 0.1), 80)], "than there is room for"),
        ([(Extension("zinc-oxide"), 2), (Extension(RED, "zinc-oxide"), 2)], "itself ground"),
    ],
)
def test_what_cannot_be_taken_is_refused(entries, words):
    with pytest.raises(BadValue, match=words):
        tinted(powder(), entries)


def test_without_its_base_there_is_no_extension():
    with pytest.raises(BadValue, match="too little of its base"):
        hk.batch(powder({"rice-starch": 99.0, RED: 1.0}), 60, extensions=[Extension(RED)])


def test_a_record_takes_them_into_its_batch():
    main = example.record("complexion")
    record = replace(main, extensions=(TakenExtension(YELLOW, "talc", 0.2, 6.0), TakenExtension("carmine", "talc", 0.1)))
    assert Record.from_json(record.to_json()) == record
    batch = record.batch()
    assert record.composition().share(YELLOW) == pytest.approx(0.012)
    assert batch.weighing(YELLOW).aliquot.kind == "extension"
    assert [e.pigment for e in batch.extensions] == [YELLOW], "the carmine is not in the powder and passed over"
    assert sum(w.grams for w in batch.weighings) == pytest.approx(batch.grams)
    assert YELLOW in batch.to_weigh and "yellow iron oxide" in record.shopping_list().to_text()
    assert "CI 77492" in record.label().to_text()
    assert "weighed by aliquot" not in record.table().to_text() or "yellow iron oxide" not in record.table().to_text().split("aliquot")[1]


def test_a_formulas_own_carmine_goes_in_as_an_extension():
    own = Record(text="Talc 4 oz.\nRice starch 4 oz.\nCarmine 2 grains\n", extensions=(TakenExtension("carmine", "talc", 0.05),))
    batch = own.batch()
    assert batch.weighing("carmine").aliquot.kind == "extension"
    assert own.composition().share("carmine") == pytest.approx(replace(own, extensions=()).composition().share("carmine"))
