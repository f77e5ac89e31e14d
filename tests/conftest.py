"""Tests in a browser: found, skipped or demanded, and said so at the end.

A test marked `browser` needs Chromium and Playwright, which drives it. Where either cannot be used it is skipped; with
HISTKIT_REQUIRE_BROWSER=1, as in CI, it fails, and so does a run in which no such test was carried out.
"""

import atexit
import importlib.util
import os
import shutil
import signal
import subprocess
import tempfile
from functools import cache
from pathlib import Path

import hypothesis
import pytest

# No test is timed: a busy machine must not fail one. At the desk each run draws new cases; the gate of .ci/run tries the same
# ones each time, so that what it refuses is refused for the change.
hypothesis.settings.register_profile("untimed", deadline=None)
hypothesis.settings.register_profile("gate", deadline=None, derandomize=True)
hypothesis.settings.load_profile("untimed")

# The notebooks start from the demo formula, not from what a maker keeps beside them; their kernels inherit this.
_FOLDER = tempfile.mkdtemp(prefix="histkit-tests-")
atexit.register(shutil.rmtree, _FOLDER, ignore_errors=True)
os.environ["HISTKIT_RECORD"] = str(Path(_FOLDER) / "my-formula.json")
os.environ["HISTKIT_RAISE"] = "1"

# A job in the background ignores SIGINT, and what a test starts would inherit that; a handler is not inherited. Tests that
# interrupt a process of their own hold there too.
if signal.getsignal(signal.SIGINT) is signal.SIG_IGN:
    signal.signal(signal.SIGINT, lambda *_: None)

CHROMIUM_NAMES = ("/usr/bin/chromium", "chromium", "chromium-browser", "google-chrome")
# libatomic1 is what the program inside Playwright's package wants beyond a bare Debian.
REMEDY = "on Debian or Ubuntu: sudo apt-get install chromium libatomic1"


def find_chromium() -> Path | None:
    path = next(filter(None, map(shutil.which, CHROMIUM_NAMES)), None)
    return Path(path) if path else None


@cache
def obstacle() -> str | None:
    """Why no test can be carried out in a browser here; None where they can."""
    if find_chromium() is None:
        return f"no Chromium on this machine; {REMEDY}"
    playwright = importlib.util.find_spec("playwright")
    if playwright is None or playwright.origin is None:
        return "playwright is not installed in this environment; `make test` installs it"
    driver = Path(playwright.origin).parent / "driver" / "node"
    if driver.exists():
        trial = subprocess.run([driver, "--version"], capture_output=True, text=True, check=False)
        if trial.returncode != 0:
            return f"Playwright does not start ({trial.stderr.strip()}); {REMEDY}"
    return None


def browser_required() -> bool:
    return os.environ.get("HISTKIT_REQUIRE_BROWSER") == "1"


@pytest.fixture(scope="session")
def chromium() -> Path:
    """The browser's executable, for playwright's `chromium.launch(executable_path=…)`."""
    path = find_chromium()
    assert path is not None, obstacle()  # a test that asks for this is marked `browser`, so it is not reached without one
    return path


class BrowserTests:
    """Keeps count of the tests marked `browser`."""

    def __init__(self) -> None:
        self.ran = 0
        self.skipped = 0
        self.tried_again: list[str] = []

    @property
    def unmet(self) -> bool:
        """Browser tests were demanded, and not all of them were carried out."""
        return browser_required() and (self.skipped > 0 or self.ran == 0)

    def sentence(self) -> str:
        if self.unmet:
            return f"HISTKIT_REQUIRE_BROWSER=1, but {self.ran} browser tests ran and {self.skipped} were skipped"
        if self.skipped and (reason := obstacle()):
            return f"browser tests: {self.skipped} SKIPPED, {reason}"
        if self.ran or self.skipped:
            again = f"; tried a second time: {', '.join(self.tried_again)}" if self.tried_again else ""
            return f"browser tests: {self.ran} ran, {self.skipped} skipped{again}"
        return "browser tests: none among the tests chosen"

    def pytest_collection_modifyitems(self, items: list[pytest.Item]) -> None:
        """On a busy machine a page may wait in vain for what another process does: such a test is tried once more, and that is said."""
        for item in items:
            if item.get_closest_marker("browser"):
                item.add_marker(pytest.mark.flaky(reruns=1, only_rerun=["TimeoutError", "waited in vain", "Locator expected"]))

    @pytest.hookimpl(tryfirst=True)
    def pytest_runtest_setup(self, item: pytest.Item) -> None:
        if item.get_closest_marker("browser") and (reason := obstacle()):
            if browser_required():
                pytest.fail(reason, pytrace=False)
            pytest.skip(reason)

    def pytest_runtest_logreport(self, report: pytest.TestReport) -> None:
        if "browser" not in report.keywords:
            return
        if report.outcome == "rerun":
            self.tried_again.append(report.nodeid)
        elif report.skipped and not hasattr(report, "wasxfail"):
            self.skipped += 1
        elif report.when == "call":
            self.ran += 1

    @pytest.hookimpl(trylast=True)
    def pytest_sessionfinish(self, session: pytest.Session, exitstatus: int) -> None:
        counts_all = not hasattr(session.config, "workerinput")  # a worker of several sees its share of the tests alone
        if counts_all and self.unmet and exitstatus == pytest.ExitCode.OK and not session.config.option.collectonly:
            session.exitstatus = pytest.ExitCode.TESTS_FAILED

    @pytest.hookimpl(trylast=True)
    def pytest_terminal_summary(self, terminalreporter: pytest.TerminalReporter) -> None:
        terminalreporter.write_line(self.sentence(), red=self.unmet, yellow=self.skipped > 0 and not self.unmet)


def pytest_configure(config: pytest.Config) -> None:
    config.pluginmanager.register(BrowserTests(), "histkit-browser-tests")
