"""The notebook files: clean, hidden code, stable ids; and run from a maker's folder."""

import re
from pathlib import Path

import nbformat
import pytest

from histkit import notebooks

FILES = sorted(notebooks.shipped().glob("*.ipynb"))


@pytest.mark.parametrize("path", FILES, ids=lambda p: p.stem)
def test_the_file_is_clean(path):
    book = nbformat.read(path, as_version=4)
    nbformat.validate(book)
    assert set(book.metadata) == {"kernelspec", "language_info"} and set(book.metadata["language_info"]) == {"name"}
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


def test_they_share_one_record(tmp_path, monkeypatch):
    """Something chosen in one notebook is found by the next, run from a folder of the maker's."""
    nbclient = pytest.importorskip("nbclient")
    monkeypatch.setenv("HISTKIT_RECORD", str(tmp_path / "my-formula.json"))
    notebooks.put(tmp_path)

    def run(name, code=None):
        book = nbformat.read(tmp_path / name, as_version=4)
        if code:
            book.cells.append(nbformat.v4.new_code_cell(code))
        nbclient.NotebookClient(book, timeout=120, resources={"metadata": {"path": str(tmp_path)}}).execute()
        return "".join(o.get("text", "") for cell in book.cells if cell.cell_type == "code" for o in cell.outputs)

    assert "Must be replaced" in run("1-modernise-a-formula.ipynb", "desk().change(notes='from the first')")
    replace = "from histkit import demo\ndesk().change(replacements=demo.record('complexion').replacements)"
    assert "Must be replaced" in run("2-explore-substitutes.ipynb", replace)
    assert "Batch: 60.00 g" in run("3-loose-to-pressed.ipynb")
    assert "from the first" in Path(tmp_path / "my-formula.json").read_text(encoding="utf-8")
