"""The table that sets old beside new, pictures for the video, and the text to put under it."""

from __future__ import annotations

import base64
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import ipywidgets as widgets

from histkit.base.errors import Forbidden
from histkit.base.text import escape
from histkit.display import clips, palette
from histkit.display import frames as drawing
from histkit.keeping.records import Record
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    bind,
    button,
    choice,
    download,
    good,
    heading,
    kindly,
    live,
    news_of,
    number,
    paragraph,
    result,
    show,
    text_area,
    tick,
    within_bounds,
)
from histkit.panels.state import Desk, desk
from histkit.telling import files
from histkit.telling.sets import KINDS, draw_sets

NAME = "pictures panel"
SIZES = (
    ("wide, 1920 × 1080", (1920, 1080)),
    ("wide, 3840 × 2160 (4K)", (3840, 2160)),
    ("upright, 1080 × 1920", (1080, 1920)),
    ("upright, 2160 × 3840 (4K)", (2160, 3840)),
    ("square, 1080 × 1080", (1080, 1080)),
    ("square, 2160 × 2160", (2160, 2160)),
)
OWN = "own"
LOOKS = (("old paper", "paper"), ("plain white", "light"), ("dark", "dark"), ("my own, from look.csv", OWN))
FILMS = (
    ("MP4, to show", "mp4"),
    ("MOV (ProRes 4444), transparent", "mov"),
    ("WebM (VP9), transparent", "webm"),
    ("PNG pictures in a folder, transparent", ""),
)
VIEWERS = (("nothing", ""), ("ounces", "ounces"), ("level spoonfuls", "spoons"))
FOLDER = "pictures"
TEXT = "under-the-video.md"
SHORT = "under-the-video.txt"
ALL = "all"
EACH, NUMBERED, ARCHIVE = "each", "numbered", "archive"
WAYS = (("single files", EACH), ("a numbered set in a folder", NUMBERED), ("a numbered set in a ZIP file", ARCHIVE))
SHOWN_AT_ONCE = 6
"""Pictures shown in the notebook; more of them would make it heavy, and they lie in the folder."""


def table_view(record: Record) -> str:
    """Old beside new."""

    def view() -> str:
        if not record.text.strip():
            return paragraph("There is no formula yet: paste one in the first notebook.")
        return record.table().to_html()

    return live(kindly(view))


# -- pictures ---------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class Wish:
    """What a maker asks for: kinds of pictures (all of them for ALL), how large, on which ground, and how they are kept."""

    kind: str = "table"
    size: tuple[int, int] = (1920, 1080)
    theme: str = "paper"
    ending: str = "png"
    transparent: bool = False
    way: str = EACH


@dataclass(frozen=True, slots=True)
class Saved:
    """What was written, the kinds left out for something forbidden, and files of an earlier set that still lie beside it."""

    files: tuple[Path, ...]
    left_out: tuple[str, ...] = ()
    older: tuple[Path, ...] = ()

    def sentence(self) -> str:
        """What was done, in words."""
        names = ", ".join(file.name for file in self.files[:8]) + (" …" if len(self.files) > 8 else "")
        count = "One file" if len(self.files) == 1 else f"{len(self.files)} files"
        out = [f"{count} saved in {self.files[0].parent}: {names}."]
        if self.left_out:
            kinds = "; ".join(KINDS[kind].words for kind in self.left_out)
            out.append(f"Left out, for something in the formula must not be used: {kinds}.")
        if self.older:
            out.append(f"From an earlier set, still in that folder: {', '.join(file.name for file in self.older)}.")
        return " ".join(out)


def look_of(table: Desk, theme: str) -> str | Path:
    """The look that is meant; a maker's own is the table look.csv beside the record, which is begun where there is none.

    Raises RecordError where it cannot be written.
    """
    return palette.own(table.folder / "look.csv") if theme == OWN else theme


def save_pictures(table: Desk, wish: Wish, progress: drawing.Progress = lambda done, of, name: None) -> Saved:
    """Draw into the folder 'pictures' beside the record. `progress` is told before each file or set of frames.

    Raises:
        HistkitError: nothing that was asked for can be drawn, or a file cannot be written.
    """
    table.fetch()
    kinds = tuple(KINDS) if wish.kind == ALL else (wish.kind,)
    sets, left_out = draw_sets(table.record, kinds, wish.size, look_of(table, wish.theme), wish.transparent)
    folder = table.folder / FOLDER
    drawing.make_folder(folder)
    size = f"{wish.size[0]}x{wish.size[1]}"
    if wish.way == EACH:
        written: list[Path] = []
        for done, (name, frames) in enumerate(sets.items()):
            progress(done, len(sets), name)
            written += drawing.save(frames, folder / f"{drawing.file_name(name)}-{size}.{wish.ending}", alt_text=True)
        return Saved(tuple(written), left_out)
    target = folder / (f"frames-{size}.zip" if wish.way == ARCHIVE else f"frames-{size}")
    drawn = drawing.save_set(sets, target, wish.ending, progress)
    older = [f for f in sorted(target.glob(f"*.{wish.ending}")) if f not in drawn] if target.is_dir() else []
    return Saved(tuple(drawn), left_out, tuple(older))


def _png(files: Sequence[Path]) -> list[Path]:
    return [file for file in files if file.suffix.lower() == ".png"]


def _shown(files: Sequence[Path]) -> list[Path]:
    return _png(files)[:SHOWN_AT_ONCE]


def picture_html(files: Sequence[Path]) -> str:
    """The first PNG files shown small, one under the other, each with its description."""
    out = []
    for file in _shown(files):
        data = base64.b64encode(file.read_bytes()).decode("ascii")
        described = file.with_suffix(".txt")
        words = described.read_text(encoding="utf-8") if described.exists() else file.name
        out.append(
            f'<figure style="margin:.6em 0;"><img alt="{escape(words)}" src="data:image/png;base64,{data}" '
            'style="max-width:min(100%,56em);max-height:40em;display:block;border:1px solid var(--jp-border-color2,#ccc);">'
            f'<figcaption style="line-height:1.4;color:var(--jp-ui-font-color1,#1b1b1b);">{escape(file.name)}</figcaption>'
            "</figure>"
        )
    return "".join(out)


# -- film ----------------------------------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class FilmWish:
    """What a maker asks for of a film: how large, how long, frames a second, which file ('' for a folder of pictures)."""

    size: tuple[int, int] = (1920, 1080)
    seconds: float = 10.0
    rate: int = 30
    ending: str = "mp4"
    theme: str = "paper"
    calm: bool = False
    stills: bool = False


def save_film(table: Desk, wish: FilmWish, progress: clips.Progress = lambda done, of: None) -> list[Path]:
    """Write the film of the table into the folder 'pictures' beside the record; all but an .mp4 is transparent.

    Raises:
        HistkitError: the length or rate makes no sense, there is no encoder, or a file cannot be written.
    """
    table.fetch()
    motion = clips.Motion(wish.seconds, wish.rate, wish.calm)
    folder = table.folder / FOLDER
    drawing.make_folder(folder)
    name = f"old-and-new-{wish.size[0]}x{wish.size[1]}"
    path = folder / (f"{name}.{wish.ending}" if wish.ending else f"{name}-film")
    beside = table.record.table()
    return beside.to_clip(path, wish.size, motion, look_of(table, wish.theme), wish.ending != "mp4", wish.stills, progress)


# -- texts ------------------------------------------------------------------------------------------------------------


def save_texts(table: Desk) -> list[Path]:
    """The table as a page, a spreadsheet and Markdown, the text to put under the video, and the book for reference managers.

    Raises:
        HistkitError: there is nothing to save, or it cannot be written.
    """
    table.fetch()
    record = table.record
    beside, translation = record.table(), record.translation()
    try:
        batch = record.batch()
    except Forbidden:
        batch = None  # the table is shown all the same; it has no grams then, and the page no steps
    folder = table.folder / FOLDER
    drawing.make_folder(folder)
    return files.save_table(folder, beside, translation, batch)


def noun(record: Record) -> Any:
    """What the plain copy shows: old beside new."""
    return record.table() if record.text.strip() else None


def pictures_panel(table: Desk | None = None) -> None:
    """Show the panel for the table and its pictures."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    shown, troubles = result(), Troubles()
    viewers = choice("Beside the grams, for viewers", VIEWERS, table.record.viewers, "34em")
    bind(table, troubles, viewers, lambda r: r.viewers, lambda r, v: replace(r, viewers=v), NAME)
    pictures, film, texts = _Pictures(table), _Film(table), _Texts(table)

    def refresh(record: Record) -> None:
        shown.value = table_view(record)
        pictures.grow_old()
        film.grow_old()
        texts.grow_old()

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            viewers,
            troubles.place,
            shown,
            heading("Pictures for the video"),
            *pictures.children,
            heading("A film of the table building up"),
            *film.children,
            heading("The table as a file, and the text under the video"),
            *texts.children,
        ],
    )


class _Pictures:
    """What to draw, how large and where to; a button; what was made."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        kinds = [*((kind.words, key) for key, kind in KINDS.items()), ("all of these", ALL)]
        wish = Wish()
        self.kind = choice("Picture of", kinds, wish.kind, "28em")
        self.size = choice("Size", SIZES, wish.size, "20em")
        self.theme = choice("Look", LOOKS, wish.theme, "14em")
        self.ending = choice("File", [("PNG", "png"), ("SVG", "svg"), ("PDF", "pdf")], wish.ending, "10em")
        self.way = choice("Save as", WAYS, wish.way, "22em")
        self.transparent = tick("transparent background, to lay over the film")
        self.troubles, self.done, self.shown = Troubles(), result(), result()
        self.children = [
            widgets.HBox([self.kind, self.size, self.theme, self.ending, self.way, self.transparent], layout=ROW),
            button("Make the pictures", self.draw, self.troubles, main=True),
            self.troubles.place,
            self.done,
            self.shown,
        ]

    def wish(self) -> Wish:
        """What the fields ask for."""
        return Wish(self.kind.value, self.size.value, self.theme.value, self.ending.value, self.transparent.value, self.way.value)

    def draw(self) -> None:
        """Make the pictures, telling which one is drawn."""
        self.done.value = self.shown.value = ""
        saved = save_pictures(self.table, self.wish(), self._tell)
        first = f" The first {SHOWN_AT_ONCE} are shown here." if len(_shown(saved.files)) < len(_png(saved.files)) else ""
        archives = [download(file, f"Download {file.name}") for file in saved.files if file.suffix == ".zip"]
        self.done.value = good(saved.sentence() + first) + "".join(archives)
        self.shown.value = picture_html(saved.files)

    def _tell(self, finished: int, of: int, name: str) -> None:
        if of > 1:
            self.done.value = good(f"Drawing {finished + 1} of {of}: {name} …")

    def grow_old(self) -> None:
        """Take pictures of an earlier state of the formula away."""
        if self.done.value:
            self.done.value, self.shown.value = good("The formula has changed since the pictures were made."), ""


class _Film:
    """How large, how long and as which file; a button; how far it is, and what was made."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        wish = FilmWish()
        self.size = choice("Film size", SIZES, wish.size, "20em")
        self.seconds = number("Seconds", wish.seconds, *clips.SECONDS, 1)
        self.rate = choice("Frames a second", [(str(rate), rate) for rate in clips.RATES], wish.rate, "14em")
        self.ending = choice("Film file", FILMS, wish.ending, "24em")
        self.theme = choice("Film look", LOOKS, wish.theme, "14em")
        self.calm = tick("calm: nothing grows or counts")
        self.stills = tick("a picture after each step as well")
        self.troubles, self.done = Troubles(), result()
        fields = [self.size, self.seconds, self.rate, self.ending, self.theme, self.calm, self.stills]
        self.children = [
            widgets.HBox(fields, layout=ROW),
            button("Make the film", self.draw, self.troubles),
            self.troubles.place,
            self.done,
        ]

    def draw(self) -> None:
        """Make the film, telling how far it is."""
        self.done.value = ""
        within_bounds(self.seconds)
        wish = FilmWish(
            self.size.value, self.seconds.value, self.rate.value, self.ending.value, self.theme.value,
            self.calm.value, self.stills.value,
        )  # fmt: skip
        written = save_film(self.table, wish, self._tell)
        names = ", ".join(path.name for path in written[:4]) + (" …" if len(written) > 4 else "")
        self.done.value = good(f"Saved in {written[0].parent}: {names}.")

    def _tell(self, finished: int, of: int) -> None:
        bar = f'<progress max="{of}" value="{finished}" aria-label="film"></progress>'
        self.done.value = good(f"Frame {finished} of {of}.") + bar

    def grow_old(self) -> None:
        """Say that the film is of an earlier state of the formula."""
        if self.done.value:
            self.done.value = good("The formula has changed since the film was made.")


class _Texts:
    """A button; which files were written; the text to copy under the video."""

    def __init__(self, table: Desk) -> None:
        self.table = table
        self.troubles, self.done = Troubles(), result()
        self.text = text_area("Text under the video", "", 12)
        self.short = text_area("Text under the video, in short", "", 12)
        self.text.layout.display = self.short.layout.display = "none"
        self.children = [
            button("Save table and text", self.write, self.troubles),
            self.troubles.place,
            self.done,
            self.short,
            self.text,
        ]

    def write(self) -> None:
        """Save them, and show the text so that it can be copied."""
        written = save_texts(self.table)
        names = ", ".join(path.name for path in written)
        page = next(path for path in written if path.suffix == ".html")
        self.done.value = good(f"Saved in {page.parent}: {names}.") + download(page, "Download the table as a web page")
        for area, file in ((self.short, SHORT), (self.text, TEXT)):
            area.value = next(path for path in written if path.name == file).read_text(encoding="utf-8")
            area.layout.display = None
        self.done.value += paragraph(f"The short text has {len(self.short.value)} characters.")

    def grow_old(self) -> None:
        """Take a text of an earlier state of the formula away."""
        if self.done.value:
            self.done.value = good("The formula has changed since the text was saved.")
            self.text.layout.display = self.short.layout.display = "none"
