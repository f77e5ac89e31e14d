"""Files written in one step; links planted in the folder of a run are never followed."""

import pytest

import histkit as hk
from histkit.books.assembling import MANIFEST, PARQUET, TABLES
from histkit.books.locking import LOCK
from histkit.books.running import run
from histkit.books.writing import replaced, write


def test_a_table_that_cannot_be_written_whole_leaves_the_old_one(tmp_path):
    path = tmp_path / "lines.csv"
    path.write_bytes(b"old")
    with pytest.raises(hk.RecordError, match="the disk is full. What was there before is untouched"), replaced(path) as file:
        file.write(b"half of the ne")
        raise OSError("the disk is full")
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]
    with pytest.raises(KeyboardInterrupt), replaced(path) as file:
        raise KeyboardInterrupt
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]
    with replaced(path) as file:
        file.write(b"new")
    assert path.read_bytes() == b"new" and list(tmp_path.iterdir()) == [path]
    plain = tmp_path / "plain"
    plain.write_bytes(b"")
    assert path.stat().st_mode == plain.stat().st_mode, "others may read it as they may read any other file"


def test_where_nothing_can_be_written_it_is_said(tmp_path):
    with pytest.raises(hk.RecordError, match="cannot write in the folder"):
        write(tmp_path / "gone" / "x", b"")
    (tmp_path / "x").mkdir()
    with pytest.raises(hk.RecordError, match="x was not saved"):
        write(tmp_path / "x", b"")
    assert [path.name for path in tmp_path.iterdir()] == ["x"]


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
    for name in (".lines.csv.abcd1234", ".manifest.json.a_cd1234", ".gitignore", ".lines.csv.mine"):
        (out / name).write_text("x", encoding="utf-8")
    run(books, out)
    assert {path.name for path in out.iterdir()} == {*TABLES, MANIFEST, "parts", ".gitignore", ".lines.csv.mine"}


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
