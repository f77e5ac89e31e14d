"""What one process makes of the tables and the next one takes from the cache folder."""

from __future__ import annotations

import os
import subprocess
import sys

import pytest

from histkit import glossary
from histkit.base import stored as storing
from histkit.base.stored import MOST_STATES, stored, stored_by_key
from histkit.glossary.caches import forget_the_tables
from histkit.glossary.index import NameIndex, shipped
from histkit.glossary.spotting import spots
from histkit.glossary.stretches import names_of


@pytest.fixture
def folder(tmp_path, monkeypatch):
    """An empty cache folder."""
    place = tmp_path / "kept"
    monkeypatch.setattr(storing, "folder", lambda: place)
    return place


def of_state(word, monkeypatch):
    monkeypatch.setattr(storing, "state", lambda: word)


def never():
    raise AssertionError("made again")


MADE = {"orris": ("iris",), "talc": ("talc", 2.75, None, [True])}


def test_the_next_process_makes_nothing(folder):
    assert stored("names", lambda: MADE) == MADE
    assert stored("names", never) == MADE
    assert [path.suffix for path in folder.iterdir()] == [".stored"]


def test_a_large_mapping_is_unpacked_by_the_piece(folder):
    first = stored_by_key("pieces", lambda: MADE)
    again = stored_by_key("pieces", never)
    assert dict(first) == dict(again) == MADE
    assert list(again) == list(MADE)
    assert len(again) == 2
    assert "talc" in again
    assert "chalk" not in again
    with pytest.raises(KeyError):
        again["chalk"]


@pytest.mark.parametrize(
    "damage", [lambda data: b"", lambda data: data[:-3], lambda data: data[:9] + b"\x00" + data[10:], lambda data: b"\x00" * 64]
)
def test_a_damaged_file_is_made_anew(folder, damage):
    stored("names", lambda: MADE)
    (path,) = folder.iterdir()
    path.write_bytes(damage(path.read_bytes()))
    assert stored("names", lambda: {"made": "anew"}) == {"made": "anew"}
    assert stored("names", never) == {"made": "anew"}


def test_another_state_of_the_files_is_made_anew_and_old_ones_go(folder, monkeypatch):
    for number in range(MOST_STATES + 3):
        of_state(f"{number}", monkeypatch)
        assert stored("names", lambda number=number: number) == number
        (path,) = folder.glob(f"names-{number}.stored")
        os.utime(path, (number, number))
    assert sorted(path.stem for path in folder.iterdir()) == [f"names-{number}" for number in range(3, MOST_STATES + 3)]


def test_a_touched_table_is_another_state(tmp_path, monkeypatch):
    table = tmp_path / "names.csv"
    table.write_text("name\n")
    monkeypatch.setattr(storing, "data_folder", lambda: tmp_path)
    before = storing.state.__wrapped__()
    assert storing.state.__wrapped__() == before
    table.write_text("name\norris\n")
    assert storing.state.__wrapped__() != before


def test_nothing_is_said_where_nothing_can_be_kept(tmp_path, monkeypatch):
    (tmp_path / "taken").write_text("a file, no folder")
    monkeypatch.setattr(storing, "folder", lambda: tmp_path / "taken")
    assert stored("names", lambda: MADE) == MADE
    assert stored("names", lambda: MADE) == MADE


def test_what_is_kept_is_what_was_made(folder):
    made, again = NameIndex(), NameIndex()
    for index in ("exact", "keys", "latin", "german", "own_words"):
        assert getattr(made, index) == getattr(again, index), index
    one, other = names_of.__wrapped__(made), names_of.__wrapped__(again)
    for names in ("plain", "latin", "longest", "longest_latin"):
        assert getattr(one, names) == getattr(other, names), names
    assert len(list(folder.iterdir())) == 6


@pytest.fixture
def forgotten():
    """The glossary as a new process has it; and again afterwards."""
    forget_the_tables()
    shipped.cache_clear()
    yield
    glossary.use(None)
    forget_the_tables()
    shipped.cache_clear()


def test_kept_ingredients_are_those_of_the_tables(folder, forgotten):
    read = glossary.load()
    for _ in range(2):
        forget_the_tables()
        assert list(glossary.ingredients) == list(read)
        assert all(glossary.ingredients[key] == read[key] for key in list(read)[::7])
    assert len(list(folder.iterdir())) == 1


def test_a_makers_own_rows_are_not_kept(folder, forgotten, tmp_path):
    """They may change at any time, and are no files of the package."""
    own = tmp_path / "own"
    own.mkdir()
    (own / "names.csv").write_text(
        "ingredient,name,language,form,period,region,certainty,source\ntalc,Harborne's earth,en,trade,,,certain,mine\n"
    )
    glossary.use(own)
    assert glossary.find("Harborne's earth").ingredient.id == "talc"
    assert len(spots(["Harborne's", "earth"])) == 1
    kept = b"".join(path.read_bytes() for path in folder.iterdir())
    assert b"orris" in kept
    assert b"arborne" not in kept
    glossary.use(None)
    assert glossary.find("Harborne's earth") is None


SEEN = "import histkit; print(histkit.translate(histkit.read('Pulv. rad. irid. two ounces; blanc de perle, 1 drachm')).lines)"


def test_the_answers_of_the_first_and_of_the_next_process(tmp_path):
    places = {name: str(tmp_path) for name in ("HOME", "XDG_CACHE_HOME", "LOCALAPPDATA")}
    answers = [
        subprocess.run([sys.executable, "-c", SEEN], env={**os.environ, **places}, capture_output=True, text=True, check=True).stdout
        for _ in range(2)
    ]
    assert list(tmp_path.rglob("*.stored"))
    assert answers[0] == answers[1]
    assert "iris" in answers[0].lower()
