"""The notebooks as plain pages in a real browser."""

import pytest
from notebooks_in_browser import Watched, free_port, shoot, wait_for, wait_for_port

from histkit.shell import notebooks, servers

pytestmark = pytest.mark.browser


def test_voila_shows_the_panels_alone(browser, tmp_path, monkeypatch):
    """What `histkit lab --app` serves: fields and results, no code, no word of a menu; and one page leads to the next."""
    pytest.importorskip("voila")
    notebooks.put(tmp_path / "pages")
    monkeypatch.delenv("HISTKIT_RECORD")
    port = free_port()
    seen = Watched(browser)
    with servers.started("pages", tmp_path / "pages", f"--port={port}", token="of-this-test"):
        wait_for_port(port, "the pages")
        page = seen.page
        page.goto(f"http://127.0.0.1:{port}/voila/render/0-start.ipynb?token=of-this-test")
        page.get_by_label("Old name", exact=True).wait_for()
        page.get_by_text("Must be replaced before a batch can be made: lead carbonate.").wait_for()
        assert page.get_by_text("Run All Cells").count() == 0
        shoot(page, "voila-start")
        page.get_by_role("link", name="From loose to pressed").click()
        box = page.get_by_label("Binder, % of the cake", exact=True)
        box.fill("7")
        box.press("Enter")
        page.get_by_role("cell", name="7.00", exact=True).first.wait_for()
        assert page.get_by_text("stays in the saved notebook").count() == 0, "a page without a notebook has no use for it"
        assert page.get_by_text("from histkit.panels import").count() == 0
        page.get_by_text("Batch: 60.00 g.").wait_for()
        wait_for((tmp_path / "pages" / "my-formula.json").exists, "the record beside the notebooks")
        shoot(page, "voila")
        seen.close()
