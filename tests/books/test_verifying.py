"""Tables held against the manifest: each sort of misfit is named."""

import json

import pytest

import histkit as hk
from histkit.books.assembling import MANIFEST, TABLES
from histkit.books.locking import held
from histkit.books.running import run
from histkit.books.verifying import verify


@pytest.fixture
def out(books, tmp_path):
    run(books, tmp_path / "out")
    return tmp_path / "out"


def test_what_a_run_wrote_fits(books, out):
    verdict = verify(out)
    assert (verdict.fits, verdict.tables, verdict.parts) == (True, TABLES, 3)
    assert verdict.text().endswith("lines.csv, formulas.csv and 3 parts are what the run wrote.")
    for part in (out / "parts").iterdir():
        part.unlink()
    assert verify(out).fits, "the tables are whole without the parts"


def test_the_hashes_are_those_of_the_files(out):
    import hashlib

    manifest = json.loads((out / MANIFEST).read_bytes())
    for table in manifest["tables"]:
        data = (out / table["file"]).read_bytes()
        assert table == {"file": table["file"], "bytes": len(data), "sha256": hashlib.sha256(data).hexdigest()}


def changed(path):
    path.write_bytes(path.read_bytes().replace(b"avoirdupois", b"avoirdupoiS", 1))


def linked(path):
    copy = path.with_name("copy")
    path.rename(copy)
    path.symlink_to(copy)


@pytest.mark.parametrize(
    ("file", "harm", "message"),
    [
        ("formulas.csv", changed, "formulas.csv was changed after it was written."),
        ("lines.csv", lambda path: path.write_bytes(path.read_bytes()[:-1]), "lines.csv is .* bytes long and was written with"),
        ("lines.csv", lambda path: path.write_bytes(path.read_bytes() + b"a row\n"), "lines.csv is .* bytes long and was written with"),
        ("lines.csv", lambda path: path.unlink(), "lines.csv is missing."),
        ("lines.csv", linked, "lines.csv is a link."),
        ("lines.parquet", lambda path: path.write_bytes(b"x"), "lines.parquet is not of this run."),
    ],
)
def test_what_does_not_fit_is_named(books, out, file, harm, message):
    harm(out / file)
    verdict = verify(out)
    assert not verdict.fits and len(verdict.misfits) == 1
    with pytest.raises(AssertionError, match=message):
        raise AssertionError(verdict.text())
    assert "Give the command that read the books again" in verdict.text()
    run(books, out)
    assert verify(out).fits


def test_damaged_parts_are_named(out):
    one, two, _ = sorted((out / "parts").iterdir())
    data = one.read_bytes()
    one.write_bytes(data[:-1])
    two.write_bytes(data)
    # In the order of the books; the names of the parts hold hashes and stand in any.
    assert sorted(misfit.split(".part")[1] for misfit in verify(out).misfits) == [
        " holds another part.",
        f" is {len(data) - 1:,} bytes long and not {len(data):,}.",
    ]


@pytest.mark.parametrize(
    ("content", "message"),
    [
        (None, "there is no .*manifest.json: give the folder"),
        (b"[" * 100_000, "cannot be read"),
        (b"\xff", "cannot be read"),
        (b"[]", "is no manifest of a run"),
        (b"{}", "is no manifest of a run"),
        (b'{"histkit-corpus": 1}', "of another version of histkit and holds no hashes"),
        (b'{"histkit-corpus": 2, "tables": [], "books": []}', "names other files"),
        (b'{"histkit-corpus": 2, "tables": [{"file": "../secret", "bytes": 1, "sha256": ""}], "books": []}', "names other files"),
    ],
)
def test_a_manifest_that_is_none(out, content, message):
    (out / MANIFEST).unlink() if content is None else (out / MANIFEST).write_bytes(content)
    with pytest.raises(hk.TableError, match=message):
        verify(out)


def test_keys_of_parts_lead_nowhere_else(out):
    manifest = json.loads((out / MANIFEST).read_bytes())
    manifest["books"][0]["parts"][0]["key"] = "../../secret"
    (out / MANIFEST).write_text(json.dumps(manifest), encoding="utf-8")
    with pytest.raises(hk.TableError, match="names other files"):
        verify(out)


def test_while_a_run_is_writing_nothing_is_called_damaged(out):
    (out / "lines.csv").unlink()
    with held(out), pytest.raises(hk.RecordError, match="another run .* is writing into .*: verify the tables when that has ended"):
        verify(out)
    assert not verify(out).fits
