"""The shell: every command on real input, kind errors, exit codes."""

import json

import pytest
from typer.testing import CliRunner

from histkit import demo
from histkit.cli import app

RUNNER = CliRunner()
FORMULA = "Venetian talc,           4 oz.\nCarmine,              2 drachms.\nOtto of rose,         10 drops.\n"
LEAD = "White lead,   2 oz.\nStarch,   8 oz.\n"


def run(*words, text=None):
    return RUNNER.invoke(app, [str(w) for w in words], input=text)


@pytest.fixture
def file(tmp_path):
    path = tmp_path / "rouge.txt"
    path.write_text(FORMULA, encoding="utf-8")
    return path


def test_translate(file):
    told = run("translate", file, "--year", 1868, "--country", "GB", "--kind", "trade receipt book", "--explain")
    assert told.exit_code == 0 and "talc" in told.stdout and "437.5" in told.stdout
    answer = json.loads(run("translate", file, "--json").stdout)
    assert [line["ingredient"] for line in answer["lines"]] == ["talc", "carmine", "rose-oil"]
    assert answer["lines"][0]["grams"]["best"] == pytest.approx(113.398, abs=0.001)


def test_translate_from_a_pipe():
    assert "talc" in run("translate", "-", text=FORMULA).stdout


def test_find():
    told = run("find", "pulv.", "rad.", "irid.", "flor.")
    assert told.exit_code == 0 and "orris root" in told.stdout
    assert json.loads(run("find", "white lead", "--json").stdout)["cautions"][0]["level"] == "forbidden"
    nothing = run("find", "umbrella")
    assert nothing.exit_code == 1 and "knows no 'umbrella'" in nothing.stderr


def test_press(file):
    answer = json.loads(run("press", file, "--grams", 40, "--json").stdout)
    assert sum(round(w["grams"] * 100) for w in answer["weighings"]) == 4000
    shares = {p["ingredient"]: p["share"] for p in answer["composition"]}
    assert shares["magnesium-stearate"] == pytest.approx(0.05) and shares["jojoba-oil"] == pytest.approx(0.03)


def test_a_poison_is_refused_until_it_is_replaced(tmp_path):
    path = tmp_path / "white.txt"
    path.write_text(LEAD, encoding="utf-8")
    refused = run("press", path)
    assert refused.exit_code == 1 and "lead" in refused.stderr
    assert run("press", path, "--instead", "lead-carbonate=zinc-oxide:0.7,titanium-dioxide:0.3").exit_code == 0


def test_table_in_every_form(file, tmp_path):
    names = [tmp_path / f"table{ending}" for ending in (".html", ".md", ".csv", ".xlsx", ".png", ".svg", ".pdf")]
    told = run("table", file, *[w for name in names for w in ("--to", name)], "--size", "1920x1080")
    assert told.exit_code == 0, told.stderr
    assert all(name.stat().st_size > 200 for name in names)
    assert "talc" in run("table", file).stdout
    assert json.loads(run("table", file, "--json", "--loose").stdout)["rows"]


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (("translate", "no-such-file.txt"), 2, "no file"), (("table", "FILE", "--size", "big"), 2, "1920x1080"), (("table", "FILE", "--to", "x.doc"), 2, ".html"),
        (("translate", "FILE", "--kind", "novel"), 2, "perfumery manual"), (("translate", "FILE", "--year", "3000"), 2, "between"),
        (("press", "FILE", "--instead", "talc"), 2, "="), (("press", "FILE", "--binder", "magnesium-sterate"), 1, "magnesium-stearate"),
        (("press", "FILE", "--binder-share", "1.5"), 2, "share"), (("press", "FILE", "--grams", "-4"), 2, "grams"), (("translate", "FILE", "--measures", "metri"), 1, "metric"),
    ],
)  # fmt: skip
def test_errors_are_sentences(words, code, told, file):
    answer = run(*[file if w == "FILE" else w for w in words])
    assert answer.exit_code == code, answer.stderr
    assert told in answer.stderr and "Traceback" not in answer.stderr


def test_text_without_a_formula(tmp_path):
    path = tmp_path / "poem.txt"
    path.write_text("The moon is up.", encoding="utf-8")
    answer = run("translate", path)
    assert answer.exit_code == 1 and "ingredient line" in answer.stderr


def test_demo(tmp_path):
    told = run("demo", "--out", tmp_path / "out")
    assert told.exit_code == 0, told.stderr
    assert "invented" in told.stdout and str((tmp_path / "out").resolve()) in told.stdout
    for name in (
        "old-and-new.html",
        "old-and-new.xlsx",
        "old-and-new.csv",
        "bench-sheet.html",
        "old-and-new-wide-4k.png",
        "old-and-new-tall.png",
        "old-and-new.svg",
        "old-and-new.pdf",
    ):
        assert (tmp_path / "out" / name).stat().st_size > 500, name
    answer = json.loads(run("demo", "--out", tmp_path / "two", "--json").stdout)
    assert len(answer["files"]) >= 12


def test_the_invented_formulas_are_read_whole():
    for name in demo.names():
        translation = demo.record(name).translation()
        assert not translation.formula.unread
        assert all(t.ingredient is not None for t in translation.lines), [
            t.name for t in translation.lines if t.ingredient is None
        ]
    with pytest.raises(KeyError, match="complexion"):
        demo.record("none")


def test_lab_puts_the_notebooks_and_leaves_changed_ones_alone(tmp_path):
    assert "written" in run("lab", tmp_path, "--no-start").stdout
    notebook = sorted(tmp_path.glob("*.ipynb"))[0]
    notebook.write_text("{}", encoding="utf-8")
    assert "you changed it" in run("lab", tmp_path, "--no-start").stdout
    assert notebook.read_text(encoding="utf-8") == "{}"
    file = tmp_path / "file"
    file.write_text("", encoding="utf-8")
    assert run("lab", file, "--no-start").exit_code == 2
