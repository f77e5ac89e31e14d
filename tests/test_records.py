"""A record keeps the choices, opens again to the same table, and never loses what was saved last."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from pathlib import Path

import pytest

import histkit as hk
from histkit import demo, records
from histkit.records import Constraints, Correction, Pressing, Record, RecordError, Replacement, Weighing, load, save
from histkit.trials import Trial


@pytest.fixture
def record():
    return demo.record("complexion")


def test_a_record_opens_again_to_the_same_table(record, tmp_path):
    changed = replace(
        record,
        corrections=(Correction(5, amount=(8.0, 12.0)),),
        convention="avoirdupois-gb",
        constraints=Constraints(("talc", "nut"), "US"),
        pressing=Pressing(press="clamp"),
        weighing=Weighing(pans=2, pan_width_mm=20.0, pan_length_mm=30.0),
        trials=(Trial(1, 0.05, 0.03, drops_survived=4, payoff=3, notes="smooth"),),
        notes="a note — with ℥ in it",
    )
    path = save(changed, tmp_path / "powder.json")
    again = load(path)
    assert again == changed
    assert again.table().to_markdown() == changed.table().to_markdown()


def test_it_holds_choices_and_no_results(record):
    data = json.loads(record.to_json())
    assert set(data) == {
        "histkit-record",
        "text",
        "source",
        "convention",
        "corrections",
        "replacements",
        "constraints",
        "pressing",
        "weighing",
        "title",
        "notes",
        "trials",
    }


def test_a_record_from_before_constraints_and_rectangular_pans_opens(record):
    data = json.loads(record.to_json())
    del data["constraints"], data["pressing"]["press"]
    for key in ("pan_width_mm", "pan_length_mm"):
        del data["weighing"][key]
    del data["trials"]
    assert Record.from_json(json.dumps(data)) == record


def test_a_pan_is_round_or_rectangular():
    assert Weighing().pan() == {"diameter_mm": 44.0, "depth_mm": 4.0}
    assert Weighing(pan_width_mm=40.0, pan_length_mm=60.0).pan() == {"width_mm": 40.0, "length_mm": 60.0, "depth_mm": 4.0}
    with pytest.raises(hk.BadValue, match="both pan_width_mm and pan_length_mm"):
        Weighing(pan_width_mm=40.0)


def test_corrections_change_the_line_and_say_so(record):
    formula = replace(
        record,
        corrections=(Correction(0, amount=4.0, unit="pound"), Correction(1, ingredient="kaolin"), Correction(2, leave_out=True)),
    ).formula()
    assert (formula.lines[0].amount, formula.lines[0].unit) == (4.0, "pound")
    assert formula.lines[1].ingredient == "kaolin" and "Corrected by the maker." in formula.lines[1].steps
    assert formula.lines[2].amount is None
    with pytest.raises(hk.BadValue, match="line 1.*unit"):
        Correction(0, unit="firkin")
    with pytest.raises(hk.BadValue, match="line 1"):
        Correction(0, amount=-1.0)


def test_lead_in_a_record_stops_the_batch_but_not_the_table():
    poisonous = demo.record("complexion", replaced=False)
    with pytest.raises(hk.Forbidden, match="lead"):
        poisonous.batch()
    assert "lead" in poisonous.table().to_text().lower()


def test_the_last_good_one_is_kept(record, tmp_path):
    path = save(record, tmp_path / "powder.json")
    save(replace(record, notes="second"), path)
    path.write_text(path.read_text(encoding="utf-8")[:80], encoding="utf-8")
    with pytest.raises(RecordError, match="backup"):
        load(path)
    assert load(path.with_name("powder.json.backup")) == record


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "damaged"), ("{", "damaged"), ("[]", "no histkit record"), ('{"a": 1}', "no histkit record"), ('{"histkit-record": 99}', "newer"),
        ('{"histkit-record": 1, "surprise": 1}', "surprise"), ('{"histkit-record": 1, "source": {"year": 99999}}', "year"),
        ('{"histkit-record": 1, "source": {"colour": 1}}', "fit"), ('{"histkit-record": 1, "weighing": {"grams": {}, "x": 1}}', "fit"),
    ],
)  # fmt: skip
def test_damaged_foreign_and_newer_records_are_told_apart(text, told, tmp_path):
    path = tmp_path / "powder.json"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(RecordError, match=told):
        load(path)


def test_no_record_and_no_folder(record, tmp_path):
    with pytest.raises(RecordError, match="no record"):
        load(tmp_path / "none.json")
    with pytest.raises(RecordError, match="folder"):
        save(record, tmp_path / "missing" / "powder.json")


def test_a_kill_in_the_midst_of_saving_loses_nothing(record, tmp_path):
    """The process dies after writing half of the new file and before putting it in place."""
    path = save(record, tmp_path / "powder.json")
    code = f"""
import os
from histkit import records
from dataclasses import replace
os.fsync = lambda handle: os.kill(os.getpid(), 9)
record = records.load({str(path)!r})
records.save(replace(record, notes="x" * 100000), {str(path)!r})
"""
    ended = subprocess.run([sys.executable, "-c", code], cwd=Path(__file__).parent.parent, check=False)
    assert ended.returncode == -9
    assert load(path) == record


@pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere: a read-only folder cannot be tried as root")
def test_a_read_only_folder(record, tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(RecordError, match="folder"):
        save(record, tmp_path / "powder.json")


def test_a_full_disk_leaves_the_old_file(record, tmp_path, monkeypatch):
    path = save(record, tmp_path / "powder.json")

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(records.os, "fsync", full)
    with pytest.raises(RecordError, match="No space left"):
        save(replace(record, notes="more"), path)
    assert load(path) == record
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_the_whole_way(record):
    assert record.pressed().composition.share("magnesium-stearate") == pytest.approx(0.05)
    batch = record.batch()
    assert round(sum(w.grams for w in batch.weighings), 2) == 60.0
    loose = replace(record, pressing=None, weighing=Weighing(grams=25))
    assert loose.pressed() is None and round(sum(w.grams for w in loose.batch().weighings), 2) == 25.0
    assert Replacement("talc", ()).parts == () and Pressing().binder_share == 0.05 and Record().text == ""


def test_a_record_reads_its_text_once(monkeypatch):
    calls = []
    reader = records.read
    monkeypatch.setattr(records, "read", lambda *args, **kwargs: calls.append(args) or reader(*args, **kwargs))
    record = demo.record("complexion")
    record.table(), record.pressed(), record.batch(), record.formula()
    assert len(calls) == 1
    assert replace(record, text="Talc 2 oz").formula().lines[0].amount == 2  # another record, another reading
    assert len(calls) == 2
    assert record == demo.record("complexion")
