"""Parts: whatever is damaged in one is noticed, named and worked out again."""

import json

import pytest

from histkit.books import ledger
from histkit.books.assembling import MANIFEST, TABLES
from histkit.books.partfiles import PartError, opened, packed, unpacked
from histkit.books.running import run


def contents(out):
    return {name: (out / name).read_bytes() for name in (*TABLES, MANIFEST)}


def first_part(out):
    return min((out / "parts").iterdir())


@pytest.fixture
def out(books, tmp_path):
    run(books, tmp_path / "out")
    return tmp_path / "out"


def test_every_byte_is_guarded(out):
    path = first_part(out)
    data = path.read_bytes()
    for place in range(len(data)):
        path.write_bytes(data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :])
        with pytest.raises(PartError, match=r"\.part"):
            opened(path)
    path.write_bytes(data)
    assert opened(path) == unpacked(data, path)


def a_head_of_its_own(data):
    """A head that counts a line more, under the hash of the old one: wrong counts went from there into the manifest."""
    return data.replace(b'"lines": {"rows": ', b'"lines": {"rows": 1', 1)


HARMS = {
    "cut off": lambda data, other: data[:-40],
    "changed": lambda data, other: data[:-40] + b"x" * 40,
    "longer": lambda data, other: data + b"x",
    "empty": lambda data, other: b"",
    "another": lambda data, other: other,
    "its head": lambda data, other: a_head_of_its_own(data),
    "of an older version": lambda data, other: b'{"what": "histkit corpus part", "sizes": [1]}\n' + data,
    "a thousand brackets": lambda data, other: b"[" * 4000 + b"\n",
}


@pytest.mark.parametrize("harm", HARMS)
def test_a_damaged_part_is_named_and_worked_out_again(books, out, harm):
    before = contents(out)
    victim, other = sorted((out / "parts").iterdir())[:2]
    victim.write_bytes(HARMS[harm](victim.read_bytes(), other.read_bytes()))
    again = run(books, out)
    assert (again.parts_done, again.parts_kept) == (1, 2)
    (note,) = [note for note in again.notes if "damaged" in note]
    assert victim.name in note and "was worked out again" in note and any(f"Part 1 of {book}.txt" in note for book in "abc")
    assert contents(out) == before, "the manifest tells of the books and not of the accidents of a run"
    assert not any("damaged" in note for note in run(books, out).notes)


def test_a_link_in_place_of_a_part_is_replaced_and_not_followed(books, out, tmp_path):
    before = contents(out)
    victim = first_part(out)
    elsewhere = tmp_path / "mine.part"
    elsewhere.write_bytes(victim.read_bytes())
    kept = elsewhere.read_bytes()
    victim.unlink()
    victim.symlink_to(elsewhere)
    again = run(books, out)
    assert again.parts_done == 1 and any("a link or a folder" in note for note in again.notes)
    assert elsewhere.read_bytes() == kept and not victim.is_symlink() and contents(out) == before


def test_a_part_that_changes_while_the_tables_are_put_together_ends_in_a_sentence(books, out, monkeypatch):
    real = ledger.opened

    def opened_and_then_changed(path):
        part = real(path)
        path.write_bytes(path.read_bytes()[:-1] + b"x")
        return part

    before = contents(out)
    monkeypatch.setattr(ledger, "opened", opened_and_then_changed)
    with pytest.raises(PartError, match="changed while the run was under way: give the same command again"):
        run(books, out)
    assert contents(out) == before
    monkeypatch.undo()
    assert run(books, out).parts_done == 3 and contents(out) == before


def test_what_is_no_part_is_named(tmp_path):
    bad = tmp_path / "x.part"
    good = packed("k", "v", [], [])
    head = json.dumps({"key": "k", "made_by": "v"}).encode() + b"\n"
    for data in (b"", b"{}\n", b"[1]\n", b"\xff\xfe", good[:-1], good[:60] + b"\n" + head):
        bad.write_bytes(data)
        with pytest.raises(PartError, match=r"x\.part"):
            opened(bad)
    with pytest.raises(PartError, match="cannot be read"):
        opened(tmp_path / "gone.part")
    with pytest.raises(PartError, match="a link or a folder"):
        opened(tmp_path)
