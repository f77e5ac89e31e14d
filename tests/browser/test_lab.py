"""The notebooks in a real JupyterLab in a real browser: a maker's whole way, and nothing asked of any other machine."""

import os
import re
import socket
import subprocess
import sys
import time
from contextlib import closing
from pathlib import Path
from urllib.request import urlopen

import pytest

from histkit import notebooks, records

pytestmark = pytest.mark.browser

FORMULA = "Venetian talc,          4 oz.\nWhite lead,            1 oz.\nCarmine,            1 drachm.\nOtto of rose,       10 drops.\n"


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    """A JupyterLab on this machine alone, with the notebooks in a folder of its own."""
    folder = tmp_path_factory.mktemp("lab")
    notebooks.put(folder)
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    settings = notebooks.quiet_settings(folder / ".settings")
    environment = {**os.environ, "JUPYTER_CONFIG_PATH": str(settings), "HISTKIT_RECORD": str(folder / "my-formula.json")}
    command = [
        sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ServerApp.token=", "--ServerApp.password=",
        f"--ServerApp.port={port}", "--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={folder}",
    ]  # fmt: skip
    with (folder / "lab.log").open("w") as log:
        server = subprocess.Popen(command, env=environment, stdout=log, stderr=subprocess.STDOUT, cwd=folder)
        try:
            address = f"http://127.0.0.1:{port}"
            for _ in range(120):
                try:
                    urlopen(f"{address}/api", timeout=2).close()
                    break
                except OSError:
                    time.sleep(0.5)
            else:
                pytest.fail((folder / "lab.log").read_text()[-2000:])
            yield address, folder
        finally:
            server.terminate()
            server.wait(20)


@pytest.fixture(scope="module")
def browser(chromium):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=str(chromium), args=["--no-sandbox", "--disable-background-networking"])
        yield started
        started.close()


class Watched:
    """A page with what went wrong in it and what it asked of other machines."""

    def __init__(self, browser, size=(1366, 768), scheme="light"):
        self.page = browser.new_page(viewport={"width": size[0], "height": size[1]}, color_scheme=scheme)
        self.errors, self.foreign = [], []
        self.page.on("pageerror", lambda error: self.errors.append(str(error)))
        self.page.on("request", self._asked)
        self.page.set_default_timeout(60_000)

    def _asked(self, request):
        if not re.match(r"(?:https?|wss?)://(?:127\.0\.0\.1|localhost)[:/]|data:|blob:|about:", request.url):
            self.foreign.append(request.url)

    def open(self, address, name):
        from playwright.sync_api import TimeoutError

        self.page.goto(f"{address}/lab/tree/{name}?reset")
        self.page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first.wait_for(state="attached")
        for last in (False, False, True):
            self.page.get_by_role("menuitem", name="Run", exact=True).click()
            self.page.locator(".lm-Menu-itemLabel", has_text="Run All Cells").first.click()
            try:
                self.page.locator(".jp-OutputArea .jupyter-widgets").first.wait_for(timeout=60_000 if last else 15_000)
                break
            except TimeoutError:  # JupyterLab drops a run that is asked for while its kernel is still connecting
                if last:
                    raise
        return self.page

    def close(self):
        self.page.close()
        assert self.errors == []
        assert self.foreign == []


def shoot(page, name):
    folder = Path(os.environ.get("HISTKIT_SCREENSHOTS", ""))
    if os.environ.get("HISTKIT_SCREENSHOTS"):
        folder.mkdir(parents=True, exist_ok=True)
        page.screenshot(path=str(folder / f"{name}.png"))


def wait_for(condition, what):
    for _ in range(120):
        if condition():
            return
        time.sleep(0.25)
    pytest.fail(f"waited in vain for {what}")


def test_a_makers_whole_way(lab, browser):
    address, folder = lab
    kept = folder / "my-formula.json"

    # paste a formula, say which book, put one line right
    watched = Watched(browser)
    page = watched.open(address, "1-modernise-a-formula.ipynb")
    page.get_by_label("Formula", exact=True).fill(FORMULA)
    page.get_by_label("Formula", exact=True).blur()
    page.get_by_label("Book", exact=True).fill("An invented receipt book")
    page.get_by_label("Book", exact=True).blur()
    page.get_by_label("Year", exact=True).fill("1868")
    page.get_by_label("Year", exact=True).blur()
    page.get_by_role("cell", name="lead carbonate").first.wait_for()
    shoot(page, "1-read")
    page.get_by_label("Line", exact=True).select_option(index=3)
    wait_for(lambda: page.get_by_label("Amount", exact=True).input_value() == "1", "the line's amount as read")
    page.get_by_label("Amount", exact=True).fill("2")
    page.get_by_label("Amount", exact=True).blur()
    page.get_by_role("button", name="Put this line right").click()
    wait_for(lambda: kept.exists() and records.load(kept).corrections, "the corrected line in the record")
    assert records.load(kept).corrections[0].amount == 2.0
    assert records.load(kept).source.year == 1868
    shoot(page, "1-corrected")
    page.get_by_label("Year", exact=True).fill("eighteen")
    page.get_by_label("Year", exact=True).blur()
    page.get_by_role("alert").filter(has_text="is no year").wait_for()
    watched.close()

    # white lead: replaced
    watched = Watched(browser)
    page = watched.open(address, "2-explore-substitutes.ipynb")
    page.get_by_role("alert").filter(has_text="Must not be used: lead carbonate").wait_for()
    shoot(page, "2-before")
    page.get_by_role("button", name="Use this instead").click()
    page.get_by_role("status").filter(has_text="Nothing that must not be used").wait_for()
    shoot(page, "2-after")
    assert records.load(kept).replacements[0].removed == "lead-carbonate"
    watched.close()

    # the binder moved by keyboard on its box, the picture made
    watched = Watched(browser, size=(1920, 1080))
    page = watched.open(address, "3-loose-to-pressed.ipynb")
    box = page.get_by_label("Binder, % of the cake", exact=True)
    box.wait_for()
    box.fill("8")
    box.press("Enter")
    wait_for(lambda: abs(records.load(kept).pressing.binder_share - 0.08) < 1e-9, "the binder in the record")
    shoot(page, "3-pressed")
    page.get_by_role("button", name="Make the pictures").scroll_into_view_if_needed()
    page.get_by_role("button", name="Make the pictures").click()
    page.get_by_role("status").filter(has_text="saved in").wait_for()
    shoot(page, "3-picture")
    assert (folder / "pictures" / "old-and-new-1920x1080.png").stat().st_size > 10_000
    page.get_by_role("button", name="Save the bench sheet").click()
    wait_for((folder / "bench-sheet.html").exists, "the bench sheet")

    # and after a reload all of it is found again
    page = watched.open(address, "3-loose-to-pressed.ipynb")
    wait_for(lambda: page.get_by_label("Binder, % of the cake", exact=True).count() and page.get_by_label("Binder, % of the cake", exact=True).input_value() == "8", "the binder")
    page.get_by_text("Nothing in it must not be used.").first.wait_for()
    watched.close()


def test_every_field_has_a_name_and_narrow_dark_windows_work(lab, browser):
    address, _ = lab
    watched = Watched(browser, size=(600, 900), scheme="dark")
    page = watched.open(address, "3-loose-to-pressed.ipynb")
    page.get_by_label("Binder, % of the cake", exact=True).wait_for()
    shoot(page, "narrow")
    unnamed = page.eval_on_selector_all(
        ".jp-OutputArea input:not([type=hidden]), .jp-OutputArea select, .jp-OutputArea textarea, .jp-OutputArea button",
        """elements => elements.filter(e => !(e.labels && e.labels.length && e.labels[0].textContent.trim())
             && !e.getAttribute('aria-label') && !e.textContent.trim()).map(e => e.outerHTML.slice(0, 120))""",
    )
    assert unnamed == []
    watched.close()


def test_the_look_up_on_the_start_page(lab, browser):
    address, _ = lab
    watched = Watched(browser)
    page = watched.open(address, "0-start.ipynb")
    page.get_by_label("Old name", exact=True).fill("pulv. rad. irid. flor.")
    page.get_by_label("Old name", exact=True).blur()
    page.get_by_role("cell", name="orris root", exact=True).first.wait_for()
    shoot(page, "0-start")
    watched.close()
