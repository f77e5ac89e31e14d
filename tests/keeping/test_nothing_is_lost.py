"""Whatever a maker does, in whatever order, every text that was ever saved stands in some file of the folder.

Two notebooks work on the same record; in between the file is damaged, goes, or comes from a newer histkit; the history is thinned
as often as it can be.
"""

import contextlib
import json
import shutil
import tempfile
from dataclasses import replace
from pathlib import Path

from hypothesis import HealthCheck, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from histkit.base.errors import HistkitError
from histkit.keeping import history as states
from histkit.keeping.records import Record, Weighing, go_back, history, is_record, load, restore, save
from histkit.panels.state import Desk, with_text

WHICH = st.integers(0, 1)
TEXTS = st.integers(1, 40).map(lambda n: f"Talc, {n} oz.\nStarch, 1 oz.")
NAMES = st.sampled_from(
    [
        "rice powder",
        "rice-powder",
        "Rice Powder",
        "my formula",
        "MY-FORMULA",
        "my formula set aside",
        "œillet",
        "../out",
        "n" * 260,
    ]
)
DAMAGE = st.sampled_from(
    ["", "{", "[" * 2000, "\x00", '{"histkit-record": 2, "text": ', '{"other": 1}', '{"histkit-record": 2, "grams": 1}']
)


class Maker(RuleBasedStateMachine):
    """Two notebooks in a folder, and somebody who harms their file."""

    def __init__(self):
        super().__init__()
        self.folder = Path(tempfile.mkdtemp(prefix="histkit-nothing-is-lost-"))
        self.path = self.folder / "my-formula.json"
        self.saved: set[str] = set()
        self.foreign: dict[str, str] = {}
        """What somebody else put into the file, by a mark in it; it is theirs to remove, as long as it still lies there."""
        self.count = 0

    @initialize()
    def open(self):
        self.before = states.MOST, states.EVERY, states.LATEST
        states.MOST, states.EVERY, states.LATEST = 3, 1, 1
        self.desks = [Desk(self.path), Desk(self.path)]

    def teardown(self):
        if hasattr(self, "before"):
            states.MOST, states.EVERY, states.LATEST = self.before
        shutil.rmtree(self.folder)

    def note(self):
        """What lies in the file now was saved."""
        with contextlib.suppress(HistkitError):
            self.saved.add(load(self.path).text)

    def put(self, text):
        """Somebody else writes into the file. What they wrote there before and nobody touched since, they themselves remove."""
        if self.path.exists():
            present = self.path.read_text(encoding="utf-8")
            self.foreign = {mark: words for mark, words in self.foreign.items() if words != present}
        self.path.write_text(text, encoding="utf-8")

    # -- what a maker does --

    @rule(which=WHICH, text=TEXTS)
    def begin(self, which, text):
        self.desks[which].begin(Record(text=text))
        self.note()

    @rule(which=WHICH)
    def begin_with_an_empty_page(self, which):
        self.desks[which].begin(Record())
        self.note()

    @rule(which=WHICH, text=TEXTS | st.just(""))
    def replace_the_text(self, which, text):
        self.desks[which].edit(lambda record: with_text(record, text)[0])
        self.note()

    @rule(which=WHICH, grams=st.integers(1, 99), times=st.integers(1, 3))
    def move_a_slider(self, which, grams, times):
        for step in range(times):
            self.desks[which].edit(lambda record, step=step: replace(record, weighing=Weighing(grams=grams + step)))
        self.note()

    @rule(which=WHICH, name=NAMES)
    def keep_a_copy(self, which, name):
        try:
            copy = self.folder / self.desks[which].keep_copy(name)
        except HistkitError:
            return
        self.saved.add(load(copy).text)

    @rule(which=WHICH, place=st.integers(0, 9))
    def open_a_kept_one(self, which, place):
        kept = self.desks[which].kept()
        if kept:
            try:
                record = load(kept[place % len(kept)])
            except HistkitError:
                return
            self.desks[which].begin(record)
            self.note()

    @rule()
    def restore(self):
        try:
            restore(self.path)
        except HistkitError:
            return
        self.note()

    @rule(place=st.integers(0, 30))
    def go_back(self, place):
        kept = history(self.path)
        if kept:
            go_back(self.path, kept[place % len(kept)].number)
            self.note()

    @rule(which=WHICH)
    def open_the_notebook_anew(self, which):
        self.desks[which] = Desk(self.path)

    @rule(text=TEXTS)
    def save_from_a_script(self, text):
        try:
            save(Record(text=text), self.path)
        except HistkitError:
            return
        self.note()

    # -- what befalls the file --

    @rule(damage=DAMAGE)
    def damage(self, damage):
        self.put(damage)

    @rule()
    def cut_it_off(self):
        if self.path.exists():
            self.put(self.path.read_text(encoding="utf-8")[:-5])

    @rule(version=st.integers(2, 4))
    def put_a_record_by_hand_or_of_a_newer_version(self, version):
        self.count += 1
        mark = f"Foreign powder, {self.count} oz."
        words = json.dumps({"histkit-record": version, "text": mark})
        self.put(words)
        self.foreign[mark] = words

    @rule()
    def delete_the_file(self):
        if self.path.exists():
            self.put("")
            self.path.unlink()

    # -- what holds all the time --

    def everything(self):
        return [p.read_text(encoding="utf-8") for p in self.folder.rglob("*") if p.is_file()]

    @invariant()
    def every_text_that_was_saved_stands_in_some_file(self):
        written = "\0".join(self.everything())
        for text in self.saved:
            assert json.dumps(text, ensure_ascii=False) in written, text
        for mark in self.foreign:
            assert mark in written, mark

    @invariant()
    def nothing_is_left_half_done(self):
        assert not [p for p in self.folder.rglob(".*")]
        for entry in (self.folder / "my-formula.json.history").glob("*.json"):
            assert is_record(entry)


Maker.TestCase.settings = settings(
    max_examples=40,
    stateful_step_count=30,
    deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large],
)
TestMaker = Maker.TestCase
