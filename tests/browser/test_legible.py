"""Every panel in JupyterLab's light and its dark dress, in a wide window and a narrow one: nothing faint, nothing cut off."""

import pytest
from notebooks_in_browser import shoot

pytestmark = pytest.mark.browser

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
    ("6-side-by-side.ipynb", "Words to set beside it"),
    ("7-scent.ipynb", "Scent to add"),
    ("8-shade.ipynb", "The skin is"),
]


THEMES = ("JupyterLab Light", "JupyterLab Dark")
SIZES = ((1366, 768), (700, 900))
FIELDS = ".jp-OutputArea input:not([type=hidden]), .jp-OutputArea select, .jp-OutputArea textarea, .jp-OutputArea button"
# True once the page has kept its shape for some frames: JupyterLab lays out its parts one after the other.
SETTLED = """() => new Promise(done => {
  let last = '', same = 0;
  const look = () => {
    const now = [...document.querySelectorAll('.jp-NotebookPanel, .jp-OutputArea-output')]
      .map(e => { const r = e.getBoundingClientRect(); return [r.x, r.width, r.height].map(Math.round).join(); }).join(';');
    same = now === last ? same + 1 : 0;
    last = now;
    if (same >= 6) done(true); else setTimeout(look, 25);
  };
  requestAnimationFrame(look);
})"""


@pytest.fixture(scope="module")
def window(lab, browser):
    """A window of the browser that keeps what it has loaded, of a JupyterLab that paints all cells and not those in sight alone."""
    lab.setting("notebook-extension/tracker", windowingMode="none")
    return browser.new_context()


def wear(page, theme):
    """Choose a theme in the menu, as a maker does."""
    page.get_by_role("menuitem", name="Settings", exact=True).click()
    page.locator(".lm-Menu").get_by_text("Theme", exact=True).hover()
    page.locator(".lm-Menu").get_by_text(theme, exact=True).click()
    page.wait_for_function(f"document.body.dataset.jpThemeName === {theme!r}")


@pytest.mark.parametrize(("name", "label"), PANELS, ids=[name[:1] for name, _ in PANELS])
def test_every_panel_is_legible_and_every_field_has_a_name(lab, window, watched, name, label):
    seen = watched(window)
    page = seen.open(lab, name)
    page.get_by_label(label, exact=True).wait_for()
    root = page.locator(".jp-NotebookPanel:not(.lm-mod-hidden)").first
    if "modernise" in name:
        page.get_by_role("button", name="Wheat starch, ingredient of line 1").click()
        page.get_by_label("Amount in line 1", exact=True).wait_for()
    for folded in root.locator(".jp-OutputArea details > summary").all():
        folded.click()
    assert page.eval_on_selector_all(FIELDS, UNNAMED) == []
    for width, height in SIZES:
        page.set_viewport_size({"width": width, "height": height})
        if width < 1000:
            page.keyboard.press("Control+b")  # the list of files gives its room away
        for theme in THEMES:
            wear(page, theme)
            page.evaluate(SETTLED)
            assert root.evaluate(FAINT) == [], (theme, width)
            assert root.evaluate(CUT_OFF) == [], (theme, width)
            shoot(page, f"{name[:1]}-{theme.split()[-1].lower()}-{width}")
    seen.close()
