"""The notebooks in a real JupyterLab in a real browser: a maker's whole way, and nothing asked of any other machine.

HISTKIT_SCREENSHOTS=FOLDER keeps pictures of what was seen.
"""

import json
import os
import re
import socket
import subprocess
import sys
import time
from contextlib import closing, contextmanager
from pathlib import Path

import pytest

from histkit import records
from histkit.shell import notebooks, servers

pytestmark = pytest.mark.browser

FORMULA = "Venetian talc,          4 oz.\nWhite lead,            1 oz.\nCarmine,            1 drachm.\nOtto of rose,       10 drops.\n"
OURS = ".jp-OutputArea, .jp-Cell-outputWrapper"


def free_port():
    with closing(socket.socket()) as probe:
        probe.bind(("127.0.0.1", 0))
        return probe.getsockname()[1]


def wait_for_port(port, log):
    """Wait until something listens at `port`; where nothing does in a minute, fail with the end of the file `log`."""
    for _ in range(120):
        try:
            socket.create_connection(("127.0.0.1", port), timeout=2).close()
            return
        except OSError:
            time.sleep(0.5)
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


class Lab:
    """A JupyterLab on this machine alone, with the notebooks in a folder of its own and settings of its own."""

    def __init__(self, folder, beside):
        self.folder, self.beside, self.port = folder, beside, free_port()
        self.address = f"http://127.0.0.1:{self.port}"
        self.record = folder / "my-formula.json"
        notebooks.put(folder)
        settings = beside / "user-settings"
        (settings / "@jupyterlab" / "apputils-extension").mkdir(parents=True)
        self._themes = settings / "@jupyterlab" / "apputils-extension" / "themes.jupyterlab-settings"
        self.environment = {
            **os.environ,
            "JUPYTER_CONFIG_PATH": str(servers.settings(beside / "config")),
            "JUPYTERLAB_SETTINGS_DIR": str(settings),
            "JUPYTERLAB_WORKSPACES_DIR": str(beside / "workspaces"),
        }
        self.environment.pop("HISTKIT_RECORD", None)  # the record lies beside the notebooks, as it does for a maker

    def theme(self, name):
        self._themes.write_text(json.dumps({"theme": name}), encoding="utf-8")


@pytest.fixture(scope="module")
def lab(tmp_path_factory):
    made = Lab(tmp_path_factory.mktemp("lab"), tmp_path_factory.mktemp("beside"))
    command = [
        sys.executable, "-m", "jupyterlab", "--no-browser", "--allow-root", "--ServerApp.token=", "--ServerApp.password=",
        f"--ServerApp.port={made.port}", "--ServerApp.ip=127.0.0.1", f"--ServerApp.root_dir={made.folder}",
    ]  # fmt: skip
    with served(command, made.environment, made.beside / "lab.log", made.port):
        yield made


@pytest.fixture(scope="module")
def browser(chromium):
    from playwright.sync_api import sync_playwright

    with sync_playwright() as play:
        started = play.chromium.launch(executable_path=str(chromium), args=["--no-sandbox", "--disable-background-networking"])
        yield started
        started.close()


NOT_OURS = re.compile(r"\bCommand '[\w:-]+' not registered\.$|\bCanceled future for \w+ message before replies were done$")
"""What JupyterLab itself says in the console of a busy machine: a part of it starts before the part that it needs, or the page
is left while the kernel still answers it."""


class Watched:
    """A page with what went wrong in it and what it asked of other machines."""

    def __init__(self, browser, size=(1366, 768), known=NOT_OURS):
        self.page = browser.new_page(viewport={"width": size[0], "height": size[1]})
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
        """A notebook, all of its cells run, as a maker would do it."""
        self.page.goto(f"{lab.address}/{app}/{name}{'?reset' if app.startswith('lab') else ''}")
        self.page.locator(".jp-Notebook-ExecutionIndicator[data-status='idle']").first.wait_for(state="attached")
        dialog = self.page.locator(".jp-Dialog button.jp-mod-accept")
        shown = self.page.locator(".jp-OutputArea .jupyter-widgets")
        for _ in range(5):  # as long as the notebook has no kernel yet, JupyterLab runs nothing, or asks which one to take
            if dialog.count():
                dialog.click()
            self.page.get_by_role("menuitem", name="Run", exact=True).click()
            self.page.locator(".lm-Menu-itemLabel", has_text=re.compile("^Run All Cells$")).click()
            for _ in range(60):
                if shown.count():
                    return self.page
                if dialog.count():
                    dialog.click()
                self.page.wait_for_timeout(250)
        pytest.fail(f"{name} shows no panel")

    def close(self):
        self.page.close()
        assert self.errors == []
        assert self.foreign == []


@pytest.fixture
def watched(browser):
    """Pages that are looked after: no error in them, nothing asked of another machine."""
    opened = []

    def make(**how):
        opened.append(Watched(browser, **how))
        return opened[-1]

    yield make
    for page in opened:
        if not page.page.is_closed():
            page.close()


def shoot(page, name):
    if os.environ.get("HISTKIT_SCREENSHOTS"):
        folder = Path(os.environ["HISTKIT_SCREENSHOTS"])
        folder.mkdir(parents=True, exist_ok=True)
        page.wait_for_timeout(500)  # JupyterLab paints a cell only once it is in sight
        page.screenshot(path=str(folder / f"{name}.png"))


def wait_for(condition, what):
    for _ in range(120):
        if condition():
            return
        time.sleep(0.25)
    pytest.fail(f"waited in vain for {what}")


def put(page, label, words):
    """Type into a field and leave it, as the Tab key does."""
    field = page.get_by_label(label, exact=True)
    field.fill(words)
    field.press("Tab")


def test_a_makers_whole_way(lab, watched):
    # paste a formula, say which book, put one line right
    first = watched()
    page = first.open(lab, "1-modernise-a-formula.ipynb")
    put(page, "Formula", FORMULA)
    put(page, "Book", "An invented receipt book")
    put(page, "Year", "1868")
    page.get_by_role("cell", name="lead carbonate").first.wait_for()
    shoot(page, "1-read")
    page.get_by_role("button", name="Open line 3").click()
    wait_for(lambda: page.get_by_label("Amount in line 3", exact=True).input_value() == "1", "the line's amount as read")
    put(page, "Amount in line 3", "2")
    wait_for(lambda: lab.record.exists() and records.load(lab.record).corrections, "the corrected line in the record")
    kept = records.load(lab.record)
    assert (kept.corrections[0].amount, kept.source.year, kept.source.title) == (2.0, 1868, "An invented receipt book")
    page.get_by_text("Put right by you.").wait_for()
    page.get_by_role("button", name="Close line 3").scroll_into_view_if_needed()
    shoot(page, "1-corrected")
    put(page, "Year", "eighteen")
    page.get_by_role("alert").filter(has_text="is no year").wait_for()
    shoot(page, "1-told")

    # white lead replaced, in a second notebook while the first is open
    second = watched()
    page = second.open(lab, "2-explore-substitutes.ipynb")
    page.get_by_role("alert").filter(has_text="Must not be used: lead carbonate").wait_for()
    shoot(page, "2-before")
    page.get_by_label("In place of lead carbonate", exact=True).scroll_into_view_if_needed()
    shoot(page, "2-options")
    page.get_by_label("avoid starch", exact=True).check()
    wait_for(lambda: records.load(lab.record).constraints.avoid == ("starch",), "the constraint in the record")
    page.get_by_role("button", name="Use this instead of lead carbonate").click()
    page.get_by_role("status").filter(has_text="Nothing that must not be used").wait_for()
    page.get_by_text("No forbidden ingredient is in it.").wait_for()  # 'In short' at the foot follows
    shoot(page, "2-after")
    assert records.load(lab.record).replacements[0].removed == "lead-carbonate"

    # the first notebook has heard of it, and a choice made there does not undo it
    first.page.get_by_role("status").filter(has_text="another notebook").wait_for()
    put(first.page, "Page", "p. 12")
    wait_for(lambda: records.load(lab.record).source.page == "p. 12", "the page in the record")
    assert records.load(lab.record).replacements and records.load(lab.record).corrections
    first.close()
    second.close()

    # the binder moved by keyboard, in its box and on its slider; pans and test presses
    third = watched(size=(1920, 1080))
    page = third.open(lab, "3-loose-to-pressed.ipynb")
    box = page.get_by_label("Binder, % of the cake", exact=True)
    box.fill("8")
    box.press("Enter")
    wait_for(lambda: abs(records.load(lab.record).pressing.binder_share - 0.08) < 1e-9, "the binder in the record")
    handle = page.get_by_role("slider").first
    handle.focus()
    handle.press("ArrowRight")
    wait_for(lambda: abs(records.load(lab.record).pressing.binder_share - 0.0825) < 1e-9, "the slider's step in the record")
    wait_for(lambda: box.input_value() == "8.25", "the slider's step in the box")
    page.get_by_role("cell", name="8.25", exact=True).first.wait_for()
    put(page, "Pans", "3")
    page.get_by_text("3 pans, ").wait_for()
    page.get_by_label("Shape", exact=True).select_option("rectangular")
    page.get_by_text("3 pans, 12 × 18 mm").wait_for()
    shoot(page, "3-pressed")
    page.get_by_role("button", name="Work out test presses").click()
    page.get_by_label("Trial 1: drops stood", exact=True).select_option("4")
    page.get_by_role("button", name="Use the suggested share").scroll_into_view_if_needed()
    page.get_by_role("img", name="Payoff over the share of binder").scroll_into_view_if_needed()
    shoot(page, "3-trials")
    saved_book = lab.folder / "3-loose-to-pressed.ipynb"

    def saved_with_the_result():  # the plain copy follows a little later, so one save may come too soon
        page.keyboard.press("Control+s")
        return "8.25" in saved_book.read_text(encoding="utf-8")

    wait_for(saved_with_the_result, "the result in the saved notebook")

    # the bench sheet, then the pictures and texts
    fourth = watched()
    page = fourth.open(lab, "4-batch-and-bench-sheet.ipynb")
    page.get_by_role("button", name="Save the bench sheet").click()
    page.get_by_role("link", name="Download the sheet to print").wait_for()
    shoot(page, "4-bench")
    with page.expect_download() as saved:
        page.get_by_role("link", name="Download the sheet to print").click()
    assert saved.value.suggested_filename == "bench-sheet.pdf"
    assert (lab.folder / "bench-sheet.pdf").read_bytes() == Path(saved.value.path()).read_bytes()
    fourth.close()
    fifth = watched(size=(1920, 1080))
    page = fifth.open(lab, "5-table-and-pictures.ipynb")
    page.get_by_role("button", name="Make the pictures").click()
    page.get_by_role("status").filter(has_text="saved in").wait_for()
    page.get_by_role("img", name=re.compile("Table of old and new")).scroll_into_view_if_needed()
    shoot(page, "5-picture")
    assert (lab.folder / "pictures" / "old-and-new-1920x1080.png").stat().st_size > 10_000
    page.get_by_role("button", name="Save table and text").click()
    page.get_by_role("status").filter(has_text="under-the-video.md").wait_for()
    fifth.close()

    # after a reload all of it is found again: the static result before anything is run, the choices after
    page = third.page
    page.goto(f"{lab.address}/lab/tree/3-loose-to-pressed.ipynb?reset")
    page.get_by_text("No forbidden ingredient is in it.").first.wait_for()
    page = third.open(lab, "3-loose-to-pressed.ipynb")
    wait_for(lambda: page.get_by_label("Binder, % of the cake", exact=True).count() and page.get_by_label("Binder, % of the cake", exact=True).input_value() == "8.25", "the binder")
    wait_for(lambda: page.get_by_label("Pans", exact=True).input_value() == "3", "the pans")
    assert page.get_by_label("Trial 1: drops stood", exact=True).input_value() == "4"
    third.close()
    last = watched()
    page = last.open(lab, "1-modernise-a-formula.ipynb")
    wait_for(lambda: page.get_by_label("Formula", exact=True).count() and page.get_by_label("Formula", exact=True).input_value() == FORMULA, "the formula")
    assert page.get_by_label("Year", exact=True).input_value() == "1868"
    page.get_by_text("Put right by you.").wait_for()


UNNAMED = """elements => elements.filter(e => !(e.labels && e.labels.length && e.labels[0].textContent.trim())
    && !e.getAttribute('aria-label') && !e.textContent.trim()).map(e => e.outerHTML.slice(0, 120))"""
# How far each text stands out from what lies behind it (WCAG 2.2, contrast ratio).
FAINT = """root => {
  const parse = c => { const m = c.match(/[\\d.]+/g).map(Number); return {r: m[0], g: m[1], b: m[2], a: m.length > 3 ? m[3] : 1}; };
  const light = ({r, g, b}) => { const f = v => { v /= 255; return v <= 0.03928 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; };
    return 0.2126 * f(r) + 0.7152 * f(g) + 0.0722 * f(b); };
  const behind = e => { for (; e; e = e.parentElement) { const c = parse(getComputedStyle(e).backgroundColor); if (c.a > 0.9) return c; }
    return {r: 255, g: 255, b: 255}; };
  const found = [];
  for (const e of root.querySelectorAll('.jp-OutputArea-output *')) {
    const own = [...e.childNodes].some(n => n.nodeType === 3 && n.textContent.trim());
    if (!own || !e.getClientRects().length || e.closest('select, option')) continue;
    const a = light(parse(getComputedStyle(e).color)), b = light(behind(e));
    const ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
    if (ratio < 4.5) found.push(`${ratio.toFixed(2)} ${e.tagName} ${e.textContent.trim().slice(0, 60)}`);
  }
  return found;
}"""
# What is cut off: text wider than the place it has, where that place does not scroll.
CUT_OFF = """root => [...root.querySelectorAll('.jp-OutputArea-output p, .jp-OutputArea-output li, .jp-OutputArea-output button, .jp-OutputArea-output label, .jp-OutputArea-output h3')]
  .filter(e => e.getClientRects().length && !e.closest('details:not([open])'))
  .filter(e => { const r = e.getBoundingClientRect(), o = e.closest('.jp-OutputArea-output').getBoundingClientRect();
     return r.right > o.right + 2 && !e.closest('table') || (e.scrollWidth > e.clientWidth + 2 && getComputedStyle(e).overflow !== 'visible'); })
  .map(e => `${e.tagName} ${e.textContent.trim().slice(0, 60)}`)"""

PANELS = [
    ("0-start.ipynb", "Old name"),
    ("1-modernise-a-formula.ipynb", "Formula"),
    ("2-explore-substitutes.ipynb", "Region of law"),
    ("3-loose-to-pressed.ipynb", "Binder, % of the cake"),
    ("4-batch-and-bench-sheet.ipynb", "Make, grams"),
    ("5-table-and-pictures.ipynb", "Picture of"),
]


@pytest.mark.parametrize("theme", ["JupyterLab Light", "JupyterLab Dark"])
@pytest.mark.parametrize("size", [(1366, 768), (700, 900)], ids=["wide", "narrow"])
def test_every_panel_is_legible_and_every_field_has_a_name(lab, watched, theme, size):
    lab.theme(theme)
    for name, label in PANELS:
        seen = watched(size=size)
        page = seen.open(lab, name)
        page.get_by_label(label, exact=True).wait_for()
        if size[0] < 1000:
            page.keyboard.press("Control+b")  # the list of files gives its room away
        page.wait_for_timeout(500)
        dark = page.evaluate("document.body.dataset.jpThemeLight") == "false"
        assert dark == ("Dark" in theme)
        tag = f"{name[:1]}-{'dark' if dark else 'light'}-{size[0]}"
        page.get_by_label(label, exact=True).scroll_into_view_if_needed()
        shoot(page, f"{tag}-top")
        root = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)").first
        if "modernise" in name:
            for line in (1, 2):
                page.get_by_role("button", name=f"Open line {line}", exact=True).click()
        for folded in root.locator(".jp-OutputArea details > summary").all():
            folded.click()
        page.wait_for_timeout(300)
        assert root.evaluate(FAINT) == []
        assert root.evaluate(CUT_OFF) == []
        fields = ".jp-OutputArea input:not([type=hidden]), .jp-OutputArea select, .jp-OutputArea textarea, .jp-OutputArea button"
        assert page.eval_on_selector_all(fields, UNNAMED) == []
        shoot(page, f"{tag}-open")
        seen.close()
    lab.theme("JupyterLab Light")


def test_the_keyboard_alone(lab, watched):
    """From the formula on, Tab reaches the fields in their order, and the space bar opens a line."""
    page = watched().open(lab, "1-modernise-a-formula.ipynb")
    page.get_by_label("Formula", exact=True).focus()
    reached = []
    for _ in range(12):
        page.keyboard.press("Tab")
        reached.append(page.evaluate("document.activeElement.labels?.[0]?.textContent?.trim() || document.activeElement.textContent.trim()"))
    books_own = "The book says of its measures"
    assert reached[:9] == ["Book", "Author", "Year", "Page", "Country", "Sort of book", books_own, "Measures", "Name of the formula"]
    assert "Open line 1" in reached
    page.get_by_role("button", name="Open line 1").focus()
    page.keyboard.press("Space")
    page.get_by_label("Amount in line 1", exact=True).wait_for()


def test_the_look_up_on_the_start_page(lab, watched):
    page = watched().open(lab, "0-start.ipynb")
    put(page, "Old name", "pulv. rad. irid. flor.")
    page.get_by_role("cell", name="orris root", exact=True).first.wait_for()
    shoot(page, "0-start")


def test_notebook_7_shows_the_same(lab, watched):
    pytest.importorskip("notebook")
    its_own = re.compile(NOT_OURS.pattern + "|reading 'schema'")  # Notebook 7.6 says so of an empty notebook too
    page = watched(known=its_own).open(lab, "3-loose-to-pressed.ipynb", app="notebooks")
    page.get_by_label("Binder, % of the cake", exact=True).wait_for()
    page.get_by_role("button", name="Work out test presses").wait_for()
    shoot(page, "notebook-7")


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
