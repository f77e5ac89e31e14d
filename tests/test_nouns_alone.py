"""A noun taken out of its table shows itself; odd values at the doors; errors that travel between processes; broken tables."""

import pickle

import pytest

import histkit as hk
from histkit.base import tables
from histkit.base.errors import BadValue, Forbidden, TableError, UnknownName
from histkit.base.text import show
from histkit.bench.dispensing import SolidAliquot
from histkit.bench.faults import faults_in
from histkit.composing.effects import Effect, Measured, price
from histkit.glossary import tables as glossary_tables
from histkit.keeping import example as demo


@pytest.fixture(scope="module")
def complexion():
    return demo.record("complexion")


def only_row(noun):
    frame = noun.to_frame()
    assert len(frame) == 1
    return frame.iloc[0].to_dict()


def test_one_line_as_read_and_as_translated():
    formula = hk.read("Powdered talc   2 oz.\nCarmine   1 drachm")
    line, translated = formula.lines[0], hk.translate(formula).lines[0]
    assert only_row(line)["raw"] == "Powdered talc 2 oz." and "One line of a formula" in line.to_text()
    row = only_row(translated)
    assert row["today"] == "talc" and row["grams"] == pytest.approx(translated.grams.best)
    assert "One line translated" in translated.to_text()


def test_one_doubt_that_matters():
    formula = hk.read("Talc   1 to 3 oz.\nStarch   2 oz.")
    matter = next(m for m in hk.translate(formula).what_matters() if m.about == "amount")
    # 1 of 3 against 2 of 4 (or 3 of 5): a sixth of the mass is the more of the two
    assert only_row(matter)["effect"] == pytest.approx(100 * (2 / 4 - 1 / 3)) and "What matters most" in matter.to_text()


def test_one_row_of_a_batch_its_sheet_and_its_label(complexion):
    batch = complexion.batch()
    weighing = batch.weighings[0]
    assert only_row(weighing)["grams"] == weighing.grams and "Weighing" in weighing.to_text()
    sheet = batch.bench_sheet().rows[0]
    assert only_row(sheet)["amount"] == sheet.amount and "Weighing" in sheet.to_text()
    entry = complexion.label().entries[0]
    assert only_row(entry)["percent"] == pytest.approx(100 * entry.share) and "Label entry" in entry.to_text()
    row = next(r for r in complexion.table().rows if r.now_percent is not None)
    assert row.today in row.to_text() and "One row of old and new" in row.to_text()


def test_one_figure_one_effect_one_fault():
    before, after = Measured(hk.Spread.exact(2.0)), Measured(hk.Spread.exact(3.0), ("kaolin",), 0.75)
    effect = Effect("x", "Oil that it takes", "g", before, after)
    assert effect.change == pytest.approx(0.5) and effect.certain and effect.without == ("kaolin",)
    assert effect.text() == "Oil that it takes: more (+50 %); 2 before, 3 after g (no value for kaolin)"
    assert "Oil that it takes" in effect.to_text()
    assert only_row(after) == {"value": "3", "known": 75.0, "without": "kaolin"}
    little = Effect("x", "Oil that it takes", "g", before, Measured(hk.Spread.exact(3.0), ("kaolin",), 0.5))
    assert little.change is None and little.verdict() == "not known: no value for kaolin"
    fault = faults_in("it crumbles")[0]
    assert only_row(fault)["cause"] == fault.cause


def test_an_aliquot_of_the_pharmacist_as_a_table():
    """0.2 g made up to 4 g, of which 0.5 g are taken: they hold 0.5 x 0.2 / 4 = 0.025 g."""
    aliquot = SolidAliquot(0.2, 3.8, 4.0, 0.5)
    assert aliquot.content == pytest.approx(0.025)
    assert aliquot.to_frame()["mass"].tolist() == pytest.approx([0.2, 3.8, 4.0, 0.5, 0.025])


def test_all_conventions_as_a_table():
    frame = hk.measures.conventions.to_frame()
    assert set(frame["id"]) == set(hk.measures.conventions)
    assert repr(hk.measures.conventions).startswith(f"<{len(frame)} conventions: ")
    assert "Conventions of measure" in hk.measures.conventions.to_text()


def test_a_price_without_any_price_is_not_nought(complexion):
    answer = price(complexion.final(), {"rose-water": 1.0})
    assert answer.value is None and answer.known_share == 0.0 and "talc" in answer.without


@pytest.mark.parametrize(("cell", "words"), [(None, "–"), (True, "yes"), (False, "no"), (float("nan"), "–"), (float("inf"), "–"), (2, "2"), (0.12345, "0.1235")])
def test_a_cell_as_people_read_it(cell, words):
    assert show(cell) == words


@pytest.mark.parametrize("wrong", [True, 1872.0, "1872"])
def test_a_year_is_a_whole_number(wrong):
    with pytest.raises(BadValue, match="whole number such as 1872"):
        hk.Source(year=wrong)


@pytest.mark.parametrize("wrong", [(2, 1, 3), (1, 4, 3), (1, float("nan"), 3)])
def test_a_spread_is_in_order(wrong):
    with pytest.raises(BadValue, match="low ≤ best ≤ high"):
        hk.Spread(*wrong)


def test_measures_in_words():
    lines = hk.read("Water, q.s. to make 6 fl. oz.\nBorax 1 drachm\nOtto, a few drops\nTalc 2 oz. 175 gr.").lines
    assert [line.measure_text() for line in lines] == ["q.s. to make 6 fluid ounce", "1 drachm", "some (drop)", "2 ounce + 175 grain"]


def test_what_the_package_has_and_has_not():
    assert dir(hk) == sorted(hk.__all__) and all(getattr(hk, name) is not None for name in dir(hk))
    with pytest.raises(AttributeError, match="no attribute 'colour_matching'"):
        _ = hk.colour_matching
    with pytest.raises(AttributeError, match="no attribute 'nothing'"):
        _ = hk.measures.nothing
    assert {"drop_mass", "conventions", "alcohol"} <= set(dir(hk.measures))


def test_errors_come_whole_out_of_another_process():
    """The processes that read whole books send their errors home pickled."""
    unknown = pickle.loads(pickle.dumps(UnknownName("unit of measure", "ounze", ("ounce",))))
    assert (unknown.kind, unknown.name, unknown.near) == ("unit of measure", "ounze", ("ounce",))
    assert str(unknown) == "no unit of measure is called 'ounze'. Did you mean 'ounce'?" and isinstance(unknown, KeyError)
    refused = pickle.loads(pickle.dumps(Forbidden("not with lead", ("lead-carbonate",))))
    assert (str(refused), refused.ingredients) == ("not with lead", ("lead-carbonate",))


def test_a_table_that_is_not_there_and_a_row_that_does_not_fit(tmp_path, monkeypatch):
    for name in ("nothing", "../glossary/names"):
        with pytest.raises(TableError, match="has no table"):
            tables.read(name)
    monkeypatch.setattr(tables, "PACKAGE", tmp_path / "histkit")
    path = tmp_path / "histkit" / "x.csv"
    path.parent.mkdir()
    for row in ("1", "1,2,3"):
        path.write_text(f"a,b\n1,2\n{row}\n", encoding="utf-8")
        with pytest.raises(TableError, match=r"histkit/x\.csv, row 3: its cells do not fit the heading \['a', 'b'\]"):
            tables.rows_of(path)
    path.write_text("a,b\n 1 ,2\n", encoding="utf-8")
    assert tables.rows_of(path) == ({"a": "1", "b": "2"},)
    assert tables.rows_of(path, strip=False) == ({"a": " 1 ", "b": "2"},)


@pytest.mark.parametrize(("text", "told"), [
    ("ingredient,name\ntalc,Talc\n", "are wanted"),
    ("ingredient,name,language,form,period,region,certainty,source\ntalc,Talc\n", "fewer cells than the heading"),
])
def test_a_damaged_table_of_names_is_told(tmp_path, text, told):
    (tmp_path / "names.csv").write_text(text, encoding="utf-8")
    with pytest.raises(TableError, match=told):
        glossary_tables.names_in(tmp_path)
