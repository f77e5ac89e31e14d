"""What lies in a folder beside a record: kept formulas, copies that never take another's place, odd files that do no harm."""

import json
import os
from dataclasses import replace

import pytest

import histkit as hk
from histkit.keeping import example
from histkit.keeping.folder import keep_copy, kept_in, same_file
from histkit.keeping.library import put_away
from histkit.keeping.records import Record, is_record, load, save

POWDER = Record(text="Talc, 4 oz.\nStarch, 1 oz.")
OTHER = Record(text="Kaolin, 2 oz.")


def odd_files(folder):
    """Everything that may lie in a folder under a name that ends in .json, and is no record."""
    (folder / "deep.json").write_text("[" * 100_000, encoding="utf-8")
    (folder / "deep-object.json").write_text('{"histkit-record":' * 100_000, encoding="utf-8")
    (folder / "huge.json").write_text(json.dumps({"histkit-record": 1, "notes": "x" * 2_000_000}), encoding="utf-8")
    with (folder / "giant.json").open("wb") as file:
        file.truncate(5_000_000_000)
    (folder / "binary.json").write_bytes(bytes(range(256)) * 20)
    (folder / "half.json").write_bytes(b'{"histkit-record": 1, "text": "\xff"}')
    (folder / "empty.json").write_bytes(b"")
    (folder / "number.json").write_text("1" * 6000, encoding="utf-8")
    (folder / "list.json").write_text('["histkit-record"]', encoding="utf-8")
    (folder / "folder.json").mkdir()
    (folder / "dangling.json").symlink_to(folder / "nowhere.json")
    (folder / "loop.json").symlink_to(folder / "loop.json")
    os.mkfifo(folder / "pipe.json")
    (folder / "no-permission.json").write_text(POWDER.to_json(), encoding="utf-8")
    (folder / "no-permission.json").chmod(0)


def test_odd_files_are_no_records_and_stop_nothing(tmp_path):
    odd_files(tmp_path)
    may_read_all = os.access(tmp_path / "no-permission.json", os.R_OK)  # root may
    names = [p.name for p in tmp_path.iterdir() if not (may_read_all and p.name == "no-permission.json")]
    assert len(names) >= 13 and not any(is_record(tmp_path / name) for name in names)
    (tmp_path / "with-bom.json").write_text(POWDER.to_json(), encoding="utf-8-sig")
    (tmp_path / "newer.json").write_text('{"histkit-record": 99, "future": 1}', encoding="utf-8")
    kept = [p.name for p in kept_in(tmp_path) if p.name != "no-permission.json"]
    assert kept == ["newer.json", "with-bom.json"]


def test_a_file_that_may_not_be_read_is_no_record(tmp_path, monkeypatch):
    """The same for a plain user, where the tests run as root."""
    path = save(POWDER, tmp_path / "a.json")

    def refused(_):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("pathlib.Path.read_bytes", refused)
    assert not is_record(path)


def test_the_panels_stand_beside_odd_files(tmp_path):
    from histkit.panels import reading
    from histkit.panels.state import Desk

    odd_files(tmp_path)
    table = Desk(tmp_path / "my-formula.json")
    reading.build(table)
    table.begin(OTHER)
    table.begin(Record())
    assert "kept in my-formula-set-aside.json" in table.news


class TestCopies:
    def test_the_same_name_twice_and_names_that_make_the_same_file(self, tmp_path):
        names = [
            keep_copy(record, tmp_path, name).name
            for record, name in ((POWDER, "rice powder"), (OTHER, "rice-powder"), (POWDER, "rice  powder"))
        ]
        assert names == ["rice-powder.json", "rice-powder-2.json", "rice-powder-3.json"]
        assert [load(tmp_path / name) for name in names] == [POWDER, OTHER, POWDER]

    def test_a_folder_or_another_file_of_that_name_stays(self, tmp_path):
        (tmp_path / "powder.json").mkdir()
        (tmp_path / "powder-2.json").write_text("{}", encoding="utf-8")
        assert keep_copy(POWDER, tmp_path, "powder").name == "powder-3.json"
        assert (tmp_path / "powder-2.json").read_text(encoding="utf-8") == "{}"

    @pytest.mark.parametrize("name", ["My Formula", "MY-FORMULA", "my formula"])
    @pytest.mark.parametrize("there", [True, False])
    def test_the_desks_own_name_in_any_letters(self, tmp_path, name, there):
        own = tmp_path / "my-formula.json"
        if there:
            save(POWDER, own)
        with pytest.raises(hk.BadValue, match="desk's own"):
            keep_copy(OTHER, tmp_path, name, own)
        assert not there or load(own) == POWDER

    def test_the_desks_own_name_is_left_out_of_the_numbers_too(self, tmp_path):
        own = tmp_path / "powder-2.json"
        save(POWDER, tmp_path / "powder.json")
        assert keep_copy(OTHER, tmp_path, "powder", own).name == "powder-3.json"

    def test_an_accent_is_the_same_however_it_is_put_together(self, tmp_path):
        assert keep_copy(POWDER, tmp_path, "cre\u0300me").name == keep_copy(POWDER, tmp_path, "cr\u00e8me").name.replace("-2", "")
        assert len(list(tmp_path.iterdir())) == 2

    @pytest.mark.parametrize(
        "name", ["", " ", ".", "..", "a/b", "a\\b", "a.json", "x\x00y", "a:b", "con", "LPT1", "a\nb/c", "\u202e"]
    )
    def test_names_that_are_none(self, tmp_path, name):
        with pytest.raises(hk.BadValue):
            keep_copy(POWDER, tmp_path, name)
        assert list(tmp_path.iterdir()) == []

    def test_a_name_too_long_for_the_system_is_a_sentence(self, tmp_path):
        with pytest.raises(hk.RecordError, match="was not saved"):
            keep_copy(POWDER, tmp_path, "n" * 300)
        assert list(tmp_path.iterdir()) == []


class TestSetAside:
    def test_each_gets_a_name_of_its_own(self, tmp_path):
        own, third = tmp_path / "my-formula.json", replace(OTHER, notes="third")
        names = [put_away(record, own).name for record in (POWDER, OTHER, third)]
        assert names == ["my-formula-set-aside.json", "my-formula-set-aside-2.json", "my-formula-set-aside-3.json"]
        assert [load(tmp_path / name) for name in names] == [POWDER, OTHER, third]

    def test_what_is_kept_already_is_not_kept_twice(self, tmp_path):
        own = tmp_path / "my-formula.json"
        copy = keep_copy(POWDER, tmp_path, "powder")
        assert put_away(POWDER, own) == copy and put_away(replace(POWDER, notes="x"), own) != copy

    def test_ones_own_file_is_not_taken_for_another_that_keeps_it(self, tmp_path):
        own = save(POWDER, tmp_path / "my-formula.json")
        assert put_away(POWDER, own).name == "my-formula-set-aside.json"
        (tmp_path / "link.json").symlink_to(own)
        assert not same_file(tmp_path / "my-formula-set-aside.json", own) and same_file(tmp_path / "link.json", own)
        assert [p.name for p in kept_in(tmp_path, own)] == ["my-formula-set-aside.json"]


def test_beginning_five_formulas_in_turn_keeps_every_one(tmp_path):
    from histkit.panels.state import Desk

    table = Desk(tmp_path / "my-formula.json")
    for number in range(1, 6):
        table.begin(replace(example.record(), text=f"Talc, {number} oz.", title=f"formula {number}"))
    table.begin(Record())
    kept = {load(path).title for path in table.kept()}
    assert kept == {f"formula {number}" for number in range(1, 6)}
