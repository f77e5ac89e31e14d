"""How long a maker waits: from opening the first notebook in JupyterLab to its fields, and to the page as it was read.

    python tests/benchmarks/opening.py [TIMES]

Two ways: the notebook's own address in a new page, JupyterLab's start and the kernel included; and as a maker goes under `make lab`,
who sees the start page first and clicks on the notebook there, from the click on. Prints seconds; the server runs already, and its
first page is not counted. No test: figures of one machine, to be taken while it is quiet.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import find_chromium
from notebooks_in_browser import Lab
from playwright.sync_api import Page, sync_playwright

NOTEBOOK = "1-modernise-a-formula.ipynb"


START, READ_ON = "0-start.ipynb", 8.0
"""The page a maker sees first, and the seconds that somebody looks at it at least: by then the next kernel is ready."""


def timed(page: Page, action: Callable[[], object]) -> tuple[float, float]:
    """Seconds from an action to the fields of the first notebook, and to the page as it was read."""
    begun = time.perf_counter()
    action()
    page.get_by_label("Book", exact=True).wait_for()
    fields = time.perf_counter() - begun
    page.locator(".hk-body [data-line]").first.wait_for()
    return fields, time.perf_counter() - begun


def from_start(page: Page, lab: Lab) -> tuple[float, float]:
    """The same from the click on the start page."""
    page.goto(f"{lab.address}/lab/tree/{START}?reset")
    page.get_by_label("Old name", exact=True).wait_for()
    page.wait_for_timeout(1000 * READ_ON)
    return timed(page, page.get_by_role("link", name="Modernise a formula").click)


def main(times: int) -> None:
    taken: dict[str, list[tuple[float, float]]] = {"its own address": [], "from the start page": []}
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "notebooks"
        folder.mkdir()
        with Lab(folder, Path(place)) as lab, sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(find_chromium()), args=["--no-sandbox", "--disable-background-networking"])
            window = browser.new_context()  # as a maker's browser, which keeps the programs of the pages it opened before
            for turn in range(times + 1):
                for way, seconds in taken.items():
                    page = window.new_page()
                    page.set_default_timeout(120_000)
                    if way == "from the start page":
                        waited = from_start(page, lab)
                    else:
                        waited = timed(page, partial(page.goto, f"{lab.address}/lab/tree/{NOTEBOOK}?reset"))
                    print(f"{way}: fields {waited[0]:.1f} s, page read {waited[1]:.1f} s{'' if turn else ', not counted'}", flush=True)
                    seconds += [waited] if turn else []
                    page.close()
                    time.sleep(READ_ON)
            browser.close()
    for way, seconds in taken.items():
        fields, read = zip(*seconds, strict=True)
        print(f"{way}: fields best {min(fields):.2f}, median {median(fields):.2f} s; read best {min(read):.2f}, median {median(read):.2f} s")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
