"""Clips: their size, length and rate, what stands in them when, transparency, stills, and what is refused."""

import itertools
from types import SimpleNamespace

import numpy
import pytest
from drawn import pixels
from PIL import Image

from histkit.base.errors import BadValue
from histkit.display import clips, pictures
from histkit.display.clips import Motion
from histkit.keeping import example as demo

av = pytest.importorskip("av")
SIZE = (480, 270)


def ledger():
    return demo.record("complexion").table().describe()


def opened(path):
    """What the file says of its film, and the pictures; asked while it is open: a closed one answers no more."""
    with av.open(str(path)) as film:
        stream = film.streams.video[0]
        told = SimpleNamespace(
            size=(stream.width, stream.height),
            rate=stream.average_rate,
            codec=stream.codec_context.name,
            pixels=stream.pix_fmt,
        )
        return told, [frame.to_ndarray(format="rgba") for frame in film.decode(video=0)]


def ink(picture, ground):
    """How many pixels are not the ground, seen through the noise of an encoder."""
    return int((numpy.abs(picture[:, :, :3].astype(int) - ground).max(axis=2) > 40).sum())


@pytest.mark.parametrize(("size", "rate"), [(SIZE, 25), ((270, 480), 30), ((300, 300), 60)])
def test_a_film_has_its_size_length_and_rate_and_builds_up_to_the_table(tmp_path, size, rate):
    told = []
    written = clips.save(ledger(), tmp_path / "a.mp4", size, motion=Motion(5, rate), progress=lambda *step: told.append(step))
    assert written == [tmp_path / "a.mp4", tmp_path / "a.txt"]
    film, shown = opened(written[0])
    assert (film.size, film.rate) == (size, rate)
    assert (film.codec, film.pixels) == ("h264", "yuv420p")
    assert len(shown) == 5 * rate and told == [(n, 5 * rate) for n in range(1, 5 * rate + 1)]
    ground = shown[0][2, 2, :3].astype(int)
    held = [ink(picture, ground) for picture in shown[:: rate // 5]]
    assert held[0] < 0.6 * held[-1]
    assert all(later >= 0.96 * earlier for earlier, later in itertools.pairwise(held)), "nothing that is there goes again"
    whole = pixels(pictures.draw(ledger(), size)[0]).astype(int)
    assert numpy.abs(shown[-1][:, :, :3].astype(int) - whole[:, :, :3]).mean() < 4, "at the end it is the table"
    assert "wheat starch" in (tmp_path / "a.txt").read_text(encoding="utf-8")


def test_the_book_comes_before_today_and_the_grams_come_last():
    frame = pictures.draw(ledger(), (960, 540))[0]
    scene = clips._Scene(frame, clips._weights(ledger()))
    starts = {how: [p.begins for p in scene.parts if p.how == how] for how in ("from right", "from left", "count")}
    assert max(starts["from right"]) < min(starts["from left"]) <= max(starts["from left"]) < min(starts["count"])
    assert max(p.ends for p in scene.parts) < 0.95, "and then all stands for a while"


def test_grams_count_up_to_themselves():
    frame = pictures.draw(ledger(), (960, 540))[0]
    scene = clips._Scene(frame, clips._weights(ledger()))
    rows = [p.box for p in scene.parts if p.how == "count"]
    first = rows[0]
    seen = {scene.counted[n][first[1] : first[3]].tobytes() for n in range(24)}
    assert len(seen) == 24, "each stage another figure"
    width = {stage.shape[1] for stage in scene.counted}
    assert width == {frame.width - scene.gram_left}


def test_a_calm_film_has_no_half_things(tmp_path):
    calm = clips._pictures(
        scene := clips._Scene(pictures.draw(ledger(), SIZE)[0], clips._weights(ledger())), Motion(5, 25, calm=True), 125
    )
    different = {picture.tobytes() for picture in calm}
    assert len(different) <= len({p.begins for p in scene.parts}) + 1
    whole = pixels(pictures.draw(ledger(), SIZE)[0]).tobytes()
    assert whole in different


def test_transparency_comes_through(tmp_path):
    clips.save(ledger(), tmp_path / "a.mov", SIZE, motion=Motion(5, 25), transparent=True)
    film, shown = opened(tmp_path / "a.mov")
    assert film.codec == "prores" and "yuva444" in film.pixels
    assert shown[-1][1, 1, 3] == 0 and shown[-1][135, 240, 3] > 200, "nothing at the rim, a plate behind the words"
    clips.save(ledger(), tmp_path / "a.webm", SIZE, motion=Motion(5, 25), transparent=True)
    with av.open(str(tmp_path / "a.webm")) as film:
        assert film.streams.video[0].codec_context.name == "vp9" and film.streams.video[0].metadata["alpha_mode"] == "1"
        decoder = av.codec.CodecContext.create("libvpx-vp9", "r")
        first = next(f for packet in film.demux(video=0) for f in decoder.decode(packet))
    assert first.format.name == "yuva420p" and first.to_ndarray(format="rgba")[1, 1, 3] == 0


def test_a_sequence_of_pictures_and_stills(tmp_path):
    written = clips.save(ledger(), tmp_path / "set", SIZE, motion=Motion(5, 25, calm=True), transparent=True, stills=True)
    numbered = sorted((tmp_path / "set").glob("frame-*.png"))
    assert len(numbered) == 125 and Image.open(numbered[0]).mode == "RGBA" and Image.open(numbered[0]).size == SIZE
    stills = [p for p in written if "-step-" in p.name]
    assert len(stills) > 20 and all(p.exists() for p in stills) and written[-1] == tmp_path / "set" / "clip.txt"
    whole = pixels(pictures.draw(ledger(), SIZE, "paper", transparent=True)[0])
    assert (numpy.asarray(Image.open(stills[-1])) == whole).all(), "the last still is the table"


def test_memory_does_not_grow_with_the_length():
    """All frames are the same canvas: nothing is held but the pictures that are mixed."""
    scene = clips._Scene(pictures.draw(ledger(), SIZE)[0], clips._weights(ledger()))
    assert len({id(picture) for picture in clips._pictures(scene, Motion(30, 60), 200)}) == 1


def test_a_table_of_two_frames_is_one_film(tmp_path):
    import invented_powder as ip

    table = ip.table(repeat=4).describe()
    frames = pictures.draw(table, SIZE)
    assert len(frames) > 1
    clips.save(table, tmp_path / "a.mp4", SIZE, motion=Motion(5, 25))
    _, shown = opened(tmp_path / "a.mp4")
    assert abs(len(shown) - 125) <= len(frames)


@pytest.mark.parametrize(("asked", "said"), [
    ({"path": "a.gif"}, r"ends in \.mp4, \.mov or \.webm"),
    ({"path": "a.mp4", "transparent": True}, r"an \.mp4 cannot be transparent"),
    ({"path": "a.mp4", "size": (481, 270)}, "an even number of pixels"),
])  # fmt: skip
def test_what_no_film_can_be_is_refused(tmp_path, asked, said):
    with pytest.raises(BadValue, match=said):
        clips.save(ledger(), tmp_path / asked["path"], asked.get("size", SIZE), transparent=asked.get("transparent", False))
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("wrong", [{"seconds": 4}, {"seconds": 31}, {"rate": 24}, {"seconds": "10"}])
def test_lengths_and_rates_have_bounds(wrong):
    with pytest.raises(BadValue, match=r"5 to 30 seconds|25, 30, 60 frames"):
        Motion(**wrong)


def test_where_it_cannot_be_written_nothing_is_left(tmp_path):
    from histkit.base.errors import HistkitError

    with pytest.raises(HistkitError, match="cannot be written"):
        clips.save(ledger(), tmp_path / "none" / "a.mp4", SIZE, motion=Motion(5, 25))
    assert list(tmp_path.iterdir()) == []
