"""Whole books: how fast formulas are found and harvested, and what sharing out the work costs (`make bench`).

As in test_speed.py the figures are to be read as ratios within one run. Two workers are measured against one with the workers
already started, as in a long run (starting a process takes a second, whatever it then does), and beside them what a second
process is worth on this machine at this moment.
"""

import multiprocessing
from concurrent.futures import ProcessPoolExecutor

import pytest
from invented_books import invented_book

import histkit as hk
from histkit.books.finding import find_formulas
from histkit.books.pages import pages
from histkit.books.parts import parts_of, worked_out
from histkit.books.running import run

SOURCE = hk.Source(title="Invented", year=1861, country="GB", kind="trade receipt book")
BOOKS = [invented_book(seed, formulas=200, prose=1).text for seed in range(8)]


@pytest.mark.benchmark(group="whole books", min_rounds=3)
def test_pages_of_a_book(benchmark):
    benchmark(pages, BOOKS[0])


@pytest.mark.benchmark(group="whole books", min_rounds=3)
def test_find(benchmark):
    benchmark(find_formulas, BOOKS[0])
    benchmark.extra_info["megabytes"] = len(BOOKS[0]) / 1e6


@pytest.mark.benchmark(group="whole books", min_rounds=3)
def test_find_read_translate(benchmark):
    parts = list(parts_of(BOOKS[0], SOURCE, "b"))
    benchmark(lambda: [worked_out(part) for part in parts])


@pytest.mark.benchmark(group="whole books", min_rounds=3)
def test_yardstick_read_and_translate_the_same_formulas(benchmark):
    """What `read` and `translate` alone take for the formulas of that book: the rest is finding and writing."""
    bodies = [p.body().text for p in find_formulas(BOOKS[0])]

    def both():
        for body in bodies:
            hk.translate(hk.read(body, SOURCE))

    benchmark(both)


@pytest.mark.benchmark(group="putting the tables together", min_rounds=3)
def test_a_run_in_which_all_parts_are_there(benchmark, tmp_path):
    """Dividing the books, checking the parts, writing the four tables: what no worker can take over."""
    for number, text in enumerate(BOOKS):
        (tmp_path / f"{number}.txt").write_text(text, encoding="utf-8")
    run(tmp_path, tmp_path / "out")
    benchmark(run, tmp_path, tmp_path / "out")


@pytest.mark.benchmark(group="one process and two", min_rounds=1)
@pytest.mark.parametrize("jobs", [1, 2])
def test_workers(benchmark, jobs):
    """The parts of eight books in warm worker processes: with fewer, the last part of one worker weighs too much."""
    parts = [part for number, text in enumerate(BOOKS) for part in parts_of(text, SOURCE, str(number), 50_000)]
    with ProcessPoolExecutor(jobs, mp_context=multiprocessing.get_context("spawn")) as pool:
        list(pool.map(worked_out, parts))  # both have read the glossary
        benchmark.pedantic(lambda: list(pool.map(worked_out, parts)), rounds=3)


@pytest.mark.benchmark(group="one process and two", min_rounds=1)
def test_empty_tasks(benchmark):
    """As many tasks of the same size that do nothing: what giving out the work costs."""
    parts = [part for number, text in enumerate(BOOKS) for part in parts_of(text, SOURCE, str(number), 50_000)]
    with ProcessPoolExecutor(2, mp_context=multiprocessing.get_context("spawn")) as pool:
        list(pool.map(len_of, parts))
        benchmark.pedantic(lambda: list(pool.map(len_of, parts)), rounds=5)


@pytest.mark.benchmark(group="one process and two", min_rounds=1)
@pytest.mark.parametrize("jobs", [1, 2])
def test_yardstick_counting(benchmark, jobs):
    """What a second process is worth on this machine at this moment: twelve bouts of counting. On two idle cores, twice as fast."""
    with ProcessPoolExecutor(jobs, mp_context=multiprocessing.get_context("spawn")) as pool:
        list(pool.map(counted, range(12)))
        benchmark.pedantic(lambda: list(pool.map(counted, range(12))), rounds=5)


def counted(_number):
    total = 0
    for n in range(3_000_000):
        total += n
    return total


def len_of(part):
    return b"x" * len(part.text) * 4  # about as much comes back as of a part that was worked out


@pytest.mark.benchmark(group="memory of one process")
def test_memory_stays_flat(benchmark):
    """Books after books in one process: after the first few the peak must not grow, since the caches are bounded."""
    import resource

    sizes = []

    def books():
        for seed in range(100, 110):
            for part in parts_of(invented_book(seed, formulas=400, prose=1).text, SOURCE, "b"):
                worked_out(part)
            sizes.append(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)

    benchmark.pedantic(books, rounds=1)
    benchmark.extra_info["peak megabytes after each 400 formulas"] = [round(size) for size in sizes]
    assert sizes[-1] < sizes[3] * 1.15
