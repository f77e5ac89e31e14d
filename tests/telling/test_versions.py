"""Formulas side by side: what stands beside what, what makes up for what, in every shape that is shown."""

import math
from itertools import groupby

import openpyxl
import pytest
from drawn import sound, words_of
from hypothesis import given, settings
from hypothesis import strategies as st

import histkit as hk
from histkit.base.errors import BadValue
from histkit.composing.composition import Composition
from histkit.display import pictures
from histkit.keeping import example
from histkit.telling.versions import Versions

OLD = "Pearl Powder\nFrench chalk 4 oz.\nWhite lead 2 oz.\nOtto of rose 5 drops"
NEW = "Pearl Powder\nFrench chalk 4 oz.\nOxide of zinc 1 oz.\nRice starch 3 oz."


@pytest.fixture(scope="module")
def side():
    old, new = (hk.translate(hk.read(text, source=hk.Source(year=year))) for text, year in ((OLD, 1850), (NEW, 1900)))
    return hk.versions([old, new, hk.ingredient_list("Talc, Zinc Oxide, Parfum", name="a tin")])


def ids(ingredients):
    return [i.id for i in ingredients]


def test_names_core_and_what_only_one_has(side):
    assert side.names == ("Pearl Powder (1850)", "Pearl Powder (1900)", "a tin")
    assert ids(side.core) == ["talc"]
    assert set(ids(side.only(0))) == {"lead-carbonate", "rose-oil"}
    assert ids(side.only(1)) == ["rice-starch"] and ids(side.only(2)) == ["perfume"] == ids(side.only(-1))


def test_rows_and_frame(side):
    frame = side.to_frame()
    assert list(frame.columns) == list(side.names) and frame.index.name == "ingredient"
    assert frame.loc["talc"].iloc[:2].tolist() == pytest.approx([400 / 6.02, 50], abs=0.3)
    assert frame.loc["lead-carbonate"].tolist()[1:] == [0, 0], "not in it"
    assert math.isnan(frame.loc["zinc-oxide", "a tin"]), "in it, without an amount"
    assert frame.iloc[:, 0].sum() == pytest.approx(100) == frame.iloc[:, 1].sum()
    roles = [row.role for row in side.rows]
    assert [role for role, _ in groupby(roles)] == list(dict.fromkeys(roles)), "what does the same stands together"


def test_what_makes_up_for_what(side):
    opacity = next(e for e in side.makes_up(0, 1) if e.role == "opacity")
    assert ids(i for i, _ in opacity.gone) == ["lead-carbonate"] and ids(i for i, _ in opacity.come) == ["zinc-oxide"]
    assert opacity.come[0][1] == pytest.approx(side.at(1).shares["zinc-oxide"])
    slip = [e for e in side.makes_up(0, 1) if e.role == "slip"]
    assert slip == [], "both have talc"
    back = next(e for e in side.makes_up(1, 0) if e.role == "opacity")
    assert ids(i for i, _ in back.come) == ["lead-carbonate"]
    told = " ".join(side.to_markdown().split())
    assert "lead carbonate 33.3 % (must not be used)" in told
    assert "lead carbonate must not be used: it is in Pearl Powder (1850). Replace it" in told


def test_a_scent_that_nothing_makes_up_for(side):
    scent = next(e for e in side.makes_up(0, 1) if e.role == "fragrance")
    assert ids(i for i, _ in scent.gone) == ["rose-oil"] and scent.come == ()


def test_distance_mean_and_lists(side):
    assert side.distance(0, 0) == 0 and side.distance(0, 1) == side.distance(1, 0) > 0
    assert sum(p.share for p in side.mean.parts) == pytest.approx(1)
    for place in ((0, 2), (2, 1), (2, 2)):
        with pytest.raises(BadValue, match="'a tin' is a list without amounts"):
            side.distance(*place)
    two = hk.versions([side.at(0), side.at(1)])
    assert two.distance(0, 1) == side.distance(0, 1), "a third beside them changes nothing"
    assert side.by_role()["slip"][2] is None and side.by_role()["slip"][1] == pytest.approx(0.5, abs=0.01)


def test_what_is_usual_by_hand(side):
    """Talc in all three, 66.4 and 50 % where it is weighed; zinc oxide in two, weighed in one; the rest in one of three."""
    talc, zinc, *rest = side.usual
    assert (talc.ingredient.id, talc.held, talc.among, talc.in_all) == ("talc", 3, 3, True)
    first, second = 400 / 6.02 / 100, 0.5
    assert (talc.shares.low, talc.shares.high) == pytest.approx((second, first), abs=0.003)
    assert talc.shares.best == pytest.approx((first + second) / 2, abs=0.003), "the median of two is the middle between them"
    assert (zinc.ingredient.id, zinc.held, zinc.in_all) == ("zinc-oxide", 2, False)
    assert zinc.shares.low == zinc.shares.best == zinc.shares.high
    assert {u.held for u in rest} == {1} and len(side.usual) == len(side.rows)
    perfume = next(u for u in rest if u.ingredient.id == "perfume")
    assert perfume.shares is None, "a tin's list says nothing of how much"
    told = side.usual_grid()
    assert told.rows[0][2] == "all\u00a03" and told.rows[1][2] == "2\u00a0of\u00a03"
    assert told.rows[1][3] is None is told.rows[1][5] and told.rows[1][4] > 0, "one figure is no range"


def test_what_only_may_be_in_a_tin_does_not_count():
    tin = hk.ingredient_list("Talc, Zinc Stearate (+/- CI 77491)", "a tin")
    side = hk.versions([hk.Composition.of({"talc": 99, "iron-oxide-red": 1}, name="mine"), tin])
    red = next(u for u in side.usual if u.ingredient.id == "iron-oxide-red")
    assert (red.held, red.among) == (1, 2)


def test_an_odd_formula_does_not_move_the_middle():
    even = [hk.Composition.of({"talc": share, "rice-starch": 100 - share}, name=f"powder {n}") for n, share in enumerate((48, 50, 52))]
    odd = hk.Composition.of({"talc": 90, "rice-starch": 5, "zinc-oxide": 5}, name="odd")
    talc = next(u for u in hk.versions([*even, odd]).usual if u.ingredient.id == "talc")
    assert talc.shares.best == pytest.approx(0.51) and talc.shares.high == pytest.approx(0.9)


def test_a_mean_is_shown_only_of_formulas_that_hold_the_same(side):
    assert not side.alike and "Their mean" not in side.to_markdown()
    same = hk.versions([hk.Composition.of({"talc": share, "kaolin": 1 - share}, name=str(share)) for share in (0.2, 0.8)])
    assert same.alike and "Their mean" in same.to_markdown()
    assert same.mean.share("talc") == pytest.approx(0.5), "the geometric mean of 0.2 and 0.8, closed with that of 0.8 and 0.2"


def test_all_that_may_stand_side_by_side():
    record = example.record("complexion")
    pressed, batch = record.pressed(), record.batch()
    side = hk.versions([record.translation(), record.composition(), pressed, batch, record, record.formula(), "Talc, Mica"])
    assert len(set(side.names)) == 7 and side.names[2].endswith("pressed")
    assert [v.form for v in side.versions] == ["loose", "loose", "pressed", "pressed", "pressed", "loose", "list"]
    assert side.distance(2, 4) == pytest.approx(0, abs=1e-9), "a record is what is weighed of it"
    assert side.distance(0, 5) == pytest.approx(0, abs=1e-9)
    powders = hk.versions([record.composition(), pressed], without_binders=True)
    assert powders.distance(0, 1) == pytest.approx(0, abs=1e-9) and powders.versions[1].form == "loose"


def test_names_of_ones_own(side):
    assert hk.versions([side.at(0), side.at(1)], names=["mine", "hers"]).names == ("mine", "hers")
    for names in (["one"], ["a", "a"], ["a", " "]):
        with pytest.raises(BadValue, match="2 different names"):
            hk.versions([side.at(0), side.at(1)], names=names)


@pytest.mark.parametrize(
    ("given", "told"), [([], "not 0"), (["Talc"], "not 1"), (["Talc"] * 9, "not 9"), (["Talc", 7], "formula 2 is a int")]
)
def test_refusals(given, told):
    with pytest.raises(BadValue, match=told):
        hk.versions(given)


def test_a_place_that_is_not_there(side):
    for wrong in (3, -4, 1.0, True, "0"):
        with pytest.raises(BadValue, match="counted from 0 to 2"):
            side.at(wrong)


@settings(deadline=None, max_examples=30)
@given(
    st.lists(
        st.dictionaries(st.sampled_from(["talc", "kaolin", "zinc-oxide", "rice-starch", "rose-oil"]), st.floats(0.01, 9), min_size=1),
        min_size=2, max_size=8,
    ),
    st.floats(0.01, 100),
)  # fmt: skip
def test_what_always_holds(mixtures, factor):
    made = [Composition.of(m) for m in mixtures]
    side = hk.versions([*made[:-1], Composition.of({k: v * factor for k, v in mixtures[-1].items()})])
    last = len(made) - 1
    assert side.distance(0, last) == pytest.approx(aitchison_of(made[0], made[-1]), abs=1e-9), "the size of a batch says nothing"
    assert {row.ingredient.id for row in side.rows} == set().union(*mixtures)
    assert set(ids(side.core)) == set(mixtures[0]).intersection(*mixtures)
    assert side.to_frame().sum().tolist() == pytest.approx([100] * len(made))
    for exchange in side.makes_up(0, last):
        assert all(i.id in mixtures[0] and i.id not in mixtures[last] for i, _ in exchange.gone)
    gone = [i.id for e in side.makes_up(0, last) for i, _ in e.gone]
    assert sorted(gone) == sorted(set(mixtures[0]) - set(mixtures[last])), "each loss is told once"


def aitchison_of(one, two):
    return hk.versions([one, two]).distance(0, 1)


# -- as it is shown ---------------------------------------------------------------------------------------------------------


def test_as_json(side):
    again = Versions.from_json(side.to_json())
    assert again.to_text() == side.to_text() and again == side
    for wrong in ("", "[]", '{"versions": 3}'):
        with pytest.raises(BadValue, match="side by side"):
            Versions.from_json(wrong)


def test_as_files(side, tmp_path):
    text = side.to_csv(tmp_path / "a.csv").read_text(encoding="utf-8")
    assert text.splitlines()[0] == '"ingredient","name","does","Pearl Powder (1850)","Pearl Powder (1900)","a tin"'
    book = openpyxl.load_workbook(side.to_xlsx(tmp_path / "a.xlsx"))
    assert len(book.sheetnames) == 4
    cells = {row[0].value: row for row in book.worksheets[0].iter_rows(min_row=2)}
    assert cells["talc"][3].value == pytest.approx(50, abs=0.1) and "1st of 3" in cells["talc"][4].value


def test_as_html_and_markdown(side):
    assert side.to_html().count("<table") == 4 == side.to_html().count("<caption")
    assert "| talc |" in side.to_markdown() and side._repr_html_() == side.to_html()
    odd = hk.versions(["Talc, <b>Mica</b>", "Talc"], names=["<i>one</i>", "=two"])
    assert "<i>" not in odd.to_html() and "<b>" not in odd.to_html()


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920), (1000, 1000)])
def test_the_strips(side, size, theme):
    frames = pictures.draw(side.describe(), size, theme)
    for frame in frames:
        sound(frame)
    assert all(name in words_of(frames) for name in ("talc", "lead carbonate", "a tin", "2nd"))
    assert "Must not be used: lead carbonate" in words_of(frames) or len(frames) > 1
    assert "talc (slip): Pearl Powder (1850) 66.6 %; Pearl Powder (1900) 50.0 %; a tin 1st." in frames[0].alt


def test_what_only_may_be_in_it_is_drawn_so():
    side = hk.versions(["Talc. May contain: CI 77491", "Talc"])
    assert [cell.text for cell in side.describe().rows[-1].cells] == ["perhaps", "–"]
    assert "may be in it" in side.to_text()
    lists = hk.versions(["Zinc Oxide, Talc, Kaolin", "Zinc Oxide, Talc"])
    assert [row.ingredient.id for row in lists.rows] == ["zinc-oxide", "talc", "kaolin"], "by their place where nothing else is known"


def test_eight_strips_with_long_names(tmp_path):
    long = [
        Composition.of({"talc": n, "kaolin": 1}, name=f"A very long title of a powder with many words, number {n}")
        for n in range(1, 9)
    ]
    for path in hk.versions(long).to_picture(tmp_path / "a.png", (1080, 1920)):
        assert path.stat().st_size > 5000
