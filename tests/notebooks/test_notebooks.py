"""The notebook files: clean, hidden code, stable ids; and run from a maker's folder."""

import re
from pathlib import Path

import nbformat
import pytest

from histkit.shell import notebooks, servers

FILES = sorted(notebooks.shipped().glob("*.ipynb"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_the_file_is_clean(path):
    book = nbformat.read(path, as_version=4)
    nbformat.validate(book)
    assert set(book.metadata) == {"kernelspec", "language_info", "title", "histkit"} and set(book.metadata["language_info"]) == {"name"}
    ids = [cell["id"] for cell in book.cells]
    assert len(set(ids)) == len(ids) and all(re.fullmatch(r"[a-z]+(?:-[a-z]+)*", i) for i in ids)
    assert path.stat().st_size < 20_000
    for cell in book.cells:
        if cell.cell_type == "code":
            assert cell.metadata["jupyter"]["source_hidden"] is True
            assert "remove-input" in cell.metadata["tags"]
            assert len(cell.source.splitlines()) <= 4, "notebooks are thin"


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_links_lead_somewhere(path):
    for target in re.findall(r"\]\(([^)]+\.ipynb)\)", path.read_text(encoding="utf-8")):
        assert (path.parent / target).exists(), target


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_words_about_the_menu_stand_in_cells_that_plain_pages_leave_out(path):
    """And each notebook says what to press where it did not run by itself."""
    book = nbformat.read(path, as_version=4)
    menu = [cell for cell in book.cells if cell.cell_type == "markdown" and "Run All Cells" in cell.source]
    assert menu and all(servers.LAB_ONLY in cell.metadata.get("tags", ()) for cell in menu)
    assert any("If none do" in cell.source for cell in menu)


def test_every_job_has_its_notebook_and_the_start_page_leads_to_each():
    start = FILES[0].read_text(encoding="utf-8")
    assert [p.stem[0] for p in FILES] == ["0", "1", "2", "3", "4", "5", "6", "7", "8"]
    assert all(p.name in start for p in FILES[1:])


def run(folder, name, code=None):
    """Run a notebook as nbclient does, with one more cell where `code` is given; the notebook with its outputs."""
    nbclient = pytest.importorskip("nbclient")
    book = nbformat.read(folder / name, as_version=4)
    if code:
        book.cells.append(nbformat.v4.new_code_cell(code))
    nbclient.NotebookClient(book, timeout=120, resources={"metadata": {"path": str(folder)}}).execute()
    return book


def words(book):
    """All plain text that the cells of a notebook show."""
    outputs = [o for cell in book.cells if cell.cell_type == "code" for o in cell.outputs]
    return "\n".join(o.get("text", "") or o.get("data", {}).get("text/plain", "") for o in outputs)


def test_they_share_one_record(tmp_path, monkeypatch):
    """Something chosen in one notebook is found by the next, run from a folder of the maker's."""
    monkeypatch.setenv("HISTKIT_RECORD", str(tmp_path / "my-formula.json"))
    notebooks.put(tmp_path)
    desk = "from histkit.panels import desk\n"
    assert "Must be replaced" in words(run(tmp_path, "1-modernise-a-formula.ipynb", desk + "desk().change(notes='from the first')"))
    replace = desk + "from histkit.keeping import example as demo\ndesk().change(replacements=demo.record('complexion').replacements)"
    assert "Must be replaced" in words(run(tmp_path, "2-explore-substitutes.ipynb", replace))
    for name in ("3-loose-to-pressed.ipynb", "4-batch-and-bench-sheet.ipynb", "5-table-and-pictures.ipynb"):
        assert "Batch: 60.00 g" in words(run(tmp_path, name))
    assert "from the first" in Path(tmp_path / "my-formula.json").read_text(encoding="utf-8")


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_running_a_notebook_writes_no_file_and_leaves_a_plain_copy(path, tmp_path, monkeypatch):
    """Without a record beside it a notebook shows the invented formula, and its results stay readable without widgets."""
    monkeypatch.delenv("HISTKIT_RECORD", raising=False)
    notebooks.put(tmp_path)
    before = sorted(p.name for p in tmp_path.iterdir())
    book = run(tmp_path, path.name)
    assert sorted(p.name for p in tmp_path.iterdir() if p.name != ".ipynb_checkpoints") == before
    for cell in book.cells:
        if cell.cell_type == "code":
            plain = [o for o in cell.outputs if "application/vnd.jupyter.widget-view+json" not in o.get("data", {})]
            assert plain and all("text/plain" in o["data"] for o in plain), cell["id"]
            assert not any("<IPython" in o["data"]["text/plain"] for o in plain), cell["id"]


def test_the_plain_copy_follows_the_record(tmp_path, monkeypatch):
    """What a saved notebook holds is the result as it was when it was saved, not as it was when the cell was run."""
    monkeypatch.setenv("HISTKIT_RECORD", str(tmp_path / "my-formula.json"))
    notebooks.put(tmp_path)
    change = "import asyncio\nfrom histkit.panels import desk\ndesk().change(text='Kaolin,   2 oz.\\nTalc,   1 oz.')\nawait asyncio.sleep(1)"
    shown = words(run(tmp_path, "1-modernise-a-formula.ipynb", change))
    assert "kaolin" in shown and "lead carbonate" not in shown
