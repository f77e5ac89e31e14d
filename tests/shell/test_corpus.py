"""The shell: histkit corpus read | poison | trend | nearest."""

import json
import os
import pty
import subprocess
import sys

import pytest
import typer
from typer.testing import CliRunner

from histkit.shell import corpus as commands
from histkit.shell.main import app

PROSE = "It rained for a week, and nobody came into the shop at all.\n\n"


def call(*words, **more):
    return CliRunner().invoke(app, ["corpus", *map(str, words)], **more)


@pytest.fixture(scope="module")
def made(tmp_path_factory):
    folder = tmp_path_factory.mktemp("books")
    for year, white in ((1801, "White lead"), (1875, "Oxide of zinc")):
        text = f"{PROSE}Face Powder.\n\n{white}       2 oz.\nFrench chalk    2 oz.\n\n{PROSE}"
        (folder / f"{year}.txt").write_text(text, encoding="utf-8")
    (folder / "books.csv").write_text("file,title,year,country\n1801.txt,Old,1801,GB\n1875.txt,New,1875,GB\n", encoding="utf-8")
    out = tmp_path_factory.mktemp("out")
    answer = call("read", folder, "--out", out)
    assert answer.exit_code == 0, answer.output
    return folder, out, answer.output


def test_read_says_what_it_did(made):
    folder, out, told = made
    assert "2 formulas with 4 lines in 2 books" in told and "lines.csv, formulas.csv" in told and "parquet" not in told
    again = json.loads(call("read", folder, "--out", out, "--json").output)
    assert again["formulas"] == 2 and again["parts"] == {"done": 0, "kept": 2}


def test_poison(made):
    _, out, _ = made
    told = " ".join(call("poison", out, "--each").output.split())
    assert "Last seen: Face Powder (1801.txt, 1801)" in told
    assert "Face Powder (1801.txt, 1801): lead carbonate, 50 % of the mass" in told
    answer = json.loads(call("poison", out, "--metal", "zinc", "--kind", "face powder", "--json").output)
    assert [(d["decade"], d["holding"]) for d in answer["decades"]] == [(1800, 0), (1870, 1)]


def test_trend_and_its_picture(made, tmp_path):
    _, out, _ = made
    told = call("trend", out, "--kind", "face powder", "--by", "ingredient", "--plot", tmp_path / "t.svg", "--size", "1920x1080").output
    assert "1800s" in told and "written:" in told
    assert "<svg" in (tmp_path / "t.svg").read_text(encoding="utf-8")
    answer = json.loads(call("trend", out, "--json").output)
    assert [d["formulas"] for d in answer["decades"]] == [1, 1]


def test_nearest(made):
    _, out, _ = made
    told = call("nearest", out, "-", "--count", "1", input="Zinc oxide 1 oz.\nTalc 1 oz.\n").output
    assert "1875.txt" in told and "1801.txt" not in told
    answer = json.loads(call("nearest", out, "-", "--json", input="Zinc oxide 1 oz.\nTalc 1 oz.\n").output)
    assert answer["found"][0]["distance"] == pytest.approx(0, abs=1e-9) and answer["compared"] == 2


@pytest.mark.parametrize(
    ("words", "code", "told"),
    [
        (["read", "nowhere", "--out", "out"], 2, "no file or folder"),
        (["read", "{folder}", "--out", "{out}", "--jobs", "0"], 2, "jobs is 1 or more"),
        (["poison", "nowhere"], 1, "corpus read"),
        (["poison", "{out}", "--metal", "gold"], 1, "no metal is called 'gold'"),
        (["trend", "{out}", "--kind", "face podwer"], 1, "no kind of formula"),
        (["trend", "{out}", "--size", "large"], 2, "--size"),
        (["trend", "{out}", "--plot", "x.gif"], 2, "png"),
        (["nearest", "{out}", "nowhere.txt"], 2, "no file"),
    ],
)
def test_what_is_wrong_is_one_sentence(made, words, code, told, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    folder, out, _ = made
    answer = call(*(w.format(folder=folder, out=out) for w in words))
    assert answer.exit_code == code, answer.output
    assert told in answer.output and "Traceback" not in answer.output


def test_a_progress_bar_where_there_is_a_terminal(made, tmp_path):
    folder, _, _ = made

    def screen(*more):
        ours, theirs = pty.openpty()
        process = subprocess.Popen(
            [sys.executable, "-m", "histkit.shell.main", "corpus", "read", str(folder), "--out", str(tmp_path / f"out{len(more)}"), *more],
            stderr=theirs,
            stdout=subprocess.DEVNULL,
        )
        os.close(theirs)
        shown = b""
        while True:
            try:
                piece = os.read(ours, 4096)
            except OSError:  # the other end is closed
                break
            if not piece:
                break
            shown += piece
        os.close(ours)
        assert process.wait() == 0
        return shown.decode()

    assert "100 %" in screen() and "formulas" in screen()
    assert screen("--quiet") == ""


@pytest.mark.parametrize("terminal", [True, False])
def test_a_run_that_is_stopped_says_that_what_is_done_is_kept(made, tmp_path, monkeypatch, capsys, terminal):
    def stopped(where, out, jobs, scheduler, progress, **more):
        assert (progress is not None) is terminal
        raise KeyboardInterrupt

    monkeypatch.setattr("histkit.books.running.run", stopped)
    monkeypatch.setattr("sys.stderr.isatty", lambda: terminal)
    with pytest.raises(typer.Exit) as ended:
        commands.read_(made[0], out=tmp_path / "out")
    assert ended.value.exit_code == 130
    assert "What is done is kept: the same command goes on from there." in capsys.readouterr().err


def test_the_bar_tells_how_far_it_is_and_how_long_it_may_take(capsys, monkeypatch):
    """Half of the text in a minute: another minute; long waits are told in minutes. It writes at most five times a second."""
    clock = iter([0.0, 60.0, 60.1, 60.15, 400.0])
    monkeypatch.setattr(commands.time, "monotonic", lambda: next(clock))
    bar = commands._Bar()
    bar(50, 100, 1234)
    assert capsys.readouterr().err.rstrip() == f"\r{'#' * 12}{'.' * 12}  50 %  1,234 formulas  60 s left"
    bar(51, 100, 1235)
    assert capsys.readouterr().err == "", "too soon after the last"
    bar(100, 100, 1300)
    assert "100 %  1,300 formulas  0 s left" in capsys.readouterr().err, "the end is always shown"
    bar(10, 100, 3)
    assert "60 min left" in capsys.readouterr().err
    bar.end()
    assert capsys.readouterr().err.strip() == ""


def test_nothing_heavy_is_loaded_by_importing_it():
    code = "import histkit, sys; from histkit.shell import corpus; print([m for m in ('pyarrow', 'pandas', 'dask', 'distributed', 'matplotlib') if m in sys.modules])"
    out = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True).stdout
    assert out.strip() == "[]"
