"""A JupyterLab for each file of tests, so that they can be shared out, and a browser."""


import pytest
from notebooks_in_browser import Lab, Watched, served


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    made = Lab(tmp_path_factory.mktemp("lab"), tmp_path_factory.mktemp("beside"))
    with served(made.command, made.environment, made.beside / "lab.log", made.port):
        yield made


@pytest.fixture(scope="module")
def browser(chromium):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=str(chromium), args=["--no-sandbox", "--disable-background-networking"])
        yield started
        started.close()


@pytest.fixture
def watched(browser):
    """Pages that are looked after: no error in them, nothing asked of another machine."""
    opened = []

    def make(within=browser, **how):
        opened.append(Watched(within, **how))
        return opened[-1]

    yield make
    for page in opened:
        if not page.page.is_closed():
            page.close()
