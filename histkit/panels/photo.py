"""A photograph, scan or PDF page of a formula: choose it, draw a frame round one formula, have it read, see where words stand."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import Any

import anywidget
import ipywidgets as widgets
import traitlets

from histkit import photo  # what reads is loaded when something is read
from histkit.base.errors import BadValue, HistkitError
from histkit.keeping.photograph import photograph_of
from histkit.keeping.records import Photograph, Record
from histkit.panels.changes import lines_of
from histkit.panels.chooser import Chooser
from histkit.panels.comparing import CompareList
from histkit.panels.parts import ROW, Troubles, button, good, paragraph, result, whole_number, within_bounds
from histkit.panels.signs import STYLES
from histkit.panels.state import Desk
from histkit.panels.strips import Strips, address
from histkit.photo.extras import is_ready
from histkit.photo.nouns import Picture, Word
from histkit.photo.places import boxes_of, unused
from histkit.photo.strips import frame_of, jpeg_of, shares, smaller

SHOWN = 1500
"""Pixels of the longer side of the picture in the page; it is read and kept in its full size."""
KEPT_AT_MOST = 4500
"""Pixels of the longer side above which a picture is made smaller before it is read and kept."""
WHOLE = {"left": 0.0, "top": 0.0, "right": 1.0, "bottom": 1.0}
ABSENT = "A photograph can be read here too, once what it takes is added: pip install 'histkit[photo]', then open this page anew."
TO_FRAME = (
    "Draw a frame round one formula, or one column of it, with the mouse or a finger, or move its four edges with the arrow keys."
    " Then have it read."
)
TO_LOOK = "Point at a line to see where it stands. Dashed: words that no line uses. Dotted: this may be another word or figure."


class PhotoPage(anywidget.AnyWidget):  # type: ignore[misc, unused-ignore]
    """The picture. `frame`, `marks` and `pointed` are boxes in shares of it; a mark has its `kind` and `words` too."""

    _esm = (Path(__file__).parent / "photo.js").read_text(encoding="utf-8")
    _css = STYLES
    picture = traitlets.Unicode().tag(sync=True)
    spoken = traitlets.Unicode().tag(sync=True)
    words = traitlets.Unicode().tag(sync=True)
    framing = traitlets.Bool(False).tag(sync=True)
    frame: traitlets.Dict[str, float] = traitlets.Dict(WHOLE).tag(sync=True)
    marks: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)
    pointed: traitlets.List[dict[str, Any]] = traitlets.List().tag(sync=True)


def left_over(record: Record) -> tuple[Word, ...]:
    """The words of the picture that no line uses."""
    seen = record.seen()
    return () if seen is None else unused(seen, record.formula())


def marks_of(record: Record, left: Sequence[Word]) -> list[dict[str, Any]]:
    """What is marked on the picture: the words `left` over, and what is doubtful and not compared yet."""
    seen, photograph = record.seen(), record.photograph
    if photograph is None or seen is None:
        return []
    out = [{**shares(word.box, seen.size), "kind": "unused", "words": f"No line uses this: {word.text}"} for word in left]
    waiting = frozenset(record.to_compare())
    compared = [line.span for n, line in enumerate(record.formula().lines) if n not in waiting]
    for doubt in seen.doubts:
        if not any(begins <= doubt.start < ends for begins, ends in compared):
            boxes = boxes_of(seen, doubt.start, doubt.end)
            out += [{**shares(box, seen.size), "kind": "doubt", "words": doubt.words} for box in boxes]
    return out


def unused_words(left: Sequence[Word]) -> str:
    """The words `left` over in a sentence; '' where there are none."""
    words = " ".join(word.text for word in left)
    return f"No line uses these words of the picture, dashed on it: {words}. Is an ingredient among them?" if words else ""


class PhotoBox:
    """Choosing, framing, reading; then the picture with its marks, and the list that compares each amount with it.

    `take` is given what was read and the upright picture as a JPEG file, and puts it into the field of the formula.
    """

    def __init__(self, table: Desk, strips: Strips, take: Callable[[Photograph, bytes], None]) -> None:
        self.table, self.strips, self._take = table, strips, take
        self.troubles, self.done, self.beside = Troubles(), result(), result()
        self.opened: Picture | None = None
        self._file: tuple[str, bytes] = ("", b"")
        self._read: Photograph | None = None
        self._shown = ""
        tell = partial(self.troubles.tell, "photograph")
        self.upload = Chooser("or from a photograph of the page", "image/*,.heic,.heif,.pdf", self._chosen, tell)
        self.page, self.how = PhotoPage(), widgets.HTML(paragraph(TO_FRAME))
        self.number = whole_number("Page of the file", 1, 1, 1, "10em")
        self.number.observe(self._turned_over, names="value")
        self.compare = CompareList(table, strips, self.point)
        read = button("Read what is in the frame", self.read, self.troubles, main=True)
        ways = (("Turn it left", 1), ("Turn it right", 3))
        left, right = (button(words, self._turn(quarters), self.troubles) for words, quarters in ways)
        pressed = [self.number, left, right, read, button("Leave it", self.leave, self.troubles)]
        self.tools = widgets.VBox([widgets.HBox(pressed, layout=ROW)])  # what is hidden has a layout of its own
        half = {"max_width": "100%", "min_width": "0", "overflow": "visible"}
        sheet = widgets.VBox([self.how, self.tools, self.page, self.beside], layout=widgets.Layout(flex="1 1 24em", **half))
        self.list = widgets.VBox([self.compare], layout=widgets.Layout(flex="1 1 26em", **half))
        both = widgets.Layout(display="flex", flex_flow="row wrap", width="100%", grid_gap=".6em 1.6em", align_items="flex-start")
        self.both = widgets.HBox([sheet, self.list], layout=both)
        absent = widgets.HTML(paragraph(ABSENT))
        self.button: Any = self.upload if is_ready() else absent
        self.children = [self.troubles.place, self.done, self.both]
        self._dress()

    # -- choosing and framing -------------------------------------------------------------------------------------------------

    def _chosen(self, name: str, data: bytes) -> None:
        self._file = (name, data)
        self.troubles.attempt("photograph", lambda: self._open(1))

    def _turned_over(self, _: Any = None) -> None:
        if self.opened is not None and self.number.value != self.opened.page:
            self.troubles.attempt("photograph", lambda: self._open(self.number.value))

    def _open(self, page: int) -> None:
        if self.opened is not None:
            within_bounds(self.number)
        name, data = self._file
        picture = photo.open_picture(data, name=name, page=page)
        self.done.value = ""
        self.number.high = picture.pages
        self.opened, self.number.value = picture, picture.page
        self._frame(replace(picture, image=smaller(picture.image, KEPT_AT_MOST)))

    def _frame(self, picture: Picture) -> None:
        """Show a picture that waits for its frame."""
        self.opened, self._shown = picture, ""
        self.page.frame, self.page.marks, self.page.pointed = WHOLE, [], []
        self.page.picture = address(jpeg_of(smaller(picture.image, SHOWN), 85))
        self._dress()

    def _turn(self, quarters: int) -> Callable[[], None]:
        def turn() -> None:
            if self.opened is not None:
                self._frame(replace(self.opened, image=self.opened.image.rotate(90 * quarters, expand=True)))

        return turn

    def leave(self) -> None:
        """Leave the picture that waits for its frame; the one that the text is from is shown again."""
        self.opened = None
        self.refresh(self.table.record)

    # -- reading --------------------------------------------------------------------------------------------------------------

    def read(self) -> None:
        """Have the words in the frame read, and put them into the field of the formula.

        Raises BadValue where there is no picture or nothing is read on it.
        """
        self.done.value = ""
        if self.opened is None:
            raise BadValue("choose a photograph first")
        picture, frame = self.opened, frame_of(self.page.frame, self.opened.size)
        self.done.value = good("One moment: the picture is being read …")
        try:
            seen = photo.read_photo(picture, frame)
        finally:
            self.done.value = ""
        if not seen.text.strip():
            raise BadValue("nothing could be read in this frame: is it upright and sharp, and is the print large enough on it?")
        new = self._read = photograph_of(seen, picture.name or self._file[0] or "picture", picture.page, frame)
        self._take(new, jpeg_of(picture.image))
        kept = self.table.record.photograph
        if kept is not None and kept.is_of(new):
            self.opened = self._read = None
            self.strips.has(kept, picture.image)
            self.refresh(self.table.record)
            self.done.value = good("It stands in the field above. A reading saves typing, no more: compare each amount.")

    # -- looking --------------------------------------------------------------------------------------------------------------

    def refresh(self, record: Record) -> None:
        """Show the record as it is now; a picture that waits for its frame stays."""
        kept = record.photograph
        if kept is not None and self._read is not None and kept.is_of(self._read):
            self.opened = self._read = None  # it was taken, at once or after the question whether it is a new formula
        self.compare.refresh(record)
        if self.opened is None:
            self._show(record)
        self._dress()

    def _show(self, record: Record) -> None:
        """The picture that the text is from, with its marks; nothing where there is none."""
        kept = record.photograph
        picture = self.strips.picture(kept) if kept is not None else None
        if kept is None or picture is None:
            self._shown, self.page.picture, self.page.marks, self.beside.value = "", "", [], ""
            return
        if self._shown != kept.digest or not self.page.picture:
            self._shown, self.page.picture = kept.digest, address(jpeg_of(smaller(picture, SHOWN), 85))
        try:
            left = left_over(record)
            self.page.marks, told = marks_of(record, left), unused_words(left)
        except HistkitError:
            self.page.marks, told = [], ""  # the marked page says why nothing can be read
        self.page.pointed = []
        self.beside.value = paragraph(told)

    def point(self, line: int) -> None:
        """Show on the picture where a line (from 0) stands; -1: none."""
        record, seen = self.table.record, self.table.record.seen()
        lines = lines_of(record)
        if self.opened is not None or seen is None or not 0 <= line < len(lines):
            self.page.pointed = []
            return
        self.page.pointed = [shares(box, seen.size) for box in boxes_of(seen, *lines[line].span)]

    def _dress(self) -> None:
        """What there is to see and to press now."""
        framing, photographed = self.opened is not None, self.table.record.photograph is not None
        self.page.framing = framing
        self.page.words = "" if framing else TO_LOOK
        self.page.spoken = "The picture, waiting for its frame" if framing else "The picture that the text is from"
        self.tools.layout.display = self.how.layout.display = "flex" if framing else "none"
        self.list.layout.display = "flex" if photographed and not framing else "none"
        self.number.layout.display = "flex" if framing and self.opened is not None and self.opened.pages > 1 else "none"
        self.both.layout.display = "flex" if framing or photographed else "none"
        self.beside.layout.display = "none" if framing else "flex"
