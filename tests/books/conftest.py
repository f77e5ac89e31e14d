"""Three small books of invented formulas, for tests of what happens to the files of a run."""

import pytest

PROSE = "It rained for a week, and nobody came into the shop at all.\n\n"
POWDERS = {
    "a.txt": ("White lead      6 oz.\nFrench chalk    2 oz.", "Wheat starch    3 oz.\nOrris root      1 oz."),
    "b.txt": ("Oxide of zinc   1 oz.\nFrench chalk    1 oz.", "French chalk    4 oz.\nCarmine         q. s."),
    "c.txt": ("=starch;=1+1    1 oz.\nMystery beads   3 pieces",),
}


@pytest.fixture
def books(tmp_path):
    """The folder of the books; `tmp_path / "out"` is free for the tables."""
    folder = tmp_path / "books"
    folder.mkdir()
    for file, powders in POWDERS.items():
        text = "".join(f"{PROSE}Face Powder.\n\n{lines}\n\n" for lines in powders)
        (folder / file).write_text(text + PROSE, encoding="utf-8")
    (folder / "books.csv").write_text("file,title,year\na.txt,A,1801\nb.txt,B,1875\nc.txt,C,1876\n", encoding="utf-8")
    return folder
