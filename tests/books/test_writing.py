"""Files written in one step; links planted in the folder of a run are never followed."""

import os
import subprocess
import sys

import pytest

import histkit as hk
from histkit.books.assembling import MANIFEST, PARQUET, TABLES
from histkit.books.locking import LOCK
from histkit.books.running import run


def test_links_planted_in_the_output_folder_change_no_other_file(books, tmp_path):
    out, mine = tmp_path / "out", tmp_path / "mine.txt"
    out.mkdir()
    mine.write_text("my words", encoding="utf-8")
    for name in (*TABLES, *PARQUET, MANIFEST):
        (out / name).symlink_to(mine)
    run(books, out, parquet=True)
    assert mine.read_text(encoding="utf-8") == "my words"
    assert not any((out / name).is_symlink() for name in (*TABLES, *PARQUET, MANIFEST))


@pytest.mark.parametrize("name", ["parts", LOCK, "run.held"])
def test_a_link_that_cannot_be_replaced_is_refused(books, tmp_path, name):
    out, elsewhere = tmp_path / "out", tmp_path / "elsewhere"
    out.mkdir()
    elsewhere.mkdir()
    (out / name).symlink_to(elsewhere, target_is_directory=True)
    with pytest.raises(hk.HistkitError, match=rf"{name} is a link, which is not followed: remove it"):
        run(books, out)
    assert list(elsewhere.iterdir()) == []


def test_what_a_killed_run_left_half_written_is_removed(books, tmp_path):
    out = tmp_path / "out"
    out.mkdir()
    run(books, out)
    dead = subprocess.Popen([sys.executable, "-c", ""])
    dead.wait()
    half, mine = f".histkit-{dead.pid}-abcd1234.tmp", (".gitignore", ".lines.csv.mine", f".histkit-{os.getpid()}-abcd1234.tmp")
    for folder in (out, out / "parts"):
        for name in (half, *mine):
            (folder / name).write_text("x", encoding="utf-8")
    run(books, out)
    assert {path.name for path in out.iterdir()} == {*TABLES, MANIFEST, "parts", *mine}
    assert {path.name for path in (out / "parts").iterdir() if path.suffix != ".part"} == {*mine}


def test_tables_change_together_or_not_at_all(books, tmp_path, monkeypatch):
    """When the second cannot be written, the first stays the old one."""
    from histkit.books import assembling

    out = tmp_path / "out"
    run(books, out)
    before = {name: (out / name).read_bytes() for name in (*TABLES, MANIFEST)}
    real = assembling.write_csv

    def full(file, name, parts):
        if name == "formulas":
            raise OSError("the disk is full")
        real(file, name, parts)

    (books / "d.txt").write_text((books / "a.txt").read_text(encoding="utf-8"), encoding="utf-8")
    monkeypatch.setattr(assembling, "write_csv", full)
    with pytest.raises(hk.RecordError, match="the disk is full"):
        run(books, out)
    assert {name: (out / name).read_bytes() for name in before} == before
