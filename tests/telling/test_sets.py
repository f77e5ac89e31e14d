"""All kinds of pictures by one call, and sets of frames in folders and archives."""

import zipfile

import pytest

from histkit.base.errors import BadValue, Forbidden, RecordError
from histkit.display import frames
from histkit.keeping import example as demo
from histkit.telling.sets import KINDS, draw_sets

SIZE = (640, 360)


def test_every_kind_is_drawn_in_the_order_asked_for():
    drawn, left_out = draw_sets(demo.record("complexion"), KINDS, SIZE)
    assert left_out == ()
    assert list(drawn)[:5] == ["old and new", "shares", "doubtful readings", "what you need", "steps"]
    assert [name for name in drawn if name.startswith("card ")], "and a card for each ingredient"
    assert all(frame.alt and frame.source for made in drawn.values() for frame in made), "each with its description and its book"


def test_what_would_have_to_be_weighed_is_left_out_while_lead_is_in_it():
    record = demo.record("complexion", replaced=False)
    drawn, left_out = draw_sets(record, KINDS, SIZE)
    assert left_out == ("needs", "steps", "step-cards") and "what you need" not in drawn and "old and new" in drawn
    with pytest.raises(Forbidden):
        draw_sets(record, ("needs", "steps"), SIZE)


def test_a_kind_that_nobody_knows_is_refused():
    with pytest.raises(BadValue, match="one of table, bars.*not 'pie'"):
        draw_sets(demo.record("complexion"), ("pie",), SIZE)


@pytest.mark.parametrize("target", ["set", "set.zip"])
def test_progress_is_told_before_each_picture(tmp_path, target):
    drawn, _ = draw_sets(demo.record("complexion"), ("table", "bars"), SIZE)
    told = []
    written = frames.save_set(drawn, tmp_path / target, "svg", lambda *step: told.append(step))
    count = sum(map(len, drawn.values()))
    assert [(done, of) for done, of, _ in told] == [(n, count) for n in range(count)]
    if target == "set":
        assert [path.name for path in written] == [name for _, _, name in told]
    else:
        with zipfile.ZipFile(written[0]) as archive:
            assert [name for name in archive.namelist() if name.endswith(".svg")] == [name for _, _, name in told]


def test_the_same_frames_give_the_same_archive(tmp_path):
    drawn, _ = draw_sets(demo.record("complexion"), ("bars",), SIZE)
    one, other = (frames.save_set(drawn, tmp_path / name, "png")[0].read_bytes() for name in ("a.zip", "b.zip"))
    assert one == other


def test_a_folder_that_cannot_be_made_is_an_error_of_ours(tmp_path):
    (tmp_path / "set").write_text("a file", encoding="utf-8")
    with pytest.raises(RecordError, match="cannot be made"):
        frames.save_set({}, tmp_path / "set")


@pytest.mark.parametrize(("words", "name"), [
    ("Card lead carbonate (white lead)", "card-lead-carbonate-white-lead"), ("  ", "frame"), ("../x", "x"), ("Crème", "crème"),
])  # fmt: skip
def test_names_of_files(words, name):
    assert frames.file_name(words) == name
