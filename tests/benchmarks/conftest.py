"""Compares what was measured with the budget (budget.csv) when `make bench` ends.

A share of a yardstick of the same run must keep to its budget, or the run fails; seconds are only told, since machines differ.
"""

import csv
from pathlib import Path

BUDGET = Path(__file__).parent / "budget.csv"


def compared(times):
    """(what, figure as text, at most, whether it is kept, whether it must be) of each row of which all was measured.

    `times` are the shortest seconds of each benchmark by its name.
    """
    with BUDGET.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            names = [row["benchmark"], *filter(None, [row["yardstick"]])]
            if not all(name in times for name in names):
                continue
            value, limit = times[names[0]], float(row["at_most"])
            if len(names) == 1:
                yield row["what"], f"{value:.3f} s", f"{limit:g} s", value <= limit, False
            else:
                value /= times[names[1]]
                yield row["what"], f"{value:.2f} of {names[1].removeprefix('test_')}", f"{limit:g}", value <= limit, True


def _measured(config):
    session = getattr(config, "_benchmarksession", None)
    return {b.name: b.stats.min for b in session.benchmarks if b.stats} if session is not None else {}


def pytest_sessionfinish(session):
    if any(must and not kept for *_, kept, must in compared(_measured(session.config))):
        session.exitstatus = 1


def pytest_terminal_summary(terminalreporter, config):
    rows = list(compared(_measured(config)))
    if rows:
        terminalreporter.section("budget")
    for what, figure, limit, kept, must in rows:
        verdict = "kept" if kept else "BROKEN" if must else "over, on this machine"
        terminalreporter.line(f"{what}: {figure} (at most {limit}): {verdict}", green=kept, red=not kept)
