"""Rows as CSV and back, and the tables read row by row."""

import csv
import io
import tracemalloc

import pytest
from hypothesis import given
from hypothesis import strategies as st

from histkit.base.errors import TableError
from histkit.base.text import clean, spreadsheet_cell
from histkit.books.questions import metals
from histkit.books.rows import columns
from histkit.books.running import run
from histkit.books.shares import Shares, shares
from histkit.books.sheets import RowError, cells_of, csv_rows, guarded, unguarded, values
from histkit.books.tables import LineCells, Tables

TEXTS = st.text(st.sampled_from("'=+-@ ;,\"x＝\u200b") | st.characters(exclude_categories=["Cs"]), max_size=12)


@given(TEXTS)
def test_a_guarded_text_is_no_formula_and_comes_back(text):
    assert spreadsheet_cell(guarded(text)) == guarded(text)
    assert unguarded(guarded(text)) == clean(text)


@pytest.mark.parametrize(("text", "cell"), [("=1", "'=1"), ("'=1", "''=1"), ("'tis", "'tis"), ("talc", "talc"), (" -x", "' -x"), ("Talc;=1+1", "Talc;'=1+1"), ("a, '=1", "a, ''=1"), ('"@', "'\"@")])
def test_cells(text, cell):
    assert (guarded(text), unguarded(cell)) == (cell, text)


@given(TEXTS.map(lambda text: " ".join(text.split())))
@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_no_cell_is_a_formula_wherever_a_spreadsheet_parts_the_line(sign, text):
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([guarded("a book"), guarded(text), 3])
    cells = next(csv.reader([out.getvalue().rstrip("\n")], delimiter=sign))
    assert [cell for cell in cells if cell.strip(' "')[:1] in tuple("=+-@＝＋－＠")] == []


@given(st.lists(TEXTS.map(lambda text: " ".join(text.split())), min_size=1, max_size=6))
def test_long_lines_are_taken_apart_like_short_ones(cells):
    """Cells of more than 131,072 characters are beyond the standard reader: the two ways must agree."""
    cells = [*cells, 'a "quoted", one', ""]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([*cells, "y" * 140_000])
    assert cells_of(out.getvalue().encode()) == [*cells, "y" * 140_000]
    out = io.StringIO()
    csv.writer(out, lineterminator="\n").writerow([*cells, "y"])
    assert cells_of(out.getvalue().encode()) == [*cells, "y"]


@pytest.mark.parametrize("line", [b'a,"b', b'a,b"' + b"x" * 200_000, b"\xff\xfe", b'"a"b,c' + b"x" * 200_000])
def test_lines_that_are_none(line):
    with pytest.raises(RowError):
        cells_of(line)


def test_rows_come_back_as_they_were(books):
    from histkit import Source
    from histkit.books.finding import find_formulas
    from histkit.books.harvest import harvest
    from histkit.books.pages import pages

    text = (books / "a.txt").read_text(encoding="utf-8")
    formulas, lines = harvest(find_formulas(text), Source(year=1801), "a.txt", pages(text))
    for name, rows in (("formulas", formulas), ("lines", lines)):
        table = [b"a.txt," + line for line in csv_rows(rows).splitlines(keepends=True)]
        back = list(values(name, iter(table), range(len(columns(name)))))
        assert back == [tuple(getattr(row, column) for column in columns(name)) for row in rows]


# -- tables ----------------------------------------------------------------------------------------------------------------


def harmed(out, name, old, new):
    path = out / name
    data = path.read_bytes()
    assert old in data
    path.write_bytes(data.replace(old, new, 1))


@pytest.mark.parametrize(
    ("name", "old", "new", "message"),
    [
        ("lines.csv", b"a.txt,1,1", b"z.txt,1,1", "do not belong together"),
        ("formulas.csv", b"a.txt,2,", b"a.txt,3,", "do not belong together"),
        ("lines.csv", b"a.txt,1,1", b"a.txt,one,1", "row 1: invalid literal"),
        ("lines.csv", b"a.txt,1,1", b"a.txt,1,1,", "row 1: it has 26 cells and not 25"),
        ("formulas.csv", b"book,number,title", b"number,book,title", "not those that the run wrote, in their order"),
        ("formulas.csv", b"error\n", b"errors\n", "it lacks error"),
    ],
)
def test_tables_that_do_not_fit_are_named(books, tmp_path, name, old, new, message):
    out = tmp_path / "out"
    run(books, out)
    harmed(out, name, old, new)
    with pytest.raises(TableError, match=f"{message}.*read the books again"):
        metals(Tables(out))


def test_a_line_that_is_missing_is_noticed(books, tmp_path):
    out = tmp_path / "out"
    run(books, out)
    lines = (out / "lines.csv").read_bytes().splitlines(keepends=True)
    (out / "lines.csv").write_bytes(b"".join([lines[0], *lines[2:]]))
    with pytest.raises(TableError, match="do not belong together"):
        metals(Tables(out))


def test_lines_of_no_formula_are_noticed(books, tmp_path):
    out = tmp_path / "out"
    run(books, out)
    with (out / "lines.csv").open("ab") as file:
        file.write((out / "lines.csv").read_bytes().splitlines(keepends=True)[-1].replace(b"c.txt,1", b"d.txt,1"))
    with pytest.raises(TableError, match="do not belong together"):
        metals(Tables(out))


def test_shares_of_the_lines_of_a_formula():
    def line(ingredient, grams, unit="ounce"):
        return LineCells("a", 1, "odd", unit, grams, None, ingredient, "", "", "")

    assert shares([line("talc", 3.0), line("", 1.0), line("talc", 0.0)]).parts == {"talc": 0.75, "?odd": 0.25}
    assert shares([line("talc", 3.0), line("zinc-oxide", 0.0)]).parts == {"talc": 1.0}
    assert shares([line("talc", 3.0), line("", None, "q.s.")]) == Shares({"talc": 1.0}, False, True)
    both = shares([line("talc", 3.0), line("", None, "q.s."), line("", None, "handful")])
    assert both == Shares(None, True, False), "a formula left out is told once"
    assert shares([]) == Shares(None, False, False)


def test_memory_stays_flat_however_long_the_tables_are(books, tmp_path):
    out = tmp_path / "out"
    run(books, out)
    small = {name: (out / name).read_bytes().splitlines(keepends=True) for name in ("lines.csv", "formulas.csv")}

    def peak(formulas):
        """(formulas counted, bytes at the most) over tables that repeat one formula of zinc: nothing of it is in the answer."""
        for name, (heading, *rows) in small.items():
            with (out / name).open("wb") as file:
                file.write(heading)
                for number in range(formulas):
                    file.writelines(row.replace(b"b.txt,1,", b"b.txt,%d," % number) for row in rows if row.startswith(b"b.txt,1,"))
        tracemalloc.start()
        try:
            history = metals(Tables(out), "lead")
            return history.decades[0].formulas, tracemalloc.get_traced_memory()[1]
        finally:
            tracemalloc.stop()

    peak(10)  # the tables of kinds and metals are read
    few, many = peak(50), peak(2000)
    assert (few[0], many[0]) == (50, 2000) and many[1] < few[1] + 50_000, (few, many)
