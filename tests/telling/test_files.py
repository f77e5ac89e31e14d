"""The table and the bench sheet as files."""

import invented_powder as ip
import pytest

import histkit as hk
from histkit.telling.files import save_sheet, save_table


def test_it_is_written_by_its_ending(tmp_path):
    one = ip.made_batch()
    for ending, start in ((".pdf", b"%PDF"), (".html", b"<!DOCTYPE html>"), (".md", b"# Bench sheet")):
        assert save_sheet(tmp_path / f"sheet{ending}", one).read_bytes().startswith(start)
    with pytest.raises(hk.BadValue, match=r"\.pdf, \.html or \.md"):
        save_sheet(tmp_path / "sheet.docx", one)
    with pytest.raises(hk.HistkitError, match="folder"):
        save_sheet(tmp_path / "none" / "sheet.pdf", one)


def test_the_table_is_written_in_every_form_of_text(tmp_path):
    written = save_table(tmp_path, ip.table(), ip.translation(), ip.made_batch())
    assert [path.name for path in written] == [
        "old-and-new.html", "old-and-new.md", "under-the-video.txt", "under-the-video.md", "source.bib", "source.csl.json", "old-and-new.csv",
        "old-and-new.xlsx",
    ]  # fmt: skip
    assert sorted(path.name for path in tmp_path.iterdir()) == sorted(path.name for path in written)
    for path in written[:-1]:
        assert "Larkspur" in path.read_text(encoding="utf-8") or path.suffix == ".csv"
