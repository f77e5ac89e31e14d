"""A frame: words and bars at places in pixels. Laid out as plain data, drawn with Matplotlib, written as PNG, SVG or PDF.

Everything drawn goes through here, so the promises about every picture are kept in one place: exactly the size asked for,
all text inside the title-safe area, no text smaller than 1/36 of the height, a description in the file.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from html import escape
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from histkit.base.errors import BadValue, RecordError, quoted
from histkit.base.files import write_atomically
from histkit.base.text import clean
from histkit.display import lettering
from histkit.display.lettering import ASCENT, DESCENT, Face

if TYPE_CHECKING:
    from matplotlib.figure import Figure

SAFE = 0.90
"""Title-safe area: the middle 90 % of width and height (SMPTE ST 2046-1:2009)."""
LEAST_TEXT = 36
"""The smallest text is the frame's height over this."""
SIZES = (240, 16384)
"""Least and greatest side of a picture, in pixels."""
_DPI = 256  # a power of two, so that pixels over dots per inch times dots per inch gives the same pixels again


@dataclass(frozen=True, slots=True)
class Words:
    """A line of text: `x` is its left edge, middle or right edge by `align`, `y` its baseline, in pixels from the top left."""

    text: str
    x: float
    y: float
    size: float
    colour: str
    face: Face = "regular"
    align: Literal["left", "center", "right"] = "left"

    def box(self) -> tuple[float, float, float, float]:
        """Left, top, right, bottom by the measures of the face."""
        room = lettering.width(self.text, self.size, self.face)
        left = {"left": self.x, "center": self.x - room / 2, "right": self.x - room}[self.align]
        return left, self.y - ASCENT * self.size, left + room, self.y + DESCENT * self.size


@dataclass(frozen=True, slots=True)
class Bar:
    """A filled rectangle, also a rule: left, top, width, height in pixels."""

    x: float
    y: float
    width: float
    height: float
    colour: str


@dataclass(frozen=True, slots=True)
class Frame:
    """A picture: `background` None is transparent; `alt` describes it in words."""

    width: int
    height: int
    items: tuple[Words | Bar, ...]
    background: str | None
    title: str = ""
    alt: str = ""
    source: str = ""

    def __post_init__(self) -> None:
        for name in ("title", "alt", "source"):  # control characters would make the files' metadata unreadable
            object.__setattr__(self, name, clean(getattr(self, name)))

    @property
    def words(self) -> tuple[Words, ...]:
        return tuple(item for item in self.items if isinstance(item, Words))

    def text(self) -> str:
        """All words, line by line."""
        return "\n".join(words.text for words in self.words).replace(lettering.HELD, " ")

    def moved(self, down: float) -> Frame:
        """The same with everything moved down."""
        return replace(self, items=tuple(replace(item, y=item.y + down) for item in self.items))


@dataclass(frozen=True, slots=True)
class Screen:
    """The size of a frame and what follows from it."""

    width: int
    height: int

    @classmethod
    def of(cls, size: Sequence[int]) -> Screen:
        """Checked: two whole numbers of pixels within `SIZES`.

        Raises:
            BadValue: they are not.
        """
        sides: tuple[object, ...] = tuple(size)
        whole = [s for s in sides if isinstance(s, int) and not isinstance(s, bool) and SIZES[0] <= s <= SIZES[1]]
        if len(sides) != 2 or len(whole) != 2 or not 0.2 <= whole[0] / whole[1] <= 5:
            raise BadValue(
                f"a size is (width, height) in whole pixels from {SIZES[0]} to {SIZES[1]}, the one at most five times the other, "
                f"such as (1920, 1080), not {quoted(size)}"
            )
        return cls(whole[0], whole[1])

    @property
    def least(self) -> float:
        """Size of the smallest text allowed."""
        return self.height / LEAST_TEXT

    @property
    def left(self) -> float:
        return self.width * (1 - SAFE) / 2

    @property
    def right(self) -> float:
        return self.width - self.left

    @property
    def top(self) -> float:
        return self.height * (1 - SAFE) / 2

    @property
    def bottom(self) -> float:
        return self.height - self.top

    @property
    def room(self) -> float:
        """Width of the safe area."""
        return self.right - self.left

    @property
    def rise(self) -> float:
        """Height of the safe area."""
        return self.bottom - self.top

    @property
    def ems(self) -> float:
        """How many ems of the smallest text fit side by side: what decides between columns and cards."""
        return self.room / self.least

    def rule(self, weight: float = 1.0) -> float:
        """Thickness of a rule in whole pixels."""
        return float(max(1, round(weight * min(self.width, self.height) / 540)))


# -- drawing ------------------------------------------------------------------------------------------------------------


def figure(frame: Frame) -> Figure:
    """The frame as a Matplotlib figure, one text artist for each of its words, without pyplot and its global state."""
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure
    from matplotlib.patches import Rectangle

    wide, high = frame.width, frame.height
    drawing = Figure(figsize=(wide / _DPI, high / _DPI), dpi=_DPI)
    FigureCanvasAgg(drawing)
    drawing.patch.set_facecolor(frame.background or "none")
    drawing.patch.set_alpha(None if frame.background else 0.0)
    for item in frame.items:
        if isinstance(item, Bar):
            corner = (item.x / wide, 1 - (item.y + item.height) / high)
            patch = Rectangle(corner, item.width / wide, item.height / high, transform=drawing.transFigure)
            patch.set_linewidth(0)
            patch.set_facecolor(item.colour)
            patch.set_snap(True)
            drawing.add_artist(patch)
        else:
            # Printed words may hold dollar signs: they are text, never formulas to be set.
            drawing.text(
                item.x / wide,
                1 - item.y / high,
                item.text,
                fontproperties=lettering.properties(item.face),
                fontsize=item.size * 72 / _DPI,
                color=item.colour,
                ha=item.align,
                va="baseline",
                parse_math=False,
            )
    return drawing


def to_bytes(frame: Frame, kind: str) -> bytes:
    """The frame as the bytes of a "png", "svg" or "pdf", its description inside."""
    import matplotlib

    settings: dict[Any, Any] = {
        "svg.fonttype": "path",
        "svg.hashsalt": "histkit",
        "pdf.fonttype": 42,
        "text.hinting": "none",
        "text.usetex": False,
    }
    with matplotlib.rc_context(settings):
        drawn = figure(frame)
        if kind == "png":
            return _png(frame, drawn)
        out = io.BytesIO()
        if kind == "svg":
            about = {"Title": frame.title, "Description": frame.alt, "Source": frame.source, "Date": None, "Creator": "histkit"}
            drawn.savefig(
                out,
                format="svg",
                metadata={k: v for k, v in about.items() if v or k == "Date"},
                transparent=frame.background is None,
            )
            return _named_svg(out.getvalue(), frame)
        about = {"Title": frame.title, "Subject": frame.alt, "Creator": "histkit", "CreationDate": None}
        drawn.savefig(out, format="pdf", metadata=about, transparent=frame.background is None)
        return out.getvalue()


def _png(frame: Frame, drawn: Figure) -> bytes:
    import numpy
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    canvas: Any = FigureCanvasAgg(drawn)
    canvas.draw()
    picture = Image.fromarray(numpy.asarray(canvas.buffer_rgba()))
    if frame.background is not None:
        picture = picture.convert("RGB")
    about = PngInfo()
    for key, value in (("Title", frame.title), ("Description", frame.alt), ("Source", frame.source), ("Software", "histkit")):
        if value:
            about.add_itxt(key, value)
    out = io.BytesIO()
    picture.save(out, "png", pnginfo=about, compress_level=1)
    return out.getvalue()


def _named_svg(svg: bytes, frame: Frame) -> bytes:
    """The SVG with a title and description that screen readers read."""
    head, start, rest = svg.partition(b"<svg ")
    attributes, end, body = rest.partition(b">")
    words = f"\n <title>{escape(frame.title)}</title>\n <desc>{escape(frame.alt)}</desc>"
    return head + start + b'role="img" ' + attributes + end + words.encode("utf-8") + body


def paths(target: Path, count: int) -> list[Path]:
    """Where `count` frames go: the first to the very path that was asked for, the others to `name-2.png`, `name-3.png` …"""
    digits = len(str(count))
    return [target, *(target.with_name(f"{target.stem}-{n:0{digits}d}{target.suffix}") for n in range(2, count + 1))]


Progress = Callable[[int, int, str], None]
"""Told before each picture: how many are done, of how many, and the name of the one that comes."""


def _silent(_done: int, _of: int, _name: str) -> None:
    """Tells nobody."""


def save(frames: Sequence[Frame], path: str | Path, alt_text: bool = False) -> list[Path]:
    """Write frames beside each other, each file replaced in one step; the paths of the pictures.

    Raises:
        BadValue: the ending is none of .png, .svg, .pdf.
        RecordError: a file cannot be written.
    """
    target = Path(path)
    kind = kind_of(target)
    written = paths(target, len(frames))
    for frame, place in zip(frames, written, strict=True):
        write_atomically(place, to_bytes(frame, kind))
        if alt_text:
            write_atomically(place.with_suffix(".txt"), frame.alt + "\n")
    return written


def save_set(
    sets: Mapping[str, Sequence[Frame]], path: str | Path, kind: str = "png", progress: Progress = _silent
) -> list[Path]:
    """Write several sets of frames, numbered in their order, into a folder or, where the path ends in .zip, into an archive.

    The names are `01-name.png`, `02-other.png`, `02-other-2.png` …; each has its description in a text file of the same name.
    `progress` is told before each picture. Returns what was written: the pictures, or the archive alone.

    Raises:
        BadValue: the kind is none of "png", "svg", "pdf".
        RecordError: a file cannot be written.
    """
    kind_of(Path(f"x.{kind}"))
    target = Path(path)
    named = list(_numbered(sets, kind))
    if target.suffix.lower() != ".zip":
        make_folder(target)
        for done, (name, frame) in enumerate(named):
            progress(done, len(named), name)
            write_atomically(target / name, to_bytes(frame, kind))
            write_atomically((target / name).with_suffix(".txt"), frame.alt + "\n")
        return [target / name for name, _ in named]
    import zipfile

    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for done, (name, frame) in enumerate(named):
            progress(done, len(named), name)
            described = str(Path(name).with_suffix(".txt"))
            for entry, data in ((name, to_bytes(frame, kind)), (described, (frame.alt + "\n").encode("utf-8"))):
                # No clock: the same frames give the same archive.
                archive.writestr(zipfile.ZipInfo(entry, (1980, 1, 1, 0, 0, 0)), data)
    write_atomically(target, out.getvalue())
    return [target]


def make_folder(folder: Path) -> None:
    """Make a folder where there is none yet.

    Raises:
        RecordError: it cannot be made; a file of that name may be in its place.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RecordError(f"the folder {folder} cannot be made: {error.strerror or error}") from error


def _numbered(sets: Mapping[str, Sequence[Frame]], kind: str) -> Iterable[tuple[str, Frame]]:
    digits = max(2, len(str(len(sets))))
    for number, (name, frames) in enumerate(sets.items(), start=1):
        first = Path(f"{number:0{digits}d}-{file_name(name)}.{kind}")
        for place, frame in zip(paths(first, len(frames)), frames, strict=True):
            yield place.name, frame


def file_name(words: str) -> str:
    """Words as the name of a file: 'Card lead carbonate (white lead)' gives 'card-lead-carbonate-white-lead'."""
    return "-".join("".join(c if c.isalnum() else " " for c in words.casefold()).split()) or "frame"


def kind_of(path: Path) -> str:
    """ "png", "svg" or "pdf" by the ending of a path. Raises BadValue for any other."""
    kind = path.suffix.lower().lstrip(".")
    if kind not in ("png", "svg", "pdf"):
        raise BadValue(f"the name of a picture ends in .png, .svg or .pdf, not {path.suffix or 'in nothing'!r} ({path.name})")
    return kind
