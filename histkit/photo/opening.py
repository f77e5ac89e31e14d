"""Pictures opened, whatever they come as, and turned upright."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path
from typing import TYPE_CHECKING

from histkit.base.checking import is_whole
from histkit.base.errors import BadValue, RecordError, quoted
from histkit.photo.extras import needed
from histkit.photo.nouns import Picture

if TYPE_CHECKING:
    from PIL import Image

LEAST_SIDE = 24
"""Pixels of the shorter side below which no line of print can be read."""
MOST_PIXELS = 120_000_000
MOST_BYTES = 200_000_000
PDF_DPI = 300
MOST_PDF_SIDE = 6000
"""Pixels of the longer side of a page of a PDF: one as large as a poster is set smaller."""
_FORMATS = ("JPEG", "PNG", "TIFF", "WEBP", "HEIF", "BMP", "GIF")
_KINDS = "a JPEG, PNG, TIFF, WebP or HEIC picture or a PDF"


def open_picture(path_or_bytes: Path | str | bytes, name: str = "", page: int = 1) -> Picture:
    """The picture of a JPEG, PNG, TIFF, WebP or HEIC file, or one page (from 1) of a PDF or TIFF, upright and in RGB.

    Raises BadValue, with what would be right, where it is empty, no picture, far too small or far too large, a PDF with a
    password, or has no such page; RecordError where the file cannot be read; HistkitError where the extra `photo` is not
    installed.
    """
    if not is_whole(page) or page < 1:
        raise BadValue(f"pages are counted from 1, not {quoted(page)}")
    content, name = _content(path_or_bytes, name)
    of = f"{name}: " if name else ""
    if not content:
        raise BadValue(f"{of}this file is empty: choose {_KINDS}")
    image, pages = _pdf_page(content, page, of) if b"%PDF-" in content[:1024] else _image(content, page, of)
    if min(image.size) < LEAST_SIDE:
        raise BadValue(f"{of}{image.width} × {image.height} pixels are too few for print: a side has {LEAST_SIDE} or more")
    return Picture(image, name, page, pages)


def _content(given: Path | str | bytes, name: str) -> tuple[bytes, str]:
    """The bytes, and the name of the file."""
    if isinstance(given, (bytes, bytearray, memoryview)):
        content = bytes(given)
    elif isinstance(given, (str, Path)):
        path = Path(given)
        name = name or path.name
        try:
            if path.stat().st_size > MOST_BYTES:
                raise BadValue(f"{name}: the file has more than {MOST_BYTES // 1_000_000} MB: choose one page of it")
            content = path.read_bytes()
        except (OSError, ValueError) as trouble:
            reason = getattr(trouble, "strerror", None) or trouble
            raise RecordError(f"{path} cannot be read: {reason}") from None
    else:
        raise BadValue(f"a picture is opened from a file or its bytes, not from {type(given).__name__}")
    if len(content) > MOST_BYTES:
        raise BadValue(f"the picture has more than {MOST_BYTES // 1_000_000} MB: make it smaller first")
    return content, name


def _image(content: bytes, page: int, of: str) -> tuple[Image.Image, int]:
    """A picture, or a page of a TIFF, turned as the camera noted and laid on white."""
    from PIL import Image, ImageOps

    Image.init()  # all forms are known by name only after this
    needed("pillow_heif").register_heif_opener()
    try:
        with Image.open(BytesIO(content), formats=_FORMATS) as opened:
            pages = int(getattr(opened, "n_frames", 1))
            _refuse_beyond(page, pages, of)
            opened.seek(page - 1)
            if opened.width * opened.height > MOST_PIXELS:
                raise BadValue(f"{of}the picture has {opened.width} × {opened.height} pixels: make it smaller first")
            turned = ImageOps.exif_transpose(opened)
            return _on_white(turned), pages
    except BadValue:
        raise
    except Image.DecompressionBombError:
        raise BadValue(f"{of}the picture has more pixels than can be opened: make it smaller first") from None
    except Exception as trouble:  # a damaged file fails in the decoders in ways without number
        raise BadValue(f"{of}this is no picture that can be opened ({_short(trouble)}): choose {_KINDS}") from None


def _on_white(image: Image.Image) -> Image.Image:
    """In RGB; what is transparent becomes paper, and sixteen bits of grey eight."""
    import numpy as np
    from PIL import Image

    if image.mode in ("I", "I;16", "I;16B", "I;16L", "F"):
        values = np.asarray(image, dtype=np.float64)
        low, high = float(values.min()), float(values.max())
        scaled = (values - low) / (high - low) if high > low else np.ones_like(values)
        return Image.fromarray((scaled * 255).astype(np.uint8)).convert("RGB")
    if "A" in image.getbands() or "transparency" in image.info:
        clear = image.convert("RGBA")
        paper = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(paper, clear).convert("RGB")
    return image.convert("RGB")


def _pdf_page(content: bytes, page: int, of: str) -> tuple[Image.Image, int]:
    """One page of a PDF as a picture of 300 dots to the inch."""
    pdfium = needed("pypdfium2")
    try:
        document = pdfium.PdfDocument(content)
    except pdfium.PdfiumError as trouble:
        if "password" in str(trouble).lower():
            raise BadValue(f"{of}this PDF is locked with a password: save it without one, or photograph the page") from None
        raise BadValue(f"{of}this PDF cannot be opened ({_short(trouble)}): choose {_KINDS}") from None
    try:
        pages = len(document)
        _refuse_beyond(page, pages, of)
        sheet = document[page - 1]
        longest = max(sheet.get_size())
        scale = min(PDF_DPI / 72, MOST_PDF_SIDE / max(longest, 1.0))
        image: Image.Image = sheet.render(scale=scale).to_pil().convert("RGB")
        return image, pages
    except pdfium.PdfiumError as trouble:
        raise BadValue(f"{of}page {page} of this PDF cannot be drawn ({_short(trouble)})") from None
    finally:
        document.close()


def _refuse_beyond(page: int, pages: int, of: str) -> None:
    if page > pages:
        raise BadValue(f"{of}there is no page {page}: it has {pages} page{'s' if pages > 1 else ''}")


def _short(trouble: Exception) -> str:
    return quoted(str(trouble) or type(trouble).__name__)
