"""A JupyterLab for each file of tests, so that they can be shared out, and a browser."""

import pytest
from notebooks_in_browser import Lab, Watched, empty


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    made = Lab(tmp_path_factory.mktemp("lab"), tmp_path_factory.mktemp("beside"))
    with made:
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


@pytest.fixture(autouse=True)
def from_the_beginning(request):
    """A test that is tried a second time finds nothing of the first time in the maker's folder."""
    if getattr(request.node, "execution_count", 1) > 1:
        for name in {"lab", "served"} & set(request.fixturenames):
            made = request.getfixturevalue(name)
            empty(made[1] if isinstance(made, tuple) else made.folder)
            if isinstance(made, Lab):
                made.start_again()
