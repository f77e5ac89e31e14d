"""The shelf: which file is which book, in what encoding, and what is known of it."""

import pytest

import histkit as hk
from histkit.base.errors import BadValue
from histkit.books import shelf


def test_what_is_known_of_a_book(tmp_path):
    (tmp_path / "sub").mkdir()
    for name in ("a.txt", "sub/b.txt", "c.txt", "d_e.txt"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "books.csv").write_text("File,Title,Year,Country,Kind\na.txt,A,1872,gb,prescription\nsub/b.txt,B,,FR,\ngone.txt,G,,,\n\n", encoding="utf-8")
    (tmp_path / "c.csv").write_text("file,title,year,country\nc.txt,C,1799,DE\n", encoding="utf-8")
    found = shelf.shelf(tmp_path)
    known = {b.file: b.source for b in found.books}
    assert list(known) == ["a.txt", "c.txt", "d_e.txt", "sub/b.txt"]
    assert known["a.txt"] == hk.Source(title="A", year=1872, country="GB", kind="prescription")
    assert (known["sub/b.txt"].title, known["sub/b.txt"].year) == ("B", None)
    assert (known["c.txt"].title, known["c.txt"].year) == ("C", 1799)
    assert known["d_e.txt"].title == "d e"
    assert found.notes == ("books.csv names gone.txt, which is not in the folder.",)
    assert any("year not given" in n for b in found.books for n in b.notes if b.file == "sub/b.txt")


@pytest.mark.parametrize(
    ("row", "told"), [("a.txt,A,187,GB,", "row 2.*four figures"), ("a.txt,A,9999,GB,", "row 2.*1000 and 2100")]
)
def test_a_row_that_makes_no_sense_is_named(tmp_path, row, told):
    (tmp_path / "a.txt").write_text("x", encoding="utf-8")
    (tmp_path / "books.csv").write_text(f"file,title,year,country,kind\n{row}\n", encoding="utf-8")
    with pytest.raises(BadValue, match=told):
        shelf.shelf(tmp_path)


@pytest.mark.parametrize(
    ("printed", "kind"),
    [
        ("household book", "household receipt book"), ("Cookery book", "household receipt book"), ("secrets", "trade receipt book"),
        ("pharmacy", "trade receipt book"), ("dispensatory", "pharmacopoeia"), ("medical book", "prescription"), ("periodical", "trade receipt book"),
        ("perfumer's book", "perfumery manual"), ("Prescription", "prescription"), ("dyer's book", "trade receipt book"), ("novel", None), ("", None),
    ],
)  # fmt: skip
def test_sorts_of_books_in_use_are_understood(printed, kind):
    assert shelf.sort_of_book(printed) == kind


def test_an_unknown_sort_is_said_of_its_book_and_the_others_are_read(tmp_path):
    for name in ("a.txt", "b.txt"):
        (tmp_path / name).write_text("x", encoding="utf-8")
    (tmp_path / "books.csv").write_text("file,title,year,country,kind\na.txt,A,1872,GB,novel\nb.txt,B,1872,GB,secrets\n", encoding="utf-8")
    a, b = shelf.shelf(tmp_path).books
    assert (a.source.title, a.source.kind, b.source.kind) == ("A", None, "trade receipt book")
    assert len(a.notes) == 1 and "'novel' is not known" in a.notes[0] and b.notes == ()


def test_nothing_to_read_is_said(tmp_path):
    with pytest.raises(BadValue, match="no file or folder"):
        shelf.shelf(tmp_path / "gone")
    with pytest.raises(BadValue, match="holds no text"):
        shelf.shelf(tmp_path)
    (tmp_path / "a.txt").write_text("x", encoding="utf-8")
    (tmp_path / "books.csv").write_text("name\na.txt\n", encoding="utf-8")
    with pytest.raises(BadValue, match="must be 'file'"):
        shelf.shelf(tmp_path)


def test_a_link_out_of_the_folder_is_not_followed(tmp_path):
    (tmp_path / "secret.txt").write_text("Talc 2 oz.\nStarch 1 oz.", encoding="utf-8")
    folder = tmp_path / "books"
    folder.mkdir()
    (folder / "a.txt").write_text("x", encoding="utf-8")
    (folder / "link.txt").symlink_to(tmp_path / "secret.txt")
    assert [b.file for b in shelf.shelf(folder).books] == ["a.txt"]


def test_rows_of_blanks_are_passed_over_and_extra_cells_ignored(tmp_path):
    (tmp_path / "a.txt").write_text("x", encoding="utf-8")
    (tmp_path / "books.csv").write_text("file,title,year\n,,\na.txt,A,1872,and,more\n , ,\n", encoding="utf-8")
    found = shelf.shelf(tmp_path)
    assert [(b.source.title, b.source.year) for b in found.books] == [("A", 1872)] and found.notes == ()


def test_a_book_that_is_gone_and_one_that_is_no_text(tmp_path):
    (tmp_path / "a.txt").write_bytes(b"Talc      2 oz.\x00\nStarch    1 oz.\n")
    (book,) = shelf.shelf(tmp_path).books
    text, notes = shelf.text_of(book)
    assert "\x00" in text and notes == ("a.txt: holds null characters and may be no text.",)
    book.path.unlink()
    with pytest.raises(BadValue, match=r"a\.txt cannot be read: No such file"):
        shelf.text_of(book)


@pytest.mark.parametrize(("data", "text", "encoding"), [("é½".encode(), "é½", "utf-8"), (b"\xef\xbb\xbfx", "x", "utf-8"), ("é½".encode("cp1252"), "é½", "cp1252"), (b"\x81\xe9", "\x81é", "latin-1")])
def test_encodings(data, text, encoding):
    assert shelf.decode(data) == (text, encoding)
