"""Clips for a film: the table of old and new building up entry by entry, old to new, the figures counting to the grams.

Typst sets a few pictures (the empty table, the full one, the grams at some stages of counting); all frames between them are mixed
from these, part by part, and go to the encoder one by one, so that a long clip needs no more memory than a short one.
"""

from __future__ import annotations

import io
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from histkit.base.checking import is_number
from histkit.base.descriptions import Ledger
from histkit.base.errors import BadValue, HistkitError, RecordError, quoted
from histkit.base.files import write_atomically
from histkit.display import frames as drawing
from histkit.display import pictures, typesetting
from histkit.display.frames import Frame, Screen
from histkit.display.palette import Look
from histkit.display.typography import parted

if TYPE_CHECKING:
    import numpy

    Image = numpy.ndarray[Any, numpy.dtype[numpy.uint8]]

SECONDS = (5.0, 30.0)
RATES = (25, 30, 60)
"""Frames a second."""
KINDS = {".mp4": "mp4", ".mov": "mov", ".webm": "webm", "": "sequence"}
"""What the ending of a name asks for: H.264; ProRes 4444 and VP9, both with transparency; a folder of PNG pictures."""
_COUNTS = 24
"""Stages of counting to the grams."""
# When things happen, as parts of the whole: the head is there at once, then come the book, today and the grams; then all stands.
_BOOK, _TODAY, _GRAMS, _FOOT = (0.05, 0.38), (0.40, 0.70), (0.70, 0.86), (0.86, 0.90)

Progress = Callable[[int, int], None]
"""Told of each frame: how many are done, of how many."""


@dataclass(frozen=True, slots=True)
class Motion:
    """How a clip moves: seconds in all, frames a second; where it is `calm` parts appear at once, and nothing grows or counts."""

    seconds: float = 10.0
    rate: int = 30
    calm: bool = False

    def __post_init__(self) -> None:
        if not (is_number(self.seconds) and SECONDS[0] <= self.seconds <= SECONDS[1]):
            raise BadValue(f"a clip is {SECONDS[0]:g} to {SECONDS[1]:g} seconds long, not {quoted(self.seconds)}")
        if self.rate not in RATES:
            raise BadValue(f"a clip has {', '.join(map(str, RATES))} frames a second, not {quoted(self.rate)}")

    @property
    def frames(self) -> int:
        """How many frames there are in all."""
        return round(self.seconds * self.rate)


@dataclass(frozen=True, slots=True)
class Part:
    """A rectangle (left, top, right, bottom in pixels) that appears between two times (0–1 of its frame).

    `how`: 'fade', 'from left' and 'from right' as a bar grows, 'count' for grams.
    """

    box: tuple[int, int, int, int]
    begins: float
    ends: float
    how: str


# -- what is mixed --------------------------------------------------------------------------------------------------------------


class _Scene:
    """One frame of the table, and all that a clip needs to build it up."""

    def __init__(self, frame: Frame, weights: Sequence[float | None]) -> None:
        self.frame = frame
        self.empty = _drawn(_changed(frame, veil=True))
        self.full = _drawn(frame)
        self.parts = self._parts()
        self.counted: list[Image] = []
        self.gram_left = self.frame.width
        marks = frame.report["marks"]
        if frame.data["has_weight"]:
            self.gram_left = int(marks["grams"]) - 2
            self.counted = [self._count(stage / _COUNTS, weights) for stage in range(_COUNTS)]

    def _count(self, share: float, weights: Sequence[float | None]) -> Image:
        """The column of grams when so much of each has been counted."""
        entries, n = [], 0
        for entry in self.frame.data["entries"]:
            lines = []
            for line in entry["lines"]:
                value, digits = weights[n], len(line["weigh"][1].lstrip("."))
                lines.append({**line, "weigh": line["weigh"] if value is None else parted(f"{share * value:,.{digits}f}")})
                n += 1
            entries.append({**entry, "lines": lines})
        finals = [line["weigh"] for entry in self.frame.data["entries"] for line in entry["lines"]]
        return _drawn(_changed(self.frame, entries=entries, weights=finals))[:, self.gram_left :].copy()

    def _parts(self) -> list[Part]:
        """What appears when: each entry's words of the book, its words of today, its grams; at last totals and foot."""
        frame = self.frame
        rows = typesetting.parts(frame.template, frame.data, frame.number)
        marks, entries = frame.report["marks"], frame.data["entries"]
        spine, bar, gutter = (round(marks[name]) for name in ("spine", "bar", "gutter"))
        wide, grams = frame.width, round(marks["grams"]) - 2
        out: list[Part] = []
        lowest = 0
        for number, row in enumerate(rows):
            entry = entries[row["row"]]
            top, low = int(row["y"]) - 3, int(row["y"] + row["high"]) + 4
            lowest = low
            old, new, weigh = (_slot(phase, number, len(rows)) for phase in (_BOOK, _TODAY, _GRAMS))
            split = min(low, top + 4 + int(marks["splits"][row["row"]])) if entry["in_book"] else top
            if marks["tall"]:
                out += [Part((0, top, wide, split), *old, "from left"), Part((0, split, grams, low), *new, "from left")]
            else:
                reach = spine + gutter + bar
                out += [
                    Part((0, top, spine - bar, split), *old, "fade"),
                    Part((spine - bar, top, spine, split), *old, "from right"),
                ]
                out += [Part((0, split, spine, low), *new, "fade"), Part((spine, top, reach, low), *new, "from left")]
                out.append(Part((reach, top, grams, low), *new, "fade"))
            out.append(Part((grams, low if grams >= wide else top, wide, low), *weigh, "count"))
        out.append(Part((0, lowest, wide, frame.height), *_FOOT, "fade"))
        return out

    def mixed(self, canvas: Image, part: Part, done: float) -> None:
        """Set a part of the canvas as it is when so much of it (0–1) is there."""
        left, top, right, bottom = part.box
        if right <= left or bottom <= top:
            return
        where = (slice(top, bottom), slice(left, right))
        if done >= 1.0:
            canvas[where] = self.full[where]
        elif part.how == "count" and self.counted:
            stage = self.counted[int(done * _COUNTS)]
            canvas[where] = stage[top:bottom, left - self.gram_left : right - self.gram_left]
        elif part.how == "fade" or part.how == "count":
            amount = int(256 * done)
            mix = self.empty[where].astype("int32") * (256 - amount) + self.full[where].astype("int32") * amount
            canvas[where] = (mix >> 8).astype("uint8")
        else:
            canvas[where] = self.empty[where]
            reach = int(done * (right - left))
            seen = slice(left, left + reach) if part.how == "from left" else slice(right - reach, right)
            canvas[where[0], seen] = self.full[where[0], seen]


def _slot(phase: tuple[float, float], number: int, count: int) -> tuple[float, float]:
    """When the one of so many appears in a phase: one after the other, each beginning before the last has ended."""
    begin, end = phase
    step = (end - begin) / (count + 0.6)
    return begin + number * step, begin + (number + 1.6) * step


def _changed(frame: Frame, **changes: Any) -> Frame:
    return replace(frame, data={**frame.data, **changes})


def _drawn(frame: Frame) -> Image:
    """The frame as pixels: red, green, blue, and how much they cover."""
    import numpy
    from PIL import Image as Pictures

    made = typesetting.render(frame.template, frame.data, "png", frame.number)
    return numpy.asarray(Pictures.open(io.BytesIO(made)).convert("RGBA"))


def _eased(share: float) -> float:
    """Slow at both ends."""
    return share * share * (3 - 2 * share)


def _pictures(scene: _Scene, motion: Motion, count: int) -> Iterator[Image]:
    """The frames of a scene, one by one, each the same canvas with what has changed."""
    canvas = scene.empty.copy()
    before = [0.0] * len(scene.parts)
    for number in range(count):
        now = number / max(1, count - 1)
        for place, part in enumerate(scene.parts):
            share = min(1.0, max(0.0, (now - part.begins) / (part.ends - part.begins)))
            done = float(share > 0) if motion.calm else _eased(share)
            if done != before[place]:
                scene.mixed(canvas, part, done)
                before[place] = done
        yield canvas


def _stills(scene: _Scene) -> Iterator[Image]:
    """The scene after each step: every part that ends at the same time is one step."""
    canvas = scene.empty.copy()
    for moment in sorted({part.ends for part in scene.parts}):
        for part in scene.parts:
            if part.ends == moment:
                scene.mixed(canvas, part, 1.0)
        yield canvas


# -- files ----------------------------------------------------------------------------------------------------------------------


def save(
    ledger: Ledger,
    path: str | Path,
    size: Sequence[int] = (1920, 1080),
    look: str | Path | Look = "paper",
    motion: Motion | None = None,
    transparent: bool = False,
    stills: bool = False,
    progress: Progress = lambda done, of: None,
) -> list[Path]:
    """The table building up, as a film by the ending of `path`: .mp4 to show; .mov (ProRes 4444), .webm (VP9) to lay over film.

    A path without an ending is a folder of PNG pictures. `stills` also writes a picture after each step beside it, and there is
    always the same in words (.txt). Returns the paths, the film first. `progress` is told of each frame.

    Raises:
        BadValue: the ending, the size (even numbers of pixels), or an .mp4 is to be transparent.
        HistkitError: the encoder is not installed.
        RecordError: a file cannot be written.
    """
    target, motion, screen = Path(path), motion or Motion(), Screen.of(size)
    kind = KINDS.get(target.suffix.lower())
    if kind is None:
        raise BadValue(f"a clip ends in .mp4, .mov or .webm, or in nothing for a folder of pictures, not in {target.suffix!r}")
    if kind == "mp4" and transparent:
        raise BadValue("an .mp4 cannot be transparent: take .mov, .webm or a folder of pictures")
    if kind != "sequence" and (screen.width % 2 or screen.height % 2):
        raise BadValue(f"a film has an even number of pixels on both sides, not {quoted(tuple(size))}")
    made = pictures.draw(ledger, size, look, transparent)
    weights = _weights(ledger)
    shares = [len(typesetting.parts(frame.template, frame.data, frame.number)) for frame in made]
    written, done = [target], 0
    with _writer(kind, target, made[0], motion.rate) as put:
        for frame, share in zip(made, shares, strict=True):
            scene = _Scene(frame, weights)
            count = max(2, round(motion.frames * share / sum(shares)))
            for picture in _pictures(scene, motion, count):
                put(picture)
                done += 1
                progress(min(done, motion.frames), motion.frames)
            if stills:
                for picture in _stills(scene):
                    written.append(target.with_name(f"{target.stem}-step-{len(written):02d}.png"))
                    write_atomically(written[-1], _png(picture, transparent))
    words = target.with_suffix(".txt") if kind != "sequence" else target / "clip.txt"
    write_atomically(words, made[0].alt + "\n")
    return [*written, words]


def _weights(ledger: Ledger) -> list[float | None]:
    """The grams of every line, in order."""
    place = next((n for n, head in enumerate(ledger.figure_heads) if head.holds == "weight"), None)
    return [line.figures[place].value if place is not None else None for line in ledger.lines]


def _png(picture: Image, transparent: bool) -> bytes:
    from PIL import Image as Pictures

    out = io.BytesIO()
    Pictures.fromarray(picture if transparent else picture[:, :, :3]).save(out, "png", compress_level=1)
    return out.getvalue()


Put = Callable[["Image"], None]


@contextmanager
def _writer(kind: str, target: Path, frame: Frame, rate: int) -> Iterator[Put]:
    """Takes pictures one by one; the film is under its name only when it is whole."""
    if kind == "sequence":
        drawing.make_folder(target)
        count = 0

        def to_folder(picture: Image) -> None:
            nonlocal count
            count += 1
            write_atomically(target / f"frame-{count:05d}.png", _png(picture, bool(frame.data["transparent"])))

        yield to_folder
        return
    draft = target.with_name(f".{target.stem}.part{target.suffix}")
    try:
        with _encoder(kind, draft, frame, rate) as put:
            yield put
        draft.replace(target)
    except OSError as error:
        raise RecordError(f"{target} cannot be written: {error.strerror or error}") from error
    finally:
        draft.unlink(missing_ok=True)


_CODECS: dict[str, tuple[str, str, str, dict[str, str]]] = {
    # kind: (encoder, pixels without and with transparency, options)
    "mp4": ("libx264", "yuv420p", "yuv420p", {"crf": "18", "preset": "veryfast"}),
    "mov": ("prores_aw", "yuv444p10le", "yuva444p10le", {"profile": "4"}),  # 4444
    "webm": (
        "libvpx-vp9",
        "yuv420p",
        "yuva420p",
        {"crf": "24", "b": "0", "deadline": "realtime", "cpu-used": "6", "row-mt": "1"},
    ),
}


@contextmanager
def _encoder(kind: str, draft: Path, frame: Frame, rate: int) -> Iterator[Put]:
    try:
        import av
    except ImportError:
        raise HistkitError("clips need an encoder: pip install 'histkit[film]'") from None
    name, plain, clear, options = _CODECS[kind]
    transparent = bool(frame.data["transparent"])
    try:
        film = av.open(str(draft), "w")
    except OSError as error:
        raise RecordError(f"{draft.parent} cannot be written: {error.strerror or error}") from error
    with film:
        film.metadata["title"] = frame.title
        stream: Any = film.add_stream(name, rate=rate, options=options)
        stream.width, stream.height = frame.width, frame.height
        stream.pix_fmt = clear if transparent else plain

        def put(picture: Image) -> None:
            for packet in stream.encode(av.VideoFrame.from_ndarray(picture, format="rgba")):
                film.mux(packet)

        yield put
        for packet in stream.encode():
            film.mux(packet)
