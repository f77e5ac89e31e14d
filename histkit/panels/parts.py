"""Pieces that the panels are built of: fields with names, results as HTML, errors as sentences beside the field."""

from __future__ import annotations

import asyncio
import base64
import os
from collections.abc import Callable, Iterable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Protocol

import ipywidgets as widgets
from IPython.display import display

from histkit.base.errors import BadValue, Forbidden, HistkitError
from histkit.base.nouns import figure_text
from histkit.base.text import escape
from histkit.display.html import CARDS
from histkit.keeping.records import Record
from histkit.panels.state import Desk

ROW = widgets.Layout(display="flex", flex_flow="row wrap", align_items="flex-end", width="100%", grid_gap=".3em 1.2em")
_INK = "color:var(--jp-ui-font-color1,#1b1b1b);background:transparent;"
_BOX = (
    "padding:.4em .8em;margin:.3em 0;max-width:56em;line-height:1.45;"
    "color:var(--jp-ui-font-color1,#1b1b1b);background:var(--jp-layout-color2,#f3f3f3);"
)
_ALERT = f"border-left:4px solid var(--jp-error-color1,#a3321b);{_BOX}"
_GOOD = f"border-left:4px solid var(--jp-brand-color1,#1f5f7a);{_BOX}"
_RESULT = f"width:0;min-width:100%;overflow-x:auto;line-height:1.45;{_INK}"
"""As wide as there is room for, and no wider for what stands in it: a wide table is scrolled, the text beside it is wrapped."""

MOST_TO_DOWNLOAD = 20_000_000
"""Bytes of a file that a link carries within the page."""
SLIDER_EVERY = 0.1
"""Least seconds between two steps of a slider that are worked out and saved."""


# -- results as HTML --------------------------------------------------------------------------------------------------


def heading(text: str) -> widgets.HTML:
    return widgets.HTML(f'<h3 style="margin:1em 0 .2em;line-height:1.3;{_INK}">{escape(text)}</h3>')


def paragraph(text: str) -> str:
    """A plain paragraph."""
    return f'<p style="margin:.3em 0;max-width:56em;line-height:1.45;{_INK}">{escape(text)}</p>' if text else ""


def listed(items: Iterable[str], tag: str = "ul") -> str:
    """A list; the items are escaped here."""
    inner = "".join(f'<li style="margin:.1em 0;">{escape(item)}</li>' for item in items)
    return f'<{tag} style="margin:.2em 0 .4em;padding-left:1.6em;max-width:56em;line-height:1.45;{_INK}">{inner}</{tag}>'


def folded(summary: str, html: str) -> str:
    """Something that is opened when wanted; `html` is escaped already."""
    return (
        f'<details style="margin:.3em 0;{_INK}"><summary style="cursor:pointer;line-height:1.6;">{escape(summary)}</summary>'
        f"{html}</details>"
    )


def alert(text: str) -> str:
    """Something that went wrong or must be seen, read out by screen readers."""
    return f'<div role="alert" style="{_ALERT}">{escape(text)}</div>' if text else ""


def good(text: str) -> str:
    """Something that was done."""
    return f'<div role="status" style="{_GOOD}">{escape(text)}</div>' if text else ""


def download(file: Path, words: str) -> str:
    """A link that puts a file where the browser keeps what it saves; a sentence where it is too large to carry in a page."""
    if file.stat().st_size > MOST_TO_DOWNLOAD:
        return paragraph(f"{file.name} is too large for a link in this page; it lies in {file.parent}.")
    kind = {".html": "text/html", ".zip": "application/zip", ".pdf": "application/pdf", ".json": "application/json"}[file.suffix]
    data = base64.b64encode(file.read_bytes()).decode("ascii")
    return (
        f'<p style="margin:.4em 0;"><a download="{escape(file.name)}" href="data:{kind};base64,{data}" '
        f'style="color:var(--jp-content-link-color,#1f5f7a);text-decoration:underline;">{escape(words)}</a></p>'
    )


def live(html: str) -> str:
    """A result wrapped so that screen readers tell its changes, and so that a wide table can be scrolled."""
    return f'<div aria-live="polite" style="{_RESULT}">{html}</div>'


def unexpected(error: Exception) -> str:
    """A sentence for an error that nobody foresaw. With HISTKIT_RAISE=1, as in the tests, it is raised instead."""
    if os.environ.get("HISTKIT_RAISE") == "1":
        raise error
    return (
        f"This could not be worked out ({type(error).__name__}: {error}). "
        "Your text and choices are kept; change one and try again."
    )


@contextmanager
def trouble_told(answer: dict[str, Any]) -> Iterator[None]:
    """What goes wrong in the block is a sentence under "trouble" in the answer to a front end."""
    try:
        yield
    except HistkitError as error:
        answer["trouble"] = sentence(error)
    except Exception as error:
        answer["trouble"] = unexpected(error)


def sentence(error: HistkitError) -> str:
    """What an error says to a maker. What is refused for a forbidden ingredient says where it can be replaced."""
    if isinstance(error, Forbidden) and error.ingredients:
        from histkit import glossary

        names = ", ".join(map(glossary.name_of, error.ingredients))
        return (
            f"{names} must not be used. Choose what stands in for it in the notebook on substitutes (2-explore-substitutes), "
            "then try again."
        )
    return str(error)


def kindly(view: Callable[[], str]) -> str:
    """What a view shows, or a sentence where it cannot: panels never show a traceback."""
    try:
        return view()
    except HistkitError as error:
        return alert(sentence(error))
    except Exception as error:
        return alert(unexpected(error))


def result() -> widgets.HTML:
    """A place for results."""
    return widgets.HTML(layout=widgets.Layout(width="100%", overflow="visible"))


class Troubles:
    """Sentences beside a group of fields, one for each field that holds something impossible."""

    def __init__(self) -> None:
        self.place = result()
        self._sentences: dict[str, str] = {}

    def tell(self, field: str, sentence: str) -> None:
        """Say what is wrong with a field; an empty sentence takes it back."""
        self._sentences[field] = sentence
        self.place.value = "".join(alert(s) for s in self._sentences.values())

    def attempt(self, field: str, action: Callable[[], None]) -> bool:
        """Do something; where it fails, say so beside the field. Whether it was done."""
        try:
            action()
        except HistkitError as error:
            self.tell(field, sentence(error))
            return False
        except Exception as error:
            self.tell(field, unexpected(error))
            return False
        self.tell(field, "")
        return True


def news_of(table: Desk) -> widgets.VBox:
    """Undo and redo, and where a panel says what happened: what could not be saved, what another notebook changed."""
    place, troubles = result(), Troubles()

    def tell(_: Any = None) -> None:
        place.value = alert(table.trouble) + good(table.news)

    table.observe(tell, names=["trouble", "news"])
    tell()
    where = f"Kept in {table.path.name}." if table.path is not None else "Not kept in any file."
    words = widgets.HTML(f'<span style="{_INK}opacity:.8;">{escape(where)}</span>')
    bar = widgets.HBox([button("Undo", table.undo, troubles), button("Redo", table.redo, troubles), words], layout=ROW)
    return widgets.VBox([bar, place, troubles.place], layout=widgets.Layout(width="100%"))


# -- fields -----------------------------------------------------------------------------------------------------------

_NATURAL_SIZE = widgets.Layout(width="auto", margin="2px", align_self="flex-start")


def _labelled(label: str, width: str) -> dict[str, Any]:
    """What every field has: its whole label beside it, and no more than the width of the page."""
    layout = widgets.Layout(width=width, max_width="98%", margin="2px")
    return {"description": label, "style": {"description_width": "initial"}, "layout": layout}


def text_field(label: str, value: str, width: str = "24em", placeholder: str = "") -> widgets.Text:
    return widgets.Text(value=value, placeholder=placeholder, continuous_update=False, **_labelled(label, width))


def text_area(label: str, value: str, rows: int, placeholder: str = "") -> widgets.Textarea:
    area = widgets.Textarea(value=value, placeholder=placeholder, rows=rows, continuous_update=False, **_labelled(label, "auto"))
    area.layout.max_width = "64em"
    return area


def choice(label: str, options: Sequence[tuple[str, Any]], value: Any, width: str = "26em") -> widgets.Dropdown:
    return widgets.Dropdown(options=list(options), value=value, **_labelled(label, width))


def offer(field: widgets.Dropdown | widgets.Select, options: Sequence[tuple[str, Any]], value: Any) -> None:
    """Give a list new options and choose one of them; the first one where `value` is none of them."""
    values = [v for _, v in options]
    chosen = value if value in values else values[0]
    if list(field.options) != list(options):
        field.options = list(options)
    if field.value != chosen:
        field.value = chosen


def tick(label: str, value: bool = False) -> widgets.Checkbox:
    return widgets.Checkbox(value=value, description=label, indent=False, layout=_NATURAL_SIZE)


def button(label: str, action: Callable[[], None], troubles: Troubles, main: bool = False) -> widgets.Button:
    """A button with words on it; what goes wrong is told in `troubles`.

    It is not greyed out while it works: that would take the keyboard's place on the page away.
    """
    pressed = widgets.Button(
        description=label,
        tooltip=label,
        button_style="primary" if main else "",
        layout=_NATURAL_SIZE,
    )
    pressed.on_click(lambda _: troubles.attempt(label, action))
    return pressed


class Figure(widgets.FloatText):
    """A number box that takes what is typed. What lies outside `low` and `high` is refused in words, never changed silently."""

    low, high = float("-inf"), float("inf")


class Whole(widgets.IntText):
    """The same for whole numbers."""

    low, high = float("-inf"), float("inf")


def _bounded(field: Any, low: float, high: float) -> Any:
    field.low, field.high = low, high
    return field


def out_of_bounds(field: Any, value: float) -> str:
    """A sentence where a figure lies outside the bounds of its field, '' where it does not."""
    if not isinstance(field, (Figure, Whole)) or field.low <= value <= field.high:
        return ""
    run = f"from {field.low:,g} to {field.high:,g}"
    return f"{field.description} lies {run}, so {figure_text(value)} is not taken; what was there before counts."


def within_bounds(*fields: Any) -> None:
    """Raise BadValue where a figure lies outside the bounds of its field."""
    for field in fields:
        if wrong := out_of_bounds(field, field.value):
            raise BadValue(wrong)


def number(label: str, value: float, low: float, high: float, step: float, width: str = "16em") -> Figure:
    return _bounded(Figure(value=value, step=step, **_labelled(label, width)), low, max(high, value))  # type: ignore[no-any-return]


def whole_number(label: str, value: int, low: int, high: int, width: str = "10em") -> Whole:
    return _bounded(Whole(value=value, **_labelled(label, width)), low, max(high, value))  # type: ignore[no-any-return]


def slider(label: str, value: float, low: float, high: float, step: float) -> tuple[widgets.HBox, Figure]:
    """A number box with its slider: the box has the name and takes exact figures, the slider follows it.

    A slider on its way sends many values; of those only one in `SLIDER_EVERY` seconds, and the last, reaches the box. A figure
    that is out of bounds stays in the box and does not move the slider.
    """
    box = number(label, value, low, high, step, "18em")
    track = widgets.FloatSlider(
        value=box.value,
        min=low,
        max=box.high,
        step=step,
        readout=False,
        tooltip=label,
        layout=widgets.Layout(width="16em", max_width="100%"),
    )

    def follow(change: Any) -> None:
        if box.low <= change["new"] <= box.high:
            track.max = max(track.max, box.high)
            track.value = change["new"]

    box.observe(follow, names="value")
    track.observe(Later(lambda: setattr(box, "value", track.value), SLIDER_EVERY, put_off=False), names="value")
    return widgets.HBox([box, track], layout=ROW), box


_NOTHING = object()


def bind(
    table: Desk,
    troubles: Troubles,
    field: Any,
    show: Callable[[Record], Any],
    keep: Callable[[Record, Any], Record],
    panel: str,
) -> None:
    """Tie a field to the record: it shows what is kept, and what is put in is kept at once.

    What makes no sense stays in the field, with a sentence beside it, and is not kept.
    """
    name = field.description
    busy = False
    last: Any = _NOTHING

    def put_in(change: Any) -> None:
        nonlocal busy
        if busy:
            return
        if wrong := out_of_bounds(field, change["new"]):
            troubles.tell(name, wrong)
            return
        busy = True  # what is being typed is not put right under the maker's hands
        try:
            troubles.attempt(name, lambda: table.edit(lambda record: keep(record, change["new"])))
        finally:
            busy = False

    def changed(record: Record) -> None:
        nonlocal busy, last
        value = show(record)
        unchanged, last = value == last, value
        if busy or unchanged:  # a field whose own entry is the same as before keeps what stands in it, even if that is wrong
            return
        busy = True
        try:
            if isinstance(field, widgets.Dropdown) and value not in [v for _, v in field.options]:
                field.options = [*field.options, (str(value), value)]  # what a record holds is shown, even if it is not offered
            if isinstance(field, (Figure, Whole)):
                field.high, field.low = max(field.high, value), min(field.low, value)
            if field.value != value:
                field.value = value
                troubles.tell(name, "")
        finally:
            busy = False

    field.observe(put_in, names="value")
    table.watch(changed, f"{panel}: {name}")


# -- a panel and its plain copy ---------------------------------------------------------------------------------------


# Labels stand above their fields, so that all fields of a panel begin at the same edges, in a wide window and a narrow one; a
# button beside a field stands level with the field, not with its label. What is touched is as high as a fingertip is wide.
_DRESS = f"""<style>
.histkit-panel .widget-inline-hbox:not(.widget-checkbox):not(.widget-slider) {{ flex-direction: column; align-items: stretch;
  height: auto; }}
.histkit-panel .widget-inline-hbox:not(.widget-checkbox):not(.widget-slider) > .widget-label {{ width: auto; max-width: none;
  text-align: left; height: auto; line-height: 1.5; padding: 0; overflow: visible; white-space: normal; }}
.histkit-panel .widget-inline-hbox input[type="text"], .histkit-panel .widget-inline-hbox input[type="number"],
.histkit-panel .widget-inline-hbox select {{ height: 32px; flex: 0 0 auto; font-size: 14px; }}
.histkit-panel .widget-inline-hbox select[size], .histkit-panel .widget-inline-hbox select[multiple] {{ height: auto; }}
.histkit-panel .widget-html {{ max-width: calc(100% - 4px); }}
.histkit-panel .widget-textarea textarea {{ font-size: 14px; line-height: 1.45; }}
.histkit-panel .jupyter-button {{ height: 32px; font-size: 14px; padding: 0 14px; }}
.histkit-panel .widget-hbox > .jupyter-button, .histkit-panel .widget-hbox > .widget-checkbox {{
  align-self: flex-end !important; }}
.histkit-panel .widget-hbox > .widget-checkbox {{ min-height: 32px; align-items: center; }}
@media (pointer: coarse) {{
  .histkit-panel .jupyter-button, .histkit-panel .hk-signs button, .histkit-panel .widget-inline-hbox input[type="text"],
  .histkit-panel .widget-inline-hbox input[type="number"], .histkit-panel .widget-inline-hbox select:not([size]) {{
    height: 44px; }}
  .histkit-panel .hk-signs button {{ min-width: 40px; }}
  .histkit-panel input[type="checkbox"] {{ width: 24px; height: 24px; }}
}}
@media screen and (max-width: 40rem) {{ {CARDS} }}
</style>"""


class Panel(widgets.VBox):
    """A panel whose plain text is its name, not a list of its widgets.

    `begin` fills in what takes a moment to work out; `show` calls it when the fields are on the screen.
    """

    def __init__(self, name: str, children: Sequence[Any], begin: Callable[[], object] | None = None) -> None:
        self.name, self.begin = name, begin
        super().__init__([widgets.HTML(_DRESS), *children], layout=widgets.Layout(width="100%"))
        self.add_class("histkit-panel")

    def __repr__(self) -> str:
        return f"<{self.name}>"


class Shown(Protocol):
    """What can be shown at rest."""

    def to_text(self) -> str: ...
    def to_html(self) -> str: ...


class PlainCopy:
    """A result as plain text and HTML, for where widgets do not live: a notebook that was reopened, a web page, a terminal."""

    def __init__(self, noun: Callable[[], Shown | None], nothing: str, fold: bool = True) -> None:
        try:
            shown = noun()
            self.text, html = (shown.to_text(), shown.to_html()) if shown is not None else (nothing, paragraph(nothing))
        except HistkitError as error:
            self.text, html = sentence(error), paragraph(sentence(error))
        except Exception as error:
            self.text = unexpected(error)
            html = paragraph(self.text)
        self.html = f'<div style="{_RESULT}">{html}</div>'
        if fold:
            self.html = folded("The result as a plain table, which stays in the saved notebook", self.html)

    def _repr_mimebundle_(self, include: Any = None, exclude: Any = None) -> dict[str, str]:
        return {"text/plain": self.text, "text/html": self.html}

    def __repr__(self) -> str:
        return self.text


class Later:
    """Does something once for several calls that come close together, so that a slider on its way does not wait for it.

    It is done `seconds` after the last call; with `put_off` False after the first, and so at least that often while the
    calls go on. Where no event loop runs, as in a plain script, it is done at once.
    """

    def __init__(self, action: Callable[[], None], seconds: float = 0.4, put_off: bool = True) -> None:
        self.action, self.seconds, self.put_off = action, seconds, put_off
        self._timer: asyncio.TimerHandle | None = None

    def __call__(self, _: Any = None) -> None:
        try:
            loop = asyncio.get_running_loop()
        except RuntimeError:
            self.action()
            return
        if self._timer is not None:
            if not self.put_off:
                return
            self._timer.cancel()
        self._timer = loop.call_later(self.seconds, self._do)

    def _do(self) -> None:
        self._timer = None
        self.action()


def in_voila() -> bool:
    """Whether this kernel works for Voilà, which shows widgets only and never saves a notebook."""
    return os.environ.get("SERVER_SOFTWARE", "").startswith("voila")


def show(panel: Panel, table: Desk | None, noun: Callable[[Record], Shown | None], nothing: str = "Nothing yet.") -> None:
    """Display a panel, and under it a plain copy of its result that follows the record, so that the saved notebook has it."""
    display(panel)  # type: ignore[no-untyped-call]
    if panel.begin is not None:
        panel.begin()
    if in_voila():
        if table is not None:
            table.follow()
        return
    record = table.record if table is not None else Record()
    handle = display(PlainCopy(lambda: noun(record), nothing), display_id=True)  # type: ignore[no-untyped-call]
    if table is None:
        return
    table.follow()
    if handle is not None:  # outside a notebook there is nothing to renew
        renew = Later(lambda: handle.update(PlainCopy(lambda: noun(table.record), nothing)))
        table.watch(renew, f"{panel.name}, plain copy", now=False)
