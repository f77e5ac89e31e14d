"""Whole runs: the same tables however they were worked out, and nothing lost when a run is stopped or a worker dies."""

import csv
import os
import signal
import subprocess
import sys
import threading
import time
from pathlib import Path

import pandas
import pytest
from invented_books import invented_book

import histkit as hk
from histkit.base.errors import BadValue
from histkit.books import assembling, crews, ledger, parquet, parts, running
from histkit.books.assembling import PARQUET, TABLES
from histkit.books.finding import find_formulas
from histkit.books.pages import pages
from histkit.books.parts import parts_of, worked_out
from histkit.books.rows import columns
from histkit.books.running import run


def tables(folder):
    return {name: (folder / name).read_bytes() for name in TABLES}


@pytest.fixture(scope="module")
def library(tmp_path_factory):
    """Six invented books, one of them long, and what is known of five of them."""
    folder = tmp_path_factory.mktemp("library")
    rows = ["file,title,year,country,kind"]
    for seed in range(6):
        book = invented_book(seed, formulas=120 if seed == 0 else 12, prose=1)
        (folder / f"book-{seed}.txt").write_text(book.text, encoding="utf-8")
        if seed < 5:
            rows.append(f"book-{seed}.txt,Invented Receipts {seed},{1790 + 20 * seed},GB,trade receipt book")
    (folder / "books.csv").write_text("\n".join(rows) + "\n", encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def alone(library, tmp_path_factory):
    """The tables of one process, one part after the other."""
    out = tmp_path_factory.mktemp("alone")
    summary = run(library, out, parquet=True)
    return summary, tables(out), out


# -- what stands in the tables -------------------------------------------------------------------------------------------


def test_the_tables_hold_every_formula_in_order(library, alone):
    summary, _, out = alone
    formulas, lines = pandas.read_csv(out / "formulas.csv", keep_default_na=False), pandas.read_csv(out / "lines.csv")
    assert (summary.formulas, summary.lines, summary.books) == (len(formulas), len(lines), 6)
    expected = []
    for file in sorted(library.glob("*.txt")):
        text = file.read_text(encoding="utf-8")
        expected += [(file.name, p.number, p.first_line, p.last_line) for p in find_formulas(text, pages(text))]
    assert list(formulas[["book", "number", "first_line", "last_line"]].itertuples(index=False, name=None)) == expected
    assert lines.groupby(["book", "number"]).size().to_dict() == {
        (r.book, r.number): r.lines for r in formulas.itertuples() if r.lines
    }
    assert set(formulas["year"]) == {"", "1790", "1810", "1830", "1850", "1870"}


def test_csv_and_parquet_say_the_same(alone):
    _, _, out = alone
    for name in ("lines", "formulas"):
        with (out / f"{name}.csv").open(encoding="utf-8", newline="") as file:
            printed = list(csv.DictReader(file))
        frame = pandas.read_parquet(out / f"{name}.parquet")
        assert list(printed[0]) == list(frame.columns)
        assert len(printed) == len(frame)
        for row, cells in zip(printed, frame.to_dict("records"), strict=True):
            for column, value in cells.items():
                if isinstance(value, bool):
                    assert row[column] == ("true" if value else "false")
                elif isinstance(value, float):
                    assert (float(row[column]) == value) if value == value else row[column] == ""
                else:
                    assert row[column].lstrip("'") == str(value).lstrip("'")


def test_what_is_not_known_is_said(alone):
    summary, *_ = alone
    assert any("book-5.txt" in note and "books.csv" in note for note in summary.notes)
    assert not any("book-1.txt" in note for note in summary.notes)


def test_a_spreadsheet_takes_no_cell_for_a_formula(tmp_path):
    (tmp_path / "a.txt").write_text("=SUM(A1).\n\nTalc      4 oz.\n=cmd|x, 2 oz.\nStarch    2 oz.\n\n@home mix.\n", encoding="utf-8")
    run(tmp_path, tmp_path / "out")
    for name in TABLES:
        with (tmp_path / "out" / name).open(encoding="utf-8", newline="") as file:
            assert not [cell for row in csv.reader(file) for cell in row if cell[:1] in ("=", "+", "-", "@")]
    assert len(pandas.read_csv(tmp_path / "out" / "lines.csv")) >= 2


def test_hostile_text_stays_one_row_to_a_line(tmp_path):
    text = 'A "Powder", so-called.\n\nTalc, "best"\u2028white     4 oz.\nStarch\u202e, \x07fine     2 oz.\r\nRice\x0b powder      1 oz.\n'
    (tmp_path / "a,b.txt").write_text(text, encoding="utf-8")
    summary = run(tmp_path, tmp_path / "out")
    raw = (tmp_path / "out" / "lines.csv").read_text(encoding="utf-8")
    assert len(raw.splitlines()) == summary.lines + 1
    assert "\u202e" not in raw and "\x07" not in raw
    assert list(pandas.read_csv(tmp_path / "out" / "lines.csv")["book"].unique()) == ["a,b.txt"]


def test_a_folder_without_any_formula_gives_empty_tables(tmp_path):
    (tmp_path / "a.txt").write_text("It rained.\n", encoding="utf-8")
    summary = run(tmp_path, tmp_path / "out", parquet=True)
    assert (summary.formulas, summary.lines) == (0, 0)
    assert (tmp_path / "out" / "lines.csv").read_text(encoding="utf-8") == ",".join(columns("lines")) + "\n"
    assert list(pandas.read_parquet(tmp_path / "out" / "lines.parquet").columns) == list(columns("lines"))


# -- the same however it was run -----------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [1, 100_000])
def test_the_size_of_the_parts_changes_nothing(library, alone, tmp_path, monkeypatch, size):
    run(library, tmp_path / "out", part_size=size)
    assert tables(tmp_path / "out") == alone[1]


def test_two_processes_give_the_same_bytes(library, alone, tmp_path):
    run(library, tmp_path / "out", jobs=2, part_size=1)
    assert tables(tmp_path / "out") == alone[1]


def test_another_order_of_hashing_gives_the_same_bytes(library, alone, tmp_path):
    code = f"from histkit.books.running import run; run({str(library)!r}, {str(tmp_path / 'out')!r})"
    subprocess.run([sys.executable, "-c", code], check=True, env={**os.environ, "PYTHONHASHSEED": "12345"})
    assert tables(tmp_path / "out") == alone[1]


def test_row_groups_do_not_follow_the_parts(library, alone, tmp_path, monkeypatch):
    import pyarrow.parquet

    assert parquets(alone[2]) == parquets_of(run(library, tmp_path / "out", part_size=1, parquet=True))
    monkeypatch.setattr(parquet, "ROW_GROUP", 100)
    run(library, tmp_path / "out", part_size=1, parquet=True)
    file = pyarrow.parquet.ParquetFile(tmp_path / "out" / "lines.parquet")
    sizes = [file.metadata.row_group(i).num_rows for i in range(file.num_row_groups)]
    assert set(sizes[:-1]) == {100} and sum(sizes) == alone[0].lines


def parquets(folder):
    return {name: (folder / name).read_bytes() for name in PARQUET}


def parquets_of(summary):
    assert set(summary.tables) == {*TABLES, *PARQUET}
    return parquets(summary.out)


def test_parquet_of_an_earlier_run_does_not_stay_beside_other_tables(library, tmp_path):
    out = tmp_path / "out"
    run(library, out, parquet=True)
    again = run(library, out)
    assert not any((out / name).exists() for name in PARQUET) and again.tables == TABLES
    assert "lines.parquet of an earlier run was removed; --parquet writes it anew." in again.notes


# -- stopped and taken up again ------------------------------------------------------------------------------------------


def test_a_second_run_does_nothing_twice(library, tmp_path, monkeypatch):
    first = run(library, tmp_path / "out", part_size=1)
    assert first.parts_done > 6 and first.parts_kept == 0
    before = tables(tmp_path / "out")

    def never(part):
        raise AssertionError("a finished part was worked out again")

    monkeypatch.setattr(crews, "worked_out", never)
    second = run(library, tmp_path / "out", part_size=1)
    assert (second.parts_done, second.parts_kept) == (0, first.parts_done)
    assert tables(tmp_path / "out") == before


def test_only_what_changed_is_done_anew(library, tmp_path):
    folder = tmp_path / "books"
    folder.mkdir()
    for file in library.iterdir():
        (folder / file.name).write_bytes(file.read_bytes())
    first = run(folder, tmp_path / "out")
    (folder / "book-3.txt").write_text("Face Powder.\n\nTalc     4 oz.\nStarch   2 oz.\n", encoding="utf-8")
    second = run(folder, tmp_path / "out")
    assert second.parts_done == 1 and second.parts_kept == first.parts_done - 1
    (folder / "book-3.txt").unlink()
    run(folder, tmp_path / "out")
    assert len(list((tmp_path / "out" / "parts").iterdir())) == first.parts_done - 1  # what belongs to nothing is tidied away
    (folder / "books.csv").write_text("file,year,country\nbook-4.txt,1899,FR\n", encoding="utf-8")
    after = run(folder, tmp_path / "out")
    assert after.parts_kept == 1  # of the five books, only the one that the table never named is what it was


def test_another_version_does_all_of_it_anew(library, tmp_path, monkeypatch):
    first = run(library, tmp_path / "out")
    monkeypatch.setattr(parts, "fingerprint", lambda: "another")
    for module in (ledger, assembling):
        monkeypatch.setattr(module, "fingerprint", lambda: "another")
    assert run(library, tmp_path / "out").parts_done == first.parts_done


def start(library, out, *more):
    return subprocess.Popen(
        [sys.executable, "-m", "histkit.shell.main", "corpus", "read", str(library), "--out", str(out), *more],
        stderr=subprocess.PIPE,
        stdout=subprocess.PIPE,
        start_new_session=True,
    )


def until_some_parts(out, process, count=1):
    """Wait until the run has finished some parts; False where it was over before."""
    deadline = time.monotonic() + 120
    while time.monotonic() < deadline:
        if len(list((out / "parts").glob("*.part"))) >= count if (out / "parts").is_dir() else False:
            return process.poll() is None
        if process.poll() is not None:
            return False
        time.sleep(0.002)
    raise AssertionError("no part was finished in two minutes")


@pytest.fixture(scope="module")
def long_library(tmp_path_factory):
    folder = tmp_path_factory.mktemp("long")
    for seed in range(12):
        (folder / f"book-{seed:02}.txt").write_text(invented_book(seed, formulas=60, prose=1).text, encoding="utf-8")
    return folder


@pytest.fixture(scope="module")
def long_alone(long_library, tmp_path_factory):
    out = tmp_path_factory.mktemp("long-alone")
    return run(long_library, out), tables(out)


@pytest.mark.parametrize("how", [signal.SIGKILL, signal.SIGINT])
@pytest.mark.parametrize("jobs", ["1", "2"])
def test_killed_in_the_midst_and_taken_up_again(long_library, long_alone, tmp_path, how, jobs):
    out = tmp_path / "out"
    process = start(long_library, out, "--jobs", jobs)
    assert until_some_parts(out, process, 2), process.communicate()
    if how == signal.SIGKILL:
        os.killpg(process.pid, how)
    else:
        process.send_signal(how)
    _, errors = process.communicate(timeout=60)
    if how == signal.SIGINT:
        assert process.returncode == 130
        assert b"same command" in errors and b"Traceback" not in errors
    assert not (out / "lines.csv").exists()
    kept = len(list((out / "parts").glob("*.part")))
    summary = run(long_library, out)
    assert summary.parts_kept == kept >= 2 and summary.parts_done == long_alone[0].parts_done - kept
    assert tables(out) == long_alone[1]
    assert not [p for p in (out / "parts").iterdir() if p.name.startswith(".")]


def test_a_killed_process_of_several_loses_nothing(long_library, long_alone, tmp_path):
    out = tmp_path / "out"
    process = start(long_library, out, "--jobs", "2", "--quiet")
    assert until_some_parts(out, process, 2), process.communicate()
    victim = next(iter(workers_of(process.pid)))
    os.kill(victim, signal.SIGKILL)
    output = process.communicate(timeout=120)
    assert process.returncode == 0, output
    assert tables(out) == long_alone[1]


def workers_of(pid):
    """The process ids of the workers that a process started: those of its children that run multiprocessing's spawn_main."""
    for child in Path(f"/proc/{pid}/task/{pid}/children").read_text().split():
        if b"spawn_main" in Path(f"/proc/{child}/cmdline").read_bytes():
            yield int(child)


def test_workers_that_die_again_and_again_end_the_run_with_a_sentence(library, tmp_path, monkeypatch):
    class Doomed(crews.Alone):
        def result(self, task):
            raise LookupError("killed")

    monkeypatch.setattr(running, "crew", lambda jobs, scheduler: Doomed())
    monkeypatch.setattr(crews, "worked_out", lambda part: b"")
    with pytest.raises(hk.HistkitError, match=r"died again and again.*book-\d\.txt"):
        run(library, tmp_path / "out")


# -- Dask ----------------------------------------------------------------------------------------------------------------


class DaskCluster:
    """A real scheduler and two workers, processes of their own on loopback. Tests kill them; `mend` starts what is missing."""

    def __init__(self):
        self.address, self.scheduler, self.workers = "", None, []

    def mend(self):
        if self.scheduler is None or self.scheduler.poll() is not None:
            self.end()
            self._start_scheduler()
        self.workers = [worker for worker in self.workers if worker.poll() is None]
        self.workers += [self._started("worker", self.address, "--nthreads", "1", "--no-nanny", stderr=subprocess.DEVNULL) for _ in range(2 - len(self.workers))]
        from distributed import Client

        with Client(self.address, set_as_default=False) as client:
            client.wait_for_workers(2, timeout=60)

    def end(self):
        for process in filter(None, (*self.workers, self.scheduler)):
            process.kill()
            process.wait()

    def _start_scheduler(self):
        self.scheduler = self._started("scheduler", "--port", "0", stderr=subprocess.PIPE)
        said = iter(self.scheduler.stderr)
        self.address = next(line for line in said if "Scheduler at:" in line).split("Scheduler at:")[1].strip()
        assert self.address.startswith("tcp://127.0.0.1:"), self.address
        threading.Thread(target=self.scheduler.stderr.read, daemon=True).start()  # a full pipe would stop the scheduler

    @staticmethod
    def _started(part, *words, stderr):
        command = [sys.executable, "-m", f"distributed.cli.dask_{part}", *words, "--host", "127.0.0.1", "--no-dashboard"]
        environment = {**os.environ, "DASK_DISTRIBUTED__WORKER__DAEMON": "False"}
        return subprocess.Popen(command, stderr=stderr, text=True, env=environment)


@pytest.fixture(scope="module")
def one_cluster():
    pytest.importorskip("distributed")
    made = DaskCluster()
    yield made
    made.end()


@pytest.fixture
def cluster(one_cluster):
    """(address, workers' processes, scheduler's), all of them at work."""
    one_cluster.mend()
    return one_cluster.address, one_cluster.workers, one_cluster.scheduler


def test_a_cluster_gives_the_same_bytes(library, alone, tmp_path, cluster):
    address, *_ = cluster
    summary = run(library, tmp_path / "out", scheduler=address, part_size=1)
    assert summary.formulas == alone[0].formulas
    assert tables(tmp_path / "out") == alone[1]


def test_a_worker_killed_in_the_midst_loses_no_formula(long_library, long_alone, tmp_path, cluster):
    address, workers, _ = cluster
    out = tmp_path / "out"
    process = start(long_library, out, "--scheduler", address)
    assert until_some_parts(out, process, 2), process.communicate()
    workers[0].kill()
    workers[0].wait()
    output = process.communicate(timeout=240)
    assert process.returncode == 0, output
    assert tables(out) == long_alone[1]


def test_a_scheduler_that_dies_ends_the_run_with_a_sentence_and_the_next_goes_on(long_library, long_alone, tmp_path, cluster):
    address, _, scheduler = cluster
    out = tmp_path / "out"
    process = start(long_library, out, "--scheduler", address)
    assert until_some_parts(out, process, 2), process.communicate()
    scheduler.kill()
    scheduler.wait()
    _, errors = process.communicate(timeout=120)
    assert process.returncode == 1, errors
    assert b"Traceback" not in errors
    (sentence,) = errors.decode().strip().splitlines()
    assert sentence.startswith(f"histkit: the Dask scheduler at {address} answers no more (") and "what is done is kept" in sentence
    assert not list(out.glob("run.*"))
    summary = run(long_library, out)
    assert summary.parts_kept >= 2 and tables(out) == long_alone[1]


def test_a_worker_that_fails_is_named(library, tmp_path, monkeypatch):
    distributed = pytest.importorskip("distributed")

    def fails(part):
        raise ModuleNotFoundError("No module named 'histkit'")

    monkeypatch.setattr(crews, "worked_out", fails)
    with (
        distributed.LocalCluster(1, processes=False, dashboard_address=None) as local,
        pytest.raises(hk.HistkitError, match=r"a worker of .* failed \(ModuleNotFoundError: No module named 'histkit'\); what is done is kept"),
    ):
        run(library, tmp_path / "out", scheduler=local.scheduler_address)


def test_a_scheduler_needs_dask(monkeypatch, library, tmp_path):
    monkeypatch.setitem(sys.modules, "distributed", None)
    with pytest.raises(BadValue, match=r"histkit\[corpus\]"):
        run(library, tmp_path / "out", scheduler="tcp://127.0.0.1:1")


def test_no_scheduler_answers(library, tmp_path):
    pytest.importorskip("distributed")
    with pytest.raises(BadValue, match="tcp://127.0.0.1:8786"):
        run(library, tmp_path / "out", scheduler="nonsense://x")


def test_workers_of_another_version_are_refused(library, tmp_path, monkeypatch):
    monkeypatch.setattr(ledger, "fingerprint", lambda: "mine")
    with pytest.raises(BadValue, match="another version"):
        run(library, tmp_path / "out")


# -- parts ---------------------------------------------------------------------------------------------------------------


def test_the_parts_of_a_book_hold_all_of_it(monkeypatch):
    from histkit.books import dividing

    monkeypatch.setattr(dividing, "SEGMENT", 1000)
    text = invented_book(3, prose=8).text
    pieces = list(parts_of(text, hk.Source(), "b", 4000))
    assert len(pieces) > 3
    assert "".join(p.text for p in pieces) == text
    assert [p.number for p in pieces] == list(range(len(pieces)))
    assert len({p.key for p in pieces}) == len(pieces)
    layout = pages(text)
    for part in pieces:
        for at in range(part.offset, part.offset + len(part.text), 97):
            assert part.layout().page_at(at) == layout.page_at(at)


def test_the_key_of_a_part_holds_all_that_its_rows_depend_on():
    from dataclasses import replace

    (part,) = parts_of("Face Powder.\n\nTalc     4 oz.\nStarch   2 oz.\n", hk.Source(year=1850), "b")
    others = {"offset": 1, "text": part.text + " ", "cuts": ((0, 1, 1),), "marks": ((0, 7),), "furniture": (3,), "source": hk.Source(year=1851)}
    assert part.key == parts._key(part)
    for name, value in others.items():
        assert parts._key(replace(part, **{name: value})) != part.key, name


def test_a_part_gives_the_same_bytes_each_time_and_travels():
    import pickle

    (part,) = parts_of(invented_book(3).text, hk.Source(year=1850), "b")
    assert worked_out(part) == worked_out(pickle.loads(pickle.dumps(part)))


# -- numbers, folders, progress -------------------------------------------------------------------------------------------


@pytest.mark.parametrize(("more", "message"), [({"jobs": 0}, "jobs is 1 or more"), ({"part_size": 0}, "1 character or more")])
def test_numbers_that_make_no_sense(library, tmp_path, more, message):
    with pytest.raises(BadValue, match=message):
        run(library, tmp_path / "out", **more)


def test_a_folder_that_cannot_be_made(library, tmp_path):
    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(BadValue, match="cannot make the folder"):
        run(library, tmp_path / "file")


def test_progress_is_told(library, tmp_path):
    steps = []
    run(library, tmp_path / "out", progress=lambda *args: steps.append(args), part_size=1)
    done = [d for d, _, _ in steps]
    assert done == sorted(done) and done[-1] == steps[-1][1] == sum(p.stat().st_size for p in library.glob("*.txt"))
    assert steps[-1][2] > 100


def test_an_old_encoding_is_said(tmp_path):
    (tmp_path / "a.txt").write_bytes("Crème.\n\nTalc      ½ oz.\nStarch    2 oz.\n".encode("cp1252"))
    summary = run(tmp_path / "a.txt", tmp_path / "out")
    assert any("cp1252" in note for note in summary.notes)
    assert summary.formulas == 1
