"""Files written in one step, names that are never taken twice, links that lead nowhere, and what a kill leaves behind."""

import os
import subprocess
import sys
import threading
import time
from itertools import islice
from pathlib import Path

import pytest

from histkit.base import files
from histkit.base.errors import RecordError
from histkit.base.files import numbered, replacing, write_atomically, write_new

HERE = Path(__file__).parent.parent


def temporary_in(folder):
    return [p.name for p in folder.iterdir() if p.name.startswith(".")]


@pytest.mark.parametrize("follow", [True, False])
def test_a_file_is_replaced_and_keeps_its_permissions(tmp_path, follow):
    path = tmp_path / "a.txt"
    write_atomically(path, "first", follow=follow)
    path.chmod(0o640)
    write_atomically(path, b"second", follow=follow)
    assert path.read_bytes() == b"second" and path.stat().st_mode & 0o777 == 0o640 and temporary_in(tmp_path) == []


def test_a_file_that_is_never_whole_leaves_the_old_one(tmp_path):
    path = tmp_path / "lines.csv"
    path.write_bytes(b"old")
    with pytest.raises(RecordError, match="the disk is full. What was there before is untouched"), replacing(path) as file:
        file.write(b"half of the ne")
        raise OSError("the disk is full")
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]
    with pytest.raises(KeyboardInterrupt), replacing(path) as file:
        raise KeyboardInterrupt
    assert path.read_bytes() == b"old" and list(tmp_path.iterdir()) == [path]
    with replacing(path) as file:
        file.write(b"new")
        file.seek(0)
        assert file.read() == b"new", "what was written can be read again before it takes its place"
        assert path.read_bytes() == b"old"
    assert path.read_bytes() == b"new" and list(tmp_path.iterdir()) == [path]


def test_a_new_file_has_the_usual_permissions(tmp_path):
    (tmp_path / "plain.txt").write_text("x", encoding="utf-8")
    write_atomically(tmp_path / "a.txt", "x")
    write_new(tmp_path, ["b.txt"], "x")
    assert {(tmp_path / name).stat().st_mode for name in ("plain.txt", "a.txt", "b.txt")} == {
        (tmp_path / "plain.txt").stat().st_mode
    }


def test_without_fchmod_as_on_windows_it_saves_too(tmp_path, monkeypatch):
    monkeypatch.delattr(os, "fchmod")
    write_atomically(tmp_path / "a.txt", "whole")
    assert (tmp_path / "a.txt").read_text(encoding="utf-8") == "whole" and temporary_in(tmp_path) == []


@pytest.mark.parametrize("failure", [OSError(28, "No space left on device"), KeyboardInterrupt(), MemoryError()])
@pytest.mark.parametrize("step", ["fsync", "fdopen"])
def test_whatever_happens_the_temporary_file_is_gone(tmp_path, monkeypatch, failure, step):
    path = tmp_path / "a.txt"
    path.write_text("before", encoding="utf-8")

    def fail(*_, **__):
        raise failure

    monkeypatch.setattr(os, step, fail)
    for write in (lambda: write_atomically(path, "after"), lambda: write_new(tmp_path, ["b.txt"], "after")):
        with pytest.raises(RecordError if isinstance(failure, OSError) else type(failure)):
            write()
    assert [p.name for p in tmp_path.iterdir()] == ["a.txt"] and path.read_text(encoding="utf-8") == "before"


class TestLinks:
    def test_followed_a_link_stays_a_link(self, tmp_path):
        (tmp_path / "real.txt").write_text("before", encoding="utf-8")
        (tmp_path / "link.txt").symlink_to(tmp_path / "real.txt")
        write_atomically(tmp_path / "link.txt", "after", follow=True)
        assert (tmp_path / "link.txt").is_symlink() and (tmp_path / "real.txt").read_text(encoding="utf-8") == "after"

    @pytest.mark.parametrize("there", [True, False])
    def test_not_followed_a_link_is_replaced_and_what_it_leads_to_stays(self, tmp_path, there):
        target = tmp_path / "elsewhere" / "real.txt"
        target.parent.mkdir()
        if there:
            target.write_text("mine", encoding="utf-8")
            target.chmod(0o400)
        (tmp_path / "manifest.json").symlink_to(target)
        write_atomically(tmp_path / "manifest.json", "results")
        assert not (tmp_path / "manifest.json").is_symlink()
        assert (tmp_path / "manifest.json").read_text(encoding="utf-8") == "results"
        assert target.read_text(encoding="utf-8") == "mine" if there else not target.exists()

    def test_a_new_file_never_takes_the_name_of_a_link_that_leads_nowhere(self, tmp_path):
        (tmp_path / "a.json").symlink_to(tmp_path / "nowhere.json")
        assert write_new(tmp_path, numbered("a", ".json"), "x") == tmp_path / "a-2.json"
        assert not (tmp_path / "nowhere.json").exists()

    def test_the_demonstration_follows_no_link_in_its_folder(self, tmp_path):
        from histkit.keeping import example
        from histkit.telling import files as telling

        (tmp_path / "mine.txt").write_text("mine", encoding="utf-8")
        out = tmp_path / "out"
        out.mkdir()
        names = (
            "old-and-new.html",
            "old-and-new.md",
            "old-and-new.csv",
            "old-and-new.xlsx",
            "source.bib",
            "bench-sheet.md",
            "bench-sheet.pdf",
        )
        for name in names:
            (out / name).symlink_to(tmp_path / "mine.txt")
        record = example.record()
        telling.save_table(out, record.table(), record.translation(), record.batch())
        telling.save_bench_sheet(out, record.batch())
        assert (tmp_path / "mine.txt").read_text(encoding="utf-8") == "mine"
        assert not any((out / name).is_symlink() for name in names)


class TestNames:
    def test_numbers_follow_the_stem(self):
        assert list(islice(numbered("powder", ".json"), 3)) == ["powder.json", "powder-2.json", "powder-3.json"]

    def test_what_has_a_name_keeps_it_whatever_it_is(self, tmp_path):
        (tmp_path / "a.json").mkdir()
        (tmp_path / "a-2.json").write_text("mine", encoding="utf-8")
        assert write_new(tmp_path, numbered("a", ".json"), "x").name == "a-3.json"
        assert (tmp_path / "a-2.json").read_text(encoding="utf-8") == "mine"

    def test_where_no_name_is_left_it_says_so(self, tmp_path):
        (tmp_path / "a").write_text("mine", encoding="utf-8")
        with pytest.raises(RecordError, match="no name is free"):
            write_new(tmp_path, ["a"], "x")
        assert (tmp_path / "a").read_text(encoding="utf-8") == "mine" and temporary_in(tmp_path) == []

    def test_a_file_system_without_hard_links(self, tmp_path, monkeypatch):
        def no_links(*_):
            raise OSError(95, "Operation not supported")

        monkeypatch.setattr(os, "link", no_links)
        (tmp_path / "a.json").write_text("mine", encoding="utf-8")
        assert write_new(tmp_path, numbered("a", ".json"), "x").name == "a-2.json"
        assert (tmp_path / "a.json").read_text(encoding="utf-8") == "mine"
        assert (tmp_path / "a-2.json").read_text(encoding="utf-8") == "x" and temporary_in(tmp_path) == []

    def test_without_links_a_failure_gives_the_name_back(self, tmp_path, monkeypatch):
        def fails(*_):
            raise OSError(5, "Input/output error")

        monkeypatch.setattr(os, "link", fails)
        monkeypatch.setattr(Path, "replace", fails)
        with pytest.raises(RecordError, match="Input/output"):
            write_new(tmp_path, numbered("a", ".json"), "x")
        assert list(tmp_path.iterdir()) == []

    @pytest.mark.parametrize("links", [True, False])
    def test_several_at_once_never_get_the_same_name(self, tmp_path, monkeypatch, links):
        if not links:
            monkeypatch.setattr(os, "link", lambda *_: (_ for _ in ()).throw(OSError(95, "no links")))
        written = []

        def write(who):
            for number in range(10):
                words = f"{who} {number}"
                written.append((write_new(tmp_path, numbered("a", ".txt"), words), words))

        threads = [threading.Thread(target=write, args=(who,)) for who in range(4)]
        for thread in threads:
            thread.start()
        for thread in threads:
            thread.join()
        assert len({path for path, _ in written}) == 40
        assert all(path.read_text(encoding="utf-8") == words for path, words in written)


class TestLeftBehind:
    """Temporary files of programs that were killed go at the next save; nothing else does."""

    @staticmethod
    def dead_process():
        child = subprocess.Popen([sys.executable, "-c", ""])
        child.wait()
        return child.pid

    def put(self, folder, name, minutes):
        path = folder / name
        path.write_text("x", encoding="utf-8")
        then = time.time() - 60 * minutes
        os.utime(path, (then, then))

    def test_only_old_ones_of_dead_programs_with_our_own_pattern(self, tmp_path):
        dead = self.dead_process()
        self.put(tmp_path, f".histkit-{dead}-abc12_x.tmp", 30)
        stay = [
            f".histkit-{dead}-fresh1.tmp",
            f".histkit-{os.getpid()}-lives1.tmp",
            ".histkit-notes.tmp",
            f"histkit-{dead}-abc.tmp",
            f".histkit-{dead}-abc.tmp.json",
            ".powder.json.x1y2z3",
        ]
        for name, minutes in zip(stay, (1, 30, 30, 30, 30, 30), strict=True):
            self.put(tmp_path, name, minutes)
        write_atomically(tmp_path / "a.txt", "x")
        assert sorted(p.name for p in tmp_path.iterdir()) == sorted([*stay, "a.txt"])

    def test_a_kill_leaves_a_file_that_the_next_save_clears(self, tmp_path):
        code = f"import os\nfrom pathlib import Path\nfrom histkit.base.files import write_atomically\nos.fsync = lambda handle: os.kill(os.getpid(), 9)\nwrite_atomically(Path({str(tmp_path / 'a.txt')!r}), 'x')"
        assert subprocess.run([sys.executable, "-c", code], cwd=HERE, check=False).returncode == -9
        (left,) = temporary_in(tmp_path)
        write_atomically(tmp_path / "b.txt", "x")
        assert temporary_in(tmp_path) == [left], "it may still be at work, as far as can be known"
        then = time.time() - 3600
        os.utime(tmp_path / left, (then, then))
        write_atomically(tmp_path / "b.txt", "x")
        assert temporary_in(tmp_path) == []

    def test_a_number_that_no_process_can_have(self, tmp_path):
        self.put(tmp_path, f".histkit-{10**30}-abc.tmp", 30)
        write_atomically(tmp_path / "a.txt", "x")
        assert temporary_in(tmp_path) == []


def test_errors_are_one_sentence(tmp_path):
    with pytest.raises(RecordError, match="cannot write in the folder"):
        write_atomically(tmp_path / "gone" / "a.txt", "x")
    with pytest.raises(RecordError, match="half of a character"):
        write_atomically(tmp_path / "a.txt", "\ud800")
    (tmp_path / "folder").mkdir()
    with pytest.raises(RecordError, match="was not saved"):
        write_atomically(tmp_path / "folder", "x")
    with pytest.raises(RecordError, match="was not saved"):
        write_atomically(tmp_path / ("n" * 300), "x")
    assert temporary_in(tmp_path) == [] and files._TEMPORARY.fullmatch(".histkit-1-a.tmp")


def test_names_of_many_bytes_are_saved_too(tmp_path):
    name = "粉" * 80 + ".json"
    write_atomically(tmp_path / name, "x")
    assert (tmp_path / name).exists()
