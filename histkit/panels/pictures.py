"""The table that sets old beside new, and pictures of it for the video."""

from __future__ import annotations

import base64
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import ipywidgets as widgets

from histkit.errors import Forbidden
from histkit.panels.parts import (
    ROW,
    Panel,
    Troubles,
    button,
    choice,
    good,
    heading,
    kindly,
    live,
    news_of,
    result,
    show,
    tick,
    told,
)
from histkit.panels.state import Desk, desk
from histkit.records import Record, RecordError
from histkit.tabular import escape

if TYPE_CHECKING:
    from histkit.display.frames import Frame

NAME = "pictures panel"
SIZES = (
    ("wide, 1920 × 1080", (1920, 1080)),
    ("wide, 3840 × 2160 (4K)", (3840, 2160)),
    ("upright, 1080 × 1920", (1080, 1920)),
    ("square, 1080 × 1080", (1080, 1080)),
)
FOLDER = "pictures"
TABLE = "table"
SHOWN_AT_ONCE = 6
"""Pictures shown in the notebook; more of them would make it heavy, and they lie in the folder."""

Drawn = Callable[[Record, tuple[int, int], str, bool], "Mapping[str, Sequence[Frame]]"]


def table_view(record: Record) -> str:
    """Old beside new."""

    def view() -> str:
        if not record.text.strip():
            return told("There is no formula yet: paste one in the first notebook.")
        return record.table().to_html()

    return live(kindly(view))


# -- kinds of pictures ------------------------------------------------------------------------------------------------


def _table(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    return {"old-and-new": record.table().frames(size, theme, clear)}


def _bars(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    from histkit.display import charts

    return {"shares": charts.composition_frames(record.table(), size, theme, clear)}


def _doubts(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    from histkit.display import charts

    return {"doubtful-readings": charts.spread_frames(record.translation(), size, theme, clear)}


def _cards(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    from histkit.display import charts

    return {f"card {name}": frames for name, frames in charts.card_frames(record.table(), size, theme, clear).items()}


def _needs(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    from histkit.display import charts

    return {"what-you-need": charts.need_frames(record.batch(), size, theme, clear)}


def _steps(record: Record, size: tuple[int, int], theme: str, clear: bool) -> Mapping[str, Sequence[Frame]]:
    from histkit.display import charts

    sheet = record.batch().bench_sheet()
    return {"steps": charts.steps_frames(sheet.title, sheet.steps, size, theme, clear)}


KINDS: Mapping[str, tuple[str, Drawn]] = {
    TABLE: ("old and new, as a table", _table),
    "bars": ("shares then and now, as bars", _bars),
    "doubts": ("how far doubtful readings may be off", _doubts),
    "needs": ("what you need", _needs),
    "steps": ("steps at the bench", _steps),
    "cards": ("a card for each ingredient", _cards),
}
ALL = "all"


def save_pictures(
    table: Desk,
    kind: str,
    size: tuple[int, int],
    theme: str,
    ending: str,
    clear: bool = False,
    progress: Callable[[int, int, str], None] = lambda done, of, name: None,
) -> tuple[list[Path], list[str]]:
    """Draw into the folder 'pictures' beside the record; the files, and a sentence for each kind that could not be drawn.

    `progress` is told how many pictures are done, of how many, and which comes next.

    Raises:
        HistkitError: the one kind that was asked for cannot be drawn, or a file cannot be written.
    """
    from histkit.display import frames as drawing

    table.fetch()
    record = table.record
    sets: dict[str, Sequence[Frame]] = {}
    left_out: list[str] = []
    for key in KINDS if kind == ALL else (kind,):
        words, draw = KINDS[key]
        try:
            sets.update(draw(record, size, theme, clear))
        except Forbidden:
            if kind != ALL:
                raise
            left_out.append(f"Left out, for something in the formula must not be used: {words}.")
    folder = table.folder / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RecordError(f"the folder {folder} cannot be made: {error.strerror or error}") from error
    files: list[Path] = []
    for number, (name, made) in enumerate(sets.items()):
        progress(number, len(sets), name)
        safe = "-".join("".join(c if c.isalnum() else " " for c in name.casefold()).split())
        files += drawing.save(made, folder / f"{safe}-{size[0]}x{size[1]}.{ending}", alt_text=True)
    return files, left_out


def save_texts(table: Desk) -> str:
    """The table as a page, a spreadsheet and Markdown, and a text to put under the video; what was done, in a sentence.

    Raises:
        HistkitError: there is nothing to save, or it cannot be written.
    """
    from histkit.display import files

    table.fetch()
    record = table.record
    made, translation = record.table(), record.translation()
    try:
        batch = record.batch()
    except Forbidden:
        batch = None  # the table is shown all the same; it has no grams then, and the page no steps
    folder = table.folder / FOLDER
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise RecordError(f"the folder {folder} cannot be made: {error.strerror or error}") from error
    written = files.save_table(folder, made, translation, batch)
    return f"Saved in {folder}: {', '.join(path.name for path in written)}."


def picture_html(files: Sequence[Path]) -> str:
    """The first PNG files shown small, one under the other, each with its description."""
    out = []
    for file in [f for f in files if f.suffix.lower() == ".png"][:SHOWN_AT_ONCE]:
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


def noun(record: Record) -> Any:
    """What the plain copy shows: old beside new."""
    return record.table() if record.text.strip() else None


def pictures_panel(table: Desk | None = None) -> None:
    """Show the panel for the table and its pictures."""
    table = table or desk(replaced=True)
    show(build(table), table, noun, "There is no formula yet.")


def build(table: Desk) -> Panel:
    """The panel itself."""
    kinds = [*((words, key) for key, (words, _) in KINDS.items()), ("all of these", ALL)]
    kind = choice("Picture of", kinds, TABLE, "28em")
    size = choice("Size", SIZES, SIZES[0][1], "20em")
    theme = choice("Ground", [("light", "light"), ("dark", "dark")], "light", "12em")
    ending = choice("File", [("PNG", "png"), ("SVG", "svg"), ("PDF", "pdf")], "png", "10em")
    clear = tick("see-through ground, to lay over the film")
    troubles, shown, done, picture = Troubles(), result(), result(), result()

    def tell(finished: int, of: int, name: str) -> None:
        if of > 1:
            done.value = good(f"Drawing {finished + 1} of {of}: {name} …")

    def draw() -> None:
        done.value = picture.value = ""
        files, left_out = save_pictures(table, kind.value, size.value, theme.value, ending.value, clear.value, tell)
        if not files:
            done.value = good(" ".join(left_out) or "There was nothing to draw.")
            return
        count = "One picture" if len(files) == 1 else f"{len(files)} pictures"
        names = ", ".join(f.name for f in files[:8]) + (" …" if len(files) > 8 else "")
        more = f" {' '.join(left_out)}" if left_out else ""
        first = f" The first {SHOWN_AT_ONCE} are shown here." if ending.value == "png" and len(files) > SHOWN_AT_ONCE else ""
        done.value = good(f"{count} saved in {files[0].parent}: {names}.{more}{first}")
        picture.value = picture_html(files)

    def write() -> None:
        done.value = ""
        done.value = good(save_texts(table))

    def refresh(record: Record) -> None:
        shown.value = table_view(record)
        if picture.value:
            done.value, picture.value = good("The formula has changed since the pictures were made."), ""

    table.watch(refresh, NAME)
    return Panel(
        NAME,
        [
            news_of(table),
            shown,
            heading("Pictures for the video"),
            widgets.HBox([kind, size, theme, ending, clear], layout=ROW),
            widgets.HBox(
                [button("Make the pictures", draw, troubles, main=True), button("Save table and text", write, troubles)],
                layout=ROW,
            ),
            troubles.place,
            done,
            picture,
        ],
    )
