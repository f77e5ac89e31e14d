"""How long a maker waits: from opening the first notebook in JupyterLab to its fields, and to the page as it was read.

    python tests/benchmarks/opening.py [TIMES]

Prints seconds, kernel included; the server runs already, as it does under `make lab`, and its first page is not counted. No test:
figures of one machine, to be taken while it is quiet.
"""

from __future__ import annotations

import sys
import tempfile
import time
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1]))

from conftest import find_chromium
from notebooks_in_browser import Lab, served
from playwright.sync_api import sync_playwright

NOTEBOOK = "1-modernise-a-formula.ipynb"


def main(times: int) -> None:
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / "notebooks"
        folder.mkdir()
        lab = Lab(folder, Path(place))
        with served(lab.command, lab.environment, Path(place) / "lab.log", lab.port), sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=str(find_chromium()), args=["--no-sandbox", "--disable-background-networking"])
            window = browser.new_context()  # as a maker's browser, which keeps the programs of the pages it opened before
            for turn in range(times + 1):
                page = window.new_page()
                page.set_default_timeout(120_000)
                begun = time.perf_counter()
                page.goto(f"{lab.address}/lab/tree/{NOTEBOOK}?reset")
                page.get_by_label("Book", exact=True).wait_for()
                fields = time.perf_counter() - begun
                page.locator(".hk-body [data-line]").first.wait_for()
                read = time.perf_counter() - begun
                print(f"{'first page of the server, not counted: ' if turn == 0 else ''}fields {fields:.1f} s, page read {read:.1f} s")
                page.close()
            browser.close()


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 3)
