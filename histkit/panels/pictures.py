"""The table that sets old beside new, and pictures of it for the video."""

from __future__ import annotations

import base64
from pathlib import Path

import ipywidgets as widgets

from histkit.errors import HistkitError
from histkit.panels.desk import Desk, desk
from histkit.panels.parts import ROW, Panel, alert, button, choice, good, heading, kindly, live, result, show
from histkit.records import Record
from histkit.tabular import escape

SIZES = (
    ("wide, 1920 × 1080", (1920, 1080)),
    ("wide, 3840 × 2160 (4K)", (3840, 2160)),
    ("upright, 1080 × 1920", (1080, 1920)),
    ("square, 1080 × 1080", (1080, 1080)),
)
FOLDER = "pictures"


def table_view(record: Record) -> str:
    """Old beside new."""
    return live(kindly(lambda: record.table().to_html()))


def save_pictures(table: Desk, size: tuple[int, int], theme: str, ending: str) -> tuple[str, list[Path]]:
    """Draw the table into the folder 'pictures' beside the record; what was done, in HTML, and the files."""
    try:
        folder = table.folder / FOLDER
        folder.mkdir(parents=True, exist_ok=True)
        made = table.record.table()
        files = made.to_picture(folder / f"old-and-new-{size[0]}x{size[1]}.{ending}", size=size, theme=theme, alt_text=True)
    except (HistkitError, OSError) as error:
        return alert(str(error)), []
    count = "One picture" if len(files) == 1 else f"{len(files)} pictures (the table does not fit one)"
    return good(f"{count} saved in {folder}: {', '.join(f.name for f in files)}."), files


def save_texts(table: Desk) -> str:
    """The table as a page, a spreadsheet and Markdown, and a text to put under the video."""
    from histkit.display import files

    try:
        made, translation = table.record.table(), table.record.translation()
        folder = table.folder / FOLDER
        folder.mkdir(parents=True, exist_ok=True)
        files.save_table(folder, made, translation)
    except (HistkitError, OSError) as error:
        return alert(str(error))
    return good(f"Saved in {folder}: old-and-new.html, .md, .xlsx, .csv and under-the-video.md.")


def picture_html(files: list[Path]) -> str:
    """PNG files shown small, one under the other."""
    out = []
    for file in files:
        if file.suffix.lower() == ".png":
            data = base64.b64encode(file.read_bytes()).decode("ascii")
            out.append(
                f'<img alt="{escape(file.name)}: the table of old and new" src="data:image/png;base64,{data}" '
                'style="max-width:min(100%,52em);max-height:36em;margin:.4em 0;display:block;'
                'border:1px solid var(--jp-border-color2,#ccc);">'
            )
    return "".join(out)


def pictures_panel(table: Desk | None = None) -> None:
    """Show the panel for the table and its pictures."""
    table = table or desk(replaced=True)
    show(build(table), table_view(table.record))


def build(table: Desk) -> Panel:
    """The panel itself."""
    size = choice("Size", SIZES, SIZES[0][1], "22em")
    theme = choice("Ground", [("light", "light"), ("dark", "dark")], "light", "14em")
    ending = choice("File", [("PNG", "png"), ("SVG", "svg"), ("PDF", "pdf")], "png", "12em")
    shown, done, picture = result(), result(), result()

    def draw() -> None:
        done.value, files = save_pictures(table, size.value, theme.value, ending.value)
        picture.value = picture_html(files)

    def write() -> None:
        done.value = save_texts(table)

    def refresh(record: Record) -> None:
        shown.value = table_view(record)

    table.watch(refresh)
    return Panel(
        "pictures panel",
        [
            shown,
            heading("Pictures for the video"),
            widgets.HBox([size, theme, ending], layout=ROW),
            widgets.HBox([button("Make the pictures", draw), button("Save table and text", write)], layout=ROW),
            done,
            picture,
        ],
    )
