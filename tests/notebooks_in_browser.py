"""A JupyterLab of its own for a test file, and pages in a browser that are looked after."""

import json
import os
import re
import shutil
import subprocess
import sys
import time
import urllib.request
from contextlib import ExitStack, contextmanager
from pathlib import Path

import pytest
from local_ports import free_port, listens

from histkit.shell import notebooks, servers


def wait_for(condition, what, seconds=60):
    end = time.monotonic() + seconds
    while not condition():
        if time.monotonic() > end:
            pytest.fail(f"waited in vain for {what}")
        time.sleep(0.1)


def empty(folder):
    """Take what a maker made out of `folder`; the notebooks, as they are shipped, stay."""
    for path in folder.iterdir():
        if path.is_dir():
            shutil.rmtree(path)
        else:
            path.unlink()
    notebooks.put(folder)


def wait_for_port(port, log):
    """Wait until something listens at `port`; where nothing does in a minute, fail with the end of the file `log`."""
    for _ in range(600):
        if listens(port):
            return
        time.sleep(0.1)
    pytest.fail(log.read_text()[-2000:] if isinstance(log, Path) else f"nothing listens at {port}: {log}")


@contextmanager
def served(command, environment, log, port):
    """A server as a process of our own, waited for until it listens, and ended."""
    with log.open("w") as out:
        server = subprocess.Popen(command, env=environment, stdout=out, stderr=subprocess.STDOUT)
        try:
            wait_for_port(port, log)
            yield
        finally:
            server.terminate()
            server.wait(20)


@contextmanager
def pages_served(browser, folder):
    """The plain pages of `folder`, in which the notebooks are put, and a page of them whose browser was let in; its root, too."""
    pytest.importorskip("voila")
    port = free_port()
    notebooks.put(folder)
    patch = pytest.MonkeyPatch()
    patch.delenv("HISTKIT_RECORD", raising=False)
    with servers.started("pages", folder, f"--port={port}", token="of-this-test"):
        wait_for_port(port, "the pages")
        seen = Watched(browser)
        seen.page.goto(f"http://127.0.0.1:{port}/?token=of-this-test")  # the address that `histkit lab --app` tells
        yield seen, f"http://127.0.0.1:{port}"
        seen.close()
    patch.undo()


class Lab:
    """A JupyterLab on this machine alone, with the notebooks in a folder of its own and settings of its own."""

    def __init__(self, folder, beside):
        self.folder, self.beside, self.port = folder, beside, free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.record = folder / "my-formula.json"
        notebooks.put(folder)
        self._settings = beside / "user-settings"
        self.environment = {
            **os.environ,
            "JUPYTER_CONFIG_PATH": str(servers.settings(beside / "config")),
            "JUPYTERLAB_SETTINGS_DIR": str(self._settings),
            "JUPYTERLAB_WORKSPACES_DIR": str(beside / "workspaces"),
        }
        self.environment.pop("HISTKIT_RECORD", None)  # the record lies beside the notebooks, as it does for a maker
        self._server = ExitStack()

    def __enter__(self):
        self._server.enter_context(served(self.command, self.environment, self.beside / "lab.log", self.port))
        return self

    def __exit__(self, *_):
        self._server.close()

    def start_again(self):
        """End the server and its kernels, with all that they remember, and start it."""
        self._server.close()
        self.__enter__()

    @property
    def command(self):
        """What serves it to this machine, with the part that runs a notebook when it is opened."""
        return [
            sys.executable, "-m", "jupyterlab", "--no-browser", "--ServerApp.token=", "--ServerApp.password=",
            f"--ServerApp.port={self.port}", "--ServerApp.port_retries=0",
            *servers.command_line("lab", self.folder),
        ]  # fmt: skip

    def setting(self, part, **values):
        """Settings of a part of JupyterLab ("apputils-extension/themes"), for pages that are opened from now on."""
        place = self._settings / "@jupyterlab" / f"{part}.jupyterlab-settings"
        place.parent.mkdir(parents=True, exist_ok=True)
        place.write_text(json.dumps(values), encoding="utf-8")

    def has_kernel(self, name):
        """Whether a page is connected to the kernel of this notebook, and the kernel waits for work."""
        with urllib.request.urlopen(f"{self.address}/api/sessions", timeout=60) as answer:
            kernels = [session["kernel"] for session in json.load(answer) if session["path"] == name]
        return any(kernel["connections"] and kernel["execution_state"] == "idle" for kernel in kernels)


NOT_OURS = re.compile(r"\bCommand '[\w:-]+' not registered\.$|\bCanceled future for \w+ message before replies were done$")
"""What JupyterLab itself says in the console of a busy machine: a part of it starts before the part that it needs, or the page
is left while the kernel still answers it."""


class Watched:
    """A page with what went wrong in it and what it asked of other machines. `browser` may be a window of one (a context)."""

    def __init__(self, browser, size=(1366, 768), known=NOT_OURS):
        self.page = browser.new_page()
        self.page.set_viewport_size({"width": size[0], "height": size[1]})
        self.errors, self.foreign = [], []
        self.page.on("pageerror", lambda error: known.search(str(error)) or self.errors.append(str(error)))
        self.page.on("request", self._asked)
        self.page.on("requestfailed", self._failed)
        self.page.set_default_timeout(60_000)

    def _asked(self, request):
        if not re.match(r"(?:https?|wss?)://(?:127\.0\.0\.1|localhost)[:/]|data:|blob:|about:", request.url):
            self.foreign.append(request.url)

    def _failed(self, request):
        """What the page's own policy refused was never sent."""
        if request.url in self.foreign and "csp" in (request.failure or ""):
            self.foreign.remove(request.url)

    def open(self, lab, name, app="lab/tree"):
        """A notebook, all of its cells run: in JupyterLab by itself, as `histkit lab` has it; in Notebook 7 by the menu, as a maker
        would do it who waits until the kernel is there.

        Where cells are run before that, JupyterLab starts a second kernel and ends the first, and the page complains that its
        kernel is dead.
        """
        self.page.goto(f"{lab.address}/{app}/{name}{'?reset' if app.startswith('lab') else ''}")
        if not app.startswith("lab"):
            self.page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first.wait_for(state="attached")
            wait_for(lambda: lab.has_kernel(name), f"the kernel of {name}")
            self.page.get_by_role("menuitem", name="Run", exact=True).click()
            self.page.locator(".lm-Menu-itemLabel", has_text=re.compile("^Run All Cells$")).click()
        self.page.locator(".jp-OutputArea .jupyter-widgets").first.wait_for(state="attached")
        return self.page

    def close(self):
        self.page.close()
        assert self.errors == []
        assert self.foreign == []


def shoot(page, name):
    if os.environ.get("HISTKIT_SCREENSHOTS"):
        folder = Path(os.environ["HISTKIT_SCREENSHOTS"])
        folder.mkdir(parents=True, exist_ok=True)
        page.wait_for_timeout(500)  # JupyterLab paints a cell only once it is in sight
        page.screenshot(path=str(folder / f"{name}.png"))


def put(page, label, words):
    """Type into a field and leave it, as the Tab key does."""
    field = page.get_by_label(label, exact=True)
    field.fill(words)
    field.press("Tab")
