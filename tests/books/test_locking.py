"""One run in one folder at a time, whichever process it is in; a dead one never stands in the way."""

import json
import os
import signal
import socket
import subprocess
import sys
import threading
import time

import pytest

import histkit as hk
from histkit.books.locking import LOCK, busy, held
from histkit.books.running import run

HOLD = "import sys, time; from pathlib import Path; from histkit.books.locking import held\nwith held(Path(sys.argv[1])):\n    print('held', flush=True)\n    time.sleep(60)"
NO_FCNTL = "import sys; sys.modules['fcntl'] = None\n"


@pytest.fixture(params=["fcntl", "no fcntl"])
def system(request, monkeypatch):
    """With locks of the system, and as where there are none; the beginning of a program that runs there."""
    if request.param == "fcntl":
        return ""
    monkeypatch.setitem(sys.modules, "fcntl", None)
    return NO_FCNTL


@pytest.fixture
def other(system, tmp_path):
    """Another process that holds the folder."""
    process = subprocess.Popen([sys.executable, "-c", system + HOLD, str(tmp_path)], stdout=subprocess.PIPE, text=True)
    assert process.stdout is not None and process.stdout.readline() == "held\n"
    yield process
    process.kill()
    process.wait()
    process.stdout.close()


def test_a_second_run_is_refused_and_told_who_is_there(other, tmp_path, books):
    year = time.strftime("%Y")
    refused = rf"another run \(process {other.pid} on {socket.gethostname()}, since {year}-.*\) is writing into .*: give the command again when that has ended"
    with pytest.raises(hk.RecordError, match=refused), held(tmp_path):
        raise AssertionError("both hold it")
    assert str(other.pid) in busy(tmp_path)
    with pytest.raises(hk.RecordError, match=rf"process {other.pid}"):
        run(books, tmp_path)
    assert not (tmp_path / "lines.csv").exists()


def test_a_process_that_was_killed_does_not_block_for_ever(other, tmp_path):
    other.send_signal(signal.SIGKILL)
    other.wait()
    with held(tmp_path):
        assert len(list(tmp_path.glob("run.*"))) == 1
    assert not list(tmp_path.glob("run.*")) and busy(tmp_path) == ""


def test_it_is_waited_for_where_that_is_asked(other, tmp_path):
    told = []
    threading.Timer(1.0, lambda: os.kill(other.pid, signal.SIGKILL) or other.wait()).start()
    began = time.monotonic()
    with held(tmp_path, told.append):
        assert 0.5 < time.monotonic() - began < 30
    assert len(told) == 1 and told[0].startswith("waiting: another run (process ")


def test_what_holds_once_holds_in_the_same_process_too(system, tmp_path):
    with held(tmp_path):
        with pytest.raises(hk.RecordError, match=rf"process {os.getpid()} "), held(tmp_path):
            pass
        assert busy(tmp_path)
    with held(tmp_path):
        pass
    assert list(tmp_path.iterdir()) == []


def test_it_is_given_back_after_a_fault(system, tmp_path):
    with pytest.raises(KeyboardInterrupt), held(tmp_path):
        raise KeyboardInterrupt
    assert list(tmp_path.iterdir()) == [] and busy(tmp_path) == ""


@pytest.mark.parametrize("content", [b"", b"[" * 100_000, b"{}", b'{"process": 1}', b"\xff", b"1"])
def test_a_lock_with_anything_in_it_is_only_a_file_where_the_system_locks(tmp_path, content):
    (tmp_path / LOCK).write_bytes(content)
    assert busy(tmp_path) == ""
    with held(tmp_path):
        assert json.loads((tmp_path / LOCK).read_bytes())["process"] == os.getpid()


@pytest.mark.parametrize("holder", [{"process": 1}, {}, {"process": 2**70, "machine": "elsewhere", "since": "x"}, {"process": "1"}])
def test_where_nobody_can_know_whether_the_holder_lives_it_is_said_what_to_do(tmp_path, monkeypatch, holder):
    """Without locks of the system: another machine's process, or a file that says nothing."""
    monkeypatch.setitem(sys.modules, "fcntl", None)
    (tmp_path / "run.held").write_text(json.dumps(holder), encoding="utf-8")
    with pytest.raises(hk.RecordError, match=r"if no such process is running any more, remove .*run\.held"), held(tmp_path):
        pass


def test_a_dead_process_of_this_machine_is_put_aside_without_locks(tmp_path, monkeypatch):
    monkeypatch.setitem(sys.modules, "fcntl", None)
    for process in (2**70, 2**22 + 1):  # no such process can be
        (tmp_path / "run.held").write_text(json.dumps({"process": process, "machine": socket.gethostname(), "since": "x"}), encoding="utf-8")
        with held(tmp_path):
            pass


def test_a_file_system_without_locks_has_the_other_way(tmp_path, monkeypatch):
    import errno
    import fcntl

    def none(handle, how):
        raise OSError(errno.ENOTSUP, "not supported")

    monkeypatch.setattr(fcntl, "flock", none)
    with held(tmp_path):
        assert (tmp_path / "run.held").exists()
        with pytest.raises(hk.RecordError, match=rf"process {os.getpid()} "), held(tmp_path):
            pass


def test_two_runs_at_once_are_one_after_the_other(books, tmp_path):
    """Four processes with one folder, all of which wait: each ends well, and the tables are those of a run."""
    words = [sys.executable, "-m", "histkit.shell.main", "corpus", "read", str(books), "--out", str(tmp_path / "out"), "--wait", "--json"]
    processes = [subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(4)]
    outputs = [process.communicate(timeout=120) for process in processes]
    assert [process.returncode for process in processes] == [0] * 4, outputs
    counts = sorted(json.loads(out)["parts"]["done"] for out, _ in outputs)
    assert counts == [0, 0, 0, 3]
    assert not list((tmp_path / "out").glob("run.*"))


def test_a_lock_that_its_holder_removed_in_between_is_taken_anew(tmp_path, monkeypatch):
    """The holder before removes the file after we opened it: a lock on a file that has no name any more would keep nobody out."""
    import fcntl

    real, calls = fcntl.flock, []

    def removed_first(handle, how):
        if not calls:
            (tmp_path / LOCK).unlink()
        calls.append(how)
        real(handle, how)

    monkeypatch.setattr(fcntl, "flock", removed_first)
    with held(tmp_path):
        assert (tmp_path / LOCK).exists() and len(calls) == 2
        with pytest.raises(hk.RecordError), held(tmp_path):
            pass
