"""A frame: one picture of exactly the size asked for, set by Typst from a template and plain data, written as PNG, SVG or PDF.

Everything drawn goes through here, so the promises about every picture are kept in one place: exactly the size asked for,
all text inside the title-safe area, none smaller than 1/45 of the height (1/60 of a tall one), a description in the file.
"""

from __future__ import annotations

import io
import re
import struct
import zlib
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from html import escape
from pathlib import Path
from typing import Any

from histkit.base.errors import BadValue, RecordError, quoted
from histkit.base.files import write_atomically
from histkit.display import typesetting

SIZES = (240, 16384)
"""Least and greatest side of a picture, in pixels."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A piece of text as it is set: its words, size in pixels, colour, and where it begins, in pixels from the top left."""

    words: str
    size: float
    colour: str
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Frame:
    """A picture: a template with its data, which of its frames (from 1), and the same in words.

    `report` is what the template said of its setting: the size of its type, whether something would not fit.
    """

    width: int
    height: int
    template: str
    data: Mapping[str, Any] = field(repr=False)
    number: int = 1
    title: str = ""
    alt: str = ""
    source: str = ""
    report: Mapping[str, Any] = field(default_factory=dict, repr=False)

    def pieces(self) -> tuple[Piece, ...]:
        """Every piece of text in it, in its order."""
        found = typesetting.shown(self.template, self.data, self.number)
        return tuple(Piece(p["words"], p["size"], p["fill"][:7], p["at"][1], p["at"][2]) for p in found)

    def text(self) -> str:
        """All words, a line for each piece; a figure in one with what stands behind its point."""
        lines = "\n".join(piece.words for piece in self.pieces() if piece.words.strip()).replace("\u00a0", " ")
        return re.sub(r"(?<=\d)\n(?=\.\d| )", "", lines)


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
        """Size of the smallest text, in pixels: 1/45 of the height, of a tall picture 1/60."""
        return self.height / (60 if self.height > 1.15 * self.width else 45)


# -- drawing ------------------------------------------------------------------------------------------------------------


def to_bytes(frame: Frame, kind: str) -> bytes:
    """The frame as the bytes of a "png", "svg" or "pdf", its description inside."""
    made = typesetting.render(frame.template, frame.data, kind, frame.number)
    if kind == "png":
        return _named_png(made, frame)
    return _named_svg(made, frame) if kind == "svg" else made


def _named_png(png: bytes, frame: Frame) -> bytes:
    """The PNG with title, description and source as international text, set in behind its head."""
    head = 8 + 25  # signature, and the chunk IHDR
    out = [png[:head]]
    for key, value in (("Title", frame.title), ("Description", frame.alt), ("Source", frame.source), ("Software", "histkit")):
        if value:
            body = key.encode("ascii") + b"\0\0\0\0\0" + value.encode("utf-8")
            out.append(struct.pack(">I", len(body)) + b"iTXt" + body + struct.pack(">I", zlib.crc32(b"iTXt" + body)))
    return b"".join((*out, png[head:]))


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
