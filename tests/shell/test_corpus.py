"""The shell: histkit corpus read, verify, poison, trend, nearest."""

import json
import os
import pty
import shutil
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


def test_verify(made, tmp_path):
    folder, out, _ = made
    answer = call("verify", out)
    assert answer.exit_code == 0 and "lines.csv, formulas.csv and 2 parts are what the run wrote" in answer.output
    shutil.copytree(out, tmp_path / "out")
    (tmp_path / "out" / "lines.csv").write_bytes(b"")
    answer = call("verify", tmp_path / "out")
    assert answer.exit_code == 1 and "lines.csv is 0 bytes long" in answer.output and "Traceback" not in answer.output
    answer = call("verify", tmp_path / "out", "--json")
    assert answer.exit_code == 1 and json.loads(answer.output)["fits"] is False and len(json.loads(answer.output)["misfits"]) == 1
    assert call("verify", folder).exit_code == 1


def test_a_folder_that_another_run_holds(made, tmp_path, monkeypatch):
    from histkit.books import locking

    folder, *_ = made
    with locking.held(tmp_path):
        answer = call("read", folder, "--out", tmp_path)
        assert (
            answer.exit_code == 1
            and f"another run (process {os.getpid()} on " in answer.output
            and len(answer.output.splitlines()) == 1
        )
        monkeypatch.setattr(locking.time, "sleep", lambda seconds: 1 / 0)
        with pytest.raises(ZeroDivisionError):  # it would have waited
            call("read", folder, "--out", tmp_path, "--wait", catch_exceptions=False)


QUESTIONS = (
    ("poison", "{out}", "--each"),
    ("poison", "{out}", "--metal", "zinc", "--json"),
    ("trend", "{out}", "--by", "ingredient", "--json"),
    ("nearest", "{out}", "{formula}", "--json"),
    ("verify", "{out}"),
)


def test_all_of_it_works_without_pyarrow_and_with_the_same_answers(made, tmp_path):
    """In processes that cannot import it, workers included: the same tables, the same answers; Parquet is refused in a sentence."""
    folder, out, _ = made
    (tmp_path / "hidden").mkdir()
    (tmp_path / "hidden" / "sitecustomize.py").write_text("import sys\nsys.modules['pyarrow'] = None\n", encoding="utf-8")
    (tmp_path / "formula.txt").write_text("Zinc oxide 1 oz.\nTalc 1 oz.\n", encoding="utf-8")
    path = os.pathsep.join(filter(None, (str(tmp_path / "hidden"), os.environ.get("PYTHONPATH"))))

    def without(*words):
        words = [word.format(out=tmp_path / "out", formula=tmp_path / "formula.txt") for word in words]
        return subprocess.run(
            [sys.executable, "-m", "histkit.shell.main", "corpus", *words],
            check=False,
            capture_output=True,
            text=True,
            env={**os.environ, "PYTHONPATH": path},
        )

    hidden = subprocess.run(
        [sys.executable, "-c", "import pyarrow"], check=False, capture_output=True, env={**os.environ, "PYTHONPATH": path}
    )
    assert hidden.returncode != 0, "pyarrow is there after all"
    read = without("read", str(folder), "--out", "{out}", "--jobs", "2")
    assert read.returncode == 0, read.stderr
    for name in ("lines.csv", "formulas.csv", "manifest.json"):
        assert (tmp_path / "out" / name).read_bytes() == (out / name).read_bytes()
    for words in QUESTIONS:
        answer = without(*words)
        here = call(*(word.format(out=out, formula=tmp_path / "formula.txt") for word in words))
        assert (answer.returncode, answer.stderr) == (0, "") and here.exit_code == 0
        assert answer.stdout.replace(str(tmp_path / "out"), "") == here.output.replace(str(out), "")
    refused = without("read", str(folder), "--out", "{out}-2", "--parquet")
    assert not (tmp_path / "out-2").exists(), "said before the work and not after it"
    assert refused.returncode == 2 and len(refused.stderr.splitlines()) == 1
    assert "Parquet needs pyarrow, which is not installed here: pip install 'histkit[corpus]'" in refused.stderr


def test_parquet_where_it_is_asked_for(made, tmp_path):
    pandas = pytest.importorskip("pandas")
    folder, *_ = made
    assert "lines.parquet, formulas.parquet" in call("read", folder, "--out", tmp_path, "--parquet").output
    assert list(pandas.read_parquet(tmp_path / "formulas.parquet")["title"]) == ["Face Powder"] * 2


def test_poison(made):
    _, out, _ = made
    told = " ".join(call("poison", out, "--each").output.split())
    assert "Last seen: Face Powder (1801.txt, 1801)" in told
    assert "Face Powder (1801.txt, 1801): lead carbonate, 50 % of the mass" in told
    answer = json.loads(call("poison", out, "--metal", "zinc", "--kind", "face powder", "--json").output)
    assert [(d["decade"], d["holding"]) for d in answer["decades"]] == [(1800, 0), (1870, 1)]


def test_trend_and_its_picture(made, tmp_path):
    _, out, _ = made
    told = call(
        "trend", out, "--kind", "face powder", "--by", "ingredient", "--plot", tmp_path / "t.svg", "--size", "1920x1080"
    ).output
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
            [
                sys.executable,
                "-m",
                "histkit.shell.main",
                "corpus",
                "read",
                str(folder),
                "--out",
                str(tmp_path / f"out{len(more)}"),
                *more,
            ],
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
