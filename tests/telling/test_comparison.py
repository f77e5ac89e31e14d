"""The table of old and new: rows, sums, what is told, and every file it is written to."""

import csv
import io
import re
import subprocess
import sys
import zipfile

import invented_powder as ip
import openpyxl
import pandas
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from histkit.base.errors import BadValue
from histkit.bench.batching import batch
from histkit.bench.weighing import Balance
from histkit.composing.composition import Composition
from histkit.reading.formula import Line
from histkit.telling.comparing import compare
from histkit.telling.comparison import ComparisonTable
from histkit.telling.printing import SIGNS, percent_text, printed_percents, printed_words


def rows_by_name(table: ComparisonTable) -> dict[str, object]:
    return {row.today: row for row in table.rows}


# -- rows -----------------------------------------------------------------------------------------------------------------


def test_one_row_for_each_printed_line_in_the_order_of_the_book():
    table = ip.table()
    assert [row.line for row in table.lines] == [1, 2, 3, 4, 5, 6, 7]
    assert [row.printed for row in table.lines] == [
        "Wheat starch, 8 oz.",
        "French chalk, 4 oz.",
        "White lead, finely levigated, 2 oz.",
        "Powdered orris-root, 1 oz.",
        "Precipitated chalk, 1/2 oz.",
        "Otto of rose, 10 drops.",
        "[Otto of] bergamot, 20 drops.",
    ]
    assert [row.today for row in table.rows[-2:]] == ["magnesium stearate", "jojoba oil"]
    assert [row.change for row in table.rows[-2:]] == ["added as dry binder", "added as liquid binder"]


def test_a_replaced_line_shows_what_stands_in_its_place_and_why():
    block = next(b for b in ip.table().blocks() if b[0].line == 3)
    assert [row.today for row in block] == ["lead carbonate (white lead)", "zinc oxide", "titanium dioxide"]
    assert block[0].fate == "replaced"
    assert block[0].change == f"replaced by zinc oxide and titanium dioxide: {ip.REASON}"
    assert block[0].grams is None
    assert block[0].now is None
    shares = ip.composition()
    assert [row.now for row in block[1:]] == [shares.share("zinc-oxide"), shares.share("titanium-dioxide")]
    assert block[1].change == "in place of lead carbonate (white lead), 0.7 g for each gram"


def test_every_weighing_stands_in_exactly_one_row():
    made = ip.made_batch()
    grams = {row.ingredient.id: row.grams for row in ip.table().rows if row.grams is not None}
    assert grams == {w.ingredient.id: w.grams for w in made.weighings}
    assert sum(row.grams is not None for row in ip.table().rows) == len(made.weighings)


def test_lines_of_the_same_ingredient_are_weighed_once_and_say_so():
    table = ip.table(repeat=2)
    first, again = (row for row in table.lines if row.today == "talc")
    assert first.grams == ip.made_batch(repeat=2).weighing("talc").grams
    assert again.grams is None
    assert again.fate == "again"
    assert again.change == "the same ingredient as line 2: weighed there, once"
    assert again.then is not None  # the book's share of each line is its own
    assert any("weighed together with an earlier line" in note for note in table.notes)
    assert table.grams_total == 60


def test_a_stand_in_that_the_book_has_anyway_is_weighed_in_its_own_line():
    translation = ip.translation()
    composition = translation.composition().replace("lead-carbonate", {ip.INGREDIENTS["talc"]: 1.0}, reason="it is a poison")
    table = compare(translation, batch(composition, 50))
    named = {row.line: row for row in table.lines}
    assert named[2].change == "kept, and stands in for lead carbonate (white lead)"
    assert named[3].change == "replaced by talc: it is a poison (talc: weighed in another row)"
    assert sum(row.ingredient is not None and row.ingredient.id == "talc" for row in table.rows) == 1
    assert table.grams_total == 50


def test_a_stand_in_that_was_replaced_in_turn_is_followed_to_the_end():
    translation = ip.translation()
    zinc, titanium = ip.INGREDIENTS["zinc-oxide"], ip.INGREDIENTS["titanium-dioxide"]
    composition = translation.composition().replace("lead-carbonate", {zinc: 0.5}, reason="poison")
    composition = composition.replace("zinc-oxide", {titanium: 0.8}, reason="none at hand")
    block = next(b for b in compare(translation, composition=composition).blocks() if b[0].line == 3)
    assert block[0].change == "replaced by zinc oxide: poison; zinc oxide replaced by titanium dioxide in turn: none at hand"
    assert [row.today for row in block[1:]] == ["titanium dioxide"]
    assert block[1].change == "in place of lead carbonate (white lead), 0.4 g for each gram"


def test_a_stand_in_for_two_lines_stands_by_itself():
    translation = ip.translation()
    carmine = {ip.INGREDIENTS["carmine"]: 1.0}
    composition = translation.composition().replace("lead-carbonate", carmine).replace("orris-root", carmine)
    table = compare(translation, composition=composition)
    stand_ins = [row for row in table.rows if row.today == "carmine"]
    assert len(stand_ins) == 1
    assert abs(stand_ins[0].now - composition.share("carmine")) < 1e-12


def test_what_is_left_out_and_what_is_gone_without_a_reason():
    translation = ip.translation()
    without = translation.composition().replace("lead-carbonate", {}, reason="it is a poison")
    row = compare(translation, composition=without).lines[2]
    assert (row.fate, row.change) == ("left out", "left out: it is a poison")
    bare = Composition.of([(ip.INGREDIENTS["talc"], 1.0)])
    gone = compare(translation, composition=bare)
    assert gone.lines[0].fate == "gone"
    assert gone.lines[0].signs
    assert "no reason was recorded" in gone.doubts_of(gone.lines[0])
    assert gone.lines[1].fate == "kept"


def test_a_forbidden_ingredient_that_is_still_there_is_called_so():
    translation = ip.translation()
    row = compare(translation, composition=translation.composition()).lines[2]
    assert row.fate == "forbidden"
    assert row.change == "must not be used: replace it before anything is weighed"


def test_an_unknown_ingredient_keeps_its_printed_name_and_its_share():
    translation = ip.translation(extra=("Saxon moonwort, 1 oz.",))
    table = compare(translation, composition=translation.composition())
    row = table.lines[-1]
    assert (row.fate, row.today) == ("unknown", "Saxon moonwort, 1 oz.")
    assert row.now is not None
    assert row.signs
    assert "Not in the glossary" in table.doubts_of(row)


def test_an_unknown_ingredient_can_be_replaced_too():
    translation = ip.translation(extra=("Saxon moonwort",))
    old = translation.composition()
    unknown = next(i.id for i in old.ingredients if i.id.startswith("unknown-"))
    composition = old.replace(unknown, {ip.INGREDIENTS["carmine"]: 1.0}, reason="nobody knows it")
    table = compare(translation, composition=composition)
    block = next(b for b in table.blocks() if b[0].line == 8)
    assert block[0].change == "replaced by carmine: nobody knows it"
    assert [row.today for row in block[1:]] == ["carmine"]
    assert table.now_total == 100


def test_a_line_without_a_weight_is_told_not_counted():
    translation = ip.translation()
    from dataclasses import replace

    lines = list(translation.lines)
    lines[3] = replace(lines[3], grams=None, share=None, line=replace(lines[3].line, amount=None, unit="q.s."))
    total = sum(t.grams.best for t in lines if t.grams)
    lines = [replace(t, share=t.share and t.grams and t.grams * (1 / total)) for t in lines]
    without = replace(translation, lines=tuple(lines))
    composition = without.composition().replace("lead-carbonate", {ip.INGREDIENTS["zinc-oxide"]: 1})
    table = compare(without, batch(composition, 20))
    row = table.lines[3]
    assert row.fate == "no weight"
    assert row.change == "no amount is printed: not in the shares, add it by hand"
    assert row.signs
    assert (table.then_total, table.now_total, table.grams_total) == (100, 100, 20)


def test_more_of_something_the_book_had_is_noticed():
    translation = ip.translation()
    parts = [(p.ingredient, p.share * (3 if p.ingredient.id == "orris-root" else 1)) for p in translation.composition().parts]
    table = compare(translation, composition=Composition.of(parts))
    assert table.lines[3].change == "kept, with more of it"
    assert table.lines[1].change == "kept"


def test_without_a_batch_there_are_no_grams_and_without_a_composition_no_new_shares():
    loose = compare(ip.translation(), composition=ip.composition())
    assert loose.has_now and not loose.has_grams
    assert loose.grams_total is None
    old = compare(ip.translation())
    assert not old.has_now
    assert len(old.rows) == 7
    assert old.then_total == 100
    assert old.now_total is None


def test_a_composition_that_is_not_the_batch_s_is_refused():
    with pytest.raises(BadValue, match="not the one of the batch"):
        compare(ip.translation(), ip.made_batch(), ip.translation().composition())


# -- doubts, source -----------------------------------------------------------------------------------------------------------


def test_every_doubtful_line_has_a_sign_and_every_sign_a_text():
    table = ip.table()
    for row, line in zip(table.lines, ip.translation().lines, strict=True):
        assert bool(row.signs) == bool(line.doubts)
        for doubt in line.doubts:
            assert doubt.text in table.doubts_of(row)
    assert [note.sign for note in table.footnotes] == ["†", "‡"]  # two lines share the second doubt
    assert table.lines[5].signs == table.lines[6].signs == ("‡",)


def test_signs_never_run_out():
    from dataclasses import replace

    from histkit.base.nouns import Doubt

    translation = ip.translation(repeat=2)
    lines = tuple(replace(t, doubts=(Doubt("amount", f"Doubt number {n}."),)) for n, t in enumerate(translation.lines))
    signs = [note.sign for note in compare(replace(translation, lines=lines)).footnotes]
    assert len(set(signs)) == 14
    assert signs[:6] == [*SIGNS, "††"]


def test_source_and_title_are_held():
    table = ip.table()
    assert table.source == ip.SOURCE
    assert table.title == "Larkspur's White Powder for the Complexion"
    for text in (table.to_html(), table.to_markdown(), table.to_text()):
        assert "The Larkspur Closet" in text
        assert "1871" in text


# -- sums -----------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("repeat", [1, 2, 5])
def test_printed_columns_add_up(repeat):
    table = ip.table(repeat=repeat)
    for key, total in (("then_percent", 100), ("now_percent", 100), ("grams", 60)):
        assert sum(round(1e6 * getattr(row, key)) for row in table.rows if getattr(row, key) is not None) == total * 1_000_000
    printed = [table.figures(row) for row in table.rows]
    for place, decimals in ((0, table.then_decimals), (1, table.now_decimals)):
        figures = [f[place] for f in printed if f[place] != "–" and not f[place].startswith("<")]
        assert sum(round(float(f) * 10**decimals) for f in figures) == 100 * 10**decimals
    assert table.total_figures()[2] == "60.00"


@given(st.lists(st.floats(1e-9, 1), min_size=1, max_size=30))
@settings(max_examples=200, deadline=None)
def test_any_shares_add_to_100_as_printed_and_none_is_off_by_more_than_its_last_digit(weights):
    total = sum(weights)
    shares = [w / total for w in weights]
    figures, decimals = printed_percents(shares)
    assert 1 <= decimals <= 2
    assert sum(round(f * 10**decimals) for f in figures) == 100 * 10**decimals
    assert all(abs(f - 100 * s) <= 10**-decimals * 1.000001 for f, s in zip(figures, shares, strict=True))


def test_a_share_too_small_to_print_is_not_printed_as_nothing():
    assert printed_percents([0.9996, 0.0004])[1] == 2  # 0.04 % would be 0.0
    assert printed_percents([0.99999, 0.00001])[1] == 2  # a thousandth of a per cent is told as less than 0.01
    assert percent_text(0.0, 1e-7, 3) == "<0.001"
    assert percent_text(0.0, 0.0, 1) == "0.0"
    assert percent_text(None, None, 1) == "–"


def test_an_amount_finer_than_the_balance_keeps_its_digits():
    table = compare(ip.translation(), batch(ip.composition(), 6, Balance(0.01, 0.05)))
    fine = [row for row in table.rows if row.grams is not None and round(row.grams, 2) != row.grams]
    assert fine, "the aliquots of this batch are meant to be finer than the balance"
    for row in fine:
        assert abs(float(table.figures(row)[2]) - row.grams) < 1e-6
    assert table.grams_total == 6


# -- printed words ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("raw", "extra", "expected"),
    [
        ("℞ Cretæ præcipitatæ ..................... ℥iv.", {}, "℞ Cretæ præcipitatæ ℥iv."),
        ("Wheat starch . . . . . 8 oz.", {}, "Wheat starch 8 oz."),
        ('"  bergamot,  20 drops.', {"carried": "Otto of"}, "[Otto of] bergamot, 20 drops."),
        ("do. lavender, 5 drops;", {"carried": "Oil of"}, "[Oil of] lavender, 5 drops."),
        ("oxide of zinc,\n   an ounce;", {}, "oxide of zinc, an ounce"),
        ("Pulv. myrrhæ,", {"of_each": True, "ingredient": "Pulv. myrrhæ"}, "Pulv. myrrhæ [2 drachms of each]"),
        ("Sacchari lactis āā ʒij.", {"of_each": True, "ingredient": "Sacchari lactis"}, "Sacchari lactis āā ʒij."),
    ],
)
def test_printed_words_are_the_book_s_own(raw, extra, expected):
    line = Line(raw, (0, len(raw)), 2.0, "drachm", extra.pop("ingredient", "x"), **extra)
    words = printed_words(line)
    assert words == expected.rstrip(";").rstrip() or words == expected.replace("drops.", "drops")


# -- files -------------------------------------------------------------------------------------------------------------------------


def test_the_frame_holds_the_printed_figures_and_the_limits():
    frame = ip.table().to_frame()
    assert list(frame.columns[:4]) == ["line", "fate", "printed", "today"]
    assert len(frame) == len(ip.table().rows)
    assert abs(frame["share_then"].sum() - 100) < 1e-9
    assert abs(frame["share_now"].sum() - 100) < 1e-9
    assert abs(frame["grams"].sum() - 60) < 1e-9
    assert (frame["share_then_low"].dropna() <= frame["share_then"].dropna() + 0.05).all()
    assert frame.attrs["totals"] == {"share_then": 100.0, "share_now": 100.0, "grams": 60.0}


def test_csv_read_again_is_the_frame(tmp_path):
    table = ip.table()
    path = table.to_csv(tmp_path / "table.csv")
    again = pandas.read_csv(path, keep_default_na=True)
    frame = table.to_frame()
    assert list(again.columns) == list(frame.columns)
    for column in frame.columns:
        left, right = again[column], frame[column]
        if column == "line" or right.dtype == float:
            pandas.testing.assert_series_equal(left.astype(float), right.astype(float), check_names=False)
        else:
            assert list(left.astype(object).fillna("")) == list(right)


HOSTILE = ('=HYPERLINK("http://x","y")', "+1+1", "-2+3", "@SUM(A1)", "<script>alert(1)</script>", "a|b`c*d_e[f](g)", "\t=1+1")


def hostile_table() -> ComparisonTable:
    return compare(ip.translation(extra=HOSTILE), composition=ip.translation(extra=HOSTILE).composition())


def test_no_csv_cell_begins_like_a_formula(tmp_path):
    text = hostile_table().to_csv(tmp_path / "t.csv").read_text(encoding="utf-8")
    cells = [cell for row in csv.reader(io.StringIO(text)) for cell in row]
    dangerous = [c for c in cells if c[:1] in "=+-@\t\r" and c and not c.replace(".", "").lstrip("-").isdigit()]
    assert dangerous == []
    assert "'=HYPERLINK" in text


def test_no_workbook_cell_but_a_total_is_a_formula(tmp_path):
    table = hostile_table()
    path = table.to_xlsx(tmp_path / "t.xlsx")
    book = openpyxl.load_workbook(path)
    assert book.sheetnames == ["old and new", "notes"]
    sums = []
    for sheet in book:
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type == "f":
                    sums.append(cell.value)
                elif isinstance(cell.value, str):
                    assert cell.value[:1] not in tuple("=+-@\t\r")
    last = len(table.rows) + 1
    assert sums and all(re.fullmatch(rf"=SUM\(([CDE])2:(?:\1){last}\)", formula) for formula in sums), (
        "ours, in the row of totals alone"
    )
    with zipfile.ZipFile(path) as archive:
        assert sum(archive.read(n).count(b"<f>") for n in archive.namelist() if n.startswith("xl/worksheets/")) == len(sums)


def test_workbook_holds_numbers_totals_source_and_doubts(tmp_path):
    table = ip.table()
    book = openpyxl.load_workbook(table.to_xlsx(tmp_path / "t.xlsx"))
    rows = list(book["old and new"].iter_rows(values_only=True))
    assert rows[0] == ("As printed", "Today", "Share then, %", "Share now, %", "Weigh now, g", "What changed and why")
    assert [row[4] for row in rows[1:-1]] == [row.grams for row in table.rows]
    assert rows[-1][0] == "Total"
    last = len(rows) - 1
    assert rows[-1][2:5] == tuple(f"=SUM({column}2:{column}{last})" for column in "CDE"), "totals that follow what is changed"
    assert abs(sum(row[4] or 0 for row in rows[1:-1]) - 60) < 1e-9
    assert abs(sum(row[3] or 0 for row in rows[1:-1]) - 100) < 1e-9
    for sheet in book:
        assert sheet.page_setup.orientation == "landscape" and sheet.sheet_properties.pageSetUpPr.fitToPage
        assert (sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight) == (1, 1)
    notes = "\n".join(f"{a} {b}" for a, b in book["notes"].iter_rows(values_only=True))
    assert table.citation() in notes
    for note in table.footnotes:
        assert f"Doubt {note.sign} {note.text}" in notes


def test_files_are_replaced_in_one_step_and_leave_nothing_beside(tmp_path):
    path = tmp_path / "t.csv"
    path.write_text("old")
    ip.table().to_csv(path)
    assert path.read_text(encoding="utf-8").startswith('"line","fate","printed"')
    ip.table().to_xlsx(tmp_path / "t.xlsx")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["t.csv", "t.xlsx"]


def test_markdown_is_harmless_and_one_line_each():
    text = hostile_table().to_markdown()
    assert "<script>" not in text
    assert "a\\|b\\`c\\*d\\_e\\[f\\](g)" in text
    table = [line for line in text.splitlines() if line.startswith("|")]
    assert len(table) == len(hostile_table().rows) + 3  # heads, rule, totals
    unescaped = [line.replace("\\|", "").count("|") for line in table]
    assert set(unescaped) == {7}


def test_to_picture_names_the_three_endings(tmp_path):
    with pytest.raises(BadValue, match=r"\.png, \.svg or \.pdf"):
        ip.table().to_picture(tmp_path / "t.gif")
    with pytest.raises(BadValue, match=r"\.png, \.svg or \.pdf"):
        ip.table().to_picture(tmp_path / "picture")
    assert list(tmp_path.iterdir()) == []


def test_importing_the_module_is_light():
    code = (
        "import sys, histkit.telling.comparing; "
        "print([m for m in ('matplotlib', 'pandas', 'openpyxl', 'numpy', 'pint', 'histkit.display.frames') if m in sys.modules])"
    )
    answer = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert answer.stdout.strip() == "[]"
