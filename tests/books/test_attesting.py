"""Where names stand in print: counted as the look-up folds them, kept small, added to book by book."""

import csv

import pytest
from typer.testing import CliRunner

from histkit import glossary
from histkit.base.errors import BadValue
from histkit.books.attesting import BOOKS, NAMES, SHOWN, attest, names_in_text, words_cut_short
from histkit.glossary import attested
from histkit.shell import main as cli

NAMED = ("almond oil", "bitter almond oil", "white lead", "rad irid", "rose", "water", "orris", "beniamin")


@pytest.mark.parametrize(
    ("text", "seen"),
    [
        ("an ounce of bitter almond oil and of almond oil", {"bitter almond oil": 1, "almond oil": 1}),  # none inside another
        ("white, lead", {}),
        ("the white (lead)", {}),
        ("It was of a perfect white. Lead is heavy. Perfectly white lead.", {"white lead": 1}),
        ("Rad. Irid. \u2125j", {"rad irid": 1}),  # the stop of a word cut short ends no name
        ("take of water. Rose leaves", {"water": 1, "rose": 1}),
        ("WHITE\nLEAD, white-lead; _white lead_", {"white lead": 3}),
        ("Benia\u00acmin and bénìamin", {"beniamin": 2}),
    ],
)
def test_a_name_counts_where_it_stands_by_itself(text, seen):
    assert dict(names_in_text(NAMED, text, words_cut_short(["Rad. Irid.", "orris"]))) == seen


def rows(path):
    with path.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def test_a_book_more_adds_to_the_table(tmp_path):
    books = tmp_path / "books"
    books.mkdir()
    for book, times in (
        ("piesse-1857", 2),
        ("flora-1779", 5),
        ("henley-1914", 1),
        ("plat-1602", 3),
        ("askinson-1892", 9),
        ("kent-1653", 1),
    ):
        (books / f"{book}.txt").write_text("an ounce of orris root, " * times, encoding="utf-8")
    files = sorted(books.iterdir())
    assert attest(files[:3], tmp_path) == 1
    assert attest(files[3:], tmp_path) == 1
    (row,) = rows(tmp_path / NAMES)
    assert row == {
        "name": "orris root",
        "times": "21",
        "books": "6",
        "seen": "plat-1602 3;flora-1779 5;askinson-1892 9;henley-1914 1",
    }
    assert len(row["seen"].split(";")) == SHOWN
    assert [r["source"] for r in rows(tmp_path / BOOKS)] == sorted(path.stem for path in files)
    before = (tmp_path / NAMES).read_bytes()
    attest(files, tmp_path, anew=True)
    assert (tmp_path / NAMES).read_bytes() == before


def test_a_book_that_cannot_be_taken_is_named_and_nothing_is_written(tmp_path):
    (tmp_path / "nobody-1700.txt").write_text("orris root", encoding="utf-8")
    (tmp_path / "flora-1779.txt").write_text("orris root", encoding="utf-8")
    with pytest.raises(BadValue, match="its name is no id in"):
        attest([tmp_path / "flora-1779.txt", tmp_path / "nobody-1700.txt"], tmp_path)
    assert not (tmp_path / NAMES).exists()
    attest([tmp_path / "flora-1779.txt"], tmp_path)
    with pytest.raises(BadValue, match="looked through before"):
        attest([tmp_path / "flora-1779.txt"], tmp_path)
    with pytest.raises(BadValue, match="cannot be read"):
        attest([tmp_path / "plat-1602.txt"], tmp_path)


def test_the_command(tmp_path):
    (tmp_path / "flora-1779.txt").write_text("orris root", encoding="utf-8")
    answer = CliRunner().invoke(cli.app, ["corpus", "attest", str(tmp_path / "flora-1779.txt"), "--out", str(tmp_path)])
    assert answer.exit_code == 0 and "1 names stand in print" in answer.output
    assert rows(tmp_path / NAMES)[0]["seen"] == "flora-1779 1"


# -- what the glossary shows of it ------------------------------------------------------------------------------------------


def test_the_first_and_the_last_book_are_those_of_the_whole_texts():
    """Plat 1602 prints 'beniamin' (read in the page image's transcript, EEBO-TCP A09713), Henley 1914 'orris root'."""
    early = attested.attested("Beniamin")
    assert early is not None and early.shown[0][0] == "plat-1602"
    late = attested.attested("orris root")
    assert late is not None and late.years[-1] >= "1914" and late.books >= 10


def test_find_says_where_a_name_was_printed_and_where_it_never_was():
    said = CliRunner().invoke(cli.app, ["find", "orris root"]).output
    assert "'orris root': printed so in 1" in said and " books in all." in said
    said = CliRunner().invoke(cli.app, ["find", "oxide", "of", "zinc,", "unsichtig"]).output
    assert f"{attested.NEVER_SEEN}." in said or "knows no" in said
    assert '"in_print": "printed so in' in CliRunner().invoke(cli.app, ["find", "--json", "orris root"]).output


def test_every_row_speaks_of_a_name_that_the_glossary_has():
    names = {glossary.fold(row["name"]) for row in (*glossary.rows("names"), *glossary.rows("ingredients"))}
    table = rows(glossary.folder() / NAMES)
    assert len(table) >= 14_000
    assert [row["name"] for row in table if row["name"] not in names] == []
    listed = {row["source"] for row in rows(glossary.folder() / BOOKS)}
    assert {entry.rsplit(" ", 1)[0] for row in table for entry in row["seen"].split(";")} <= listed
    assert all(int(row["times"]) >= int(row["books"]) >= len(row["seen"].split(";")) for row in table)


def test_of_two_names_equally_near_the_printed_one_is_taken(monkeypatch):
    from histkit.glossary import spelling
    from histkit.glossary.index import shipped

    for wanted in ("red sanders", "red sandars"):  # each a letter from what stands there
        monkeypatch.setattr(spelling, "is_attested", wanted.__eq__)
        assert spelling._near("red sandrs", shipped())[0][0] == wanted


NAMES_TABLE = """ingredient,name,language,form,period,region,certainty,source
orris-root,Orris-root,en,name,,,certain,memory
orris-root,Florentine iris root,en,name,,,certain,memory
orris-root,orris,en,name,,,contested,memory
"orris-root","orris root",en,name,,,certain,gcide
"""


def test_a_recalled_name_that_is_printed_cites_its_print_and_nothing_else_changes(tmp_path):
    (tmp_path / "names.csv").write_text(NAMES_TABLE, encoding="utf-8")
    (tmp_path / "flora-1779.txt").write_text("Take of Orris Root one ounce, and of orris two.", encoding="utf-8")
    (tmp_path / "plat-1602.txt").write_text("Take orris root and sugar.", encoding="utf-8")
    attest([tmp_path / "flora-1779.txt", tmp_path / "plat-1602.txt"], tmp_path)
    cited = NAMES_TABLE.replace("Orris-root,en,name,,,certain,memory", "Orris-root,en,name,,,certain,plat-1602")
    assert (tmp_path / "names.csv").read_text(encoding="utf-8") == cited
