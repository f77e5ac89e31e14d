"""The history of a record: every saved state, what changed in words, going back, and thinning that loses no word."""

import json
import os
import subprocess
import sys
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from rich_record import rich

import histkit as hk
from histkit import records
from histkit.bench.trials import Trial
from histkit.keeping import example
from histkit.keeping import history as states
from histkit.keeping.differences import differences
from histkit.keeping.history import Entry, too_many, words_of
from histkit.keeping.records import (
    Constraints,
    Correction,
    Known,
    Pressing,
    Record,
    RecordFile,
    Replacement,
    Weighing,
    go_back,
    history,
    load,
    restore,
    save,
)

HERE = Path(__file__).parent.parent
ONE, TWO, THREE = (Record(text=f"Talc, {n} oz.") for n in (1, 2, 3))


def saved(path, *kept):
    for record in kept:
        save(record, path)
    return path


def shown(path):
    return [kept.record for kept in history(path)]


def test_every_saved_state_is_kept_in_its_order(tmp_path):
    path = saved(tmp_path / "powder.json", ONE, TWO, ONE, THREE)
    assert shown(path) == [ONE, TWO, ONE, THREE] and [kept.number for kept in history(path)] == [1, 2, 3, 4]
    assert sorted(p.name for p in (tmp_path / "powder.json.history").iterdir()) == [f"00000{n}.json" for n in (1, 2, 3, 4)]
    assert history(tmp_path / "other.json") == ()


def test_an_entry_is_a_record_like_any_other_and_says_when(tmp_path):
    path = saved(tmp_path / "powder.json", ONE)
    (kept,) = history(path)
    assert load(kept.file) == ONE and kept.file.read_text(encoding="utf-8") == path.read_text(encoding="utf-8")
    os.utime(kept.file, (1_000_000_000, 1_000_000_000))
    assert history(path)[0].time == datetime(2001, 9, 9, 1, 46, 40, tzinfo=UTC)


def test_what_another_program_put_into_the_file_is_kept_before_it_is_written_over(tmp_path):
    path = saved(tmp_path / "powder.json", ONE)
    by_hand = json.dumps({"histkit-record": 1, "text": "By hand, 1 oz."}, indent=4).replace("\n", "\r\n")
    path.write_bytes(by_hand.encode("utf-8"))
    saved(path, TWO)
    assert [record.text for record in shown(path)] == [ONE.text, "By hand, 1 oz.", TWO.text]
    assert history(path)[1].file.read_bytes().decode("utf-8") == by_hand


def test_a_record_from_before_there_was_a_history(tmp_path):
    path = tmp_path / "powder.json"
    path.write_text(ONE.to_json(), encoding="utf-8")
    assert history(path) == ()
    saved(path, TWO)
    assert shown(path) == [ONE, TWO]


def test_damage_done_in_the_file_itself_does_not_reach_the_history(tmp_path):
    path = saved(tmp_path / "powder.json", ONE)
    with path.open("r+b") as file:
        file.truncate(3)
    assert shown(path) == [ONE]


class TestGoingBack:
    def test_it_is_a_new_entry_and_can_be_undone(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE, TWO, THREE)
        assert go_back(path, 1) == ONE == load(path)
        assert go_back(path, 3) == THREE == load(path)
        assert shown(path) == [ONE, TWO, THREE, ONE, THREE]

    def test_what_stood_there_is_kept(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE, TWO)
        path.write_text(THREE.to_json(), encoding="utf-8")
        go_back(path, 1)
        assert shown(path) == [ONE, TWO, THREE, ONE]
        path.write_text("{ broken", encoding="utf-8")
        go_back(path, 2)
        assert load(path) == TWO and (tmp_path / "powder.json.damaged").read_text(encoding="utf-8") == "{ broken"
        path.unlink()
        go_back(path, 1)
        assert load(path) == ONE

    def test_a_state_that_is_not_there_or_cannot_be_read(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE, TWO)
        with pytest.raises(hk.BadValue, match="no state 7; it has 1 to 2"):
            go_back(path, 7)
        with pytest.raises(hk.BadValue, match="it has none"):
            go_back(tmp_path / "other.json", 1)
        history(path)[0].file.write_text("{", encoding="utf-8")
        with pytest.raises(hk.RecordError, match="000001.json is damaged"):
            go_back(path, 1)
        assert load(path) == TWO

    def test_an_open_window_is_told(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE, TWO)
        window = RecordFile(path)
        window.load()
        go_back(path, 1)
        assert window.changed_elsewhere()
        with pytest.raises(records.ChangedElsewhere):
            window.save(THREE)


class TestUnreadable:
    """What cannot be read is set aside under a new name each time, or not written over at all."""

    @pytest.mark.parametrize(
        "text", ["{ broken", '{"histkit-record": 99, "text": "from the future"}', "", "\x00\x01", "[" * 50_000]
    )
    def test_twice_damaged_is_kept_twice(self, tmp_path, text):
        path = saved(tmp_path / "powder.json", ONE)
        for number in ("", "-2", "-3"):
            damaged = text + " " * len(number)
            path.write_text(damaged, encoding="utf-8")
            window = RecordFile(path)
            assert window.save(TWO, over=True, aside=True).name == f"powder.json.damaged{number}"
            assert (tmp_path / f"powder.json.damaged{number}").read_text(encoding="utf-8") == damaged and load(path) == TWO
        assert RecordFile(path).save(THREE, over=True, aside=True) is None, "what can be read is not set aside"

    def test_what_cannot_be_copied_is_not_written_over(self, tmp_path):
        path = tmp_path / "powder.json"
        with path.open("wb") as file:
            file.truncate(20_000_000)
        with pytest.raises(hk.RecordError, match="20 MB"):
            RecordFile(path).save(ONE, over=True, aside=True)
        assert path.stat().st_size == 20_000_000
        path.unlink()
        path.mkdir()
        with pytest.raises(hk.RecordError, match="no file"):
            RecordFile(path).save(ONE, over=True, aside=True)
        with pytest.raises(hk.RecordError, match="no file"):
            restore(path)

    def test_what_another_window_mended_is_not_set_aside_nor_written_over(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE)
        window = RecordFile(path)
        window.load()
        save(TWO, path)
        with pytest.raises(records.ChangedElsewhere):
            window.save(THREE, aside=True)
        assert load(path) == TWO and not (tmp_path / "powder.json.damaged").exists()

    def test_odd_things_in_the_folder_of_the_history(self, tmp_path):
        path = saved(tmp_path / "powder.json", ONE)
        folder = tmp_path / "powder.json.history"
        (folder / "notes.txt").write_text("mine", encoding="utf-8")
        (folder / "000007.json").mkdir()
        (folder / "000009.json").symlink_to(folder / "nowhere.json")
        (folder / "000012.json").write_text("[" * 100_000, encoding="utf-8")
        save(TWO, path)
        assert [(kept.number, kept.record) for kept in history(path)] == [(1, ONE), (12, None), (13, ONE), (14, TWO)]
        assert "nested" in history(path)[1].changes[0] and not (folder / "nowhere.json").exists()

    def test_a_planted_link_or_file_in_its_place_is_refused(self, tmp_path):
        (tmp_path / "elsewhere").mkdir()
        (tmp_path / "powder.json.history").symlink_to(tmp_path / "elsewhere")
        with pytest.raises(hk.RecordError, match="is a link"):
            save(ONE, tmp_path / "powder.json")
        assert list((tmp_path / "elsewhere").iterdir()) == [] and not (tmp_path / "powder.json").exists()
        (tmp_path / "other.json.history").write_text("mine", encoding="utf-8")
        with pytest.raises(hk.RecordError, match="something else has that name"):
            save(ONE, tmp_path / "other.json")

    def test_who_may_write_beside_the_record_may_write_its_history(self, tmp_path):
        tmp_path.chmod(0o770)
        saved(tmp_path / "powder.json", ONE)
        assert (tmp_path / "powder.json.history").stat().st_mode & 0o777 == 0o770


def test_a_kill_between_history_and_record_loses_nothing(tmp_path):
    path = saved(tmp_path / "powder.json", ONE)
    code = f"""
import os
from histkit import records
from histkit.keeping import files
files.write_atomically = lambda *_: os.kill(os.getpid(), 9)
records.save(records.Record(text="Talc, 2 oz."), {str(path)!r})
"""
    assert subprocess.run([sys.executable, "-c", code], cwd=HERE, check=False).returncode == -9
    assert load(path) == ONE and shown(path) == [ONE, TWO]
    save(THREE, path)
    assert shown(path) == [ONE, TWO, ONE, THREE], "the file went back to the first in between, and it says so"


def test_two_programs_at_once_both_have_all_their_states(tmp_path):
    path = saved(tmp_path / "powder.json", ONE)
    code = f"""
import sys
from histkit import records
for number in range(25):
    records.save(records.Record(text=f"{{sys.argv[1]}}, {{number}} oz."), {str(path)!r})
"""
    children = [subprocess.Popen([sys.executable, "-c", code, name], cwd=HERE) for name in ("Talc", "Starch")]
    assert [child.wait() for child in children] == [0, 0]
    texts = {record.text for record in shown(path)}
    assert texts >= {f"{name}, {number} oz." for name in ("Talc", "Starch") for number in range(25)}


class TestThinning:
    """Many entries become fewer, the ones in the middle of a movement first, and no word goes with them."""

    @staticmethod
    def states(*entries):
        """(time, words) of each, numbered from 1, of 10 bytes."""
        return [
            (Entry(n, time, 10, Path(f"{n:06}.json")), None if words is None else frozenset(words))
            for n, (time, words) in enumerate(entries, start=1)
        ]

    @staticmethod
    def gone(states, most, most_bytes=10**9, latest=1):
        return sorted(entry.number for entry in too_many(states, most, most_bytes, latest))

    def test_few_stay_as_they_are(self):
        assert self.gone(self.states((0, "a"), (1, "a")), 2) == []

    def test_what_was_soonest_followed_goes_first(self):
        movement = self.states((0, "a"), (100, "a"), (100.1, "a"), (100.2, "a"), (200, "a"))
        assert self.gone(movement, 3) == [2, 3] and self.gone(movement, 4) == [2] and self.gone(movement, 1) == [1, 2, 3, 4]

    def test_a_word_that_stands_in_no_later_one_stays(self):
        assert self.gone(self.states((0, "ab"), (1, "a"), (2, "a"), (3, "a")), 1) == [2, 3]
        assert self.gone(self.states((0, "a"), (1, "b"), (2, "c")), 1) == []

    def test_what_cannot_be_read_stays_and_holds_no_word(self):
        assert self.gone(self.states((0, "a"), (1, None), (2, "b")), 1) == []
        assert self.gone(self.states((0, "a"), (1, None), (2, "a")), 1) == [1]

    def test_the_latest_stay(self):
        assert self.gone(self.states(*((n, "a") for n in range(10))), 1, latest=4) == [1, 2, 3, 4, 5, 6]
        assert self.gone(self.states(*((n, "") for n in range(3))), 0, latest=0) == [1, 2], "the very last in any case"

    def test_by_bytes_too(self):
        assert self.gone(self.states(*((n, "a") for n in range(10))), 100, most_bytes=45) == [1, 2, 3, 4, 5, 6]

    @given(
        st.lists(st.tuples(st.floats(0, 1e6), st.none() | st.frozensets(st.sampled_from("abcdef"))), max_size=30),
        st.integers(0, 10),
        st.integers(0, 5),
        st.integers(0, 400),
    )
    @settings(deadline=None)
    def test_no_word_is_ever_lost(self, entries, most, latest, most_bytes):
        present = self.states(*sorted(entries, key=lambda entry: entry[0]))
        left = [(entry, words) for entry, words in present if entry not in too_many(present, most, most_bytes, latest)]

        def words(some):
            return set().union(*(found or () for _, found in some))

        assert words(left) == words(present) and left[-max(latest, 1) :] == present[-max(latest, 1) :]
        assert all(state in left for state in present if state[1] is None)

    @given(
        st.lists(st.frozensets(st.sampled_from("abcd")), min_size=1, max_size=12),
        st.lists(st.booleans(), min_size=12, max_size=12),
    )
    @settings(deadline=None)
    def test_two_programs_that_thin_at_once_lose_no_word(self, entries, seen):
        """One of them has not seen the newest entries yet; both take away what they think may go."""
        present = self.states(*enumerate(entries))
        newer = sum(seen) % len(present)
        gone = {*too_many(present, 0, 0, 1), *too_many(present[: len(present) - newer], 0, 0, 1)}
        left = [words for entry, words in present if entry not in gone]
        assert set().union(*left) == set().union(*entries)

    def test_words_are_all_texts_and_what_a_maker_found_out(self):
        record = replace(
            example.record(), notes="mine", trials=(Trial(1, 0.05, payoff=4),), corrections=(Correction(0, amount=3.0),)
        )
        words = words_of(json.loads(record.to_json()))
        assert {"mine", record.text, record.source.title, record.replacements[0].reason} <= words
        assert any('"payoff": 4' in word for word in words) and any('"amount": 3.0' in word for word in words)
        moved = replace(record, weighing=replace(record.weighing, grams=77.0), pressing=replace(record.pressing, oil_share=0.04))
        assert words_of(json.loads(moved.to_json())) == words, "a slider adds no word"
        assert words_of([1, None, {"a": "b"}]) == {"b"} and words_of({"trials": "odd"}) == {"odd"}

    def test_a_slider_on_its_way_leaves_few_entries_and_every_text(self, tmp_path, monkeypatch):
        monkeypatch.setattr(states, "MOST", 12)
        monkeypatch.setattr(states, "EVERY", 5)
        monkeypatch.setattr(states, "LATEST", 4)
        path = tmp_path / "powder.json"
        for text in ("Talc, 1 oz.", "Kaolin, 1 oz."):
            for grams in range(1, 31):
                save(Record(text=text, weighing=Weighing(grams=grams)), path)
        kept = history(path)
        assert len(kept) <= 12 + 5 and {one.record.text for one in kept} == {"Talc, 1 oz.", "Kaolin, 1 oz."}
        assert [one.record.weighing.grams for one in kept][-4:] == [27, 28, 29, 30]
        assert [one.number for one in kept] == sorted(one.number for one in kept) and kept[-1].number == 60

    def test_an_entry_that_cannot_be_removed_is_no_trouble(self, tmp_path, monkeypatch):
        monkeypatch.setattr(states, "MOST", 1)
        monkeypatch.setattr(states, "EVERY", 1)
        monkeypatch.setattr(states, "LATEST", 1)
        path = tmp_path / "powder.json"

        def refused(_):
            raise PermissionError(13, "Permission denied")

        for grams in (1, 2, 3):
            with monkeypatch.context() as patch:
                patch.setattr("pathlib.Path.unlink", refused)
                save(Record(text="Talc, 1 oz.", weighing=Weighing(grams=grams)), path)
        assert len(history(path)) == 3 and load(path).weighing.grams == 3


class TestInWords:
    """What changed, as a maker would say it."""

    START = Record(text="Talc, 4 oz.\nWhite lead, 1 oz.", source=hk.Source(title="A book", year=1871))

    @pytest.mark.parametrize(("change", "words"), [
        ({"text": "Talc, 4 oz.\nKaolin, 1 oz."}, ("out of the text: 'White lead, 1 oz.'", "into the text: 'Kaolin, 1 oz.'")),
        ({"text": ""}, ("the text was emptied; it was 'Talc, 4 oz. White lead, 1 oz.'",)),
        ({"text": "Starch, 1 lb."}, ("another text: 'Starch, 1 lb.'",)),
        ({"text": "White lead, 1 oz.\nTalc,  4 oz."}, ("the lines of the text stand otherwise",)),
        ({"source": hk.Source(title="Another book", year=None)}, ("the book's title: 'A book' → 'Another book'", "the book's year: 1871 → nothing")),
        ({"convention": "avoirdupois-gb"}, ("the measures changed",)),
        ({"corrections": (Correction(1, amount=2.0),)}, ("line 2 was put right",)),
        ({"replacements": (Replacement("lead-carbonate", (("zinc-oxide", 0.7),)),)}, ("in place of lead carbonate: 0.7 g zinc oxide",)),
        ({"replacements": (Replacement("lead-carbonate", ()),)}, ("in place of lead carbonate: nothing, it is left out",)),
        ({"constraints": Constraints(avoid=("talc",))}, ("what is not wanted, or whose law counts changed",)),
        ({"pressing": Pressing()}, ("it is pressed into a cake",)),
        ({"weighing": Weighing(grams=25, pans=3, cupboard=(("talc", 5.0),))}, ("grams to make: 60 → 25", "pans: 0 → 3", "what is at hand changed")),
        ({"trials": (Trial(1, 0.05),)}, ("test presses: 0 → 1",)),
        ({"batches": (Weighing(number="1"),)}, ("batches made: 0 → 1",)),
        ({"notes": "x", "prices": (("talc", 0.1),), "currency": "EUR"}, ("the notes changed", "the prices changed", "the currency changed")),
        ({}, ()),
    ])  # fmt: skip
    def test_each_entry(self, change, words):
        assert differences(self.START, replace(self.START, **change)) == words

    def test_back_again_and_from_nothing(self):
        full = replace(
            self.START,
            corrections=(Correction(1, amount=2.0),),
            replacements=(Replacement("talc", (("kaolin", 1.0),)),),
            pressing=Pressing(),
            trials=(Trial(1, 0.05),),
        )
        assert differences(full, self.START) == (
            "line 2 is read as printed again",
            "talc is kept as printed",
            "it stays a loose powder",
            "test presses: 1 → 0",
        )
        assert differences(full, replace(full, pressing=Pressing(binder_share=0.08, oil=None))) == (
            "share of the binder: 0.05 → 0.08",
            "oil: 'jojoba-oil' → nothing",
        )
        assert differences(full, replace(full, trials=(Trial(1, 0.05, payoff=3),))) == ("test presses: more was noted",)
        assert differences(replace(self.START, text=" "), self.START) == ("the text was put in: 'Talc, 4 oz. White lead, 1 oz.'",)
        assert differences(None, self.START) == ("first kept: 'Talc, 4 oz. White lead, 1 oz.'",)
        assert differences(None, Record()) == ("first kept: an empty page",)
        assert len(differences(None, Record(text="x" * 500))[0]) < 70

    def test_every_entry_of_a_record_has_words(self):
        """Whatever is changed, something is said of it."""
        full = replace(rich(), constraints=Constraints(avoid=("talc",)), known=(Known("sachet base", "my own"),), kept_as="x")
        for name in full.__dataclass_fields__:
            changed = replace(full, **{name: getattr(Record(), name)})
            assert differences(full, changed) and differences(changed, full), name
