"""Pictures opened: every kind of file, every way up, and what is refused with which words."""

import io

import printed_pages as pages
import pytest
from PIL import Image

from histkit import photo
from histkit.base.errors import BadValue, HistkitError, RecordError

RED, GREEN, BLUE, YELLOW = (250, 10, 10), (10, 250, 10), (10, 10, 250), (240, 240, 10)


def corners():
    """40 × 30, its corners red, green, blue, yellow from the left upper one on, clockwise."""
    image = Image.new("RGB", (40, 30), "white")
    for colour, place in ((RED, (0, 0)), (GREEN, (25, 0)), (BLUE, (25, 18)), (YELLOW, (0, 18))):
        image.paste(colour, (*place, place[0] + 15, place[1] + 12))
    return image


def saved(image, form, **more):
    kept = io.BytesIO()
    image.save(kept, form, **more)
    return kept.getvalue()


def near(one, other):
    return all(abs(a - b) < 60 for a, b in zip(one, other, strict=True))


# What a camera stores for each value of the orientation, so that the picture is upright after turning it.
STORED = {
    1: lambda image: image,
    2: lambda image: image.transpose(Image.Transpose.FLIP_LEFT_RIGHT),
    3: lambda image: image.transpose(Image.Transpose.ROTATE_180),
    4: lambda image: image.transpose(Image.Transpose.FLIP_TOP_BOTTOM),
    5: lambda image: image.transpose(Image.Transpose.TRANSPOSE),
    6: lambda image: image.transpose(Image.Transpose.ROTATE_90),
    7: lambda image: image.transpose(Image.Transpose.TRANSVERSE),
    8: lambda image: image.transpose(Image.Transpose.ROTATE_270),
}


@pytest.mark.parametrize("orientation", STORED)
def test_every_orientation_that_a_camera_notes(orientation):
    exif = Image.Exif()
    exif[0x0112] = orientation
    opened = photo.open_picture(saved(STORED[orientation](corners()), "JPEG", exif=exif, quality=95))
    assert opened.size == (40, 30)
    for colour, place in ((RED, (4, 4)), (GREEN, (35, 4)), (BLUE, (35, 26)), (YELLOW, (4, 26))):
        assert near(opened.image.getpixel(place), colour)


@pytest.mark.parametrize("form", ["JPEG", "PNG", "TIFF", "WEBP", "BMP", "GIF"])
def test_common_forms(form):
    opened = photo.open_picture(saved(corners(), form), name=f"page.{form.lower()}")
    assert (opened.size, opened.page, opened.pages, opened.image.mode) == ((40, 30), 1, 1, "RGB")
    assert near(opened.image.getpixel((4, 4)), RED)


def test_heic_as_telephones_write_it():
    import pillow_heif

    kept = io.BytesIO()
    pillow_heif.from_pillow(corners().resize((160, 120), Image.Resampling.NEAREST)).save(kept, quality=95)
    opened = photo.open_picture(kept.getvalue(), name="IMG_0001.HEIC")
    assert opened.size == (160, 120) and near(opened.image.getpixel((10, 10)), RED) and near(opened.image.getpixel((150, 110)), BLUE)


def test_heic_that_was_held_upright():
    import pillow_heif

    exif = Image.Exif()
    exif[0x0112] = 6
    kept = io.BytesIO()
    turned = STORED[6](corners().resize((160, 120), Image.Resampling.NEAREST))
    pillow_heif.from_pillow(turned).save(kept, quality=95, exif=exif.tobytes())
    opened = photo.open_picture(kept.getvalue())
    assert opened.size == (160, 120) and near(opened.image.getpixel((10, 10)), RED)


def test_what_is_transparent_is_paper_and_sixteen_bits_are_eight():
    import numpy as np

    clear = Image.new("RGBA", (40, 30), (0, 0, 0, 0))
    assert photo.open_picture(saved(clear, "PNG")).image.getpixel((3, 3)) == (255, 255, 255)
    deep = Image.fromarray((np.linspace(0, 1, 40)[None, :] * np.ones((30, 1)) * 60000).astype(np.uint16))
    shown = photo.open_picture(saved(deep, "TIFF")).image
    assert shown.getpixel((0, 5)) == (0, 0, 0) and shown.getpixel((39, 5)) == (255, 255, 255)


def test_pages_of_a_pdf():
    markup = pages.markup_of("One \n#pagebreak()\n Two", "Libertinus Serif").replace("height: auto", "height: 60mm")
    content = pages.set_page(markup, form="pdf")
    first, second = photo.open_picture(content), photo.open_picture(content, page=2)
    assert (first.page, first.pages, second.page, second.pages) == (1, 2, 2, 2)
    assert abs(first.size[0] - 95 / 25.4 * 300) < 3 and abs(first.size[1] - 60 / 25.4 * 300) < 3
    with pytest.raises(BadValue, match="there is no page 3: it has 2 pages"):
        photo.open_picture(content, page=3)


def test_pages_of_a_tiff():
    kept = io.BytesIO()
    corners().save(kept, "TIFF", save_all=True, append_images=[Image.new("RGB", (50, 60), "blue")])
    assert photo.open_picture(kept.getvalue(), page=2).size == (50, 60)


def locked_pdf():
    """A page with a password that nobody knows: its marks of encryption are made up."""
    parts = [
        b"<< /Type /Catalog /Pages 2 0 R >>",
        b"<< /Type /Pages /Kids [3 0 R] /Count 1 >>",
        b"<< /Type /Page /Parent 2 0 R /MediaBox [0 0 100 100] >>",
        b"<< /Filter /Standard /V 1 /R 2 /O <" + b"41" * 32 + b"> /U <" + b"42" * 32 + b"> /P -4 >>",
    ]
    made, places = b"%PDF-1.4\n", []
    for number, part in enumerate(parts, start=1):
        places.append(len(made))
        made += b"%d 0 obj\n%s\nendobj\n" % (number, part)
    table = len(made)
    made += b"xref\n0 5\n0000000000 65535 f \n" + b"".join(b"%010d 00000 n \n" % place for place in places)
    ids = b"<" + b"43" * 16 + b">"
    return made + b"trailer << /Size 5 /Root 1 0 R /Encrypt 4 0 R /ID [%s %s] >>\nstartxref\n%d\n%%%%EOF" % (ids, ids, table)


def bomb():
    """The head of a PNG that says it has 60,000 × 60,000 pixels."""
    import struct
    import zlib

    def chunk(kind, content):
        return struct.pack(">I", len(content)) + kind + content + struct.pack(">I", zlib.crc32(kind + content))

    head = struct.pack(">IIBBBBB", 60_000, 60_000, 8, 2, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(b"\0" * 1000)) + chunk(b"IEND", b"")


HOSTILE = {
    "empty": (b"", "this file is empty"),
    "text": (b"Venetian talc, 4 oz.", "no picture that can be opened"),
    "page": (b"<html><body>hello</body></html>", "no picture that can be opened"),
    "noise": (bytes(range(256)) * 40, "no picture that can be opened"),
    "half a JPEG": (saved(corners().resize((400, 300)), "JPEG")[:700], "no picture that can be opened"),
    "half a PNG": (saved(corners().resize((400, 300)), "PNG")[:90], "no picture that can be opened"),
    "half a PDF": (b"%PDF-1.7\n1 0 obj\n<<", "this PDF cannot be opened"),
    "locked PDF": (locked_pdf(), "locked with a password"),
    "bomb": (bomb(), "pixels"),
    "speck": (saved(Image.new("RGB", (10, 10)), "PNG"), "10 × 10 pixels are too few"),
}


@pytest.mark.parametrize("name", HOSTILE)
def test_what_is_refused_and_why(name):
    content, words = HOSTILE[name]
    with pytest.raises(BadValue, match=words) as refused:
        photo.open_picture(content, name="page.jpg")
    assert str(refused.value).startswith("page.jpg: ") and len(str(refused.value)) < 220


@pytest.mark.parametrize("page", [0, -1, 1.5, True, "2"])
def test_pages_are_counted_from_one(page):
    with pytest.raises(BadValue, match="counted from 1"):
        photo.open_picture(saved(corners(), "PNG"), page=page)


def test_files_by_their_path(tmp_path):
    path = tmp_path / "a page.png"
    path.write_bytes(saved(corners(), "PNG"))
    assert photo.open_picture(path).name == "a page.png" and photo.open_picture(str(path)).size == (40, 30)
    with pytest.raises(RecordError, match="cannot be read"):
        photo.open_picture(tmp_path / "none.png")
    with pytest.raises(RecordError, match="cannot be read"):
        photo.open_picture(tmp_path)
    with pytest.raises(BadValue, match="not from int"):
        photo.open_picture(5)


def test_without_the_extra_a_sentence_says_how_to_get_it(monkeypatch):
    import sys

    monkeypatch.setitem(sys.modules, "pillow_heif", None)
    with pytest.raises(HistkitError, match=r"pip install 'histkit\[photo\]'"):
        photo.open_picture(saved(corners(), "PNG"))
