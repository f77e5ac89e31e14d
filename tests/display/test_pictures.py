"""Pictures of the table: exact sizes, safe area, size of type, contrast, glyphs, nothing cut off, the frames of long tables.

Extents are measured on the drawn Matplotlib artists, not on our own layout.
"""

import io
import re
import warnings
import zlib
from functools import cache

import invented_powder as ip
import numpy
import pytest
from PIL import Image

from histkit.base.descriptions import Listing
from histkit.base.errors import BadValue
from histkit.bench import describing as bench
from histkit.bench.steps import process_steps
from histkit.display import frames, palette, pictures
from histkit.display.frames import Bar, Frame, Words
from histkit.display.lettering import drawable, font_path, wrap
from histkit.keeping import example as demo
from histkit.telling import describing
from histkit.telling.comparing import compare
from histkit.translating.describing import doubtful_amounts

SIZES = ((1920, 1080), (3840, 2160), (1080, 1920), (1080, 1080), (1280, 720), (2160, 3840))
LONG_REASON = "because " + "; ".join(f"reason number {n} is told at some length and in full" for n in range(1, 60))


def cards(size) -> dict[str, tuple[Frame, ...]]:
    return {name: pictures.draw(card, size) for name, card in describing.cards(ip.table()).items()}


@cache
def all_kinds(size) -> dict[str, tuple[Frame, ...]]:
    table = ip.table()
    return {
        "table": table.frames(size),
        "dark table": table.frames(size, theme="dark"),
        "old alone": compare(ip.translation()).frames(size),
        "long table": ip.table(repeat=4).frames(size),
        "long reason": ip.table(reason=LONG_REASON).frames(size),
        "bars": pictures.draw(describing.shares(table), size),
        "spread": pictures.draw(doubtful_amounts(ip.translation()), size),
        "need": pictures.draw(bench.needs(ip.made_batch()), size),
        "steps": pictures.draw(bench.steps("At the bench", process_steps()), size),
        **{f"card of {name}": drawn for name, drawn in cards(size).items()},
    }


def letters(text: str) -> str:
    return re.sub(r"\s+", "", text)


# -- promises of every picture ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920), (1080, 1080)])
def test_all_text_lies_in_the_safe_area_and_is_large_enough(size):
    wide, high = size
    for kind, made in all_kinds(size).items():
        for frame in made:
            figure = frames.figure(frame)
            figure.canvas.draw()
            renderer = figure.canvas.get_renderer()
            assert len(figure.texts) == len(frame.words) > 0
            for artist in figure.texts:
                box = artist.get_window_extent(renderer)
                inside = (
                    box.x0 >= 0.05 * wide - 1
                    and box.x1 <= 0.95 * wide + 1
                    and box.y0 >= 0.05 * high - 1
                    and box.y1 <= 0.95 * high + 1
                )
                assert inside, f"{kind}: {artist.get_text()!r} at {box}"
                assert artist.get_fontsize() * figure.dpi / 72 >= high / 36 - 1e-6, f"{kind}: {artist.get_text()!r}"


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920), (1080, 1080)])
def test_no_words_lie_over_other_words(size):
    for kind, made in all_kinds(size).items():
        for frame in made:
            boxes = [(w, w.box()) for w in frame.words]
            for n, (one, a) in enumerate(boxes):
                for other, b in boxes[n + 1 :]:
                    across = min(a[2], b[2]) - max(a[0], b[0])
                    down = min(a[3], b[3]) - max(a[1], b[1])
                    # Lines of one paragraph share a hair of their ascenders' and descenders' room.
                    assert across <= 1 or down <= 0.12 * min(one.size, other.size), f"{kind}: {one.text!r} over {other.text!r}"


@pytest.mark.parametrize("size", SIZES)
def test_png_has_exactly_the_size_asked_for(size, tmp_path):
    for path in ip.table().to_picture(tmp_path / "t.png", size=size):
        with Image.open(path) as picture:
            assert picture.size == size
            assert picture.mode == "RGB"


@pytest.mark.parametrize("size", [(1001, 777), (333, 1000), (2047, 1153)])
def test_odd_sizes_are_exact_too(size):
    frame = ip.table().frames(size)[0]
    assert Image.open(io.BytesIO(frames.to_bytes(frame, "png"))).size == size


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920)])
def test_svg_and_pdf_have_the_same_proportions(size, tmp_path):
    table = ip.table()
    svg = table.to_picture(tmp_path / "t.svg", size=size)[0].read_text(encoding="utf-8")
    width, height = (float(v) for v in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
    assert width / height == pytest.approx(size[0] / size[1], rel=1e-6)
    assert "<desc>Table of old and new" in svg
    assert 'role="img"' in svg
    assert "font-family" not in svg  # letters are outlines: no font has to be there where it is shown
    pdf = table.to_picture(tmp_path / "t.pdf", size=size)[0].read_bytes()
    left, top, right, bottom = (float(v) for v in re.search(rb"/MediaBox \[ ?([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)", pdf).groups())
    assert (right - left) / (bottom - top) == pytest.approx(size[0] / size[1], rel=1e-6)
    assert b"/FontFile2" in pdf  # the face is embedded


def test_the_same_table_gives_the_same_bytes():
    frame = ip.table().frames((640, 360))[0]
    for kind in ("png", "svg", "pdf"):
        assert frames.to_bytes(frame, kind) == frames.to_bytes(frame, kind)


HEADS = {"As printed", "As printed, and today", "Today", "then, %", "now, %", "weigh, g", "Change and why"}


def by_columns(made: tuple[Frame, ...]) -> str:
    """All words below the titles, without column heads: words that begin at the same place of a frame follow each other."""
    columns: dict[int, list[str]] = {}
    for frame in made:
        first_rule = min(item.y for item in frame.items if isinstance(item, Bar))
        for words in sorted((w for w in frame.words if w.y > first_rule and w.text not in HEADS), key=lambda w: w.y):
            columns.setdefault(round(words.x), []).append(words.text)
    return letters("".join("".join(texts) for texts in columns.values()))


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("variant", [{}, {"repeat": 4}, {"reason": LONG_REASON}], ids=["plain", "long", "long reason"])
def test_nothing_is_cut_off_in_the_table(size, variant):
    table = ip.table(**variant)
    made = table.frames(size)
    drawn, columns = letters("".join(frame.text() for frame in made)), by_columns(made)
    assert letters(table.title) in drawn
    assert letters(table.citation()) in drawn
    for row in table.rows:
        assert letters(row.today) in columns
        assert letters(" ".join((row.printed, *row.signs))) in columns
        if row.fate != "stand-in" and row.change != "kept":  # the row above tells what a stand-in is for
            assert letters(row.change) in columns
        assert all(letters(figure) in drawn for figure in table.figures(row))
    for note in table.footnotes:
        assert letters(note.text) in columns


@pytest.mark.parametrize("name", demo.names())
def test_no_word_is_broken_while_there_is_room(name):
    table = demo.record(name).table()
    drawn = set(" ".join(frame.text() for frame in table.frames((1920, 1080))).split())
    for row in table.rows:
        texts = (row.printed, row.today, row.change if row.fate != "stand-in" else "")
        assert {word for text in texts for word in text.split()} <= drawn


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920)])
def test_an_endless_title_leaves_room_for_the_table(size):
    from dataclasses import replace

    table = replace(ip.table(), title="A powder of endless praise " * 60)
    made = table.frames(size)
    for frame in made:
        assert all(w.box()[3] <= 0.95 * size[1] + 1 for w in frame.words)
        assert "…" in frame.text()
    assert letters(table.title) in letters(made[0].alt)


def test_a_table_without_any_weight_can_be_shown():
    from dataclasses import replace

    lines = tuple(replace(t, grams=None, share=None) for t in ip.translation().lines)
    table = compare(replace(ip.translation(), lines=lines))
    assert table.then_total is None
    assert "Total" in table.frames((1920, 1080))[-1].text()
    with pytest.raises(BadValue, match="no line of this table has a share"):
        describing.shares(table)


def test_a_word_longer_than_a_line_is_broken_not_lost():
    word = "hexamethylenetetramine" * 6
    lines = wrap(f"a {word} b", 30, 300)
    assert "".join(lines).replace(" ", "") == f"a{word}b"
    assert len(lines) > 3


# -- colours --------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("theme", palette.THEMES.values(), ids=lambda t: t.name)
def test_contrast_of_all_text_colours(theme):
    for colour in theme.text_colours:
        assert palette.contrast(colour, theme.paper) >= palette.LEAST_CONTRAST
    for colour in (theme.shade, theme.new):
        assert palette.contrast(colour, theme.paper) >= palette.LEAST_GRAPHIC_CONTRAST


def test_contrast_is_the_one_of_wcag():
    # WCAG 2.2, definition of contrast ratio: black on white is 21, a colour on itself 1; #767676 on white is the known 4.54.
    assert palette.contrast("#000000", "#ffffff") == pytest.approx(21)
    assert palette.contrast("#123456", "#123456") == 1
    assert palette.contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


# Machado, Oliveira and Fernandes 2009 (doi:10.1109/TVCG.2009.113), severity 1.0, linear RGB (memory).
BLIND = {
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}


@pytest.mark.parametrize("kind", BLIND)
@pytest.mark.parametrize("theme", palette.THEMES.values(), ids=lambda t: t.name)
def test_old_and_new_stay_apart_for_the_colour_blind(theme, kind):
    def seen(colour: str) -> list[float]:
        linear = [((int(colour[i : i + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for i in (1, 3, 5)]
        return [min(1.0, max(0.0, sum(w * c for w, c in zip(row, linear, strict=True)))) for row in BLIND[kind]]

    def lab(rgb: list[float]) -> tuple[float, float, float]:
        x = (0.4124 * rgb[0] + 0.3576 * rgb[1] + 0.1805 * rgb[2]) / 0.9505
        y = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]
        z = (0.0193 * rgb[0] + 0.1192 * rgb[1] + 0.9505 * rgb[2]) / 1.089
        f = [v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in (x, y, z)]
        return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])

    for one, other in ((theme.old, theme.new), (theme.shade, theme.new)):
        a, b = lab(seen(one)), lab(seen(other))
        assert sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 > 20


@pytest.mark.parametrize("name", palette.THEMES)
def test_contrast_and_safe_area_measured_on_the_drawn_pixels(name):
    """Nothing at all is drawn outside the middle 90 %, and each piece of text reaches 4.5:1 against its paper."""
    size = (1920, 1080)
    table = ip.table()
    kinds = {
        "table": table.frames(size, theme=name),
        "bars": pictures.draw(describing.shares(table), size, name),
        "spread": pictures.draw(doubtful_amounts(ip.translation()), size, name),
        "steps": pictures.draw(bench.steps("At the bench", process_steps()), size, name),
    }
    for kind, made in kinds.items():
        frame = made[0]
        drawn = numpy.asarray(Image.open(io.BytesIO(frames.to_bytes(frame, "png"))))
        paper = tuple(drawn[0, 0])
        margin = drawn.copy()
        margin[54:-54, 96:-96] = paper
        assert (margin == paper).all(), f"{kind}: something is drawn outside the safe area"
        behind = "#{:02x}{:02x}{:02x}".format(*paper)
        for words in frame.words:
            left, top, right, bottom = (round(v) for v in words.box())
            colours = {tuple(c) for c in drawn[top:bottom, left:right].reshape(-1, 3)}
            best = max(palette.contrast("#{:02x}{:02x}{:02x}".format(*c), behind) for c in colours)
            assert best >= palette.LEAST_CONTRAST, f"{kind}: {words.text!r} has {best:.2f}"


def test_transparent_pictures_have_no_background():
    frame = ip.table().frames((640, 360), transparent=True)[0]
    picture = Image.open(io.BytesIO(frames.to_bytes(frame, "png")))
    assert picture.mode == "RGBA"
    assert picture.getpixel((2, 2))[3] == 0
    assert picture.getchannel("A").getextrema() == (0, 255)


def test_the_drawn_colours_are_the_theme_s():
    for name, theme in palette.THEMES.items():
        for frame in ip.table().frames((1920, 1080), theme=name):
            assert frame.background == theme.paper
            assert {w.colour for w in frame.words} <= set(theme.text_colours)


# -- letters ----------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("face", ["regular", "bold", "oblique"])
def test_the_face_has_every_sign(face):
    from matplotlib.font_manager import get_font

    font = get_font(str(font_path(face)))
    for character in "℥ʒ℈℔♏℞ℳ½⅓⅔¼¾⅛⅜⅝⅞æœāſß†‡§‖¶→−–—×…·£éèçüÆ":
        assert font.get_char_index(ord(character)), f"{character} (U+{ord(character):04X}) in {face}"


def test_the_signs_are_in_the_files_themselves():
    """No reader of a PDF or SVG needs the font: each sign's outline is inside."""
    from fontTools.ttLib import TTFont

    signs = "℥ʒ℈½æ℞"
    frame = Frame(1920, 1080, (Words(signs, 200, 500, 40, "#000000"),), "#ffffff")
    svg = frames.to_bytes(frame, "svg").decode("utf-8")
    outlines = dict(re.findall(r'<path id="(DejaVuSans[^"]*)" d="([^"]+)"', svg))
    used = re.findall(r'<use xlink:href="#(DejaVuSans[^"]*)"', svg)
    assert len(used) == len(set(used)) == len(signs), "six signs, six outlines: none stands for another"
    assert len({outlines[key] for key in used}) == len(signs)

    pdf = frames.to_bytes(frame, "pdf")
    embedded = []
    for packed in re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL):
        try:
            data = zlib.decompress(packed)
        except zlib.error:
            continue
        if data[:4] == b"\0\1\0\0":
            embedded.append(TTFont(io.BytesIO(data)))
    assert embedded and all(m in pdf for m in (b"/FontFile2", b"+DejaVuSans"))
    shapes = [glyph for font in embedded for glyph in font["glyf"].glyphs.values()]
    assert sum(1 for glyph in shapes if len(glyph.data if hasattr(glyph, "data") else b"") > 0) >= len(signs)


def test_what_the_face_lacks_is_shown_as_missing_and_warns_nobody():
    assert drawable("a\u4e2db") == "a�b"
    assert drawable("ﬁne") == "ﬁne"
    assert drawable("½ oz.\n of  æ") == "½\u00a0oz. of æ"
    line = ip.translation(extra=("中国 $x_1$ \\alpha 5 oz.",))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for frame in compare(line).frames((640, 360)):
            frames.to_bytes(frame, "png")


def test_dollar_signs_are_text():
    table = compare(ip.translation(extra=("cost $5 and $6 oz.",)))
    figure = frames.figure(table.frames((1920, 1080))[0])
    assert not any(t.get_parse_math() for t in figure.texts)


# -- frames -----------------------------------------------------------------------------------------------------------------


def test_a_table_that_fits_is_one_file_under_its_own_name(tmp_path):
    table = ip.table(reason="it is a poison")
    assert table.to_picture(tmp_path / "old-and-new.png", size=(1920, 1080)) == [tmp_path / "old-and-new.png"]


def test_a_long_table_runs_over_numbered_frames(tmp_path):
    table = ip.table(repeat=4)
    paths = table.to_picture(tmp_path / "long.png", size=(1280, 720), alt_text=True)
    assert len(paths) > 1
    digits = len(str(len(paths)))
    assert [p.name for p in paths] == ["long.png", *(f"long-{n:0{digits}d}.png" for n in range(2, len(paths) + 1))]
    assert all(p.with_suffix(".txt").read_text(encoding="utf-8").strip() for p in paths)
    made = table.frames((1280, 720))
    for number, frame in enumerate(made, start=1):
        text = frame.text()
        assert f"{number} of {len(made)}" in text
        assert letters(table.title) in letters(text)  # title and source on each
        assert letters(table.citation()) in letters(text)
    assert "Total" in made[-1].text() or any("Total" in f.text() for f in made)
    assert sum("Total" in f.text() for f in made) == 1


def test_frames_are_evenly_filled():
    made = ip.table(repeat=4).frames((1920, 1080))
    counts = [sum(w.face == "oblique" for w in frame.words) for frame in made]
    assert min(counts[:-1]) >= max(counts) / 2
    assert counts[-1] > 0  # the last one has the additions and the totals as well


def test_decimal_points_stand_below_each_other():
    table = compare(ip.translation(), ip.made_batch())
    frame = table.frames((3840, 2160))[0]
    figures = [w for w in frame.words if w.align == "right" and re.fullmatch(r"[\d,]+\.\d+", w.text)]
    from histkit.display.lettering import width

    points = {}
    for words in figures:
        after = width("." + words.text.partition(".")[2], words.size, words.face)
        points.setdefault(round(words.x / 60), set()).add(round(words.x - after))
    assert all(max(p) - min(p) <= 1 for p in points.values())


def test_alt_text_tells_the_whole_table(tmp_path):
    table = ip.table()
    path = table.to_picture(tmp_path / "t.png", size=(1920, 1080))[0]
    with Image.open(path) as picture:
        metadata = picture.text
    assert metadata["Description"].startswith("Table of old and new: Larkspur's White Powder for the Complexion, frame 1 of 2.")
    words = table.describe().spoken.text()
    for row in table.rows:
        assert row.today in words
        assert all(figure in words for figure in table.figures(row) if figure != "–")
    assert "A drop has no fixed size" in words


def test_sets_go_into_a_folder_or_an_archive(tmp_path):
    import zipfile

    sets = {
        "Old and new": ip.table().frames((640, 360)),
        "What you need": pictures.draw(bench.needs(ip.made_batch()), (640, 360)),
    }
    written = frames.save_set(sets, tmp_path / "set")
    assert written[0].name.startswith("01-old-and-new")
    assert all(p.exists() and p.with_suffix(".txt").exists() for p in written)
    archive = frames.save_set(sets, tmp_path / "set.zip")[0]
    with zipfile.ZipFile(archive) as opened:
        assert sorted(n for n in opened.namelist() if n.endswith(".png")) == sorted(p.name for p in written)


@pytest.mark.parametrize(
    "size", [(0, 0), (1920,), (1920, 1080, 3), (1920.5, 1080), (100, 100), (20000, 1000), (5000, 500), (True, 900)]
)
def test_sizes_that_make_no_sense_are_refused(size):
    with pytest.raises(BadValue, match="such as \\(1920, 1080\\)"):
        ip.table().frames(size)


def test_an_unknown_theme_is_refused():
    with pytest.raises(BadValue, match="'light', 'dark'"):
        ip.table().frames((1920, 1080), theme="sepia")


# -- the other kinds ----------------------------------------------------------------------------------------------------------


def test_bars_are_as_long_as_their_shares():
    table = ip.table()
    made = pictures.draw(describing.shares(table), (1920, 1080))
    theme = palette.THEMES["light"]
    now = [
        item for frame in made for item in frame.items if isinstance(item, Bar) and item.colour == theme.new and item.height > 20
    ]
    legend = [b for b in now if b.width == pytest.approx(0.9 / 0.85 * b.height)]
    bars = sorted((b.width for b in now if b not in legend), reverse=True)
    shares = sorted((p.share for p in ip.composition().parts), reverse=True)
    assert len(bars) == len(shares)
    for bar, share in zip(bars, shares, strict=True):
        if bar > 10:  # the least are drawn as a hair, so that they are seen at all
            assert bar / bars[0] == pytest.approx(share / shares[0], rel=1e-6)


def test_the_spread_shows_every_doubtful_line_and_no_other():
    text = "\n".join(f.text() for f in pictures.draw(doubtful_amounts(ip.translation()), (1920, 1080)))
    assert "wheat starch" in text and "rose otto" in text
    assert "talc" not in text
    assert "−33 %" in text and "+50 %" in text
    assert "3 of 7 weighed lines are sure to within 1 %." in text


def test_a_card_says_what_it_was_what_it_is_and_why_it_went():
    card = cards((1920, 1080))["lead carbonate (white lead)"]
    text = letters("".join(f.text() for f in card))
    for words in ("White lead, finely levigated, 2 oz.", "an opaque white pigment", "zinc oxide: share now", "4.98 g", ip.REASON):
        assert letters(words) in text


def test_the_list_of_needs_counts_what_aliquots_leave_over():
    made = ip.made_batch()
    text = "\n".join(f.text() for f in pictures.draw(bench.needs(made), (1920, 1080)))
    for weighing in made.weighings:
        assert weighing.ingredient.name in text
        assert made.balance.text(made.to_weigh[weighing.ingredient.id]) in text


def test_an_empty_list_is_refused():
    with pytest.raises(BadValue, match="nothing on this list"):
        pictures.draw(Listing("Nothing", ()))


def test_frames_hold_only_words_and_bars():
    assert {type(i) for f in ip.table().frames((1920, 1080)) for i in f.items} == {Words, Bar}
