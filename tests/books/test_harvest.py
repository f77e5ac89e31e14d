"""Passages → rows: what stands in the tables."""

import pytest

import histkit as hk
from histkit.base.tables import read
from histkit.books import harvest
from histkit.books.finding import find_formulas
from histkit.books.harvest import harvest as rows_of
from histkit.books.kinds import holds, kind_of, kinds, metal_names
from histkit.books.pages import pages
from histkit.books.parquet import schema
from histkit.books.rows import columns
from histkit.books.sheets import readers

SOURCE = hk.Source(title="Invented Receipts", year=1861, country="GB", kind="trade receipt book")
BOOK = """It rained for a week, and nobody came into the shop.

[Page 1]

PEARL POWDER.

White lead            4 oz.
Prepared chalk        2 oz.

[Page 2]

Otto of rose         10 drops
Mystery of Ondine     1 oz.

Mix, and sift three times.

[Page 3]

It rained for another week.
"""


@pytest.fixture
def rows():
    layout = pages(BOOK)
    return rows_of(find_formulas(BOOK, layout), SOURCE, "invented.txt", layout)


def test_the_formula(rows):
    (formula,), lines = rows
    assert (formula.book, formula.number, formula.title, formula.kind) == ("invented.txt", 1, "PEARL POWDER", "face white")
    assert (formula.page, formula.first_line, formula.last_line) == (1, 5, 15)
    assert (formula.year, formula.country) == (1861, "GB")
    assert formula.lines == len(lines) == 4
    assert formula.unidentified == 1
    assert formula.holds == "lead" and formula.caution == "forbidden"
    assert formula.directions == "Mix, and sift three times."
    assert formula.set_aside == "[Page 2]"
    assert formula.error == formula.unread == ""


def test_the_lines_are_those_of_the_translation(rows):
    _, lines = rows
    t = hk.translate(hk.read("White lead 4 oz.\nPrepared chalk 2 oz.\nOtto of rose 10 drops\nMystery of Ondine 1 oz.", SOURCE))
    assert [line.ingredient for line in lines] == [x.ingredient.id if x.ingredient else "" for x in t.lines]
    assert (lines[0].ingredient, lines[3].ingredient) == ("lead-carbonate", "")
    for line, x in zip(lines, t.lines, strict=True):
        assert line.grams == pytest.approx(x.grams.best, rel=1e-8)
        assert (line.grams_low, line.grams_high) == pytest.approx((x.grams.low, x.grams.high), rel=1e-8)
        assert line.share == pytest.approx(x.share.best, rel=1e-8)
    assert [line.page for line in lines] == [1, 1, 2, 2]
    printed = BOOK.split("\n")
    assert [printed[line.printed_line - 1].split() for line in lines] == [line.printed.split() for line in lines]
    assert lines[0].holds == "lead" and lines[1].holds == ""
    assert (lines[0].amount, lines[0].unit) == ("4", "ounce")


def test_what_cannot_be_read_is_a_row_that_says_why(monkeypatch, rows):
    def refuse(text, source):
        raise hk.ReadingError("no ingredient line")

    def fail(text, source):
        raise ZeroDivisionError("oh")

    layout = pages(BOOK)
    for function, message in ((refuse, "no ingredient line"), (fail, "a fault of histkit: ZeroDivisionError: oh")):
        monkeypatch.setattr(harvest, "read", function)
        (formula,), lines = rows_of(find_formulas(BOOK, layout), SOURCE, "invented.txt", layout)
        assert formula.error == message and lines == []
        assert formula.title == "PEARL POWDER" and "White lead 4 oz." in formula.unread and "Ondine" in formula.unread


def test_nothing_printed_is_lost(rows):
    (formula,), lines = rows
    (passage,) = find_formulas(BOOK)
    kept = " ".join([formula.title, *(line.printed for line in lines), formula.directions, formula.unread, formula.set_aside])
    words = passage.text.replace(".", " ").split()
    assert sorted(words) == sorted(kept.replace(".", " ").split())


def test_no_cell_holds_a_line_end():
    text = "A Powder.\n\nTake of prepared chalk, as\nwhite as may be, four ounces, and of\npowdered myrrh two\ndrachms. Mix\nthem.\n"
    formulas, lines = rows_of(find_formulas(text), SOURCE, "b", pages(text))
    cells = [value for row in (*formulas, *lines) for value in (getattr(row, name) for name in row.__dataclass_fields__)]
    assert len(lines) == 2 and not any("\n" in cell for cell in cells if isinstance(cell, str))


@pytest.mark.parametrize(
    ("title", "kind"),
    [
        ("Mr. Pask's Tooth Powder", "tooth powder"),
        ("Poudre dentifrice", "tooth powder"),
        ("Zahnpulver", "tooth powder"),
        ("VIOLET POWDER", "face powder"),
        ("A White for the Face", "face white"),
        ("Camphorated Cold-Cream", "cream"),
        ("Sachet à la Rose", "sachet"),
        ("EAU DE COLOGNE, No. 2", "cologne"),
        ("A Powder", "powder"),
        ("To take Ink out of Linen", ""),
        ("", ""),
    ],
)
def test_kinds_by_title(title, kind):
    assert kind_of(title) == kind
    assert kind in ("", *kinds())


def test_metals_hide_in_preparations():
    # lead plaster is made of litharge; Goulard's water and the subacetate have no formula of their own in the glossary
    for key in ("lead-carbonate", "red-lead", "lead-acetate", "lead-plaster", "goulard-water", "lead-subacetate-solution"):
        assert "lead" in holds(key), key
    for key in ("mercuric-chloride", "mercurous-chloride", "mercurial-ointment", "black-wash"):
        assert holds(key) == ("mercury",), key
    assert holds("arsenic-trioxide") == ("arsenic",)
    assert holds("emerald-green") == ("arsenic", "copper")
    assert holds("talc") == holds("no-such-thing") == ()


def test_metals_csv_names_ingredients_of_the_glossary():
    for row in read("books/metals"):
        assert row["metal"] in metal_names()
        for key in filter(None, row["more"].split(";")):
            assert key in hk.glossary.ingredients, key


def test_every_field_has_a_column_and_a_type():
    for name in ("lines", "formulas"):
        assert schema(name).names == list(columns(name)) and len(readers(name)) == len(columns(name))
        assert columns(name)[:2] == ("book", "number")


@pytest.mark.parametrize("end", ["\n", "\r\n", "\r"])
def test_printed_lines_are_counted_whatever_ends_them(end):
    text = end.join(["A Powder.", "", "Talc      4 oz.", "Starch    2 oz.", "", "Mix.", ""])
    _, lines = rows_of(find_formulas(text), SOURCE, "b", pages(text))
    assert [line.printed_line for line in lines] == [3, 4]


@pytest.mark.parametrize(
    ("printed", "kept"),
    [
        ("Take of the mystery of Ondine 2 oz. and of the secret of Undine 3 oz.; mix.", 0),
        ("Take of the mystery of Ondine 2 oz. and of talc 3 oz.; mix.", 1),
        ("POWDER.\n\nTake of talc 2 oz. and of the mystery of Ondine 3 oz.; mix.", 1),
        ("Take of talc 2 oz. and of starch 3 oz.; mix.", 1),
    ],
)
def test_what_holds_no_known_ingredient_is_no_formula_without_a_title(printed, kept):
    text = f"It rained for a week, and nobody came into the shop, nor did anybody on the road ask what had become of us,\nwhich was as well.\n\n{printed}\n\nIt rained on.\n\nTake of talc 1 oz. and of zinc oxide 4 oz.; mix.\n"
    formulas, lines = rows_of(find_formulas(text), SOURCE, "b", pages(text))
    assert [f.number for f in formulas] == list(range(1, kept + 2))
    assert {line.number for line in lines} == {f.number for f in formulas}
