"""The commands beside and scent on real input."""

import json

import pytest
from typer.testing import CliRunner

from histkit.books.running import run as read_books
from histkit.shell.main import app

RUNNER = CliRunner()
ONE = "Face Powder\n\nFrench chalk   4 oz.\nRice starch   4 oz.\nOtto of rose   10 drops.\n"
TWO = "Face Powder\n\nFrench chalk   4 oz.\nOxide of zinc   1 oz.\n"


def run(*words):
    return RUNNER.invoke(app, [str(w) for w in words])


@pytest.fixture
def files(tmp_path):
    for name, text in (("one", ONE), ("two", TWO), ("tin", "Ingredients: Talc, Zinc Oxide, Parfum")):
        (tmp_path / f"{name}.txt").write_text(text, encoding="utf-8")
    return [tmp_path / "one.txt", tmp_path / "two.txt", tmp_path / "tin.txt"]


def test_beside(files, tmp_path):
    one, two, tin = files
    shown = run("beside", one, two, "--list", tin, "--powder")
    assert shown.exit_code == 0, shown.stderr
    assert "Only tin has perfume." in shown.stdout and "How far apart they are" in shown.stdout
    answer = json.loads(run("beside", one, two, "--old-list", tin, "--name", "A", "--name", "B", "--name", "C", "--json").stdout)
    assert answer["formulas"] == ["A", "B", "C"] and answer["core"] == ["talc"] and len(answer["distances"]) == 1
    assert answer["only"]["A"] == ["rice-starch", "rose-oil"] and sum(answer["mean"].values()) == pytest.approx(1)
    targets = [tmp_path / f"side{ending}" for ending in (".csv", ".xlsx", ".html", ".md", ".png", ".svg", ".pdf")]
    written = run("beside", one, two, *(word for path in targets for word in ("--to", path)), "--size", "960x540")
    assert written.exit_code == 0 and all(path.stat().st_size > 200 for path in targets)


def test_beside_whole_books(files, tmp_path):
    books, out = tmp_path / "books", tmp_path / "tables"
    books.mkdir()
    words = "The receipts that follow were tried by the writer.\n\n"
    (books / "a.txt").write_text(words + ONE + "\n\n" + words + TWO + "\n\n" + words, encoding="utf-8")
    (books / "books.csv").write_text("file,title,year,country\na.txt,An invented book,1890,GB\n", encoding="utf-8")
    assert read_books(books, out).formulas == 2
    answer = json.loads(run("beside", files[1], "--books", out, "--nearest", 1, "--json").stdout)
    assert answer["formulas"] == ["Face Powder", "Face Powder (a.txt, 1890)"] and answer["distances"][0][2] == pytest.approx(0, abs=1e-6)
    three = json.loads(run("beside", files[1], "--books", out, "--list", files[2], "--json").stdout)
    assert len(three["formulas"]) == 4


@pytest.mark.parametrize(("words", "code", "told"), [
    (("beside", "ONE"), 2, "2 to 8 formulas"), (("beside", "ONE", "no.txt"), 2, "no file"), (("beside", "ONE", "TWO", "--to", "x.doc"), 2, ".xlsx"),
    (("beside", "ONE", "--books", "nowhere"), 1, "corpus read"), (("beside", "ONE", "TWO", "--name", "A"), 2, "2 different names"),
    (("scent", "TWO"), 2, "nothing in"), (("scent", "ONE", "--part", "jasmine-oil=0.5"), 2, "not among the scents"), (("scent", "ONE", "--part", "rose-oil"), 2, "jasmine-oil=0.5"),
    (("scent", "ONE", "--add", "rose-oil=much"), 2, "3 drop"), (("scent", "ONE", "--add", "rose-oil=3 pint"), 2, "the unit"), (("scent", "ONE", "--strength", "-1"), 2, "0 or more"),
    (("scent", "ONE", "--fill", "air"), 2, "powder, scent"), (("scent", "ONE", "--add", "moon=3"), 1, "moon"),
])  # fmt: skip
def test_errors_are_sentences(files, words, code, told):
    answer = run(*[{"ONE": files[0], "TWO": files[1]}.get(w, w) for w in words])
    assert answer.exit_code == code, answer.stderr
    assert told in answer.stderr and "Traceback" not in answer.stderr


def test_scent(files, tmp_path):
    shown = run("scent", files[0], "--loose", "--price", "rose-oil=9")
    assert shown.exit_code == 0, shown.stderr
    assert "Scent of Face Powder" in shown.stdout and "Ladder of test strips" in shown.stdout and "It costs" in shown.stdout
    whole = json.loads(run("scent", files[0], "--json").stdout)
    words = ("--strength", 0.5, "--add", "essence-bouquet=4 drop", "--picture", tmp_path / "a.png", "--size", "960x540")
    half = json.loads(run("scent", files[0], *words, "--json").stdout)
    oil = [next(p["grams"]["best"] for p in a["parts"] if p["ingredient"] == "rose-oil") for a in (whole, half)]
    assert oil[1] == pytest.approx(oil[0] / 2, rel=0.01) and "bergamot-oil" in half["bought"]
    assert (tmp_path / "a.png").stat().st_size > 5000 and sum(half["notes"].values()) == pytest.approx(1)
