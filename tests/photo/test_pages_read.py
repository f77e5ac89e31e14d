"""Whole pages read by both engines. The formulas are invented, the keys are what was set; faces that come with histkit."""

import os
import subprocess
import sys
from functools import cache
from pathlib import Path

import numpy as np
import printed_pages as pages
import pytest
from photographed import judged
from PIL import Image, ImageDraw

import histkit
from histkit import photo
from histkit.base.errors import BadValue

PROJECT = Path(__file__).resolve().parents[2]
LIST = pages.Page(
    "#align(center)[#title[Pearl Powder.]]\n\nPowdered talc #leaders 4 oz. \\\nOxide of zinc #leaders 12 drachms \\\n"
    "Carmine #leaders 20 grains \\\nOtto of roses #leaders 10 drops\n\nMix, and pass through a fine sieve.",
    "",
    (pages.Key(4, "ounce", "Powdered talc"), pages.Key(12, "drachm", "Oxide of zinc"), pages.Key(20, "grain", "Carmine"), pages.Key(10, "drop", "Otto of roses")),
    "list",
)


def taken(image):
    return photo.read_photo(photo.Picture(image, "", 1, 1))


@cache
def clean():
    return pages.set_image(pages.markup_of(LIST.markup, "New Computer Modern", 10), 300).convert("RGB")


@cache
def clean_read():
    return taken(clean())


def fates(seen, keys=LIST.keys):
    return [line.fate for line in judged(seen, keys)]


def test_a_clean_list_is_read_without_a_doubt():
    seen = clean_read()
    assert fates(seen) == ["right"] * 4
    formula = histkit.read(seen.text)
    assert formula.title == "PEARL POWDER" and "fine sieve" in formula.directions
    assert photo.doubts_of(seen, formula) == ((), (), (), ()) and photo.unused(seen, formula) == ()
    assert seen.size == clean().size and seen.engines == ("rapidocr", "tesseract")


def test_places_in_the_text_and_on_the_picture():
    seen = clean_read()
    assert [seen.text[w.start : w.end] for w in seen.words] == [w.text for w in seen.words]
    grey = np.asarray(clean().convert("L"))
    for word in seen.words:
        box = word.box
        assert (grey[box.top : box.bottom, box.left : box.right] < 100).any()
    at = seen.text.index("12 drachms")
    (box,) = photo.boxes_of(seen, at, at + len("12 drachms"))
    alone = clean().crop((box.left - 6, box.top - 6, box.right + 6, box.bottom + 6))
    assert 60 < box.width < 260 and 20 < box.height < 80 and np.asarray(alone.convert("L")).min() < 60


def test_the_same_picture_gives_the_same_answer():
    assert taken(clean()) == clean_read()


@pytest.mark.parametrize("turn", [90, 180, 270])
def test_a_page_lying_on_its_side_or_its_head(turn):
    turned = clean().rotate(turn, expand=True)
    seen = taken(turned)
    assert fates(seen) == ["right"] * 4
    word = next(word for word in seen.words if word.text.startswith("Carmine"))
    upright = next(word for word in clean_read().words if word.text.startswith("Carmine"))
    x, y = (upright.box.left + upright.box.right) / 2, (upright.box.top + upright.box.bottom) / 2
    wide, high = clean().size
    x, y = {90: (y, wide - x), 180: (wide - x, high - y), 270: (high - y, x)}[turn]
    assert word.box.left - 5 <= x <= word.box.right + 5 and word.box.top - 5 <= y <= word.box.bottom + 5


@pytest.mark.parametrize("state", ["worn", "phone"])
def test_worn_and_photographed(state):
    back = pages.set_image(pages.markup_of(pages.page("prose", 5).markup, "New Computer Modern"), 150)
    seen = taken(pages.aged(clean().convert("L"), state, 3, back))
    lines = judged(seen, LIST.keys)
    assert sum(line.fate == "right" for line in lines) >= 3
    assert all(line.by_photo or line.by_reader for line in lines if line.fate == "wrong")


def test_a_frame_round_one_formula_of_two():
    other = LIST.markup.replace("Pearl", "Violet").replace("Powdered talc", "Orris root").replace("4 oz.", "9 lb.")
    image = pages.set_image(pages.markup_of(LIST.markup + "\n\n#v(8mm)\n\n" + other, "New Computer Modern", 10), 300).convert("RGB")
    half = image.height // 2
    seen = photo.read_photo(photo.Picture(image, "", 1, 1), photo.Box(0, half, image.width, image.height))
    assert "VIOLET POWDER" in seen.text and "PEARL" not in seen.text and "9 lb." in seen.text
    assert all(word.box.top >= half - 2 for word in seen.words) and seen.size == image.size
    with pytest.raises(BadValue, match="frame"):
        photo.read_photo(photo.Picture(image, "", 1, 1), photo.Box(image.width + 5, 0, image.width + 50, 50))


def test_columns_are_not_read_across():
    first = "Take of powdered talc four ounces, of rice starch two ounces, and of orris root one ounce. Mix them well and pass the whole through a fine sieve."
    second = "Take of white wax three ounces, of spermaceti two ounces, and of oil of almonds one pint. Melt them together by a gentle heat, and stir until cold."
    body = f"#columns(2, gutter: 9mm)[{first} #colbreak() {second}]"
    image = pages.set_image(pages.markup_of(body, "New Computer Modern", 10, 130), 300).convert("RGB")
    words = taken(image).text.split()
    assert " ".join(words).replace("- ", "").startswith("Take of powdered talc four ounces, of rice starch two ounces,")
    assert words.index("sieve.") < words.index("white")


@pytest.mark.parametrize("face", ["New Computer Modern", "STIXGeneral"])
def test_fractions_are_read_figure_by_figure_and_doubted(face):
    body = "Borax #leaders 2#piece(1, 3) oz. \\\nMyrrh #leaders 5#piece(3, 4) oz. \\\nAlum #leaders 1¾ oz. \\\nStarch #leaders 3 oz."
    keys = (pages.Key(2 + 1 / 3, "ounce", "Borax"), pages.Key(5.75, "ounce", "Myrrh"), pages.Key(1.75, "ounce", "Alum"), pages.Key(3, "ounce", "Starch"))
    seen = taken(pages.set_image(pages.markup_of(body, face, 11), 300).convert("RGB"))
    lines = judged(seen, keys)
    assert all(line.by_photo for line in lines[:3]) and not lines[3].by_photo
    assert [line.fate for line in lines] == ["right"] * 4


def test_signs_that_the_engines_have_not_are_told_by_their_shape_and_doubted():
    body = "Camphor ℥ij. \\\nMyrrh ʒiij. \\\nAlum ℈iv. \\\nThis is a line of common words to stand beside them."
    seen = taken(pages.set_image(pages.markup_of(body, "DejaVu Serif", 11), 300).convert("RGB"))
    assert {"Camphor ℥ij.", "Myrrh ʒiij.", "Alum ℈iv."} <= set(seen.text.splitlines())
    for name in ("Camphor", "Myrrh", "Alum"):
        line = next(line for line in seen.text.splitlines() if name in line)
        start = seen.text.index(line)
        assert any(doubt.start < start + len(line) and doubt.end > start for doubt in seen.doubts), line


@pytest.mark.parametrize("picture", ["blank", "black", "noise", "drawing"])
def test_pictures_without_print(picture):
    image = Image.new("RGB", (450, 300), "white")
    if picture == "black":
        image = Image.new("RGB", (450, 300), "black")
    elif picture == "noise":
        image = Image.fromarray(np.random.default_rng(2).integers(0, 255, (300, 450, 3), dtype=np.uint8))
    elif picture == "drawing":
        ImageDraw.Draw(image).ellipse((75, 40, 375, 260), outline="black", width=5)
    seen = taken(image)
    assert len(seen.text) < 30
    if picture == "blank":
        assert seen == photo.PhotoText("", (), (), (), (450, 300), ("rapidocr", "tesseract"))


def test_nothing_is_fetched(tmp_path):
    """Both engines read a page in a process in which no socket can be opened, and leave nothing in the home folder: ONNX Runtime
    would keep there what it tells its maker."""
    clean().save(tmp_path / "page.png")
    program = (
        "import socket\n"
        "def refuse(*a, **k): raise AssertionError('a socket was opened')\n"
        "socket.socket.connect = socket.create_connection = socket.getaddrinfo = refuse\n"
        "from histkit import photo\n"
        f"print(photo.read_photo(photo.open_picture({str(tmp_path / 'page.png')!r})).text)\n"
    )
    given = {**os.environ, "PYTHONPATH": str(PROJECT), "HOME": str(tmp_path)}
    given.pop("CI", None)  # there ONNX Runtime is silent by itself
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, env=given)
    assert "Carmine" in answer.stdout and sorted(path.name for path in tmp_path.iterdir()) == ["page.png"]


def test_importing_loads_no_engine():
    program = (
        "import sys, pkgutil, importlib, histkit.photo\n"
        "for found in pkgutil.iter_modules(histkit.photo.__path__): importlib.import_module('histkit.photo.' + found.name)\n"
        "print([name for name in ('cv2', 'rapidocr', 'onnxruntime', 'tesserocr', 'pypdfium2', 'pillow_heif') if name in sys.modules])"
    )
    given = {**os.environ, "PYTHONPATH": str(PROJECT)}
    answer = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True, env=given)
    assert answer.stdout.strip() == "[]"
