"""Pictures: exact sizes, safe area, size of type, contrast, letters, nothing cut off, one frame for up to twelve rows."""

import io
import re
import warnings
from functools import cache

import invented_powder as ip
import numpy
import pytest
from drawn import letters, pixels, sound, words_of
from PIL import Image

from histkit.base.descriptions import Bars, Figure, ListEntry, Listing, Spoken
from histkit.base.errors import BadValue
from histkit.base.filmed import PanPlan, Plaque, StandIn, StepCard, Strip, StripRow, Swapped, Warned
from histkit.bench import describing as bench
from histkit.bench.steps import process_steps
from histkit.display import frames, palette, pictures, typesetting
from histkit.display.typography import curled, drawable, parted, printed, words
from histkit.keeping import example as demo
from histkit.telling import describing
from histkit.telling.comparing import compare
from histkit.translating.describing import doubtful_amounts

SIZES = ((1920, 1080), (1080, 1920), (1080, 1080))
LOOKS = ("paper", "light", "dark")
LONG_REASON = "because " + "; ".join(f"reason number {n} is told at some length and in full" for n in range(1, 60))


def film() -> dict:
    """The kinds that a film shows one at a time, made by hand."""
    return {
        "warned": Warned("What was in it", "WHITE LEAD, 1/2 oz.", "lead carbonate", "poison", Figure("12.9 %", 12.9), ("Lead poisons.",), ("Annex II/289",), "an invented book"),
        "swapped": Swapped("In its place", "White lead, 2 oz.", "lead carbonate", "poison", Figure("12.9", 12.9), (StandIn("zinc oxide", Figure("8.3", 8.3), "0.7 g for each gram", "4.97 g"), StandIn("titanium dioxide", Figure("3.5", 3.5))), "it is a poison"),
        "step": StepCard("A powder", 3, 9, "Weigh the wheat starch", "28.41 g", "Into the large bowl."),
        "pan": PanPlan("Three pans", 44, 4, 3, fill=0.9, swatch="#efe6df", facts=(("Each", "6.2 g"),), foot="Common practice."),
        "rectangular pan": PanPlan("One pan", 30, 5, 1, 60),
        "title": Plaque("A white powder for the complexion", "pressed for today", "an invented book"),
        "lower third": Plaque("White lead", "a cumulative poison", kind="lower third"),
        "end": Plaque("A white powder", "", "an invented book", "end", ("Rules differ and change.",)),
        "strip": Strip("Two books", ("1810", "1871"), (StripRow("starch", (Figure("60.0", 60), Figure("51.5", 51.5))), StripRow("zinc oxide", (Figure("–"), Figure("3.0", 3.0)))), ("#ffffff", "#efe6df")),
    }  # fmt: skip


@cache
def all_kinds(size, look="paper"):
    table = ip.table()
    kinds = {
        "table": table.describe(),
        "old alone": compare(ip.translation()).describe(),
        "long table": ip.table(repeat=4).describe(),
        "long reason": ip.table(reason=LONG_REASON).describe(),
        "bars": describing.shares(table),
        "doubts": doubtful_amounts(ip.translation()),
        "need": bench.needs(ip.made_batch()),
        "steps": bench.steps("At the bench", process_steps()),
        "card": describing.cards(table)["lead carbonate (white lead)"],
        **film(),
    }
    return {name: pictures.draw(described, size, look) for name, described in kinds.items()}


# -- promises of every picture ---------------------------------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_every_kind_is_sound(size):
    for made in all_kinds(size).values():
        for frame in made:
            sound(frame)


@pytest.mark.parametrize("look", LOOKS)
def test_every_piece_of_text_has_contrast_in_all_three_looks(look):
    paper = palette.look(look).colour("paper")
    for kind, made in all_kinds((1280, 720), look).items():
        for piece in made[0].pieces():
            assert palette.contrast(piece.colour, paper) >= palette.LEAST_CONTRAST, f"{kind}: {piece.words!r} in {piece.colour}"


@pytest.mark.parametrize("size", [(3840, 2160), (1001, 777), (333, 1000), (2047, 1153)])
def test_png_has_exactly_the_size_asked_for(size, tmp_path):
    for path in ip.table().to_picture(tmp_path / "t.png", size=size):
        with Image.open(path) as picture:
            assert picture.size == size


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920)])
def test_svg_and_pdf_have_the_same_proportions_and_hold_their_letters(size, tmp_path):
    table = ip.table()
    svg = table.to_picture(tmp_path / "t.svg", size=size)[0].read_text(encoding="utf-8")
    width, height = (float(v) for v in re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg).groups())
    assert (width, height) == size
    assert "<desc>Table of old and new" in svg and 'role="img"' in svg
    assert "font-family" not in svg and "<text" not in svg  # letters are outlines: no font has to be there where it is shown
    pdf = table.to_picture(tmp_path / "t.pdf", size=size)[0].read_bytes()
    left, top, right, bottom = (float(v) for v in re.search(rb"/MediaBox ?\[ ?([\d.]+) ([\d.]+) ([\d.]+) ([\d.]+)", pdf).groups())
    assert (right - left) / (bottom - top) == pytest.approx(size[0] / size[1], rel=1e-6)
    assert b"/FontFile" in pdf  # the faces are embedded


def test_the_same_table_gives_the_same_bytes():
    frame = ip.table().frames((640, 360))[0]
    for kind in ("png", "svg", "pdf"):
        assert frames.to_bytes(frame, kind) == frames.to_bytes(frame, kind)


@pytest.mark.parametrize("size", SIZES)
@pytest.mark.parametrize("variant", [{}, {"repeat": 4}, {"reason": LONG_REASON}], ids=["plain", "long", "long reason"])
def test_nothing_is_left_out_of_the_table(size, variant):
    table = ip.table(**variant)
    made = table.frames(size)
    drawn = letters("".join(frame.text() for frame in made))
    assert letters(table.title) in drawn and letters(table.citation()) in drawn and letters(table.caption) in drawn
    for row in table.rows:
        assert letters(row.today) in drawn
        assert letters(row.printed) in drawn
        assert all(letters(figure) in drawn for figure in table.figures(row) if figure != "–")
        assert all(sign in drawn for sign in row.signs)
    for note in table.footnotes:
        assert letters(note.text) in drawn, "a sign without its text says nothing"


@pytest.mark.parametrize("name", demo.names())
@pytest.mark.parametrize("size", [*SIZES, (3840, 2160)])
def test_up_to_twelve_rows_stand_in_one_frame(name, size):
    (frame,) = demo.record(name).table().frames(size)
    assert not frame.report["overflow"] and frame.report["brief"] == 0


def test_an_endless_title_leaves_room_for_the_table():
    from dataclasses import replace

    table = replace(ip.table(), title="A powder of endless praise " * 60)
    for size in SIZES:
        made = table.frames(size)
        assert all("…" in frame.text() and not frame.report["overflow"] for frame in made)
    assert letters(table.title) in letters(made[0].alt)


def test_a_table_without_any_weight_can_be_shown():
    from dataclasses import replace

    lines = tuple(replace(t, grams=None, share=None) for t in ip.translation().lines)
    table = compare(replace(ip.translation(), lines=lines))
    assert table.then_total is None
    assert "Total" in table.frames((1920, 1080))[-1].text()
    with pytest.raises(BadValue, match="no line of this table has a share"):
        describing.shares(table)


# -- what it shows ------------------------------------------------------------------------------------------------------------


def lengths(frame, colour):
    """How many pixels of that colour each row of the picture has."""
    rgb = tuple(int(colour[i : i + 2], 16) for i in (1, 3, 5))
    return (pixels(frame)[:, :, :3] == rgb).all(axis=2).sum(axis=1)


def test_bars_are_as_long_as_the_shares():
    table = demo.record("complexion").table()
    (frame,) = table.frames((1920, 1080), theme="paper")
    for colour, which in (("was", "then_percent"), ("now", "now_percent")):
        kept = [getattr(row, which) for row in table.rows if row.fate == "kept"]
        rows = lengths(frame, palette.look("paper").colour(colour))
        found = []
        for n in range(1, len(rows)):
            if rows[n] and not rows[n - 1]:
                found.append(int(rows[n : n + 12].max()))
        long = [(bar, share) for bar, share in zip(found, kept, strict=True) if share > 3]
        assert len(long) >= 3
        for bar, share in long:
            assert bar / long[0][0] == pytest.approx(share / long[0][1], abs=0.02)


def test_a_poison_is_told_by_word_and_form_and_kept_is_silence():
    (frame,) = demo.record("complexion").table().frames((1920, 1080))
    text = frame.text()
    assert "POISON" in text and "white lead is a cumulative poison" in text and "in its place" in text
    assert "kept" not in text
    line = next(line for entry in frame.data["entries"] for line in entry["lines"] if line["mark"])
    assert line["gone"] and line["today"] == "lead carbonate", "its name is struck through and its bar hatched"
    record = demo.record("complexion", replaced=False)
    still = next(line for e in record.table().frames((1920, 1080))[0].data["entries"] for line in e["lines"] if line["mark"])
    assert still["mark"] == "poison", "and all the more while it is still in it"
    rows = lengths(record.table().frames((1920, 1080))[0], palette.look("paper").colour("now"))
    starts = sum(1 for n in range(1, len(rows)) if rows[n] and not rows[n - 1])
    kept = [row for row in record.table().rows if row.fate == "kept"]
    assert starts == len(kept), "its bar of today is hatched too, not plain"


def test_joints_are_left_out_of_the_picture_alone():
    table = demo.record("tinted").table()
    text = words_of(table.frames((1920, 1080)))
    assert "rice starch, half a pound" in text and "Take of" not in text and "and otto" not in text
    assert "Take of rice starch" in table.to_html()


def test_measures_are_told_in_words_for_people():
    assert (
        "Ounces of 28.35 g, as British shops weighed (likely)."
        in demo.record("complexion").table().frames((1920, 1080))[0].text()
    )
    assert "Ounces of 31.10 g, as British apothecaries weighed" in demo.record("tinted").table().caption


def test_a_colour_stands_beside_its_name_where_it_is_known():
    (frame,) = demo.record("tinted").table().frames((1920, 1080))
    swatches = {line["today"]: line["swatch"] for entry in frame.data["entries"] for line in entry["lines"]}
    assert swatches["carmine"] and swatches["zinc oxide"] and not swatches["neroli oil"]
    rgb = tuple(int(swatches["carmine"][i : i + 2], 16) for i in (1, 3, 5))
    assert (pixels(frame)[:, :, :3] == rgb).all(axis=2).sum() > 100


# -- letters ------------------------------------------------------------------------------------------------------------------


def test_words_are_set_as_a_printer_sets_them():
    assert curled("""Larkspur's "White" 'Rose'""") == "Larkspur’s “White” ‘Rose’"
    assert printed("WHITE LEAD, 1 1/2 oz. of it") == [
        ("caps", "White"),
        ("", " "),
        ("caps", "Lead"),
        ("", ", 1\u202f"),
        ("fraction", "1/2"),
        ("", "\u00a0oz. of it"),
    ]
    assert printed("℞ Cretæ ℥iv.") == [("", "℞ Cretæ ℥iv.")], "a lone sign or letter is no word in capitals"
    assert printed("10/11/1871 A. B.") == [("", "10/11/1871\u00a0A. B.")]
    assert words("½ oz.\n of  it") == "½\u00a0oz. of it"
    assert parted("3.16 g") == ("3", ".16 g") and parted("40 g") == ("40", " g")


def test_every_sign_is_in_a_face():
    for character in "℥ʒ℈℔♏℞ℳ½⅓⅔¼¾⅛⅜⅝⅞æœāſß†‡§‖¶→−–—×…·£éèçüÆ’‘“”�":
        assert typesetting.covers(character), f"{character} (U+{ord(character):04X})"


def test_what_no_face_has_is_shown_as_missing_and_warns_nobody():
    assert drawable("a\u4e2db") == "a�b"
    line = ip.translation(extra=("中国 $x_1$ \\alpha 5 oz.",))
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        for frame in compare(line).frames((640, 360)):
            frames.to_bytes(frame, "png")


HOSTILE = ("#panic() 1 oz.", "*bold* $x^2$ 2 oz.", '"] #read("/etc/passwd") 3 oz.', "#import \"x\" <report> @ref 4 oz.", "\\u{41} // gone 5 oz.")  # fmt: skip


def test_what_a_user_typed_is_never_markup():
    from dataclasses import replace

    table = replace(compare(ip.translation(extra=HOSTILE)), title="#let x = 1; *t* $y$ ]")
    text = letters(words_of(table.frames((1920, 1080))))
    for typed in (*HOSTILE, table.title):
        assert letters(typed) in text


# -- looks ----------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", LOOKS)
def test_contrast_of_all_colours(name):
    look = palette.look(name)
    for colour in palette.TEXTS:
        assert palette.contrast(look.colour(colour), look.colour("paper")) >= palette.LEAST_CONTRAST
    for colour in palette.BARS:
        assert palette.contrast(look.colour(colour), look.colour("paper")) >= palette.LEAST_GRAPHIC_CONTRAST


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
@pytest.mark.parametrize("name", LOOKS)
def test_old_and_new_stay_apart_for_the_colour_blind(name, kind):
    def seen(colour: str) -> list[float]:
        linear = [((int(colour[i : i + 2], 16) / 255 + 0.055) / 1.055) ** 2.4 for i in (1, 3, 5)]
        return [min(1.0, max(0.0, sum(w * c for w, c in zip(row, linear, strict=True)))) for row in BLIND[kind]]

    def lab(rgb: list[float]) -> tuple[float, float, float]:
        x = (0.4124 * rgb[0] + 0.3576 * rgb[1] + 0.1805 * rgb[2]) / 0.9505
        y = 0.2126 * rgb[0] + 0.7152 * rgb[1] + 0.0722 * rgb[2]
        z = (0.0193 * rgb[0] + 0.1192 * rgb[1] + 0.9505 * rgb[2]) / 1.089
        f = [v ** (1 / 3) if v > 0.008856 else 7.787 * v + 16 / 116 for v in (x, y, z)]
        return 116 * f[1] - 16, 500 * (f[0] - f[1]), 200 * (f[1] - f[2])

    look = palette.look(name)
    for one, other in (("old", "new"), ("was", "now")):
        a, b = lab(seen(look.colour(one))), lab(seen(look.colour(other)))
        assert sum((p - q) ** 2 for p, q in zip(a, b, strict=True)) ** 0.5 > 20


def test_a_maker_s_own_look_is_a_small_table(tmp_path):
    path = tmp_path / "mine.csv"
    path.write_text("name,value\npaper,#fff8f0\nnow,#502080\nprinted face,New Computer Modern\nmargin,8\n", encoding="utf-8")
    look = palette.look(path)
    assert (look.name, look.colour("now"), look.printed, look.margin) == ("mine", "#502080", "New Computer Modern", 0.08)
    assert look.colour("ink") == palette.look("paper").colour("ink"), "what it leaves out is as on paper"
    for frame in ip.table().frames((1920, 1080), theme=path):
        sound(frame, margin=0.08)
        assert (pixels(frame)[:, :, :3] == (0x50, 0x20, 0x80)).all(axis=2).any()


@pytest.mark.parametrize(("rows", "said"), [
    ("paper,#ffffff\nink,#999999", r"line 3: ink #999999 on paper #ffffff has a contrast of 2\.8; it must be at least 4\.5, so take a darker"),
    ("now,#e0e0e0", "line 2: now #e0e0e0 .* must be at least 3, so take a darker"),
    ("ink,blue", "line 2: ink is a colour like #1f5468, not 'blue'"),
    ("margin,40", "line 2: margin is per cent from 5 to 15, not '40'"),
    ("printed face,Comic", "line 2: the printed face is one of .*Libertinus Serif.*, not 'Comic'"),
    ("inkk,#000000", "line 2: a look has no 'inkk'; it has paper, ink"),
])  # fmt: skip
def test_a_look_that_cannot_be_is_refused_by_its_line(tmp_path, rows, said):
    path = tmp_path / "mine.csv"
    path.write_text(f"name,value\n{rows}\n", encoding="utf-8")
    with pytest.raises(BadValue, match=said):
        palette.look(path)


def test_an_unknown_look_is_refused(tmp_path):
    with pytest.raises(BadValue, match="'paper', 'light', 'dark'"):
        ip.table().frames((1920, 1080), theme="sepia")
    with pytest.raises(BadValue, match="cannot be read"):
        palette.look(tmp_path / "none.csv")
    (tmp_path / "bad.csv").write_text("colour\nred\n", encoding="utf-8")
    with pytest.raises(BadValue, match="the columns name and value"):
        palette.look(tmp_path / "bad.csv")


# -- over film ------------------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("look", LOOKS)
def test_transparent_pictures_can_be_read_over_any_film(look):
    """Over noise of all brightnesses the ground behind the text keeps its contrast to every colour of text."""
    chosen = palette.look(look)
    for described in (ip.table().describe(), film()["lower third"]):
        frame = pictures.draw(described, (640, 360), look, transparent=True)[0]
        drawn = pixels(frame).astype(float)
        assert drawn[2, 2, 3] == 0, "the film shows around it"
        noise = numpy.random.default_rng(7).choice([0.0, 255.0], size=(*drawn.shape[:2], 3))
        alpha = drawn[:, :, 3:] / 255
        over = drawn[:, :, :3] * alpha + noise * (1 - alpha)
        first = frame.pieces()[0]
        ground = drawn[int(first.y) + 2, max(0, int(first.x) - 3), 3]
        assert ground > 200, "a plate lies behind the text"
        plate = over[drawn[:, :, 3] == ground]
        seen = {"#{:02x}{:02x}{:02x}".format(*(int(v) for v in c)) for c in plate[:: max(1, len(plate) // 3000)]}
        for colour in {piece.colour for piece in frame.pieces()}:
            assert min(palette.contrast(colour, behind) for behind in seen) >= palette.LEAST_CONTRAST, (look, colour)
    assert chosen.plate < 1


# -- frames -----------------------------------------------------------------------------------------------------------------


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
        assert f"{number} / {len(made)}" in text
        assert letters(table.title) in letters(text) and letters(table.citation()) in letters(text)  # on each
        assert ("Total" in text) == (number == len(made)), "totals and notes on the last"


def test_frames_are_balanced():
    for size in SIZES:
        rows = ip.table(repeat=4).frames(size)[0].report["rows"]
        assert len(rows) > 1 and min(rows) >= max(rows) / 2


def test_alt_text_tells_the_whole_table(tmp_path):
    table = ip.table()
    path = table.to_picture(tmp_path / "t.png", size=(1920, 1080))[0]
    with Image.open(path) as picture:
        metadata = picture.text
    assert metadata["Description"].startswith("Table of old and new: Larkspur's White Powder for the Complexion.")
    spoken = table.describe().spoken.text()
    assert metadata["Description"] == spoken and metadata["Source"] == table.citation()
    for row in table.rows:
        assert row.today in spoken
        assert all(figure in spoken for figure in table.figures(row) if figure != "–")


def test_every_kind_has_its_words_as_text():
    for kind, made in all_kinds((1920, 1080)).items():
        assert all(frame.alt.strip() and frame.title for frame in made), kind


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


# -- the other kinds ----------------------------------------------------------------------------------------------------------


def test_what_the_cards_for_a_film_say():
    drawn = {name: words_of(pictures.draw(described, (1920, 1080))) for name, described in film().items()}
    assert "POISON" in drawn["warned"] and "Lead poisons." in drawn["warned"] and "Annex II/289" in drawn["warned"]
    assert "zinc oxide" in drawn["swapped"] and "0.7 g for each gram" in drawn["swapped"] and "it is a poison" in drawn["swapped"]
    assert "Weigh the wheat starch" in drawn["step"] and "28.41 g" in drawn["step"] and "3 / 9" in drawn["step"]
    assert "10 mm" in drawn["pan"] and "6.2 g" in drawn["pan"]
    assert "1871" in drawn["strip"] and "51.5" in drawn["strip"]
    assert "an invented book" in drawn["end"] and "Rules differ" in drawn["end"]


def test_a_pan_is_drawn_to_scale():
    """Three pans of 44 mm: the cakes are 44 mm across by the bar of ten millimetres beside them."""
    plan = PanPlan("Three pans", 44, 4, 3, fill=1.0, swatch="#806040")
    (frame,) = pictures.draw(plan, (1920, 1080), "light")
    drawn = pixels(frame)[:, :, :3]
    cake = (drawn == (0x80, 0x60, 0x40)).all(axis=2)
    cuts = cake.sum(axis=1)
    middle = int(numpy.argmax(cuts))
    across = numpy.flatnonzero(cake[middle])
    runs = numpy.split(across, numpy.flatnonzero(numpy.diff(across) > 1) + 1)
    assert len(runs) == 3
    ink = (drawn == tuple(int(palette.look("light").colour("ink")[i : i + 2], 16) for i in (1, 3, 5))).all(axis=2)
    below = ink[cake.any(axis=1).nonzero()[0].max() - 200 :].sum(axis=1)
    assert len(runs[0]) / 44 == pytest.approx(below.max() / 10, rel=0.05)


def test_the_doubts_show_every_doubtful_line_and_no_other():
    text = words_of(pictures.draw(doubtful_amounts(ip.translation()), (1920, 1080)))
    assert "wheat starch" in text and "rose otto" in text
    assert "talc" not in text
    assert "−33 %" in text and "+50 %" in text
    assert "3 of 7 weighed lines are sure to within 1 %." in text


def test_a_card_says_what_it_was_what_it_is_and_why_it_went():
    card = pictures.draw(describing.cards(ip.table())["lead carbonate (white lead)"], (1920, 1080))
    text = letters("".join(f.text() for f in card))
    for said in ("White lead, finely levigated, 2 oz.", "an opaque white pigment", "zinc oxide: share now", "4.98 g", ip.REASON):
        assert letters(said) in text


def test_the_list_of_needs_counts_what_aliquots_leave_over():
    made = ip.made_batch()
    text = letters(words_of(pictures.draw(bench.needs(made), (1920, 1080))))
    for weighing in made.weighings:
        assert letters(weighing.ingredient.name) in text
        assert letters(made.balance.text(made.to_weigh[weighing.ingredient.id])) in text


@pytest.mark.parametrize("nothing", [Listing("Nothing", ()), Bars("Nothing", ("a",), ()), Strip("Nothing", ("a",), ())])
def test_what_has_nothing_to_draw_is_refused(nothing):
    with pytest.raises(BadValue, match="nothing"):
        pictures.draw(nothing)


def test_own_sentences_are_told_before_drawn_words():
    plaque = Plaque("A title", spoken=Spoken("A card with a title", "a book"))
    assert pictures.draw(plaque, (640, 360))[0].alt == "A card with a title. Source: a book."


def test_the_png_is_whole_with_its_words():
    data = frames.to_bytes(ip.table().frames((640, 360))[0], "png")
    Image.open(io.BytesIO(data)).verify()
    assert Image.open(io.BytesIO(data)).text["Software"] == "histkit"


@pytest.mark.parametrize("size", [*SIZES, (3840, 2160)])
def test_twelve_rows_of_long_words_stand_in_one_frame(size):
    from dataclasses import replace

    ledger = demo.record("complexion").table().describe()
    first = ledger.entries[0]
    long = replace(first, printed="The best Venetian talc, twice levigated, 3 1/2 oz.", brief="", signs=("†", "‡"))
    twelve = replace(ledger, entries=(*ledger.entries[1:4], *(replace(long) for _ in range(7))))
    assert len(twelve.lines) == 12
    (frame,) = pictures.draw(twelve, size)
    sound(frame)
    assert all(letters(note.text) in letters(frame.text()) for note in ledger.footnotes) or frame.report["brief"] > 0


@pytest.mark.parametrize("size", [(1920, 1080), (1080, 1920)])
@pytest.mark.parametrize("word", ["0" * 55, "W" * 70])
def test_a_word_longer_than_the_frame_is_broken(word, size):
    """Fault: it ran out of the frame to the right."""
    for frame in pictures.draw(Listing(word, (ListEntry(word, "1 g", word),)), size):
        sound(frame)
        assert letters(word) in letters(frame.text())
