"""A record keeps the choices, opens again to the same table, and never loses what was saved last."""

import copy
import json
import os
import random
import shutil
import subprocess
import sys
import time
from dataclasses import fields, is_dataclass, replace
from pathlib import Path

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich_record import rich

import histkit as hk
from histkit import records
from histkit.base.errors import RecordError
from histkit.bench.proposals import propose
from histkit.bench.trials import Trial
from histkit.keeping import example as demo
from histkit.keeping import working
from histkit.keeping.records import (
    Correction,
    Pressing,
    Record,
    RecordFile,
    Replacement,
    Weighing,
    history,
    load,
    restore,
    save,
    schema,
)

HERE = Path(__file__).parent.parent


@pytest.fixture
def record():
    return demo.record("complexion")


def test_a_record_opens_again_to_the_same_table(record, tmp_path):
    changed = replace(
        record, corrections=(Correction(5, amount=(8.0, 12.0)),), convention="avoirdupois-gb", notes="a note — with ℥ in it"
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
        "batches",
        "prices",
        "currency",
        "beside",
        "scenting",
        "photograph",
        "known",
        "swatches",
        "extensions",
        "card",
        "packs",
        "viewers",
        "kept_as",
    }
    assert "share" not in json.dumps(data["batches"]).replace("error_limit", "") and "composition" not in json.dumps(data)


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


def test_a_damaged_record_says_that_earlier_states_are_kept(record, tmp_path):
    path = save(record, tmp_path / "powder.json")
    save(replace(record, notes="second"), path)
    path.write_text(path.read_text(encoding="utf-8")[:80], encoding="utf-8")
    with pytest.raises(RecordError, match="damaged.*record --restore"):
        load(path)
    assert [kept.record for kept in history(path)] == [record, replace(record, notes="second")]


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("", "damaged"), ("{", "damaged"), ("[]", "no histkit record"), ('{"a": 1}', "no histkit record"), ('{"histkit-record": 99}', "newer"),
        ('{"histkit-record": 1, "surprise": 1}', "surprise"), ('{"histkit-record": 1, "source": {"year": 99999}}', "year"),
        ('{"histkit-record": 1, "source": {"colour": 1}}', "colour"), ('{"histkit-record": 1, "weighing": {"grams": {}, "x": 1}}', "unknown entries x"),
        ('{"histkit-record": 1, "weighing": {"grams": {}}}', r"weighing.grams should be a number, not \{\}"), ('{"histkit-record": true}', "version from 1"), ('{"histkit-record": 0}', "version from 1"),
        ('{"histkit-record": "2"}', "version from 1"), ('{"histkit-record": 1, "text": "a", "text": "b"}', "'text' stands twice"),
        ('{"histkit-record": 1, "weighing": {"grams": NaN}}', "NaN"), ('{"histkit-record": 1, "weighing": {"grams": -Infinity}}', "-Infinity"),
        ('{"histkit-record": 1, "weighing": {"grams": 1e999}}', "should be a number"), ('{"histkit-record": 1, "weighing": {"grams": 1%s}}' % ("0" * 400), "too large"),
        ('{"histkit-record": 1, "weighing": {"grams": 1%s}}' % ("0" * 5000), "damaged"), ("[" * 100_000, "nested"), ('{"histkit-record": 1, "notes": ' + "[" * 900 + "]" * 900 + "}", "should be text"),
        ('{"histkit-record": 1, "text": "\\ud800"}', "half of a character"), ('{"histkit-record": 1, "weighing": {"grams": "60"}}', "weighing.grams should be a number, not '60'"),
        ('{"histkit-record": 1, "corrections": [{"unit": "pound"}]}', r"corrections\[1\] lacks line"), ('{"histkit-record": 1, "corrections": [{"line": 1.5}]}', "whole number"),
        ('{"histkit-record": 1, "corrections": [{"line": 1, "amount": [1, 2, 3]}]}', "list of 2"), ('{"histkit-record": 1, "replacements": [{"removed": "talc", "parts": [["kaolin", -1]]}]}', "0 or more"),
        ('{"histkit-record": 1, "pressing": {"of": "loaf"}}', "cake, powder"), ('{"histkit-record": 1, "pressing": {"binder_share": true}}', "a number, not True"),
        ('{"histkit-record": 1, "weighing": {"pan_width_mm": 20}}', "both pan_width_mm and pan_length_mm"), ('{"histkit-record": 1, "trials": [{"number": 1, "binder_share": 0.1, "payoff": 9}]}', "payoff"),
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
    ended = subprocess.run([sys.executable, "-c", code], cwd=HERE, check=False)
    assert ended.returncode == -9
    assert load(path) == record


def test_killed_at_any_moment_the_file_is_whole(record, tmp_path):
    """A process that does nothing but save is killed again and again, wherever it happens to be."""
    path = save(record, tmp_path / "powder.json")
    code = f"""
import itertools, sys
from dataclasses import replace
from histkit import records
record = records.load({str(path)!r})
print("ready", flush=True)
for number in itertools.count():
    records.save(replace(record, notes=f"{{number}} " + "x" * 50_000 * (number % 3)), {str(path)!r})
"""
    moment = random.Random(7)
    for _ in range(12):
        child = subprocess.Popen([sys.executable, "-c", code], cwd=HERE, stdout=subprocess.PIPE, text=True)
        assert child.stdout is not None and child.stdout.readline() == "ready\n"
        time.sleep(moment.uniform(0.005, 0.06))
        child.kill()
        child.wait()
        child.stdout.close()
        notes = load(path).notes
        number = int(notes.split()[0]) if notes else 0
        assert notes == ("" if not notes else f"{number} " + "x" * 50_000 * (number % 3))
        assert all(kept.record is not None and replace(kept.record, notes="") == record for kept in history(path))


def test_two_processes_saving_at_once_never_leave_a_mixture(record, tmp_path):
    path = save(record, tmp_path / "powder.json")
    code = f"""
from dataclasses import replace
from histkit import records
import sys
record = records.load({str(path)!r})
for number in range(60):
    records.save(replace(record, notes=sys.argv[1] * 2_000), {str(path)!r})
"""
    children = [subprocess.Popen([sys.executable, "-c", code, name], cwd=HERE) for name in "ab"]
    while any(child.poll() is None for child in children):
        assert set(load(path).notes) in ({"a"}, {"b"}, set())
    assert [child.returncode for child in children] == [0, 0]


needs_a_plain_user = pytest.mark.skipif(os.geteuid() == 0, reason="root may write anywhere: this cannot be tried as root")


@needs_a_plain_user
def test_a_read_only_folder(record, tmp_path):
    tmp_path.chmod(0o500)
    with pytest.raises(RecordError, match="folder"):
        save(record, tmp_path / "powder.json")


@needs_a_plain_user
def test_a_write_protected_file_is_left_alone(record, tmp_path):
    path = save(record, tmp_path / "powder.json")
    path.chmod(0o400)
    with pytest.raises(RecordError, match="write-protected"):
        save(replace(record, notes="second"), path)
    assert load(path) == record


def as_plain_user(code):
    """Run code as a user who is not root (as root file permissions say nothing); its answer."""
    become = "import os; os.setgid(65534); os.setuid(65534)\n" if os.geteuid() == 0 else ""
    told = subprocess.run(
        [
            sys.executable,
            "-c",
            f"import histkit.keeping.records, histkit.keeping.example, encodings.utf_8_sig, fcntl\n{become}{code}",
        ],
        cwd=HERE,
        check=False,
        capture_output=True,
        text=True,
    )
    assert told.returncode == 0, told.stderr
    return told.stdout


def test_protections_hold_for_a_plain_user(tmp_path_factory):
    """The same as the two tests before, but also where the tests run as root."""
    folder = Path("/tmp") / f"histkit-test-{os.getpid()}"
    folder.mkdir()
    folder.chmod(0o777)
    try:
        path = save(demo.record("complexion"), folder / "powder.json")
        before = path.read_bytes()
        path.chmod(0o444)
        folder.chmod(0o777)
        code = f"""
from histkit.keeping import records, example as demo
for name in ("powder.json", "new.json"):
    try:
        records.save(records.Record(text="Talc 2 oz"), {str(folder)!r} + "/" + name)
        print("saved")
    except records.RecordError as error:
        print(error)
"""
        assert "write-protected" in as_plain_user(code)
        folder.chmod(0o555)
        told = as_plain_user(code)
        assert "write-protected" in told and "cannot write in the folder" in told and "saved\n" not in told
        assert path.read_bytes() == before
    finally:
        folder.chmod(0o777)
        shutil.rmtree(folder)


def test_a_full_disk_leaves_the_old_file(record, tmp_path, monkeypatch):
    path = save(record, tmp_path / "powder.json")

    def full(handle):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(RecordError, match="No space left"):
        save(replace(record, notes="more"), path)
    assert load(path) == record
    assert [p.name for p in tmp_path.iterdir() if p.name.startswith(".")] == []


def test_a_file_that_may_grow_no_further_leaves_the_old_one(record, tmp_path):
    """The system itself refuses to write more: the limit on the size of a file stands in for a full disk."""
    path = save(record, tmp_path / "powder.json")
    code = f"""
import resource, signal
from dataclasses import replace
from histkit import records
record = records.load({str(path)!r})
signal.signal(signal.SIGXFSZ, signal.SIG_IGN)
resource.setrlimit(resource.RLIMIT_FSIZE, (10_000, 10_000))
try:
    records.save(replace(record, notes="x" * 100_000), {str(path)!r})
except records.RecordError as error:
    print(error)
"""
    told = subprocess.run([sys.executable, "-c", code], cwd=HERE, check=True, capture_output=True, text=True)
    assert "was not saved: File too large. What was there before is untouched." in told.stdout
    assert load(path) == record and sorted(p.name for p in tmp_path.iterdir()) == ["powder.json", "powder.json.history"]
    assert [p.name for p in (tmp_path / "powder.json.history").iterdir()] == ["000001.json"]


class TestWhatIsThere:
    """Nothing writes over a file that it cannot read, nor over what another window saved."""

    @pytest.mark.parametrize(
        "text", ['{"histkit-record": 99, "future": 1}', '{"histkit-record": 2, "text": "Tal', "", '{"other": "file"}']
    )
    def test_a_file_that_cannot_be_read_is_not_written_over(self, record, tmp_path, text):
        path = tmp_path / "powder.json"
        path.write_text(text, encoding="utf-8")
        with pytest.raises(RecordError, match="not written over"):
            save(record, path)
        assert path.read_text(encoding="utf-8") == text and [p.name for p in tmp_path.iterdir()] == ["powder.json"]

    def test_the_last_good_state_is_put_back_and_the_damaged_one_kept(self, record, tmp_path):
        path, second = tmp_path / "powder.json", replace(record, notes="second")
        save(record, path)
        save(second, path)
        path.write_text("{ broken", encoding="utf-8")
        aside = restore(path)
        assert load(path) == second and aside.read_text(encoding="utf-8") == "{ broken" and aside.name == "powder.json.set-aside"
        path.write_text("{ broken again", encoding="utf-8")
        assert restore(path).name == "powder.json.set-aside-2" and aside.read_text(encoding="utf-8") == "{ broken"
        path.unlink()
        assert restore(path) is None and load(path) == second
        assert restore(path).name == "powder.json.set-aside-3" and load(path) == record, "of a whole file: the state before"
        with pytest.raises(RecordError, match="no earlier state"):
            restore(tmp_path / "other.json")

    def test_an_entry_that_is_damaged_too_is_passed_over(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        save(replace(record, notes="second"), path)
        history(path)[-1].file.write_text("{", encoding="utf-8")
        path.write_text("{", encoding="utf-8")
        restore(path)
        assert load(path) == record
        first, broken, back = history(path)
        assert (first.record, broken.record, back.record) == (record, None, record) and "damaged" in broken.changes[0]

    def test_two_windows_with_the_same_file(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        one, two = RecordFile(path), RecordFile(path)
        assert one.load() == two.load() == record
        one.save(replace(record, notes="from the first"))
        one.save(replace(record, notes="from the first again"))
        assert two.changed_elsewhere() and not one.changed_elsewhere()
        with pytest.raises(RecordError, match="another notebook"):
            two.save(replace(record, notes="from the second"))
        assert load(path).notes == "from the first again"
        two.save(replace(record, notes="from the second"), over=True)
        assert load(path).notes == "from the second"
        assert [kept.record.notes for kept in history(path)][-2:] == ["from the first again", "from the second"]
        assert one.changed_elsewhere()
        one.load()
        one.save(replace(record, notes="after opening it anew"))
        assert load(path).notes == "after opening it anew"

    def test_a_file_that_came_or_went_meanwhile(self, record, tmp_path):
        path = tmp_path / "powder.json"
        one, two = RecordFile(path), RecordFile(path)
        assert not one.changed_elsewhere()
        one.save(record)
        with pytest.raises(RecordError, match="another notebook"):
            two.save(record)
        path.unlink()
        assert one.changed_elsewhere()
        one.save(replace(record, notes="written anew"))
        assert load(path).notes == "written anew"
        path.write_text("{", encoding="utf-8")
        with pytest.raises(RecordError, match="another notebook"):
            one.save(record)

    def test_saving_the_same_twice_is_one_state(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        save(replace(record, notes="second"), path)
        save(replace(record, notes="second"), path)
        assert [kept.record.notes for kept in history(path)] == ["", "second"]

    def test_a_link_stays_a_link(self, record, tmp_path):
        (tmp_path / "real").mkdir()
        link = tmp_path / "powder.json"
        link.symlink_to(tmp_path / "real" / "powder.json")
        save(record, link)
        save(replace(record, notes="second"), link)
        assert link.is_symlink() and load(tmp_path / "real" / "powder.json").notes == "second"
        assert [kept.record.notes for kept in history(link)] == ["", "second"], "the history lies where the file really is"
        assert (tmp_path / "real" / "powder.json.history").is_dir() and not (tmp_path / "powder.json.history").exists()

    def test_a_link_in_a_folder_of_results_is_replaced_and_leads_nowhere_else(self, record, tmp_path):
        (tmp_path / "elsewhere.json").write_text("mine", encoding="utf-8")
        link = tmp_path / "powder.json"
        link.symlink_to(tmp_path / "elsewhere.json")
        save(record, link, follow=False)
        assert not link.is_symlink() and load(link) == record
        assert (tmp_path / "elsewhere.json").read_text(encoding="utf-8") == "mine"

    def test_permissions_stay(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        path.chmod(0o640)
        save(replace(record, notes="second"), path)
        assert path.stat().st_mode & 0o777 == 0o640

    def test_no_file_a_folder_a_giant_and_other_letters(self, record, tmp_path):
        with pytest.raises(RecordError, match="no file"):
            load(tmp_path)
        with pytest.raises(RecordError, match="no file"):
            save(record, tmp_path)
        (tmp_path / "latin.json").write_bytes('{"histkit-record": 1, "text": "é"}'.encode("latin-1"))
        with pytest.raises(RecordError, match="cannot be read"):
            load(tmp_path / "latin.json")
        with (tmp_path / "giant.json").open("wb") as file:
            file.truncate(20_000_000)
        with pytest.raises(RecordError, match="20 MB"):
            load(tmp_path / "giant.json")
        (tmp_path / "bom.json").write_text(record.to_json(), encoding="utf-8-sig")
        assert load(tmp_path / "bom.json") == record

    def test_what_could_not_be_opened_again_is_not_saved(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        with pytest.raises(RecordError, match="shorten its text"):
            save(replace(record, notes="x" * 5_000_000), path)
        assert load(path) == record
        long = replace(record, notes="℥" * 3_000_000)
        assert load(save(long, path)) == long

    def test_a_program_that_hangs_while_saving_does_not_hang_this_one(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        code = f"import time\nfrom pathlib import Path\nfrom histkit.base.files import alone\nwith alone(Path({str(path)!r})):\n    print('held', flush=True)\n    time.sleep(60)"
        child = subprocess.Popen([sys.executable, "-c", code], cwd=HERE, stdout=subprocess.PIPE, text=True)
        try:
            assert child.stdout is not None and child.stdout.readline() == "held\n"
            begun = time.monotonic()
            save(replace(record, notes="second"), path)
            assert 2 < time.monotonic() - begun < 20 and load(path).notes == "second"
        finally:
            child.kill()
            child.wait()
            if child.stdout is not None:
                child.stdout.close()

    @settings(deadline=None)
    @given(st.integers(0, 6000), st.binary(max_size=12), st.integers(0, 40), st.booleans())
    def test_a_file_damaged_anywhere_opens_or_is_told_and_nothing_else_happens(self, tmp_path_factory, place, junk, gone, cut):
        whole = rich().to_json().encode("utf-8")
        damaged = whole[:place] if cut else whole[:place] + junk + whole[place + gone :]
        path = tmp_path_factory.mktemp("damaged") / "powder.json"
        path.write_bytes(damaged)
        try:
            opened = load(path)
        except RecordError as error:
            assert str(path) in str(error)
        else:
            assert Record.from_json(opened.to_json()) == opened
        assert path.read_bytes() == damaged

    def test_half_a_character_is_told_and_nothing_is_lost(self, record, tmp_path):
        path = save(record, tmp_path / "powder.json")
        with pytest.raises(RecordError, match="half of a character"):
            save(replace(record, notes="\ud800"), path)
        assert load(path) == record


class TestSchema:
    """The published JSON Schema says what the reader takes."""

    def test_the_published_file_is_the_one_made_from_the_fields(self):
        published = json.loads((Path(records.__file__).parent / "record.schema.json").read_text(encoding="utf-8"))
        assert published == schema(), "write it anew: histkit record --schema > histkit/keeping/record.schema.json"
        jsonschema.Draft202012Validator.check_schema(published)
        assert published["$schema"] == "https://json-schema.org/draft/2020-12/schema"

    def test_every_field_of_every_part_is_described(self):
        made = schema()
        parts = {"Record": made, **made["$defs"]}
        for kind in (Record, Correction, Replacement, Pressing, Weighing, Trial, hk.Source):
            assert is_dataclass(kind)
            assert set(parts[kind.__name__]["properties"]) - {"histkit-record"} == {f.name for f in fields(kind)}
            assert parts[kind.__name__]["additionalProperties"] is False
        for kind in (Correction, Replacement, Pressing, Weighing):
            assert all("description" in entry for entry in parts[kind.__name__]["properties"].values())

    @pytest.mark.parametrize("name", [*demo.names(), "rich", "empty"])
    def test_saved_records_are_valid(self, name):
        saved = rich() if name == "rich" else Record() if name == "empty" else demo.record(name)
        jsonschema.validate(json.loads(saved.to_json()), schema())

    def test_what_the_schema_refuses_the_reader_refuses_and_the_other_way_round(self):
        """Every kind of entry of a full record, replaced by every sort of value, is judged alike by both."""
        validator = jsonschema.Draft202012Validator(schema())
        whole = json.loads(rich().to_json())
        places = list(_kinds_of_places(whole))
        assert len(places) > 120
        odd = [None, True, 0, -1, 0.5, 3.0, 9, 2**70, "", "x", "cake", "drachm", [], [1, 2], [["talc", 0.5]], {}]
        taken = refused = 0
        for place in places:
            for value in odd:
                changed = copy.deepcopy(whole)
                _put(changed, place, value)
                valid = validator.is_valid(changed)
                try:
                    Record.from_json(json.dumps(changed))
                    loads = True
                except RecordError:
                    loads = False
                if place == ("weighing", "pan_width_mm") or place == ("weighing", "pan_length_mm"):
                    valid = valid and value is not None  # one side of a pan alone: the schema cannot say it
                if place[0] == "batches" and place[-1] in ("pan_width_mm", "pan_length_mm"):
                    valid = valid and value is None
                assert loads == valid, (place, value)
                taken, refused = taken + loads, refused + (not loads)
        assert taken > 300 and refused > 1000

    @given(
        st.builds(
            Record, text=st.text(), title=st.text(), currency=st.text(),
            corrections=st.lists(st.builds(Correction, line=st.integers(0, 99), amount=st.none() | st.floats(0, 1e8) | st.tuples(st.floats(0, 9), st.floats(0, 9)),
                                           unit=st.none() | st.sampled_from(["drachm", "drop"]), leave_out=st.booleans()), max_size=3).map(tuple),
            replacements=st.lists(st.builds(Replacement, removed=st.text(), parts=st.lists(st.tuples(st.text(), st.floats(0, 5)), max_size=3).map(tuple), reason=st.text()), max_size=3).map(tuple),
            pressing=st.none() | st.builds(Pressing, binder=st.none() | st.text(), binder_share=st.floats(0, 0.99), oil_drops=st.floats(0, 99), pressure_mpa=st.none() | st.floats(0.1, 20)),
            weighing=st.builds(Weighing, grams=st.floats(0.1, 1e6), pans=st.integers(0, 9), number=st.text()),
            trials=st.lists(st.builds(Trial, number=st.integers(1, 99), binder_share=st.floats(0, 0.99), payoff=st.none() | st.integers(0, 5), notes=st.text()), max_size=3).map(tuple),
            prices=st.lists(st.tuples(st.text(), st.floats(0, 1e6)), max_size=3).map(tuple),
        )
    )  # fmt: skip
    @settings(deadline=None)
    def test_any_record_comes_back_equal_and_is_valid(self, made):
        text = made.to_json()
        assert Record.from_json(text) == made
        jsonschema.validate(json.loads(text), schema())

    def test_a_record_of_the_first_version_still_opens(self):
        first = {
            "histkit-record": 1,
            "text": "Talc, 2 oz.",
            "pressing": {"binder": "zinc-stearate", "binder_share": 0.06, "oil": None, "oil_share": 0.0},
            "weighing": {"grams": 40, "readability": 0.1, "minimum": 1, "pans": 2, "pan_diameter_mm": 26, "pan_depth_mm": 3},
        }
        opened = Record.from_json(json.dumps(first))
        assert opened.pressing == Pressing("zinc-stearate", 0.06, None, 0.0)
        assert opened.weighing == Weighing(40, 0.1, 1, 2, 26, 3)
        assert opened.pressed().composition.share("zinc-stearate") == pytest.approx(0.06)


def _places(value, way=()):
    """The way to every entry within a JSON value, but for the version."""
    inner = value.items() if isinstance(value, dict) else enumerate(value) if isinstance(value, list) else ()
    for key, entry in inner:
        if key != "histkit-record":
            yield (*way, key)
            yield from _places(entry, (*way, key))


def _kinds_of_places(value):
    """The way to the first entry of each kind: of the lines of a list, which the schema describes once, one for each of their keys."""
    kinds = {tuple("" if isinstance(key, int) else key for key in way): way for way in reversed(list(_places(value)))}
    return kinds.values()


def _put(value, way, entry):
    for key in way[:-1]:
        value = value[key]
    value[way[-1]] = entry


class TestAllChoices:
    """Everything that can be chosen is in the record, and the record opens to the same table."""

    def test_the_same_table_sheet_and_label(self, tmp_path):
        made = rich()
        again = load(save(made, tmp_path / "powder.json"))
        assert again == made and again.table().to_markdown() == made.table().to_markdown()
        assert again.batch().to_markdown() == made.batch().to_markdown()
        assert again.label().text() == made.label().text()
        assert again.effects() == made.effects() and propose(again.log()) == propose(made.log())

    def test_several_binders_and_wet_pressing(self):
        pressed = rich().pressed()
        shares = {
            key: pressed.composition.share(key) for key in ("magnesium-stearate", "zinc-stearate", "jojoba-oil", "squalane")
        }
        assert shares == pytest.approx({"magnesium-stearate": 0.04, "zinc-stearate": 0.02, "jojoba-oil": 0.02, "squalane": 0.01})
        assert [i.id for i, _ in pressed.wetting] == ["rectified-spirit"] and "rectified-spirit" not in pressed.composition
        assert all(
            level.cake == "any cake" or "face powder" in level.cake
            for level in pressed.levels
            if level.kind == "dry" and "magnesium" in level.words
        )

    def test_oil_by_absorption_and_by_drops(self, record):
        by_absorption = replace(record, pressing=Pressing(oil_from="absorption")).pressed()
        assert any("oil absorption" in note for note in by_absorption.notes)
        by_drops = replace(record, pressing=Pressing(oil_from="drops", oil_drops=20, drops_powder_grams=50)).pressed()
        drop = hk.measures.drop_mass(hk.glossary.ingredient("jojoba-oil")).best
        assert by_drops.additions(50)["jojoba-oil"] == pytest.approx(20 * drop)
        of_powder = replace(record, pressing=Pressing(of="powder")).pressed()
        assert of_powder.additions(100)["magnesium-stearate"] == pytest.approx(5)

    def test_batches_by_their_number(self):
        made = rich()
        assert made.batch().grams == made.batch("7").grams == 40 and made.batch("5").grams == 60
        assert made.batch("6b").to_weigh["talc"] <= 11 < 1.05 * made.batch("6b").to_weigh["talc"]
        pans = made.batch("6")
        area = 3.141592653589793 / 4 * 4.4**2
        assert pans.grams == pytest.approx(area * 0.4 * 1.2 * 2 * 1.1, abs=0.01) and pans.pans == 2
        with pytest.raises(hk.BadValue, match="'5', '6', '6b', '7'"):
            made.batch("99")
        with pytest.raises(hk.BadValue, match="number of pans"):
            replace(made, weighing=Weighing(make="pans")).batch()
        with pytest.raises(hk.BadValue, match="pressed"):
            replace(made, pressing=None, weighing=Weighing(make="pans", pans=2)).batch()

    def test_rectangular_pans(self):
        made = rich()
        fill = made.pan_fill()
        assert fill.best == pytest.approx(3 * 2 * 3 * 0.36 * fill.best / (3 * 2 * 3 * 0.36))
        measured = replace(made, weighing=replace(made.weighing, density_g_cm3=1.25)).pan_fill()
        assert measured.low == measured.high == pytest.approx(3 * 2.0 * 3.0 * 0.36 * 1.25)
        assert fill.low < fill.best < fill.high
        assert replace(made, pressing=None).pan_fill() is None and replace(made, weighing=Weighing()).pan_fill() is None

    def test_prices(self):
        made = rich().batch()
        assert "EUR a pan (3 pans)" in made.price_text() and "zinc oxide" in made.price_text()

    @pytest.mark.parametrize(
        ("part", "wrong", "told"),
        [
            (Weighing, {"grams": 0}, "grams to make is a number above 0, not 0"), (Weighing, {"grams": float("nan")}, "grams"), (Weighing, {"grams": "60"}, "grams"), (Weighing, {"pans": -1}, "pans"),
            (Weighing, {"make": "luck"}, "grams, pans, cupboard"), (Weighing, {"cupboard": (("talc", 0),)}, "hand"), (Weighing, {"pan_width_mm": 3}, "both"), (Pressing, {"oil_share": 1}, "oil_share"),
            (Pressing, {"press": "elephant"}, "thumb"), (Pressing, {"more_oils": (("squalane", 1.2),)}, "liquid"), (Replacement, {"removed": "talc", "parts": (("kaolin", -1),)}, "0 or more"), (Correction, {"line": -1}, "counted from 0"),
        ],
    )  # fmt: skip
    def test_choices_that_are_none(self, part, wrong, told):
        with pytest.raises(hk.BadValue, match=told):
            part(**wrong)
        with pytest.raises(hk.BadValue, match="price"):
            Record(prices=(("talc", -1.0),))

    def test_ids_that_nobody_knows_and_names_that_are_paths(self, tmp_path):
        strange = replace(
            demo.record("complexion", replaced=False),
            replacements=(Replacement("lead-carbonate", (("moon-dust", 1.0),)), Replacement("../../etc/passwd", ())),
        )
        opened = load(save(strange, tmp_path / "powder.json"))
        with pytest.raises(hk.UnknownName, match="moon-dust"):
            opened.table()
        travelled = replace(demo.record("complexion"), title="../../outside", weighing=Weighing(number="/../x", balance="..\\y"))
        from histkit.telling import files

        (tmp_path / "in").mkdir()
        files.save_bench_sheet(tmp_path / "in", load(save(travelled, tmp_path / "in" / "powder.json")).batch())
        written = {p.parent for p in tmp_path.rglob("*") if p.is_file() and not p.parent.name.endswith(".json.history")}
        assert written == {tmp_path, tmp_path / "in"}


def test_the_whole_way(record):
    assert record.pressed().composition.share("magnesium-stearate") == pytest.approx(0.05)
    batch = record.batch()
    assert round(sum(w.grams for w in batch.weighings), 2) == 60.0
    loose = replace(record, pressing=None, weighing=Weighing(grams=25))
    assert loose.pressed() is None and round(sum(w.grams for w in loose.batch().weighings), 2) == 25.0
    assert Replacement("talc", ()).parts == () and Pressing().binder_share == 0.05 and Record().text == ""


def test_a_record_reads_its_text_once(monkeypatch):
    calls = []
    reader = working.read
    monkeypatch.setattr(working, "read", lambda *args, **kwargs: calls.append(args) or reader(*args, **kwargs))
    record = demo.record("complexion")
    record.table(), record.pressed(), record.batch(), record.formula()
    assert len(calls) == 1
    assert replace(record, text="Talc 2 oz").formula().lines[0].amount == 2  # another record, another reading
    assert len(calls) == 2
    assert record == demo.record("complexion")


def test_what_the_book_says_of_its_measures_is_kept():
    """A record of before the field opens with none; one with it pours by what the book says (Packer 1830, l. 1489: wine measure)."""
    before = '{"histkit-record": 1, "text": "Water, 1 pint", "source": {"country": "GB", "year": 1861, "kind": "household receipt book"}}'
    old = hk.Record.from_json(before)
    assert old.source.measures == ""
    said = hk.Record.from_json(before.replace('"GB"', '"GB", "measures": "wine measure"'))
    assert hk.Record.from_json(said.to_json()) == said
    pints = [record.translation().lines[0].grams.best for record in (old, said)]
    assert pints[1] / pints[0] == pytest.approx(473.176473 / 568.26125)


def test_the_next_batch_is_worked_out_once(record):
    """Fault: the panels worked it out four times for one step of a slider."""
    assert record.batch() is record.batch()
    assert replace(record, weighing=replace(record.weighing, grams=30)).batch().grams == 30
